//! Figures of bases, fixings and tools.

use super::figures::{
    Figure, Value, maybe, minor, mm, number, plain, set, set_mm, to_measure, word,
};
use super::rows_shop::{
    BaseRow, CutCoreRow, DrillRow, FittingRow, HandToolRow, InsertRow, LugRow, PunchRow, RivetRow,
    StandOffRow, StepBitRow, ToothWasherRow, ToroidRow,
};

fn lengths(name: &'static str, all: &[f64]) -> Figure {
    Figure {
        name,
        value: Value::Lengths(all.to_vec()),
        main: true,
    }
}

impl BaseRow {
    /// Every pin's direction in words.
    fn pins_seen(&self) -> String {
        let all: Vec<String> = (1..=self.pins)
            .filter_map(|n| Some(format!("{n} at {}", plain(self.angle(n)?))))
            .collect();
        format!(
            "looking at the wiring side, {} up, degrees clockwise from it: {}",
            self.mark,
            all.join(", ")
        )
    }

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
            minor(word("pins-seen", &self.pins_seen())),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        Vec::new()
    }
}

impl ToroidRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            maybe("rating", self.rating.map(|v| Value::Number(v, "VA"))),
            mm("diameter", self.diameter),
            mm("height", self.height),
            mm("bore", self.bore),
            word("screw", &self.screw),
            number("mass", self.mass, "kg"),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        let mut lines = vec![
            "[[transformer]]".to_owned(),
            set("id", "PT"),
            set("role", "power"),
            set("core", &self.id),
        ];
        lines.extend(to_measure([
            set_mm("diameter", self.diameter),
            set_mm("height", self.height),
            set_mm("bore", self.bore),
            format!("mass = {}", plain(self.mass)),
            "measured = true".to_owned(),
        ]));
        lines
    }
}

impl CutCoreRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            mm("leg", self.leg),
            mm("strip", self.strip),
            minor(mm("window", self.window)),
            minor(mm("window-height", self.window_height)),
            mm("length", self.length),
            mm("height", self.height),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        let mut lines = vec![
            "[[transformer]]".to_owned(),
            set("id", "OT"),
            set("role", "output"),
            set("core", &self.id),
        ];
        lines.extend(to_measure([
            set_mm("length", self.length),
            set_mm("height", self.height),
            set_mm("stack", self.strip),
            "measured = true".to_owned(),
        ]));
        lines
    }
}

impl FittingRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        let some = |name, value: Option<f64>| maybe(name, value.map(Value::Mm));
        vec![
            word("kind", &self.kind),
            minor(word("usual", if self.usual { "yes" } else { "no" })),
            some("length", self.length),
            some("width", self.width),
            some("height", self.height),
            some("diameter", self.diameter),
            some("thickness", self.thickness),
            maybe("screw", self.screw.clone().map(Value::Word)),
            maybe("mass", self.mass.map(|v| Value::Number(v, "kg"))),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        let size = |key: &str, value: Option<f64>| value.map(|v| set_mm(key, v));
        let lines = |head: &[&str], sizes: [Option<String>; 3]| -> Vec<String> {
            let head = head.iter().map(|l| (*l).to_owned());
            head.chain(sizes.into_iter().flatten()).collect()
        };
        match self.kind.as_str() {
            "reverb tank" => lines(
                &[
                    "[[hardware]]",
                    "id = \"TANK\"",
                    "kind = \"reverb tank\"",
                    &set("type", &self.id),
                ],
                [None, None, None],
            ),
            "terminal strip" => lines(
                &[
                    "[[hardware]]",
                    "id = \"TAGS\"",
                    "kind = \"terminal strip\"",
                    &set("type", &self.id),
                ],
                [None, None, None],
            ),
            "earth stud" => lines(
                &["[[hardware]]", "id = \"EARTH\"", "kind = \"earth stud\""],
                [self.screw.as_deref().map(|s| set("screw", s)), None, None],
            ),
            "foot" => lines(
                &["[cabinet.feet]"],
                [
                    size("diameter", self.diameter),
                    size("height", self.height),
                    None,
                ],
            ),
            "handle" => lines(
                &["[cabinet.handle]"],
                [
                    size("spacing", self.length),
                    size("width", self.width),
                    size("height", self.height),
                ],
            ),
            "circuit board" => lines(
                &[
                    "[[board]]",
                    "id = \"BOARD\"",
                    "length = \"100 mm\"",
                    "width = \"50 mm\"",
                ],
                [size("thickness", self.thickness), None, None],
            ),
            "can" => lines(
                &["[[can]]", "id = \"C1\"", &set("type", &self.id)],
                [None, None, None],
            ),
            "tube clamp" => lines(
                &[
                    "[[tube]]",
                    "id = \"V1\"",
                    "type = \"6V6GT\"",
                    "retainer = \"clamp\"",
                ],
                [None, None, None],
            ),
            "tube shield" => lines(
                &[
                    "[[tube]]",
                    "id = \"V1\"",
                    "type = \"12AX7\"",
                    "retainer = \"shield\"",
                ],
                [None, None, None],
            ),
            _ => Vec::new(),
        }
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
            minor(mm("head-height", self.head_height)),
            minor(mm("blind", self.blind)),
            minor(mm("blind-height", self.blind_height)),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        vec!["[chassis.angle]".to_owned(), set("rivet", &self.id)]
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

impl HandToolRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        let length = |name, v: Option<f64>| maybe(name, v.map(Value::Mm));
        vec![
            word("kind", &self.kind),
            word("takes", &self.takes),
            length("across", self.across),
            mm("tip", self.tip),
            length("tip-height", self.tip_height),
            mm("tip-length", self.tip_length),
            length("shaft", self.shaft),
            length("shaft-length", self.shaft_length),
            length("handle", self.handle),
            length("handle-length", self.handle_length),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        Vec::new()
    }
}
