//! Toroids between their pads, C-cores under their band.

use super::{Builder, Label, prism, rect, through};
use crate::assembly::{Group, Kind};
use crate::design::{BAND, IRON, IronSpec};
use crate::outline::{Arc, Loop, Node, Region};
use crate::pose::Pose;
use crate::solid::{Layer, Recipe};
use glam::{DVec2, DVec3};

struct Piece<'a> {
    word: &'a str,
    kind: Kind,
    material: &'a str,
    mass: Option<f64>,
}

fn add(s: &IronSpec, b: &mut Builder, piece: &Piece<'_>, recipe: Recipe, pose: Pose) {
    let id = format!("{}-{}", s.id, piece.word);
    let group = if s.component {
        Group::Above
    } else {
        Group::Below
    };
    b.add_of_mass(
        Label {
            id: &id,
            owner: &s.id,
            kind: piece.kind,
            group,
            material: piece.material,
            moves: true,
        },
        recipe,
        pose,
        piece.mass,
    );
}

fn ring(outside: f64, inside: f64, z: [f64; 2]) -> Recipe {
    let mut region = Region::solid(Loop::circle(DVec2::ZERO, outside / 2.0));
    region.inner.push(Loop::circle(DVec2::ZERO, inside / 2.0));
    Recipe::Layered {
        base: z[0],
        layers: vec![Layer::new(z[1], region)],
        holes: Vec::new(),
    }
}

/// Pad, winding, pad and washer, each a ring on the bolt's axis. The winding carries the whole mass of the transformer.
pub(super) fn toroid(s: &IronSpec, b: &mut Builder) {
    let pad = 0.8 * s.length;
    let (low, high) = (s.spacer, s.spacer + s.stack);
    let top = high + s.spacer;
    let rubber = |word| Piece {
        word,
        kind: Kind::Washer,
        material: "rubber",
        mass: None,
    };
    add(s, b, &rubber("pad"), ring(pad, s.hole, [0.0, low]), s.pose);
    let coil = Piece {
        word: "coil",
        kind: Kind::Coil,
        material: "copper",
        mass: Some(s.mass),
    };
    add(s, b, &coil, ring(s.length, s.bore, [low, high]), s.pose);
    add(
        s,
        b,
        &rubber("pad-top"),
        ring(pad, s.hole, [high, top]),
        s.pose,
    );
    let washer = Piece {
        word: "washer",
        kind: Kind::Washer,
        material: "steel low carbon",
        mass: None,
    };
    add(
        s,
        b,
        &washer,
        ring(0.7 * s.length, s.hole, [top, top + s.sheet]),
        s.pose,
    );
}

/// Width of a C-core's band, mm (from memory).
const BAND_WIDTH: f64 = 12.0;

/// A foot plate, on it both loops as one block with round corners, a band over them, the coil standing out in front and behind.
pub(super) fn banded(s: &IronSpec, b: &mut Builder) {
    let (l, h, t) = (s.length / 2.0, s.height, s.sheet);
    // as far beyond the holes as these are beyond the band
    let tip = s.holes.x - l - BAND;
    let edge = (s.holes.y / 2.0 + (tip - s.holes.x / 2.0)).max(s.stack / 2.0);
    let holes = s
        .mounts()
        .into_iter()
        .map(|m| through(m.extend(0.0), DVec3::Z, s.hole / 2.0, t))
        .collect();
    let window = (s.length - 4.0 * s.tongue) / 2.0;
    let open = s.height - 2.0 * s.tongue;
    let iron =
        ((s.length * s.height - 2.0 * window * open) * s.stack * 1e-9 * IRON).min(s.mass * 0.9);
    let rest = s.mass - iron;
    let steel = |word, share: f64| Piece {
        word,
        kind: Kind::Iron,
        material: "steel low carbon",
        mass: Some(rest * share),
    };
    let feet = prism(
        rect(DVec2::ZERO, DVec2::new(2.0 * tip, 2.0 * edge)),
        0.0,
        t,
        holes,
    );
    add(s, b, &steel("feet", 0.15), feet, s.pose);
    // the core's own axes: x as the transformer's, y up from the foot plate, z to its front
    let upright = |half: f64| {
        s.pose.then(&Pose::from_axes(
            DVec3::X,
            DVec3::Z,
            DVec3::new(0.0, half, t),
        ))
    };
    let r = s.tongue * 0.6;
    let block = Loop::rect(DVec2::new(-l, 0.0), DVec2::new(l, h));
    let block = block.rounded(r).unwrap_or(block);
    let core = Piece {
        word: "core",
        kind: Kind::Iron,
        material: "lamination core",
        mass: Some(iron),
    };
    add(
        s,
        b,
        &core,
        prism(block, 0.0, s.stack, Vec::new()),
        upright(s.stack / 2.0),
    );
    let wide = s.stack.min(BAND_WIDTH);
    add(
        s,
        b,
        &steel("band", 0.05),
        prism(band(l, h, r), 0.0, wide, Vec::new()),
        upright(wide / 2.0),
    );
    let size = DVec2::new(s.length - 2.0 * s.tongue - 1.0, s.bell);
    for (word, side) in [("coil-front", -1.0), ("coil-rear", 1.0)] {
        let centre = DVec2::new(0.0, side * (s.stack + s.bell) / 2.0);
        let coil = prism(
            rect(centre, size),
            t + (h - open + 1.0) / 2.0,
            t + (h + open - 1.0) / 2.0,
            Vec::new(),
        );
        let piece = Piece {
            word,
            kind: Kind::Coil,
            material: "copper",
            mass: Some(rest * 0.4),
        };
        add(s, b, &piece, coil, s.pose);
    }
}

/// A strap from foot plate to foot plate over a block with corners of radius `r`: `l` to both sides, `h` high.
fn band(l: f64, h: f64, r: f64) -> Loop {
    let o = BAND;
    let line = |x: f64, y: f64| Node {
        at: DVec2::new(x, y),
        arc: None,
    };
    let arc = |x: f64, y: f64, side: f64, ccw: bool| Node {
        at: DVec2::new(x, y),
        arc: Some(Arc {
            centre: DVec2::new(side * (l - r), h - r),
            ccw,
        }),
    };
    Loop {
        nodes: vec![
            line(l + o, 0.0),
            arc(l + o, h - r, 1.0, true),
            line(l - r, h + o),
            arc(-l + r, h + o, -1.0, true),
            line(-l - o, h - r),
            line(-l - o, 0.0),
            line(-l, 0.0),
            arc(-l, h - r, -1.0, false),
            line(-l + r, h),
            arc(l - r, h, 1.0, false),
            line(l, h - r),
            line(l, 0.0),
        ],
    }
}
