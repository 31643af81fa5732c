//! The text of the `parts` command.

use super::family::{Row, squeeze};
use super::rows::{
    ClampRow, ControlRow, CoreRow, GaugeRow, GrommetRow, KnobRow, MaterialRow, ScrewRow, SocketRow,
    SpeakerRow, TubeRow,
};
use super::tables::{cell, status_words, table};

/// Width to which sources are wrapped.
const WIDTH: usize = 110;

/// Does `f::<R>(&mut state)` for every family, in the order in which they are shown.
macro_rules! each_family {
    ($f:ident($($arg:expr),*)) => {
        $f::<TubeRow>($($arg),*);
        $f::<SocketRow>($($arg),*);
        $f::<CoreRow>($($arg),*);
        $f::<SpeakerRow>($($arg),*);
        $f::<ControlRow>($($arg),*);
        $f::<KnobRow>($($arg),*);
        $f::<ScrewRow>($($arg),*);
        $f::<MaterialRow>($($arg),*);
        $f::<GaugeRow>($($arg),*);
        $f::<GrommetRow>($($arg),*);
        $f::<ClampRow>($($arg),*);
    };
}
pub(super) use each_family;

/// What the catalogue holds, as plain text.
///
/// Without a word: a table for each family, with main figures, status and source of each row. With a word: the rows whose id, other names,
/// family or source contain it (ignoring case, spaces and hyphens), each with all its figures and the lines that would set them in a
/// parameter file; a row called exactly that comes alone.
#[must_use]
pub fn list(word: Option<&str>) -> String {
    let word = word.map(str::trim).filter(|w| !w.is_empty());
    let mut out = String::new();
    match word {
        None => {
            each_family!(short(&mut out));
            out.push_str("Lengths are mm (nearest 1/64 in, and how far that is off in mm where it exceeds 0.1).\n");
            out.push_str("Name a part to see all its figures and the lines that set them in a parameter file.\n");
        }
        Some(word) => {
            each_family!(full(&mut out, word, true));
            if out.is_empty() {
                each_family!(full(&mut out, word, false));
            }
            if out.is_empty() {
                let mut near = Vec::new();
                each_family!(near_ids(&mut near, word));
                out = format!("nothing in the catalogue matches `{word}`\n");
                if !near.is_empty() {
                    out.push_str(&format!("near: {}\n", near.join(", ")));
                }
            } else {
                out.push_str("A catalogue row stands in for a part nobody has measured: measure yours, put its numbers in these lines, and add\n");
                out.push_str("`measured = true` where the table takes it.\n");
            }
        }
    }
    out
}

fn near_ids<R: Row>(near: &mut Vec<&'static str>, word: &str) {
    near.extend(super::family::nearest::<R>(word));
}

fn plural<R: Row>() -> String {
    format!("{}s", R::FAMILY)
}

fn short<R: Row>(out: &mut String) {
    let rows: Vec<&R> = R::all().iter().collect();
    let table = table(&rows, false);
    let widths: Vec<usize> = (0..table.head.len())
        .map(|i| {
            std::iter::once(&table.head)
                .chain(&table.rows)
                .map(|line| line[i].chars().count())
                .max()
                .unwrap_or(0)
        })
        .collect();
    out.push_str(&plural::<R>().to_uppercase());
    out.push('\n');
    line(out, &table.head, &widths);
    for (row, cells) in rows.iter().zip(&table.rows) {
        line(out, cells, &widths);
        wrap(out, row.source(), "    ");
    }
    out.push('\n');
}

fn line(out: &mut String, cells: &[String], widths: &[usize]) {
    let mut text = String::new();
    for (cell, width) in cells.iter().zip(widths) {
        text.push_str(&format!("{cell:<width$}  "));
    }
    out.push_str(text.trim_end());
    out.push('\n');
}

fn full<R: Row>(out: &mut String, word: &str, exact: bool) {
    let bare = squeeze(word);
    let hit = |row: &&R| {
        let names = || std::iter::once(row.id()).chain(row.also().iter().map(String::as_str));
        if exact {
            names().any(|name| squeeze(name) == bare)
        } else {
            let family = [R::FAMILY, &plural::<R>()]
                .into_iter()
                .any(|name| squeeze(name) == bare);
            family
                || names()
                    .chain([row.source()])
                    .any(|text| squeeze(text).contains(&bare))
        }
    };
    for row in R::all().iter().filter(hit) {
        out.push_str(&format!("{} {}\n", R::FAMILY, row.id()));
        if !row.also().is_empty() {
            out.push_str(&format!("  also    {}\n", row.also().join(", ")));
        }
        out.push_str(&format!(
            "  status  {}\n  source\n",
            status_words(row.status())
        ));
        wrap(out, row.source(), "    ");
        out.push_str("  figures\n");
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
            out.push_str(&format!("    {name:<width$}  {text}\n"));
        }
        let paste = row.paste();
        if !paste.is_empty() {
            out.push_str("  paste lines\n");
            for text in paste {
                out.push_str(&format!("    {text}\n"));
            }
        }
        out.push('\n');
    }
}

/// Adds `text` broken between words, each line after `indent`.
fn wrap(out: &mut String, text: &str, indent: &str) {
    let mut width = WIDTH + 1;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if width + 1 + length > WIDTH {
            if width <= WIDTH {
                out.push('\n');
            }
            out.push_str(indent);
            width = indent.len();
        } else {
            out.push(' ');
            width += 1;
        }
        out.push_str(word);
        width += length;
    }
    if width <= WIDTH {
        out.push('\n');
    }
}
