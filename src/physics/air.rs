//! Warm air and radiation: draught through openings, and how hot a surface gets.
//!
//! Temperatures in degrees C, differences in K, lengths in m, powers in W. Simplified coefficients for air near room temperature (Holman, Heat
//! Transfer, from memory), which for heights of a cabinet run 0 to 14 % under the full correlation, so surfaces come out a little hot.

use crate::physics::GRAVITY;

/// Stefan's and Boltzmann's constant, W/(m2 K4) (CODATA).
const STEFAN: f64 = 5.670_374e-8;

/// Heat a cubic metre of warm air carries for each K, J/(m3 K): 1.1 kg/m3 x 1006 J/(kg K).
const AIR_HEAT: f64 = 1.1 * 1006.0;

/// Heat conduction of still air near 100 C, W/(m K) (handbook, from memory).
const AIR_CONDUCTION: f64 = 0.031;

/// Discharge of an opening that air passes one way: ASHRAE Fundamentals (1997) p. 25.13, as copied, says 0.65.
pub const ONE_WAY: f64 = 0.65;

/// Natural convection of an upright surface `high` m high, W/(m2 K): 1.42 (dT/L)^0.25.
#[must_use]
pub fn convection_upright(rise: f64, high: f64) -> f64 {
    1.42 * (rise.max(0.0) / high).powf(0.25)
}

/// Of a warm plate facing up: 1.32 (dT/L)^0.25.
#[must_use]
pub fn convection_up(rise: f64, length: f64) -> f64 {
    1.32 * (rise.max(0.0) / length).powf(0.25)
}

/// Of a warm plate facing down: 0.59 (dT/L)^0.25.
#[must_use]
pub fn convection_down(rise: f64, length: f64) -> f64 {
    0.59 * (rise.max(0.0) / length).powf(0.25)
}

/// Net radiation between a surface and what it sees, W/m2.
#[must_use]
pub fn radiation(emissivity: f64, surface: f64, seen: f64) -> f64 {
    let fourth = |c: f64| (c + 273.15).powi(4);
    emissivity * STEFAN * (fourth(surface) - fourth(seen))
}

/// The root of a rising function of a value between `low` and `high`, by halving.
fn root(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut a, mut b) = (low, high);
    for _ in 0..60 {
        let m = f64::midpoint(a, b);
        if f(m) < 0.0 {
            a = m;
        } else {
            b = m;
        }
    }
    f64::midpoint(a, b)
}

/// An opening in an upright wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Lower edge, m.
    pub low: f64,
    /// Upper edge, m.
    pub high: f64,
    /// Free area, m2.
    pub area: f64,
}

/// Share of the ideal flow that an opening passes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discharge {
    /// If air passes it one way.
    pub one_way: f64,
    /// If it enters below and leaves above by the same opening.
    pub both_ways: f64,
}

impl Discharge {
    /// ASHRAE Fundamentals (1997) p. 25.13, as copied: 0.65, and for an opening that takes both ways 0.40 + 0.0045 dT (eq. 38).
    #[must_use]
    pub fn at(rise: f64) -> Discharge {
        Discharge {
            one_way: ONE_WAY,
            both_ways: (0.40 + 0.0045 * rise.abs()).min(ONE_WAY),
        }
    }
}

/// Air drawn through by warmth, m3/s: below one level it flows in, above it out, sqrt(2 g h dT / T) at h from that level. An opening that
/// the level crosses takes both ways.
///
/// One opening alone gives C A sqrt(g H dT / T) / 3, two small equal ones a height H apart C A sqrt(g H dT / T): the usual
/// formulas.
#[must_use]
pub fn draught(openings: &[Opening], rise: f64, outside: f64, discharge: Discharge) -> f64 {
    let open: Vec<&Opening> = openings.iter().filter(|o| o.area > 0.0).collect();
    if open.is_empty() || rise <= 0.0 {
        return 0.0;
    }
    let speed = |h: f64| (2.0 * GRAVITY * h * rise / (outside + 273.15 + rise)).sqrt();
    // mean speed over a stretch of heights above the level, both ends at or over it
    let mean = |a: f64, b: f64| {
        if b - a < 1e-6 {
            speed(f64::midpoint(a, b))
        } else {
            let whole = |h: f64| speed(1.0) * 2.0 / 3.0 * h.powf(1.5);
            (whole(b) - whole(a)) / (b - a)
        }
    };
    // (in, out) for a level
    let flows = |level: f64| {
        let mut sum = [0.0, 0.0];
        for o in &open {
            let high = o.high - o.low;
            let crossed = o.low < level && level < o.high;
            let passes = o.area
                * if crossed {
                    discharge.both_ways
                } else {
                    discharge.one_way
                };
            let part = |a: f64, b: f64| if high < 1e-6 { 1.0 } else { (b - a) / high };
            if o.low < level {
                let b = level - o.low;
                let a = (level - o.high).max(0.0);
                sum[0] += passes * part(a, b) * mean(a, b);
            }
            if o.high > level {
                let b = o.high - level;
                let a = (o.low - level).max(0.0);
                sum[1] += passes * part(a, b) * mean(a, b);
            }
        }
        sum
    };
    let low = open.iter().map(|o| o.low).fold(f64::INFINITY, f64::min);
    let high = open
        .iter()
        .map(|o| o.high)
        .fold(f64::NEG_INFINITY, f64::max);
    let level = root(low, high, |z| {
        let [inward, outward] = flows(z);
        inward - outward
    });
    let [inward, outward] = flows(level);
    f64::midpoint(inward, outward)
}

/// How much warmer than outside the air gets, K, that takes up `watts`: carried off by the draught, and through walls that pass `walls` W/K.
#[must_use]
pub fn warming(watts: f64, openings: &[Opening], walls: f64, outside: f64) -> f64 {
    if watts <= 0.0 {
        return 0.0;
    }
    root(0.0, 500.0, |rise| {
        let flow = draught(openings, rise, outside, Discharge::at(rise));
        AIR_HEAT * flow * rise + walls * rise - watts
    })
}

/// Area, m2, of each of two equal openings, one below and one above, middles `apart` m, that keeps the air within `rise` K.
#[must_use]
pub fn area_wanted(watts: f64, walls: f64, apart: f64, rise: f64, outside: f64) -> f64 {
    let flow = ((watts - walls * rise) / (AIR_HEAT * rise)).max(0.0);
    // in series each opening works against half the height
    let speed = (GRAVITY * apart * rise / (outside + 273.15 + rise)).sqrt();
    flow / (ONE_WAY * speed)
}

/// A hot upright cylinder, closed above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bulb {
    /// m.
    pub diameter: f64,
    /// m.
    pub length: f64,
    /// Of its surface.
    pub emissivity: f64,
}

impl Bulb {
    /// Mean temperature of its surface in air of that temperature, the surroundings as warm as the air.
    #[must_use]
    pub fn temperature(&self, watts: f64, air: f64) -> f64 {
        let area = std::f64::consts::PI * self.diameter * (self.length + self.diameter / 4.0);
        root(air, air + 2000.0, |t| {
            let h = convection_upright(t - air, self.length);
            radiation(self.emissivity, t, air) + h * (t - air) - watts / area
        })
    }

    /// Share of what a small surface sees that is bulb, if it stands `axis` from the bulb's axis at half its height and faces it: R/c of an endless
    /// cylinder, times (2/pi)(atan u + u/(1 + u^2)) for its length, u = L/2c (a thin one's; computed).
    #[must_use]
    pub fn seen_from(&self, axis: f64) -> f64 {
        let u = self.length / 2.0 / axis;
        let end = 2.0 / std::f64::consts::PI * (u.atan() + u / (1.0 + u * u));
        (self.diameter / 2.0 / axis).min(1.0) * end
    }

    /// Heat on a surface `axis` from its axis, W/m2: radiation, and conduction through the still air between (an endless cylinder in another).
    #[must_use]
    pub fn heats(&self, bulb: f64, surface: f64, axis: f64) -> f64 {
        let wide = (axis / (self.diameter / 2.0)).max(1.001);
        let still = AIR_CONDUCTION * (bulb - surface) / (axis * wide.ln());
        self.seen_from(axis) * radiation(self.emissivity, bulb, surface) + still
    }
}

/// Temperature of a surface that takes up `heat(temperature)` W/m2 and sheds it on the same side only, by convection and radiation to air and
/// surroundings: as of wood, which passes little through.
#[must_use]
pub fn warmed(heat: impl Fn(f64) -> f64, emissivity: f64, air: f64, high: f64) -> f64 {
    root(air, air + 600.0, |t| {
        let h = convection_upright(t - air, high);
        radiation(emissivity, t, air) + h * (t - air) - emissivity * heat(t)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(have: f64, want: f64, share: f64) {
        assert!((have / want - 1.0).abs() < share, "{have}, wanted {want}");
    }

    /// 0.3 m, 40 K: 4.83, 4.49, 2.00 W/m2K (worked by hand).
    #[test]
    fn coefficients_of_convection() {
        near(convection_upright(40.0, 0.3), 4.83, 0.002);
        near(convection_up(40.0, 0.3), 4.49, 0.002);
        near(convection_down(40.0, 0.3), 2.00, 0.005);
        // The full correlation for upright plates (Churchill and Chu, as Jaffer, Thermo 2023 3(1) prints it), air at 25 C film: within 5 % above and
        // 14 % below from 0.1 to 0.5 m.
        for high in [0.1_f64, 0.2, 0.3, 0.5] {
            for rise in [10.0, 20.0, 40.0] {
                let film: f64 = 298.15 + rise / 2.0;
                let (nu, pr) = (1.56e-5 * (film / 298.15).powf(1.75), 0.707);
                let k = 0.0262 * (film / 298.15).powf(0.85);
                let ra = GRAVITY * rise * high.powi(3) / (film * nu * nu) * pr;
                let wind = (1.0_f64 + (0.492_f64 / pr).powf(9.0 / 16.0)).powf(8.0 / 27.0);
                let full = (0.825 + 0.387 * ra.powf(1.0 / 6.0) / wind).powi(2) * k / high;
                let share = convection_upright(rise, high) / full;
                assert!((0.84..1.07).contains(&share), "{high} {rise}: {share}");
            }
        }
    }

    #[test]
    fn radiation_is_stefans() {
        // a black body at 100 C in a room of 20 C: 5.67e-8 (373.15^4 - 293.15^4) = 680.6 W/m2
        near(radiation(1.0, 100.0, 20.0), 680.6, 0.001);
        assert_eq!(radiation(0.9, 20.0, 20.0), 0.0);
    }

    /// 100 W, 20 K over 293 K, 0.30 m: 4.52 L/s; 113 cm2 if one opening works against the whole height, 160 cm2 each of two (worked by hand).
    #[test]
    fn draught_through_two_openings_is_the_worked_one() {
        let pair = |area: f64| {
            [
                Opening {
                    low: 0.0,
                    high: 0.0,
                    area,
                },
                Opening {
                    low: 0.3,
                    high: 0.3,
                    area,
                },
            ]
        };
        let alike = Discharge {
            one_way: ONE_WAY,
            both_ways: ONE_WAY,
        };
        let flow = draught(&pair(0.0160), 20.0, 20.0, alike);
        near(flow, 4.52e-3, 0.005);
        near(AIR_HEAT * flow * 20.0, 100.0, 0.005);
        near(area_wanted(100.0, 0.0, 0.3, 20.0, 20.0), 0.0160, 0.005);
        near(warming(100.0, &pair(0.0160), 0.0, 20.0), 20.0, 0.005);
        // the lower opening very large: the upper works against the whole height
        let mut one = pair(0.0113);
        one[0].area = 10.0;
        near(draught(&one, 20.0, 20.0, alike), 4.52e-3, 0.005);
    }

    /// One opening of height H, air both ways: C A / 3 sqrt(g H dT / T) (Brown and Solvason 1962, from memory).
    #[test]
    fn draught_through_one_opening_is_the_known_third() {
        let one = [Opening {
            low: 0.1,
            high: 0.5,
            area: 0.2,
        }];
        let want = 0.6 * 0.2 / 3.0 * (GRAVITY * 0.4 * 10.0 / 303.15_f64).sqrt();
        let alike = Discharge {
            one_way: 0.6,
            both_ways: 0.6,
        };
        near(draught(&one, 10.0, 20.0, alike), want, 1e-4);
        near(Discharge::at(20.0).both_ways, 0.49, 1e-9);
        // divided into two halves that touch it is the same opening
        let two = [(0.1, 0.3), (0.3, 0.5)].map(|(low, high)| Opening {
            low,
            high,
            area: 0.1,
        });
        near(draught(&two, 10.0, 20.0, alike), want, 1e-4);
    }

    /// A slot beside an open back adds its own area and no more: the back goes on taking both ways.
    #[test]
    fn a_small_vent_does_not_make_an_open_back_pass_more() {
        let back = Opening {
            low: 0.1,
            high: 0.4,
            area: 0.12,
        };
        let slot = Opening {
            low: 0.05,
            high: 0.06,
            area: 0.0003,
        };
        let at = |o: &[Opening]| draught(o, 20.0, 20.0, Discharge::at(20.0));
        let (alone, both) = (at(&[back]), at(&[back, slot]));
        assert!(both >= alone && both < alone * 1.02, "{alone} {both}");
    }

    #[test]
    fn more_opening_is_cooler_and_more_heat_is_warmer() {
        let at = |area: f64, watts: f64| {
            let o = [Opening {
                low: 0.0,
                high: 0.3,
                area,
            }];
            warming(watts, &o, 1.0, 25.0)
        };
        let mut before = f64::INFINITY;
        for area in [0.0, 0.001, 0.01, 0.05, 0.2] {
            let now = at(area, 60.0);
            assert!(now < before, "{area}");
            before = now;
        }
        assert!(at(0.01, 90.0) > at(0.01, 60.0));
        // no opening at all: the walls carry it
        near(at(0.0, 60.0), 60.0, 1e-6);
        assert_eq!(at(0.01, 0.0), 0.0);
    }

    #[test]
    fn bulbs_are_as_hot_as_their_watts() {
        let bulb = Bulb {
            diameter: 0.022,
            length: 0.0714,
            emissivity: 0.94,
        };
        // balance, put back: what leaves is what goes in
        let t = bulb.temperature(14.0, 30.0);
        let area = std::f64::consts::PI * 0.022 * (0.0714 + 0.0055);
        let out = radiation(0.94, t, 30.0) + convection_upright(t - 30.0, 0.0714) * (t - 30.0);
        near(out * area, 14.0, 1e-6);
        // makers allow such bulbs 200 to 250 C at full rating
        assert!((150.0..260.0).contains(&t), "{t}");
        assert!(bulb.temperature(10.0, 30.0) < t && bulb.temperature(14.0, 40.0) > t);
        // an endless cylinder is seen as R/c; nothing sees more than all
        let long = Bulb {
            length: 100.0,
            ..bulb
        };
        near(long.seen_from(0.05), 0.22, 1e-3);
        assert!(bulb.seen_from(0.05) < 0.22 && bulb.seen_from(0.011) <= 1.0);
        // further off is cooler, and never cooler than the air
        let mut before = f64::INFINITY;
        for mm in [15.0, 25.0, 40.0, 80.0, 400.0] {
            let wood = warmed(|s| bulb.heats(t, s, mm / 1000.0), 0.9, 30.0, 0.1);
            assert!(wood < before && wood > 30.0, "{mm}: {wood}");
            before = wood;
        }
    }
}
