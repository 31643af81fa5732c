//! Eyelet, turret and tag boards on stand-offs.

use super::bolt::{BoltedJoint, add_screw};
use super::chassis::ChassisFrame;
use super::fasten::{Bond, Passed};
use super::flat::{FlatHole, Marked};
use super::ledger::Ledger;
use super::on_plate::{drill_plate, face_of, machine, side};
use super::place::Places;
use super::{Design, Movable};
use crate::assembly::{Group, How};
use crate::params::{Head, Params, PlateSide};
use crate::pose::Pose;
use glam::{DVec2, DVec3};

/// A board on four stand-offs.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardSpec {
    /// The item's id.
    pub id: String,
    /// Size along x and y.
    pub size: DVec2,
    /// Thickness.
    pub thickness: f64,
    /// Height of the stand-offs.
    pub stand_off: f64,
    /// Stand-off centres.
    pub holes: Vec<DVec2>,
    /// Hole diameter.
    pub hole: f64,
    /// Bore of the stand-offs.
    pub bore: f64,
    /// Height of the parts on it.
    pub parts: f64,
    /// Size of the room the parts take along x and y.
    pub parts_size: DVec2,
    /// On the component side.
    pub component: bool,
    /// On its face, z away from the plate, turned.
    pub pose: Pose,
}

pub(super) fn build(
    params: &Params,
    frame: &ChassisFrame,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    for b in &params.board {
        let id = b.id.value.0.as_str();
        let at = places.on_plate(ledger, &frame.plate.surface(), id, &b.span, b.at.as_ref());
        let size = DVec2::new(b.length.value.0, b.width.value.0);
        let Some(sheet) = ledger.fitting("circuit board", b.type_.as_ref()) else {
            continue;
        };
        let thickness = ledger.length_of(
            &format!("{id}.thickness"),
            b.thickness.as_ref(),
            sheet,
            sheet.thickness,
        );
        let cleared = b.thickness.is_some() || b.measured.as_ref().is_some_and(|m| m.value);
        ledger.rests_on(id, sheet, cleared);
        let stand_off = ledger.length(
            &format!("{id}.stand-off"),
            b.stand_off.as_ref(),
            10.0,
            "usual stand-off (common practice)",
        );
        let inset = ledger.length(
            &format!("{id}.inset"),
            b.inset.as_ref(),
            5.0,
            "common practice",
        );
        let parts = ledger.length(
            &format!("{id}.parts"),
            b.parts.as_ref(),
            12.0,
            "room for axial parts (common practice)",
        );
        let component = side(b.side.as_ref(), PlateSide::Wiring);
        let Some(screw) = machine(
            ledger,
            &format!("{id}.screw"),
            b.screw.as_ref(),
            "M3",
            "#4",
            &b.span,
        ) else {
            continue;
        };
        let hole = screw.normal;
        let clear = 2.0 * inset.max(screw.nut * 0.6 + 1.0);
        if inset < hole / 2.0 + 1.0
            || size.x < 2.0 * clear + 4.0
            || size.y < 2.0 * inset + hole + 1.0
        {
            ledger.error(
                b.span.clone(),
                format!("board `{id}` is too small for its stand-offs"),
                format!(
                    "an inset over {:.1} mm and a length over {:.1} mm",
                    hole / 2.0 + 1.0,
                    2.0 * clear + 4.0
                ),
                "",
            );
            continue;
        }
        let degrees = b.turn.as_ref().map_or(0.0, |t| t.value.0);
        let pose = face_of(frame, component, at, degrees);
        let half = size / 2.0 - DVec2::splat(inset);
        let holes = vec![
            DVec2::new(-half.x, -half.y),
            DVec2::new(half.x, -half.y),
            DVec2::new(half.x, half.y),
            DVec2::new(-half.x, half.y),
        ];
        let group = if component {
            Group::Above
        } else {
            Group::Below
        };
        let t = frame.plate.thickness;
        for (k, h) in holes.iter().enumerate() {
            let sid = format!("{id}-screw-{}", k + 1);
            let so = format!("{id}-stand-off-{}", k + 1);
            drill_plate(
                design,
                FlatHole::round(
                    sid.as_str(),
                    id,
                    frame.plate.local(pose.point(h.extend(0.0))),
                    hole,
                    format!("screw {} of board {id}", screw.id),
                    &b.span,
                )
                .marked(Marked::InHand { part: id.into() }),
            );
            let gap = (hole - screw.major) / 2.0;
            let joint = BoltedJoint {
                id: &sid,
                owner: id,
                row: screw,
                head: Head::Pan,
                hole,
                at: pose.point(h.extend(-t)),
                dir: pose.dir(DVec3::Z),
                grip: t + stand_off + thickness,
                near: "plate",
                others: &[],
                marked: Marked::Scribed,
                group,
                moves: true,
                span: &b.span,
            };
            add_screw(
                design,
                &joint,
                vec![
                    Passed {
                        id: "plate".into(),
                        gap,
                    },
                    Passed {
                        id: so.clone(),
                        gap,
                    },
                    Passed { id: id.into(), gap },
                ],
                0.0,
            );
            design.bonds.push(Bond::face(&so, "plate", How::Bolted));
            design.bonds.push(Bond::face(&so, id, How::Bolted));
        }
        design
            .bonds
            .push(Bond::face(&format!("{id}-parts"), id, How::Bolted));
        design.movables.push(Movable {
            id: id.into(),
            along: [DVec3::X, DVec3::Y],
            span: b.span.clone(),
        });
        design.boards.push(BoardSpec {
            id: id.into(),
            size,
            thickness,
            stand_off,
            holes,
            hole,
            bore: hole,
            parts,
            parts_size: DVec2::new(size.x - 2.0 * clear, size.y - 2.0),
            component,
            pose,
        });
    }
}
