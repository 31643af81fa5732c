//! What sticks out of a panel stays inside the cabinet's edge.

use super::doc::Doc;
use super::report::{Finding, Severity};
use crate::assembly::{Assembly, Kind};
use crate::design::Design;
use crate::units;
use glam::DVec3;
use std::collections::BTreeMap;

pub(super) const DOC: Doc = Doc {
    ids: &["recess"],
    title: "Recess behind the cabinet's edge",
    does: "Measures how far inside the rear (or front) edges of the sides everything ends that sticks out of a panel: knobs, bushings, caps, \
flanges, screw heads. Standing out is an error, less than 3 mm inside a warning. A note lists the margin of each and the set-back at which \
the longest has 3 mm.",
    why: "The amp is set down on its back and leans on walls; whatever stands out breaks first.",
    example: "`VOLUME-knob stands 2.0 mm out of the cabinet's rear edge`",
    change: "`chassis.set-back`, or a shorter knob or shaft.",
    rests_on: "3 mm: common practice, no published source.",
};

/// Wanted inside the edge, mm.
const WANTED: f64 = 3.0;

/// Sums of a few hundred mm round by less than this, mm.
const ROUNDING: f64 = 1e-6;

pub(super) fn of_design(design: &Design, assembly: &Assembly) -> Vec<Finding> {
    let Some(cabinet) = design.cabinet else {
        return Vec::new();
    };
    let mut out = Vec::new();
    for panel in design
        .flats
        .iter()
        .filter(|f| f.kind == Kind::Panel && !f.id.ends_with("-overlay"))
    {
        let facing = panel.pose.dir(DVec3::Z);
        let at_rear = facing.y > 0.0;
        let edge = if at_rear { cabinet.depth } else { 0.0 };
        let face = panel.pose.at.dot(facing) + panel.thickness;
        let inside = |y: f64| edge * facing.y - y;
        // the furthest solid of each item that stands out of the panel
        let mut furthest: BTreeMap<&str, (f64, &str, DVec3)> = BTreeMap::new();
        for p in assembly.parts.iter().filter(|p| p.moves) {
            let [low, high] = assembly.shapes[p.shape].body.bounds(&p.pose);
            let tip = if at_rear { high.y } else { -low.y };
            if tip <= face + ROUNDING || p.kind == Kind::Panel {
                continue;
            }
            let mut at = low.midpoint(high);
            at.y = if at_rear { high.y } else { low.y };
            let new = (inside(tip), p.id.as_str(), at);
            let owner = if p.kind == Kind::Screw && p.owner == p.id {
                "the angle's screws"
            } else {
                &p.owner
            };
            let was = furthest.entry(owner).or_insert(new);
            if new.0 < was.0 {
                *was = new;
            }
        }
        let mut rows: Vec<(f64, &str, DVec3, &str)> = furthest
            .into_iter()
            .map(|(owner, (m, id, at))| (m, id, at, owner))
            .collect();
        rows.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
        let Some(&(least, longest, at, _)) = rows.first() else {
            continue;
        };
        let word = if at_rear { "rear" } else { "front" };
        let set_back = inside(face);
        let enough = set_back + WANTED - least;
        for &(margin, id, at, _) in rows.iter().filter(|r| r.0 < WANTED - ROUNDING) {
            let stands_out = margin < -ROUNDING;
            out.push(Finding {
                id: "recess".into(),
                severity: if stands_out {
                    Severity::Error
                } else {
                    Severity::Warning
                },
                about: vec![id.to_owned()],
                at_mm: at.to_array(),
                measured: margin,
                wanted: if stands_out { 0.0 } else { WANTED },
                unit: "mm".into(),
                text: if stands_out {
                    format!(
                        "{id} stands {} out of the cabinet's {word} edge",
                        units::show(-margin)
                    )
                } else {
                    format!(
                        "{id} ends {} inside the cabinet's {word} edge, {} wanted",
                        units::show(margin),
                        units::show(WANTED)
                    )
                },
                hint: format!(
                    "{} stands {} back; {} gives {longest}, the longest, its {}",
                    panel.id,
                    units::show(set_back),
                    units::show(enough),
                    units::show(WANTED)
                ),
                source: "common practice".into(),
            });
        }
        let list: Vec<String> = rows
            .iter()
            .map(|r| format!("{} {:.1}", r.3, r.0 + 0.0))
            .collect();
        out.push(Finding {
            id: "recess".into(),
            severity: Severity::Note,
            about: vec![panel.id.clone(), longest.to_owned()],
            at_mm: at.to_array(),
            measured: least,
            wanted: WANTED,
            unit: "mm".into(),
            text: format!(
                "{} stands {} back from the {word} edge, {longest} needs {}; what is left before the edge, in mm: {}",
                panel.id,
                units::show(set_back),
                units::show(enough),
                list.join(", ")
            ),
            hint: String::new(),
            source: "common practice".into(),
        });
    }
    out
}
