//! The shopping list: stock to cut, then hardware by count, then tools that no owned one replaces.

use super::hardware::Bought;
use super::schedule::Schedule;
use super::stock::{self, Cutting};

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
pub fn shopping(plan: &Cutting, hardware: &[Bought], schedules: &[Schedule]) -> Vec<Buy> {
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
