use crate::outline::OutlineError;
use glam::DVec3;

/// Why a recipe makes no solid. Places are in the part frame, mm.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SolidError {
    /// An outline that cannot be used.
    #[error("{what}: {source}")]
    Outline {
        /// Which outline.
        what: String,
        /// Its fault.
        source: OutlineError,
    },
    /// A number that is not finite.
    #[error("{what} is not a finite number")]
    NotFinite {
        /// Which number.
        what: String,
    },
    /// No thickness.
    #[error("{what} has no thickness ({thickness} mm)")]
    NoThickness {
        /// Which slab or plate.
        what: String,
        /// What was given, mm.
        thickness: f64,
    },
    /// Layers without material in common.
    #[error("two layers meet only along an edge at ({:.3}, {:.3}, {:.3})", at.x, at.y, at.z)]
    EdgeContact {
        /// A point of the edge.
        at: DVec3,
    },
    /// Several separate solids, or one that encloses a void.
    #[error("the solid falls into {count} pieces or encloses a void")]
    Pieces {
        /// Closed shells found.
        count: usize,
    },
    /// Bevelled outlines that do not correspond.
    #[error("the lower and upper outline of a bevelled plate do not correspond: {why}")]
    Bevel {
        /// In which way.
        why: String,
    },
    /// A turned profile that cannot be turned.
    #[error("the profile cannot be turned about its axis: {why} at radius {:.4}, height {:.4}", at.x, at.y)]
    Profile {
        /// What is wrong.
        why: String,
        /// (radius, height), mm.
        at: glam::DVec2,
    },
    /// A hole whose steps make no sense.
    #[error("hole {index}: {why}")]
    HoleProfile {
        /// Which hole, from 0.
        index: usize,
        /// What is wrong.
        why: String,
    },
    /// No flat face square to the hole at the place where it enters or leaves.
    #[error("hole {index} finds no flat face square to it at ({:.3}, {:.3}, {:.3})", at.x, at.y, at.z)]
    HoleFindsNoFace {
        /// Which hole, from 0.
        index: usize,
        /// Where the face should be.
        at: DVec3,
    },
    /// A hole's circle that reaches over an edge of the face.
    #[error(
        "hole {index} of radius {radius} mm at ({:.3}, {:.3}, {:.3}) reaches an edge of the face", at.x, at.y, at.z
    )]
    HoleReachesEdge {
        /// Which hole, from 0.
        index: usize,
        /// Its radius in that face, mm.
        radius: f64,
        /// Its centre in that face.
        at: DVec3,
    },
    /// Two holes that run into each other.
    #[error("holes {first} and {second} run into each other")]
    HolesMeet {
        /// Lower index.
        first: usize,
        /// Higher index.
        second: usize,
    },
    /// A hole that breaks through a wall on its way.
    #[error("hole {index} breaks through a wall near ({:.3}, {:.3}, {:.3})", at.x, at.y, at.z)]
    HoleBreaksWall {
        /// Which hole, from 0.
        index: usize,
        /// Where, about.
        at: DVec3,
    },
    /// A pocket that cannot be sunk into a face.
    #[error("a pocket near ({:.3}, {:.3}, {:.3}): {why}", at.x, at.y, at.z)]
    Pocket {
        /// What is wrong.
        why: String,
        /// The low corner of its box.
        at: DVec3,
    },
    /// A body that is not a closed solid.
    #[error("the solid is not sound: {why}")]
    Unsound {
        /// What was found.
        why: String,
    },
    /// The geometry library refused the solid.
    #[error("the geometry library refused the solid: {why}")]
    Kernel {
        /// What it said.
        why: String,
    },
}

impl SolidError {
    pub(crate) fn outline(what: impl Into<String>) -> impl FnOnce(OutlineError) -> SolidError {
        move |source| SolidError::Outline {
            what: what.into(),
            source,
        }
    }

    pub(crate) fn unsound(why: impl Into<String>) -> SolidError {
        SolidError::Unsound { why: why.into() }
    }
}
