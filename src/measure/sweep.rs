//! A body carried along a straight line: how near it comes to another over the whole way.
//!
//! # Why nothing is sampled
//! The room that a closed mesh fills on its way is bounded by its triangles that look back, where it starts; by those that look ahead,
//! where it ends; and by the strips that its outline edges draw, those between a triangle that looks back and one that looks ahead. All
//! of these lie in that room, so a body outside it is exactly as far from them as from the room itself. A body that meets none of them is
//! wholly outside the room or wholly inside; one of its points tells which. Distances therefore hold within the same bounds as those of
//! parts at rest: never above the true one, at most twice [`super::CHECK_DEVIATION`] below it.

use super::tree::Tree;
use super::{NO_DISTANCE, Prepared};
use crate::mesh::{FacedMesh, Mesh};
use crate::pose::Pose;
use glam::DVec3;
use std::sync::Arc;

/// How closely the place of a first contact is found, mm.
const PLACE: f64 = 0.001;

/// Most times that a body is carried on by its distance.
const STEPS: u32 = 32;

/// A placed body with the way it is carried.
#[derive(Debug)]
pub struct Swept<'p, 'b> {
    body: &'p Prepared<'b>,
    start: Pose,
    way: DVec3,
    surface: Arc<Tree>,
    bounds: [DVec3; 2],
}

/// How two parts pass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passing {
    /// Least distance over the whole way, mm; 0 when they touch or cross on it.
    pub clearance: f64,
    /// How far along the way, mm from its start, they are that near; one such place where there are several.
    pub along: f64,
    /// On the carried body where it then is, and on the other, in the amp frame.
    pub at: [DVec3; 2],
}

impl<'p, 'b> Swept<'p, 'b> {
    /// Carries `body` from where `start` puts it by `way` (mm, amp frame), without turning it.
    #[must_use]
    pub fn new(body: &'p Prepared<'b>, start: Pose, way: DVec3) -> Swept<'p, 'b> {
        let surface = Arc::new(Tree::new(&surface(body, start.inverse().rot * way)));
        Swept::with(body, start, way, surface)
    }

    /// The same body, turned alike and carried alike, from elsewhere.
    #[must_use]
    pub fn from(&self, at: DVec3) -> Swept<'p, 'b> {
        let start = Pose { at, ..self.start };
        Swept::with(self.body, start, self.way, Arc::clone(&self.surface))
    }

    fn with(body: &'p Prepared<'b>, start: Pose, way: DVec3, surface: Arc<Tree>) -> Swept<'p, 'b> {
        let [low, high] = body.bounds(&start);
        Swept {
            body,
            start,
            way,
            surface,
            bounds: [low.min(low + way), high.max(high + way)],
        }
    }

    /// The box of all that it passes through.
    #[must_use]
    pub fn bounds(&self) -> [DVec3; 2] {
        self.bounds
    }

    /// Least distance to another placed body over the whole way, or none when it stays `limit` mm or more away.
    #[must_use]
    pub fn passing(&self, other: &Prepared, pose: &Pose, limit: f64) -> Option<Passing> {
        if let Some(found) = self
            .surface
            .closest(&self.start, &other.tree, pose, limit, None)
        {
            let q = found.at[1];
            if found.distance >= NO_DISTANCE {
                if let Some(inside) = self.swallowed(other, pose) {
                    return Some(inside);
                }
                let along = self.along(q, found.distance);
                return Some(Passing {
                    clearance: found.distance,
                    along,
                    at: found.at,
                });
            }
            return Some(Passing {
                clearance: 0.0,
                along: self.along(q, 0.0),
                at: found.at,
            });
        }
        self.swallowed(other, pose)
    }

    /// How far it can be carried before it first touches `other`, mm from the start to within 0.001; none if it never does.
    #[must_use]
    pub fn first_contact(&self, other: &Prepared, pose: &Pose) -> Option<f64> {
        let (length, ahead) = (self.way.length(), self.way.normalize_or_zero());
        let after = |far: f64| Pose {
            at: self.start.at + ahead * far,
            ..self.start
        };
        let touches = |from: f64, to: f64| {
            Swept::new(self.body, after(from), ahead * (to - from))
                .passing(other, pose, NO_DISTANCE)
                .is_some()
        };
        self.passing(other, pose, NO_DISTANCE)?;
        if touches(0.0, 0.0) {
            return Some(0.0);
        }
        // carried on by as much as it is off, it meets nothing: far cheaper than to draw the room of each shorter way
        let mut free = 0.0;
        for _ in 0..STEPS {
            let tree = &self.body.tree;
            let Some(off) = tree.closest(&after(free), &other.tree, pose, length - free, None)
            else {
                break;
            };
            free += off.distance;
            if off.distance < PLACE / 4.0 {
                break;
            }
        }
        let mut met = length;
        if free + PLACE < length {
            if touches(free, free + PLACE) {
                return Some(free);
            }
            free += PLACE;
        }
        // where it nears its contact aslant; a longer way touches whatever a shorter one does, so halving finds the place
        while met - free > PLACE {
            let middle = f64::midpoint(free, met);
            if middle <= free || middle >= met {
                break;
            }
            if touches(free, middle) {
                met = middle;
            } else {
                free = middle;
            }
        }
        Some(free)
    }

    /// Where a body lies that the way passes over, or that the carried body starts in, without their surfaces meeting.
    fn swallowed(&self, other: &Prepared, pose: &Pose) -> Option<Passing> {
        let inner = self.body.inner_point(&self.start);
        let here = |along: f64, p: DVec3| {
            Some(Passing {
                clearance: 0.0,
                along,
                at: [p; 2],
            })
        };
        if other.contains(pose, inner) {
            return here(0.0, inner);
        }
        let p = pose.point(*other.mesh.points.first()?);
        let [low, high] = self.bounds;
        if p.cmplt(low).any() || p.cmpgt(high).any() {
            return None;
        }
        if self.body.contains(&self.start, p) {
            return here(0.0, p);
        }
        let along = self.backwards(p, NO_DISTANCE)?;
        here(along, p)
    }

    /// Where on the way the body comes within `distance` of a point, mm from the start.
    fn along(&self, q: DVec3, distance: f64) -> f64 {
        // a little more, for the rounding of a distance taken another way
        self.backwards(q, distance + 1e-6).unwrap_or(0.0)
    }

    /// The point carried the other way past the body at its start: how far it is carried when nearest, if that is below `limit`.
    fn backwards(&self, q: DVec3, limit: f64) -> Option<f64> {
        let line = Tree::new(&FacedMesh {
            mesh: Mesh {
                points: vec![q, q - self.way],
                triangles: vec![[0, 1, 1]],
            },
            face_of: vec![0],
        });
        let found = (self.body.tree).closest(&self.start, &line, &Pose::IDENTITY, limit, None)?;
        Some((q - found.at[1]).length().min(self.way.length()))
    }
}

/// The triangles that bound what a body fills on its way, in its own frame.
fn surface(body: &Prepared, way: DVec3) -> FacedMesh {
    let mesh = &body.mesh;
    let count = mesh.points.len() as u32;
    let mut points = Vec::with_capacity(mesh.points.len() * 2);
    points.extend_from_slice(&mesh.points);
    points.extend(mesh.points.iter().map(|&p| p + way));
    let ahead: Vec<bool> = (0..mesh.triangles.len())
        .map(|t| {
            let [a, b, c] = mesh.corners(t);
            (b - a).cross(c - a).dot(way) > 0.0
        })
        .collect();
    let faces = body.faces.last().map_or(0, |f| f + 1);
    let mut triangles = Vec::new();
    let mut face_of = Vec::new();
    for side in [false, true] {
        let (shift, first) = if side { (count, faces) } else { (0, 0) };
        for (t, corners) in mesh.triangles.iter().enumerate() {
            if ahead[t] == side {
                triangles.push(corners.map(|i| i + shift));
                face_of.push(first + body.faces[t]);
            }
        }
    }
    let mut edges: Vec<(u32, u32, bool)> = mesh
        .triangles
        .iter()
        .zip(&ahead)
        .flat_map(|(t, &side)| {
            (0..3).map(move |i| {
                let (a, b) = (t[i], t[(i + 1) % 3]);
                (a.min(b), a.max(b), side)
            })
        })
        .collect();
    edges.sort_unstable();
    for pair in edges.chunk_by(|x, y| (x.0, x.1) == (y.0, y.1)) {
        let (a, b, side) = pair[0];
        if pair.iter().any(|e| e.2 != side) {
            triangles.push([a, b, b + count]);
            triangles.push([a, b + count, a + count]);
            face_of.extend([2 * faces; 2]);
        }
    }
    FacedMesh {
        mesh: Mesh { points, triangles },
        face_of,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::{Arc, Loop, Node, Region};
    use crate::solid::{Body, Layer, Recipe, build};
    use glam::DVec2;
    use proptest::prelude::*;

    /// What a measured distance may fall short of the true one by, mm.
    const SHORT: f64 = 0.0241;

    fn block(x: f64, y: f64, z: f64) -> Body {
        build(&Recipe::Layered {
            base: 0.0,
            layers: vec![Layer::new(
                z,
                Region::solid(Loop::rect(DVec2::ZERO, DVec2::new(x, y))),
            )],
            holes: vec![],
        })
        .unwrap()
    }

    fn turned(points: &[(f64, f64)]) -> Body {
        let points: Vec<DVec2> = points.iter().map(|&(x, y)| DVec2::new(x, y)).collect();
        build(&Recipe::Turned {
            profile: Loop::polygon(&points),
            holes: vec![],
        })
        .unwrap()
    }

    fn cylinder(r: f64, h: f64) -> Body {
        turned(&[(0.0, 0.0), (r, 0.0), (r, h), (0.0, h)])
    }

    fn near(measured: f64, truth: f64) {
        assert!(
            measured <= truth + 1e-9 && measured >= truth - SHORT,
            "{measured} for {truth}"
        );
    }

    #[test]
    fn a_cylinder_passes_a_box_at_a_known_gap() {
        let (pin, brick) = (cylinder(5.0, 30.0), block(10.0, 6.0, 50.0));
        let (pin, brick) = (Prepared::new(&pin), Prepared::new(&brick));
        let there = Pose::shift(DVec3::new(8.0, 40.0, -10.0));
        let swept = Swept::new(&pin, Pose::IDENTITY, DVec3::Y * 100.0);
        let p = swept.passing(&brick, &there, 10.0).unwrap();
        near(p.clearance, 3.0);
        assert!((39.9..=46.1).contains(&p.along), "{p:?}");
        assert!((p.at[1].x - 8.0).abs() < 1e-9);
        assert_eq!(swept.passing(&brick, &there, 2.9), None);
        assert_eq!(swept.first_contact(&brick, &there), None);
        // stopped short of it, the nearest is the corner
        let short = Swept::new(&pin, Pose::IDENTITY, DVec3::Y * 36.0);
        let p = short.passing(&brick, &there, 10.0).unwrap();
        near(p.clearance, 8.0_f64.hypot(4.0) - 5.0);
        assert!((p.along - 36.0).abs() < 1e-9);
    }

    #[test]
    fn it_first_touches_where_arithmetic_says() {
        let (pin, brick) = (cylinder(5.0, 30.0), block(10.0, 6.0, 50.0));
        let (pin, brick) = (Prepared::new(&pin), Prepared::new(&brick));
        // 3 mm into its path: the corner is met 4 mm before the middles are level
        let there = Pose::shift(DVec3::new(3.0, 40.0, -10.0));
        let swept = Swept::new(&pin, Pose::IDENTITY, DVec3::Y * 100.0);
        assert_eq!(swept.passing(&brick, &there, 1.0).unwrap().clearance, 0.0);
        near(swept.first_contact(&brick, &there).unwrap(), 36.0);
        // drawn once for two that start apart
        let aside = DVec3::new(0.5, 7.0, 0.0);
        let other = swept.from(aside);
        let own = Swept::new(&pin, Pose::shift(aside), DVec3::Y * 100.0);
        assert_eq!(
            other.first_contact(&brick, &there),
            own.first_contact(&brick, &there)
        );
        assert_eq!(other.bounds(), own.bounds());
    }

    /// A wall that leans by 2 degrees towards a pin's way comes nearer so slowly that the pin's distance tells little of the way left:
    /// 8 cos t - y sin t = 5. What the distance falls short by counts 1 / sin t times.
    #[test]
    fn it_touches_a_wall_aslant_where_arithmetic_says() {
        let (pin, wall) = (cylinder(5.0, 30.0), block(10.0, 400.0, 50.0));
        let (pin, wall) = (Prepared::new(&pin), Prepared::new(&wall));
        let (sin, cos) = 2.0_f64.to_radians().sin_cos();
        let along = DVec3::new(-sin, cos, 0.0);
        let at = DVec3::new(8.0, 0.0, -10.0) - along * 200.0;
        let there = Pose::from_axes(DVec3::new(cos, sin, 0.0), along, at);
        let swept = Swept::new(&pin, Pose::IDENTITY, DVec3::Y * 150.0);
        let truth = (8.0 * cos - 5.0) / sin;
        let got = swept.first_contact(&wall, &there).unwrap();
        assert!(
            got <= truth + 1e-6 && got >= truth - SHORT / sin - PLACE,
            "{got} for {truth}"
        );
    }

    /// Pushed under a tilted magnet: against its flat face the gap is the plumb one times the cosine; once past, the lowest rim counts.
    #[test]
    fn a_tube_under_a_sloped_magnet() {
        let (tube, magnet) = (cylinder(11.0, 60.0), cylinder(70.0, 20.0));
        let (tube, magnet) = (Prepared::new(&tube), Prepared::new(&magnet));
        let tilt = 20.0_f64.to_radians();
        // the face's normal leans so that the rim towards +y is lowest
        let pose = Pose::from_axes(
            DVec3::X,
            DVec3::new(0.0, tilt.cos(), -tilt.sin()),
            DVec3::new(0.0, 0.0, 100.0),
        );
        let lowest = 100.0 - 70.0 * tilt.sin();
        let far = Pose::shift(DVec3::Y * -200.0);
        let whole = Swept::new(&tube, far, DVec3::Y * 400.0);
        let p = whole.passing(&magnet, &pose, 100.0).unwrap();
        near(p.clearance, lowest - 60.0);
        assert!((p.along - 200.0 - 70.0 * tilt.cos()).abs() < 11.1);
        // up to the middle of the face: the leading rim of the glass is 11 ahead of the axis
        let half = Swept::new(&tube, far, DVec3::Y * 200.0);
        let p = half.passing(&magnet, &pose, 100.0).unwrap();
        near(p.clearance, (40.0 - 11.0 * tilt.tan()) * tilt.cos());
        assert!((p.along - 200.0).abs() < 1e-6);
        // and no gap at all once the glass is taller than the lowest rim
        let higher = Swept::new(
            &tube,
            Pose::shift(DVec3::new(0.0, -200.0, lowest - 59.0)),
            DVec3::Y * 400.0,
        );
        assert_eq!(higher.passing(&magnet, &pose, 4.0).unwrap().clearance, 0.0);
    }

    #[test]
    fn what_starts_inside_or_is_passed_over_is_met() {
        let (small, large) = (block(2.0, 2.0, 2.0), block(40.0, 40.0, 40.0));
        let (small, large) = (Prepared::new(&small), Prepared::new(&large));
        let inside = Pose::shift(DVec3::splat(15.0));
        let swept = Swept::new(&small, inside, DVec3::Y * 5.0);
        let p = swept.passing(&large, &Pose::IDENTITY, 1.0).unwrap();
        assert_eq!((p.clearance, p.along), (0.0, 0.0));
        assert_eq!(swept.first_contact(&large, &Pose::IDENTITY), Some(0.0));
        // the large one passes wholly over the small one, which meets neither end nor strip
        let swept = Swept::new(&large, Pose::IDENTITY, DVec3::Y * 200.0);
        let there = Pose::shift(DVec3::new(15.0, 100.0, 15.0));
        let p = swept.passing(&small, &there, 1.0).unwrap();
        assert_eq!(p.clearance, 0.0);
        near(swept.first_contact(&small, &there).unwrap(), 60.0);
        // starting round it
        let p = swept.passing(&small, &inside, 1.0).unwrap();
        assert_eq!((p.clearance, p.along), (0.0, 0.0));
    }

    /// A tube is pulled up under a ball that hangs beside its axis: its upper rim meets the ball where that is 7 off the ball's own axis.
    #[test]
    fn a_pulled_tube_meets_a_ball() {
        let ball = {
            let arc = Some(Arc {
                centre: DVec2::ZERO,
                ccw: true,
            });
            let node = |y: f64, arc| Node {
                at: DVec2::new(0.0, y),
                arc,
            };
            build(&Recipe::Turned {
                profile: Loop {
                    nodes: vec![node(-10.0, arc), node(10.0, None)],
                },
                holes: vec![],
            })
            .unwrap()
        };
        let tube = cylinder(5.0, 30.0);
        let (tube, ball) = (Prepared::new(&tube), Prepared::new(&ball));
        let there = Pose::shift(DVec3::new(12.0, 0.0, 60.0));
        let up = Swept::new(&tube, Pose::IDENTITY, DVec3::Z * 50.0);
        let met = up.first_contact(&ball, &there).unwrap();
        // a mesh that stands out by 0.024 beside a slope of 7 in 7.14 is met that much earlier
        let truth = 60.0 - (100.0_f64 - 49.0).sqrt() - 30.0;
        assert!(
            met <= truth + 1e-3 && met >= truth - 0.08,
            "{met} for {truth}"
        );
        // past it at 3 mm
        let wide = Pose::shift(DVec3::new(18.0, 0.0, 60.0));
        near(up.passing(&ball, &wide, 5.0).unwrap().clearance, 3.0);
    }

    #[test]
    fn a_pin_is_drawn_out_of_its_ring() {
        let pin = cylinder(5.0, 30.0);
        let ring = turned(&[(5.4, 0.0), (8.0, 0.0), (8.0, 10.0), (5.4, 10.0)]);
        let (pin, ring) = (Prepared::new(&pin), Prepared::new(&ring));
        let up = Swept::new(&pin, Pose::IDENTITY, DVec3::Z * 50.0);
        near(
            up.passing(&ring, &Pose::IDENTITY, 5.0).unwrap().clearance,
            0.4,
        );
        let aside = Swept::new(&pin, Pose::IDENTITY, DVec3::new(10.0, 0.0, 50.0));
        let p = aside.passing(&ring, &Pose::IDENTITY, 5.0).unwrap();
        assert_eq!(p.clearance, 0.0);
        // 0.4 sideways is reached at 0.4 / 10 of the way
        let met = aside.first_contact(&ring, &Pose::IDENTITY).unwrap();
        let truth = 0.04 * 10.0_f64.hypot(50.0);
        assert!((met - truth).abs() < 0.15, "{met} for {truth}");
    }

    fn some_body() -> impl Strategy<Value = Body> {
        let mm = || 1.0..6.0;
        prop_oneof![
            (mm(), mm(), mm()).prop_map(|(x, y, z)| block(x, y, z)),
            (mm(), mm()).prop_map(|(r, h)| cylinder(r, h)),
            (mm(), mm(), mm()).prop_map(|(r, w, h)| turned(&[
                (r, 0.0),
                (r + w, 0.0),
                (r + w, h),
                (r, h)
            ])),
        ]
    }

    fn some_pose() -> impl Strategy<Value = Pose> {
        (0.0..6.3, 0.0..6.3, -9.0..9.0, -9.0..9.0, -9.0..9.0).prop_map(|(a, b, x, y, z)| Pose {
            rot: glam::DMat3::from_rotation_z(a) * glam::DMat3::from_rotation_x(b),
            at: DVec3::new(x, y, z),
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]
        /// Against stepping: never above what a step finds, and below it by no more than half a step can hide.
        #[test]
        fn is_what_stepping_tends_to(
            a in some_body(), b in some_body(), pa in some_pose(), pb in some_pose(),
            way in (-20.0..20.0, -20.0..20.0, -20.0..20.0), square in prop::bool::ANY,
        ) {
            const STEPS: u32 = 40;
            let way = if square { DVec3::Y * way.1 } else { DVec3::new(way.0, way.1, way.2) };
            let pa = if square { Pose::shift(pa.at) } else { pa };
            let (a, b) = (Prepared::new(&a), Prepared::new(&b));
            let stepped = (0..=STEPS)
                .map(|k| {
                    let pose = Pose { at: pa.at + way * (f64::from(k) / f64::from(STEPS)), ..pa };
                    if super::super::clear_by(&a, &pose, &b, &pb, 1e-9) {
                        super::super::distance(&a, &pose, &b, &pb, 1e3).map_or(1e3, |n| n.distance)
                    } else {
                        0.0
                    }
                })
                .fold(f64::INFINITY, f64::min);
            let p = Swept::new(&a, pa, way).passing(&b, &pb, 1e3).unwrap();
            let half = way.length() / f64::from(STEPS) / 2.0;
            prop_assert!(p.clearance <= stepped + 1e-9, "{} {}", p.clearance, stepped);
            prop_assert!(p.clearance >= stepped - half - 1e-9, "{} {}", p.clearance, stepped);
            if p.clearance > 0.0 {
                let pose = Pose { at: pa.at + way.normalize_or_zero() * p.along, ..pa };
                let there = super::super::distance(&a, &pose, &b, &pb, 1e3).unwrap();
                prop_assert!((there.distance - p.clearance).abs() < 1e-6);
            }
        }
    }
}
