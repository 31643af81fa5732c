//! Each tube is drawn straight out of its socket, then tilted.

use super::doc::Doc;
use super::findings::place;
use super::report::{Finding, Severity};
use super::scene::Scene;
use crate::assembly::Kind;
use crate::design::TubeSpec;
use crate::measure::{Swept, Turned};
use crate::pose::Pose;
use crate::units;
use glam::DVec3;
use rayon::prelude::*;
use std::collections::BTreeSet;

pub(super) const DOC: Doc = Doc {
    ids: &["tube-pull"],
    title: "Pulling a tube",
    does: "Draws each tube straight out along its axis by the length of its pins and 5 mm more, its own retainer or shield off, then tilts it about \
the middle of its foot by 15 degrees in the freest of eight directions; where no direction is free, it tries to draw it straight on by its \
whole length. Both motions are exact over their whole way: what passes meets nothing; a tilt that comes within 0.05 mm of something counts \
as stopped. First with the chassis seated, among cabinet and speaker, back boards off; if that fails, with the chassis out. Out only with the chassis out is a \
warning; not even then an error. What follows after the tilt, hand included, is not looked at; fingers have a check of their own.",
    why: "Tubes wear out; one that cannot be drawn means taking the amp apart.",
    example: "`V1 comes out only with the chassis out: it hits top after 6.2 mm of the 12.1 mm its pins need`",
    change: "move the tube or what is above it, a shorter tube, a lower plate.",
    rests_on: "pins and 5 mm, 15 degrees: common practice, no published source; pin length is the catalogue's overall length less its seated height.",
};

/// Straight way beyond the pins before a tube may tilt, mm.
const MORE: f64 = 5.0;

/// Tilt that lets a tube be led out sideways, degrees.
const TILT: f64 = 15.0;

/// Directions in which it is tried.
const DIRECTIONS: u32 = 8;

/// What stops a tube.
#[derive(Clone, Copy, Debug)]
struct Stop {
    /// Index of the part.
    by: usize,
    /// How far it gets: mm drawn straight, or degrees tilted.
    got: f64,
    tilting: bool,
}

/// What was found of all tubes.
#[derive(Debug, Default)]
pub(super) struct Pulls<'s> {
    pub findings: Vec<Finding>,
    /// Those that can be drawn, and so plugged, with the chassis in its place.
    pub seated: BTreeSet<&'s str>,
}

pub(super) fn of_scene<'s>(scene: &Scene<'s, '_>) -> Pulls<'s> {
    let each: Vec<(bool, Option<Finding>)> = scene
        .design
        .tubes
        .par_iter()
        .map(|t| of_tube(scene, t))
        .collect();
    let mut out = Pulls::default();
    for (t, (seated, finding)) in scene.design.tubes.iter().zip(each) {
        if seated {
            out.seated.insert(&t.id);
        }
        out.findings.extend(finding);
    }
    out
}

/// Whether it comes out with the chassis seated, and what is to be said.
fn of_tube(scene: &Scene<'_, '_>, t: &TubeSpec) -> (bool, Option<Finding>) {
    let Some(&k) = scene.by_id.get(t.id.as_str()) else {
        return (false, None);
    };
    let Some(seated) = stopped(scene, t, k, true) else {
        return (true, None);
    };
    let (severity, what, stop) = match stopped(scene, t, k, false) {
        None => (
            Severity::Warning,
            "comes out only with the chassis out",
            seated,
        ),
        Some(out) => (Severity::Error, "cannot be drawn out", out),
    };
    let other = &scene.assembly.parts[stop.by];
    let part = &scene.assembly.parts[k];
    let hint = if severity == Severity::Error {
        format!("move {} away from {}", t.id, other.owner)
    } else {
        format!(
            "move {} away from {}, or leave it so and slide the chassis out to change the tube",
            t.id, other.id
        )
    };
    let up = t.pose.dir(DVec3::Z);
    let need = t.pins + MORE;
    let at = part.pose.point(DVec3::Z * t.seated) + up * if stop.tilting { need } else { stop.got };
    let place = place(scene.design, at);
    let finding = Finding {
        id: "tube-pull".into(),
        severity,
        about: vec![t.id.clone(), other.id.clone()],
        at_mm: at.to_array(),
        measured: stop.got,
        wanted: if stop.tilting { TILT } else { need },
        unit: if stop.tilting { "degrees" } else { "mm" }.into(),
        text: if stop.tilting {
            format!(
                "{} {what}: drawn out by {} it tilts no more than {:.1} of {TILT} degrees before it meets {}, and there is no room to draw it straight on; {place}",
                t.id,
                units::show(need),
                stop.got,
                other.id
            )
        } else {
            format!(
                "{} {what}: it hits {} after {} of the {} its pins need, {place}",
                t.id,
                other.id,
                units::show(stop.got),
                units::show(need)
            )
        },
        hint,
        source: "common practice".into(),
    };
    (false, Some(finding))
}

/// What stops a tube among everything (`seated`), or among what stands on its chassis.
fn stopped(scene: &Scene<'_, '_>, t: &TubeSpec, k: usize, seated: bool) -> Option<Stop> {
    let part = &scene.assembly.parts[k];
    let up = t.pose.dir(DVec3::Z);
    let way = up * (t.pins + MORE);
    if let Some(stop) = drawn(scene, t, k, way, seated) {
        return Some(stop);
    }
    let lifted = Pose {
        at: part.pose.at + way,
        ..part.pose
    };
    let stop = tilted(scene, t, k, lifted, seated)?;
    drawn(scene, t, k, up * (t.seated + MORE), seated).map(|_| stop)
}

/// Whether a part can be in the way of a tube.
fn in_the_way(scene: &Scene<'_, '_>, t: &TubeSpec, k: usize, i: usize, seated: bool) -> bool {
    let other = &scene.assembly.parts[i];
    // a back board is off before a hand gets to the tubes
    other.owner != t.id
        && (other.moves || (seated && other.kind != Kind::BackBoard))
        && !scene.overlap_at_rest(k, i)
}

/// What it meets first, drawn straight by `way`.
fn drawn(scene: &Scene<'_, '_>, t: &TubeSpec, k: usize, way: DVec3, seated: bool) -> Option<Stop> {
    let part = &scene.assembly.parts[k];
    let [low, high] = scene.boxes[k];
    let room = [low.min(low + way), high.max(high + way)];
    let mut swept: Option<Swept<'_, '_>> = None;
    let mut first: Option<Stop> = None;
    for i in scene.index.near(room, 0.0) {
        if !in_the_way(scene, t, k, i, seated) {
            continue;
        }
        let other = &scene.assembly.parts[i];
        let s = swept.get_or_insert_with(|| Swept::new(scene.shape(part), part.pose, way));
        let Some(got) = s.first_contact(scene.shape(other), &other.pose) else {
            continue;
        };
        if first.is_none_or(|f| got < f.got) {
            first = Some(Stop {
                by: i,
                got,
                tilting: false,
            });
        }
    }
    first
}

/// What stops the tilt that gets furthest; none if a direction is free.
fn tilted(
    scene: &Scene<'_, '_>,
    t: &TubeSpec,
    k: usize,
    lifted: Pose,
    seated: bool,
) -> Option<Stop> {
    let part = &scene.assembly.parts[k];
    let angle = TILT.to_radians();
    let upright = Turned::new(scene.shape(part), lifted, lifted.at, DVec3::Z);
    let mut turns: Vec<(Vec<usize>, Turned<'_, '_>)> = (0..DIRECTIONS)
        .map(|n| {
            let (sin, cos) =
                (std::f64::consts::TAU * f64::from(n) / f64::from(DIRECTIONS)).sin_cos();
            let axis = t.pose.dir(DVec3::new(cos, sin, 0.0));
            let turn = upright.about(axis);
            let near = (scene.index.near(turn.bounds(angle), 0.0).into_iter())
                .filter(|&i| in_the_way(scene, t, k, i, seated))
                .collect();
            (near, turn)
        })
        .collect();
    // where nothing is near, nothing need be measured
    turns.sort_by_key(|(near, _)| near.len());
    let mut best: Option<Stop> = None;
    for (near, turn) in turns {
        let others: Vec<_> = (near.iter())
            .map(|&i| {
                let other = &scene.assembly.parts[i];
                (scene.shape(other), other.pose)
            })
            .collect();
        let (got, by) = turn.free(&others, angle);
        let by = near[by?];
        if best.is_none_or(|b| got.to_degrees() > b.got) {
            best = Some(Stop {
                by,
                got: got.to_degrees(),
                tilting: true,
            });
        }
    }
    best
}
