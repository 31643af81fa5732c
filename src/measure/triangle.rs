//! Distance of two triangles.

use glam::DVec3;

pub(super) type Triangle = [DVec3; 3];

/// Closest points of two segments (Ericson, Real-Time Collision Detection, 2005, section 5.1.9).
#[inline]
pub(super) fn segments(p: DVec3, d1: DVec3, q: DVec3, d2: DVec3) -> (DVec3, DVec3) {
    let r = p - q;
    let (a, e) = (d1.length_squared(), d2.length_squared());
    let (c, f) = (d1.dot(r), d2.dot(r));
    let (s, t);
    if a <= f64::MIN_POSITIVE {
        s = 0.0;
        t = if e <= f64::MIN_POSITIVE {
            0.0
        } else {
            (f / e).clamp(0.0, 1.0)
        };
    } else if e <= f64::MIN_POSITIVE {
        t = 0.0;
        s = (-c / a).clamp(0.0, 1.0);
    } else {
        let b = d1.dot(d2);
        let denominator = a * e - b * b;
        // Parallel segments have the same distance all along; any point will do to start with.
        let free = if denominator > 1e-14 * a * e {
            ((b * f - c * e) / denominator).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let along = (b * free + f) / e;
        if along < 0.0 {
            t = 0.0;
            s = (-c / a).clamp(0.0, 1.0);
        } else if along > 1.0 {
            t = 1.0;
            s = ((b - c) / a).clamp(0.0, 1.0);
        } else {
            t = along;
            s = free;
        }
    }
    (p + d1 * s, q + d2 * t)
}

/// Whether `p`, in or above the plane of the triangle, projects into it; `n` is its normal of any length.
#[inline]
fn projects_into(p: DVec3, [a, b, c]: Triangle, n: DVec3) -> bool {
    n.dot((b - a).cross(p - a)) >= 0.0
        && n.dot((c - b).cross(p - b)) >= 0.0
        && n.dot((a - c).cross(p - c)) >= 0.0
}

/// The point of a triangle nearest to `p` (Ericson, Real-Time Collision Detection, 2005, section 5.1.5).
pub(super) fn nearest(p: DVec3, [a, b, c]: &Triangle) -> DVec3 {
    let (ab, ac, ap) = (b - a, c - a, p - a);
    let (d1, d2) = (ab.dot(ap), ac.dot(ap));
    if d1 <= 0.0 && d2 <= 0.0 {
        return *a;
    }
    let bp = p - b;
    let (d3, d4) = (ab.dot(bp), ac.dot(bp));
    if d3 >= 0.0 && d4 <= d3 {
        return *b;
    }
    let vc = d1 * d4 - d3 * d2;
    if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 {
        return a + ab * (d1 / (d1 - d3));
    }
    let cp = p - c;
    let (d5, d6) = (ab.dot(cp), ac.dot(cp));
    if d6 >= 0.0 && d5 <= d6 {
        return *c;
    }
    let vb = d5 * d2 - d1 * d6;
    if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 {
        return a + ac * (d2 / (d2 - d6));
    }
    let va = d3 * d6 - d5 * d4;
    if va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0 {
        return b + (c - b) * ((d4 - d3) / ((d4 - d3) + (d5 - d6)));
    }
    let whole = va + vb + vc;
    a + ab * (vb / whole) + ac * (vc / whole)
}

/// Closest points of two triangles and their squared distance, if that is below `below`; equal points where they meet.
pub(super) fn closest(s: &Triangle, t: &Triangle, below: f64) -> Option<(f64, [DVec3; 2])> {
    let normal = |x: &Triangle| (x[1] - x[0]).cross(x[2] - x[0]);
    let (ns, nt) = (normal(s), normal(t));
    let (ls, lt) = (ns.length_squared(), nt.length_squared());
    let above_s = t.map(|p| ns.dot(p - s[0]));
    let above_t = s.map(|p| nt.dot(p - t[0]));
    // A triangle that is wholly on one side of the other's plane is at least as far away as from the plane.
    let far = |h: &[f64; 3], l: f64| {
        let (low, high) = (h[0].min(h[1]).min(h[2]), h[0].max(h[1]).max(h[2]));
        let gap = low.max(-high);
        gap > 0.0 && gap * gap >= below * l
    };
    if far(&above_s, ls) || far(&above_t, lt) {
        return None;
    }

    let mut best = below;
    let mut at = None;
    let mut take = |d: f64, p: DVec3, q: DVec3| {
        if d < best {
            best = d;
            at = Some([p, q]);
        }
    };
    for i in 0..3 {
        let (p, d1) = (s[i], s[(i + 1) % 3] - s[i]);
        for j in 0..3 {
            let (q, d2) = (t[j], t[(j + 1) % 3] - t[j]);
            let (x, y) = segments(p, d1, q, d2);
            let gap = y - x;
            let d = gap.length_squared();
            take(d, x, y);
            // Where the third corners lie behind the planes through these points, nothing is nearer (Larsen and others, Fast proximity
            // queries with swept sphere volumes, 1999).
            if (s[(i + 2) % 3] - x).dot(gap) <= 0.0
                && (t[(j + 2) % 3] - y).dot(gap) >= 0.0
                && d > 0.0
            {
                return at.map(|points| (best, points));
            }
        }
    }
    for i in 0..3 {
        if ls > 0.0 && projects_into(t[i], *s, ns) {
            take(
                above_s[i] * above_s[i] / ls,
                t[i] - ns * (above_s[i] / ls),
                t[i],
            );
        }
        if lt > 0.0 && projects_into(s[i], *t, nt) {
            take(
                above_t[i] * above_t[i] / lt,
                s[i],
                s[i] - nt * (above_t[i] / lt),
            );
        }
    }
    for (x, heights, y, n) in [(t, above_s, s, ns), (s, above_t, t, nt)] {
        for i in 0..3 {
            let j = (i + 1) % 3;
            if heights[i] * heights[j] < 0.0 {
                let p = x[i].lerp(x[j], heights[i] / (heights[i] - heights[j]));
                if projects_into(p, *y, n) {
                    take(0.0, p, p);
                }
            }
        }
    }
    at.map(|points| (best, points))
}

/// Distance along a ray to a triangle, in lengths of `dir`; the flag tells that the ray passes too near the triangle's border to
/// say on which side (Moeller and Trumbore, 1997).
pub(super) fn ray(from: DVec3, dir: DVec3, [a, b, c]: &Triangle) -> Option<(f64, bool)> {
    const BORDER: f64 = 1e-9;
    let (e1, e2) = (b - a, c - a);
    let h = dir.cross(e2);
    let det = e1.dot(h);
    let size = e1.length() * e2.length() * dir.length();
    if det.abs() <= 1e-12 * size {
        // Seen edge-on: a doubt only if the ray passes through it at all.
        let n = e1.cross(e2);
        let off = n.dot(from - *a).abs();
        return (off <= 1e-9 * n.length()).then_some((0.0, true));
    }
    let s = from - *a;
    let u = s.dot(h) / det;
    let q = s.cross(e1);
    let v = dir.dot(q) / det;
    let w = 1.0 - u - v;
    let least = u.min(v).min(w);
    let t = e2.dot(q) / det;
    if least < -BORDER || t < 0.0 {
        return None;
    }
    Some((t, least < BORDER))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn point() -> impl Strategy<Value = DVec3> {
        (-5.0..5.0, -5.0..5.0, -5.0..5.0).prop_map(|(x, y, z)| DVec3::new(x, y, z))
    }

    fn sample(t: &Triangle) -> impl Iterator<Item = DVec3> {
        let t = *t;
        (0..=12).flat_map(move |i| {
            (0..=12 - i).map(move |j| {
                let (u, v) = (f64::from(i) / 12.0, f64::from(j) / 12.0);
                t[0] * (1.0 - u - v) + t[1] * u + t[2] * v
            })
        })
    }

    proptest! {
        /// Against dense samples: never above the least sampled distance, and the points given have the distance told.
        #[test]
        fn is_the_least_distance(a in [point(), point(), point()], b in [point(), point(), point()]) {
            let (d2, [p, q]) = closest(&a, &b, f64::INFINITY).unwrap();
            prop_assert!((p.distance_squared(q) - d2).abs() < 1e-9);
            let sampled = sample(&a)
                .flat_map(|x| sample(&b).map(move |y| x.distance(y)))
                .fold(f64::INFINITY, f64::min);
            prop_assert!(d2.sqrt() <= sampled + 1e-9);
            let step = (0..3).map(|i| a[i].distance(a[(i + 1) % 3]).max(b[i].distance(b[(i + 1) % 3]))).fold(0.0, f64::max) / 12.0;
            prop_assert!(d2.sqrt() >= sampled - 2.0 * step);
            prop_assert!(closest(&a, &b, d2 * 0.99).is_none());
        }
    }

    #[test]
    fn flat_on_flat_touches() {
        let a = [DVec3::ZERO, DVec3::X * 4.0, DVec3::Y * 4.0];
        let inside = [
            DVec3::new(1.0, 1.0, 0.0),
            DVec3::new(1.5, 1.0, 0.0),
            DVec3::new(1.0, 1.5, 0.0),
        ];
        assert_eq!(closest(&a, &inside, 1.0).unwrap().0, 0.0);
        let above = inside.map(|p| p + DVec3::Z * 0.25);
        assert_eq!(closest(&a, &above, 1.0).unwrap().0, 0.0625);
    }
}
