//! What all that stands on the plate shares: its face, its holes, its screws.

use super::Design;
use super::chassis::ChassisFrame;
use super::fasten::{self};
use super::flat::FlatHole;
use super::ledger::Ledger;
use crate::catalogue::ScrewRow;
use crate::params::{PlateSide, Sp};
use crate::pose::Pose;
use glam::DVec2;
use std::ops::Range;

/// The frame of something that stands at `at` on a face of the plate, z away from it, turned `degrees` clockwise as seen from the component
/// side, whichever face it stands on.
pub(super) fn face_of(frame: &ChassisFrame, component: bool, at: DVec2, degrees: f64) -> Pose {
    if component {
        frame.plate.component(at.x, at.y).turned_z(-degrees)
    } else {
        frame.plate.wiring(at.x, at.y).turned_z(degrees)
    }
}

/// Whether it stands on the component side.
pub(super) fn side(s: Option<&Sp<PlateSide>>, usual: PlateSide) -> bool {
    s.map_or(usual, |s| s.value) == PlateSide::Component
}

/// Drills the plate.
pub(super) fn drill_plate(design: &mut Design, hole: FlatHole) {
    if let Some(flat) = design.flats.iter_mut().find(|f| f.id == "plate") {
        flat.holes.push(hole);
    }
}

/// The typed machine screw, or the usual one for the file's unit; a wood screw is an error.
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
