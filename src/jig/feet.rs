//! The feet of transformers and chokes: a flat frame that is set on scribed lines.

use super::blank::{Blank, Bore, diamond, notch};
use super::guide::{self, Guide};
use super::ring::shortened;
use super::view::View;
use super::{Bench, Draft, Place};
use crate::assembly::Kind;
use crate::design::{Flat, FlatHole};
use crate::outline::{Loop, Region};
use crate::pose::Pose;
use crate::units;
use glam::DVec2;

/// Places nearer than this are one, mm.
const SAME: f64 = 1e-4;
/// Plastic from a guide's centre to the edge, mm.
const EDGE: f64 = 10.0;

struct Found {
    of: String,
    part: String,
    face: String,
    to_amp: Pose,
    /// Where the middle lies, from the datum corner.
    middle: DVec2,
    feet: Vec<(String, DVec2, Guide)>,
}

pub(super) fn drafts(bench: &Bench<'_>, unmade: &mut Vec<String>) -> Vec<Draft> {
    let mut kinds: Vec<Vec<Found>> = Vec::new();
    for flat in &bench.design.flats {
        if flat.kind != Kind::Plate {
            continue;
        }
        for iron in &bench.design.irons {
            let Some(f) = feet_of(bench, flat, &iron.id) else {
                continue;
            };
            let alike = |k: &&mut Vec<Found>| {
                k[0].feet.len() == f.feet.len()
                    && k[0]
                        .feet
                        .iter()
                        .zip(&f.feet)
                        .all(|(p, q)| p.1.distance(q.1) < SAME && p.2 == q.2)
            };
            match kinds.iter_mut().find(alike) {
                Some(k) => k.push(f),
                None => kinds.push(vec![f]),
            }
        }
    }
    let drafts = kinds.iter().map(|k| draft(bench, k)).collect();
    guide::with_guides(drafts, unmade)
}

fn feet_of(bench: &Bench<'_>, flat: &Flat, id: &str) -> Option<Found> {
    let view = View::new(bench.design, flat);
    let prefix = format!("{id}-screw-");
    let holes: Vec<&FlatHole> = flat
        .holes
        .iter()
        .filter(|h| h.owner == id && h.id.starts_with(&prefix))
        .collect();
    if holes.len() < 2 {
        return None;
    }
    let places: Vec<DVec2> = holes.iter().map(|h| view.see(h.at)).collect();
    let (low, high) = places
        .iter()
        .fold((places[0], places[0]), |(l, h), p| (l.min(*p), h.max(*p)));
    let middle = (low + high) / 2.0;
    let feet = holes
        .iter()
        .zip(&places)
        .filter_map(|(h, at)| {
            let row = guide::row_of(bench, &flat.id, &h.id)?;
            Some((h.id.clone(), *at - middle, guide::of_row(bench.print, row)?))
        })
        .collect();
    Some(Found {
        of: id.to_owned(),
        part: flat.id.clone(),
        face: bench.face(flat),
        to_amp: view.to_amp.then(&Pose::shift(middle.extend(0.0))),
        middle: middle * view.way,
        feet,
    })
}

fn draft(bench: &Bench<'_>, kind: &[Found]) -> Draft {
    let print = bench.print;
    let f = &kind[0];
    let names: Vec<&str> = kind.iter().map(|k| k.of.as_str()).collect();
    let mut blank = Blank {
        thickness: print.thickness,
        ..Blank::default()
    };
    let reach = f.feet.iter().fold(DVec2::ZERO, |m, s| m.max(s.1.abs()));
    let edge = f
        .feet
        .iter()
        .map(|s| s.2.d / 2.0 + 6.0)
        .fold(EDGE, f64::max);
    let half = (reach + edge).max(DVec2::splat(1.6 * print.letter + edge));
    let title = format!("feet {}", shortened(&names));
    let strip = bench.title_size(&title, &f.face);
    let half = half.max(DVec2::new(strip.x / 2.0 + 2.0, 0.0));
    // the notch in the middle of the edge takes the first of it
    let top = half.y + strip.y + 5.5;
    blank.title_strip = true;
    blank.plate = vec![Region::solid(Loop::rect(-half, DVec2::new(half.x, top)))];
    // the window's corners stand on the scribed lines
    let clear = f
        .feet
        .iter()
        .map(|s| s.1.x.abs() + s.1.y.abs())
        .fold(f64::INFINITY, f64::min)
        - edge;
    let window = (half.min_element() - 8.0).min(clear).clamp(3.0, 25.0);
    blank.cuts.push(diamond(DVec2::ZERO, window));
    for (way, h) in [
        (DVec2::X, half.x),
        (DVec2::NEG_X, half.x),
        (DVec2::Y, top),
        (DVec2::NEG_Y, half.y),
    ] {
        // a foot on the axis wants its plastic
        let tip = way * (h - 2.5);
        if f.feet.iter().all(|s| s.1.distance(tip) > s.2.d / 2.0 + 3.5) {
            blank.cuts.push(notch(tip, way));
        }
    }
    for (k, (_, at, g)) in f.feet.iter().enumerate() {
        let size = guide::size(g.finished);
        let bore = Bore {
            holes: kind.iter().map(|one| one.feet[k].0.clone()).collect(),
            at: *at,
            drill: g.drill,
            d: g.d,
            finished: vec![g.finished; kind.len()],
            labels: vec![
                format!("screw-{}\n{size}", k + 1),
                format!("{} {size}", k + 1),
                size,
            ],
        };
        guide::add(&mut blank, print, g, bore);
    }
    guide::lengthen(&mut blank, print);
    // up on the plate's drawing is its rear edge
    let side = half.x - 2.6 * print.stroke - 1.0;
    let tips = [half.y, 0.55 * half.y, -0.25 * half.y, 0.1 * half.y];
    let clear = |tip: &DVec2| {
        f.feet
            .iter()
            .all(|s| s.1.distance(*tip - DVec2::Y * 4.0) > 9.0)
    };
    let tips = tips.map(|y| DVec2::new(side, y + 4.0));
    if let Some(tip) = tips.into_iter().find(clear) {
        blank.arrow(tip - DVec2::Y * 8.0, tip, print.stroke);
    }
    let places: Vec<String> = kind
        .iter()
        .map(|k| {
            format!(
                "{} at x {}, y {}",
                k.of,
                units::show(k.middle.x),
                units::show(k.middle.y)
            )
        })
        .collect();
    Draft {
        name: format!("feet-{}", f.of),
        title,
        face: f.face.clone(),
        blank,
        places: kind.iter().map(|k| Place::new(&k.of, &k.part, k.to_amp)).collect(),
        steps: vec![
            "Lay the jig on the part in hand first: feet are not standardised. If its holes do not show through all guides, measure the part, put it into the file and print again.".into(),
            format!("Scribe the two centre lines of the part on the marked face, from the datum corner: {}.", places.join("; ")),
            "Lay the jig, letters up, with the corners of its window and its notches on the lines, the letters upright as on the plate's drawing: the arrow points to the plate's rear edge. Clamp it.".into(),
            "Drill one pilot, put a spare drill of the same size through jig and plate as a pin, drill the one across from it, pin that too, then the others.".into(),
        ],
        as_drawn: false,
    }
}
