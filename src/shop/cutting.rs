//! The cutting plan drawn: one picture for each piece of stock, with its parts, their sizes, and the cuts in their order.

use super::nest::SawCut;
use super::paper;
use super::sheet::{Anchor, Ink, Label, Pen, Sheet, meet};
use super::stock::{Cutting, Piece};
use crate::design::{Design, StockForm};
use crate::font;
use crate::units;
use glam::DVec2;

const MARGIN: f64 = 12.0;
/// Em of the tables' texts, mm.
const TEXT: f64 = 3.2;
/// From line to line of a table, mm.
const PITCH: f64 = 4.8;
const COLUMNS: usize = 3;
/// Lengths are drawn this high, whatever their section, so that names can be read, mm.
const BAR: f64 = 9.0;
/// The highest picture, as a share of the sheet within its margins.
const HIGHEST: f64 = 0.66;

/// The sheets of a cutting plan, on the design's paper lying on its side; none where nothing is cut.
#[must_use]
pub fn sheets(design: &Design, plan: &Cutting) -> Vec<Sheet> {
    let tall = paper::for_drawings(design);
    let mut pages = Pages {
        size: DVec2::new(tall.y, tall.x),
        sheets: Vec::new(),
        y: 0.0,
        title: format!("{}: cutting plan", design.name),
    };
    for (k, piece) in plan.pieces.iter().enumerate() {
        draw(&mut pages, plan, piece, k + 1);
    }
    if !plan.unplaced.is_empty() {
        pages.room(PITCH * 3.0);
        pages.line(0, 3.5, true, "Parts that go on no stock");
        pages.y -= PITCH + 1.0;
        for u in &plan.unplaced {
            pages.room(PITCH);
            pages.line(0, TEXT, false, &format!("{}: {}", u.id, u.needs));
            pages.y -= PITCH;
        }
    }
    pages.sheets
}

/// Paper that is filled from the top.
struct Pages {
    size: DVec2,
    sheets: Vec<Sheet>,
    /// Free below this.
    y: f64,
    title: String,
}

impl Pages {
    /// Goes on to a new sheet unless so much height is free.
    fn room(&mut self, height: f64) {
        if !self.sheets.is_empty() && self.y - height >= MARGIN {
            return;
        }
        let mut sheet = Sheet::new(self.size);
        let top = self.size.y - MARGIN;
        let number = self.sheets.len() + 1;
        let right = Label::new(
            DVec2::new(self.size.x - MARGIN, top - 4.0),
            3.2,
            Anchor::End,
            format!("sheet {number}"),
        );
        let most = (self.size.x - 2.0 * MARGIN - right.width() - 5.0) / 4.5;
        let title = font::shortened(true, &self.title, most);
        sheet.text(Label::new(DVec2::new(MARGIN, top - 4.0), 4.5, Anchor::Start, title).bold());
        sheet.text(right);
        sheet.line(
            DVec2::new(MARGIN, top - 6.5),
            DVec2::new(self.size.x - MARGIN, top - 6.5),
            Pen::Thick,
        );
        self.sheets.push(sheet);
        self.y = top - 12.0;
    }

    fn ink(&mut self) -> &mut Sheet {
        if self.sheets.is_empty() {
            self.room(0.0);
        }
        let last = self.sheets.len() - 1;
        &mut self.sheets[last]
    }

    /// A text at the left of a column, its base line at the height reached; 0 is the whole width.
    fn line(&mut self, column: usize, em: f64, bold: bool, text: &str) {
        let wide = self.size.x - 2.0 * MARGIN;
        let (x, most) = if column == 0 {
            (MARGIN, wide)
        } else {
            let width = wide / COLUMNS as f64;
            (MARGIN + width * (column - 1) as f64, width - 3.0)
        };
        let text = font::shortened(bold, text, most / em);
        let mut label = Label::new(DVec2::new(x, self.y), em, Anchor::Start, text);
        label.bold = bold;
        self.ink().text(label);
    }
}

/// Where a point of the stock falls on the paper.
#[derive(Clone, Copy)]
struct Place {
    origin: DVec2,
    scale: DVec2,
}

impl Place {
    fn at(self, p: DVec2) -> DVec2 {
        self.origin + self.scale * p
    }
}

/// Whether it is so slender that only lengths are sawn.
fn is_bar(piece: &Piece) -> bool {
    piece.size[0] > 12.0 * piece.size[1] || piece.form == StockForm::Angle
}

fn draw(pages: &mut Pages, plan: &Cutting, piece: &Piece, number: usize) {
    let [length, width, _] = piece.size;
    let wide = pages.size.x - 2.0 * MARGIN;
    let bar = is_bar(piece);
    // a round figure below what would just go on
    let high = HIGHEST * (pages.size.y - 2.0 * MARGIN);
    let fits = (wide / length).min(high / width);
    let scale = if bar {
        DVec2::new(wide / length, BAR / width)
    } else if fits < 1.0 {
        DVec2::splat(1.0 / (1.0 / fits).ceil())
    } else {
        DVec2::splat(fits.floor())
    };
    let size = DVec2::new(length, width) * scale;
    let lines = table(piece);
    let rows = lines.len().div_ceil(COLUMNS);
    // a picture stays with its title and the first lines of its table
    pages.room(11.0 + size.y + 6.0 + PITCH * rows.min(4) as f64);

    let at_hand = if piece.at_hand { "at hand" } else { "to buy" };
    let used = format!("{number}. {} ({at_hand})", piece.words());
    pages.line(0, 3.5, true, &used);
    pages.y -= 4.6;
    pages.line(0, TEXT, false, &notes(plan, piece, scale, bar));
    pages.y -= 2.6 + size.y;
    let place = Place {
        origin: DVec2::new(MARGIN, pages.y),
        scale,
    };
    picture(pages.ink(), piece, place);
    pages.y -= 6.0;

    // column by column, as one reads; a long table goes on over the page
    let mut rest = lines.as_slice();
    while !rest.is_empty() {
        pages.room(PITCH);
        let free = ((pages.y - MARGIN) / PITCH).floor().max(0.0) as usize + 1;
        let here = rest.len().div_ceil(COLUMNS).min(free);
        let top = pages.y;
        for (k, text) in rest.iter().take(here * COLUMNS).enumerate() {
            pages.y = top - PITCH * (k % here) as f64;
            pages.line(1 + k / here, TEXT, false, text);
        }
        pages.y = top - PITCH * here as f64;
        rest = &rest[(here * COLUMNS).min(rest.len())..];
    }
    pages.y -= 4.0;
}

fn notes(plan: &Cutting, piece: &Piece, scale: DVec2, bar: bool) -> String {
    let mut out = String::new();
    if bar {
        out += "Height not to scale.";
    } else if scale.x < 1.0 {
        out += &format!("Scale 1 : {:.0}.", 1.0 / scale.x);
    } else {
        out += &format!("Scale {:.0} : 1.", scale.x);
    }
    out += &format!(" The saw takes {}.", units::mm_1(plan.kerf));
    let trim = piece.trim;
    let off = units::mm_1(trim.max_element());
    if trim.min_element() > 0.0 {
        out += &format!(" First saw {off} off every edge (dashed).");
    } else if trim.x > 0.0 {
        out += &format!(" First saw {off} off each end (dashed).");
    } else if trim.y > 0.0 {
        out += &format!(" First saw {off} off both long edges (dashed).");
    }
    if piece.grain {
        out += " Grain along the length, left to right here.";
    }
    out += " Cuts are measured from the last sawn edge, in their order.";
    out
}

/// The table under a picture: parts by number, then cuts in order, then what is left.
fn table(piece: &Piece) -> Vec<String> {
    let bar = is_bar(piece);
    let size = |s: DVec2| {
        if bar {
            units::show(s.x)
        } else {
            format!(
                "{:.1} x {:.1} ({} x {})",
                s.x,
                s.y,
                units::inch_64(s.x),
                units::inch_64(s.y)
            )
        }
    };
    let mut out = Vec::new();
    for (k, p) in piece.parts.iter().enumerate() {
        out.push(format!("part {}: {}, {}", k + 1, p.id, size(p.size)));
    }
    for (k, c) in piece.cuts.iter().enumerate() {
        let way = if c.along() { "along" } else { "across" };
        out.push(format!("cut {}: {way} at {}", k + 1, units::show(c.keep)));
    }
    for [low, high] in &piece.left {
        out.push(format!("left over: {}", size(*high - *low)));
    }
    out
}

fn picture(sheet: &mut Sheet, piece: &Piece, place: Place) {
    let whole = DVec2::new(piece.size[0], piece.size[1]);
    sheet.frame(place.at(DVec2::ZERO), place.at(whole), Pen::Thick);
    if piece.trim.max_element() > 0.0 {
        sheet.frame(
            place.at(piece.trim),
            place.at(whole - piece.trim),
            Pen::Dashed,
        );
    }
    let mut taken: Vec<[DVec2; 2]> = Vec::new();
    for (k, p) in piece.parts.iter().enumerate() {
        let area = [place.at(p.low), place.at(p.low + p.size)];
        sheet.frame(area[0], area[1], Pen::Thick);
        name(
            sheet,
            &mut taken,
            area,
            k + 1,
            &p.id,
            p.size,
            piece.form == StockForm::Angle,
        );
    }
    for (k, c) in piece.cuts.iter().enumerate() {
        cut(sheet, &mut taken, place, c, k + 1);
    }
}

/// Number, name and size of a part in its rectangle, as much of it as goes in; the number always.
fn name(
    sheet: &mut Sheet,
    taken: &mut Vec<[DVec2; 2]>,
    area: [DVec2; 2],
    number: usize,
    id: &str,
    size: DVec2,
    length_only: bool,
) {
    let room = area[1] - area[0] - 1.0;
    let middle = (area[0] + area[1]) / 2.0;
    let sizes = if length_only {
        format!("{:.1}", size.x)
    } else {
        format!("{:.1} x {:.1}", size.x, size.y)
    };
    let full = format!("{number}  {id}");
    let one_line = format!("{number}  {id}  {sizes}");
    let fits = |texts: &[&str], em: f64, up: bool| {
        let wide = texts
            .iter()
            .map(|t| font::width(false, t) * em)
            .fold(0.0, f64::max);
        let high = em * (1.1 + 1.3 * (texts.len() - 1) as f64);
        let (along, across) = if up {
            (room.y, room.x)
        } else {
            (room.x, room.y)
        };
        wide <= along && high <= across
    };
    let short = number.to_string();
    let tries: [(&[&str], f64); 6] = [
        (&[&full, &sizes], 3.5),
        (&[&one_line], 3.5),
        (&[&full, &sizes], 2.6),
        (&[&one_line], 2.6),
        (&[&full], 2.4),
        (&[&short], 3.0),
    ];
    let found = tries.iter().find_map(|(texts, em)| {
        [false, true]
            .into_iter()
            .find(|up| fits(texts, *em, *up))
            .map(|up| (*texts, *em, up))
    });
    let number_only: &[&str] = &[&short];
    let (texts, em, up) = found.unwrap_or((number_only, 1.8, false));
    let step = 1.3 * em;
    for (k, text) in texts.iter().enumerate() {
        // base lines stand evenly about the middle
        let off = step * ((texts.len() - 1) as f64 / 2.0 - k as f64) - 0.36 * em;
        let at = if up {
            middle + DVec2::new(-off, 0.0)
        } else {
            middle + DVec2::new(0.0, off)
        };
        let mut label = Label::new(at, em, Anchor::Middle, *text);
        label.up = up;
        if taken.iter().any(|t| meet(t, &label.area())) {
            continue;
        }
        taken.push(label.area());
        sheet.text(label);
    }
}

/// A cut's line with its number in a ring on it, where there is room for one.
fn cut(sheet: &mut Sheet, taken: &mut Vec<[DVec2; 2]>, place: Place, c: &SawCut, number: usize) {
    let (a, b) = (place.at(c.from), place.at(c.to));
    sheet.line(a, b, Pen::Chain);
    let r = 2.0;
    if a.distance(b) < 2.0 * r {
        return;
    }
    for share in [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9] {
        let at = a.lerp(b, share);
        let ring = [at - r, at + r];
        if taken.iter().any(|t| meet(t, &ring)) {
            continue;
        }
        let text = number.to_string();
        let em = if text.len() > 2 { 1.6 } else { 2.4 };
        sheet.ink.push(Ink::Circle(at, r, Pen::Thin));
        sheet.text(Label::new(
            at - DVec2::new(0.0, 0.36 * em),
            em,
            Anchor::Middle,
            text,
        ));
        taken.push(ring);
        return;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop;

    #[test]
    fn every_piece_is_drawn_and_every_text_can_be_read() {
        for s in crate::testing::demos() {
            let plan = shop::cutting(&s.design, &shop::cut_list(&s.design, &s.report));
            let sheets = sheets(&s.design, &plan);
            for (k, sheet) in sheets.iter().enumerate() {
                assert_eq!(sheet.unreadable(), None, "sheet {k} of {}", s.design.name);
            }
            let drawn = sheets
                .iter()
                .flat_map(|s| &s.ink)
                .filter(|i| matches!(i, Ink::Outline(_, Pen::Thick)))
                .count();
            let wanted: usize = plan.pieces.iter().map(|p| p.parts.len() + 1).sum();
            assert_eq!(drawn, wanted);
            let words: Vec<&str> = sheets
                .iter()
                .flat_map(|s| s.labels())
                .map(|l| l.text.as_str())
                .collect();
            for p in plan.pieces.iter().flat_map(|p| &p.parts) {
                assert!(words.iter().any(|w| w.contains(&p.id)), "{}", p.id);
            }
        }
    }
}
