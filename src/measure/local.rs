//! The part of a body that another can reach: a plate of a hundred holes is, for one screw, a plate of one.

use super::tree::Tree;
use crate::solid::{Body, Edge, Face, Surface};
use glam::DVec3;

/// Faces that hang together, and are tied to others through openings in flat faces only: the walls of a hole, a boss.
#[derive(Debug, Default)]
struct Feature {
    faces: Vec<u32>,
    /// Openings that it fills: (flat face, loop).
    fills: Vec<(u32, u32)>,
    low: DVec3,
    high: DVec3,
}

/// The features of a body.
#[derive(Debug)]
pub(super) struct Features {
    list: Vec<Feature>,
    /// Feature of each face.
    of_face: Vec<u32>,
}

impl Features {
    pub(super) fn new(body: &Body, tree: &Tree) -> Features {
        // Each face is a node with its first loop, or all loops if it is turned; each opening of a flat face is a node of its own.
        let mut nodes: Vec<(u32, Option<u32>)> = Vec::new();
        let mut node_of: Vec<Vec<u32>> = Vec::with_capacity(body.faces.len());
        for (i, face) in body.faces.iter().enumerate() {
            let own = nodes.len() as u32;
            nodes.push((i as u32, None));
            let flat = matches!(face.surface, Surface::Plane { .. });
            node_of.push(
                (0..face.loops.len())
                    .map(|l| {
                        if l == 0 || !flat {
                            return own;
                        }
                        nodes.push((i as u32, Some(l as u32)));
                        nodes.len() as u32 - 1
                    })
                    .collect(),
            );
        }
        let mut parent: Vec<u32> = (0..nodes.len() as u32).collect();
        let mut first = vec![u32::MAX; body.edges.len()];
        for (face, loops) in body.faces.iter().zip(&node_of) {
            for (l, &node) in face.loops.iter().zip(loops) {
                for &(e, _) in l {
                    let slot = &mut first[e as usize];
                    if *slot == u32::MAX {
                        *slot = node;
                    } else {
                        let (a, b) = (root(&mut parent, *slot), root(&mut parent, node));
                        parent[a.max(b) as usize] = a.min(b);
                    }
                }
            }
        }
        let mut number = vec![u32::MAX; nodes.len()];
        let mut out = Features {
            list: Vec::new(),
            of_face: vec![0; body.faces.len()],
        };
        for (n, &(face, opening)) in nodes.iter().enumerate() {
            let slot = root(&mut parent, n as u32) as usize;
            if number[slot] == u32::MAX {
                number[slot] = out.list.len() as u32;
                out.list.push(Feature {
                    low: DVec3::INFINITY,
                    high: DVec3::NEG_INFINITY,
                    ..Feature::default()
                });
            }
            let feature = &mut out.list[number[slot] as usize];
            match opening {
                Some(l) => feature.fills.push((face, l)),
                None => {
                    feature.faces.push(face);
                    out.of_face[face as usize] = number[slot];
                    if let Some((low, high)) = tree.face_box(face) {
                        feature.low = feature.low.min(low);
                        feature.high = feature.high.max(high);
                    }
                }
            }
        }
        out
    }

    /// The body as it is within a box: features that lie wholly outside it are left out and their openings closed. `None` when all of it
    /// is within.
    pub(super) fn within(&self, body: &Body, low: DVec3, high: DVec3) -> Option<Body> {
        let mut out: Vec<bool> = self
            .list
            .iter()
            .map(|f| !f.fills.is_empty() && (f.low.cmpgt(high) | f.high.cmplt(low)).any())
            .collect();
        // A feature on which another stands that stays must stay too.
        loop {
            let mut changed = false;
            for (i, f) in self
                .list
                .iter()
                .enumerate()
                .filter(|(_, f)| !f.fills.is_empty())
            {
                if out[i] {
                    continue;
                }
                for &(face, _) in &f.fills {
                    let host = self.of_face[face as usize] as usize;
                    changed |= std::mem::replace(&mut out[host], false);
                }
            }
            if !changed {
                break;
            }
        }
        if !out.contains(&true) {
            return None;
        }
        let mut closed: Vec<(u32, u32)> = self
            .list
            .iter()
            .zip(&out)
            .filter(|(_, out)| **out)
            .flat_map(|(f, _)| f.fills.iter().copied())
            .collect();
        closed.sort_unstable();
        let kept = |face: usize| !out[self.of_face[face] as usize];
        let faces = body
            .faces
            .iter()
            .enumerate()
            .filter(|(i, _)| kept(*i))
            .map(|(i, f)| Face {
                loops: f
                    .loops
                    .iter()
                    .enumerate()
                    .filter(|(l, _)| closed.binary_search(&(i as u32, *l as u32)).is_err())
                    .map(|(_, l)| l.clone())
                    .collect(),
                ..*f
            });
        Some(compact(body, faces.collect()))
    }
}

/// The body of some faces, without the edges and points that nothing uses.
fn compact(body: &Body, mut faces: Vec<Face>) -> Body {
    let mut edge = vec![u32::MAX; body.edges.len()];
    let mut vertex = vec![u32::MAX; body.vertices.len()];
    let mut out = Body::default();
    for h in faces.iter_mut().flat_map(|f| f.loops.iter_mut().flatten()) {
        let slot = &mut edge[h.0 as usize];
        if *slot == u32::MAX {
            *slot = out.edges.len() as u32;
            let old = &body.edges[h.0 as usize];
            let ends = old.ends.map(|v| {
                let slot = &mut vertex[v as usize];
                if *slot == u32::MAX {
                    *slot = out.vertices.len() as u32;
                    out.vertices.push(body.vertices[v as usize]);
                }
                *slot
            });
            out.edges.push(Edge { ends, ..*old });
        }
        h.0 = *slot;
    }
    out.faces = faces;
    out
}

fn root(parent: &mut [u32], mut i: u32) -> u32 {
    while parent[i as usize] != i {
        parent[i as usize] = parent[parent[i as usize] as usize];
        i = parent[i as usize];
    }
    i
}
