//! Full-size templates: a face of a part at 1 : 1 on tiles of the builder's paper, to be joined by their crosses and taped to the metal.

use super::plan::{Hole, Plan};
use super::schedule::{Placed, Row};
use super::sheet::{Anchor, Ink, Label, Pen, Sheet, meet, paper};
use crate::design::{Design, HoleShape};
use crate::font;
use crate::outline::{Arc, Loop, Node};
use glam::DVec2;

/// What home printers leave white, mm (common practice).
const MARGIN: f64 = 8.0;
/// Height of the foot with names, rulers and map.
const FOOT: f64 = 34.0;
/// How much two neighbouring tiles share.
const OVERLAP: f64 = 14.0;
/// White round the part.
const PAD: f64 = 8.0;

/// Column and row of a tile, or how many of each.
type Cell = [i32; 2];

fn real(c: Cell) -> DVec2 {
    DVec2::new(f64::from(c[0]), f64::from(c[1]))
}

/// The tiles of one face.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// Id of the part.
    pub part: String,
    /// What is shown.
    pub title: String,
    /// Whether it shows the marked face; the other is the same seen through.
    pub marked: bool,
    /// Its tiles, row by row from the lower left.
    pub sheets: Vec<Sheet>,
}

/// A template of every plan.
#[must_use]
pub fn templates(design: &Design, plans: &[Plan]) -> Vec<Template> {
    plans.iter().map(|p| template(design, p)).collect()
}

/// How the part is divided.
struct Tiling {
    paper: DVec2,
    window: DVec2,
    count: Cell,
}

fn tiling(design: &Design, p: &Plan) -> Tiling {
    let tall = paper(design.inch);
    let of = |paper: DVec2| {
        let window = paper - DVec2::new(2.0 * MARGIN, 2.0 * MARGIN + FOOT);
        let need = p.size + 2.0 * PAD;
        let count = ((need - OVERLAP) / (window - OVERLAP))
            .ceil()
            .max(DVec2::ONE);
        Tiling {
            paper,
            window,
            count: [count.x as i32, count.y as i32],
        }
    };
    let (upright, across) = (of(tall), of(DVec2::new(tall.y, tall.x)));
    if upright.count[0] * upright.count[1] <= across.count[0] * across.count[1] {
        upright
    } else {
        across
    }
}

/// The file of a template.
#[must_use]
pub fn file_name(p: &Plan) -> String {
    let side = if p.marked { "" } else { "-mirrored" };
    format!("{}.template{side}.pdf", p.file_name())
}

/// How many tiles a template has.
#[must_use]
pub fn tile_count(design: &Design, p: &Plan) -> usize {
    let [across, up] = tiling(design, p).count;
    (across * up).unsigned_abs() as usize
}

/// The tiles, from 1, on which a place shows with what is drawn about it; `at` is from the datum corner along its edges, mm.
#[must_use]
pub fn tiles_with(design: &Design, p: &Plan, at: DVec2) -> Vec<usize> {
    /// A hole's cross and mark reach about this far, mm.
    const ABOUT: f64 = 8.0;
    let t = tiling(design, p);
    let seen = p.corner + p.way * at;
    let mut out = Vec::new();
    for j in 0..t.count[1] {
        for i in 0..t.count[0] {
            let low = real([i, j]) * (t.window - OVERLAP) - PAD;
            let high = low + t.window;
            if seen.cmpge(low - ABOUT).all() && seen.cmple(high + ABOUT).all() {
                out.push((j * t.count[0] + i + 1).unsigned_abs() as usize);
            }
        }
    }
    out
}

fn template(design: &Design, p: &Plan) -> Template {
    let t = tiling(design, p);
    let step = t.window - OVERLAP;
    let marks = marks(p);
    let mut sheets = Vec::new();
    for j in 0..t.count[1] {
        for i in 0..t.count[0] {
            let tile = [i, j];
            // the part point at the window's lower left corner
            let from = real(tile) * step - PAD;
            let mut sheet = Sheet::new(t.paper);
            let low = DVec2::new(MARGIN, MARGIN + FOOT);
            let high = low + t.window;
            let shift = low - from;
            sheet.ink.push(Ink::Window([low, high]));
            draw(&mut sheet, p, shift);
            crosses(&mut sheet, &t, step, shift);
            sheet.ink.push(Ink::EndWindow);
            sheet.frame(low, high, Pen::Thin);
            for m in &marks {
                let label = Label {
                    at: m.at + shift,
                    ..m.clone()
                };
                let area = label.area();
                // cut marks would mislead; what is cut here is whole on the neighbour, as the overlap is wider than a mark
                if area[0].cmpge(low).all() && area[1].cmple(high).all() {
                    sheet.text(label);
                }
            }
            foot(&mut sheet, design, p, &t, tile);
            sheets.push(sheet);
        }
    }
    Template {
        part: p.part.clone(),
        title: p.title.clone(),
        marked: p.marked,
        sheets,
    }
}

pub(super) fn moved(l: &Loop, by: DVec2) -> Loop {
    Loop {
        nodes: l
            .nodes
            .iter()
            .map(|n| Node {
                at: n.at + by,
                arc: n.arc.map(|a| Arc {
                    centre: a.centre + by,
                    ..a
                }),
            })
            .collect(),
    }
}

fn is_blind(shape: &HoleShape) -> bool {
    matches!(shape, HoleShape::Pilot { .. })
}

/// Half the length of a punch mark's cross.
fn arm(row: &Row) -> f64 {
    row.diameter().unwrap_or(6.0).clamp(5.0, 12.0) / 2.0 + 2.0
}

fn draw(sheet: &mut Sheet, p: &Plan, shift: DVec2) {
    sheet
        .ink
        .push(Ink::Outline(moved(&p.outline, shift), Pen::Thick));
    for (a, b, _, here) in &p.pockets {
        let pen = if *here { Pen::Thick } else { Pen::Dashed };
        sheet.frame(*a + shift, *b + shift, pen);
    }
    for h in &p.holes {
        let c = h.at + shift;
        // what is made from the other face is marked there
        if is_blind(&h.row.shape) && !h.opens_here {
            continue;
        }
        let spotted = matches!(h.row.placed, Placed::Transferred(_));
        let pen = if spotted { Pen::Dashed } else { Pen::Thick };
        if let Some(l) = &h.outline {
            sheet.ink.push(Ink::Outline(moved(l, shift), pen));
        } else if let Some(d) = h.row.diameter() {
            sheet.ink.push(Ink::Circle(c, d / 2.0, pen));
        }
        if let HoleShape::Countersunk { head, .. } = h.row.shape
            && h.opens_here
        {
            sheet.ink.push(Ink::Circle(c, head / 2.0, Pen::Thin));
        }
        // a hole that is spotted through its mate is not pricked
        if !spotted {
            let arm = arm(&h.row);
            sheet.line(c - DVec2::X * arm, c + DVec2::X * arm, Pen::Thin);
            sheet.line(c - DVec2::Y * arm, c + DVec2::Y * arm, Pen::Thin);
        }
    }
    // the datum corner: three heavy lines outside the part
    let corner = p.corner + shift;
    for k in 1..4 {
        let o = corner - p.way * (0.8 * f64::from(k));
        sheet.line(o, o + DVec2::X * p.way.x * 25.0, Pen::Thick);
        sheet.line(o, o + DVec2::Y * p.way.y * 25.0, Pen::Thick);
    }
}

/// Marks of the holes, clear of each other and of the holes, in the plan's own place.
fn marks(p: &Plan) -> Vec<Label> {
    const SIZE: f64 = 3.2;
    let reach = |h: &Hole| match (h.row.countersink(), h.row.diameter()) {
        (Some((head, _)), _) => head / 2.0,
        (_, d) => d.unwrap_or(0.0) / 2.0,
    };
    // rims and crosses of round holes, boxes of the other openings
    let rims: Vec<(DVec2, f64)> = p
        .holes
        .iter()
        .filter(|h| h.outline.is_none())
        .map(|h| {
            let spotted = matches!(h.row.placed, Placed::Transferred(_));
            let cross = if spotted { 0.0 } else { arm(&h.row) };
            (h.at, reach(h).max(cross))
        })
        .collect();
    let mut taken: Vec<[DVec2; 2]> = p
        .holes
        .iter()
        .filter_map(|h| h.outline.as_ref())
        .map(Loop::bounds)
        .collect();
    let clear = |area: &[DVec2; 2]| {
        rims.iter()
            .all(|(c, r)| c.clamp(area[0], area[1]).distance(*c) > *r)
    };
    let word = Label::new(
        p.corner + p.way * 3.0 + DVec2::new(0.0, if p.way.y < 0.0 { -SIZE } else { 0.0 }),
        4.0,
        if p.way.x > 0.0 {
            Anchor::Start
        } else {
            Anchor::End
        },
        "DATUM",
    )
    .bold();
    taken.push(word.area());
    let mut out = vec![word];
    for h in p
        .holes
        .iter()
        .filter(|h| h.opens_here || !is_blind(&h.row.shape))
    {
        let r = reach(h);
        let text = &h.row.tag;
        let width = font::width(true, text) * SIZE;
        // in a large hole the mark stands inside, off the cross
        if r > 8.0 || h.outline.is_some() {
            let at = h.at + DVec2::new(1.5 + width / 2.0, 1.5);
            let label = Label::new(at, SIZE, Anchor::Middle, text.as_str()).bold();
            let area = label.area();
            if out.iter().all(|l| !meet(&l.area(), &area)) {
                taken.push(area);
                out.push(label);
                continue;
            }
        }
        'search: for ring in 0..24 {
            for k in 0..16 {
                let dir = DVec2::from_angle(f64::from(k) * std::f64::consts::TAU / 16.0 + 0.5);
                let gap = r + 0.8 + 1.2 * f64::from(ring);
                let mid = h.at + dir * gap + DVec2::new(dir.x * width / 2.0, dir.y * SIZE / 2.0);
                let at = mid - DVec2::Y * (SIZE * font::CAPITAL / 2.0);
                let label = Label::new(at, SIZE, Anchor::Middle, text.as_str()).bold();
                let area = label.area();
                if clear(&area) && taken.iter().all(|t| !meet(t, &area)) {
                    taken.push(area);
                    out.push(label);
                    break 'search;
                }
            }
        }
    }
    out
}

/// Crosses in the middle of each overlap, at the same place of the part on both tiles.
fn crosses(sheet: &mut Sheet, t: &Tiling, step: DVec2, shift: DVec2) {
    let mut cross = |at: DVec2| {
        let c = at + shift;
        sheet.line(c - DVec2::X * 5.0, c + DVec2::X * 5.0, Pen::Thin);
        sheet.line(c - DVec2::Y * 5.0, c + DVec2::Y * 5.0, Pen::Thin);
        sheet.ink.push(Ink::Circle(c, 2.5, Pen::Thin));
    };
    for at in cross_places(t.count, t.window, step) {
        cross(at);
    }
}

/// Where the crosses stand on the part.
fn cross_places(count: Cell, window: DVec2, step: DVec2) -> Vec<DVec2> {
    let mut out = Vec::new();
    for j in 0..count[1] {
        for i in 0..count[0] {
            let low = DVec2::new(f64::from(i), f64::from(j)) * step - PAD;
            for share in [0.2, 0.8] {
                if i + 1 < count[0] {
                    out.push(low + DVec2::new(step.x + OVERLAP / 2.0, share * window.y));
                }
                if j + 1 < count[1] {
                    out.push(low + DVec2::new(share * window.x, step.y + OVERLAP / 2.0));
                }
            }
        }
    }
    out
}

fn foot(sheet: &mut Sheet, design: &Design, p: &Plan, t: &Tiling, tile: Cell) {
    let width = sheet.size.x - 2.0 * MARGIN;
    let left = MARGIN;
    let head = if p.marked {
        format!("Tape to: {}", p.face)
    } else {
        format!("Mirrored, for the {}", p.face)
    };
    let lines = [
        (5.0, MARGIN + 28.0, head),
        (
            3.2,
            MARGIN + 22.8,
            format!(
                "{}, {}: {}. Print at 100 %, then check both rulers.",
                design.name, p.title, p.stuff
            ),
        ),
        (
            2.8,
            MARGIN + 18.6,
            format!("Dashed: spot through the mating part. Datum: {}.", p.datum),
        ),
    ];
    for (k, (size, y, text)) in lines.into_iter().enumerate() {
        let text = font::shortened(k == 0, &text, width / size);
        let label = Label::new(DVec2::new(left, y), size, Anchor::Start, text);
        sheet.text(if k == 0 { label.bold() } else { label });
    }
    // rulers: lay a steel rule on them
    for (y, length, parts, name) in [
        (MARGIN + 8.5, 100.0, 10, "100 mm"),
        (MARGIN + 1.0, 101.6, 8, "4 in"),
    ] {
        let a = DVec2::new(left, y);
        sheet.line(a, a + DVec2::X * length, Pen::Thin);
        for k in 0..=parts {
            let x = length * f64::from(k) / f64::from(parts);
            let tall = if k == 0 || k == parts { 4.0 } else { 2.0 };
            sheet.line(a + DVec2::X * x, a + DVec2::new(x, tall), Pen::Thin);
        }
        let at = a + DVec2::new(length + 1.5, 0.5);
        sheet.text(Label::new(at, 3.2, Anchor::Start, name));
    }
    // the map: this tile is filled
    let cell = DVec2::new(7.0, 5.0).min(DVec2::new(50.0, 13.0) / real(t.count));
    let corner = DVec2::new(left + width - cell.x * f64::from(t.count[0]), MARGIN + 1.0);
    for j in 0..t.count[1] {
        for i in 0..t.count[0] {
            let low = corner + DVec2::new(f64::from(i), f64::from(j)) * cell;
            sheet.frame(low, low + cell, Pen::Thin);
            if [i, j] == tile {
                let inner = Loop::rect(low + 0.6, low + cell - 0.6);
                sheet.ink.push(Ink::Fill(inner));
            }
        }
    }
    let text = format!(
        "tile {} of {}",
        tile[1] * t.count[0] + tile[0] + 1,
        t.count[0] * t.count[1]
    );
    let at = DVec2::new(corner.x - 2.0, MARGIN + 1.5);
    sheet.text(Label::new(at, 3.6, Anchor::End, text).bold());
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{self, plan};

    #[test]
    fn tiles_hold_every_hole_whole_and_no_two_texts_meet() {
        for s in shop::all_designs() {
            let plans = plan::plans(&s.design, &s.report, &shop::schedule(&s.design));
            for (t, p) in templates(&s.design, &plans).iter().zip(&plans) {
                for (k, sheet) in t.sheets.iter().enumerate() {
                    assert_eq!(sheet.unreadable(), None, "{} tile {}", t.title, k + 1);
                }
                for h in p
                    .holes
                    .iter()
                    .filter(|h| h.opens_here || !is_blind(&h.row.shape))
                {
                    let marked = t
                        .sheets
                        .iter()
                        .flat_map(Sheet::labels)
                        .any(|l| l.text == h.row.tag);
                    assert!(marked, "{} {}", t.title, h.row.tag);
                }
            }
        }
    }

    #[test]
    fn neighbours_share_their_crosses() {
        let (count, window) = ([3, 2], DVec2::new(281.0, 160.0));
        let step = window - OVERLAP;
        // by hand: 2 seams across in 2 rows and 1 seam upwards in 3 columns, two crosses each
        let places = cross_places(count, window, step);
        assert_eq!(places.len(), 2 * (2 * 2 + 3));
        for at in places {
            let on = (0..3)
                .flat_map(|i| (0..2).map(move |j| DVec2::new(f64::from(i), f64::from(j))))
                .filter(|k| {
                    let low = *k * step - PAD;
                    at.cmpgt(low).all() && at.cmplt(low + window).all()
                })
                .count();
            assert!(on >= 2, "{at:?} is on {on} tiles");
        }
    }
}
