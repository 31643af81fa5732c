//! Countersunk wood screws from board to board.

use crate::assembly::Group;
use crate::catalogue::{self};
use crate::design::Design;
use crate::design::fasten::{self, Fastener, Passed};
use crate::design::flat::{Face, Flat, FlatHole, HoleShape, Marked};
use crate::params::{Head, HoleFit};
use glam::DVec2;
use std::ops::Range;

/// A countersunk wood screw from a board's back face (z = 0) along +z into the part that lies on its front face.
pub(super) struct WoodScrew<'a> {
    pub id: &'a str,
    pub owner: &'a str,
    pub row: &'static catalogue::ScrewRow,
    pub through: &'a mut Flat,
    pub into: &'a mut Flat,
    pub at: DVec2,
    pub at_into: DVec2,
    pub bite: f64,
    pub span: &'a Range<usize>,
}

pub(super) fn wood_screw(design: &mut Design, s: WoodScrew<'_>) {
    let (head, sunk) = fasten::countersink(s.row);
    let hole = s.row.clearance(HoleFit::Normal);
    let pose = s.through.pose.offset(s.at.extend(0.0));
    let t = s.through.thickness;
    // the pilot is 1 mm deeper than the bite, so half a millimetre more still ends inside it
    let length = fasten::stock_within(s.row, t + 0.5 * s.bite, t + s.bite + 0.5);
    s.through.holes.push(FlatHole {
        id: s.id.into(),
        at: s.at,
        shape: HoleShape::Countersunk {
            d: hole,
            head,
            angle: s.row.csk_angle,
            face: Face::Back,
        },
        purpose: format!("wood screw {}", s.row.id),
        marked: Marked::Scribed,
        owner: s.owner.into(),
        span: s.span.clone(),
    });
    s.into.holes.push(FlatHole {
        id: format!("{}-pilot", s.id),
        at: s.at_into,
        shape: HoleShape::Pilot {
            drill: s.row.pilot.unwrap_or(s.row.major * 0.65),
            thread: s.row.major,
            depth: s.bite + 1.0,
            face: Face::Back,
        },
        purpose: format!("pilot for wood screw {}", s.row.id),
        marked: Marked::Transferred {
            from: s.through.id.clone(),
        },
        owner: s.owner.into(),
        span: s.span.clone(),
    });
    design.fasteners.push(Fastener {
        id: s.id.into(),
        nut: None,
        washer: None,
        owner: s.owner.into(),
        group: Group::Cabinet,
        moves: false,
        row: s.row,
        head: Head::Countersunk,
        length,
        pose,
        sunk,
        grip: 0.0,
        through: vec![Passed {
            id: s.through.id.clone(),
            gap: (hole - s.row.major) / 2.0,
        }],
        bites: Some(s.into.id.clone()),
    });
}
