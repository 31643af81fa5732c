//! Tests of the whole crate, through the library's front door and the command line.

mod cli;
mod closed_forms;
mod designs;
mod in_hand;
mod in_use;
mod jigs;
mod living;
mod properties;
mod random;
mod tour;
