//! Sockets as one solders them: seen on the wiring side, turned as they stand in the plate, with pin numbers and key.

use super::{MARGIN, STRIP};
use crate::font;
use crate::shop::plan::Plan;
use crate::shop::sheet::{Anchor, Ink, Label, Pen, Sheet};
use glam::DVec2;

/// Room of a socket at twice its size.
const CELL: DVec2 = DVec2::new(62.0, 68.0);

pub(super) fn sheets(size: DVec2, p: &Plan) -> Vec<Sheet> {
    let low = DVec2::new(MARGIN, MARGIN + STRIP);
    let room = size - DVec2::new(2.0 * MARGIN, 2.0 * MARGIN + STRIP + 10.0);
    let columns = (room.x / CELL.x).floor().max(1.0) as usize;
    let rows = (room.y / CELL.y).floor().max(1.0) as usize;
    // read like the plate: from the left as seen on this face
    let mut sockets: Vec<_> = p.sockets.iter().collect();
    sockets.sort_by(|a, b| a.at.x.total_cmp(&b.at.x).then(b.at.y.total_cmp(&a.at.y)));
    sockets
        .chunks(columns * rows)
        .map(|sockets| {
            let mut sheet = Sheet::new(size);
            let head = "Sockets from left to right as they stand in the plate, seen from the wiring side, twice full size. The arrow points to the gap or key.";
            let at = DVec2::new(MARGIN + 3.0, size.y - MARGIN - 6.0);
            let head = Label::new(at, 3.2, Anchor::Start, head);
            sheet.text(head.fitted(room.x - 6.0, &[3.4, 3.0, 2.8]));
            for (k, s) in sockets.iter().enumerate() {
                let (column, row) = (k % columns, rows - 1 - k / columns);
                let c = low + CELL * DVec2::new(column as f64 + 0.5, row as f64 + 0.55);
                sheet.ink.push(Ink::Circle(c, s.hole, Pen::Thin));
                let (tip, tail) = (c + s.key * (s.hole - 0.5), c + s.key * (s.hole * 0.55));
                sheet.line(tail, tip, Pen::Thick);
                for turn in [150.0_f64, -150.0] {
                    let barb = DVec2::from_angle(turn.to_radians()).rotate(s.key);
                    sheet.line(tip, tip + barb * 2.5, Pen::Thick);
                }
                for (number, pin) in &s.pins {
                    sheet.ink.push(Ink::Circle(c + 2.0 * *pin, 1.2, Pen::Thick));
                    // just outside the pins, inside the hole
                    let out = c + 2.0 * *pin + pin.normalize_or_zero() * 4.2;
                    let at = out - DVec2::Y * (3.6 * font::CAPITAL / 2.0);
                    sheet.text(Label::new(at, 3.6, Anchor::Middle, number.to_string()).bold());
                }
                let at = c - DVec2::Y * (s.hole + 5.0);
                let name = format!("{}, {} at the arrow", s.name, s.mark);
                let name = Label::new(at, 3.6, Anchor::Middle, name);
                sheet.text(name.bold().fitted(CELL.x - 2.0, &[3.6, 3.0, 2.6]));
            }
            sheet
        })
        .collect()
}
