//! The chassis with all it carries slides along the grooves from outside to its place.

use super::findings::place;
use super::in_use::{Scene, near};
use super::page::Doc;
use super::report::{Finding, Severity};
use crate::assembly::{Group, Kind, Part};
use crate::measure::Swept;
use crate::pose::Pose;
use crate::units;
use glam::DVec3;
use rayon::prelude::*;
use std::collections::BTreeMap;

pub(super) const DOC: Doc = Doc {
    ids: &["slide", "slide-rub", "slide-board-off", "slide-knobs-after"],
    title: "Sliding the chassis in",
    does: "Carries everything that moves with the chassis along the grooves from outside the cabinet to its place, from the rear or the \
front as `chassis.enters` says, tubes fitted, and measures it against everything that stays: boards, cleats, corner blocks, retaining \
blocks, speaker, screws of feet and handle. What hits is an error; what passes nearer than 4 mm a warning; plate, panels and \
angles with their screws need 0.3 mm beside wood and covering. A back board in the way is a note that it must be off, a knob in \
the way a note that it goes on after. Retaining screws and brackets go in after the chassis and are left out. Where nothing is \
short, a note tells the tightest place, if it is nearer than 6 mm.",
    why: "A tube that stands clear of the magnet when seated may have to pass under its rim to get there.",
    example: "`V1 hits speaker-magnet while the chassis slides in, 62.0 mm before it is seated`: the figure measured is that \
remaining way.",
    change: "move the part, lower the plate, or choose the other entry; where a gap is meant, `[[clearance]]` with the two kinds sets what is \
wanted.",
    rests_on: "4 mm for what slides past and 0.3 mm play of the frame: common practice, no published source.",
};

/// Wanted between what slides and what stays, mm.
const WANTED: f64 = 4.0;

/// The tightest place is told if it is nearer than this, mm.
const SPOKEN_OF: f64 = 6.0;

/// Wanted beside the plate, panels and angles, mm: the play that lets them slide at all.
const PLAY: f64 = 0.3;

/// What touches on its way and is free when it is moved aside by this much only rubs, mm.
const ASIDE: f64 = 0.1;

const SOURCE: &str = "common practice";

/// A moving part and what it comes too near to.
struct Pass {
    moving: usize,
    fixed: usize,
    wanted: f64,
    clearance: f64,
    /// Way left to the seat, mm.
    left: f64,
    at: DVec3,
    hits: bool,
}

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let Some(plate) = scene.design.plate else {
        return Vec::new();
    };
    let parts = &scene.assembly.parts;
    let (moving, staying): (Vec<usize>, Vec<usize>) = (0..parts.len())
        .filter(|&i| parts[i].moves || !fitted_after(&parts[i]))
        .partition(|&i| parts[i].moves);
    let out = if plate.from_rear { DVec3::Y } else { -DVec3::Y };
    // far enough that the last of what moves is clear of all that stays
    let most = |ids: &[usize], dir: DVec3| {
        ids.iter()
            .flat_map(|&i| scene.boxes[i])
            .map(|p| p.dot(dir))
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let length = most(&staying, out) + most(&moving, -out) + 2.0 * WANTED;
    if !length.is_finite() || length <= 0.0 {
        return Vec::new();
    }
    let passes: Vec<Pass> = moving
        .par_iter()
        .flat_map_iter(|&m| of_part(scene, m, &staying, out * length))
        .collect();
    findings(scene, passes)
}

/// What is put in once the chassis is home: the screws and brackets that hold it.
fn fitted_after(p: &Part) -> bool {
    !p.moves && p.group == Group::Chassis
}

/// The frame itself, and what holds it together.
fn is_frame(p: &Part) -> bool {
    matches!(p.kind, Kind::Plate | Kind::Panel | Kind::Angle)
        || (p.group == Group::Chassis && matches!(p.kind, Kind::Screw | Kind::Nut | Kind::Washer))
}

fn is_wood(p: &Part) -> bool {
    matches!(
        p.kind,
        Kind::Board | Kind::Covering | Kind::Cleat | Kind::Baffle | Kind::BackBoard
    )
}

fn wanted(scene: &Scene<'_, '_>, moving: usize, fixed: usize) -> f64 {
    let (a, b) = (&scene.assembly.parts[moving], &scene.assembly.parts[fixed]);
    let own = super::air::own_rule(scene.design, a, b);
    let joined = scene
        .at_rest(moving, fixed)
        .is_some_and(|m| m.joint.is_some());
    match own {
        _ if joined => 0.0,
        Some(mm) => mm,
        None if is_frame(a) && is_wood(b) => PLAY,
        None => WANTED,
    }
}

fn of_part(scene: &Scene<'_, '_>, moving: usize, staying: &[usize], out: DVec3) -> Vec<Pass> {
    let part = &scene.assembly.parts[moving];
    let shape = scene.shape(part);
    let [low, high] = scene.boxes[moving];
    let swept_box = [low.min(low + out), high.max(high + out)];
    let mut swept: Option<Swept<'_, '_>> = None;
    let mut found = Vec::new();
    for &fixed in staying {
        let wanted = wanted(scene, moving, fixed);
        let frame = is_frame(part) && is_wood(&scene.assembly.parts[fixed]);
        let reach = if wanted == 0.0 || frame {
            wanted.max(ASIDE)
        } else {
            wanted.max(SPOKEN_OF)
        };
        if !near(swept_box, scene.boxes[fixed], reach) || scene.overlap_at_rest(moving, fixed) {
            continue;
        }
        let other = &scene.assembly.parts[fixed];
        let start = Pose {
            at: part.pose.at + out,
            ..part.pose
        };
        let s = swept.get_or_insert_with(|| Swept::new(shape, start, -out));
        let Some(p) = s.passing(scene.shape(other), &other.pose, reach) else {
            continue;
        };
        if p.clearance > 0.0 {
            let told = p.clearance < wanted && told_at_rest(scene, moving, fixed, p.clearance);
            if wanted > 0.0 && !told {
                found.push(Pass {
                    moving,
                    fixed,
                    wanted,
                    clearance: p.clearance,
                    left: out.length() - p.along,
                    at: p.at[0].midpoint(p.at[1]),
                    hits: false,
                });
            }
            continue;
        }
        let rubs = [DVec3::Z, -DVec3::Z, DVec3::X, -DVec3::X].iter().any(|d| {
            // the other moved the other way: the same, without the room being made again
            let aside = Pose {
                at: other.pose.at - *d * ASIDE,
                ..other.pose
            };
            s.passing(scene.shape(other), &aside, ASIDE)
                .is_none_or(|p| p.clearance > 0.0)
        });
        if rubs && wanted == 0.0 {
            continue;
        }
        let first = s
            .first_contact(scene.shape(other), &other.pose)
            .unwrap_or(p.along);
        // where it stands when it first meets it
        let at_contact = Pose {
            at: start.at - out.normalize_or_zero() * first,
            ..part.pose
        };
        let at = crate::measure::distance(shape, &at_contact, scene.shape(other), &other.pose, 1.0)
            .map_or(p.at[0], |n| n.at[0]);
        found.push(Pass {
            moving,
            fixed,
            wanted,
            clearance: 0.0,
            left: out.length() - first,
            at,
            hits: !rubs,
        });
    }
    found
}

/// The same gap is there at rest, and too small for a rule that speaks of it.
fn told_at_rest(scene: &Scene<'_, '_>, moving: usize, fixed: usize, clearance: f64) -> bool {
    scene.at_rest(moving, fixed).is_some_and(|m| {
        m.wanted.as_ref().is_some_and(|w| m.is.clearance < w.0)
            && m.is.clearance <= clearance + 0.05
    })
}

fn findings(scene: &Scene<'_, '_>, passes: Vec<Pass>) -> Vec<Finding> {
    let parts = &scene.assembly.parts;
    // what two items do to each other is told once, at its worst
    let mut worst: BTreeMap<(&str, &str), &Pass> = BTreeMap::new();
    let mut boards: BTreeMap<&str, &Pass> = BTreeMap::new();
    let mut knobs: BTreeMap<&str, &Pass> = BTreeMap::new();
    let (short, enough): (Vec<&Pass>, Vec<&Pass>) =
        passes.iter().partition(|p| p.clearance < p.wanted);
    for p in short {
        let (m, f) = (&parts[p.moving], &parts[p.fixed]);
        let board = parts
            .iter()
            .any(|b| b.kind == Kind::BackBoard && b.id == f.owner);
        if board {
            keep_worst(boards.entry(&f.owner), p);
        } else if m.kind == Kind::Knob {
            keep_worst(knobs.entry(&m.id), p);
        } else {
            keep_worst(worst.entry((&m.owner, &f.owner)), p);
        }
    }
    let mut out: Vec<Finding> = worst.values().map(|p| of_pass(scene, p)).collect();
    let frame = |p: &Pass| is_frame(&parts[p.moving]) && is_wood(&parts[p.fixed]);
    let tightest = enough
        .into_iter()
        .filter(|p| !frame(p))
        .min_by(|a, b| a.clearance.total_cmp(&b.clearance));
    if let Some(p) = tightest.filter(|_| out.is_empty()) {
        out.push(of_pass(scene, p));
    }
    for (board, p) in boards {
        let m = &parts[p.moving];
        out.push(Finding {
            id: "slide-board-off".into(),
            severity: Severity::Note,
            about: vec![board.to_owned(), m.id.clone()],
            at_mm: p.at.to_array(),
            measured: p.clearance,
            wanted: p.wanted,
            unit: "mm".into(),
            text: format!(
                "{board} must be off while the chassis slides in: it is in the way of {}",
                m.id
            ),
            hint: String::new(),
            source: "geometry".into(),
        });
    }
    if let Some(p) = knobs.values().next() {
        let ids: Vec<String> = knobs.keys().map(|k| (*k).to_owned()).collect();
        let f = &parts[p.fixed];
        out.push(Finding {
            id: "slide-knobs-after".into(),
            severity: Severity::Note,
            at_mm: p.at.to_array(),
            measured: p.clearance,
            wanted: p.wanted,
            unit: "mm".into(),
            text: format!(
                "to go on after the chassis is in: {}; {} is in the way",
                ids.join(", "),
                f.id
            ),
            about: ids,
            hint: String::new(),
            source: "geometry".into(),
        });
    }
    out
}

fn keep_worst<'a, 'p, K: Ord>(
    entry: std::collections::btree_map::Entry<'a, K, &'p Pass>,
    p: &'p Pass,
) {
    let was = entry.or_insert(p);
    let rank = |p: &Pass| (!p.hits, p.clearance - p.wanted);
    let (new, old) = (rank(p), rank(was));
    // a hit met earlier on the way in is the worse one
    if (new.0, new.1) < (old.0, old.1) || (p.hits && was.hits && p.left > was.left) {
        *was = p;
    }
}

fn of_pass(scene: &Scene<'_, '_>, p: &Pass) -> Finding {
    let parts = &scene.assembly.parts;
    let (m, f) = (&parts[p.moving], &parts[p.fixed]);
    let left = if p.left < 0.05 {
        "as it comes to its seat".to_owned()
    } else {
        format!("{} before it is seated", units::show(p.left))
    };
    let place = place(scene.design, p.at);
    let glass = matches!(m.kind, Kind::SmallTube | Kind::PowerTube | Kind::Rectifier);
    if p.hits {
        return Finding {
            id: "slide".into(),
            severity: Severity::Error,
            about: vec![m.id.clone(), f.id.clone()],
            at_mm: p.at.to_array(),
            measured: p.left,
            wanted: 0.0,
            unit: "mm".into(),
            text: format!(
                "{} hits {} while the chassis slides in, {left}; {place}",
                m.id, f.id
            ),
            hint: if glass {
                format!(
                    "move {} out of the way of {}, or lower the plate; pulling it first helps only if a hand can put it back inside",
                    m.owner, f.id
                )
            } else {
                format!(
                    "move {} out of the way of {}, or let the chassis enter from the other edge",
                    m.owner, f.id
                )
            },
            source: SOURCE.into(),
        };
    }
    let rubs = p.clearance == 0.0;
    let enough = p.clearance >= p.wanted;
    Finding {
        id: if rubs { "slide-rub" } else { "slide" }.into(),
        severity: if enough {
            Severity::Note
        } else {
            Severity::Warning
        },
        about: vec![m.id.clone(), f.id.clone()],
        at_mm: p.at.to_array(),
        measured: p.clearance,
        wanted: p.wanted,
        unit: "mm".into(),
        text: if rubs {
            format!(
                "{} rubs along {} while the chassis slides in, {} wanted, {left}; {place}",
                m.id,
                f.id,
                units::show(p.wanted)
            )
        } else {
            format!(
                "{} between {} and {} while the chassis slides in, {} wanted, {left}; {place}",
                units::show(p.clearance),
                m.id,
                f.id,
                units::show(p.wanted)
            )
        },
        hint: if enough {
            String::new()
        } else {
            format!("move {} away from {}", m.owner, f.id)
        },
        source: SOURCE.into(),
    }
}
