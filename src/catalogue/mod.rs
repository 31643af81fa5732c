//! Published outlines and hardware as TOML data files compiled in, each row with its source and status.
//!
//! A family is a kind of part with one data file (screws have three). It is read once, on first use, so that a run pays only for the
//! families it asks for. Rows are found by id or by another name, ignoring case, spaces and hyphens as long as that leaves one row.
//!
//! # Limitations
//!
//! A row is a default for a part that nobody has measured yet. The part in hand, measured, beats every row.

mod bases;
mod drill_series;
mod drills;
mod family;
mod figures;
mod figures_shop;
mod hand_tools;
mod list;
mod lookup;
mod page;
mod rows;
mod rows_shop;
mod spelling;
mod tables;

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_list;
#[cfg(test)]
mod tests_published;
#[cfg(test)]
mod tests_shop;

pub use bases::Pin;
pub use drills::{DRILL_SERIES, drill_at_least, drill_of_at_least, punch_at_least, step_at_least};
pub use family::{Row, find, nearest};
pub use figures::{Figure, Value};
pub use hand_tools::{hand_tool, spanner_for};
pub use list::{hole_makers, list, look_up, suggest};
pub use lookup::*;
pub use page::reference_page;
pub use rows::*;
pub use rows_shop::*;
