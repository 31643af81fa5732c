//! The answer as text: the verdict with what is unmeasured and where it is tightest, then what was found, then all clearances if asked for.

use crate::export::words::{amount, severity_word, tally, verdict_line};
use crate::export::{caution, tightest};
use crate::fit::{PairRow, Report, Severity, Verdict};
use crate::study::Study;
use crate::units;
use std::fmt::Write as _;

/// Tightest pairs that are listed unasked.
const TIGHTEST: usize = 5;

/// Most ids of unmeasured parts on the line that names them.
const MOST_IDS: usize = 12;

/// What `fit` and `build` print. Holds colour, which is taken out where stdout is no terminal. `all`: every pair too, not the tightest only, and
/// every part that nobody measured.
pub(super) fn report(study: &Study, all: bool) -> String {
    let report = &study.report;
    let mut out = String::new();
    let style = match report.verdict {
        Verdict::Fits => "1;92",
        Verdict::Tight => "1;93",
        Verdict::Clashes => "1;91",
    };
    // Writing to a String cannot fail.
    let _ = writeln!(out, "{}", paint(style, &verdict_line(report)));
    let _ = writeln!(out, "{}: {}", report.design, tally(report));

    if !study.design.unmeasured.is_empty() {
        let ids: Vec<&str> = study
            .design
            .unmeasured
            .iter()
            .map(|u| u.id.as_str())
            .collect();
        let most = if all { ids.len() } else { MOST_IDS };
        let more = ids.len().saturating_sub(most);
        let _ = write!(
            out,
            "\nMeasure before you drill: {}",
            ids[..ids.len() - more].join(", ")
        );
        let _ = writeln!(
            out,
            "{}",
            if more > 0 {
                format!(" and {more} more (`fit --all` names them)")
            } else {
                String::new()
            }
        );
    }
    pairs(&mut out, &tightest::tightest(study, TIGHTEST), false);
    out.push_str(&findings(report));
    if all {
        pairs(&mut out, &tightest::all(study), true);
    }
    let _ = writeln!(out, "\n{}", caution::SHORT);
    out
}

/// What was found, errors first.
fn findings(report: &Report) -> String {
    let mut out = String::new();
    for f in &report.findings {
        let style = match f.severity {
            Severity::Error => "1;91",
            Severity::Warning => "1;93",
            Severity::Note => "1;96",
        };
        let _ = writeln!(
            out,
            "\n{} {}",
            paint(style, &format!("{}:", severity_word(f.severity))),
            f.text
        );
        if !f.hint.is_empty() {
            let _ = writeln!(out, "  what to do: {}", f.hint);
        }
        let _ = writeln!(out, "  rule: {} ({})", f.id, f.source);
    }
    out
}

fn pairs(out: &mut String, rows: &[&PairRow], all: bool) {
    if rows.is_empty() {
        return;
    }
    let cells: Vec<[String; 3]> = rows.iter().map(|p| cells(p)).collect();
    let width = |i: usize| {
        cells
            .iter()
            .map(|c| c[i].chars().count())
            .max()
            .unwrap_or(0)
    };
    let (first, second) = (width(0), width(1));
    let _ = writeln!(
        out,
        "\n{}",
        if all {
            "Every pair nearer than 40 mm or under a rule, tightest first:"
        } else {
            "Tightest places:"
        }
    );
    for [measured, wanted, who] in &cells {
        let line = format!("  {measured:<first$}  {wanted:<second$}  {who}");
        let _ = writeln!(out, "{}", line.trim_end());
    }
}

fn cells(p: &PairRow) -> [String; 3] {
    let measured = if p.overlap_mm3 > 0.0 {
        format!("overlap {}", amount(p.overlap_mm3, "mm3"))
    } else {
        units::show(p.clearance_mm)
    };
    let wanted = if p.wanted_mm > 0.0 {
        format!("wanted {}", units::show(p.wanted_mm))
    } else {
        String::new()
    };
    [measured, wanted, format!("{} - {}", p.a, p.b)]
}

fn paint(style: &str, text: &str) -> String {
    format!("\u{1b}[{style}m{text}\u{1b}[0m")
}
