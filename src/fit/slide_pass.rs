//! A part that slides, measured against all that stays.

use super::scene::{Scene, near};
use crate::assembly::{Group, Kind, Part};
use crate::measure::Swept;
use crate::pose::Pose;
use glam::DVec3;
use std::collections::BTreeMap;

/// Wanted between what slides and what stays, mm.
pub(super) const WANTED: f64 = 4.0;

/// Wanted beside the plate, panels and angles, mm: the play that lets them slide at all.
const PLAY: f64 = 0.3;

/// What touches on its way and is free when it is moved aside by this much only rubs, mm.
pub(super) const ASIDE: f64 = 0.1;

/// Pairs are listed if they pass nearer than this, mm.
const LISTED: f64 = 8.0;

/// Plate, panels and angles are told beside wood and covering up to this distance, mm.
const FRAME_REACH: f64 = 2.0;

/// What can be left off while the chassis slides in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Off {
    /// Neither part comes off.
    Nothing,
    /// The fixed part is of a back board.
    Board,
    /// The moving part is a knob.
    Knob,
    /// The moving part is a tube, or the shield that comes off with it.
    Tube,
}

/// A moving part and what it comes near to.
pub(super) struct Pass {
    pub moving: usize,
    pub fixed: usize,
    pub wanted: f64,
    pub clearance: f64,
    /// Way left to the seat, mm.
    pub left: f64,
    pub at: DVec3,
    pub hits: bool,
    pub off: Off,
}

/// The frame itself, and what holds it together.
pub(super) fn is_frame(p: &Part) -> bool {
    matches!(p.kind, Kind::Plate | Kind::Panel | Kind::Angle)
        || (p.group == Group::Chassis && matches!(p.kind, Kind::Screw | Kind::Nut | Kind::Washer))
}

pub(super) fn is_wood(p: &Part) -> bool {
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

/// What one part comes near to along `out`. `drawn` is the room that parts of its shape draw, once it is made.
pub(super) fn of_part<'b>(
    scene: &Scene<'b, 'b>,
    moving: usize,
    staying: &[usize],
    out: DVec3,
    comes_off: &BTreeMap<usize, Off>,
    drawn: &mut Option<Swept<'b, 'b>>,
) -> Vec<Pass> {
    let part = &scene.assembly.parts[moving];
    let shape = scene.shape(part);
    let [low, high] = scene.boxes[moving];
    let swept_box = [low.min(low + out), high.max(high + out)];
    let mut swept: Option<Swept<'_, '_>> = None;
    let mut found = Vec::new();
    let off = |fixed: usize| match comes_off.get(&fixed) {
        Some(Off::Board) => Off::Board,
        _ => comes_off.get(&moving).copied().unwrap_or(Off::Nothing),
    };
    for &fixed in staying {
        let wanted = wanted(scene, moving, fixed);
        let frame = is_frame(part) && is_wood(&scene.assembly.parts[fixed]);
        let reach = if wanted == 0.0 {
            ASIDE
        } else if frame {
            wanted.max(FRAME_REACH)
        } else {
            wanted.max(LISTED)
        };
        if !near(swept_box, scene.boxes[fixed], reach) || scene.overlap_at_rest(moving, fixed) {
            continue;
        }
        let other = &scene.assembly.parts[fixed];
        let start = Pose {
            at: part.pose.at + out,
            ..part.pose
        };
        let s = swept.get_or_insert_with(|| {
            (drawn.get_or_insert_with(|| Swept::new(shape, start, -out))).from(start.at)
        });
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
                    off: off(fixed),
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
            off: off(fixed),
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
