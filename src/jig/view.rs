//! A flat part as it lies on the bench under its jig: seen on the marked face, from the datum corner.

use crate::design::{Design, Face, Flat};
use crate::pose::Pose;
use crate::shop::schedule::{datum_of, marked_face};
use glam::{DVec2, DVec3};

/// The frame of the marked face: right-handed, z away from the part, the datum corner at the origin.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    /// To the part's own frame.
    to_part: Pose,
    /// To the amp frame.
    pub to_amp: Pose,
    /// +1 or -1 for each axis: which way the part lies from the datum corner.
    pub way: DVec2,
    /// Far corner of the part's box, seen from the datum corner.
    pub far: DVec2,
    /// Thickness of the part.
    pub thickness: f64,
}

impl View {
    pub fn new(design: &Design, flat: &Flat) -> View {
        let (corner, way) = datum_of(flat);
        let [low, high] = flat.outline.bounds();
        let (to_part, turn) = match marked_face(design, flat) {
            Face::Front => (
                Pose::shift(corner.extend(flat.thickness)),
                DVec2::new(1.0, 1.0),
            ),
            // seen from behind, left and right change places
            Face::Back => (
                Pose::from_axes(DVec3::NEG_X, DVec3::Y, corner.extend(0.0)),
                DVec2::new(-1.0, 1.0),
            ),
        };
        let way = way * turn;
        View {
            to_part,
            to_amp: flat.pose.then(&to_part),
            way,
            far: way * (high - low),
            thickness: flat.thickness,
        }
    }

    /// A point of the part's frame, as seen.
    pub fn see(&self, p: DVec2) -> DVec2 {
        self.to_part.inverse().point(p.extend(0.0)).truncate()
    }
}
