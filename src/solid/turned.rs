//! Bodies turned about the z axis.

use super::SolidError;
use super::maker::{Corner, Frame, Maker};
use crate::outline::{Loop, SAME_POINT, Seg};
use glam::DVec2;
use std::f64::consts::PI;

pub(crate) fn make(profile: &Loop) -> Result<Maker, SolidError> {
    profile.check().map_err(SolidError::outline("profile"))?;
    let wrong = |why: &str, at: DVec2| SolidError::Profile {
        why: why.into(),
        at,
    };
    let mut corners: Vec<Corner> = vec![];
    for s in profile.segs() {
        let low = s.bounds()[0].x;
        if low < -SAME_POINT {
            return Err(wrong("it crosses the axis", s.from));
        }
        let mut parts = vec![s];
        if let Some(a) = s.arc {
            if a.centre.x < -SAME_POINT {
                return Err(wrong("the centre of an arc lies beyond the axis", a.centre));
            }
            if low < SAME_POINT && s.from.x > SAME_POINT && s.to.x > SAME_POINT {
                return Err(wrong("an arc touches the axis", s.from));
            }
            if s.sweep().abs() > PI + 1e-9 {
                let m = s.point(0.5);
                parts = vec![Seg { to: m, ..s }, Seg { from: m, ..s }];
            }
        }
        for p in parts {
            let on_axis = |v: f64| if v.abs() <= SAME_POINT { 0.0 } else { v };
            let arc = p
                .arc
                .map(|a| (DVec2::new(on_axis(a.centre.x), a.centre.y), a.ccw));
            corners.push(Corner {
                r: on_axis(p.from.x),
                z: p.from.y,
                arc,
            });
        }
    }
    let n = corners.len();
    for i in 0..n {
        // Sides that are square or parallel but for rounding become so exactly.
        let (a, b) = (corners[i], corners[(i + 1) % n]);
        if a.arc.is_none() {
            let next = &mut corners[(i + 1) % n];
            if (a.z - b.z).abs() <= 1e-9 {
                next.z = a.z;
            }
            if (a.r - b.r).abs() <= 1e-9 && b.r != 0.0 {
                next.r = a.r;
            }
        }
    }
    for i in 0..n {
        let (before, c, after) = (
            &corners[(i + n - 1) % n],
            &corners[i],
            &corners[(i + 1) % n],
        );
        let along = |a: &Corner, b: &Corner| a.r == 0.0 && b.r == 0.0 && a.arc.is_none();
        // A sphere's two poles have the axis on one side each; where neither side is the axis, two tips meet.
        if c.r == 0.0 && !along(before, c) && !along(c, after) {
            return Err(wrong(
                "it touches the axis in a single point",
                DVec2::new(c.r, c.z),
            ));
        }
    }
    // Corners inside a stretch of axis would become vertices that no edge uses.
    let used: Vec<Corner> = (0..n)
        .filter(|&i| {
            let (p, c, q) = (
                &corners[(i + n - 1) % n],
                &corners[i],
                &corners[(i + 1) % n],
            );
            !(c.r == 0.0 && p.r == 0.0 && q.r == 0.0 && p.arc.is_none() && c.arc.is_none())
        })
        .map(|i| corners[i])
        .collect();
    let mut maker = Maker::default();
    maker.turn(&Frame::PART, &used, true);
    Ok(maker)
}
