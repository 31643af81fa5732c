//! Exact solids. The only folder that imports truck; knows nothing of amplifiers.
//!
//! A [`Recipe`] says how a solid is made; [`build`] makes its [`Body`]: an indexed record of vertices, edges and
//! faces, each surface exactly a plane, cylinder, cone, sphere or torus, each edge a line or an arc.

mod bevelled;
mod body;
mod drill;
mod error;
mod layered;
mod maker;
mod obstruct;
mod patch;
mod quantities;
mod recipe;
mod sink;
mod site;
mod sound;
mod tidy;
mod truck;
mod turned;

pub use body::{Body, Curve, Edge, Face, Surface};
pub use error::SolidError;
pub use patch::Patch;
pub use recipe::{Hole, Layer, Recipe};
pub use sink::sink;
pub use truck::to_truck;

/// Makes the solid of a recipe and checks that it is sound ([`Body::check`]).
///
/// Circles are divided into two half turns: in outlines where the outline says, in turned bodies at +x and -x, in holes at +x and -x
/// squared off against the hole's direction (at +y and -y where it is nearer than 60 degrees to x).
///
/// # Errors
/// When the recipe describes no solid; the error says where.
pub fn build(recipe: &Recipe) -> Result<Body, SolidError> {
    let (mut maker, holes) = match recipe {
        Recipe::Layered {
            base,
            layers,
            holes,
        } => (layered::make(*base, layers)?, holes),
        Recipe::Bevelled {
            bottom,
            top,
            thickness,
            windows,
            holes,
        } => (bevelled::make(bottom, top, *thickness, windows)?, holes),
        Recipe::Turned { profile, holes } => (turned::make(profile)?, holes),
    };
    maker.body = tidy::tidy(maker.body);
    drill::drill(&mut maker, holes)?;
    maker.body.check()?;
    Ok(maker.body)
}

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_wrong;
