//! Full-size templates: a face of a part at 1 : 1 on the builder's paper, to be taped to the metal and pricked through.

use super::marks::{self, Field, Wish};
use super::paper::paper;
use super::plan::{Hole, Plan};
use super::schedule::{Placed, Row, rout_tag};
use super::sheet::{Anchor, Ink, Label, Pen, Sheet};
use super::tile::{self, Figure};
use crate::design::{Design, HoleShape};
use crate::font;
use crate::outline::Loop;
use glam::DVec2;

/// White round the part, mm: room for the names of the datum edges.
const PAD: f64 = 10.0;
/// Em of those names.
const EDGE: f64 = 4.8;
/// Sizes of the holes' marks, the first at which all go in.
const SIZES: [f64; 3] = [3.6, 3.2, 2.6];

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
    plans
        .iter()
        .map(|p| Template {
            part: p.part.clone(),
            title: p.title.clone(),
            marked: p.marked,
            sheets: tile::tiles(&figure(design, p), paper(design)),
        })
        .collect()
}

/// The file of a template.
#[must_use]
pub fn file_name(p: &Plan) -> String {
    let side = if p.marked { "" } else { "-mirrored" };
    format!("{}.template{side}.pdf", p.file_name())
}

/// The pages of a template, from 1, on which holes at these places show; and how many pages it has. Places are from the datum
/// corner along its edges, mm.
#[must_use]
pub fn pages_with(design: &Design, p: &Plan, places: &[DVec2]) -> (Vec<usize>, usize) {
    /// A hole's cross and mark reach about this far, mm.
    const ABOUT: f64 = 8.0;
    let seen: Vec<DVec2> = places.iter().map(|at| p.corner + p.way * *at).collect();
    tile::pages_with(&figure(design, p), paper(design), &seen, ABOUT)
}

fn is_blind(shape: &HoleShape) -> bool {
    matches!(shape, HoleShape::Pilot { .. })
}

/// What is made from the other face is marked there.
fn shown(h: &Hole) -> bool {
    h.opens_here || !is_blind(&h.row.shape)
}

/// A hole that is spotted through its mate is not pricked.
fn spotted(h: &Hole) -> bool {
    matches!(h.row.placed, Placed::Transferred(_))
}

/// Half the length of a punch mark's cross.
fn arm(row: &Row) -> f64 {
    row.diameter().unwrap_or(6.0).clamp(5.0, 12.0) / 2.0 + 2.0
}

/// Radius of all that is drawn of a round hole.
fn reach(h: &Hole) -> f64 {
    let rim = match (h.row.countersink(), h.row.diameter()) {
        (Some((head, _)), _) => head / 2.0,
        (_, d) => d.unwrap_or(0.0) / 2.0,
    };
    rim.max(if spotted(h) { 0.0 } else { arm(&h.row) })
}

fn figure(design: &Design, p: &Plan) -> Figure {
    let mut sheet = Sheet::new(p.size);
    draw(&mut sheet, p);
    let names = datum_names(p);
    let lost = hole_marks(&mut sheet, p, &names);
    let mut area = [DVec2::splat(-PAD), p.size + PAD];
    let (ink, texts) = sheet.parted();
    for l in texts.iter().chain(&names) {
        let [low, high] = l.area();
        area = [area[0].min(low - 1.0), area[1].max(high + 1.0)];
    }
    let clear = (p.holes.iter())
        .map(|h| match &h.outline {
            Some(l) => l.bounds(),
            None => [h.at - reach(h), h.at + reach(h)],
        })
        .collect();
    let face = if p.marked {
        format!("SCRIBE THIS FACE: {}", p.face)
    } else {
        format!("MIRRORED, for the {}", p.face)
    };
    let note = if lost > 0 {
        format!("{lost} marks have no room: find those holes in the drawing's table. ")
    } else {
        String::new()
    };
    Figure {
        ink,
        texts,
        again: names,
        area,
        clear,
        head: [
            face,
            datum_edges(p),
            format!(
                "{}, {}: {}. Print at 100 %, then check both rulers.",
                design.name, p.title, p.stuff
            ),
            format!(
                "{note}Prick the crosses. Dashed: spot through the mating part. Datum: {}.",
                p.datum
            ),
        ],
    }
}

/// The two datum edges by name: the level one, then the upright one.
fn edge_names(p: &Plan) -> [String; 2] {
    let pick = |k: usize, usual: &str| {
        if p.edges[k].is_empty() {
            usual.to_owned()
        } else {
            p.edges[k].clone()
        }
    };
    [
        if p.way.y > 0.0 {
            pick(0, "lower edge")
        } else {
            pick(1, "upper edge")
        },
        if p.way.x > 0.0 {
            pick(2, "left end")
        } else {
            pick(3, "right end")
        },
    ]
}

fn datum_edges(p: &Plan) -> String {
    let [level, upright] = edge_names(p);
    format!("DATUM EDGES: {level} and {upright}")
}

/// `DATUM` at its corner and the names of its two edges along them, outside the part, as often as the part is long.
fn datum_names(p: &Plan) -> Vec<Label> {
    const FIRST: f64 = 30.0;
    const AGAIN: f64 = 140.0;
    let [level, upright] = edge_names(p);
    let off = 3.2;
    // base lines that keep the letters clear of the heavy lines at the corner
    let base_y = p.corner.y
        - p.way.y * off
        - if p.way.y > 0.0 {
            font::ABOVE * EDGE
        } else {
            -font::BELOW * EDGE
        };
    let base_x = p.corner.x
        - p.way.x * off
        - if p.way.x > 0.0 {
            font::BELOW * EDGE
        } else {
            -font::ABOVE * EDGE
        };
    let anchor = |way: f64| {
        if way > 0.0 {
            Anchor::Start
        } else {
            Anchor::End
        }
    };
    let corner = DVec2::new(p.corner.x + p.way.x * 1.0, base_y);
    let mut out = vec![Label::new(corner, EDGE, anchor(p.way.x), "DATUM").bold()];
    let texts = [
        format!("DATUM EDGE: {level}"),
        format!("DATUM EDGE: {upright}"),
    ];
    for (k, text) in texts.into_iter().enumerate() {
        let mut along = FIRST;
        let wide = Label::new(DVec2::ZERO, EDGE, Anchor::Start, text.as_str()).bold();
        while along + wide.width() < p.size[k] {
            out.push(if k == 0 {
                let at = DVec2::new(p.corner.x + p.way.x * along, base_y);
                Label::new(at, EDGE, anchor(p.way.x), text.as_str()).bold()
            } else {
                let at = DVec2::new(base_x, p.corner.y + p.way.y * along);
                Label::new(at, EDGE, anchor(p.way.y), text.as_str())
                    .bold()
                    .up()
            });
            along += AGAIN;
        }
    }
    out
}

fn draw(sheet: &mut Sheet, p: &Plan) {
    sheet.ink.push(Ink::Outline(p.outline.clone(), Pen::Thick));
    for (a, b, _, here) in &p.pockets {
        let pen = if *here { Pen::Thick } else { Pen::Dashed };
        sheet.frame(*a, *b, pen);
    }
    for h in p.holes.iter().filter(|h| shown(h)) {
        let c = h.at;
        let pen = if spotted(h) { Pen::Dashed } else { Pen::Thick };
        if let Some(l) = &h.outline {
            sheet.ink.push(Ink::Outline(l.clone(), pen));
        } else if let Some(d) = h.row.diameter() {
            sheet.ink.push(Ink::Circle(c, d / 2.0, pen));
        }
        if let HoleShape::Countersunk { head, .. } = h.row.shape
            && h.opens_here
        {
            sheet.ink.push(Ink::Circle(c, head / 2.0, Pen::Thin));
        }
        if !spotted(h) {
            let arm = arm(&h.row);
            sheet.line(c - DVec2::X * arm, c + DVec2::X * arm, Pen::Thin);
            sheet.line(c - DVec2::Y * arm, c + DVec2::Y * arm, Pen::Thin);
        }
    }
    // the datum corner: three heavy lines outside the part
    for k in 1..4 {
        let o = p.corner - p.way * (0.8 * f64::from(k));
        sheet.line(o, o + DVec2::X * p.way.x * 25.0, Pen::Thick);
        sheet.line(o, o + DVec2::Y * p.way.y * 25.0, Pen::Thick);
    }
}

/// Marks of the holes; how many found no room.
fn hole_marks(sheet: &mut Sheet, p: &Plan, names: &[Label]) -> usize {
    let holes: Vec<&Hole> = p.holes.iter().filter(|h| shown(h)).collect();
    let mut field = Field {
        rims: holes
            .iter()
            .filter(|h| h.outline.is_none())
            .map(|h| (h.at, reach(h)))
            .collect(),
        boxes: names.iter().map(Label::area).collect(),
        openings: holes.iter().filter_map(|h| h.outline.clone()).collect(),
        soft: std::iter::once(p.outline.clone())
            .chain(p.pockets.iter().map(|k| Loop::rect(k.0, k.1)))
            .collect(),
        inside: [DVec2::splat(-PAD), p.size + PAD],
        ..Field::default()
    };
    // the heavy lines at the corner
    let corner = [p.corner - p.way * 2.8, p.corner + p.way * 25.0];
    for end in [
        DVec2::new(corner[1].x, p.corner.y),
        DVec2::new(p.corner.x, corner[1].y),
    ] {
        field.boxes.push([corner[0].min(end), corner[0].max(end)]);
    }
    let mut wishes: Vec<Wish> = holes
        .iter()
        .map(|h| {
            let bounds = h.outline.as_ref().map(Loop::bounds);
            let r = h.row.diameter().unwrap_or(0.0) / 2.0;
            Wish {
                at: h.at,
                reach: bounds.map_or(reach(h), |[a, b]| (b - a).max_element() / 2.0),
                // the square in the circle
                room: bounds.or((r > 6.0).then(|| {
                    let half = DVec2::splat(r * 0.8);
                    [h.at - half, h.at + half]
                })),
                text: h.row.tag.clone(),
            }
        })
        .collect();
    let pockets = p.pockets.iter().enumerate().filter(|k| k.1.3);
    wishes.extend(pockets.map(|(k, (a, b, ..))| Wish {
        at: (*a + *b) / 2.0,
        reach: (*b - *a).min_element() / 2.0,
        room: None,
        text: rout_tag(k),
    }));
    let found = field.settle(&wishes, &SIZES);
    let lost = found.iter().filter(|f| f.is_none()).count();
    marks::draw(sheet, found);
    lost
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::params::Paper;
    use crate::shop::{self, plan};

    #[test]
    fn on_every_paper_each_hole_has_its_mark_and_no_two_texts_meet() {
        for mut s in crate::testing::all_designs() {
            let plans = plan::plans(&s.design, &s.report, &shop::schedule(&s.design));
            for paper in [Paper::A4, Paper::A3, Paper::Letter, Paper::Long] {
                s.design.paper = Some(paper);
                for (t, p) in templates(&s.design, &plans).iter().zip(&plans) {
                    for (k, sheet) in t.sheets.iter().enumerate() {
                        let unreadable = sheet.unreadable();
                        assert_eq!(unreadable, None, "{} tile {}", t.title, k + 1);
                    }
                    for h in p.holes.iter().filter(|h| shown(h)) {
                        let marked = t
                            .sheets
                            .iter()
                            .flat_map(Sheet::labels)
                            .any(|l| l.text == h.row.tag);
                        assert!(marked, "{} {}", t.title, h.row.tag);
                    }
                    for k in (0..p.pockets.len()).filter(|k| p.pockets[*k].3) {
                        let mut labels = t.sheets.iter().flat_map(Sheet::labels);
                        let marked = labels.any(|l| l.text == rout_tag(k));
                        assert!(marked, "{} {}", t.title, rout_tag(k));
                    }
                    assert!(paper != Paper::Long || t.sheets.len() == 1, "{}", t.title);
                }
            }
        }
    }

    #[test]
    fn every_sheet_names_face_and_datum_in_large_letters() {
        for s in crate::testing::all_designs() {
            let plans = plan::plans(&s.design, &s.report, &shop::schedule(&s.design));
            for t in templates(&s.design, &plans) {
                for sheet in &t.sheets {
                    // capitals of 3 mm are read from a metre
                    let large: Vec<&str> = sheet
                        .labels()
                        .filter(|l| l.size * font::CAPITAL > 2.4)
                        .map(|l| l.text.as_str())
                        .collect();
                    let says = |word: &str| large.iter().any(|l| l.contains(word));
                    assert!(says(if t.marked {
                        "SCRIBE THIS FACE"
                    } else {
                        "MIRRORED"
                    }));
                    assert!(says("DATUM EDGES"), "{}", t.title);
                }
            }
        }
    }
}
