//! Fingers and tools: round each tube, on the nuts of controls, on the screws that hold the chassis.

use super::findings::place;
use super::in_use::{Scene, hits};
use super::page::Doc;
use super::report::{Finding, Severity};
use crate::assembly::Kind;
use crate::design::{ControlSpec, TubeSpec};
use crate::measure::Prepared;
use crate::outline::{Loop, Region};
use crate::params::Head;
use crate::pose::Pose;
use crate::solid::{Body, Layer, Recipe, build};
use crate::units;
use glam::{DVec2, DVec3};
use rayon::prelude::*;

pub(super) const DOC: Doc = Doc {
    ids: &["reach-tube", "reach-nut", "reach-screw", "knob-pitch"],
    title: "Fingers and tools",
    does: "Lays thumb and finger (16 mm wide, 14 mm thick) on opposite sides of the upper 25 mm of each tube or its shield, in twelve \
directions, chassis out: one direction must be free (`reach-tube`). Sets a box spanner (2.5 mm wall, 40 mm long) on the nut in front of each \
control, knobs off, chassis out (`reach-nut`). Holds a screwdriver's blade (6 mm thick, 60 mm long) to each wood screw that \
retains the chassis, chassis in its place (`reach-screw`). Knobs leave 10 mm between each other for fingers (`knob-pitch`).",
    why: "What a hand or a spanner cannot get to is never tightened, and never pulled.",
    example: "`no two fingers get round V2: PT-core is in the way`",
    change: "space the parts wider, or turn the one that is in the way.",
    rests_on: "sizes of fingers, spanners and blades, and 10 mm between knobs: common practice, no published source.",
};

const SOURCE: &str = "common practice";

/// Width, thickness and grip of a finger, mm.
const FINGER: [f64; 3] = [16.0, 14.0, 25.0];

/// How far a finger reaches beyond the tip, mm.
const BEYOND: f64 = 30.0;

/// Directions in which thumb and finger are tried: half a turn holds them all.
const DIRECTIONS: u32 = 12;

/// What tools and fingers stay off what they go round, mm.
const OFF: f64 = 0.1;

/// Wall and length of a box spanner, mm.
const SPANNER: [f64; 2] = [2.5, 40.0];

/// Diameter and length of a screwdriver's blade, mm.
const BLADE: [f64; 2] = [6.0, 60.0];

/// Between two knobs, mm.
const KNOBS: f64 = 10.0;

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let (tubes, controls) = (&scene.design.tubes, &scene.design.controls);
    let mut out: Vec<Finding> = tubes.par_iter().filter_map(|t| tube(scene, t)).collect();
    out.par_extend(controls.par_iter().filter_map(|c| nut(scene, c)));
    screws(scene, &mut out);
    knobs(scene, &mut out);
    out
}

fn prism(outline: Region, z0: f64, z1: f64) -> Option<Body> {
    build(&Recipe::Layered {
        base: z0,
        layers: vec![Layer::new(z1, outline)],
        holes: Vec::new(),
    })
    .ok()
}

fn ring(inside: f64, outside: f64) -> Region {
    Region {
        outer: Loop::circle(DVec2::ZERO, outside),
        inner: vec![Loop::circle(DVec2::ZERO, inside)],
    }
}

fn warning(scene: &Scene<'_, '_>, id: &str, about: [&str; 2], at: DVec3, text: String) -> Finding {
    Finding {
        id: id.into(),
        severity: Severity::Warning,
        about: about.map(str::to_owned).to_vec(),
        at_mm: at.to_array(),
        measured: 0.0,
        wanted: OFF,
        unit: "mm".into(),
        text: format!("{text}, {}", place(scene.design, at)),
        hint: format!("move {} away from {}", about[0], about[1]),
        source: SOURCE.into(),
    }
}

fn tube(scene: &Scene<'_, '_>, t: &TubeSpec) -> Option<Finding> {
    let [wide, thick, grip] = FINGER;
    let (mut radius, mut top) = (t.diameter / 2.0, t.socket_top + t.seated);
    // a shield is taken off before the tube is
    if let Some(r) = t.retainer.as_ref().filter(|r| r.height >= top) {
        (radius, top) = (r.inside + r.wall, r.height);
    }
    let pad = Loop::rect(
        DVec2::new(radius + OFF, -wide / 2.0),
        DVec2::new(radius + OFF + thick, wide / 2.0),
    );
    let body = prism(
        Region::solid(pad),
        (top - grip).max(top / 2.0),
        top + BEYOND,
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

fn nut(scene: &Scene<'_, '_>, c: &ControlSpec) -> Option<Finding> {
    let across = c.row.nut.filter(|_| c.nut_in_front)?;
    let corners = across / 3.0_f64.sqrt() + OFF;
    let body = prism(
        ring(corners, corners + SPANNER[0]),
        c.wall + OFF,
        c.wall + SPANNER[1],
    )?;
    let shape = Prepared::new(&body);
    let skip = |p: &crate::assembly::Part| !p.moves || p.owner == c.id || p.kind == Kind::Knob;
    let (i, at) = hits(scene, &shape, &c.pose, &|_, p| skip(p))
        .into_iter()
        .next()?;
    let other = &scene.assembly.parts[i];
    Some(warning(
        scene,
        "reach-nut",
        [&c.id, &other.id],
        at,
        format!(
            "no box spanner goes on the nut of {}: {} is in the way",
            c.id, other.id
        ),
    ))
}

fn screws(scene: &Scene<'_, '_>, out: &mut Vec<Finding>) {
    let held = scene
        .design
        .fasteners
        .iter()
        .filter(|f| f.id.starts_with("retain-") && f.bites.is_some());
    for f in held {
        let head = match f.head {
            Head::Pan => f.washer_thickness() + f.row.pan_height,
            Head::Countersunk => 0.0,
        };
        let blade = Loop::circle(DVec2::ZERO, BLADE[0] / 2.0);
        let Some(body) = prism(Region::solid(blade), OFF, BLADE[1]) else {
            continue;
        };
        // the other way round: z out of the head
        let outward = f.pose.dir(-DVec3::Z);
        let x = f.pose.dir(DVec3::X);
        let pose = Pose::from_axes(x, outward.cross(x), f.pose.at + outward * head);
        let shape = Prepared::new(&body);
        let found = hits(scene, &shape, &pose, &|_, p| p.owner == f.owner);
        if let Some((i, at)) = found.into_iter().next() {
            let other = &scene.assembly.parts[i];
            out.push(warning(
                scene,
                "reach-screw",
                [&f.id, &other.id],
                at,
                format!(
                    "no screwdriver gets to {}: {} is in the way",
                    f.id, other.id
                ),
            ));
        }
    }
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
