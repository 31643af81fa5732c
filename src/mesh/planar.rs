use super::divide::Divided;
use super::sweep;
use crate::solid::Face;
use glam::{DVec2, DVec3};
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

/// Triangles of a flat face between the chains of its loops.
pub(super) fn triangulate(face: &Face, outward: DVec3, divided: &Divided) -> Vec<[u32; 3]> {
    let (u, v) = frame(outward);
    let loops: Vec<Vec<u32>> = face.loops.iter().map(|l| divided.loop_points(l)).collect();
    region(&loops, |i| {
        let p = divided.points[i as usize];
        DVec2::new(p.dot(u), p.dot(v))
    })
}

/// Two unit vectors that make a right-handed frame with `normal`. For a normal along an axis they are along axes too, so that
/// the plane coordinates are the exact ones of the part.
fn frame(normal: DVec3) -> (DVec3, DVec3) {
    let n = normal.abs();
    let start = if n.z >= n.x && n.z >= n.y {
        DVec3::X
    } else if n.x >= n.y {
        DVec3::Y
    } else {
        DVec3::Z
    };
    let u = (start - normal * start.dot(normal)).normalize_or_zero();
    (u, normal.cross(u))
}

/// Twice the area of a triangle.
pub(super) fn twice(a: DVec2, b: DVec2, c: DVec2) -> f64 {
    (b - a).perp_dot(c - a)
}

/// Triangles thinner than this (height over length) are none.
pub(super) const FLAT: f64 = 1e-9;

/// Triangles of one convex loop: every second corner is cut off, again and again, so that most triangles are small and near the rim.
/// `None` when the loop is not convex or has too many corners in line.
fn convex(corners: &[u32], at: &impl Fn(u32) -> DVec2) -> Option<Vec<[u32; 3]>> {
    let places: Vec<DVec2> = corners.iter().map(|&i| at(i)).collect();
    let n = places.len();
    let solid = |a: usize, b: usize, c: usize| {
        let (p, q, r) = (places[a], places[b], places[c]);
        twice(p, q, r) > FLAT * p.distance_squared(r)
    };
    let mut turns = 0;
    for i in 0..n {
        let (p, q, r) = (places[i], places[(i + 1) % n], places[(i + 2) % n]);
        if twice(p, q, r) < -FLAT * p.distance_squared(r) {
            return None;
        }
        // Goes round once: from left to right and back.
        turns += usize::from((q.x > p.x) != (r.x > q.x));
    }
    if turns > 2 {
        return None;
    }
    let mut left: Vec<usize> = (0..n).collect();
    let mut out = Vec::with_capacity(n - 2);
    while left.len() > 3 {
        let m = left.len();
        let mut kept = Vec::with_capacity(m / 2 + 1);
        kept.push(left[0]);
        let mut i = 1;
        while i < m {
            let (before, this, after) = (kept[kept.len() - 1], left[i], left[(i + 1) % m]);
            // Four corners are cut once only.
            if kept.len() + (m - i) > 3 && solid(before, this, after) {
                out.push([before, this, after].map(|k| corners[k]));
                if i + 1 < m {
                    kept.push(after);
                }
                i += 2;
            } else {
                kept.push(this);
                i += 1;
            }
        }
        if kept.len() == m {
            return None;
        }
        left = kept;
    }
    let [a, b, c] = left[..] else {
        return None;
    };
    if !solid(a, b, c) {
        return None;
    }
    out.push([a, b, c].map(|k| corners[k]));
    Some(out)
}

/// Triangles between an outer and an inner loop that both go once round a point, as a strip. `None` when that does not fit.
fn ring(outer: &[u32], inner: &[u32], at: &impl Fn(u32) -> DVec2) -> Option<Vec<[u32; 3]>> {
    let a: Vec<DVec2> = outer.iter().map(|&i| at(i)).collect();
    // The inner loop runs the other way.
    let inner: Vec<u32> = inner.iter().rev().copied().collect();
    let b: Vec<DVec2> = inner.iter().map(|&i| at(i)).collect();
    let (n, m) = (a.len(), b.len());
    let start = (0..m).min_by(|&i, &j| {
        b[i].distance_squared(a[0])
            .total_cmp(&b[j].distance_squared(a[0]))
    })?;
    let mut out = Vec::with_capacity(n + m);
    let (mut i, mut j) = (0, 0);
    let mut sum = 0.0;
    while i < n || j < m {
        let (p, q) = (i % n, (start + j) % m);
        let (next_p, next_q) = ((i + 1) % n, (start + j + 1) % m);
        // The shorter of the two next sides keeps the strip straight.
        let along_outer = j == m
            || (i < n && a[next_p].distance_squared(b[q]) <= a[p].distance_squared(b[next_q]));
        let (t, area) = if along_outer {
            (
                [outer[p], outer[next_p], inner[q]],
                twice(a[p], a[next_p], b[q]),
            )
        } else {
            (
                [outer[p], inner[next_q], inner[q]],
                twice(a[p], b[next_q], b[q]),
            )
        };
        if area <= FLAT * a[p].distance_squared(b[q]) {
            return None;
        }
        sum += area;
        out.push(t);
        if along_outer { i += 1 } else { j += 1 }
    }
    // Triangles that all look the same way and have the right area in sum do not overlap.
    let whole = |l: &[DVec2]| -> f64 {
        (0..l.len())
            .map(|i| (l[i] - l[0]).perp_dot(l[(i + 1) % l.len()] - l[0]))
            .sum()
    };
    let exact = whole(&a) - whole(&b);
    ((sum - exact).abs() <= 1e-9 * whole(&a)).then_some(out)
}

/// Counter-clockwise triangles of what lies inside an odd number of `loops`; `at` gives a corner's place in the plane.
pub(super) fn region(loops: &[Vec<u32>], at: impl Fn(u32) -> DVec2) -> Vec<[u32; 3]> {
    match loops {
        [single] => {
            if let [a, b, c] = single[..] {
                return vec![[a, b, c]];
            }
            if let Some(out) = convex(single, &at) {
                return out;
            }
        }
        [outer, inner] => {
            if let Some(out) = ring(outer, inner, &at) {
                return out;
            }
        }
        _ => {}
    }
    let all: Vec<u32> = loops.concat();
    let lengths: Vec<usize> = loops.iter().map(Vec::len).collect();
    if let Some(out) = sweep::triangulate(all.iter().map(|&i| at(i)).collect(), &lengths) {
        return out
            .into_iter()
            .map(|t| t.map(|k| all[k as usize]))
            .collect();
    }
    delaunay(loops, at)
}

/// The same with exact arithmetic, for loops that touch.
fn delaunay(loops: &[Vec<u32>], at: impl Fn(u32) -> DVec2) -> Vec<[u32; 3]> {
    // A corner where two loops touch must be one point of the triangulation, so corners are numbered by their first use.
    let all = || loops.iter().flatten().copied();
    let (Some(least), Some(most)) = (all().min(), all().max()) else {
        return Vec::new();
    };
    let mut number = vec![u32::MAX; (most - least) as usize + 1];
    let mut corners: Vec<u32> = Vec::new();
    for i in all() {
        let slot = &mut number[(i - least) as usize];
        if *slot == u32::MAX {
            *slot = corners.len() as u32;
            corners.push(i);
        }
    }
    let local = |i: u32| number[(i - least) as usize] as usize;
    let sides: Vec<[usize; 2]> = loops
        .iter()
        .flat_map(|l| (0..l.len()).map(|i| [local(l[i]), local(l[(i + 1) % l.len()])]))
        .collect();
    let points: Vec<Point2<f64>> = corners
        .iter()
        .map(|&i| {
            let p = at(i);
            // Spade refuses numbers that are tiny and not zero; they are noise of the frame.
            let clean = |x: f64| if x.abs() < 1e-100 { 0.0 } else { x };
            Point2::new(clean(p.x), clean(p.y))
        })
        .collect();

    // A conflict needs two sides that cross, which a sound body has not; leaving one out beats a panic, and `Mesh::check` tells.
    let Ok(plane) =
        ConstrainedDelaunayTriangulation::<Point2<f64>>::try_bulk_load_cdt(points, sides, |_| {})
    else {
        return Vec::new();
    };
    if plane.num_vertices() != corners.len() {
        // Two corners of the body in one place: their numbers would no longer agree with spade's.
        return Vec::new();
    }

    // Crossing a side of a loop goes from outside to inside or back.
    let mut inside: Vec<Option<bool>> = vec![None; plane.num_all_faces()];
    let outer = plane.outer_face();
    inside[outer.fix().index()] = Some(false);
    let mut open: Vec<(_, bool)> = plane
        .convex_hull()
        .map(|e| (e.rev(), plane.is_constraint_edge(e.as_undirected().fix())))
        .map(|(e, crosses)| (if e.face().is_outer() { e.rev() } else { e }, crosses))
        .collect();
    let mut out = Vec::with_capacity(plane.num_inner_faces());
    while let Some((edge, is_inside)) = open.pop() {
        let Some(face) = edge.face().as_inner() else {
            continue;
        };
        let slot = &mut inside[face.fix().index()];
        if slot.is_some() {
            continue;
        }
        *slot = Some(is_inside);
        if is_inside {
            out.push(face.vertices().map(|v| corners[v.fix().index()]));
        }
        for side in face.adjacent_edges() {
            let crosses = plane.is_constraint_edge(side.as_undirected().fix());
            open.push((side.rev(), is_inside ^ crosses));
        }
    }
    out
}
