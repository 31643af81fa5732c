use crate::outline::{Loop, Region};
use glam::{DVec2, DVec3};

/// How a solid is made, in its part frame, mm. Plain data: equal recipes give equal solids.
#[derive(Clone, Debug, PartialEq)]
pub enum Recipe {
    /// A stack of slabs along +z. Neighbouring outlines may be equal, one inside the other with shared
    /// edges (a pocket, a stopped groove, a flange), or one inside the other without (a boss).
    Layered {
        /// z of the lowest face.
        base: f64,
        /// From the bottom upwards; at least one.
        layers: Vec<Layer>,
        /// Round holes between parallel planar faces of what the layers make.
        holes: Vec<Hole>,
    },
    /// A plate from z = 0 to `thickness` whose straight outer edges are bevelled: `bottom` and `top` have the same number of
    /// nodes, no arcs, and corresponding edges parallel.
    Bevelled {
        /// Outer loop at z = 0.
        bottom: Loop,
        /// Outer loop at z = thickness.
        top: Loop,
        /// Height along z.
        thickness: f64,
        /// Openings with walls square to the faces.
        windows: Vec<Loop>,
        /// Round holes.
        holes: Vec<Hole>,
    },
    /// A body turned about the z axis.
    Turned {
        /// Counter-clockwise loop with x = radius (never negative) and y = z. A segment on the axis (x = 0 at both ends) makes no
        /// face; a ring that never meets the axis is allowed. Arcs must not cross the axis; an arc centred on the axis makes a sphere,
        /// another a torus.
        profile: Loop,
        /// Round holes between planar faces square to the axis.
        holes: Vec<Hole>,
    },
}

/// One slab of a [`Recipe::Layered`].
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// z of its upper face; its lower face is the upper face of the layer below, or `base`.
    pub top: f64,
    /// Its material; several where the slab is parted, e.g. by notches for screw heads.
    pub regions: Vec<Region>,
}

impl Layer {
    /// A slab of one piece.
    #[must_use]
    pub fn new(top: f64, region: Region) -> Layer {
        Layer {
            top,
            regions: vec![region],
        }
    }
}

/// A round stepped hole, drilled from one planar face to a parallel one, or blind.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// The centre on the face it enters, mm in the part frame.
    pub at: DVec3,
    /// Unit direction into the material.
    pub dir: DVec3,
    /// (depth, radius) from the entry downwards, depth never falling: equal depths make a flat step, equal radii a cylinder, else
    /// a cone. The first depth is 0. A through hole ends at the depth of the far face.
    pub profile: Vec<DVec2>,
    /// Whether the last point is the hole's floor (a flat disc, or a cone's tip when its radius is 0) rather than its exit.
    pub blind: bool,
}
