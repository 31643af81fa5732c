//! Boxes of placed bodies.

use super::*;

#[test]
fn boxes_of_placed_bodies_are_exact() {
    // A ball's box is its diameter whatever the turn; a tyre's half side along d is major * |d square to axis| + minor.
    let turn =
        DMat3::from_rotation_x(0.7) * DMat3::from_rotation_y(-0.4) * DMat3::from_rotation_z(1.1);
    let pose = Pose {
        rot: turn,
        at: DVec3::new(5.0, -3.0, 2.0),
    };
    let ball = build(&turned(vec![
        bend(0.0, -5.0, 0.0, 0.0, true),
        node(0.0, 5.0),
    ]))
    .unwrap();
    let b = ball.bounds(&pose);
    assert!(
        (b[0] - (pose.at - DVec3::splat(5.0))).length() < 1e-9
            && (b[1] - (pose.at + DVec3::splat(5.0))).length() < 1e-9
    );
    let tyre = build(&Recipe::Turned {
        profile: Loop::circle(v(10.0, 0.0), 2.0),
        holes: vec![],
    })
    .unwrap();
    let axis = pose.dir(DVec3::Z);
    let half =
        (DVec3::ONE - axis * axis).max(DVec3::ZERO).map(f64::sqrt) * 10.0 + DVec3::splat(2.0);
    let b = tyre.bounds(&pose);
    assert!(
        (b[0] - (pose.at - half)).length() < 1e-9 && (b[1] - (pose.at + half)).length() < 1e-9,
        "{b:?} {half}"
    );
    // A cylinder between two discs: each disc reaches radius * |d square to axis| beyond its centre.
    let can = build(&turned(vec![
        node(0.0, 0.0),
        node(4.0, 0.0),
        node(4.0, 9.0),
        node(0.0, 9.0),
    ]))
    .unwrap();
    let disc = (DVec3::ONE - axis * axis).map(f64::sqrt) * 4.0;
    let ends = [pose.at, pose.at + axis * 9.0];
    let b = can.bounds(&pose);
    assert!(
        (b[0] - (ends[0].min(ends[1]) - disc)).length() < 1e-9
            && (b[1] - (ends[0].max(ends[1]) + disc)).length() < 1e-9
    );
    // Every family: no sampled point lies outside the box.
    let (plate, _) = plate_with_40();
    for body in [ball, tyre, can, build(&plate).unwrap()] {
        let b = body.bounds(&pose);
        for (_, p, _) in body.samples(20) {
            let q = pose.point(p);
            assert!(q.cmpge(b[0] - 1e-9).all() && q.cmple(b[1] + 1e-9).all());
        }
    }
}

#[test]
fn a_hole_square_to_a_face_does_not_widen_the_box() {
    for k in 0..200 {
        let leg = 12.0 + 0.071 * f64::from(k);
        let t = 1.5 + 0.0137 * f64::from(k);
        let gauge = f64::midpoint(t, leg);
        let hole = |at: DVec3, dir: DVec3| Hole {
            at,
            dir,
            profile: vec![v(0.0, 2.15), v(t, 2.15)],
            blind: false,
        };
        let angle = Recipe::Layered {
            base: 0.0,
            layers: vec![Layer::new(
                80.0,
                Region::solid(Loop::polygon(&[
                    v(0.0, 0.0),
                    v(leg, 0.0),
                    v(leg, t),
                    v(t, t),
                    v(t, leg),
                    v(0.0, leg),
                ])),
            )],
            holes: vec![
                hole(DVec3::new(gauge, 0.0, 20.0), DVec3::Y),
                hole(DVec3::new(0.0, gauge, 40.0), DVec3::X),
            ],
        };
        let b = build(&angle).unwrap().bounds(&Pose::IDENTITY);
        let high = DVec3::new(leg, leg, 80.0);
        assert!(
            b[0].abs_diff_eq(DVec3::ZERO, 1e-9) && b[1].abs_diff_eq(high, 1e-9),
            "{b:?} for {high}"
        );
    }
}
