//! What the builder owns to make holes with.

use super::read::{Degrees, Length, Sp};

table! {
    /// `[tools]`: what the builder owns; the drill schedule names these, and says what to buy where none serves.
    pub struct Tools {
        /// Twist drills by size or name, each in quotes: `["3 mm", "1/8 in", "#29"]`.
        drills: Option<Sp<Vec<Sp<String>>>>,
        /// Chassis punches by the hole they make, each in quotes: `["22 mm", "1 1/8 in"]`.
        punches: Option<Sp<Vec<Sp<String>>>>,
        /// Hole saws and Forstner bits for wood by the hole they make, each in quotes.
        hole_saws: Option<Sp<Vec<Sp<String>>>>,
        /// Straight router bits by diameter, each in quotes: `["6 mm", "1/4 in"]`.
        router_bits: Option<Sp<Vec<Sp<String>>>>,
        /// From the chuck's axis to the column of the bench drill; 100 mm unless said.
        drill_throat: Option<Sp<Length>> where Positive,
        /// Step bits.
        step_bit: Vec<StepBit>,
        /// Countersinks.
        countersink: Vec<CountersinkBit>,
    }
}

table! {
    /// `[[tools.step-bit]]`: equal steps from the smallest to the largest.
    pub struct StepBit {
        /// Smallest step.
        from: Sp<Length> where Positive,
        /// Largest step.
        to: Sp<Length> where Positive,
        /// By how much a step is larger than the one before.
        step: Sp<Length> where Positive,
        /// Height of a step: the thickest sheet it drills to size in one go; 4 mm unless said.
        height: Option<Sp<Length>> where Positive,
    }
}

table! {
    /// `[[tools.countersink]]`
    pub struct CountersinkBit {
        /// Largest diameter it cuts.
        diameter: Sp<Length> where Positive,
        /// Included angle; 90 unless said.
        angle: Option<Sp<Degrees>>,
    }
}
