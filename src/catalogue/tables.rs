//! Rows as columns of text, for the list and for the reference page.

use super::family::Row;
use super::figures::Value;
use super::rows::Status;
use super::spelling::{inches, millimetres};

/// The words for a standing.
pub(super) fn status_words(status: Status) -> &'static str {
    match status {
        Status::Published => "published",
        Status::CommonPractice => "common practice",
        Status::FromMemory => "from memory",
        Status::Computed => "computed",
    }
}

/// A value as it stands in a cell; `-` where the part has none.
pub(super) fn cell(value: &Value) -> String {
    match value {
        Value::Mm(v) => format!("{} ({})", millimetres(*v), inches(*v)),
        Value::Size([w, h]) => format!(
            "{} x {} ({} x {})",
            millimetres(*w),
            millimetres(*h),
            inches(*w),
            inches(*h)
        ),
        Value::Lengths(all) => all
            .iter()
            .map(|v| format!("{} ({})", millimetres(*v), inches(*v)))
            .collect::<Vec<_>>()
            .join(", "),
        Value::Number(v, unit) => format!("{} {unit}", millimetres(*v)).trim_end().to_owned(),
        Value::Count(n) => n.to_string(),
        Value::Word(text) => text.clone(),
        Value::Absent => "-".to_owned(),
    }
}

/// A head and as many rows of cells, all equally long.
pub(super) struct Table {
    pub(super) head: Vec<String>,
    pub(super) rows: Vec<Vec<String>>,
}

/// `rows` as a table: id, other names, figures, status. Columns that are empty in every row are left out; of the figures only the main ones
/// are taken unless `all`.
pub(super) fn table<R: Row>(rows: &[&R], all: bool) -> Table {
    let mut head = vec!["id".to_owned(), "also".to_owned()];
    let mut cells: Vec<Vec<String>> = rows
        .iter()
        .map(|row| {
            vec![
                row.id().to_owned(),
                if row.also().is_empty() {
                    "-".to_owned()
                } else {
                    row.also().join(", ")
                },
            ]
        })
        .collect();
    for (row, line) in rows.iter().zip(&mut cells) {
        line.extend(
            row.figures()
                .iter()
                .filter(|f| all || f.main)
                .map(|f| cell(&f.value)),
        );
        line.push(status_words(row.status()).to_owned());
    }
    if let Some(row) = rows.first() {
        head.extend(
            row.figures()
                .iter()
                .filter(|f| all || f.main)
                .map(|f| f.name.to_owned()),
        );
    }
    head.push("status".to_owned());
    let used: Vec<bool> = (0..head.len())
        .map(|i| cells.iter().any(|line| line[i] != "-"))
        .collect();
    let keep = |line: Vec<String>| {
        line.into_iter()
            .zip(&used)
            .filter(|(_, used)| **used)
            .map(|(cell, _)| cell)
            .collect()
    };
    Table {
        head: keep(head),
        rows: cells.into_iter().map(keep).collect(),
    }
}
