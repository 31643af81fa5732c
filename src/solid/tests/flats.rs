//! Flat parts: plates, boards, angle, baffle.

use super::*;

#[test]
fn box_has_six_faces() {
    let b = solid(
        &slab(
            Region::solid(Loop::rect(v(-1.0, 2.0), v(3.0, 5.0))),
            2.0,
            vec![],
        ),
        24.0,
        [-1.0, 2.0, 0.0],
        [3.0, 5.0, 2.0],
    );
    assert_eq!((b.vertices.len(), b.edges.len(), b.faces.len()), (8, 12, 6));
    assert!((b.area() - 2.0 * (12.0 + 8.0 + 6.0)).abs() < 1e-12);
    assert!(b.centroid().distance(DVec3::new(1.0, 3.5, 1.0)) < 1e-12);
}

#[test]
fn drilled_plate_with_40_countersinks() {
    let (recipe, exact) = plate_with_40();
    let b = solid(&recipe, exact, [0.0; 3], [400.0, 200.0, 3.0]);
    // 8 outer walls, 3 of the D hole (its long arc in two), 4 for each hole, top and bottom
    assert_eq!(b.faces.len(), 8 + 3 + 160 + 2);
}

#[test]
fn d_hole_in_a_plate() {
    for (flat, degrees) in [(3.5f64, 0.0), (3.5, 37.0), (-2.0, 180.0)] {
        let d = Loop::d_hole(v(10.0, 10.0), 5.0, flat, degrees).unwrap();
        let cut = PI * 25.0 - (25.0 * (flat / 5.0).acos() - flat * (25.0 - flat * flat).sqrt());
        let outer = Loop::rect(v(0.0, 0.0), v(20.0, 20.0));
        solid(
            &slab(
                Region {
                    outer,
                    inner: vec![d],
                },
                2.0,
                vec![],
            ),
            (400.0 - cut) * 2.0,
            [0.0; 3],
            [20.0, 20.0, 2.0],
        );
    }
}

#[test]
fn angle_with_drilled_legs() {
    // Legs of 15 mm, 2 mm thick, inside fillet of 1 mm, 100 mm long along z.
    let corner = v(3.0, 3.0);
    let l = Loop {
        nodes: vec![
            node(0.0, 0.0),
            node(15.0, 0.0),
            node(15.0, 2.0),
            Node {
                at: v(3.0, 2.0),
                arc: Some(Arc {
                    centre: corner,
                    ccw: false,
                }),
            },
            node(2.0, 3.0),
            node(2.0, 15.0),
            node(0.0, 15.0),
        ],
    };
    let section = 15.0 * 2.0 + 13.0 * 2.0 + (1.0 - PI / 4.0);
    let mut holes = vec![];
    for z in [10.0, 50.0, 90.0] {
        holes.push(hole(
            DVec3::new(9.0, 0.0, z),
            DVec3::Y,
            &[(0.0, 1.6), (2.0, 1.6)],
            false,
        ));
        holes.push(hole(
            DVec3::new(2.0, 9.0, z + 5.0),
            DVec3::NEG_X,
            &[(0.0, 1.5), (1.0, 2.5), (2.0, 2.5)],
            false,
        ));
    }
    let cut =
        3.0 * PI * (1.6f64.powi(2) * 2.0 + (1.5 * 1.5 + 1.5 * 2.5 + 2.5 * 2.5) / 3.0 + 2.5 * 2.5);
    let b = solid(
        &slab(Region::solid(l), 100.0, holes),
        section * 100.0 - cut,
        [0.0; 3],
        [15.0, 15.0, 100.0],
    );
    // Bores along y are divided at +x and -x, those along x at +y and -y.
    assert!(
        b.vertices
            .iter()
            .any(|p| p.distance(DVec3::new(9.0 + 1.6, 2.0, 10.0)) < 1e-12)
    );
    assert!(
        b.vertices
            .iter()
            .any(|p| p.distance(DVec3::new(2.0, 9.0 - 1.5, 15.0)) < 1e-12)
    );
}

#[test]
fn board_with_a_groove_stopped_at_one_end() {
    let full = Region::solid(Loop::rect(v(0.0, 0.0), v(300.0, 200.0)));
    let groove = Loop::polygon(&[
        v(0.0, 0.0),
        v(300.0, 0.0),
        v(300.0, 80.0),
        v(50.0, 80.0),
        v(50.0, 92.0),
        v(300.0, 92.0),
        v(300.0, 200.0),
        v(0.0, 200.0),
    ]);
    let recipe = stack(
        0.0,
        vec![(10.0, full.clone()), (18.0, Region::solid(groove.clone()))],
        vec![],
    );
    let b = solid(
        &recipe,
        300.0 * 200.0 * 18.0 - 250.0 * 12.0 * 8.0,
        [0.0; 3],
        [300.0, 200.0, 18.0],
    );
    // The six sides, of which one has the groove's mouth cut out, and the groove's floor and three walls.
    assert_eq!(b.faces.len(), 10);
    // With an arc at the stopped end the wall is a half turn.
    let round = Loop {
        nodes: groove
            .nodes
            .iter()
            .enumerate()
            .map(|(i, n)| {
                if i == 3 {
                    bend(50.0, 80.0, 50.0, 86.0, false)
                } else {
                    *n
                }
            })
            .collect(),
    };
    let recipe = stack(
        0.0,
        vec![(10.0, full), (18.0, Region::solid(round))],
        vec![
            // into the end grain, across the level at which the layers meet
            hole(
                DVec3::new(300.0, 150.0, 10.0),
                DVec3::NEG_X,
                &[(0.0, 3.0), (40.0, 3.0)],
                true,
            ),
        ],
    );
    let cut = 250.0 * 12.0 * 8.0 + PI * 18.0 * 8.0 + PI * 9.0 * 40.0;
    solid(
        &recipe,
        300.0 * 200.0 * 18.0 - cut,
        [0.0; 3],
        [300.0, 200.0, 18.0],
    );
}

#[test]
fn board_with_fingers_and_a_pocket() {
    // Ten fingers of 20 mm on one end, every second cut back by 18.
    let mut p = vec![v(0.0, 0.0), v(300.0, 0.0)];
    for i in 0..5 {
        let y = 40.0 * f64::from(i);
        if i > 0 {
            p.push(v(300.0, y));
        }
        p.extend([v(300.0, y + 20.0), v(282.0, y + 20.0), v(282.0, y + 40.0)]);
    }
    p.push(v(0.0, 200.0));
    let outline = Loop::polygon(&p);
    let pocket = Loop::rounded_rect(v(50.0, 50.0), v(90.0, 80.0), 5.0).unwrap();
    let through = Loop::circle(v(150.0, 100.0), 30.0);
    let recipe = stack(
        0.0,
        vec![
            (
                12.0,
                Region {
                    outer: outline.clone(),
                    inner: vec![through.clone()],
                },
            ),
            (
                18.0,
                Region {
                    outer: outline,
                    inner: vec![through, pocket],
                },
            ),
        ],
        vec![hole(
            DVec3::new(70.0, 65.0, 12.0),
            DVec3::NEG_Z,
            &[(0.0, 4.0), (12.0, 4.0)],
            false,
        )],
    );
    let plain = (300.0 * 200.0 - 5.0 * 18.0 * 20.0 - PI * 900.0) * 18.0;
    let cut = (40.0 * 30.0 - (4.0 - PI) * 25.0) * 6.0 + PI * 16.0 * 12.0;
    let b = solid(&recipe, plain - cut, [0.0; 3], [300.0, 200.0, 18.0]);
    // The bore through both layers is two half turns of full height.
    let tall = b
        .faces
        .iter()
        .filter(|f| matches!(f.surface, Surface::Cylinder { radius, .. } if radius == 30.0))
        .count();
    assert_eq!(tall, 2);
}

#[test]
fn bevelled_baffle_with_cutout() {
    // Upper and lower edge sloped by a tilt: the section along y is a parallelogram, so the volume is that of the plain board.
    let bottom = Loop::rect(v(0.0, 0.0), v(400.0, 300.0));
    let top = Loop::rect(v(0.0, 3.0), v(400.0, 303.0));
    let cutout = Loop::circle(v(200.0, 150.0), 120.0);
    let bolts: Vec<Hole> = (0..4)
        .map(|i| {
            let p = v(200.0, 150.0) + direction(45.0 + 90.0 * f64::from(i)) * 140.0;
            hole(
                p.extend(18.0),
                DVec3::NEG_Z,
                &[(0.0, 3.0), (18.0, 3.0)],
                false,
            )
        })
        .collect();
    let recipe = Recipe::Bevelled {
        bottom: bottom.clone(),
        top,
        thickness: 18.0,
        windows: vec![cutout],
        holes: bolts,
    };
    let exact = (400.0 * 300.0 - PI * 14400.0 - 4.0 * PI * 9.0) * 18.0;
    solid(&recipe, exact, [0.0; 3], [400.0, 303.0, 18.0]);
    // All four sides: a frustum of a pyramid, h/3 (A + sqrt(A B) + B) for similar outlines.
    let top = Loop::rect(v(20.0, 15.0), v(380.0, 285.0));
    let recipe = Recipe::Bevelled {
        bottom,
        top,
        thickness: 20.0,
        windows: vec![],
        holes: vec![],
    };
    let (a, b) = (400.0 * 300.0, 360.0 * 270.0);
    solid(
        &recipe,
        20.0 / 3.0 * (a + f64::sqrt(a * b) + b),
        [0.0; 3],
        [400.0, 300.0, 20.0],
    );
}

#[test]
fn counterbored_window_and_boss() {
    // Three layers: a boss, a plate, a recess round a window.
    let window = Loop::circle(v(0.0, 0.0), 10.0);
    let plate = Loop::rect(v(-50.0, -40.0), v(50.0, 40.0));
    let ring = |r: f64| Region {
        outer: Loop::circle(v(0.0, 0.0), r),
        inner: vec![window.clone()],
    };
    let layers = vec![
        (5.0, ring(20.0)),
        (
            8.0,
            Region {
                outer: plate.clone(),
                inner: vec![window.clone()],
            },
        ),
        (
            10.0,
            Region {
                outer: plate,
                inner: vec![Loop::circle(v(0.0, 0.0), 15.0)],
            },
        ),
    ];
    let exact = PI * 300.0 * 5.0 + (8000.0 - 100.0 * PI) * 3.0 + (8000.0 - 225.0 * PI) * 2.0;
    solid(
        &stack(0.0, layers, vec![]),
        exact,
        [-50.0, -40.0, 0.0],
        [50.0, 40.0, 10.0],
    );
}
