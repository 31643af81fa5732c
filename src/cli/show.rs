//! The answer as text: the verdict with what is unmeasured and where it is tightest, then what was found, then all clearances if asked for.

use crate::export::words::{amount, severity_word, tally, verdict_line};
use crate::export::{caution, tightest};
use crate::fit::{Finding, PairRow, Report, Severity, Verdict};
use crate::study::Study;
use crate::units;
use std::fmt::Write as _;

/// Tightest pairs that are listed unasked.
const TIGHTEST: usize = 5;

/// Most ids of unmeasured parts on the line that names them.
const MOST_IDS: usize = 12;

/// Longest note that is printed whole unasked, characters.
const SHORT: usize = 100;

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
    out.push_str(&findings(report, all));
    if all {
        pairs(&mut out, &tightest::all(study), true);
    }
    let _ = writeln!(out, "\n{}", caution::SHORT);
    out
}

/// What was found, errors first; the notes in one short line each unless all is asked for.
fn findings(report: &Report, all: bool) -> String {
    let mut out = String::new();
    let short = |f: &&Finding| !all && f.severity == Severity::Note;
    for f in report.findings.iter().filter(|f| !short(f)) {
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
    let notes: Vec<&Finding> = report.findings.iter().filter(short).collect();
    if !notes.is_empty() {
        out.push('\n');
    }
    for f in &notes {
        let word = paint("1;96", &format!("{}:", severity_word(f.severity)));
        let _ = writeln!(out, "{word} {}", in_short(&f.text));
    }
    if !notes.is_empty() {
        out.push_str(
            "Notes in short; `fit --all` prints them whole, with what to do and the rule of each.\n",
        );
    }
    out
}

/// The beginning of a note, with the number that matters: its first clause, or as much of it as fits a line.
fn in_short(text: &str) -> String {
    let mut depth = 0;
    let (mut end, mut chars) = (None, 0);
    for (at, c) in text.char_indices() {
        let after = text[at + c.len_utf8()..].starts_with(' ');
        match c {
            ';' if depth == 0 && after => {
                end = Some(at);
                break;
            }
            ',' | ':' if depth == 0 && after => end = Some(at),
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        chars += 1;
        if chars > SHORT && end.is_some() {
            break;
        }
    }
    match end {
        Some(end) if chars > SHORT || text[end..].starts_with(';') => {
            format!("{} ...", &text[..end])
        }
        _ => text.to_owned(),
    }
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

#[cfg(test)]
mod tests {
    use super::in_short;

    #[test]
    fn a_note_is_cut_between_its_clauses() {
        let tail = "x".repeat(110);
        for (whole, short) in [
            (
                "short as it is, and whole",
                "short as it is, and whole".to_owned(),
            ),
            ("one (a; b), two; three", "one (a; b), two ...".to_owned()),
            (
                &format!("4.5 mm left, 4 wanted: {tail}"),
                "4.5 mm left, 4 wanted ...".to_owned(),
            ),
            // nowhere to cut
            (&format!("{tail} (a, b)"), format!("{tail} (a, b)")),
            ("", String::new()),
            (")): (, ", ")): (, ".to_owned()),
        ] {
            assert_eq!(in_short(whole), short);
        }
    }
}
