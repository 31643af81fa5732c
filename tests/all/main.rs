//! Tests of the whole crate, through the library's front door and the command line.

mod cli;
mod closed_forms;
mod designs;
mod properties;
mod random;
