//! All scribed holes of one part in one jig with a fence on both datum edges, on request.

use super::blank::{Blank, Bore, arc, bore_loop};
use super::guide;
use super::view::View;
use super::{Bench, Draft, Place};
use crate::design::{Flat, HoleShape, Marked};
use crate::outline::{Loop, Region};
use crate::units;
use glam::DVec2;
use std::f64::consts::TAU;

/// The corner between the two fences stays open this far, mm: the part's corner may be rounded or burred.
const CORNER: f64 = 4.0;
/// A finished hole of this size or more may get slots to scribe it, mm.
const SCRIBED: f64 = 14.0;
/// Width of those slots: the point of a scriber, mm.
const SLOT: f64 = 1.2;
/// A screw into the scrap of an opening, mm.
const SCREW: f64 = 4.5;

pub(super) fn drafts(bench: &Bench<'_>, unmade: &mut Vec<String>) -> Vec<Draft> {
    let mut out = Vec::new();
    for id in &bench.print.whole {
        if let Some(flat) = bench.design.flat(id) {
            out.push(draft(bench, flat));
        }
    }
    guide::with_guides(out, unmade)
}

fn draft(bench: &Bench<'_>, flat: &Flat) -> Draft {
    let print = bench.print;
    let view = View::new(bench.design, flat);
    let (way, far, w) = (view.way, view.far, print.fence_width);
    let at = |x: f64, y: f64| DVec2::new(x, y) * way;
    let size = far.abs();
    let down = guide::hang(print, view.thickness);
    let mut blank = Blank {
        thickness: print.thickness,
        plate: vec![Region::solid(guide::rect(at(-w, -w), far))],
        below: vec![
            (
                Region::solid(guide::rect(at(-w, CORNER), at(0.0, size.y))),
                down,
            ),
            (
                Region::solid(guide::rect(at(CORNER, -w), at(size.x, 0.0))),
                down,
            ),
        ],
        ..Blank::default()
    };
    let tags = bench.schedules.iter().find(|s| s.part == flat.id);
    let mut elsewhere: Vec<&str> = Vec::new();
    for h in &flat.holes {
        if h.marked != Marked::Scribed {
            elsewhere.push(&h.id);
            continue;
        }
        let place = view.see(h.at);
        if let HoleShape::Cut { outline } = &h.shape {
            // the scrap of an opening takes a screw
            let [low, high] = outline.bounds();
            if (high - low).min_element() > SCREW + 8.0 && outline.contains(h.at) {
                blank.cuts.push(bore_loop(place, SCREW));
            }
            blank.notes.push(format!(
                "{}: no guide for an opening; a screw into its scrap holds the jig",
                h.id
            ));
            continue;
        }
        let row = tags.and_then(|s| s.rows.iter().find(|r| r.id == h.id));
        let Some((row, g)) = row.and_then(|r| Some((r, guide::of_row(print, r)?))) else {
            continue;
        };
        // the jig ends where the part ends
        let edge = (size - place.abs()).min_element() - g.d / 2.0;
        if edge < print.wall() {
            blank.notes.push(format!(
                "{} stands so near the far edge that its guide would break out: left out",
                h.id
            ));
            continue;
        }
        let text = guide::size(g.finished);
        let bore = Bore {
            holes: vec![h.id.clone()],
            at: place,
            drill: g.drill,
            d: g.d,
            finished: vec![g.finished],
            labels: vec![
                format!("{}\n{text}", h.id),
                format!("{}\n{text}", row.tag),
                format!("{} {text}", row.tag),
                row.tag.clone(),
            ],
        };
        if guide::add(&mut blank, print, &g, bore) && print.ring && g.finished >= SCRIBED {
            let slots = ring_slots(place, g.finished / 2.0);
            let clear = slots.iter().all(|s| {
                blank.bores.iter().all(|b| {
                    b.at.distance(place) < 1e-9
                        || s.distance_to_point(b.at) > b.d / 2.0 + print.wall()
                })
            });
            if clear {
                blank.cuts.extend(slots);
            } else {
                blank
                    .notes
                    .push(format!("{}: no room for its scribing ring", h.id));
            }
        }
    }
    if !elsewhere.is_empty() {
        blank.notes.push(format!(
            "spotted from their parts, not from this jig: {}",
            elsewhere.join(", ")
        ));
    }
    guide::lengthen(&mut blank, print);
    blank.arrow(at(12.0, 12.0), at(3.0, 3.0), print.stroke);
    let face = tags.map_or("", |s| s.face.as_str());
    let datum = tags.map_or("", |s| s.datum.as_str());
    Draft {
        name: format!("whole-{}", flat.id),
        title: format!("whole {}", flat.id),
        face: bench.face(flat),
        blank,
        places: vec![Place {
            of: flat.id.clone(),
            part: flat.id.clone(),
            to_amp: view.to_amp,
        }],
        steps: vec![
            format!("Lay the jig on the {face}. The arrow points to the datum corner: {datum}. Push both fences hard against the two datum edges."),
            format!("Check it before you drill: the jig's far edges must stand flush with the part's, {} and {} from the fences.", units::show(size.x), units::show(size.y)),
            "Clamp it on opposite corners, drill all pilots, take the jig off, and check the first and the last with a rule from the datum corner.".into(),
        ],
        as_drawn: false,
    }
}

/// Three slots along a circle, with bridges between them, their outer edge on the circle.
fn ring_slots(centre: DVec2, r: f64) -> Vec<Loop> {
    let bridge = (5.0 / r).min(0.6);
    (0..3)
        .map(|k| {
            let from = TAU * f64::from(k) / 3.0 + bridge / 2.0;
            let to = TAU * f64::from(k + 1) / 3.0 - bridge / 2.0;
            let mut points = arc(centre, r, from, to);
            points.extend(arc(centre, r - SLOT, to, from));
            Loop::polygon(&points)
        })
        .collect()
}
