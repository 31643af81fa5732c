//! The feet of transformers and chokes: a flat frame that is set on scribed lines.

use super::blank::{Bore, Pointer, bore_loop, diamond};
use super::guide::{self, Guide};
use super::ring::shortened;
use super::sheet::Sheet;
use super::view::View;
use super::{Bench, Draft, Place};
use crate::assembly::Kind;
use crate::design::{Flat, FlatHole, HoleShape};
use crate::outline::Loop;
use crate::pose::Pose;
use glam::DVec2;

/// Places nearer than this are one, mm.
const SAME: f64 = 1e-4;
/// Plastic from a guide's centre to the edge, mm.
const EDGE: f64 = 10.0;
/// A screw into the scrap of an opening, mm, and the scrap that is left round it.
const SCREW: f64 = 4.5;
const SCRAP: f64 = 5.0;

struct Found {
    of: String,
    part: String,
    face: String,
    to_amp: Pose,
    /// Where the middle lies, from the datum corner.
    middle: DVec2,
    /// The way to the datum corner.
    datum: DVec2,
    feet: Vec<(String, DVec2, Guide)>,
    /// The opening that takes the bell of a drop-through transformer.
    opening: Option<Loop>,
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
                k[0].datum == f.datum
                    && k[0].face == f.face
                    && same_opening(&k[0], &f)
                    && k[0].feet.len() == f.feet.len()
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
    let opening = flat.holes.iter().find_map(|h| match &h.shape {
        HoleShape::Cut { outline } if h.owner == id => {
            let seen = outline.nodes.iter().map(|n| view.see(n.at) - middle);
            let mut points: Vec<DVec2> = seen.collect();
            // seen from behind the corners run the other way
            if Loop::polygon(&points).area() < 0.0 {
                points.reverse();
            }
            Some(Loop::polygon(&points))
        }
        _ => None,
    });
    Some(Found {
        datum: -view.way.normalize(),
        opening,
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
    let reach = f.feet.iter().fold(DVec2::ZERO, |m, s| m.max(s.1.abs()));
    let edge = f
        .feet
        .iter()
        .map(|s| s.2.d / 2.0 + 6.0)
        .fold(EDGE, f64::max);
    let half = (reach + edge).max(DVec2::splat(1.6 * print.letter + edge));
    let title = format!("feet {}", shortened(&names));
    let mut sheet = Sheet::new(bench, &title, &f.face, half, 5.5);
    let half = sheet.half;
    // the window's corners stand on the scribed lines
    let clear = f
        .feet
        .iter()
        .map(|s| s.1.x.abs() + s.1.y.abs())
        .fold(f64::INFINITY, f64::min)
        - edge;
    // over an opening it leaves room for screws into the scrap
    let most = if f.opening.is_some() { 9.0 } else { 25.0 };
    let window = (half.min_element() - 8.0).min(clear).clamp(3.0, most);
    sheet.blank.cuts.push(diamond(DVec2::ZERO, window));
    // a foot on the axis wants its plastic
    sheet.notches(|tip| f.feet.iter().all(|s| s.1.distance(tip) > s.2.d / 2.0 + 3.5));
    let mut blank = sheet.blank;
    let screws = scrap_screws(f, window);
    blank
        .cuts
        .extend(screws.iter().map(|at| bore_loop(*at, SCREW)));
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
            ..Bore::default()
        };
        guide::add(&mut blank, print, g, bore);
    }
    guide::lengthen(&mut blank, print);
    blank.pointers.push(Pointer::datum(f.datum));
    let places = guide::places(kind.iter().map(|k| (k.of.as_str(), k.middle)));
    Draft {
        name: format!("feet-{}", f.of),
        title,
        face: f.face.clone(),
        blank,
        places: kind.iter().map(|k| Place::new(&k.of, &k.part, k.to_amp)).collect(),
        steps: vec![
            "Lay the jig on the part in hand first: feet are not standardised. If its holes do not show through all guides, measure the part, put it into the file and print again.".into(),
            format!("Scribe the two centre lines of the part on the marked face, from the datum corner: {places}."),
            format!("Lay the jig, letters up, with the corners of its window and its notches on the lines, the letters upright as on the plate's drawing: the arrow points to the datum corner, {}. {}", bench.datum(&f.part), if screws.is_empty() {
                "Clamp it."
            } else {
                "Clamp it, or drive two screws through its other two holes into the scrap of the opening and the board below, before the opening is cut."
            }),
            guide::drilling(&f.feet[0].2, f.feet.len()),
        ],
        as_drawn: false,
    }
}

/// Whether the scrap of one is that of the other.
fn same_opening(a: &Found, b: &Found) -> bool {
    match (&a.opening, &b.opening) {
        (Some(p), Some(q)) => {
            p.nodes.len() == q.nodes.len()
                && (p.nodes.iter().zip(&q.nodes)).all(|(m, n)| m.at.distance(n.at) < SAME)
        }
        (p, q) => p.is_none() && q.is_none(),
    }
}

/// Two places beside the window where a screw goes through the scrap of the opening, clear of all guides; none without an opening.
fn scrap_screws(found: &Found, window: f64) -> Vec<DVec2> {
    let Some(opening) = &found.opening else {
        return Vec::new();
    };
    let off = window + SCREW / 2.0 + 3.0;
    [DVec2::X, DVec2::Y]
        .map(|way| [way * off, -way * off])
        .into_iter()
        .find(|pair| {
            pair.iter().all(|at| {
                opening.contains(*at)
                    && opening.distance_to_point(*at) > SCREW / 2.0 + SCRAP
                    && (found.feet.iter())
                        .all(|f| f.1.distance(*at) > (f.2.d + SCREW) / 2.0 + SCRAP)
            })
        })
        .map_or(Vec::new(), |pair| pair.to_vec())
}
