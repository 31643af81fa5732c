//! Dividing the edges.
//!
//! # Where the points stand
//! Ends of arcs stay exact, because straight edges and other arcs start there. What lies between is chosen so that the ends do
//! no harm, for a piece of `w` radians divided into `k` steps of `d = w / k`:
//! - equal area: points at every step, at `r * s`, with `s` such that the polygon's sector has the area of the circle's:
//!   `(k - 2) s^2 + 2 s = w / sin d`. (For a whole circle without fixed points this is `s^2 = d / sin d`.)
//! - outward, convex: the tangent polygon. It touches the circle at both ends and at every step, so its corners are at the half
//!   steps, at `r / cos(d / 2)`. The ends lie inside the tangent lines of the neighbouring pieces where those go on smoothly.
//! - outward, concave: points on the circle at every step.
//!
//! # Rings and meridians
//! Arcs about the axis of a turned face are its *rings*, other arcs of spheres and tori its *meridians*. The rings of one face
//! must be divided at the same angles, so all rings connected through faces form a family, whose pieces are cut wherever one
//! of its arcs starts or ends.

use super::Division;
use crate::solid::{Body, Curve, Face, Surface};
use glam::DVec3;
use std::f64::consts::{PI, TAU};

/// Angles closer than this (radians) are the same corner.
const SAME_ANGLE: f64 = 1e-9;

/// Lengths (mm) below which a point is on an axis or two axes are one.
pub(super) const SAME_PLACE: f64 = 1e-7;

/// No step is longer than a sixth of a turn, so that even the smallest bore is recognisably round.
const LONGEST_STEP: f64 = PI / 3.0;

/// The body's points and the chain of points of each edge.
pub(super) struct Divided {
    /// The body's vertices, then the inner points of its edges.
    pub points: Vec<DVec3>,
    /// From the first to the second end, both included.
    chains: Vec<Vec<u32>>,
    /// Directions of the points of each ring, empty for other edges.
    spokes: Vec<Vec<Spoke>>,
    rule: Rule,
}

/// The direction from the axis to one column of a turned face.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spoke {
    /// Unit vector square to the axis.
    pub dir: DVec3,
    /// Factor of the radius where the surface is convex around the axis.
    pub convex: f64,
    /// Factor of the radius where it is concave.
    pub concave: f64,
}

/// How one piece of an arc is divided.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Scheme {
    EqualArea,
    Tangent,
    OnCircle,
}

/// A [`Division`] with the share that one of two curved directions may take.
#[derive(Clone, Copy, Debug)]
struct Rule {
    division: Division,
}

impl Rule {
    /// Longest step (radians) on a circle of radius `r`; `doubly`: the surface is curved the other way too.
    fn step(&self, r: f64, convex: bool, doubly: bool) -> f64 {
        let (allowed, outside) = match self.division {
            Division::EqualArea { chord } => (chord, false),
            // Both directions add up, and equal shares need the fewest triangles.
            Division::Outward { deviation } => {
                (if doubly { deviation / 2.0 } else { deviation }, convex)
            }
        };
        let cos = if outside {
            r / (r + allowed)
        } else {
            1.0 - allowed / r
        };
        // Also catches a radius of zero and a deviation that is no number.
        if cos > 0.5 {
            (2.0 * cos.min(1.0).acos()).min(LONGEST_STEP)
        } else {
            LONGEST_STEP
        }
    }

    fn scheme(&self, convex: bool) -> Scheme {
        match self.division {
            Division::EqualArea { .. } => Scheme::EqualArea,
            Division::Outward { .. } if convex => Scheme::Tangent,
            Division::Outward { .. } => Scheme::OnCircle,
        }
    }
}

/// Inner points of a piece of `width` radians: (angle from its start, factor where convex, factor where concave).
fn inner(width: f64, longest: f64, scheme: Scheme) -> Vec<(f64, f64, f64)> {
    /// A guard against absurd ratios of radius and deviation; a million points on one arc help nobody.
    const MOST_STEPS: f64 = 100_000.0;
    let steps = (width / longest - 1e-9).ceil().clamp(1.0, MOST_STEPS);
    let step = width / steps;
    let count = steps as u32;
    match scheme {
        Scheme::OnCircle => (1..count)
            .map(|i| (f64::from(i) * step, 1.0, 1.0))
            .collect(),
        Scheme::Tangent => {
            let out = 1.0 / (step / 2.0).cos();
            (0..count)
                .map(|i| ((f64::from(i) + 0.5) * step, out, 1.0))
                .collect()
        }
        Scheme::EqualArea => {
            let want = width / step.sin();
            let s = if count == 2 {
                want / 2.0
            } else {
                ((1.0 + (steps - 2.0) * want).sqrt() - 1.0) / (steps - 2.0)
            };
            (1..count).map(|i| (f64::from(i) * step, s, s)).collect()
        }
    }
}

/// What a family of arcs must satisfy together.
#[derive(Clone, Copy)]
struct Demand {
    /// Largest radius that is divided at the family's angles, mm.
    radius: f64,
    /// Whether any face at it is convex in this direction.
    convex: bool,
    /// Whether any face at it is curved the other way too.
    doubly: bool,
}

/// What the faces at one arc say about it.
#[derive(Clone, Copy, Default, PartialEq)]
enum Role {
    /// Not on a turned face.
    #[default]
    None,
    Ring,
    Meridian,
}

/// Origin and unit axis of a turned surface.
pub(super) fn axis_of(surface: &Surface) -> Option<(DVec3, DVec3)> {
    match *surface {
        Surface::Plane { .. } => None,
        Surface::Cylinder { origin, axis, .. } | Surface::Cone { origin, axis, .. } => {
            Some((origin, axis))
        }
        Surface::Sphere { centre, axis, .. } | Surface::Torus { centre, axis, .. } => {
            Some((centre, axis))
        }
    }
}

/// Distance of `p` from the axis and its place along it, mm.
pub(super) fn profile(p: DVec3, origin: DVec3, axis: DVec3) -> (f64, f64) {
    let d = p - origin;
    let along = d.dot(axis);
    ((d - axis * along).length(), along)
}

/// Whether an edge is an arc about the axis.
pub(super) fn is_ring(curve: &Curve, origin: DVec3, axis: DVec3) -> bool {
    match curve {
        Curve::Line => false,
        Curve::Arc {
            centre, axis: own, ..
        } => own.cross(axis).length() < SAME_PLACE && profile(*centre, origin, axis).0 < SAME_PLACE,
    }
}

/// Whether a turned surface with this sense is convex around its axis at radius `r`; none where it is level.
pub(super) fn convex_at(surface: &Surface, sense: bool, r: f64) -> Option<bool> {
    match *surface {
        Surface::Plane { .. } => None,
        Surface::Torus { major, .. } if (r - major).abs() < SAME_PLACE => None,
        Surface::Torus { major, .. } => Some((r > major) == sense),
        _ => Some(sense),
    }
}

/// Least and greatest radius on a turned face, mm.
fn radii(body: &Body, face: &Face, origin: DVec3, axis: DVec3) -> (f64, f64) {
    let mut low = f64::INFINITY;
    let mut high: f64 = 0.0;
    for &(e, _) in face.loops.iter().flatten() {
        let edge = &body.edges[e as usize];
        for v in edge.ends {
            let r = profile(body.vertices[v as usize], origin, axis).0;
            (low, high) = (low.min(r), high.max(r));
        }
        // A meridian bulges beyond its ends where it passes the level of its centre.
        if let Curve::Arc { centre, radius, .. } = edge.curve {
            if is_ring(&edge.curve, origin, axis) {
                continue;
            }
            let [z0, z1] = edge
                .ends
                .map(|v| (body.vertices[v as usize] - centre).dot(axis));
            if z0 * z1 < 0.0 {
                let (at, _) = profile(centre, origin, axis);
                let ends = edge
                    .ends
                    .map(|v| profile(body.vertices[v as usize], origin, axis).0);
                let outer = ends[0].max(ends[1]) >= at;
                if outer {
                    high = high.max(at + radius);
                } else {
                    low = low.min((at - radius).abs());
                }
            }
        }
    }
    (low, high)
}

/// Disjoint sets of edges.
struct Families(Vec<u32>);

impl Families {
    fn root(&mut self, i: u32) -> u32 {
        let mut at = i;
        while self.0[at as usize] != at {
            let up = self.0[self.0[at as usize] as usize];
            self.0[at as usize] = up;
            at = up;
        }
        at
    }

    fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a.max(b) as usize] = a.min(b);
    }
}

impl Divided {
    pub(super) fn new(body: &Body, division: Division) -> Divided {
        let rule = Rule { division };
        let count = body.edges.len();
        let mut families = Families((0..count as u32).collect());
        let mut roles = vec![Role::None; count];
        let mut demands: Vec<Option<Demand>> = vec![None; count];
        // Convex if any face at a ring says so; a ring between level faces may stand anywhere.
        let mut ring_convex = vec![false; count];

        for face in &body.faces {
            let Some((origin, axis)) = axis_of(&face.surface) else {
                continue;
            };
            let doubly = matches!(face.surface, Surface::Sphere { .. } | Surface::Torus { .. });
            let (low, high) = if doubly {
                radii(body, face, origin, axis)
            } else {
                (0.0, 0.0)
            };
            let mut first = [None; 2];
            for &(e, _) in face.loops.iter().flatten() {
                let Curve::Arc { radius, .. } = body.edges[e as usize].curve else {
                    continue;
                };
                let ring = is_ring(&body.edges[e as usize].curve, origin, axis);
                let demand = if ring {
                    ring_convex[e as usize] |=
                        convex_at(&face.surface, face.sense, radius).unwrap_or(false);
                    let convex = match face.surface {
                        Surface::Torus { major, .. } if face.sense => high > major + SAME_PLACE,
                        Surface::Torus { major, .. } => low < major - SAME_PLACE,
                        _ => face.sense,
                    };
                    Demand {
                        radius: radius.max(high),
                        convex,
                        doubly,
                    }
                } else {
                    Demand {
                        radius,
                        convex: face.sense,
                        doubly,
                    }
                };
                roles[e as usize] = if ring { Role::Ring } else { Role::Meridian };
                let slot = &mut demands[e as usize];
                *slot = Some(slot.map_or(demand, |d| d.with(demand)));
                let start = *first[usize::from(ring)].get_or_insert(e);
                families.join(start, e);
            }
        }
        // The root of each family gets what all its members need.
        for e in 0..count as u32 {
            let root = families.root(e);
            if root != e
                && let (Some(own), Some(all)) = (demands[e as usize], demands[root as usize])
            {
                demands[root as usize] = Some(all.with(own));
            }
        }
        let cuts = ring_cuts(body, &roles, &mut families);

        let mut out = Divided {
            points: body.vertices.clone(),
            chains: Vec::with_capacity(count),
            spokes: vec![Vec::new(); count],
            rule,
        };
        for (e, edge) in body.edges.iter().enumerate() {
            let root = families.root(e as u32) as usize;
            let mut chain = vec![edge.ends[0]];
            if let Curve::Arc {
                centre,
                axis,
                radius,
            } = edge.curve
            {
                let demand = demands[root].unwrap_or(Demand {
                    radius,
                    convex: true,
                    doubly: false,
                });
                let longest = rule.step(demand.radius, demand.convex, demand.doubly);
                let scheme = rule.scheme(demand.convex);
                let [start, end] = edge.ends.map(|v| body.vertices[v as usize]);
                let arc = Around::new(centre, axis, start);
                let whole = arc.angle(end);
                let convex = if roles[e] == Role::Ring {
                    ring_convex[e]
                } else {
                    demand.convex
                };
                let spokes = match &cuts[root] {
                    Some(family) if roles[e] == Role::Ring => {
                        family.spokes(&arc, whole, longest, scheme)
                    }
                    _ => piece(&arc, 0.0, whole, longest, scheme),
                };
                for s in &spokes {
                    chain.push(out.points.len() as u32);
                    out.points.push(
                        centre + s.dir * (radius * if convex { s.convex } else { s.concave }),
                    );
                }
                if roles[e] == Role::Ring {
                    let exact = |dir| Spoke {
                        dir,
                        convex: 1.0,
                        concave: 1.0,
                    };
                    let mut all = Vec::with_capacity(spokes.len() + 2);
                    all.push(exact(arc.dir(0.0)));
                    all.extend(spokes);
                    all.push(exact(arc.dir(whole)));
                    out.spokes[e] = all;
                }
            }
            chain.push(edge.ends[1]);
            out.chains.push(chain);
        }
        out
    }

    /// Points of an edge in the direction in which a loop uses it, without the last.
    pub(super) fn run(&self, (edge, forwards): (u32, bool)) -> impl Iterator<Item = u32> + '_ {
        let chain = &self.chains[edge as usize];
        let n = chain.len() - 1;
        (0..n).map(move |i| if forwards { chain[i] } else { chain[n - i] })
    }

    /// Points of a whole loop.
    pub(super) fn loop_points(&self, edges: &[(u32, bool)]) -> Vec<u32> {
        edges.iter().flat_map(|&e| self.run(e)).collect()
    }

    /// Spokes of a ring in the direction in which a loop uses it, without the last.
    pub(super) fn ring(&self, (edge, forwards): (u32, bool)) -> impl Iterator<Item = Spoke> + '_ {
        let spokes = &self.spokes[edge as usize];
        let n = spokes.len().saturating_sub(1);
        (0..n).map(move |i| if forwards { spokes[i] } else { spokes[n - i] })
    }

    /// Spokes strictly between two directions for a doubly curved face that has no ring to say where its columns stand.
    pub(super) fn own_spokes(
        &self,
        from: DVec3,
        to: DVec3,
        about: DVec3,
        radius: f64,
        convex: bool,
    ) -> Vec<Spoke> {
        let arc = Around {
            centre: DVec3::ZERO,
            u: from,
            v: about.cross(from),
        };
        piece(
            &arc,
            0.0,
            arc.angle(to),
            self.rule.step(radius, convex, true),
            self.rule.scheme(convex),
        )
    }
}

impl Demand {
    fn with(self, other: Demand) -> Demand {
        Demand {
            radius: self.radius.max(other.radius),
            convex: self.convex || other.convex,
            doubly: self.doubly || other.doubly,
        }
    }
}

/// A frame of angles about an axis.
struct Around {
    centre: DVec3,
    u: DVec3,
    v: DVec3,
}

impl Around {
    fn new(centre: DVec3, axis: DVec3, start: DVec3) -> Around {
        let d = start - centre;
        let u = (d - axis * d.dot(axis)).normalize_or_zero();
        Around {
            centre,
            u,
            v: axis.cross(u),
        }
    }

    fn dir(&self, angle: f64) -> DVec3 {
        let (sin, cos) = angle.sin_cos();
        self.u * cos + self.v * sin
    }

    /// Angle of a point, in (0, 2 pi]: an arc that ends where it starts is a whole turn.
    fn angle(&self, p: DVec3) -> f64 {
        let d = p - self.centre;
        let a = d.dot(self.v).atan2(d.dot(self.u)).rem_euclid(TAU);
        if a < SAME_ANGLE { TAU } else { a }
    }
}

/// Spokes strictly inside a piece of an arc.
fn piece(arc: &Around, from: f64, to: f64, longest: f64, scheme: Scheme) -> Vec<Spoke> {
    inner(to - from, longest, scheme)
        .into_iter()
        .map(|(a, convex, concave)| Spoke {
            dir: arc.dir(from + a),
            convex,
            concave,
        })
        .collect()
}

/// Where the rings of a family are cut: angles in [0, 2 pi) about its own frame, rising.
struct Cuts {
    frame: Around,
    angles: Vec<f64>,
}

fn ring_cuts(body: &Body, roles: &[Role], families: &mut Families) -> Vec<Option<Cuts>> {
    let mut cuts: Vec<Option<Cuts>> = (0..body.edges.len()).map(|_| None).collect();
    for (e, edge) in body.edges.iter().enumerate() {
        let Curve::Arc { centre, axis, .. } = edge.curve else {
            continue;
        };
        if roles[e] != Role::Ring {
            continue;
        }
        let [start, end] = edge.ends.map(|v| body.vertices[v as usize]);
        let root = families.root(e as u32) as usize;
        let family = cuts[root].get_or_insert_with(|| Cuts {
            frame: Around::new(centre, axis, start),
            angles: Vec::with_capacity(4),
        });
        for p in [start, end] {
            let a = family.frame.angle(p);
            family
                .angles
                .push(if a >= TAU - SAME_ANGLE { 0.0 } else { a });
        }
    }
    for family in cuts.iter_mut().flatten() {
        family.angles.sort_by(f64::total_cmp);
        family.angles.dedup_by(|a, b| *a - *b < SAME_ANGLE);
    }
    cuts
}

impl Cuts {
    /// Spokes strictly inside an arc that runs `whole` radians from the start of `arc`, cut at the family's angles.
    fn spokes(&self, arc: &Around, whole: f64, longest: f64, scheme: Scheme) -> Vec<Spoke> {
        // Angles from the arc's own start, in the arc's own direction.
        let mut stops: Vec<f64> = self
            .angles
            .iter()
            .map(|&a| arc.angle(arc.centre + self.frame.dir(a)))
            .filter(|&a| a > SAME_ANGLE && a < whole - SAME_ANGLE)
            .collect();
        stops.sort_by(f64::total_cmp);
        stops.push(whole);
        let mut out = Vec::new();
        let mut from = 0.0;
        for (i, &to) in stops.iter().enumerate() {
            out.extend(piece(arc, from, to, longest, scheme));
            if i + 1 < stops.len() {
                out.push(Spoke {
                    dir: arc.dir(to),
                    convex: 1.0,
                    concave: 1.0,
                });
            }
            from = to;
        }
        out
    }
}
