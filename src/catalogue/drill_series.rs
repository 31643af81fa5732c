//! Twist drills as their data file writes them: by series, each with its source.

use super::rows::Status;
use super::rows_shop::DrillRow;
use super::spelling::fraction;
use serde::Deserialize;

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
