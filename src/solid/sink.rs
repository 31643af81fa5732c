//! Shallow pockets with straight walls, sunk into one flat face: letters on a side that no layer reaches.
//!
//! Like a hole, a pocket adds loops to its face, walls and a floor; nothing else of the body changes. So a pocket that meets an edge of
//! its face, or anything of the body that lies no deeper than it, is refused.

use super::maker::Maker;
use super::{Body, Curve, Face, SolidError, Surface};
use crate::outline::{Loop, Region, SAME_POINT, grown, overlap};
use crate::pose::Pose;
use glam::{DVec2, DVec3};

/// Sinks `pockets` of straight sides `depth` mm into a flat face of the body and checks that it is sound still ([`Body::check`]).
///
/// `face` places the pockets' plane in the part frame: its z axis is the face's outward normal.
///
/// # Errors
/// When a pocket has a round side, lies in no such face, meets an edge, or is not clear of what lies behind.
pub fn sink(body: Body, face: &Pose, pockets: &[Region], depth: f64) -> Result<Body, SolidError> {
    if depth.is_nan() || depth <= SAME_POINT {
        return Err(SolidError::NoThickness {
            what: "a pocket".into(),
            thickness: depth,
        });
    }
    let mut maker = Maker { body };
    let out = face.rot.col(2);
    for pocket in pockets {
        let at = face.point(pocket.outer.bounds()[0].extend(0.0));
        let wrong = |why: &str| SolidError::Pocket {
            why: why.into(),
            at,
        };
        if pocket
            .loops()
            .flat_map(|l| &l.nodes)
            .any(|n| n.arc.is_some())
        {
            return Err(wrong("it has a round side"));
        }
        let host =
            host(&maker.body, face, pocket).ok_or_else(|| wrong("it lies in no flat face"))?;
        if !clear_behind(&maker.body, face, pocket, depth, host) {
            return Err(wrong("something lies behind it"));
        }
        cut(&mut maker, face, pocket, depth, (host, out));
    }
    maker.body.check()?;
    Ok(maker.body)
}

/// The face in which a pocket lies clear of all edges.
fn host(body: &Body, face: &Pose, pocket: &Region) -> Option<usize> {
    let out = face.rot.col(2);
    (body.faces.iter()).position(|f| {
        let Surface::Plane { origin, normal } = f.surface else {
            return false;
        };
        let normal = if f.sense { normal } else { -normal };
        if normal.dot(out) < 1.0 - 1e-12 || (origin - face.at).dot(out).abs() > SAME_POINT {
            return false;
        }
        let Some(flat) = body.flat(f) else {
            return false;
        };
        let seen = |l: &Loop| {
            let points = l.nodes.iter();
            let points = points.map(|n| flat.frame.flat(face.point(n.at.extend(0.0))));
            Loop::polygon(&points.collect::<Vec<_>>())
        };
        let outer = seen(&pocket.outer);
        let Some((edge, windows)) = flat.loops.split_first() else {
            return false;
        };
        let apart = |l: &Loop| outer.gap(l) > SAME_POINT;
        // a window inside the pocket would have to move to the island
        outer.inside(edge)
            && apart(edge)
            && windows.iter().all(|w| {
                apart(w) && !w.contains(outer.nodes[0].at) && !outer.contains(w.nodes[0].at)
            })
    })
}

/// Whether nothing of the body but the pocket's own face lies in the box of the pocket. Boxes are roomy, so this may say no too often.
fn clear_behind(body: &Body, face: &Pose, pocket: &Region, depth: f64, host: usize) -> bool {
    let to_face = face.inverse();
    let room = grown(&pocket.outer.bounds(), SAME_POINT);
    (body.faces.iter().enumerate()).all(|(i, f)| {
        if i == host {
            return true;
        }
        let (mut low, mut high) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
        for (e, _) in f.loops.iter().flatten() {
            let edge = &body.edges[*e as usize];
            for v in edge.ends {
                let p = to_face.point(body.vertices[v as usize]);
                (low, high) = (low.min(p), high.max(p));
            }
            if let Curve::Arc {
                centre,
                axis,
                radius,
            } = edge.curve
            {
                let (c, a) = (to_face.point(centre), to_face.dir(axis));
                // how far a circle reaches along each axis
                let reach = (DVec3::ONE - a * a).max(DVec3::ZERO).map(f64::sqrt) * radius;
                (low, high) = (low.min(c - reach), high.max(c + reach));
            }
        }
        let deep = high.z > -depth - SAME_POINT && low.z < -SAME_POINT;
        !deep || !overlap(&room, &[low.truncate(), high.truncate()])
    })
}

fn cut(maker: &mut Maker, face: &Pose, pocket: &Region, depth: f64, (host, out): (usize, DVec3)) {
    let surface = maker.body.faces[host].surface;
    let sense = maker.body.faces[host].sense;
    let mut floor: Vec<Vec<(u32, bool)>> = Vec::new();
    for (k, l) in pocket.loops().enumerate() {
        // the pocket on the left
        let mut points: Vec<DVec2> = l.nodes.iter().map(|n| n.at).collect();
        if k > 0 {
            points.reverse();
        }
        let n = points.len();
        let mut ring = |z: f64| -> Vec<u32> {
            points
                .iter()
                .map(|p| maker.vertex(face.point(p.extend(z))))
                .collect()
        };
        let (top, low) = (ring(0.0), ring(-depth));
        let mut edges = |from: &[u32], to: &dyn Fn(usize) -> u32| -> Vec<u32> {
            (0..n)
                .map(|i| maker.edge(from[i], to(i), Curve::Line))
                .collect()
        };
        let rim = edges(&top, &|i| top[(i + 1) % n]);
        let base = edges(&low, &|i| low[(i + 1) % n]);
        let posts = edges(&low, &|i| top[i]);
        for i in 0..n {
            let j = (i + 1) % n;
            let along = (points[j] - points[i]).normalize();
            maker.face(
                Surface::Plane {
                    origin: face.point(points[i].extend(0.0)),
                    normal: face.dir(along.perp().extend(0.0)),
                },
                true,
                vec![vec![
                    (base[i], false),
                    (posts[i], true),
                    (rim[i], true),
                    (posts[j], false),
                ]],
            );
        }
        let edge: Vec<(u32, bool)> = rim.iter().rev().map(|e| (*e, false)).collect();
        if k == 0 {
            maker.body.faces[host].loops.push(edge);
        } else {
            // what an inner loop leaves standing is an island
            maker.body.faces.push(Face {
                surface,
                sense,
                loops: vec![edge],
            });
        }
        floor.push(base.iter().map(|e| (*e, true)).collect());
    }
    maker.face(
        Surface::Plane {
            origin: face.point(pocket.outer.nodes[0].at.extend(-depth)),
            normal: out,
        },
        true,
        floor,
    );
}
