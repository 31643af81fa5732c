//! A tree of boxes over the triangles of a mesh.

use super::triangle::{self, Triangle};
use crate::mesh::FacedMesh;
use crate::pose::Pose;
use glam::{DMat3, DVec3};

/// Triangles in a leaf; measured: 2 and 8 are both a fifth slower on pairs of turned parts.
const LEAF: usize = 4;

/// Marks a node whose triangles come from several faces.
const MIXED: u32 = u32::MAX;

#[derive(Clone, Copy, Debug)]
struct Node {
    centre: DVec3,
    half: DVec3,
    /// First triangle of a leaf; the second child of an inner node, whose first child is the next node.
    at: u32,
    /// Number of triangles; 0 for an inner node.
    count: u32,
    face: u32,
}

#[derive(Clone, Debug)]
pub(super) struct Tree {
    nodes: Vec<Node>,
    triangles: Vec<Triangle>,
    face_of: Vec<u32>,
}

/// Takes points of the second tree's frame into the first's.
struct Relative {
    rot: DMat3,
    at: DVec3,
    spread: DMat3,
}

impl Relative {
    fn new(a: &Pose, b: &Pose) -> Relative {
        let rot = a.rot.transpose() * b.rot;
        let spread = DMat3::from_cols(rot.x_axis.abs(), rot.y_axis.abs(), rot.z_axis.abs());
        Relative {
            rot,
            at: a.rot.transpose() * (b.at - a.at),
            spread,
        }
    }

    fn point(&self, p: DVec3) -> DVec3 {
        self.rot * p + self.at
    }
}

/// The closest points of two placed trees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Closest {
    pub distance: f64,
    /// On the first and on the second, in the frame in which both are placed.
    pub at: [DVec3; 2],
}

impl Tree {
    pub(super) fn new(faced: &FacedMesh) -> Tree {
        let mut all: Vec<(DVec3, u32)> = (0..faced.mesh.triangles.len())
            .map(|t| {
                let [a, b, c] = faced.mesh.corners(t);
                (a.min(b).min(c) + a.max(b).max(c), t as u32)
            })
            .collect();
        let mut nodes = Vec::with_capacity(all.len());
        split(faced, &mut all, 0, &mut nodes);
        Tree {
            nodes,
            triangles: all
                .iter()
                .map(|&(_, t)| faced.mesh.corners(t as usize))
                .collect(),
            face_of: all
                .iter()
                .map(|&(_, t)| faced.face_of[t as usize])
                .collect(),
        }
    }

    /// Least distance (mm) if it is below `limit`, and where; 0 where the surfaces meet.
    pub(super) fn closest(
        &self,
        pose: &Pose,
        other: &Tree,
        other_pose: &Pose,
        limit: f64,
    ) -> Option<Closest> {
        if self.nodes.is_empty() || other.nodes.is_empty() {
            return None;
        }
        let to = Relative::new(pose, other_pose);
        let mut search = Search {
            a: self,
            b: other,
            to: &to,
            best: limit * limit,
            at: None,
        };
        search.visit(0, 0, 0.0);
        let best = search.best;
        search.at.map(|at| Closest {
            distance: best.sqrt(),
            at: at.map(|p| pose.point(p)),
        })
    }

    /// Calls `near` for each pair of faces of which some triangles are at most `reach` apart, once per pair, in order.
    pub(super) fn near_faces(
        &self,
        pose: &Pose,
        other: &Tree,
        other_pose: &Pose,
        reach: f64,
    ) -> Vec<(u32, u32)> {
        let mut found = Vec::new();
        if self.nodes.is_empty() || other.nodes.is_empty() {
            return found;
        }
        let to = Relative::new(pose, other_pose);
        let mut open = vec![(0_u32, 0_u32)];
        while let Some((i, j)) = open.pop() {
            let (a, b) = (&self.nodes[i as usize], &other.nodes[j as usize]);
            if gap(a, b, &to) > reach * reach
                || (a.face != MIXED && b.face != MIXED && found.contains(&(a.face, b.face)))
            {
                continue;
            }
            if a.count > 0 && b.count > 0 {
                for y in b.at..b.at + b.count {
                    let t = other.triangles[y as usize].map(|p| to.point(p));
                    for x in a.at..a.at + a.count {
                        let pair = (self.face_of[x as usize], other.face_of[y as usize]);
                        if !found.contains(&pair)
                            && triangle::closest(&self.triangles[x as usize], &t, reach * reach)
                                .is_some()
                        {
                            found.push(pair);
                        }
                    }
                }
            } else if b.count > 0 || (a.count == 0 && a.half.max_element() >= b.half.max_element())
            {
                open.extend([(a.at, j), (i + 1, j)]);
            } else {
                open.extend([(i, b.at), (i, j + 1)]);
            }
        }
        found.sort_unstable();
        found
    }

    /// Whether `p` (in the tree's own frame) is inside the surface. Points on it may count either way.
    pub(super) fn contains(&self, p: DVec3) -> bool {
        // Directions that run along no usual edge or face; the next is tried when a ray grazes a border.
        const DIRECTIONS: [DVec3; 5] = [
            DVec3::new(0.613_1, 0.471_7, 0.633_9),
            DVec3::new(-0.527_3, 0.681_1, 0.507_1),
            DVec3::new(0.411_3, -0.823_9, 0.390_7),
            DVec3::new(0.739_7, 0.233_3, -0.631_3),
            DVec3::new(-0.353_9, -0.577_3, -0.735_7),
        ];
        let mut odd = false;
        for dir in DIRECTIONS {
            let mut crossings = 0;
            let mut doubt = false;
            self.along(p, dir, |_, near_border| {
                crossings += 1;
                doubt |= near_border;
            });
            odd = crossings % 2 == 1;
            if !doubt {
                break;
            }
        }
        odd
    }

    /// Calls `hit` with the distance and the doubt of each triangle that the ray meets.
    fn along(&self, from: DVec3, dir: DVec3, mut hit: impl FnMut(f64, bool)) {
        if self.nodes.is_empty() {
            return;
        }
        let mut open = vec![0_u32];
        while let Some(i) = open.pop() {
            let node = &self.nodes[i as usize];
            // A hair more than the box, since its flat sides are where the triangles lie.
            let half = node.half + DVec3::splat(1e-9);
            let near = (node.centre - half - from) / dir;
            let far = (node.centre + half - from) / dir;
            let enter = near.min(far).max_element();
            let leave = near.max(far).min_element();
            if leave < enter.max(0.0) {
                continue;
            }
            if node.count > 0 {
                for t in node.at..node.at + node.count {
                    if let Some((d, doubt)) = triangle::ray(from, dir, &self.triangles[t as usize])
                    {
                        hit(d, doubt);
                    }
                }
            } else {
                open.extend([i + 1, node.at]);
            }
        }
    }

    /// A point well inside the solid: halfway through the material behind one of several of its triangles, the deepest found.
    pub(super) fn inner_point(&self) -> DVec3 {
        const TRIED: usize = 16;
        let mut best = (0.0, self.triangles.first().map_or(DVec3::ZERO, |t| t[0]));
        let step = self.triangles.len().div_ceil(TRIED).max(1);
        for t in self.triangles.iter().step_by(step) {
            let normal = (t[1] - t[0]).cross(t[2] - t[0]).normalize_or_zero();
            // Not through the middle, where symmetrical parts have their edges and axes.
            let from = t[0] * 0.41 + t[1] * 0.33 + t[2] * 0.26;
            let start = from - normal * 1e-6;
            let mut depth = f64::INFINITY;
            self.along(start, -normal, |d, _| depth = depth.min(d));
            if depth.is_finite() && depth > best.0 {
                best = (depth, start - normal * (depth / 2.0));
            }
        }
        best.1
    }
}

/// Appends the node of `all` and those below it; triangles are put in order of the leaves. `first` counts those before.
fn split(faced: &FacedMesh, all: &mut [(DVec3, u32)], first: usize, nodes: &mut Vec<Node>) {
    if all.is_empty() {
        return;
    }
    let (mut low, mut high) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    let (mut least, mut most) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    let mut face = faced.face_of[all[0].1 as usize];
    for &(twice_middle, t) in all.iter() {
        for p in faced.mesh.corners(t as usize) {
            (low, high) = (low.min(p), high.max(p));
        }
        (least, most) = (least.min(twice_middle), most.max(twice_middle));
        if faced.face_of[t as usize] != face {
            face = MIXED;
        }
    }
    let index = nodes.len();
    let leaf = all.len() <= LEAF;
    nodes.push(Node {
        centre: (low + high) * 0.5,
        half: (high - low) * 0.5,
        at: first as u32,
        count: if leaf { all.len() as u32 } else { 0 },
        face,
    });
    if leaf {
        return;
    }
    let spread = most - least;
    let axis = if spread.x >= spread.y && spread.x >= spread.z {
        0
    } else if spread.y >= spread.z {
        1
    } else {
        2
    };
    let middle = all.len() / 2;
    // The index settles ties, so that the tree does not depend on how the selection works.
    all.select_nth_unstable_by(middle, |p, q| {
        p.0[axis].total_cmp(&q.0[axis]).then(p.1.cmp(&q.1))
    });
    let (lower, upper) = all.split_at_mut(middle);
    split(faced, lower, first, nodes);
    nodes[index].at = nodes.len() as u32;
    split(faced, upper, first + middle, nodes);
}

/// Squared distance of the boxes of two nodes.
fn gap(a: &Node, b: &Node, to: &Relative) -> f64 {
    let apart = (to.point(b.centre) - a.centre).abs() - a.half - to.spread * b.half;
    apart.max(DVec3::ZERO).length_squared()
}

struct Search<'t> {
    a: &'t Tree,
    b: &'t Tree,
    to: &'t Relative,
    best: f64,
    at: Option<[DVec3; 2]>,
}

impl Search<'_> {
    fn visit(&mut self, i: u32, j: u32, lower: f64) {
        // Boxes side by side at exactly the best distance (two parallel plates) hold nothing better.
        if lower >= self.best * (1.0 - 1e-12) {
            return;
        }
        let (a, b) = (&self.a.nodes[i as usize], &self.b.nodes[j as usize]);
        if a.count > 0 && b.count > 0 {
            self.leaves(a, b);
            return;
        }
        let pairs = if b.count > 0 || (a.count == 0 && a.half.max_element() >= b.half.max_element())
        {
            [(i + 1, j), (a.at, j)]
        } else {
            [(i, j + 1), (i, b.at)]
        };
        let gaps = pairs.map(|(i, j)| {
            gap(
                &self.a.nodes[i as usize],
                &self.b.nodes[j as usize],
                self.to,
            )
        });
        let order = if gaps[0] <= gaps[1] { [0, 1] } else { [1, 0] };
        for k in order {
            self.visit(pairs[k].0, pairs[k].1, gaps[k]);
        }
    }

    fn leaves(&mut self, a: &Node, b: &Node) {
        for y in b.at..b.at + b.count {
            let t = self.b.triangles[y as usize].map(|p| self.to.point(p));
            let (t_low, t_high) = (t[0].min(t[1]).min(t[2]), t[0].max(t[1]).max(t[2]));
            let to_node = (a.centre - a.half - t_high)
                .max(t_low - a.centre - a.half)
                .max(DVec3::ZERO);
            if to_node.length_squared() >= self.best {
                continue;
            }
            for x in a.at..a.at + a.count {
                let s = &self.a.triangles[x as usize];
                let (s_low, s_high) = (s[0].min(s[1]).min(s[2]), s[0].max(s[1]).max(s[2]));
                let apart = (s_low - t_high).max(t_low - s_high).max(DVec3::ZERO);
                if apart.length_squared() >= self.best {
                    continue;
                }
                if let Some((d, at)) = triangle::closest(s, &t, self.best) {
                    self.best = d;
                    self.at = Some(at);
                }
            }
        }
    }
}
