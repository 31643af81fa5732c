//! The reference page of the catalogue, docs/catalogue.md.

use super::family::Row;
use super::list::each_family;
use super::rows::{
    ClampRow, ControlRow, CoreRow, GaugeRow, GrommetRow, KnobRow, MaterialRow, ScrewRow, SocketRow,
    SpeakerRow, TubeRow,
};
use super::tables::table;

const HEAD: &str = "\
# Catalogue

Written by the program from `src/catalogue/data/*.toml`; do not edit. Every row is a default for a part that nobody has measured yet: the part
in hand, measured, beats it. Lengths are mm, in brackets the nearest 1/64 in and, where that is more than 0.1 mm off, by how much (mm).

| status | meaning |
| --- | --- |
| published | the named document was read; `copy` means that a supplier's printing of a standard was read, not the standard itself |
| common practice | custom of the trade, no document |
| from memory | remembered: measure the part before drilling |
| computed | follows from the formula given |

A row's status is that of its outline figures; sentences at the end of its source (`Computed: seated.`) name the figures that stand otherwise.
";

/// The whole catalogue as Markdown: a table and the sources of each family.
#[must_use]
pub fn reference_page() -> String {
    let mut out = HEAD.to_owned();
    each_family!(section(&mut out));
    out
}

fn section<R: Row>(out: &mut String) {
    let rows: Vec<&R> = R::all().iter().collect();
    let table = table(&rows, true);
    out.push_str(&format!("\n## {}s\n\n", capital(R::FAMILY)));
    line(out, &table.head);
    line(out, &vec!["---".to_owned(); table.head.len()]);
    for cells in &table.rows {
        line(out, cells);
    }
    out.push_str("\nSources:\n\n");
    for row in rows {
        out.push_str(&format!(
            "- {}: {}\n",
            escape(row.id()),
            escape(row.source())
        ));
    }
}

fn line(out: &mut String, cells: &[String]) {
    out.push_str("| ");
    out.push_str(
        &cells
            .iter()
            .map(|cell| escape(cell))
            .collect::<Vec<_>>()
            .join(" | "),
    );
    out.push_str(" |\n");
}

/// A `|` would end a cell.
fn escape(text: &str) -> String {
    text.replace('|', "\\|")
}

fn capital(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}
