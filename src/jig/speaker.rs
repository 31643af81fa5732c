//! The baffle's speaker bolts, from the edge of the cutout.

use super::blank::{Blank, Bore, Pointer, arc, notch, peg_loop};
use super::guide::{self, Guide};
use super::sheet::title_size;
use super::view::View;
use super::{Bench, Draft, Place};
use crate::design::{FlatHole, HoleShape};
use crate::outline::{Loop, Region};
use crate::pose::Pose;
use crate::units;
use glam::DVec2;
use std::f64::consts::PI;

/// Width of plastic inside the cutout and beyond the bolt circle, mm.
const INSIDE: f64 = 14.0;
const OUTSIDE: f64 = 16.0;
/// Half the length of a sector along the bolt circle at least, mm.
const HALF: f64 = 42.0;
const TITLE: &str = "speaker bolts";
/// How far the bung reaches into the cutout at most, mm; the baffle lies flat on its backing.
const DEEPEST: f64 = 6.0;

pub(super) fn drafts(bench: &Bench<'_>, unmade: &mut Vec<String>) -> Vec<Draft> {
    let Some(flat) = bench.design.flat("baffle") else {
        return Vec::new();
    };
    let Some(cutout) = flat.holes.iter().find(|h| h.id == "speaker-cutout") else {
        return Vec::new();
    };
    let HoleShape::Round { d } = cutout.shape else {
        unmade.push("the speaker bolts: the cutout is not round".into());
        return Vec::new();
    };
    let view = View::new(bench.design, flat);
    let centre = view.see(cutout.at);
    let mut bolts: Vec<(&FlatHole, DVec2, Guide)> = Vec::new();
    for h in flat
        .holes
        .iter()
        .filter(|h| h.id.starts_with("speaker-bolt-"))
    {
        let row = guide::row_of(bench, &flat.id, &h.id);
        if let Some(g) = row.and_then(|r| guide::of_row(bench.print, r)) {
            bolts.push((h, view.see(h.at) - centre, g));
        }
    }
    let Some(first) = bolts.first() else {
        return Vec::new();
    };
    let circle = first.1.length();
    let even = bolts
        .iter()
        .all(|b| (b.1.length() - circle).abs() < 1e-6 && b.2 == first.2);
    if !even {
        unmade.push("the speaker bolts: they do not stand on one circle".into());
        return Vec::new();
    }
    let [w, h] = bench.print.room();
    let whole = 2.0 * (circle + outside(&first.2)) / (1.0 - bench.print.shrink) <= w.min(h);
    let down = bench
        .print
        .fence_height
        .unwrap_or((view.thickness - 0.5).clamp(1.0, DEEPEST));
    let r = d / 2.0;
    let mut draft = if whole {
        ring(bench, &bolts, r, circle, down)
    } else {
        sector(bench, &bolts, r, circle, down)
    };
    if whole {
        let way = -view.way.normalize();
        draft.blank.pointers.push(Pointer::datum(way));
    }
    // the frame of use turns with the bolt it stands at
    let places = bolts
        .iter()
        .take(if whole { 1 } else { bolts.len() })
        .map(|(hole, at, _)| {
            let x = if whole { DVec2::X } else { *at / at.length() };
            let frame = Pose::from_axes(x.extend(0.0), x.perp().extend(0.0), centre.extend(0.0));
            let of = if whole { "speaker" } else { &hole.id };
            Place::new(of, &flat.id, view.to_amp.then(&frame))
        })
        .collect();
    draft.places = places;
    guide::with_guides(vec![draft], unmade)
}

/// The jig from its blank; the cutout's centre is air once it is cut, so lines come first.
fn finish(
    bench: &Bench<'_>,
    mut blank: Blank,
    whole: bool,
    d: f64,
    bolts: &[(&FlatHole, DVec2, Guide)],
) -> Draft {
    guide::lengthen(&mut blank, bench.print);
    let face = bench.design.flat("baffle").map(|f| bench.face(f));
    let face = face.unwrap_or_default();
    let cut = format!(
        "Cut and smooth the cutout of {}: the jig centres in it.",
        units::show(d)
    );
    let mut steps = vec![
        "Lay the jig on the speaker's frame first: bolt circles are not standardised. If its holes do not show through the guides, measure the speaker, put it into the file and print again.".to_owned(),
    ];
    if whole {
        steps.push(format!("Before the cutout is cut, scribe its upright centre line on the {face}, long enough to show beyond the jig."));
        steps.push(cut);
        steps.push(format!("Lay the jig on the {face}, its bung in the cutout, and turn it until two of its notches stand on the line and its arrow points towards the datum corner, {}; clamp and drill all pilots.", bench.datum("baffle")));
    } else {
        let ways: Vec<String> = bolts
            .iter()
            .map(|(h, at, _)| {
                let way = at.to_angle().to_degrees();
                format!("{} {} deg", h.id, guide::degrees(way))
            })
            .collect();
        steps.push(format!("Before the cutout is cut, scribe a line from its centre through each bolt's place on the {face}, to beyond the jig. The lines run, counter-clockwise from straight right on the drawing of that face: {}.", ways.join(", ")));
        steps.push(cut);
        steps.push(format!("Lay the jig on the {face}, push its curved bung hard against the edge of the cutout with the notch on the line of {}; clamp the inner lip and drill the pilot. Go on with the next bolt; the jig is the same on both sides of that line, so it has no arrow.", bolts[0].0.id));
        steps.push("Check the diagonals between opposite pilots before you open them.".into());
    }
    Draft {
        name: "speaker-bolts".into(),
        title: TITLE.into(),
        face,
        blank,
        places: Vec::new(),
        steps,
        as_drawn: false,
    }
}

/// Plastic beyond the bolt circle, mm.
fn outside(guide: &Guide) -> f64 {
    (guide.d / 2.0 + 8.0).max(OUTSIDE)
}

fn labels(word: &str, finished: f64) -> Vec<String> {
    let size = guide::size(finished);
    vec![format!("{word}\n{size}"), format!("{word} {size}"), size]
}

fn ring(
    bench: &Bench<'_>,
    bolts: &[(&FlatHole, DVec2, Guide)],
    r: f64,
    circle: f64,
    down: f64,
) -> Draft {
    let print = bench.print;
    let outer = circle + outside(&bolts[0].2);
    let opening = r - INSIDE;
    let mut blank = Blank {
        thickness: print.thickness,
        plate: vec![Region {
            outer: peg_loop(DVec2::ZERO, outer),
            inner: vec![peg_loop(DVec2::ZERO, opening)],
        }],
        below: vec![(
            Region {
                outer: peg_loop(DVec2::ZERO, r - print.bung_play / 2.0),
                inner: vec![peg_loop(DVec2::ZERO, opening)],
            },
            down,
        )],
        ..Blank::default()
    };
    for way in [DVec2::Y, DVec2::NEG_Y, DVec2::X, DVec2::NEG_X] {
        blank.cuts.push(notch(way * (outer - 4.0), way));
    }
    for (h, at, g) in bolts {
        let bore = Bore {
            holes: vec![h.id.clone()],
            at: *at,
            drill: g.drill,
            d: g.d,
            finished: vec![g.finished],
            labels: labels(h.id.trim_start_matches("speaker-"), g.finished),
            ..Bore::default()
        };
        guide::add(&mut blank, print, g, bore);
    }
    finish(bench, blank, true, 2.0 * r, bolts)
}

fn sector(
    bench: &Bench<'_>,
    bolts: &[(&FlatHole, DVec2, Guide)],
    r: f64,
    circle: f64,
    down: f64,
) -> Draft {
    let print = bench.print;
    // beside the notches there is room for the design's name
    let [w, h] = print.room();
    let wanted = title_size(bench, TITLE, "").x + 14.0;
    let (inner, outer) = (r - INSIDE, circle + outside(&bolts[0].2));
    // its outer edge is its longest
    let most = w.min(h) * (1.0 - print.shrink) / 2.0 - 1.0;
    let half = (wanted.max(HALF) / circle)
        .min((most / outer).min(1.0).asin())
        .min(PI / 3.0);
    let piece = |from: f64, to: f64| {
        let mut points = arc(DVec2::ZERO, to, -half, half);
        points.extend(arc(DVec2::ZERO, from, half, -half));
        Region::solid(Loop::polygon(&points))
    };
    let mut blank = Blank {
        thickness: print.thickness,
        plate: vec![piece(inner, outer)],
        // pushed against the edge, so it has the edge's own radius
        below: vec![(piece(inner, r), down)],
        ..Blank::default()
    };
    blank.cuts.push(notch(DVec2::X * (outer - 4.0), DVec2::X));
    let g = &bolts[0].2;
    let bore = Bore {
        holes: bolts.iter().map(|b| b.0.id.clone()).collect(),
        at: DVec2::X * circle,
        drill: g.drill,
        d: g.d,
        finished: vec![g.finished; bolts.len()],
        labels: labels("bolt", g.finished),
        ..Bore::default()
    };
    guide::add(&mut blank, print, g, bore);
    finish(bench, blank, false, 2.0 * r, bolts)
}
