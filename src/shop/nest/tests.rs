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
