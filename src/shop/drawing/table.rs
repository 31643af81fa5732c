//! The hole table: every hole's mark, purpose, place in mm and inches, size, and how its place is found.

use super::{MARGIN, STRIP};
use crate::font;
use crate::shop::plan::{Hole, Plan};
use crate::shop::sheet::{Anchor, Label, Pen, Sheet};
use crate::units;
use glam::DVec2;

const ROW: f64 = 4.5;
/// Room of the line that names the datum, and of the heads of the columns.
const HEAD: f64 = 12.5;

/// Columns: heading and share of the width.
const COLUMNS: [(&str, f64); 8] = [
    ("mark", 0.045),
    ("hole and purpose", 0.25),
    ("x mm", 0.06),
    ("y mm", 0.06),
    ("x in", 0.12),
    ("y in", 0.12),
    ("finished size, mm", 0.16),
    ("how its place is found", 0.185),
];

/// Em of the letters on a sheet of that width: small ones on a sheet held upright.
fn em(width: f64) -> f64 {
    (width / 97.0).clamp(2.4, 3.2)
}

/// Height of a table of `rows` holes, mm.
pub(super) fn height(rows: usize) -> f64 {
    HEAD + ROW * rows as f64 + 1.5
}

/// The table at the foot of a view, its upper edge at `top`.
pub(super) fn under(sheet: &mut Sheet, p: &Plan, top: f64) {
    let holes: Vec<&Hole> = p.holes.iter().collect();
    draw(sheet, p, &holes, top);
}

/// The table on sheets of its own.
pub(super) fn sheets(size: DVec2, p: &Plan) -> Vec<Sheet> {
    let top = size.y - MARGIN - 1.5;
    let room = top - (MARGIN + STRIP);
    let per = ((room - height(0)) / ROW).floor().max(1.0) as usize;
    let holes: Vec<&Hole> = p.holes.iter().collect();
    holes
        .chunks(per)
        .map(|holes| {
            let mut sheet = Sheet::new(size);
            draw(&mut sheet, p, holes, top);
            sheet
        })
        .collect()
}

fn draw(sheet: &mut Sheet, p: &Plan, holes: &[&Hole], top: f64) {
    let (left, wide) = (MARGIN, sheet.size.x - 2.0 * MARGIN);
    let em = em(wide);
    let at = DVec2::new(left + 1.2, top - 4.8);
    let head = format!("{}: x and y from the datum, {}", p.title, p.datum);
    let head = Label::new(at, em, Anchor::Start, head).bold();
    sheet.text(head.fitted(wide - 3.0, &[3.6, 3.2, em]));
    let first = top - HEAD;
    let mut put = |k: usize, y: f64, bold: bool, text: &str| {
        let x = left + wide * COLUMNS[..k].iter().map(|c| c.1).sum::<f64>();
        let most = (wide * COLUMNS[k].1 - 2.0) / em;
        let text = font::shortened(bold, text, most);
        let label = Label::new(DVec2::new(x + 1.2, y), em, Anchor::Start, text);
        sheet.text(if bold { label.bold() } else { label });
    };
    for (k, (heading, _)) in COLUMNS.iter().enumerate() {
        put(k, first + 1.3, true, heading);
    }
    for (j, h) in holes.iter().enumerate() {
        let y = first - ROW * (j + 1) as f64 + 1.3;
        let r = &h.row;
        let cells = [
            r.tag.clone(),
            format!("{}: {}", r.id, r.purpose),
            format!("{:.2}", r.at.x),
            format!("{:.2}", r.at.y),
            units::inch_64_corrected(r.at.x),
            units::inch_64_corrected(r.at.y),
            r.size().replace("countersunk", "csk"),
            r.placed.words(),
        ];
        for (k, cell) in cells.iter().enumerate() {
            put(k, y, k == 0, cell);
        }
    }
    for j in 0..=holes.len() {
        let y = first - ROW * j as f64;
        sheet.line(DVec2::new(left, y), DVec2::new(left + wide, y), Pen::Thin);
    }
}
