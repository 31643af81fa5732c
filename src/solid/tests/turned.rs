//! Turned parts and rings: screws, nuts, bulbs, knobs, sockets.

use super::*;

#[test]
fn socket_of_circle_oblong_and_circle() {
    let flange = Loop::slot(v(-14.0, 0.0), v(14.0, 0.0), 6.0);
    // The flange is narrower than the bodies, so the steps are cut where circle and oblong cross.
    let layers = vec![
        (0.0, Region::solid(Loop::circle(v(0.0, 0.0), 9.0))),
        (1.5, Region::solid(flange.clone())),
        (8.0, Region::solid(Loop::circle(v(0.0, 0.0), 8.0))),
    ];
    let holes = [-14.0, 14.0].map(|x| {
        hole(
            DVec3::new(x, 0.0, 1.5),
            DVec3::NEG_Z,
            &[(0.0, 1.6), (1.5, 1.6)],
            false,
        )
    });
    let oblong = 28.0 * 12.0 + PI * 36.0;
    let exact = PI * 81.0 * 10.0 + (oblong - 2.0 * PI * 1.6 * 1.6) * 1.5 + PI * 64.0 * 6.5;
    solid(
        &stack(-10.0, layers, holes.to_vec()),
        exact,
        [-20.0, -9.0, -10.0],
        [20.0, 9.0, 8.0],
    );
    // And with the circles inside the flange: steps without a common edge.
    let wide = Loop::slot(v(-14.0, 0.0), v(14.0, 0.0), 10.0);
    let layers = vec![
        (0.0, Region::solid(Loop::circle(v(0.0, 0.0), 9.0))),
        (1.5, Region::solid(wide)),
        (8.0, Region::solid(Loop::circle(v(0.0, 0.0), 8.0))),
    ];
    let exact = PI * 81.0 * 10.0
        + (28.0 * 20.0 + PI * 100.0 - 2.0 * PI * 1.6 * 1.6) * 1.5
        + PI * 64.0 * 6.5;
    solid(
        &stack(-10.0, layers, holes.to_vec()),
        exact,
        [-24.0, -10.0, -10.0],
        [24.0, 10.0, 8.0],
    );
}

#[test]
fn hex_nut_with_bore() {
    // Area of a hexagon by its width across flats: s2 * sqrt(3) / 2.
    let bore = hole(
        DVec3::new(0.0, 0.0, 2.4),
        DVec3::NEG_Z,
        &[(0.0, 1.5), (2.4, 1.5)],
        false,
    );
    let recipe = slab(
        Region::solid(Loop::hexagon(v(0.0, 0.0), 5.5, 0.0)),
        2.4,
        vec![bore],
    );
    let exact = (5.5 * 5.5 * 3f64.sqrt() / 2.0 - PI * 2.25) * 2.4;
    let corner = 5.5 / 3f64.sqrt();
    let b = solid(&recipe, exact, [-corner, -2.75, 0.0], [corner, 2.75, 2.4]);
    for x in [1.5, -1.5] {
        assert!(b.vertices.contains(&DVec3::new(x, 0.0, 0.0)));
    }
}

#[test]
fn screws() {
    // Countersunk: head radius 3, 90 degrees to the shank of 1.5, 10 long, flat end.
    let csk = turned(vec![
        node(0.0, -10.0),
        node(1.5, -10.0),
        node(1.5, -1.5),
        node(3.0, 0.0),
        node(0.0, 0.0),
    ]);
    let exact = PI * (2.25 * 8.5 + 1.5 / 3.0 * (2.25 + 4.5 + 9.0));
    let b = solid(&csk, exact, [-3.0, -3.0, -10.0], [3.0, 3.0, 0.0]);
    assert_eq!(b.faces.len(), 6);
    // Pan: the head's top is part of a ball of radius 5 about the axis, its edge 2 high; the profile begins in the middle.
    let (r, ball) = (3.0f64, 5.0f64);
    let rise = ball - (ball * ball - r * r).sqrt();
    let pan = turned(vec![
        node(3.0, 0.0),
        Node {
            at: v(3.0, 2.0),
            arc: Some(Arc {
                centre: v(0.0, 2.0 + rise - ball),
                ccw: true,
            }),
        },
        node(0.0, 2.0 + rise),
        node(0.0, -8.0),
        node(1.5, -8.0),
        node(1.5, 0.0),
    ]);
    // A ball's cap: pi h2 (3 R - h) / 3.
    let exact = PI * (9.0 * 2.0 + 2.25 * 8.0) + PI * rise * rise * (3.0 * ball - rise) / 3.0;
    let b = solid(&pan, exact, [-3.0, -3.0, -8.0], [3.0, 3.0, 2.0 + rise]);
    assert_eq!(
        b.faces
            .iter()
            .filter(|f| matches!(f.surface, Surface::Sphere { .. }))
            .count(),
        2
    );
}

#[test]
fn bulbs_domes_cones_and_balls() {
    let bulb = turned(vec![
        node(0.0, 0.0),
        node(14.0, 0.0),
        bend(14.0, 60.0, 9.0, 60.0, true),
        node(9.0, 65.0),
        node(0.0, 65.0),
    ]);
    let exact =
        PI * 196.0 * 60.0 + PI * (81.0 * 5.0 + 2.0 * 9.0 * 25.0 * PI / 4.0 + 2.0 / 3.0 * 125.0);
    solid(&bulb, exact, [-14.0, -14.0, 0.0], [14.0, 14.0, 65.0]);
    let dome = turned(vec![
        node(0.0, 0.0),
        node(14.0, 0.0),
        bend(14.0, 60.0, 0.0, 60.0, true),
        node(0.0, 74.0),
    ]);
    solid(
        &dome,
        PI * 196.0 * 60.0 + 2.0 / 3.0 * PI * 14f64.powi(3),
        [-14.0, -14.0, 0.0],
        [14.0, 14.0, 74.0],
    );
    let cone = turned(vec![node(0.0, 0.0), node(14.0, 0.0), node(0.0, 20.0)]);
    solid(
        &cone,
        PI * 196.0 * 20.0 / 3.0,
        [-14.0, -14.0, 0.0],
        [14.0, 14.0, 20.0],
    );
    let ball = turned(vec![bend(0.0, -5.0, 0.0, 0.0, true), node(0.0, 5.0)]);
    let b = solid(&ball, 4.0 / 3.0 * PI * 125.0, [-5.0; 3], [5.0; 3]);
    assert_eq!((b.vertices.len(), b.edges.len(), b.faces.len()), (2, 2, 2));
    assert!((b.area() - 100.0 * PI).abs() < 1e-10);
    assert!(b.centroid().length() < 1e-12);
}

#[test]
fn rings_that_never_meet_the_axis() {
    // Pappus: area of the section times the way of its centre.
    let washer = turned(vec![
        node(1.6, 0.0),
        node(3.5, 0.0),
        node(3.5, 0.5),
        node(1.6, 0.5),
    ]);
    let b = solid(
        &washer,
        2.0 * PI * 2.55 * 1.9 * 0.5,
        [-3.5, -3.5, 0.0],
        [3.5, 3.5, 0.5],
    );
    assert_eq!(b.faces.len(), 6);
    let tyre = Recipe::Turned {
        profile: Loop::circle(v(10.0, 1.0), 2.0),
        holes: vec![],
    };
    let b = solid(
        &tyre,
        2.0 * PI * 10.0 * PI * 4.0,
        [-12.0, -12.0, -1.0],
        [12.0, 12.0, 3.0],
    );
    assert!((b.area() - 4.0 * PI * PI * 20.0).abs() < 1e-9);
    // A grommet: a ring with a hollow all round its outside (a concave torus) and sloped ends.
    let l = Loop {
        nodes: vec![
            node(4.0, 0.0),
            node(8.0, 1.0),
            bend(8.0, 3.0, 8.0, 4.5, false),
            node(8.0, 6.0),
            node(8.0, 8.0),
            node(4.0, 9.0),
        ],
    };
    let exact = 2.0 * PI * l.centroid().x * l.area();
    solid(
        &Recipe::Turned {
            profile: l,
            holes: vec![],
        },
        exact,
        [-8.0, -8.0, 0.0],
        [8.0, 8.0, 9.0],
    );
}

#[test]
fn knob_with_a_blind_bore_along_its_axis() {
    let body = vec![
        node(0.0, 0.0),
        node(12.0, 0.0),
        node(10.0, 15.0),
        node(0.0, 15.0),
    ];
    let frustum = PI * 15.0 / 3.0 * (144.0 + 120.0 + 100.0);
    for (tip, extra) in [(None, 0.0), (Some(14.0), PI * 9.0 * 2.0 / 3.0)] {
        let mut profile = vec![(0.0, 3.0), (12.0, 3.0)];
        profile.extend(tip.map(|d| (d, 0.0)));
        let bore = hole(DVec3::ZERO, DVec3::Z, &profile, true);
        let recipe = Recipe::Turned {
            profile: Loop {
                nodes: body.clone(),
            },
            holes: vec![bore],
        };
        solid(
            &recipe,
            frustum - PI * 9.0 * 12.0 - extra,
            [-12.0, -12.0, 0.0],
            [12.0, 12.0, 15.0],
        );
    }
    // The same as a profile of its own.
    let ring = vec![
        node(3.0, 0.0),
        node(12.0, 0.0),
        node(10.0, 15.0),
        node(0.0, 15.0),
        node(0.0, 12.0),
        node(3.0, 12.0),
    ];
    solid(
        &turned(ring),
        frustum - PI * 9.0 * 12.0,
        [-12.0, -12.0, 0.0],
        [12.0, 12.0, 15.0],
    );
}
