//! The loudspeaker: flange and basket in one, the magnet behind.

use super::{Builder, Label, through, turned};
use crate::assembly::{Group, Kind};
use crate::design::{Design, Oval, SpeakerSpec};
use crate::outline::{Loop, Region};
use crate::solid::{Hole, Layer, Recipe};
use glam::{DVec2, DVec3};

pub(super) fn add(design: &Design, b: &mut Builder) {
    let Some(s) = &design.speaker else { return };
    let (low, high) = if s.from_front {
        (-s.flange, 0.0)
    } else {
        (0.0, s.flange)
    };
    let rear = s.depth - s.magnet_length;
    let frame = match &s.oval {
        Some(oval) => oval_basket(s, oval, [low, high, rear]),
        None => round_basket(s, [low, high, rear]),
    };
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
        frame,
        s.pose,
        Some(s.mass * 0.45),
    );
    let neck = s.magnet / 2.0;
    let magnet = turned(&[(0.0, rear), (neck, rear), (neck, s.depth), (0.0, s.depth)]);
    b.add_of_mass(
        label("speaker-magnet", Kind::Magnet, "ferrite magnet"),
        magnet,
        s.pose,
        Some(s.mass * 0.55),
    );
}

/// The basket as an envelope: full to the cutout behind the flange, 0.8 of it half way, the magnet's width at its end (from memory).
fn round_basket(s: &SpeakerSpec, [low, high, rear]: [f64; 3]) -> Recipe {
    let mouth = s.cutout / 2.0 - 1.0;
    let waist = (mouth * 0.8).max(s.magnet / 2.0);
    let neck = s.magnet / 2.0;
    let z_waist = high + (rear - high) * 0.5;
    let mut recipe = turned(&[
        (0.0, low),
        (s.frame / 2.0, low),
        (s.frame / 2.0, high),
        (mouth, high),
        (waist, z_waist),
        (neck, rear),
        (0.0, rear),
    ]);
    if let Recipe::Turned { holes, .. } = &mut recipe {
        *holes = bolt_holes(s, low);
    }
    recipe
}

/// The same of an oval one in two steps, outside its slopes: a flange with round ends, an oval as large as the cutout to half way, an oval of
/// 0.8 of it, no smaller than the magnet, to the rear.
fn oval_basket(s: &SpeakerSpec, o: &Oval, [low, high, rear]: [f64; 3]) -> Recipe {
    let size = o.lying(o.frame);
    let (long, short) = (size.max_element(), size.min_element());
    let end = o.lying(DVec2::new((long - short) / 2.0, 0.0));
    let mouth = o.cutout - DVec2::splat(2.0);
    let waist = (mouth * 0.8).max(DVec2::splat(s.magnet + 1.0));
    let oval = |size: DVec2| Region::solid(Loop::oval(DVec2::ZERO, o.lying(size)));
    Recipe::Layered {
        base: low,
        layers: vec![
            Layer::new(high, Region::solid(Loop::slot(-end, end, short / 2.0))),
            Layer::new(high + (rear - high) * 0.5, oval(mouth)),
            Layer::new(rear, oval(waist)),
        ],
        holes: bolt_holes(s, low),
    }
}

fn bolt_holes(s: &SpeakerSpec, low: f64) -> Vec<Hole> {
    s.bolts
        .iter()
        .map(|p| through(p.extend(low), DVec3::Z, s.bolt_hole / 2.0, s.flange))
        .collect()
}
