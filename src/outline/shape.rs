//! The outlines that parts are made of, and their transforms.

use super::{Arc, Loop, Node, OutlineError, Region, SAME_POINT, Seg};
use glam::DVec2;

fn line(x: f64, y: f64) -> Node {
    Node {
        at: DVec2::new(x, y),
        arc: None,
    }
}

fn bend(x: f64, y: f64, centre: DVec2) -> Node {
    Node {
        at: DVec2::new(x, y),
        arc: Some(Arc { centre, ccw: true }),
    }
}

/// The unit vector at `degrees` counter-clockwise from +x; exact at quarter turns.
#[must_use]
pub fn direction(degrees: f64) -> DVec2 {
    match degrees.rem_euclid(360.0) {
        0.0 => DVec2::X,
        90.0 => DVec2::Y,
        180.0 => DVec2::NEG_X,
        270.0 => DVec2::NEG_Y,
        d => DVec2::from_angle(d.to_radians()),
    }
}

impl Loop {
    /// Straight lines through `points`, which run counter-clockwise.
    #[must_use]
    pub fn polygon(points: &[DVec2]) -> Loop {
        Loop {
            nodes: points.iter().map(|p| line(p.x, p.y)).collect(),
        }
    }

    /// An upright rectangle; starts at `min`.
    #[must_use]
    pub fn rect(min: DVec2, max: DVec2) -> Loop {
        Loop {
            nodes: vec![
                line(min.x, min.y),
                line(max.x, min.y),
                line(max.x, max.y),
                line(min.x, max.y),
            ],
        }
    }

    /// An upright rectangle with all corners rounded; `radius` 0 gives [`Loop::rect`].
    ///
    /// # Errors
    /// When the radius is negative or two of them do not fit along a side.
    pub fn rounded_rect(min: DVec2, max: DVec2, radius: f64) -> Result<Loop, OutlineError> {
        Loop::rect(min, max).rounded(radius)
    }

    /// A circle as two half turns, the first node at +x.
    #[must_use]
    pub fn circle(centre: DVec2, radius: f64) -> Loop {
        Loop {
            nodes: vec![
                bend(centre.x + radius, centre.y, centre),
                bend(centre.x - radius, centre.y, centre),
            ],
        }
    }

    /// A circle with one flat (a D hole for a control that must not turn). The flat stands `flat` mm from the
    /// centre (less than `radius` either way), towards +x turned `degrees` counter-clockwise.
    ///
    /// # Errors
    /// When the flat does not cut the circle.
    pub fn d_hole(
        centre: DVec2,
        radius: f64,
        flat: f64,
        degrees: f64,
    ) -> Result<Loop, OutlineError> {
        if !(flat.abs() < radius - SAME_POINT && radius.is_finite()) {
            return Err(OutlineError::FlatMissesCircle { radius, flat });
        }
        let half = ((radius - flat) * (radius + flat)).sqrt();
        let d = Loop {
            nodes: vec![line(flat, -half), bend(flat, half, DVec2::ZERO)],
        };
        Ok(d.rotated(DVec2::ZERO, degrees).translated(centre))
    }

    /// All points within `radius` of the line from `a` to `b`; a circle when these are one point.
    #[must_use]
    pub fn slot(a: DVec2, b: DVec2, radius: f64) -> Loop {
        let Some(d) = (b - a).try_normalize() else {
            return Loop::circle(a, radius);
        };
        let n = d.perp() * radius;
        let at = |p: DVec2, c: Option<DVec2>| Node {
            at: p,
            arc: c.map(|centre| Arc { centre, ccw: true }),
        };
        Loop {
            nodes: vec![
                at(a - n, None),
                at(b - n, Some(b)),
                at(b + n, None),
                at(a + n, Some(a)),
            ],
        }
    }

    /// An oval of four arcs, as long and wide as the ellipse that it stands for and within a hundredth of its length of it: its quarter circles
    /// meet on the perpendicular to the middle of what the diagonal leaves beyond the difference of the half axes (the draughtsman's
    /// four-centre oval). A circle where both sizes are equal.
    #[must_use]
    pub fn oval(centre: DVec2, size: DVec2) -> Loop {
        if size.x < size.y {
            return Loop::oval(DVec2::ZERO, DVec2::new(size.y, size.x))
                .rotated(DVec2::ZERO, 90.0)
                .translated(centre);
        }
        let half = size / 2.0;
        let (end, side, join) = Loop::oval_arcs(half);
        if half.x - half.y < 1e-9 {
            return Loop::circle(centre, half.x);
        }
        let (end, side) = (half.x - end, side - half.y);
        let arc = |x: f64, y: f64, at: DVec2| Node {
            at: centre + DVec2::new(x, y),
            arc: Some(Arc {
                centre: centre + at,
                ccw: true,
            }),
        };
        Loop {
            nodes: vec![
                arc(join.x, -join.y, DVec2::new(end, 0.0)),
                arc(join.x, join.y, DVec2::new(0.0, -side)),
                arc(-join.x, join.y, DVec2::new(-end, 0.0)),
                arc(-join.x, -join.y, DVec2::new(0.0, side)),
            ],
        }
    }

    /// Of an oval by its half axes, the longer first: the radius of its ends, of its long sides, and where they meet.
    #[must_use]
    pub fn oval_arcs(half: DVec2) -> (f64, f64, DVec2) {
        let (a, b) = (half.x, half.y);
        let long = a.hypot(b);
        let share = (long - (a - b)) / 2.0 * long;
        let (end, side) = (share / a, b + (a * a - share) / b);
        let (from, to) = (DVec2::new(0.0, b - side), DVec2::new(a - end, 0.0));
        let out = (to - from).normalize_or_zero();
        (end, side, to + out * end)
    }

    /// A regular hexagon; turned by 0 its corners point along +x and -x and its flats face +y and -y.
    #[must_use]
    pub fn hexagon(centre: DVec2, across_flats: f64, degrees: f64) -> Loop {
        let h = across_flats / 2.0;
        let (c, s) = (h / 3f64.sqrt(), 2.0 * h / 3f64.sqrt());
        let points = [(s, 0.0), (c, h), (-c, h), (-s, 0.0), (-c, -h), (c, -h)].map(DVec2::from);
        Loop::polygon(&points)
            .rotated(DVec2::ZERO, degrees)
            .translated(centre)
    }

    /// The loop with every convex corner between two straight lines rounded; other corners stay as they are.
    ///
    /// # Errors
    /// When the radius is negative or not a number, or a side is too short for the roundings at its ends.
    pub fn rounded(&self, radius: f64) -> Result<Loop, OutlineError> {
        if !(radius >= 0.0 && radius.is_finite()) {
            return Err(OutlineError::RadiusTooLarge {
                radius,
                near: self.first(),
            });
        }
        if radius <= SAME_POINT {
            return Ok(self.clone());
        }
        let n = self.nodes.len();
        // Length that each corner's rounding takes from both its sides.
        let taken: Vec<f64> = (0..n)
            .map(|i| {
                let (before, after) = (self.seg(i + n - 1), self.seg(i));
                let (d, e) = (before.tangent_to(), after.tangent_from());
                if before.arc.is_some() || after.arc.is_some() || d.perp_dot(e) <= 1e-9 {
                    return 0.0;
                }
                // tan of half the turn, in a form that is exact for a right angle
                radius * d.perp_dot(e) / (1.0 + d.dot(e))
            })
            .collect();
        let mut nodes = Vec::with_capacity(2 * n);
        for i in 0..n {
            let (before, after) = (self.seg(i + n - 1), self.seg(i));
            let room = after.from.distance(after.to) - taken[i] - taken[(i + 1) % n];
            if after.arc.is_none() && room < -SAME_POINT {
                return Err(OutlineError::RadiusTooLarge {
                    radius,
                    near: after.from,
                });
            }
            if taken[i] == 0.0 {
                nodes.push(self.nodes[i]);
                continue;
            }
            let (d, e) = (before.tangent_to(), after.tangent_from());
            let start = after.from - d * taken[i];
            nodes.push(Node {
                at: start,
                arc: Some(Arc {
                    centre: start + d.perp() * radius,
                    ccw: true,
                }),
            });
            if room > SAME_POINT {
                nodes.push(Node {
                    at: after.from + e * taken[i],
                    arc: None,
                });
            }
        }
        Ok(Loop { nodes })
    }

    fn first(&self) -> DVec2 {
        self.nodes.first().map_or(DVec2::ZERO, |n| n.at)
    }

    /// Every point moved by `f`, which keeps shapes and their sense of turning.
    pub(crate) fn mapped(&self, f: impl Fn(DVec2) -> DVec2) -> Loop {
        let node = |n: &Node| Node {
            at: f(n.at),
            arc: n.arc.map(|a| Arc {
                centre: f(a.centre),
                ccw: a.ccw,
            }),
        };
        Loop {
            nodes: self.nodes.iter().map(node).collect(),
        }
    }

    /// Moved by `by` mm.
    #[must_use]
    pub fn translated(&self, by: DVec2) -> Loop {
        self.mapped(|p| p + by)
    }

    /// Turned about `about`, counter-clockwise; quarter turns are exact.
    #[must_use]
    pub fn rotated(&self, about: DVec2, degrees: f64) -> Loop {
        let d = direction(degrees);
        self.mapped(|p| about + d.rotate(p - about))
    }

    /// Mirrored in the upright line at `x`; still counter-clockwise if it was.
    #[must_use]
    pub fn mirrored_x(&self, x: f64) -> Loop {
        self.flipped(|p| DVec2::new(2.0 * x - p.x, p.y))
    }

    /// Mirrored in the level line at `y`; still counter-clockwise if it was.
    #[must_use]
    pub fn mirrored_y(&self, y: f64) -> Loop {
        self.flipped(|p| DVec2::new(p.x, 2.0 * y - p.y))
    }

    fn flipped(&self, f: impl Fn(DVec2) -> DVec2) -> Loop {
        // Mirrored arcs turn the other way, and so does the loop: running it backwards puts both right.
        let mut image = self.mapped(f);
        for a in image.nodes.iter_mut().filter_map(|n| n.arc.as_mut()) {
            a.ccw = !a.ccw;
        }
        image.reversed()
    }

    /// The same loop run the other way, from the same first node.
    #[must_use]
    pub fn reversed(&self) -> Loop {
        let n = self.nodes.len();
        let segs: Vec<Seg> = (0..n).map(|i| self.seg(n - 1 - i).reversed()).collect();
        Loop::from_segs(&segs)
    }
}

impl Region {
    /// Material inside `outer` without openings.
    #[must_use]
    pub fn solid(outer: Loop) -> Region {
        Region {
            outer,
            inner: vec![],
        }
    }

    /// All loops, outer first.
    pub fn loops(&self) -> impl Iterator<Item = &Loop> {
        std::iter::once(&self.outer).chain(&self.inner)
    }

    fn each(&self, f: impl Fn(&Loop) -> Loop) -> Region {
        Region {
            outer: f(&self.outer),
            inner: self.inner.iter().map(&f).collect(),
        }
    }

    /// Moved by `by` mm.
    #[must_use]
    pub fn translated(&self, by: DVec2) -> Region {
        self.each(|l| l.translated(by))
    }

    /// Turned about `about`, counter-clockwise; quarter turns are exact.
    #[must_use]
    pub fn rotated(&self, about: DVec2, degrees: f64) -> Region {
        self.each(|l| l.rotated(about, degrees))
    }

    /// Mirrored in the upright line at `x`.
    #[must_use]
    pub fn mirrored_x(&self, x: f64) -> Region {
        self.each(|l| l.mirrored_x(x))
    }

    /// Mirrored in the level line at `y`.
    #[must_use]
    pub fn mirrored_y(&self, y: f64) -> Region {
        self.each(|l| l.mirrored_y(y))
    }
}
