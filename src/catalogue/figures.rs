//! What each row says, figure by figure, and the parameter-file lines that would say the same.

use super::rows::{
    ClampRow, ControlRow, CoreRow, GaugeRow, GrommetRow, KnobRow, MaterialRow, ScrewRow, SocketRow,
    SpeakerRow, TubeRow,
};

/// One figure of a row.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Its name, as in the data file.
    pub name: &'static str,
    /// What it is.
    pub value: Value,
    /// Whether it is shown in the short table.
    pub main: bool,
}

/// The value of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A length, mm.
    Mm(f64),
    /// Width and height, mm.
    Size([f64; 2]),
    /// Several lengths, mm.
    Lengths(Vec<f64>),
    /// A number with its unit (`W`, `kg`, `deg`).
    Number(f64, &'static str),
    /// A whole number.
    Count(u32),
    /// A word.
    Word(String),
    /// The part has none.
    Absent,
}

pub(super) fn mm(name: &'static str, value: f64) -> Figure {
    Figure {
        name,
        value: Value::Mm(value),
        main: true,
    }
}

pub(super) fn number(name: &'static str, value: f64, unit: &'static str) -> Figure {
    Figure {
        name,
        value: Value::Number(value, unit),
        main: true,
    }
}

pub(super) fn word(name: &'static str, value: &str) -> Figure {
    Figure {
        name,
        value: Value::Word(value.to_owned()),
        main: true,
    }
}

pub(super) fn maybe(name: &'static str, value: Option<Value>) -> Figure {
    Figure {
        name,
        value: value.unwrap_or(Value::Absent),
        main: true,
    }
}

/// A field that is 0 where the part has none.
pub(super) fn unless_zero(figure: Figure) -> Figure {
    match figure.value {
        Value::Mm(0.0) | Value::Number(0.0, _) => Figure {
            value: Value::Absent,
            ..figure
        },
        _ => figure,
    }
}

pub(super) fn minor(figure: Figure) -> Figure {
    Figure {
        main: false,
        ..figure
    }
}

/// A number as it is written in a parameter file: at most four decimals.
pub(super) fn plain(value: f64) -> String {
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

pub(super) fn set_mm(key: &str, value: f64) -> String {
    format!("{key} = \"{} mm\"", plain(value))
}

pub(super) fn set(key: &str, value: &str) -> String {
    format!("{key} = \"{value}\"")
}

/// Lines that say the catalogue's own figures again, each behind a `#`: to be measured on the part in hand and then let in. Written out as
/// they are they would pass for the builder's own measurements.
pub(super) fn to_measure(lines: impl IntoIterator<Item = String>) -> Vec<String> {
    std::iter::once(
        "# the figures it stands for; measure yours, correct them and take the # away:".to_owned(),
    )
    .chain(lines.into_iter().map(|line| format!("# {line}")))
    .collect()
}

impl TubeRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            word("role", &self.role),
            word("base", &self.base),
            mm("diameter", self.diameter),
            mm("overall", self.overall),
            mm("seated", self.seated),
            minor(unless_zero(mm("shell", self.shell))),
            minor(number("heater-v", self.heater_v, "V")),
            minor(number("heater-a", self.heater_a, "A")),
            unless_zero(number("plate-w", self.plate_w, "W")),
            unless_zero(number("screen-w", self.screen_w, "W")),
            minor(maybe(
                "bulb-c",
                self.bulb_c.map(|v| Value::Number(v, "degrees C")),
            )),
            minor(maybe(
                "classic-diameter",
                self.classic_diameter.map(Value::Mm),
            )),
            minor(maybe(
                "classic-overall",
                self.classic_overall.map(Value::Mm),
            )),
            minor(maybe(
                "current-diameter",
                self.current_diameter.map(Value::Mm),
            )),
            minor(maybe(
                "current-overall",
                self.current_overall.map(Value::Mm),
            )),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        let mut lines = vec![
            "[[tube]]".to_owned(),
            set("id", "V1"),
            set("type", &self.id),
        ];
        lines.extend(to_measure([
            set_mm("diameter", self.diameter),
            set_mm("seated", self.seated),
        ]));
        lines
    }
}

impl SocketRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            word("base", &self.base),
            minor(word("usual", if self.usual { "yes" } else { "no" })),
            mm("hole", self.hole),
            mm("spacing", self.spacing),
            word("screw", &self.screw),
            mm("body", self.body),
            mm("above", self.above),
            mm("below", self.below),
            minor(mm("flange", self.flange)),
            minor(mm("flange-width", self.flange_width)),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        vec![
            "[[tube]]".to_owned(),
            set("id", "V1"),
            set("type", example(&self.base)),
            set("socket", &self.id),
        ]
    }
}

/// A tube that fits a base, for an example.
fn example(base: &str) -> &'static str {
    match base {
        "miniature" => "6AQ5",
        "octal" => "6V6GT",
        _ => "12AX7",
    }
}

impl CoreRow {
    /// A window of a scrapless lamination: half the tongue wide, one and a half high.
    fn window(&self) -> [f64; 2] {
        [self.tongue / 2.0, self.tongue * 1.5]
    }

    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            mm("tongue", self.tongue),
            mm("length", self.length),
            mm("height", self.height),
            mm("hole", self.hole),
            minor(maybe("window", Some(Value::Size(self.window())))),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        let mut lines = vec![
            "[[transformer]]".to_owned(),
            set("id", "PT"),
            set("role", "power"),
            set("core", &self.id),
            set_mm("stack", self.tongue),
        ];
        lines.extend(to_measure([
            set_mm("length", self.length),
            set_mm("height", self.height),
            "measured = true".to_owned(),
        ]));
        lines
    }
}

impl SpeakerRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            mm("frame", self.frame),
            maybe("frame-width", self.frame_width.map(Value::Mm)),
            mm("cutout", self.cutout),
            maybe("cutout-width", self.cutout_width.map(Value::Mm)),
            mm("bolt-circle", self.bolt_circle),
            maybe("bolt-spacing", self.bolt_spacing.map(Value::Size)),
            Figure {
                name: "bolts",
                value: Value::Count(self.bolts),
                main: true,
            },
            minor(mm("bolt-hole", self.bolt_hole)),
            mm("depth", self.depth),
            mm("magnet", self.magnet),
            minor(mm("magnet-length", self.magnet_length)),
            minor(mm("flange", self.flange)),
            number("mass", self.mass, "kg"),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        let mut lines = vec!["[speaker]".to_owned(), set("pattern", &self.id)];
        let own = match (self.frame_width, self.cutout_width, self.bolt_spacing) {
            (Some(frame), Some(cutout), Some([long, short])) => vec![
                set_mm("frame", self.frame),
                set_mm("frame-width", frame),
                set_mm("cutout", self.cutout),
                set_mm("cutout-width", cutout),
                format!(
                    "bolt-spacing = {{ width = \"{} mm\", height = \"{} mm\" }}",
                    plain(long),
                    plain(short)
                ),
            ],
            _ => vec![
                set_mm("frame", self.frame),
                set_mm("cutout", self.cutout),
                set_mm("bolt-circle", self.bolt_circle),
                format!("bolts = {}", self.bolts),
            ],
        };
        lines.extend(to_measure(own.into_iter().chain([
            set_mm("depth", self.depth),
            set_mm("magnet", self.magnet),
            set_mm("magnet-length", self.magnet_length),
            set_mm("flange", self.flange),
            format!("mass = {}", plain(self.mass)),
        ])));
        lines
    }
}

impl ControlRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        let some = |name, value: Option<f64>| maybe(name, value.map(Value::Mm));
        let size = |name, value: Option<[f64; 2]>| maybe(name, value.map(Value::Size));
        let name = |name, value: &Option<String>| maybe(name, value.clone().map(Value::Word));
        vec![
            word("kind", &self.kind),
            minor(word("usual", if self.usual { "yes" } else { "no" })),
            some("hole", self.hole),
            minor(some("flat", self.flat)),
            size("cutout", self.cutout),
            minor(some("bushing", self.bushing)),
            minor(unless_zero(mm("bushing-length", self.bushing_length))),
            some("body", self.body),
            size("body-box", self.body_box),
            mm("behind", self.behind),
            minor(unless_zero(mm("behind-in-use", self.behind_in_use))),
            minor(some("shaft", self.shaft)),
            unless_zero(mm("tip", self.tip)),
            minor(some("nut", self.nut)),
            minor(unless_zero(mm("nut-thickness", self.nut_thickness))),
            minor(some("cap", self.cap)),
            minor(unless_zero(mm("cap-height", self.cap_height))),
            minor(size("flange", self.flange)),
            minor(unless_zero(mm("flange-thickness", self.flange_thickness))),
            minor(some("screw-spacing", self.screw_spacing)),
            minor(name("screw", &self.screw)),
            minor(some("stop-hole", self.stop_hole)),
            minor(some("stop-radius", self.stop_radius)),
            minor(some("panel-most", self.panel_most)),
            minor(name("knob", &self.knob)),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        let mut lines = vec![
            "[[control]]".to_owned(),
            set("id", "X1"),
            set("kind", &self.kind),
            set("type", &self.id),
        ];
        lines.extend(self.knob.as_deref().map(|knob| set("knob", knob)));
        lines.extend(to_measure(["measured = true".to_owned()]));
        lines
    }
}

impl KnobRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            mm("diameter", self.diameter),
            mm("height", self.height),
            mm("bore-depth", self.bore_depth),
            mm("gap", self.gap),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        vec![
            "[[control]]".to_owned(),
            set("id", "VOLUME"),
            set("kind", "pot"),
            set("knob", &self.id),
        ]
    }
}

impl ScrewRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            mm("major", self.major),
            mm("pan-diameter", self.pan_diameter),
            minor(mm("pan-height", self.pan_height)),
            mm("csk-diameter", self.csk_diameter),
            minor(mm("csk-height", self.csk_height)),
            minor(number("csk-angle", self.csk_angle, "deg")),
            unless_zero(mm("nut", self.nut)),
            minor(unless_zero(mm("nut-thickness", self.nut_thickness))),
            minor(unless_zero(mm("washer", self.washer))),
            minor(unless_zero(mm("washer-thickness", self.washer_thickness))),
            mm("close", self.close),
            mm("normal", self.normal),
            mm("loose", self.loose),
            minor(word("hole-system", self.hole_system().words())),
            minor(maybe("chart-close", self.chart_close.map(Value::Mm))),
            minor(maybe("chart-free", self.chart_free.map(Value::Mm))),
            maybe("pilot", self.pilot.map(Value::Mm)),
            minor(Figure {
                name: "lengths",
                value: Value::Lengths(self.lengths.clone()),
                main: false,
            }),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        let table = if self.wood {
            "[chassis.retain]"
        } else {
            "[chassis.angle]"
        };
        vec![table.to_owned(), set("screw", &self.id)]
    }
}

impl MaterialRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        let [r, g, b] = self.colour;
        let some =
            |name, value: Option<f64>, unit| maybe(name, value.map(|v| Value::Number(v, unit)));
        vec![
            word("family", &self.family),
            number("density", self.density, "kg/m3"),
            some("modulus", self.modulus, "GPa"),
            some("poisson", self.poisson, ""),
            some("resistivity", self.resistivity, "nohm m"),
            minor(maybe(
                "stock",
                Some(Value::Lengths(self.stock.clone())).filter(|_| !self.stock.is_empty()),
            )),
            word("colour", &format!("#{r:02x}{g:02x}{b:02x}")),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        match self.family.as_str() {
            "metal" => vec!["[chassis]".to_owned(), set("material", &self.id)],
            "wood" => vec!["[cabinet]".to_owned(), set("material", &self.id)],
            _ => Vec::new(),
        }
    }
}

impl GaugeRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![mm("thickness", self.thickness)]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        vec!["[chassis]".to_owned(), set_mm("thickness", self.thickness)]
    }
}

impl GrommetRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            mm("bore", self.bore),
            mm("hole", self.hole),
            mm("outside", self.outside),
            mm("height", self.height),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        vec![
            "[[hardware]]".to_owned(),
            set("id", "G1"),
            set("kind", "grommet"),
            set_mm("diameter", self.bore),
        ]
    }
}

impl ClampRow {
    pub(super) fn figure_list(&self) -> Vec<Figure> {
        vec![
            mm("can", self.can),
            mm("spacing", self.spacing),
            mm("hole", self.hole),
            word("screw", &self.screw),
            mm("over-lugs", self.over_lugs),
            mm("band", self.band),
        ]
    }

    pub(super) fn paste_lines(&self) -> Vec<String> {
        vec![
            "[[can]]".to_owned(),
            set("id", "C1"),
            set("mount", "clamp"),
            set_mm("diameter", self.can),
        ]
    }
}
