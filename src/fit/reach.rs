//! Fingers round each tube and between knobs.

use super::doc::Doc;
use super::in_the_way::in_the_way;
use super::report::{Finding, Severity};
use super::scene::{Scene, hits};
use super::tool::stack;
use crate::assembly::Kind;
use crate::catalogue::hand_tool;
use crate::design::TubeSpec;
use crate::measure::Prepared;
use crate::outline::Loop;
use crate::units;
use glam::{DVec2, DVec3};
use rayon::prelude::*;

pub(super) const DOC: Doc = Doc {
    ids: &["reach-tube", "knob-pitch"],
    title: "Fingers",
    does: "Lays thumb and finger (16 mm wide, 14 mm thick) on opposite sides of the upper 25 mm of each tube or its shield, in twelve \
directions, chassis out: one direction must be free (`reach-tube`). Knobs leave 10 mm between each other for fingers (`knob-pitch`).",
    why: "A tube that no hand gets round is never pulled; a knob that two fingers do not fit beside turns its neighbour.",
    example: "`no two fingers get round V2: PT-core is in the way`",
    change: "space the parts wider, or turn the one that is in the way.",
    rests_on: "size of a finger (catalogue, family `hand tool`) and 10 mm between knobs: common practice, no published source.",
};

const SOURCE: &str = "common practice";

/// Directions in which thumb and finger are tried: half a turn holds them all.
const DIRECTIONS: u32 = 12;

/// What fingers stay off what they go round, mm.
const OFF: f64 = 0.1;

/// Between two knobs, mm.
const KNOBS: f64 = 10.0;

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let tubes = &scene.design.tubes;
    let mut out: Vec<Finding> = tubes.par_iter().filter_map(|t| tube(scene, t)).collect();
    knobs(scene, &mut out);
    out
}

fn warning(scene: &Scene<'_, '_>, id: &str, about: [&str; 2], at: DVec3, text: String) -> Finding {
    in_the_way(scene, id, about, at, OFF, &text, SOURCE)
}

fn tube(scene: &Scene<'_, '_>, t: &TubeSpec) -> Option<Finding> {
    let finger = hand_tool("finger")?;
    let (wide, thick, grip) = (finger.tip, finger.tip_height?, finger.tip_length);
    let (mut radius, mut top) = (t.diameter / 2.0, t.socket_top + t.seated);
    // a shield is taken off before the tube is
    if let Some(r) = t.retainer.as_ref().filter(|r| r.height >= top) {
        (radius, top) = (r.inside + r.wall, r.height);
    }
    let pad = Loop::rect(
        DVec2::new(radius + OFF, -wide / 2.0),
        DVec2::new(radius + OFF + thick, wide / 2.0),
    );
    let body = stack(
        (top - grip).max(top / 2.0),
        vec![(top + finger.shaft_length?, pad)],
    )?;
    let shape = Prepared::new(&body);
    let blocked = |degrees: f64| {
        let pose = t.pose.turned_z(degrees);
        hits(scene, &shape, &pose, &|_, p| !p.moves || p.owner == t.id)
            .into_iter()
            .next()
    };
    let mut first = None;
    for k in 0..DIRECTIONS {
        let degrees = f64::from(k) * 180.0 / f64::from(DIRECTIONS);
        // one free direction is enough
        let hit = blocked(degrees).or_else(|| blocked(degrees + 180.0))?;
        first.get_or_insert(hit);
    }
    let (i, at) = first?;
    let other = &scene.assembly.parts[i];
    Some(warning(
        scene,
        "reach-tube",
        [&t.id, &other.id],
        at,
        format!(
            "no two fingers get round {}: {} is in the way",
            t.id, other.id
        ),
    ))
}

fn knobs(scene: &Scene<'_, '_>, out: &mut Vec<Finding>) {
    let turned = |id: &str| (scene.design.controls.iter()).any(|c| c.knob.is_some() && c.id == id);
    for m in scene.measured {
        let (a, b) = (&scene.assembly.parts[m.a], &scene.assembly.parts[m.b]);
        let both = [a, b]
            .iter()
            .all(|p| p.kind == Kind::Knob && turned(&p.owner));
        if both && m.is.overlap == 0.0 && m.is.clearance < KNOBS {
            out.push(Finding {
                id: "knob-pitch".into(),
                severity: Severity::Warning,
                about: vec![a.id.clone(), b.id.clone()],
                at_mm: m.is.at[0].midpoint(m.is.at[1]).to_array(),
                measured: m.is.clearance,
                wanted: KNOBS,
                unit: "mm".into(),
                text: format!(
                    "{} between {} and {}, {} wanted for fingers",
                    units::show(m.is.clearance),
                    a.id,
                    b.id,
                    units::show(KNOBS)
                ),
                hint: format!("move {} away from {}, or smaller knobs", a.owner, b.owner),
                source: SOURCE.into(),
            });
        }
    }
}
