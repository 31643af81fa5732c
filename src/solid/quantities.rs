//! Volume, area, centre and box of a body, from its faces.

use super::{Body, Curve, Face, Surface};
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::f64::consts::PI;
use std::sync::LazyLock;

/// A unit direction whose part in a plane is shorter than this is square to the plane.
const SQUARE: f64 = 1e-9;

/// Points and weights of Gauss's rule on [0, 1]; exact for polynomials to degree 31, and for the sines and cosines
/// of a half turn that occur here to rounding.
static GAUSS: LazyLock<[(f64, f64); 16]> = LazyLock::new(|| {
    // Roots of the Legendre polynomial by Newton's method (Abramowitz and Stegun, Handbook of Mathematical Functions, 25.4.29).
    std::array::from_fn(|i| {
        let n = 16.0;
        let mut x = (PI * (i as f64 + 0.75) / (n + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..60 {
            let (mut p, mut before) = (1.0, 0.0);
            for k in 1..=16 {
                let k = f64::from(k);
                (p, before) = (((2.0 * k - 1.0) * x * p - (k - 1.0) * before) / k, p);
            }
            slope = n * (x * p - before) / (x * x - 1.0);
            x -= p / slope;
        }
        ((1.0 + x) / 2.0, 1.0 / ((1.0 - x * x) * slope * slope))
    })
});

/// What one face adds: its area, the flux of the position vector through it, and the flux of the position vector
/// weighted with position.
struct Share {
    area: f64,
    flux: f64,
    moment: DVec3,
}

impl Body {
    /// Volume, mm3, by the divergence theorem; to about 12 digits.
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.sums().1
    }

    /// Area of all faces, mm2.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.sums().0
    }

    /// Integral of position over the volume (volume times centre), mm4, in the part frame.
    #[must_use]
    pub fn first_moment(&self) -> DVec3 {
        let (_, volume, moment) = self.sums();
        moment + self.reference() * volume
    }

    /// Centre of volume, mm; a corner of the body when it has no volume.
    #[must_use]
    pub fn centroid(&self) -> DVec3 {
        let (_, volume, moment) = self.sums();
        if volume == 0.0 {
            self.reference()
        } else {
            self.reference() + moment / volume
        }
    }

    /// Point about which moments are taken: near the body, so that little cancels.
    fn reference(&self) -> DVec3 {
        let lo = self
            .vertices
            .iter()
            .copied()
            .reduce(DVec3::min)
            .unwrap_or(DVec3::ZERO);
        let hi = self
            .vertices
            .iter()
            .copied()
            .reduce(DVec3::max)
            .unwrap_or(DVec3::ZERO);
        (lo + hi) / 2.0
    }

    /// Area, volume, and first moment about the reference point.
    fn sums(&self) -> (f64, f64, DVec3) {
        let about = self.reference();
        let (mut area, mut volume, mut moment) = (0.0, 0.0, DVec3::ZERO);
        for f in &self.faces {
            let s = self.share(f, about);
            area += s.area;
            // div x = 3 and div (x_i x) = 4 x_i
            volume += s.flux / 3.0;
            moment += s.moment / 4.0;
        }
        (area, volume, moment)
    }

    fn share(&self, face: &Face, about: DVec3) -> Share {
        if let Some(f) = self.flat(face) {
            let (mut area, mut first) = (0.0, DVec2::ZERO);
            for l in &f.loops {
                let a = l.area();
                area += a;
                first += l.centroid() * a;
            }
            let o = f.frame.o - about;
            let height = o.dot(f.frame.w);
            let first = o * area + f.frame.u * first.x + f.frame.v * first.y;
            return Share {
                area,
                flux: height * area,
                moment: first * height,
            };
        }
        let mut s = Share {
            area: 0.0,
            flux: 0.0,
            moment: DVec3::ZERO,
        };
        let Some(p) = self.patch(face) else { return s };
        let o = p.origin - about;
        let turn = p.side.sweep();
        let length = p.side.length();
        let radials: [DVec3; 16] = std::array::from_fn(|i| p.radial(GAUSS[i].0 * p.sweep));
        for &(t, weight) in GAUSS.iter() {
            let q = p.side.point(t);
            // Direction of the profile piece here.
            let d = match p.side.arc {
                None => p.side.tangent_from(),
                Some(_) => DVec2::from_angle(turn * t).rotate(p.side.tangent_from()),
            };
            for (radial, &(_, w)) in radials.iter().zip(GAUSS.iter()) {
                let da = q.x * length * weight * p.sweep * w;
                let x = o + *radial * q.x + p.axis * q.y;
                let through = x.dot(*radial * d.y - p.axis * d.x) * da;
                s.area += da;
                s.flux += through;
                s.moment += x * through;
            }
        }
        s
    }

    /// Lowest and highest coordinates of the body placed by `pose`, exact (not from a mesh), mm. Both corners at the
    /// pose's origin for an empty body.
    #[must_use]
    pub fn bounds(&self, pose: &Pose) -> [DVec3; 2] {
        let (mut lo, mut hi) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
        let mut take = |p: DVec3| {
            let q = pose.point(p);
            lo = lo.min(q);
            hi = hi.max(q);
        };
        for v in &self.vertices {
            take(*v);
        }
        let directions = pose.rot.transpose();
        let directions = [directions.x_axis, directions.y_axis, directions.z_axis];
        for i in 0..self.edges.len() as u32 {
            self.arc_extremes(i, &directions, &mut take);
        }
        // Cylinders and cones are straight between their rings, so only balls and rings bulge beyond their edges.
        for f in self
            .faces
            .iter()
            .filter(|f| matches!(f.surface, Surface::Sphere { .. } | Surface::Torus { .. }))
        {
            self.bulge_extremes(f, &directions, &mut take);
        }
        if self.vertices.is_empty() {
            [pose.at; 2]
        } else {
            [lo, hi]
        }
    }

    pub(crate) fn arc_extremes(
        &self,
        edge: u32,
        directions: &[DVec3; 3],
        take: &mut impl FnMut(DVec3),
    ) {
        let Curve::Arc {
            centre,
            axis,
            radius,
        } = self.edges[edge as usize].curve
        else {
            return;
        };
        let x = self.vertices[self.edges[edge as usize].ends[0] as usize] - centre;
        let y = axis.cross(x);
        let sweep = self.edge_sweep(edge);
        for d in directions {
            let along = *d - axis * axis.dot(*d);
            // Square to the plane of the arc, all of it is equally far; what rounding leaves there is no direction.
            if along.length() < SQUARE {
                continue;
            }
            let out = along.normalize();
            for q in [out, -out] {
                let t = q.dot(y).atan2(q.dot(x)).rem_euclid(2.0 * PI);
                if t <= sweep {
                    take(centre + q * radius);
                }
            }
        }
    }

    pub(crate) fn bulge_extremes(
        &self,
        face: &Face,
        directions: &[DVec3; 3],
        take: &mut impl FnMut(DVec3),
    ) {
        let Some(p) = self.patch(face) else { return };
        let Some(arc) = p.side.arc else { return };
        let radius = p.side.radius();
        for d in directions {
            let flat = *d - p.axis * d.dot(p.axis);
            // Along the axis every half plane has its extreme at the same height: take the face's own first.
            let square = flat.length() < SQUARE;
            let radial = if square { p.start } else { flat.normalize() };
            for r in [radial, -radial] {
                if p.angle(p.origin + r) > p.sweep + 1e-12 && !square {
                    continue;
                }
                let n = DVec2::new(d.dot(r), d.dot(p.axis));
                for q in [n, -n] {
                    let at = arc.centre + q.normalize_or_zero() * radius;
                    if at.x >= 0.0 && p.side.faces(at) {
                        take(p.origin + r * at.x + p.axis * at.y);
                    }
                }
            }
        }
    }
}
