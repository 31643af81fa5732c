//! What the tables declare, as data: for error messages, the schema and the reference page.

use std::sync::OnceLock;

/// A declared table.
#[derive(Clone, Debug)]
pub struct Declared {
    /// What the table is for.
    pub doc: String,
    /// Its keys in the order of the reference page.
    pub keys: Vec<Key>,
}

/// A key of a table.
#[derive(Clone, Debug)]
pub struct Key {
    /// As written in a file.
    pub name: String,
    /// What it means, with its default.
    pub doc: String,
    /// What kind of value it takes.
    pub kind: Kind,
    /// Whether it must be there.
    pub required: bool,
    /// Which values of the kind it takes.
    pub limit: Limit,
}

/// A word that a key may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Word {
    /// As written in a file.
    pub word: &'static str,
    /// What it means.
    pub doc: &'static str,
}

/// Kinds of values.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// A number in the file's unit, or a string such as `13 3/16 in`.
    Length,
    /// A length or a steel gauge such as `18 ga steel`.
    Thickness,
    /// An angle in degrees.
    Degrees,
    /// A plain number.
    Number,
    /// A whole number from 0 to 500.
    Count,
    /// The name of an item.
    Id,
    /// Free text on one line.
    Text,
    /// `true` or `false`.
    YesNo,
    /// One of a few words.
    Words(&'static [Word]),
    /// A place: a table that takes one of each group of these keys.
    Place(&'static [PlaceKey]),
    /// A list of values of a kind.
    List(&'static Kind),
    /// One table.
    Table(fn() -> &'static Declared),
    /// Any number of tables.
    Tables(fn() -> &'static Declared),
}

/// Which values of its kind a key takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Every value of the kind; a text must not be blank.
    Any,
    /// Over 0: sizes.
    Positive,
    /// 0 or more: margins and play.
    NotNegative,
    /// A text that may be empty.
    MayBeEmpty,
    /// A text that can name a folder on every system.
    FolderName,
    /// Exactly two entries.
    Pair,
    /// Two entries or more.
    TwoOrMore,
}

/// A direction of the surface a place lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Left to right.
    Across,
    /// Front to rear.
    Along,
    /// Bottom to top.
    Up,
}

/// How a key of a place measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// A length from the left, front or bottom edge.
    Low,
    /// A length from the right, rear or top edge.
    High,
    /// A length from the middle, towards right, rear or top.
    Middle,
    /// A share of the whole, 0 to 1.
    Share,
}

/// A key of a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlaceKey {
    /// As written in a file.
    pub name: &'static str,
    /// The direction it fixes.
    pub direction: Direction,
    /// What it measures from.
    pub measure: Measure,
}

/// The key of a field: `bolt_circle` is written `bolt-circle`, `type_` is written `type`.
pub(super) fn kebab(field: &str) -> String {
    field.trim_end_matches('_').replace('_', "-")
}

/// The name in `names` that looks most like `name`, if any is near enough to be meant.
pub(super) fn nearest<'n>(name: &str, names: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    /// Below this, two names have little more than their first letters in common.
    const ALIKE: f64 = 0.7;
    /// One or two letters are part of every other name.
    const ALIKE_IF_SHORT: f64 = 0.85;
    // A name far longer than any key is no slip of the pen, and comparing it would cost time.
    if name.len() > 60 {
        return None;
    }
    let written = name.to_lowercase().replace('_', "-");
    let least = if written.len() < 3 {
        ALIKE_IF_SHORT
    } else {
        ALIKE
    };
    let mut best: Option<(f64, &str)> = None;
    for known in names {
        let alike = strsim::jaro_winkler(&written, known);
        if alike > least && best.is_none_or(|(other, _)| alike > other) {
            best = Some((alike, known));
        }
    }
    best.map(|(_, known)| known)
}

/// The headers of every table that has a key of this name, e.g. `[cabinet.groove]`.
pub(super) fn tables_with(name: &str) -> Vec<&'static str> {
    let has = |declared: &Declared| declared.keys.iter().any(|key| key.name == name);
    (all().iter())
        .filter(|(_, declared)| has(declared))
        .map(|(header, _)| header.as_str())
        .collect()
}

/// Whether a file may have a table with this header.
pub(super) fn is_table(header: &str) -> bool {
    all().iter().any(|(known, _)| known == header)
}

/// Every table and its header.
fn all() -> &'static [(String, &'static Declared)] {
    static ALL: OnceLock<Vec<(String, &'static Declared)>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut list = Vec::new();
        collect(
            "",
            <super::Params as super::read::Table>::declared(),
            &mut list,
        );
        list
    })
}

fn collect(path: &str, declared: &'static Declared, list: &mut Vec<(String, &'static Declared)>) {
    for key in &declared.keys {
        let (inner, many) = match key.kind {
            Kind::Table(inner) => (inner(), false),
            Kind::Tables(inner) => (inner(), true),
            _ => continue,
        };
        let name = if path.is_empty() {
            key.name.clone()
        } else {
            format!("{path}.{}", key.name)
        };
        list.push((header(&name, many), inner));
        collect(&name, inner, list);
    }
}

/// The header of a table in a file.
pub(super) fn header(path: &str, many: bool) -> String {
    if many {
        format!("[[{path}]]")
    } else {
        format!("[{path}]")
    }
}
