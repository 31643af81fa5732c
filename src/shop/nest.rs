//! Rectangles cut from rectangles by sawing right across, as on a table saw; lengths cut from bars are the same with one width.
//!
//! Several plain rules are tried and the cheapest answer kept, so the answer is good, not proven best. No clock and no chance in it.

use glam::{DVec2, Vec2Swizzles};

/// Sizes that differ by less are equal, mm.
const SAME: f64 = 1e-6;
/// With more parts than this only one rule is tried, so that no input takes long.
const MANY: usize = 60;

/// A rectangle to be cut: x along the stock's length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Item {
    /// Length and width, mm.
    pub size: DVec2,
    /// Whether it may lie turned a quarter.
    pub turns: bool,
}

/// A size of stock, by what of it can be used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// Length and width, mm.
    pub size: DVec2,
    /// What one costs: its area as it is sold, trimmed edges and all, mm2.
    pub cost: f64,
    /// How many are at hand; `None` for one that is bought, as many as needed.
    pub at_hand: Option<usize>,
}

/// Where a rectangle lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    /// Which item.
    pub item: usize,
    /// Its low corner.
    pub low: DVec2,
    /// Its size as it lies.
    pub size: DVec2,
    /// Turned a quarter.
    pub turned: bool,
}

/// A saw cut right across the piece in hand. What is kept lies on the low side of the line; the kerf on the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SawCut {
    /// One end.
    pub from: DVec2,
    /// The other end; same y for a cut along the length, same x for one across it.
    pub to: DVec2,
    /// Distance from the low edge of the piece in hand.
    pub keep: f64,
}

impl SawCut {
    /// Whether it runs along the stock's length.
    #[must_use]
    pub fn along(&self) -> bool {
        (self.from.y - self.to.y).abs() < SAME
    }
}

/// A piece of stock with what is cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Filled {
    /// Which source.
    pub source: usize,
    /// What lies on it, in the order of cutting.
    pub laid: Vec<Laid>,
    /// Cuts in their order: each goes right across what the earlier ones left.
    pub cuts: Vec<SawCut>,
    /// What is left over: low and high corners.
    pub left: Vec<[DVec2; 2]>,
}

/// Everything cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Nest {
    /// Pieces of stock.
    pub filled: Vec<Filled>,
    /// Items that go on no piece.
    pub out: Vec<usize>,
}

#[derive(Clone, Copy)]
struct Rule {
    /// 0 area, 1 longer side, 2 shorter side, 3 length, 4 width: the larger come first.
    order: u8,
    /// 0 least area left, 1 least shorter rest, 2 least longer rest.
    fit: u8,
    /// 0 first cut along, 1 first cut across, 2 along where less is left over in length, 3 the other way round.
    split: u8,
    /// Only this bought source, where it holds the part.
    only: Option<usize>,
}

/// Cuts all items from the sources: what is at hand first, then the least area that must be bought.
#[must_use]
pub fn nest(items: &[Item], sources: &[Source], kerf: f64) -> Nest {
    let bought: Vec<usize> = (0..sources.len())
        .filter(|k| sources[*k].at_hand.is_none())
        .collect();
    let few = items.len() <= MANY;
    let mut best: Option<(Nest, [f64; 5])> = None;
    for only in std::iter::once(None).chain(bought.iter().copied().map(Some)) {
        for order in 0..5 {
            for fit in 0..3 {
                for split in 0..4 {
                    let rule = Rule {
                        order,
                        fit,
                        split,
                        only,
                    };
                    let first = only.is_none() && (order, fit, split) == (0, 0, 0);
                    if !few && !first {
                        continue;
                    }
                    let found = run(items, sources, kerf, rule);
                    let cost = cost(&found, sources);
                    let better = best.as_ref().is_none_or(|(_, least)| {
                        cost.iter()
                            .zip(least)
                            .map(|(a, b)| {
                                if (a - b).abs() < SAME {
                                    std::cmp::Ordering::Equal
                                } else {
                                    a.total_cmp(b)
                                }
                            })
                            .find(|o| o.is_ne())
                            .is_some_and(std::cmp::Ordering::is_lt)
                    });
                    if better {
                        best = Some((found, cost));
                    }
                }
            }
        }
    }
    best.map_or_else(Nest::default, |(n, _)| n)
}

/// Parts left out, area bought, pieces started, cuts, and the largest piece left (more is better).
fn cost(n: &Nest, sources: &[Source]) -> [f64; 5] {
    let area = |f: &Filled| sources[f.source].cost;
    let bought = n
        .filled
        .iter()
        .filter(|f| sources[f.source].at_hand.is_none())
        .map(area)
        .sum();
    let cuts: usize = n.filled.iter().map(|f| f.cuts.len()).sum();
    let largest = n
        .filled
        .iter()
        .flat_map(|f| &f.left)
        .map(|[a, b]| (*b - *a).element_product())
        .fold(0.0, f64::max);
    [
        n.out.len() as f64,
        bought,
        n.filled.len() as f64,
        cuts as f64,
        -largest,
    ]
}

fn run(items: &[Item], sources: &[Source], kerf: f64, rule: Rule) -> Nest {
    let mut todo: Vec<usize> = (0..items.len()).collect();
    let key = |k: usize| {
        let s = items[k].size;
        match rule.order {
            0 => s.element_product(),
            1 => s.max_element(),
            2 => s.min_element(),
            3 => s.x,
            _ => s.y,
        }
    };
    todo.sort_by(|a, b| key(*b).total_cmp(&key(*a)).then(a.cmp(b)));
    let mut out = Nest::default();
    let take = |source: usize, todo: &[usize]| fill(items, todo, source, sources, kerf, rule);
    let keep = |f: Filled, todo: &mut Vec<usize>, out: &mut Nest| {
        todo.retain(|k| f.laid.iter().all(|l| l.item != *k));
        out.filled.push(f);
    };
    for (k, source) in sources.iter().enumerate() {
        for _ in 0..source.at_hand.unwrap_or(0) {
            let f = take(k, &todo);
            if f.laid.is_empty() {
                break;
            }
            keep(f, &mut todo, &mut out);
        }
    }
    while !todo.is_empty() {
        let tries: Vec<Filled> = (0..sources.len())
            .filter(|k| sources[*k].at_hand.is_none())
            .map(|k| take(k, &todo))
            .filter(|f| !f.laid.is_empty())
            .collect();
        let area = |f: &Filled| sources[f.source].cost;
        let used = |f: &Filled| -> f64 { f.laid.iter().map(|l| l.size.element_product()).sum() };
        let all = tries
            .iter()
            .filter(|f| f.laid.len() == todo.len())
            .min_by(|a, b| area(a).total_cmp(&area(b)));
        let wanted = tries.iter().find(|f| Some(f.source) == rule.only);
        let fullest = tries
            .iter()
            .max_by(|a, b| (used(a) / area(a)).total_cmp(&(used(b) / area(b))));
        // several small pieces may be cheaper than one large one
        let pick = match (wanted, all) {
            (Some(w), Some(a)) if area(w) < area(a) => Some(w),
            (Some(w), None) => Some(w),
            (_, Some(a)) => Some(a),
            (None, None) => fullest,
        };
        let Some(f) = pick.cloned() else {
            break;
        };
        keep(f, &mut todo, &mut out);
    }
    todo.sort_unstable();
    out.out = todo;
    out
}

/// Lays on one piece as many as go, each on the rectangle that suits it best, and saws that rectangle in two twice.
fn fill(
    items: &[Item],
    todo: &[usize],
    source: usize,
    sources: &[Source],
    kerf: f64,
    rule: Rule,
) -> Filled {
    let mut out = Filled {
        source,
        laid: Vec::new(),
        cuts: Vec::new(),
        left: Vec::new(),
    };
    let whole = sources[source].size;
    if whole.min_element() <= 0.0 {
        return out;
    }
    let mut free = vec![[DVec2::ZERO, whole]];
    for &k in todo {
        let lies = [(items[k].size, false), (items[k].size.yx(), true)];
        let best = free
            .iter()
            .enumerate()
            .flat_map(|(n, [low, high])| {
                let room = *high - *low;
                lies.iter()
                    .filter(|(_, turned)| !*turned || items[k].turns)
                    .filter(move |(s, _)| s.cmple(room + SAME).all())
                    .map(move |(s, turned)| {
                        let rest = room - *s;
                        let score = match rule.fit {
                            0 => room.element_product() - s.element_product(),
                            1 => rest.min_element(),
                            _ => rest.max_element(),
                        };
                        (n, *s, *turned, score)
                    })
            })
            .min_by(|a, b| a.3.total_cmp(&b.3));
        let Some((n, size, turned, _)) = best else {
            continue;
        };
        let rect = free.remove(n);
        let low = rect[0];
        out.laid.push(Laid {
            item: k,
            low,
            size,
            turned,
        });
        let rest = rect[1] - low - size;
        let along = match rule.split {
            0 => true,
            1 => false,
            2 => rest.x < rest.y,
            _ => rest.x >= rest.y,
        };
        split(&mut out, &mut free, rect, size, kerf, along);
    }
    out.left = free;
    out
}

/// Saws `rect` so that `size` comes free at its low corner: along the length first, or across it first.
fn split(
    out: &mut Filled,
    free: &mut Vec<[DVec2; 2]>,
    rect: [DVec2; 2],
    size: DVec2,
    kerf: f64,
    along: bool,
) {
    let [low, high] = rect;
    let edge = low + size;
    let beyond = edge + kerf;
    // the strip that the second cut parts ends at the first one
    let (end_x, end_y) = if along {
        (high.x, edge.y)
    } else {
        (edge.x, high.y)
    };
    let cut_along = SawCut {
        from: DVec2::new(low.x, edge.y),
        to: DVec2::new(end_x, edge.y),
        keep: size.y,
    };
    let cut_across = SawCut {
        from: DVec2::new(edge.x, low.y),
        to: DVec2::new(edge.x, end_y),
        keep: size.x,
    };
    let needs = [high.y - edge.y > SAME, high.x - edge.x > SAME];
    let mut cuts = [(cut_along, needs[0]), (cut_across, needs[1])];
    if !along {
        cuts.reverse();
    }
    out.cuts
        .extend(cuts.iter().filter(|(_, need)| *need).map(|(c, _)| *c));
    for rect in [
        [DVec2::new(low.x, beyond.y), DVec2::new(end_x, high.y)],
        [DVec2::new(beyond.x, low.y), DVec2::new(high.x, end_y)],
    ] {
        if (rect[1] - rect[0]).min_element() > SAME {
            free.push(rect);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn item(x: f64, y: f64) -> Item {
        Item {
            size: DVec2::new(x, y),
            turns: false,
        }
    }

    fn bought(x: f64, y: f64) -> Source {
        Source {
            size: DVec2::new(x, y),
            cost: x * y,
            at_hand: None,
        }
    }

    /// By hand: 500 + 5 + 495 is a bar of 1000, sawn once; one more millimetre needs a second bar, sawn twice more.
    #[test]
    fn the_kerf_is_counted_to_the_millimetre() {
        let bar = [bought(1000.0, 20.0)];
        let n = nest(&[item(500.0, 20.0), item(495.0, 20.0)], &bar, 5.0);
        assert_eq!((n.filled.len(), n.filled[0].cuts.len()), (1, 1));
        assert!(n.filled[0].left.is_empty());
        let n = nest(&[item(500.0, 20.0), item(496.0, 20.0)], &bar, 5.0);
        assert_eq!((n.filled.len(), n.out.len()), (2, 0));
    }

    /// By hand: 60 + 40 and 50 + 50 fill two bars of 100; taken as they come they would need three.
    #[test]
    fn lengths_are_paired() {
        let items = [60.0, 50.0, 40.0, 50.0].map(|l| item(l, 10.0));
        let n = nest(&items, &[bought(100.0, 10.0)], 0.0);
        assert_eq!(n.filled.len(), 2);
        assert!(n.filled.iter().all(|f| f.left.is_empty()));
    }

    /// By hand: two by two of 48 x 23 with a kerf of 2 take 98 x 48 of 100 x 50: five cuts at least, six here with both rows trimmed.
    #[test]
    fn four_go_on_a_sheet() {
        let n = nest(&[item(48.0, 23.0); 4], &[bought(100.0, 50.0)], 2.0);
        assert_eq!((n.filled.len(), n.out.len()), (1, 0));
        let at: Vec<DVec2> = n.filled[0].laid.iter().map(|l| l.low).collect();
        for want in [(0.0, 0.0), (50.0, 0.0), (0.0, 25.0), (50.0, 25.0)] {
            assert!(at.contains(&DVec2::from(want)), "{at:?}");
        }
    }

    #[test]
    fn the_grain_forbids_turning() {
        let sheet = [bought(100.0, 50.0)];
        assert_eq!(nest(&[item(30.0, 80.0)], &sheet, 3.0).out, [0]);
        let turns = Item {
            turns: true,
            ..item(30.0, 80.0)
        };
        let n = nest(&[turns], &sheet, 3.0);
        assert!(n.out.is_empty() && n.filled[0].laid[0].turned);
    }

    #[test]
    fn what_is_at_hand_goes_first_and_the_least_is_bought() {
        let sources = [
            Source {
                size: DVec2::new(100.0, 100.0),
                cost: 1e4,
                at_hand: Some(1),
            },
            bought(1000.0, 1000.0),
            bought(200.0, 100.0),
        ];
        let n = nest(&[item(90.0, 90.0); 3], &sources, 3.0);
        let used: Vec<usize> = n.filled.iter().map(|f| f.source).collect();
        assert_eq!(used, [0, 2]);
    }

    /// By hand: two of 60 x 30 are 3600, one of 100 x 50 is 5000, and each small one holds one part.
    #[test]
    fn two_small_pieces_may_be_cheaper_than_one_large_one() {
        let sources = [bought(60.0, 30.0), bought(100.0, 50.0)];
        let n = nest(&[item(55.0, 20.0); 2], &sources, 3.0);
        let used: Vec<usize> = n.filled.iter().map(|f| f.source).collect();
        assert_eq!(used, [0, 0]);
        // three are 5400: the large one holds two and is no better alone
        let n = nest(&[item(55.0, 20.0); 3], &sources, 3.0);
        let area: f64 = n
            .filled
            .iter()
            .map(|f| sources[f.source].size.element_product())
            .sum();
        assert_eq!(area, 5400.0);
    }

    /// Saws the piece by its list of cuts; each must go right across one of the pieces in hand.
    fn sawn(size: DVec2, cuts: &[SawCut], kerf: f64) -> Vec<[DVec2; 2]> {
        let mut hand = vec![[DVec2::ZERO, size]];
        for c in cuts {
            let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
            let k = hand
                .iter()
                .position(|[low, high]| {
                    if c.along() {
                        near(c.from.x, low.x)
                            && near(c.to.x, high.x)
                            && c.from.y > low.y
                            && c.from.y < high.y
                            && near(c.from.y - low.y, c.keep)
                    } else {
                        near(c.from.y, low.y)
                            && near(c.to.y, high.y)
                            && c.from.x > low.x
                            && c.from.x < high.x
                            && near(c.from.x - low.x, c.keep)
                    }
                })
                .expect("a piece that the cut goes right across");
            let [low, high] = hand.remove(k);
            if c.along() {
                hand.push([low, DVec2::new(high.x, c.from.y)]);
                hand.push([DVec2::new(low.x, c.from.y + kerf), high]);
            } else {
                hand.push([low, DVec2::new(c.from.x, high.y)]);
                hand.push([DVec2::new(c.from.x + kerf, low.y), high]);
            }
        }
        hand
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn any_plan_can_be_sawn(
            sizes in prop::collection::vec((5.0..400.0f64, 5.0..300.0f64, any::<bool>()), 1..14),
            sheets in prop::collection::vec((50.0..900.0f64, 50.0..500.0f64, prop::option::of(0usize..3)), 1..4),
            kerf in 0.0..6.0f64,
        ) {
            let items: Vec<Item> = sizes
                .iter()
                .map(|(x, y, turns)| Item { size: DVec2::new(*x, *y), turns: *turns })
                .collect();
            let sources: Vec<Source> = sheets
                .iter()
                .map(|(x, y, at_hand)| Source { size: DVec2::new(*x, *y), cost: x * y, at_hand: *at_hand })
                .collect();
            let n = nest(&items, &sources, kerf);
            prop_assert_eq!(&n, &nest(&items, &sources, kerf));
            // each part once
            let mut all: Vec<usize> = n.filled.iter().flat_map(|f| f.laid.iter().map(|l| l.item)).collect();
            all.extend(&n.out);
            all.sort_unstable();
            prop_assert_eq!(all, (0..items.len()).collect::<Vec<_>>());
            // what can be bought for is never left out
            for k in &n.out {
                let fits = |s: &Source| {
                    let room = s.size + 1e-9;
                    items[*k].size.cmple(room).all() || items[*k].turns && items[*k].size.yx().cmple(room).all()
                };
                prop_assert!(!sources.iter().any(|s| s.at_hand.is_none() && fits(s)));
            }
            for (k, s) in sources.iter().enumerate() {
                let used = n.filled.iter().filter(|f| f.source == k).count();
                prop_assert!(s.at_hand.is_none_or(|most| used <= most));
            }
            for f in &n.filled {
                let pieces = sawn(sources[f.source].size, &f.cuts, kerf);
                for l in &f.laid {
                    let own = items[l.item].size;
                    prop_assert_eq!(l.size, if l.turned { own.yx() } else { own });
                    prop_assert!(!l.turned || items[l.item].turns);
                    let free = pieces.iter().any(|[a, b]| {
                        (*a - l.low).length() < 1e-6 && (*b - l.low - l.size).length() < 2e-6
                    });
                    prop_assert!(free, "{:?} is not sawn free: {:?}", l, pieces);
                }
                for (k, a) in f.laid.iter().enumerate() {
                    for b in &f.laid[k + 1..] {
                        let gap = (b.low - a.low - a.size).max(a.low - b.low - b.size).max_element();
                        prop_assert!(gap > kerf - 1e-6, "{:?} {:?} {}", a, b, gap);
                    }
                }
            }
        }
    }
}
