//! One file per format; each takes finished data and returns bytes. One function writes files.

mod part21;
pub mod step;
mod step_body;
pub mod stl;
