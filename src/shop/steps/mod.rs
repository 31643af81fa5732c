//! Which tools make a hole, in which order.

mod planner;
#[cfg(test)]
mod tests;

use crate::design::{HoleShape, ToolBox};
use crate::units;
use planner::{PILOT, Planner};

/// What is done to a hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// A small hole that guides what follows.
    Pilot,
    /// A larger hole on the way to the final one.
    Open,
    /// The finished hole.
    Final,
    /// A cone for a screw's head.
    Countersink,
    /// Sawn, nibbled or routed, then filed to a line.
    Shape,
    /// Edges broken.
    Deburr,
}

impl Act {
    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Act::Pilot => "pilot",
            Act::Open => "open up",
            Act::Final => "to size",
            Act::Countersink => "countersink",
            Act::Shape => "saw, file or rout",
            Act::Deburr => "deburr",
        }
    }
}

/// A step at a hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done.
    pub act: Act,
    /// The tool and how to use it, in words.
    pub tool: String,
    /// The diameter that the tool makes, mm; the head's for a countersink; 0 where none is.
    pub d: f64,
    /// To this depth from the face, mm; `None` right through.
    pub depth: Option<f64>,
}

/// The steps of a hole, and what to buy if nothing owned serves.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::shop) struct Plan {
    pub steps: Vec<Step>,
    pub buy: Vec<String>,
}

/// The steps of one hole in a part of that thickness.
pub(in crate::shop) fn plan(
    tools: &ToolBox,
    shape: &HoleShape,
    thickness: f64,
    metal: bool,
) -> Plan {
    let mut p = Planner {
        tools,
        thickness,
        plan: Plan::default(),
    };
    match shape {
        HoleShape::Round { d } => p.round(*d, metal),
        HoleShape::Countersunk { d, head, angle, .. } => {
            p.round(*d, metal);
            p.countersink(*d, *head, *angle);
        }
        HoleShape::Pilot { drill, depth, .. } => {
            let (tool, made) = p.drill(*drill);
            p.push(Act::Final, tool, made, Some(*depth));
        }
        HoleShape::Cut { outline } => {
            let [low, high] = outline.bounds();
            let least = (high - low).min_element();
            let corner = outline
                .segs()
                .filter(|s| s.arc.is_some())
                .map(|s| s.radius())
                .fold(f64::INFINITY, f64::min)
                .min(least / 2.0);
            if metal {
                let d = (2.0 * corner).clamp(PILOT, 6.0).min(least);
                let (name, d) = p.drill_near(d);
                p.push(
                    Act::Open,
                    format!("{name}: a chain of holes just inside the line"),
                    d,
                    None,
                );
                p.push(
                    Act::Shape,
                    "saw or nibble between the holes, file to the line".into(),
                    0.0,
                    None,
                );
            } else {
                let d = (2.0 * corner).clamp(6.0, 10.0);
                let (name, d) = p.drill_near(d);
                p.push(
                    Act::Open,
                    format!("{name}: one hole inside a corner, for the saw blade"),
                    d,
                    None,
                );
                p.push(
                    Act::Shape,
                    "jigsaw 1 mm inside the line, then rout or file to it".into(),
                    0.0,
                    None,
                );
            }
        }
    }
    let edges = if metal {
        "break both edges by hand"
    } else {
        "back the far face with scrap; sand the edge"
    };
    p.push(Act::Deburr, edges.into(), 0.0, None);
    p.plan
}

/// Deepest pass of a router bit in hardwood or plywood, mm (common practice; less for bits under 6 mm).
const PASS: f64 = 4.0;

/// The steps of a groove or rabbet: the widest owned straight bit that goes in, in passes.
pub(in crate::shop) fn rout(tools: &ToolBox, width: f64, depth: f64) -> Plan {
    let mut plan = Plan::default();
    // a bit as thin as this groove is too weak for a deep pass
    let pass = PASS.min(width.max(1.0));
    let passes = (depth / pass - 1e-9).ceil().clamp(1.0, 100.0);
    let owned = tools
        .router_bits
        .iter()
        .filter(|t| t.d <= width + 0.05)
        .max_by(|a, b| a.d.total_cmp(&b.d));
    let (name, d) = match owned {
        Some(t) => (format!("router bit {}", t.name), t.d),
        None => {
            // bits are sold by the millimetre, or by the sixteenth
            let grid = if tools.inch { 25.4 / 16.0 } else { 1.0 };
            let d = ((width + 0.05) / grid).floor().clamp(1.0, 12.0 / grid) * grid;
            let d = d.min(width);
            let size = if tools.inch {
                units::inch_64(d)
            } else {
                units::mm_1(d)
            };
            let name = format!("straight router bit {size}");
            if tools.listed {
                plan.buy.push(name.clone());
                (format!("{name} (to buy)"), d)
            } else {
                (name, d)
            }
        }
    };
    let rows = if width > d + 0.05 {
        format!(", moved over until the width is {}", units::mm_2(width))
    } else {
        String::new()
    };
    plan.steps.push(Step {
        act: Act::Shape,
        tool: format!(
            "{name} along a fence, {} of {}{rows}; try the width in scrap first",
            if passes > 1.0 {
                format!("{passes:.0} passes")
            } else {
                "1 pass".into()
            },
            units::mm_1(depth / passes)
        ),
        d: 0.0,
        depth: Some(depth),
    });
    plan.steps.push(Step {
        act: Act::Deburr,
        tool: "ease the edges with 180 grit round a stick".into(),
        d: 0.0,
        depth: None,
    });
    plan
}

/// The steps of a box joint's sockets.
pub(in crate::shop) fn fingers(tools: &ToolBox, width: f64) -> Plan {
    let mut plan = Plan::default();
    let owned = tools.router_bits.iter().any(|t| (t.d - width).abs() < 0.1);
    let with = if owned {
        format!("router bit {}", units::mm_2(width))
    } else {
        "dado blade, or saw and chisel".to_owned()
    };
    plan.steps.push(Step {
        act: Act::Shape,
        tool: format!(
            "{with} on a box-joint jig stepped by {}, right through, the board on end with scrap behind it",
            units::mm_2(2.0 * width)
        ),
        d: 0.0,
        depth: None,
    });
    plan
}
