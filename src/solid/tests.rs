//! Every family of bodies against closed forms: volumes of prisms, cylinders, frusta and balls, and areas of circular
//! segments, as in any handbook (Bronstein, Taschenbuch der Mathematik, chapter on solids), written out beside each case; Pappus's
//! theorem for rings.

use super::*;
use crate::outline::{Arc, Loop, Node, Region, direction};
use crate::pose::Pose;
use glam::{DMat3, DVec2, DVec3};
use std::f64::consts::PI;
use truck_meshalgo::prelude::*;
use truck_modeling::Surface as TruckSurface;

fn v(x: f64, y: f64) -> DVec2 {
    DVec2::new(x, y)
}

pub(super) fn slab(region: Region, top: f64, holes: Vec<Hole>) -> Recipe {
    Recipe::Layered {
        base: 0.0,
        layers: vec![Layer::new(top, region)],
        holes,
    }
}

fn stack(base: f64, layers: Vec<(f64, Region)>, holes: Vec<Hole>) -> Recipe {
    let layers = layers
        .into_iter()
        .map(|(top, region)| Layer::new(top, region))
        .collect();
    Recipe::Layered {
        base,
        layers,
        holes,
    }
}

pub(super) fn hole(at: DVec3, dir: DVec3, profile: &[(f64, f64)], blind: bool) -> Hole {
    Hole {
        at,
        dir,
        profile: profile.iter().map(|&(d, r)| v(d, r)).collect(),
        blind,
    }
}

fn node(x: f64, y: f64) -> Node {
    Node {
        at: v(x, y),
        arc: None,
    }
}

fn bend(x: f64, y: f64, cx: f64, cy: f64, ccw: bool) -> Node {
    Node {
        at: v(x, y),
        arc: Some(Arc {
            centre: v(cx, cy),
            ccw,
        }),
    }
}

fn turned(nodes: Vec<Node>) -> Recipe {
    Recipe::Turned {
        profile: Loop { nodes },
        holes: vec![],
    }
}

/// Builds, compares volume and box, and compares truck's solid with the record.
fn solid(recipe: &Recipe, volume: f64, low: [f64; 3], high: [f64; 3]) -> Body {
    let body = build(recipe).unwrap();
    let got = body.volume();
    assert!(
        (got - volume).abs() <= 1e-12 * volume,
        "volume {got} for {volume}: {:e}",
        got / volume - 1.0
    );
    let b = body.bounds(&Pose::IDENTITY);
    assert!(
        b[0].distance(low.into()) < 1e-9 && b[1].distance(high.into()) < 1e-9,
        "box {b:?}"
    );
    compare_truck(&body);
    body
}

/// Points of every truck face lie on the record's surface, and truck's normals there point outwards.
pub(super) fn compare_truck(body: &Body) {
    let truck = to_truck(body).unwrap();
    let shell = &truck.boundaries()[0];
    assert_eq!(shell.shell_condition(), ShellCondition::Closed);
    assert_eq!(shell.len(), body.faces.len());
    let points = body.samples(5);
    for (i, f) in shell.face_iter().enumerate() {
        let ours = &body.faces[i];
        let out = if ours.sense { 1.0 } else { -1.0 };
        let surface = f.surface();
        let mut seen = 0;
        let mut at = |p: Point3, n: Vector3| {
            let p = DVec3::new(p.x, p.y, p.z);
            assert!(
                ours.surface.distance(p).abs() < 1e-9,
                "face {i} of {:?}: {:e}",
                ours.surface,
                ours.surface.distance(p)
            );
            let own = ours.surface.normal(p) * out;
            // Where the surface ends in a tip it has no normal.
            if own.length() > 0.5 && n.magnitude() > 0.5 {
                assert!(
                    own.dot(DVec3::new(n.x, n.y, n.z)) > 1.0 - 1e-9,
                    "face {i}: {own} {n:?}"
                );
                seen += 1;
            }
        };
        match &surface {
            TruckSurface::Plane(_) => {
                for a in 0..4 {
                    for b in 0..4 {
                        at(
                            surface.subs(f64::from(a), f64::from(b)),
                            surface.normal(f64::from(a), f64::from(b)),
                        );
                    }
                }
            }
            TruckSurface::RevolutedCurve(p) => {
                let (a, b) = p.entity().entity_curve().range_tuple();
                // An inverted surface swaps its parameters.
                let swapped = !p.orientation();
                for k in 0..7 {
                    for l in 1..7 {
                        let u = a + (b - a) * f64::from(l) / 7.0;
                        let w = f64::from(k) * 0.9;
                        let (u, w) = if swapped { (w, u) } else { (u, w) };
                        at(surface.subs(u, w), surface.normal(u, w));
                    }
                }
            }
            _ => panic!("face {i} is neither a plane nor turned"),
        }
        assert!(seen > 8, "face {i}");
    }
    // The record's own samples: on the surface, outside where their normals point.
    for (i, p, n) in points {
        let f = &body.faces[i];
        assert!(f.surface.distance(p).abs() < 1e-9);
        // A step along the wall's normal from the tip of a hollow cone lands beyond the axis, nearer to the wall opposite.
        if f.surface.normal(p) == DVec3::ZERO {
            continue;
        }
        let beyond = f.surface.distance(p + n * 1e-3) * if f.sense { 1.0 } else { -1.0 };
        assert!(beyond > 0.9e-3, "face {i}: {beyond}");
    }
}

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

pub(super) fn plate_with_40() -> (Recipe, f64) {
    let (x, y, t, r) = (400.0, 200.0, 3.0, 6.0);
    let outer = Loop::rounded_rect(v(0.0, 0.0), v(x, y), r).unwrap();
    let d = Loop::d_hole(v(15.0, 15.0), 5.0, 3.5, 0.0).unwrap();
    let mut exact = x * y * t - (4.0 - PI) * r * r * t;
    let angle = (3.5f64 / 5.0).acos();
    exact -= t * (PI * 25.0 - (25.0 * angle - 3.5 * (25.0f64 - 3.5 * 3.5).sqrt()));
    let mut holes = vec![];
    for i in 0..10 {
        for j in 0..4 {
            let (q, w) = (2.0 + f64::from(j), 4.0 + f64::from(j));
            let at = DVec3::new(30.0 + 37.0 * f64::from(i), 35.0 + 45.0 * f64::from(j), t);
            holes.push(hole(
                at,
                DVec3::NEG_Z,
                &[(0.0, w), (2.0, q), (3.0, q)],
                false,
            ));
            exact -= PI * (q * q + (q * q + q * w + w * w) / 3.0 * 2.0);
        }
    }
    (
        slab(
            Region {
                outer,
                inner: vec![d],
            },
            t,
            holes,
        ),
        exact,
    )
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
