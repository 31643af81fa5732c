//! Published outlines and hardware as TOML data files compiled in, each row with its source and status.

mod rows;

pub use rows::*;
