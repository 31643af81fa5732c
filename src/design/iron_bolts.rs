//! Holes, screws and joints of transformers of laminations.

use super::Design;
use super::bolt::{BoltedJoint, add_screw};
use super::chassis::ChassisFrame;
use super::fasten::{Bond, Passed};
use super::flat::{FlatHole, HoleShape, Marked};
use super::iron_spec::IronSpec;
use crate::assembly::{Group, How};
use crate::catalogue;
use crate::outline::Loop;
use crate::params::{Head, Mounting};
use glam::{DVec2, DVec3};

pub(super) fn drill(
    spec: &IronSpec,
    t: &crate::params::Transformer,
    frame: &ChassisFrame,
    screw: &'static catalogue::ScrewRow,
    design: &mut Design,
) {
    let id = &spec.id;
    let plate = &frame.plate;
    let group = if spec.component {
        Group::Above
    } else {
        Group::Below
    };
    let Some(flat) = design.flats.iter_mut().find(|f| f.id == "plate") else {
        return;
    };
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
        flat.holes.push(FlatHole {
            id: format!("{id}-window"),
            at: plate.local(spec.pose.at),
            shape: HoleShape::Cut {
                outline: square.rounded(2.0).unwrap_or(square),
            },
            purpose: format!("window for the coil of {id}"),
            marked: Marked::InHand { part: id.clone() },
            owner: id.clone(),
            span: t.span.clone(),
        });
    }
    for (k, m) in spec.mounts().into_iter().enumerate() {
        flat.holes.push(FlatHole {
            id: format!("{id}-screw-{}", k + 1),
            at: plate.local(spec.pose.point(m.extend(0.0))),
            shape: HoleShape::Round { d: spec.hole },
            purpose: format!("screw {} of {id}", screw.id),
            marked: Marked::InHand { part: id.clone() },
            owner: id.clone(),
            span: t.span.clone(),
        });
    }
    let gap = (spec.hole - screw.major) / 2.0;
    for (k, m) in spec.mounts().into_iter().enumerate() {
        let sid = format!("{id}-screw-{}", k + 1);
        // parts from the head to the plate, and how high the head sits over the plate
        let (parts, head): (Vec<String>, f64) = match spec.mounting {
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
        let mut through: Vec<Passed> = parts.into_iter().map(|id| Passed { id, gap }).collect();
        through.push(Passed {
            id: "plate".into(),
            gap,
        });
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
            group,
            moves: true,
            span: &t.span,
        };
        add_screw(design, &joint, through, 0.0);
    }
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
