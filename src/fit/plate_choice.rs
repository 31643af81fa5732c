//! Aluminium or steel for the plate in hand: mass, sag, skin depth.

use crate::assembly::{Assembly, Group};
use crate::catalogue::{self, MaterialRow};
use crate::design::Design;

/// Standard gravity, m/s2.
const GRAVITY: f64 = 9.80665;

/// Magnetic constant, H/m.
const MU0: f64 = 4e-7 * std::f64::consts::PI;

/// The metals that are compared, beside the plate's own.
const METALS: [&str; 3] = [
    "aluminium 5052-H32",
    "aluminium 6061-T6",
    "steel low carbon",
];

/// Relative permeability of low-carbon sheet at hum levels, smallest and largest: it differs by grade, rolling and field (from memory).
pub const STEEL_PERMEABILITY: [f64; 2] = [100.0, 1000.0];

/// Largest sag over span of a plate called stiff, and of one called fair (common practice, after building practice; no chassis standard).
const STIFF: f64 = 1.0 / 600.0;
const FAIR: f64 = 1.0 / 300.0;

/// How a plate feels under its iron.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SagClass {
    /// Sags at most 1/600 of the span.
    Stiff,
    /// At most 1/300.
    Fair,
    /// More.
    Springy,
}

impl SagClass {
    /// The class of a sag over a span, both mm.
    #[must_use]
    pub fn of(sag: f64, span: f64) -> SagClass {
        match sag / span {
            r if r <= STIFF => SagClass::Stiff,
            r if r <= FAIR => SagClass::Fair,
            _ => SagClass::Springy,
        }
    }

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            SagClass::Stiff => "stiff",
            SagClass::Fair => "fair",
            SagClass::Springy => "springy",
        }
    }
}

/// A metal and a thickness the plate might be cut from.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateChoice {
    /// The metal.
    pub metal: &'static MaterialRow,
    /// Thickness, mm.
    pub thickness: f64,
    /// Mass of this plate, holes taken out, kg.
    pub mass: f64,
    /// Sag in the middle, mm, at most.
    pub sag: f64,
    /// What that amounts to.
    pub class: SagClass,
    /// Whether it is the plate as drawn.
    pub drawn: bool,
}

/// The plate in hand and what it might be cut from.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateChoices {
    /// Between the mouths of the grooves, mm.
    pub span: f64,
    /// Along the grooves, mm.
    pub depth: f64,
    /// Mass of all that stands on it and hangs under it, kg.
    pub load: f64,
    /// The mass that would bend it as much if it stood in the middle, kg.
    pub middle: f64,
    /// The plate as drawn first, then metal by metal the same thickness and the thinnest stock that is at least fair.
    pub choices: Vec<PlateChoice>,
}

/// Deflection coefficients of a rectangular plate with two opposite edges simply supported a span `a` apart and the other two free, `b` long:
/// at the centre, uniform load q a^4 / D, and at a central point load P a^2 / D. Levy series, confirmed by an energy solution to 0.2 %
/// (computed). By b/a, each for Poisson's ratio 0.30 and 0.33.
const LEVY: [(f64, [f64; 2], [f64; 2]); 5] = [
    (0.25, [0.01412, 0.01439], [0.08983, 0.09147]),
    (0.5, [0.01371, 0.01391], [0.04379, 0.04430]),
    (1.0, [0.01309, 0.01317], [0.02321, 0.02325]),
    (1.5, [0.01290, 0.01292], [0.01868, 0.01866]),
    (2.0, [0.01289, 0.01289], [0.01744, 0.01743]),
];

/// Uniform and point coefficient for a plate of `ratio` = b/a, straight lines between the rows; beyond the table's ends its end rows.
///
/// The point coefficient grows as a/b for a narrow plate (a beam), so it is the product with b/a that is followed.
fn coefficients(ratio: f64, poisson: f64) -> [f64; 2] {
    let last = LEVY.len() - 1;
    let i = LEVY[1..last]
        .iter()
        .take_while(|row| row.0 <= ratio)
        .count();
    let (low, high) = (LEVY[i], LEVY[i + 1]);
    let along = ((ratio - low.0) / (high.0 - low.0)).clamp(0.0, 1.0);
    let by_poisson = (poisson - 0.30) / 0.03;
    let mix = |a: [f64; 2], b: [f64; 2], scale: [f64; 2]| {
        let at = |v: [f64; 2]| v[0] + by_poisson * (v[1] - v[0]);
        at(a) * scale[0] * (1.0 - along) + at(b) * scale[1] * along
    };
    let uniform = mix(low.1, high.1, [1.0, 1.0]);
    let point = mix(low.2, high.2, [low.0, high.0]);
    // Below the table the product stays, so the coefficient goes on growing; above it the width no longer helps.
    [uniform, point / ratio.min(LEVY[last].0)]
}

/// Share of its bending in the middle that a load keeps when it stands `x` of a span `a` from one end (beam on two supports: x (3 a^2 -
/// 4 x^2) / a^3 up to the middle); 0 beyond the ends.
fn share(x: f64, span: f64) -> f64 {
    let near = (x / span).min(1.0 - x / span).max(0.0);
    near * (3.0 - 4.0 * near * near)
}

/// Sag in the middle, mm, of a plate without holes that lies in its grooves only, loaded in the middle: more than a real one sags that panels
/// and angle stiffen.
///
/// Lengths in mm, load in kg. `None` where the metal's stiffness is not known.
#[must_use]
pub fn sag(metal: &MaterialRow, span: f64, depth: f64, thickness: f64, load: f64) -> Option<f64> {
    let (modulus, poisson) = (metal.modulus? * 1e9, metal.poisson?);
    let (a, t) = (span / 1000.0, thickness / 1000.0);
    let stiffness = modulus * t.powi(3) / (12.0 * (1.0 - poisson * poisson));
    let [uniform, point] = coefficients(depth / span, poisson);
    let own = uniform * metal.density * GRAVITY * t * a.powi(4) / stiffness;
    let laden = point * load * GRAVITY * a * a / stiffness;
    Some((own + laden) * 1000.0)
}

/// Depth, mm, at which an alternating magnetic field has fallen to 1/e in a thick piece: sqrt(resistivity / (pi f mu0 mu_r)).
///
/// `resistivity` in nano-ohm metres, `frequency` in Hz.
#[must_use]
pub fn skin_depth(resistivity: f64, frequency: f64, permeability: f64) -> f64 {
    1000.0 * (resistivity * 1e-9 / (std::f64::consts::PI * frequency * MU0 * permeability)).sqrt()
}

/// What this design's plate might be cut from; `None` if it has no plate.
#[must_use]
pub fn plate_choices(design: &Design, assembly: &Assembly) -> Option<PlateChoices> {
    let frame = design.plate.as_ref()?;
    let plate = assembly.parts.iter().find(|p| p.id == "plate")?;
    let area = assembly.shapes[plate.shape].volume / frame.thickness;
    let span = frame.inside;
    let (mut load, mut middle) = (0.0, 0.0);
    for part in &assembly.parts {
        if part.moves && matches!(part.group, Group::Above | Group::Below) {
            let shape = &assembly.shapes[part.shape];
            let mass = shape.volume * part.density * 1e-9;
            load += mass;
            // The frame's x is counted from the left groove's mouth.
            middle += mass * share(part.pose.point(shape.centroid).x, span);
        }
    }
    let own = catalogue::material(&plate.material).filter(|m| m.modulus.is_some());
    let depth = frame.depth;
    let choice = |metal: &'static MaterialRow, thickness: f64, drawn: bool| {
        let sag = sag(metal, span, depth, thickness, middle)?;
        Some(PlateChoice {
            metal,
            thickness,
            mass: area * thickness * metal.density * 1e-9,
            sag,
            class: SagClass::of(sag, span),
            drawn,
        })
    };
    let mut choices: Vec<PlateChoice> = own
        .and_then(|m| choice(m, frame.thickness, true))
        .into_iter()
        .collect();
    for metal in METALS.into_iter().filter_map(catalogue::material) {
        let is_own = own.is_some_and(|own| own.id == metal.id);
        if !is_own {
            choices.extend(choice(metal, frame.thickness, false));
        }
        let stock = metal
            .stock
            .iter()
            .filter_map(|&t| choice(metal, t, false))
            .find(|c| c.class <= SagClass::Fair);
        choices.extend(stock.filter(|c| (c.thickness - frame.thickness).abs() > 0.01));
    }
    Some(PlateChoices {
        span,
        depth,
        load,
        middle,
        choices,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn metal(name: &str) -> &'static MaterialRow {
        catalogue::material(name).unwrap_or_else(|| panic!("{name}"))
    }

    #[test]
    fn coefficients_meet_the_series_and_the_beam() {
        for (ratio, uniform, point) in LEVY {
            for (i, poisson) in [0.30, 0.33].into_iter().enumerate() {
                let [u, p] = coefficients(ratio, poisson);
                assert!(
                    (u - uniform[i]).abs() < 1e-9 && (p - point[i]).abs() < 1e-9,
                    "{ratio}"
                );
            }
        }
        // A narrow plate is a beam: P a^3 / (48 E I) is 1 / (48 (1 - nu^2)) x a/b in these terms, 2 % more than the plate at b/a 0.25.
        let beam = |ratio: f64| 1.0 / (48.0 * (1.0 - 0.09)) / ratio;
        for ratio in [0.1, 0.25] {
            let [_, point] = coefficients(ratio, 0.30);
            assert!((beam(ratio) / point - 1.02).abs() < 0.005, "{ratio}");
        }
        // Uniform load on a wide plate: 5/384.
        let [uniform, _] = coefficients(3.0, 0.30);
        assert!((uniform - 5.0 / 384.0).abs() < 2e-4);
        // Nothing jumps on the way.
        let mut before = coefficients(0.05, 0.33);
        for n in 6..300 {
            let now = coefficients(f64::from(n) / 100.0, 0.33);
            assert!(
                now[1] <= before[1] + 1e-12 && (now[0] - before[0]).abs() < 1e-4,
                "{n}"
            );
            before = now;
        }
    }

    #[test]
    fn a_load_aside_bends_the_middle_less() {
        // Beam tables, load P at a quarter of the span: 11/16 of what it does in the middle.
        for (x, want) in [
            (200.0, 1.0),
            (100.0, 11.0 / 16.0),
            (300.0, 11.0 / 16.0),
            (0.0, 0.0),
            (400.0, 0.0),
            (-5.0, 0.0),
            (405.0, 0.0),
        ] {
            assert!((share(x, 400.0) - want).abs() < 1e-12, "{x}");
        }
    }

    #[test]
    fn sag_follows_thickness_and_modulus() {
        let aluminium = metal("aluminium 5052-H32");
        // By hand: 400 x 400 plate, 3 mm, nu 0.33, 5 kg: D = 70.3e9 x 2.7e-8 / (12 x 0.8911) = 177.5 N m;
        // 0.02325 x 49.03 x 0.16 / 177.5 = 1.0276 mm, and its own 78.8 N/m2: 0.01317 x 78.85 x 0.0256 / 177.5 = 0.1498 mm.
        let by_hand = sag(aluminium, 400.0, 400.0, 3.0, 5.0).expect("known");
        assert!((by_hand - 1.1774).abs() < 0.001, "{by_hand}");
        let at = |name, t| sag(metal(name), 400.0, 180.0, t, 100.0).expect("known");
        // Under a heavy load twice the thickness sags an eighth, and steel 200 / 70.3 less.
        let ratio = at("5052", 1.5) / at("5052", 3.0);
        assert!((ratio - 8.0).abs() < 0.1, "{ratio}");
        let ratio = at("5052", 2.0) / at("steel", 2.0);
        assert!((ratio - 200.0 / 70.3).abs() < 0.05, "{ratio}");
        assert_eq!(sag(metal("felt"), 400.0, 180.0, 3.0, 5.0), None);
    }

    #[test]
    fn skin_depths_are_those_of_the_formula() {
        // Worked elsewhere: 5052 15.9 mm at 50 Hz, 14.5 at 60, 10.3 at 120; 6061 14.2, 13.0, 9.2.
        for (name, depths) in [("5052", [15.9, 14.5, 10.3]), ("6061", [14.2, 13.0, 9.2])] {
            let resistivity = metal(name).resistivity.expect("known");
            for (frequency, depth) in [50.0, 60.0, 120.0].into_iter().zip(depths) {
                let have = skin_depth(resistivity, frequency, 1.0);
                assert!((have - depth).abs() < 0.06, "{name} {frequency}: {have}");
            }
        }
        // Copper at 50 Hz: 9.3 mm (handbooks).
        assert!((skin_depth(17.24, 50.0, 1.0) - 9.35).abs() < 0.05);
    }

    #[test]
    fn classes_have_their_limits() {
        for (sag, class) in [
            (0.0, SagClass::Stiff),
            (1.0, SagClass::Stiff),
            (1.01, SagClass::Fair),
            (2.0, SagClass::Fair),
            (2.01, SagClass::Springy),
        ] {
            assert_eq!(SagClass::of(sag, 600.0), class, "{sag}");
        }
    }

    #[test]
    fn the_plate_as_drawn_comes_first_and_weighs_what_the_model_says() {
        let text = include_str!("../../params/harbour-15.toml");
        let study = crate::study::study(text).expect("a demo design");
        let all = plate_choices(&study.design, &study.assembly).expect("it has a plate");
        let drawn = &all.choices[0];
        assert!(all.middle > 0.2 * all.load && all.middle < all.load);
        assert!(drawn.drawn && all.choices.iter().filter(|c| c.drawn).count() == 1);
        let plate = study
            .report
            .solids
            .iter()
            .find(|s| s.id == "plate")
            .expect("a plate");
        assert!((drawn.mass * 1000.0 - plate.mass_g).abs() < 1e-6 * plate.mass_g);
        assert!(all.choices.iter().any(|c| c.metal.id == "steel low carbon"));
        // Same plate, same thickness: masses are as densities.
        let steel = all
            .choices
            .iter()
            .find(|c| c.metal.id == "steel low carbon" && c.thickness == drawn.thickness)
            .expect("steel as thick");
        assert!((steel.mass / drawn.mass - 7870.0 / 2680.0).abs() < 1e-9);
        assert!(steel.sag < drawn.sag);
        for choice in all
            .choices
            .iter()
            .filter(|c| c.thickness != drawn.thickness)
        {
            assert!(choice.class <= SagClass::Fair, "{}", choice.metal.id);
        }
    }
}
