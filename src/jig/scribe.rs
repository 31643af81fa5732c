//! Slots along the edge of a large hole, to scribe it round its pilot before it is sawn or filed.

use super::blank::{Blank, arc};
use crate::design::PrintSpec;
use crate::outline::Loop;
use glam::DVec2;
use std::f64::consts::TAU;

/// A finished hole of this size or more may get slots, mm.
pub(super) const LEAST: f64 = 14.0;
/// Their width, mm: the point of a scriber.
const SLOT: f64 = 1.2;
/// Width of the bridges that hold the middle, mm.
const BRIDGE: f64 = 5.0;

/// A large hole that may get a ring: its id, its place in the frame of use, and its finished size.
pub(super) type Large = (String, DVec2, f64);

/// Adds the ring of each; those that find no room are named in the notes. Only once all guides are there: a ring keeps off every one of them.
pub(super) fn rings(blank: &mut Blank, print: &PrintSpec, large: &[Large]) {
    for (id, at, finished) in large {
        if !ring(blank, print, *at, *finished) {
            let note = format!("{id}: no room for its scribing ring");
            blank.notes.push(note);
        }
    }
}

/// Adds the slots of a finished hole round its guide; `false`, and nothing is added, where another guide, an opening or the plate's edge
/// is too near.
fn ring(blank: &mut Blank, print: &PrintSpec, at: DVec2, finished: f64) -> bool {
    let (r, wall) = (finished / 2.0, print.wall());
    let others = |b: &&super::Bore| b.at.distance(at) > 1e-9;
    let clear = (blank.bores.iter().filter(others))
        .all(|b| (b.at.distance(at) - r).abs() > b.d / 2.0 + wall + SLOT)
        && (blank.cuts.iter()).all(|c| c.distance_to_point(at) > r + wall && !c.contains(at))
        && (blank.plate.iter()).any(|p| p.contains(at) && p.distance_to_point(at) > r + wall);
    let own = (blank.bores.iter())
        .find(|b| b.at.distance(at) < 1e-9)
        .map_or(0.0, |b| b.d / 2.0);
    if !clear || own + wall > r - SLOT {
        return false;
    }
    blank.cuts.extend(slots(at, r));
    true
}

/// Three slots with bridges between them, their outer edge on the circle.
fn slots(centre: DVec2, r: f64) -> [Loop; 3] {
    let bridge = (BRIDGE / r).min(0.6);
    [0.0, 1.0, 2.0].map(|k| {
        let from = TAU * k / 3.0 + bridge / 2.0;
        let to = TAU * (k + 1.0) / 3.0 - bridge / 2.0;
        let mut points = arc(centre, r, from, to);
        points.extend(arc(centre, r - SLOT, to, from));
        Loop::polygon(&points)
    })
}
