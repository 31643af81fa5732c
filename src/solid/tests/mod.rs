//! Every family of bodies against closed forms: volumes of prisms, cylinders, frusta and balls, and areas of circular
//! segments, as in any handbook (Bronstein, Taschenbuch der Mathematik, chapter on solids), written out beside each case; Pappus's
//! theorem for rings.

mod boxes;
mod flats;
mod sunk;
mod turned;

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
