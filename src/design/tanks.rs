//! Reverb tanks on the floor.

use super::bolt::along;
use super::cabinet::BaffleFrame;
use super::fasten::Bond;
use super::ledger::Ledger;
use super::place::{Places, Surface, plate_ties};
use super::{CabinetSize, Design, Movable};
use crate::assembly::How;
use crate::params::{HardwareKind, Params};
use crate::pose::Pose;
use glam::DVec3;

/// A reverb tank on the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct TankSpec {
    /// The item's id.
    pub id: String,
    /// Length, width, height.
    pub size: DVec3,
    /// Mass, kg.
    pub mass: f64,
    /// Middle of its underside, turned.
    pub pose: Pose,
}

/// Reverb tanks lie on the cabinet's floor; they need no chassis.
pub(super) fn build(
    params: &Params,
    size: &CabinetSize,
    baffle: Option<&BaffleFrame>,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let front = baffle.map_or(0.0, |b| b.rear_at(0.0));
    let floor = Surface {
        u: [0.0, size.width],
        v: [front, size.depth],
        u_dir: DVec3::X,
        v_dir: DVec3::Y,
        upright: false,
    };
    for h in params
        .hardware
        .iter()
        .filter(|h| h.kind.value == HardwareKind::ReverbTank)
    {
        let id = h.id.value.0.as_str();
        let at = places.resolve(
            ledger,
            id,
            &h.span,
            plate_ties(h.at.as_ref()),
            &floor,
            [None, None],
        );
        let Some(row) = ledger.fitting("reverb tank", h.type_.as_ref()) else {
            continue;
        };
        let size = [
            ("length", &h.length, row.length),
            ("width", &h.width, row.width),
            ("height", &h.height, row.height),
        ]
        .map(|(key, typed, figure)| {
            ledger.length_of(&format!("{id}.{key}"), typed.as_ref(), row, figure)
        });
        let degrees = h.turn.as_ref().map_or(0.0, |t| t.value.0);
        let cleared = h.measured.as_ref().is_some_and(|m| m.value)
            || (h.length.is_some() && h.width.is_some() && h.height.is_some());
        ledger.rests_on(id, row, cleared);
        let pose = along(DVec3::Z, DVec3::new(at.x, at.y, 0.0)).turned_z(-degrees);
        design.bonds.push(Bond::face(id, "bottom", How::Resting));
        design.movables.push(Movable {
            id: id.into(),
            along: [DVec3::X, DVec3::Y],
            span: h.span.clone(),
        });
        design.tanks.push(TankSpec {
            id: id.into(),
            size: DVec3::from(size),
            mass: row.mass.unwrap_or(1.0),
            pose,
        });
    }
}
