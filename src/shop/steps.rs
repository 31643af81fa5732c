//! Which tools make a hole, in which order.

use crate::catalogue;
use crate::design::{HoleShape, ToolBox};
use crate::units;

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

/// A step at a hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done.
    pub act: Act,
    /// The tool and how to use it, in words.
    pub tool: String,
    /// The diameter that is made, mm; 0 where none is.
    pub d: f64,
    /// To this depth from the face, mm; `None` right through.
    pub depth: Option<f64>,
}

/// The steps of a hole, and what to buy if nothing owned serves.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Plan {
    pub steps: Vec<Step>,
    pub buy: Vec<String>,
}

/// Largest drill that an ordinary chuck takes, mm (common practice).
const CHUCK: f64 = 13.0;
/// A drill may be smaller than the hole by this, mm, and larger by [`OVER`]: clearance holes are made for more.
const UNDER: f64 = 0.05;
const OVER: f64 = 0.25;
/// A twist drill over this grabs in sheet; a step bit or a punch leaves a round hole (common practice), mm.
const SHEET_DRILL: f64 = 8.0;
/// Thickest sheet that hand punches and step bits are used on, mm (common practice).
const THICKEST_SHEET: f64 = 3.5;
/// Pilot drill for metal, mm (common practice).
const PILOT: f64 = 3.0;
/// Hole for a punch's own screw, mm: 3/8 in or 10 mm in most (common practice); see the punch.
const PUNCH_SCREW: f64 = 10.0;

struct Planner<'t> {
    tools: &'t ToolBox,
    thickness: f64,
    plan: Plan,
}

/// The steps of one hole in a part of that thickness.
pub(super) fn plan(tools: &ToolBox, shape: &HoleShape, thickness: f64, metal: bool) -> Plan {
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
            let tool = p.drill(*drill);
            p.push(Act::Final, tool, *drill, Some(*depth));
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
                let name = p.drill_near(d);
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
                let name = p.drill_near(d);
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

impl Planner<'_> {
    fn push(&mut self, act: Act, tool: String, d: f64, depth: Option<f64>) {
        self.plan.steps.push(Step {
            act,
            tool,
            d,
            depth,
        });
    }

    /// The owned drill for that hole, or the size to buy.
    fn drill(&mut self, d: f64) -> String {
        if !self.tools.listed {
            return self.sold(d);
        }
        let best = self
            .tools
            .drills
            .iter()
            .filter(|t| t.d >= d - UNDER && t.d <= d + OVER)
            .min_by(|a, b| (a.d - d).abs().total_cmp(&(b.d - d).abs()));
        if let Some(t) = best {
            return format!("drill {}", t.name);
        }
        let sold = self.sold(d);
        self.plan.buy.push(sold.clone());
        format!("{sold} (to buy)")
    }

    /// The smallest drill on sale that makes the hole, in the builder's unit.
    fn sold(&self, d: f64) -> String {
        let series: &[&str] = if self.tools.inch {
            &["number", "letter", "fraction"]
        } else {
            &["metric"]
        };
        let row = series
            .iter()
            .filter_map(|s| catalogue::drill_of_at_least(s, d))
            .min_by(|a, b| a.diameter.total_cmp(&b.diameter))
            .filter(|r| r.diameter <= d + OVER);
        match row {
            Some(r) if self.tools.inch => format!("drill {} ({})", r.id, units::mm_2(r.diameter)),
            Some(r) => format!("drill {}", r.id),
            None => format!("drill {}", units::mm_2(d)),
        }
    }

    /// The owned drill nearest to a size that need not be met.
    fn drill_near(&self, d: f64) -> String {
        let best = self
            .tools
            .drills
            .iter()
            .filter(|t| t.d > 0.6 * d && t.d < 1.4 * d)
            .min_by(|a, b| (a.d - d).abs().total_cmp(&(b.d - d).abs()));
        best.map_or_else(
            || format!("drill about {d:.0} mm"),
            |t| format!("drill {}", t.name),
        )
    }

    fn pilot(&mut self) {
        let name = self.drill_near(PILOT);
        self.push(Act::Pilot, name, PILOT, None);
    }

    fn round(&mut self, d: f64, metal: bool) {
        if !metal {
            return self.round_in_wood(d);
        }
        let step_bit = self.step_bit(d);
        let punch = self.punch(d);
        let sheet = self.thickness <= THICKEST_SHEET;
        if d > SHEET_DRILL && sheet && step_bit.is_some() {
            self.pilot();
            self.push(
                Act::Final,
                format!(
                    "{}, stop at the step of {}",
                    step_bit.unwrap_or_default(),
                    units::mm_2(d)
                ),
                d,
                None,
            );
        } else if d > SHEET_DRILL && sheet && (punch.is_some() || d > CHUCK) {
            self.pilot();
            let screw = self.drill_near(PUNCH_SCREW);
            self.push(
                Act::Open,
                format!("{screw} or a step bit, for the punch's screw"),
                PUNCH_SCREW,
                None,
            );
            let name = punch.unwrap_or_else(|| {
                if self.tools.listed {
                    let sold = catalogue::punch_at_least(d).filter(|r| r.hole <= d + 0.5);
                    let sold = sold.map_or_else(String::new, |r| format!(": {}", r.id));
                    self.plan.buy.push(format!(
                        "punch or step bit that makes {}{sold}",
                        units::show_drill(d)
                    ));
                    format!("punch {} (to buy)", units::mm_2(d))
                } else {
                    format!("punch {}", units::mm_2(d))
                }
            });
            self.push(Act::Final, name, d, None);
        } else if d > CHUCK {
            self.pilot();
            self.push(
                Act::Final,
                format!("hole saw {} with cutting oil, slow", units::mm_2(d)),
                d,
                None,
            );
        } else {
            if d > 4.0 {
                self.pilot();
            }
            if d > 8.0 {
                let half = (0.65 * d).round();
                let name = self.drill_near(half);
                self.push(Act::Open, name, half, None);
            }
            let name = self.drill(d);
            self.push(Act::Final, name, d, None);
        }
    }

    fn round_in_wood(&mut self, d: f64) {
        if d <= CHUCK {
            let name = self.drill(d);
            self.push(Act::Final, name, d, None);
            return;
        }
        let saw = self
            .tools
            .saws
            .iter()
            .find(|t| t.d >= d - UNDER && t.d <= d + 1.0);
        if let Some(t) = saw {
            let name = format!("hole saw {}", t.name);
            self.push(Act::Final, name, d, None);
        } else if d < 80.0 {
            let size = units::mm_2(d);
            if self.tools.listed {
                self.plan
                    .buy
                    .push(format!("hole saw {}", units::show_drill(d)));
            }
            self.push(
                Act::Final,
                format!("hole saw or Forstner bit {size}"),
                d,
                None,
            );
        } else {
            self.push(
                Act::Shape,
                format!(
                    "router on a trammel of {} radius, in passes of 5 mm, or jigsaw inside the line",
                    units::mm_1(d / 2.0)
                ),
                d,
                None,
            );
        }
    }

    fn step_bit(&self, d: f64) -> Option<String> {
        self.tools
            .step_bits
            .iter()
            .find(|b| {
                b.height >= self.thickness
                    && b.steps.iter().any(|s| *s >= d - UNDER && *s <= d + OVER)
            })
            .map(|b| {
                let ends = [b.steps.first(), b.steps.last()].map(|s| s.copied().unwrap_or(0.0));
                format!("step bit {:.1} to {:.1} mm", ends[0], ends[1])
            })
    }

    fn punch(&self, d: f64) -> Option<String> {
        self.tools
            .punches
            .iter()
            .find(|t| t.d >= d - 0.15 && t.d <= d + 0.5)
            .map(|t| format!("punch {}", t.name))
    }

    fn countersink(&mut self, d: f64, head: f64, angle: f64) {
        let depth = (head - d).max(0.0) / 2.0 / (angle / 2.0).to_radians().tan();
        let owned = self
            .tools
            .countersinks
            .iter()
            .any(|c| (c.angle - angle).abs() < 0.5 && c.d >= head);
        let name = format!("countersink {angle:.0} degrees");
        if self.tools.listed && !owned {
            self.plan
                .buy
                .push(format!("{name}, {} or larger", units::mm_1(head)));
        }
        self.push(
            Act::Countersink,
            format!("{name}, until the head lies flush"),
            head,
            Some(depth),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::{Countersinker, Face, Stepped, Tool};

    fn owned() -> ToolBox {
        let tool = |d: f64| Tool {
            name: format!("{d} mm"),
            d,
        };
        ToolBox {
            listed: true,
            inch: false,
            drills: [3.0, 4.5].map(tool).into(),
            punches: vec![tool(28.5)],
            saws: Vec::new(),
            step_bits: vec![Stepped {
                steps: (2..=10).map(|k| f64::from(k) * 2.0).collect(),
                height: 3.0,
            }],
            countersinks: vec![Countersinker {
                d: 12.0,
                angle: 90.0,
            }],
            throat: None,
        }
    }

    fn acts(p: &Plan) -> Vec<(Act, &str)> {
        p.steps.iter().map(|s| (s.act, s.tool.as_str())).collect()
    }

    #[test]
    fn owned_tools_come_first_and_what_lacks_is_bought() {
        let tools = owned();
        let shape = HoleShape::Countersunk {
            d: 4.5,
            head: 8.6,
            angle: 90.0,
            face: Face::Front,
        };
        let p = plan(&tools, &shape, 3.0, true);
        assert!(p.buy.is_empty(), "{:?}", p.buy);
        let named = acts(&p);
        assert_eq!(named[0], (Act::Pilot, "drill 3 mm"));
        assert_eq!(named[1], (Act::Final, "drill 4.5 mm"));
        assert_eq!(named[2].0, Act::Countersink);
        // by hand: a 90 degree cone is as deep as its radius grows, (8.6 - 4.5) / 2
        assert!((p.steps[2].depth.expect("a depth") - 2.05).abs() < 1e-9);

        let p = plan(&tools, &HoleShape::Round { d: 3.4 }, 3.0, true);
        assert_eq!(p.buy, ["drill 3.4 mm"]);
        let p = plan(&tools, &HoleShape::Round { d: 16.0 }, 3.0, true);
        assert!(p.buy.is_empty() && acts(&p)[1].1.starts_with("step bit 4.0 to 20.0 mm"));
        // the step is lower than this sheet is thick, and no punch makes 16
        let p = plan(&tools, &HoleShape::Round { d: 16.0 }, 3.2, true);
        assert_eq!(p.buy.len(), 1, "{:?}", acts(&p));
        let p = plan(&tools, &HoleShape::Round { d: 28.5 }, 3.0, true);
        assert!(
            p.buy.is_empty() && acts(&p)[2].1 == "punch 28.5 mm",
            "{:?}",
            acts(&p)
        );
    }

    /// ASME B18.2.8 names #9 for a #8 screw (Machinery's Handbook 31st ed., p. 1741), 0.196 in.
    #[test]
    fn an_inch_file_names_number_drills() {
        let tools = ToolBox {
            inch: true,
            ..ToolBox::default()
        };
        let p = plan(&tools, &HoleShape::Round { d: 0.196 * 25.4 }, 3.0, true);
        assert!(
            acts(&p).contains(&(Act::Final, "drill #9 (4.98 mm)")),
            "{:?}",
            acts(&p)
        );
    }
}
