//! Puts vertices, edges and faces together, and turns profiles about an axis.

use super::{Body, Curve, Edge, Face, Surface};
use crate::outline::SAME_POINT;
use glam::{DVec2, DVec3};

/// Right-handed axes at a point: `u` and `v` square to the axis `w`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Frame {
    pub(crate) o: DVec3,
    pub(crate) u: DVec3,
    pub(crate) v: DVec3,
    pub(crate) w: DVec3,
}

impl Frame {
    /// The part frame.
    pub(crate) const PART: Frame = Frame {
        o: DVec3::ZERO,
        u: DVec3::X,
        v: DVec3::Y,
        w: DVec3::Z,
    };

    /// Axes about `w` (unit). `u`, at which circles are divided, is the part's x axis made square to `w`; where `w` is nearer
    /// than 60 degrees to x, the y axis. So mating circles in parallel frames are divided at the same points.
    pub(crate) fn about(o: DVec3, w: DVec3) -> Frame {
        let x = if w.x.abs() > 0.5 { DVec3::Y } else { DVec3::X };
        let u = (x - w * w.dot(x)).normalize();
        Frame {
            o,
            u,
            v: w.cross(u),
            w,
        }
    }

    /// In the plane of `u` and `v`.
    pub(crate) fn flat(&self, p: DVec3) -> DVec2 {
        let d = p - self.o;
        DVec2::new(d.dot(self.u), d.dot(self.v))
    }

    /// The half plane at +u (`side` 1) or -u (`side` -1): `r` away from the axis and `z` along it.
    pub(crate) fn at(&self, side: f64, r: f64, z: f64) -> DVec3 {
        self.o + self.u * (side * r) + self.w * z
    }
}

/// A corner of a profile to be turned, and the arc that leaves it (centre and whether it runs counter-clockwise
/// in the plane of radius to the right and height upwards).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Corner {
    pub(crate) r: f64,
    pub(crate) z: f64,
    pub(crate) arc: Option<(DVec2, bool)>,
}

/// The two half circles of a ring, from +u to -u and on to +u, counter-clockwise about the axis; `None` on the axis.
pub(crate) type Ring = Option<[u32; 2]>;

/// A body in the making.
#[derive(Default)]
pub(crate) struct Maker {
    pub(crate) body: Body,
}

impl Maker {
    pub(crate) fn vertex(&mut self, p: DVec3) -> u32 {
        // -0.0 would be written with its sign into files.
        self.body.vertices.push(p + DVec3::ZERO);
        self.body.vertices.len() as u32 - 1
    }

    pub(crate) fn edge(&mut self, from: u32, to: u32, curve: Curve) -> u32 {
        self.body.edges.push(Edge {
            ends: [from, to],
            curve,
        });
        self.body.edges.len() as u32 - 1
    }

    pub(crate) fn face(&mut self, surface: Surface, sense: bool, loops: Vec<Vec<(u32, bool)>>) {
        self.body.faces.push(Face {
            surface,
            sense,
            loops,
        });
    }

    /// Turns a profile about the frame's axis, material to the left of its direction; two half-turn faces for each
    /// side, one flat face for a side square to the axis. Unless `closed`, the rings of the first and last corner are
    /// left for the caller to close. Radii below [`SAME_POINT`] must be 0.
    pub(crate) fn turn(&mut self, f: &Frame, corners: &[Corner], closed: bool) -> Vec<Ring> {
        let n = corners.len();
        // A point on the axis between a flat side and another, or the axis itself, is the middle of a disc: no corner of any face.
        let curved = |i: usize, j: usize| {
            let (a, b) = (&corners[i], &corners[j]);
            let along_axis = a.r == 0.0 && b.r == 0.0;
            a.arc.is_some() || !(along_axis || a.z == b.z)
        };
        let used = |i: usize| {
            (closed || i + 1 < n) && curved(i, (i + 1) % n)
                || (closed || i > 0) && curved((i + n - 1) % n, i)
        };
        let verts: Vec<[u32; 2]> = corners
            .iter()
            .enumerate()
            .map(|(i, c)| {
                if c.r == 0.0 && !used(i) {
                    return [u32::MAX; 2];
                }
                let a = self.vertex(f.at(1.0, c.r, c.z));
                let b = if c.r == 0.0 {
                    a
                } else {
                    self.vertex(f.at(-1.0, c.r, c.z))
                };
                [a, b]
            })
            .collect();
        let rings: Vec<Ring> = corners
            .iter()
            .zip(&verts)
            .map(|(c, &[a, b])| {
                let curve = Curve::Arc {
                    centre: f.o + f.w * c.z,
                    axis: f.w,
                    radius: c.r,
                };
                (c.r > 0.0).then(|| [self.edge(a, b, curve), self.edge(b, a, curve)])
            })
            .collect();
        for i in 0..if closed { n } else { n - 1 } {
            let j = (i + 1) % n;
            let (a, b) = (&corners[i], &corners[j]);
            if a.r == 0.0 && b.r == 0.0 && a.arc.is_none() {
                continue;
            }
            if a.arc.is_none() && a.z == b.z {
                self.flat_side(f, (a, rings[i]), (b, rings[j]));
                continue;
            }
            let (surface, sense) = turned_surface(f, a, b);
            let meridian = [1.0, -1.0].map(|side| match a.arc {
                None => Curve::Line,
                Some((c, ccw)) => Curve::Arc {
                    centre: f.at(side, c.x, c.y),
                    axis: f.v * if ccw { -side } else { side },
                    radius: c.distance(DVec2::new(a.r, a.z)),
                },
            });
            let m = [0, 1].map(|k| self.edge(verts[i][k], verts[j][k], meridian[k]));
            for k in 0..2 {
                let mut w = Vec::with_capacity(4);
                w.extend(rings[i].map(|r| (r[k], true)));
                w.push((m[1 - k], true));
                w.extend(rings[j].map(|r| (r[k], false)));
                w.push((m[k], false));
                self.face(surface, sense, vec![w]);
            }
        }
        rings
    }

    fn flat_side(&mut self, f: &Frame, (a, ra): (&Corner, Ring), (b, rb): (&Corner, Ring)) {
        let normal = if b.r > a.r { -f.w } else { f.w };
        let mut loops = vec![];
        loops.extend(ra.map(|r| vec![(r[0], true), (r[1], true)]));
        loops.extend(rb.map(|r| vec![(r[1], false), (r[0], false)]));
        if b.r > a.r {
            loops.reverse();
        }
        self.face(
            Surface::Plane {
                origin: f.o + f.w * a.z,
                normal,
            },
            true,
            loops,
        );
    }
}

fn turned_surface(f: &Frame, a: &Corner, b: &Corner) -> (Surface, bool) {
    match a.arc {
        None if a.r == b.r => {
            let origin = f.o + f.w * a.z.min(b.z);
            (
                Surface::Cylinder {
                    origin,
                    axis: f.w,
                    radius: a.r,
                },
                b.z > a.z,
            )
        }
        None => {
            // Given at its wide end, where no writer has trouble with a radius of 0.
            let wide = if a.r > b.r { a } else { b };
            let slope = (b.r - a.r) / (b.z - a.z);
            (
                Surface::Cone {
                    origin: f.o + f.w * wide.z,
                    axis: f.w,
                    radius: wide.r,
                    slope,
                },
                b.z > a.z,
            )
        }
        Some((c, ccw)) => {
            let minor = c.distance(DVec2::new(a.r, a.z));
            let centre = f.o + f.w * c.y;
            if c.x.abs() <= SAME_POINT {
                (
                    Surface::Sphere {
                        centre,
                        axis: f.w,
                        radius: minor,
                    },
                    ccw,
                )
            } else {
                (
                    Surface::Torus {
                        centre,
                        axis: f.w,
                        major: c.x,
                        minor,
                    },
                    ccw,
                )
            }
        }
    }
}
