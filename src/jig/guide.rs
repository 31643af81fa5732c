//! Which drill runs in which bore, and how long its guide is.

use super::blank::{Blank, Bore};
use super::{Bench, Draft};
use crate::design::PrintSpec;
use crate::shop::{Act, Row};
use crate::units;
use glam::DVec2;

/// A guide is at least this many drill diameters long (common practice: 1.5 to 2).
pub(super) const GUIDE: f64 = 1.5;

/// A printed guide is for drills up to this, mm; what is larger gets a pilot of [`PILOT`] (common practice: a larger drill melts the bore).
/// The schedule's largest pilot is no larger.
const LARGEST: f64 = 4.2;
/// Pilot drill, mm (common practice).
const PILOT: f64 = 3.0;

/// Sizes of a guide.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Guide {
    /// The drill that runs in it.
    pub drill: f64,
    /// The bore as drawn.
    pub d: f64,
    /// The finished hole.
    pub finished: f64,
    /// Whether a metal bush does the guiding.
    pub bushed: bool,
}

/// The guide of a scheduled hole; `None` for openings that are not round.
pub(super) fn of_row(print: &PrintSpec, row: &Row) -> Option<Guide> {
    let finished = row.diameter()?;
    let first = (row.steps.iter())
        .find(|s| matches!(s.act, Act::Pilot | Act::Open | Act::Final) && s.d > 0.0)
        .map_or(finished, |s| s.d);
    let first = if first > LARGEST { PILOT } else { first };
    // a pilot is never larger than its hole; the schedule's own drill may be, by what a clearance hole forgives
    let asked = print.bush.map(|b| b.inside).or(print.pilot);
    let drill = asked.map_or(first, |a| a.min(finished));
    let bush = print.bush.filter(|b| (b.inside - drill).abs() < 1e-9);
    Some(Guide {
        drill,
        d: bush.map_or(drill, |b| b.outside) + print.growth,
        finished,
        bushed: bush.is_some(),
    })
}

/// The scheduled row of a hole.
pub(super) fn row_of<'d>(bench: &Bench<'d>, part: &str, hole: &str) -> Option<&'d Row> {
    bench
        .schedules
        .iter()
        .find(|s| s.part == part)?
        .rows
        .iter()
        .find(|r| r.id == hole)
}

/// `2.8` or `12.7`: as short as two digits allow.
pub(super) fn size(d: f64) -> String {
    let text = format!("{d:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

/// Adds a bore, unless another is too near: then it is left out and named.
pub(super) fn add(blank: &mut Blank, print: &PrintSpec, guide: &Guide, bore: Bore) -> bool {
    let near = blank
        .bores
        .iter()
        .find(|b| b.at.distance(bore.at) < (b.d + bore.d) / 2.0 + print.wall());
    if let Some(other) = near {
        let note = format!(
            "the guide of {} would stand {:.1} mm from that of {}, less than a wall of {:.1} mm: left out",
            bore.holes.join(", "),
            bore.at.distance(other.at),
            other.holes.join(", "),
            print.wall()
        );
        blank.notes.push(note);
        return false;
    }
    let asked = print.bush.map(|b| b.inside).or(print.pilot);
    if let Some(asked) = asked.filter(|a| *a > guide.finished + 1e-9) {
        blank.notes.push(format!(
            "the pilot of {asked:.2} mm is larger than {} ({:.2} mm): its guide is for a {:.2} mm drill",
            bore.holes.join(", "),
            guide.finished,
            guide.drill
        ));
    }
    blank.bores.push(bore);
    true
}

/// Makes every printed guide long enough: by raised bushes on a flat jig; by a thicker plate where something hangs below, because
/// both faces cannot stand on the bed.
pub(super) fn lengthen(blank: &mut Blank, print: &PrintSpec) {
    let bushed = |b: &Bore| {
        print
            .bush
            .is_some_and(|m| (b.d - m.outside - print.growth).abs() < 1e-9)
    };
    let wanted = |b: &Bore| if bushed(b) { 0.0 } else { GUIDE * b.drill };
    let most = blank.bores.iter().map(wanted).fold(0.0, f64::max);
    let most = blank
        .cross
        .iter()
        .map(|c| GUIDE * c.drill)
        .fold(most, f64::max);
    if most <= blank.thickness + 1e-9 {
        return;
    }
    let top = (most * 5.0).ceil() / 5.0;
    if blank.work_side_up() {
        blank.notes.push(format!(
            "the plate is {top:.1} mm thick instead of {:.1}: a guide is 1.5 drill diameters long, and no bush can be raised on a jig that is printed on its top",
            blank.thickness
        ));
        blank.thickness = top;
        return;
    }
    let (thickness, wall) = (blank.thickness, (1.5 * print.wall()).max(2.0));
    blank.bushes = blank
        .bores
        .iter()
        .filter(|b| wanted(b) > thickness)
        .map(|b| (b.at, b.d / 2.0 + wall))
        .collect();
    blank.bush_top = top;
}

/// How the pilots of a jig are drilled, each pinned by the one before. A screw that just passes clamps the jig, too (ISO 261: M3 is 3.0 mm);
/// one with play would not hold its place.
pub(super) fn drilling(first: &Guide, count: usize) -> String {
    let pin = if (3.0..3.1).contains(&first.drill) {
        "an M3 screw with its nut, or a spare drill of the same size,"
    } else {
        "a spare drill of the same size, as a pin,"
    };
    let then = match count {
        0 | 1 => return "Drill its pilot.".to_owned(),
        2 => "drill the other",
        _ => "drill the one across from it, pin that too, then drill the others",
    };
    format!("Drill one pilot, put {pin} through jig and part, then {then}.")
}

/// Where things stand, from the datum corner: `V1 at x ..., y ...; V2 at ...`.
pub(super) fn places<'a>(all: impl Iterator<Item = (&'a str, DVec2)>) -> String {
    let one = |(id, at): (&str, DVec2)| {
        let [x, y] = [at.x, at.y].map(units::show);
        format!("{id} at x {x}, y {y}")
    };
    all.map(one).collect::<Vec<_>>().join("; ")
}

/// `180` or `22.5`: a direction in degrees from 0 up to 360, to a tenth.
pub(super) fn degrees(angle: f64) -> String {
    let tenths = (angle * 10.0).round().rem_euclid(3600.0);
    format!("{}", tenths / 10.0)
}

/// How deep a fence or bung may hang on a part of that thickness.
pub(super) fn hang(print: &PrintSpec, thickness: f64) -> f64 {
    print
        .fence_height
        .unwrap_or((thickness - 0.3).clamp(1.0, 8.0))
}

/// An upright rectangle through two opposite corners.
pub(super) fn rect(a: DVec2, b: DVec2) -> crate::outline::Loop {
    crate::outline::Loop::rect(a.min(b), a.max(b))
}

/// Drafts of one kind, dropping those without any guide left.
pub(super) fn with_guides(drafts: Vec<Draft>, unmade: &mut Vec<String>) -> Vec<Draft> {
    drafts
        .into_iter()
        .filter(|d| {
            let any = !d.blank.bores.is_empty() || !d.blank.cross.is_empty();
            if !any {
                let why = if d.blank.notes.is_empty() {
                    "no hole that a drill starts".to_owned()
                } else {
                    d.blank.notes.join("; ")
                };
                unmade.push(format!("{}: {why}", d.title));
            }
            any
        })
        .collect()
}
