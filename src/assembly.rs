//! All solids of a design with what they are, where they are and what they are joined to.

use crate::pose::Pose;
use crate::solid::{Body, Recipe};
use glam::DVec3;

/// A solid's shape, shared by all identical parts.
#[derive(Clone, Debug)]
pub struct Shape {
    /// How it was made.
    pub recipe: Recipe,
    /// The exact record, in the part frame.
    pub body: Body,
    /// Exact volume from the faces, mm3.
    pub volume: f64,
    /// Exact centre of volume in the part frame, mm.
    pub centroid: DVec3,
}

/// Where a part belongs; the STEP, the GLB and the pictures group by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Boards, cleats, covering, back, feet, handle.
    Cabinet,
    /// The loudspeaker and its fixings.
    Speaker,
    /// Plate, angles, their screws.
    Chassis,
    /// What stands on the component side of the plate.
    Above,
    /// What hangs on the wiring side of the plate.
    Below,
    /// Panels and what is mounted on them.
    Panel,
}

/// What a solid is, for the clearance rules and the words of findings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "each name is the trade's word for the thing")]
pub enum Kind {
    Board,
    Baffle,
    Cleat,
    Covering,
    BackBoard,
    Foot,
    Handle,
    SpeakerFrame,
    Magnet,
    Plate,
    Panel,
    Angle,
    Bracket,
    Screw,
    Nut,
    Washer,
    SmallTube,
    PowerTube,
    Rectifier,
    Retainer,
    Socket,
    Iron,
    Coil,
    Can,
    Clamp,
    CircuitBoard,
    StandOff,
    Control,
    Knob,
    Hardware,
    ReverbTank,
}

/// One placed solid.
#[derive(Clone, Debug)]
pub struct Part {
    /// Unique ignoring case: letters, digits, `-`, `_`.
    pub id: String,
    /// What it is.
    pub kind: Kind,
    /// Where it belongs.
    pub group: Group,
    /// The item of the parameter file it comes from (`V1` for `V1-socket-screw-2`); the part's own id for derived parts.
    pub owner: String,
    /// Name of the material.
    pub material: String,
    /// kg/m3; an envelope that stands for a real part of known mass carries the density that gives it.
    pub density: f64,
    /// sRGB.
    pub colour: [u8; 3],
    /// Whether it slides with the chassis.
    pub moves: bool,
    /// Index into [`Assembly::shapes`].
    pub shape: usize,
    /// Part frame to amp frame.
    pub pose: Pose,
}

/// How two parts hold together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum How {
    /// Clamped face to face by a fastener.
    Bolted,
    /// A shank in a clearance hole.
    Through,
    /// A thread in its nut or pilot hole.
    Threaded,
    /// A head, nut or washer on the face it bears on.
    Seated,
    /// Pushed in: a tube in its socket, a knob on its shaft.
    Inserted,
    /// Resting or glued face to face.
    Resting,
    /// An ear in its groove.
    Sliding,
}

/// What a joint must satisfy; measured, never assumed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rule {
    /// No overlap; the gap is at most `most` mm.
    Gap {
        /// Largest allowed gap, mm.
        most: f64,
    },
    /// An ear in its groove: no overlap, engaged by at least `depth` mm with at least `play` mm at its tip.
    Engaged {
        /// Wanted engagement, mm.
        depth: f64,
        /// What the design gives, mm.
        given: f64,
        /// Wanted play at the tip, mm.
        play: f64,
        /// What the design gives, mm.
        play_given: f64,
    },
    /// A countersunk head: no overlap, its top at most `proud` mm above the face (`given` may be negative: below).
    Flush {
        /// Largest allowed height above the face, mm.
        proud: f64,
        /// Height above the face as designed, mm.
        given: f64,
    },
}

/// Two parts that share one joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// Index of the first part.
    pub a: usize,
    /// Index of the second part.
    pub b: usize,
    /// How they hold.
    pub how: How,
    /// What must be true of it.
    pub rule: Rule,
}

/// Everything, in the order in which it is written.
#[derive(Clone, Debug, Default)]
pub struct Assembly {
    /// Distinct shapes.
    pub shapes: Vec<Shape>,
    /// Placed parts.
    pub parts: Vec<Part>,
    /// Joints, each pair at most once, `a < b`.
    pub joints: Vec<Joint>,
}
