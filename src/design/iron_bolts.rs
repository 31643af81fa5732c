//! Holes, screws and joints of transformers: how any is bolted down, and what goes with one of laminations.

use super::Design;
use super::bolt::{BoltedJoint, add_screw};
use super::chassis::PlateFrame;
use super::fasten::{self, Bond, Passed};
use super::flat::{FlatHole, HoleShape, Marked};
use super::iron_spec::IronSpec;
use super::ledger::Ledger;
use super::on_plate::drill_plate;
use crate::assembly::{Group, How};
use crate::catalogue::ScrewRow;
use crate::outline::Loop;
use crate::params::{Head, Mounting, Transformer};
use glam::{DVec2, DVec3};

/// The typed machine screw, or the usual one for the file's unit; a wood screw is an error.
pub(super) fn machine(
    t: &Transformer,
    metric: &str,
    inch: &str,
    ledger: &mut Ledger,
) -> Option<&'static ScrewRow> {
    let id = &t.id.value.0;
    let screw = fasten::screw_or(
        ledger,
        &format!("{id}.screw"),
        t.screw.as_ref(),
        metric,
        inch,
    );
    if screw.wood {
        ledger.error(
            t.span.clone(),
            format!("a wood screw does not hold `{id}`"),
            "a machine screw",
            "",
        );
        return None;
    }
    Some(screw)
}

/// Holes and bolts. `under` gives for each of the mounts the parts under the bolt's head, the first first, and how high the head sits over
/// the plate.
pub(super) fn bolts(
    spec: &IronSpec,
    t: &Transformer,
    plate: &PlateFrame,
    screw: &'static ScrewRow,
    under: &dyn Fn(usize, DVec2) -> (Vec<Passed>, f64),
    warning: &str,
    design: &mut Design,
) {
    let id = &spec.id;
    let mut purpose = format!("screw {} of {id}", screw.id);
    if !warning.is_empty() {
        purpose = format!("{purpose}; {warning}");
    }
    for (k, m) in spec.mounts().into_iter().enumerate() {
        let hole = FlatHole {
            id: format!("{id}-screw-{}", k + 1),
            at: plate.local(spec.pose.point(m.extend(0.0))),
            shape: HoleShape::Round { d: spec.hole },
            purpose: purpose.clone(),
            marked: Marked::InHand { part: id.clone() },
            owner: id.clone(),
            span: t.span.clone(),
        };
        drill_plate(design, hole);
        let (mut through, head) = under(k, m);
        through.push(Passed {
            id: "plate".into(),
            gap: (spec.hole - screw.major) / 2.0,
        });
        let sid = format!("{id}-screw-{}", k + 1);
        let joint = BoltedJoint {
            id: &sid,
            owner: id,
            row: screw,
            head: Head::Pan,
            hole: spec.hole,
            at: spec.pose.point(m.extend(head)),
            dir: -spec.pose.dir(DVec3::Z),
            grip: head + plate.thickness,
            near: "plate",
            others: &[],
            marked: Marked::Scribed,
            group: if spec.component {
                Group::Above
            } else {
                Group::Below
            },
            moves: true,
            span: &t.span,
        };
        add_screw(design, &joint, through, 0.0);
    }
}

pub(super) fn drill(
    spec: &IronSpec,
    t: &Transformer,
    plate: &PlateFrame,
    screw: &'static ScrewRow,
    design: &mut Design,
) {
    let id = &spec.id;
    if spec.mounting == Mounting::DropThrough {
        let half = spec.coil() / 2.0 + DVec2::splat(1.5);
        let corner =
            |x: f64, y: f64| plate.local(spec.pose.point(DVec3::new(x * half.x, y * half.y, 0.0)));
        let mut points = [
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ];
        let square = Loop::polygon(&points);
        if square.area() < 0.0 {
            points.reverse();
        }
        let square = Loop::polygon(&points);
        let window = FlatHole {
            id: format!("{id}-window"),
            at: plate.local(spec.pose.at),
            shape: HoleShape::Cut {
                outline: square.rounded(2.0).unwrap_or(square),
            },
            purpose: format!("window for the coil of {id}"),
            marked: Marked::InHand { part: id.clone() },
            owner: id.clone(),
            span: t.span.clone(),
        };
        drill_plate(design, window);
    }
    let gap = (spec.hole - screw.major) / 2.0;
    // parts from the head to the plate, and how high the head sits over the plate
    let under = |k: usize, m: DVec2| -> (Vec<Passed>, f64) {
        let (parts, head) = match spec.mounting {
            Mounting::DropThrough => (
                vec![format!("{id}-bell"), format!("{id}-core")],
                spec.stack + spec.sheet,
            ),
            Mounting::Flat => (
                vec![
                    format!("{id}-bell"),
                    format!("{id}-core"),
                    format!("{id}-spacer-{}", k + 1),
                ],
                spec.spacer + spec.stack + spec.sheet,
            ),
            Mounting::Upright => (
                vec![format!(
                    "{id}-bell-{}",
                    if m.y < 0.0 { "front" } else { "rear" }
                )],
                spec.sheet,
            ),
            _ => (vec![format!("{id}-frame")], spec.sheet),
        };
        let through = parts.into_iter().map(|id| Passed { id, gap }).collect();
        (through, head)
    };
    bolts(spec, t, plate, screw, &under, "", design);
    let name = |w: &str| format!("{id}-{w}");
    let mut face = |a: String, b: String| design.bonds.push(Bond::face(&a, &b, How::Bolted));
    match spec.mounting {
        Mounting::DropThrough => {
            face(name("core"), "plate".into());
            face(name("bell"), name("core"));
            face(name("coil"), name("core"));
            design
                .bonds
                .push(Bond::gap(&name("coil"), "plate", How::Inserted, 1.55));
        }
        Mounting::Flat => {
            face(name("bell"), name("core"));
            face(name("coil"), name("core"));
            for k in 1..=4 {
                face(format!("{id}-spacer-{k}"), name("core"));
                face(format!("{id}-spacer-{k}"), "plate".into());
            }
        }
        Mounting::Upright => {
            for b in ["bell-front", "bell-rear"] {
                face(name(b), name("core"));
                face(name(b), "plate".into());
            }
            design.bonds.push(Bond::gap(
                &name("core"),
                "plate",
                How::Bolted,
                spec.sheet + 0.05,
            ));
        }
        _ => {
            face(name("frame"), name("core"));
            face(name("frame"), "plate".into());
            face(name("core"), "plate".into());
            face(name("coil-front"), name("core"));
            face(name("coil-rear"), name("core"));
        }
    }
}
