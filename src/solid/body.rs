use glam::DVec3;

/// A closed solid as an exact record, mm in its part frame. Indices are `u32` into the arrays.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Body {
    /// Points.
    pub vertices: Vec<DVec3>,
    /// Each is used by exactly two faces, once in each direction (or twice by one face, the seam case, which [`crate::solid::build`] never makes).
    pub edges: Vec<Edge>,
    /// Outward-oriented.
    pub faces: Vec<Face>,
}

/// A line or an arc between two vertices.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Start and end vertex.
    pub ends: [u32; 2],
    /// What it follows.
    pub curve: Curve,
}

/// The curve of an [`Edge`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    /// Straight.
    Line,
    /// From start to end counter-clockwise about `axis` (unit); less than a full turn.
    Arc {
        /// Centre.
        centre: DVec3,
        /// Unit axis.
        axis: DVec3,
        /// Radius.
        radius: f64,
    },
}

/// A bounded piece of a surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// What it lies on.
    pub surface: Surface,
    /// `true`: the outward normal is the surface's own normal; `false`: opposite (a bore).
    pub sense: bool,
    /// Oriented edges (edge index, forwards), outer loop first; the material is on the left seen from outside.
    pub loops: Vec<Vec<(u32, bool)>>,
}

/// The five kinds of surface. A surface's own normal points along `normal`, or away from the axis, tube centre or centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Surface {
    /// Flat.
    Plane {
        /// A point on it.
        origin: DVec3,
        /// Unit normal.
        normal: DVec3,
    },
    /// Round wall.
    Cylinder {
        /// A point on the axis.
        origin: DVec3,
        /// Unit axis.
        axis: DVec3,
        /// Radius.
        radius: f64,
    },
    /// Radius grows by `slope` per mm along `axis` and is `radius` at `origin`.
    Cone {
        /// A point on the axis.
        origin: DVec3,
        /// Unit axis.
        axis: DVec3,
        /// Radius at `origin`.
        radius: f64,
        /// Growth of the radius per mm along the axis (tangent of the half angle; may be negative).
        slope: f64,
    },
    /// Ball.
    Sphere {
        /// Centre.
        centre: DVec3,
        /// Unit axis about which its faces are turned.
        axis: DVec3,
        /// Radius.
        radius: f64,
    },
    /// Ring.
    Torus {
        /// Centre.
        centre: DVec3,
        /// Unit axis.
        axis: DVec3,
        /// Radius of the tube's centre circle.
        major: f64,
        /// Radius of the tube.
        minor: f64,
    },
}
