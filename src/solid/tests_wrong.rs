//! Recipes that make no solid are refused, each for its own reason, and hard ones are still sound.

use super::tests::{compare_truck, hole, plate_with_40, slab};
use super::*;
use crate::outline::{Loop, Region};
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::f64::consts::PI;

fn v(x: f64, y: f64) -> DVec2 {
    DVec2::new(x, y)
}

fn plate(holes: Vec<Hole>) -> Recipe {
    let inner = vec![Loop::rect(v(40.0, 10.0), v(60.0, 30.0))];
    slab(
        Region {
            outer: Loop::rect(v(0.0, 0.0), v(100.0, 50.0)),
            inner,
        },
        10.0,
        holes,
    )
}

fn down(x: f64, y: f64, r: f64) -> Hole {
    hole(
        DVec3::new(x, y, 10.0),
        DVec3::NEG_Z,
        &[(0.0, r), (10.0, r)],
        false,
    )
}

#[test]
fn holes_that_leave_the_material_are_refused() {
    let refused = |holes: Vec<Hole>| build(&plate(holes)).unwrap_err();
    assert!(build(&plate(vec![down(20.0, 20.0, 5.0), down(80.0, 20.0, 5.0)])).is_ok());
    assert!(matches!(
        refused(vec![down(3.0, 20.0, 5.0)]),
        SolidError::HoleReachesEdge { index: 0, .. }
    ));
    assert!(matches!(
        refused(vec![down(35.0, 20.0, 5.0)]),
        SolidError::HoleReachesEdge { index: 0, .. }
    ));
    assert!(matches!(
        refused(vec![down(50.0, 20.0, 5.0)]),
        SolidError::HoleFindsNoFace { index: 0, .. }
    ));
    assert!(matches!(
        refused(vec![down(-5.0, 20.0, 2.0)]),
        SolidError::HoleFindsNoFace { .. }
    ));
    assert!(matches!(
        refused(vec![down(20.0, 20.0, 5.0), down(29.0, 20.0, 5.0)]),
        SolidError::HolesMeet {
            first: 0,
            second: 1
        }
    ));
    assert!(matches!(
        refused(vec![down(20.0, 20.0, 5.0), down(20.0, 20.0, 2.0)]),
        SolidError::HolesMeet { .. }
    ));
    let shallow = hole(
        DVec3::new(20.0, 20.0, 10.0),
        DVec3::NEG_Z,
        &[(0.0, 2.0), (9.0, 2.0)],
        false,
    );
    assert!(matches!(
        refused(vec![shallow]),
        SolidError::HoleFindsNoFace { .. }
    ));
    let slanted = hole(
        DVec3::new(20.0, 20.0, 10.0),
        DVec3::new(0.1, 0.0, -1.0),
        &[(0.0, 2.0), (9.0, 2.0)],
        true,
    );
    assert!(matches!(
        refused(vec![slanted]),
        SolidError::HoleFindsNoFace { .. }
    ));
    let narrow = hole(
        DVec3::new(20.0, 20.0, 10.0),
        DVec3::NEG_Z,
        &[(0.0, 2.0), (5.0, 0.0), (10.0, 2.0)],
        false,
    );
    assert!(matches!(
        refused(vec![narrow]),
        SolidError::HoleProfile { .. }
    ));
    let sides = [
        // into the window from the long side: too deep by a hair, and not
        (
            hole(
                DVec3::new(0.0, 20.0, 5.0),
                DVec3::X,
                &[(0.0, 2.0), (40.001, 2.0)],
                true,
            ),
            false,
        ),
        (
            hole(
                DVec3::new(0.0, 20.0, 5.0),
                DVec3::X,
                &[(0.0, 2.0), (39.9, 2.0)],
                true,
            ),
            true,
        ),
        // through the floor with its tip only
        (
            hole(
                DVec3::new(20.0, 20.0, 10.0),
                DVec3::NEG_Z,
                &[(0.0, 2.0), (9.5, 2.0), (10.5, 0.0)],
                true,
            ),
            false,
        ),
        (
            hole(
                DVec3::new(20.0, 20.0, 10.0),
                DVec3::NEG_Z,
                &[(0.0, 2.0), (8.5, 2.0), (9.5, 0.0)],
                true,
            ),
            true,
        ),
        // from wall to wall beside the window, and through it
        (
            hole(
                DVec3::new(30.0, 0.0, 5.0),
                DVec3::Y,
                &[(0.0, 2.0), (50.0, 2.0)],
                false,
            ),
            true,
        ),
        (
            hole(
                DVec3::new(39.0, 0.0, 5.0),
                DVec3::Y,
                &[(0.0, 2.0), (50.0, 2.0)],
                false,
            ),
            false,
        ),
        (
            hole(
                DVec3::new(50.0, 0.0, 5.0),
                DVec3::Y,
                &[(0.0, 2.0), (50.0, 2.0)],
                false,
            ),
            false,
        ),
        (
            hole(
                DVec3::new(50.0, 0.0, 5.0),
                DVec3::Y,
                &[(0.0, 2.0), (10.0, 2.0)],
                false,
            ),
            true,
        ),
        // wider inside than at its ends
        (
            hole(
                DVec3::new(30.0, 0.0, 5.0),
                DVec3::Y,
                &[
                    (0.0, 2.0),
                    (10.0, 2.0),
                    (25.0, 5.5),
                    (40.0, 2.0),
                    (50.0, 2.0),
                ],
                false,
            ),
            false,
        ),
        (
            hole(
                DVec3::new(30.0, 0.0, 5.0),
                DVec3::Y,
                &[
                    (0.0, 2.0),
                    (10.0, 2.0),
                    (25.0, 4.9),
                    (40.0, 2.0),
                    (50.0, 2.0),
                ],
                false,
            ),
            true,
        ),
        // an undercut at the end of a blind hole, through the top, and not
        (
            hole(
                DVec3::new(20.0, 0.0, 6.0),
                DVec3::Y,
                &[(0.0, 2.0), (10.0, 2.0), (10.0, 4.1), (15.0, 4.1)],
                true,
            ),
            false,
        ),
        (
            hole(
                DVec3::new(20.0, 0.0, 6.0),
                DVec3::Y,
                &[(0.0, 2.0), (10.0, 2.0), (10.0, 3.9), (15.0, 3.9)],
                true,
            ),
            true,
        ),
    ];
    for (i, (h, good)) in sides.into_iter().enumerate() {
        let got = build(&plate(vec![h]));
        assert_eq!(got.is_ok(), good, "case {i}: {:?}", got.err());
    }
}

#[test]
fn holes_that_meet_inside_are_refused() {
    let across = hole(
        DVec3::new(0.0, 5.0, 5.0),
        DVec3::X,
        &[(0.0, 2.0), (30.0, 2.0)],
        true,
    );
    for (x, y, good) in [
        (20.0, 5.0, false),
        (20.0, 8.9, false),
        (20.0, 9.1, true),
        (31.9, 5.0, false),
        (32.1, 5.0, true),
    ] {
        let got = build(&plate(vec![down(x, y, 2.0), across.clone()]));
        assert_eq!(got.is_ok(), good, "{x} {y}: {:?}", got.err());
    }
    // Two blind holes from opposite faces, one above the other.
    let from = |z: f64, dir: DVec3, deep: f64| {
        hole(
            DVec3::new(20.0, 20.0, z),
            dir,
            &[(0.0, 3.0), (deep, 3.0)],
            true,
        )
    };
    for (deep, good) in [(4.9, true), (5.1, false)] {
        let got = build(&plate(vec![
            from(10.0, DVec3::NEG_Z, 5.0),
            from(0.0, DVec3::Z, deep),
        ]));
        assert_eq!(got.is_ok(), good, "{deep}: {:?}", got.err());
    }
}

#[test]
fn a_hole_through_a_round_window_is_refused() {
    let inner = vec![Loop::circle(v(50.0, 25.0), 10.0)];
    let base = |h: Hole| {
        slab(
            Region {
                outer: Loop::rect(v(0.0, 0.0), v(100.0, 50.0)),
                inner: inner.clone(),
            },
            10.0,
            vec![h],
        )
    };
    for (y, good) in [(25.0, false), (35.5, false), (36.9, false), (37.1, true)] {
        let h = hole(
            DVec3::new(0.0, y, 5.0),
            DVec3::X,
            &[(0.0, 2.0), (100.0, 2.0)],
            false,
        );
        let got = build(&base(h));
        assert_eq!(got.is_ok(), good, "{y}: {:?}", got.err());
    }
}

#[test]
fn bad_recipes_say_why() {
    let square = Region::solid(Loop::rect(v(0.0, 0.0), v(10.0, 10.0)));
    let beside = Region::solid(Loop::rect(v(10.0, 0.0), v(20.0, 10.0)));
    let corner = Region::solid(Loop::rect(v(10.0, 10.0), v(20.0, 20.0)));
    let away = Region::solid(Loop::rect(v(30.0, 0.0), v(40.0, 10.0)));
    let two = |other: &Region| {
        let layers = vec![
            Layer::new(1.0, square.clone()),
            Layer::new(2.0, other.clone()),
        ];
        build(&Recipe::Layered {
            base: 0.0,
            layers,
            holes: vec![],
        })
        .unwrap_err()
    };
    assert!(matches!(two(&beside), SolidError::EdgeContact { .. }));
    assert!(matches!(two(&corner), SolidError::Unsound { .. }));
    assert!(matches!(two(&away), SolidError::Pieces { count: 2 }));
    let one = |top: f64, region: &Region| build(&slab(region.clone(), top, vec![])).unwrap_err();
    assert!(matches!(one(0.0, &square), SolidError::NoThickness { .. }));
    assert!(matches!(
        one(f64::NAN, &square),
        SolidError::NotFinite { .. }
    ));
    assert!(matches!(
        one(1.0, &Region::solid(square.outer.reversed())),
        SolidError::Outline { .. }
    ));
    assert!(matches!(
        one(1.0, &Region::default()),
        SolidError::Outline { .. }
    ));
    assert!(matches!(
        build(&Recipe::Layered {
            base: 0.0,
            layers: vec![],
            holes: vec![]
        }),
        Err(SolidError::NoThickness { .. })
    ));
    let profile = |p: &[(f64, f64)]| {
        let points: Vec<DVec2> = p.iter().map(|&(x, y)| v(x, y)).collect();
        build(&Recipe::Turned {
            profile: Loop::polygon(&points),
            holes: vec![],
        })
    };
    assert!(matches!(
        profile(&[(-1.0, 0.0), (5.0, 0.0), (0.0, 5.0)]),
        Err(SolidError::Profile { .. })
    ));
    assert!(matches!(
        profile(&[(0.0, 0.0), (5.0, 1.0), (5.0, 5.0)]),
        Err(SolidError::Profile { .. })
    ));
    // A ball shut up in another: its surface is a second shell.
    let shut = [
        (0.0, 0.0),
        (9.0, 0.0),
        (9.0, 9.0),
        (0.0, 9.0),
        (0.0, 6.0),
        (4.0, 6.0),
        (4.0, 3.0),
        (0.0, 3.0),
    ];
    assert!(matches!(
        profile(&shut),
        Err(SolidError::Pieces { count: 2 })
    ));
    // On the axis over the whole height, with a corner in the middle of it: fine.
    assert!(profile(&[(0.0, 0.0), (5.0, 0.0), (5.0, 9.0), (0.0, 9.0), (0.0, 4.0)]).is_ok());
    let messages = [two(&beside), two(&away), one(0.0, &square)].map(|e| e.to_string());
    assert_eq!(
        messages[0],
        "two layers meet only along an edge at (10.000, 5.000, 1.000)"
    );
    assert_eq!(messages[2], "layer 0 has no thickness (0 mm)");
}

#[test]
fn equal_recipes_give_equal_bodies() {
    let (recipe, _) = plate_with_40();
    assert_eq!(build(&recipe), build(&recipe.clone()));
}

/// A star-shaped outline about a point with the given radii, far from crossing itself.
fn star(centre: DVec2, radii: &[f64]) -> Loop {
    let n = radii.len() as f64;
    let points: Vec<DVec2> = radii
        .iter()
        .enumerate()
        .map(|(i, r)| centre + DVec2::from_angle(2.0 * PI * i as f64 / n) * *r)
        .collect();
    Loop::polygon(&points)
}

/// Area of a polygon in the plainest way, as an independent check.
fn shoelace(p: &Loop) -> f64 {
    let n = p.nodes.len();
    (0..n)
        .map(|i| p.nodes[i].at.perp_dot(p.nodes[(i + 1) % n].at))
        .sum::<f64>()
        / 2.0
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Two to four random stars on top of one another: crossing outlines, steps of any shape.
    #[test]
    fn random_stacks_are_sound(
        layers in prop::collection::vec((prop::collection::vec(5.0..20.0f64, 3..9), 0.5..4.0f64, -3.0..3.0f64), 2..5),
        bore in 0.5..2.0f64,
    ) {
        let mut z = 1.0;
        let mut exact = 0.0;
        let mut list = vec![];
        for (radii, t, x) in &layers {
            z += t;
            // Few points and long radii leave the middle narrow: keep the bore clear of the sides.
            let outer = if radii.len() < 5 { Loop::circle(v(*x, 0.0), radii[0]) } else { star(v(0.0, 0.0), radii) };
            let area = if radii.len() < 5 { PI * radii[0] * radii[0] } else { shoelace(&outer) };
            exact += (area - PI * 0.25) * t;
            list.push(Layer::new(z, Region { outer, inner: vec![Loop::circle(v(0.0, 0.0), 0.5)] }));
        }
        let recipe = Recipe::Layered { base: 1.0, layers: list, holes: vec![] };
        let body = build(&recipe).unwrap();
        prop_assert!((body.volume() / exact - 1.0).abs() < 1e-11, "{} {}", body.volume(), exact);
        compare_truck(&body);
        let _ = bore;
    }

    /// Random profiles above the axis, some corners on it.
    #[test]
    fn random_turned_bodies_are_sound(
        steps in prop::collection::vec((0.0..10.0f64, 0.1..5.0f64, prop::bool::ANY), 2..10),
        bore in prop::option::of(0.5..3.0f64),
    ) {
        let inner = bore.unwrap_or(0.0);
        let mut points = vec![v(inner, 0.0)];
        let mut z = 0.0;
        let mut exact = 0.0;
        for (r, h, sloped) in &steps {
            let radius = inner + 0.2 + r;
            let last = points[points.len() - 1].x.max(inner + 0.2);
            let first = if *sloped && points.len() > 1 { last } else { radius };
            if first != points[points.len() - 1].x {
                points.push(v(first, z));
            }
            z += h;
            points.push(v(radius, z));
            // A frustum less the bore.
            exact += PI * h * ((first * first + first * radius + radius * radius) / 3.0 - inner * inner);
        }
        points.push(v(inner, z));
        let body = build(&Recipe::Turned { profile: Loop::polygon(&points), holes: vec![] }).unwrap();
        prop_assert!((body.volume() / exact - 1.0).abs() < 1e-11, "{} {}", body.volume(), exact);
        compare_truck(&body);
    }

    /// Drilled plates: volume is plate less bores, and every fault is an error, never a wrong body.
    #[test]
    fn random_drilled_plates(
        spots in prop::collection::vec((2.0..98.0f64, 2.0..48.0f64, 0.5..6.0f64, 0usize..3), 1..30),
    ) {
        let mut exact = 100.0 * 50.0 * 4.0;
        let mut holes = vec![];
        for &(x, y, r, kind) in &spots {
            let (profile, blind, volume): (Vec<(f64, f64)>, bool, f64) = match kind {
                0 => (vec![(0.0, r), (4.0, r)], false, PI * r * r * 4.0),
                1 => (vec![(0.0, r), (1.0, r), (1.0, r / 2.0), (4.0, r / 2.0)], false, PI * r * r * (1.0 + 0.75)),
                _ => (vec![(0.0, r), (2.0, r), (3.0, 0.0)], true, PI * r * r * (2.0 + 1.0 / 3.0)),
            };
            exact -= volume;
            holes.push(hole(DVec3::new(x, y, 4.0), DVec3::NEG_Z, &profile, blind));
        }
        let recipe = slab(Region::solid(Loop::rect(v(0.0, 0.0), v(100.0, 50.0))), 4.0, holes);
        let clear = spots.iter().enumerate().all(|(i, a)| {
            a.0 > a.2 && a.1 > a.2 && a.0 + a.2 < 100.0 && a.1 + a.2 < 50.0
                && spots[..i].iter().all(|b| (a.0 - b.0).hypot(a.1 - b.1) > a.2 + b.2)
        });
        match build(&recipe) {
            Ok(body) => {
                prop_assert!(clear);
                prop_assert!((body.volume() / exact - 1.0).abs() < 1e-11);
            }
            Err(e) => prop_assert!(!clear, "{e}"),
        }
    }
}
