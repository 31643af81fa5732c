//! `compare OLD NEW`: which dimensions, holes and findings changed, and what that means for what is cut and printed already.

use super::input::{self, Unusable};
use super::waiting::{CHECKING, Waiting};
use super::{Done, Stop, answer, answer_bytes};
use crate::compare::{
    Before, Comparison, FindingChange, HoleChange, PieceChange, PieceFate, compare,
};
use crate::export::json;
use crate::export::words::{severity_word, verdict_word};
use crate::fit::{Finding, Severity};
use crate::study;
use crate::units::{self, count};
use clap::ValueEnum;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Holes that are named in a row of equals.
const MOST_NAMES: usize = 8;

/// Say what changed between two parameter files, or since an earlier fit.json
#[derive(clap::Args)]
pub(super) struct Args {
    /// The earlier state: a parameter file, or a fit.json that `build` wrote
    old: PathBuf,
    /// The parameter file as it is now, or - for standard input
    new: PathBuf,
    /// Answer in words for people, or as JSON for programs
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
}

pub(super) fn run(args: &Args) -> Result<Done, Stop> {
    let for_machine = args.format == Format::Json;
    let read = |path| input::read(path).map_err(|e| e.stop(for_machine));
    let (old, new) = (read(&args.old)?, read(&args.new)?);
    if is_json(&new) {
        let why = "holds JSON; the later state must be a parameter file";
        let hint = "`groovewright compare fit.json FILE`";
        return Err(Unusable::new(&args.new, None, why, hint).stop(for_machine));
    }
    let known = is_json(&old)
        .then(|| earlier(&args.old, &old).map_err(|e| e.stop(for_machine)))
        .transpose()?;
    let studies = if known.is_some() { 1 } else { 2 };
    let waiting = Waiting::new(CHECKING, studies * study::STEPS);
    let (before, waiting) = match known {
        Some(before) => (before, waiting),
        None => {
            let (study, waiting) = input::study_text(&args.old, &old, for_machine, waiting)?;
            (Before::of(&study.report), waiting)
        }
    };
    let (after, waiting) = input::study_text(&args.new, &new, for_machine, waiting)?;
    drop(waiting);
    let comparison = compare(&before, &after);
    if for_machine {
        answer_bytes(&json::text(&comparison))?;
    } else {
        answer(&told(&comparison))?;
    }
    Ok(Done::of(&after.report))
}

fn is_json(text: &str) -> bool {
    text.trim_start().starts_with('{')
}

/// What an earlier fit.json says.
fn earlier(path: &Path, text: &str) -> Result<Before, Unusable> {
    serde_json::from_str(text).map_err(|e| {
        let at = (e.line().max(1), e.column().max(1));
        let why = format!("this is no fit.json of a build: {e}");
        let hint = "name the fit.json that `groovewright build` wrote, or a parameter file";
        Unusable::new(path, Some(at), why, hint)
    })
}

/// The comparison for a person: the verdict, what to cut again, then why.
fn told(c: &Comparison) -> String {
    let mut out = String::new();
    let unmeasured = match c.after.unmeasured {
        0 => "all parts measured".to_owned(),
        n => format!("{} unmeasured", count(n, "part")),
    };
    let before = if c.before.verdict == c.after.verdict {
        "as before".to_owned()
    } else {
        format!("before: {}", verdict_word(c.before.verdict))
    };
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "{}, {before}; {unmeasured}",
        verdict_word(c.after.verdict)
    );
    if c.before.design != c.after.design {
        let _ = writeln!(out, "{} against {}", c.after.design, c.before.design);
    }
    out.push_str(&changes(c));
    out
}

/// Everything under the verdict; says so where nothing changed.
pub(super) fn changes(c: &Comparison) -> String {
    let mut out = String::new();
    if !c.pieces_known {
        out.push_str("\nThe earlier fit.json does not say which pieces and holes there were: build that file again, or name it instead.\n");
    }
    pieces(&mut out, &c.pieces);
    holes(&mut out, &c.holes);
    if !c.void_templates.is_empty() {
        out.push_str("\nPrinted templates that are void; print them again:\n");
        for v in &c.void_templates {
            let pages = if v.pages.len() == v.of {
                if v.of == 1 {
                    "its page".to_owned()
                } else {
                    format!("all {} pages", v.of)
                }
            } else {
                format!("page {} of {}", ranges(&v.pages), v.of)
            };
            let _ = writeln!(out, "  {}: {pages}", v.file);
        }
    }
    dimensions(&mut out, c);
    findings(&mut out, "New findings", &c.new_findings);
    let (notes, cured): (Vec<_>, Vec<_>) = (c.cured_findings.iter())
        .cloned()
        .partition(|f| f.severity == Severity::Note);
    findings(&mut out, "Cured", &cured);
    findings(&mut out, "Notes that no more apply", &notes);
    if !c.changed_findings.is_empty() {
        out.push_str("\nFindings that changed:\n");
        for FindingChange { before, after } in &c.changed_findings {
            let _ = writeln!(out, "  {}: {}", severity_word(after.severity), after.text);
            let _ = writeln!(
                out,
                "    before, {}: {}",
                severity_word(before.severity),
                before.text
            );
        }
    }
    if out.is_empty() {
        out.push_str("\nNothing changed: dimensions, pieces, holes and findings are as before.\n");
    }
    out
}

fn pieces(out: &mut String, list: &[PieceChange]) {
    let heads = [
        (PieceFate::CutAgain, "Cut again"),
        (
            PieceFate::DrillAgain,
            "Make again: the size stays, but a hole that may be drilled already is elsewhere, smaller or gone",
        ),
        (
            PieceFate::DrillMore,
            "Drill more: the piece serves, with holes to add or to open up",
        ),
        (PieceFate::New, "New pieces to cut"),
        (PieceFate::Gone, "Not needed any more"),
    ];
    for (fate, head) in heads {
        let mut own = list.iter().filter(|p| p.fate == fate).peekable();
        if own.peek().is_none() {
            continue;
        }
        let _ = writeln!(out, "\n{head}:");
        for p in own {
            let mut line = format!("  {}", p.id);
            match (fate, p.before_mm, p.after_mm) {
                (PieceFate::CutAgain, Some(b), Some(a)) => {
                    for (k, word) in ["length", "width", "thickness"].into_iter().enumerate() {
                        if (a[k] - b[k]).abs() >= 0.005 {
                            let _ = write!(
                                line,
                                "; {word} {} -> {}",
                                units::mm_2(b[k]),
                                units::show(a[k])
                            );
                        }
                    }
                    let cut_down = (0..2).all(|k| a[k] <= b[k] + 0.005)
                        && (a[2] - b[2]).abs() < 0.005
                        && p.material_after.is_none();
                    if cut_down {
                        line.push_str("; smaller, so an undrilled one can be cut down");
                    }
                }
                (PieceFate::New | PieceFate::Gone, b, a) => {
                    if let Some([l, w, t]) = a.or(b) {
                        let _ = write!(line, ": {l:.1} x {w:.1} x {t:.2} mm");
                    }
                }
                _ => {}
            }
            if let (Some(b), Some(a)) = (&p.material_before, &p.material_after) {
                let _ = write!(line, "; {b} -> {a}");
            }
            let _ = writeln!(out, "{line}");
        }
    }
}

/// Holes of a piece that did the same are told together.
fn holes(out: &mut String, list: &[HoleChange]) {
    if list.is_empty() {
        return;
    }
    out.push_str("\nHoles, from each piece's datum corner along its two datum edges:\n");
    let mut groups: Vec<(&str, String, Vec<&str>)> = Vec::new();
    for h in list {
        let what = deed(h);
        match groups
            .iter_mut()
            .find(|(part, w, _)| *part == h.part && *w == what)
        {
            Some((_, _, ids)) => ids.push(&h.id),
            None => groups.push((&h.part, what, vec![&h.id])),
        }
    }
    for (part, what, ids) in merged(groups, list) {
        let more = ids.len().saturating_sub(MOST_NAMES);
        let names = ids[..ids.len() - more].join(", ");
        let rest = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        let _ = writeln!(out, "  {part}: {what}: {names}{rest}");
    }
}

type Deeds<'c> = Vec<(&'c str, String, Vec<&'c str>)>;

/// Where many holes of a piece moved each by its own amount, as along an angle, one line with the least and the most says it.
fn merged<'c>(groups: Deeds<'c>, list: &'c [HoleChange]) -> Deeds<'c> {
    /// As many lines are read hole by hole.
    const MOST_LINES: usize = 5;
    let mut out: Deeds<'c> = Vec::new();
    for (part, what, ids) in &groups {
        let moves = |(p, w, _): &&(&str, String, Vec<&str>)| {
            p == part && w.starts_with("moved") && !w.contains("size")
        };
        if !what.starts_with("moved")
            || what.contains("size")
            || groups.iter().filter(moves).count() <= MOST_LINES
        {
            out.push((part, what.clone(), ids.clone()));
            continue;
        }
        if let Some((_, _, all)) = out
            .iter_mut()
            .find(|(p, w, _)| p == part && w.starts_with("moved by between"))
        {
            all.extend(ids);
            continue;
        }
        let far = list
            .iter()
            .filter(|h| h.part == *part && h.moved_mm > 0.0 && h.size_before == h.size_after);
        let (least, most) = far.fold((f64::INFINITY, 0.0_f64), |(l, m), h| {
            (l.min(h.moved_mm), m.max(h.moved_mm))
        });
        let what = format!("moved by between {least:.2} and {}", units::mm_2(most));
        out.push((part, what, ids.clone()));
    }
    out
}

fn deed(h: &HoleChange) -> String {
    if let Some(was) = &h.id_before {
        return format!("the same hole under another name; {was} is now");
    }
    let mut words = Vec::new();
    match (h.before_mm, h.after_mm) {
        (Some(b), Some(a)) => {
            if h.moved_mm > 0.0 {
                let mut along = Vec::new();
                for (k, axis) in ["x", "y"].into_iter().enumerate() {
                    let by = a[k] - b[k];
                    if by.abs() >= 0.005 {
                        along.push(format!(
                            "{axis} {}{}",
                            if by > 0.0 { "+" } else { "-" },
                            units::mm_2(by.abs())
                        ));
                    }
                }
                words.push(format!("moved by {}", along.join(", ")));
            }
            if h.size_before != h.size_after {
                words.push(format!(
                    "size {} -> {}",
                    h.size_before.as_deref().unwrap_or_default(),
                    h.size_after.as_deref().unwrap_or_default()
                ));
            }
        }
        (None, _) => words.push(format!(
            "new, {}",
            h.size_after.as_deref().unwrap_or_default()
        )),
        (_, None) => words.push("gone".to_owned()),
    }
    words.join(", ")
}

fn dimensions(out: &mut String, c: &Comparison) {
    if c.dimensions.is_empty() {
        return;
    }
    out.push_str("\nDimensions that changed:\n");
    for d in &c.dimensions {
        let figures = match (d.before_mm, d.after_mm) {
            (Some(b), Some(a)) => format!(
                "{} -> {} ({}{:.2})",
                units::mm_2(b),
                units::show(a),
                if a > b { "+" } else { "-" },
                (a - b).abs()
            ),
            (None, Some(a)) => format!("new, {}", units::show(a)),
            (Some(b), None) => format!("gone, was {}", units::show(b)),
            (None, None) => String::new(),
        };
        let _ = writeln!(out, "  {}: {figures}\n    {}", d.name, d.reason);
    }
}

fn findings(out: &mut String, head: &str, list: &[Finding]) {
    if list.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{head}:");
    for f in list {
        let _ = writeln!(out, "  {}: {}", severity_word(f.severity), f.text);
        if !f.hint.is_empty() && head == "New findings" {
            let _ = writeln!(out, "    what to do: {}", f.hint);
        }
    }
}

/// `1, 3-5`.
fn ranges(pages: &[usize]) -> String {
    let mut out: Vec<String> = Vec::new();
    let mut k = 0;
    while k < pages.len() {
        let mut last = k;
        while last + 1 < pages.len() && pages[last + 1] == pages[last] + 1 {
            last += 1;
        }
        out.push(if last > k {
            format!("{}-{}", pages[k], pages[last])
        } else {
            pages[k].to_string()
        });
        k = last + 1;
    }
    out.join(", ")
}

#[cfg(test)]
mod tests {
    use super::ranges;

    #[test]
    fn pages_in_a_row_are_told_as_a_range() {
        assert_eq!(ranges(&[1, 3, 4, 5, 8]), "1, 3-5, 8");
    }
}
