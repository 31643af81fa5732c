//! A hanging tube has something that holds it.

use super::page::Doc;
use super::report::{Finding, Severity};
use crate::design::Design;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["tube-hangs"],
    title: "Hanging tubes",
    does: "Warns of each tube that hangs from the plate without a retainer or a shield.",
    why: "A speaker beside it shakes it for years; heat and weight work it out of its socket, and it falls on the floor of the cabinet, hot.",
    example: "`V3 hangs from the plate and nothing holds it`",
    change: "`retainer = \"clamp\"` on the tube, or `\"shield\"`; or `chassis.position = \"floor\"`.",
    rests_on: "common practice, no published source.",
};

pub(super) fn of_design(design: &Design) -> Vec<Finding> {
    if design.plate.is_none_or(|p| p.up) {
        return Vec::new();
    }
    (design.tubes.iter())
        .filter(|t| t.retainer.is_none())
        .map(|t| Finding {
            id: "tube-hangs".into(),
            severity: Severity::Warning,
            about: vec![t.id.clone()],
            at_mm: t.pose.point(DVec3::Z * t.socket_top).to_array(),
            measured: 0.0,
            wanted: 1.0,
            unit: "retainers".into(),
            text: format!("{} hangs from the plate and nothing holds it", t.id),
            hint: format!("`retainer = \"clamp\"` or `\"shield\"` for {}", t.id),
            source: "common practice".into(),
        })
        .collect()
}
