//! Triangle meshes of exact bodies: closed and oriented by construction, because each edge is divided once.
//!
//! Every vertex of the body stays where it is and every edge is divided into a chain of points that both its faces use, so
//! there is never anything to merge. Planar faces are triangulated between their chains; turned faces are strips of columns
//! that run from one ring edge to the other, so all ring edges of one face are divided at the same angles.

mod check;
mod divide;
mod planar;
mod rounded;
mod sweep;
#[cfg(test)]
mod sweep_tests;
#[cfg(test)]
pub(crate) mod test_bodies;
#[cfg(test)]
mod tests;
mod turned;

pub use check::Validity;
pub use rounded::Rounded;

use crate::pose::Pose;
use crate::solid::{Body, Surface};
use glam::DVec3;
use rayon::prelude::*;

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
    ///
    /// # Limitations
    /// A ring in which a face that looks away from the axis meets one that looks towards it (a knife edge) is divided for
    /// the first; there the second may lie up to `deviation` inside the body.
    Outward {
        /// Largest deviation, mm.
        deviation: f64,
    },
}

/// Chord of export meshes, mm, before any halving.
pub const EXPORT_CHORD: f64 = 0.02;

/// Largest relative error of an export mesh's volume; half a per mille of reserve to the 0.3 % that readers are promised is
/// left for the rounding to f32.
pub const EXPORT_VOLUME_ERROR: f64 = 0.002;

/// Halvings of the chord after which [`export_mesh`] takes what it has: 64 times finer than the start, and 8 times the triangles
/// per circle.
const MAX_HALVINGS: u32 = 6;

/// From this number of points on, the planar faces of one body are triangulated in parallel; below, handing out the work costs
/// more than it saves.
const PARALLEL_POINTS: usize = 4_000;

/// A [`Mesh`] that still knows which face of the body each triangle comes from.
#[derive(Clone, Debug, Default)]
pub struct FacedMesh {
    /// The triangles, in the order of the body's faces.
    pub mesh: Mesh,
    /// For each triangle the index of its face.
    pub face_of: Vec<u32>,
}

/// Triangles of one face; corner indices from `first_own` on are in `own`.
struct Patch {
    own: Vec<DVec3>,
    triangles: Vec<[u32; 3]>,
}

/// Divides `body` into triangles.
#[must_use]
pub fn mesh(body: &Body, division: Division) -> Mesh {
    faced_mesh(body, division).mesh
}

/// As [`mesh`], with the face of each triangle.
#[must_use]
pub fn faced_mesh(body: &Body, division: Division) -> FacedMesh {
    let divided = divide::Divided::new(body, division);
    let first_own = divided.points.len();
    let patch = |index: usize| -> Patch {
        let face = &body.faces[index];
        match face.surface {
            Surface::Plane { normal, .. } => {
                let outward = if face.sense { normal } else { -normal };
                Patch {
                    own: Vec::new(),
                    triangles: planar::triangulate(face, outward, &divided),
                }
            }
            _ => turned::triangulate(body, face, &divided),
        }
    };
    let patches: Vec<Patch> = if first_own >= PARALLEL_POINTS {
        (0..body.faces.len()).into_par_iter().map(patch).collect()
    } else {
        (0..body.faces.len()).map(patch).collect()
    };

    let count = patches.iter().map(|p| p.triangles.len()).sum();
    let mut out = FacedMesh {
        mesh: Mesh {
            points: divided.points,
            triangles: Vec::with_capacity(count),
        },
        face_of: Vec::with_capacity(count),
    };
    for (face, patch) in patches.into_iter().enumerate() {
        let shift = (out.mesh.points.len() - first_own) as u32;
        out.mesh.points.extend(patch.own);
        let place = |i: u32| {
            if i as usize >= first_own {
                i + shift
            } else {
                i
            }
        };
        out.face_of
            .extend(std::iter::repeat_n(face as u32, patch.triangles.len()));
        out.mesh
            .triangles
            .extend(patch.triangles.into_iter().map(|t| t.map(place)));
    }
    out
}

/// The mesh that is written to files: equal areas, the chord halved until the volume is within [`EXPORT_VOLUME_ERROR`] of
/// `exact_volume` (mm3).
#[must_use]
pub fn export_mesh(body: &Body, exact_volume: f64) -> Mesh {
    let mut chord = EXPORT_CHORD;
    let mut out = mesh(body, Division::EqualArea { chord });
    for _ in 0..MAX_HALVINGS {
        if (out.volume() - exact_volume).abs() <= EXPORT_VOLUME_ERROR * exact_volume.abs() {
            break;
        }
        chord *= 0.5;
        out = mesh(body, Division::EqualArea { chord });
    }
    out
}

impl Mesh {
    /// The corners of triangle `t`.
    #[must_use]
    pub fn corners(&self, t: usize) -> [DVec3; 3] {
        self.triangles[t].map(|i| self.points[i as usize])
    }

    /// Enclosed volume, mm3; positive when the triangles look outwards.
    #[must_use]
    pub fn volume(&self) -> f64 {
        // Measured from a point of the mesh, so that a small part far from the origin loses no digits.
        let from = self.points.first().copied().unwrap_or_default();
        let six: f64 = (0..self.triangles.len())
            .map(|t| {
                let [a, b, c] = self.corners(t).map(|p| p - from);
                a.dot(b.cross(c))
            })
            .sum();
        six / 6.0
    }

    /// Surface area, mm2.
    #[must_use]
    pub fn area(&self) -> f64 {
        let twice: f64 = (0..self.triangles.len())
            .map(|t| {
                let [a, b, c] = self.corners(t);
                (b - a).cross(c - a).length()
            })
            .sum();
        twice / 2.0
    }

    /// Least and greatest corner of the axis-parallel box; both zero when there are no points.
    #[must_use]
    pub fn bounds(&self) -> [DVec3; 2] {
        let Some(&first) = self.points.first() else {
            return [DVec3::ZERO; 2];
        };
        self.points
            .iter()
            .fold([first; 2], |[low, high], &p| [low.min(p), high.max(p)])
    }

    /// The same mesh where `pose` puts it.
    #[must_use]
    pub fn transformed(&self, pose: &Pose) -> Mesh {
        Mesh {
            points: self.points.iter().map(|&p| pose.point(p)).collect(),
            triangles: self.triangles.clone(),
        }
    }
}
