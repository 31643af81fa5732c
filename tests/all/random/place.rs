//! Places on plate and panels.

use super::items::Item;
use super::{Foot, Maker, Wish};
use std::fmt::Write as _;

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

impl Maker {
    /// Finds room for an item and writes it; an item without room is left out.
    pub(super) fn place(&mut self, item: Item) {
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

    pub(super) fn write_row(&mut self, item: &Item, at: [f64; 2]) {
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
    pub(super) fn tie(&mut self, [x, y]: [f64; 2]) -> String {
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
    pub(super) fn across(&mut self, x: f64, run: f64, mirrored: bool) -> String {
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

    pub(super) fn file_unit(&self, mm: f64) -> f64 {
        if self.inch { mm / 25.4 } else { mm }
    }

    /// A panel's controls from one end to the other, as many as there is room for.
    pub(super) fn controls(&mut self, panel: &str, length: f64, wall: f64, both: bool) {
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
        if tight {
            x += 6.0;
        }
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

    pub(super) fn plate_controls(&mut self) {
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
