//! No gap round the chassis lets the test finger through to its wiring side.

use super::in_use::Scene;
use super::page::Doc;
use super::report::{Finding, Severity};
use crate::assembly::Kind;
use crate::design::HoleShape;
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["test-finger"],
    title: "Test finger",
    does: "Where the back is open, plate, panels and boards close the wiring side in. Their gaps must be narrower than the 12 mm test finger: panel to \
floor or roof, panel to sides, the plate's edge to the baffle (or to the cabinet's edge) where no panel stands there, and every free hole in plate or panels. \
A grommet or a part in a hole fills it. The jointed finger's way round corners is not followed, and holes smaller than 12 mm may still let a wire through.",
    why: "Behind an open back the wiring carries mains and the filter capacitors' high voltage.",
    example: "`16.0 mm between plate and baffle: the 12 mm test finger reaches the wiring side`",
    change: "a higher panel, a panel at that edge, a smaller `chassis.front-gap`, a grommet or a screen.",
    rests_on: "diameter of 12 mm: IEC 61032 probe B (from memory). A reminder, no proof of safety: local codes and licensed practice decide.",
};

/// Diameter of the finger, mm.
const FINGER: f64 = 12.0;

const SOURCE: &str =
    "IEC 61032 probe B, 12 mm, from memory; local codes and licensed practice decide";

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let design = scene.design;
    let Some(plate) = design.plate else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let panels: Vec<_> = (design.flats.iter())
        .filter(|f| f.kind == Kind::Panel && !f.id.ends_with("-overlay"))
        .collect();
    for p in &panels {
        let far = if plate.up { "bottom" } else { "top" };
        for board in [far, "side-left", "side-right"] {
            out.extend(between(scene, &p.id, board));
        }
    }
    let at_front = (panels.iter()).any(|p| p.pose.dir(DVec3::Z).y < 0.0);
    if !at_front && !panels.is_empty() {
        out.extend(between(scene, "plate", "baffle"));
    }
    for flat in design.flats.iter().filter(|f| f.moves) {
        for h in &flat.holes {
            let HoleShape::Round { d } = h.shape else {
                continue;
            };
            let free = !(scene.assembly.parts.iter()).any(|p| p.owner == h.owner);
            if free && d >= FINGER {
                out.push(finding(
                    vec![h.id.clone(), flat.id.clone()],
                    flat.pose.point(h.at.extend(flat.thickness)),
                    d,
                    format!(
                        "the hole {} in {} is {} wide",
                        h.id,
                        flat.id,
                        units::show(d)
                    ),
                    "a smaller hole, a grommet or a screen",
                ));
            }
        }
    }
    out
}

fn between(scene: &Scene<'_, '_>, a: &str, b: &str) -> Option<Finding> {
    let index = |id: &str| scene.assembly.parts.iter().position(|p| p.id == id);
    let (i, j) = (index(a)?, index(b)?);
    let (gap, at) = match scene.at_rest(i, j) {
        Some(m) => (m.is.clearance, m.is.at[0].midpoint(m.is.at[1])),
        // further apart than is measured
        None => (super::REACH, scene.assembly.parts[i].pose.at),
    };
    (gap >= FINGER).then(|| {
        let more = if gap >= super::REACH { " or more" } else { "" };
        finding(
            vec![a.to_owned(), b.to_owned()],
            at,
            gap,
            format!("{}{more} between {a} and {b}", units::show(gap)),
            "close the gap: a higher or longer panel, a panel at that edge, or a screen",
        )
    })
}

fn finding(about: Vec<String>, at: DVec3, measured: f64, what: String, hint: &str) -> Finding {
    Finding {
        id: "test-finger".into(),
        severity: Severity::Warning,
        about,
        at_mm: at.to_array(),
        measured,
        wanted: FINGER,
        unit: "mm".into(),
        text: format!("{what}: the 12 mm test finger reaches the wiring side"),
        hint: hint.into(),
        source: SOURCE.into(),
    }
}
