//! Seeded random parameter files that resolve without error: the designs that properties and the cross-check are tried on.
//!
//! All of them are invented by arithmetic. The same seed gives the same text. Parts are laid out on the plate by footprints that
//! hold all their holes, so that no two holes run into each other; whether the bodies fit is for the tool under test to say.

use std::fmt::Write as _;

/// What a design is to show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// Anything that is meant to fit.
    Plain,
    /// Some parts overlap.
    Overlap,
    /// A part lies wholly inside another.
    Buried,
    /// The baffle leans.
    Tilted,
    /// The chassis is under the roof.
    TubesDown,
}

impl Wish {
    /// All of them, with the word for a file name.
    pub const ALL: [(Wish, &str); 5] = [
        (Wish::Plain, "plain"),
        (Wish::Overlap, "overlap"),
        (Wish::Buried, "buried"),
        (Wish::Tilted, "tilted"),
        (Wish::TubesDown, "down"),
    ];
}

/// A parameter file.
pub fn design(seed: u64, wish: Wish) -> String {
    Maker::new(seed, wish, false).file()
}

/// A parameter file in which every item on plate and panels is tied to the amp's left side.
#[allow(dead_code, reason = "the example that writes designs does not need it")]
pub fn left_tied(seed: u64, wish: Wish) -> String {
    Maker::new(seed, wish, true).file()
}

/// SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014).
pub struct Rng(u64);

impl Rng {
    pub fn new(seed: u64) -> Rng {
        Rng(seed)
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 up to but not including `n`.
    pub fn below(&mut self, n: usize) -> usize {
        (self.next() % n as u64) as usize
    }

    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1u64 << 53) as f64;
        low + share * (high - low)
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.within(0.0, 1.0) < share
    }

    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }
}

/// A rectangle on the plate that holds the bodies and holes of an item: middle and half sizes, plate coordinates.
#[derive(Clone, Copy)]
struct Foot {
    at: [f64; 2],
    half: [f64; 2],
}

impl Foot {
    fn meets(&self, o: &Foot) -> bool {
        (0..2).all(|k| (self.at[k] - o.at[k]).abs() < self.half[k] + o.half[k] + 1.5)
    }
}

/// Catalogue tubes: type, largest diameter, seated height, socket.
const TUBES: [(&str, f64, f64, Socket); 16] = [
    ("12AX7", 22.3, 49.3, Socket::Noval),
    ("12AT7", 22.3, 49.3, Socket::Noval),
    ("EF86", 22.3, 49.3, Socket::Noval),
    ("6CG7", 22.5, 60.4, Socket::Noval),
    ("EL84", 22.3, 71.5, Socket::Noval),
    ("ECL82", 22.5, 72.2, Socket::Noval),
    ("EZ81", 22.3, 71.5, Socket::Noval),
    ("EZ80", 22.3, 60.5, Socket::Noval),
    ("6AQ5", 19.1, 60.4, Socket::Miniature),
    ("6AU6", 19.1, 47.7, Socket::Miniature),
    ("6X4", 19.1, 60.4, Socket::Miniature),
    ("6V6GT", 33.4, 74.8, Socket::Octal),
    ("EL34", 33.4, 98.8, Socket::Octal),
    ("6L6GC", 36.6, 93.7, Socket::Octal),
    ("5Y3GT", 33.4, 71.5, Socket::Octal),
    ("6SN7GT", 33.4, 69.9, Socket::Octal),
];

#[derive(Clone, Copy, PartialEq)]
enum Socket {
    Miniature,
    Noval,
    Octal,
}

/// Laminations: name, length, height, tongue.
const CORES: [(&str, f64, f64, f64); 9] = [
    ("EI48", 48.0, 40.0, 16.0),
    ("EI54", 54.0, 45.0, 18.0),
    ("EI60", 60.0, 50.0, 20.0),
    ("EI66", 66.0, 55.0, 22.0),
    ("EI84", 84.0, 70.0, 28.0),
    ("EI96", 96.0, 80.0, 32.0),
    ("EI105", 105.0, 87.5, 35.0),
    ("EI-87", 66.7, 55.6, 22.3),
    ("EI-100", 76.2, 63.5, 25.4),
];

/// Speakers: pattern, frame, bolt circle.
const SPEAKERS: [(&str, f64); 5] = [
    ("8 in ceramic", 206.0),
    ("10 in ceramic", 259.0),
    ("12 in ceramic", 309.0),
    ("12 in alnico", 309.0),
    ("12 in light", 306.0),
];

/// Controls: kind, type, half width on the panel.
const CONTROLS: [(&str, &str, f64); 14] = [
    ("pot", "pot 24", 16.0),
    ("pot", "pot 24", 16.0),
    ("pot", "pot 16", 11.0),
    ("jack", "jack open", 11.0),
    ("jack", "jack open", 11.0),
    ("jack", "jack insulated", 11.0),
    ("toggle", "toggle full", 10.0),
    ("toggle", "toggle mini", 8.0),
    ("rotary", "rotary small", 15.0),
    ("lamp", "lamp jewel", 12.0),
    ("lamp", "lamp small", 7.0),
    ("fuse holder", "fuse holder 3AG", 10.0),
    ("fuse holder", "fuse holder 5x20", 10.0),
    ("inlet", "inlet C14", 26.0),
];

struct Maker {
    rng: Rng,
    wish: Wish,
    name: String,
    inch: bool,
    left_only: bool,
    up: bool,
    out: String,
    /// Inside width, height and the sides' depth.
    size: [f64; 3],
    /// Depth of the plate, and whether it is known exactly.
    depth: f64,
    exact: bool,
    /// Height of the component face above the floor.
    face: f64,
    thickness: f64,
    taken: Vec<Foot>,
    tallest: f64,
    items: String,
    ids: usize,
}

impl Maker {
    fn new(seed: u64, wish: Wish, left_only: bool) -> Maker {
        let word = Wish::ALL.iter().find(|w| w.0 == wish).map_or("", |w| w.1);
        let mut rng = Rng::new(seed ^ (wish as u64).wrapping_mul(0x5851_f42d_4c95_7f2d));
        let inch = rng.chance(0.25);
        Maker {
            name: format!("{word}-{seed}"),
            rng,
            wish,
            inch,
            left_only,
            up: wish != Wish::TubesDown,
            out: String::new(),
            size: [0.0; 3],
            depth: 0.0,
            exact: false,
            face: 0.0,
            thickness: 3.0,
            taken: Vec::new(),
            tallest: 0.0,
            items: String::new(),
            ids: 0,
        }
    }

    /// A length as a builder might write it; an inch fraction is up to 0.2 mm off.
    fn mm(&mut self, v: f64) -> String {
        match (self.inch, self.rng.below(10)) {
            (true, 0..5) => format!("{:.4}", v / 25.4),
            (true, 5..7) | (false, 0) => {
                let n = (v / 25.4 * 64.0).round() as i64;
                let (whole, rest) = (n / 64, n % 64);
                match (whole, rest) {
                    (w, 0) if n >= 0 => format!("\"{w} in\""),
                    (0, r) if n > 0 => format!("\"{r}/64 in\""),
                    (w, r) if n > 0 => format!("\"{w} {r}/64 in\""),
                    _ => format!("\"{v:.2} mm\""),
                }
            }
            (true, _) | (false, 1) => format!("\"{v:.2} mm\""),
            _ => format!("{v:.2}"),
        }
    }

    /// A length that others are computed from: written to 0.0001.
    fn exact(&self, v: f64) -> String {
        if self.inch {
            format!("{:.6}", v / 25.4)
        } else {
            format!("{v:.4}")
        }
    }

    fn line(&mut self, key: &str, v: f64) {
        let text = self.mm(v);
        let _ = writeln!(self.out, "{key} = {text}");
    }

    fn id(&mut self, letter: &str) -> String {
        self.ids += 1;
        format!("{letter}{}", self.ids)
    }

    fn file(mut self) -> String {
        let combo = self.rng.chance(0.6);
        let speaker = combo.then(|| self.rng.pick(&SPEAKERS));
        let frame = speaker.map_or(0.0, |s| s.1);
        let baffle = combo || self.wish == Wish::Tilted || self.rng.chance(0.6);
        let from_rear = baffle || self.rng.chance(0.5);
        let (rear, front) = match self.rng.below(10) {
            0..5 => (true, false),
            5 | 6 => (true, true),
            7 | 8 => (false, true),
            _ => (false, false),
        };
        let round = |v: f64| (v * 2.0).round() / 2.0;
        let width = round(
            self.rng
                .within((frame + 70.0).max(320.0), (frame + 140.0).max(600.0)),
        );
        let board = self.rng.pick(&[12.0, 15.0, 18.0, 18.0, 19.05]);
        let covering = self.rng.pick(&[0.0, 0.9, 0.9, 1.2]);
        self.thickness = self.rng.pick(&[1.6, 2.0, 2.5, 3.0, 3.0, 3.175]);
        let t = self.thickness;
        let panel = round(self.rng.within(74.0, 92.0));
        let panel_t = if self.rng.chance(0.7) {
            t
        } else {
            self.rng.pick(&[1.5, 2.0, 3.0])
        };
        let overlay = if self.rng.chance(0.2) { 0.5 } else { 0.0 };
        let under = self.rng.chance(0.2);
        let angle_leg = self.rng.pick(&[19.05, 19.05, 20.0, 25.4]);
        let angle_t = self.rng.pick(&[1.5, 3.0, 3.175]);

        // what stands on the plate is chosen before the cabinet, which must be high enough for it
        let baffle_t = self.rng.pick(&[12.0, 15.0, 18.0]);
        let set_back_baffle = round(self.rng.within(16.0, 30.0));
        let tilt = match self.wish {
            Wish::Tilted => self.rng.pick(&[-3.0, 2.5, 4.0, 7.0, 10.0]),
            _ if self.rng.chance(0.1) => 3.0,
            _ => 0.0,
        };
        let plan = self.plan();
        let below = match (rear || front, self.up) {
            (true, true) => panel + 3.0 + if under { t } else { 0.0 },
            (true, false) => panel + 2.0 + t,
            (false, _) => 72.0,
        };
        let over = self.tallest + 28.0;
        let height = round(
            below
                + over
                + frame * 1.02
                + if combo {
                    35.0
                } else {
                    self.rng.within(10.0, 60.0)
                },
        );
        let lean = f64::tan(f64::to_radians(tilt)).abs() * height;
        // what a wish asks for must find room
        let more = if matches!(self.wish, Wish::Buried | Wish::Overlap) {
            70.0
        } else {
            0.0
        };
        let depth = round(self.rng.within(205.0, 290.0) + lean + more);
        self.size = [width, height, depth];

        let has_panel = rear || front;
        let lower = match (has_panel, self.up) {
            (true, true) => panel - if under { 0.0 } else { t } + 3.0,
            (true, false) => height - 2.0 - panel - if under { t } else { 0.0 },
            (false, true) => 60.0_f64.min(height / 3.0),
            (false, false) => height - 70.0_f64.min(height / 3.0),
        };
        self.face = if self.up { lower + t } else { lower };

        // the plate's depth
        let rear_face = |z: f64| {
            let a = tilt.to_radians();
            set_back_baffle + baffle_t / a.cos() + z * a.tan()
        };
        let wall = panel_t + overlay;
        let set_back = self
            .rng
            .chance(0.5)
            .then(|| round(self.rng.within(22.0, 38.0)));
        let furthest = rear_face(0.0).max(rear_face(height));
        let edge = if under { overlay } else { wall };
        let y0 = match (front, baffle, from_rear) {
            (true, true, true) => furthest + 1.0 + edge,
            (true, ..) => set_back.unwrap_or(38.0) + edge,
            (false, true, _) => furthest + 6.0,
            (false, false, _) => 6.0,
        };
        let y1 = depth - if rear { edge } else { 0.0 } - set_back.unwrap_or(38.0);
        self.depth = y1 - y0;
        self.exact = set_back.is_some() && tilt == 0.0 && (from_rear || !rear);

        let _ = writeln!(
            self.out,
            "# An invented design, made by arithmetic for tests.\n[design]\nname = \"{}\"",
            self.name
        );
        if self.inch {
            self.out.push_str("unit = \"in\"\n");
        }
        self.cabinet(board, covering, combo, panel, has_panel);
        if baffle {
            self.baffle(baffle_t, set_back_baffle, tilt, front);
        }
        self.groove(lower);
        self.wood(board, furthest, baffle, from_rear);
        if let Some((pattern, frame)) = speaker {
            self.speaker(pattern, frame);
        }
        self.chassis(from_rear, set_back);
        let length = width - 2.0 * (covering + 1.1);
        for (is, name) in [(rear, "rear"), (front, "front")] {
            if is {
                let _ = writeln!(self.out, "[chassis.panel.{name}]");
                let text = self.exact(panel);
                let _ = writeln!(self.out, "height = {text}");
                let text = self.exact(panel_t);
                let _ = writeln!(self.out, "thickness = {text}");
                if overlay > 0.0 {
                    let text = self.exact(overlay);
                    let _ = writeln!(self.out, "overlay = {text}");
                }
                if under {
                    self.out.push_str("fit = \"under\"\n");
                }
            }
        }
        if has_panel {
            self.angle(angle_leg, angle_t, t.min(panel_t));
        }
        self.retain();

        // strips of the plate that angles and their nuts take
        let strip = angle_leg + 4.0;
        for (is, y) in [(rear, y1 - y0 - strip / 2.0), (front, strip / 2.0)] {
            if is {
                self.taken.push(Foot {
                    at: [width / 2.0, y],
                    half: [width, strip / 2.0],
                });
            }
        }
        for item in plan {
            self.place(item);
        }
        for (is, name) in [(rear, "rear"), (front, "front")] {
            if is {
                self.controls(name, length, wall, rear && front);
            }
        }
        if !has_panel {
            self.plate_controls();
        }
        if self.rng.chance(0.3) {
            let pair = self.rng.pick(&[
                "\"power tube\", \"wood\"",
                "\"tube\", \"tube\"",
                "\"iron\", \"iron\"",
                "\"control\", \"socket\"",
            ]);
            let air = self.rng.within(1.0, 40.0);
            let text = self.mm(air);
            let _ = writeln!(
                self.items,
                "[[clearance]]\nbetween = [{pair}]\nair = {text}"
            );
        }
        self.out.push_str(&self.items);
        self.out
    }

    fn cabinet(&mut self, board: f64, covering: f64, combo: bool, panel: f64, has_panel: bool) {
        let [w, h, d] = self.size;
        self.out.push_str("[cabinet]\n");
        for (key, v) in [
            ("width", w),
            ("height", h),
            ("depth", d),
            ("board", board),
            ("covering", covering),
        ] {
            let text = self.exact(v);
            let _ = writeln!(self.out, "{key} = {text}");
        }
        let material = self.rng.pick(&[
            "birch plywood",
            "eastern white pine",
            "softwood plywood",
            "poplar",
            "MDF",
        ]);
        let corner = self.rng.pick(&["butt", "rabbet", "box joint", "dovetail"]);
        let _ = writeln!(self.out, "material = \"{material}\"\ncorner = \"{corner}\"");
        if self.rng.chance(0.2) {
            let wider = self.rng.pick(&[0.5, 1.0, 1.5]);
            let text = self.exact(w + wider);
            let _ = writeln!(self.out, "width-rear = {text}");
        }
        if covering > 0.0 && self.rng.chance(0.3) {
            let turn_in = self.rng.within(10.0, 28.0);
            self.line("turn-in", turn_in);
            if self.rng.chance(0.3) {
                self.out.push_str("relieved = false\n");
            }
        }
        if self.rng.chance(0.6) {
            self.out.push_str("[cabinet.feet]\n");
            if self.rng.chance(0.5) {
                let inset = self.rng.within(36.0, 55.0);
                self.line("inset", inset);
            }
        }
        if self.rng.chance(0.6) {
            self.out.push_str("[cabinet.handle]\n");
            if self.rng.chance(0.5) {
                let spacing = self.rng.within(120.0, (w - 40.0).min(260.0));
                self.line("spacing", spacing);
            }
        }
        // a board over (or, with tubes down, under) the open part of the rear
        if self.rng.chance(if combo { 0.7 } else { 0.3 }) {
            let (low, high) = match (self.up, has_panel) {
                (true, _) => (self.face + 30.0, h - 3.0),
                (false, true) => (3.0, h - panel - 40.0),
                (false, false) => (3.0, self.face - 30.0),
            };
            if high - low > 60.0 {
                let tall = self.rng.within(50.0, (high - low).min(200.0));
                let bottom = if self.up { high - tall } else { low };
                let screws = 1 + self.rng.below(3);
                self.out.push_str("[[cabinet.back-board]]\nid = \"back\"\n");
                self.line("bottom", bottom);
                self.line("height", tall - 1.0);
                let _ = writeln!(self.out, "screws = {screws}");
            }
        }
    }

    fn baffle(&mut self, thickness: f64, set_back: f64, tilt: f64, front: bool) {
        self.out.push_str("[cabinet.baffle]\n");
        for (key, v) in [("thickness", thickness), ("set-back", set_back)] {
            let text = self.exact(v);
            let _ = writeln!(self.out, "{key} = {text}");
        }
        if tilt != 0.0 {
            let _ = writeln!(self.out, "tilt = {tilt}");
        }
        // an opening for a front panel leaves no room for cleats beside it unless it is a good deal smaller
        let fixing = self.rng.pick(&["glued", "cleats", "t-nuts"]);
        let _ = writeln!(self.out, "fixing = \"{fixing}\"");
        if front && fixing != "glued" {
            self.out.push_str("opening = { overlap = \"24 mm\" }\n");
        } else if front && self.rng.chance(0.5) {
            self.out
                .push_str("opening = { overlap = \"10 mm\", corner-radius = \"3 mm\" }\n");
        }
    }

    fn groove(&mut self, lower: f64) {
        self.out.push_str("[cabinet.groove]\n");
        let deep = self.rng.pick(&[5.0, 6.0, 6.35]);
        self.line("depth", deep);
        if self.rng.chance(0.3) {
            let play = self.rng.within(0.3, 0.8);
            let text = self.exact(play);
            let _ = writeln!(self.out, "play = {text}");
        }
        if self.rng.chance(0.2) {
            let text = self.exact(lower);
            let low = self.exact(lower - 0.15);
            let _ = writeln!(self.out, "height = {text}\nheight-left = {low}");
        }
    }

    /// Cleats and glue blocks that nothing else needs the room of.
    fn wood(&mut self, board: f64, furthest: f64, baffle: bool, from_rear: bool) {
        let [_, h, d] = self.size;
        let front = if baffle { furthest + 2.0 } else { 4.0 };
        let (wall, corners) = if self.up {
            ("roof", ["roof left", "roof right"])
        } else {
            ("floor", ["floor left", "floor right"])
        };
        if self.rng.chance(0.4) && d - 60.0 > front + 40.0 {
            let leg = self.rng.within(12.0, 24.0);
            for (k, corner) in corners.into_iter().enumerate() {
                let _ = writeln!(
                    self.out,
                    "[[cabinet.block]]\nid = \"block-{k}\"\ncorner = \"{corner}\""
                );
                self.line("leg", leg);
                self.line("front", front);
                self.line("length", 36.0);
            }
        }
        if self.rng.chance(0.3) && d - 90.0 > front + 40.0 {
            let _ = writeln!(
                self.out,
                "[[cabinet.cleat]]\nid = \"strip\"\nagainst = \"{wall}\""
            );
            self.line("front", front + 40.0);
            self.line("stands-off", board);
        }
        if self.wish == Wish::Overlap && self.rng.chance(0.5) {
            // an upright that stands in the way of the plate
            let side = self.rng.pick(&["left", "right"]);
            let at = if from_rear { d - 70.0 } else { 90.0 } - self.rng.within(0.0, 20.0);
            let off = self.rng.within(8.0, 20.0);
            let _ = writeln!(
                self.out,
                "[[cabinet.cleat]]\nid = \"upright\"\nagainst = \"{side}\""
            );
            self.line("front", at);
            self.line("stands-off", off);
            self.line("to", h - 2.0);
            self.line("from", 2.0);
        }
    }

    fn speaker(&mut self, pattern: &str, frame: f64) {
        let [_, h, _] = self.size;
        let _ = writeln!(self.out, "[speaker]\npattern = \"{pattern}\"");
        let up = if self.up {
            h - frame / 2.0 - 14.0
        } else {
            frame / 2.0 + 14.0
        };
        let up = up + self.rng.within(-4.0, 4.0);
        let text = self.mm(up);
        if self.rng.chance(0.5) {
            let _ = writeln!(self.out, "at = {{ centre = 0, bottom = {text} }}");
        } else {
            let _ = writeln!(self.out, "at = {{ across = 0.5, bottom = {text} }}");
        }
        if self.rng.chance(0.2) {
            self.out.push_str("mount = \"front\"\n");
        }
        if self.rng.chance(0.3) {
            let _ = writeln!(self.out, "turn = {}", self.rng.below(90));
        }
        if self.rng.chance(0.3) {
            let out = self.rng.within(1.0, 12.0);
            self.line("stick-out", out);
        }
    }

    fn chassis(&mut self, from_rear: bool, set_back: Option<f64>) {
        let _ = writeln!(
            self.out,
            "[chassis]\nposition = \"{}\"\nenters = \"{}\"",
            if self.up { "floor" } else { "roof" },
            if from_rear { "rear" } else { "front" }
        );
        let text = self.exact(self.thickness);
        let _ = writeln!(self.out, "thickness = {text}");
        let material = self.rng.pick(&[
            "aluminium 5052-H32",
            "steel low carbon",
            "aluminium 6061-T6",
        ]);
        let _ = writeln!(self.out, "material = \"{material}\"");
        if let Some(s) = set_back {
            let text = self.exact(s);
            let _ = writeln!(self.out, "set-back = {text}");
        }
        if self.rng.chance(0.3) {
            let play = self.rng.within(0.5, 1.5);
            self.line("side-play", play);
        }
        if self.rng.chance(0.3) {
            let r = self.rng.within(0.5, 6.0);
            self.line("corner-radius", r);
        }
        if self.rng.chance(0.2) {
            let from = self.rng.within(3.0, 15.0);
            self.line("ear-from", from);
        }
        if self.rng.chance(0.2) {
            let deep = self.rng.within(2.0, 7.0);
            let at = self.depth * 0.35;
            let edge = self.rng.pick(&["left", "right"]);
            let _ = writeln!(
                self.out,
                "[[chassis.notch]]\nid = \"bite\"\nedge = \"{edge}\""
            );
            self.line("at", at);
            self.line("width", 18.0);
            self.line("depth", deep);
        }
    }

    fn angle(&mut self, leg: f64, t: f64, sheet: f64) {
        self.out.push_str("[chassis.angle]\n");
        for (key, v) in [("leg", leg), ("thickness", t)] {
            let text = self.exact(v);
            let _ = writeln!(self.out, "{key} = {text}");
        }
        if self.rng.chance(0.3) {
            let r = self.rng.within(0.8, 2.0);
            self.line("fillet", r);
        }
        let screw = self.rng.pick(&["M3", "M4", "#6", "#8"]);
        let head = if sheet < 2.5 && self.rng.chance(0.8) {
            "pan"
        } else {
            "countersunk"
        };
        let fit = self.rng.pick(&["close", "normal", "loose"]);
        let _ = writeln!(
            self.out,
            "screw = \"{screw}\"\nhead = \"{head}\"\nfit = \"{fit}\""
        );
        if self.rng.chance(0.5) {
            let _ = writeln!(self.out, "count = {}", 3 + self.rng.below(5));
        } else {
            let pitch = self.rng.within(45.0, 120.0);
            self.line("pitch", pitch);
        }
    }

    fn retain(&mut self) {
        if self.rng.chance(0.6) {
            let kind = self.rng.pick(&["screw", "insert", "bracket"]);
            let _ = writeln!(self.out, "[chassis.retain]\nkind = \"{kind}\"");
        }
    }
}

/// An item before it has a place: its tables without `at`, in the order of their offsets from the middle.
struct Item {
    half: [f64; 2],
    tables: Vec<(String, [f64; 2])>,
    /// Written as a row when there are several in one line.
    row: bool,
}

impl Item {
    fn one(table: String, half: [f64; 2]) -> Item {
        Item {
            half,
            tables: vec![(table, [0.0; 2])],
            row: false,
        }
    }
}

impl Maker {
    /// Everything that goes on the plate, largest first.
    fn plan(&mut self) -> Vec<Item> {
        let mut items = Vec::new();
        match self.wish {
            Wish::Buried => items.push(self.buried()),
            Wish::Overlap => {
                let first = self.rng.below(4);
                items.push(self.overlap(first));
                if self.rng.chance(0.6) {
                    items.push(self.overlap(first + 1));
                }
            }
            _ => {}
        }
        let irons = 1 + self.rng.below(3);
        for k in 0..irons {
            items.push(self.iron(k));
        }
        let groups = 1 + self.rng.below(3);
        for _ in 0..groups {
            items.push(self.tubes());
        }
        for _ in 0..self.rng.below(3) {
            items.push(self.can());
        }
        if self.rng.chance(0.6) {
            items.push(self.board());
        }
        items.push(self.hardware("earth stud"));
        for _ in 0..self.rng.below(4) {
            let kind = self.rng.pick(&["grommet", "terminal strip", "hole"]);
            items.push(self.hardware(kind));
        }
        items
    }

    fn turn(&mut self, half: [f64; 2]) -> (f64, [f64; 2]) {
        match self.rng.below(6) {
            0 | 1 => (0.0, half),
            2 => (90.0, [half[1], half[0]]),
            3 => (180.0, half),
            4 => (270.0, [half[1], half[0]]),
            _ => {
                let r = half[0].hypot(half[1]);
                (
                    (self.rng.within(-180.0, 180.0) * 10.0).round() / 10.0,
                    [r, r],
                )
            }
        }
    }

    fn tube_table(&mut self, id: &str, kind: usize, extra: &str) -> String {
        let (name, _, seated, _) = TUBES[kind];
        self.tallest = self.tallest.max(seated + 8.0);
        format!("[[tube]]\nid = \"{id}\"\ntype = \"{name}\"\n{extra}")
    }

    /// One tube, or a row of two to four alike.
    fn tubes(&mut self) -> Item {
        let kind = self.rng.below(TUBES.len());
        let (_, _, _, socket) = TUBES[kind];
        let retained = socket == Socket::Noval && self.rng.chance(0.35);
        let mut extra = String::new();
        let half = match (socket, retained) {
            (Socket::Miniature, _) => [16.0, 11.0],
            (Socket::Noval, false) => [20.0, 12.0],
            (Socket::Noval, true) => [29.0, 14.5],
            (Socket::Octal, _) => [35.0, 19.0],
        };
        if retained {
            let word = self.rng.pick(&["shield", "clamp"]);
            let _ = writeln!(extra, "retainer = \"{word}\"");
        } else if socket == Socket::Noval && self.rng.chance(0.2) {
            extra.push_str("socket = \"noval ceramic\"\n");
        } else if socket == Socket::Octal && self.rng.chance(0.2) {
            extra.push_str("socket = \"octal ceramic\"\n");
        }
        let (turn, half) = self.turn(half);
        if turn != 0.0 {
            let _ = writeln!(extra, "turn = {turn}");
        }
        let n = if self.rng.chance(0.5) {
            1
        } else {
            2 + self.rng.below(3)
        };
        let pitch = (2.0 * half[0] + 2.0).max(40.0);
        let tables = (0..n)
            .map(|k| {
                let id = self.id("V");
                let table = self.tube_table(&id, kind, &extra);
                (table, [(k as f64 - (n - 1) as f64 / 2.0) * pitch, 0.0])
            })
            .collect();
        Item {
            half: [half[0] + (n - 1) as f64 / 2.0 * pitch, half[1]],
            tables,
            row: n > 1,
        }
    }

    fn iron(&mut self, k: usize) -> Item {
        let role = ["power", "output", "choke", "reverb"][k.min(3)];
        let core = self.rng.below(if k == 0 { CORES.len() } else { 5 });
        let mounting = self
            .rng
            .pick(&["upright", "channel frame", "flat", "drop-through"]);
        let side = if k > 0
            && mounting != "drop-through"
            && CORES[core].1 < 62.0
            && self.rng.chance(0.5)
        {
            "wiring"
        } else {
            "component"
        };
        let stack = self.rng.within(0.7, 1.3) * CORES[core].3;
        self.iron_of(role, core, mounting, side, stack, true)
    }

    fn iron_of(
        &mut self,
        role: &str,
        core: usize,
        mounting: &str,
        side: &str,
        stack: f64,
        turned: bool,
    ) -> Item {
        let (name, length, height, tongue) = CORES[core];
        let bell = tongue / 2.0 + 2.0;
        let grommet = if side == "component" && mounting != "drop-through" {
            16.0
        } else {
            0.0
        };
        let foot = 17.0;
        let half = match mounting {
            "upright" => [height / 2.0 + 1.0, stack / 2.0 + bell + foot + grommet],
            "channel frame" => [length / 2.0 + 20.0, stack / 2.0 + bell + grommet],
            _ => [height / 2.0 + 1.0, length / 2.0 + 1.0 + grommet],
        };
        let up = match mounting {
            "upright" => length + 2.0,
            "channel frame" => height + 3.0,
            "flat" => bell * 2.0 + stack + 10.0,
            _ => stack + bell + 6.0,
        };
        if side == "component" {
            self.tallest = self.tallest.max(up + 4.0);
        }
        let id = self.id("T");
        let mut table = format!(
            "[[transformer]]\nid = \"{id}\"\nrole = \"{role}\"\ncore = \"{name}\"\nmounting = \"{mounting}\"\nside = \"{side}\"\n"
        );
        let text = self.mm(stack);
        let _ = writeln!(table, "stack = {text}");
        let (turn, half) = if turned { self.turn(half) } else { (0.0, half) };
        if turn != 0.0 {
            let _ = writeln!(table, "turn = {turn}");
        }
        Item::one(table, half)
    }

    fn can_table(&mut self, d: f64, height: f64, extra: &str) -> String {
        self.tallest = self.tallest.max(height + 4.0);
        let id = self.id("C");
        let (d, h) = (self.mm(d), self.mm(height));
        format!("[[can]]\nid = \"{id}\"\ndiameter = {d}\nheight = {h}\n{extra}")
    }

    fn can(&mut self) -> Item {
        let d = self.rng.pick(&[22.0, 25.0, 30.0, 35.0, 35.0, 40.0, 33.0]);
        let height = self.rng.within(32.0, 75.0);
        let over = d / 2.0 + 15.0;
        let lying = self.rng.chance(0.3);
        let half = if lying {
            [height / 2.0 + 1.0, over]
        } else {
            [over, d / 2.0 + 3.0]
        };
        let mut extra = String::new();
        if lying {
            extra.push_str("mount = \"lying\"\n");
        }
        let (turn, half) = self.turn(half);
        if turn != 0.0 {
            let _ = writeln!(extra, "turn = {turn}");
        }
        Item::one(self.can_table(d, height, &extra), half)
    }

    fn board(&mut self) -> Item {
        let half = [self.rng.within(25.0, 60.0), self.rng.within(14.0, 24.0)];
        let id = self.id("B");
        let (l, w) = (self.mm(2.0 * half[0]), self.mm(2.0 * half[1]));
        let (turn, foot) = self.turn([half[0] + 1.0, half[1] + 1.0]);
        Item::one(
            format!("[[board]]\nid = \"{id}\"\nlength = {l}\nwidth = {w}\nturn = {turn}\n"),
            foot,
        )
    }

    fn hardware(&mut self, kind: &str) -> Item {
        let id = self.id("H");
        let mut table = format!("[[hardware]]\nid = \"{id}\"\nkind = \"{kind}\"\n");
        let half = match kind {
            "earth stud" => [21.0, 21.0],
            "terminal strip" => [25.0, 25.0],
            "grommet" => [12.0, 12.0],
            _ => {
                table.push_str("diameter = \"8 mm\"\n");
                [5.0, 5.0]
            }
        };
        Item::one(table, half)
    }

    /// A board on stand-offs whose fibre and parts lie wholly inside the laminations of a transformer.
    fn buried(&mut self) -> Item {
        let stack = self.rng.within(33.0, 46.0);
        let mut iron = self.iron_of("power", 5, "upright", "component", stack, false);
        iron.tables[0].0.push_str("grommets = 0\n");
        iron.half[1] -= 16.0;
        let id = self.id("B");
        let length = self.rng.within(40.0, 66.0);
        iron.tables.push((
            format!("[[board]]\nid = \"{id}\"\nlength = \"{length:.2} mm\"\nwidth = \"22 mm\"\nside = \"component\"\n"),
            [self.rng.within(-4.0, 4.0), self.rng.within(-4.0, 4.0)],
        ));
        iron
    }

    /// Parts whose bodies run into each other though their holes do not.
    fn overlap(&mut self, which: usize) -> Item {
        match which % 4 {
            // two cans whose clamps share their bands
            0 => {
                let d = self.rng.pick(&[30.0, 35.0]);
                let apart = d + self.rng.within(1.0, 2.2);
                let (a, b) = (self.can_table(d, 51.0, ""), self.can_table(d, 45.0, ""));
                Item {
                    half: [d / 2.0 + 15.0, d + 4.0],
                    tables: vec![(a, [0.0, -apart / 2.0]), (b, [0.0, apart / 2.0])],
                    row: false,
                }
            }
            // a tube in the coil of a channel-frame transformer
            1 => {
                let stack = 24.0;
                let mut iron =
                    self.iron_of("output", 5, "channel frame", "component", stack, false);
                iron.tables[0].0.push_str("grommets = 0\n");
                let id = self.id("V");
                let tube = self.tube_table(&id, 4, "");
                let side = self.rng.pick(&[-1.0, 1.0]);
                iron.tables.push((
                    tube,
                    [
                        self.rng.within(-8.0, 8.0),
                        side * self.rng.within(stack / 2.0 + 13.0, stack / 2.0 + 26.0),
                    ],
                ));
                iron.half[1] = iron.half[1].max(stack / 2.0 + 40.0);
                iron
            }
            // a board under sockets
            2 => {
                let half = [self.rng.within(32.0, 45.0), self.rng.within(21.0, 25.0)];
                let id = self.id("B");
                let board = format!(
                    "[[board]]\nid = \"{id}\"\nlength = \"{:.2} mm\"\nwidth = \"{:.2} mm\"\n",
                    2.0 * half[0],
                    2.0 * half[1]
                );
                let id = self.id("V");
                let tube = self.tube_table(&id, 0, "");
                Item {
                    half: [half[0] + 1.0, half[1] + 1.0],
                    tables: vec![
                        (board, [0.0; 2]),
                        (
                            tube,
                            [self.rng.within(-6.0, 6.0), self.rng.within(-4.0, 4.0)],
                        ),
                    ],
                    row: false,
                }
            }
            // a bulb far longer than the room over it
            _ => {
                let kind = self.rng.below(8);
                let id = self.id("V");
                Item::one(
                    self.tube_table(&id, kind, "seated = \"560 mm\"\n"),
                    [20.0, 13.0],
                )
            }
        }
    }

    /// Finds room for an item and writes it; an item without room is left out.
    fn place(&mut self, item: Item) {
        let [w, _, _] = self.size;
        let low = [27.0 + item.half[0], 7.0 + item.half[1]];
        let high = [w - 27.0 - item.half[0], self.depth - 7.0 - item.half[1]];
        if low[0] > high[0] || low[1] > high[1] {
            return;
        }
        for _ in 0..120 {
            let at = [
                self.rng.within(low[0], high[0]),
                self.rng.within(low[1], high[1]),
            ];
            let foot = Foot {
                at,
                half: item.half,
            };
            if self.taken.iter().any(|f| f.meets(&foot)) {
                continue;
            }
            self.taken.push(foot);
            if item.row && self.rng.chance(0.6) {
                self.write_row(&item, at);
                return;
            }
            for (table, off) in &item.tables {
                let place = self.tie([at[0] + off[0], at[1] + off[1]]);
                self.items.push_str(table);
                let _ = writeln!(self.items, "at = {{ {place} }}");
            }
            return;
        }
    }

    fn write_row(&mut self, item: &Item, at: [f64; 2]) {
        let mut ids = Vec::new();
        for (table, _) in &item.tables {
            self.items.push_str(table);
            ids.extend(
                table
                    .lines()
                    .find_map(|l| l.strip_prefix("id = "))
                    .map(str::to_owned),
            );
        }
        let ends = [&item.tables[0].1, &item.tables[item.tables.len() - 1].1];
        let [from, to] = ends.map(|off| self.tie([at[0] + off[0], at[1] + off[1]]));
        let _ = writeln!(
            self.items,
            "[[row]]\nitems = [{}]\nfrom = {{ {from} }}\nto = {{ {to} }}",
            ids.join(", ")
        );
    }

    /// A place on the plate, tied to one edge or another.
    fn tie(&mut self, [x, y]: [f64; 2]) -> String {
        let [w, _, _] = self.size;
        let across = self.across(x, w, false);
        let d = self.depth;
        let along = match self.rng.below(4) {
            1 if self.exact => format!("rear = {}", self.mm(d - y)),
            2 if self.exact => format!("middle = {}", self.exact(y - d / 2.0)),
            3 if self.exact => format!("along = {:.5}", y / d),
            _ => format!("front = {}", self.mm(y)),
        };
        format!("{across}, {along}")
    }

    /// A tie across a run of that length; `mirrored`: its left is the amp's right.
    fn across(&mut self, x: f64, run: f64, mirrored: bool) -> String {
        if self.left_only {
            return if mirrored {
                format!("right = {:.4}", self.file_unit(run - x))
            } else {
                format!("left = {:.4}", self.file_unit(x))
            };
        }
        match self.rng.below(5) {
            1 => format!("right = {}", self.mm(run - x)),
            2 => format!("centre = {}", self.exact(x - run / 2.0)),
            3 => format!("across = {:.5}", x / run),
            _ => format!("left = {}", self.mm(x)),
        }
    }

    fn file_unit(&self, mm: f64) -> f64 {
        if self.inch { mm / 25.4 } else { mm }
    }

    /// A panel's controls from one end to the other, as many as there is room for.
    fn controls(&mut self, panel: &str, length: f64, wall: f64, both: bool) {
        let tight = self.wish == Wish::Overlap && self.rng.chance(0.4);
        let most = 3 + self.rng.below(6);
        let mut x = self.rng.within(32.0, 60.0);
        for k in 0..most {
            let (kind, row, half) = if tight {
                CONTROLS[0]
            } else {
                self.rng.pick(&CONTROLS)
            };
            // knobs and bodies of neighbours share room, their holes do not
            let half = if tight && k > 0 { 10.9 } else { half };
            if x + 2.0 * half > length - 32.0 {
                break;
            }
            let middle = x + half;
            x = middle
                + half
                + if tight {
                    0.0
                } else {
                    self.rng.within(2.0, 14.0)
                };
            let id = self.id("P");
            let at = if self.left_only && panel == "rear" {
                self.across(length - middle, length, true)
            } else {
                self.across(middle, length, false)
            };
            let _ = writeln!(
                self.items,
                "[[control]]\nid = \"{id}\"\nkind = \"{kind}\"\ntype = \"{row}\""
            );
            if both || self.rng.chance(0.3) {
                let _ = writeln!(self.items, "on = \"{panel}\"");
            }
            if kind == "pot" && !tight && self.rng.chance(0.2) {
                self.items.push_str("knob = \"none\"\n");
            }
            let _ = writeln!(self.items, "at = {{ {at} }}");
        }
        let anchor = self.rng.pick(&["strain relief", "grommet"]);
        if wall <= 3.2 && x + 20.0 < length - 32.0 {
            let id = self.id("P");
            let middle = x + 11.0;
            let at = if self.left_only && panel == "rear" {
                self.across(length - middle, length, true)
            } else {
                self.across(middle, length, false)
            };
            let _ = writeln!(
                self.items,
                "[[control]]\nid = \"{id}\"\nkind = \"{anchor}\"\non = \"{panel}\"\nat = {{ {at} }}"
            );
        }
    }

    fn plate_controls(&mut self) {
        for _ in 0..3 {
            let (kind, row, half) = self.rng.pick(&CONTROLS[..13]);
            let id = self.id("P");
            let table = format!(
                "[[control]]\nid = \"{id}\"\nkind = \"{kind}\"\ntype = \"{row}\"\non = \"plate\"\n"
            );
            let half = half.max(16.0);
            self.place(Item::one(table, [half, half]));
        }
    }
}
