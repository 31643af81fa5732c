//! Turned faces: columns from one ring edge to the other, and strips between neighbouring columns.

use super::Patch;
use super::divide::{Divided, SAME_PLACE, Spoke, axis_of, convex_at, is_ring, profile};
use super::planar;
use crate::solid::{Body, Face, Surface};
use glam::{DVec2, DVec3};
use std::f64::consts::TAU;

/// The four sides of a turned face as seen from outside: left and right run from the bottom to the top.
struct Sides {
    /// Spokes of the columns from left to right; empty when no ring says where they stand.
    spokes: Vec<Spoke>,
    bottom: Vec<u32>,
    top: Vec<u32>,
    left: Vec<u32>,
    right: Vec<u32>,
}

pub(super) fn triangulate(body: &Body, face: &Face, divided: &Divided) -> Patch {
    let Some((origin, axis)) = axis_of(&face.surface) else {
        return Patch {
            own: Vec::new(),
            triangles: Vec::new(),
        };
    };
    let Some(mut sides) = sides(body, face, divided, origin, axis) else {
        return Patch {
            own: Vec::new(),
            triangles: unrolled(body, face, divided, origin, axis),
        };
    };

    let doubly = matches!(face.surface, Surface::Sphere { .. } | Surface::Torus { .. });
    let rows: Vec<(f64, f64)> = if doubly {
        inner_rows(&sides.left, divided, origin, axis)
    } else {
        Vec::new()
    };
    if sides.spokes.is_empty() {
        sides.spokes = columns_between_poles(face, &sides, &rows, divided, origin, axis);
    }

    let mut own = Vec::new();
    let first_own = divided.points.len() as u32;
    let last = sides.spokes.len() - 1;
    let mut triangles = Vec::new();
    let mut before = sides.left.clone();
    for (j, spoke) in sides.spokes.iter().enumerate().skip(1) {
        let column = if j == last {
            sides.right.clone()
        } else {
            let mut column = vec![sides.bottom[j.min(sides.bottom.len() - 1)]];
            for &(r, along) in &rows {
                column.push(first_own + own.len() as u32);
                let convex = convex_at(&face.surface, face.sense, r).unwrap_or(true);
                let factor = if convex { spoke.convex } else { spoke.concave };
                own.push(origin + axis * along + spoke.dir * (r * factor));
            }
            column.push(sides.top[j.min(sides.top.len() - 1)]);
            column
        };
        strip(
            &before,
            &column,
            |i| {
                if i >= first_own {
                    own[(i - first_own) as usize]
                } else {
                    divided.points[i as usize]
                }
            },
            &mut triangles,
        );
        before = column;
    }
    Patch { own, triangles }
}

/// Triangles between two columns, both from the bottom to the top.
fn strip(left: &[u32], right: &[u32], at: impl Fn(u32) -> DVec3, out: &mut Vec<[u32; 3]>) {
    // Columns of equal length go up step by step; others (a side that is split by its neighbours) by their share of the height.
    let heights = |c: &[u32]| -> Vec<f64> {
        let mut all = vec![0.0];
        for w in c.windows(2) {
            all.push(all[all.len() - 1] + at(w[0]).distance(at(w[1])));
        }
        let whole = all[all.len() - 1].max(f64::MIN_POSITIVE);
        all.into_iter().map(|h| h / whole).collect()
    };
    let level = left.len() == right.len();
    let (hl, hr) = if level {
        (Vec::new(), Vec::new())
    } else {
        (heights(left), heights(right))
    };
    let (mut i, mut j) = (0, 0);
    while i + 1 < left.len() || j + 1 < right.len() {
        let up_left = if j + 1 == right.len() {
            true
        } else if i + 1 == left.len() {
            false
        } else if level {
            i < j
        } else {
            hl[i + 1] < hr[j + 1]
        };
        let third = if up_left { left[i + 1] } else { right[j + 1] };
        let t = [left[i], right[j], third];
        if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
            out.push(t);
        }
        if up_left { i += 1 } else { j += 1 }
    }
}

/// Splits the loop of a face into its sides; none when it is not made of one or two rings and two meridians.
fn sides(body: &Body, face: &Face, divided: &Divided, origin: DVec3, axis: DVec3) -> Option<Sides> {
    let [edges] = &face.loops[..] else {
        return None;
    };
    let n = edges.len();
    let ring = |i: usize| is_ring(&body.edges[edges[i % n].0 as usize].curve, origin, axis);
    let start_of = |i: usize| {
        let (e, forwards) = edges[i % n];
        body.edges[e as usize].ends[usize::from(!forwards)]
    };
    let pole = |i: usize| profile(body.vertices[start_of(i) as usize], origin, axis).0 < SAME_PLACE;

    // A side begins where rings turn into meridians or back, and at a pole.
    let begins = |i: usize| ring(i) != ring(i + n - 1) || (!ring(i) && pole(i));
    let first = (0..n)
        .find(|&i| ring(i) && begins(i))
        .or_else(|| (0..n).find(|&i| begins(i)))?;
    let mut parts: Vec<Vec<(u32, bool)>> = Vec::new();
    for i in first..first + n {
        if begins(i) {
            parts.push(Vec::new());
        }
        parts.last_mut()?.push(edges[i % n]);
    }
    let points = |part: &[(u32, bool)]| -> Vec<u32> {
        let mut all = divided.loop_points(part);
        if let Some(&(e, forwards)) = part.last() {
            all.push(body.edges[e as usize].ends[usize::from(forwards)]);
        }
        all
    };
    let backwards = |part: &[(u32, bool)]| -> Vec<u32> {
        let mut all = points(part);
        all.reverse();
        all
    };
    let spokes = |part: &[(u32, bool)]| -> Vec<Spoke> {
        let mut all: Vec<Spoke> = part.iter().flat_map(|&e| divided.ring(e)).collect();
        // The last spoke is the first one of the last ring run backwards.
        if let Some(&(e, forwards)) = part.last()
            && let Some(end) = divided.ring((e, !forwards)).next()
        {
            all.push(end);
        }
        all
    };
    match &parts[..] {
        [bottom, right, top, left] if ring(first) => {
            let out = Sides {
                spokes: spokes(bottom),
                bottom: points(bottom),
                top: backwards(top),
                left: backwards(left),
                right: points(right),
            };
            (out.bottom.len() == out.top.len()).then_some(out)
        }
        [bottom, right, left] if ring(first) => Some(Sides {
            spokes: spokes(bottom),
            bottom: points(bottom),
            top: vec![*points(right).last()?],
            left: backwards(left),
            right: points(right),
        }),
        [right, left] if !ring(first) => Some(Sides {
            spokes: Vec::new(),
            bottom: vec![*points(right).first()?],
            top: vec![*points(right).last()?],
            left: backwards(left),
            right: points(right),
        }),
        _ => None,
    }
}

/// Radius and place along the axis of the points inside a meridian.
fn inner_rows(side: &[u32], divided: &Divided, origin: DVec3, axis: DVec3) -> Vec<(f64, f64)> {
    let inside = if side.len() > 2 {
        &side[1..side.len() - 1]
    } else {
        &[]
    };
    inside
        .iter()
        .map(|&i| profile(divided.points[i as usize], origin, axis))
        .collect()
}

/// Columns of a face that runs from pole to pole and so has no ring.
fn columns_between_poles(
    face: &Face,
    sides: &Sides,
    rows: &[(f64, f64)],
    divided: &Divided,
    origin: DVec3,
    axis: DVec3,
) -> Vec<Spoke> {
    let at = |side: &[u32]| divided.points[side[side.len() / 2] as usize];
    let dir = |p: DVec3| {
        let d = p - origin;
        (d - axis * d.dot(axis)).normalize_or_zero()
    };
    let along = |i: u32| (divided.points[i as usize] - origin).dot(axis);
    let up = along(sides.top[0]) > along(sides.bottom[0]);
    // Seen from outside, columns go to the right: counter-clockwise about the way up, unless the face looks at its axis.
    let about = if up == face.sense { axis } else { -axis };
    let (from, to) = (dir(at(&sides.left)), dir(at(&sides.right)));
    let radius = rows.iter().map(|&(r, _)| r).fold(0.0, f64::max);
    let exact = |dir| Spoke {
        dir,
        convex: 1.0,
        concave: 1.0,
    };
    let mut all = vec![exact(from)];
    all.extend(divided.own_spokes(from, to, about, radius, face.sense));
    all.push(exact(to));
    all
}

/// Any other face: triangulated in the plane of angle and height.
///
/// # Limitations
/// Triangles may span several steps of the rings, so the deviation is not bounded here. The builders of this crate make no
/// such face.
fn unrolled(
    body: &Body,
    face: &Face,
    divided: &Divided,
    origin: DVec3,
    axis: DVec3,
) -> Vec<[u32; 3]> {
    let Some(&(e, _)) = face.loops.iter().flatten().next() else {
        return Vec::new();
    };
    let d = body.vertices[body.edges[e as usize].ends[0] as usize] - origin;
    let mean = profile(origin + d, origin, axis).0.max(SAME_PLACE);
    let u = (d - axis * d.dot(axis)).normalize_or_zero();
    let v = if face.sense {
        axis.cross(u)
    } else {
        u.cross(axis)
    };
    let mut flat = vec![DVec2::ZERO; divided.points.len()];
    let loops: Vec<Vec<u32>> = face.loops.iter().map(|l| divided.loop_points(l)).collect();
    for l in &loops {
        let mut turn: f64 = 0.0;
        for &i in l {
            let p = divided.points[i as usize] - origin;
            let angle = p.dot(v).atan2(p.dot(u));
            // The turn that is nearest to that of the point before.
            turn = angle + TAU * ((turn - angle) / TAU).round();
            flat[i as usize] = DVec2::new(turn * mean, p.dot(axis));
        }
    }
    planar::region(&loops, |i| flat[i as usize])
}
