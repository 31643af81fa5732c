//! Chooses a tool for a hole out of those that are owned, or names what to buy.

use super::{Act, Plan, Step};
use crate::catalogue;
use crate::design::{ToolBox, cone_depth};
use crate::units;

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
pub(super) const PILOT: f64 = 3.0;
/// Hole for a punch's own screw, mm: 3/8 in or 10 mm in most (common practice); see the punch.
const PUNCH_SCREW: f64 = 10.0;

pub(super) struct Planner<'t> {
    pub tools: &'t ToolBox,
    pub thickness: f64,
    pub plan: Plan,
}

impl Planner<'_> {
    pub fn push(&mut self, act: Act, tool: String, d: f64, depth: Option<f64>) {
        self.plan.steps.push(Step {
            act,
            tool,
            d,
            depth,
        });
    }

    /// The owned drill for that hole, or the size to buy, with its diameter.
    pub fn drill(&mut self, d: f64) -> (String, f64) {
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
            return (format!("drill {}", t.name), t.d);
        }
        let (sold, d) = self.sold(d);
        self.plan.buy.push(sold.clone());
        (format!("{sold} (to buy)"), d)
    }

    /// The smallest drill on sale that makes the hole, in the builder's unit.
    fn sold(&self, d: f64) -> (String, f64) {
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
            Some(r) if self.tools.inch => (
                format!("drill {} ({})", r.id, units::mm_2(r.diameter)),
                r.diameter,
            ),
            Some(r) => (format!("drill {}", r.id), r.diameter),
            None => (format!("drill {}", units::mm_2(d)), d),
        }
    }

    /// The owned drill nearest to a size that need not be met, with its diameter.
    pub fn drill_near(&self, d: f64) -> (String, f64) {
        let best = self
            .tools
            .drills
            .iter()
            .filter(|t| t.d > 0.6 * d && t.d < 1.4 * d)
            .min_by(|a, b| (a.d - d).abs().total_cmp(&(b.d - d).abs()));
        best.map_or_else(
            || (format!("drill about {d:.0} mm"), d),
            |t| (format!("drill {}", t.name), t.d),
        )
    }

    fn pilot(&mut self) {
        let (name, d) = self.drill_near(PILOT);
        self.push(Act::Pilot, name, d, None);
    }

    pub fn round(&mut self, d: f64, metal: bool) {
        if !metal {
            return self.round_in_wood(d);
        }
        let step_bit = self.step_bit(d);
        let punch = self.punch(d);
        let sheet = self.thickness <= THICKEST_SHEET;
        if let Some((bit, step)) = step_bit.filter(|_| d > SHEET_DRILL && sheet) {
            self.pilot();
            self.push(
                Act::Final,
                format!("{bit}, stop at its step of {}", units::mm_1(step)),
                step,
                None,
            );
        } else if d > SHEET_DRILL && sheet && (punch.is_some() || d > CHUCK) {
            self.pilot();
            let (screw, open) = self.drill_near(PUNCH_SCREW);
            self.push(
                Act::Open,
                format!("{screw} or a step bit, for the punch's screw"),
                open,
                None,
            );
            let (name, d) = punch.unwrap_or_else(|| {
                if self.tools.listed {
                    let sold = catalogue::punch_at_least(d).filter(|r| r.hole <= d + 0.5);
                    let sold = sold.map_or_else(String::new, |r| format!(": {}", r.id));
                    self.plan.buy.push(format!(
                        "punch or step bit that makes {}{sold}",
                        units::show_drill(d)
                    ));
                    (format!("punch {} (to buy)", units::mm_2(d)), d)
                } else {
                    (format!("punch {}", units::mm_2(d)), d)
                }
            });
            self.push(Act::Final, name, d, None);
        } else if d > CHUCK {
            self.pilot();
            let mut name = format!("hole saw for metal {}", units::mm_2(d));
            if self.tools.listed {
                // those that are owned are for wood
                self.plan
                    .buy
                    .push(format!("hole saw for metal {}", units::show_drill(d)));
                name += " (to buy)";
            }
            name += ", with cutting oil, slow";
            self.push(Act::Final, name, d, None);
        } else {
            if d > 4.0 {
                self.pilot();
            }
            if d > 8.0 {
                let (name, half) = self.drill_near((0.65 * d).round());
                self.push(Act::Open, name, half, None);
            }
            let (mut name, made) = self.drill(d);
            if d > SHEET_DRILL && sheet {
                name += ", slow, the sheet clamped on scrap: it grabs";
            }
            self.push(Act::Final, name, made, None);
        }
    }

    fn round_in_wood(&mut self, d: f64) {
        if d <= CHUCK {
            let (name, made) = self.drill(d);
            self.push(Act::Final, name, made, None);
            return;
        }
        let saw = self
            .tools
            .saws
            .iter()
            .find(|t| t.d >= d - UNDER && t.d <= d + 1.0);
        if let Some(t) = saw {
            let (name, made) = (format!("hole saw {}", t.name), t.d);
            self.push(Act::Final, name, made, None);
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

    /// The owned step bit with the step nearest to the hole, and that step.
    fn step_bit(&self, d: f64) -> Option<(String, f64)> {
        let deep = self.tools.step_bits.iter();
        let steps = deep.filter(|b| b.height >= self.thickness).flat_map(|b| {
            let serves = b.steps.iter();
            serves
                .filter(|s| **s >= d - UNDER && **s <= d + OVER)
                .map(move |s| (b, *s))
        });
        let (bit, step) = steps.min_by(|a, b| (a.1 - d).abs().total_cmp(&(b.1 - d).abs()))?;
        let ends = [bit.steps.first(), bit.steps.last()].map(|s| s.copied().unwrap_or(0.0));
        Some((
            format!("step bit {:.1} to {:.1} mm", ends[0], ends[1]),
            step,
        ))
    }

    fn punch(&self, d: f64) -> Option<(String, f64)> {
        self.tools
            .punches
            .iter()
            .find(|t| t.d >= d - 0.15 && t.d <= d + 0.5)
            .map(|t| (format!("punch {}", t.name), t.d))
    }

    pub fn countersink(&mut self, d: f64, head: f64, angle: f64) {
        let depth = cone_depth(d, head, angle);
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
