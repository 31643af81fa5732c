//! The printer, and how jigs are printed on it.

use super::read::{Length, Number, Sp};

table! {
    /// `[print]`: the printer that makes the drill jigs, and how they fit.
    pub struct Print {
        /// Width of the print bed; 220 mm unless said.
        bed_width: Option<Sp<Length>> where Positive,
        /// Depth of the print bed; 220 mm unless said.
        bed_depth: Option<Sp<Length>> where Positive,
        /// Height the printer reaches; 220 mm unless said.
        bed_height: Option<Sp<Length>> where Positive,
        /// Strip all round the bed that stays empty; 5 mm unless said.
        bed_margin: Option<Sp<Length>> where NotNegative,
        /// Bore of the nozzle; 0.4 mm unless said.
        nozzle: Option<Sp<Length>> where Positive,
        /// Thickness of a jig's plate; 6 mm unless said, 1.5 times a 4 mm drill. It grows where a guide would be shorter than 1.5 drill diameters and no bush can be raised.
        thickness: Option<Sp<Length>> where Positive,
        /// How far a fence or bung reaches down; left out, 0.3 mm less than the part is thick, so that the part lies flat on its backing.
        fence_height: Option<Sp<Length>> where Positive,
        /// Width of a fence; 8 mm unless said.
        fence_width: Option<Sp<Length>> where Positive,
        /// How much smaller a bung is than the hole it centres in; 0.2 mm unless said.
        bung_play: Option<Sp<Length>> where NotNegative,
        /// The drill that all guides are made for; left out, the first drill the schedule names for each hole. A hole that is smaller keeps its own.
        pilot: Option<Sp<Length>> where Positive,
        /// Outside of the metal bushes you press in; left out, the printed bore itself guides the drill.
        bush_outside: Option<Sp<Length>> where Positive,
        /// Bore of the metal bushes: the drill that fits them.
        bush_inside: Option<Sp<Length>> where Positive,
        /// How much smaller than drawn your printer makes a bore; 0.2 mm unless said. Find it with `jig/coupon.stl`.
        hole_growth: Option<Sp<Length>> where NotNegative,
        /// How much shorter than drawn your printer makes a length, per cent; 0 unless said. Find it with `jig/coupon.stl`.
        shrink: Option<Sp<Number>>,
        /// Play of the key that joins two tiles, on each side of it; 0.2 mm unless said.
        joint_play: Option<Sp<Length>> where NotNegative,
        /// Height of the letters; 5 mm unless said.
        label_height: Option<Sp<Length>> where Positive,
        /// Stroke of the letters; twice the nozzle and at least 0.8 mm unless said.
        label_stroke: Option<Sp<Length>> where Positive,
        /// How deep the letters are sunk; 0.6 mm unless said.
        label_depth: Option<Sp<Length>> where Positive,
        /// Slots along the edge of each round hole of 14 mm and more, to scribe it before it is sawn, and a jig of its own for it; false unless said.
        scribe_ring: Option<Sp<bool>>,
        /// Parts that get a jig with all their scribed holes, in tiles that fit the bed, e.g. `["panel-rear", "plate"]`; none unless said.
        whole: Option<Sp<Vec<Sp<String>>>>,
    }
}
