//! What the parts are cut from.

use super::read::{Count, Length, Sp, Thickness};

table! {
    /// `[stock]`: what the parts are cut from. Pieces with a `count` are at hand and are used first; the others can be bought,
    /// as many as needed. Where nothing is given for a material, sizes are taken that shops usually sell.
    pub struct Stock {
        /// What the saw takes; 3.2 mm (1/8 in) unless said.
        kerf: Option<Sp<Length>> where NotNegative,
        /// Sawn off every edge of a sheet or board, and off both ends of a length, before it is used; 5 mm (3/16 in) unless said.
        /// An edge is left as it is where a part is just as long or wide as the piece.
        trim: Option<Sp<Length>> where NotNegative,
        /// Sheets of metal, plywood and the like; the grain runs along the length.
        sheet: Vec<StockSheet>,
        /// Boards, glued-up panels and strips of wood; the grain runs along the length.
        board: Vec<StockBoard>,
        /// Lengths of angle.
        angle: Vec<StockAngle>,
    }
}

table! {
    /// `[[stock.sheet]]`
    pub struct StockSheet {
        /// Material of the catalogue.
        material: Sp<String>,
        /// Thickness; any unless said.
        thickness: Option<Sp<Thickness>> where Positive,
        /// Length, along the grain.
        length: Sp<Length> where Positive,
        /// Width.
        width: Sp<Length> where Positive,
        /// How many are at hand; left out, it is bought, as many as needed.
        count: Option<Sp<Count>>,
    }
}

table! {
    /// `[[stock.board]]`
    pub struct StockBoard {
        /// Material of the catalogue.
        material: Sp<String>,
        /// Thickness; any unless said.
        thickness: Option<Sp<Length>> where Positive,
        /// Length, along the grain.
        length: Sp<Length> where Positive,
        /// Width.
        width: Sp<Length> where Positive,
        /// How many are at hand; left out, it is bought, as many as needed.
        count: Option<Sp<Count>>,
    }
}

table! {
    /// `[[stock.angle]]`
    pub struct StockAngle {
        /// Material of the catalogue.
        material: Sp<String>,
        /// Outside width of a leg.
        leg: Sp<Length> where Positive,
        /// Thickness of a leg; any unless said.
        thickness: Option<Sp<Length>> where Positive,
        /// Length.
        length: Sp<Length> where Positive,
        /// How many are at hand; left out, it is bought, as many as needed.
        count: Option<Sp<Count>>,
    }
}
