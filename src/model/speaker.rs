//! The loudspeaker: flange and basket in one, the magnet behind.

use super::{Builder, Label, turned};
use crate::assembly::{Group, Kind};
use crate::design::Design;
use crate::solid::{Hole, Recipe};
use glam::{DVec2, DVec3};

pub(super) fn add(design: &Design, b: &mut Builder) {
    let Some(s) = &design.speaker else { return };
    let (low, high) = if s.from_front {
        (-s.flange, 0.0)
    } else {
        (0.0, s.flange)
    };
    let rear = s.depth - s.magnet_length;
    // The basket as an envelope: full to the cutout behind the flange, 0.8 of it half way, the magnet's width at its end (from memory).
    let mouth = s.cutout / 2.0 - 1.0;
    let waist = (mouth * 0.8).max(s.magnet / 2.0);
    let neck = s.magnet / 2.0;
    let z_waist = high + (rear - high) * 0.5;
    let profile = turned(&[
        (0.0, low),
        (s.frame / 2.0, low),
        (s.frame / 2.0, high),
        (mouth, high),
        (waist, z_waist),
        (neck, rear),
        (0.0, rear),
    ]);
    let Recipe::Turned { profile, .. } = profile else {
        return;
    };
    let holes: Vec<Hole> = s
        .bolts
        .iter()
        .map(|p| Hole {
            at: p.extend(low),
            dir: DVec3::Z,
            profile: vec![
                DVec2::new(0.0, s.bolt_hole / 2.0),
                DVec2::new(s.flange, s.bolt_hole / 2.0),
            ],
            blind: false,
        })
        .collect();
    let label = |id, kind, material| Label {
        id,
        owner: "speaker",
        kind,
        group: Group::Speaker,
        material,
        moves: false,
    };
    b.add_of_mass(
        label("speaker-frame", Kind::SpeakerFrame, "steel low carbon"),
        Recipe::Turned { profile, holes },
        s.pose,
        Some(s.mass * 0.45),
    );
    let magnet = turned(&[(0.0, rear), (neck, rear), (neck, s.depth), (0.0, s.depth)]);
    b.add_of_mass(
        label("speaker-magnet", Kind::Magnet, "ferrite magnet"),
        magnet,
        s.pose,
        Some(s.mass * 0.55),
    );
}
