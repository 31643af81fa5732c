//! Distances against trying all pairs of triangles, contact against the overlap of fine meshes, and both against closed forms.

use super::*;
use crate::outline::{Loop, Region};
use crate::solid::{Hole, Layer, Recipe, build};
use glam::DVec2;
use proptest::prelude::*;

fn v(x: f64, y: f64) -> DVec2 {
    DVec2::new(x, y)
}

fn slab(region: Region, top: f64, holes: Vec<Hole>) -> Body {
    build(&Recipe::Layered {
        base: 0.0,
        layers: vec![Layer::new(top, region)],
        holes,
    })
    .unwrap()
}

fn block(x: f64, y: f64, z: f64) -> Body {
    slab(Region::solid(Loop::rect(v(0.0, 0.0), v(x, y))), z, vec![])
}

fn turned(points: &[(f64, f64)]) -> Body {
    let points: Vec<DVec2> = points.iter().map(|&(x, y)| v(x, y)).collect();
    build(&Recipe::Turned {
        profile: Loop::polygon(&points),
        holes: vec![],
    })
    .unwrap()
}

fn drilled(x: f64, y: f64, z: f64, holes: &[(f64, f64, f64, f64)]) -> Body {
    let holes = holes
        .iter()
        .map(|&(hx, hy, r, head)| {
            let mut profile = vec![v(0.0, r), v(z, r)];
            if head > r {
                profile = vec![v(0.0, head), v(head - r, r), v(z, r)];
            }
            Hole {
                at: DVec3::new(hx, hy, z),
                dir: DVec3::NEG_Z,
                profile,
                blind: false,
            }
        })
        .collect();
    slab(Region::solid(Loop::rect(v(0.0, 0.0), v(x, y))), z, holes)
}

/// The parts that meet in an amp, on a grid of whole mm so that their faces often fall together.
fn some_body() -> impl Strategy<Value = Body> {
    let mm = |low: i32, high: i32| (low..high).prop_map(f64::from);
    prop_oneof![
        (mm(1, 6), mm(1, 6), mm(1, 6)).prop_map(|(x, y, z)| block(x, y, z)),
        // an angle
        (mm(3, 6), mm(3, 6), mm(1, 3), mm(2, 7)).prop_map(|(x, y, t, z)| {
            slab(
                Region::solid(Loop::polygon(&[
                    v(0.0, 0.0),
                    v(x, 0.0),
                    v(x, t),
                    v(t, t),
                    v(t, y),
                    v(0.0, y),
                ])),
                z,
                vec![],
            )
        }),
        // a channel, open upwards
        (mm(1, 3), mm(1, 4), mm(3, 6), mm(2, 6)).prop_map(|(t, w, y, z)| {
            let x = w + 2.0 * t;
            slab(
                Region::solid(Loop::polygon(&[
                    v(0.0, 0.0),
                    v(x, 0.0),
                    v(x, y),
                    v(x - t, y),
                    v(x - t, t),
                    v(t, t),
                    v(t, y),
                    v(0.0, y),
                ])),
                z,
                vec![],
            )
        }),
        // the end of a box joint
        (mm(1, 3), 1..4i32, mm(1, 3), mm(1, 4)).prop_map(|(w, n, deep, z)| {
            let mut points = vec![v(0.0, -2.0)];
            let whole = f64::from(2 * n) * w;
            points.push(v(whole, -2.0));
            for k in (0..n).rev() {
                let x = f64::from(2 * k) * w;
                points.extend([
                    v(x + 2.0 * w, 0.0),
                    v(x + w, 0.0),
                    v(x + w, deep),
                    v(x, deep),
                ]);
                if k > 0 {
                    points.push(v(x, 0.0));
                }
            }
            points.dedup();
            slab(Region::solid(Loop::polygon(&points)), z, vec![])
        }),
        // a board with a groove that stops
        (mm(4, 8), mm(1, 3), mm(1, 4)).prop_map(|(x, w, stop)| {
            let whole = Region::solid(Loop::rect(v(0.0, 0.0), v(x, 6.0)));
            let cut = Region::solid(Loop::polygon(&[
                v(0.0, 0.0),
                v(x, 0.0),
                v(x, 2.0),
                v(x - stop, 2.0),
                v(x - stop, 2.0 + w),
                v(x, 2.0 + w),
                v(x, 6.0),
                v(0.0, 6.0),
            ]));
            build(&Recipe::Layered {
                base: 0.0,
                layers: vec![Layer::new(1.0, whole), Layer::new(2.0, cut)],
                holes: vec![],
            })
            .unwrap()
        }),
        // drilled plates, some holes countersunk
        (mm(1, 4), mm(1, 4), prop_oneof![Just(0.0), Just(2.0)]).prop_map(|(z, r, head)| {
            let head = if z >= 2.0 && head > r { head } else { 0.0 };
            drilled(
                12.0,
                8.0,
                z,
                &[(4.0, 4.0, r.min(3.0), head), (9.0, 4.0, 1.0, 0.0)],
            )
        }),
        // pins, washers and screws
        (mm(1, 4), mm(1, 8)).prop_map(|(r, h)| turned(&[(0.0, 0.0), (r, 0.0), (r, h), (0.0, h)])),
        (mm(1, 3), mm(1, 3), mm(1, 4)).prop_map(|(r, w, h)| turned(&[
            (r, 0.0),
            (r + w, 0.0),
            (r + w, h),
            (r, h)
        ])),
        (mm(1, 3), mm(1, 3), mm(1, 3), mm(1, 6), prop::bool::ANY).prop_map(|(r, w, h, l, sunk)| {
            let neck = if sunk { w } else { 0.0 };
            let mut points = vec![(0.0, -neck - l), (r, -neck - l), (r, -neck), (r + w, 0.0)];
            if !sunk {
                points.push((r + w, h));
                points.push((0.0, h));
            } else {
                points.push((0.0, 0.0));
            }
            turned(&points)
        }),
        // a rounded plate
        (mm(4, 8), mm(4, 8), mm(1, 3)).prop_map(|(x, y, z)| {
            slab(
                Region::solid(Loop::rounded_rect(v(0.0, 0.0), v(x, y), 1.0).unwrap()),
                z,
                vec![],
            )
        }),
        (2..6i32, mm(1, 4)).prop_map(|(af, h)| {
            slab(
                Region {
                    outer: Loop::hexagon(v(0.0, 0.0), 2.0 * f64::from(af), 0.0),
                    inner: vec![Loop::circle(v(0.0, 0.0), 1.0)],
                },
                h,
                vec![],
            )
        }),
    ]
}

/// Axes along axes, at whole or half mm, now and then a little off.
fn some_pose() -> impl Strategy<Value = Pose> {
    let axes = [
        DVec3::X,
        DVec3::Y,
        DVec3::Z,
        DVec3::NEG_X,
        DVec3::NEG_Y,
        DVec3::NEG_Z,
    ];
    let turned = (0..6usize, 1..6usize).prop_map(move |(i, j)| {
        // The next direction that is square to the first.
        let u = axes[i];
        let w = (0..6)
            .map(|k| axes[(i + j + k) % 6])
            .find(|w| w.dot(u) == 0.0)
            .unwrap_or(DVec3::Z);
        (u, w)
    });
    let share = prop_oneof![2 => Just(1.0), 1 => Just(0.5)];
    let off = prop_oneof![6 => Just(0.0), 1 => Just(0.02), 1 => Just(0.005), 1 => Just(-0.005), 1 => Just(1e-8)];
    let place = (-5..6i32, -5..6i32, -5..6i32);
    (turned, place, share, off, 0..3usize).prop_map(|((u, w), (x, y, z), share, off, k)| {
        let mut at = DVec3::new(f64::from(x), f64::from(y), f64::from(z)) * share;
        at[k] += off;
        Pose::from_axes(u, w, at)
    })
}

/// How often contact was shown, how often it was not, and how often there was an overlap.
#[derive(Default)]
struct Tally {
    shown: usize,
    open: usize,
    overlaps: usize,
}

fn check_contact(
    a: &Body,
    a_pose: &Pose,
    b: &Body,
    b_pose: &Pose,
    tally: &mut Tally,
) -> Result<(), String> {
    let (pa, pb) = (Prepared::new(a), Prepared::new(b));
    let met = distance(&pa, a_pose, &pb, b_pose, 1.0).is_some_and(|n| n.distance == 0.0);
    let buried =
        pb.contains(b_pose, pa.inner_point(a_pose)) || pa.contains(a_pose, pb.inner_point(b_pose));
    if !met || buried {
        return Ok(());
    }
    let touch = contact::only_touch(&pa, a_pose, &pb, b_pose);
    let common = overlap(&pa, a_pose, &pb, b_pose);
    // Meshes of equal area bulge over the circle: two cylinders that touch along a line overlap by their chord.
    if touch && common.volume > 1e-3 && common.depth > 2.0 * OVERLAP_CHORD {
        return Err(format!("shown to touch, but {common:?}"));
    }
    if common.volume > 0.0 && !touch {
        tally.overlaps += 1;
    } else if touch {
        tally.shown += 1;
    } else {
        tally.open += 1;
    }
    Ok(())
}

#[test]
fn what_is_shown_to_touch_has_no_overlap() {
    let cases: u32 = std::env::var("CONTACT_CASES")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(1500);
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut tally = Tally::default();
    let (bodies, poses) = ((some_body(), some_body()), (some_pose(), some_pose()));
    for _ in 0..cases {
        use proptest::strategy::ValueTree;
        let (a, b) = bodies.new_tree(&mut runner).unwrap().current();
        let (pa, pb) = poses.new_tree(&mut runner).unwrap().current();
        if let Err(e) = check_contact(&a, &pa, &b, &pb, &mut tally) {
            panic!("{e}\n{pa:?}\n{pb:?}\n{a:?}\n{b:?}");
        }
    }
    eprintln!(
        "touching and shown {}, touching and not shown {}, overlapping {}",
        tally.shown, tally.open, tally.overlaps
    );
    // Most contacts are shown, or the check would be slow.
    assert!(
        tally.shown > 2 * tally.open,
        "{} shown, {} not",
        tally.shown,
        tally.open
    );
    assert!(tally.overlaps > 100 && tally.shown > 50);
}

/// Any direction.
fn any_pose() -> impl Strategy<Value = Pose> {
    (
        -1.0..1.0,
        -1.0..1.0,
        0.0..6.3,
        -9.0..9.0,
        -9.0..9.0,
        -9.0..9.0,
    )
        .prop_map(|(a, b, c, x, y, z): (f64, f64, f64, f64, f64, f64)| Pose {
            rot: glam::DMat3::from_euler(glam::EulerRot::XYZ, a, b, c),
            at: DVec3::new(x, y, z) * 1.5,
        })
}

/// Least distance of all pairs of triangles of two meshes.
fn of_all_pairs(a: &Mesh, b: &Mesh) -> f64 {
    let mut least = f64::INFINITY;
    for i in 0..a.triangles.len() {
        for j in 0..b.triangles.len() {
            if let Some((d, _)) = triangle::closest(&a.corners(i), &b.corners(j), least) {
                least = d;
            }
        }
    }
    least.sqrt()
}

fn check_distance(a: &Body, a_pose: &Pose, b: &Body, b_pose: &Pose) -> Result<(), String> {
    let (pa, pb) = (Prepared::new(a), Prepared::new(b));
    let found = distance(&pa, a_pose, &pb, b_pose, 1e3).unwrap();
    let [p, q] = found.at;
    if (p.distance(q) - found.distance).abs() > 1e-6 {
        return Err(format!(
            "{} between points {} apart",
            found.distance,
            p.distance(q)
        ));
    }
    // Finer meshes that hold the bodies: the true distance is at most twice their deviation above theirs.
    let fine = |body: &Body, pose: &Pose| {
        crate::mesh::mesh(body, Division::Outward { deviation: 0.001 }).transformed(pose)
    };
    let (fa, fb) = (fine(a, a_pose), fine(b, b_pose));
    let low = of_all_pairs(&fa, &fb);
    if found.distance > low + 0.002 + 1e-9 || found.distance < low - 2.0 * CHECK_DEVIATION - 1e-9 {
        return Err(format!("{} for {low}", found.distance));
    }
    for (p, mesh) in [(p, &fa), (q, &fb)] {
        let off = (0..mesh.triangles.len())
            .map(|t| triangle::nearest(p, &mesh.corners(t)).distance(p))
            .fold(f64::INFINITY, f64::min);
        if off > CHECK_DEVIATION + 0.001 {
            return Err(format!("{p} is {off} off the surface"));
        }
    }
    let back = distance(&pb, b_pose, &pa, a_pose, 1e3).unwrap();
    if (back.distance - found.distance).abs() > 1e-9 {
        return Err(format!(
            "{} one way, {} the other",
            found.distance, back.distance
        ));
    }
    // A limit changes nothing but what is out of reach.
    let near = distance(&pa, a_pose, &pb, b_pose, found.distance + 1e-3);
    if near.is_none_or(|n| (n.distance - found.distance).abs() > 1e-9) {
        return Err(format!("{} but {near:?} with a limit", found.distance));
    }
    if found.distance > 1e-3 && distance(&pa, a_pose, &pb, b_pose, found.distance - 1e-3).is_some()
    {
        return Err(format!("{} found beyond the limit", found.distance));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn distances_are_those_of_all_pairs_of_fine_triangles(
        bodies in (some_body(), some_body()),
        poses in prop_oneof![
            (some_pose().boxed(), some_pose().boxed()),
            (any_pose().boxed(), any_pose().boxed()),
            (some_pose().boxed(), any_pose().boxed()),
        ],
    ) {
        if let Err(e) = check_distance(&bodies.0, &poses.0, &bodies.1, &poses.1) {
            prop_assert!(false, "{e}");
        }
    }

    /// Parts about one axis, where distances are exact.
    #[test]
    fn distances_about_one_axis(
        (r, bore, t) in (1..4i32, 1..4i32, 1..6i32),
        z in -4.0..14.0f64,
        upside in prop::bool::ANY,
        hole in 0..2usize,
    ) {
        let (r, bore, t) = (f64::from(r), f64::from(bore), f64::from(t));
        let pin = turned(&[(0.0, -9.0), (r, -9.0), (r, 0.0), (r + 1.5, 0.0), (r + 1.0, 1.0), (0.0, 1.0)]);
        let plate = drilled(12.0, 8.0, t, &[(4.0, 4.0, bore, 0.0), (9.0, 4.0, 1.0, 1.5)]);
        let at = DVec3::new([4.0, 9.0][hole], 4.0, z);
        let pose = if upside { Pose::from_axes(DVec3::X, DVec3::NEG_Y, at) } else { Pose::shift(at) };
        if let Err(e) = check_distance(&pin, &pose, &plate, &Pose::IDENTITY) {
            prop_assert!(false, "{e}");
        }
    }
}

/// Clearance and overlap of two bodies at their own places.
fn pair(a: &Body, a_pose: Pose, b: &Body, b_pose: Pose) -> PairMeasure {
    measure_pair(&Prepared::new(a), &a_pose, &Prepared::new(b), &b_pose, 50.0).unwrap()
}

fn up(x: f64, y: f64, z: f64) -> Pose {
    Pose::shift(DVec3::new(x, y, z))
}

#[test]
fn a_shank_in_its_hole_has_the_difference_of_the_radii() {
    let plate = drilled(40.0, 20.0, 3.0, &[(10.0, 10.0, 2.25, 0.0)]);
    for (r, gap) in [(2.0, 0.25), (2.24, 0.01), (2.25, 0.0)] {
        let shank = turned(&[(0.0, -5.0), (r, -5.0), (r, 8.0), (0.0, 8.0)]);
        let m = pair(&plate, Pose::IDENTITY, &shank, up(10.0, 10.0, 0.0));
        assert!((m.clearance - gap).abs() < 1e-9, "{r}: {m:?}");
        assert_eq!(m.overlap, 0.0);
    }
    // Off the middle of the hole, where no formula is used: 0.25 less 0.1.
    let shank = turned(&[(0.0, -5.0), (2.0, -5.0), (2.0, 8.0), (0.0, 8.0)]);
    let m = pair(&plate, Pose::IDENTITY, &shank, up(10.1, 10.0, 0.0));
    assert!(
        m.clearance <= 0.15 + 1e-9 && m.clearance >= 0.15 - 0.024,
        "{m:?}"
    );
}

#[test]
fn bolted_parts_touch_and_do_not_overlap() {
    let plate = drilled(
        40.0,
        20.0,
        3.0,
        &[(10.0, 10.0, 2.0, 0.0), (30.0, 10.0, 1.5, 3.0)],
    );
    let nut = slab(
        Region {
            outer: Loop::hexagon(v(0.0, 0.0), 7.0, 0.0),
            inner: vec![Loop::circle(v(0.0, 0.0), 1.5)],
        },
        2.4,
        vec![],
    );
    let washer = turned(&[(1.6, 0.0), (3.5, 0.0), (3.5, 0.5), (1.6, 0.5)]);
    let screw = turned(&[
        (0.0, -12.0),
        (1.5, -12.0),
        (1.5, 0.0),
        (2.75, 0.0),
        (2.75, 2.0),
        (0.0, 2.0),
    ]);
    let sunk = turned(&[
        (0.0, -12.0),
        (1.5, -12.0),
        (1.5, -1.5),
        (3.0, 0.0),
        (0.0, 0.0),
    ]);
    let none = Pose::IDENTITY;
    let touching = [
        (
            "nut on plate",
            pair(&plate, none, &nut, up(10.0, 10.0, 3.0)),
        ),
        (
            "nut under plate, turned",
            pair(&plate, none, &nut, up(10.0, 10.0, -2.4).turned_z(17.0)),
        ),
        (
            "washer on plate",
            pair(&plate, none, &washer, up(10.0, 10.0, 3.0)),
        ),
        (
            "screw through plate",
            pair(&plate, none, &screw, up(10.0, 10.0, 3.0)),
        ),
        ("screw in nut", pair(&nut, up(0.0, 0.0, -8.0), &screw, none)),
        (
            "countersunk",
            pair(&plate, none, &sunk, up(30.0, 10.0, 3.0)),
        ),
        (
            "plate on plate",
            pair(&plate, none, &plate, up(5.0, 3.0, 3.0)),
        ),
        (
            "side by side, flush",
            pair(&plate, none, &plate, up(40.0, 3.0, 0.0)),
        ),
        (
            "corner to corner",
            pair(&plate, none, &plate, up(40.0, 20.0, 3.0)),
        ),
    ];
    for (what, m) in touching {
        assert_eq!((m.clearance, m.overlap), (0.0, 0.0), "{what}: {m:?}");
    }
}

#[test]
fn flush_and_buried_parts_overlap() {
    let big = block(10.0, 10.0, 10.0);
    let small = block(2.0, 3.0, 4.0);
    let cases = [
        ("flush with one face", up(4.0, 4.0, 6.0), 24.0),
        ("flush with three faces", up(8.0, 7.0, 6.0), 24.0),
        ("flush with one, out of another", up(9.0, 4.0, 6.0), 12.0),
        ("wholly inside", up(3.0, 3.0, 3.0), 24.0),
        ("a hundredth deep", up(4.0, 4.0, 9.99), 0.06),
    ];
    for (what, pose, volume) in cases {
        for m in [
            pair(&big, Pose::IDENTITY, &small, pose),
            pair(&small, pose, &big, Pose::IDENTITY),
        ] {
            assert!((m.overlap / volume - 1.0).abs() < 1e-6, "{what}: {m:?}");
            assert_eq!(m.clearance, 0.0);
        }
    }
    let m = pair(&big, Pose::IDENTITY, &big, Pose::IDENTITY);
    assert!((m.overlap / 1000.0 - 1.0).abs() < 1e-9, "{m:?}");
    // Less deep than counts.
    let m = pair(&big, Pose::IDENTITY, &small, up(4.0, 4.0, 9.9995));
    assert_eq!((m.clearance, m.overlap), (0.0, 0.0));
}

#[test]
fn overlap_of_a_plate_of_holes_is_taken_where_it_is() {
    // A post of 4 x 4 mm through a plate 3 mm thick between holes, over one of radius 1, and over half of one.
    let holes: Vec<(f64, f64, f64, f64)> = (0..30)
        .map(|i| {
            (
                5.0 + 10.0 * f64::from(i % 10),
                5.0 + 10.0 * f64::from(i / 10),
                1.0,
                0.0,
            )
        })
        .collect();
    let plate = drilled(100.0, 30.0, 3.0, &holes);
    let post = block(4.0, 4.0, 20.0);
    let bore = std::f64::consts::PI;
    for (x, y, area) in [
        (8.0, 8.0, 16.0),
        (13.0, 13.0, 16.0 - bore),
        (15.0, 13.0, 16.0 - bore / 2.0),
    ] {
        let m = pair(&plate, Pose::IDENTITY, &post, up(x, y, -5.0));
        assert!(
            (m.overlap / (3.0 * area) - 1.0).abs() < 1e-3,
            "{x} {y}: {m:?}"
        );
    }
    // Two pins that touch along a line: equal-area meshes alone would call it an overlap.
    let pin = |r: f64| turned(&[(0.0, 0.0), (r, 0.0), (r, 9.0), (0.0, 9.0)]);
    let m = pair(&pin(2.0), Pose::IDENTITY, &pin(3.0), up(3.0, 4.0, 2.0));
    assert_eq!((m.clearance, m.overlap), (0.0, 0.0));
}
