//! Aluminium or steel for the plate in hand: mass, sag, cost, what it screens.

use super::laden::Laden;
use super::sag::{limit, thinnest};
use crate::assembly::Assembly;
use crate::catalogue::{self, MaterialRow};
use crate::design::Design;
use crate::physics::skin::{STEEL_PERMEABILITY, absorption, skin_depth};
use std::fmt::Write as _;

/// The metals that are compared, beside the plate's own.
const METALS: [&str; 3] = [
    "aluminium 5052-H32",
    "aluminium 6061-T6",
    "steel low carbon",
];

/// Price of a kg of sheet over that of low-carbon steel, for small cut pieces (from memory; shops differ by half).
const PRICES: [(&str, f64); 3] = [
    ("aluminium 5052-H32", 4.0),
    ("aluminium 6061-T6", 5.0),
    ("steel low carbon", 1.0),
];

/// Largest sag over span of a plate called stiff, and of one called fair (common practice, after building practice; no chassis standard).
const STIFF: f64 = 1.0 / 600.0;
const FAIR: f64 = 1.0 / 300.0;

/// Hum of mains at 50 and 60 Hz, and of what a rectifier makes of them.
pub const HUM: [f64; 4] = [50.0, 60.0, 100.0, 120.0];

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
    /// Sag at its deepest under all it carries, every hole charged with more than it costs, mm.
    pub sag: f64,
    /// What that amounts to.
    pub class: SagClass,
    /// Price of its metal over that of a kg of steel sheet, where it is known.
    pub cost: Option<f64>,
    /// Whether it is the plate as drawn.
    pub drawn: bool,
}

impl PlateChoice {
    /// Skin depth, mm, and what the thickness takes off a wave, dB, at each frequency of [`HUM`]: smallest and largest, which differ for steel.
    #[must_use]
    pub fn screens(&self) -> Option<[[[f64; 2]; 2]; 4]> {
        screens(self.metal, self.thickness)
    }
}

fn screens(metal: &MaterialRow, thickness: f64) -> Option<[[[f64; 2]; 2]; 4]> {
    let resistivity = metal.resistivity?;
    let permeability = if metal.id.starts_with("steel") {
        STEEL_PERMEABILITY
    } else {
        [1.0, 1.0]
    };
    Some(HUM.map(|f| {
        permeability.map(|mu| {
            let depth = skin_depth(resistivity, f, mu);
            [depth, absorption(thickness, depth)]
        })
    }))
}

/// The plate in hand and what it might be cut from.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateChoices {
    /// Between the mouths of the grooves, mm.
    pub span: f64,
    /// Along the grooves, mm.
    pub depth: f64,
    /// Mass of all that it carries, kg.
    pub load: f64,
    /// Most sag that is wanted, mm.
    pub limit: f64,
    /// Which edges are stiffened, and by what.
    pub stiffened: Vec<String>,
    /// The plate as drawn first, then metal by metal the same thickness and the thinnest stock that sags no more than wanted.
    pub choices: Vec<PlateChoice>,
}

/// What this design's plate might be cut from; `None` if it has no plate.
#[must_use]
pub fn plate_choices(design: &Design, assembly: &Assembly) -> Option<PlateChoices> {
    let laden = Laden::new(design, assembly)?;
    let drawn = laden.frame.thickness;
    let wanted = limit(design, laden.span);
    let own = (design.flat("plate"))
        .and_then(|p| catalogue::material(&p.material))
        .filter(|m| m.modulus.is_some() && m.poisson.is_some());
    let choice = |metal: &'static MaterialRow, thickness: f64, as_drawn: bool| {
        let sag = laden.bend(metal, thickness, true)?.deepest().0;
        let mass = laden.area * thickness * metal.density * 1e-9;
        let price = PRICES.iter().find(|p| p.0 == metal.id);
        Some(PlateChoice {
            metal,
            thickness,
            mass,
            sag,
            class: SagClass::of(sag, laden.span),
            cost: price.map(|p| p.1 * mass),
            drawn: as_drawn,
        })
    };
    let mut choices: Vec<PlateChoice> = own
        .and_then(|m| choice(m, drawn, true))
        .into_iter()
        .collect();
    for metal in METALS.into_iter().filter_map(catalogue::material) {
        if own.is_none_or(|own| own.id != metal.id) {
            choices.extend(choice(metal, drawn, false));
        }
        let stock = thinnest(&laden, metal, wanted).filter(|t| (t - drawn).abs() > 0.01);
        choices.extend(stock.and_then(|t| choice(metal, t, false)));
    }
    Some(PlateChoices {
        span: laden.span,
        depth: laden.depth,
        load: laden.load,
        limit: wanted,
        stiffened: laden.stiffened,
        choices,
    })
}

/// What plates of usual thickness screen, Markdown, for the reference page.
pub(super) fn screening_page() -> String {
    let mut out = String::from(
        "\n## What a plate screens (`fit --materials`)\n\nSkin depth is where a magnetic field has fallen to 1/e in thick metal, `sqrt(resistivity / (pi f mu0 mu))`; absorption \
is what the thickness alone takes off, 8.69 dB for each depth, the most it can do: round edges and through holes more gets by. Low-carbon steel is taken with a \
permeability of 100 to 1000 (from memory: it differs by grade and field), and it leads a field aside besides; iron bolted flat on steel puts its own \
field into the plate. Resistivity: the catalogue. Electric fields stop at either metal once it is earthed.\n\n\
| plate | 50 Hz | 60 Hz | 100 Hz | 120 Hz |\n| --- | --- | --- | --- | --- |\n",
    );
    let plates = [(METALS[0], 3.175), (METALS[1], 3.175), (METALS[2], 1.2147)];
    for (name, thickness) in plates {
        let Some((metal, rows)) =
            catalogue::material(name).and_then(|m| Some((m, screens(m, thickness)?)))
        else {
            continue;
        };
        let _ = write!(out, "| {thickness:.2} mm {} |", metal.id);
        for row in rows {
            let _ = write!(out, " {} |", screen_words(row));
        }
        out.push('\n');
    }
    out.push_str(
        "\n`fit --materials` prints this for the plate in hand, beside mass, sag, cost, bending, solder and rust of aluminium and steel.\n",
    );
    out
}

/// `14.5 mm deep, 2 dB`, or from to.
#[must_use]
pub fn screen_words([low, high]: [[f64; 2]; 2]) -> String {
    if (low[0] - high[0]).abs() < 1e-9 {
        format!("{:.1} mm, {:.1} dB", low[0], low[1])
    } else {
        format!(
            "{:.1} to {:.1} mm, {:.0} to {:.0} dB",
            high[0], low[0], low[1], high[1]
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
        let study = crate::testing::harbour();
        let all = plate_choices(&study.design, &study.assembly).expect("it has a plate");
        let drawn = &all.choices[0];
        assert!(drawn.drawn && all.choices.iter().filter(|c| c.drawn).count() == 1);
        let plate = study
            .report
            .solids
            .iter()
            .find(|s| s.id == "plate")
            .expect("a plate");
        assert!((drawn.mass * 1000.0 - plate.mass_g).abs() < 1e-6 * plate.mass_g);
        // The check and the advice bend the same plate.
        let finding = (study.report.findings.iter())
            .find(|f| f.id == "sag")
            .expect("always told");
        assert_eq!((finding.measured, finding.wanted), (drawn.sag, all.limit));
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
            assert!(choice.sag <= all.limit, "{}", choice.metal.id);
        }
    }

    /// The trade's word: steel screens better, aluminium hardly at mains frequency.
    #[test]
    fn steel_screens_better() {
        let metal = |m| catalogue::material(m).expect("known");
        let aluminium = screens(metal(METALS[0]), 3.0).expect("known");
        let steel = screens(metal(METALS[2]), 1.2).expect("known");
        for (a, s) in aluminium.iter().zip(&steel) {
            assert!(a[0] == a[1] && a[0][1] < 3.0);
            assert!(s[0][1] > a[0][1] && s[1][1] > s[0][1]);
        }
        let page = screening_page();
        assert!(page.contains("| 3.17 mm aluminium 5052-H32 |") && page.contains("steel"));
    }
}
