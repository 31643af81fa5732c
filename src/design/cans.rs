//! Filter cans and their clamps.

use super::bolt::{BoltedJoint, add_screw};
use super::chassis::ChassisFrame;
use super::fasten::{Bond, Passed};
use super::flat::{FlatHole, Marked};
use super::ledger::{Ledger, Unmeasured};
use super::on_plate::{drill_plate, face_of, machine, side};
use super::place::Places;
use super::{Design, Movable};
use crate::assembly::{Group, How};
use crate::catalogue::{self, ClampRow};
use crate::params::{CanMount, Head, Params, PlateSide};
use crate::pose::Pose;
use glam::DVec3;

/// A filter capacitor with its clamp.
#[derive(Clone, Debug, PartialEq)]
pub struct CanSpec {
    /// The item's id.
    pub id: String,
    /// Diameter.
    pub diameter: f64,
    /// Height over the plate, or length where it lies.
    pub height: f64,
    /// How far its terminal end goes through the plate; 0 where it lies.
    pub tail: f64,
    /// Lies along local x.
    pub lying: bool,
    /// Distance of the clamp's screws from the middle: along x upright, along y lying.
    pub half_spacing: f64,
    /// Half width over the clamp's lugs.
    pub half_lugs: f64,
    /// Height of the band upright, its width lying.
    pub band: f64,
    /// Thickness of the clamp's sheet.
    pub sheet: f64,
    /// Hole in the lugs.
    pub hole: f64,
    /// Plate thickness.
    pub plate: f64,
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
    for c in &params.can {
        let id = c.id.value.0.as_str();
        let at = places.on_plate(ledger, &frame.plate.surface(), id, &c.span, c.at.as_ref());
        let Some(row) = ledger.fitting("can", c.type_.as_ref()) else {
            continue;
        };
        let d = ledger.length_of(
            &format!("{id}.diameter"),
            c.diameter.as_ref(),
            row,
            row.diameter,
        );
        let height = ledger.length_of(&format!("{id}.height"), c.height.as_ref(), row, row.height);
        let mount = ledger.choice(
            &format!("{id}.mount"),
            c.mount.as_ref(),
            CanMount::Clamp,
            "clamp",
            "common practice",
        );
        let component = side(c.side.as_ref(), PlateSide::Component);
        let degrees = c.turn.as_ref().map_or(0.0, |t| t.value.0);
        let pose = face_of(frame, component, at, degrees);
        let clamp: Option<&ClampRow> = catalogue::clamp_for(d);
        let (spacing, over, band) = clamp.map_or((d + 16.5, d + 28.0, 12.0), |r| {
            (r.spacing, r.over_lugs, r.band)
        });
        let Some(screw) = machine(
            ledger,
            &format!("{id} clamp screws"),
            None,
            clamp.map_or("M4", |r| r.screw.as_str()),
            clamp.map_or("#8", |r| r.screw.as_str()),
            &c.span,
        ) else {
            continue;
        };
        if !c.measured.as_ref().is_some_and(|m| m.value) {
            let by_rule = "can + 16.5 mm, scaled from the 35 mm clamp";
            let (held, source) = clamp.map_or(("clamp by rule", by_rule), |r| {
                (r.id.as_str(), r.source.as_str())
            });
            ledger.unmeasured.push(Unmeasured {
                id: id.into(),
                row: format!("{}, {held}", row.id),
                source: format!("{} / {source}", row.source),
            });
        }
        let lying = mount == CanMount::Lying;
        if height < band + 8.0 {
            ledger.error(
                c.span.clone(),
                format!("can `{id}` is only {height:.1} mm high"),
                format!("more than its clamp's band of {band:.1} mm and 8 mm"),
                "",
            );
            continue;
        }
        let spec = CanSpec {
            id: id.into(),
            diameter: d,
            height,
            tail: if lying { 0.0 } else { 12.0 },
            lying,
            half_spacing: spacing / 2.0,
            half_lugs: over / 2.0,
            band,
            sheet: 1.0,
            hole: screw.normal,
            plate: frame.plate.thickness,
            component,
            pose,
        };
        let group = if component {
            Group::Above
        } else {
            Group::Below
        };
        let clamp_id = format!("{id}-clamp");
        if !lying {
            drill_plate(
                design,
                FlatHole::round(
                    id,
                    id,
                    frame.plate.local(pose.at),
                    d + 0.6,
                    format!("can {id}"),
                    &c.span,
                ),
            );
            design
                .bonds
                .push(Bond::gap(id, "plate", How::Inserted, 0.35));
        } else {
            design.bonds.push(Bond::face(id, "plate", How::Resting));
        }
        for (k, s) in [-1.0, 1.0].into_iter().enumerate() {
            let local = if lying {
                DVec3::new(0.0, s * spec.half_spacing, spec.sheet)
            } else {
                DVec3::new(s * spec.half_spacing, 0.0, spec.sheet)
            };
            let sid = format!("{clamp_id}-screw-{}", k + 1);
            drill_plate(
                design,
                FlatHole::round(
                    sid.as_str(),
                    id,
                    frame.plate.local(pose.point(local)),
                    screw.normal,
                    format!("screw {} of the clamp of {id}", screw.id),
                    &c.span,
                )
                .marked(Marked::InHand {
                    part: clamp_id.clone(),
                }),
            );
            let gap = (screw.normal - screw.major) / 2.0;
            let joint = BoltedJoint {
                id: &sid,
                owner: id,
                row: screw,
                head: Head::Pan,
                hole: screw.normal,
                at: pose.point(local),
                dir: -pose.dir(DVec3::Z),
                grip: spec.sheet + spec.plate,
                near: "plate",
                others: &[],
                marked: Marked::Scribed,
                group,
                moves: true,
                span: &c.span,
            };
            add_screw(
                design,
                &joint,
                vec![
                    Passed {
                        id: clamp_id.clone(),
                        gap,
                    },
                    Passed {
                        id: "plate".into(),
                        gap,
                    },
                ],
                0.0,
            );
        }
        design
            .bonds
            .push(Bond::face(&clamp_id, "plate", How::Bolted));
        design
            .bonds
            .push(Bond::gap(&clamp_id, id, How::Inserted, 0.35));
        design.movables.push(Movable {
            id: id.into(),
            along: [DVec3::X, DVec3::Y],
            span: c.span.clone(),
        });
        design.cans.push(spec);
    }
}
