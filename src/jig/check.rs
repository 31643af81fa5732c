//! What can be known of a print before it is made.

use super::blank::Blank;
use crate::design::PrintSpec;
use crate::mesh::Mesh;
use crate::outline::{self, Loop};
use glam::{DVec3, Vec3Swizzles};
use std::collections::BTreeMap;

/// Faces steeper than this need no support: 45 degrees (published: print-bureau design guides).
const STEEPEST: f64 = -std::f64::consts::FRAC_1_SQRT_2;
/// Widest gap that is bridged without support, mm (published: print-bureau design guides, 5 to 10).
pub const WIDEST_BRIDGE: f64 = 5.0;
/// A first layer smaller than this comes off the bed, mm2 (common practice).
pub const LEAST_FOOT: f64 = 150.0;
/// Thinnest wall that stands, mm (published: five print-bureau design guides, 0.8 to 1.0).
pub const THINNEST: f64 = 0.8;

/// A look at a piece as it lies on the bed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PrintCheck {
    /// Size on the bed, mm.
    pub size: [f64; 3],
    /// Area on the bed, mm2.
    pub foot: f64,
    /// Area that hangs over nothing, mm2.
    pub overhang: f64,
    /// Mean width of the widest of those areas, mm: what is bridged.
    pub bridge: f64,
    /// Thinnest wall between two edges of the plate, letters apart, mm; infinite where it has one edge only.
    pub wall: f64,
    /// Height of its letters, mm; 0 without any.
    pub letter: f64,
    /// Their stroke, mm.
    pub stroke: f64,
    /// Triangles.
    pub triangles: usize,
}

impl PrintCheck {
    /// What does not print well, in words.
    #[must_use]
    pub fn faults(&self) -> Vec<String> {
        let mut out = Vec::new();
        if self.bridge > WIDEST_BRIDGE {
            out.push(format!(
                "an overhang {:.1} mm wide needs support",
                self.bridge
            ));
        }
        if self.wall < THINNEST {
            out.push(format!("a wall of {:.2} mm may not print", self.wall));
        }
        if self.foot < LEAST_FOOT {
            out.push(format!(
                "only {:.0} mm2 lie on the bed: print it with a brim",
                self.foot
            ));
        }
        out
    }
}

pub(super) fn look(blank: &Blank, on_bed: &Mesh, print: &PrintSpec) -> PrintCheck {
    let [low, high] = on_bed.bounds();
    let mut foot = 0.0;
    let mut over: Vec<usize> = Vec::new();
    for t in 0..on_bed.triangles.len() {
        let [a, b, c] = on_bed.corners(t);
        let n = (b - a).cross(c - a);
        if n.z >= STEEPEST * n.length() - 1e-12 {
            continue;
        }
        if a.z.max(b.z).max(c.z) < low.z + 1e-6 {
            foot += n.length() / 2.0;
        } else {
            over.push(t);
        }
    }
    let (overhang, bridge) = bridges(on_bed, &over);
    let lettered = !blank.texts.is_empty();
    PrintCheck {
        size: (high - low).to_array(),
        foot,
        overhang,
        bridge,
        wall: wall(blank),
        letter: if lettered { print.letter } else { 0.0 },
        stroke: if lettered { print.stroke } else { 0.0 },
        triangles: on_bed.triangles.len(),
    }
}

/// Area of the triangles in plan, and the mean width (twice the area over the edge) of the widest connected piece.
fn bridges(mesh: &Mesh, over: &[usize]) -> (f64, f64) {
    let mut parent: Vec<usize> = (0..over.len()).collect();
    fn root(parent: &mut [usize], mut i: usize) -> usize {
        while parent[i] != i {
            parent[i] = parent[parent[i]];
            i = parent[i];
        }
        i
    }
    let mut edges: BTreeMap<(u32, u32), Vec<usize>> = BTreeMap::new();
    for (k, &t) in over.iter().enumerate() {
        let [a, b, c] = mesh.triangles[t];
        for (p, q) in [(a, b), (b, c), (c, a)] {
            edges.entry((p.min(q), p.max(q))).or_default().push(k);
        }
    }
    for sharing in edges.values() {
        if let [i, j] = sharing[..] {
            let (i, j) = (root(&mut parent, i), root(&mut parent, j));
            parent[i.max(j)] = i.min(j);
        }
    }
    let mut sums: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
    for (k, &t) in over.iter().enumerate() {
        let [a, b, c] = mesh.corners(t).map(|p: DVec3| p.xy());
        sums.entry(root(&mut parent, k)).or_default().0 += ((b - a).perp_dot(c - a) / 2.0).abs();
    }
    for ((p, q), sharing) in &edges {
        if let [only] = sharing[..] {
            let d = (mesh.points[*p as usize] - mesh.points[*q as usize]).xy();
            sums.entry(root(&mut parent, only)).or_default().1 += d.length();
        }
    }
    let area = sums.values().map(|s| s.0).sum();
    let widest = sums
        .values()
        .filter(|s| s.1 > 0.0)
        .map(|s| 2.0 * s.0 / s.1)
        .fold(0.0, f64::max);
    (area, widest)
}

fn wall(blank: &Blank) -> f64 {
    const LOOK: f64 = 12.0;
    let Ok(section) = blank.section() else {
        return 0.0;
    };
    let loops: Vec<&Loop> = section.iter().flat_map(outline::Region::loops).collect();
    outline::gaps(&loops, LOOK)
        .iter()
        .map(|g| g.2)
        .fold(f64::INFINITY, f64::min)
}
