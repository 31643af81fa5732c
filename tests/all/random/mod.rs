//! Seeded random parameter files that resolve without error: the designs that properties and the cross-check are tried on.
//!
//! All of them are invented by arithmetic. The same seed gives the same text. Parts are laid out on the plate by footprints that
//! hold all their holes, so that no two holes run into each other; whether the bodies fit is for the tool under test to say.

mod cabinet;
mod items;
mod place;

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

/// Speakers: pattern, frame, bolt circle.
const SPEAKERS: [(&str, f64); 5] = [
    ("8 in ceramic", 206.0),
    ("10 in ceramic", 259.0),
    ("12 in ceramic", 309.0),
    ("12 in alnico", 309.0),
    ("12 in light", 306.0),
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
        // a tall baffle that leans forward would leave the cabinet
        let tilt = if tilt < 0.0 && set_back_baffle - height * 0.055 < 2.0 {
            3.0
        } else {
            tilt
        };
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
}
