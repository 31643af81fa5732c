//! Rectangles cut from rectangles by sawing right across, as on a table saw; lengths cut from bars are the same with one width.
//!
//! Several plain rules are tried and the cheapest answer kept, so the answer is good, not proven best. No clock and no chance in it.

#[cfg(test)]
mod tests;

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
