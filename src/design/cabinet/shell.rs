//! Sides, top and bottom with their corner joint, and the grooves.

use super::board;
use crate::assembly::How;
use crate::design::chassis::ChassisFrame;
use crate::design::fasten::Bond;
use crate::design::flat::{Face, Flat, Pocket};
use crate::design::ledger::Ledger;
use crate::design::{CabinetSize, Design};
use crate::outline::Loop;
use crate::params::{Corner, Params};
use crate::pose::Pose;
use glam::{DVec2, DVec3};

/// Sides, top and bottom with their corner joint.
pub(super) fn shell(
    params: &Params,
    size: &CabinetSize,
    material: &str,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let span = &params.cabinet.span;
    let CabinetSize {
        width: w,
        height: h,
        depth: d,
        board: b,
        ..
    } = *size;
    let corner = ledger.choice(
        "cabinet.corner",
        params.cabinet.corner.as_ref(),
        Corner::BoxJoint,
        "box joint",
        "strong and easy to cut with a jig (common practice)",
    );
    // how far the sides reach past floor and roof
    let past = match corner {
        Corner::Butt | Corner::Dovetail => 0.0,
        Corner::Rabbet => b / 2.0,
        Corner::BoxJoint => b,
    };
    let fingers = {
        // an odd count, so that both edges end alike; about as wide as the board is thick
        let n = ((d / b.max(6.0)).floor() as usize).clamp(3, 41);
        if n.is_multiple_of(2) { n - 1 } else { n }
    };
    let (side, flat) = if corner == Corner::BoxJoint {
        ledger.derive("width of a corner joint's fingers", d / fingers as f64, format!("depth {d:.1} / {fingers} fingers, an odd number about as wide as the board's {b:.1}"));
        (
            fingered(d, h + 2.0 * b, b, fingers, true),
            fingered(d, w + 2.0 * b, b, fingers, false),
        )
    } else {
        (
            Loop::rect(DVec2::ZERO, DVec2::new(d, h + 2.0 * past)),
            Loop::rect(DVec2::ZERO, DVec2::new(d, w + 2.0 * b)),
        )
    };
    let left = Pose::from_axes(DVec3::Y, DVec3::Z, DVec3::new(-b, 0.0, -past));
    let right = Pose::from_axes(-DVec3::Y, DVec3::Z, DVec3::new(w + b, d, -past));
    design
        .flats
        .push(board("side-left", material, side.clone(), b, left, span));
    design
        .flats
        .push(board("side-right", material, side, b, right, span));
    // top and bottom: x of their frame runs rear to front (-Y), y to the right, z up; so both show the same fingers
    let lie = |z: f64| Pose::from_axes(-DVec3::Y, DVec3::X, DVec3::new(-b, d, z));
    let mut bottom = board("bottom", material, flat.clone(), b, lie(-b), span);
    let mut top = board("top", material, flat, b, lie(h), span);
    if corner == Corner::Rabbet {
        let cut = |board: &mut Flat, face: Face| {
            for (end, low, high) in [("left", -1.0, b), ("right", w + b, w + 2.0 * b + 1.0)] {
                board.pockets.push(Pocket {
                    id: format!("{}-rabbet-{end}", board.id),
                    low: DVec2::new(-1.0, low),
                    high: DVec2::new(d + 1.0, high),
                    depth: b / 2.0,
                    face,
                });
            }
        };
        cut(&mut bottom, Face::Front);
        cut(&mut top, Face::Back);
    }
    design.flats.push(bottom);
    design.flats.push(top);
    for s in ["side-left", "side-right"] {
        for t in ["bottom", "top"] {
            design.bonds.push(Bond::face(s, t, How::Resting));
        }
    }
}

/// A board of `length` (x) by `over` (y) whose two y ends carry fingers `deep` long; `even`: the first finger stands.
pub(super) fn fingered(length: f64, over: f64, deep: f64, n: usize, even: bool) -> Loop {
    let step = |i: usize| length * i as f64 / n as f64;
    let stands = |i: usize| i.is_multiple_of(2) == even;
    let mut points: Vec<DVec2> = Vec::new();
    let mut push = |p: DVec2| {
        if points.last().is_none_or(|q| q.distance(p) > 1e-9) {
            points.push(p);
        }
    };
    for i in 0..n {
        let y = if stands(i) { 0.0 } else { deep };
        push(DVec2::new(step(i), y));
        push(DVec2::new(step(i + 1), y));
    }
    for i in (0..n).rev() {
        let y = if stands(i) { over } else { over - deep };
        push(DVec2::new(step(i + 1), y));
        push(DVec2::new(step(i), y));
    }
    Loop::polygon(&points)
}

pub(super) fn grooves(size: &CabinetSize, frame: &ChassisFrame, design: &mut Design) {
    let g = &frame.groove;
    for (id, z, mirrored) in [
        ("side-left", g.height_left, false),
        ("side-right", g.height_right, true),
    ] {
        let Some(side) = design.flats.iter_mut().find(|f| f.id == id) else {
            continue;
        };
        let v = z - side.pose.at.z;
        let (mut y0, mut y1) = if frame.from_rear {
            (g.closed_end, size.depth + 1.0)
        } else {
            (-1.0, g.closed_end)
        };
        if mirrored {
            (y0, y1) = (size.depth - y1, size.depth - y0);
        }
        side.pockets.push(Pocket {
            id: format!("{id}-groove"),
            low: DVec2::new(y0, v),
            high: DVec2::new(y1, v + g.width),
            depth: g.depth,
            face: Face::Front,
        });
    }
}
