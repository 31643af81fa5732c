//! Blind rivets through a flat part and what lies behind it.

use super::Design;
use super::bolt::along;
use super::fasten::Bond;
use super::flat::{FlatHole, HoleShape, Marked};
use crate::assembly::How;
use crate::catalogue::RivetRow;
use crate::pose::Pose;
use glam::DVec3;
use std::ops::Range;

/// A blind rivet, set.
#[derive(Clone, Debug, PartialEq)]
pub struct RivetSpec {
    /// Id of the solid.
    pub id: String,
    /// The item it serves.
    pub owner: String,
    /// Size.
    pub row: &'static RivetRow,
    /// Thickness of the sheets between its heads.
    pub grip: f64,
    /// On the face under its dome head, z along the body.
    pub pose: Pose,
}

/// A rivet before it is set.
pub(super) struct Riveted<'a> {
    pub id: &'a str,
    pub owner: &'a str,
    pub row: &'static RivetRow,
    /// On the outer face under the dome head, amp frame.
    pub at: DVec3,
    /// Along the body, amp frame.
    pub dir: DVec3,
    pub grip: f64,
    /// The flat part that is drilled for it.
    pub near: &'a str,
    /// The part on the blind side, already holed.
    pub far: &'a str,
    pub span: &'a Range<usize>,
}

/// Drills the flat part and sets the rivet. It belongs to the chassis and slides with it.
pub(super) fn rivet(design: &mut Design, r: &Riveted<'_>) {
    let Some(flat) = design.flats.iter_mut().find(|f| f.id == r.near) else {
        return;
    };
    let local = flat.pose.inverse().point(r.at);
    flat.holes.push(FlatHole {
        id: r.id.into(),
        at: local.truncate(),
        shape: HoleShape::Round { d: r.row.drilled() },
        purpose: r.row.id.clone(),
        marked: Marked::Transferred { from: r.far.into() },
        owner: r.owner.into(),
        span: r.span.clone(),
    });
    for part in [r.near, r.far] {
        design.bonds.push(Bond::face(r.id, part, How::Seated));
    }
    design.rivets.push(RivetSpec {
        id: r.id.into(),
        owner: r.owner.into(),
        row: r.row,
        grip: r.grip,
        pose: along(r.dir, r.at),
    });
}
