//! Angle stock and its screws.

use super::{ChassisFrame, PanelFrame};
use crate::assembly::{Group, How, Kind};
use crate::catalogue::{self, RivetRow, ScrewRow};
use crate::design::Design;
use crate::design::bolt::{BoltedJoint, bolt};
use crate::design::fasten::{self, Bond};
use crate::design::flat::{AngleBar, Marked, cone_depth};
use crate::design::ledger::Ledger;
use crate::design::rivet::{Riveted, rivet as set_rivet};
use crate::params::{Head, HoleFit, Params};
use crate::pose::Pose;
use glam::DVec3;

/// Angle stock in the inside corner of plate and panel, with its two rows of screws.
pub(super) fn build_angle(
    params: &Params,
    p: &PanelFrame,
    frame: &ChassisFrame,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let table = params.chassis.as_ref().and_then(|c| c.angle.as_ref());
    let span = table.map_or(p.span.clone(), |a| a.span.clone());
    let leg = ledger.length(
        "chassis.angle.leg",
        table.and_then(|a| a.leg.as_ref()),
        19.05,
        "3/4 in angle (common practice)",
    );
    let t = ledger.length(
        "chassis.angle.thickness",
        table.and_then(|a| a.thickness.as_ref()),
        3.175,
        "1/8 in angle (common practice)",
    );
    let fillet = ledger.length(
        "chassis.angle.fillet",
        table.and_then(|a| a.fillet.as_ref()),
        0.0,
        "6063 angle is square inside (published: mill shape sheets, copy)",
    );
    let material = match table.and_then(|a| a.material.as_ref()) {
        Some(m) => ledger.material(m),
        None => "aluminium 6063-T5".into(),
    };
    let rivet = match table.and_then(|a| a.rivet.as_ref()) {
        Some(name) => match ledger.look_up::<RivetRow>(name) {
            Some(row) => Some(row),
            None => return,
        },
        None => None,
    };
    if let Some(a) = table.filter(|_| rivet.is_some()) {
        let keys = [
            ("screw", a.screw.as_ref().map(|v| v.span.clone())),
            ("head", a.head.as_ref().map(|v| v.span.clone())),
            ("fit", a.fit.as_ref().map(|v| v.span.clone())),
        ];
        for (key, span) in keys {
            if let Some(span) = span {
                ledger.error(
                    span,
                    format!("`{key}` says nothing about rivets"),
                    "either `rivet`, or `screw` with its `head` and `fit`",
                    "take one of them out",
                );
            }
        }
    }
    let usual = ["M4", "#8"];
    let typed = table.and_then(|a| a.screw.as_ref());
    let row = if rivet.is_some() {
        // never drawn: what is asked of a screw below is asked of the rivet
        catalogue::screw(usual[0]).unwrap_or(&catalogue::screws()[0])
    } else {
        fasten::screw_or(ledger, "chassis.angle.screw", typed, usual[0], usual[1])
    };
    if row.wood {
        ledger.error(
            span.clone(),
            "a wood screw holds no angle",
            "a machine screw such as `M4` or `#8`",
            "",
        );
    }
    let (head, fit) = if rivet.is_some() {
        (Head::Pan, HoleFit::Normal)
    } else {
        let fit = ledger.choice(
            "chassis.angle.fit",
            table.and_then(|a| a.fit.as_ref()),
            HoleFit::Normal,
            "normal",
            "lets the parts find their place",
        );
        let (usual, why) = usual_head(row.clearance(fit), row, p, frame);
        let typed = table.and_then(|a| a.head.as_ref());
        let head = ledger.choice("chassis.angle.head", typed, usual, usual.word(), &why);
        (head, fit)
    };
    let end = ledger.length(
        "chassis.angle.end-margin",
        table.and_then(|a| a.end_margin.as_ref()),
        12.0,
        "common practice",
    );
    let shorter = table
        .and_then(|a| a.shorter.as_ref())
        .map_or(0.0, |v| v.value.0);
    let id = if p.at_rear {
        "angle-rear"
    } else {
        "angle-front"
    };
    let length = ledger.derive(
        format!("length of {id}"),
        p.length - 2.0 * shorter,
        format!("panel {:.1} - 2 x {shorter:.1}", p.length),
    );
    let (behind, name) = match rivet {
        Some(r) => (r.blind, r.id.clone()),
        None => (row.nut, format!("screw {}", row.id)),
    };
    if !(leg > t + fillet + behind / 2.0 && t > 0.3 && length > 2.0 * end) {
        ledger.error(span.clone(), format!("an angle of {leg:.1} mm legs, {t:.1} mm thick and {length:.1} mm long takes no {name}"), "legs wide enough for the nut or the blind head, a length over twice the end margin", "choose a wider angle, a smaller screw or a smaller end margin");
        return;
    }
    // count first, else from the largest pitch
    let run = length - 2.0 * end;
    let n = match table.and_then(|a| a.count.as_ref()) {
        Some(n) => {
            if !(2..=250).contains(&n.value.0) {
                ledger.error(
                    n.span.clone(),
                    format!("{} screws along the angle", n.value.0),
                    "2 to 250",
                    "",
                );
                return;
            }
            n.value.0 as usize
        }
        None => {
            let pitch = ledger.length(
                "chassis.angle.pitch",
                table.and_then(|a| a.pitch.as_ref()),
                50.0,
                "common practice",
            );
            let n = (run / pitch).ceil() + 1.0;
            if !(2.0..=250.0).contains(&n) {
                let s = table
                    .and_then(|a| a.pitch.as_ref())
                    .map_or(span.clone(), |v| v.span.clone());
                ledger.error(
                    s,
                    format!("a pitch of {pitch} mm asks for {n:.0} screws along {run:.1} mm"),
                    "a pitch that asks for 250 screws or fewer",
                    "make the pitch larger",
                );
                return;
            }
            n as usize
        }
    };
    let pitch = ledger.derive(
        format!("screw pitch along {id}"),
        run / (n - 1) as f64,
        format!("({length:.1} - 2 x {end:.1} end margins) / {} gaps", n - 1),
    );
    let hole = rivet.map_or_else(|| row.clearance(fit), RivetRow::drilled);
    let gauge = t + fillet + (leg - t - fillet) / 2.0;
    let plate = &frame.plate;
    let wiring = if plate.up { -DVec3::Z } else { DVec3::Z };
    let inward = if p.at_rear { -DVec3::Y } else { DVec3::Y };
    let axis = inward.cross(wiring);
    let start = if axis.x > 0.0 {
        p.x0 + shorter
    } else {
        p.x0 + p.length - shorter
    };
    let wiring_z = if plate.up {
        plate.z0
    } else {
        plate.z0 + plate.thickness
    };
    let pose = Pose::from_axes(inward, wiring, DVec3::new(start, p.inner, wiring_z));
    let plate_leg: Vec<f64> = (0..n).map(|k| end + pitch * k as f64).collect();
    // the panel's screws stand between the plate's, so that their ends do not meet in the corner
    let panel_leg: Vec<f64> = (0..n - 1).map(|k| end + pitch * (k as f64 + 0.5)).collect();
    design.angles.push(AngleBar {
        id: id.into(),
        kind: Kind::Angle,
        group: Group::Chassis,
        moves: true,
        material,
        leg,
        thickness: t,
        fillet,
        length,
        plate_leg: plate_leg.iter().map(|z| (*z, hole)).collect(),
        panel_leg: panel_leg.iter().map(|z| (*z, hole)).collect(),
        gauge,
        pose,
        span: span.clone(),
    });
    design.bonds.push(Bond::face(id, "plate", How::Bolted));
    design.bonds.push(Bond::face(id, p.id, How::Bolted));
    for (leg_is_plate, at) in [(true, &plate_leg), (false, &panel_leg)] {
        let part = if leg_is_plate { "plate" } else { p.id };
        let wall = if leg_is_plate {
            plate.thickness
        } else {
            p.thickness
        };
        for (k, z) in at.iter().enumerate() {
            let sid = format!(
                "{id}-{}-{}-{}",
                if leg_is_plate { "plate" } else { "panel" },
                if rivet.is_some() { "rivet" } else { "screw" },
                k + 1
            );
            // on the outer face of plate or panel, pointing into the leg
            let (local, dir) = if leg_is_plate {
                (DVec3::new(gauge, -wall, *z), wiring)
            } else {
                (DVec3::new(-wall, gauge, *z), inward)
            };
            if let Some(row) = rivet {
                let r = Riveted {
                    id: &sid,
                    owner: id,
                    row,
                    at: pose.point(local),
                    dir,
                    grip: wall + t,
                    near: part,
                    far: id,
                    span: &span,
                };
                set_rivet(design, &r);
                continue;
            }
            let joint = BoltedJoint {
                id: &sid,
                owner: id,
                row,
                head,
                hole,
                at: pose.point(local),
                dir,
                grip: wall + t,
                near: part,
                others: &[id],
                marked: Marked::Transferred { from: id.into() },
                group: Group::Chassis,
                moves: true,
                span: &span,
            };
            bolt(design, &joint);
        }
    }
}

/// A countersink deeper than this share of its sheet leaves an edge that cuts and gives: #8 heads, 0.100 in high, are taken in 1/8 in sheet
/// and no thinner (common practice).
const SINK_SHARE: f64 = 0.8;

/// The head that is taken where none is asked for, and why: flush where the thinner sheet holds its cone.
fn usual_head(hole: f64, row: &ScrewRow, p: &PanelFrame, frame: &ChassisFrame) -> (Head, String) {
    let deep = cone_depth(hole, fasten::countersink(row).0, row.csk_angle);
    let sheet = frame.plate.thickness.min(p.thickness);
    // a pan head would hold an overlay off its panel
    if deep <= SINK_SHARE * sheet || p.overlay > 0.0 {
        return (
            Head::Countersunk,
            "flush with the face (common practice)".into(),
        );
    }
    (
        Head::Pan,
        format!(
            "a countersink for {} is {deep:.1} mm deep, more than {SINK_SHARE} of the {sheet:.1} mm sheet (common practice)",
            row.id
        ),
    )
}
