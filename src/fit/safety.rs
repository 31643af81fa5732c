//! What the trade takes for granted about cords, earth and tubes that hang. No more than reminders: local codes and licensed practice decide.

use super::report::{Finding, Severity};
use crate::design::Design;
use crate::params::{ControlKind, TransformerRole};
use crate::units;
use glam::DVec3;

/// Furthest place of the earth stud from where the mains comes in, centre to centre, mm.
const EARTH_REACH: f64 = 50.0;

const SOURCE: &str = "common practice; local codes decide";

pub(super) fn of_design(design: &Design) -> Vec<Finding> {
    let mut out = Vec::new();
    let entries: Vec<(&str, DVec3)> = design
        .controls
        .iter()
        .filter(|c| matches!(c.kind, ControlKind::Inlet | ControlKind::StrainRelief))
        .map(|c| (c.id.as_str(), c.pose.at))
        .collect();
    let supply = design
        .irons
        .iter()
        .find(|i| i.role == TransformerRole::Power);
    if let Some(supply) = supply.filter(|_| entries.is_empty()) {
        out.push(warning(
            "cord-anchor",
            vec![supply.id.clone()],
            supply.pose.at,
            NONE,
            format!(
                "{} is fed from the mains, and nothing anchors a cord",
                supply.id
            ),
            "add a control of kind `inlet` or `strain relief`; a grommet is no anchor",
        ));
    }
    for (entry, at) in &entries {
        let nearest = design
            .studs
            .iter()
            .map(|s| (s.pose.at.distance(*at), &s.owner))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        match nearest {
            None => out.push(warning(
                "earth-stud",
                vec![(*entry).to_owned()],
                *at,
                NONE,
                format!("the mains comes in at {entry}, and there is no earth stud"),
                "add hardware of kind `earth stud` beside it: wooden grooves are no earth path",
            )),
            Some((far, stud)) if far > EARTH_REACH => out.push(warning(
                "earth-stud",
                vec![stud.clone(), (*entry).to_owned()],
                *at,
                (far, EARTH_REACH, "mm"),
                format!(
                    "the earth stud {stud} is {} from {entry}, {} or less wanted",
                    units::show(far),
                    units::show(EARTH_REACH)
                ),
                "move the stud towards the mains entry, so that its wire is short and the last to part",
            )),
            Some(_) => {}
        }
    }
    for t in design.tubes.iter().filter(|t| t.retainer.is_none()) {
        if t.pose.dir(DVec3::Z).z < -0.5 {
            out.push(warning(
                "hanging-tube",
                vec![t.id.clone()],
                t.pose.at,
                NONE,
                format!("{} hangs, and nothing but its pins holds it", t.id),
                "add `retainer = \"clamp\"` or `\"shield\"`",
            ));
        }
    }
    out
}

/// None there, one wanted.
const NONE: (f64, f64, &str) = (0.0, 1.0, "pieces");

fn warning(
    id: &str,
    about: Vec<String>,
    at: DVec3,
    (measured, wanted, unit): (f64, f64, &str),
    text: String,
    hint: &str,
) -> Finding {
    Finding {
        id: id.into(),
        severity: Severity::Warning,
        about,
        at_mm: at.to_array(),
        measured,
        wanted,
        unit: unit.into(),
        text,
        hint: hint.into(),
        source: SOURCE.into(),
    }
}
