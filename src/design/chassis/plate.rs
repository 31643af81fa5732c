//! The plate's outline.

use super::ChassisFrame;
use crate::design::ledger::Ledger;
use crate::outline::{self, Loop, Region};
use crate::params::{Params, PlateEdge};
use glam::DVec2;

/// The plate's outline: full width along the ears, clear of the sides elsewhere, less its notches.
pub(super) fn plate_outline(params: &Params, frame: &ChassisFrame, ledger: &mut Ledger) -> Loop {
    let Some(c) = params.chassis.as_ref() else {
        return Loop::default();
    };
    let plate = &frame.plate;
    let (w, d) = (plate.width, plate.depth);
    let radius = ledger.length(
        "chassis.corner-radius",
        c.corner_radius.as_ref(),
        3.0,
        "no sharp corner (common practice)",
    );
    let full = match Loop::rounded_rect(DVec2::ZERO, DVec2::new(w, d), radius) {
        Ok(l) => l,
        Err(e) => {
            let span = c
                .corner_radius
                .as_ref()
                .map_or(c.span.clone(), |v| v.span.clone());
            ledger.error(
                span,
                format!("corner radius {radius:.1} mm: {e}"),
                "less than half the plate's smaller side",
                "",
            );
            Loop::rect(DVec2::ZERO, DVec2::new(w, d))
        }
    };
    let mut cuts: Vec<Region> = Vec::new();
    // beside the ears the plate stays 1 mm clear of the sides
    let narrow = -plate.x0 + 1.0;
    for [a, b] in [[-1.0, frame.ear[0]], [frame.ear[1], d + 1.0]] {
        if b - a > 1.0 + 1e-9 {
            cuts.push(Region::solid(Loop::rect(
                DVec2::new(-1.0, a),
                DVec2::new(narrow, b),
            )));
            cuts.push(Region::solid(Loop::rect(
                DVec2::new(w - narrow, a),
                DVec2::new(w + 1.0, b),
            )));
        }
    }
    for n in &c.notch {
        let (at, wide, deep) = (n.at.value.0, n.width.value.0, n.depth.value.0);
        let (lo, hi) = (at - wide / 2.0, at + wide / 2.0);
        let (low, high) = match n.edge.value {
            PlateEdge::Left => (DVec2::new(-1.0, lo), DVec2::new(deep, hi)),
            PlateEdge::Right => (DVec2::new(w - deep, lo), DVec2::new(w + 1.0, hi)),
            PlateEdge::Front => (
                DVec2::new(lo - plate.x0, -1.0),
                DVec2::new(hi - plate.x0, deep),
            ),
            PlateEdge::Rear => (
                DVec2::new(lo - plate.x0, d - deep),
                DVec2::new(hi - plate.x0, d + 1.0),
            ),
        };
        cuts.push(Region::solid(Loop::rect(low, high)));
    }
    if cuts.is_empty() {
        return full;
    }
    let mut rest = vec![Region::solid(full)];
    for cut in cuts {
        rest = match outline::difference(&rest, &[cut]) {
            Ok(r) => r,
            Err(e) => {
                ledger.error(
                    c.span.clone(),
                    format!("the plate's outline cannot be cut: {e}"),
                    "notches and ears with plain edges",
                    "",
                );
                return Loop::rect(DVec2::ZERO, DVec2::new(w, d));
            }
        };
    }
    match <[Region; 1]>::try_from(rest) {
        Ok([one]) if one.inner.is_empty() => one.outer,
        Ok(_) | Err(_) => {
            ledger.error(
                c.span.clone(),
                "the notches cut the plate into pieces, or lie inside it",
                "one plate in one piece",
                "make them smaller or move them to the edge",
            );
            Loop::rect(DVec2::ZERO, DVec2::new(w, d))
        }
    }
}
