//! The text of the `parts` command.

use super::drills::{DRILL_SERIES, drill_of_at_least, punch_at_least, step_at_least};
use super::family::{Row, each_family, likeliest, near, squeeze};
use super::spelling::{inches, millimetres};
use super::tables::{cell, status_words, table};
use std::fmt::Write as _;

/// Width to which sources are wrapped.
const WIDTH: usize = 110;

/// Families whose rows are so many and so small that they are listed several to a line.
pub(super) const PACKED: [&str; 1] = ["drill"];

const ADVICE: &str = "\
A catalogue row stands in for a part nobody has measured. Measure yours: where it differs, write its own numbers; where it does not,
write `measured = true` if the table takes it.
";

/// What the catalogue holds, as plain text: a table for each family, with the main figures, the status and the source of each row.
#[must_use]
pub fn list() -> String {
    let mut out = String::new();
    each_family!(short(&mut out));
    out.push_str(
        "Lengths are mm (nearest 1/64 in, and how far that is off in mm where it exceeds 0.1).\n",
    );
    out.push_str(
        "Name a part to see all its figures and the lines that set them in a parameter file; name a hole, as \"28.6 mm\" or \"7/8 in\",\n\
         to see what makes it.\n",
    );
    out
}

/// What answers to a word, as plain text; `None` if nothing does.
///
/// A row of exactly that name (ignoring case, spaces and hyphens) comes alone, with all its figures; the lines that would choose it in a
/// parameter file stand last. Otherwise every row whose id, other names, family or source contain the word comes, without such lines.
#[must_use]
pub fn look_up(word: &str) -> Option<String> {
    let bare = squeeze(word);
    if bare.is_empty() {
        return None;
    }
    let mut out = String::new();
    let mut lines = Vec::new();
    each_family!(exact(&mut out, &mut lines, &bare));
    if out.is_empty() {
        each_family!(search(&mut out, &bare));
        return (!out.is_empty()).then_some(out);
    }
    if !lines.is_empty() {
        out.push_str(ADVICE);
        for text in lines {
            let _ = write!(out, "\n{text}\n");
        }
    }
    Some(out)
}

/// Ids of the rows that a word may have been meant for, whatever their family, the likeliest first, at most six.
#[must_use]
pub fn suggest(word: &str) -> Vec<&'static str> {
    fn add<R: Row>(scored: &mut Vec<(f64, &'static str)>, word: &str) {
        scored.extend(near::<R>(word));
    }
    let mut scored = Vec::new();
    each_family!(add(&mut scored, word));
    likeliest(scored, 6)
}

/// What makes a hole of at least `hole` mm: the nearest drill of each series, step and punch, and by how much it is larger.
#[must_use]
pub fn hole_makers(hole: f64) -> String {
    let mut out = format!(
        "A hole of {} mm ({} in), nearest at or above it:\n",
        millimetres(hole),
        inches(hole)
    );
    let mut tools: Vec<(String, f64, &str)> = Vec::new();
    for series in DRILL_SERIES {
        tools.extend(drill_of_at_least(series, hole).map(|row| {
            (
                format!("drill {}", row.id),
                row.diameter,
                status_words(row.status),
            )
        }));
    }
    tools.extend(
        step_at_least(hole).map(|(row, step)| (row.id.clone(), step, status_words(row.status))),
    );
    tools.extend(
        punch_at_least(hole).map(|row| (row.id.clone(), row.hole, status_words(row.status))),
    );
    let width = tools.iter().map(|t| t.0.chars().count()).max().unwrap_or(0);
    for (name, size, status) in &tools {
        let over = match size - hole {
            over if over < 0.005 => "to size".to_owned(),
            over => format!("{over:.2} mm over"),
        };
        let _ = writeln!(
            out,
            "  {name:<width$}  {} mm ({} in)  {over}  {status}",
            millimetres(*size),
            inches(*size)
        );
    }
    if tools.is_empty() {
        out.push_str("  no drill, step bit or punch of the catalogue is that large: saw or file it, or cut it on a fly cutter\n");
    }
    out.push_str(
        "Clamp the sheet and protect your eyes; drill a pilot, and try the size in scrap first.\n",
    );
    out
}

/// The family's name, plural.
pub(super) fn plural<R: Row>() -> String {
    let s = if R::FAMILY.ends_with('s') || R::FAMILY.ends_with("ch") {
        "es"
    } else {
        "s"
    };
    format!("{}{s}", R::FAMILY)
}

/// Rows one after another that stand on the same source and status.
pub(super) fn by_source<R: Row>(rows: &[R]) -> impl Iterator<Item = &[R]> {
    rows.chunk_by(|a, b| a.source() == b.source() && a.status() == b.status())
}

/// A row of a packed family: its id and its length.
pub(super) fn packed<R: Row>(row: &R) -> String {
    let size = row.figures().into_iter().find_map(|f| match f.value {
        super::figures::Value::Mm(v) => Some(v),
        _ => None,
    });
    // A metric drill's name says it all.
    match size {
        Some(v) if !row.id().ends_with("mm") => format!("{} {v:.3}", row.id()),
        _ => row.id().to_owned(),
    }
}

fn short<R: Row>(out: &mut String) {
    out.push_str(&plural::<R>().to_uppercase());
    out.push('\n');
    if PACKED.contains(&R::FAMILY) {
        for rows in by_source(R::all()) {
            let all: Vec<String> = rows.iter().map(packed).collect();
            wrap(out, all.iter().map(String::as_str), ", ", "");
            let _ = writeln!(out, "    {} (mm)", status_words(rows[0].status()));
            wrap(out, rows[0].source().split_whitespace(), " ", "    ");
        }
        out.push('\n');
        return;
    }
    let all: Vec<&R> = R::all().iter().collect();
    let table = table(&all, false);
    let widths: Vec<usize> = (0..table.head.len())
        .map(|i| {
            std::iter::once(&table.head)
                .chain(&table.rows)
                .map(|line| line[i].chars().count())
                .max()
                .unwrap_or(0)
        })
        .collect();
    line(out, &table.head, &widths);
    let mut cells = table.rows.iter();
    for rows in by_source(R::all()) {
        for cells in cells.by_ref().take(rows.len()) {
            line(out, cells, &widths);
        }
        wrap(out, rows[0].source().split_whitespace(), " ", "    ");
    }
    out.push('\n');
}

fn line(out: &mut String, cells: &[String], widths: &[usize]) {
    let mut text = String::new();
    for (cell, width) in cells.iter().zip(widths) {
        let _ = write!(text, "{cell:<width$}  ");
    }
    out.push_str(text.trim_end());
    out.push('\n');
}

fn names<R: Row>(row: &R) -> impl Iterator<Item = &str> {
    std::iter::once(row.id()).chain(row.also().iter().map(String::as_str))
}

fn exact<R: Row>(out: &mut String, lines: &mut Vec<String>, bare: &str) {
    let hit = |row: &&R| names(*row).any(|name| squeeze(name) == bare);
    for row in R::all().iter().filter(hit) {
        full(out, row);
        let paste = row.paste();
        if !paste.is_empty() {
            lines.push(paste.join("\n"));
        }
    }
}

/// The families that a builder's word for the finished part leads to.
fn made_of(word: &str) -> &'static [&'static str] {
    match word {
        "choke" | "transformer" => &["core", "toroid", "C-core"],
        "valve" => &["tube"],
        _ => &[],
    }
}

fn search<R: Row>(out: &mut String, bare: &str) {
    let one = bare.strip_suffix('s').unwrap_or(bare);
    let family = [R::FAMILY, &plural::<R>()]
        .into_iter()
        .any(|name| squeeze(name) == bare)
        || made_of(one).contains(&R::FAMILY);
    // what it is there for, as `rectifier`
    let role = |row: &R| {
        (row.figures().iter())
            .any(|f| matches!(&f.value, super::figures::Value::Word(w) if f.name == "role" && squeeze(w) == one))
    };
    let hit = |row: &&R| {
        role(row)
            || names(*row)
                .chain([row.source()])
                .any(|text| squeeze(text).contains(bare))
    };
    if PACKED.contains(&R::FAMILY) {
        // A list of all drills is of use; three hundred full records that share a word of their source are not.
        if family {
            short::<R>(out);
        }
        return;
    }
    for row in R::all().iter().filter(|row| family || hit(row)) {
        full(out, row);
    }
}

fn full<R: Row>(out: &mut String, row: &R) {
    let _ = writeln!(out, "{} {}", R::FAMILY, row.id());
    if !row.also().is_empty() {
        let _ = writeln!(out, "  also    {}", row.also().join(", "));
    }
    let _ = writeln!(out, "  status  {}\n  source", status_words(row.status()));
    wrap(out, row.source().split_whitespace(), " ", "    ");
    out.push_str("  figures, lengths in mm (nearest 1/64 in)\n");
    let figures: Vec<_> = row
        .figures()
        .into_iter()
        .map(|f| (f.name, cell(&f.value)))
        .filter(|(_, text)| text != "-")
        .collect();
    let width = figures
        .iter()
        .map(|(name, _)| name.len())
        .max()
        .unwrap_or(0);
    for (name, text) in &figures {
        let _ = writeln!(out, "    {name:<width$}  {text}");
    }
    out.push('\n');
}

/// Adds words joined by `gap`, broken into lines, each after `indent`.
fn wrap<'a>(out: &mut String, words: impl Iterator<Item = &'a str>, gap: &str, indent: &str) {
    let mut line = String::new();
    for word in words {
        if line.is_empty() {
            line = format!("{indent}{word}");
        } else if line.chars().count() + gap.len() + word.chars().count() > WIDTH {
            out.push_str(line.trim_end());
            out.push_str(gap.trim_end());
            out.push('\n');
            line = format!("{indent}{word}");
        } else {
            line.push_str(gap);
            line.push_str(word);
        }
    }
    if !line.is_empty() {
        out.push_str(&line);
        out.push('\n');
    }
}
