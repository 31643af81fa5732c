//! One file per format; each takes finished data and returns bytes. One function writes files.

mod bench;
pub mod caution;
pub mod csv;
pub mod dxf;
pub mod files;
pub mod glb;
mod jig_files;
pub mod json;
pub mod markdown;
mod markup;
pub mod page;
mod part21;
pub mod pdf;
mod shop_files;
pub mod step;
mod step_body;
pub mod stl;
pub mod svg;
#[cfg(test)]
pub(crate) mod test_assembly;
pub mod three_mf;
pub mod tightest;
pub mod words;
pub mod write;

pub use files::{Built, OutFile, What, build_files, build_files_telling};
