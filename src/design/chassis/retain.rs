//! What holds and clamps the plate on each side.

use super::ChassisFrame;
use crate::assembly::{Group, How, Kind};
use crate::design::bolt::{BoltedJoint, add_screw, along};
use crate::design::fasten::{self, Bond, Fastener, Passed};
use crate::design::flat::{AngleBar, Datum, Face, Flat, FlatHole, HoleShape, Marked};
use crate::design::ledger::{Ledger, Remark};
use crate::design::{CabinetSize, Design, InsertSpec, insert};
use crate::outline::Loop;
use crate::params::{Head, PanelFit, Params, Retain, RetainKind};
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::ops::Range;

/// Screws into blocks under the plate's edges, or brackets on them.
pub(super) fn retain(
    params: &Params,
    size: &CabinetSize,
    frame: &ChassisFrame,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let Some(c) = params.chassis.as_ref() else {
        return;
    };
    let table = c.retain.as_ref();
    let two = frame.front.is_some() && frame.rear.is_some();
    let usual = if two {
        RetainKind::Bracket
    } else {
        RetainKind::Screw
    };
    let why = if two {
        "a block would stand in the way of the far panel"
    } else {
        "clamps the plate to one face of the groove (common practice)"
    };
    let kind = ledger.choice(
        "chassis.retain.kind",
        table.and_then(|r| r.kind.as_ref()),
        usual,
        usual.word(),
        why,
    );
    let span = table.map_or(c.span.clone(), |r| r.span.clone());
    design.groove_strip = table.and_then(|r| r.strip.as_ref()).map(|s| s.value.0);
    if kind == RetainKind::None {
        strip(table, frame, ledger);
        return;
    }
    let typed = table.and_then(|r| r.screw.as_ref());
    let row = match kind {
        RetainKind::Screw => {
            fasten::screw_or(ledger, "chassis.retain.screw", typed, "#8 wood", "#8 wood")
        }
        _ => fasten::screw_or(ledger, "chassis.retain.screw", typed, "M4", "#8"),
    };
    if row.wood != (kind == RetainKind::Screw) {
        ledger.error(
            span.clone(),
            format!("a `{}` does not go with `{}`", row.id, kind.word()),
            "a wood screw for `screw`, a machine screw otherwise",
            "",
        );
        return;
    }
    let set_in = if kind == RetainKind::Insert {
        let measured = table.is_some_and(|r| r.measured.as_ref().is_some_and(|m| m.value));
        let at = typed.map_or(span.clone(), |s| s.span.clone());
        match insert::for_screw("wood insert", row, "retain", measured, &at, ledger) {
            Some(found) => Some(found),
            None => return,
        }
    } else {
        None
    };
    let plate = frame.plate;
    let leg = design.angles.first().map_or(0.0, |a| a.leg);
    // a panel under the plate pushes the angle in by its thickness
    let entry = if frame.from_rear {
        &frame.rear
    } else {
        &frame.front
    };
    let inside = entry
        .as_ref()
        .filter(|p| p.fit == PanelFit::Under)
        .map_or(0.0, |p| p.thickness);
    let block = 40.0;
    let from_edge = ledger.length(
        "chassis.retain.from-edge",
        table.and_then(|r| r.from_edge.as_ref()),
        inside + leg + block / 2.0 + 3.0,
        "clear of the angle",
    );
    let y = if frame.from_rear {
        plate.depth - from_edge
    } else {
        from_edge
    };
    if !(y > block / 2.0 && y < plate.depth - block / 2.0) {
        ledger.error(
            span.clone(),
            format!("the retaining screws fall {from_edge:.1} mm from the plate's edge"),
            format!("{:.1} to {:.1}", block / 2.0, plate.depth - block / 2.0),
            "change `from-edge`",
        );
        return;
    }
    for (end, x, inward) in [("left", 10.0, 1.0), ("right", size.width - 10.0, -1.0)] {
        if kind == RetainKind::Bracket {
            bracket(frame, size, end, y, inward, row, &span, design, ledger);
            continue;
        }
        // the block's face lies on the plate's wiring face
        let wiring = plate.wiring(x, y);
        let id = format!("retain-{end}-block");
        let pose = wiring.offset(DVec3::new(
            -10.0 + if inward < 0.0 { 1.0 } else { 0.0 },
            -block / 2.0,
            0.0,
        ));
        let inset = if inward < 0.0 { 9.0 } else { 10.0 };
        let sid = format!("retain-{end}-screw");
        let bite = 14.0;
        design.flats.push(Flat {
            id: id.clone(),
            kind: Kind::Cleat,
            group: Group::Cabinet,
            material: "yellow birch".into(),
            moves: false,
            outline: Loop::rect(DVec2::ZERO, DVec2::new(19.0, block)),
            bevel: None,
            thickness: 19.0,
            datum: Datum::LowLow,
            holes: vec![FlatHole {
                id: format!("{sid}-pilot"),
                at: DVec2::new(inset, block / 2.0),
                shape: match set_in {
                    Some(i) => HoleShape::Pilot {
                        drill: i.hole,
                        thread: i.outside,
                        depth: i.length.max(bite) + 1.0,
                        face: Face::Back,
                    },
                    None => HoleShape::Pilot {
                        drill: row.pilot.unwrap_or(row.major),
                        thread: row.major,
                        depth: bite + 1.0,
                        face: Face::Back,
                    },
                },
                purpose: set_in.map_or_else(
                    || format!("pilot for {}", row.id),
                    |i| format!("{}, turned in flush; try its hole in scrap", i.id),
                ),
                marked: Marked::Transferred {
                    from: "plate".into(),
                },
                owner: id.clone(),
                span: span.clone(),
            }],
            pockets: Vec::new(),
            pose,
            span: span.clone(),
        });
        design
            .bonds
            .push(Bond::face(&id, &format!("side-{end}"), How::Resting));
        design
            .bonds
            .push(Bond::gap(&id, "plate", How::Bolted, FACE_OF_GROOVE));
        let held_by = match set_in {
            Some(i) => {
                let insert = format!("retain-{end}-insert");
                design.bonds.push(Bond::face(&insert, &id, How::Threaded));
                design
                    .bonds
                    .push(Bond::gap(&insert, "plate", How::Bolted, FACE_OF_GROOVE));
                design.inserts.push(InsertSpec {
                    id: insert.clone(),
                    owner: id.clone(),
                    row: i,
                    bore: row.major,
                    flange: 0.0,
                    group: Group::Cabinet,
                    pose: wiring,
                });
                insert
            }
            None => id,
        };
        let hole = row.normal;
        let comp = plate.component(x, y);
        if let Some(flat) = design.flats.iter_mut().find(|f| f.id == "plate") {
            flat.holes.push(FlatHole {
                id: sid.clone(),
                at: plate.local(comp.at),
                shape: HoleShape::Round { d: hole },
                purpose: format!("retaining screw {}", row.id),
                marked: Marked::Scribed,
                owner: sid.clone(),
                span: span.clone(),
            });
        }
        design.fasteners.push(Fastener {
            id: sid.clone(),
            nut: None,
            washer: Some(format!("retain-{end}-washer")),
            owner: sid,
            group: Group::Chassis,
            moves: false,
            row,
            head: Head::Pan,
            length: fasten::stock_within(row, plate.thickness + 8.0, plate.thickness + bite),
            pose: along(-comp.dir(DVec3::Z), comp.at),
            sunk: 0.0,
            grip: 0.0,
            through: vec![Passed {
                id: "plate".into(),
                gap: (hole - row.major) / 2.0,
            }],
            bites: Some(held_by),
        });
    }
    strip(table, frame, ledger);
}

/// Whether an anti-rattle strip goes in beside the plate.
fn strip(table: Option<&Retain>, frame: &ChassisFrame, ledger: &mut Ledger) {
    if let Some(strip) = table.and_then(|r| r.strip.as_ref()) {
        let free = frame.groove.width - frame.plate.thickness;
        if strip.value.0 >= free {
            ledger.remarks.push(Remark {
                check: "groove-strip",
                error: false,
                about: vec!["plate".into()],
                measured: free,
                wanted: strip.value.0,
                text: format!("an anti-rattle strip of {:.2} mm does not go into the {free:.2} mm beside the plate", strip.value.0),
                hint: "a thinner strip, or a wider groove".into(),
                source: "arithmetic",
            });
        }
    }
}

/// A plate resting on its groove and a block glued level with it may stand this far apart, mm.
pub(super) const FACE_OF_GROOVE: f64 = 0.05;

#[expect(
    clippy::too_many_arguments,
    reason = "one call, and each is a different fact"
)]
pub(super) fn bracket(
    frame: &ChassisFrame,
    size: &CabinetSize,
    end: &str,
    y: f64,
    inward: f64,
    row: &'static crate::catalogue::ScrewRow,
    span: &Range<usize>,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let plate = frame.plate;
    let id = format!("retain-{end}-bracket");
    let (leg, t, length) = (19.05, 1.6, 20.0);
    let gauge = t + (leg - t) / 2.0;
    let up = plate.component(0.0, 0.0).dir(DVec3::Z);
    // x of the L along the plate, y along the side
    let inward = DVec3::X * inward;
    let axis = inward.cross(up);
    let side = if inward.x > 0.0 { 0.0 } else { size.width };
    let z = plate.component(0.0, 0.0).at.z;
    let start = DVec3::new(side, plate.y0 + y - axis.y * length / 2.0, z);
    let pose = Pose::from_axes(inward, up, start);
    let wood = fasten::screw_or(
        ledger,
        "chassis.retain wood screw",
        None,
        "#8 wood",
        "#8 wood",
    );
    design.angles.push(AngleBar {
        id: id.clone(),
        kind: Kind::Bracket,
        group: Group::Chassis,
        moves: false,
        material: "steel low carbon".into(),
        leg,
        thickness: t,
        fillet: 0.0,
        length,
        plate_leg: vec![(length / 2.0, row.normal)],
        panel_leg: vec![(length / 2.0, wood.normal)],
        gauge,
        pose,
        span: span.clone(),
    });
    design.bonds.push(Bond::face(&id, "plate", How::Bolted));
    design
        .bonds
        .push(Bond::face(&id, &format!("side-{end}"), How::Bolted));
    // the head on the bracket, where a screwdriver gets to it with the chassis in its place; the nut on the wiring side is fixed to the plate
    let sid = format!("retain-{end}-screw");
    let at = pose.point(DVec3::new(gauge, t, length / 2.0));
    if let Some(flat) = design.flats.iter_mut().find(|f| f.id == "plate") {
        flat.holes.push(FlatHole {
            id: sid.clone(),
            at: plate.local(at),
            shape: HoleShape::Round { d: row.normal },
            purpose: format!("screw {}, its nut fixed to the wiring side", row.id),
            marked: Marked::Scribed,
            owner: sid.clone(),
            span: span.clone(),
        });
    }
    let gap = (row.normal - row.major) / 2.0;
    let through = [id.as_str(), "plate"].map(|id| Passed { id: id.into(), gap });
    add_screw(
        design,
        &BoltedJoint {
            id: &sid,
            owner: &sid,
            row,
            head: Head::Pan,
            hole: row.normal,
            at,
            dir: -up,
            grip: plate.thickness + t,
            near: "plate",
            others: &[],
            marked: Marked::Scribed,
            group: Group::Chassis,
            moves: false,
            span,
        },
        through.to_vec(),
        0.0,
    );
    let wid = format!("retain-{end}-wood-screw");
    let at = pose.point(DVec3::new(t, gauge, length / 2.0));
    let most = (size.board - 4.0).min(14.0);
    let wood_length = fasten::stock_within(wood, t + most.min(8.0), t + most);
    let bite = wood_length - t;
    if let Some(board) = design
        .flats
        .iter_mut()
        .find(|f| f.id == format!("side-{end}"))
    {
        let local = board.pose.inverse().point(at);
        board.holes.push(FlatHole {
            id: format!("{wid}-pilot"),
            at: local.truncate(),
            shape: HoleShape::Pilot {
                drill: wood.pilot.unwrap_or(wood.major),
                thread: wood.major,
                depth: bite + 1.0,
                face: Face::Front,
            },
            purpose: format!("pilot for wood screw {}", wood.id),
            marked: Marked::Transferred { from: id.clone() },
            owner: wid.clone(),
            span: span.clone(),
        });
    }
    design.fasteners.push(Fastener {
        id: wid.clone(),
        nut: None,
        washer: None,
        owner: wid,
        group: Group::Chassis,
        moves: false,
        row: wood,
        head: Head::Pan,
        length: wood_length,
        pose: along(-inward, at),
        sunk: 0.0,
        grip: 0.0,
        through: vec![Passed {
            id,
            gap: (wood.normal - wood.major) / 2.0,
        }],
        bites: Some(format!("side-{end}")),
    });
}
