//! Where labels go: around the drawing, each joined to its part by a straight leader.
//!
//! All names stand outside a frame around the drawing and all leaders stay inside it, so no leader can run over a name. Within the
//! frame leaders are uncrossed by swapping the places of two names whose leaders cross, which shortens both, or by moving one of
//! them to another side.

/// A name that wants a place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wish {
    /// The spot it speaks of, pixels.
    pub anchor: [f32; 2],
    /// Width and height of its text.
    pub size: [f32; 2],
}

/// Where a name went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Place {
    /// Index of the wish.
    pub wish: usize,
    /// Top left and bottom right corner of the text.
    pub area: [f32; 4],
    /// Where the leader ends, on the frame.
    pub tip: [f32; 2],
    /// Whether the text is right-aligned, left of its tip.
    pub side: Side,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
    Top,
    Bottom,
}

const SIDES: [Side; 4] = [Side::Left, Side::Right, Side::Top, Side::Bottom];

/// Room between a leader's tip and its text, and between neighbours, pixels.
const GAP: f32 = 7.0;
const BETWEEN: [f32; 2] = [14.0, 6.0];

/// Names above and below read less well than names beside, so they must be this much nearer.
const UPRIGHT_COST: f32 = 1.4;

/// Moves to another side that are tried before crossed leaders are left as they are.
const MOST_MOVES: usize = 100;

/// The frame that leaders stay in: x0, y0, x1, y1.
pub(super) type Frame = [f32; 4];

impl Side {
    /// Along which axis names follow each other.
    fn axis(self) -> usize {
        usize::from(matches!(self, Side::Left | Side::Right))
    }

    fn bounds(self, frame: &Frame) -> [f32; 2] {
        [frame[self.axis()], frame[self.axis() + 2]]
    }

    fn cost(self, at: [f32; 2], frame: &Frame) -> f32 {
        match self {
            Side::Left => at[0] - frame[0],
            Side::Right => frame[2] - at[0],
            Side::Top => (at[1] - frame[1]) * UPRIGHT_COST,
            Side::Bottom => (frame[3] - at[1]) * UPRIGHT_COST,
        }
    }
}

/// Names around a drawing.
#[derive(Debug, Default)]
pub(super) struct Layout {
    /// In the order of the wishes.
    pub places: Vec<Place>,
    /// Pairs of leaders that could not be uncrossed because the sides are full.
    pub crossed: usize,
}

/// Places as many names as fit.
pub(super) fn place(wishes: &[Wish], frame: &Frame) -> Layout {
    let length = |i: usize, s: usize| wishes[i].size[SIDES[s].axis()] + BETWEEN[SIDES[s].axis()];
    let room = SIDES.map(|s| {
        let [low, high] = s.bounds(frame);
        high - low
    });
    // those that are nearest to a side choose first
    let nearest = |w: &Wish| {
        SIDES
            .iter()
            .map(|s| s.cost(w.anchor, frame))
            .fold(f32::INFINITY, f32::min)
    };
    let mut order: Vec<usize> = (0..wishes.len()).collect();
    order.sort_by(|&i, &j| {
        nearest(&wishes[i])
            .total_cmp(&nearest(&wishes[j]))
            .then(i.cmp(&j))
    });
    let mut members: [Vec<usize>; 4] = Default::default();
    let mut used = [0.0_f32; 4];
    for i in order {
        let mut sides = [0, 1, 2, 3];
        sides.sort_by(|&a, &b| {
            SIDES[a]
                .cost(wishes[i].anchor, frame)
                .total_cmp(&SIDES[b].cost(wishes[i].anchor, frame))
        });
        if let Some(&s) = sides.iter().find(|&&s| used[s] + length(i, s) <= room[s]) {
            used[s] += length(i, s);
            members[s].push(i);
        }
    }
    for (s, side) in SIDES.iter().enumerate() {
        let axis = side.axis();
        members[s].sort_by(|&i, &j| {
            wishes[i].anchor[axis]
                .total_cmp(&wishes[j].anchor[axis])
                .then(i.cmp(&j))
        });
    }

    let mut state = State { members, used };
    let mut places = lay_out(wishes, &state.members, frame);
    let mut best = Layout {
        places: places.clone(),
        crossed: crossings(wishes, &places).len(),
    };
    // most swaps shorten the leaders, but names are not all of one size: the bound is for those that do not
    for turn in 0..8 * wishes.len() {
        let mut pairs = crossings(wishes, &places);
        if pairs.len() < best.crossed {
            best = Layout {
                places: places.clone(),
                crossed: pairs.len(),
            };
        }
        if pairs.is_empty() {
            break;
        }
        // starting with another pair each time, so that swaps that undo each other do not go on for ever
        let count = pairs.len();
        pairs.rotate_left(turn % count);
        let swapped = pairs
            .iter()
            .find_map(|&(p, q)| state.swapped(p, q, &length, &room));
        // where the sides are too full to swap, one of the two goes to a side that has room, if that helps
        let next = swapped.or_else(|| {
            let moves = pairs
                .iter()
                .flat_map(|&(p, q)| [p, q])
                .flat_map(|w| (0..4).map(move |t| (w, t)))
                .take(MOST_MOVES);
            let mut tried = moves.filter_map(|(w, t)| state.moved(w, t, wishes, &length, &room));
            tried.find(|s| crossings(wishes, &lay_out(wishes, &s.members, frame)).len() < count)
        });
        let Some(next) = next else { break };
        state = next;
        places = lay_out(wishes, &state.members, frame);
    }
    best.places.sort_by_key(|p| p.wish);
    best
}

/// Which names stand at which side, in order, and how much of each side they take.
#[derive(Clone)]
struct State {
    members: [Vec<usize>; 4],
    used: [f32; 4],
}

impl State {
    fn find(&self, wish: usize) -> Option<(usize, usize)> {
        self.members
            .iter()
            .enumerate()
            .find_map(|(s, m)| m.iter().position(|&i| i == wish).map(|k| (s, k)))
    }

    /// With two names in each other's places, if there is room for that.
    fn swapped(
        &self,
        p: usize,
        q: usize,
        length: &impl Fn(usize, usize) -> f32,
        room: &[f32; 4],
    ) -> Option<State> {
        let ((s, k), (t, l)) = (self.find(p)?, self.find(q)?);
        let mut out = self.clone();
        out.members[s][k] = q;
        out.members[t][l] = p;
        if s != t {
            out.used[s] += length(q, s) - length(p, s);
            out.used[t] += length(p, t) - length(q, t);
        }
        (out.used[s] <= room[s] && out.used[t] <= room[t]).then_some(out)
    }

    /// With one name at another side, in the order of what it points at, if there is room for it.
    fn moved(
        &self,
        w: usize,
        t: usize,
        wishes: &[Wish],
        length: &impl Fn(usize, usize) -> f32,
        room: &[f32; 4],
    ) -> Option<State> {
        let (s, k) = self.find(w)?;
        if s == t || self.used[t] + length(w, t) > room[t] {
            return None;
        }
        let axis = SIDES[t].axis();
        let mut out = self.clone();
        out.members[s].remove(k);
        let at =
            out.members[t].partition_point(|&i| wishes[i].anchor[axis] < wishes[w].anchor[axis]);
        out.members[t].insert(at, w);
        out.used[s] -= length(w, s);
        out.used[t] += length(w, t);
        Some(out)
    }
}

/// Gives the names of every side their places, in their order.
fn lay_out(wishes: &[Wish], members: &[Vec<usize>; 4], frame: &Frame) -> Vec<Place> {
    let mut out = Vec::new();
    for (side, list) in SIDES.into_iter().zip(members) {
        let axis = side.axis();
        let sizes: Vec<f32> = list
            .iter()
            .map(|&i| wishes[i].size[axis] + BETWEEN[axis])
            .collect();
        let wanted: Vec<f32> = list.iter().map(|&i| wishes[i].anchor[axis]).collect();
        for ((&wish, size), middle) in
            list.iter()
                .zip(&sizes)
                .zip(spread(&wanted, &sizes, side.bounds(frame)))
        {
            let [w, h] = wishes[wish].size;
            let half = (size - BETWEEN[axis]) / 2.0;
            let (tip, corner) = match side {
                Side::Left => ([frame[0], middle], [frame[0] - GAP - w, middle - half]),
                Side::Right => ([frame[2], middle], [frame[2] + GAP, middle - half]),
                Side::Top => ([middle, frame[1]], [middle - half, frame[1] - GAP - h]),
                Side::Bottom => ([middle, frame[3]], [middle - half, frame[3] + GAP]),
            };
            out.push(Place {
                wish,
                area: [corner[0], corner[1], corner[0] + w, corner[1] + h],
                tip,
                side,
            });
        }
    }
    out
}

/// Middles of intervals of the given sizes, in their order, without overlap and within `bounds`, as near as can be (least
/// squares) to `wanted`: neighbours that collide form a block that stands at the mean of what its members want.
fn spread(wanted: &[f32], sizes: &[f32], [low, high]: [f32; 2]) -> Vec<f32> {
    // blocks of (sum of wanted starts, members, total size)
    let mut blocks: Vec<(f32, usize, f32)> = Vec::new();
    let place = |&(sum, count, size): &(f32, usize, f32)| {
        (sum / count as f32).clamp(low, (high - size).max(low))
    };
    for (&w, &s) in wanted.iter().zip(sizes) {
        let mut block = (w - s / 2.0, 1, s);
        while let Some(last) = blocks.last()
            && place(last) + last.2 > place(&block)
        {
            // what the members of the later block want, told by the start of the joint block
            block = (
                last.0 + block.0 - block.1 as f32 * last.2,
                last.1 + block.1,
                last.2 + block.2,
            );
            blocks.pop();
        }
        blocks.push(block);
    }
    let mut out = Vec::with_capacity(wanted.len());
    let mut rest = sizes;
    for block in &blocks {
        let mut at = place(block);
        let (mine, others) = rest.split_at(block.1);
        for s in mine {
            out.push(at + s / 2.0);
            at += s;
        }
        rest = others;
    }
    out
}

/// Wishes whose leaders cross.
fn crossings(wishes: &[Wish], places: &[Place]) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    for (k, p) in places.iter().enumerate() {
        let cross = places[..k]
            .iter()
            .filter(|q| cross(wishes[p.wish].anchor, p.tip, wishes[q.wish].anchor, q.tip));
        out.extend(cross.map(|q| (p.wish, q.wish)));
    }
    out
}

/// Whether two segments cross in their insides.
pub(super) fn cross(a: [f32; 2], b: [f32; 2], c: [f32; 2], d: [f32; 2]) -> bool {
    let turn = |p: [f32; 2], q: [f32; 2], r: [f32; 2]| {
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    turn(a, b, c) * turn(a, b, d) < -1e-3 && turn(c, d, a) * turn(c, d, b) < -1e-3
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Scattered; in a row as on a busy panel; all in one corner.
    #[test]
    fn names_neither_overlap_nor_leave_and_leaders_do_not_cross() {
        let frame = [230.0, 150.0, 1370.0, 1090.0];
        let mut seed = 7_u32;
        let mut next = move || {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 8) as f32 / (1 << 24) as f32
        };
        for case in 0..60 {
            let wishes: Vec<Wish> = (0..[34, 18, 18][case % 3])
                .map(|_| {
                    let (u, v) = (next(), next());
                    let anchor = match case % 3 {
                        0 => [240.0 + 1100.0 * u, 160.0 + 900.0 * v],
                        1 => [300.0 + 900.0 * u, 900.0 + 2.0 * v],
                        _ => [240.0 + 200.0 * u, 160.0 + 200.0 * v],
                    };
                    Wish {
                        anchor,
                        size: [50.0 + 100.0 * next(), 40.0],
                    }
                })
                .collect();
            let Layout { places, crossed } = place(&wishes, &frame);
            assert_eq!(places.len(), wishes.len());
            assert_eq!(crossed, crossings(&wishes, &places).len());
            // crammed into a corner, two may have to cross
            assert!(
                crossed <= usize::from(case % 3 == 2),
                "case {case}: {crossed}"
            );
            for (k, p) in places.iter().enumerate() {
                let [x0, y0, x1, y1] = p.area;
                assert!(x0 > 0.0 && y0 > 0.0 && x1 < 1600.0 && y1 < 1200.0, "{p:?}");
                assert!(
                    x1 <= frame[0] || x0 >= frame[2] || y1 <= frame[1] || y0 >= frame[3],
                    "outside the frame: {p:?}"
                );
                for q in &places {
                    let [a, b] = [wishes[q.wish].anchor, q.tip];
                    let runs_over = [([x0, y0], [x1, y1]), ([x0, y1], [x1, y0])]
                        .iter()
                        .any(|&(c, d)| cross(a, b, c, d));
                    assert!(!runs_over, "the leader of {q:?} runs over {p:?}");
                }
                for q in &places[..k] {
                    let apart =
                        x1 <= q.area[0] || q.area[2] <= x0 || y1 <= q.area[1] || q.area[3] <= y0;
                    assert!(apart, "{p:?} {q:?}");
                }
            }
        }
    }

    #[test]
    fn a_name_stays_beside_its_part_and_what_does_not_fit_is_left_out() {
        let frame = [200.0, 100.0, 1400.0, 1100.0];
        let one = place(
            &[Wish {
                anchor: [260.0, 512.0],
                size: [80.0, 40.0],
            }],
            &frame,
        )
        .places;
        assert_eq!((one[0].side, one[0].tip), (Side::Left, [200.0, 512.0]));
        let many = vec![
            Wish {
                anchor: [800.0, 600.0],
                size: [80.0, 40.0]
            };
            300
        ];
        let placed = place(&many, &frame).places;
        assert!(placed.len() > 40 && placed.len() < 80, "{}", placed.len());
    }
}
