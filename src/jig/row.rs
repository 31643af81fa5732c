//! A row of controls: a bar that hooks on the panel's edge and is indexed by a pin in the hole before.

use super::blank::{Blank, Bore, Pointer, notch};
use super::guide::{self, Guide};
use super::view::View;
use super::{Bench, Draft, Place, scribe};
use crate::assembly::Kind;
use crate::design::{Datum, Flat, HoleShape};
use crate::outline::Region;
use crate::pose::Pose;
use crate::units;
use glam::DVec2;

/// Holes whose heights differ by less stand in one row, and pitches that differ by less are one, mm. A tenth of a jig's own error.
const SAME: f64 = 0.01;
/// More pitches than this are no row: the whole panel wants a jig.
const MOST_PITCHES: usize = 4;

struct One {
    id: String,
    at: DVec2,
    guide: Guide,
}

pub(super) fn drafts(bench: &Bench<'_>, unmade: &mut Vec<String>) -> Vec<Draft> {
    let mut out = Vec::new();
    for flat in &bench.design.flats {
        if flat.kind == Kind::Panel {
            out.extend(of_panel(bench, flat, unmade));
        }
    }
    guide::with_guides(out, unmade)
}

fn of_panel(bench: &Bench<'_>, flat: &Flat, unmade: &mut Vec<String>) -> Vec<Draft> {
    let view = View::new(bench.design, flat);
    let mut ones: Vec<One> = Vec::new();
    for c in &bench.design.controls {
        let round = |shape: &HoleShape| matches!(shape, HoleShape::Round { .. });
        let Some(h) = flat.holes.iter().find(|h| h.id == c.id && round(&h.shape)) else {
            continue;
        };
        let row = guide::row_of(bench, &flat.id, &h.id);
        if let Some(g) = row.and_then(|r| guide::of_row(bench.print, r)) {
            ones.push(One {
                id: h.id.clone(),
                at: view.see(h.at),
                guide: g,
            });
        }
    }
    ones.sort_by(|a, b| {
        (a.at.y.total_cmp(&b.at.y))
            .then((a.at.x * view.way.x).total_cmp(&(b.at.x * view.way.x)))
            .then(a.id.cmp(&b.id))
    });
    let mut rows: Vec<Vec<One>> = Vec::new();
    for one in ones {
        match rows.last_mut() {
            Some(row) if (row[0].at.y - one.at.y).abs() < SAME => row.push(one),
            _ => rows.push(vec![one]),
        }
    }
    rows.retain(|r| r.len() > 1);
    let count = rows.len();
    let mut out = Vec::new();
    for (k, mut row) in rows.into_iter().enumerate() {
        row.sort_by(|a, b| (a.at.x * view.way.x).total_cmp(&(b.at.x * view.way.x)));
        // one number for file and title: two rows of a panel stay two
        let number = (count > 1).then_some(k + 1);
        out.extend(draft(bench, flat, &view, &row, number, unmade));
    }
    out
}

fn draft(
    bench: &Bench<'_>,
    flat: &Flat,
    view: &View,
    row: &[One],
    number: Option<usize>,
    unmade: &mut Vec<String>,
) -> Option<Draft> {
    let print = bench.print;
    let way = view.way;
    // each pitch once, with the pairs that have it
    let mut pitches: Vec<(f64, Vec<usize>)> = Vec::new();
    for k in 1..row.len() {
        let pitch = (row[k].at.x - row[k - 1].at.x).abs();
        match pitches.iter_mut().find(|p| (p.0 - pitch).abs() < SAME) {
            Some(p) => p.1.push(k),
            None => pitches.push((pitch, vec![k])),
        }
    }
    if pitches.len() > MOST_PITCHES {
        unmade.push(format!(
            "a row jig for {}: {} different pitches; ask for `whole = [\"{}\"]` in [print] instead",
            flat.id,
            pitches.len(),
            flat.id
        ));
        return None;
    }
    let longest = pitches.iter().map(|p| p.0).fold(0.0, f64::max);
    let y = row[0].at.y.abs();
    // rings of large holes want plastic round them
    let widest = row.iter().map(|o| o.guide.finished / 2.0 + 4.0);
    let widest = widest.fold(12.0, f64::max);
    let least = if print.ring { widest } else { 12.0 };
    let widest = row.iter().map(|o| o.guide.d).fold(0.0, f64::max);
    let end = (widest / 2.0 + 6.0).max(least);
    let over = (2.4 * print.letter + 4.0).max(end);
    let corner = |x: f64, y: f64| DVec2::new(x * way.x, y * way.y);
    let mut blank = Blank {
        thickness: print.thickness,
        plate: vec![Region::solid(guide::rect(
            corner(-end, -print.fence_width),
            corner(longest + end, y + over),
        ))],
        below: vec![(
            Region::solid(guide::rect(
                corner(-end, -print.fence_width),
                corner(longest + end, 0.0),
            )),
            guide::hang(print, view.thickness),
        )],
        ..Blank::default()
    };
    // frame of use: x from the hole before, y from the panel's edge; one drill for all, the smallest pilot of them, so that the pin
    // fits every pilot
    let guides = row.iter().map(|o| &o.guide);
    let smallest = guides.min_by(|a, b| a.drill.total_cmp(&b.drill))?;
    let guide_for = |finished: f64| Guide {
        finished,
        ..smallest.clone()
    };
    let pin = guide_for(row[0].guide.finished);
    // the pin runs in pilots, whatever they are opened to later
    let before: Vec<String> = row[..row.len() - 1].iter().map(|o| o.id.clone()).collect();
    guide::add(
        &mut blank,
        print,
        &pin,
        Bore {
            holes: before,
            at: corner(0.0, y),
            drill: pin.drill,
            d: pin.d,
            finished: row[..row.len() - 1]
                .iter()
                .map(|o| o.guide.finished)
                .collect(),
            labels: vec!["pin".into()],
            ..Bore::default()
        },
    );
    let mut large: Vec<scribe::Large> = Vec::new();
    for (pitch, pairs) in &pitches {
        let finished: Vec<f64> = pairs.iter().map(|k| row[*k].guide.finished).collect();
        let one_size = finished.iter().all(|f| (f - finished[0]).abs() < SAME);
        let g = guide_for(finished.iter().copied().fold(f64::INFINITY, f64::min));
        let pitch_text = guide::size(*pitch);
        let mut labels = Vec::new();
        if pairs.len() == 1 {
            labels.push(format!(
                "{}\n{}",
                row[pairs[0]].id,
                guide::size(finished[0])
            ));
        } else if one_size {
            labels.push(format!("next {pitch_text}\n{}", guide::size(finished[0])));
        }
        labels.push(format!("next\n{pitch_text}"));
        labels.push(pitch_text);
        let ring = print.ring && one_size && finished[0] >= scribe::LEAST;
        let at = corner(*pitch, y);
        let wanted = (row[pairs[0]].id.clone(), at, finished[0]);
        let added = guide::add(
            &mut blank,
            print,
            &g,
            Bore {
                // the first place is that of the second hole
                stands: pairs.iter().map(|k| k - 1).collect(),
                holes: pairs.iter().map(|k| row[*k].id.clone()).collect(),
                at,
                drill: g.drill,
                d: g.d,
                finished,
                labels,
            },
        );
        if added && ring {
            large.push(wanted);
        }
    }
    scribe::rings(&mut blank, print, &large);
    // the scribed line of the first hole shows over the pin
    blank
        .cuts
        .push(notch(corner(0.0, y + over - 2.5), DVec2::new(0.0, way.y)));
    guide::lengthen(&mut blank, print);
    blank.pointers.push(Pointer::datum(-way.normalize()));
    let sizes: Vec<String> = row
        .iter()
        .map(|o| format!("{} {}", o.id, guide::size(o.guide.finished)))
        .collect();
    let pairs: Vec<String> = (1..row.len())
        .map(|k| {
            format!(
                "{} from {} at {}",
                row[k].id,
                row[k - 1].id,
                guide::size((row[k].at.x - row[k - 1].at.x).abs())
            )
        })
        .collect();
    // the frames in which each guide stands over its hole
    let places = (1..row.len())
        .map(|k| {
            let before = Pose::shift(DVec2::new(row[k - 1].at.x, 0.0).extend(0.0));
            Place::new(&row[k].id, &flat.id, view.to_amp.then(&before))
        })
        .collect();
    let (name, title) = match number {
        Some(n) => (
            format!("row-{}-{n}", flat.id),
            format!("row {} {n}", flat.id),
        ),
        None => (format!("row-{}", flat.id), format!("row {}", flat.id)),
    };
    Some(Draft {
        name,
        title,
        face: bench.face(flat),
        blank,
        places,
        steps: vec![
            format!(
                "Scribe the first hole, {}, {} from the datum corner along the edge. Hook the fence on the panel's {} edge, the arrow towards the datum corner ({}), with that line under the notch over the bore marked PIN, clamp, and drill its pilot through the bore marked PIN.",
                row[0].id,
                units::show(row[0].at.x.abs()),
                if flat.datum == Datum::LowHigh { "upper" } else { "lower" },
                bench.datum(&flat.id)
            ),
            "Move on: a spare drill of the pilot's size, or a screw that just passes, through the bore PIN into the pilot just drilled, the fence hard against the edge, clamp, drill the next pilot.".into(),
            format!("In this order: {} mm.", pairs.join("; ")),
            format!("Each step adds its own error of about 0.1 mm to the place of all that follow: after the last, measure from the datum corner. Only then open the pilots: {} mm.", sizes.join(", ")),
        ],
        as_drawn: false,
    })
}
