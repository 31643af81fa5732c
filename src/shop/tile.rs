//! Figures at full size on the builder's paper: tiles that overlap, crosses to join them by, rulers to check the print, a map of the pages.

use super::paper;
use super::sheet::{Anchor, Ink, Label, Pen, Sheet, meet};
use crate::outline::{Arc, Loop, Node};
use crate::params::Paper;
use glam::DVec2;

/// What home printers leave white, mm (common practice).
pub(super) const MARGIN: f64 = 8.0;
/// Height of the foot with names, rulers and map.
pub(super) const FOOT: f64 = 40.0;
/// Least that two neighbouring tiles share.
const OVERLAP: f64 = 14.0;
/// Narrowest sheet that the foot goes on.
const NARROWEST: f64 = 210.0;
/// Half a registration cross, and the radius of its ring.
const CROSS: [f64; 2] = [5.0, 3.2];

/// Column and row of a tile, or how many of each.
type Cell = [i32; 2];

fn real(c: Cell) -> DVec2 {
    DVec2::new(f64::from(c[0]), f64::from(c[1]))
}

/// Something to be printed at full size.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Figure {
    /// Lines, in its own place.
    pub ink: Vec<Ink>,
    /// Texts; each stands whole on at least one tile, and only where it is whole.
    pub texts: Vec<Label>,
    /// Texts that are said more than once: shown where they are whole.
    pub again: Vec<Label>,
    /// The box that is shown.
    pub area: [DVec2; 2],
    /// Boxes that registration crosses keep clear of.
    pub clear: Vec<[DVec2; 2]>,
    /// Two lines in large letters and two in small ones for the foot.
    pub head: [String; 4],
}

/// How a figure is divided.
#[derive(Clone, Debug)]
struct Tiling {
    paper: DVec2,
    window: DVec2,
    overlap: DVec2,
    count: Cell,
}

impl Tiling {
    fn new(f: &Figure, paper: Paper) -> Tiling {
        let frame = DVec2::new(2.0 * MARGIN, 2.0 * MARGIN + FOOT);
        let need = f.area[1] - f.area[0];
        // what is cut on one tile is whole on its neighbour
        let overlap = f.texts.iter().fold(DVec2::splat(OVERLAP), |most, l| {
            let [a, b] = l.area();
            most.max(b - a + 1.0)
        });
        let of = |paper: DVec2| {
            let window = paper - frame;
            let overlap = overlap.min(window / 2.0);
            let count = ((need - overlap) / (window - overlap) - 1e-9)
                .ceil()
                .max(DVec2::ONE);
            Tiling {
                paper,
                window,
                overlap,
                count: [count.x as i32, count.y as i32],
            }
        };
        let Some(tall) = paper::upright(paper) else {
            let least = DVec2::new(NARROWEST, 0.0);
            return of(paper::long((need + frame).max(least)));
        };
        let (upright, across) = (of(tall), of(DVec2::new(tall.y, tall.x)));
        if upright.count[0] * upright.count[1] <= across.count[0] * across.count[1] {
            upright
        } else {
            across
        }
    }

    fn step(&self) -> DVec2 {
        self.window - self.overlap
    }

    fn tiles(&self) -> impl Iterator<Item = Cell> + use<> {
        let [columns, rows] = self.count;
        (0..rows).flat_map(move |j| (0..columns).map(move |i| [i, j]))
    }
}

/// The figure's tiles, row by row from the lower left.
#[must_use]
pub(super) fn tiles(f: &Figure, paper: Paper) -> Vec<Sheet> {
    let t = Tiling::new(f, paper);
    let crosses = cross_places(f, &t);
    t.tiles()
        .map(|tile| {
            let from = f.area[0] + real(tile) * t.step();
            let low = DVec2::new(MARGIN, MARGIN + FOOT);
            let high = low + t.window;
            let shift = low - from;
            let mut sheet = Sheet::new(t.paper);
            sheet.ink.push(Ink::Window([low, high]));
            sheet.ink.extend(f.ink.iter().map(|i| i.moved(shift)));
            for at in &crosses {
                cross(&mut sheet, *at + shift);
            }
            sheet.ink.push(Ink::EndWindow);
            sheet.frame(low, high, Pen::Thin);
            for label in f.texts.iter().chain(&f.again) {
                let label = label.moved(shift);
                let area = label.area();
                if area[0].cmpge(low).all() && area[1].cmple(high).all() {
                    sheet.text(label);
                }
            }
            foot(&mut sheet, &f.head);
            map(&mut sheet, t.count, t.window, tile);
            sheet
        })
        .collect()
}

/// The pages, from 1, on which something within `about` mm of one of these places of the figure shows; and how many pages there are.
#[must_use]
pub(super) fn pages_with(
    f: &Figure,
    paper: Paper,
    places: &[DVec2],
    about: f64,
) -> (Vec<usize>, usize) {
    let t = Tiling::new(f, paper);
    let mut out = Vec::new();
    let mut of = 0;
    for tile in t.tiles() {
        of += 1;
        let low = f.area[0] + real(tile) * t.step();
        let high = low + t.window;
        let shows = |at: &DVec2| at.cmpge(low - about).all() && at.cmple(high + about).all();
        if places.iter().any(shows) {
            out.push(of);
        }
    }
    (out, of)
}

/// A cross in a ring with two quarters filled, so that nobody pricks it for a hole.
fn cross(sheet: &mut Sheet, c: DVec2) {
    let [arm, r] = CROSS;
    sheet.line(c - DVec2::X * arm, c + DVec2::X * arm, Pen::Thin);
    sheet.line(c - DVec2::Y * arm, c + DVec2::Y * arm, Pen::Thin);
    sheet.ink.push(Ink::Circle(c, r, Pen::Thin));
    for way in [1.0, -1.0] {
        let (a, b) = (c + DVec2::X * r * way, c + DVec2::Y * r * way);
        let line = |at| Node { at, arc: None };
        let bend = Node {
            at: a,
            arc: Some(Arc {
                centre: c,
                ccw: true,
            }),
        };
        sheet.ink.push(Ink::Fill(Loop {
            nodes: vec![line(c), bend, line(b)],
        }));
    }
}

/// Two crosses in the middle of each overlap, at the same places of the figure on both tiles, clear of holes and texts where that can be.
fn cross_places(f: &Figure, t: &Tiling) -> Vec<DVec2> {
    let (step, half) = (t.step(), t.overlap / 2.0);
    let blocked = |at: DVec2| {
        let own = [at - CROSS[0] - 1.5, at + CROSS[0] + 1.5];
        f.clear.iter().any(|b| meet(b, &own))
            || (f.texts.iter().chain(&f.again)).any(|l| meet(&l.area(), &own))
    };
    let free = |place: &dyn Fn(f64) -> DVec2, wanted: f64| {
        (0..14)
            .flat_map(|k| [1.0, -1.0].map(|way| wanted + way * 0.02 * f64::from(k)))
            .map(place)
            .find(|at| !blocked(*at))
            .unwrap_or_else(|| place(wanted))
    };
    let mut out = Vec::new();
    for tile in t.tiles() {
        let low = f.area[0] + real(tile) * step;
        let seam = low + step + half;
        for share in [0.32, 0.68] {
            if tile[0] + 1 < t.count[0] {
                let at = |s: f64| DVec2::new(seam.x, low.y + s * t.window.y);
                out.push(free(&at, share));
            }
            if tile[1] + 1 < t.count[1] {
                let at = |s: f64| DVec2::new(low.x + s * t.window.x, seam.y);
                out.push(free(&at, share));
            }
        }
    }
    out
}

/// Names in large letters, and two rulers to lay a steel rule on.
pub(super) fn foot(sheet: &mut Sheet, head: &[String; 4]) {
    let width = sheet.size.x - 2.0 * MARGIN;
    let sizes: [&[f64]; 4] = [
        &[7.0, 6.0, 5.0, 4.2],
        &[5.0, 4.4, 3.8, 3.4],
        &[3.2, 2.8],
        &[2.8],
    ];
    for ((k, text), y) in head.iter().enumerate().zip([33.4, 26.6, 20.9, 16.6]) {
        let at = DVec2::new(MARGIN, MARGIN + y);
        let label = Label::new(at, 2.8, Anchor::Start, text.as_str());
        let label = if k < 2 { label.bold() } else { label };
        sheet.text(label.fitted(width, sizes[k]));
    }
    for (y, length, parts, name) in [
        (MARGIN + 8.5, 100.0, 10, "100 mm"),
        (MARGIN + 1.0, 101.6, 8, "4 in"),
    ] {
        let a = DVec2::new(MARGIN, y);
        sheet.line(a, a + DVec2::X * length, Pen::Thin);
        for k in 0..=parts {
            let x = length * f64::from(k) / f64::from(parts);
            let tall = if k == 0 || k == parts { 4.0 } else { 2.0 };
            sheet.line(a + DVec2::X * x, a + DVec2::new(x, tall), Pen::Thin);
        }
        let at = a + DVec2::new(length + 1.5, 0.5);
        sheet.text(Label::new(at, 3.2, Anchor::Start, name));
    }
}

/// The map of the pages: this one is filled, the others are numbered where there is room.
pub(super) fn map(sheet: &mut Sheet, count: Cell, window: DVec2, tile: Cell) {
    const ROOM: DVec2 = DVec2::new(46.0, 14.0);
    let n = count[0] * count[1];
    let number = |c: Cell| c[1] * count[0] + c[0] + 1;
    let right = sheet.size.x - MARGIN;
    let words = if n == 1 {
        "one sheet".to_owned()
    } else {
        format!("tile {} of {n}", number(tile))
    };
    if n == 1 {
        let at = DVec2::new(right, MARGIN + 1.5);
        sheet.text(Label::new(at, 3.6, Anchor::End, words).bold());
        return;
    }
    let cell = window * (ROOM / (window * real(count))).min_element();
    let corner = DVec2::new(right - cell.x * f64::from(count[0]), MARGIN + 1.0);
    for j in 0..count[1] {
        for i in 0..count[0] {
            let low = corner + real([i, j]) * cell;
            sheet.frame(low, low + cell, Pen::Thin);
            if [i, j] == tile {
                sheet
                    .ink
                    .push(Ink::Fill(Loop::rect(low + 0.5, low + cell - 0.5)));
            } else if cell.min_element() > 4.4 {
                let at = low + cell / 2.0 - DVec2::Y * 1.0;
                let text = number([i, j]).to_string();
                sheet.text(Label::new(at, 2.8, Anchor::Middle, text));
            }
        }
    }
    let at = DVec2::new(corner.x - 2.0, MARGIN + 1.5);
    sheet.text(Label::new(at, 3.6, Anchor::End, words).bold());
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(size: DVec2, texts: Vec<Label>) -> Figure {
        Figure {
            ink: Vec::new(),
            texts,
            again: Vec::new(),
            area: [DVec2::splat(-8.0), size + 8.0],
            clear: Vec::new(),
            head: ["face", "datum", "part", "more"].map(String::from),
        }
    }

    #[test]
    fn neighbours_share_their_crosses() {
        let f = figure(DVec2::new(640.0, 340.0), Vec::new());
        let t = Tiling::new(&f, Paper::A4);
        // by hand: across, a window is 281 x 154 and a step 267 x 140: (656 - 14) / 267 = 2.4 and (356 - 14) / 140 = 2.4, nine tiles;
        // upright 194 x 241 and 180 x 227: 3.6 and 1.5, eight tiles
        assert_eq!(t.count, [4, 2]);
        // 3 seams across in 2 rows and 1 seam upwards in 4 columns, two crosses each
        let places = cross_places(&f, &t);
        assert_eq!(places.len(), 2 * (3 * 2 + 4));
        for at in places {
            let on = t
                .tiles()
                .filter(|tile| {
                    let low = f.area[0] + real(*tile) * t.step();
                    at.cmpgt(low).all() && at.cmplt(low + t.window).all()
                })
                .count();
            assert!(on >= 2, "{at:?} is on {on} tiles");
        }
    }

    #[test]
    fn a_text_wherever_it_stands_is_whole_on_some_tile() {
        for paper in [Paper::A4, Paper::A3, Paper::Letter, Paper::Long] {
            for k in 0..60 {
                let at = DVec2::new(9.3 * f64::from(k), 4.1 * f64::from(k));
                let text = Label::new(at, 4.8, Anchor::Start, "STANDBY AND LAMP");
                let f = figure(DVec2::new(620.0, 280.0), vec![text]);
                let sheets = tiles(&f, paper);
                let seen = sheets
                    .iter()
                    .flat_map(Sheet::labels)
                    .any(|l| l.text == "STANDBY AND LAMP");
                assert!(seen, "{paper:?} {at:?}");
            }
        }
    }

    #[test]
    fn a_long_sheet_is_one_until_no_page_is_that_long() {
        let one = tiles(&figure(DVec2::new(1800.0, 100.0), Vec::new()), Paper::Long);
        assert_eq!(one.len(), 1);
        assert_eq!(one[0].size, DVec2::new(1832.0, 172.0));
        let more = tiles(&figure(DVec2::new(6000.0, 100.0), Vec::new()), Paper::Long);
        assert_eq!(more.len(), 2);
        assert!(more.iter().all(|s| s.size.x <= 5000.0));
    }
}
