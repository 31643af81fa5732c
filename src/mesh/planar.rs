use super::divide::Divided;
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

/// Counter-clockwise triangles of what lies inside an odd number of `loops`; `at` gives a corner's place in the plane.
pub(super) fn region(loops: &[Vec<u32>], at: impl Fn(u32) -> DVec2) -> Vec<[u32; 3]> {
    if let [single] = loops
        && let [a, b, c] = single[..]
    {
        return vec![[a, b, c]];
    }
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
