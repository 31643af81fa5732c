//! The reference page of the catalogue, docs/catalogue.md.

use super::family::{Row, each_family};
use super::list::{PACKED, by_source, packed, plural};
use super::tables::{cell, status_words, table};

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
    let all: Vec<&R> = R::all().iter().collect();
    out.push_str(&format!("\n## {}\n\n", capital(&plural::<R>())));
    if PACKED.contains(&R::FAMILY) {
        for rows in by_source(R::all()) {
            let names: Vec<String> = rows.iter().map(packed).collect();
            out.push_str(&format!(
                "- {}: {} ({}; {})\n",
                capital(&cell(&rows[0].figures()[0].value)),
                names.join(", "),
                status_words(rows[0].status()),
                escape(rows[0].source())
            ));
        }
        return;
    }
    let table = table(&all, true);
    line(out, &table.head);
    line(out, &vec!["---".to_owned(); table.head.len()]);
    for cells in &table.rows {
        line(out, cells);
    }
    out.push_str("\nSources:\n\n");
    for rows in by_source(R::all()) {
        let ids: Vec<String> = rows.iter().map(|row| escape(row.id())).collect();
        out.push_str(&format!(
            "- {}: {}\n",
            ids.join(", "),
            escape(rows[0].source())
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
