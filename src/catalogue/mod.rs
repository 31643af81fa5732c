//! Published outlines and hardware as TOML data files compiled in, each row with its source and status.
//!
//! A family is a kind of part with one data file (screws have three). It is read once, on first use, so that a run pays only for the
//! families it asks for. Rows are found by id or by another name, ignoring case, spaces and hyphens as long as that leaves one row.
//!
//! # Limitations
//!
//! A row is a default for a part that nobody has measured yet. The part in hand, measured, beats every row.

mod family;
mod figures;
mod list;
mod lookup;
mod page;
mod rows;
mod tables;

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_published;

pub use family::{Row, find, nearest};
pub use figures::{Figure, Value};
pub use list::list;
pub use lookup::*;
pub use page::reference_page;
pub use rows::*;
