//! The builder's tools, by the holes they make.

use super::ledger::Ledger;
use crate::catalogue::{self, DrillRow, PunchRow, Row};
use crate::params::{Params, Sp};
use crate::units::{self, LengthUnit};

/// A tool that makes one size of hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Tool {
    /// As the builder wrote it.
    pub name: String,
    /// The hole it makes, mm.
    pub d: f64,
}

/// A step bit.
#[derive(Clone, Debug, PartialEq)]
pub struct Stepped {
    /// Its steps, smallest first, mm.
    pub steps: Vec<f64>,
    /// Height of a step, mm.
    pub height: f64,
}

/// A countersink.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Countersinker {
    /// Largest diameter, mm.
    pub d: f64,
    /// Included angle, degrees.
    pub angle: f64,
}

/// What the builder owns.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToolBox {
    /// Whether the file has a table of tools at all.
    pub listed: bool,
    /// Whether to name inch sizes where something is to be bought.
    pub inch: bool,
    /// Twist drills, smallest first.
    pub drills: Vec<Tool>,
    /// Chassis punches, smallest first.
    pub punches: Vec<Tool>,
    /// Hole saws and Forstner bits for wood, smallest first.
    pub saws: Vec<Tool>,
    /// Straight router bits, smallest first.
    pub router_bits: Vec<Tool>,
    /// Step bits.
    pub step_bits: Vec<Stepped>,
    /// Countersinks.
    pub countersinks: Vec<Countersinker>,
    /// From the bench drill's axis to its column, mm, if it is known.
    pub throat: Option<f64>,
}

/// More steps than any bit has: a slip of the pen must not fill memory.
const MOST_STEPS: f64 = 200.0;

pub(super) fn tools(params: &Params, ledger: &mut Ledger) -> ToolBox {
    let Some(t) = &params.tools else {
        return ToolBox {
            inch: ledger.inch,
            ..ToolBox::default()
        };
    };
    let mut steps = Vec::new();
    for bit in &t.step_bit {
        let (from, to, step) = (bit.from.value.0, bit.to.value.0, bit.step.value.0);
        let n = ((to - from) / step).round();
        if !(0.0..=MOST_STEPS).contains(&n) || (from + n * step - to).abs() > 0.05 {
            ledger.error(
                bit.span.clone(),
                format!("a step bit from {from:.2} to {to:.2} mm in steps of {step:.2} mm"),
                "a last step that is a whole number of steps above the first",
                "measure the smallest and the largest step, and count them",
            );
            continue;
        }
        steps.push(Stepped {
            steps: (0..=n as usize).map(|k| from + step * k as f64).collect(),
            height: bit.height.as_ref().map_or(4.0, |h| h.value.0),
        });
    }
    let mut countersinks = Vec::new();
    for c in &t.countersink {
        let angle = c.angle.as_ref().map_or(90.0, |a| a.value.0);
        if !(30.0..=150.0).contains(&angle) {
            ledger.error(
                c.span.clone(),
                format!("a countersink of {angle} degrees"),
                "30 to 150 degrees; 82, 90 and 100 are usual",
                "",
            );
            continue;
        }
        countersinks.push(Countersinker {
            d: c.diameter.value.0,
            angle,
        });
    }
    ToolBox {
        listed: true,
        inch: ledger.inch,
        drills: sizes(t.drills.as_ref(), |r: &DrillRow| r.diameter, ledger),
        punches: sizes(t.punches.as_ref(), |r: &PunchRow| r.hole, ledger),
        saws: sizes(t.hole_saws.as_ref(), |r: &PunchRow| r.hole, ledger),
        router_bits: sizes(t.router_bits.as_ref(), |r: &DrillRow| r.diameter, ledger),
        step_bits: steps,
        countersinks,
        throat: t.drill_throat.as_ref().map(|v| v.value.0),
    }
}

/// Sizes as written: a length, or a name of the catalogue such as `#29`.
fn sizes<R: Row>(
    list: Option<&Sp<Vec<Sp<String>>>>,
    makes: impl Fn(&R) -> f64,
    ledger: &mut Ledger,
) -> Vec<Tool> {
    let unit = if ledger.inch {
        LengthUnit::Inch
    } else {
        LengthUnit::Mm
    };
    let mut out = Vec::new();
    for one in list.map_or(&[][..], |l| &l.value) {
        let length = units::parse_length(&one.value, unit).ok();
        match length.or_else(|| catalogue::find::<R>(&one.value).map(&makes)) {
            Some(d) if d > 0.0 => out.push(Tool {
                name: one.value.clone(),
                d,
            }),
            _ => ledger.error(
                one.span.clone(),
                format!("`{}` is no size of a tool", one.value),
                "a size over 0, e.g. `3.2 mm` or `1/8 in`, or a name of the catalogue such as `#29`",
                "write the hole it makes",
            ),
        }
    }
    out.sort_by(|a, b| a.d.total_cmp(&b.d));
    out
}
