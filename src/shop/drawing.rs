//! Dimensioned drawings: a view of each face at a usual scale, ordinate dimensions from the datum, and the hole table.

use super::plan::Plan;
use super::schedule::Placed;
use super::sheet::{Anchor, Ink, Label, Pen, Sheet, meet, paper, spread};
use crate::design::{Design, HoleShape};
use crate::font;
use crate::outline::{Loop, Node};
use crate::units;
use glam::DVec2;

const MARGIN: f64 = 10.0;
/// Height of the title strip at the foot.
const STRIP: f64 = 18.0;
/// Room for the ordinates at the left and below.
const LEFT: f64 = 30.0;
const BELOW: f64 = 30.0;
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

/// The sheets of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Id of the part.
    pub part: String,
    /// Its sheets: views, then hole tables.
    pub sheets: Vec<Sheet>,
}

/// Drawings of all parts, in the order of their plans.
#[must_use]
pub fn drawings(design: &Design, plans: &[Plan]) -> Vec<Drawing> {
    let mut out: Vec<Drawing> = Vec::new();
    let mut from = 0;
    while from < plans.len() {
        let n = plans[from..]
            .iter()
            .take_while(|p| p.part == plans[from].part)
            .count();
        out.push(of_part(design, &plans[from..from + n]));
        from += n;
    }
    out
}

fn of_part(design: &Design, plans: &[Plan]) -> Drawing {
    let tall = paper(design.inch);
    let size = DVec2::new(tall.y, tall.x);
    let mut sheets: Vec<(Sheet, &Plan, String, String)> = Vec::new();
    for p in plans {
        let (sheet, scale) = view(size, p);
        sheets.push((sheet, p, p.face.clone(), scale.to_owned()));
    }
    for p in plans {
        for sheet in pins(size, p) {
            sheets.push((sheet, p, format!("{}, sockets", p.face), "2 : 1".into()));
        }
    }
    // an angle's legs have holes of their own; both faces of a plate have the same
    let tables: Vec<&Plan> = if plans.iter().any(|p| p.title != plans[0].title) {
        plans.iter().collect()
    } else {
        plans.iter().take(1).collect()
    };
    for p in tables {
        for sheet in hole_table(size, p) {
            sheets.push((sheet, p, "hole table".into(), "none".into()));
        }
    }
    let n = sheets.len();
    let sheets = sheets
        .into_iter()
        .enumerate()
        .map(|(k, (mut sheet, p, face, scale))| {
            title_block(&mut sheet, design, p, &face, &scale, k + 1, n);
            sheet
        })
        .collect();
    Drawing {
        part: plans[0].part.clone(),
        sheets,
    }
}

fn title_block(
    sheet: &mut Sheet,
    design: &Design,
    p: &Plan,
    face: &str,
    scale: &str,
    number: usize,
    of: usize,
) {
    let (w, h) = (sheet.size.x, sheet.size.y);
    let (low, high) = (DVec2::splat(MARGIN), DVec2::new(w - MARGIN, h - MARGIN));
    sheet.frame(low, high, Pen::Thick);
    let [maker, date, note] = &design.title;
    let row = STRIP / 2.0;
    let wide = high.x - low.x;
    let face = if p.marked && face == p.face {
        format!("{face}: mark and drill from this face")
    } else {
        face.to_owned()
    };
    let rows: [Vec<(f64, &str, String)>; 2] = [
        vec![
            (0.22, "design", design.name.clone()),
            (0.30, "part", p.title.clone()),
            (0.38, "face shown", face),
            (0.10, "sheet", format!("{number} of {of}")),
        ],
        vec![
            (0.36, "material and thickness", p.stuff.clone()),
            (0.08, "scale", scale.to_owned()),
            (0.08, "unit", "mm".into()),
            (
                0.20,
                "made by, date",
                [maker, date]
                    .map(String::as_str)
                    .join(" ")
                    .trim()
                    .to_owned(),
            ),
            (0.28, "note", note.clone()),
        ],
    ];
    for (k, cells) in rows.iter().enumerate() {
        let bottom = low.y + row * (1 - k) as f64;
        sheet.line(
            DVec2::new(low.x, bottom + row),
            DVec2::new(high.x, bottom + row),
            Pen::Thick,
        );
        let mut x = low.x;
        for (share, caption, value) in cells {
            let width = share * wide;
            if x > low.x {
                sheet.line(
                    DVec2::new(x, bottom),
                    DVec2::new(x, bottom + row),
                    Pen::Thin,
                );
            }
            let at = DVec2::new(x + 1.5, bottom);
            sheet.text(Label::new(
                at + DVec2::new(0.0, row - 2.4),
                2.0,
                Anchor::Start,
                *caption,
            ));
            let value = font::shortened(true, value, (width - 3.0) / 3.2);
            sheet.text(Label::new(at + DVec2::new(0.0, 1.8), 3.2, Anchor::Start, value).bold());
            x += width;
        }
    }
}

/// Where a point of the plan falls on the paper.
#[derive(Clone, Copy)]
struct Place {
    origin: DVec2,
    scale: f64,
}

impl Place {
    fn at(self, p: DVec2) -> DVec2 {
        self.origin + self.scale * p
    }

    fn outline(self, l: &Loop) -> Loop {
        Loop {
            nodes: l
                .nodes
                .iter()
                .map(|n| Node {
                    at: self.at(n.at),
                    arc: n.arc.map(|a| crate::outline::Arc {
                        centre: self.at(a.centre),
                        ..a
                    }),
                })
                .collect(),
        }
    }
}

fn view(size: DVec2, p: &Plan) -> (Sheet, &'static str) {
    let mut sheet = Sheet::new(size);
    let low = DVec2::new(MARGIN + LEFT, MARGIN + STRIP + BELOW);
    let high = size - DVec2::new(MARGIN + 12.0, MARGIN + 14.0);
    let room = high - low;
    let (scale, word) = SCALES
        .into_iter()
        .find(|(s, _)| (p.size * *s).cmple(room).all())
        .unwrap_or(SCALES[SCALES.len() - 1]);
    let slack = room - p.size * scale;
    let place = Place {
        origin: low + slack / 2.0,
        scale,
    };
    let mut taken: Vec<[DVec2; 2]> = Vec::new();

    for g in &p.ghosts {
        sheet.ink.push(Ink::Outline(place.outline(g), Pen::Dashed));
    }
    for (a, b, _, here) in &p.pockets {
        let pen = if *here { Pen::Thick } else { Pen::Dashed };
        sheet.frame(place.at(*a), place.at(*b), pen);
    }
    sheet
        .ink
        .push(Ink::Outline(place.outline(&p.outline), Pen::Thick));
    for h in &p.holes {
        let c = place.at(h.at);
        let mut reach: f64 = 1.0;
        match (&h.outline, &h.row.shape) {
            (Some(l), _) => {
                let l = place.outline(l);
                taken.push(l.bounds());
                sheet.ink.push(Ink::Outline(l, Pen::Thick));
            }
            (None, shape) => {
                let (d, head) = match shape {
                    HoleShape::Countersunk { d, head, .. } => (*d, Some(*head)),
                    HoleShape::Pilot { drill, .. } => (*drill, None),
                    HoleShape::Round { d } => (*d, None),
                    HoleShape::Cut { .. } => (0.0, None),
                };
                let r = d / 2.0 * scale;
                let blind = matches!(shape, HoleShape::Pilot { .. }) && !h.opens_here;
                let pen = if blind { Pen::Dashed } else { Pen::Thick };
                sheet.ink.push(Ink::Circle(c, r, pen));
                if let Some(head) = head {
                    let pen = if h.opens_here { Pen::Thin } else { Pen::Dashed };
                    sheet.ink.push(Ink::Circle(c, head / 2.0 * scale, pen));
                }
                reach = head.unwrap_or(d) / 2.0 * scale;
                taken.push([c - reach, c + reach]);
            }
        }
        let arm = reach + 0.8;
        sheet.line(c - DVec2::X * arm, c + DVec2::X * arm, Pen::Chain);
        sheet.line(c - DVec2::Y * arm, c + DVec2::Y * arm, Pen::Chain);
    }
    ordinates(&mut sheet, place, p);
    edge_words(&mut sheet, place, p);
    datum_mark(&mut sheet, place, p, &taken);
    taken.extend(sheet.labels().map(Label::area));
    let holes = taken.clone();
    let inside = [
        DVec2::splat(MARGIN + 1.0) + DVec2::Y * STRIP,
        size - (MARGIN + 1.0),
    ];
    let lost = tags(&mut sheet, place, p, taken, inside);
    names(&mut sheet, place, p, &holes);
    depths(&mut sheet, place, p, &holes);
    let head = if lost > 0 {
        format!(
            "{lost} marks do not go in at this scale: find those holes by x and y in the hole table"
        )
    } else {
        "Ordinates in mm from the datum corner. Marks as in the hole table. Dashed: parts on this face, heads and grooves on the other. \
         Holes spotted through another part have no ordinate."
            .to_owned()
    };
    let at = DVec2::new(MARGIN + 3.0, size.y - MARGIN - 4.5);
    let text = font::shortened(false, &head, (size.x - 2.0 * MARGIN - 6.0) / 2.8);
    sheet.text(Label::new(at, 2.8, Anchor::Start, text));
    (sheet, word)
}

/// A heavy corner and the word beside it: outside the corner, else inside or over it.
fn datum_mark(sheet: &mut Sheet, place: Place, p: &Plan, taken: &[[DVec2; 2]]) {
    let c = place.at(p.corner);
    for k in 0..3 {
        let o = c - p.way * (1.2 + 0.18 * f64::from(k));
        sheet.line(o, o + DVec2::X * p.way.x * 10.0, Pen::Thick);
        sheet.line(o, o + DVec2::Y * p.way.y * 10.0, Pen::Thick);
    }
    let out = if p.way.x > 0.0 {
        Anchor::End
    } else {
        Anchor::Start
    };
    let into = if p.way.x > 0.0 {
        Anchor::Start
    } else {
        Anchor::End
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
        let label = Label::new(at, 3.2, anchor, "DATUM").bold();
        let area = label.area();
        let free = sheet.labels().all(|l| !meet(&l.area(), &area))
            && taken.iter().all(|t| !meet(t, &area))
            && area[0].x > MARGIN
            && area[1].x < sheet.size.x - MARGIN;
        if free {
            sheet.text(label);
            return;
        }
    }
}

/// Names of the parts on this face, where they find a free place.
fn names(sheet: &mut Sheet, place: Place, p: &Plan, taken: &[[DVec2; 2]]) {
    for (at, id) in &p.names {
        let c = place.at(*at) - DVec2::Y;
        for k in [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0] {
            let label = Label::new(c + DVec2::Y * (3.4 * k), 2.8, Anchor::Middle, id.as_str());
            let area = label.area();
            if sheet.labels().all(|l| !meet(&l.area(), &area))
                && taken.iter().all(|t| !meet(t, &area))
            {
                sheet.text(label);
                break;
            }
        }
    }
}

/// How deep each groove or rabbet on this face is, beside it where there is room.
fn depths(sheet: &mut Sheet, place: Place, p: &Plan, taken: &[[DVec2; 2]]) {
    for (a, b, depth, _) in p.pockets.iter().filter(|k| k.3) {
        let (low, high) = (place.at(*a), place.at(*b));
        let size = *b - *a;
        let text = format!("{:.1} wide, {depth:.1} deep", size.min_element());
        let mid = (low + high) / 2.0;
        let spots = [
            Label::new(
                DVec2::new(mid.x, high.y + 1.5),
                2.8,
                Anchor::Middle,
                text.as_str(),
            ),
            Label::new(
                DVec2::new(mid.x, low.y - 3.5),
                2.8,
                Anchor::Middle,
                text.as_str(),
            ),
            Label::new(
                DVec2::new(high.x + 3.5, mid.y),
                2.8,
                Anchor::Middle,
                text.as_str(),
            )
            .up(),
            Label::new(
                DVec2::new(high.x + 8.0, mid.y),
                2.8,
                Anchor::Start,
                text.as_str(),
            ),
        ];
        let free = |l: &Label| {
            let area = l.area();
            area[1].x < sheet.size.x - MARGIN
                && sheet.labels().all(|o| !meet(&o.area(), &area))
                && taken.iter().all(|t| !meet(t, &area))
        };
        if let Some(label) = spots.into_iter().find(free) {
            sheet.text(label);
        }
    }
}

/// The sockets at twice their size as they stand in the plate, seen where one solders, with pin numbers.
fn pins(size: DVec2, p: &Plan) -> Vec<Sheet> {
    const CELL: DVec2 = DVec2::new(62.0, 68.0);
    let low = DVec2::new(MARGIN, MARGIN + STRIP);
    let room = size - DVec2::new(2.0 * MARGIN, 2.0 * MARGIN + STRIP + 10.0);
    let columns = (room.x / CELL.x).floor().max(1.0) as usize;
    let rows = (room.y / CELL.y).floor().max(1.0) as usize;
    p.sockets
        .chunks(columns * rows)
        .map(|sockets| {
            let mut sheet = Sheet::new(size);
            let head = "Sockets as they stand in the plate, seen from the wiring side, twice full size. The arrow points to the gap or key.";
            let at = DVec2::new(MARGIN + 3.0, size.y - MARGIN - 6.0);
            sheet.text(Label::new(at, 3.2, Anchor::Start, head));
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
                let name = font::shortened(true, &s.name, CELL.x / 3.6);
                sheet.text(Label::new(at, 3.6, Anchor::Middle, name).bold());
            }
            sheet
        })
        .collect()
}

fn edge_words(sheet: &mut Sheet, place: Place, p: &Plan) {
    let [_, upper, _, right] = &p.edges;
    let mid = p.size / 2.0;
    let top = place.at(DVec2::new(mid.x, p.size.y));
    if !upper.is_empty() {
        sheet.text(Label::new(
            top + DVec2::Y * 2.0,
            2.8,
            Anchor::Middle,
            upper.as_str(),
        ));
    }
    let end = place.at(DVec2::new(p.size.x, mid.y));
    if !right.is_empty() {
        sheet.text(Label::new(end + DVec2::X * 4.0, 2.8, Anchor::Middle, right.as_str()).up());
    }
}

/// Distances from the datum along the foot and the left, each once; holes that are spotted through another part have none.
fn ordinates(sheet: &mut Sheet, place: Place, p: &Plan) {
    for across in [true, false] {
        let pick = |v: DVec2| if across { v.x } else { v.y };
        let mut values: Vec<(f64, f64)> = p
            .holes
            .iter()
            .filter(|h| !matches!(h.row.placed, Placed::Transferred(_)))
            .map(|h| (pick(place.at(h.at)), pick(h.row.at)))
            .chain(
                (p.pockets.iter())
                    .filter(|(_, _, _, here)| *here)
                    .flat_map(|(a, b, _, _)| [*a, *b])
                    .map(|q| (pick(place.at(q)), pick((q - p.corner) * p.way))),
            )
            .chain([0.0, pick(p.size)].map(|v| {
                let seen = pick(p.corner) + pick(p.way) * v;
                (pick(place.at(DVec2::splat(seen))), v)
            }))
            .collect();
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
        values.dedup_by(|a, b| (a.1 - b.1).abs() < 0.05);
        let wanted: Vec<f64> = values.iter().map(|v| v.0).collect();
        let (low, high) = if across {
            (MARGIN + 16.0, sheet.size.x - MARGIN - 4.0)
        } else {
            (MARGIN + STRIP + BELOW - 6.0, sheet.size.y - MARGIN - 10.0)
        };
        let fitting = [3.2, 2.8, 2.4]
            .into_iter()
            .find_map(|em| Some((em, spread(&wanted, em * 1.1, low, high)?)));
        let edge = pick(place.origin);
        let Some((em, places)) = fitting else {
            let text = "too many ordinates for this sheet: see the hole table";
            let at = if across {
                DVec2::new(place.origin.x, edge - 10.0)
            } else {
                DVec2::new(edge - 10.0, place.origin.y)
            };
            let label = Label::new(at, 2.8, Anchor::Start, text);
            sheet.text(if across { label } else { label.up() });
            continue;
        };
        let edge = if across {
            place.origin.y
        } else {
            place.origin.x
        };
        for ((from, value), to) in values.iter().zip(places) {
            let (a, b, c, at, label_at);
            // the digits' middle stands on the line
            let half = em * font::CAPITAL / 2.0;
            if across {
                a = DVec2::new(*from, edge - 2.5);
                b = DVec2::new(*from, edge - 4.0);
                c = DVec2::new(to, edge - 9.0);
                at = DVec2::new(to, edge - 10.5);
                label_at = DVec2::new(to + half, edge - 11.5);
            } else {
                a = DVec2::new(edge - 2.5, *from);
                b = DVec2::new(edge - 4.0, *from);
                c = DVec2::new(edge - 9.0, to);
                at = DVec2::new(edge - 10.5, to);
                label_at = DVec2::new(edge - 11.5, to - half);
            }
            sheet.line(a, b, Pen::Thin);
            sheet.line(b, c, Pen::Thin);
            sheet.line(c, at, Pen::Thin);
            let text = format!("{value:.1}");
            let label = Label::new(label_at, em, Anchor::End, text);
            sheet.text(if across { label.up() } else { label });
        }
    }
}

/// A mark beside each hole, clear of everything in `taken`; returns how many found no place.
fn tags(
    sheet: &mut Sheet,
    place: Place,
    p: &Plan,
    mut taken: Vec<[DVec2; 2]>,
    inside: [DVec2; 2],
) -> usize {
    const SIZE: f64 = 2.8;
    let mut lost = 0;
    for h in &p.holes {
        let c = place.at(h.at);
        let r = match (&h.outline, h.row.countersink(), h.row.diameter()) {
            // inside the opening
            (Some(_), _, _) => 0.0,
            (None, Some((head, _)), _) => head / 2.0 * place.scale,
            (None, None, d) => d.unwrap_or(0.0) / 2.0 * place.scale,
        };
        let text = h.row.tag.clone();
        let width = font::width(true, &text) * SIZE;
        // in a large hole the mark stands inside, off the axes
        let large = r > width + 1.5;
        let place_at = |d: DVec2| {
            let mid = c + d - DVec2::new(0.0, SIZE * font::CAPITAL / 2.0);
            Label::new(mid, SIZE, Anchor::Middle, text.clone()).bold()
        };
        let mut found = None;
        if large || h.outline.is_some() {
            let label = place_at(DVec2::new(width / 2.0 + 0.8, SIZE / 2.0 + 0.4));
            let area = label.area();
            let free = sheet.labels().all(|l| !meet(&l.area(), &area));
            if free {
                found = Some((label, 0.0));
            }
        }
        let mut ring = 0;
        while found.is_none() && ring < 24 {
            let gap = 0.5 + 1.4 * f64::from(ring);
            for k in 0..16 {
                let dir = DVec2::from_angle(f64::from(k) * std::f64::consts::TAU / 16.0 + 0.4);
                let d = dir * (r + gap) + DVec2::new(dir.x * width / 2.0, dir.y * SIZE / 2.0);
                let label = place_at(d);
                let area = label.area();
                let fits = area[0].cmpge(inside[0]).all() && area[1].cmple(inside[1]).all();
                if fits && taken.iter().all(|t| !meet(t, &area)) {
                    found = Some((label, gap));
                    break;
                }
            }
            ring += 1;
        }
        match found {
            Some((label, gap)) => {
                let area = label.area();
                if gap > 3.0 {
                    let mid = (area[0] + area[1]) / 2.0;
                    let dir = (c - mid).normalize_or_zero();
                    sheet.line(mid + dir * (width / 2.0 + 0.5), c - dir * r, Pen::Thin);
                }
                taken.push(area);
                sheet.text(label);
            }
            None => lost += 1,
        }
    }
    lost
}

/// Columns of the hole table: heading and share of the width.
const COLUMNS: [(&str, f64); 8] = [
    ("mark", 0.045),
    ("hole and purpose", 0.265),
    ("x mm", 0.06),
    ("y mm", 0.06),
    ("x in", 0.115),
    ("y in", 0.115),
    ("finished size, mm", 0.165),
    ("how its place is found", 0.175),
];

fn hole_table(size: DVec2, p: &Plan) -> Vec<Sheet> {
    const EM: f64 = 2.8;
    const ROW: f64 = 4.5;
    let top = size.y - MARGIN - 16.0;
    let bottom = MARGIN + STRIP + 2.0;
    let per = ((top - bottom) / ROW).floor().max(1.0) as usize;
    let (left, wide) = (MARGIN, size.x - 2.0 * MARGIN);
    p.holes
        .chunks(per)
        .map(|holes| {
            let mut sheet = Sheet::new(size);
            let head = format!("{}: datum {}", p.title, p.datum);
            sheet.text(
                Label::new(
                    DVec2::new(left + 3.0, size.y - MARGIN - 6.0),
                    3.6,
                    Anchor::Start,
                    font::shortened(true, &head, (wide - 6.0) / 3.6),
                )
                .bold(),
            );
            let mut put = |k: usize, y: f64, bold: bool, text: &str| {
                let x = left + wide * COLUMNS[..k].iter().map(|c| c.1).sum::<f64>();
                let most = (wide * COLUMNS[k].1 - 2.0) / EM;
                let text = font::shortened(bold, text, most);
                let label = Label::new(DVec2::new(x + 1.2, y), EM, Anchor::Start, text);
                sheet.text(if bold { label.bold() } else { label });
            };
            for (k, (heading, _)) in COLUMNS.iter().enumerate() {
                put(k, top + 1.2, true, heading);
            }
            for (j, h) in holes.iter().enumerate() {
                let y = top - ROW * (j + 1) as f64 + 1.3;
                let r = &h.row;
                let size = if r.from_face.is_empty() {
                    r.size()
                } else {
                    r.size().replace("countersunk", "csk")
                };
                let cells = [
                    r.tag.clone(),
                    format!("{}: {}", r.id, r.purpose),
                    format!("{:.2}", r.at.x),
                    format!("{:.2}", r.at.y),
                    units::inch_64_corrected(r.at.x),
                    units::inch_64_corrected(r.at.y),
                    size,
                    r.placed.words(),
                ];
                for (k, cell) in cells.iter().enumerate() {
                    put(k, y, k == 0, cell);
                }
            }
            for j in 0..=holes.len() {
                let y = top - ROW * j as f64;
                sheet.line(DVec2::new(left, y), DVec2::new(left + wide, y), Pen::Thin);
            }
            sheet
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{self, plan};

    #[test]
    fn no_two_texts_of_a_drawing_meet_and_every_hole_has_its_mark() {
        for s in shop::all_designs() {
            let plans = plan::plans(&s.design, &s.report, &shop::schedule(&s.design));
            for d in drawings(&s.design, &plans) {
                for (k, sheet) in d.sheets.iter().enumerate() {
                    assert_eq!(sheet.unreadable(), None, "{} sheet {}", d.part, k + 1);
                }
                for p in plans.iter().filter(|p| p.part == d.part) {
                    for h in &p.holes {
                        let marks = d
                            .sheets
                            .iter()
                            .flat_map(Sheet::labels)
                            .filter(|l| l.text == h.row.tag)
                            .count();
                        assert!(
                            marks >= 2,
                            "{} {} on a view and in the table",
                            d.part,
                            h.row.tag
                        );
                    }
                }
            }
        }
    }
}
