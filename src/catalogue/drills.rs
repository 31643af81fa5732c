//! The drill, punch or step bit for a wanted hole.

use super::family::{drills, punches, step_bits};
use super::rows_shop::{DrillRow, PunchRow, StepBitRow};

/// Slack when a hole is compared with a tool, mm: a hole written as 3.26 is still made by #30, 3.2639.
const HOLE_SLACK: f64 = 0.005;

/// The same for punches and step bits: 1-1/8 in written as 28.6 mm is still 1-1/8 in, and sheet gives more than that.
const LARGE_SLACK: f64 = 0.05;

/// The series of drills, in the order in which they are offered.
pub const DRILL_SERIES: [&str; 4] = ["number", "letter", "fraction", "metric"];

fn least<T>(
    rows: impl Iterator<Item = &'static T>,
    size: impl Fn(&T) -> f64,
    hole: f64,
    slack: f64,
) -> Option<&'static T> {
    rows.filter(|row| size(row) >= hole - slack)
        .min_by(|a, b| size(a).total_cmp(&size(b)))
}

/// The smallest drill of any series that makes a hole of at least `hole` mm; `None` above the largest.
#[must_use]
pub fn drill_at_least(hole: f64) -> Option<&'static DrillRow> {
    least(drills().iter(), |row| row.diameter, hole, HOLE_SLACK)
}

/// The same from one series: `number`, `letter`, `fraction` or `metric`.
#[must_use]
pub fn drill_of_at_least(series: &str, hole: f64) -> Option<&'static DrillRow> {
    let rows = drills().iter().filter(|row| row.series == series);
    least(rows, |row| row.diameter, hole, HOLE_SLACK)
}

/// The smallest punch that makes a hole of at least `hole` mm.
#[must_use]
pub fn punch_at_least(hole: f64) -> Option<&'static PunchRow> {
    least(punches().iter(), |row| row.hole, hole, LARGE_SLACK)
}

/// The step of a step bit that makes the smallest hole of at least `hole` mm, with its bit.
#[must_use]
pub fn step_at_least(hole: f64) -> Option<(&'static StepBitRow, f64)> {
    step_bits()
        .iter()
        .flat_map(|row| row.steps.iter().map(move |&step| (row, step)))
        .filter(|(_, step)| *step >= hole - LARGE_SLACK)
        .min_by(|a, b| a.1.total_cmp(&b.1))
}
