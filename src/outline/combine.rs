//! Union, difference and intersection of outlines of lines and arcs.
//!
//! Common edges are the normal case here (a notch flush with an edge, a pocket open at a board's edge): all
//! outlines are first cut at their common points, then each piece is kept or dropped by what lies beside it.

use super::arrange::{Half, Locator, arrange, as_set, nest};
use super::{Loop, OutlineError, Region, SAME_POINT, Seg};
use std::f64::consts::PI;

#[derive(Clone, Copy, PartialEq)]
enum Keep {
    Union,
    Difference,
    Intersection,
}

/// What lies in `a` or in `b`.
///
/// The result is in canonical order: loops start at their leftmost (then lowest) node, regions and openings are
/// sorted by it, corners that are none are left out. Regions of one operand must not overlap.
///
/// # Errors
/// When the outlines nearly coincide without being equal, so that no clear answer exists.
pub fn union(a: &[Region], b: &[Region]) -> Result<Vec<Region>, OutlineError> {
    combine(a, b, Keep::Union)
}

/// What lies in `a` and not in `b`; ordered as [`union`] says.
///
/// # Errors
/// As for [`union`].
pub fn difference(a: &[Region], b: &[Region]) -> Result<Vec<Region>, OutlineError> {
    combine(a, b, Keep::Difference)
}

/// What lies in both; ordered as [`union`] says.
///
/// # Errors
/// As for [`union`].
pub fn intersection(a: &[Region], b: &[Region]) -> Result<Vec<Region>, OutlineError> {
    combine(a, b, Keep::Intersection)
}

fn combine(a: &[Region], b: &[Region], keep: Keep) -> Result<Vec<Region>, OutlineError> {
    for l in a.iter().chain(b).flat_map(Region::loops) {
        l.check_form()?;
    }
    let cut = arrange(&[as_set(a), as_set(b)]);
    let (in_a, in_b) = (Locator::new(a), Locator::new(b));
    let mut near = vec![];
    let mut halves = vec![];
    for piece in 0..cut.pieces.len() as u32 {
        let (u, v) = (cut.uses(piece, 0), cut.uses(piece, 1));
        let middle = |forward| cut.seg(Half { piece, forward }).point(0.5);
        let run = match (u, v) {
            (0, 0) => 0,
            (u, 0) => {
                let inside = in_b.contains(middle(true), &mut near);
                if inside == (keep == Keep::Intersection) {
                    u
                } else {
                    0
                }
            }
            (0, v) => {
                let inside = in_a.contains(middle(true), &mut near);
                match keep {
                    Keep::Union if !inside => v,
                    Keep::Intersection if inside => v,
                    Keep::Difference if inside => -v,
                    _ => 0,
                }
            }
            (u, v) if u == v => i8::from(keep != Keep::Difference) * u,
            (u, _) => i8::from(keep == Keep::Difference) * u,
        };
        if run != 0 {
            halves.push(Half {
                piece,
                forward: run > 0,
            });
        }
    }
    let loops: Vec<Loop> = cut
        .stitch(&halves)?
        .iter()
        .map(|l| cut.outline(l))
        .collect();
    let mut regions: Vec<Region> = nest(&loops)
        .into_iter()
        .filter_map(|(outer, inner)| {
            let mut inner: Vec<Loop> = inner
                .iter()
                .filter_map(|&i| tidy(&loops[i].reversed()))
                .collect();
            inner.sort_by(order);
            Some(Region {
                outer: tidy(&loops[outer])?,
                inner,
            })
        })
        .collect();
    regions.sort_by(|a, b| order(&a.outer, &b.outer));
    Ok(regions)
}

fn order(a: &Loop, b: &Loop) -> std::cmp::Ordering {
    let at = |l: &Loop| l.nodes.first().map_or((0.0, 0.0), |n| (n.at.x, n.at.y));
    let (p, q) = (at(a), at(b));
    p.0.total_cmp(&q.0).then(p.1.total_cmp(&q.1))
}

/// Leaves out nodes that are no corners and starts at the leftmost, then lowest node; `None` for what has no area.
fn tidy(l: &Loop) -> Option<Loop> {
    let mut segs: Vec<Seg> = l.segs().collect();
    let mut i = 0;
    let mut quiet = 0;
    while segs.len() > 2 && quiet <= segs.len() {
        let n = segs.len();
        let (j, k) = (i % n, (i + 1) % n);
        if let Some(s) = merged(&segs[j], &segs[k]) {
            segs[j] = s;
            segs.remove(k);
            // Removing in front of `j` shifts it; going on from any place is right, as the loop is closed.
            quiet = 0;
        } else {
            i += 1;
            quiet += 1;
        }
    }
    let first = (0..segs.len()).min_by(|&i, &j| {
        let (p, q) = (segs[i].from, segs[j].from);
        p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y))
    })?;
    segs.rotate_left(first);
    let l = Loop::from_segs(&segs);
    (l.area().abs() > SAME_POINT * l.length()).then_some(l)
}

/// Two pieces as one, when their common end is no corner.
fn merged(s: &Seg, t: &Seg) -> Option<Seg> {
    let joined = Seg {
        from: s.from,
        to: t.to,
        arc: s.arc,
    };
    match (s.arc, t.arc) {
        (None, None) => {
            let ahead = (s.to - s.from).dot(t.to - t.from) > 0.0;
            (ahead && joined.distance_to_point(s.to) <= SAME_POINT).then_some(joined)
        }
        (Some(a), Some(b)) => {
            let same = a.ccw == b.ccw && a.centre.distance(b.centre) <= SAME_POINT;
            let turn = s.sweep().abs() + t.sweep().abs();
            (same && turn <= PI + 1e-9 && (t.to.distance(a.centre) - s.radius()).abs() < 1e-10)
                .then_some(joined)
        }
        _ => None,
    }
}
