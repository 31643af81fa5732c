//! Phrases that the printed answer and the written report share.

use crate::fit::{Finding, Report, Severity, Verdict};
use crate::units;
use crate::units::count;

/// The answer and how much of it rests on figures nobody measured: `fits; 7 parts unmeasured`.
#[must_use]
pub fn verdict_line(report: &Report) -> String {
    let unmeasured = match report.unmeasured {
        0 => "all parts measured".to_owned(),
        n => format!("{} unmeasured", count(n, "part")),
    };
    format!("{}; {unmeasured}", verdict_word(report.verdict))
}

/// The verdict as `fit.json` spells it.
#[must_use]
pub const fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fits => "fits",
        Verdict::Tight => "tight",
        Verdict::Clashes => "clashes",
    }
}

/// A severity as `fit.json` spells it.
#[must_use]
pub const fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

/// What was modelled and found: `83 solids, 16.9 kg; 1 error, 2 warnings`.
#[must_use]
pub fn tally(report: &Report) -> String {
    let mass: f64 = report.solids.iter().map(|s| s.mass_g).sum();
    let of = |severity| {
        report
            .findings
            .iter()
            .filter(|f| f.severity == severity)
            .count()
    };
    let found: Vec<String> = [Severity::Error, Severity::Warning, Severity::Note]
        .into_iter()
        .filter(|s| of(*s) > 0)
        .map(|s| count(of(s), severity_word(s)))
        .collect();
    let found = if found.is_empty() {
        "no findings".to_owned()
    } else {
        found.join(", ")
    };
    format!(
        "{}, {:.1} kg; {found}",
        count(report.solids.len(), "solid"),
        mass / 1000.0
    )
}

/// A number of a finding with its unit: a length in mm and inch.
#[must_use]
pub fn amount(value: f64, unit: &str) -> String {
    match unit {
        "mm" => units::show(value),
        "mm3" => units::show_volume(value),
        _ => format!("{value:.1} {unit}"),
    }
}

/// Whether a finding has a place of its own; what was said before anything was measured has none.
#[must_use]
pub fn has_place(finding: &Finding) -> bool {
    finding.at_mm != [0.0; 3]
}
