//! A spanner on every nut that is turned.

use super::doc::Doc;
use super::in_the_way::in_the_way;
use super::report::{Finding, Severity};
use super::scene::Scene;
use super::tool::{self, Rack, Tool, When, meets};
use crate::assembly::{Kind, Part};
use crate::catalogue::spanner_for;
use crate::design::{ControlSpec, Fastener};
use crate::solid::Body;
use glam::DVec3;
use rayon::prelude::*;

pub(super) const DOC: Doc = Doc {
    ids: &["reach-nut"],
    title: "Spanners",
    does: "Sets a box spanner of the catalogue (socket, shaft and handle as one solid; it turns about the nut in its own room) on every nut: \
those in front of pots, jacks and switches, knobs off; those of transformers, sockets, cans, boards, strips and earth stud, with the \
chassis out and everything on it but the tubes; those that join panels, angles and plate, on the bare metal; those of handle, feet and \
speaker, with the chassis out of the cabinet. Where the box spanner does not go, the nut may be held by an open-ended spanner \
from one of 24 directions while its screw is turned from the other side; on the bare metal that will do, of other nuts a note lists those \
that only it reaches. A nut that neither reaches is a warning. The nut that a \
retaining bracket's screw enters is fixed to the plate and not turned.",
    why: "A nut that no tool gets to is never tightened, and works loose.",
    example: "`no spanner goes on OT-nut-2 with the chassis out: B1-stand-off-1 is in the way`",
    change: "space the parts wider, turn the one that is in the way, or tighten that nut before the next part goes on.",
    rests_on: "sizes of spanners: catalogue, family `hand tool`, from memory; the order of work is common practice.",
};

const SOURCE: &str = "spanner sizes from memory; common practice";

/// Room of a nut in its spanner, on the radius, mm.
const ROOM: f64 = 0.1;

/// Directions from which an open-ended spanner is tried.
const HELD: u32 = 24;

/// Most names in one list.
const MOST: usize = 6;

/// The box spanner for a nut.
fn boxed(across: f64) -> Option<Body> {
    let bore = across / 3.0_f64.sqrt() + ROOM;
    spanner_for("box spanner", across)
        .filter(|r| r.tip / 2.0 > bore + 0.3)
        .and_then(|r| tool::about_axis(r, bore))
}

/// The open-ended spanner for a nut.
fn open(across: f64) -> Option<Body> {
    spanner_for("open-ended spanner", across).and_then(tool::open_ended)
}

/// What of a nut can be got at.
enum Got {
    Easily,
    OpenOnly(String),
    Not(Finding),
}

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let design = scene.design;
    let nuts: Vec<&Fastener> = (design.fasteners.iter())
        // a bracket's nut is fixed to the plate
        .filter(|f| f.nut.is_some() && !f.owner.starts_with("retain-"))
        .collect();
    let controls: Vec<(&ControlSpec, f64)> = (design.controls.iter())
        .filter(|c| c.nut_in_front)
        .filter_map(|c| Some((c, c.row.nut?)))
        .collect();
    let mut sizes: Vec<f64> = (nuts.iter().map(|f| f.row.nut))
        .chain(controls.iter().map(|c| c.1))
        .collect();
    sizes.sort_by(f64::total_cmp);
    sizes.dedup();
    // for each size the box spanner, then the open-ended one
    let make = |k: usize| {
        let across = *sizes.get(k / 2)?;
        if k.is_multiple_of(2) {
            boxed(across)
        } else {
            open(across)
        }
    };
    let bodies = tool::empty(2 * sizes.len());
    let rack = Rack::new(&bodies, &make);
    let of = |across: f64| {
        (sizes.iter())
            .position(|s| (s - across).abs() < 1e-9)
            .map(|k| 2 * k)
    };
    let mut out: Vec<Finding> = (controls.par_iter())
        .filter_map(|(c, across)| control(scene, c, rack.get(of(*across)?)?))
        .collect();
    let got: Vec<Got> = (nuts.par_iter())
        .filter_map(|f| Some(nut(scene, f, &rack, of(f.row.nut)?)))
        .collect();
    let mut held = Vec::new();
    let mut told: Vec<Vec<String>> = Vec::new();
    for g in got {
        match g {
            Got::Easily => {}
            Got::OpenOnly(id) => held.push(id),
            Got::Not(f) => {
                // an item and what is in its way are spoken of once
                let owner = |id: &String| {
                    (scene.assembly.parts.iter().find(|p| p.id == *id))
                        .map_or_else(String::new, |p| p.owner.clone())
                };
                let owners: Vec<String> = f.about.iter().map(owner).collect();
                if !told.contains(&owners) {
                    told.push(owners);
                    out.push(f);
                }
            }
        }
    }
    out.extend(only(
        scene,
        "reach-nut",
        &held,
        "an open-ended spanner, held while the screw is turned",
    ));
    out
}

/// The note about what only the second tool reaches.
pub(super) fn only(scene: &Scene<'_, '_>, id: &str, ids: &[String], what: &str) -> Option<Finding> {
    let first = ids.first()?;
    let at = (scene.assembly.parts.iter())
        .find(|p| p.id == *first)
        .map_or(DVec3::ZERO, |p| p.pose.at);
    let list = ids[..ids.len().min(MOST)].join(", ");
    let more = match ids.len().saturating_sub(MOST) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    Some(Finding {
        id: id.into(),
        severity: Severity::Note,
        about: vec![first.clone()],
        at_mm: at.to_array(),
        measured: ids.len() as f64,
        wanted: 0.0,
        unit: "pieces".into(),
        text: format!("{what}, is the only tool that gets to {list}{more}"),
        hint: String::new(),
        source: SOURCE.into(),
    })
}

fn control(scene: &Scene<'_, '_>, c: &ControlSpec, spanner: &Tool<'_>) -> Option<Finding> {
    let pose = c.pose.offset(DVec3::Z * c.wall);
    let stands = |p: &Part| p.moves && p.owner != c.id && p.kind != Kind::Knob;
    let (i, at) = tool::meets_any(scene, spanner, &pose, &stands)?;
    let other = &scene.assembly.parts[i];
    Some(warning(
        scene,
        [&c.id, &other.id],
        at,
        format!(
            "no box spanner goes on the nut of {}: {} is in the way",
            c.id, other.id
        ),
    ))
}

fn nut(scene: &Scene<'_, '_>, f: &Fastener, rack: &Rack<'_>, k: usize) -> Got {
    let (when, pose) = (When::of(f), tool::nut_frame(f));
    let nut = f.nut.as_deref().unwrap_or_default();
    let own = [f.id.as_str(), nut, f.washer.as_deref().unwrap_or_default()];
    let Some(boxed) = rack.get(k) else {
        return Got::Easily;
    };
    let Some((i, at)) = meets(scene, boxed, &pose, when, &own) else {
        return Got::Easily;
    };
    let held = rack.get(k + 1).is_some_and(|open| {
        (0..HELD).any(|k| {
            let turned = pose.turned_z(f64::from(k) * 360.0 / f64::from(HELD));
            meets(scene, open, &turned, when, &own).is_none()
        })
    });
    if held && when == When::Bare {
        return Got::Easily;
    }
    if held {
        return Got::OpenOnly(nut.to_owned());
    }
    let other = &scene.assembly.parts[i];
    Got::Not(warning(
        scene,
        [nut, &other.id],
        at,
        format!(
            "no spanner goes on {nut} {}: {} is in the way",
            when.words(),
            other.id
        ),
    ))
}

fn warning(scene: &Scene<'_, '_>, about: [&str; 2], at: DVec3, text: String) -> Finding {
    in_the_way(scene, "reach-nut", about, at, tool::OFF, &text, SOURCE)
}
