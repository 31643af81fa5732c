//! Something clamps the plate to one face of its grooves.

use super::doc::Doc;
use super::ears::grooves;
use super::report::{Finding, Severity};
use crate::design::Design;
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["rattle", "groove-strip"],
    title: "Rattling, and sliding out",
    does: "Looks for what holds the plate on each side: a retaining screw, an insert's screw or a bracket clamps it to one face of the groove and keeps it from \
sliding out. A side without any is a warning. An anti-rattle strip that leaves no more than 0.2 mm stops the rattle but not the sliding out. A strip too thick for \
the groove is a warning (`groove-strip`).",
    why: "A loose plate buzzes at every note near its own, and slides out on the first stair.",
    example: "`nothing holds the plate in its left groove: it rattles with 0.5 mm of play and can slide out`",
    change: "`[chassis.retain] kind`, `strip`.",
    rests_on: "common practice, no published source.",
};

/// Play that does not rattle, mm.
const QUIET: f64 = 0.2;

pub(super) fn of_design(design: &Design) -> Vec<Finding> {
    let (Some(plate), Some(grooves)) = (design.plate, grooves(design)) else {
        return Vec::new();
    };
    let held = |side: &str| {
        let owner = format!("retain-{side}-screw");
        design.fasteners.iter().any(|f| f.owner == owner)
    };
    let mut out = Vec::new();
    for (side, groove) in ["left", "right"].into_iter().zip(grooves) {
        if held(side) {
            continue;
        }
        let play = groove.width - plate.thickness - design.groove_strip.unwrap_or(0.0);
        let text = if play > QUIET {
            format!(
                "nothing holds the plate in its {side} groove: it rattles with {} of play and can slide out",
                units::show(play)
            )
        } else {
            format!(
                "nothing keeps the plate from sliding out of its {side} groove; the strip keeps it quiet"
            )
        };
        out.push(Finding {
            id: "rattle".into(),
            severity: Severity::Warning,
            about: vec!["plate".into(), format!("side-{side}")],
            at_mm: DVec3::new(
                if side == "left" { 0.0 } else { plate.inside },
                plate.y0 + plate.depth / 2.0,
                groove.z,
            )
            .to_array(),
            measured: play,
            wanted: 0.0,
            unit: "mm".into(),
            text,
            hint: "a retaining screw or bracket on each side".into(),
            source: "common practice".into(),
        });
    }
    out
}
