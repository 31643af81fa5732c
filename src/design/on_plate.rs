//! What all that stands on the plate shares: its face, its holes, its screws.

use super::Design;
use super::chassis::ChassisFrame;
use super::fasten::{self};
use super::flat::{FlatHole, HoleShape, Marked};
use super::ledger::Ledger;
use crate::catalogue::ScrewRow;
use crate::params::{PlateSide, Sp};
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::ops::Range;

pub(super) fn face_of(frame: &ChassisFrame, component: bool, at: DVec2, degrees: f64) -> Pose {
    if component {
        frame.plate.component(at.x, at.y).turned_z(-degrees)
    } else {
        frame.plate.wiring(at.x, at.y).turned_z(degrees)
    }
}

pub(super) fn side(s: Option<&Sp<PlateSide>>, usual: PlateSide) -> bool {
    s.map_or(usual, |s| s.value) == PlateSide::Component
}

pub(super) fn plate_hole(
    design: &mut Design,
    frame: &ChassisFrame,
    at: DVec3,
    id: &str,
    owner: &str,
    d: f64,
    purpose: String,
    marked: Marked,
    span: &Range<usize>,
) {
    if let Some(flat) = design.flats.iter_mut().find(|f| f.id == "plate") {
        flat.holes.push(FlatHole {
            id: id.into(),
            at: frame.plate.local(at),
            shape: HoleShape::Round { d },
            purpose,
            marked,
            owner: owner.into(),
            span: span.clone(),
        });
    }
}

pub(super) fn machine(
    ledger: &mut Ledger,
    key: &str,
    typed: Option<&Sp<String>>,
    metric: &str,
    inch: &str,
    span: &Range<usize>,
) -> Option<&'static ScrewRow> {
    let row = fasten::screw_or(ledger, key, typed, metric, inch);
    if row.wood {
        ledger.error(
            typed.map_or(span.clone(), |s| s.span.clone()),
            format!("a `{}` screw does not hold in sheet metal", row.id),
            "a machine screw such as `M3` or `#6`",
            "",
        );
        return None;
    }
    Some(row)
}
