//! Distances of faces about one axis: a shank in its hole, a head on its seat, a tube in its socket. In the half plane of radius and
//! height they are distances of straight pieces, exact and quicker than those of many narrow triangles that are all equally far apart.

use super::Prepared;
use super::contact::{PARALLEL, Shape, Side, Wall};
use super::triangle;
use crate::outline::Seg;
use crate::pose::Pose;
use crate::solid::Patch;
use glam::{DVec2, DVec3};

/// Axes nearer than this are one, mm.
const SAME_AXIS: f64 = 1e-8;

/// What is known of two faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Known {
    /// Nothing.
    Nothing,
    /// They are not nearer than was asked.
    Further,
    /// The square of their distance, and where in the frame of the first body.
    Square(f64, [DVec3; 2]),
}

/// Two placed bodies whose faces are compared.
pub(super) struct Faces<'p> {
    a: &'p Prepared<'p>,
    b: &'p Prepared<'p>,
    to_a: Pose,
    to_b: Pose,
}

impl<'p> Faces<'p> {
    pub(super) fn new(
        a: &'p Prepared<'p>,
        a_pose: &Pose,
        b: &'p Prepared<'p>,
        b_pose: &Pose,
    ) -> Faces<'p> {
        Faces {
            a,
            b,
            to_a: a_pose.inverse().then(b_pose),
            to_b: b_pose.inverse().then(a_pose),
        }
    }

    /// What is known of a face of the first and one of the second body; `below` is the square of the distance that matters.
    pub(super) fn known(&self, i: u32, j: u32, below: f64) -> Known {
        let (Some(p), Some(q)) = (&self.a.walls()[i as usize], &self.b.walls()[j as usize]) else {
            return Known::Nothing;
        };
        match (&p.shape, &q.shape) {
            (Shape::Flat(_), Shape::Flat(_)) => Known::Nothing,
            (Shape::Round(x, _), Shape::Round(y, _)) => round_round(x, y, &self.to_a, below),
            (Shape::Round(x, _), Shape::Flat(_)) => {
                let flat = Side {
                    whole: self.b,
                    face: j,
                    wall: q,
                };
                round_flat(p, x, flat, &self.to_a, &self.to_b, below)
            }
            (Shape::Flat(_), Shape::Round(y, _)) => {
                let flat = Side {
                    whole: self.a,
                    face: i,
                    wall: p,
                };
                match round_flat(q, y, flat, &self.to_b, &self.to_a, below) {
                    Known::Square(d, [r, f]) => {
                        Known::Square(d, [self.to_a.point(f), self.to_a.point(r)])
                    }
                    other => other,
                }
            }
        }
    }
}

/// Closest points of two straight pieces of the half plane.
fn pieces(a: [DVec2; 2], b: [DVec2; 2]) -> (DVec2, DVec2) {
    let deep = |p: DVec2| p.extend(0.0);
    let (x, y) = triangle::segments(deep(a[0]), deep(a[1] - a[0]), deep(b[0]), deep(b[1] - b[0]));
    (x.truncate(), y.truncate())
}

fn straight(s: &Seg) -> Option<[DVec2; 2]> {
    s.arc.is_none().then_some([s.from, s.to])
}

/// Two turned faces, the second to be moved by `to`.
fn round_round(p: &Patch, q: &Patch, to: &Pose, below: f64) -> Known {
    let axis = to.dir(q.axis);
    if p.axis.cross(axis).length_squared() > PARALLEL * PARALLEL {
        return Known::Nothing;
    }
    let d = to.point(q.origin) - p.origin;
    let up = d.dot(p.axis);
    if (d - p.axis * up).length_squared() > SAME_AXIS * SAME_AXIS {
        return Known::Nothing;
    }
    let along = if axis.dot(p.axis) > 0.0 { 1.0 } else { -1.0 };
    let place = |x: DVec2| DVec2::new(x.x, x.y * along + up);
    let (Some(a), Some(b)) = (straight(&p.side), straight(&q.side)) else {
        let (a, b) = (p.side.bounds(), q.side.bounds().map(place));
        let (low, high) = (b[0].min(b[1]), b[0].max(b[1]));
        let apart = (low - a[1])
            .max(a[0] - high)
            .max(DVec2::ZERO)
            .length_squared();
        return if apart >= below {
            Known::Further
        } else {
            Known::Nothing
        };
    };
    let (x, y) = pieces(a, b.map(place));
    let square = x.distance_squared(y);
    if square >= below {
        return Known::Further;
    }
    // A half plane that both reach.
    let turned = Patch {
        origin: p.origin,
        axis,
        start: to.dir(q.start),
        ..*q
    };
    let reached = |of: &Patch, dir: DVec3| {
        let angle = of.angle(of.origin + dir);
        angle <= of.sweep + 1e-9 || angle >= std::f64::consts::TAU - 1e-9
    };
    let dirs = [
        p.radial(p.sweep / 2.0),
        p.radial(0.0),
        p.radial(p.sweep),
        turned.radial(0.0),
        turned.radial(turned.sweep),
        turned.radial(turned.sweep / 2.0),
    ];
    let Some(dir) = dirs
        .into_iter()
        .find(|&d| reached(p, d) && reached(&turned, d))
    else {
        return Known::Nothing;
    };
    let at = |v: DVec2| p.origin + dir * v.x + p.axis * v.y;
    Known::Square(square, [at(x), at(y)])
}

/// A turned face of a whole ring and a flat one square to its axis, in the frame of the turned one.
fn round_flat(
    wall: &Wall,
    p: &Patch,
    flat: Side,
    to_round: &Pose,
    to_flat: &Pose,
    below: f64,
) -> Known {
    if !wall.whole
        || p.axis.cross(to_round.dir(flat.wall.out)).length_squared() > PARALLEL * PARALLEL
    {
        return Known::Nothing;
    }
    let Some(piece) = straight(&p.side) else {
        return Known::Nothing;
    };
    let height = (to_round.point(flat.wall.at) - p.origin).dot(p.axis);
    let reach = below.sqrt();
    let [low, high] = p.side.bounds();
    if height - high.y >= reach || low.y - height >= reach {
        return Known::Further;
    }
    let Some(outline) = flat.flat() else {
        return Known::Nothing;
    };
    let centre = outline.place(to_flat.point(p.origin + p.axis * height));
    // Where the flat face comes nearest to the axis, if that is near enough to matter.
    let rim = outline.nearest(centre, high.x + reach);
    let (radius, at) = match rim {
        None => return Known::Further,
        Some(at) if at.distance(centre) >= high.x => (at.distance(centre), at),
        Some(_) => {
            // A disc within a hollow.
            let at = outline.furthest(centre);
            let radius = at.distance(centre);
            if radius > low.x {
                return Known::Nothing;
            }
            (radius, at)
        }
    };
    let edge = DVec2::new(radius, height);
    let (x, y) = pieces(piece, [edge, edge]);
    let square = x.distance_squared(y);
    if square >= below {
        return Known::Further;
    }
    let rim = to_round.point(outline.point(at));
    let out = rim - p.origin;
    let dir = (out - p.axis * out.dot(p.axis)).normalize_or_zero();
    Known::Square(square, [p.origin + dir * x.x + p.axis * x.y, rim])
}
