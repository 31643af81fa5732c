//! One file per format; each takes finished data and returns bytes. One function writes files.

pub mod glb;
mod part21;
pub mod step;
mod step_body;
pub mod stl;
#[cfg(test)]
pub(crate) mod test_assembly;
pub mod three_mf;
