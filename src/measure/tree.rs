//! A tree of boxes over the triangles of a mesh.

use super::exact::{Faces, Known};
use super::triangle::{self, Triangle};
use crate::mesh::FacedMesh;
use crate::pose::Pose;
use glam::{DMat3, DVec3};
use std::ops::Range;

/// Triangles in a leaf; measured: 2 and 8 are both a fifth slower on pairs of turned parts.
const LEAF: usize = 4;

/// Marks a node whose triangles come from several faces; such a node is never a leaf.
const MIXED: u32 = u32::MAX;

#[derive(Clone, Copy, Debug)]
struct Node {
    centre: DVec3,
    half: DVec3,
    /// First triangle of a leaf; the second child of an inner node, whose first child is the next node.
    at: u32,
    /// Number of triangles; 0 for an inner node.
    count: u32,
    /// Index of the face all its triangles come from.
    face: u32,
}

#[derive(Clone, Debug)]
pub(super) struct Tree {
    nodes: Vec<Node>,
    triangles: Vec<Triangle>,
    /// For each face its node and its run of triangles; an empty run for a face without any.
    faces: Vec<(u32, Range<u32>)>,
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

    #[inline]
    fn point(&self, p: DVec3) -> DVec3 {
        self.rot * p + self.at
    }

    #[inline]
    fn place(&self, node: &Node) -> Placed {
        Placed {
            centre: self.point(node.centre),
            half: self.spread * node.half,
        }
    }

    fn inverse(&self) -> Pose {
        Pose {
            rot: self.rot,
            at: self.at,
        }
        .inverse()
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
        // Triangles come in the order of the faces.
        let mut runs: Vec<Range<u32>> = Vec::new();
        for (t, &face) in faced.face_of.iter().enumerate() {
            runs.resize(runs.len().max(face as usize + 1), 0..0);
            let run = &mut runs[face as usize];
            if run.start == run.end {
                *run = t as u32..t as u32;
            }
            run.end = t as u32 + 1;
        }
        let mut faces: Vec<Item> = Vec::with_capacity(runs.len());
        for (i, run) in runs
            .iter()
            .enumerate()
            .filter(|(_, run)| run.start < run.end)
        {
            let (mut low, mut high) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
            for p in run.clone().flat_map(|t| faced.mesh.corners(t as usize)) {
                (low, high) = (low.min(p), high.max(p));
            }
            faces.push(Item::new(low, high, i as u32));
        }
        let mut builder = Builder {
            faced,
            nodes: Vec::with_capacity(faced.face_of.len()),
            order: Vec::with_capacity(faced.face_of.len()),
            spans: vec![(0, 0..0); runs.len()],
        };
        if !faces.is_empty() {
            builder.faces(&mut faces, &runs);
        }
        Tree {
            triangles: builder
                .order
                .iter()
                .map(|&t| faced.mesh.corners(t as usize))
                .collect(),
            nodes: builder.nodes,
            faces: builder.spans,
        }
    }

    /// The point nearest to `p` (both in the tree's own frame) and its face.
    fn nearest(&self, p: DVec3) -> Option<(DVec3, u32)> {
        let gap = |i: u32| {
            let node = &self.nodes[i as usize];
            ((p - node.centre).abs() - node.half)
                .max(DVec3::ZERO)
                .length_squared()
        };
        let (mut best, mut at) = (f64::INFINITY, None);
        let mut open = [(0.0, 0_u32); 64];
        let mut count = 1;
        while count > 0 {
            count -= 1;
            let (lower, i) = open[count];
            if lower >= best {
                continue;
            }
            let node = &self.nodes[i as usize];
            if node.count > 0 {
                for t in &self.triangles[node.at as usize..(node.at + node.count) as usize] {
                    let q = triangle::nearest(p, t);
                    let d = q.distance_squared(p);
                    if d < best {
                        (best, at) = (d, Some((q, node.face)));
                    }
                }
                continue;
            }
            let (mut near, mut far) = ((gap(i + 1), i + 1), (gap(node.at), node.at));
            if far.0 < near.0 {
                (near, far) = (far, near);
            }
            // The tree halves, so this many never wait; a deeper one would only lose a guess.
            for next in [far, near] {
                if count < open.len() {
                    open[count] = next;
                    count += 1;
                }
            }
        }
        at
    }

    /// Greatest coordinate along a direction.
    fn furthest(&self, dir: DVec3) -> f64 {
        let size = dir.abs();
        let reach = |i: u32| {
            let node = &self.nodes[i as usize];
            node.centre.dot(dir) + node.half.dot(size)
        };
        let mut best = f64::NEG_INFINITY;
        let mut open = vec![(reach(0), 0_u32)];
        while let Some((bound, i)) = open.pop() {
            if bound <= best {
                continue;
            }
            let node = &self.nodes[i as usize];
            if node.count > 0 {
                let run = node.at as usize..(node.at + node.count) as usize;
                for t in &self.triangles[run] {
                    best = best.max(-least_along(t, -dir));
                }
                continue;
            }
            let (near, far) = ((reach(i + 1), i + 1), (reach(node.at), node.at));
            if near.0 >= far.0 {
                open.extend([far, near]);
            } else {
                open.extend([near, far]);
            }
        }
        best
    }

    /// The box of a face's triangles, if it has any.
    pub(super) fn face_box(&self, face: u32) -> Option<(DVec3, DVec3)> {
        let (root, run) = self.faces.get(face as usize)?;
        let node = self.nodes.get(*root as usize).filter(|_| !run.is_empty())?;
        Some((node.centre - node.half, node.centre + node.half))
    }

    /// The middle of a face's largest triangle.
    pub(super) fn middle(&self, face: u32) -> Option<DVec3> {
        let (_, run) = self.faces.get(face as usize)?;
        let area = |t: &Triangle| (t[1] - t[0]).cross(t[2] - t[0]).length_squared();
        self.triangles[run.start as usize..run.end as usize]
            .iter()
            .max_by(|a, b| area(a).total_cmp(&area(b)))
            .map(|t| (t[0] + t[1] + t[2]) / 3.0)
    }

    /// Calls `each` with the triangles of a face that may reach into a box; `to` takes them into the frame of the box.
    pub(super) fn face_triangles(
        &self,
        face: u32,
        to: &Pose,
        low: DVec3,
        high: DVec3,
        mut each: impl FnMut(Triangle),
    ) {
        let Some((root, run)) = self.faces.get(face as usize) else {
            return;
        };
        if run.is_empty() {
            return;
        }
        let to = Relative::new(&Pose::IDENTITY, to);
        let (centre, half) = ((low + high) * 0.5, (high - low) * 0.5);
        let mut open = vec![*root];
        while let Some(i) = open.pop() {
            let node = &self.nodes[i as usize];
            let apart = (to.point(node.centre) - centre).abs() - half - to.spread * node.half;
            if apart.max_element() > 0.0 {
                continue;
            }
            if node.count > 0 {
                let run = node.at as usize..(node.at + node.count) as usize;
                for t in &self.triangles[run] {
                    each(t.map(|p| to.point(p)));
                }
            } else {
                open.extend([node.at, i + 1]);
            }
        }
    }

    /// Whether the surface is met from `p` in a unit direction within a distance.
    pub(super) fn meets(&self, p: DVec3, dir: DVec3, within: f64) -> bool {
        let mut met = false;
        self.along(p, dir, |d, _| met |= d < within);
        met
    }

    /// Least distance (mm) if it is below `limit`, and where; 0 where the surfaces meet. `faces` knows some pairs of faces better than their
    /// triangles do.
    pub(super) fn closest(
        &self,
        pose: &Pose,
        other: &Tree,
        other_pose: &Pose,
        limit: f64,
        faces: Option<&Faces>,
    ) -> Option<Closest> {
        if self.nodes.is_empty() || other.nodes.is_empty() {
            return None;
        }
        let to = Relative::new(pose, other_pose);
        let mut search = Search::new(self, other, &to, limit, faces);
        search.guess();
        if !search.parted() {
            search.visit((0, 0), &to.place(&other.nodes[0]), 0.0, false);
        }
        let best = search.best;
        search.at.map(|at| Closest {
            distance: best.sqrt(),
            at: at.map(|p| pose.point(p)),
        })
    }

    /// The pairs of faces that are at most `reach` apart, in order.
    pub(super) fn near_faces(
        &self,
        pose: &Pose,
        other: &Tree,
        other_pose: &Pose,
        reach: f64,
        faces: &Faces,
    ) -> Vec<(u32, u32)> {
        let mut found = Vec::new();
        if self.nodes.is_empty() || other.nodes.is_empty() {
            return found;
        }
        let to = Relative::new(pose, other_pose);
        let mut open = vec![(0_u32, 0_u32)];
        while let Some((i, j)) = open.pop() {
            let (a, b) = (&self.nodes[i as usize], &other.nodes[j as usize]);
            let placed = to.place(b);
            if gap(a, &placed) > reach * reach {
                continue;
            }
            if a.face != MIXED && b.face != MIXED {
                let mut search = Search {
                    enough: f64::INFINITY,
                    ..Search::new(self, other, &to, reach, Some(faces))
                };
                search.visit((i, j), &placed, 0.0, false);
                if search.at.is_some() {
                    found.push((a.face, b.face));
                }
            } else if b.face != MIXED
                || (a.face == MIXED && a.half.max_element() >= b.half.max_element())
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
        let Some(root) = self.nodes.first() else {
            return false;
        };
        if (p - root.centre).abs().cmpgt(root.half).any() {
            return false;
        }
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

/// Puts the nodes over the triangles of a mesh: those of one face stay together.
struct Builder<'m> {
    faced: &'m FacedMesh,
    nodes: Vec<Node>,
    /// Triangles in the order of the leaves.
    order: Vec<u32>,
    spans: Vec<(u32, Range<u32>)>,
}

/// What a split is decided on: twice the middle, and the box.
#[derive(Clone, Copy)]
struct Item {
    twice_middle: DVec3,
    low: DVec3,
    high: DVec3,
    index: u32,
}

impl Item {
    fn new(low: DVec3, high: DVec3, index: u32) -> Item {
        Item {
            twice_middle: low + high,
            low,
            high,
            index,
        }
    }
}

/// The box of some items.
fn hull(items: &[Item]) -> (DVec3, DVec3) {
    items.iter().fold(
        (DVec3::INFINITY, DVec3::NEG_INFINITY),
        |(low, high), item| (low.min(item.low), high.max(item.high)),
    )
}

/// Orders the items so that the first part and the rest are spread least; returns the size of the first part.
fn halve(items: &mut [Item]) -> usize {
    let (mut least, mut most) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    for item in items.iter() {
        (least, most) = (least.min(item.twice_middle), most.max(item.twice_middle));
    }
    let axis = (most - least).max_position();
    let middle = items.len() / 2;
    // The index settles ties, so that the tree does not depend on how the selection works.
    items.select_nth_unstable_by(middle, |p, q| {
        p.twice_middle[axis]
            .total_cmp(&q.twice_middle[axis])
            .then(p.index.cmp(&q.index))
    });
    middle
}

impl Builder<'_> {
    fn node(&mut self, (low, high): (DVec3, DVec3), face: u32) -> usize {
        self.nodes.push(Node {
            centre: (low + high) * 0.5,
            half: (high - low) * 0.5,
            at: 0,
            count: 0,
            face,
        });
        self.nodes.len() - 1
    }

    /// The node of some faces and those below it; `runs` are the triangles of each face.
    fn faces(&mut self, items: &mut [Item], runs: &[Range<u32>]) {
        if let [one] = items {
            let run = runs[one.index as usize].clone();
            let mut triangles: Vec<Item> = run
                .map(|t| {
                    let [a, b, c] = self.faced.mesh.corners(t as usize);
                    Item::new(a.min(b).min(c), a.max(b).max(c), t)
                })
                .collect();
            let face = one.index;
            let (node, first) = (self.nodes.len() as u32, self.order.len() as u32);
            self.triangles(&mut triangles, face);
            self.spans[face as usize] = (node, first..self.order.len() as u32);
            return;
        }
        let whole = hull(items);
        let index = self.node(whole, MIXED);
        // Faces about as large as all together (the top of a plate) would make every box above them as large.
        let longest = (whole.1 - whole.0).max_element();
        let large = |item: &Item| (item.high - item.low).max_element() > 0.5 * longest;
        items.sort_by_key(|item| (large(item), item.index));
        let small = items.partition_point(|item| !large(item));
        let middle = if small > 0 && small < items.len() {
            small
        } else {
            halve(items)
        };
        let (lower, upper) = items.split_at_mut(middle);
        self.faces(lower, runs);
        self.nodes[index].at = self.nodes.len() as u32;
        self.faces(upper, runs);
    }

    fn triangles(&mut self, items: &mut [Item], face: u32) {
        let index = self.node(hull(items), face);
        if items.len() <= LEAF {
            self.nodes[index].at = self.order.len() as u32;
            self.nodes[index].count = items.len() as u32;
            self.order.extend(items.iter().map(|item| item.index));
            return;
        }
        let middle = halve(items);
        let (lower, upper) = items.split_at_mut(middle);
        self.triangles(lower, face);
        self.nodes[index].at = self.nodes.len() as u32;
        self.triangles(upper, face);
    }
}

/// The box of a node of the second tree in the first's frame. Taken over once for all nodes it is held against.
#[derive(Clone, Copy)]
struct Placed {
    centre: DVec3,
    half: DVec3,
}

/// Squared distance of the boxes of two nodes.
#[inline]
fn gap(a: &Node, b: &Placed) -> f64 {
    let apart = (b.centre - a.centre).abs() - a.half - b.half;
    apart.max(DVec3::ZERO).length_squared()
}

struct Search<'t> {
    a: &'t Tree,
    b: &'t Tree,
    to: &'t Relative,
    /// Square of the least distance so far.
    best: f64,
    at: Option<[DVec3; 2]>,
    /// From the first of those points to the second, unit; zero before any are found or where they meet.
    toward: DVec3,
    /// Square of the distance at which the search may stop.
    enough: f64,
    faces: Option<&'t Faces<'t>>,
}

impl<'t> Search<'t> {
    fn new(
        a: &'t Tree,
        b: &'t Tree,
        to: &'t Relative,
        limit: f64,
        faces: Option<&'t Faces<'t>>,
    ) -> Search<'t> {
        Search {
            a,
            b,
            to,
            best: limit * limit,
            at: None,
            toward: DVec3::ZERO,
            enough: 0.0,
            faces,
        }
    }

    fn known(&self, near: u32, far: u32) -> Known {
        self.faces
            .map_or(Known::Nothing, |f| f.known(near, far, self.best))
    }

    /// Looks into two nodes whose boxes are at least `lower` apart (squared); `placed` is the box of the second.
    fn visit(&mut self, (i, j): (u32, u32), placed: &Placed, lower: f64, mut one_face: bool) {
        // Boxes side by side at exactly the best distance (two parallel plates) hold nothing better.
        if lower >= self.best * (1.0 - 1e-12) || (self.best <= self.enough && self.at.is_some()) {
            return;
        }
        let (a, b) = (&self.a.nodes[i as usize], &self.b.nodes[j as usize]);
        let away = self.toward.abs();
        let slab =
            (placed.centre - a.centre).dot(self.toward) - away.dot(a.half) - away.dot(placed.half);
        if slab > 0.0 && slab * slab >= self.best * (1.0 - 1e-12) {
            return;
        }
        if !one_face && a.face != MIXED && b.face != MIXED {
            one_face = true;
            match self.known(a.face, b.face) {
                Known::Nothing => {}
                Known::Further => return,
                Known::Square(d, at) => {
                    self.take(d, at);
                    return;
                }
            }
        }
        if a.count > 0 && b.count > 0 {
            self.leaves(a, b);
            return;
        }
        let (pairs, boxes) =
            if b.count > 0 || (a.count == 0 && a.half.max_element() >= b.half.max_element()) {
                ([(i + 1, j), (a.at, j)], [*placed; 2])
            } else {
                let place = |j: u32| self.to.place(&self.b.nodes[j as usize]);
                ([(i, j + 1), (i, b.at)], [place(j + 1), place(b.at)])
            };
        let gaps = [0, 1].map(|k| gap(&self.a.nodes[pairs[k].0 as usize], &boxes[k]));
        let order = if gaps[0] <= gaps[1] { [0, 1] } else { [1, 0] };
        for k in order {
            self.visit(pairs[k], &boxes[k], gaps[k], one_face);
        }
    }

    fn take(&mut self, d: f64, at: [DVec3; 2]) {
        self.best = d;
        self.at = Some(at);
        self.toward = (at[1] - at[0]).normalize_or_zero();
    }

    /// A good pair of points to begin with: from each surface to the nearest point of the other, by turns.
    fn guess(&mut self) {
        const TURNS: usize = 4;
        let back = self.to.inverse();
        // Nearest to the middle of the smaller one, where neither is a point of the surfaces yet.
        let (a, b) = (&self.a.nodes[0], &self.b.nodes[0]);
        let mut there = if a.half.max_element() >= b.half.max_element() {
            self.to.point(b.centre)
        } else {
            let Some((q, _)) = self.b.nearest(back.point(a.centre)) else {
                return;
            };
            self.to.point(q)
        };
        for turn in 0..TURNS {
            let Some((here, near)) = self.a.nearest(there) else {
                return;
            };
            let Some((q, far)) = self.b.nearest(back.point(here)) else {
                return;
            };
            there = self.to.point(q);
            let (d, at) = match self.known(near, far) {
                Known::Nothing => (here.distance_squared(there), [here, there]),
                Known::Further => return,
                Known::Square(d, at) => (d, at),
            };
            if d < self.best * (1.0 - 1e-6) {
                self.take(d, at);
            } else if turn > 0 {
                return;
            }
        }
    }

    /// Whether a slab as thick as the best distance parts the two: then nothing is nearer.
    fn parted(&self) -> bool {
        if self.toward == DVec3::ZERO {
            return false;
        }
        let ahead = self.a.furthest(self.toward);
        let back = self.to.rot.transpose() * self.toward;
        let beyond = self.to.at.dot(self.toward) - self.b.furthest(-back);
        let slab = beyond - ahead;
        slab > 0.0 && slab * slab >= self.best * (1.0 - 1e-12)
    }

    #[inline]
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
            // How far the triangle is along the best direction found.
            let mut ahead = least_along(&t, self.toward);
            for x in a.at..a.at + a.count {
                let s = &self.a.triangles[x as usize];
                let (s_low, s_high) = (s[0].min(s[1]).min(s[2]), s[0].max(s[1]).max(s[2]));
                let apart = (s_low - t_high).max(t_low - s_high).max(DVec3::ZERO);
                if apart.length_squared() >= self.best {
                    continue;
                }
                // Two triangles are no nearer than the slab between them is thick, in any direction; that of the best pair so far is
                // a good guess for all others.
                let slab = ahead + least_along(s, -self.toward);
                if slab > 0.0 && slab * slab >= self.best * (1.0 - 1e-12) {
                    continue;
                }
                if let Some((d, at)) = triangle::closest(s, &t, self.best) {
                    self.take(d, at);
                    ahead = least_along(&t, self.toward);
                }
            }
        }
    }
}

#[inline]
fn least_along(t: &Triangle, dir: DVec3) -> f64 {
    t[0].dot(dir).min(t[1].dot(dir)).min(t[2].dot(dir))
}
