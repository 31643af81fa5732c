//! Bodies written down by hand, so that tests of meshes and measures do not rest on the builders.

use crate::solid::{Body, Curve, Edge, Face, Surface};
use glam::{DVec2, DVec3};

/// One piece of a turned profile, from this point (x = radius, y = z) to the next; counter-clockwise round the material.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Piece {
    Line(DVec2),
    /// Counter-clockwise about a centre: bulges out of the material.
    Bulge(DVec2, DVec2),
    /// Clockwise about a centre: hollows the material out.
    Hollow(DVec2, DVec2),
}

impl Piece {
    fn start(self) -> DVec2 {
        match self {
            Piece::Line(p) | Piece::Bulge(p, _) | Piece::Hollow(p, _) => p,
        }
    }
}

#[derive(Default)]
struct Builder(Body);

impl Builder {
    fn vertex(&mut self, p: DVec3) -> u32 {
        self.0.vertices.push(p);
        self.0.vertices.len() as u32 - 1
    }

    fn edge(&mut self, from: u32, to: u32, curve: Curve) -> u32 {
        self.0.edges.push(Edge {
            ends: [from, to],
            curve,
        });
        self.0.edges.len() as u32 - 1
    }

    /// Two half circles counter-clockwise about +z; the vertices are at +x and -x.
    fn circle(&mut self, centre: DVec3, radius: f64) -> Ring {
        let ends = [DVec3::X, DVec3::NEG_X].map(|d| self.vertex(centre + d * radius));
        let curve = Curve::Arc {
            centre,
            axis: DVec3::Z,
            radius,
        };
        Ring {
            ends,
            halves: [
                self.edge(ends[0], ends[1], curve),
                self.edge(ends[1], ends[0], curve),
            ],
        }
    }

    fn face(&mut self, surface: Surface, sense: bool, loops: Vec<Vec<(u32, bool)>>) {
        self.0.faces.push(Face {
            surface,
            sense,
            loops,
        });
    }

    /// Both halves of the wall from ring `p` to ring `q`, with lines between; the material is to the left of p -> q in (r, z).
    fn wall(&mut self, p: Ring, q: Ring, surface: Surface, sense: bool) {
        let sides = [0, 1].map(|i| self.edge(p.ends[i], q.ends[i], Curve::Line));
        self.halves(p, q, sides, surface, sense);
    }

    fn halves(&mut self, p: Ring, q: Ring, sides: [u32; 2], surface: Surface, sense: bool) {
        for i in 0..2 {
            self.face(
                surface,
                sense,
                vec![vec![
                    (p.halves[i], true),
                    (sides[1 - i], true),
                    (q.halves[i], false),
                    (sides[i], false),
                ]],
            );
        }
    }
}

#[derive(Clone, Copy)]
struct Ring {
    ends: [u32; 2],
    halves: [u32; 2],
}

impl Ring {
    fn forwards(self) -> Vec<(u32, bool)> {
        vec![(self.halves[0], true), (self.halves[1], true)]
    }

    fn backwards(self) -> Vec<(u32, bool)> {
        vec![(self.halves[1], false), (self.halves[0], false)]
    }
}

#[derive(Clone, Copy)]
enum Node {
    Pole(u32),
    Ring(Ring),
}

/// A body turned about z. A piece whose both ends are on the axis makes no face.
pub(crate) fn turned(profile: &[Piece]) -> Body {
    let mut b = Builder::default();
    let nodes: Vec<Node> = profile
        .iter()
        .map(|piece| {
            let p = piece.start();
            let centre = DVec3::new(0.0, 0.0, p.y);
            if p.x == 0.0 {
                Node::Pole(b.vertex(centre))
            } else {
                Node::Ring(b.circle(centre, p.x))
            }
        })
        .collect();
    for (i, &piece) in profile.iter().enumerate() {
        let j = (i + 1) % profile.len();
        let (p, q) = (piece.start(), profile[j].start());
        let (surface, sense) = match piece {
            Piece::Line(_) if p.x == 0.0 && q.x == 0.0 => continue,
            Piece::Line(_) if p.y == q.y => {
                let loops = [(nodes[i], true), (nodes[j], false)]
                    .into_iter()
                    .filter_map(|(node, forwards)| match node {
                        Node::Ring(r) => Some(if forwards {
                            r.forwards()
                        } else {
                            r.backwards()
                        }),
                        Node::Pole(_) => None,
                    });
                // The outer loop first.
                let loops: Vec<_> = if p.x > q.x {
                    loops.collect()
                } else {
                    loops.rev().collect()
                };
                let normal = DVec3::Z * (p.x - q.x).signum();
                b.face(
                    Surface::Plane {
                        origin: DVec3::Z * p.y,
                        normal,
                    },
                    true,
                    loops,
                );
                continue;
            }
            Piece::Line(_) if p.x == q.x => (
                Surface::Cylinder {
                    origin: DVec3::ZERO,
                    axis: DVec3::Z,
                    radius: p.x,
                },
                q.y > p.y,
            ),
            Piece::Line(_) => {
                let slope = (q.x - p.x) / (q.y - p.y);
                (
                    Surface::Cone {
                        origin: DVec3::Z * p.y,
                        axis: DVec3::Z,
                        radius: p.x,
                        slope,
                    },
                    q.y > p.y,
                )
            }
            Piece::Bulge(_, c) | Piece::Hollow(_, c) => {
                let (centre, axis, r) = (DVec3::Z * c.y, DVec3::Z, c.distance(p));
                let surface = if c.x == 0.0 {
                    Surface::Sphere {
                        centre,
                        axis,
                        radius: r,
                    }
                } else {
                    Surface::Torus {
                        centre,
                        axis,
                        major: c.x,
                        minor: r,
                    }
                };
                (surface, matches!(piece, Piece::Bulge(..)))
            }
        };
        let meridian = |side: f64| match piece {
            Piece::Line(_) => Curve::Line,
            // From radius to z is clockwise about y at +x, counter-clockwise at -x.
            Piece::Bulge(_, c) | Piece::Hollow(_, c) => Curve::Arc {
                centre: DVec3::new(c.x * side, 0.0, c.y),
                axis: DVec3::Y
                    * (if matches!(piece, Piece::Bulge(..)) {
                        -side
                    } else {
                        side
                    }),
                radius: c.distance(p),
            },
        };
        let end = |node: Node, side: usize| match node {
            Node::Pole(v) => v,
            Node::Ring(r) => r.ends[side],
        };
        let sides = [(0, 1.0), (1, -1.0)]
            .map(|(s, x)| b.edge(end(nodes[i], s), end(nodes[j], s), meridian(x)));
        for h in 0..2 {
            let mut l = Vec::new();
            if let Node::Ring(r) = nodes[i] {
                l.push((r.halves[h], true));
            }
            l.push((sides[1 - h], true));
            if let Node::Ring(r) = nodes[j] {
                l.push((r.halves[h], false));
            }
            l.push((sides[h], false));
            b.face(surface, sense, vec![l]);
        }
    }
    b.0
}

fn lines(points: &[(f64, f64)]) -> Vec<Piece> {
    points
        .iter()
        .map(|&(r, z)| Piece::Line(DVec2::new(r, z)))
        .collect()
}

/// Turned from straight lines through (radius, z), counter-clockwise.
pub(crate) fn turned_lines(points: &[(f64, f64)]) -> Body {
    turned(&lines(points))
}

/// A cylinder from z = 0 to `height`.
pub(crate) fn cylinder(radius: f64, height: f64) -> Body {
    turned_lines(&[(0.0, 0.0), (radius, 0.0), (radius, height), (0.0, height)])
}

/// A washer from z = 0 to `height`.
pub(crate) fn washer(bore: f64, radius: f64, height: f64) -> Body {
    turned_lines(&[(bore, 0.0), (radius, 0.0), (radius, height), (bore, height)])
}

/// A cone with its tip at `height`.
pub(crate) fn cone(radius: f64, height: f64) -> Body {
    turned_lines(&[(0.0, 0.0), (radius, 0.0), (0.0, height)])
}

/// A ball about the origin.
pub(crate) fn ball(radius: f64) -> Body {
    turned(&[
        Piece::Bulge(DVec2::new(0.0, -radius), DVec2::ZERO),
        Piece::Line(DVec2::new(0.0, radius)),
    ])
}

/// A tube's bulb: flat foot, straight wall, domed top.
pub(crate) fn bulb(radius: f64, wall: f64) -> Body {
    turned(&[
        Piece::Line(DVec2::ZERO),
        Piece::Line(DVec2::new(radius, 0.0)),
        Piece::Bulge(DVec2::new(radius, wall), DVec2::new(0.0, wall)),
        Piece::Line(DVec2::new(0.0, wall + radius)),
    ])
}

/// A whole torus about the origin.
pub(crate) fn torus(major: f64, minor: f64) -> Body {
    let c = DVec2::new(major, 0.0);
    turned(&[
        Piece::Bulge(DVec2::new(major, -minor), c),
        Piece::Bulge(DVec2::new(major, minor), c),
    ])
}

/// A foot with a hollow (concave torus) between its flange and its neck.
pub(crate) fn hollowed() -> Body {
    turned(&[
        Piece::Line(DVec2::ZERO),
        Piece::Line(DVec2::new(20.0, 0.0)),
        Piece::Hollow(DVec2::new(20.0, 5.0), DVec2::new(20.0, 15.0)),
        Piece::Line(DVec2::new(10.0, 15.0)),
        Piece::Line(DVec2::new(10.0, 25.0)),
        Piece::Line(DVec2::new(0.0, 25.0)),
    ])
}

/// A box between two corners.
pub(crate) fn block(low: DVec3, high: DVec3) -> Body {
    plate(low, high, 0.0, &[])
}

/// A round hole of a [`plate`]: place, radius, and the radius and depth of its countersink from the top (0: none).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hole {
    pub at: DVec2,
    pub radius: f64,
    pub sink: DVec2,
}

/// A box between two corners, its upright edges rounded with `corner` (0: sharp), with holes through it.
pub(crate) fn plate(low: DVec3, high: DVec3, corner: f64, holes: &[Hole]) -> Body {
    let mut b = Builder::default();
    let r = corner;
    // Counter-clockwise: start of each side and end of each side, then the arc's centre.
    let (x0, y0, x1, y1) = (low.x, low.y, high.x, high.y);
    let nodes: Vec<(DVec2, Option<DVec2>)> = if r > 0.0 {
        let p = DVec2::new;
        vec![
            (p(x0 + r, y0), None),
            (p(x1 - r, y0), Some(p(x1 - r, y0 + r))),
            (p(x1, y0 + r), None),
            (p(x1, y1 - r), Some(p(x1 - r, y1 - r))),
            (p(x1 - r, y1), None),
            (p(x0 + r, y1), Some(p(x0 + r, y1 - r))),
            (p(x0, y1 - r), None),
            (p(x0, y0 + r), Some(p(x0 + r, y0 + r))),
        ]
    } else {
        [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
            .map(|(x, y)| (DVec2::new(x, y), None))
            .to_vec()
    };
    let n = nodes.len();
    let levels = [low.z, high.z];
    let corners = levels.map(|z| {
        nodes
            .iter()
            .map(|(p, _)| b.vertex(p.extend(z)))
            .collect::<Vec<_>>()
    });
    let rims = [0, 1].map(|k| {
        (0..n)
            .map(|i| {
                let curve = nodes[i].1.map_or(Curve::Line, |c| Curve::Arc {
                    centre: c.extend(levels[k]),
                    axis: DVec3::Z,
                    radius: r,
                });
                b.edge(corners[k][i], corners[k][(i + 1) % n], curve)
            })
            .collect::<Vec<_>>()
    });
    let posts: Vec<u32> = (0..n)
        .map(|i| b.edge(corners[0][i], corners[1][i], Curve::Line))
        .collect();
    let mut bottom = vec![
        (0..n)
            .rev()
            .map(|i| (rims[0][i], false))
            .collect::<Vec<_>>(),
    ];
    let mut top = vec![(0..n).map(|i| (rims[1][i], true)).collect::<Vec<_>>()];
    for i in 0..n {
        let j = (i + 1) % n;
        let l = vec![
            (rims[0][i], true),
            (posts[j], true),
            (rims[1][i], false),
            (posts[i], false),
        ];
        let (p, q) = (nodes[i].0, nodes[j].0);
        let surface = match nodes[i].1 {
            Some(c) => Surface::Cylinder {
                origin: c.extend(0.0),
                axis: DVec3::Z,
                radius: r,
            },
            None => {
                let d = (q - p).normalize();
                Surface::Plane {
                    origin: p.extend(0.0),
                    normal: DVec3::new(d.y, -d.x, 0.0),
                }
            }
        };
        b.face(surface, true, vec![l]);
    }
    for h in holes {
        let at = |z: f64| h.at.extend(z);
        let axis = DVec3::Z;
        let lowest = b.circle(at(low.z), h.radius);
        let bore = Surface::Cylinder {
            origin: at(0.0),
            axis,
            radius: h.radius,
        };
        let highest = if h.sink.y > 0.0 {
            let foot = high.z - h.sink.y;
            let middle = b.circle(at(foot), h.radius);
            let rim = b.circle(at(high.z), h.sink.x);
            let slope = (h.sink.x - h.radius) / h.sink.y;
            b.wall(middle, lowest, bore, false);
            b.wall(
                rim,
                middle,
                Surface::Cone {
                    origin: at(foot),
                    axis,
                    radius: h.radius,
                    slope,
                },
                false,
            );
            rim
        } else {
            let rim = b.circle(at(high.z), h.radius);
            b.wall(rim, lowest, bore, false);
            rim
        };
        bottom.push(lowest.forwards());
        top.push(highest.backwards());
    }
    b.face(
        Surface::Plane {
            origin: low,
            normal: DVec3::NEG_Z,
        },
        true,
        bottom,
    );
    b.face(
        Surface::Plane {
            origin: high,
            normal: DVec3::Z,
        },
        true,
        top,
    );
    b.0
}

/// The plate of the speed bar: 400 x 200 x 3 mm with 40 countersunk holes for M4.
pub(crate) fn bar_plate() -> Body {
    let holes: Vec<Hole> = (0..40)
        .map(|i| Hole {
            at: DVec2::new(
                20.0 + 40.0 * f64::from(i % 10),
                25.0 + 50.0 * f64::from(i / 10),
            ),
            radius: 2.2,
            sink: DVec2::new(4.3, 2.1),
        })
        .collect();
    plate(DVec3::ZERO, DVec3::new(400.0, 200.0, 3.0), 3.0, &holes)
}
