//! Cleats, glue blocks and back boards.

use super::wood::{WoodScrew, wood_screw};
use super::{CLEAT_WOOD, board, cleat, cleat_side};
use crate::assembly::{How, Kind};
use crate::design::fasten::{self, Bond};
use crate::design::flat::Flat;
use crate::design::ledger::Ledger;
use crate::design::{CabinetSize, Design};
use crate::outline::Loop;
use crate::params::{Against, BlockCorner, Params};
use crate::pose::Pose;
use glam::{DVec2, DVec3};

pub(super) fn cleats(
    params: &Params,
    size: &CabinetSize,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let CabinetSize {
        width: w,
        height: h,
        depth: d,
        ..
    } = *size;
    for c in &params.cabinet.cleat {
        let id = &c.id.value.0;
        let off = ledger.length(
            &format!("{id}.stands-off"),
            c.stands_off.as_ref(),
            cleat_side(),
            "usual cleat section (catalogue, common practice)",
        );
        let wide = ledger.length(
            &format!("{id}.wide"),
            c.wide.as_ref(),
            cleat_side(),
            "usual cleat section (catalogue, common practice)",
        );
        let y = c.front.value.0;
        let run = if matches!(c.against.value, Against::Left | Against::Right) {
            h
        } else {
            w
        };
        let from = c.from.as_ref().map_or(0.0, |v| v.value.0);
        let to = c.to.as_ref().map_or(run, |v| v.value.0);
        if !(from >= 0.0 && to <= run && to - from > 1.0) || y < 0.0 || y + wide > d {
            ledger.error(c.span.clone(), format!("cleat `{id}` does not lie inside the cabinet"), format!("from {from:.1} to {to:.1} within 0 to {run:.1}, front {y:.1} and width {wide:.1} within 0 to {d:.1}"), "");
            continue;
        }
        let long = to - from;
        let (size3, pose, wall) = match c.against.value {
            Against::Left => (
                DVec3::new(wide, long, off),
                Pose::from_axes(DVec3::Y, DVec3::Z, DVec3::new(0.0, y, from)),
                "side-left",
            ),
            Against::Right => (
                DVec3::new(wide, long, off),
                Pose::from_axes(-DVec3::Y, DVec3::Z, DVec3::new(w, y + wide, from)),
                "side-right",
            ),
            Against::Floor => (
                DVec3::new(long, wide, off),
                Pose::from_axes(DVec3::X, DVec3::Y, DVec3::new(from, y, 0.0)),
                "bottom",
            ),
            Against::Roof => (
                DVec3::new(long, wide, off),
                Pose::from_axes(DVec3::X, -DVec3::Y, DVec3::new(from, y + wide, h)),
                "top",
            ),
        };
        design
            .flats
            .push(cleat(id, Kind::Cleat, size3, pose, &c.span));
        design.bonds.push(Bond::face(id, wall, How::Resting));
    }
    for c in &params.cabinet.block {
        let id = &c.id.value.0;
        let leg = ledger.length(
            &format!("{id}.leg"),
            c.leg.as_ref(),
            19.0,
            "usual glue block (common practice)",
        );
        let long = ledger.length(
            &format!("{id}.length"),
            c.length.as_ref(),
            60.0,
            "usual glue block (common practice)",
        );
        let y = c.front.value.0;
        if y < 0.0 || y + long > d {
            ledger.error(
                c.span.clone(),
                format!("block `{id}` does not lie inside the cabinet"),
                format!("front {y:.1} and length {long:.1} within 0 to {d:.1}"),
                "",
            );
            continue;
        }
        let (x, up, corner, walls) = match c.corner.value {
            BlockCorner::FloorLeft => (
                DVec3::Z,
                DVec3::X,
                DVec3::new(0.0, y, 0.0),
                ["side-left", "bottom"],
            ),
            BlockCorner::FloorRight => (
                -DVec3::X,
                DVec3::Z,
                DVec3::new(w, y, 0.0),
                ["side-right", "bottom"],
            ),
            BlockCorner::RoofLeft => (
                DVec3::X,
                -DVec3::Z,
                DVec3::new(0.0, y, h),
                ["side-left", "top"],
            ),
            BlockCorner::RoofRight => (
                -DVec3::Z,
                -DVec3::X,
                DVec3::new(w, y, h),
                ["side-right", "top"],
            ),
        };
        let outline = Loop::polygon(&[DVec2::ZERO, DVec2::new(leg, 0.0), DVec2::new(0.0, leg)]);
        design.flats.push(Flat {
            kind: Kind::Cleat,
            ..board(
                id,
                CLEAT_WOOD,
                outline,
                long,
                Pose::from_axes(x, up, corner),
                &c.span,
            )
        });
        for wall in walls {
            design.bonds.push(Bond::face(id, wall, How::Resting));
        }
    }
}

pub(super) fn back_boards(
    params: &Params,
    size: &CabinetSize,
    material: &str,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let CabinetSize {
        width: w,
        height: h,
        depth: d,
        covering,
        ..
    } = *size;
    for b in &params.cabinet.back_board {
        let id = &b.id.value.0;
        let t = ledger.length_by_unit(
            &format!("{id}.thickness"),
            b.thickness.as_ref(),
            12.0,
            0.5,
            "usual back board (common practice)",
        );
        let play = ledger.length(
            &format!("{id}.play"),
            b.play.as_ref(),
            1.0,
            "room for covering and season (common practice)",
        );
        let bottom = ledger.length(
            &format!("{id}.bottom"),
            b.bottom.as_ref(),
            covering + play,
            "just over the covering",
        );
        let high = b.height.value.0;
        if bottom < 0.0 || bottom + high > h || t >= d {
            ledger.error(
                b.span.clone(),
                format!(
                    "back board `{id}` reaches from {bottom:.1} to {:.1} mm",
                    bottom + high
                ),
                format!("within the inside height of {h:.1} mm"),
                "",
            );
            continue;
        }
        let side = covering + play;
        let long = ledger.derive(
            format!("length of {id}"),
            w - 2.0 * side,
            format!("inside {w:.1} - 2 x ({covering:.1} covering + {play:.1} play)"),
        );
        // seen from the rear, but turned inside out: z = 0 is the outer face, so that screws go along +z
        let pose = Pose::from_axes(DVec3::X, DVec3::Z, DVec3::new(side, d, bottom));
        let mut flat = Flat {
            kind: Kind::BackBoard,
            ..board(
                id,
                material,
                Loop::rect(DVec2::ZERO, DVec2::new(long, high)),
                t,
                pose,
                &b.span,
            )
        };
        let row = fasten::screw_or(
            ledger,
            &format!("{id}.screw"),
            b.screw.as_ref(),
            "#8 wood",
            "#8 wood",
        );
        let n = b.screws.as_ref().map_or(2, |c| c.value.0.min(50)) as usize;
        for (end, x) in [("left", 0.0), ("right", w)] {
            let cid = format!("{id}-cleat-{end}");
            let x0 = if end == "left" { 0.0 } else { x - cleat_side() };
            let pose = Pose::from_axes(DVec3::X, DVec3::Z, DVec3::new(x0, d - t, bottom));
            let mut strip = cleat(
                &cid,
                Kind::Cleat,
                DVec3::new(cleat_side(), high, cleat_side()),
                pose,
                &b.span,
            );
            // in the cleat's visible half, clear of the board's end
            let inset = 12.0_f64.max(side + 8.0);
            let x_screw = if end == "left" { inset } else { w - inset };
            for k in 0..n {
                let y = high * (k as f64 + 0.5) / n as f64;
                let screw = format!("{id}-screw-{end}-{}", k + 1);
                wood_screw(
                    design,
                    WoodScrew {
                        id: &screw,
                        owner: id,
                        row,
                        through: &mut flat,
                        into: &mut strip,
                        at: DVec2::new(x_screw - side, y),
                        at_into: DVec2::new(x_screw - x0, y),
                        bite: 13.0,
                        span: &b.span,
                    },
                );
            }
            design
                .bonds
                .push(Bond::face(&cid, &format!("side-{end}"), How::Resting));
            design.bonds.push(Bond::face(&cid, id, How::Bolted));
            design.flats.push(strip);
        }
        design.flats.push(flat);
    }
}
