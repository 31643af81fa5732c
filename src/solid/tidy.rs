//! Joins flat faces that lie in one plane and drops corners that are none.

use super::maker::Frame;
use super::sound::root;
use super::{Body, Curve, Edge, Face, Surface};
use crate::outline::{Arc, Loop, Seg, Way, nest, stitch};
use glam::DVec3;

/// Joins neighbouring flat faces of one plane, then joins straight edges over corners at which nothing else meets. Bodies in which there is
/// nothing to join come back unchanged.
pub(crate) fn tidy(body: Body) -> Body {
    let mut sides = vec![[u32::MAX; 2]; body.edges.len()];
    for (i, f) in body.faces.iter().enumerate() {
        for &(e, forward) in f.loops.iter().flatten() {
            sides[e as usize][usize::from(forward)] = i as u32;
        }
    }
    let mut parent: Vec<u32> = (0..body.faces.len() as u32).collect();
    let mut joined = false;
    for &[a, b] in &sides {
        if a != b
            && a != u32::MAX
            && b != u32::MAX
            && one_plane(&body.faces[a as usize], &body.faces[b as usize])
        {
            let (a, b) = (root(&mut parent, a), root(&mut parent, b));
            parent[a.max(b) as usize] = a.min(b);
            joined |= a != b;
        }
    }
    if !joined {
        return body;
    }
    let mut groups: Vec<Vec<u32>> = vec![vec![]; body.faces.len()];
    for i in 0..body.faces.len() as u32 {
        groups[root(&mut parent, i) as usize].push(i);
    }
    let mut faces = Vec::with_capacity(body.faces.len());
    for g in groups.iter().filter(|g| !g.is_empty()) {
        let first = &body.faces[g[0] as usize];
        if g.len() == 1 {
            faces.push(first.clone());
            continue;
        }
        let inside = |e: u32| {
            let [a, b] = sides[e as usize];
            g.contains(&a) && g.contains(&b)
        };
        let rim: Vec<(u32, bool)> = g
            .iter()
            .flat_map(|&i| body.faces[i as usize].loops.iter().flatten().copied())
            .filter(|h| !inside(h.0))
            .collect();
        match rim_loops(&body, first, &rim) {
            Some(loops) => faces.push(Face {
                surface: first.surface,
                sense: first.sense,
                loops,
            }),
            None => return body,
        }
    }
    straighten(Body { faces, ..body })
}

fn one_plane(a: &Face, b: &Face) -> bool {
    match (a.surface, b.surface) {
        (
            Surface::Plane {
                origin: o,
                normal: n,
            },
            Surface::Plane {
                origin: p,
                normal: m,
            },
        ) => {
            // Tighter than the 1e-9 that every corner keeps to its plane, at any size a cabinet has.
            a.sense == b.sense
                && n.dot(m) > 0.0
                && n.cross(m).length() < 1e-13
                && (p - o).dot(n).abs() < 1e-10
        }
        _ => false,
    }
}

/// The loops that edges in one plane form, outer first; `None` when they do not bound one piece.
fn rim_loops(body: &Body, face: &Face, rim: &[(u32, bool)]) -> Option<Vec<Vec<(u32, bool)>>> {
    let Surface::Plane { origin, normal } = face.surface else {
        return None;
    };
    let frame = Frame::about(origin, if face.sense { normal } else { -normal });
    let seg = |h: (u32, bool)| {
        let at = |v: u32| frame.flat(body.vertices[v as usize]);
        let arc = match body.edges[h.0 as usize].curve {
            Curve::Line => None,
            Curve::Arc { centre, axis, .. } => Some(Arc {
                centre: frame.flat(centre),
                ccw: (axis.dot(frame.w) > 0.0) == h.1,
            }),
        };
        Seg {
            from: at(body.start(h)),
            to: at(body.end(h)),
            arc,
        }
    };
    // Points are numbered anew: a face must not cost as much as the whole body.
    let mut ids: Vec<u32> = rim.iter().map(|&h| body.start(h)).collect();
    ids.sort_unstable();
    ids.dedup();
    let id = |v: u32| ids.binary_search(&v).ok().map(|i| i as u32);
    let mut ways = vec![];
    for &h in rim {
        ways.push(Way::new(id(body.start(h))?, id(body.end(h))?, &seg(h)));
    }
    let loops = stitch(ids.len(), &ways).ok()?;
    let outlines: Vec<Loop> = loops
        .iter()
        .map(|l| Loop::from_segs(&l.iter().map(|&i| seg(rim[i])).collect::<Vec<_>>()))
        .collect();
    let nested = nest(&outlines);
    let [(outer, inner)] = nested.as_slice() else {
        return None;
    };
    let edges = |i: &usize| loops[*i].iter().map(|&k| rim[k]).collect();
    Some(std::iter::once(outer).chain(inner).map(edges).collect())
}

/// Drops vertices at which two straight edges meet in line, and whatever nothing uses any more.
fn straighten(body: Body) -> Body {
    let mut used = vec![false; body.edges.len()];
    for &(e, _) in body.faces.iter().flat_map(|f| f.loops.iter().flatten()) {
        used[e as usize] = true;
    }
    let mut at: Vec<[u32; 2]> = vec![[u32::MAX; 2]; body.vertices.len()];
    let mut count = vec![0u32; body.vertices.len()];
    for (i, e) in body.edges.iter().enumerate().filter(|(i, _)| used[*i]) {
        for v in e.ends {
            if let Some(slot) = at[v as usize].get_mut(count[v as usize] as usize) {
                *slot = i as u32;
            }
            count[v as usize] += 1;
        }
    }
    let direction = |e: u32| {
        let [p, q] = body.edges[e as usize]
            .ends
            .map(|v| body.vertices[v as usize]);
        (q - p).normalize()
    };
    let plain = |e: u32| body.edges[e as usize].curve == Curve::Line;
    let drop: Vec<bool> = (0..body.vertices.len())
        .map(|v| {
            let [e, f] = at[v];
            count[v] == 2
                && plain(e)
                && plain(f)
                && direction(e).cross(direction(f)).length() < 1e-13
        })
        .collect();
    // Each chain of edges over dropped vertices becomes the edge that starts it.
    let mut edges: Vec<Edge> = vec![];
    let mut becomes: Vec<Option<(u32, bool)>> = vec![None; body.edges.len()];
    for e in (0..body.edges.len() as u32).filter(|&e| used[e as usize]) {
        let start = body.edges[e as usize]
            .ends
            .iter()
            .position(|&v| !drop[v as usize]);
        let (Some(side), None) = (start, becomes[e as usize]) else {
            continue;
        };
        let n = edges.len() as u32;
        let (mut at_edge, mut forward) = (e, side == 0);
        loop {
            becomes[at_edge as usize] = Some((n, forward));
            let v = body.end((at_edge, forward));
            if !drop[v as usize] {
                break;
            }
            let [a, b] = at[v as usize];
            at_edge = if a == at_edge { b } else { a };
            forward = body.edges[at_edge as usize].ends[0] == v;
        }
        let first = body.start((e, side == 0));
        let last = body.end((at_edge, forward));
        let curve = body.edges[e as usize].curve;
        let curve = match curve {
            Curve::Arc {
                centre,
                axis,
                radius,
            } if side == 1 => Curve::Arc {
                centre,
                axis: -axis,
                radius,
            },
            c => c,
        };
        edges.push(Edge {
            ends: [first, last],
            curve,
        });
    }
    let faces: Vec<Face> = body
        .faces
        .iter()
        .map(|f| {
            let renamed = |l: &Vec<(u32, bool)>| {
                let mut out: Vec<(u32, bool)> = l
                    .iter()
                    .filter_map(|&(e, forward)| {
                        becomes[e as usize].map(|(n, same)| (n, forward == same))
                    })
                    .collect();
                out.dedup();
                if out.len() > 1 && out.first() == out.last() {
                    out.pop();
                }
                out
            };
            Face {
                surface: f.surface,
                sense: f.sense,
                loops: f.loops.iter().map(renamed).collect(),
            }
        })
        .collect();
    compact(Body {
        vertices: body.vertices,
        edges,
        faces,
    })
}

fn compact(mut body: Body) -> Body {
    let mut number = vec![u32::MAX; body.vertices.len()];
    for v in body.edges.iter().flat_map(|e| e.ends) {
        number[v as usize] = 0;
    }
    let mut kept: Vec<DVec3> = vec![];
    for (v, n) in number.iter_mut().enumerate().filter(|(_, n)| **n == 0) {
        *n = kept.len() as u32;
        kept.push(body.vertices[v]);
    }
    for e in &mut body.edges {
        e.ends = e.ends.map(|v| number[v as usize]);
    }
    body.vertices = kept;
    body
}
