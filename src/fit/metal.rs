//! What is left of plate, panels and angles round their holes.

use super::doc::Doc;
use super::report::{Finding, Severity};
use crate::assembly::Kind;
use crate::design::{Design, Flat, FlatHole, HoleShape, cone_depth};
use crate::outline::{self, Loop};
use crate::units;
use glam::{DVec2, DVec3};

pub(super) const DOC: Doc = Doc {
    ids: &["hole-edge", "hole-web", "hole-pitch", "countersink-deep"],
    title: "Metal round holes",
    does: "For plate, panels, angles and brackets: a screw's hole stands 1.5 times the screw's diameter or more from the sheet's edge, centre to \
edge (`hole-edge`); any other hole or cut-out, and any two holes of different items, leave a web of one sheet thickness or more \
(`hole-web`); screws stand three diameters apart or more, centre to centre (`hole-pitch`). A countersink is no deeper than its sheet \
(`countersink-deep`). Holes that one part brings with it \
(a socket and its screws) are its maker's matter and not compared.",
    why: "A thin web bends under the punch and tears under load; after drilling there is no undo.",
    example: "`VOLUME leaves 1.4 mm of panel-rear to its edge, 3.0 mm wanted`",
    change: "move the item, a smaller screw, a wider leg or a higher panel.",
    rests_on: "edge distance 2 diameters is usual (FAA AC 43.13, as copied); 1.5 is the least that aluminium design rules let pass for bolts (from \
memory); pitch of 3 diameters published for rivets (as copied); web of one sheet thickness: common practice, no published source; countersink: arithmetic on the catalogue's heads.",
};

/// Centre of a screw's hole to the edge, in diameters of the screw.
const EDGE: f64 = 1.5;

/// Between screws' centres, in diameters.
const PITCH: f64 = 3.0;

/// Sums of a few hundred mm round by less than this, mm.
const ROUNDING: f64 = 1e-6;

const WEB_SOURCE: &str = "common practice: a web of one sheet thickness";
const EDGE_SOURCE: &str = "1.5 diameters: aluminium design rules for bolts, from memory; 2 is usual (FAA AC 43.13, as copied)";
const PITCH_SOURCE: &str = "3 diameters: published for rivets, as copied";

pub(super) fn of_design(design: &Design) -> Vec<Finding> {
    let mut out = Vec::new();
    let metal = |f: &&Flat| matches!(f.kind, Kind::Plate | Kind::Panel);
    for flat in design.flats.iter().filter(metal) {
        of_flat(design, flat, &mut out);
    }
    of_angles(design, &mut out);
    of_countersinks(design, &mut out);
    out
}

/// The diameter of the screw that a hole is for.
fn screw_of(design: &Design, hole: &FlatHole) -> Option<f64> {
    design
        .fasteners
        .iter()
        .find(|f| f.id == hole.id)
        .map(|f| f.row.major)
}

pub(super) fn warning(
    id: &str,
    about: Vec<String>,
    at: DVec3,
    [measured, wanted]: [f64; 2],
    text: String,
    hint: String,
    source: &str,
) -> Finding {
    Finding::new(id, Severity::Warning, about, at, (measured, wanted, "mm"))
        .says(text, hint, source)
}

fn of_flat(design: &Design, flat: &Flat, out: &mut Vec<Finding>) {
    let screws: Vec<Option<f64>> = flat.holes.iter().map(|h| screw_of(design, h)).collect();
    let holes: Vec<Loop> = flat.holes.iter().map(FlatHole::edge).collect();
    let loops: Vec<&Loop> = std::iter::once(&flat.outline).chain(&holes).collect();
    let at = |p: DVec2| flat.pose.point(p.extend(flat.thickness));
    let widest = screws.iter().flatten().copied().fold(0.0, f64::max);
    let mut told: Vec<[&str; 2]> = Vec::new();
    for (i, j, gap) in outline::gaps(&loops, flat.thickness.max(widest * PITCH)) {
        let b = &flat.holes[j - 1];
        if i == 0 {
            if screws[j - 1].is_none() && gap < flat.thickness - ROUNDING {
                out.push(warning(
                    "hole-web",
                    vec![b.id.clone(), flat.id.clone()],
                    at(b.at),
                    [gap, flat.thickness],
                    format!(
                        "{} leaves {} of {} to its edge, {} wanted",
                        b.id,
                        units::show(gap),
                        flat.id,
                        units::show(flat.thickness)
                    ),
                    format!("move {} inwards", b.owner),
                    WEB_SOURCE,
                ));
            }
            continue;
        }
        let a = &flat.holes[i - 1];
        // what two items do to each other is told once
        if a.owner == b.owner || told.contains(&[&a.owner, &b.owner]) {
            continue;
        }
        let about = || vec![b.id.clone(), a.id.clone()];
        let middle = at(a.at.midpoint(b.at));
        let before = out.len();
        if gap < flat.thickness - ROUNDING {
            out.push(warning(
                "hole-web",
                about(),
                middle,
                [gap, flat.thickness],
                format!(
                    "{} of {} is left between {} and {}, {} wanted",
                    units::show(gap),
                    flat.id,
                    b.id,
                    a.id,
                    units::show(flat.thickness)
                ),
                format!("move {} or {}", b.owner, a.owner),
                WEB_SOURCE,
            ));
        } else if let (Some(d), Some(e)) = (screws[i - 1], screws[j - 1]) {
            let (is, want) = (a.at.distance(b.at), PITCH * d.max(e));
            if is < want - ROUNDING {
                out.push(warning(
                    "hole-pitch",
                    about(),
                    middle,
                    [is, want],
                    format!(
                        "{} between the middles of {} and {} in {}, {} wanted",
                        units::show(is),
                        b.id,
                        a.id,
                        flat.id,
                        units::show(want)
                    ),
                    format!("move {} or {}", b.owner, a.owner),
                    PITCH_SOURCE,
                ));
            }
        }
        if out.len() > before {
            told.push([&a.owner, &b.owner]);
        }
    }
    // a row of screws shares its gauge line: told once, at the worst
    let mut short: Vec<(f64, f64, &FlatHole)> = (flat.holes.iter().zip(&screws))
        .filter_map(|(h, screw)| Some((flat.outline.distance_to_point(h.at), (*screw)? * EDGE, h)))
        .filter(|(is, want, _)| *is < want - ROUNDING)
        .collect();
    short.sort_by(|x, y| (x.0 - x.1).total_cmp(&(y.0 - y.1)));
    if let Some(&(is, want, h)) = short.first() {
        let mut worst = hole_edge(&h.id, &flat.id, at(h.at), is, want);
        if short.len() > 1 {
            worst
                .text
                .push_str(&format!("; so are {} more", short.len() - 1));
        }
        out.push(worst);
    }
}

fn hole_edge(hole: &str, part: &str, at: DVec3, is: f64, want: f64) -> Finding {
    warning(
        "hole-edge",
        vec![hole.to_owned(), part.to_owned()],
        at,
        [is, want],
        format!(
            "the middle of {hole} is {} from the edge of {part}, {} wanted",
            units::show(is),
            units::show(want)
        ),
        "a smaller screw, a wider leg, or move it inwards".into(),
        EDGE_SOURCE,
    )
}

/// Holes on the gauge lines of angles and brackets: to the leg's edge and to the ends.
fn of_angles(design: &Design, out: &mut Vec<Finding>) {
    for a in &design.angles {
        let legs = [(&a.plate_leg, true), (&a.panel_leg, false)];
        let worst = legs
            .iter()
            .flat_map(|(leg, on_plate)| leg.iter().map(move |h| (h, *on_plate)))
            .filter_map(|(&(z, d), on_plate)| {
                // the screw is a little slimmer than its hole
                let major = major_of(d);
                let is = (a.leg - a.gauge).min(z).min(a.length - z);
                (is < EDGE * major - ROUNDING).then_some((
                    is - EDGE * major,
                    z,
                    major,
                    is,
                    on_plate,
                ))
            })
            .min_by(|x, y| x.0.total_cmp(&y.0));
        if let Some((_, z, major, is, on_plate)) = worst {
            let across = if on_plate {
                DVec3::new(a.gauge, 0.0, z)
            } else {
                DVec3::new(0.0, a.gauge, z)
            };
            out.push(Finding {
                about: vec![a.id.clone()],
                text: format!(
                    "a screw's hole in {} is {} from the edge, centre to edge, {} wanted",
                    a.id,
                    units::show(is),
                    units::show(EDGE * major)
                ),
                ..hole_edge("", &a.id, a.pose.point(across), is, EDGE * major)
            });
        }
    }
}

/// The screw that a clearance hole is drilled for.
fn major_of(hole: f64) -> f64 {
    crate::catalogue::screws()
        .iter()
        .filter(|s| (s.normal - hole).abs() < 1e-6)
        .map(|s| s.major)
        .fold(0.0, f64::max)
        .max(hole * 0.8)
}

/// A countersink deeper than its sheet leaves a knife edge and a loose screw.
fn of_countersinks(design: &Design, out: &mut Vec<Finding>) {
    for f in &design.flats {
        let deep: Vec<(&FlatHole, f64)> = (f.holes.iter())
            .filter_map(|h| match h.shape {
                HoleShape::Countersunk { d, head, angle, .. } => {
                    Some((h, cone_depth(d, head, angle)))
                }
                _ => None,
            })
            .filter(|(_, cone)| *cone > f.thickness)
            .collect();
        // a row of like screws is told once, at the deepest
        let Some(&(h, cone)) = deep.iter().reduce(|a, b| if b.1 > a.1 { b } else { a }) else {
            continue;
        };
        let more = match deep.len() - 1 {
            0 => String::new(),
            n => format!("; so do {n} more"),
        };
        out.push(warning(
            "countersink-deep",
            vec![h.id.clone(), f.id.clone()],
            f.pose.point(h.at.extend(f.thickness)),
            [cone, f.thickness],
            format!(
                "the countersink of {} is {} deep, {} is {} thick: it breaks through{more}",
                h.id,
                units::show(cone),
                f.id,
                units::show(f.thickness)
            ),
            "a smaller screw, a pan head, or thicker sheet".into(),
            "arithmetic on the head sizes of the catalogue",
        ));
    }
}
