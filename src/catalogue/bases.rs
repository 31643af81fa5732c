//! Where the pins of a base are.

use super::rows_shop::BaseRow;
use glam::DVec2;

/// A pin of a socket.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pin {
    /// Its number, from 1.
    pub number: u32,
    /// Its place, mm from the socket's axis.
    pub at: DVec2,
}

impl BaseRow {
    /// Angle from the gap or key to a pin, degrees clockwise seen from the wiring side; `None` beyond the last pin, and for 0.
    #[must_use]
    pub fn angle(&self, number: u32) -> Option<f64> {
        (1..=self.pins)
            .contains(&number)
            .then(|| self.first + self.pitch * f64::from(number - 1))
    }

    /// The pins in the socket's own frame: its axis at the origin, the gap or key towards +y, x to the right as seen from the *component*
    /// side. This is the frame of a tube's pose, so `pose.point` of a pin is its place in the amp, for a turned socket too.
    #[must_use]
    pub fn pins(&self) -> Vec<Pin> {
        self.places(-1.0)
    }

    /// The same as drawn looking at the wiring side, where a builder solders: gap or key up, x to the right, numbers clockwise.
    #[must_use]
    pub fn pins_from_wiring_side(&self) -> Vec<Pin> {
        self.places(1.0)
    }

    fn places(&self, right: f64) -> Vec<Pin> {
        (1..=self.pins)
            .filter_map(|number| {
                let (s, c) = self.angle(number)?.to_radians().sin_cos();
                let at = DVec2::new(right * s, c) * (self.circle / 2.0);
                Some(Pin { number, at })
            })
            .collect()
    }
}
