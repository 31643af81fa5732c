//! Area, centre, box, containment and distance of outlines, exact for lines and arcs.

use super::grid::{joined, overlap};
use super::{Box2, Loop, Region, Seg};
use glam::DVec2;

impl Loop {
    /// Signed area, mm2; positive when the loop runs counter-clockwise.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.moments().0
    }

    /// Centre of area; the first node when the area is zero.
    #[must_use]
    pub fn centroid(&self) -> DVec2 {
        let (area, moment) = self.moments();
        let at = self.nodes.first().map_or(DVec2::ZERO, |n| n.at);
        if area == 0.0 { at } else { at + moment / area }
    }

    /// Signed area and its first moment about the first node, which keeps cancellation small far from the origin.
    fn moments(&self) -> (f64, DVec2) {
        let Some(o) = self.nodes.first().map(|n| n.at) else {
            return (0.0, DVec2::ZERO);
        };
        let (mut area, mut moment) = (0.0, DVec2::ZERO);
        for s in self.segs() {
            let (p, q) = (s.from - o, s.to - o);
            let x = p.perp_dot(q) / 2.0;
            area += x;
            moment += (p + q) * (x / 3.0);
            if let Some(a) = s.arc {
                // The piece between chord and arc: area r2 (t - sin t) / 2, moment about the centre 2/3 r3 sin3(t/2)
                // towards the middle of the arc (for instance Bronstein, Taschenbuch der Mathematik, circular segment).
                let (r, t) = (s.radius(), s.sweep());
                let piece = r * r * (t - t.sin()) / 2.0;
                let middle = DVec2::from_angle(t / 2.0).rotate(s.from - a.centre);
                let lever = 2.0 / 3.0 * r * r * (t / 2.0).sin().powi(3);
                area += piece;
                moment += (a.centre - o) * piece + middle * lever;
            }
        }
        (area, moment)
    }

    /// Exact bounding box, arcs included; both corners at the origin for an empty loop.
    #[must_use]
    pub fn bounds(&self) -> Box2 {
        self.segs()
            .map(|s| s.bounds())
            .reduce(joined)
            .unwrap_or([DVec2::ZERO; 2])
    }

    /// Length of the edge, mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.segs().map(|s| s.length()).sum()
    }

    /// Whether `p` lies inside, whichever way the loop runs. A point on the edge may be either.
    #[must_use]
    pub fn contains(&self, p: DVec2) -> bool {
        self.segs().map(|s| winding(&s, p)).sum::<i32>() != 0
    }

    /// Least distance of `p` from the edge, mm, inside or outside.
    #[must_use]
    pub fn distance_to_point(&self, p: DVec2) -> f64 {
        self.segs()
            .map(|s| s.distance_to_point(p))
            .fold(f64::INFINITY, f64::min)
    }
}

/// What one piece adds to the winding number about `p`: its chord's crossing of the ray towards +x, and one turn
/// when `p` lies between chord and arc. Ties are broken as if `p` were moved a little to +x and far less to +y.
fn winding(s: &Seg, p: DVec2) -> i32 {
    let (a, b) = (s.from, s.to);
    let side = (b - a).perp_dot(p - a);
    let left = if side == 0.0 {
        b.y < a.y || (b.y == a.y && b.x > a.x)
    } else {
        side > 0.0
    };
    let mut w = 0;
    if a.y <= p.y && p.y < b.y && left {
        w += 1;
    } else if b.y <= p.y && p.y < a.y && !left {
        w -= 1;
    }
    if let Some(arc) = s.arc
        && p.distance_squared(arc.centre) < a.distance_squared(arc.centre)
    {
        // A counter-clockwise arc bulges to the right of its chord, whatever its length.
        match (arc.ccw, left) {
            (true, false) => w += 1,
            (false, true) => w -= 1,
            _ => {}
        }
    }
    w
}

impl Region {
    /// Area of the material, mm2.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.outer.area() - self.inner.iter().map(Loop::area).sum::<f64>()
    }

    /// Centre of area of the material.
    #[must_use]
    pub fn centroid(&self) -> DVec2 {
        let o = self.outer.bounds()[0];
        let mut moment = (self.outer.centroid() - o) * self.outer.area();
        for l in &self.inner {
            moment -= (l.centroid() - o) * l.area();
        }
        let area = self.area();
        if area == 0.0 { o } else { o + moment / area }
    }

    /// Exact bounding box.
    #[must_use]
    pub fn bounds(&self) -> Box2 {
        self.outer.bounds()
    }

    /// Whether `p` lies in the material. A point on an edge may be either.
    #[must_use]
    pub fn contains(&self, p: DVec2) -> bool {
        let at = [p, p];
        let within = |l: &Loop| overlap(&l.bounds(), &at) && l.contains(p);
        within(&self.outer) && !self.inner.iter().any(within)
    }

    /// Least distance of `p` from any edge, mm.
    #[must_use]
    pub fn distance_to_point(&self, p: DVec2) -> f64 {
        self.loops()
            .map(|l| l.distance_to_point(p))
            .fold(f64::INFINITY, f64::min)
    }
}
