//! Triangle meshes of exact bodies: closed and oriented by construction, because each edge is divided once.

use glam::DVec3;

/// Indexed triangles, counter-clockwise seen from outside, mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Corners; no two are equal.
    pub points: Vec<DVec3>,
    /// Corner indices.
    pub triangles: Vec<[u32; 3]>,
}

/// How a body's curves are divided.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Division {
    /// Polygons of the same area as their circles, no chord further from its arc than `chord` mm: for volumes and files.
    EqualArea {
        /// Largest distance of chord and arc, mm.
        chord: f64,
    },
    /// Deviates only into the void (convex directions circumscribed, concave inscribed), by at most `deviation` mm over the whole
    /// body: a distance between two such meshes is never larger than the true one.
    Outward {
        /// Largest deviation, mm.
        deviation: f64,
    },
}
