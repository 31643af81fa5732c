//! A screwdriver on every screw.

use super::doc::Doc;
use super::in_the_way::in_the_way;
use super::report::Finding;
use super::scene::Scene;
use super::spanner::only;
use super::tool::{self, Rack, When, meets};
use crate::catalogue::hand_tool;
use crate::design::Fastener;
use glam::DVec3;
use rayon::prelude::*;

pub(super) const DOC: Doc = Doc {
    ids: &["reach-screw"],
    title: "Screwdrivers",
    does: "Holds a screwdriver of the catalogue (blade and handle as one solid) to the head of every screw: a long, a short or a stubby one, each straight and leant by 10 degrees eight \
ways, else an offset one whose lever is tried in twelve directions, swung by 15 degrees to either side; a note lists the screws that only the offset \
one reaches. Screws that retain the chassis and those of its brackets must be reached with the chassis in its place, tubes pulled and \
back boards off; all others where they are turned on the bench: what stays on the chassis with the chassis out, what joins panels, angles \
and plate on the bare metal, what belongs to cabinet, baffle and speaker with the chassis out of the cabinet.",
    why: "A retaining screw that no blade gets to holds the chassis for good.",
    example: "`no screwdriver gets to retain-left-screw with the chassis in its place: PT-core is in the way`",
    change: "move what is in the way, or `chassis.retain.from-edge`.",
    rests_on: "sizes of screwdrivers: catalogue, family `hand tool`, from memory; which screws stay with the chassis: common practice.",
};

const SOURCE: &str = "screwdriver sizes from memory; common practice";

/// Screws up to this diameter take the smaller blade, mm.
const SMALL: f64 = 3.6;

/// The straight screwdrivers, long before short, for small screws and for larger ones.
const STRAIGHT: [[&str; 3]; 2] = [
    [
        "screwdriver 4.5 mm",
        "short screwdriver 4.5 mm",
        "stubby screwdriver 4.5 mm",
    ],
    [
        "screwdriver 6 mm",
        "short screwdriver 6 mm",
        "stubby screwdriver 6 mm",
    ],
];

/// The place of the offset screwdriver, behind the straight ones.
const OFFSET: usize = STRAIGHT.len() * STRAIGHT[0].len();

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let make = |k: usize| {
        if k == OFFSET {
            return hand_tool("offset screwdriver").and_then(tool::cranked);
        }
        let name = STRAIGHT.iter().flatten().nth(k)?;
        hand_tool(name).and_then(|r| tool::about_axis(r, 0.0))
    };
    let bodies = tool::empty(OFFSET + 1);
    let rack = Rack::new(&bodies, &make);
    let got: Vec<Option<Result<String, Finding>>> = (scene.design.fasteners.par_iter())
        .map(|f| head(scene, f, &rack))
        .collect();
    let mut out: Vec<Finding> = Vec::new();
    let mut cranked = Vec::new();
    for g in got.into_iter().flatten() {
        match g {
            Ok(id) => cranked.push(id),
            Err(f) => {
                // one screw of a row speaks for those that the same part covers
                let same = |o: &Finding| {
                    o.about[1] == f.about[1] && stem(&o.about[0]) == stem(&f.about[0])
                };
                if !out.iter().any(same) {
                    out.push(f);
                }
            }
        }
    }
    out.extend(only(
        scene,
        "reach-screw",
        &cranked,
        "an offset screwdriver, swung",
    ));
    out
}

/// A screw's id without its number.
fn stem(id: &str) -> &str {
    id.trim_end_matches(|c: char| c.is_ascii_digit())
}

/// Nothing where a straight screwdriver goes; the screw's id where only the offset one does.
fn head(scene: &Scene<'_, '_>, f: &Fastener, rack: &Rack<'_>) -> Option<Result<String, Finding>> {
    let (when, pose) = (When::of(f), tool::head_frame(f));
    // its own tube's clamp is held by the same screw, which is put in first
    let clamp = format!("{}-retainer", f.owner);
    let own = [
        f.id.as_str(),
        f.washer.as_deref().unwrap_or_default(),
        clamp.as_str(),
    ];
    // a part that can be moved is spoken of sooner than a wall of the cabinet
    let moves = |i: usize| scene.assembly.parts[i].moves;
    let mut first: Option<(usize, DVec3)> = None;
    let size = usize::from(f.row.major > SMALL);
    for (k, name) in STRAIGHT[size].into_iter().enumerate() {
        let rim = hand_tool(name).map_or(0.0, |r| r.tip / 2.0);
        let blade = rack.get(size * STRAIGHT[0].len() + k)?;
        for leant in tool::leant(pose, rim) {
            let hit = meets(scene, blade, &leant, when, &own)?;
            if first.is_none_or(|f| !moves(f.0) && moves(hit.0)) {
                first = Some(hit);
            }
        }
    }
    let swung = rack.get(OFFSET).is_some_and(|lever| {
        (0..tool::DIRECTIONS).any(|k| {
            let turned = pose.turned_z(f64::from(k) * 360.0 / f64::from(tool::DIRECTIONS));
            meets(scene, lever, &turned, when, &own).is_none()
        })
    });
    if swung {
        return Some(Ok(f.id.clone()));
    }
    let (i, at) = first?;
    let other = &scene.assembly.parts[i];
    let text = format!(
        "no screwdriver gets to {} {}: {} is in the way",
        f.id,
        when.words(),
        other.id
    );
    let about = [f.id.as_str(), &other.id];
    Some(Err(in_the_way(
        scene,
        "reach-screw",
        about,
        at,
        tool::OFF,
        &text,
        SOURCE,
    )))
}
