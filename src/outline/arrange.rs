//! Outlines cut at every point where they meet, so that what they have in common is common to the last bit.

use super::grid::{Grid, grown};
use super::seg::turn_between;
use super::{Arc, Box2, Loop, Node, OutlineError, Region, SAME_POINT, Seg};
use glam::DVec2;
use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// Points of which no two are the same; a new one within [`SAME_POINT`] of an old one becomes the old one.
#[derive(Default)]
struct Points {
    at: Vec<DVec2>,
    cells: BTreeMap<(i64, i64), Vec<u32>>,
}

/// Side of the look-up cells, mm; several times [`SAME_POINT`], so that most points look in one cell.
const CELL: f64 = 16.0 * SAME_POINT;

impl Points {
    fn index(&mut self, p: DVec2) -> u32 {
        let cell = |v: f64| (v / CELL).floor() as i64;
        for x in cell(p.x - SAME_POINT)..=cell(p.x + SAME_POINT) {
            for y in cell(p.y - SAME_POINT)..=cell(p.y + SAME_POINT) {
                let near = self.cells.get(&(x, y)).into_iter().flatten();
                if let Some(i) = near
                    .copied()
                    .find(|&i| self.at[i as usize].distance(p) <= SAME_POINT)
                {
                    return i;
                }
            }
        }
        let i = self.at.len() as u32;
        self.at.push(p);
        self.cells
            .entry((cell(p.x), cell(p.y)))
            .or_default()
            .push(i);
        i
    }
}

/// A stretch of outline between two points at which anything happens.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Piece {
    /// Points it joins. An arc runs counter-clockwise from the first to the second, half a turn at most.
    pub(crate) ends: [u32; 2],
    /// Centre of an arc.
    pub(crate) centre: Option<DVec2>,
}

/// A piece run forwards or backwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Half {
    /// Index of the piece.
    pub(crate) piece: u32,
    /// From its first end to its second.
    pub(crate) forward: bool,
}

/// Several sets of outlines, cut at their common points.
pub(crate) struct Arrangement {
    /// No two are the same.
    pub(crate) points: Vec<DVec2>,
    /// No two are the same.
    pub(crate) pieces: Vec<Piece>,
    sets: usize,
    uses: Vec<i8>,
}

impl Arrangement {
    /// How `set` runs along a piece with its material on the left: 1 forwards, -1 backwards, 0 not at all.
    pub(crate) fn uses(&self, piece: u32, set: usize) -> i8 {
        self.uses[piece as usize * self.sets + set]
    }

    /// The piece in the direction of `half`.
    pub(crate) fn seg(&self, half: Half) -> Seg {
        let p = &self.pieces[half.piece as usize];
        let [from, to] = p.ends.map(|i| self.points[i as usize]);
        let s = Seg {
            from,
            to,
            arc: p.centre.map(|centre| Arc { centre, ccw: true }),
        };
        if half.forward { s } else { s.reversed() }
    }

    /// Joins halves to loops; where several leave a point, material that only touches there stays apart.
    pub(crate) fn stitch(&self, halves: &[Half]) -> Result<Vec<Vec<Half>>, OutlineError> {
        let ways: Vec<Way> = halves
            .iter()
            .map(|&h| {
                let p = &self.pieces[h.piece as usize].ends;
                let (from, to) = if h.forward {
                    (p[0], p[1])
                } else {
                    (p[1], p[0])
                };
                Way::new(from, to, &self.seg(h))
            })
            .collect();
        match stitch(self.points.len(), &ways) {
            Ok(loops) => Ok(loops
                .into_iter()
                .map(|l| l.into_iter().map(|i| halves[i]).collect())
                .collect()),
            Err(i) => Err(OutlineError::Unclear {
                at: self.points[i as usize],
            }),
        }
    }

    /// The loop that halves form.
    pub(crate) fn outline(&self, halves: &[Half]) -> Loop {
        Loop {
            nodes: halves
                .iter()
                .map(|&h| self.seg(h))
                .map(|s| Node {
                    at: s.from,
                    arc: s.arc,
                })
                .collect(),
        }
    }
}

/// Splits what turns more than half a turn in two equal parts.
fn halved(s: Seg, out: &mut Vec<Seg>) {
    if s.sweep().abs() > PI + 1e-9 {
        let m = s.point(0.5);
        out.extend([Seg { to: m, ..s }, Seg { from: m, ..s }]);
    } else {
        out.push(s);
    }
}

/// Cuts the sets' loops at their common points. Each loop comes with whether its material lies outside it.
/// The loops are simple, and those of one set do not cross.
pub(crate) fn arrange(sets: &[Vec<(&Loop, bool)>]) -> Arrangement {
    // Equal loops of several sets, such as a hole through all layers, are cut once.
    let mut known: BTreeMap<Vec<u64>, usize> = BTreeMap::new();
    let mut loops: Vec<(&Loop, Vec<(usize, bool)>)> = vec![];
    for (set, list) in sets.iter().enumerate() {
        for &(l, outside) in list {
            let key = l.nodes.iter().flat_map(|n| {
                let a = n.arc.map_or([1, 0, 0], |a| {
                    [
                        2 + u64::from(a.ccw),
                        a.centre.x.to_bits(),
                        a.centre.y.to_bits(),
                    ]
                });
                [n.at.x.to_bits(), n.at.y.to_bits(), a[0], a[1], a[2]]
            });
            let at = *known.entry(key.collect()).or_insert(loops.len());
            if at == loops.len() {
                loops.push((l, vec![]));
            }
            loops[at].1.push((set, outside));
        }
    }
    let mut points = Points::default();
    let (mut segs, mut owner) = (vec![], vec![]);
    for (i, (l, _)) in loops.iter().enumerate() {
        for s in l.segs() {
            halved(s, &mut segs);
        }
        owner.resize(segs.len(), i);
    }
    let ends: Vec<[u32; 2]> = segs
        .iter()
        .map(|s| [points.index(s.from), points.index(s.to)])
        .collect();

    // (segment, share of it, point)
    let mut cuts: Vec<(usize, f64, u32)> = vec![];
    if loops.len() > 1 {
        let grid = Grid::new(
            segs.iter()
                .map(|s| grown(&s.bounds(), SAME_POINT))
                .collect(),
        );
        let mut met = vec![];
        for (i, j) in grid.pairs(0.0) {
            let (i, j) = (i as usize, j as usize);
            if owner[i] == owner[j] {
                continue;
            }
            met.clear();
            segs[i].meets(&segs[j], &mut met);
            for &p in &met {
                let v = points.index(p);
                for k in [i, j] {
                    if !ends[k].contains(&v) {
                        cuts.push((k, share(&segs[k], p), v));
                    }
                }
            }
        }
    }
    cuts.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));

    // Every stretch with its uses; the middle tells a line from an arc between the same points.
    let mut raw: Vec<(u32, u32, DVec2, Option<DVec2>, bool, usize)> = vec![];
    let mut next = cuts.iter().peekable();
    for (k, s) in segs.iter().enumerate() {
        let mut from = ends[k][0];
        let mut stretch = |to: u32| {
            if to == from {
                return;
            }
            let [p, q] = [from, to].map(|i| points.at[i as usize]);
            let middle = Seg {
                from: p,
                to: q,
                arc: s.arc,
            }
            .point(0.5);
            let forward = s.arc.map_or(from < to, |a| a.ccw);
            let (a, b) = if forward { (from, to) } else { (to, from) };
            raw.push((a, b, middle, s.arc.map(|a| a.centre), forward, owner[k]));
            from = to;
        };
        while let Some(c) = next.next_if(|c| c.0 == k) {
            stretch(c.2);
        }
        stretch(ends[k][1]);
    }
    let mut order: Vec<usize> = (0..raw.len()).collect();
    order.sort_by_key(|&i| (raw[i].0.min(raw[i].1), raw[i].0.max(raw[i].1), i));
    let mut piece_of = vec![u32::MAX; raw.len()];
    for run in order.chunk_by(|&i, &j| {
        raw[i].0.min(raw[i].1) == raw[j].0.min(raw[j].1)
            && raw[i].0.max(raw[i].1) == raw[j].0.max(raw[j].1)
    }) {
        for (n, &i) in run.iter().enumerate() {
            let same = run[..n]
                .iter()
                .find(|&&j| raw[i].2.distance(raw[j].2) <= 4.0 * SAME_POINT);
            piece_of[i] = same.map_or(i as u32, |&j| piece_of[j]);
        }
    }
    // Pieces keep the order in which the outlines name them.
    let mut pieces = vec![];
    let mut uses = vec![];
    let mut number = vec![u32::MAX; raw.len()];
    for (i, &(a, b, _, centre, forward, owner)) in raw.iter().enumerate() {
        let first = piece_of[i] as usize;
        if number[first] == u32::MAX {
            number[first] = pieces.len() as u32;
            pieces.push(Piece {
                ends: [a, b],
                centre,
            });
            uses.resize(pieces.len() * sets.len(), 0);
        }
        let p = number[first] as usize;
        // A nearly straight arc may share its piece with a line that was named the other way.
        let along = forward == (pieces[p].ends[0] == a);
        for &(set, outside) in &loops[owner].1 {
            uses[p * sets.len() + set] += if along == outside { -1 } else { 1 };
        }
    }
    Arrangement {
        points: points.at,
        pieces,
        sets: sets.len(),
        uses,
    }
}

/// How far along a segment a point lies, 0 to 1.
fn share(s: &Seg, p: DVec2) -> f64 {
    match s.arc {
        None => (p - s.from).dot(s.to - s.from) / (s.to - s.from).length_squared(),
        Some(a) => {
            let (from, q) = (s.from - a.centre, p - a.centre);
            let t = if a.ccw {
                turn_between(from, q)
            } else {
                turn_between(q, from)
            };
            t / s.sweep().abs()
        }
    }
}

/// A directed edge of a drawing in the plane, as far as joining it to others needs it.
pub(crate) struct Way {
    from: u32,
    to: u32,
    leaves: DVec2,
    leaves_bend: f64,
    back: DVec2,
    back_bend: f64,
}

impl Way {
    pub(crate) fn new(from: u32, to: u32, s: &Seg) -> Way {
        let r = s.reversed();
        Way {
            from,
            to,
            leaves: s.tangent_from(),
            leaves_bend: s.curvature(),
            back: r.tangent_from(),
            back_bend: r.curvature(),
        }
    }

    /// Angle from this way's end, clockwise from the way back, to where `next` leaves.
    fn clockwise_to(&self, next: &Way) -> f64 {
        let t = turn_between(next.leaves, self.back);
        let full = std::f64::consts::TAU;
        // Tangents that agree are told apart by which curve bends away.
        if t < TANGENT || full - t < TANGENT {
            if next.leaves_bend < self.back_bend {
                0.0
            } else {
                full
            }
        } else {
            t
        }
    }
}

/// Directions closer than this many radians count as tangent.
const TANGENT: f64 = 1e-7;

/// Joins ways to closed loops, each as indices in order; material is on the left. A loop that would visit a
/// point twice is parted there. `Err` holds a point where the ways do not close.
pub(crate) fn stitch(points: usize, ways: &[Way]) -> Result<Vec<Vec<usize>>, u32> {
    let mut start = vec![0u32; points + 1];
    for w in ways {
        start[w.from as usize + 1] += 1;
    }
    for i in 0..points {
        start[i + 1] += start[i];
    }
    let mut fill = start.clone();
    let mut leaving = vec![0u32; ways.len()];
    for (i, w) in ways.iter().enumerate() {
        let f = &mut fill[w.from as usize];
        leaving[*f as usize] = i as u32;
        *f += 1;
    }
    let mut used = vec![false; ways.len()];
    let mut place = vec![u32::MAX; points];
    let mut loops = vec![];
    for first in 0..ways.len() {
        if used[first] {
            continue;
        }
        let mut path: Vec<usize> = vec![];
        let mut at = first;
        loop {
            used[at] = true;
            place[ways[at].from as usize] = path.len() as u32;
            path.push(at);
            let to = ways[at].to as usize;
            if place[to] != u32::MAX {
                let part = path.split_off(place[to] as usize);
                for &i in &part {
                    place[ways[i].from as usize] = u32::MAX;
                }
                loops.push(part);
                if path.is_empty() {
                    break;
                }
            }
            let choice = leaving[start[to] as usize..start[to + 1] as usize]
                .iter()
                .filter(|&&i| !used[i as usize]);
            let next = choice.min_by(|&&i, &&j| {
                let (p, q) = (&ways[i as usize], &ways[j as usize]);
                let (s, t) = (ways[at].clockwise_to(p), ways[at].clockwise_to(q));
                if (s - t).abs() < TANGENT {
                    q.leaves_bend
                        .partial_cmp(&p.leaves_bend)
                        .unwrap_or(Ordering::Equal)
                } else {
                    s.total_cmp(&t)
                }
            });
            match next {
                Some(&i) => at = i as usize,
                None => return Err(to as u32),
            }
        }
    }
    Ok(loops)
}

/// Which loops bound material from outside, each with its openings. `loops` have material on the left, so
/// openings run clockwise.
pub(crate) fn nest(loops: &[Loop]) -> Vec<(usize, Vec<usize>)> {
    let areas: Vec<f64> = loops.iter().map(Loop::area).collect();
    let mut outers: Vec<(usize, Vec<usize>)> = (0..loops.len())
        .filter(|&i| areas[i] > 0.0)
        .map(|i| (i, vec![]))
        .collect();
    let holes = (0..loops.len()).filter(|&i| areas[i] <= 0.0);
    if outers.len() == 1 {
        outers[0].1 = holes.collect();
        return outers;
    }
    let grid = Grid::new(outers.iter().map(|o| loops[o.0].bounds()).collect());
    let mut near = vec![];
    for h in holes {
        // The middle of a side: corners may touch the outer loop.
        let at = loops[h].seg(0).point(0.5);
        grid.near(&[at, at], &mut near);
        let holder = near
            .iter()
            .filter(|&&k| loops[outers[k as usize].0].contains(at))
            .min_by(|&&j, &&k| areas[outers[j as usize].0].total_cmp(&areas[outers[k as usize].0]));
        if let Some(&k) = holder {
            outers[k as usize].1.push(h);
        }
    }
    outers
}

/// Tells quickly whether a point lies in the material of regions that do not overlap.
pub(crate) struct Locator<'a> {
    loops: Vec<(&'a Loop, i32)>,
    boxes: Grid,
}

impl<'a> Locator<'a> {
    pub(crate) fn new(regions: &'a [Region]) -> Locator<'a> {
        let loops: Vec<(&Loop, i32)> = regions
            .iter()
            .flat_map(|r| std::iter::once((&r.outer, 1)).chain(r.inner.iter().map(|l| (l, -1))))
            .collect();
        let boxes: Vec<Box2> = loops.iter().map(|l| l.0.bounds()).collect();
        Locator {
            loops,
            boxes: Grid::new(boxes),
        }
    }

    pub(crate) fn contains(&self, p: DVec2, near: &mut Vec<u32>) -> bool {
        self.boxes.near(&[p, p], near);
        near.iter()
            .map(|&i| &self.loops[i as usize])
            .filter(|l| l.0.contains(p))
            .map(|l| l.1)
            .sum::<i32>()
            > 0
    }
}

/// The loops of regions as [`arrange`] wants them.
pub(crate) fn as_set(regions: &[Region]) -> Vec<(&Loop, bool)> {
    regions
        .iter()
        .flat_map(|r| std::iter::once((&r.outer, false)).chain(r.inner.iter().map(|l| (l, true))))
        .collect()
}
