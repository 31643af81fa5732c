//! One piece of an outline, a straight line or a circular arc, and how two of them lie to each other.

use super::{Arc, Box2, Loop, Node, SAME_POINT};
use glam::DVec2;
use std::f64::consts::TAU;

/// A straight line or an arc from `from` to `to`, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seg {
    /// Where it starts.
    pub from: DVec2,
    /// Where it ends.
    pub to: DVec2,
    /// `None`: straight.
    pub arc: Option<Arc>,
}

impl Loop {
    /// The segments in order; the last one ends at the first node.
    pub fn segs(&self) -> impl ExactSizeIterator<Item = Seg> + '_ {
        let n = self.nodes.len();
        (0..n).map(move |i| Seg {
            from: self.nodes[i].at,
            to: self.nodes[(i + 1) % n].at,
            arc: self.nodes[i].arc,
        })
    }

    /// Segment `i`, counted round the loop.
    pub(crate) fn seg(&self, i: usize) -> Seg {
        let n = self.nodes.len();
        Seg {
            from: self.nodes[i % n].at,
            to: self.nodes[(i + 1) % n].at,
            arc: self.nodes[i % n].arc,
        }
    }

    /// The loop of segments that follow one another.
    pub(crate) fn from_segs(segs: &[Seg]) -> Loop {
        Loop {
            nodes: segs
                .iter()
                .map(|s| Node {
                    at: s.from,
                    arc: s.arc,
                })
                .collect(),
        }
    }
}

/// The angle from `a` counter-clockwise to `b`, in [0, 2 pi).
pub(crate) fn turn_between(a: DVec2, b: DVec2) -> f64 {
    let t = a.perp_dot(b).atan2(a.dot(b));
    if t < 0.0 { t + TAU } else { t }
}

impl Seg {
    /// The same piece run the other way.
    #[must_use]
    pub fn reversed(&self) -> Seg {
        Seg {
            from: self.to,
            to: self.from,
            arc: self.arc.map(|a| Arc { ccw: !a.ccw, ..a }),
        }
    }

    /// Radius of an arc, mm; 0 for a line.
    #[must_use]
    pub fn radius(&self) -> f64 {
        self.arc.map_or(0.0, |a| self.from.distance(a.centre))
    }

    /// Signed angle that an arc turns through, radians, counter-clockwise positive; 0 for a line.
    #[must_use]
    pub fn sweep(&self) -> f64 {
        match self.arc {
            None => 0.0,
            Some(a) => {
                let (p, q) = (self.from - a.centre, self.to - a.centre);
                if a.ccw {
                    turn_between(p, q)
                } else {
                    -turn_between(q, p)
                }
            }
        }
    }

    /// Length along the piece, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        match self.arc {
            None => self.from.distance(self.to),
            Some(_) => self.radius() * self.sweep().abs(),
        }
    }

    /// The point at a share `t` (0 to 1) of the length.
    #[must_use]
    pub fn point(&self, t: f64) -> DVec2 {
        match self.arc {
            None => self.from.lerp(self.to, t),
            Some(a) => a.centre + DVec2::from_angle(self.sweep() * t).rotate(self.from - a.centre),
        }
    }

    /// Unit direction of travel at the start.
    #[must_use]
    pub fn tangent_from(&self) -> DVec2 {
        match self.arc {
            None => (self.to - self.from).normalize_or_zero(),
            Some(a) => {
                let left = (self.from - a.centre).perp().normalize_or_zero();
                if a.ccw { left } else { -left }
            }
        }
    }

    /// Unit direction of travel at the end.
    #[must_use]
    pub fn tangent_to(&self) -> DVec2 {
        -self.reversed().tangent_from()
    }

    /// 1/radius, positive when it bends to the left; 0 for a line.
    #[must_use]
    pub fn curvature(&self) -> f64 {
        match self.arc {
            None => 0.0,
            Some(a) => (if a.ccw { 1.0 } else { -1.0 }) / self.radius(),
        }
    }

    /// Whether the direction of `p` from an arc's centre lies within the arc, ends included.
    pub(crate) fn faces(&self, p: DVec2) -> bool {
        let Some(a) = self.arc else { return false };
        let (s, e, q) = (self.from - a.centre, self.to - a.centre, p - a.centre);
        if a.ccw {
            turn_between(s, q) <= turn_between(s, e)
        } else {
            turn_between(e, q) <= turn_between(e, s)
        }
    }

    /// Exact bounding box.
    #[must_use]
    pub fn bounds(&self) -> Box2 {
        let (mut lo, mut hi) = (self.from.min(self.to), self.from.max(self.to));
        if let Some(a) = self.arc {
            let r = self.radius();
            for d in [DVec2::X, DVec2::Y, DVec2::NEG_X, DVec2::NEG_Y] {
                let p = a.centre + d * r;
                if self.faces(p) {
                    lo = lo.min(p);
                    hi = hi.max(p);
                }
            }
        }
        [lo, hi]
    }

    /// The point of the piece nearest to `p`.
    #[must_use]
    pub fn nearest(&self, p: DVec2) -> DVec2 {
        match self.arc {
            None => {
                let d = self.to - self.from;
                let t = (p - self.from).dot(d) / d.length_squared();
                // A comparison rather than `clamp`: a zero-length piece gives NaN, which then falls on its start.
                if t >= 1.0 {
                    self.to
                } else if t > 0.0 {
                    self.from + d * t
                } else {
                    self.from
                }
            }
            Some(a) => {
                let v = p - a.centre;
                if self.faces(p) && v.length_squared() > 0.0 {
                    a.centre + v.normalize() * self.radius()
                } else if p.distance_squared(self.from) <= p.distance_squared(self.to) {
                    self.from
                } else {
                    self.to
                }
            }
        }
    }

    /// Least distance of `p`, mm.
    #[must_use]
    pub fn distance_to_point(&self, p: DVec2) -> f64 {
        self.nearest(p).distance(p)
    }

    fn holds(&self, p: DVec2) -> bool {
        self.distance_to_point(p) <= SAME_POINT
    }

    /// Every point at which two pieces meet; where they run along one another, the ends of the common stretch.
    /// Points may repeat. Touching within [`SAME_POINT`] counts as meeting.
    pub(crate) fn meets(&self, other: &Seg, out: &mut Vec<DVec2>) {
        let first = out.len();
        for p in [other.from, other.to] {
            if self.holds(p) {
                out.push(p);
            }
        }
        for p in [self.from, self.to] {
            if other.holds(p) {
                out.push(p);
            }
        }
        match (self.arc, other.arc) {
            (None, None) => line_line(self, other, out),
            (None, Some(_)) => line_arc(self, other, first, out),
            (Some(_), None) => line_arc(other, self, first, out),
            (Some(a), Some(b)) => arc_arc((self, a.centre), (other, b.centre), first, out),
        }
    }

    /// Least distance of two pieces, mm; 0 when they meet.
    #[must_use]
    pub fn distance(&self, other: &Seg) -> f64 {
        let mut met = Vec::new();
        self.meets(other, &mut met);
        if !met.is_empty() {
            return 0.0;
        }
        let mut least = [other.from, other.to]
            .iter()
            .map(|p| self.distance_to_point(*p))
            .fold(f64::INFINITY, f64::min);
        least = [self.from, self.to]
            .iter()
            .map(|p| other.distance_to_point(*p))
            .fold(least, f64::min);
        // A shortest way that ends inside both pieces is square to both, so it runs through each arc's centre.
        match (self.arc, other.arc) {
            (None, None) => {}
            (None, Some(b)) => least = least.min(other.distance_to_point(self.nearest(b.centre))),
            (Some(a), None) => least = least.min(self.distance_to_point(other.nearest(a.centre))),
            (Some(a), Some(b)) => {
                let d = (b.centre - a.centre).normalize_or_zero();
                let (r, s) = (self.radius(), other.radius());
                for (u, v) in [(r, s), (r, -s), (-r, s), (-r, -s)] {
                    let (p, q) = (a.centre + d * u, b.centre + d * v);
                    if self.faces(p) && other.faces(q) {
                        least = least.min(p.distance(q));
                    }
                }
            }
        }
        least
    }
}

fn line_line(s: &Seg, t: &Seg, out: &mut Vec<DVec2>) {
    let (d, e) = (s.to - s.from, t.to - t.from);
    let x = d.perp_dot(e);
    // Parallel lines meet at ends only, and those have been looked at.
    if x.abs() <= 1e-14 * d.length() * e.length() {
        return;
    }
    let w = t.from - s.from;
    let (u, v) = (w.perp_dot(e) / x, w.perp_dot(d) / x);
    if (0.0..=1.0).contains(&u) && (0.0..=1.0).contains(&v) {
        out.push(s.from + d * u);
    }
}

/// Keeps a touching point unless the pieces already meet at an end nearby: within rounding of a tangent, the
/// curves stay within [`SAME_POINT`] of each other over `sqrt(8 tol R)`, and the end is the point that is meant.
fn touch(p: DVec2, bend: f64, first: usize, out: &mut Vec<DVec2>) {
    let reach = (8.0 * SAME_POINT * bend).sqrt() + SAME_POINT;
    if out[first..].iter().all(|q| q.distance(p) > reach) {
        out.push(p);
    }
}

fn line_arc(line: &Seg, arc: &Seg, first: usize, out: &mut Vec<DVec2>) {
    let Some(a) = arc.arc else { return };
    let r = arc.radius();
    let len = line.from.distance(line.to);
    let d = (line.to - line.from) / len;
    let along = (a.centre - line.from).dot(d);
    let away = (a.centre - line.from).perp_dot(d).abs();
    let mut at = |s: f64, tangent: bool| {
        let p = line.from + d * s;
        if s >= 0.0 && s <= len && arc.faces(p) {
            if tangent {
                touch(p, r, first, out);
            } else {
                out.push(p);
            }
        }
    };
    if (away - r).abs() <= SAME_POINT {
        at(along, true);
    } else if away < r {
        let h = ((r - away) * (r + away)).sqrt();
        at(along - h, false);
        at(along + h, false);
    }
}

fn arc_arc((s, c): (&Seg, DVec2), (t, e): (&Seg, DVec2), first: usize, out: &mut Vec<DVec2>) {
    let (r, q) = (s.radius(), t.radius());
    let d = c.distance(e);
    if d <= SAME_POINT {
        return; // concentric: equal circles share ends, others never meet
    }
    let u = (e - c) / d;
    let (far, near) = (r + q, (r - q).abs());
    let both = |p: DVec2| s.faces(p) && t.faces(p);
    if (d - far).abs() <= SAME_POINT {
        let p = c + u * r;
        if both(p) {
            touch(p, r * q / far, first, out);
        }
    } else if (d - near).abs() <= SAME_POINT {
        let p = if r > q { c + u * r } else { c - u * r };
        if both(p) {
            touch(p, r * q / near.max(SAME_POINT), first, out);
        }
    } else if d < far && d > near {
        let a = (d * d + (r - q) * (r + q)) / (2.0 * d);
        let h = ((r - a) * (r + a)).max(0.0).sqrt();
        for p in [c + u * a + u.perp() * h, c + u * a - u.perp() * h] {
            if both(p) {
                out.push(p);
            }
        }
    }
}
