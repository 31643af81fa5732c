//! From solids to the triangles and lines of a picture.

use super::camera::Camera;
use super::coarse::Coarse;
use super::raster::{Line, Pen, Tri};
use crate::pose::Pose;
use glam::Vec3;

/// A solid where it is drawn.
pub(super) struct Placed<'a> {
    pub mesh: &'a Coarse,
    pub pose: Pose,
    /// See-through.
    pub ghost: bool,
}

/// Everything in pixels: triangles that can be seen, and the lines that are drawn. Items are counted as they stand in `placed`.
pub(super) fn project(
    placed: &[Placed],
    camera: &Camera,
    near: Option<f32>,
) -> (Vec<Tri>, Vec<Line>) {
    let light = Vec3::new(-0.38, 0.62, 0.69).normalize();
    let (mut tris, mut lines) = (Vec::new(), Vec::new());
    for (number, item) in placed.iter().enumerate() {
        let mesh = item.mesh;
        let at: Vec<Vec3> = mesh
            .points
            .iter()
            .map(|&p| camera.project(item.pose.point(p)))
            .collect();
        let mut away = Vec::with_capacity(mesh.triangles.len());
        for (t, normals) in mesh.triangles.iter().zip(&mesh.normals) {
            let corners = t.map(|i| at[i as usize]);
            let (u, v) = (
                (corners[1] - corners[0]).truncate(),
                (corners[2] - corners[0]).truncate(),
            );
            // rows run downwards, so what is counter-clockwise in the amp is clockwise in the picture
            let is_away = u.perp_dot(v) >= 0.0;
            away.push(is_away);
            if let Some(near) = near {
                lines.extend(cut_line(corners, near));
            }
            if is_away && near.is_none() {
                continue;
            }
            let shade = normals.map(|n| {
                let n = camera.facing(item.pose.dir(n.as_dvec3()));
                0.66 + 0.34 * n.dot(light).max(0.0)
            });
            tris.push(Tri {
                at: corners,
                shade,
                item: number as u32,
                away: is_away,
            });
        }
        for side in &mesh.sides {
            let [p, q] = side.triangles.map(|t| away[t as usize]);
            let pen = match (p != q, side.sharp && !(p && q)) {
                _ if item.ghost && (p != q || side.sharp) => Pen::Ghost,
                (true, _) => Pen::Outline,
                (false, true) => Pen::Edge,
                _ => continue,
            };
            let ends = side.ends.map(|i| at[i as usize]);
            if let Some(ends) = behind(ends, near) {
                lines.push(Line { ends, pen });
            }
        }
    }
    (tris, lines)
}

/// Where a triangle crosses the plane of the cut.
fn cut_line(corners: [Vec3; 3], near: f32) -> Option<Line> {
    let mut ends = [Vec3::ZERO; 2];
    let mut count = 0;
    for k in 0..3 {
        let (p, q) = (corners[k], corners[(k + 1) % 3]);
        if (p.z < near) != (q.z < near) && count < 2 {
            ends[count] = p.lerp(q, (near - p.z) / (q.z - p.z)).with_z(near);
            count += 1;
        }
    }
    (count == 2).then_some(Line {
        ends,
        pen: Pen::Cut,
    })
}

/// The stretch of a line behind the plane of the cut.
fn behind([a, b]: [Vec3; 2], near: Option<f32>) -> Option<[Vec3; 2]> {
    let Some(near) = near else {
        return Some([a, b]);
    };
    match (a.z < near, b.z < near) {
        (false, false) => Some([a, b]),
        (true, true) => None,
        (true, false) => Some([b.lerp(a, (near - b.z) / (a.z - b.z)), b]),
        (false, true) => Some([a, a.lerp(b, (near - a.z) / (b.z - a.z))]),
    }
}
