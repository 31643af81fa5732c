//! What no amount of modelling could build: holes outside their part, outlines that cross, too many holes.

use super::apart::{self, LEAST_WEB, Placed};
use super::flat::{Flat, HoleShape};
use super::ledger::Ledger;
use super::{Design, Limits, Movable};
use crate::outline::Loop;

pub(super) fn all(design: &Design, limits: &Limits, ledger: &mut Ledger) {
    for flat in &design.flats {
        if flat.holes.len() > limits.holes_per_part {
            ledger.error(
                flat.span.clone(),
                format!("`{}` would have {} holes", flat.id, flat.holes.len()),
                format!("{} or fewer", limits.holes_per_part),
                "fewer parts, or a larger pitch",
            );
            continue;
        }
        holes(flat, &design.movables, ledger);
    }
    for bar in &design.angles {
        let n = bar.plate_leg.len() + bar.panel_leg.len();
        if n > limits.holes_per_part {
            ledger.error(
                bar.span.clone(),
                format!("`{}` would have {n} holes", bar.id),
                format!("{} or fewer", limits.holes_per_part),
                "a larger pitch",
            );
        }
    }
    // every fastener brings at most three solids, every flat and item a handful
    let solids = design.flats.len()
        + design.angles.len()
        + 3 * design.fasteners.len()
        + design.rivets.len()
        + 4 * design.tubes.len()
        + 8 * design.irons.len()
        + 4 * design.controls.len();
    if solids > limits.solids {
        ledger.error(
            0..0,
            format!("about {solids} solids"),
            format!("{} or fewer", limits.solids),
            "",
        );
    }
}

fn holes(flat: &Flat, movables: &[Movable], ledger: &mut Ledger) {
    if let Err(e) = flat.outline.check() {
        ledger.error(
            flat.span.clone(),
            format!("the outline of `{}`: {e}", flat.id),
            "a plain closed outline",
            "",
        );
        return;
    }
    let mut holes: Vec<Placed> = Vec::with_capacity(flat.holes.len());
    // where the holes of an item without a place come to lie means nothing
    let placed = (flat.holes.iter()).filter(|h| !ledger.unplaced.contains(&h.span));
    for h in placed.collect::<Vec<_>>() {
        let l = h.edge();
        if let Err(e) = l.check() {
            ledger.error(
                h.span.clone(),
                format!("the hole `{}` in `{}`: {e}", h.id, flat.id),
                "a plain closed outline",
                "",
            );
            return;
        }
        let within = l.inside(&flat.outline) && l.gap(&flat.outline) > LEAST_WEB;
        let beveled = flat
            .bevel
            .as_ref()
            .is_none_or(|b| l.inside(b) && l.gap(b) > LEAST_WEB);
        if let HoleShape::Pilot { depth, .. } = h.shape
            && depth >= flat.thickness
        {
            ledger.error(
                h.span.clone(),
                format!(
                    "pilot `{}` is {depth:.1} mm deep in `{}` of {:.1} mm",
                    h.id, flat.id, flat.thickness
                ),
                "less than the part's thickness",
                "a shorter screw, or a thicker part",
            );
        }
        for p in &flat.pockets {
            let pocket = Loop::rect(p.low, p.high);
            if pocket.meets(&l).is_some() || l.inside(&pocket) {
                ledger.error(
                    h.span.clone(),
                    format!("hole `{}` runs into `{}`", h.id, p.id),
                    "a place beside it",
                    "move it away from the groove",
                );
            }
        }
        holes.push(Placed {
            hole: h,
            edge: l,
            inside: within && beveled,
        });
    }
    apart::over_the_edge(flat, &holes, ledger);
    apart::meeting(flat, &holes, movables, ledger);
}
