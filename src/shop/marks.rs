//! Free places for marks: beside what they belong to, else further away with a leader.

use super::sheet::{Anchor, Ink, Label, Pen, Sheet, meet};
use crate::font;
use crate::outline::Loop;
use glam::DVec2;

/// From this distance between a rim and its mark on, mm, a leader shows which belong together.
const LEADER: f64 = 2.2;
/// Directions that are tried.
const TURNS: u32 = 36;
/// How often the order is changed for marks that are walled in.
const TRIES: usize = 5;
/// With more marks than this without room, a sheet is too crowded for another order, or more leaders, to help.
const CROWDED: usize = 40;
/// The longest leader, mm.
const REACH: f64 = 160.0;

/// What is in the way, and what has found its place.
#[derive(Clone, Debug, Default)]
pub(super) struct Field {
    /// Round things: centre and radius.
    pub rims: Vec<(DVec2, f64)>,
    /// Boxes of other things.
    pub boxes: Vec<[DVec2; 2]>,
    /// Openings that are not round: no mark stands on their edge or in them, save their own.
    pub openings: Vec<Loop>,
    /// Outlines that a mark had better not lie on.
    pub soft: Vec<Loop>,
    /// Where marks may stand.
    pub inside: [DVec2; 2],
    /// Leaders so far.
    pub leaders: Vec<[DVec2; 2]>,
}

/// What wants a mark.
#[derive(Clone, Debug)]
pub(super) struct Wish {
    /// Middle of the thing.
    pub at: DVec2,
    /// Its radius, or half its larger side.
    pub reach: f64,
    /// Room inside it: the mark goes there, off the axes, when it fits.
    pub room: Option<[DVec2; 2]>,
    /// What it says.
    pub text: String,
}

/// A mark that found its place, and the leader from its thing.
pub(super) type Found = (Label, Option<[DVec2; 2]>);

/// Whether a segment passes through a box.
fn crosses(s: &[DVec2; 2], area: &[DVec2; 2]) -> bool {
    let d = s[1] - s[0];
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for k in 0..2 {
        if d[k].abs() < 1e-12 {
            if s[0][k] < area[0][k] || s[0][k] > area[1][k] {
                return false;
            }
            continue;
        }
        let (a, b) = ((area[0][k] - s[0][k]) / d[k], (area[1][k] - s[0][k]) / d[k]);
        from = from.max(a.min(b));
        to = to.min(a.max(b));
    }
    from < to
}

/// Whether two segments cross.
fn cut(a: &[DVec2; 2], b: &[DVec2; 2]) -> bool {
    let side = |s: &[DVec2; 2], p: DVec2| (s[1] - s[0]).perp_dot(p - s[0]);
    side(a, b[0]) * side(a, b[1]) < 0.0 && side(b, a[0]) * side(b, a[1]) < 0.0
}

fn near(s: &[DVec2; 2], c: DVec2) -> f64 {
    let d = s[1] - s[0];
    let t = ((c - s[0]).dot(d) / d.length_squared().max(1e-12)).clamp(0.0, 1.0);
    c.distance(s[0] + d * t)
}

/// Whether an edge of the outline runs through the box.
fn on_edge(l: &Loop, area: &[DVec2; 2]) -> bool {
    let ring = l.nodes.first().and_then(|n| n.arc).filter(|a| {
        (l.nodes.iter()).all(|n| n.arc.is_some_and(|b| b.centre.distance(a.centre) < 1e-6))
    });
    if let Some(arc) = ring {
        let r = l.nodes[0].at.distance(arc.centre);
        let far = (arc.centre - area[0])
            .abs()
            .max((area[1] - arc.centre).abs());
        let close = arc.centre.clamp(area[0], area[1]).distance(arc.centre);
        return close < r && r < far.length();
    }
    l.segs().any(|s| {
        // an arc as sixteen chords
        let n = if s.arc.is_some() { 16 } else { 1 };
        let at = |k: i32| s.point(f64::from(k) / f64::from(n));
        (0..n).any(|k| crosses(&[at(k), at(k + 1)], area))
    })
}

/// Whether a box stands in an opening or on its edge.
fn in_opening(l: &Loop, area: &[DVec2; 2]) -> bool {
    meet(&l.bounds(), area) && (on_edge(l, area) || l.contains((area[0] + area[1]) / 2.0))
}

impl Field {
    /// Whether a box is clear of all that is in the way.
    pub fn free(&self, area: &[DVec2; 2]) -> bool {
        area[0].cmpge(self.inside[0]).all()
            && area[1].cmple(self.inside[1]).all()
            && self.boxes.iter().all(|b| !meet(b, area))
            && self
                .rims
                .iter()
                .all(|(c, r)| c.clamp(area[0], area[1]).distance(*c) >= *r)
            && self.leaders.iter().all(|l| !crosses(l, area))
            && !self.openings.iter().any(|l| in_opening(l, area))
    }

    /// How much is wrong with a leader: it may not run through a mark, and had better not run through a hole or across a leader.
    fn leader(&self, s: &[DVec2; 2], own: DVec2) -> Option<u32> {
        if self.boxes.iter().any(|b| crosses(s, b)) {
            return None;
        }
        let through = (self.rims.iter()).any(|(c, r)| c.distance(own) > 1e-6 && near(s, *c) < *r);
        let across = self.leaders.iter().any(|l| cut(l, s));
        Some(u32::from(through) + 2 * u32::from(across))
    }

    fn take(&mut self, found: &Found) {
        self.boxes.push(found.0.area());
        self.leaders.extend(found.1);
    }

    /// A place inside the thing, off its axes.
    fn within(&self, w: &Wish, size: f64) -> Option<Label> {
        let room = w.room?;
        let label = Label::new(w.at, size, Anchor::Middle, w.text.as_str()).bold();
        let half = label.width() / 2.0;
        for (sx, sy) in [(1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)] {
            let rise = if sy > 0.0 {
                0.9 + font::BELOW * size
            } else {
                -0.9 - font::ABOVE * size
            };
            let label = label.moved(DVec2::new(sx * (half + 0.9), rise));
            let area = label.area();
            let fits = area[0].cmpge(room[0]).all() && area[1].cmple(room[1]).all();
            let others = (self.openings.iter()).filter(|l| l.bounds() != room);
            let free = self.boxes.iter().all(|b| !meet(b, &area))
                && !others.into_iter().any(|l| in_opening(l, &area))
                && (self.rims.iter())
                    .filter(|(c, _)| c.distance(w.at) > 1e-6)
                    .all(|(c, r)| c.clamp(area[0], area[1]).distance(*c) >= *r)
                && self.leaders.iter().all(|l| !crosses(l, &area));
            if fits && free {
                return Some(label);
            }
        }
        None
    }

    fn around(&self, w: &Wish, size: f64, from: f64, to: f64) -> Option<Found> {
        let blank = Label::new(w.at, size, Anchor::Middle, w.text.as_str()).bold();
        let half = DVec2::new(blank.width(), (font::ABOVE + font::BELOW) * size) / 2.0;
        // from the middle of the letters' box to the base line
        let drop = DVec2::Y * ((font::ABOVE - font::BELOW) * size / 2.0);
        let mut gap = from;
        let mut best: Option<(u32, Found)> = None;
        while gap <= to {
            for k in 0..TURNS {
                let dir = DVec2::from_angle(
                    f64::from(k) * std::f64::consts::TAU / f64::from(TURNS) + 0.4,
                );
                let mid = w.at + dir * (w.reach + gap) + dir * half;
                let label = blank.moved(mid - drop - w.at);
                let area = label.area();
                if !self.free(&area) {
                    continue;
                }
                let mut flaw = u32::from(self.soft.iter().any(|l| on_edge(l, &area)));
                let mut line = None;
                if gap >= LEADER {
                    let end = w.at.clamp(area[0], area[1]);
                    let s = [w.at + (end - w.at).normalize_or_zero() * w.reach, end];
                    let Some(more) = self.leader(&s, w.at) else {
                        continue;
                    };
                    flaw += 2 * more;
                    line = Some(s);
                }
                if flaw == 0 {
                    return Some((label, line));
                }
                if best.as_ref().is_none_or(|b| flaw < b.0) {
                    best = Some((flaw, (label, line)));
                }
            }
            // a flawless place may be further off, but not far
            if best.is_some() && gap > from + 12.0 {
                break;
            }
            gap = (gap + 0.6).max(gap * 1.12);
        }
        best.map(|b| b.1)
    }

    /// The free place for a text nearest to the middle, at the largest of `sizes` (falling) that goes in; without a leader.
    pub fn spot(&self, text: &str, sizes: &[f64]) -> Option<Label> {
        let [low, high] = self.inside;
        let mid = (low + high) / 2.0;
        let steps = ((high - low) / 2.0).floor();
        let mut offs: Vec<DVec2> = Vec::new();
        for j in -(steps.y as i32)..=steps.y as i32 {
            for i in -(steps.x as i32)..=steps.x as i32 {
                offs.push(DVec2::new(f64::from(i), f64::from(j)));
            }
        }
        offs.sort_by(|a, b| a.length_squared().total_cmp(&b.length_squared()));
        // clear of edges if it goes in so at any size
        for strict in [true, false] {
            for size in sizes {
                let blank = Label::new(mid, *size, Anchor::Middle, text).bold();
                let found = offs.iter().map(|off| blank.moved(*off)).find(|l| {
                    let area = l.area();
                    self.free(&area) && !(strict && self.soft.iter().any(|s| on_edge(s, &area)))
                });
                if found.is_some() {
                    return found;
                }
            }
        }
        None
    }

    /// Places all marks at one size, in this order: first inside or close to their things, then the others with leaders; `None` for one that
    /// has no room.
    fn place(&mut self, wishes: &[Wish], order: &[usize], size: f64) -> Vec<Option<Found>> {
        let mut out: Vec<Option<Found>> = vec![None; wishes.len()];
        for k in order {
            let w = &wishes[*k];
            out[*k] = self
                .within(w, size)
                .map(|l| (l, None))
                .or_else(|| self.around(w, size, 0.5, LEADER - 0.1));
            if let Some(found) = &out[*k] {
                self.take(found);
            }
        }
        let mut lost = 0;
        for k in order {
            if out[*k].is_none() && lost <= CROWDED {
                out[*k] = self.around(&wishes[*k], size, LEADER, REACH);
                match &out[*k] {
                    Some(found) => self.take(found),
                    None => lost += 1,
                }
            }
        }
        out
    }

    /// Places all marks at the largest of `sizes` (falling) at which all go in, else as many as go in at the smallest. One that is walled in by
    /// others goes first on the next try.
    pub fn settle(&mut self, wishes: &[Wish], sizes: &[f64]) -> Vec<Option<Found>> {
        let empty = self.clone();
        let mut best: Option<(usize, Field, Vec<Option<Found>>)> = None;
        for size in sizes {
            let mut order: Vec<usize> = (0..wishes.len()).collect();
            for _ in 0..TRIES {
                let mut field = empty.clone();
                let found = field.place(wishes, &order, *size);
                let lost = found.iter().filter(|f| f.is_none()).count();
                // a stable sort: the lost ones first, the others as they were
                order.sort_by_key(|k| found[*k].is_some());
                if best.as_ref().is_none_or(|b| lost < b.0) {
                    best = Some((lost, field, found));
                }
                if lost == 0 || lost > CROWDED {
                    break;
                }
            }
            if best.as_ref().is_some_and(|b| b.0 == 0) {
                break;
            }
        }
        let Some((_, field, found)) = best else {
            return Vec::new();
        };
        *self = field;
        found
    }
}

/// Draws marks that found their places.
pub(super) fn draw(sheet: &mut Sheet, found: Vec<Option<Found>>) {
    for (label, leader) in found.into_iter().flatten() {
        if let Some([a, b]) = leader {
            sheet.ink.push(Ink::Line(a, b, Pen::Thin));
        }
        sheet.text(label);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_field_of_holes_too_close_for_marks_between_them_gets_leaders_to_free_places() {
        let wishes: Vec<Wish> = (0..40)
            .map(|k| Wish {
                at: DVec2::new(
                    60.0 + 4.5 * f64::from(k % 10),
                    60.0 + 4.5 * f64::from(k / 10),
                ),
                reach: 1.6,
                room: None,
                text: format!("a{}", k + 1),
            })
            .collect();
        let mut field = Field {
            rims: wishes.iter().map(|w| (w.at, w.reach)).collect(),
            inside: [DVec2::ZERO, DVec2::new(240.0, 160.0)],
            ..Field::default()
        };
        let found = field.settle(&wishes, &[2.8]);
        let lost = found.iter().filter(|f| f.is_none()).count();
        assert_eq!(lost, 0);
        for (w, f) in wishes.iter().zip(found.iter().flatten()) {
            let area = f.0.area();
            let gap = w.at.distance(w.at.clamp(area[0], area[1])) - w.reach;
            assert!(
                f.1.is_some() || gap < LEADER + 0.5,
                "{} is {gap} away",
                w.text
            );
        }
    }

    proptest! {
        #[test]
        fn marks_never_lie_on_each_other_on_holes_or_on_leaders(
            at in prop::collection::vec((10.0..90.0f64, 10.0..90.0f64, 0.5..6.0f64), 1..40),
        ) {
            let wishes: Vec<Wish> = at
                .iter()
                .enumerate()
                .map(|(k, (x, y, r))| Wish {
                    at: DVec2::new(*x, *y),
                    reach: *r,
                    room: None,
                    text: format!("b{k}"),
                })
                .collect();
            let mut field = Field {
                rims: wishes.iter().map(|w| (w.at, w.reach)).collect(),
                inside: [DVec2::ZERO, DVec2::splat(100.0)],
                ..Field::default()
            };
            let found: Vec<Found> = field.settle(&wishes, &[2.8]).into_iter().flatten().collect();
            for (k, (label, _)) in found.iter().enumerate() {
                let area = label.area();
                for (other, leader) in &found[..k] {
                    prop_assert!(!meet(&other.area(), &area));
                    prop_assert!(leader.is_none_or(|l| !crosses(&l, &area)));
                }
                for w in &wishes {
                    prop_assert!(w.at.clamp(area[0], area[1]).distance(w.at) >= w.reach);
                }
            }
        }
    }
}
