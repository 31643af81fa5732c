//! Machine screws with nuts through two or more parts.

use crate::assembly::Group;
use crate::design::Design;
use crate::design::fasten::{self, Fastener, Passed};
use crate::design::flat::{Face, FlatHole, HoleShape, Marked};
use crate::params::Head;
use crate::pose::Pose;
use glam::DVec3;
use std::ops::Range;

/// A machine screw with a nut through one drilled flat part and whatever lies behind it.
pub(super) struct BoltedJoint<'a> {
    pub id: &'a str,
    pub owner: &'a str,
    pub row: &'static crate::catalogue::ScrewRow,
    pub head: Head,
    /// Clearance hole.
    pub hole: f64,
    /// On the outer face under the head, amp frame.
    pub at: DVec3,
    /// Along the shank, amp frame.
    pub dir: DVec3,
    /// From that face to the nut's seat.
    pub grip: f64,
    /// The flat part that is drilled for it, under the head.
    pub near: &'a str,
    /// Further parts it passes, in order, already holed.
    pub others: &'a [&'a str],
    pub marked: Marked,
    pub group: Group,
    pub moves: bool,
    pub span: &'a Range<usize>,
}

/// Drills the flat part and adds the screw with its nut.
pub(super) fn bolt(design: &mut Design, j: &BoltedJoint<'_>) {
    let (csk, sunk) = fasten::countersink(j.row);
    let Some(flat) = design.flats.iter_mut().find(|f| f.id == j.near) else {
        return;
    };
    let local = flat.pose.inverse().point(j.at);
    let face = if local.z > flat.thickness / 2.0 {
        Face::Front
    } else {
        Face::Back
    };
    let shape = match j.head {
        Head::Countersunk => HoleShape::Countersunk {
            d: j.hole,
            head: csk,
            angle: j.row.csk_angle,
            face,
        },
        Head::Pan => HoleShape::Round { d: j.hole },
    };
    flat.holes.push(FlatHole {
        id: j.id.into(),
        at: local.truncate(),
        shape,
        purpose: format!("screw {}", j.row.id),
        marked: j.marked.clone(),
        owner: j.owner.into(),
        span: j.span.clone(),
    });
    let gap = (j.hole - j.row.major) / 2.0;
    let mut through = vec![Passed {
        id: j.near.into(),
        gap,
    }];
    through.extend(j.others.iter().map(|id| Passed {
        id: (*id).into(),
        gap,
    }));
    add_screw(design, j, through, sunk);
}

/// The screw and nut alone, for parts that carry their own holes.
pub(super) fn add_screw(design: &mut Design, j: &BoltedJoint<'_>, through: Vec<Passed>, sunk: f64) {
    let need = j.grip + j.row.nut_thickness + 1.0;
    design.fasteners.push(Fastener {
        id: j.id.into(),
        nut: Some(j.id.replace("screw", "nut")),
        washer: None,
        owner: j.owner.into(),
        group: j.group,
        moves: j.moves,
        row: j.row,
        head: j.head,
        length: fasten::stock_length(j.row, need),
        pose: along(j.dir, j.at),
        sunk: if j.head == Head::Countersunk {
            sunk
        } else {
            0.0
        },
        grip: j.grip,
        through,
        bites: None,
    });
}

/// A frame whose z is `dir`: x along the amp's x, or its y where the shank lies along x.
pub(super) fn along(dir: DVec3, at: DVec3) -> Pose {
    let x = if dir.x.abs() > 0.9 {
        DVec3::Y
    } else {
        DVec3::X
    };
    let y = dir.cross(x).normalize();
    Pose::from_axes(y.cross(dir), y, at)
}
