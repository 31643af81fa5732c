//! The wooden box: its sizes and boards, and in which order they are made.

mod baffle;
mod covering;
mod fittings;
mod shell;
mod strips;
mod wood;

pub(super) use baffle::BaffleFrame;
pub use fittings::{FootSpec, HandleSpec};

use crate::assembly::{Group, How, Kind};
use crate::design::chassis::ChassisFrame;
use crate::design::fasten::Bond;
use crate::design::flat::{Datum, Flat};
use crate::design::ledger::Ledger;
use crate::design::{CabinetSize, Design};
use crate::outline::Loop;
use crate::params::Params;
use crate::pose::Pose;
use baffle::build_baffle;
use covering::covering;
use fittings::{feet, handle};
use glam::{DVec2, DVec3};
use shell::{grooves, shell};
use std::ops::Range;
use strips::{back_boards, cleats};

/// Wood that the cabinet's small parts are made of.
pub(super) const CLEAT_WOOD: &str = "ponderosa pine";

pub(in crate::design) fn size(params: &Params, ledger: &mut Ledger) -> CabinetSize {
    let c = &params.cabinet;
    let front = c.width.value.0;
    let rear = c.width_rear.as_ref().map_or(front, |w| w.value.0);
    let width = front.min(rear);
    if (front - rear).abs() > 0.0 {
        ledger.derive("inside width that passes", width, format!("the narrower of front {front:.1} and rear {rear:.1}; the solids are built at this width"));
    }
    if (front - rear).abs() > 10.0 {
        let span = c.width_rear.as_ref().map_or(0..0, |w| w.span.clone());
        ledger.error(
            span,
            format!(
                "front and rear width differ by {:.1} mm",
                (front - rear).abs()
            ),
            "a difference of a few mm, as built",
            "measure both widths again; a tapered cabinet is not a grooved one",
        );
    }
    CabinetSize {
        width,
        widest: front.max(rear),
        height: c.height.value.0,
        depth: c.depth.value.0,
        board: ledger.length_by_unit(
            "cabinet.board",
            c.board.as_ref(),
            18.0,
            0.75,
            "usual cabinet board (common practice)",
        ),
        covering: ledger.length(
            "cabinet.covering",
            c.covering.as_ref(),
            0.9,
            "usual vinyl covering (from memory)",
        ),
    }
}

pub(super) fn wood(params: &Params, ledger: &mut Ledger) -> String {
    match &params.cabinet.material {
        Some(m) => ledger.material(m),
        None => {
            ledger.took(
                "cabinet.material",
                "birch plywood",
                "common cabinet stock (common practice)",
            );
            "birch plywood".into()
        }
    }
}

/// A board of the box with nothing in it yet.
pub(super) fn board(
    id: &str,
    material: &str,
    outline: Loop,
    thickness: f64,
    pose: Pose,
    span: &Range<usize>,
) -> Flat {
    Flat {
        id: id.into(),
        kind: Kind::Board,
        group: Group::Cabinet,
        material: material.into(),
        moves: false,
        outline,
        bevel: None,
        thickness,
        datum: Datum::LowLow,
        holes: Vec::new(),
        pockets: Vec::new(),
        pose,
        span: span.clone(),
    }
}

/// Side of the usual cleat, by the catalogue, mm.
pub(super) fn cleat_side() -> f64 {
    crate::catalogue::usual_fitting("cleat")
        .and_then(|row| row.width)
        .unwrap_or(19.0)
}

pub(super) fn cleat(id: &str, kind: Kind, size: DVec3, pose: Pose, span: &Range<usize>) -> Flat {
    Flat {
        kind,
        ..board(
            id,
            CLEAT_WOOD,
            Loop::rect(DVec2::ZERO, DVec2::new(size.x, size.y)),
            size.z,
            pose,
            span,
        )
    }
}

pub(in crate::design) fn build(
    params: &Params,
    size: &CabinetSize,
    baffle: Option<&BaffleFrame>,
    chassis: Option<&ChassisFrame>,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let material = wood(params, ledger);
    shell(params, size, &material, design, ledger);
    if let Some(frame) = chassis {
        grooves(size, frame, design);
    }
    if let Some(b) = baffle {
        build_baffle(params, size, b, chassis, &material, design, ledger);
    }
    cleats(params, size, design, ledger);
    back_boards(params, size, &material, design, ledger);
    covering(params, size, chassis, design, ledger);
    resting(design);
    feet(params, size, design, ledger);
    handle(params, size, design, ledger);
}

/// Strips, cleats and boards of the box that the design sets against one another.
pub(super) fn resting(design: &mut Design) {
    let loose = |f: &Flat| matches!(f.kind, Kind::Covering | Kind::Cleat);
    let boxes: Vec<(&Flat, [DVec3; 2])> = design
        .flats
        .iter()
        .filter(|f| f.group == Group::Cabinet && (loose(f) || f.kind == Kind::Board))
        .map(|f| (f, flat_box(f)))
        .collect();
    let mut bonds = Vec::new();
    for (i, (a, a_box)) in boxes.iter().enumerate() {
        for (b, b_box) in &boxes[i + 1..] {
            if (loose(a) || loose(b)) && touching(a_box, b_box) {
                bonds.push(Bond::face(&a.id, &b.id, How::Resting));
            }
        }
    }
    design.bonds.extend(bonds);
}

pub(super) fn touching(a: &[DVec3; 2], b: &[DVec3; 2]) -> bool {
    (0..3).all(|k| a[0][k] <= b[1][k] + 1e-6 && b[0][k] <= a[1][k] + 1e-6)
}

/// Box of a flat part from its outline's corners: exact for the rectangles it is used on.
pub(super) fn flat_box(f: &Flat) -> [DVec3; 2] {
    let mut low = DVec3::INFINITY;
    let mut high = DVec3::NEG_INFINITY;
    for n in &f.outline.nodes {
        for z in [0.0, f.thickness] {
            let p = f.pose.point(n.at.extend(z));
            low = low.min(p);
            high = high.max(p);
        }
    }
    [low, high]
}
