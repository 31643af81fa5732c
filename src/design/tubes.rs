//! Tubes with their sockets, screws and retainers.

use super::bolt::{BoltedJoint, add_screw};
use super::chassis::ChassisFrame;
use super::fasten::{Bond, Passed};
use super::flat::{FlatHole, HoleShape, Marked};
use super::ledger::{Ledger, Unmeasured};
use super::place::Places;
use super::{Design, Movable};
use crate::assembly::{Group, How};
use crate::catalogue::{self, FittingRow, SocketRow, Status, TubeRow};
use crate::params::{Head, Params, Retainer, TubeRole};
use crate::pose::Pose;
use glam::DVec3;

/// What holds a tube, sharing the socket's screws.
#[derive(Clone, Debug, PartialEq)]
pub struct RetainerSpec {
    /// Inside radius of its ring.
    pub inside: f64,
    /// Radius of the hole in its saddle, for the socket's body.
    pub foot_hole: f64,
    /// Wall thickness.
    pub wall: f64,
    /// Height over the plate.
    pub height: f64,
    /// Thickness of its saddle on the plate.
    pub saddle: f64,
}

/// Sheet of a retainer's saddle, mm: thin enough that the screw heads on it stay below the tube (common practice).
const SADDLE: f64 = 0.8;

/// A tube in its socket.
#[derive(Clone, Debug, PartialEq)]
pub struct TubeSpec {
    /// The item's id; the glass's solid has it too.
    pub id: String,
    /// Catalogue type.
    pub type_id: String,
    /// What it does.
    pub role: TubeRole,
    /// Largest diameter.
    pub diameter: f64,
    /// Height over the socket's top.
    pub seated: f64,
    /// Height of a base shell over the socket.
    pub shell: f64,
    /// Length of its pins, for pulling: overall less seated.
    pub pins: f64,
    /// Its socket.
    pub socket: &'static SocketRow,
    /// Height of the socket's top over the component face.
    pub socket_top: f64,
    /// Its retainer.
    pub retainer: Option<RetainerSpec>,
    /// Plate thickness.
    pub plate: f64,
    /// On the component face, z away from the plate, turned.
    pub pose: Pose,
}

pub(super) fn build(
    params: &Params,
    frame: &ChassisFrame,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let plate = &frame.plate;
    for t in &params.tube {
        let id = &t.id.value.0;
        let at = places.on_plate(ledger, &frame.plate.surface(), id, &t.span, t.at.as_ref());
        let Some(row) = ledger.look_up::<TubeRow>(&t.type_) else {
            continue;
        };
        let socket = match &t.socket {
            Some(s) => ledger.look_up::<SocketRow>(s),
            None => catalogue::usual_socket(&row.base),
        };
        let Some(socket) = socket else { continue };
        if socket.base != row.base {
            let span = t
                .socket
                .as_ref()
                .map_or(t.type_.span.clone(), |s| s.span.clone());
            ledger.error(
                span,
                format!(
                    "`{}` has a {} base, socket `{}` takes {}",
                    row.id, row.base, socket.id, socket.base
                ),
                format!("a {} socket", row.base),
                "",
            );
            continue;
        }
        let role = match (&t.role, row.role.as_str()) {
            (Some(r), _) => r.value,
            (None, "power") => TubeRole::Power,
            (None, "rectifier") => TubeRole::Rectifier,
            _ => TubeRole::Preamp,
        };
        let diameter = t.diameter.as_ref().map_or(row.diameter, |v| v.value.0);
        let seated = t.seated.as_ref().map_or(row.seated, |v| v.value.0);
        let own = t.diameter.is_some() && t.seated.is_some();
        // the socket's hole and screws are drilled by its row, so an unpublished one counts as much as the tube's
        let unsure: Vec<(&'static str, &'static str)> = [
            (row.status, row.id.as_str(), row.source.as_str(), own),
            (
                socket.status,
                socket.id.as_str(),
                socket.source.as_str(),
                false,
            ),
        ]
        .into_iter()
        .filter(|(status, _, _, own)| !own && *status != Status::Published)
        .map(|(_, id, source, _)| (id, source))
        .collect();
        if !unsure.is_empty() && !t.measured.as_ref().is_some_and(|m| m.value) {
            let join = |f: fn(&(&'static str, &'static str)) -> &'static str, gap: &str| {
                unsure.iter().map(f).collect::<Vec<_>>().join(gap)
            };
            ledger.unmeasured.push(Unmeasured {
                id: id.clone(),
                row: join(|u| u.0, ", "),
                source: join(|u| u.1, " / "),
            });
        }
        let degrees = t.turn.as_ref().map_or(0.0, |d| d.value.0);
        let pose = plate.component(at.x, at.y).turned_z(-degrees);
        let Some(screw) = catalogue::screw(&socket.screw) else {
            continue;
        };
        let hole = screw.normal;
        let kind = t.retainer.as_ref().map_or(Retainer::None, |r| r.value);
        let socket_top = (socket.above + 3.0 - plate.thickness).max(0.5);
        let foot_hole = socket.body / 2.0 + 0.4;
        let held = |kind: &str, wall: f64, height: f64| {
            let row = catalogue::usual_fitting(kind);
            let figure =
                |f: fn(&FittingRow) -> Option<f64>, usual: f64| row.and_then(f).unwrap_or(usual);
            (figure(|r| r.thickness, wall), figure(|r| r.height, height))
        };
        let retainer = match kind {
            Retainer::None => None,
            Retainer::Clamp => {
                let (wall, height) = held("tube clamp", 1.5, 14.0);
                Some(RetainerSpec {
                    inside: diameter.max(socket.body) / 2.0 + 0.3,
                    foot_hole,
                    wall,
                    height: socket_top + height.min(seated / 2.0),
                    saddle: SADDLE,
                })
            }
            Retainer::Shield => {
                let (wall, over) = held("tube shield", 0.8, 4.0);
                Some(RetainerSpec {
                    inside: diameter.max(socket.body) / 2.0 + 0.8,
                    foot_hole,
                    wall,
                    height: socket_top + seated + over,
                    saddle: SADDLE,
                })
            }
        };
        let Some(flat) = design.flats.iter_mut().find(|f| f.id == "plate") else {
            continue;
        };
        flat.holes.push(FlatHole {
            id: format!("{id}-socket"),
            at: plate.local(pose.at),
            shape: HoleShape::Round { d: socket.hole },
            purpose: format!("{} socket of {id} ({})", socket.id, row.id),
            marked: Marked::Scribed,
            owner: id.clone(),
            span: t.span.clone(),
        });
        let sid = format!("{id}-socket");
        let saddle = retainer.as_ref().map_or(0.0, |r| r.saddle);
        for (k, side) in [-1.0, 1.0].into_iter().enumerate() {
            let place = pose.offset(DVec3::new(side * socket.spacing / 2.0, 0.0, 0.0));
            let screw_id = format!("{sid}-screw-{}", k + 1);
            flat.holes.push(FlatHole {
                id: screw_id.clone(),
                at: plate.local(place.at),
                shape: HoleShape::Round { d: hole },
                purpose: format!("screw {} of the socket of {id}", screw.id),
                marked: Marked::Scribed,
                owner: id.clone(),
                span: t.span.clone(),
            });
        }
        let gap = (hole - screw.major) / 2.0;
        for (k, side) in [-1.0, 1.0].into_iter().enumerate() {
            let screw_id = format!("{sid}-screw-{}", k + 1);
            let mut through = Vec::new();
            if retainer.is_some() {
                through.push(Passed {
                    id: format!("{id}-retainer"),
                    gap,
                });
            }
            through.push(Passed {
                id: "plate".into(),
                gap,
            });
            through.push(Passed {
                id: sid.clone(),
                gap,
            });
            let joint = BoltedJoint {
                id: &screw_id,
                owner: id,
                row: screw,
                head: Head::Pan,
                hole,
                at: pose.point(DVec3::new(side * socket.spacing / 2.0, 0.0, saddle)),
                dir: -pose.dir(DVec3::Z),
                grip: saddle + plate.thickness + socket.flange,
                near: "plate",
                others: &[],
                marked: Marked::Scribed,
                group: Group::Above,
                moves: true,
                span: &t.span,
            };
            add_screw(design, &joint, through, 0.0);
        }
        design.bonds.push(Bond::face(&sid, "plate", How::Bolted));
        design.bonds.push(Bond::face(id, &sid, How::Inserted));
        if let Some(r) = &retainer {
            let rid = format!("{id}-retainer");
            design.bonds.push(Bond::face(&rid, "plate", How::Bolted));
            design.bonds.push(Bond::gap(
                &rid,
                id,
                How::Inserted,
                r.inside - diameter / 2.0 + 0.05,
            ));
            design.bonds.push(Bond::gap(
                &rid,
                &sid,
                How::Bolted,
                r.foot_hole - socket.body / 2.0 + 0.05,
            ));
        }
        design.movables.push(Movable {
            id: id.clone(),
            along: [DVec3::X, DVec3::Y],
            span: t.span.clone(),
        });
        design.tubes.push(TubeSpec {
            id: id.clone(),
            type_id: row.id.clone(),
            role,
            diameter,
            seated,
            shell: row.shell.min(seated / 2.0),
            pins: row.overall - row.seated,
            socket,
            socket_top,
            retainer,
            plate: plate.thickness,
            pose,
        });
    }
}
