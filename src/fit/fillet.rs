//! Nuts and edges beside the fillet inside an angle.

use super::doc::Doc;
use super::report::{Finding, Severity};
use crate::design::Design;
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["angle-fillet"],
    title: "Fillet inside the angle",
    does: "Between an angle's legs the corner may be filled by a fillet (6061 structural angle). On the gauge line a nut's corners must stay \
clear of where the fillet runs out, and of the leg's toe. Outside, plate and panel lie against the angle's heel, which is square, so that no \
edge of theirs meets a fillet; a plate's or panel's edge set into the inside of an angle would have to be chamfered by the fillet's radius.",
    why: "A nut that rides on a fillet tilts its screw and works loose; it looks seated until the panel is pulled.",
    example: "`the corners of M4 nuts stand 1.2 mm over the fillet of angle-rear`",
    change: "square (6063) angle, a wider leg, a smaller screw.",
    rests_on: "6061 angle is filleted, 6063 square inside: two stockists' pages; a clash at the fillet: common practice; the rest is geometry.",
};

/// Sums of a few hundred mm round by less than this, mm.
const ROUNDING: f64 = 1e-6;

pub(super) fn of_design(design: &Design) -> Vec<Finding> {
    let mut out = Vec::new();
    for a in &design.angles {
        let nut = design
            .fasteners
            .iter()
            .filter(|f| f.nut.is_some() && f.through.iter().any(|p| p.id == a.id))
            .max_by(|x, y| x.row.nut.total_cmp(&y.row.nut));
        let Some(f) = nut else { continue };
        let corner = f.row.nut / 3.0_f64.sqrt();
        let (to_fillet, to_toe) = (a.gauge - a.thickness - a.fillet, a.leg - a.gauge);
        let z = a.plate_leg.first().map_or(a.length / 2.0, |h| h.0);
        let at = a.pose.point(DVec3::new(a.gauge, a.thickness, z));
        let mut push = |room: f64, what: String, hint: &str| {
            if room < corner - ROUNDING {
                out.push(Finding {
                    id: "angle-fillet".into(),
                    severity: Severity::Warning,
                    about: vec![a.id.clone()],
                    at_mm: at.to_array(),
                    measured: room,
                    wanted: corner,
                    unit: "mm".into(),
                    text: format!(
                        "the corners of {} nuts stand {} {what} of {}",
                        f.row.id,
                        units::show(corner - room),
                        a.id
                    ),
                    hint: hint.into(),
                    source: "geometry; filleted angle: stockists' pages".into(),
                });
            }
        };
        if a.fillet > 0.0 {
            push(
                to_fillet,
                "over the fillet".into(),
                "square (6063) angle, a wider leg, or a smaller screw",
            );
        }
        push(
            to_toe,
            "over the toe".into(),
            "a wider leg, or a smaller screw",
        );
    }
    out
}
