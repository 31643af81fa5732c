//! Rigid placements.

use glam::{DMat3, DVec3};

/// A rigid placement: takes a point of a part's own frame to the amp frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Proper rotation; its columns are the part's axes as seen in the amp frame.
    pub rot: DMat3,
    /// Where the part's origin lands, in mm in the amp frame.
    pub at: DVec3,
}

impl Pose {
    /// The placement that moves nothing.
    pub const IDENTITY: Pose = Pose {
        rot: DMat3::IDENTITY,
        at: DVec3::ZERO,
    };

    /// A pure shift by `at` mm.
    #[must_use]
    pub const fn shift(at: DVec3) -> Pose {
        Pose {
            rot: DMat3::IDENTITY,
            at,
        }
    }

    /// The part's x and y axes (unit, square to each other) and its origin; z follows by the right hand.
    #[must_use]
    pub fn from_axes(x: DVec3, y: DVec3, at: DVec3) -> Pose {
        Pose {
            rot: DMat3::from_cols(x, y, x.cross(y)),
            at,
        }
    }

    /// Quarter turns about the part's own z axis, counter-clockwise seen from +z, then `self`.
    ///
    /// Multiples of 90 degrees are exact, so that a turned part keeps exact coordinates.
    #[must_use]
    pub fn turned_z(&self, degrees: f64) -> Pose {
        let d = degrees.rem_euclid(360.0);
        let (s, c) = match d {
            0.0 => (0.0, 1.0),
            90.0 => (1.0, 0.0),
            180.0 => (0.0, -1.0),
            270.0 => (-1.0, 0.0),
            _ => d.to_radians().sin_cos(),
        };
        let turn = DMat3::from_cols(DVec3::new(c, s, 0.0), DVec3::new(-s, c, 0.0), DVec3::Z);
        Pose {
            rot: self.rot * turn,
            at: self.at,
        }
    }

    /// `self` after `inner`: the placement of something whose frame is placed in this part's frame.
    #[must_use]
    pub fn then(&self, inner: &Pose) -> Pose {
        Pose {
            rot: self.rot * inner.rot,
            at: self.point(inner.at),
        }
    }

    /// Shift by `d` mm along the part's own axes, then `self`.
    #[must_use]
    pub fn offset(&self, d: DVec3) -> Pose {
        Pose {
            rot: self.rot,
            at: self.point(d),
        }
    }

    /// A point of the part's frame in the amp frame.
    #[must_use]
    pub fn point(&self, p: DVec3) -> DVec3 {
        self.rot * p + self.at
    }

    /// A direction of the part's frame in the amp frame.
    #[must_use]
    pub fn dir(&self, v: DVec3) -> DVec3 {
        self.rot * v
    }

    /// The placement that undoes this one.
    #[must_use]
    pub fn inverse(&self) -> Pose {
        let rot = self.rot.transpose();
        Pose {
            rot,
            at: -(rot * self.at),
        }
    }
}
