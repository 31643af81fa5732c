//! A screwdriver on every screw.

use super::findings::place;
use super::in_use::Scene;
use super::page::Doc;
use super::report::{Finding, Severity};
use super::spanner::only;
use super::tool::{self, When, meets};
use crate::catalogue::hand_tool;
use crate::design::Fastener;
use crate::measure::Prepared;
use rayon::prelude::*;

pub(super) const DOC: Doc = Doc {
    ids: &["reach-screw"],
    title: "Screwdrivers",
    does: "Holds a screwdriver of the catalogue (blade and handle as one solid) to the head of every screw: a long one, else a stubby one, else \
an offset one whose lever is tried in twelve directions, swung by 15 degrees to either side; a note lists the screws that only the offset \
one reaches. Screws that retain the chassis and those of its brackets must be reached with the chassis in its place, tubes pulled and \
back boards off; all others where they are turned on the bench: what stays on the chassis with the chassis out, what joins panels, angles \
and plate on the bare metal, what belongs to cabinet, baffle and speaker with the chassis out of the cabinet.",
    why: "A retaining screw that no blade gets to holds the chassis for good.",
    example: "`no screwdriver gets to retain-left-screw with the chassis in its place: PT-core is in the way`",
    change: "move what is in the way, or `chassis.retain.from-edge`.",
    rests_on: "sizes of screwdrivers: catalogue, family `hand tool`, from memory; which screws stay with the chassis: common practice.",
};

const SOURCE: &str = "screwdriver sizes from memory; common practice";

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let straight = ["screwdriver", "stubby screwdriver"]
        .map(|name| hand_tool(name).and_then(|r| tool::about_axis(r, 0.0)));
    let offset = hand_tool("offset screwdriver").and_then(tool::cranked);
    let straight: Vec<Prepared<'_>> = straight.iter().flatten().map(Prepared::new).collect();
    let offset = offset.as_ref().map(Prepared::new);
    let got: Vec<Option<Result<String, Finding>>> = (scene.design.fasteners.par_iter())
        .map(|f| head(scene, f, &straight, offset.as_ref()))
        .collect();
    let mut out: Vec<Finding> = Vec::new();
    let mut cranked = Vec::new();
    for g in got.into_iter().flatten() {
        match g {
            Ok(id) => cranked.push(id),
            Err(f) => {
                // one screw of a row speaks for those that the same part covers
                let same = |o: &Finding| o.about[1] == f.about[1] && stem(&o.about[0]) == stem(&f.about[0]);
                if !out.iter().any(same) {
                    out.push(f);
                }
            }
        }
    }
    out.extend(only(scene, "reach-screw", &cranked, "an offset screwdriver, swung"));
    out
}

/// A screw's id without its number.
fn stem(id: &str) -> &str {
    id.trim_end_matches(|c: char| c.is_ascii_digit())
}

/// Nothing where a straight screwdriver goes; the screw's id where only the offset one does.
fn head(
    scene: &Scene<'_, '_>,
    f: &Fastener,
    straight: &[Prepared<'_>],
    offset: Option<&Prepared<'_>>,
) -> Option<Result<String, Finding>> {
    let (when, pose) = (When::of(f), tool::head_frame(f));
    let own = [f.id.as_str(), f.washer.as_deref().unwrap_or_default()];
    let mut first = None;
    for blade in straight {
        let hit = meets(scene, blade, &pose, when, &own)?;
        first = Some(hit);
    }
    let swung = offset.is_some_and(|lever| {
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
    Some(Err(Finding {
        id: "reach-screw".into(),
        severity: Severity::Warning,
        about: vec![f.id.clone(), other.id.clone()],
        at_mm: at.to_array(),
        measured: 0.0,
        wanted: tool::OFF,
        unit: "mm".into(),
        text: format!(
            "no screwdriver gets to {} {}: {} is in the way, {}",
            f.id,
            when.words(),
            other.id,
            place(scene.design, at)
        ),
        hint: format!("move {} away from {}", other.owner, f.id),
        source: SOURCE.into(),
    }))
}
