//! The frame and the title block.

use super::{MARGIN, STRIP, Titled};
use crate::design::Design;
use crate::shop::sheet::{Anchor, Label, Pen};
use glam::DVec2;

pub(super) fn block(t: &mut Titled<'_>, design: &Design, number: usize, of: usize) {
    let (sheet, p) = (&mut t.sheet, t.plan);
    let (low, high) = (DVec2::splat(MARGIN), sheet.size - MARGIN);
    sheet.frame(low, high, Pen::Thick);
    let [maker, date, note] = &design.title;
    let row = STRIP / 2.0;
    let wide = high.x - low.x;
    let face = if p.marked && t.shown == p.face {
        format!("{}: mark and drill here", t.shown)
    } else {
        t.shown.clone()
    };
    let sheets = format!("{number} of {of}");
    let by = format!("{maker} {date}");
    let rows: [Vec<(f64, &str, &str)>; 2] = [
        vec![
            (0.22, "design", &design.name),
            (0.30, "part", &p.title),
            (0.37, "face shown", &face),
            (0.11, "sheet", &sheets),
        ],
        vec![
            (0.36, "material and thickness", &p.stuff),
            (0.08, "scale", t.scale),
            (0.08, "unit", "mm"),
            (0.20, "made by, date", by.trim()),
            (0.28, "note", note),
        ],
    ];
    for (k, cells) in rows.iter().enumerate() {
        let bottom = low.y + row * (1 - k) as f64;
        let top = bottom + row;
        sheet.line(DVec2::new(low.x, top), DVec2::new(high.x, top), Pen::Thick);
        let mut x = low.x;
        for (share, caption, value) in cells {
            let width = share * wide;
            if x > low.x {
                sheet.line(DVec2::new(x, bottom), DVec2::new(x, top), Pen::Thin);
            }
            let put = |rise: f64, text: &str| {
                Label::new(DVec2::new(x + 1.5, bottom + rise), 3.4, Anchor::Start, text)
            };
            sheet.text(put(row - 2.5, caption).fitted(width - 2.0, &[2.2, 1.9]));
            sheet.text(put(1.7, value).bold().fitted(width - 2.5, &[3.4, 3.0, 2.6]));
            x += width;
        }
    }
}
