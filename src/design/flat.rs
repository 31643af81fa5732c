//! Flat parts: an outline, a thickness, a datum corner and holes. Solid, schedule, template and jig read the same record.

use crate::assembly::{Group, Kind};
use crate::outline::Loop;
use crate::pose::Pose;
use glam::DVec2;
use std::ops::Range;

/// A face of a flat part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// The face at z = 0 of the part frame.
    Back,
    /// The face at z = thickness.
    Front,
}

/// Where a hole's place on the metal comes from, so that no shared hole is drilled twice from a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Marked {
    /// Scribed from the datum edges.
    Scribed,
    /// Drilled through, or spotted from, the named mating part.
    Transferred {
        /// Id of that part.
        from: String,
    },
    /// Taken from the part in hand: feet are not standardised.
    InHand {
        /// Id of that part.
        part: String,
    },
}

/// Shape of a hole.
#[derive(Clone, Debug, PartialEq)]
pub enum HoleShape {
    /// Through, of this diameter.
    Round {
        /// Diameter.
        d: f64,
    },
    /// Through, countersunk.
    Countersunk {
        /// Diameter of the through part.
        d: f64,
        /// Diameter of the cone at the face.
        head: f64,
        /// Included angle, degrees.
        angle: f64,
        /// The face the cone opens at.
        face: Face,
    },
    /// A blind hole for a wood screw or insert. The solid is cut at `thread`, the room the screw takes; the drill makes `drill`.
    Pilot {
        /// What is drilled.
        drill: f64,
        /// What the screw fills.
        thread: f64,
        /// Depth.
        depth: f64,
        /// The face it enters.
        face: Face,
    },
    /// Any other outline cut right through, in the part frame.
    Cut {
        /// Counter-clockwise.
        outline: Loop,
    },
}

/// A hole in a flat part.
#[derive(Clone, Debug, PartialEq)]
pub struct FlatHole {
    /// Its id: the item's id and a word.
    pub id: String,
    /// Centre in the part frame, mm.
    pub at: DVec2,
    /// Its shape.
    pub shape: HoleShape,
    /// What it is for, in words.
    pub purpose: String,
    /// How its place is found.
    pub marked: Marked,
    /// The item it serves.
    pub owner: String,
    /// Where that item stands in the parameter file.
    pub span: Range<usize>,
}

impl FlatHole {
    /// A round hole through its part, scribed from the datum.
    #[must_use]
    pub fn round(
        id: impl Into<String>,
        owner: &str,
        at: DVec2,
        d: f64,
        purpose: impl Into<String>,
        span: &Range<usize>,
    ) -> FlatHole {
        FlatHole {
            id: id.into(),
            at,
            shape: HoleShape::Round { d },
            purpose: purpose.into(),
            marked: Marked::Scribed,
            owner: owner.into(),
            span: span.clone(),
        }
    }

    /// The same hole, marked in another way.
    #[must_use]
    pub fn marked(self, marked: Marked) -> FlatHole {
        FlatHole { marked, ..self }
    }
    /// Its outline at its widest, part frame.
    #[must_use]
    pub fn edge(&self) -> Loop {
        match &self.shape {
            HoleShape::Cut { outline } => outline.clone(),
            _ => Loop::circle(self.at, self.radius().unwrap_or(0.0)),
        }
    }

    /// Largest radius about the centre, for round holes.
    #[must_use]
    pub fn radius(&self) -> Option<f64> {
        match &self.shape {
            HoleShape::Round { d } => Some(d / 2.0),
            HoleShape::Countersunk { d, head, .. } => Some(d.max(*head) / 2.0),
            HoleShape::Pilot { thread, .. } => Some(thread / 2.0),
            HoleShape::Cut { .. } => None,
        }
    }
}

/// How deep the cone of a countersink reaches, mm: `head` wide at the face, `angle` degrees from side to side, round a hole of `d`.
#[must_use]
pub fn cone_depth(d: f64, head: f64, angle: f64) -> f64 {
    (head - d).max(0.0) / 2.0 / (angle / 2.0).to_radians().tan()
}

/// Material taken from one face to a depth: a groove, a rabbet.
#[derive(Clone, Debug, PartialEq)]
pub struct Pocket {
    /// Its id.
    pub id: String,
    /// Low corner of its rectangle, part frame; may lie outside the outline, where it opens at the edge.
    pub low: DVec2,
    /// High corner.
    pub high: DVec2,
    /// Depth from its face.
    pub depth: f64,
    /// The face it is cut into.
    pub face: Face,
}

/// A corner of a flat part that everything is measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Datum {
    /// Left front (lower) corner of the part frame: the origin.
    LowLow,
    /// Right front (lower) corner.
    HighLow,
    /// Left rear (upper) corner.
    LowHigh,
}

/// A flat part.
#[derive(Clone, Debug, PartialEq)]
pub struct Flat {
    /// Id of the solid.
    pub id: String,
    /// What it is.
    pub kind: Kind,
    /// Where it belongs.
    pub group: Group,
    /// Material of the catalogue.
    pub material: String,
    /// Slides with the chassis.
    pub moves: bool,
    /// Outline in the part frame, counter-clockwise seen from +z; its lowest corner at or near the origin.
    pub outline: Loop,
    /// Outline of the face at z = thickness where it differs (bevelled ends).
    pub bevel: Option<Loop>,
    /// Thickness along z.
    pub thickness: f64,
    /// Where its drawings and tables measure from.
    pub datum: Datum,
    /// Holes.
    pub holes: Vec<FlatHole>,
    /// Pockets.
    pub pockets: Vec<Pocket>,
    /// Part frame to amp frame.
    pub pose: Pose,
    /// Where the table that made it stands in the parameter file.
    pub span: Range<usize>,
}

/// Angle stock: an L of two legs, extruded along z of its frame. x runs along the leg on the plate away from the corner, y along the leg on the panel.
#[derive(Clone, Debug, PartialEq)]
pub struct AngleBar {
    /// Id of the solid.
    pub id: String,
    /// Angle stock, or a bracket.
    pub kind: Kind,
    /// Where it belongs.
    pub group: Group,
    /// Slides with the chassis.
    pub moves: bool,
    /// Material of the catalogue.
    pub material: String,
    /// Outside width of each leg.
    pub leg: f64,
    /// Thickness of each leg.
    pub thickness: f64,
    /// Inside fillet radius.
    pub fillet: f64,
    /// Length.
    pub length: f64,
    /// Holes of the leg on the plate: (distance from its end z = 0, diameter), on the gauge line.
    pub plate_leg: Vec<(f64, f64)>,
    /// Holes of the leg on the panel.
    pub panel_leg: Vec<(f64, f64)>,
    /// Distance of the gauge line from the outside corner, both legs.
    pub gauge: f64,
    /// Part frame to amp frame.
    pub pose: Pose,
    /// Where its table stands.
    pub span: Range<usize>,
}
