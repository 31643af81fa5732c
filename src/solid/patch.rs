//! Faces as what they are: flat outlines in a plane, or stretches of a profile turned through an angle.

use super::maker::Frame;
use super::{Body, Curve, Face, Surface};
use crate::outline::{Arc, Loop, Node, Seg};
use glam::{DVec2, DVec3};
use std::f64::consts::PI;

/// A turned face: the profile piece `side` (x = distance from the axis, y = height along `axis` above `origin`) turned
/// counter-clockwise about the axis from the half plane of `start` through `sweep` radians. The outside lies to the
/// right of the piece's direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// A point on the axis.
    pub origin: DVec3,
    /// Unit axis.
    pub axis: DVec3,
    /// Unit direction from the axis at which the face begins.
    pub start: DVec3,
    /// Angle it is turned through, at most pi.
    pub sweep: f64,
    /// The profile piece.
    pub side: Seg,
}

impl Patch {
    /// Unit direction away from the axis at `angle` radians after the start.
    #[must_use]
    pub fn radial(&self, angle: f64) -> DVec3 {
        let (s, c) = angle.sin_cos();
        self.start * c + self.axis.cross(self.start) * s
    }

    /// The point at `angle` radians after the start and a share `t` (0 to 1) of the profile piece.
    #[must_use]
    pub fn point(&self, angle: f64, t: f64) -> DVec3 {
        let p = self.side.point(t);
        self.origin + self.radial(angle) * p.x + self.axis * p.y
    }

    /// Unit outward normal there.
    #[must_use]
    pub fn normal(&self, angle: f64, t: f64) -> DVec3 {
        let d = match self.side.arc {
            None => self.side.tangent_from(),
            Some(_) => Seg {
                from: self.side.point(t),
                ..self.side
            }
            .tangent_from(),
        };
        self.radial(angle) * d.y - self.axis * d.x
    }

    /// Angle of `p` after the start, in [0, 2 pi).
    pub(crate) fn angle(&self, p: DVec3) -> f64 {
        let d = p - self.origin;
        let t = d.dot(self.axis.cross(self.start)).atan2(d.dot(self.start));
        if t < 0.0 { t + 2.0 * PI } else { t }
    }

    /// Distance from the axis and height of `p`.
    pub(crate) fn half_plane(&self, p: DVec3) -> DVec2 {
        let d = p - self.origin;
        let z = d.dot(self.axis);
        DVec2::new((d - self.axis * z).length(), z)
    }
}

/// A flat face in the axes of its plane.
pub(crate) struct Flat {
    /// `w` points outwards.
    pub(crate) frame: Frame,
    /// Outer loop counter-clockwise, openings clockwise.
    pub(crate) loops: Vec<Loop>,
}

impl Body {
    /// Start of an edge run in the given direction.
    #[must_use]
    pub fn start(&self, (edge, forward): (u32, bool)) -> u32 {
        self.edges[edge as usize].ends[usize::from(!forward)]
    }

    /// End of an edge run in the given direction.
    #[must_use]
    pub fn end(&self, (edge, forward): (u32, bool)) -> u32 {
        self.edges[edge as usize].ends[usize::from(forward)]
    }

    /// The angle an edge's arc turns through, in (0, 2 pi]; 0 for a line.
    #[must_use]
    pub fn edge_sweep(&self, edge: u32) -> f64 {
        let e = &self.edges[edge as usize];
        let Curve::Arc { centre, axis, .. } = e.curve else {
            return 0.0;
        };
        let [p, q] = e.ends.map(|v| self.vertices[v as usize] - centre);
        let t = axis.dot(p.cross(q)).atan2(p.dot(q));
        if t <= 0.0 { t + 2.0 * PI } else { t }
    }

    /// The point at a share `t` (0 to 1) of an edge.
    #[must_use]
    pub fn edge_point(&self, edge: u32, t: f64) -> DVec3 {
        let e = &self.edges[edge as usize];
        let [p, q] = e.ends.map(|v| self.vertices[v as usize]);
        match e.curve {
            Curve::Line => p.lerp(q, t),
            Curve::Arc { centre, axis, .. } => {
                let (s, c) = (self.edge_sweep(edge) * t).sin_cos();
                let d = p - centre;
                centre + d * c + axis.cross(d) * s
            }
        }
    }

    /// A flat face's loops in its plane; `None` for a turned face.
    pub(crate) fn flat(&self, face: &Face) -> Option<Flat> {
        let Surface::Plane { origin, normal } = face.surface else {
            return None;
        };
        let frame = Frame::about(origin, if face.sense { normal } else { -normal });
        let node = |&(e, forward): &(u32, bool)| {
            let at = frame.flat(self.vertices[self.start((e, forward)) as usize]);
            let arc = match self.edges[e as usize].curve {
                Curve::Line => None,
                Curve::Arc { centre, axis, .. } => Some(Arc {
                    centre: frame.flat(centre),
                    ccw: (axis.dot(frame.w) > 0.0) == forward,
                }),
            };
            Node { at, arc }
        };
        let loops = face
            .loops
            .iter()
            .map(|l| Loop {
                nodes: l.iter().map(node).collect(),
            })
            .collect();
        Some(Flat { frame, loops })
    }

    /// A turned face as its profile piece and turn; `None` for a flat face, or for a face that is not bounded by two
    /// meridians and one or two rings (none for a ball's half), which [`crate::solid::build`] never makes.
    #[must_use]
    pub fn patch(&self, face: &Face) -> Option<Patch> {
        let (origin, axis) = match face.surface {
            Surface::Plane { .. } => return None,
            Surface::Cylinder { origin, axis, .. } | Surface::Cone { origin, axis, .. } => {
                (origin, axis)
            }
            Surface::Sphere { centre, axis, .. } | Surface::Torus { centre, axis, .. } => {
                (centre, axis)
            }
        };
        let [ring] = face.loops.as_slice() else {
            return None;
        };
        let at = |v: u32| self.vertices[v as usize];
        // How each edge runs: about the axis counter-clockwise (1) or clockwise (-1), or along a meridian (0).
        let about =
            |h: (u32, bool)| match self.edges[h.0 as usize].curve {
                Curve::Arc {
                    centre, axis: a, ..
                } if a.cross(axis).length() < 1e-9
                    && (centre - origin).cross(axis).length() < 1e-7 =>
                {
                    if (a.dot(axis) > 0.0) == h.1 { 1 } else { -1 }
                }
                _ => 0,
            };
        let first = ring.iter().position(|&h| about(h) == 1);
        let second = ring.iter().position(|&h| about(h) == -1);
        let n = ring.len();
        let rings = usize::from(first.is_some()) + usize::from(second.is_some());
        if n != 2 + rings {
            return None;
        }
        // The meridian on which the outline runs along the profile piece: after the first ring, before the second.
        let rise = match (first, second) {
            (Some(i), _) => (i + 1) % n,
            (None, Some(i)) => (i + n - 1) % n,
            (None, None) => {
                let up = |h: (u32, bool)| (at(self.end(h)) - at(self.start(h))).dot(axis) > 0.0;
                ring.iter().position(|&h| up(h) == face.sense)?
            }
        };
        let h = ring[rise];
        let (from, to) = (at(self.start(h)), at(self.end(h)));
        let (begin, sweep) = match (first, second) {
            (Some(i), _) => (at(self.start(ring[i])), self.edge_sweep(ring[i].0)),
            (None, Some(i)) => (at(self.end(ring[i])), self.edge_sweep(ring[i].0)),
            // A ball's half: its other meridian lies opposite.
            (None, None) => (origin * 2.0 - self.edge_point(h.0, 0.5), PI),
        };
        let d = begin - origin;
        let start = (d - axis * d.dot(axis)).normalize();
        let mut p = Patch {
            origin,
            axis,
            start,
            sweep,
            side: Seg {
                from: DVec2::ZERO,
                to: DVec2::ZERO,
                arc: None,
            },
        };
        p.side.from = p.half_plane(from);
        p.side.to = p.half_plane(to);
        p.side.arc = match face.surface {
            Surface::Sphere { .. } => Some(Arc {
                centre: DVec2::ZERO,
                ccw: face.sense,
            }),
            Surface::Torus { major, .. } => Some(Arc {
                centre: DVec2::new(major, 0.0),
                ccw: face.sense,
            }),
            _ => None,
        };
        Some(p)
    }

    /// Points on every face with the outward normals there: (face, point, normal); about `n` by `n` on a turned face,
    /// corners included, and on a flat face the corners, the middles of its edges and inner points. For tests.
    #[must_use]
    pub fn samples(&self, n: usize) -> Vec<(usize, DVec3, DVec3)> {
        let mut out = vec![];
        let share = |i: usize| i as f64 / (n.max(2) - 1) as f64;
        for (i, face) in self.faces.iter().enumerate() {
            if let Some(p) = self.patch(face) {
                for a in 0..n.max(2) {
                    for t in 0..n.max(2) {
                        let angle = share(a) * p.sweep;
                        out.push((i, p.point(angle, share(t)), p.normal(angle, share(t))));
                    }
                }
            } else if let Some(f) = self.flat(face) {
                for h in face.loops.iter().flatten() {
                    out.extend([0.0, 0.5].map(|t| (i, self.edge_point(h.0, t), f.frame.w)));
                }
                let b = f.loops[0].bounds();
                for x in 0..n {
                    for y in 0..n {
                        let q = b[0]
                            + (b[1] - b[0]) * (DVec2::new(x as f64, y as f64) + 0.5) / n as f64;
                        let clear = f
                            .loops
                            .iter()
                            .map(|l| l.distance_to_point(q))
                            .fold(f64::INFINITY, f64::min);
                        if clear > 1e-6
                            && f.loops[0].contains(q)
                            && !f.loops[1..].iter().any(|l| l.contains(q))
                        {
                            out.push((i, f.frame.o + f.frame.u * q.x + f.frame.v * q.y, f.frame.w));
                        }
                    }
                }
            }
        }
        out
    }
}
