//! Groovewright: the cabinet and the flat metal chassis of a tube amplifier, as exact solids.
//!
//! One parameter file is resolved to a design, the design is built as solids, every pair of solids is
//! measured, and what the shop needs is written. The phases run one way:
//!
//! ```text
//! units, diag, pose, outline, physics -> params, catalogue, solid -> design, mesh -> measure, model, assembly
//!     -> fit -> shop -> jig -> study -> compare -> views, export -> cli
//! ```
//!
//! Lengths are millimetres in `f64` throughout. The amp frame is right-handed: looking at the amp from the
//! front, +X is right, +Y is away from the viewer to the rear, +Z is up. Its origin is the inside left corner
//! of the cabinet's floor, in the plane of the sides' front edges.

pub mod assembly;
pub mod catalogue;
pub mod cli;
pub mod compare;
pub mod design;
pub mod diag;
pub mod export;
pub mod fit;
pub mod font;
pub mod jig;
pub mod measure;
pub mod mesh;
pub mod model;
pub mod outline;
pub mod params;
pub mod physics;
pub mod pose;
pub mod shop;
pub mod solid;
pub mod study;
#[cfg(test)]
mod testing;
pub mod units;
pub mod views;
