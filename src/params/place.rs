//! Places tied to edges, so that a design follows a changed cabinet.

use super::read::{Id, Length, Sp};

/// What a distance is measured from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tie {
    /// So many mm from the left, front or bottom edge.
    Low(f64),
    /// So many mm from the right, rear or top edge.
    High(f64),
    /// So many mm right of, behind or above the middle.
    Middle(f64),
    /// A share from 0 (low edge) to 1 (high edge).
    Share(f64),
}

/// A place on the plate: `at = { left = 72, front = 106 }`. Left and right are the inside faces of the cabinet's sides (seen from the
/// front); front and rear are the plate's own edges.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct PlatePlace {
    /// `left`, `right`, `centre` or `across` (share of the inside width).
    pub x: Option<Sp<Tie>>,
    /// `front`, `rear`, `middle` or `along` (share of the plate's depth).
    pub y: Option<Sp<Tie>>,
}

/// A place on a panel or on the baffle: `at = { left = 40, bottom = 38 }`. On a panel left and right are the panel's ends as seen when facing
/// it; on the baffle the inside faces of the sides seen from the front.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct UprightPlace {
    /// `left`, `right`, `centre` or `across` (share of the width).
    pub x: Option<Sp<Tie>>,
    /// `bottom`, `top`, `middle` or `up` (share of the height).
    pub z: Option<Sp<Tie>>,
}

/// A place whose surface is only known from the item it belongs to: any key of [`PlatePlace`] or [`UprightPlace`].
#[derive(Clone, Debug, PartialEq, Default)]
pub struct AnyPlace {
    /// Sideways.
    pub x: Option<Sp<Tie>>,
    /// Front to rear, on the plate.
    pub y: Option<Sp<Tie>>,
    /// Upwards, on a panel.
    pub z: Option<Sp<Tie>>,
}

table! {
    /// `[[row]]`: spreads items evenly from one place to another, the first and the last standing on the ends. An item in a row needs no place
    /// of its own in the row's direction.
    pub struct Row {
        /// Ids, in order.
        items: Sp<Vec<Sp<Id>>>,
        /// Place of the first.
        from: Sp<AnyPlace>,
        /// Place of the last.
        to: Sp<AnyPlace>,
    }
}

table! {
    /// A size of a rectangle, `{ width = 40, height = 20 }`.
    pub struct Size {
        /// Sideways.
        width: Sp<Length>,
        /// Upwards (or front to rear).
        height: Sp<Length>,
    }
}
