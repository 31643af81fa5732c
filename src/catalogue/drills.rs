//! Twist drills: a data file by series, and the tool for a wanted hole.

use serde::Deserialize;

use super::family::{drills, punches, step_bits};
use super::rows::Status;
use super::rows_shop::{DrillRow, PunchRow, StepBitRow};
use super::tables::fraction;

/// Slack when a hole is compared with a tool, mm: a hole written as 3.26 is still made by #30, 3.2639.
const HOLE_SLACK: f64 = 0.005;

/// The same for punches and step bits: 1-1/8 in written as 28.6 mm is still 1-1/8 in, and sheet gives more than that.
const LARGE_SLACK: f64 = 0.05;

const INCH: f64 = 25.4;

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Unit {
    In,
    Mm,
}

/// Equal steps: every `n / of` from `from / of` to `to / of`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Steps {
    from: u32,
    to: u32,
    of: u32,
}

/// Drills that share a source; each becomes a row with that source and status.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Series {
    name: String,
    unit: Unit,
    status: Status,
    source: String,
    #[serde(default)]
    drills: Vec<(String, f64)>,
    steps: Option<Steps>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    series: Vec<Series>,
}

pub(super) fn read_series(text: &str) -> Vec<DrillRow> {
    // The text is compiled in and tests read it, so this cannot fail in a released program.
    let file: File = toml::from_str(text).expect("the compiled-in data is well formed");
    let mut rows = Vec::new();
    for series in file.series {
        let mut drills = series.drills.clone();
        if let Some(Steps { from, to, of }) = series.steps {
            drills.extend((from..=to).map(|n| {
                let size = f64::from(n) / f64::from(of);
                let name = match series.unit {
                    Unit::In => fraction(u64::from(n), u64::from(of)),
                    Unit::Mm => format!("{size:.1} mm"),
                };
                (name, size)
            }));
        }
        rows.extend(drills.into_iter().map(|(id, size)| {
            let also = match series.name.as_str() {
                "letter" => vec![format!("letter {id}")],
                "number" => vec![format!("number {}", id.trim_start_matches('#'))],
                "fraction" => vec![format!("{id} in")],
                _ => Vec::new(),
            };
            DrillRow {
                id,
                also,
                series: series.name.clone(),
                diameter: match series.unit {
                    Unit::In => size * INCH,
                    Unit::Mm => size,
                },
                source: series.source.clone(),
                status: series.status,
            }
        }));
    }
    rows
}

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
