//! One file per format; each takes finished data and returns bytes. One function writes files.

pub mod caution;
pub mod files;
pub mod glb;
pub mod json;
pub mod markdown;
mod part21;
pub mod step;
mod step_body;
pub mod stl;
#[cfg(test)]
pub(crate) mod test_assembly;
pub mod three_mf;
pub mod tightest;
pub mod words;
pub mod write;

pub use files::{OutFile, What, build_files};
