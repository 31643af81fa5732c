//! The shopping list: stock to cut, then hardware by count, then tools that no owned one replaces.

use super::hardware::Bought;
use super::schedule::Schedule;
use super::stock::{self, Cutting};
use crate::assembly::Kind;
use crate::design::Design;
use crate::units;

/// A line of the shopping list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Buy {
    /// How many.
    pub count: usize,
    /// `stock`, `hardware` or `tool`.
    pub group: &'static str,
    /// What it is.
    pub what: String,
    /// Its size, in words.
    pub size: String,
    /// Parts, items or marks of holes it is for.
    pub serves: Vec<String>,
}

/// All that has to be bought.
#[must_use]
pub fn shopping(
    design: &Design,
    plan: &Cutting,
    hardware: &[Bought],
    schedules: &[Schedule],
) -> Vec<Buy> {
    let mut out: Vec<Buy> = Vec::new();
    for s in stock::to_buy(plan) {
        out.push(Buy {
            count: s.count,
            group: "stock",
            what: s.form.into(),
            size: s.size,
            serves: s.parts,
        });
    }
    for u in &plan.unplaced {
        out.push(Buy {
            count: 1,
            group: "stock",
            what: "larger stock".into(),
            size: u.needs.clone(),
            serves: vec![u.id.clone()],
        });
    }
    out.extend(covering(design));
    for b in hardware {
        out.push(Buy {
            count: b.count,
            group: "hardware",
            what: b.what.into(),
            size: b.size.clone(),
            serves: b.serves.clone(),
        });
    }
    let holes = schedules
        .iter()
        .flat_map(|s| s.rows.iter().map(move |r| (&s.part, &r.tag, &r.buy)));
    let routs = schedules
        .iter()
        .flat_map(|s| s.routs.iter().map(move |r| (&s.part, &r.tag, &r.buy)));
    for (part, tag, tools) in holes.chain(routs) {
        let mark = format!("{part}:{tag}");
        for tool in tools {
            match out
                .iter_mut()
                .find(|b| b.group == "tool" && b.size == *tool)
            {
                Some(b) => b.serves.push(mark.clone()),
                None => out.push(Buy {
                    count: 1,
                    group: "tool",
                    what: "tool".into(),
                    size: tool.clone(),
                    serves: vec![mark.clone()],
                }),
            }
        }
    }
    out
}

/// How far the ends of the covering lap over each other, mm (common practice).
const LAP: f64 = 25.0;

/// One strip of covering round the box, turned in at front and rear.
fn covering(design: &Design) -> Option<Buy> {
    let c = design.cabinet.filter(|c| c.covering > 0.0)?;
    let strips = || design.flats.iter().filter(|f| f.kind == Kind::Covering);
    let turned_in = strips()
        .map(|f| {
            let [low, high] = f.outline.bounds();
            (high - low).min_element()
        })
        .fold(0.0, f64::max);
    let round = 2.0 * (c.widest + c.height + 4.0 * c.board) + LAP;
    let wide = c.depth + 2.0 * (c.board + turned_in);
    Some(Buy {
        count: 1,
        group: "stock",
        what: "covering".into(),
        size: format!(
            "a strip of at least {} x {}: once round the box with a lap of {}, over the boards' edges and {} turned in at front and rear",
            units::show(round),
            units::show(wide),
            units::mm_1(LAP),
            units::mm_1(turned_in)
        ),
        serves: strips().map(|f| f.id.clone()).collect(),
    })
}

#[cfg(test)]
mod tests {
    use crate::shop;

    #[test]
    fn the_covering_goes_once_round() {
        let s = crate::testing::lantern();
        let bench = shop::bench(&s.design, &s.report);
        let strip = bench
            .buy
            .iter()
            .find(|b| b.what == "covering")
            .expect("a strip");
        // 2 x (556 + 36) + 2 x (235 + 36) + 25 round; 238 deep, 18 over each edge, 20 turned in
        assert!(strip.size.contains("1751.0 mm"), "{}", strip.size);
        assert!(strip.size.contains("x 314.0 mm"), "{}", strip.size);
    }

    #[test]
    fn what_is_listed_is_bought_and_what_is_at_hand_is_not() {
        let s = crate::testing::harbour();
        let bench = shop::bench(&s.design, &s.report);
        let hardware = bench.buy.iter().filter(|b| b.group == "hardware").count();
        assert_eq!(hardware, bench.hardware.len());
        let pieces: usize = bench
            .buy
            .iter()
            .filter(|b| b.group == "stock" && b.what != "covering")
            .map(|b| b.count)
            .sum();
        let needed = bench.cutting.pieces.iter().filter(|p| !p.at_hand).count();
        assert_eq!(pieces, needed);
        assert!(bench.cutting.pieces.iter().any(|p| p.at_hand));
    }
}
