//! Whether two bodies whose check meshes meet only touch, decided on their exact faces.
//!
//! # Why the answer is certain
//! Suppose the interiors of A and B have a point in common and neither body lies wholly in the other. Then some face of A has a part
//! inside B. Either all of that face is inside B (but for where it lies in B's surface), or somewhere within the face a curve parts what
//! is inside from what is not, and that curve lies in a face of B or along an edge of one. So it is enough that
//! - no face of A is cut in two by a face of B: for each two faces that may meet, one lies on the outer side of the other's surface (the
//!   part of it that can be met at all), and surfaces that touch there do not look the same way ([`Pair::parted`]);
//! - one point of each face of A that B may meet is outside B.
//!
//! Whatever cannot be shown this way is left to the overlap of fine meshes; so an unusual contact costs time and nothing else.

use super::Prepared;
use super::exact::Faces;
use super::tree::Tree;
use crate::outline::{Box2, Grid, Loop, Seg, grown};
use crate::pose::Pose;
use crate::solid::{Body, Face, Patch, Surface};
use glam::{DVec2, DVec3};
use std::sync::OnceLock;

/// Parts that lie so little inside each other's surfaces touch, mm: far above the rounding of placements, far below
/// [`super::CONTACT_DEPTH`].
const FLUSH: f64 = 1e-6;

/// Directions (as the sine between them) that are the same.
pub(super) const PARALLEL: f64 = 1e-9;

/// How far around the place where two flat faces may meet they are looked at, mm.
const AROUND: f64 = 0.001;

/// How deep under a flat face it is asked whether the material is inside the other body, mm. What overlaps less deep is contact.
const UNDER_FLAT: f64 = 1e-4;

/// The same for a turned face, mm: more than a check mesh deviates.
const UNDER_ROUND: f64 = 0.02;

/// Faces further apart than this cannot matter, mm: more than two check meshes deviate and the depth under a turned face.
const NEAR: f64 = 2.0 * super::CHECK_DEVIATION + UNDER_ROUND + 0.006;

/// How far beside a line it is looked whether a face lies there, mm.
const ASIDE: f64 = 1e-5;

/// Faces that meet along less than this meet in a point, mm.
const SHORT: f64 = 1e-3;

/// Most pairs of triangles that are compared to tell whether two faces in one plane cover each other.
const MOST_COMPARED: usize = 20_000;

/// A face made ready.
#[derive(Debug)]
pub(super) struct Wall {
    pub(super) shape: Shape,
    /// Whether it is half of a whole ring of which the body has the other half too.
    pub(super) whole: bool,
    /// Box of its check triangles.
    low: DVec3,
    high: DVec3,
    /// A point of it and the unit normal outwards there.
    pub(super) at: DVec3,
    pub(super) out: DVec3,
}

#[derive(Debug)]
pub(super) enum Shape {
    Flat(Box<OnceLock<Flat>>),
    Round(Patch, bool),
}

/// The outline of a flat face, sorted.
#[derive(Debug)]
pub(super) struct Flat {
    u: DVec3,
    v: DVec3,
    origin: DVec3,
    loops: Vec<Loop>,
    boxes: Grid,
    segs: Vec<Seg>,
    near: Grid,
}

/// All faces of a body, by index; `None` for one that is neither flat nor turned.
pub(super) fn walls(body: &Body, tree: &Tree) -> Vec<Option<Wall>> {
    let patches: Vec<Option<Patch>> = body.faces.iter().map(|f| body.patch(f)).collect();
    let twin = |i: usize, j: Option<usize>| {
        let (Some(p), Some(Some(q))) = (patches[i], j.and_then(|j| patches.get(j))) else {
            return false;
        };
        let half = |x: &Patch| (x.sweep - std::f64::consts::PI).abs() < 1e-9;
        half(&p)
            && half(q)
            && (p.origin, p.axis) == (q.origin, q.axis)
            && p.start.dot(q.start) < -1.0 + 1e-9
            && p.side.from.distance(q.side.from) + p.side.to.distance(q.side.to) < 1e-8
    };
    body.faces
        .iter()
        .enumerate()
        .map(|(i, face)| {
            let (low, high) = tree.face_box(i as u32)?;
            let (shape, at, out) = match patches[i] {
                Some(p) => {
                    // No share that a symmetrical part would put on an edge of its neighbour.
                    let (angle, t) = (0.37 * p.sweep, 0.43);
                    (
                        Shape::Round(p, face.sense),
                        p.point(angle, t),
                        p.normal(angle, t),
                    )
                }
                None => {
                    let Surface::Plane { normal, .. } = face.surface else {
                        return None;
                    };
                    let out = if face.sense { normal } else { -normal };
                    (Shape::Flat(Box::default()), tree.middle(i as u32)?, out)
                }
            };
            Some(Wall {
                shape,
                // The two halves of a ring are made one after the other.
                whole: twin(i, Some(i + 1)) || twin(i, i.checked_sub(1)),
                low,
                high,
                at,
                out,
            })
        })
        .collect()
}

impl Flat {
    fn new(body: &Body, face: &Face) -> Option<Flat> {
        let flat = body.flat(face)?;
        let segs: Vec<Seg> = flat.loops.iter().flat_map(Loop::segs).collect();
        Some(Flat {
            u: flat.frame.u,
            v: flat.frame.v,
            origin: flat.frame.o,
            boxes: Grid::new(flat.loops.iter().map(Loop::bounds).collect()),
            near: Grid::new(segs.iter().map(Seg::bounds).collect()),
            loops: flat.loops,
            segs,
        })
    }

    pub(super) fn place(&self, p: DVec3) -> DVec2 {
        let d = p - self.origin;
        DVec2::new(d.dot(self.u), d.dot(self.v))
    }

    pub(super) fn point(&self, p: DVec2) -> DVec3 {
        self.origin + self.u * p.x + self.v * p.y
    }

    /// Whether a point of its plane lies in the face.
    fn holds(&self, p: DVec2) -> bool {
        let mut near = Vec::new();
        self.boxes.near(&[p; 2], &mut near);
        let around = |i: u32| self.loops[i as usize].contains(p);
        // In the outer loop and in none of the others.
        near.first() == Some(&0) && around(0) && !near[1..].iter().any(|&i| around(i))
    }

    /// The point of the face nearest to one of its plane, if it is no further away than `within`.
    pub(super) fn nearest(&self, p: DVec2, within: f64) -> Option<DVec2> {
        if self.holds(p) {
            return Some(p);
        }
        let mut near = Vec::new();
        self.near.near(&grown(&[p; 2], within.min(1e6)), &mut near);
        near.iter()
            .map(|&i| self.segs[i as usize].nearest(p))
            .min_by(|a, b| a.distance_squared(p).total_cmp(&b.distance_squared(p)))
            .filter(|q| q.distance(p) <= within)
    }

    /// The point of the face furthest from one of its plane.
    pub(super) fn furthest(&self, p: DVec2) -> DVec2 {
        let far = self.loops[0].segs().flat_map(|s| {
            let bulge = s.arc.map(|a| {
                let out = (a.centre - p).normalize_or_zero();
                a.centre + out * s.radius()
            });
            [Some(s.from), bulge.filter(|&q| s.faces(q))]
        });
        far.flatten()
            .max_by(|a, b| a.distance_squared(p).total_cmp(&b.distance_squared(p)))
            .unwrap_or(p)
    }

    /// Whether no point of the face is nearer than `radius` to a point of its plane.
    fn clear(&self, centre: DVec2, radius: f64) -> bool {
        let mut near = Vec::new();
        let point: Box2 = [centre; 2];
        self.near.near(&grown(&point, radius.max(0.0)), &mut near);
        if near
            .iter()
            .any(|&i| self.segs[i as usize].distance_to_point(centre) < radius)
        {
            return false;
        }
        !self.holds(centre)
    }

    /// Whether all of the face is within `radius` of a point of its plane.
    fn within(&self, centre: DVec2, radius: f64) -> bool {
        self.loops[0].segs().all(|s| {
            let [low, high] = s.bounds();
            let far = (low - centre).abs().max((high - centre).abs());
            // The corners of the box are further out than an arc: only its ends and bulge count.
            far.length() <= radius
                || (s.from.distance(centre) <= radius
                    && s.to.distance(centre) <= radius
                    && s.arc
                        .is_none_or(|a| a.centre.distance(centre) + s.radius() <= radius))
        })
    }
}

/// Whether it is certain that two bodies, of which neither lies wholly in the other, have no interior in common.
pub(super) fn only_touch(a: &Prepared, a_pose: &Pose, b: &Prepared, b_pose: &Pose) -> bool {
    let faces = Faces::new(a, a_pose, b, b_pose);
    let near = a.tree.near_faces(a_pose, &b.tree, b_pose, NEAR, &faces);
    let to_a = a_pose.inverse().then(b_pose);
    let to_b = b_pose.inverse().then(a_pose);
    let turned: Vec<(u32, u32)> = near.iter().map(|&(i, j)| (j, i)).collect();
    let one_way = |a: &Prepared, b: &Prepared, to_a: &Pose, to_b: &Pose, near: &[(u32, u32)]| {
        let mut of_a: Vec<u32> = near.iter().map(|p| p.0).collect();
        of_a.sort_unstable();
        of_a.dedup();
        near.iter().all(|&(i, j)| {
            let (Some(wall), Some(other)) = (&a.walls()[i as usize], &b.walls()[j as usize]) else {
                return false;
            };
            let pair = Pair {
                a: Side {
                    whole: a,
                    face: i,
                    wall,
                },
                b: Side {
                    whole: b,
                    face: j,
                    wall: other,
                },
                to_a,
                to_b,
            };
            pair.parted()
        }) && of_a.iter().all(|&i| outside(a, i, b, to_b))
    };
    one_way(a, b, &to_a, &to_b, &near) || one_way(b, a, &to_b, &to_a, &turned)
}

/// Whether the material just under a face of `a` is outside `b`, and nothing of `b` lies between.
fn outside(a: &Prepared, face: u32, b: &Prepared, to_b: &Pose) -> bool {
    let Some(wall) = &a.walls()[face as usize] else {
        return false;
    };
    let under = match wall.shape {
        Shape::Flat(_) => UNDER_FLAT,
        Shape::Round(..) => UNDER_ROUND,
    };
    let p = to_b.point(wall.at - wall.out * under);
    let nearest = match wall.shape {
        Shape::Flat(_) => under * 0.9,
        Shape::Round(..) => (under - super::CHECK_DEVIATION) * 0.9,
    };
    !b.tree.contains(p) && !b.tree.meets(p, to_b.dir(wall.out), nearest)
}

/// A face of one of the bodies.
#[derive(Clone, Copy)]
pub(super) struct Side<'p> {
    pub(super) whole: &'p Prepared<'p>,
    pub(super) face: u32,
    pub(super) wall: &'p Wall,
}

/// Two faces that may meet. What follows is in the frame of the first body, except where it says otherwise.
struct Pair<'p> {
    a: Side<'p>,
    b: Side<'p>,
    to_a: &'p Pose,
    to_b: &'p Pose,
}

impl Pair<'_> {
    /// Whether the second face certainly does not cut the first in two.
    fn parted(&self) -> bool {
        if self.beside() {
            return true;
        }
        match (&self.a.wall.shape, &self.b.wall.shape) {
            (Shape::Flat(_), Shape::Flat(_)) => self.flat_flat(),
            (Shape::Flat(_), Shape::Round(patch, sense)) => {
                let origin = self.to_b.point(self.a.wall.at);
                let normal = self.to_b.dir(self.a.wall.out);
                flat_round(self.a, origin, normal, self.to_a, patch, *sense)
            }
            (Shape::Round(patch, sense), Shape::Flat(_)) => {
                let origin = self.to_a.point(self.b.wall.at);
                let normal = self.to_a.dir(self.b.wall.out);
                flat_round(self.b, origin, normal, self.to_b, patch, *sense)
            }
            (Shape::Round(p, p_sense), Shape::Round(q, q_sense)) => {
                let moved = Patch {
                    origin: self.to_a.point(q.origin),
                    axis: self.to_a.dir(q.axis),
                    start: self.to_a.dir(q.start),
                    ..*q
                };
                round_round(p, *p_sense, &moved, *q_sense)
            }
        }
    }

    /// Whether the faces lie on either side of a plane square to an axis of one of the bodies, and the first face is nowhere tangent to
    /// that plane: then it can meet the second along its own border only.
    fn beside(&self) -> bool {
        let (a, b) = (self.a.wall, self.b.wall);
        let tangent = |dir: DVec3| match &a.shape {
            Shape::Flat(_) => a.out.cross(dir).length() < 1e-3,
            // The normals of a cylinder are square to its axis, those of a cone at one angle to it.
            Shape::Round(p, _) => p.side.arc.is_some() || p.axis.cross(dir).length() > PARALLEL,
        };
        let in_frame = |own: &Wall, other: &Wall, to_own: &Pose, directions: [DVec3; 3]| {
            let [low, high] = moved_box(other.low, other.high, to_own);
            let flush = DVec3::splat(FLUSH);
            let apart = (low + flush).cmpge(own.high) | own.low.cmpge(high - flush);
            (0..3).any(|k| apart.test(k) && !tangent(directions[k]))
        };
        in_frame(a, b, self.to_a, DVec3::AXES)
            || in_frame(b, a, self.to_b, DVec3::AXES.map(|d| self.to_a.dir(d)))
    }

    fn flat_flat(&self) -> bool {
        let (a, b) = (self.a.wall, self.b.wall);
        let (origin, normal) = (self.to_a.point(b.at), self.to_a.dir(b.out));
        let [b_low, b_high] = moved_box(b.low, b.high, self.to_a);
        let around = DVec3::splat(AROUND);
        let (low, high) = (a.low.max(b_low) - around, a.high.min(b_high) + around);
        if low.cmpgt(high).any() {
            return true;
        }
        let extent = (high - low).max_element();
        if normal.cross(a.out).length() * extent <= FLUSH {
            // Faces of one plane that look away from each other touch; of parallel planes they do not meet.
            let one_plane = (origin - a.at).dot(a.out).abs() <= 2.0 * FLUSH;
            return !one_plane || normal.dot(a.out) < 0.0 || !self.cover(low, high);
        }
        !self.cuts(origin, normal, low, high)
    }

    /// Whether the second face, of another plane than the first, goes to the inner side of the first anywhere within its border: on the line
    /// of both planes it is looked where the first face lies on both sides and the second on the inner one.
    fn cuts(&self, origin: DVec3, normal: DVec3, low: DVec3, high: DVec3) -> bool {
        let own = self.a.wall.out;
        let across = own.cross(normal);
        let sine = across.length();
        if sine < 1e-6 {
            return true;
        }
        let dir = across / sine;
        let middle = (low + high) * 0.5;
        // The point of the line nearest to the middle of where they can meet.
        let (h, k) = (
            (self.a.wall.at - middle).dot(own),
            (origin - middle).dot(normal),
        );
        let c = own.dot(normal);
        let from = middle + (own * (h - c * k) + normal * (k - c * h)) / (sine * sine);
        let stretches = |side: Side, to: &Pose, n: DVec3, aside: DVec3| {
            let mut found: Vec<[f64; 2]> = Vec::new();
            side.triangles(to, low, high, |t| {
                found.extend(stretch_in_triangle(&t, n, from + aside * ASIDE, dir));
            });
            merged(found)
        };
        let none = Pose::IDENTITY;
        let aside = own.cross(dir);
        let left = stretches(self.a, &none, own, aside);
        if left.is_empty() {
            return false;
        }
        let within = common(&left, &stretches(self.a, &none, own, -aside));
        // Along the second plane, to the inner side of the first.
        let aside = normal.cross(dir);
        let inwards = if aside.dot(own) < 0.0 { aside } else { -aside };
        let reach = (high - low).length();
        let length: f64 = common(&within, &stretches(self.b, self.to_a, normal, inwards))
            .iter()
            .map(|s| (s[1].min(reach) - s[0].max(-reach)).max(0.0))
            .sum();
        length > SHORT
    }

    /// Whether two faces in one plane cover each other anywhere, by more than rounding.
    fn cover(&self, low: DVec3, high: DVec3) -> bool {
        let n = self.a.wall.out;
        let u = n.any_orthonormal_vector();
        let v = n.cross(u);
        let flat = |t: [DVec3; 3]| t.map(|p| DVec2::new(p.dot(u), p.dot(v)));
        let (mut first, mut second) = (Vec::new(), Vec::new());
        self.a
            .triangles(&Pose::IDENTITY, low, high, |t| first.push(flat(t)));
        self.b
            .triangles(self.to_a, low, high, |t| second.push(flat(t)));
        if first.len() * second.len() > MOST_COMPARED {
            return true;
        }
        first
            .iter()
            .any(|s| second.iter().any(|t| depth_in_plane(s, t) > 1e-4))
    }
}

impl Side<'_> {
    /// Calls `each` with the check triangles near a box; `to` takes them into the frame of the box.
    fn triangles(&self, to: &Pose, low: DVec3, high: DVec3, each: impl FnMut([DVec3; 3])) {
        self.whole
            .tree
            .face_triangles(self.face, to, low, high, each);
    }

    pub(super) fn flat(&self) -> Option<&Flat> {
        let Shape::Flat(slot) = &self.wall.shape else {
            return None;
        };
        if slot.get().is_none() {
            let made = Flat::new(self.whole.body, &self.whole.body.faces[self.face as usize])?;
            // Another thread may have been quicker; both made the same.
            let _ = slot.set(made);
        }
        slot.get()
    }
}

/// The box that holds a moved box.
fn moved_box(low: DVec3, high: DVec3, pose: &Pose) -> [DVec3; 2] {
    let centre = pose.point((low + high) * 0.5);
    let half = (high - low) * 0.5;
    let r = &pose.rot;
    let half = r.x_axis.abs() * half.x + r.y_axis.abs() * half.y + r.z_axis.abs() * half.z;
    [centre - half, centre + half]
}

/// The stretch of a line (in lengths of its direction) in a triangle with the unit normal `n`; the line lies in its plane.
fn stretch_in_triangle(t: &[DVec3; 3], n: DVec3, from: DVec3, dir: DVec3) -> Option<[f64; 2]> {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for i in 0..3 {
        let (p, q) = (t[i], t[(i + 1) % 3]);
        let inwards = n.cross(q - p).normalize_or_zero();
        let (h, slope) = ((from - p).dot(inwards), dir.dot(inwards));
        if slope.abs() < 1e-12 {
            if h < 0.0 {
                return None;
            }
        } else if slope > 0.0 {
            low = low.max(-h / slope);
        } else {
            high = high.min(-h / slope);
        }
    }
    (low < high).then_some([low, high])
}

/// Stretches joined where they overlap or nearly do, in rising order.
fn merged(mut all: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    all.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut out: Vec<[f64; 2]> = Vec::with_capacity(all.len());
    for s in all {
        match out.last_mut() {
            Some(last) if s[0] <= last[1] + FLUSH => last[1] = last[1].max(s[1]),
            _ => out.push(s),
        }
    }
    out
}

/// What two sets of stretches have in common.
fn common(a: &[[f64; 2]], b: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut out = Vec::new();
    let (mut i, mut j) = (0, 0);
    while i < a.len() && j < b.len() {
        let (low, high) = (a[i][0].max(b[j][0]), a[i][1].min(b[j][1]));
        if low < high {
            out.push([low, high]);
        }
        if a[i][1] < b[j][1] { i += 1 } else { j += 1 }
    }
    out
}

/// How far two triangles in a plane reach into each other (the least over their sides' directions), mm.
fn depth_in_plane(s: &[DVec2; 3], t: &[DVec2; 3]) -> f64 {
    let span = |x: &[DVec2; 3], d: DVec2| {
        let h = x.map(|p| p.dot(d));
        (h[0].min(h[1]).min(h[2]), h[0].max(h[1]).max(h[2]))
    };
    let mut least = f64::INFINITY;
    for x in [s, t] {
        for i in 0..3 {
            let d = (x[(i + 1) % 3] - x[i]).perp().normalize_or_zero();
            let (a, b) = (span(s, d), span(t, d));
            least = least.min((a.1 - b.0).min(b.1 - a.0));
        }
    }
    least
}

/// A flat and a turned face in the frame of the turned one; `to_flat` leads back to that of the flat one.
fn flat_round(
    flat: Side,
    origin: DVec3,
    normal: DVec3,
    to_flat: &Pose,
    patch: &Patch,
    sense: bool,
) -> bool {
    let aligned = normal.cross(patch.axis).length() < PARALLEL;
    let straight = patch.side.arc.is_none();
    // The turned face on the outer side of the plane. Where it looks the same way as the plane it would have to lie below, unless it is
    // hollow; so hollow ones only where no normal is along the plane's.
    let lowest = lowest(patch, normal) - origin.dot(normal);
    if lowest >= -FLUSH && (aligned || sense) && straight {
        return true;
    }
    if lowest >= -FLUSH && aligned && sense {
        return true;
    }
    // The flat face, square to the axis, on the outer side of the turned surface.
    if !(aligned && straight) {
        return false;
    }
    let Some(outline) = flat.flat() else {
        return false;
    };
    let z = (origin - patch.origin).dot(patch.axis);
    let Seg { from, to, .. } = patch.side;
    let radius = from.x + (to.x - from.x) * ((z - from.y) / (to.y - from.y));
    if !radius.is_finite() {
        return false;
    }
    let centre = outline.place(to_flat.point(patch.origin + patch.axis * z));
    if sense {
        radius <= FLUSH || outline.clear(centre, radius - FLUSH)
    } else {
        outline.within(centre, radius + FLUSH)
    }
}

/// Least coordinate of a turned face along a direction (for an arc profile only along the axis, else minus infinity).
fn lowest(patch: &Patch, dir: DVec3) -> f64 {
    let along = patch.axis.dot(dir);
    let across = dir - patch.axis * along;
    let base = patch.origin.dot(dir);
    if patch.side.arc.is_some() {
        if across.length() >= PARALLEL {
            return f64::NEG_INFINITY;
        }
        let [low, high] = patch.side.bounds();
        return base + (low.y * along).min(high.y * along);
    }
    // Least factor of the radius over the angles that the face covers.
    let size = across.length();
    let least = if size < PARALLEL {
        0.0
    } else if patch.angle(patch.origin - across) <= patch.sweep {
        -size
    } else {
        patch
            .radial(0.0)
            .dot(across)
            .min(patch.radial(patch.sweep).dot(across))
    };
    let at = |p: DVec2| base + p.y * along + p.x * least;
    at(patch.side.from).min(at(patch.side.to))
}

/// Two turned faces with parallel axes.
fn round_round(p: &Patch, p_sense: bool, q: &Patch, q_sense: bool) -> bool {
    if p.axis.cross(q.axis).length() > PARALLEL {
        return false;
    }
    let d = q.origin - p.origin;
    let up = d.dot(p.axis);
    let off = (d - p.axis * up).length();
    let same_way = p.axis.dot(q.axis) > 0.0;
    if off > FLUSH / 10.0 {
        // Side by side, or one in the hollow of the other: cylinders only.
        let radius = |x: &Patch| {
            (x.side.arc.is_none() && x.side.from.x == x.side.to.x).then_some(x.side.from.x)
        };
        let (Some(r), Some(s)) = (radius(p), radius(q)) else {
            return false;
        };
        return match (p_sense, q_sense) {
            (true, true) => off >= r + s - FLUSH,
            (true, false) => off + r <= s + FLUSH,
            (false, true) => off + s <= r + FLUSH,
            (false, false) => false,
        };
    }
    // One axis: compare the profiles in the half plane of the first.
    let place = |x: DVec2| {
        if same_way {
            DVec2::new(x.x, x.y + up)
        } else {
            DVec2::new(x.x, up - x.y)
        }
    };
    let (mut from, mut to) = (place(q.side.from), place(q.side.to));
    if !same_way {
        // Mirrored: the outside is kept to the right.
        (from, to) = (to, from);
    }
    if p.side.arc.is_some() || q.side.arc.is_some() {
        let a = p.side.bounds();
        let [x, y] = q.side.bounds().map(place);
        let (low, high) = (x.min(y), x.max(y));
        return (low - a[1]).max(a[0] - high).max(DVec2::ZERO).length() > NEAR;
    }
    let (a, b) = (
        p.side,
        Seg {
            from,
            to,
            arc: None,
        },
    );
    // Height above a side, on its outer side.
    let over = |side: &Seg, x: DVec2| {
        -(side.to - side.from)
            .normalize_or_zero()
            .perp_dot(x - side.from)
    };
    let of = |side: &Seg, other: &Seg| [over(side, other.from), over(side, other.to)];
    let (above_a, above_b) = (of(&a, &b), of(&b, &a));
    let in_line = above_a.iter().chain(&above_b).all(|h| h.abs() <= FLUSH);
    if in_line {
        let (da, db) = (a.to - a.from, b.to - b.from);
        if da.dot(db) < 0.0 {
            return true;
        }
        // They look the same way: good only if they follow one another.
        let d = da.normalize_or_zero();
        let span = |s: &Seg| {
            let (x, y) = ((s.from - a.from).dot(d), (s.to - a.from).dot(d));
            (x.min(y), x.max(y))
        };
        let (x, y) = (span(&a), span(&b));
        return x.1 <= y.0 + FLUSH || y.1 <= x.0 + FLUSH;
    }
    above_a.iter().all(|&h| h >= -FLUSH) || above_b.iter().all(|&h| h >= -FLUSH)
}
