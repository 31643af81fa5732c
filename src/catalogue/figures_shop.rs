//! Figures of bases, fixings and hole-making tools.

use super::figures::{Figure, Value, maybe, mm, number, set, set_mm, word};
use super::rows_shop::{
    BaseRow, DrillRow, InsertRow, LugRow, PunchRow, RivetRow, StandOffRow, StepBitRow,
    ToothWasherRow, ToroidRow,
};

fn lengths(name: &'static str, all: &[f64]) -> Figure {
    Figure {
        name,
        value: Value::Lengths(all.to_vec()),
        main: true,
    }
}

impl BaseRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            Figure {
                name: "pins",
                value: Value::Count(self.pins),
                main: true,
            },
            mm("circle", self.circle),
            mm("pin", self.pin),
            number("first", self.first, "deg"),
            number("pitch", self.pitch, "deg"),
            word("mark", &self.mark),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        Vec::new()
    }
}

impl ToroidRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            number("rating", self.rating, "VA"),
            mm("diameter", self.diameter),
            mm("height", self.height),
            number("mass", self.mass, "kg"),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        Vec::new()
    }
}

impl RivetRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            mm("diameter", self.diameter),
            word("drill", &self.drill),
            mm("hole-least", self.hole_least),
            mm("hole-most", self.hole_most),
            mm("head", self.head),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        Vec::new()
    }
}

impl InsertRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            word("kind", &self.kind),
            word("screw", &self.screw),
            mm("hole", self.hole),
            mm("outside", self.outside),
            mm("length", self.length),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        if self.kind != "wood insert" {
            return Vec::new();
        }
        vec![
            "[chassis.retain]".to_owned(),
            set("kind", "insert"),
            set("screw", &self.screw),
        ]
    }
}

impl ToothWasherRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            word("screw", &self.screw),
            mm("hole", self.hole),
            mm("outside", self.outside),
            maybe("thickness", self.thickness.map(Value::Mm)),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        Vec::new()
    }
}

impl LugRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            word("screw", &self.screw),
            mm("hole", self.hole),
            mm("eye", self.eye),
            mm("reach", self.reach),
            mm("thickness", self.thickness),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        vec![
            "[[hardware]]".to_owned(),
            set("id", "EARTH"),
            set("kind", "earth stud"),
            set("screw", &self.screw),
        ]
    }
}

impl StandOffRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            word("screw", &self.screw),
            mm("across", self.across),
            lengths("lengths", &self.lengths),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        let long = self.lengths.iter().copied().find(|&l| l >= 9.5);
        let mut lines = vec![
            "[[board]]".to_owned(),
            set("id", "BOARD"),
            set("length", "100 mm"),
            set("width", "50 mm"),
            set("screw", &self.screw),
        ];
        lines.extend(long.map(|l| set_mm("stand-off", l)));
        lines
    }
}

impl DrillRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![word("series", &self.series), mm("diameter", self.diameter)]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        Vec::new()
    }
}

impl PunchRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            word("kind", &self.kind),
            mm("hole", self.hole),
            mm("pilot", self.pilot),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        Vec::new()
    }
}

impl StepBitRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![lengths("steps", &self.steps)]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        Vec::new()
    }
}
