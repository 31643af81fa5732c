//! What makes an outline unusable, and how far outlines lie apart.

use super::grid::{Grid, grown, overlap};
use super::{Loop, Region, SAME_POINT, Seg};
use glam::DVec2;

/// Why an outline cannot be used. Places are in the part's 2D frame, mm.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OutlineError {
    /// Fewer than three corners, or two without an arc.
    #[error("the outline has only {count} corner(s)")]
    TooFewNodes {
        /// Nodes found.
        count: usize,
    },
    /// A coordinate that is not a finite number.
    #[error("corner {index} of the outline is not a finite number")]
    NotFinite {
        /// Which node, from 0.
        index: usize,
    },
    /// Two corners at one place.
    #[error("two corners of the outline lie at the same place ({:.3}, {:.3})", at.x, at.y)]
    ZeroLength {
        /// Where.
        at: DVec2,
    },
    /// The ends of an arc are not equally far from its centre.
    #[error("an arc of the outline from ({:.3}, {:.3}) ends {miss:.3e} mm off its circle", at.x, at.y)]
    ArcRadius {
        /// Where the arc starts.
        at: DVec2,
        /// Difference of the two radii, mm.
        miss: f64,
    },
    /// The outline meets itself.
    #[error("the outline crosses itself at ({:.3}, {:.3})", at.x, at.y)]
    CrossesItself {
        /// Where.
        at: DVec2,
    },
    /// The outline runs clockwise or has no area.
    #[error("the outline near ({:.3}, {:.3}) runs clockwise or has no area", at.x, at.y)]
    Clockwise {
        /// First node.
        at: DVec2,
    },
    /// Two outlines of one part meet.
    #[error("two outlines meet at ({:.3}, {:.3})", at.x, at.y)]
    Meet {
        /// Where.
        at: DVec2,
    },
    /// An opening lies outside its part, or inside another opening.
    #[error("the opening at ({:.3}, {:.3}) does not lie in the material", at.x, at.y)]
    OpeningOutside {
        /// A point of the opening.
        at: DVec2,
    },
    /// A corner radius that does not fit.
    #[error("a corner radius of {radius} mm does not fit near ({:.3}, {:.3})", near.x, near.y)]
    RadiusTooLarge {
        /// Asked for, mm.
        radius: f64,
        /// Which corner.
        near: DVec2,
    },
    /// The flat of a D hole outside its circle.
    #[error("a flat {flat} mm from the centre does not cut a circle of radius {radius} mm")]
    FlatMissesCircle {
        /// Radius of the circle, mm.
        radius: f64,
        /// Distance of the flat, mm.
        flat: f64,
    },
    /// Outlines that lie within rounding of each other without being equal.
    #[error("the outlines nearly coincide at ({:.3}, {:.3}) and cannot be combined", at.x, at.y)]
    Unclear {
        /// Where.
        at: DVec2,
    },
}

/// Largest allowed difference of the radii at an arc's ends, mm: the solids promise their points to 1e-9.
const ARC_MISS: f64 = 5e-10;

/// Shortest side, mm; ten times [`SAME_POINT`], so that its ends stay two points.
const SHORTEST: f64 = 10.0 * SAME_POINT;

/// How far from a common corner two neighbours may still be within rounding of each other, mm.
const CORNER: f64 = 1e-5;

impl Loop {
    /// Whether the loop can bound a part: finite, no zero-length side, arcs on their circles, does not meet
    /// itself, and runs counter-clockwise.
    ///
    /// # Errors
    /// The first fault found.
    pub fn check(&self) -> Result<(), OutlineError> {
        self.check_form()?;
        let segs: Vec<Seg> = self.segs().collect();
        let n = segs.len();
        let grid = Grid::new(
            segs.iter()
                .map(|s| grown(&s.bounds(), SAME_POINT))
                .collect(),
        );
        let mut met = vec![];
        for (i, j) in grid.pairs(0.0) {
            let (i, j) = (i as usize, j as usize);
            met.clear();
            segs[i].meets(&segs[j], &mut met);
            if j == i + 1 {
                met.retain(|p| p.distance(segs[j].from) > CORNER);
            }
            if i == 0 && j == n - 1 {
                met.retain(|p| p.distance(segs[0].from) > CORNER);
            }
            if let Some(at) = met.first() {
                return Err(OutlineError::CrossesItself { at: *at });
            }
        }
        if self.area() <= SAME_POINT * SAME_POINT {
            return Err(OutlineError::Clockwise {
                at: self.nodes[0].at,
            });
        }
        Ok(())
    }

    /// The part of [`Loop::check`] that looks at each side alone.
    pub(crate) fn check_form(&self) -> Result<(), OutlineError> {
        let count = self.nodes.len();
        if count < 2 || (count == 2 && self.nodes.iter().all(|n| n.arc.is_none())) {
            return Err(OutlineError::TooFewNodes { count });
        }
        for (index, n) in self.nodes.iter().enumerate() {
            if !n.at.is_finite() || n.arc.is_some_and(|a| !a.centre.is_finite()) {
                return Err(OutlineError::NotFinite { index });
            }
        }
        for s in self.segs() {
            if s.from.distance(s.to) < SHORTEST {
                return Err(OutlineError::ZeroLength { at: s.from });
            }
            if let Some(a) = s.arc {
                let miss = (s.from.distance(a.centre) - s.to.distance(a.centre)).abs();
                if miss > ARC_MISS {
                    return Err(OutlineError::ArcRadius { at: s.from, miss });
                }
            }
        }
        Ok(())
    }

    /// A point at which two loops meet, if there is one; touching counts.
    #[must_use]
    pub fn meets(&self, other: &Loop) -> Option<DVec2> {
        let theirs: Vec<_> = other.segs().map(|s| (s, s.bounds())).collect();
        let all = other.bounds();
        let mut met = vec![];
        for s in self.segs() {
            let b = grown(&s.bounds(), SAME_POINT);
            if !overlap(&b, &all) {
                continue;
            }
            for (t, c) in &theirs {
                if overlap(&b, c) {
                    s.meets(t, &mut met);
                    if let Some(p) = met.first() {
                        return Some(*p);
                    }
                }
            }
        }
        None
    }

    /// Whether the loop lies wholly inside `other` and does not meet it.
    #[must_use]
    pub fn inside(&self, other: &Loop) -> bool {
        self.nodes.first().is_some_and(|n| other.contains(n.at)) && self.meets(other).is_none()
    }

    /// Least distance of the two edges, mm; 0 when they meet. Says nothing of whether one lies inside the other.
    #[must_use]
    pub fn gap(&self, other: &Loop) -> f64 {
        let theirs: Vec<_> = other.segs().map(|s| (s, s.bounds())).collect();
        let mut least = f64::INFINITY;
        for s in self.segs() {
            let b = s.bounds();
            for (t, c) in &theirs {
                let apart = (c[0] - b[1]).max(b[0] - c[1]).max(DVec2::ZERO).length();
                if apart < least {
                    least = least.min(s.distance(t));
                }
            }
        }
        least
    }
}

/// Every pair of loops whose edges are nearer than `within` mm: (lower index, higher index, least distance).
/// In rising order of the indices; near-linear for loops that are spread out.
#[must_use]
pub fn gaps(loops: &[&Loop], within: f64) -> Vec<(usize, usize, f64)> {
    // Sides, not loops, are sorted into the grid: a plate's outline has all holes in its box but few near its sides.
    let segs: Vec<(usize, Seg)> = loops
        .iter()
        .enumerate()
        .flat_map(|(i, l)| l.segs().map(move |s| (i, s)))
        .collect();
    let grid = Grid::new(segs.iter().map(|(_, s)| s.bounds()).collect());
    let mut found: Vec<(usize, usize, f64)> = vec![];
    for (i, j) in grid.pairs(within) {
        let ((a, s), (b, t)) = (&segs[i as usize], &segs[j as usize]);
        if a != b {
            let d = s.distance(t);
            if d < within {
                found.push((*a.min(b), *a.max(b), d));
            }
        }
    }
    found.sort_by(|p, q| (p.0, p.1).cmp(&(q.0, q.1)).then(p.2.total_cmp(&q.2)));
    found.dedup_by_key(|f| (f.0, f.1));
    found
}

impl Region {
    /// Whether the region can be a part's section: every loop passes [`Loop::check`], openings lie inside the
    /// outer loop, and no two loops meet.
    ///
    /// # Errors
    /// The first fault found.
    pub fn check(&self) -> Result<(), OutlineError> {
        for l in self.loops() {
            l.check()?;
        }
        if self.inner.is_empty() {
            return Ok(());
        }
        let loops: Vec<&Loop> = self.loops().collect();
        let segs: Vec<(usize, Seg)> = loops
            .iter()
            .enumerate()
            .flat_map(|(i, l)| l.segs().map(move |s| (i, s)))
            .collect();
        let grid = Grid::new(
            segs.iter()
                .map(|(_, s)| grown(&s.bounds(), SAME_POINT))
                .collect(),
        );
        let mut met = vec![];
        for (i, j) in grid.pairs(0.0) {
            let ((a, s), (b, t)) = (&segs[i as usize], &segs[j as usize]);
            if a != b {
                s.meets(t, &mut met);
                if let Some(at) = met.first() {
                    return Err(OutlineError::Meet { at: *at });
                }
            }
        }
        let boxes = Grid::new(self.inner.iter().map(Loop::bounds).collect());
        let mut near = vec![];
        for (i, l) in self.inner.iter().enumerate() {
            let at = l.nodes[0].at;
            boxes.near(&[at, at], &mut near);
            let nested = near
                .iter()
                .any(|&j| j as usize != i && self.inner[j as usize].contains(at));
            if nested || !self.outer.contains(at) {
                return Err(OutlineError::OpeningOutside { at });
            }
        }
        Ok(())
    }
}
