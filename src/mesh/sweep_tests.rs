//! The sweep against what every triangulation must be, looked at point by point and side by side.

use super::planar::twice;
use super::sweep::triangulate;
use glam::DVec2;
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// A loop round `middle`, counter-clockwise: each corner has a sector of its own, so no two sides cross.
fn star(middle: DVec2, size: f64, corners: &[(f64, f64)]) -> Vec<DVec2> {
    let step = TAU / corners.len() as f64;
    let corner = |(k, &(turn, reach)): (usize, &(f64, f64))| {
        middle + DVec2::from_angle((k as f64 + turn) * step) * (size * reach)
    };
    corners.iter().enumerate().map(corner).collect()
}

/// Corners of [`star`]: turns within the sector, and parts of the size.
fn corners() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((0.0..0.8, 0.75..1.0), 5..14)
}

/// An outer loop round up to nine holes, which run the other way.
fn region() -> impl Strategy<Value = Vec<Vec<DVec2>>> {
    let outer = prop::collection::vec((0.0..0.8, 0.75..1.0), 8..40);
    let holes = prop::collection::vec(prop::option::of(corners()), 9);
    (outer, holes).prop_map(|(outer, holes)| {
        // The sides of an octagon or more whose corners are at 0.75 or beyond stay outside of 0.3: the holes reach to 22 of 100.
        let mut out = vec![star(DVec2::ZERO, 100.0, &outer)];
        for (k, hole) in holes.iter().enumerate() {
            if let Some(hole) = hole {
                let middle = DVec2::new((k % 3) as f64 - 1.0, (k / 3) as f64 - 1.0) * 11.0;
                let mut l = star(middle, 5.0, hole);
                l.reverse();
                out.push(l);
            }
        }
        out
    })
}

/// Whether `p` is in the region: a ray along x crosses an odd number of sides.
fn inside(loops: &[Vec<DVec2>], p: DVec2) -> bool {
    let crossed = |(a, b): (DVec2, DVec2)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    let sides = |l: &Vec<DVec2>| {
        (0..l.len())
            .filter(|&i| crossed((l[i], l[(i + 1) % l.len()])))
            .count()
    };
    loops.iter().map(sides).sum::<usize>() % 2 == 1
}

/// Positive where `d` lies in the circle through the other three (the usual determinant), over the fourth power of the size.
fn in_circle(a: DVec2, b: DVec2, c: DVec2, d: DVec2) -> f64 {
    let [p, q, r] = [a - d, b - d, c - d];
    let det = p.length_squared() * q.perp_dot(r) + q.length_squared() * r.perp_dot(p)
        - (r.length_squared() * q.perp_dot(p));
    det / p
        .length_squared()
        .max(q.length_squared())
        .max(r.length_squared())
        .powi(2)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn each_point_of_the_region_is_in_one_triangle(
        loops in region(),
        points in prop::collection::vec((-100.0..100.0f64, -100.0..100.0f64), 64),
        near in prop::collection::vec((-20.0..20.0f64, -20.0..20.0f64), 64),
    ) {
        let places: Vec<DVec2> = loops.concat();
        let lengths: Vec<usize> = loops.iter().map(Vec::len).collect();
        let Some(triangles) = triangulate(places.clone(), &lengths) else {
            return Err(TestCaseError::fail("no triangles"));
        };
        for (x, y) in points.into_iter().chain(near) {
            let p = DVec2::new(x, y);
            let holds = |t: &&[u32; 3]| {
                let [a, b, c] = t.map(|i| places[i as usize]);
                twice(a, b, p) > 0.0 && twice(b, c, p) > 0.0 && twice(c, a, p) > 0.0
            };
            let count = triangles.iter().filter(holds).count();
            prop_assert_eq!(count, usize::from(inside(&loops, p)), "at {}", p);
        }

        // Each side is that of a loop, taken once in its direction, or one that two triangles share.
        let mut opposite: BTreeMap<(u32, u32), u32> = BTreeMap::new();
        for &[a, b, c] in &triangles {
            for (i, j, k) in [(a, b, c), (b, c, a), (c, a, b)] {
                prop_assert!(opposite.insert((i, j), k).is_none(), "{i} to {j} twice");
            }
        }
        let mut first = 0;
        for len in lengths {
            for k in 0..len {
                let (i, j) = ((first + k) as u32, (first + (k + 1) % len) as u32);
                prop_assert!(opposite.remove(&(i, j)).is_some(), "no side {i} to {j}");
            }
            first += len;
        }
        // What is left is shared, and no circle of the one triangle holds the other's corner.
        for (&(i, j), &k) in &opposite {
            let Some(&l) = opposite.get(&(j, i)) else {
                return Err(TestCaseError::fail(format!("{i} to {j} is open")));
            };
            let [a, b, c, d] = [i, j, k, l].map(|n| places[n as usize]);
            prop_assert!(in_circle(a, b, c, d) <= 1e-9, "{l} in the circle of {i} {j} {k}");
        }
    }
}
