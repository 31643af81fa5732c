//! What no amount of modelling could build: holes outside their part, outlines that cross, too many holes.

use super::flat::{Flat, HoleShape};
use super::ledger::Ledger;
use super::{Design, Limits};
use crate::outline::{self, Loop};

/// Least web between two holes or a hole and an edge that can be modelled at all, mm. How much is wanted is for the checks.
const LEAST_WEB: f64 = 0.05;

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
        holes(flat, ledger);
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

fn holes(flat: &Flat, ledger: &mut Ledger) {
    if let Err(e) = flat.outline.check() {
        ledger.error(
            flat.span.clone(),
            format!("the outline of `{}`: {e}", flat.id),
            "a plain closed outline",
            "",
        );
        return;
    }
    let mut loops: Vec<Loop> = Vec::with_capacity(flat.holes.len() + 1);
    for h in &flat.holes {
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
        if !(within && beveled) {
            let b = flat.outline.bounds();
            ledger.error(
                h.span.clone(),
                format!(
                    "hole `{}` ({}) at {:.1}, {:.1} mm reaches over the edge of `{}`",
                    h.id,
                    h.purpose,
                    h.at.x - b[0].x,
                    h.at.y - b[0].y,
                    flat.id
                ),
                format!(
                    "inside `{}`, {:.1} x {:.1} mm, with material all round",
                    flat.id,
                    b[1].x - b[0].x,
                    b[1].y - b[0].y
                ),
                "move it inwards, or make the part larger",
            );
        }
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
        loops.push(l);
    }
    let refs: Vec<&Loop> = loops.iter().collect();
    let mut crossing: Vec<(usize, usize)> = outline::gaps(&refs, LEAST_WEB)
        .into_iter()
        .filter(|g| g.2 <= LEAST_WEB)
        .map(|(i, j, _)| (i, j))
        .collect();
    crossing.extend(nested(&loops));
    crossing.sort_unstable();
    crossing.dedup();
    let mut told: Vec<(String, String)> = Vec::new();
    for (i, j) in crossing {
        let (a, b) = (&flat.holes[i], &flat.holes[j]);
        // two items on one spot cross in many holes: say it once
        let pair = (a.owner.clone(), b.owner.clone());
        if told.contains(&pair) {
            continue;
        }
        told.push(pair);
        let later = if a.span.start > b.span.start { a } else { b };
        let other = if std::ptr::eq(later, a) { b } else { a };
        ledger.error(
            later.span.clone(),
            format!(
                "holes `{}` and `{}` of `{}` run into each other",
                later.id, other.id, flat.id
            ),
            "material between any two holes",
            format!("move `{}` or `{}`", later.owner, other.owner),
        );
    }
}

/// Pairs of holes of which one lies wholly within the other: their outlines never meet, so no gap tells.
fn nested(loops: &[Loop]) -> Vec<(usize, usize)> {
    let mut boxes: Vec<(usize, [glam::DVec2; 2])> =
        loops.iter().map(Loop::bounds).enumerate().collect();
    boxes.sort_by(|a, b| a.1[0].x.total_cmp(&b.1[0].x));
    let mut out = Vec::new();
    for (k, (i, a)) in boxes.iter().enumerate() {
        for (j, b) in boxes[k + 1..].iter().take_while(|(_, b)| b[0].x <= a[1].x) {
            if b[0].y <= a[1].y
                && a[0].y <= b[1].y
                && (loops[*i].inside(&loops[*j]) || loops[*j].inside(&loops[*i]))
            {
                out.push((*i.min(j), *i.max(j)));
            }
        }
    }
    out
}
