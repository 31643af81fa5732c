//! A view of one face: outline, holes with centre marks and ids, datum corner, ordinates, what stands on it.

use super::ordinates;
use super::place::{BELOW, LEFT, Place};
use super::{MARGIN, STRIP};
use crate::design::HoleShape;
use crate::outline::Loop;
use crate::shop::marks::{self, Field, Wish};
use crate::shop::plan::{Hole, Plan};
use crate::shop::schedule::rout_tag;
use crate::shop::sheet::{Anchor, Ink, Label, Pen, Sheet, meet};
use glam::DVec2;

/// Room above for the head line, and at the right for the name of the edge.
const ABOVE: f64 = 15.0;
const RIGHT: f64 = 9.0;
/// Sizes of the holes' marks, the first at which all go in.
const SIZES: [f64; 3] = [3.4, 3.0, 2.5];

/// Usual scales, mm on paper for a mm of the part, and how they are called.
const SCALES: [(f64, &str); 8] = [
    (2.0, "2 : 1"),
    (1.0, "1 : 1"),
    (0.5, "1 : 2"),
    (0.4, "1 : 2.5"),
    (0.2, "1 : 5"),
    (0.1, "1 : 10"),
    (0.05, "1 : 20"),
    (0.01, "1 : 100"),
];

/// The window of a sheet for the part itself, above `reserve` mm of table.
fn window(size: DVec2, reserve: f64) -> [DVec2; 2] {
    [
        DVec2::new(MARGIN + LEFT, MARGIN + STRIP + reserve + BELOW),
        size - DVec2::new(MARGIN + RIGHT, MARGIN + ABOVE),
    ]
}

/// The largest usual scale at which the part goes in.
pub(super) fn scale(size: DVec2, p: &Plan, reserve: f64) -> (f64, &'static str) {
    let [low, high] = window(size, reserve);
    SCALES
        .into_iter()
        .find(|(s, _)| (p.size * *s).cmple(high - low).all())
        .unwrap_or(SCALES[SCALES.len() - 1])
}

/// The view, and how its scale is called.
pub(super) fn view(size: DVec2, p: &Plan, reserve: f64) -> (Sheet, &'static str) {
    let mut sheet = Sheet::new(size);
    let [low, high] = window(size, reserve);
    let (scale, word) = scale(size, p, reserve);
    let place = Place {
        origin: low + (high - low - p.size * scale) / 2.0,
        scale,
    };
    let mut field = Field {
        soft: p.ghosts.iter().map(|g| place.outline(g)).collect(),
        inside: [
            DVec2::new(MARGIN + 1.0, MARGIN + STRIP + reserve + 1.0),
            size - DVec2::new(MARGIN + 1.0, MARGIN + 7.0),
        ],
        ..Field::default()
    };
    for g in &field.soft {
        sheet.ink.push(Ink::Outline(g.clone(), Pen::Dashed));
    }
    for (a, b, _, here) in &p.pockets {
        let pen = if *here { Pen::Thick } else { Pen::Dashed };
        let l = Loop::rect(place.at(*a), place.at(*b));
        sheet.ink.push(Ink::Outline(l.clone(), pen));
        field.soft.push(l);
    }
    let outline = place.outline(&p.outline);
    field.soft.push(outline.clone());
    sheet.ink.push(Ink::Outline(outline, Pen::Thick));
    let wishes: Vec<Wish> = p
        .holes
        .iter()
        .map(|h| hole(&mut sheet, &mut field, place, h))
        .collect();
    keys(&mut sheet, &mut field, place, p);
    let bands = ordinates::draw(&mut sheet, place, p, reserve);
    edge_words(&mut sheet, place, p);
    datum_mark(&mut sheet, place, p, &field);
    field.boxes.extend(bands);
    field.boxes.extend(sheet.labels().map(Label::area));
    let found = field.settle(&wishes, &SIZES);
    let lost = found.iter().filter(|f| f.is_none()).count();
    marks::draw(&mut sheet, found);
    names(&mut sheet, &mut field, place, p);
    depths(&mut sheet, &mut field, place, p);
    let at = DVec2::new(MARGIN + 3.0, size.y - MARGIN - 4.8);
    let head = Label::new(at, 3.0, Anchor::Start, head(p, lost));
    sheet.text(head.fitted(size.x - 2.0 * MARGIN - 6.0, &[3.2, 2.9, 2.5, 2.1]));
    (sheet, word)
}

/// What one has to know to read the view.
fn head(p: &Plan, lost: usize) -> String {
    let mut out = String::new();
    if lost > 0 {
        out.push_str(&format!(
            "{lost} marks have no room at this scale: find those holes by x and y in the hole table. "
        ));
    }
    let mut radii: Vec<f64> = Vec::new();
    for s in p.outline.segs().filter(|s| s.arc.is_some()) {
        if !radii.iter().any(|r| (r - s.radius()).abs() < 0.01) {
            radii.push(s.radius());
        }
    }
    out.push_str("Ordinates in mm from the datum corner. ");
    if !radii.is_empty() {
        let radii: Vec<String> = radii.iter().map(|r| format!("R {r:.1}")).collect();
        out.push_str(&format!("Corners {}. ", radii.join(", ")));
    }
    if !p.ghosts.is_empty() {
        out.push_str("Dashed: parts on this face. ");
    }
    if p.holes.iter().any(|h| !h.opens_here) || p.pockets.iter().any(|k| !k.3) {
        out.push_str("Dashed rings and lines: made from the other face. ");
    }
    let spotted = |h: &Hole| matches!(h.row.placed, crate::shop::Placed::Transferred(_));
    if p.holes.iter().any(spotted) {
        out.push_str("Holes without an ordinate are spotted through their mating part. ");
    }
    out.truncate(out.trim_end().len());
    out
}

/// Draws a hole, keeps its place free, and says what its mark wants.
fn hole(sheet: &mut Sheet, field: &mut Field, place: Place, h: &Hole) -> Wish {
    let c = place.at(h.at);
    let (reach, room) = if let Some(l) = &h.outline {
        let l = place.outline(l);
        let box_ = l.bounds();
        field.openings.push(l.clone());
        sheet.ink.push(Ink::Outline(l, Pen::Thick));
        ((box_[1] - box_[0]).max_element() / 2.0, Some(box_))
    } else {
        let (d, head) = match h.row.shape {
            HoleShape::Countersunk { d, head, .. } => (d, Some(head)),
            HoleShape::Pilot { drill, .. } => (drill, None),
            HoleShape::Round { d } => (d, None),
            HoleShape::Cut { .. } => (0.0, None),
        };
        let r = d / 2.0 * place.scale;
        let blind = matches!(h.row.shape, HoleShape::Pilot { .. }) && !h.opens_here;
        let pen = if blind { Pen::Dashed } else { Pen::Thick };
        sheet.ink.push(Ink::Circle(c, r, pen));
        if let Some(head) = head {
            let pen = if h.opens_here { Pen::Thin } else { Pen::Dashed };
            sheet
                .ink
                .push(Ink::Circle(c, head / 2.0 * place.scale, pen));
        }
        let reach = head.unwrap_or(d) / 2.0 * place.scale;
        field.rims.push((c, reach + 0.8));
        // the square in the circle
        let half = DVec2::splat(r * 0.9);
        (reach + 0.8, (r > 3.0).then_some([c - half, c + half]))
    };
    let arm = reach.clamp(1.0, 8.0) + if room.is_some() { 0.0 } else { 0.3 };
    sheet.line(c - DVec2::X * arm, c + DVec2::X * arm, Pen::Chain);
    sheet.line(c - DVec2::Y * arm, c + DVec2::Y * arm, Pen::Chain);
    Wish {
        at: c,
        reach,
        room,
        text: h.row.tag.clone(),
    }
}

/// On the wiring side a filled arrow head in each socket's hole, at its gap or key.
fn keys(sheet: &mut Sheet, field: &mut Field, place: Place, p: &Plan) {
    for s in &p.sockets {
        let r = s.hole / 2.0 * place.scale;
        let size = (r * 0.45).min(2.6);
        let tip = place.at(s.at) + s.key * (r - 0.2);
        let foot = tip - s.key * size;
        let side = s.key.perp() * size * 0.45;
        let (a, b) = (foot - side, foot + side);
        sheet.ink.push(Ink::Fill(Loop::polygon(&[tip, b, a])));
        field.boxes.push([tip.min(a).min(b), tip.max(a).max(b)]);
    }
}

/// A heavy corner and the word beside it: outside the corner, else inside or over it.
fn datum_mark(sheet: &mut Sheet, place: Place, p: &Plan, field: &Field) {
    let c = place.at(p.corner);
    for k in 0..3 {
        let o = c - p.way * (1.2 + 0.18 * f64::from(k));
        sheet.line(o, o + DVec2::X * p.way.x * 10.0, Pen::Thick);
        sheet.line(o, o + DVec2::Y * p.way.y * 10.0, Pen::Thick);
    }
    let (out, into) = if p.way.x > 0.0 {
        (Anchor::End, Anchor::Start)
    } else {
        (Anchor::Start, Anchor::End)
    };
    let top = place.at(p.size).y + 3.0;
    let spots = [
        (
            c + DVec2::new(-3.0 * p.way.x, if p.way.y > 0.0 { -5.0 } else { 3.0 }),
            out,
        ),
        (
            c + DVec2::new(3.0 * p.way.x, if p.way.y > 0.0 { 2.5 } else { -5.0 }),
            into,
        ),
        (DVec2::new(c.x + 12.0 * p.way.x, top), into),
    ];
    for (at, anchor) in spots {
        let label = Label::new(at, 3.4, anchor, "DATUM").bold();
        let area = label.area();
        let free = sheet.labels().all(|l| !meet(&l.area(), &area)) && field.free(&area);
        if free {
            sheet.text(label);
            return;
        }
    }
}

/// Names of the upper and the right edge, where the part has them.
fn edge_words(sheet: &mut Sheet, place: Place, p: &Plan) {
    let [_, upper, _, right] = &p.edges;
    let mid = p.size / 2.0;
    let top = place.at(DVec2::new(mid.x, p.size.y));
    if !upper.is_empty() {
        let at = top + DVec2::Y * 2.2;
        sheet.text(Label::new(at, 3.0, Anchor::Middle, upper.as_str()));
    }
    let end = place.at(DVec2::new(p.size.x, mid.y));
    if !right.is_empty() {
        let at = end + DVec2::X * 4.2;
        sheet.text(Label::new(at, 3.0, Anchor::Middle, right.as_str()).up());
    }
}

/// The first of the labels that stands free.
fn first_free(sheet: &mut Sheet, field: &mut Field, spots: impl IntoIterator<Item = Label>) {
    if let Some(label) = spots.into_iter().find(|l| field.free(&l.area())) {
        field.boxes.push(label.area());
        sheet.text(label);
    }
}

/// Names of the parts on this face, where they find a free place.
fn names(sheet: &mut Sheet, field: &mut Field, place: Place, p: &Plan) {
    for (at, id) in &p.names {
        let c = place.at(*at) - DVec2::Y;
        let rows = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0];
        let spots = rows.into_iter().flat_map(|k| {
            [0.0, 5.0, -5.0].map(|x| {
                let at = c + DVec2::new(x, 3.4 * k);
                Label::new(at, 3.0, Anchor::Middle, id.as_str())
            })
        });
        first_free(sheet, field, spots);
    }
}

/// The mark of each groove or rabbet on this face, and how wide and deep it is, beside it.
fn depths(sheet: &mut Sheet, field: &mut Field, place: Place, p: &Plan) {
    for (k, (a, b, depth, _)) in p.pockets.iter().enumerate().filter(|k| k.1.3) {
        let (low, high) = (place.at(*a), place.at(*b));
        let mid = (low + high) / 2.0;
        let text = format!(
            "{}: {:.1} wide, {depth:.1} deep",
            rout_tag(k),
            (*b - *a).min_element()
        );
        let level = |x: f64, y: f64, anchor: Anchor| {
            Label::new(DVec2::new(x, y), 3.0, anchor, text.as_str())
        };
        let spots = [
            level(mid.x, high.y + 1.5, Anchor::Middle),
            level(mid.x, low.y - 3.6, Anchor::Middle),
            level(high.x + 3.5, mid.y, Anchor::Middle).up(),
            level(low.x - 1.5, mid.y, Anchor::Middle).up(),
            level(high.x + 8.0, mid.y, Anchor::Start),
        ];
        first_free(sheet, field, spots);
    }
}
