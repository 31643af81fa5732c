//! Rows as columns of text, for the list and for the reference page.

use super::family::Row;
use super::figures::Value;
use super::rows::Status;

/// Rounding error of an inch fraction beyond which it is shown, mm.
const SHOWN_ERROR: f64 = 0.1;

/// The words for a standing.
pub(super) fn status_words(status: Status) -> &'static str {
    match status {
        Status::Published => "published",
        Status::CommonPractice => "common practice",
        Status::FromMemory => "from memory",
        Status::Computed => "computed",
    }
}

/// A length in mm, at most two decimals: catalogues are no finer.
pub(super) fn millimetres(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// `n / of` in lowest terms, `of` a power of two: `2 3/16`.
pub(super) fn fraction(n: u64, of: u64) -> String {
    let (whole, mut top, mut bottom) = (n / of, n % of, of);
    while top > 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    match (whole, top) {
        (whole, 0) => whole.to_string(),
        (0, top) => format!("{top}/{bottom}"),
        (whole, top) => format!("{whole} {top}/{bottom}"),
    }
}

/// The nearest 64th of an inch in lowest terms, `2 3/16`, with the rounding error in mm (fraction less value) where it exceeds 0.1 mm.
pub(super) fn inches(value: f64) -> String {
    const INCH: f64 = 25.4;
    let sixty_fourths = (value / INCH * 64.0).round();
    let error = sixty_fourths / 64.0 * INCH - value;
    // Lengths of the catalogue are far below 2^52 / 64 inches, so the cast is exact.
    let mut text = fraction(sixty_fourths as u64, 64);
    if error.abs() > SHOWN_ERROR {
        text.push_str(&format!(" {error:+.2}"));
    }
    text
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
