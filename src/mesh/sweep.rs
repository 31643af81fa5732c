//! Triangles of a flat region by a sweep: cut into monotone pieces (de Berg and others, Computational Geometry, 2008, chapter 3), each
//! piece cut from a stack, then sides flipped until every triangle's circle is empty (Lawson, 1977). A few times as quick as a
//! triangulation that keeps itself Delaunay at every step with exact arithmetic, which points on circles need all the time.
//!
//! Arithmetic is plain, so the result is checked: [`triangulate`] gives nothing rather than something wrong.

use super::planar::{FLAT, twice};
use glam::DVec2;

/// A corner of a loop and its neighbours; the region is to the left of the way from corner to next.
struct Corners {
    at: Vec<DVec2>,
    next: Vec<u32>,
    prev: Vec<u32>,
}

impl Corners {
    /// Whether corner `i` comes before `j` in the sweep.
    fn before(&self, i: u32, j: u32) -> bool {
        let (p, q) = (self.at[i as usize], self.at[j as usize]);
        (p.x, p.y, i) < (q.x, q.y, j)
    }

    fn twice(&self, i: u32, j: u32, k: u32) -> f64 {
        twice(
            self.at[i as usize],
            self.at[j as usize],
            self.at[k as usize],
        )
    }
}

/// A side with the region above it, crossed by the sweep line.
struct Open {
    from: u32,
    to: u32,
    /// The last corner that sees it.
    helper: u32,
    /// Whether two stretches came together there.
    merges: bool,
}

/// Triangles (counter-clockwise, as indices into `places`) of what lies to the left of the loops, which are the lengths of runs of
/// `places`. `None` when the loops touch, cross or are too nearly so.
pub(super) fn triangulate(places: Vec<DVec2>, loops: &[usize]) -> Option<Vec<[u32; 3]>> {
    let n = places.len();
    let (mut next, mut prev) = (Vec::with_capacity(n), Vec::with_capacity(n));
    let mut first = 0;
    for &len in loops {
        for k in 0..len {
            next.push((first + (k + 1) % len) as u32);
            prev.push((first + (k + len - 1) % len) as u32);
        }
        first += len;
    }
    let corners = Corners {
        at: places,
        next,
        prev,
    };
    let mut triangles = pieces(&corners, &diagonals(&corners)?)?;
    flip(&corners.at, &mut triangles);

    let mut sum = 0.0;
    for &[a, b, c] in &triangles {
        let area = corners.twice(a, b, c);
        let (p, q, r) = (
            corners.at[a as usize],
            corners.at[b as usize],
            corners.at[c as usize],
        );
        let longest = p
            .distance_squared(q)
            .max(q.distance_squared(r))
            .max(r.distance_squared(p));
        if area <= FLAT * longest {
            return None;
        }
        sum += area;
    }
    let (mut exact, mut size) = (0.0, 0.0);
    let mut first = 0;
    for &len in loops {
        let l = &corners.at[first..first + len];
        let area: f64 = (1..len - 1).map(|i| twice(l[0], l[i], l[i + 1])).sum();
        exact += area;
        size += area.abs();
        first += len;
    }
    // Triangles that all look the same way and have the right area in sum do not overlap; each corner takes two of the sides.
    let count = n + 2 * loops.len() - 4;
    (triangles.len() == count && (sum - exact).abs() <= 1e-9 * size).then_some(triangles)
}

/// Pairs of corners between which the region is cut so that each piece is monotone.
fn diagonals(c: &Corners) -> Option<Vec<[u32; 2]>> {
    let n = c.at.len() as u32;
    let mut order: Vec<u32> = (0..n).collect();
    order.sort_unstable_by(|&i, &j| {
        let (p, q) = (c.at[i as usize], c.at[j as usize]);
        p.x.total_cmp(&q.x)
            .then(p.y.total_cmp(&q.y))
            .then(i.cmp(&j))
    });
    let mut out: Vec<[u32; 2]> = Vec::new();
    // From below upwards.
    let mut open: Vec<Open> = Vec::new();
    for v in order {
        let (p, q) = (c.prev[v as usize], c.next[v as usize]);
        // How many of the open sides lie below the corner.
        let below = open.partition_point(|s| c.twice(s.from, s.to, v) > 0.0);
        let (p_before, q_before) = (c.before(p, v), c.before(q, v));
        let own = Open {
            from: v,
            to: q,
            helper: v,
            merges: false,
        };
        if !p_before && !q_before {
            if c.twice(p, v, q) > 0.0 {
                open.insert(below, own);
            } else {
                // The region opens behind this corner into two stretches.
                let under = open.get_mut(below.checked_sub(1)?)?;
                out.push([v, under.helper]);
                (under.helper, under.merges) = (v, false);
                open.insert(below, own);
            }
            continue;
        }
        if p_before {
            // The side that ends here.
            let ending = open.get_mut(below)?;
            if (ending.from, ending.to) != (p, v) {
                return None;
            }
            if ending.merges {
                out.push([v, ending.helper]);
            }
            if !q_before {
                *ending = own;
                continue;
            }
            open.remove(below);
            if c.twice(p, v, q) > 0.0 {
                continue;
            }
        }
        // The region goes on below.
        let under = open.get_mut(below.checked_sub(1)?)?;
        if under.merges {
            out.push([v, under.helper]);
        }
        (under.helper, under.merges) = (v, p_before);
    }
    open.is_empty().then_some(out)
}

/// The triangles of the pieces between the diagonals.
fn pieces(c: &Corners, cuts: &[[u32; 2]]) -> Option<Vec<[u32; 3]>> {
    let n = c.at.len();
    // Ends of the diagonals at each corner, counter-clockwise from the side that leaves it.
    let mut ends: Vec<(u32, u32)> = cuts.iter().flat_map(|&[a, b]| [(a, b), (b, a)]).collect();
    ends.sort_unstable();
    ends.dedup();
    let turn = |v: u32, w: u32| {
        let d = c.at[w as usize] - c.at[v as usize];
        let base = c.at[c.next[v as usize] as usize] - c.at[v as usize];
        base.perp_dot(d)
            .atan2(base.dot(d))
            .rem_euclid(std::f64::consts::TAU)
    };
    let mut run: Vec<(u32, u32)> = vec![(0, 0); n];
    let mut i = 0;
    while i < ends.len() {
        let v = ends[i].0;
        let len = ends[i..].iter().take_while(|e| e.0 == v).count();
        ends[i..i + len].sort_by(|a, b| turn(v, a.1).total_cmp(&turn(v, b.1)));
        run[v as usize] = (i as u32, (i + len) as u32);
        i += len;
    }
    let after = |u: u32, v: u32| -> Option<Step> {
        let (first, last) = run[v as usize];
        if u == c.prev[v as usize] {
            return Some(if first == last {
                Step::Side(v)
            } else {
                Step::Cut(last - 1)
            });
        }
        let k = (first..last).find(|&k| ends[k as usize].1 == u)?;
        Some(if k == first {
            Step::Side(v)
        } else {
            Step::Cut(k - 1)
        })
    };
    let mut side_done = vec![false; n];
    let mut cut_done = vec![false; ends.len()];
    let mut out = Vec::with_capacity(n + 16);
    let mut piece: Vec<u32> = Vec::new();
    // Every piece has a side of a loop, or it would be all diagonals: those are started from too.
    let starts = (0..n as u32)
        .map(Step::Side)
        .chain((0..ends.len() as u32).map(Step::Cut));
    for start in starts {
        piece.clear();
        let mut step = start;
        loop {
            let (done, from, to) = match step {
                Step::Side(v) => (&mut side_done[v as usize], v, c.next[v as usize]),
                Step::Cut(k) => (
                    &mut cut_done[k as usize],
                    ends[k as usize].0,
                    ends[k as usize].1,
                ),
            };
            if std::mem::replace(done, true) {
                break;
            }
            piece.push(from);
            step = after(from, to)?;
        }
        if !piece.is_empty() {
            monotone(c, &piece, &mut out);
        }
    }
    Some(out)
}

/// A half of a side: a corner's side to the next corner, or one end of a diagonal.
#[derive(Clone, Copy)]
enum Step {
    Side(u32),
    Cut(u32),
}

/// Triangles of a piece that every upright line crosses once.
fn monotone(c: &Corners, piece: &[u32], out: &mut Vec<[u32; 3]>) {
    let n = piece.len();
    if n == 3 {
        out.push([piece[0], piece[1], piece[2]]);
        return;
    }
    let first = (0..n)
        .reduce(|i, j| if c.before(piece[j], piece[i]) { j } else { i })
        .unwrap_or(0);
    // From the first corner the lower side runs forwards, the upper one backwards.
    let (mut low, mut high) = (1, n - 1);
    let lower = |k: usize| piece[(first + k) % n];
    let mut stack: Vec<(u32, bool)> = vec![(lower(0), true)];
    let mut seen = 1;
    while seen < n {
        let is_low = low == high || c.before(lower(low), lower(high));
        let v = if is_low { lower(low) } else { lower(high) };
        if is_low {
            low += 1
        } else {
            high -= 1
        }
        seen += 1;
        let (top, top_low) = stack[stack.len() - 1];
        // The last corner ends both sides.
        let is_low = if seen == n { !top_low } else { is_low };
        if seen > 2 && top_low != is_low {
            // All that waits on the other side sees this corner.
            for pair in stack.windows(2) {
                let (a, b) = (pair[0].0, pair[1].0);
                out.push(if is_low { [a, v, b] } else { [a, b, v] });
            }
            stack = vec![(top, top_low), (v, is_low)];
            continue;
        }
        let mut last = top;
        stack.pop();
        while let Some(&(before, _)) = stack.last() {
            let t = if is_low {
                [before, last, v]
            } else {
                [last, before, v]
            };
            if c.twice(t[0], t[1], t[2]) <= 0.0 {
                break;
            }
            out.push(t);
            last = before;
            stack.pop();
        }
        stack.push((last, is_low));
        stack.push((v, is_low));
    }
}

/// Flips sides between two triangles while one's circle holds the other's far corner.
fn flip(at: &[DVec2], triangles: &mut [[u32; 3]]) {
    /// Circles that hold a corner by less than this share of their size do not: points of one circle would be flipped for ever.
    const NEARLY: f64 = 1e-7;
    let mut sides: Vec<(u32, u32, u32)> = Vec::with_capacity(3 * triangles.len());
    for (t, tri) in triangles.iter().enumerate() {
        for k in 0..3 {
            let (a, b) = (tri[k], tri[(k + 1) % 3]);
            sides.push((a.min(b), a.max(b), (3 * t + k) as u32));
        }
    }
    sides.sort_unstable();
    // For each half side the one it shares its corners with.
    let mut twin = vec![u32::MAX; sides.len()];
    let mut work: Vec<u32> = Vec::new();
    for pair in sides.windows(2) {
        if (pair[0].0, pair[0].1) == (pair[1].0, pair[1].1) {
            let (h, g) = (pair[0].2, pair[1].2);
            (twin[h as usize], twin[g as usize]) = (g, h);
            work.push(h);
        }
    }
    let mut left = 40 * triangles.len();
    while let Some(h) = work.pop() {
        let g = twin[h as usize];
        if g == u32::MAX {
            continue;
        }
        let (t, k) = ((h / 3) as usize, (h % 3) as usize);
        let (s, l) = ((g / 3) as usize, (g % 3) as usize);
        let (a, b, c) = (
            triangles[t][k],
            triangles[t][(k + 1) % 3],
            triangles[t][(k + 2) % 3],
        );
        let d = triangles[s][(l + 2) % 3];
        let [p, q, r, o] = [a, b, c, d].map(|i| at[i as usize]);
        // Both new triangles must be sound, and the angles opposite the side more than a half turn in sum.
        let (x, y) = (twice(o, r, p), twice(r, o, q));
        let (u, v) = (p - r, q - r);
        let (w, z) = (q - o, p - o);
        let (cos_c, sin_c) = (u.dot(v), u.perp_dot(v));
        let (cos_d, sin_d) = (w.dot(z), w.perp_dot(z));
        let size = (cos_c.abs() + sin_c.abs()) * (cos_d.abs() + sin_d.abs());
        if x <= 0.0 || y <= 0.0 || sin_c * cos_d + cos_c * sin_d >= -NEARLY * size {
            continue;
        }
        if left == 0 {
            return;
        }
        left -= 1;
        // a b c and b a d become d c a and c d b.
        let outer = |i: usize, k: usize| twin[3 * i + k % 3];
        let (bc, ca, ad, db) = (
            outer(t, k + 1),
            outer(t, k + 2),
            outer(s, l + 1),
            outer(s, l + 2),
        );
        triangles[t] = [d, c, a];
        triangles[s] = [c, d, b];
        let (t3, s3) = (3 * t as u32, 3 * s as u32);
        let mut tie = |h: u32, g: u32| {
            twin[h as usize] = g;
            if g != u32::MAX {
                twin[g as usize] = h;
            }
        };
        tie(t3, s3);
        tie(t3 + 1, ca);
        tie(t3 + 2, ad);
        tie(s3 + 1, db);
        tie(s3 + 2, bc);
        work.extend([t3 + 1, t3 + 2, s3 + 1, s3 + 2]);
    }
}
