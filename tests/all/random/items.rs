//! What stands on the plate, before it has a place.

use super::{Maker, Wish};
use std::fmt::Write as _;

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

/// An item before it has a place: its tables without `at`, in the order of their offsets from the middle.
pub(super) struct Item {
    pub(super) half: [f64; 2],
    pub(super) tables: Vec<(String, [f64; 2])>,
    /// Written as a row when there are several in one line.
    pub(super) row: bool,
}

impl Item {
    pub(super) fn one(table: String, half: [f64; 2]) -> Item {
        Item {
            half,
            tables: vec![(table, [0.0; 2])],
            row: false,
        }
    }
}

impl Maker {
    /// Everything that goes on the plate, largest first.
    pub(super) fn plan(&mut self) -> Vec<Item> {
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

    pub(super) fn turn(&mut self, half: [f64; 2]) -> (f64, [f64; 2]) {
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

    pub(super) fn tube_table(&mut self, id: &str, kind: usize, extra: &str) -> String {
        let (name, _, seated, _) = TUBES[kind];
        self.tallest = self.tallest.max(seated + 8.0);
        format!("[[tube]]\nid = \"{id}\"\ntype = \"{name}\"\n{extra}")
    }

    /// One tube, or a row of two to four alike.
    pub(super) fn tubes(&mut self) -> Item {
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

    pub(super) fn iron(&mut self, k: usize) -> Item {
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

    pub(super) fn iron_of(
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

    pub(super) fn can_table(&mut self, d: f64, height: f64, extra: &str) -> String {
        self.tallest = self.tallest.max(height + 4.0);
        let id = self.id("C");
        let (d, h) = (self.mm(d), self.mm(height));
        format!("[[can]]\nid = \"{id}\"\ndiameter = {d}\nheight = {h}\n{extra}")
    }

    pub(super) fn can(&mut self) -> Item {
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

    pub(super) fn board(&mut self) -> Item {
        let half = [self.rng.within(25.0, 60.0), self.rng.within(14.0, 24.0)];
        let id = self.id("B");
        let (l, w) = (self.mm(2.0 * half[0]), self.mm(2.0 * half[1]));
        let (turn, foot) = self.turn([half[0] + 1.0, half[1] + 1.0]);
        Item::one(
            format!("[[board]]\nid = \"{id}\"\nlength = {l}\nwidth = {w}\nturn = {turn}\n"),
            foot,
        )
    }

    pub(super) fn hardware(&mut self, kind: &str) -> Item {
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
    pub(super) fn buried(&mut self) -> Item {
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
    pub(super) fn overlap(&mut self, which: usize) -> Item {
        match which % 4 {
            // two cans whose clamps share their bands
            0 => {
                let d = self.rng.pick(&[30.0, 35.0]);
                let apart = d + self.rng.within(1.7, 2.2);
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
}
