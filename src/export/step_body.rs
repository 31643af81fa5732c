//! One solid's geometry and topology as STEP entities.

use super::part21::{Arg, Part21, boolean};
use crate::solid::{Body, Curve, Edge, Face, Surface};
use glam::DVec3;
use std::collections::BTreeMap;

/// A vertex this close to a turned surface's axis, as a share of its distance along it, has no direction from it.
const ON_AXIS: f64 = 1e-9;

/// Writes `body` and returns the number of its MANIFOLD_SOLID_BREP, named `name`.
pub(super) fn put_body(file: &mut Part21, body: &Body, name: &str) -> u32 {
    let mut w = Writer {
        file,
        body,
        points: BTreeMap::new(),
        directions: BTreeMap::new(),
        vectors: BTreeMap::new(),
        curves: BTreeMap::new(),
        surfaces: BTreeMap::new(),
    };
    let points: Vec<u32> = body.vertices.iter().map(|p| w.point(*p)).collect();
    let vertices: Vec<u32> = points
        .iter()
        .map(|p| w.file.put("VERTEX_POINT", &[Arg::Text(""), Arg::Id(*p)]))
        .collect();
    let edges: Vec<u32> = body.edges.iter().map(|e| w.edge(e, &vertices)).collect();
    let faces: Vec<u32> = body.faces.iter().map(|f| w.face(f, &edges)).collect();
    let shell = file.put("CLOSED_SHELL", &[Arg::Text(""), Arg::Ids(&faces)]);
    file.put("MANIFOLD_SOLID_BREP", &[Arg::Text(name), Arg::Id(shell)])
}

/// The bits of numbers, as a key. Both zeros are one number in the file, so they are one key.
type Key = [u64; 3];

fn key(v: DVec3) -> Key {
    v.to_array().map(|x| (x + 0.0).to_bits())
}

/// Points, directions, curves and surfaces are shared within a body: half the file otherwise says the same again.
struct Writer<'a> {
    file: &'a mut Part21,
    body: &'a Body,
    points: BTreeMap<Key, u32>,
    directions: BTreeMap<Key, u32>,
    vectors: BTreeMap<u32, u32>,
    /// By centre, axis, radius.
    curves: BTreeMap<(Key, Key, u64), u32>,
    /// By kind, origin, axis and two numbers.
    surfaces: BTreeMap<(u8, Key, Key, [u64; 2]), u32>,
}

impl Writer<'_> {
    fn point(&mut self, p: DVec3) -> u32 {
        let file = &mut *self.file;
        *self.points.entry(key(p)).or_insert_with(|| {
            file.put(
                "CARTESIAN_POINT",
                &[Arg::Text(""), Arg::Triple(p.to_array())],
            )
        })
    }

    fn direction(&mut self, d: DVec3) -> u32 {
        let file = &mut *self.file;
        *self
            .directions
            .entry(key(d))
            .or_insert_with(|| file.put("DIRECTION", &[Arg::Text(""), Arg::Triple(d.to_array())]))
    }

    fn axes(&mut self, at: DVec3, z: DVec3, x: DVec3) -> u32 {
        let (at, z, x) = (self.point(at), self.direction(z), self.direction(x));
        self.file.put(
            "AXIS2_PLACEMENT_3D",
            &[Arg::Text(""), Arg::Id(at), Arg::Id(z), Arg::Id(x)],
        )
    }

    fn at(&self, vertex: u32) -> DVec3 {
        self.body.vertices[vertex as usize]
    }

    fn edge(&mut self, edge: &Edge, vertices: &[u32]) -> u32 {
        let [a, b] = edge.ends;
        let (from, to) = (self.at(a), self.at(b));
        let curve = match edge.curve {
            Curve::Line => {
                let d = self.direction((to - from).normalize_or(DVec3::X));
                let file = &mut *self.file;
                let v = *self.vectors.entry(d).or_insert_with(|| {
                    file.put("VECTOR", &[Arg::Text(""), Arg::Id(d), Arg::Real(1.0)])
                });
                let p = self.point(from);
                self.file
                    .put("LINE", &[Arg::Text(""), Arg::Id(p), Arg::Id(v)])
            }
            // From start to end counter-clockwise about the axis, which is what `same_sense` true says of a circle. Two half
            // circles share one: its parameter starts where the first of them does.
            Curve::Arc {
                centre,
                axis,
                radius,
            } => {
                let k = (key(centre), key(axis), radius.to_bits());
                if let Some(&known) = self.curves.get(&k) {
                    known
                } else {
                    let axes = self.axes(centre, axis, across(axis, from - centre));
                    let circle = self
                        .file
                        .put("CIRCLE", &[Arg::Text(""), Arg::Id(axes), Arg::Real(radius)]);
                    self.curves.insert(k, circle);
                    circle
                }
            }
        };
        self.file.put(
            "EDGE_CURVE",
            &[
                Arg::Text(""),
                Arg::Id(vertices[a as usize]),
                Arg::Id(vertices[b as usize]),
                Arg::Id(curve),
                boolean(true),
            ],
        )
    }

    fn face(&mut self, face: &Face, edges: &[u32]) -> u32 {
        let bounds: Vec<u32> = face
            .loops
            .iter()
            .enumerate()
            .map(|(i, around)| {
                let oriented: Vec<u32> = around
                    .iter()
                    .map(|&(e, forwards)| {
                        self.file.put(
                            "ORIENTED_EDGE",
                            &[
                                Arg::Text(""),
                                Arg::Derived,
                                Arg::Derived,
                                Arg::Id(edges[e as usize]),
                                boolean(forwards),
                            ],
                        )
                    })
                    .collect();
                let closed = self
                    .file
                    .put("EDGE_LOOP", &[Arg::Text(""), Arg::Ids(&oriented)]);
                let bound = if i == 0 {
                    "FACE_OUTER_BOUND"
                } else {
                    "FACE_BOUND"
                };
                self.file
                    .put(bound, &[Arg::Text(""), Arg::Id(closed), boolean(true)])
            })
            .collect();
        let surface = self.surface(face);
        self.file.put(
            "ADVANCED_FACE",
            &[
                Arg::Text(""),
                Arg::Ids(&bounds),
                Arg::Id(surface),
                boolean(face.sense),
            ],
        )
    }

    fn surface(&mut self, face: &Face) -> u32 {
        let none = 0.0;
        let (kind, keyword, origin, axis, numbers) = match face.surface {
            Surface::Plane { origin, normal } => (0, "PLANE", origin, normal, [none, none]),
            Surface::Cylinder {
                origin,
                axis,
                radius,
            } => (1, "CYLINDRICAL_SURFACE", origin, axis, [radius, none]),
            Surface::Cone {
                origin,
                axis,
                radius,
                slope,
            } => {
                // The standard's half angle lies between 0 and a quarter turn: a cone that narrows is one that widens the
                // other way.
                let axis = if slope < 0.0 { -axis } else { axis };
                let angle = slope.abs().atan();
                (2, "CONICAL_SURFACE", origin, axis, [radius, angle])
            }
            Surface::Sphere {
                centre,
                axis,
                radius,
            } => (3, "SPHERICAL_SURFACE", centre, axis, [radius, none]),
            Surface::Torus {
                centre,
                axis,
                major,
                minor,
            } => (4, "TOROIDAL_SURFACE", centre, axis, [major, minor]),
        };
        let k = (kind, key(origin), key(axis), numbers.map(f64::to_bits));
        if let Some(&known) = self.surfaces.get(&k) {
            return known;
        }
        let seam = if kind == 0 {
            across(axis, DVec3::ZERO)
        } else {
            self.seam(face, origin, axis)
        };
        let axes = self.axes(origin, axis, seam);
        let [a, b] = numbers.map(Arg::Real);
        let args = [Arg::Text(""), Arg::Id(axes), a, b];
        let used = match kind {
            0 => 2,
            1 | 3 => 3,
            _ => 4,
        };
        let surface = self.file.put(keyword, &args[..used]);
        self.surfaces.insert(k, surface);
        surface
    }

    /// Where a turned surface's angle starts: at a corner of the face, so that no face runs over the place where the angle jumps
    /// from a full turn to zero. A face without a corner off the axis (half a ball) has the middle of an arc a quarter turn away
    /// from its own middle.
    fn seam(&self, face: &Face, origin: DVec3, axis: DVec3) -> DVec3 {
        let off_axis = |p: DVec3| {
            let d = p - origin;
            let x = d.reject_from_normalized(axis);
            (x.length() > ON_AXIS * (1.0 + d.length())).then(|| across(axis, x))
        };
        let edges = || {
            face.loops
                .iter()
                .flatten()
                .map(|&(e, _)| &self.body.edges[e as usize])
        };
        edges()
            .flat_map(|e| e.ends)
            .find_map(|v| off_axis(self.at(v)))
            .or_else(|| edges().find_map(|e| off_axis(self.middle(e))))
            .unwrap_or_else(|| across(axis, DVec3::ZERO))
    }

    /// The middle of an edge.
    fn middle(&self, edge: &Edge) -> DVec3 {
        let [from, to] = edge.ends.map(|v| self.at(v));
        match edge.curve {
            Curve::Line => (from + to) / 2.0,
            Curve::Arc { centre, axis, .. } => {
                let (a, b) = (from - centre, to - centre);
                let turn = axis
                    .dot(a.cross(b))
                    .atan2(a.dot(b))
                    .rem_euclid(std::f64::consts::TAU);
                let (sin, cos) = (turn / 2.0).sin_cos();
                centre + a * cos + axis.cross(a) * sin
            }
        }
    }
}

/// The unit vector square to `axis` that is nearest to `wanted`, or any that is square to it if `wanted` runs along it.
fn across(axis: DVec3, wanted: DVec3) -> DVec3 {
    wanted
        .reject_from_normalized(axis)
        .try_normalize()
        .unwrap_or_else(|| {
            // The coordinate axis that is least along it keeps whole numbers whole.
            let other = if axis.x.abs() < 0.9 {
                DVec3::X
            } else {
                DVec3::Y
            };
            other.reject_from_normalized(axis).normalize()
        })
}
