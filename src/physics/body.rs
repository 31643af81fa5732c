//! Masses and where they pull.

use glam::DVec3;

/// A mass and its centre.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mass {
    /// kg.
    pub kg: f64,
    /// Centre, mm.
    pub centre: DVec3,
}

impl Mass {
    /// The two together.
    #[must_use]
    pub fn and(self, other: Mass) -> Mass {
        let kg = self.kg + other.kg;
        if kg <= 0.0 {
            return self;
        }
        Mass {
            kg,
            centre: self.centre + (other.centre - self.centre) * (other.kg / kg),
        }
    }

    /// All of them together.
    #[must_use]
    pub fn sum(all: impl IntoIterator<Item = Mass>) -> Mass {
        all.into_iter().fold(Mass::default(), Mass::and)
    }
}

/// Degrees a body may be tipped about an edge before it falls on: the edge `aside` of its centre, which is `above` the ground; negative if it
/// falls by itself.
#[must_use]
pub fn tipping(aside: f64, above: f64) -> f64 {
    aside.atan2(above.max(0.0)).to_degrees()
}

/// Shares that two supports carry of a mass between them: (low, high), 1 together.
#[must_use]
pub fn shares(at: f64, low: f64, high: f64) -> [f64; 2] {
    let share = (at - low) / (high - low);
    [1.0 - share, share]
}

/// Degrees by which a body leans that hangs from a point `aside` of its centre and `above` it.
#[must_use]
pub fn lean(aside: f64, above: f64) -> f64 {
    aside.atan2(above).to_degrees()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn masses_add_at_their_balance() {
        let at = |kg: f64, x: f64| Mass {
            kg,
            centre: DVec3::new(x, 2.0 * x, 0.0),
        };
        let both = at(3.0, 0.0).and(at(1.0, 100.0));
        assert!((both.kg - 4.0).abs() < 1e-12 && (both.centre.x - 25.0).abs() < 1e-12);
        // in any order
        let all = [at(2.0, 10.0), at(5.0, -40.0), at(0.5, 300.0)];
        let (a, b) = (Mass::sum(all), Mass::sum(all.into_iter().rev()));
        assert!((a.centre - b.centre).length() < 1e-12);
        assert_eq!(Mass::sum([]), Mass::default());
        assert_eq!(at(0.0, 5.0).and(at(0.0, 7.0)).kg, 0.0);
    }

    #[test]
    fn angles_and_shares() {
        // a cube tips at 45 degrees
        assert!((tipping(50.0, 50.0) - 45.0).abs() < 1e-12);
        assert!(tipping(-1.0, 50.0) < 0.0);
        assert_eq!(shares(100.0, 0.0, 400.0), [0.75, 0.25]);
        assert!((lean(10.0, 10.0) - 45.0).abs() < 1e-12 && lean(0.0, 200.0) == 0.0);
        // lower, and further from the edge, is steadier
        assert!(tipping(60.0, 200.0) > tipping(50.0, 200.0));
        assert!(tipping(50.0, 150.0) > tipping(50.0, 200.0));
    }
}
