//! Whether a hole stays in the material from its mouth to its end.

use super::maker::Frame;
use super::patch::Patch;
use super::site::Site;
use super::{Body, SolidError, Surface};
use crate::outline::{Grid, SAME_POINT};
use glam::{DVec2, DVec3};

/// A hole in its place: depth along the frame's axis.
pub(crate) struct Bore {
    pub(crate) frame: Frame,
    /// (depth, radius)
    pub(crate) profile: Vec<DVec2>,
    /// The face it enters, and the one it leaves (the same for a blind hole).
    pub(crate) faces: [u32; 2],
}

impl Bore {
    fn depth(&self) -> f64 {
        self.profile[self.profile.len() - 1].x
    }

    fn widest(&self) -> f64 {
        self.profile.iter().map(|p| p.y).fold(0.0, f64::max)
    }

    /// The radius at a depth; the larger one at a step.
    fn radius(&self, depth: f64) -> f64 {
        let mut r = 0.0f64;
        for w in self.profile.windows(2) {
            if depth >= w[0].x && depth <= w[1].x {
                let t = if w[1].x > w[0].x {
                    (depth - w[0].x) / (w[1].x - w[0].x)
                } else {
                    0.0
                };
                r = r.max(w[0].y + (w[1].y - w[0].y) * t);
                if w[1].x == w[0].x {
                    r = r.max(w[1].y);
                }
            }
        }
        r
    }

    /// How far a point lies outside the hole, roughly (negative inside; exact sign).
    fn outside(&self, p: DVec3) -> f64 {
        let d = p - self.frame.o;
        let z = d.dot(self.frame.w);
        let r = (d - self.frame.w * z).length();
        let beyond = (-z).max(z - self.depth());
        beyond.max(r - self.radius(z.clamp(0.0, self.depth())))
    }

    fn axis_point(&self, t: f64) -> DVec3 {
        self.frame.o + self.frame.w * (self.depth() * t)
    }

    fn bounds(&self) -> [DVec3; 2] {
        let (a, b) = (self.frame.o, self.axis_point(1.0));
        let w = self.frame.w;
        // Half sides of the box of a disc square to w.
        let half = DVec3::new(
            (1.0 - w.x * w.x).max(0.0).sqrt(),
            (1.0 - w.y * w.y).max(0.0).sqrt(),
            (1.0 - w.z * w.z).max(0.0).sqrt(),
        );
        let half = half * self.widest();
        [a.min(b) - half, a.max(b) + half]
    }
}

type Box3 = [DVec3; 2];

fn apart(a: &Box3, b: &Box3) -> bool {
    (a[0].cmpgt(b[1]) | b[0].cmpgt(a[1])).any()
}

/// Boxes sorted by the two directions in which they are spread most.
struct Sorted {
    boxes: Vec<Box3>,
    grid: Grid,
    drop: usize,
}

impl Sorted {
    fn new(boxes: Vec<Box3>) -> Sorted {
        let all = boxes
            .iter()
            .copied()
            .reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
            .unwrap_or([DVec3::ZERO; 2]);
        let size = all[1] - all[0];
        let drop = if size.x <= size.y && size.x <= size.z {
            0
        } else {
            usize::from(size.y > size.z) + 1
        };
        let flat = boxes.iter().map(|b| b.map(|p| seen(p, drop))).collect();
        Sorted {
            boxes,
            grid: Grid::new(flat),
            drop,
        }
    }

    fn near(&self, b: &Box3, out: &mut Vec<u32>) {
        self.grid.near(&b.map(|p| seen(p, self.drop)), out);
        out.retain(|&i| !apart(&self.boxes[i as usize], b));
    }
}

fn seen(p: DVec3, drop: usize) -> DVec2 {
    match drop {
        0 => DVec2::new(p.y, p.z),
        1 => DVec2::new(p.x, p.z),
        _ => DVec2::new(p.x, p.y),
    }
}

/// Looks for holes that meet each other or break through a wall of the body as it was before drilling.
pub(crate) fn check(body: &Body, bores: &[Bore]) -> Result<(), SolidError> {
    let holes = Sorted::new(bores.iter().map(Bore::bounds).collect());
    let faces = Sorted::new((0..body.faces.len()).map(|i| face_box(body, i)).collect());
    let mut near = vec![];
    for (i, b) in bores.iter().enumerate() {
        holes.near(&holes.boxes[i], &mut near);
        for &j in near.iter().filter(|&&j| (j as usize) > i) {
            if meet(b, &bores[j as usize]) {
                return Err(SolidError::HolesMeet {
                    first: i,
                    second: j as usize,
                });
            }
        }
        faces.near(&holes.boxes[i], &mut near);
        for &f in near.iter().filter(|f| !b.faces.contains(f)) {
            if let Some(at) = breaks(body, b, f) {
                return Err(SolidError::HoleBreaksWall { index: i, at });
            }
        }
    }
    Ok(())
}

fn face_box(body: &Body, i: usize) -> Box3 {
    let face = &body.faces[i];
    let mut lo = DVec3::INFINITY;
    let mut hi = DVec3::NEG_INFINITY;
    let mut take = |p: DVec3| {
        lo = lo.min(p);
        hi = hi.max(p);
    };
    for &(e, _) in face.loops.iter().flatten() {
        take(body.vertices[body.edges[e as usize].ends[0] as usize]);
        take(body.vertices[body.edges[e as usize].ends[1] as usize]);
        body.arc_extremes(e, &AXES, &mut take);
    }
    if matches!(face.surface, Surface::Sphere { .. } | Surface::Torus { .. }) {
        body.bulge_extremes(face, &AXES, &mut take);
    }
    [lo, hi]
}

const AXES: [DVec3; 3] = [DVec3::X, DVec3::Y, DVec3::Z];

/// Smallest value of a smooth function on [0, 1], and where: sampled, then narrowed by the golden section.
fn least(f: impl Fn(f64) -> f64) -> (f64, f64) {
    let n = 48;
    let share = |i: usize| i as f64 / n as f64;
    let best = (0..=n)
        .map(|i| (f(share(i)), i))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map_or(0, |b| b.1);
    let (mut a, mut b) = (share(best.saturating_sub(1)), share((best + 1).min(n)));
    let g = 0.618_033_988_749_895;
    for _ in 0..50 {
        let (c, d) = (b - (b - a) * g, a + (b - a) * g);
        if f(c) < f(d) { b = d } else { a = c }
    }
    let t = [(a + b) / 2.0, share(best)]
        .into_iter()
        .min_by(|p, q| f(*p).total_cmp(&f(*q)))
        .unwrap_or(a);
    (f(t), t)
}

/// A place where a face lies in a hole.
fn breaks(body: &Body, b: &Bore, face: u32) -> Option<DVec3> {
    let f = &body.faces[face as usize];
    for &(e, _) in f.loops.iter().flatten() {
        let (d, t) = least(|t| b.outside(body.edge_point(e, t)));
        if d < -SAME_POINT {
            return Some(body.edge_point(e, t));
        }
    }
    // No edge of the face lies in the hole: then the hole passes wholly through its inside or not at all.
    match f.surface {
        Surface::Plane { origin, normal } => {
            let flat = body.flat(f)?;
            let mut site = Site::new(body, face)?;
            passages(b, origin, normal)
                .into_iter()
                .find(|p| site.contains(flat.frame.flat(*p)))
        }
        _ => {
            let patch = body.patch(f)?;
            let near = |t: f64| nearest(&patch, b.axis_point(t));
            let (d, t) = least(|t| near(t).map_or(f64::INFINITY, |q| b.outside(q)));
            if d < -SAME_POINT { near(t) } else { None }
        }
    }
}

/// A point of each piece that a plane cuts out of a hole, and maybe more than one of some.
///
/// At a depth `z` the plane is `h(z)` from the axis, measured in the disc, and cuts a chord out of it where `|h| < radius`. The radius is
/// straight between the corners of the profile and so is `h`, so `radius - |h|` has its crests at corners and where the plane cuts the
/// axis: every piece reaches over one of those.
fn passages(b: &Bore, origin: DVec3, normal: DVec3) -> Vec<DVec3> {
    let w = b.frame.w;
    let slant = normal.dot(w);
    let across = normal - w * slant;
    let mut out = vec![];
    if slant.abs() >= 1e-9 {
        let z = (origin - b.frame.o).dot(normal) / slant;
        if z >= SAME_POINT && z <= b.depth() - SAME_POINT {
            out.push(b.frame.o + w * z);
        }
    }
    if across.length() >= 1e-9 {
        // Off the mouth and the end, where a face may lawfully border on the hole.
        let off = (10.0 * SAME_POINT).min(b.depth() / 2.0);
        for corner in &b.profile {
            let z = corner.x.clamp(off, b.depth() - off);
            let p = b.frame.o + w * z;
            let chord = p - across * ((p - origin).dot(normal) / across.length_squared());
            if chord.distance(p) < b.radius(z) - SAME_POINT {
                out.push(chord);
            }
        }
    }
    out
}

/// The point of a turned face nearest to `p` in the half plane of `p`; `None` when the face does not reach there.
fn nearest(patch: &Patch, p: DVec3) -> Option<DVec3> {
    let angle = patch.angle(p);
    if angle > patch.sweep {
        return None;
    }
    let q = patch.side.nearest(patch.half_plane(p));
    Some(patch.origin + patch.radial(angle) * q.x + patch.axis * q.y)
}

/// Whether two holes have material of the drill in common.
fn meet(a: &Bore, b: &Bore) -> bool {
    let (u, v) = (a.frame.w, b.frame.w);
    let d = b.frame.o - a.frame.o;
    if u.cross(v).length() < 1e-9 {
        // Side by side: the radii at equal heights, which are straight between steps.
        let off = (d - u * d.dot(u)).length();
        let along = if u.dot(v) > 0.0 { 1.0 } else { -1.0 };
        let there = |z: f64| (z - d.dot(u)) * along;
        let steps = a
            .profile
            .iter()
            .map(|p| p.x)
            .chain(b.profile.iter().map(|p| d.dot(u) + p.x * along));
        return steps
            .filter(|&z| z >= 0.0 && z <= a.depth() && there(z) >= 0.0 && there(z) <= b.depth())
            .any(|z| a.radius(z) + b.radius(there(z)) > off - SAME_POINT);
    }
    // Nearest points of the two axes (Ericson, Real-Time Collision Detection, 5.1.9).
    let c = u.dot(v);
    let s = ((d.dot(u) - c * d.dot(v)) / (1.0 - c * c)).clamp(0.0, a.depth());
    let t = (c * s - d.dot(v)).clamp(0.0, b.depth());
    let s = (c * t + d.dot(u)).clamp(0.0, a.depth());
    let gap = (b.frame.o + v * t - a.frame.o - u * s).length();
    if gap >= a.widest() + b.widest() {
        return false;
    }
    holds_some(a, b) || holds_some(b, a)
}

/// Whether a point of `b`'s walls or axis lies in `a`. Lines along the wall are searched for their deepest point.
fn holds_some(a: &Bore, b: &Bore) -> bool {
    let rays = 32;
    (0..rays).any(|k| {
        let (s, c) = (std::f64::consts::TAU * f64::from(k) / f64::from(rays)).sin_cos();
        let out = b.frame.u * c + b.frame.v * s;
        least(|t| a.outside(b.axis_point(t) + out * b.radius(t * b.depth()))).0 < -SAME_POINT
    }) || least(|t| a.outside(b.axis_point(t))).0 < -SAME_POINT
}
