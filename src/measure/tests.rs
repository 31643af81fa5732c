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
