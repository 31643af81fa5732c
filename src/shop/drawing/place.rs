//! Where a view lies on the paper.

use crate::outline::Loop;
use glam::DVec2;

/// Room for the ordinates at the left and below, mm.
pub(super) const LEFT: f64 = 26.0;
pub(super) const BELOW: f64 = 28.0;

/// Where a point of the plan falls on the paper.
#[derive(Clone, Copy)]
pub(super) struct Place {
    pub origin: DVec2,
    pub scale: f64,
}

impl Place {
    pub fn at(self, p: DVec2) -> DVec2 {
        self.origin + self.scale * p
    }

    pub fn outline(self, l: &Loop) -> Loop {
        l.mapped(|p| self.at(p))
    }
}
