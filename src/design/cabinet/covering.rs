//! Strips of covering where it turns in at the rear edge.

use super::{board, flat_box};
use crate::assembly::{How, Kind};
use crate::design::chassis::ChassisFrame;
use crate::design::fasten::Bond;
use crate::design::flat::Flat;
use crate::design::ledger::Ledger;
use crate::design::{CabinetSize, Design};
use crate::outline::Loop;
use crate::params::Params;
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::ops::Range;

/// Strips of covering where it turns in at the rear edge: butted in the corners, cut clear of grooves and cleats.
pub(super) fn covering(
    params: &Params,
    size: &CabinetSize,
    chassis: Option<&ChassisFrame>,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let CabinetSize {
        width: w,
        height: h,
        depth: d,
        covering: t,
        ..
    } = *size;
    if t <= 0.0 {
        return;
    }
    let span = &params.cabinet.span;
    let turn_in = ledger.length(
        "cabinet.turn-in",
        params.cabinet.turn_in.as_ref(),
        20.0,
        "usual turn-in (common practice)",
    );
    let relieved = ledger.choice(
        "cabinet.relieved",
        params.cabinet.relieved.as_ref(),
        true,
        "true",
        "the covering would fill part of the groove",
    );
    if turn_in <= 0.0 || turn_in > d {
        ledger.error(
            span.clone(),
            format!("the covering turns in {turn_in:.1} mm"),
            format!("more than 0, at most the depth of {d:.1} mm"),
            "",
        );
        return;
    }
    let clear = if relieved { 1.0 } else { 0.0 };
    for (end, left) in [("left", true), ("right", false)] {
        // heights that something else takes at the wall
        let mut taken: Vec<[f64; 2]> = Vec::new();
        if let Some(c) = chassis.filter(|c| c.from_rear) {
            let z = if left {
                c.groove.height_left
            } else {
                c.groove.height_right
            };
            taken.push([z - clear, z + c.groove.width + clear]);
        }
        let wall = format!("side-{end}");
        for f in &design.flats {
            let on_wall =
                f.kind == Kind::Cleat && design.bonds.iter().any(|b| b.a == f.id && b.b == wall);
            if on_wall {
                let bounds = flat_box(f);
                if bounds[1].y > d - turn_in - 1.0 {
                    taken.push([bounds[0].z - 0.5, bounds[1].z + 0.5]);
                }
            }
        }
        for (k, [z0, z1]) in free_runs([0.0, h], taken).into_iter().enumerate() {
            let id = format!("covering-{end}-{}", k + 1);
            let size3 = DVec3::new(turn_in, z1 - z0, t);
            let pose = if left {
                Pose::from_axes(DVec3::Y, DVec3::Z, DVec3::new(0.0, d - turn_in, z0))
            } else {
                Pose::from_axes(-DVec3::Y, DVec3::Z, DVec3::new(w, d, z0))
            };
            strip(&id, size3, pose, &wall, design, span);
        }
    }
    for (wall, z, dir) in [("bottom", 0.0, DVec3::Y), ("top", h, -DVec3::Y)] {
        let mut taken: Vec<[f64; 2]> = Vec::new();
        for f in &design.flats {
            if f.kind == Kind::Cleat && design.bonds.iter().any(|b| b.a == f.id && b.b == wall) {
                let bounds = flat_box(f);
                if bounds[1].y > d - turn_in - 1.0 {
                    taken.push([bounds[0].x - 0.5, bounds[1].x + 0.5]);
                }
            }
        }
        for (k, [x0, x1]) in free_runs([t, w - t], taken).into_iter().enumerate() {
            let id = format!("covering-{wall}-{}", k + 1);
            let y0 = if wall == "bottom" { d - turn_in } else { d };
            strip(
                &id,
                DVec3::new(x1 - x0, turn_in, t),
                Pose::from_axes(DVec3::X, dir, DVec3::new(x0, y0, z)),
                wall,
                design,
                span,
            );
        }
    }
}

pub(super) fn strip(
    id: &str,
    size: DVec3,
    pose: Pose,
    wall: &str,
    design: &mut Design,
    span: &Range<usize>,
) {
    let outline = Loop::rect(DVec2::ZERO, DVec2::new(size.x, size.y));
    design.flats.push(Flat {
        kind: Kind::Covering,
        ..board(id, "vinyl covering", outline, size.z, pose, span)
    });
    design.bonds.push(Bond::face(id, wall, How::Resting));
}

/// What is left of a run when pieces of it are taken; pieces under 2 mm are not worth gluing.
pub(super) fn free_runs([low, high]: [f64; 2], mut taken: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    taken.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut out = Vec::new();
    let mut at = low;
    for [a, b] in taken {
        if a - at > 2.0 {
            out.push([at, a.min(high)]);
        }
        at = at.max(b);
    }
    if high - at > 2.0 {
        out.push([at, high]);
    }
    out
}
