use crate::mesh::{self, Division};
use crate::solid::{Body, Surface};
use glam::{DVec3, Vec3};

/// Largest distance of chord and arc in pictures, mm: under a pixel at the size the views are drawn.
const CHORD: f64 = 0.15;

/// Faces that meet at less than this (cosine of 20 degrees) have no line between them.
const SMOOTH: f32 = 0.94;

/// A mesh for looking at: shaded as the exact surfaces are, with the lines a draughtsman would draw.
pub(crate) struct Coarse {
    /// Corners, part frame, mm.
    pub points: Vec<DVec3>,
    /// Corner indices, counter-clockwise from outside.
    pub triangles: Vec<[u32; 3]>,
    /// Outward unit normals of the exact surface at each triangle's corners.
    pub normals: Vec<[Vec3; 3]>,
    /// Sides that two triangles share.
    pub sides: Vec<Side>,
}

/// Where two triangles meet.
pub(crate) struct Side {
    /// Corners.
    pub ends: [u32; 2],
    /// Triangles.
    pub triangles: [u32; 2],
    /// Whether the exact surfaces meet at an edge here.
    pub sharp: bool,
}

impl Coarse {
    pub fn new(body: &Body) -> Coarse {
        let faced = mesh::faced_mesh(body, Division::EqualArea { chord: CHORD });
        let (points, triangles) = (faced.mesh.points, faced.mesh.triangles);
        let normals: Vec<[Vec3; 3]> = triangles
            .iter()
            .zip(&faced.face_of)
            .map(|(t, &f)| {
                let face = &body.faces[f as usize];
                let sense = if face.sense { 1.0 } else { -1.0 };
                t.map(|i| (normal(&face.surface, points[i as usize]) * sense).as_vec3())
            })
            .collect();

        // each directed side once, beside the other direction of the same two corners
        let mut directed: Vec<([u32; 2], u32, u32)> = Vec::with_capacity(3 * triangles.len());
        for (t, &[a, b, c]) in triangles.iter().enumerate() {
            for (k, [p, q]) in [[a, b], [b, c], [c, a]].into_iter().enumerate() {
                directed.push(([p.min(q), p.max(q)], t as u32, k as u32));
            }
        }
        directed.sort_unstable();
        let mut sides = Vec::with_capacity(directed.len() / 2);
        for pair in directed.chunk_by(|x, y| x.0 == y.0) {
            if let &[(ends, t, k), (_, u, l)] = pair {
                let other_face = faced.face_of[t as usize] != faced.face_of[u as usize];
                // the start of one direction is the end of the other
                let (n, m) = (normals[t as usize], normals[u as usize]);
                let meet = n[k as usize]
                    .dot(m[(l as usize + 1) % 3])
                    .max(n[(k as usize + 1) % 3].dot(m[l as usize]));
                sides.push(Side {
                    ends,
                    triangles: [t, u],
                    sharp: other_face && meet < SMOOTH,
                });
            }
        }
        Coarse {
            points,
            triangles,
            normals,
            sides,
        }
    }
}

/// The surface's own unit normal at `p`.
fn normal(surface: &Surface, p: DVec3) -> DVec3 {
    let radial = |origin: DVec3, axis: DVec3| {
        let d = p - origin;
        (d - axis * d.dot(axis)).normalize_or_zero()
    };
    match *surface {
        Surface::Plane { normal, .. } => normal,
        Surface::Cylinder { origin, axis, .. } => radial(origin, axis),
        Surface::Cone {
            origin,
            axis,
            slope,
            ..
        } => (radial(origin, axis) - axis * slope).normalize_or_zero(),
        Surface::Sphere { centre, .. } => (p - centre).normalize_or_zero(),
        Surface::Torus {
            centre,
            axis,
            major,
            ..
        } => (p - centre - radial(centre, axis) * major).normalize_or_zero(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::test_assembly::prism;
    use crate::outline::Loop;
    use glam::DVec2;

    #[test]
    fn a_block_has_twelve_lines_and_a_rod_two_rings() {
        let block = Coarse::new(&prism(Loop::rect(DVec2::ZERO, DVec2::new(10.0, 20.0)), 30.0).body);
        assert_eq!(block.sides.iter().filter(|s| s.sharp).count(), 12);
        let rod = Coarse::new(&prism(Loop::circle(DVec2::ZERO, 11.0), 50.0).body);
        // the two halves of its wall meet without a line: every sharp side is level
        assert!(rod.sides.iter().any(|s| s.sharp));
        for s in rod.sides.iter().filter(|s| s.sharp) {
            let [a, b] = s.ends.map(|i| rod.points[i as usize]);
            assert_eq!(a.z, b.z);
        }
        // shaded as a round wall: normals are square to the axis and look outwards
        for (t, n) in rod.triangles.iter().zip(&rod.normals) {
            for (&i, n) in t.iter().zip(n) {
                let p = rod.points[i as usize];
                assert!(n.z.abs() > 0.99 || n.as_dvec3().dot(p.with_z(0.0).normalize()) > 0.99);
            }
        }
    }
}
