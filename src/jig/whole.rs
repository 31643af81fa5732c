//! All scribed holes of one part in one jig with a fence on both datum edges, on request.

use super::blank::{Blank, Bore, bore_loop, diamond};
use super::guide;
use super::label::Room;
use super::scribe;
use super::view::View;
use super::{Bench, Draft, Place};
use crate::design::{Flat, HoleShape, Marked};
use crate::outline::Region;
use crate::units;
use glam::DVec2;

/// The corner between the two fences stays open this far, mm: the part's corner may be rounded or burred.
const CORNER: f64 = 4.0;
/// Half the size of a window that shows a scribed cross, mm.
const WINDOW: f64 = 5.0;
/// Windows stand at multiples of this from the datum edges, so that their crosses are easily scribed: 10 mm, or 1/2 in.
const ROUND: [f64; 2] = [10.0, 12.7];
/// Two windows nearer to each other than this would tell nothing, mm.
const APART: f64 = 60.0;
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
    let mut large: Vec<scribe::Large> = Vec::new();
    for h in &flat.holes {
        if h.marked != Marked::Scribed {
            elsewhere.push(&h.id);
            continue;
        }
        let place = view.see(h.at);
        if let HoleShape::Cut { outline } = &h.shape {
            // the scrap of an opening takes a screw
            let [low, high] = outline.bounds();
            let room = (high - low).min_element() > SCREW + 8.0 && outline.contains(h.at);
            if room {
                blank.cuts.push(bore_loop(place, SCREW));
            }
            blank.notes.push(format!(
                "{}: no guide for an opening{}",
                h.id,
                if room {
                    "; a screw into its scrap holds the jig"
                } else {
                    ", and no room in it for a screw"
                }
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
            ..Bore::default()
        };
        if guide::add(&mut blank, print, &g, bore) && print.ring && g.finished >= scribe::LEAST {
            large.push((h.id.clone(), place, g.finished));
        }
    }
    // a ring wider than half a tile would leave the joints no place
    let whole = super::finish::on_bed(&blank, print, 1.0 / (1.0 - print.shrink)).is_some();
    let [w, d] = print.room();
    let most = if whole { f64::INFINITY } else { w.min(d) / 2.0 };
    large.retain(|(id, _, finished)| {
        if *finished > most {
            blank.notes.push(format!(
                "{id}: a scribing ring of {} would leave the joints of the tiles no place; strike it with a trammel from its pilot",
                units::show(*finished)
            ));
        }
        *finished <= most
    });
    scribe::rings(&mut blank, print, &large);
    if !elsewhere.is_empty() {
        blank.notes.push(format!(
            "spotted from their parts, not from this jig: {}",
            elsewhere.join(", ")
        ));
    }
    guide::lengthen(&mut blank, print);
    blank.arrow(at(12.0, 12.0), at(3.0, 3.0), print.stroke);
    let crosses = windows(
        &blank,
        way,
        size,
        ROUND[usize::from(bench.design.tools.inch)],
    );
    blank
        .cuts
        .extend(crosses.iter().map(|c| diamond(*c * way, WINDOW)));
    let crosses: Vec<String> = crosses
        .iter()
        .map(|c| format!("x {}, y {}", units::show(c.x), units::show(c.y)))
        .collect();
    let scribed = if crosses.is_empty() {
        blank.notes.push(
            "no room for a window: measure the first pilot before you drill the others".into(),
        );
        String::new()
    } else {
        format!(
            " Scribe a cross from the datum corner at {} before: its lines must show in the corners of the window over it.",
            crosses.join(" and at ")
        )
    };
    let face = tags.map_or("", |s| s.face.as_str());
    let datum = tags.map_or("", |s| s.datum.as_str());
    Draft {
        name: format!("whole-{}", flat.id),
        title: format!("whole {}", flat.id),
        face: bench.face(flat),
        blank,
        places: vec![Place::new(&flat.id, &flat.id, view.to_amp)],
        steps: vec![
            format!("Lay the jig on the {face}. The arrow points to the datum corner: {datum}. Push both fences hard against the two datum edges. Beside each guide stands its hole's name, or its mark in the drill schedule, and the finished size in mm."),
            format!("Check it before you drill: the jig's far edges must stand flush with the part's, {} and {} from the fences.{scribed}", units::show(size.x), units::show(size.y)),
            "Clamp it on opposite corners, drill all pilots, take the jig off, and check the first and the last with a rule from the datum corner.".into(),
        ],
        as_drawn: false,
    }
}

/// Where scribed crosses are looked at, from the datum corner: far out in both directions, and far from there.
fn windows(blank: &Blank, way: DVec2, size: DVec2, step: f64) -> Vec<DVec2> {
    let room = Room::new(blank);
    let half = DVec2::splat(WINDOW);
    let count = |length: f64| (length / step).floor() as u32;
    let mut free: Vec<DVec2> = Vec::new();
    for i in 1..=count(size.x) {
        for k in 1..=count(size.y) {
            let at = DVec2::new(f64::from(i), f64::from(k)) * step;
            if room.free(at * way - half, 2.0 * half) {
                free.push(at);
            }
        }
    }
    let most = |score: &dyn Fn(&DVec2) -> f64| {
        let best = |a: &&DVec2, b: &&DVec2| score(a).total_cmp(&score(b));
        free.iter().max_by(best).copied()
    };
    let Some(first) = most(&|p| p.x + p.y) else {
        return Vec::new();
    };
    let second = most(&|p| p.distance(first)).filter(|p| p.distance(first) >= APART);
    std::iter::once(first).chain(second).collect()
}
