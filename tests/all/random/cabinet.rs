//! Cabinet, speaker and chassis.

use super::{Maker, Wish};
use std::fmt::Write as _;

impl Maker {
    pub(super) fn cabinet(
        &mut self,
        board: f64,
        covering: f64,
        combo: bool,
        panel: f64,
        has_panel: bool,
    ) {
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

    pub(super) fn baffle(&mut self, thickness: f64, set_back: f64, tilt: f64, front: bool) {
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

    pub(super) fn groove(&mut self, lower: f64) {
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
    pub(super) fn wood(&mut self, board: f64, furthest: f64, baffle: bool, from_rear: bool) {
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

    pub(super) fn speaker(&mut self, pattern: &str, frame: f64) {
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

    pub(super) fn chassis(&mut self, from_rear: bool, set_back: Option<f64>) {
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

    pub(super) fn angle(&mut self, leg: f64, t: f64, sheet: f64) {
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

    pub(super) fn retain(&mut self) {
        if self.rng.chance(0.6) {
            let kind = self.rng.pick(&["screw", "insert", "bracket"]);
            let _ = writeln!(self.out, "[chassis.retain]\nkind = \"{kind}\"");
        }
    }
}
