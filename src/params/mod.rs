//! What the builder wrote: one struct per table, every value with its place in the file. Never touches geometry.
//!
//! A table is declared once, by `table!`: the struct, the keys it accepts, their kinds and their doc texts all
//! come from that one declaration. A key is the field's name with `_` written `-`; a trailing `_` is dropped (`type_` is `type`).
//! An `Option` or `Vec` field may be left out; any other must be there. A [`Limit`] after `where` narrows what the field takes.

#[macro_use]
mod read;
mod cabinet;
mod chassis;
mod items;
mod key;
mod place;
mod schema;
mod syntax;
#[cfg(test)]
mod tests;
mod tools;
mod value;

pub use cabinet::*;
pub use chassis::*;
pub use items::*;
pub use key::{Declared, Direction, Key, Kind, Limit, Measure, PlaceKey, Word};
pub use place::*;
#[cfg(test)]
pub(crate) use read::snippet;
pub use read::{Count, Degrees, Id, Length, Number, Sp, Thickness, parse};
pub use schema::{SCHEMA_FILE, schema, schema_text};
pub use tools::*;

table! {
    /// A whole parameter file.
    pub struct Params {
        /// What the design is called, and the title block.
        design: DesignTable,
        /// The wooden box.
        cabinet: Cabinet,
        /// The loudspeaker; leave it out for a head.
        speaker: Option<Speaker>,
        /// The metal that slides into the grooves.
        chassis: Option<Chassis>,
        /// Tubes.
        tube: Vec<Tube>,
        /// Transformers and chokes.
        transformer: Vec<Transformer>,
        /// Filter capacitors.
        can: Vec<Can>,
        /// Eyelet, turret or tag boards.
        board: Vec<CircuitBoard>,
        /// Grommets, studs, lugs, strips, tanks, free holes.
        hardware: Vec<Hardware>,
        /// Pots, jacks, switches, lamps, fuse holders, inlets.
        control: Vec<Control>,
        /// Spreads items evenly between two places.
        row: Vec<Row>,
        /// The wanted air between kinds of parts.
        clearance: Vec<Clearance>,
        /// What the builder owns to make holes with.
        tools: Option<Tools>,
    }
}

words! {
    /// The unit of a bare number.
    pub enum Unit {
        /// Millimetres.
        Mm = "mm",
        /// Inches.
        Inch = "in",
    }
}

table! {
    /// `[design]`
    pub struct DesignTable {
        /// Name of the design, also of the output folder.
        name: Sp<String> where FolderName,
        /// Unit of bare numbers; `mm` unless said.
        unit: Option<Sp<Unit>>,
        /// Who made it, for the title block.
        maker: Option<Sp<String>> where MayBeEmpty,
        /// A date for the title block, as you like it written.
        date: Option<Sp<String>> where MayBeEmpty,
        /// One line for the title block.
        note: Option<Sp<String>> where MayBeEmpty,
    }
}

table! {
    /// `[[clearance]]`: overrides the default air between two kinds.
    pub struct Clearance {
        /// Two kinds, e.g. `["power tube", "wood"]`.
        between: Sp<Vec<Sp<String>>> where Pair,
        /// Wanted air.
        air: Sp<Length> where NotNegative,
    }
}
