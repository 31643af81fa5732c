//! The schedule as one works: all holes of one tool together, the small drills first.

use super::Schedule;
use crate::shop::steps::Act;

/// One tool taken in hand once.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    /// What is done with it.
    pub act: Act,
    /// The tool, in words.
    pub tool: String,
    /// The diameter that is made, mm; 0 where none is.
    pub d: f64,
    /// Parts with the marks of their holes, in the order of the schedule.
    pub holes: Vec<(String, Vec<String>)>,
}

impl Turn {
    /// How many holes.
    #[must_use]
    pub fn count(&self) -> usize {
        self.holes.iter().map(|(_, marks)| marks.len()).sum()
    }
}

/// Every tool with its holes: pilots, then opening, finished sizes from the smallest, countersinks, and what is sawn, filed or routed.
#[must_use]
pub fn by_tool(schedules: &[Schedule]) -> Vec<Turn> {
    let mut out: Vec<Turn> = Vec::new();
    for s in schedules {
        let holes = s.rows.iter().map(|r| (&r.tag, &r.steps));
        let routs = s.routs.iter().map(|r| (&r.tag, &r.steps));
        for (tag, steps) in holes.chain(routs) {
            for step in steps.iter().filter(|x| x.act != Act::Deburr) {
                let found = out
                    .iter_mut()
                    .find(|t| t.act == step.act && t.tool == step.tool);
                let turn = match found {
                    Some(t) => t,
                    None => {
                        out.push(Turn {
                            act: step.act,
                            tool: step.tool.clone(),
                            d: step.d,
                            holes: Vec::new(),
                        });
                        let last = out.len() - 1;
                        &mut out[last]
                    }
                };
                match turn.holes.iter_mut().find(|(part, _)| *part == s.part) {
                    Some((_, marks)) => marks.push(tag.clone()),
                    None => turn.holes.push((s.part.clone(), vec![tag.clone()])),
                }
            }
        }
    }
    let rank = |act: Act| match act {
        Act::Pilot => 0,
        Act::Open => 1,
        Act::Final => 2,
        Act::Countersink => 3,
        Act::Shape => 4,
        Act::Deburr => 5,
    };
    out.sort_by(|a, b| {
        rank(a.act)
            .cmp(&rank(b.act))
            .then(a.d.total_cmp(&b.d))
            .then(a.tool.cmp(&b.tool))
    });
    out
}
