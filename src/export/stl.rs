//! Binary STL, in the amp frame.

use crate::mesh::Mesh;
use crate::pose::Pose;
use stl_io::{Normal, Triangle, Vertex};

/// One part's mesh, placed, as a binary STL in mm.
///
/// Closed if the mesh is: corners are rounded to f32 once each, and a triangle two of whose corners have become equal goes, with the
/// neighbour across that edge.
#[must_use]
pub fn part_stl(mesh: &Mesh, pose: &Pose) -> Vec<u8> {
    assembly_stl([(mesh, pose)])
}

/// All placed meshes in one binary STL in mm, for looking at.
///
/// # Limitations
/// Parts that touch share edges or faces, so a reader that merges equal corners does not find the whole closed.
#[must_use]
pub fn assembly_stl<'a>(parts: impl IntoIterator<Item = (&'a Mesh, &'a Pose)>) -> Vec<u8> {
    let mut triangles = Vec::new();
    for (mesh, pose) in parts {
        push_triangles(&mut triangles, mesh, pose);
    }
    let mut bytes = Vec::with_capacity(84 + 50 * triangles.len());
    stl_io::write_stl(&mut bytes, triangles.iter()).expect("writing to memory does not fail");
    bytes
}

fn push_triangles(out: &mut Vec<Triangle>, mesh: &Mesh, pose: &Pose) {
    let corners: Vec<[f32; 3]> = mesh
        .points
        .iter()
        .map(|p| {
            // Adding zero turns -0.0 into 0.0: a reader that compares bits would split the corner.
            pose.point(*p).to_array().map(|x| x as f32 + 0.0)
        })
        .collect();
    for triangle in &mesh.triangles {
        let [a, b, c] = triangle.map(|i| corners[i as usize]);
        if a == b || b == c || c == a {
            continue;
        }
        out.push(Triangle {
            normal: Normal::new(normal(a, b, c)),
            vertices: [a, b, c].map(Vertex::new),
        });
    }
}

/// Outward unit normal of the rounded corners; zero for a sliver without area, which the format allows.
fn normal(a: [f32; 3], b: [f32; 3], c: [f32; 3]) -> [f32; 3] {
    let [a, b, c] = [a, b, c].map(|p| glam::DVec3::from_array(p.map(f64::from)));
    (b - a)
        .cross(c - a)
        .normalize_or_zero()
        .to_array()
        .map(|x| x as f32 + 0.0)
}
