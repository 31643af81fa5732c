//! No open hole under something that is bolted over it.

use super::doc::Doc;
use super::findings::place;
use super::report::{Finding, Severity};
use super::scene::{Scene, near};
use super::tool::stack;
use crate::assembly::Kind;
use crate::design::Flat;
use crate::measure::{self, Prepared};
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::collections::BTreeMap;

pub(super) const DOC: Doc = Doc {
    ids: &["hole-covered"],
    title: "Holes under other parts",
    does: "Lays a disc as wide as each hole and cut-out of plate and panels on either face, 0.1 to 1 mm off it: no part of another item may be \
there, neither a transformer's foot or core nor a panel, an angle, a clamp or a socket's flange. What a hole's own screw clamps is its own \
matter.",
    why: "A hole under a foot cannot be used, weakens what the foot stands on, and is found when the chassis is drilled.",
    example: "`OT-frame covers the hole VENT in plate`",
    change: "move the hole or what stands on it.",
    rests_on: "geometry; common practice.",
};

/// From the face to the disc's nearer and further side, mm.
const FROM: f64 = 0.1;
const TO: f64 = 1.0;

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let design = scene.design;
    let screws: BTreeMap<&str, &crate::design::Fastener> = (design.fasteners.iter())
        .map(|f| (f.id.as_str(), f))
        .collect();
    let metal = |f: &&Flat| f.moves && matches!(f.kind, Kind::Plate | Kind::Panel);
    let mut out: Vec<Finding> = Vec::new();
    for flat in design.flats.iter().filter(metal) {
        let overlay = format!("{}-overlay", flat.id);
        let under = flat.id.strip_suffix("-overlay");
        for hole in &flat.holes {
            let screw = screws.get(hole.id.as_str());
            let own = |id: &str, owner: &str| {
                owner == hole.owner
                    || id == flat.id
                    || id == overlay
                    || under == Some(id)
                    || screw.is_some_and(|f| {
                        f.id == id
                            || f.nut.as_deref() == Some(id)
                            || f.washer.as_deref() == Some(id)
                            || f.through.iter().any(|p| p.id == id)
                    })
            };
            let edge = hole.edge();
            let [low, high] = edge.bounds();
            let room = |z: [f64; 2]| -> [DVec3; 2] {
                let corners = [(low, z[0]), (high, z[1])].map(|(p, z): (DVec2, f64)| p.extend(z));
                let [a, b] = corners.map(|p| flat.pose.point(p));
                [a.min(b), a.max(b)]
            };
            for [z0, z1] in [[-TO, -FROM], [flat.thickness + FROM, flat.thickness + TO]] {
                let room = room([z0, z1]);
                let mut disc = None;
                for (i, p) in scene.assembly.parts.iter().enumerate() {
                    if !p.moves || !near(room, scene.boxes[i], 0.0) || own(&p.id, &p.owner) {
                        continue;
                    }
                    let body = disc.get_or_insert_with(|| stack(z0, vec![(z1, edge.clone())]));
                    let Some(body) = body else { break };
                    let shape = Prepared::new(body);
                    if clear(&shape, &flat.pose, scene.shape(p), &p.pose) {
                        continue;
                    }
                    let told = |f: &Finding| f.about == [p.owner.clone(), hole.owner.clone()];
                    if !out.iter().any(told) {
                        out.push(finding(scene, flat, &hole.owner, &hole.id, i));
                    }
                }
            }
        }
    }
    out
}

fn clear(disc: &Prepared<'_>, pose: &Pose, other: &Prepared<'_>, there: &Pose) -> bool {
    measure::clear_by(disc, pose, other, there, 1e-6)
}

fn finding(scene: &Scene<'_, '_>, flat: &Flat, owner: &str, hole: &str, i: usize) -> Finding {
    let p = &scene.assembly.parts[i];
    let at = (flat.holes.iter().find(|h| h.id == hole)).map_or(flat.pose.at, |h| {
        flat.pose.point(h.at.extend(flat.thickness))
    });
    Finding {
        id: "hole-covered".into(),
        severity: Severity::Warning,
        about: vec![p.owner.clone(), owner.to_owned()],
        at_mm: at.to_array(),
        measured: 0.0,
        wanted: TO,
        unit: "mm".into(),
        text: format!(
            "{} covers the hole {hole} in {}, {}",
            p.id,
            flat.id,
            place(scene.design, at)
        ),
        hint: format!("move {} or {owner}", p.owner),
        source: "geometry; common practice".into(),
    }
}
