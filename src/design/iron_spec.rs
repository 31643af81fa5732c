//! A transformer or choke, resolved.

use crate::params::{Mounting, TransformerRole};
use crate::pose::Pose;
use glam::{DVec2, DVec3};

/// A transformer or choke.
#[derive(Clone, Debug, PartialEq)]
pub struct IronSpec {
    /// The item's id.
    pub id: String,
    /// What it does.
    pub role: TransformerRole,
    /// How it is mounted.
    pub mounting: Mounting,
    /// On the component side.
    pub component: bool,
    /// Tongue; leg of a C-core; thickness of a toroid's ring.
    pub tongue: f64,
    /// Lamination length, across the legs; diameter of a toroid.
    pub length: f64,
    /// Lamination height, along the tongue; diameter of a toroid.
    pub height: f64,
    /// Stack; strip width of a C-core, height of a toroid's ring.
    pub stack: f64,
    /// How far coil or bell stands out of the stack on each side.
    pub bell: f64,
    /// Thickness of feet, frame strap or bell flange.
    pub sheet: f64,
    /// Hole spacing along local x and y.
    pub holes: DVec2,
    /// Hole diameter in plate and feet.
    pub hole: f64,
    /// Height of the spacers of a flat mounting, thickness of a toroid's pads.
    pub spacer: f64,
    /// Open middle of a toroid, 0 without one.
    pub bore: f64,
    /// Plate thickness (the coil of a drop-through hangs through it).
    pub plate: f64,
    /// Mass, kg.
    pub mass: f64,
    /// On its face of the plate, z away from it, turned.
    pub pose: Pose,
}

/// Density of lamination steel, kg/m3, and its stacking factor. M6 steel 7.65 g/cm3: published (maker's lamination page); 0.95 from memory.
pub const IRON: f64 = 7650.0 * 0.95;

impl IronSpec {
    /// Its mounting holes in its own frame.
    #[must_use]
    pub fn mounts(&self) -> Vec<DVec2> {
        let (x, y) = (self.holes.x / 2.0, self.holes.y / 2.0);
        if self.mounting == Mounting::CentreBolt {
            vec![DVec2::ZERO]
        } else if self.mounting == Mounting::ChannelFrame {
            vec![DVec2::new(-x, 0.0), DVec2::new(x, 0.0)]
        } else {
            vec![
                DVec2::new(-x, -y),
                DVec2::new(x, -y),
                DVec2::new(x, y),
                DVec2::new(-x, y),
            ]
        }
    }

    /// The axis of its coil, which is that of its stray field, in the amp frame: along the tongue of a lamination, upright in a channel frame,
    /// in a toroid (whose field goes round and hardly leaves it) and in a C-core.
    #[must_use]
    pub fn coil_axis(&self) -> DVec3 {
        match self.mounting {
            Mounting::DropThrough | Mounting::Flat | Mounting::Upright => self.pose.dir(DVec3::X),
            Mounting::ChannelFrame | Mounting::CentreBolt | Mounting::Banded => {
                self.pose.dir(DVec3::Z)
            }
        }
    }

    /// Size of the coil where it stands out of a lying stack: along x and y.
    #[must_use]
    pub fn coil(&self) -> DVec2 {
        DVec2::new(self.tongue * 1.5 - 1.0, self.tongue * 2.0 - 1.0)
    }

    /// Half the footprint along y, for what stands beside it.
    pub(super) fn half_y(&self) -> f64 {
        match self.mounting {
            Mounting::DropThrough | Mounting::Flat => self.length / 2.0,
            Mounting::Upright => self.holes.y / 2.0 + 6.0,
            Mounting::CentreBolt => self.length / 2.0,
            Mounting::ChannelFrame | Mounting::Banded => self.stack / 2.0 + self.bell,
        }
    }
}
