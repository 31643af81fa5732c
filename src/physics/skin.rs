//! How deep an alternating magnetic field goes into metal.

/// Magnetic constant, H/m.
const MU0: f64 = 4e-7 * std::f64::consts::PI;

/// Relative permeability of low-carbon sheet at hum levels, smallest and largest: it differs by grade, rolling and field (from memory).
pub const STEEL_PERMEABILITY: [f64; 2] = [100.0, 1000.0];

/// Depth, mm, at which an alternating magnetic field has fallen to 1/e in a thick piece: sqrt(resistivity / (pi f mu0 mu_r)).
///
/// `resistivity` in nano-ohm metres, `frequency` in Hz.
#[must_use]
pub fn skin_depth(resistivity: f64, frequency: f64, permeability: f64) -> f64 {
    1000.0 * (resistivity * 1e-9 / (std::f64::consts::PI * frequency * MU0 * permeability)).sqrt()
}

/// What the thickness alone takes off a wave passing through, dB: 8.686 t / depth. Edges, holes and the gap beside the plate let far more
/// through, so it is the most that absorption can do.
#[must_use]
pub fn absorption(thickness: f64, depth: f64) -> f64 {
    20.0 * std::f64::consts::LOG10_E * thickness / depth
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn skin_depths_are_those_of_the_formula() {
        // Worked elsewhere: 5052 (49.9 nohm m) 15.9 mm at 50 Hz, 14.5 at 60, 10.3 at 120; 6061 (39.9) 14.2, 13.0, 9.2.
        for (resistivity, depths) in [(49.9, [15.9, 14.5, 10.3]), (39.9, [14.2, 13.0, 9.2])] {
            for (frequency, depth) in [50.0, 60.0, 120.0].into_iter().zip(depths) {
                let have = skin_depth(resistivity, frequency, 1.0);
                assert!((have - depth).abs() < 0.06, "{frequency}: {have}");
            }
        }
        // Copper at 50 Hz: 9.3 mm (handbooks).
        assert!((skin_depth(17.24, 50.0, 1.0) - 9.35).abs() < 0.05);
    }

    #[test]
    fn one_depth_takes_off_8_7_decibels() {
        assert!((absorption(3.0, 3.0) - 8.686).abs() < 1e-3);
        assert!(absorption(3.0, 14.5) < 2.0);
    }
}
