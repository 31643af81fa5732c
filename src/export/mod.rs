//! One file per format; each takes finished data and returns bytes. One function writes files.

pub mod caution;
pub mod files;
pub mod json;
pub mod markdown;
mod part21;
pub mod step;
mod step_body;
pub mod stl;
pub mod tightest;
pub mod words;
pub mod write;

pub use files::{OutFile, What, build_files};
