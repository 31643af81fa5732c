//! Flat outlines of lines and circular arcs. No kernel, no amplifiers.
//!
//! All coordinates are millimetres in the part's own 2D frame, x right and y up as seen from +z.

mod arrange;
mod check;
mod combine;
mod grid;
mod measure;
mod seg;
mod shape;

use glam::DVec2;

pub use check::{OutlineError, gaps};
pub use combine::{difference, intersection, union};
pub use grid::Grid;
pub use seg::Seg;
pub use shape::direction;

/// Lower and upper corner of an upright rectangle, mm.
pub type Box2 = [DVec2; 2];

/// Two outline points closer than this are one point, in mm. Well under anything a drawing means, well over
/// the rounding of sums of a few hundred mm.
pub const SAME_POINT: f64 = 1e-7;

/// The circular arc that leaves a node.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Centre, mm.
    pub centre: DVec2,
    /// Whether it runs counter-clockwise to the next node.
    pub ccw: bool,
}

/// A corner of a loop and the segment that leaves it: a straight line, or an arc of less than a full turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Place, mm.
    pub at: DVec2,
    /// `None`: a straight line to the next node.
    pub arc: Option<Arc>,
}

/// A closed loop. Counter-clockwise when it bounds material from outside or is a hole's own outline; whoever
/// uses it as a hole turns it round.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Loop {
    /// At least two nodes (two half circles); the last segment returns to the first node.
    pub nodes: Vec<Node>,
}

/// Material inside `outer` and outside every loop of `inner`. All loops are stored counter-clockwise.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Region {
    /// The outside edge.
    pub outer: Loop,
    /// Openings; each lies inside `outer`, none touches another.
    pub inner: Vec<Loop>,
}

pub(crate) use arrange::{Arrangement, Half, Locator, Way, arrange, as_set, nest, stitch};
pub(crate) use grid::{grown, joined, overlap};
