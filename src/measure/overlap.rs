//! Common volumes.

use super::{CONTACT_DEPTH, Prepared};
use crate::mesh::Mesh;
use crate::pose::Pose;
use glam::DVec3;
use manifold_rust::manifold::Manifold;
use manifold_rust::types::MeshGLP;

/// What two bodies have in common.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Overlap {
    /// mm3; 0 when they are apart or only touch.
    pub volume: f64,
    /// The middle of the common volume, in the amp frame.
    pub at: DVec3,
    /// Mean thickness of the thickest piece of the common volume (twice its volume over its surface), mm.
    pub depth: f64,
}

/// Common volume of two placed bodies. Pieces thinner than [`CONTACT_DEPTH`] are contact and do not count.
#[must_use]
pub fn overlap(a: &Prepared, a_pose: &Pose, b: &Prepared, b_pose: &Pose) -> Overlap {
    // In the frame of the first, so that its numbers stay as exact as they are.
    let relative = a_pose.inverse().then(b_pose);
    let [b_low, b_high] = b.bounds(&relative);
    let [a_low, a_high] = a.bounds(&relative.inverse());
    let first = solid(&a.fine(b_low, b_high), &Pose::IDENTITY);
    let second = solid(&b.fine(a_low, a_high), &relative);
    let common = first.intersection(&second);

    let mut out = Overlap::default();
    let mut moment = DVec3::ZERO;
    for piece in common.decompose() {
        let mesh = triangles(&piece);
        let (volume, area) = (mesh.volume(), mesh.area());
        let depth = if area > 0.0 { 2.0 * volume / area } else { 0.0 };
        if depth < CONTACT_DEPTH {
            continue;
        }
        out.volume += volume;
        out.depth = out.depth.max(depth);
        moment += centroid(&mesh) * volume;
    }
    if out.volume > 0.0 {
        out.at = a_pose.point(moment / out.volume);
    }
    out
}

fn solid(mesh: &Mesh, pose: &Pose) -> Manifold {
    Manifold::from_mesh_glp(&MeshGLP::<f64, u32> {
        num_prop: 3,
        vert_properties: mesh
            .points
            .iter()
            .flat_map(|&p| pose.point(p).to_array())
            .collect(),
        tri_verts: mesh.triangles.iter().flatten().copied().collect(),
        ..Default::default()
    })
}

fn triangles(solid: &Manifold) -> Mesh {
    let raw: MeshGLP<f64, u32> = solid.get_mesh_glp(-1);
    let per = (raw.num_prop as usize).max(3);
    Mesh {
        points: raw
            .vert_properties
            .chunks_exact(per)
            .map(|c| DVec3::new(c[0], c[1], c[2]))
            .collect(),
        triangles: raw
            .tri_verts
            .chunks_exact(3)
            .map(|t| [t[0], t[1], t[2]])
            .collect(),
    }
}

/// Centre of volume, mm.
fn centroid(mesh: &Mesh) -> DVec3 {
    let from = mesh.points.first().copied().unwrap_or_default();
    let (mut moment, mut six) = (DVec3::ZERO, 0.0);
    for t in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corners(t).map(|p| p - from);
        let v = a.dot(b.cross(c));
        moment += (a + b + c) * (v / 4.0);
        six += v;
    }
    if six == 0.0 {
        from
    } else {
        from + moment / six
    }
}
