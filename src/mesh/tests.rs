use super::test_bodies::*;
use super::*;
use glam::DVec2;
use std::f64::consts::PI;

/// Bodies with their volumes in closed form (textbook formulas; Pappus's rule for the turned ones).
fn known() -> Vec<(&'static str, Body, f64)> {
    let sink = {
        let (r, big, deep) = (2.2_f64, 4.3_f64, 2.1_f64);
        PI * r * r * (3.0 - deep) + PI * deep / 3.0 * (r * r + r * big + big * big)
    };
    // The hollow takes a quarter disc of radius 10 away, centred at radius 20; its centroid is 4 r / (3 pi) from the centre.
    let quarter = PI * 100.0 / 4.0;
    let hollow =
        PI * 400.0 * 15.0 - quarter * 2.0 * PI * (20.0 - 40.0 / (3.0 * PI)) + PI * 100.0 * 10.0;
    vec![
        (
            "block",
            block(DVec3::new(-1.0, 2.0, 3.0), DVec3::new(5.0, 4.0, 8.0)),
            60.0,
        ),
        ("cylinder", cylinder(6.3, 20.0), PI * 6.3 * 6.3 * 20.0),
        ("thin pin", cylinder(0.4, 20.0), PI * 0.16 * 20.0),
        (
            "washer",
            washer(2.1, 4.5, 0.8),
            PI * (4.5 * 4.5 - 2.1 * 2.1) * 0.8,
        ),
        ("cone", cone(5.0, 12.0), PI * 25.0 * 12.0 / 3.0),
        ("ball", ball(7.0), 4.0 / 3.0 * PI * 343.0),
        (
            "bulb",
            bulb(14.0, 50.0),
            PI * 196.0 * 50.0 + 2.0 / 3.0 * PI * 2744.0,
        ),
        ("torus", torus(30.0, 8.0), 2.0 * PI * PI * 30.0 * 64.0),
        ("hollowed", hollowed(), hollow),
        (
            "plate",
            bar_plate(),
            (400.0 * 200.0 - (4.0 - PI) * 9.0) * 3.0 - 40.0 * sink,
        ),
    ]
}

#[test]
fn every_division_gives_a_closed_oriented_mesh() {
    for (name, body, _) in known() {
        for division in [
            Division::EqualArea { chord: 0.02 },
            Division::EqualArea { chord: 0.002 },
            Division::EqualArea { chord: 5.0 },
            Division::Outward { deviation: 0.012 },
            Division::Outward { deviation: 1.0 },
        ] {
            let mesh = mesh(&body, division);
            let found = mesh.check();
            assert!(
                found.is_sound(),
                "{name} {division:?}: {found:?}, {} triangles",
                mesh.triangles.len()
            );
            let mut seen: Vec<[u64; 3]> = mesh
                .points
                .iter()
                .map(|p| p.to_array().map(f64::to_bits))
                .collect();
            seen.sort_unstable();
            assert!(
                seen.windows(2).all(|w| w[0] != w[1]),
                "{name}: two corners in one place"
            );
        }
    }
}

#[test]
fn export_meshes_keep_the_volume() {
    for (name, body, exact) in known() {
        let mesh = export_mesh(&body, exact);
        let error = mesh.volume() / exact - 1.0;
        assert!(error.abs() < 0.002, "{name}: {error}");
    }
}

#[test]
fn equal_area_polygons_have_the_area_of_their_circle() {
    // So a straight-walled part has its exact volume at any chord.
    for chord in [0.5, 0.02] {
        let exact = PI * 6.3 * 6.3 * 20.0;
        let volume = mesh(&cylinder(6.3, 20.0), Division::EqualArea { chord }).volume();
        assert!(
            (volume / exact - 1.0).abs() < 1e-12,
            "{chord}: {volume} {exact}"
        );
    }
}

/// Signed distance to the exact surface (negative inside), by closed form.
type Exact = fn(DVec3) -> f64;

fn disc(p: DVec3) -> DVec2 {
    DVec2::new(p.truncate().length(), p.z)
}

/// Signed distance to a convex profile given by half planes is exact on faces and near them, which is where it is asked.
fn solids_with_distance() -> Vec<(&'static str, Body, Exact)> {
    vec![
        ("cylinder", cylinder(14.0, 20.0), |p| {
            (disc(p).x - 14.0).max(-p.z).max(p.z - 20.0)
        }),
        ("washer", washer(3.0, 8.0, 2.0), |p| {
            (disc(p).x - 8.0)
                .max(3.0 - disc(p).x)
                .max(-p.z)
                .max(p.z - 2.0)
        }),
        ("ball", ball(7.0), |p| p.length() - 7.0),
        ("torus", torus(30.0, 8.0), |p| {
            (disc(p) - DVec2::new(30.0, 0.0)).length() - 8.0
        }),
        ("cone", cone(5.0, 12.0), |p| {
            ((disc(p).x * 12.0 + p.z * 5.0 - 60.0) / 13.0).max(-p.z)
        }),
        (
            "rounded plate",
            plate(DVec3::ZERO, DVec3::new(30.0, 20.0, 2.0), 6.0, &[]),
            |p| {
                let q = (p.truncate() - DVec2::new(15.0, 10.0)).abs() - DVec2::new(9.0, 4.0);
                (q.max(DVec2::ZERO).length() + q.max_element().min(0.0) - 6.0)
                    .max(-p.z)
                    .max(p.z - 2.0)
            },
        ),
        ("hollowed", hollowed(), |p| {
            let q = disc(p);
            let flange = (q.x - 20.0)
                .max(-q.y)
                .max(q.y - 15.0)
                .max(10.0 - (q - DVec2::new(20.0, 15.0)).length());
            flange.min((q.x - 10.0).max(-q.y).max(q.y - 25.0))
        }),
    ]
}

/// Points spread over every triangle, its corners included.
fn spread(mesh: &Mesh) -> Vec<DVec3> {
    let shares = [
        (0.0, 0.0),
        (1.0, 0.0),
        (0.0, 1.0),
        (0.5, 0.5),
        (0.5, 0.0),
        (0.0, 0.5),
        (1.0 / 3.0, 1.0 / 3.0),
        (0.1, 0.2),
    ];
    (0..mesh.triangles.len())
        .flat_map(|t| {
            let [a, b, c] = mesh.corners(t);
            shares.map(|(u, v)| a + (b - a) * u + (c - a) * v)
        })
        .collect()
}

#[test]
fn outward_meshes_hold_the_body_and_stay_within_the_deviation() {
    for deviation in [0.012, 0.3] {
        for (name, body, exact) in solids_with_distance() {
            let mesh = mesh(&body, Division::Outward { deviation });
            let mut most: f64 = 0.0;
            for p in spread(&mesh) {
                let d = exact(p);
                assert!(d > -1e-9, "{name}: the mesh is {d} inside the body at {p}");
                // Faces that cut into each other at an edge stick out by both deviations there.
                assert!(d <= deviation + 1e-9, "{name}: {d} outside at {p}");
                most = most.max(d);
            }
            // Not divided more than needed: the deviation is used.
            assert!(
                most > 0.5 * deviation,
                "{name}: only {most} of {deviation} used"
            );
        }
    }
}

#[test]
fn the_drilled_plate_is_light() {
    let mesh = mesh(&bar_plate(), Division::EqualArea { chord: 0.02 });
    assert!(mesh.triangles.len() < 12_000, "{}", mesh.triangles.len());
}

#[test]
fn rounding_drops_what_it_flattens_and_stays_closed() {
    // A sliver of 1e-6 mm on a part 500 mm from the origin vanishes in single precision.
    let body = block(
        DVec3::new(500.0, 500.0, 500.0),
        DVec3::new(510.0, 510.0, 500.000_001),
    );
    let mesh = mesh(&body, Division::EqualArea { chord: 0.02 });
    let rounded = mesh.rounded();
    assert!(rounded.triangles.len() < mesh.triangles.len());
    let back = Mesh {
        points: rounded
            .points
            .iter()
            .map(|p| DVec3::from_array(p.map(f64::from)))
            .collect(),
        triangles: rounded.triangles.clone(),
    };
    assert_eq!((back.check().open_edges, back.check().degenerate), (0, 0));
}

#[test]
fn rounding_leaves_no_negative_zero() {
    let body = cylinder(3.0, 2.0).clone();
    let turned = mesh(&body, Division::EqualArea { chord: 0.02 }).transformed(&Pose {
        rot: glam::DMat3::from_diagonal(DVec3::new(-1.0, -1.0, 1.0)),
        at: DVec3::ZERO,
    });
    let rounded = turned.rounded();
    assert_eq!(rounded.triangles.len(), turned.triangles.len());
    assert!(
        rounded
            .points
            .iter()
            .flatten()
            .all(|x| x.to_bits() != (-0.0_f32).to_bits())
    );
}
