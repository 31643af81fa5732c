//! A body turned about an axis: how far it gets before it meets another, without sampling.
//!
//! # Why nothing is sampled
//! No point of the body moves further than the chord of its own circle, and none is further from the axis' point than `radius`. Where the
//! body stands `d` mm clear it may therefore be turned by the angle whose chord at that radius is `d` and still meets nothing on the way
//! there. Going on like this from each such place, the way that is left is either covered or shrinks to a touch.

use super::{Prepared, distance};
use crate::pose::Pose;
use glam::{BVec3, DMat3, DVec3};

/// Nearer than this counts as met, mm: the last steps towards a touch grow ever shorter.
pub const TURN_TOUCH: f64 = 0.05;

/// A body with the axis it is turned about.
#[derive(Clone, Debug)]
pub struct Turned<'p, 'b> {
    body: &'p Prepared<'b>,
    start: Pose,
    centre: DVec3,
    axis: DVec3,
    /// Box of the body in its own frame.
    own: [DVec3; 2],
    radius: f64,
}

impl<'p, 'b> Turned<'p, 'b> {
    /// Turns `body` from where `start` puts it about the line through `centre` along `axis` (amp frame).
    #[must_use]
    pub fn new(body: &'p Prepared<'b>, start: Pose, centre: DVec3, axis: DVec3) -> Turned<'p, 'b> {
        let from = start.inverse().point(centre);
        let mut own = [from; 2];
        let mut square = 0.0_f64;
        for &p in &body.mesh().points {
            own = [own[0].min(p), own[1].max(p)];
            square = square.max(p.distance_squared(from));
        }
        Turned {
            body,
            start,
            centre,
            axis: axis.normalize_or_zero(),
            own,
            radius: square.sqrt(),
        }
    }

    /// The same body about another axis through the same point.
    #[must_use]
    pub fn about(&self, axis: DVec3) -> Turned<'p, 'b> {
        Turned {
            axis: axis.normalize_or_zero(),
            ..self.clone()
        }
    }

    /// Where it is after so many radians.
    #[must_use]
    pub fn pose(&self, angle: f64) -> Pose {
        let turn = DMat3::from_axis_angle(self.axis, angle);
        Pose {
            rot: turn * self.start.rot,
            at: self.centre + turn * (self.start.at - self.centre),
        }
    }

    /// A box that holds all that it passes through on its way to `angle` (0 to 1 rad).
    #[must_use]
    pub fn bounds(&self, angle: f64) -> [DVec3; 2] {
        let [low, high] = self.own;
        let mut room = [DVec3::INFINITY, DVec3::NEG_INFINITY];
        for pose in [self.start, self.pose(angle)] {
            for k in 0..8 {
                let side = |bit: u32| k & bit != 0;
                let p = pose.point(DVec3::select(
                    BVec3::new(side(1), side(2), side(4)),
                    high,
                    low,
                ));
                room = [room[0].min(p), room[1].max(p)];
            }
        }
        // an arc leaves its chord by no more than this
        let bulge = DVec3::splat(self.radius * (1.0 - (angle / 2.0).cos()));
        [room[0] - bulge, room[1] + bulge]
    }

    /// How far, up to `angle` (0 to 1 rad), it turns without coming nearer than [`TURN_TOUCH`] to any of `others`, and which stops it. Never
    /// further than is true.
    #[must_use]
    pub fn free(&self, others: &[(&Prepared<'_>, Pose)], angle: f64) -> (f64, Option<usize>) {
        let chord = |a: f64| 2.0 * self.radius * (a / 2.0).sin();
        let mut at = 0.0;
        loop {
            let pose = self.pose(at);
            let left = chord(angle - at);
            let mut nearest: Option<(f64, usize)> = None;
            for (i, (other, other_pose)) in others.iter().enumerate() {
                let limit = nearest.map_or(left, |n| n.0);
                if let Some(n) = distance(self.body, &pose, other, other_pose, limit) {
                    nearest = Some((n.distance, i));
                }
            }
            let Some((near, i)) = nearest.filter(|n| n.0 < left) else {
                return (angle, None);
            };
            if near < TURN_TOUCH {
                return (at, Some(i));
            }
            at += 2.0 * (near / (2.0 * self.radius)).min(1.0).asin();
            if at >= angle {
                return (angle, None);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::{Loop, Region};
    use crate::solid::{Body, Layer, Recipe, build};
    use glam::DVec2;

    fn cylinder(r: f64, h: f64) -> Body {
        let profile = [(0.0, 0.0), (r, 0.0), (r, h), (0.0, h)].map(|(x, y)| DVec2::new(x, y));
        build(&Recipe::Turned {
            profile: Loop::polygon(&profile),
            holes: vec![],
        })
        .unwrap()
    }

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

    /// A tube of radius 11 and height 60 tilts about the middle of its foot towards a wall 20 away: its upper rim, 60 up and 11 out, is
    /// there when 11 cos a + 60 sin a = 20.
    #[test]
    fn a_tilted_tube_meets_a_wall_where_arithmetic_says() {
        let (tube, wall) = (cylinder(11.0, 60.0), block(10.0, 200.0, 200.0));
        let (tube, wall) = (Prepared::new(&tube), Prepared::new(&wall));
        let others = [(&wall, Pose::shift(DVec3::new(20.0, -100.0, -50.0)))];
        // about +y the top goes towards +x
        let turn = Turned::new(&tube, Pose::IDENTITY, DVec3::ZERO, DVec3::Y);
        let (got, by) = turn.free(&others, 0.9);
        let lead = 11.0_f64.atan2(60.0);
        let truth = (20.0 / 11.0_f64.hypot(60.0)).asin() - lead;
        assert_eq!(by, Some(0));
        // short of it by the touch and the mesh at most, both taken at the rim
        assert!(
            got <= truth && got >= truth - (TURN_TOUCH + 0.03) / 50.0,
            "{got} for {truth}"
        );
        // less than that is free, and so is the other way
        assert_eq!(turn.free(&others, truth - 0.01), (truth - 0.01, None));
        let away = Turned::new(&tube, Pose::IDENTITY, DVec3::ZERO, -DVec3::Y);
        assert_eq!(away.free(&others, 0.5), (0.5, None));
        let b = turn.bounds(0.3);
        assert!(b[1].x >= 11.0 * 0.3_f64.cos() + 60.0 * 0.3_f64.sin());
    }

    /// A plank 2 thick and 100 tall swings past a pin of radius 3 that stands 40 up: it is met in the middle of the way, never jumped over.
    #[test]
    fn nothing_is_jumped_over() {
        let (plank, pin) = (block(2.0, 20.0, 100.0), cylinder(3.0, 20.0));
        let (plank, pin) = (Prepared::new(&plank), Prepared::new(&pin));
        let turn = Turned::new(&plank, Pose::IDENTITY, DVec3::ZERO, DVec3::Y);
        // its axis along y, in the plane of the swing at 40 up and 20 out
        let pose = Pose::from_axes(DVec3::Z, DVec3::X, DVec3::new(20.0, 0.0, 40.0));
        let (got, by) = turn.free(&[(&pin, pose)], 0.9);
        // the face x = 2 is 3 from the pin's axis: 20 cos a - 40 sin a - 2 = 3
        let truth = 20.0_f64.atan2(40.0) - (5.0 / 20.0_f64.hypot(40.0)).asin();
        assert_eq!(by, Some(0));
        assert!(got <= truth && got >= truth - 0.003, "{got} for {truth}");
    }
}
