//! Plates with bevelled straight edges.

use super::maker::Maker;
use super::{Curve, SolidError, Surface};
use crate::outline::{Loop, Region, Seg};
use glam::DVec3;
use std::f64::consts::PI;

pub(crate) fn make(
    bottom: &Loop,
    top: &Loop,
    thickness: f64,
    windows: &[Loop],
) -> Result<Maker, SolidError> {
    let wrong = |why: String| Err(SolidError::Bevel { why });
    if !thickness.is_finite() {
        return Err(SolidError::NotFinite {
            what: "the thickness of a bevelled plate".into(),
        });
    }
    if thickness < 1e-6 {
        return Err(SolidError::NoThickness {
            what: "a bevelled plate".into(),
            thickness,
        });
    }
    let n = bottom.nodes.len();
    if top.nodes.len() != n {
        return wrong(format!("{n} corners below, {} above", top.nodes.len()));
    }
    for (outer, what) in [
        (bottom, "lower outline of a bevelled plate"),
        (top, "upper outline of a bevelled plate"),
    ] {
        let region = Region {
            outer: outer.clone(),
            inner: windows.to_vec(),
        };
        region.check().map_err(SolidError::outline(what))?;
        if outer.nodes.iter().any(|n| n.arc.is_some()) {
            return wrong("an edge is an arc".into());
        }
    }
    let mut m = Maker::default();
    let mut low: Vec<Vec<(u32, bool)>> = vec![];
    let mut high: Vec<Vec<(u32, bool)>> = vec![];
    let ring = |m: &mut Maker, l: &Loop, z: f64| -> (Vec<u32>, Vec<u32>) {
        let v: Vec<u32> = l.nodes.iter().map(|n| m.vertex(n.at.extend(z))).collect();
        let e = (0..v.len())
            .map(|i| {
                let s = l.seg(i);
                let curve = s.arc.map_or(Curve::Line, |a| Curve::Arc {
                    centre: a.centre.extend(z),
                    axis: if a.ccw { DVec3::Z } else { DVec3::NEG_Z },
                    radius: s.radius(),
                });
                m.edge(v[i], v[(i + 1) % v.len()], curve)
            })
            .collect();
        (v, e)
    };
    let mut wall = |m: &mut Maker, lower: &Loop, upper: &Loop| -> Result<(), SolidError> {
        let ((v, e), (w, f)) = (ring(m, lower, 0.0), ring(m, upper, thickness));
        let n = v.len();
        let posts: Vec<u32> = (0..n).map(|i| m.edge(v[i], w[i], Curve::Line)).collect();
        for i in 0..n {
            let j = (i + 1) % n;
            let (s, t) = (lower.seg(i), upper.seg(i));
            let (surface, sense) = match s.arc {
                Some(a) => {
                    let origin = a.centre.extend(0.0);
                    (
                        Surface::Cylinder {
                            origin,
                            axis: DVec3::Z,
                            radius: s.radius(),
                        },
                        a.ccw,
                    )
                }
                None => {
                    let (d, g) = (s.to - s.from, t.to - t.from);
                    if d.perp_dot(g).abs() > 1e-12 * g.length() * d.length() || d.dot(g) <= 0.0 {
                        return Err(SolidError::Bevel {
                            why: format!("edge {i} is not parallel to the one above it"),
                        });
                    }
                    let long = if d.length() > g.length() { d } else { g };
                    let rise = (t.from - s.from).extend(thickness);
                    let normal = long.extend(0.0).cross(rise).normalize();
                    (
                        Surface::Plane {
                            origin: s.from.extend(0.0),
                            normal,
                        },
                        true,
                    )
                }
            };
            m.face(
                surface,
                sense,
                vec![vec![
                    (e[i], true),
                    (posts[j], true),
                    (f[i], false),
                    (posts[i], false),
                ]],
            );
        }
        low.push(e.iter().rev().map(|&e| (e, false)).collect());
        high.push(f.iter().map(|&e| (e, true)).collect());
        Ok(())
    };
    wall(&mut m, bottom, top)?;
    for w in windows {
        let parts: Vec<Seg> = w
            .segs()
            .flat_map(|s| {
                let mid = s.point(0.5);
                let long = s.sweep().abs() > PI + 1e-9;
                let (a, b) = (Seg { to: mid, ..s }, Seg { from: mid, ..s });
                if long { vec![a, b] } else { vec![s] }
            })
            .collect();
        let hole = Loop::from_segs(&parts).reversed();
        wall(&mut m, &hole, &hole)?;
    }
    let o = |l: &Loop, z: f64| l.nodes[0].at.extend(z);
    m.face(
        Surface::Plane {
            origin: o(bottom, 0.0),
            normal: DVec3::NEG_Z,
        },
        true,
        low,
    );
    m.face(
        Surface::Plane {
            origin: o(top, thickness),
            normal: DVec3::Z,
        },
        true,
        high,
    );
    Ok(m)
}
