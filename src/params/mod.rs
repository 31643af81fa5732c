//! What the builder wrote: one struct per table, every value with its place in the file. Never touches geometry.
//!
//! A table is declared once, by `table!`: the struct, the keys it accepts, their kinds and their doc texts all
//! come from that one declaration. A key is the field's name with `_` written `-`; a trailing `_` is dropped (`type_` is `type`).
//! An `Option` or `Vec` field may be left out; any other must be there. A [`Limit`] after `where` narrows what the field takes.

#[macro_use]
mod read;
mod cabinet;
mod chassis;
mod heat;
mod items;
mod key;
mod place;
mod print;
mod schema;
mod stock;
mod syntax;
#[cfg(test)]
mod tests;
mod tools;
mod value;

pub use cabinet::*;
pub use chassis::*;
pub use heat::*;
pub use items::*;
pub use key::{Declared, Direction, Key, Kind, Limit, Measure, PlaceKey, Word};
pub use place::*;
pub use print::*;
#[cfg(test)]
pub(crate) use read::snippet;
pub use read::{Count, Degrees, Id, Length, Number, Sp, Thickness, parse};
pub use schema::{SCHEMA_FILE, schema, schema_text};
pub use stock::*;
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
        /// The room's air, and slots and holes that let warm air out.
        heat: Option<Heat>,
        /// What the builder owns to make holes with.
        tools: Option<Tools>,
        /// The printer that makes the drill jigs.
        print: Option<Print>,
        /// What the parts are cut from.
        stock: Option<Stock>,
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

words! {
    /// What the builder's printer takes.
    pub enum Paper {
        /// 210 x 297 mm.
        A4 = "A4",
        /// 297 x 420 mm.
        A3 = "A3",
        /// 8 1/2 x 11 in.
        Letter = "Letter",
        /// One sheet as long as each template needs, for a roll or a print shop.
        Long = "long",
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
        /// What templates are printed on; `A4` unless said, `Letter` where the unit is `in`.
        paper: Option<Sp<Paper>>,
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
