//! The room's air and the openings of the cabinet.

use super::read::{Count, Length, Number, Sp};

table! {
    /// `[heat]`: leave it out for a room of 30 C and no slots or holes beyond the open back.
    pub struct Heat {
        /// Air round the amp, degrees C; 30 unless said.
        ambient: Option<Sp<Number>>,
        /// Most that the air inside may get warmer than the room, K; 20 unless said.
        rise: Option<Sp<Number>> where Positive,
        /// Slots and holes of the walls that the air on the tubes' side of the plate passes through.
        vent: Vec<Vent>,
    }
}

table! {
    /// `[[heat.vent]]`: slots, or round holes, all alike.
    pub struct Vent {
        /// Width of a slot.
        width: Option<Sp<Length>> where Positive,
        /// Height of a slot.
        height: Option<Sp<Length>> where Positive,
        /// Diameter of a round hole, instead of width and height.
        diameter: Option<Sp<Length>> where Positive,
        /// How many; 1 unless said.
        count: Option<Sp<Count>> where Positive,
        /// Its lower edge above the floor.
        bottom: Sp<Length>,
    }
}
