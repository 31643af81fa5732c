//! Exact solids. The only folder that imports truck; knows nothing of amplifiers.
//!
//! A [`Recipe`] says how a solid is made; [`build`] makes its [`Body`]: an indexed record of vertices, edges and
//! faces, each surface exactly a plane, cylinder, cone, sphere or torus, each edge a line or an arc.

mod body;
mod recipe;

pub use body::{Body, Curve, Edge, Face, Surface};
pub use recipe::{Hole, Layer, Recipe};
