//! Loose pieces of paper at full size: tubes, transformers, cans and boards seen on their face of the plate, to cut out and push around on
//! the bare plate before a hole is drilled. The outlines are those of the solids, the holes those of the plate.

use super::marks::Field;
use super::paper::{self, paper};
use super::sheet::{Anchor, Ink, Label, Pen, Sheet};
use super::tile::{self, FOOT, Figure, MARGIN};
use crate::assembly::{Assembly, Kind};
use crate::catalogue::{self, BaseRow};
use crate::design::Design;
use crate::mesh::Mesh;
use crate::outline::{Arc, Loop, Node};
use crate::pose::Pose;
use glam::{DVec2, DVec3};

/// Room between two pieces for the scissors, mm.
const GAP: f64 = 6.0;
/// From a part's outline to the line that is cut along.
const EDGE: f64 = 0.5;
/// Half the cross at a piece's middle.
const CROSS: f64 = 4.0;
/// Em of the line under a piece.
const UNDER: f64 = 2.8;
/// Width of a long sheet of pieces, mm: any print shop's roll takes it.
const LONG: f64 = 420.0;

/// A loose piece in its own place: its middle at the origin, as it stands at `turn = 0`, seen on its face of the plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// The item's id.
    pub id: String,
    /// Its type and how far it stands out, in words.
    pub words: String,
    /// What its arrow points to.
    pub arrow: &'static str,
    /// How far out the arrow's tip is.
    pub tip: f64,
    /// Outlines of its solids, and whether they are on the other side of the plate.
    pub outlines: Vec<(Loop, bool)>,
    /// Its holes in the plate.
    pub holes: Vec<Loop>,
    /// The box of it all: the edge to cut along.
    pub area: [DVec2; 2],
}

/// What becomes a piece.
struct Item<'d> {
    id: &'d str,
    words: String,
    arrow: &'static str,
    tip: Option<f64>,
    pose: Pose,
}

fn items(design: &Design) -> Vec<Item<'_>> {
    // at turn 0 the arrow of a part points along +y of its face's frame
    let to = |component: bool| match design.plate {
        Some(p) if p.up == component => "rear of the amp at turn = 0",
        _ => "front of the amp at turn = 0",
    };
    let tubes = design.tubes.iter().map(|t| {
        let key = catalogue::find::<BaseRow>(&t.socket.base).is_some_and(|b| b.mark == "key");
        Item {
            id: &t.id,
            words: format!("{}, {:.0} tall", t.type_id, t.socket_top + t.seated),
            arrow: if key { "key" } else { "gap" },
            tip: Some(t.socket.hole / 2.0),
            pose: t.pose,
        }
    });
    let irons = design.irons.iter().map(|t| Item {
        id: &t.id,
        words: format!("{} transformer, {:.1} kg", t.role.word(), t.mass)
            .replace("choke transformer", "choke"),
        arrow: to(t.component),
        tip: None,
        pose: t.pose,
    });
    let cans = design.cans.iter().map(|c| Item {
        id: &c.id,
        words: format!("can {:.0} x {:.0}", c.diameter, c.height),
        arrow: to(c.component),
        tip: None,
        pose: c.pose,
    });
    let boards = design.boards.iter().map(|b| Item {
        id: &b.id,
        words: "board".into(),
        arrow: to(b.component),
        tip: None,
        pose: b.pose,
    });
    tubes.chain(irons).chain(cans).chain(boards).collect()
}

/// A loop through a map that keeps lengths; counter-clockwise again.
fn mapped(l: &Loop, at: &dyn Fn(DVec2) -> DVec2) -> Loop {
    let flips = (at(DVec2::X) - at(DVec2::ZERO)).perp_dot(at(DVec2::Y) - at(DVec2::ZERO)) < 0.0;
    let out = Loop {
        nodes: l
            .nodes
            .iter()
            .map(|n| Node {
                at: at(n.at),
                arc: n.arc.map(|a| Arc {
                    centre: at(a.centre),
                    ccw: a.ccw != flips,
                }),
            })
            .collect(),
    };
    if flips { out.reversed() } else { out }
}

/// The pieces, in the order of the design.
#[must_use]
pub fn pieces(design: &Design, assembly: &Assembly, meshes: &[Mesh]) -> Vec<Piece> {
    let Some(plate) = design.flats.iter().find(|f| f.kind == Kind::Plate) else {
        return Vec::new();
    };
    let piece = |item: Item<'_>| {
        let to_item = item.pose.inverse();
        let mut outlines = Vec::new();
        for part in assembly.parts.iter().filter(|p| p.owner == item.id) {
            if matches!(
                part.kind,
                Kind::Screw | Kind::Nut | Kind::Washer | Kind::StandOff | Kind::Hardware
            ) {
                continue;
            }
            let Some(mesh) = meshes.get(part.shape) else {
                continue;
            };
            let [a, b] = bounds(mesh, &to_item.then(&part.pose));
            let (low, high) = (a.truncate(), b.truncate());
            let (middle, half) = ((low + high) / 2.0, (high - low) / 2.0);
            let radius = half.max_element();
            // a box of that size would have corners further out
            let round = (half.x - half.y).abs() < 0.05
                && mesh.points.iter().all(|p| {
                    let p = to_item.then(&part.pose).point(*p).truncate();
                    p.distance(middle) < radius * 1.01
                });
            let l = if round {
                Loop::circle(middle, radius)
            } else {
                Loop::rect(low, high)
            };
            outlines.push((l, b.z < 0.1));
        }
        let local = |p: DVec2| to_item.point(plate.pose.point(p.extend(0.0))).truncate();
        let holes: Vec<Loop> = plate
            .holes
            .iter()
            .filter(|h| h.owner == item.id)
            .map(|h| mapped(&h.edge(), &local))
            .collect();
        let cross = [DVec2::splat(-CROSS), DVec2::splat(CROSS)];
        let [a, b] = (outlines.iter().map(|o| &o.0))
            .chain(&holes)
            .map(Loop::bounds)
            .fold(cross, |[a, b], [c, d]| [a.min(c), b.max(d)]);
        Piece {
            id: item.id.to_owned(),
            words: format!("{}, {:.1} x {:.1}", item.words, b.x - a.x, b.y - a.y),
            arrow: item.arrow,
            tip: item.tip.unwrap_or(b.y).min(b.y) - 0.5,
            outlines,
            holes,
            area: [a, b],
        }
    };
    items(design).into_iter().map(piece).collect()
}

fn bounds(mesh: &Mesh, pose: &Pose) -> [DVec3; 2] {
    let points = mesh.points.iter().map(|p| pose.point(*p));
    points.fold([DVec3::INFINITY, DVec3::NEG_INFINITY], |[a, b], p| {
        [a.min(p), b.max(p)]
    })
}

/// A piece drawn in its own place: line to cut along, outlines, holes, cross, arrow, id.
fn draw(p: &Piece) -> Sheet {
    let mut sheet = Sheet::new(p.area[1] - p.area[0]);
    for (l, far) in &p.outlines {
        let pen = if *far { Pen::Dashed } else { Pen::Thick };
        sheet.ink.push(Ink::Outline(l.clone(), pen));
    }
    sheet.frame(p.area[0] - EDGE, p.area[1] + EDGE, Pen::Thin);
    let mut field = Field {
        boxes: vec![[DVec2::splat(-CROSS), DVec2::splat(CROSS)]],
        soft: p.outlines.iter().map(|o| o.0.clone()).collect(),
        inside: [p.area[0] + 0.4, p.area[1] - 0.4],
        ..Field::default()
    };
    for h in &p.holes {
        let [a, b] = h.bounds();
        let (c, arm) = ((a + b) / 2.0, ((b - a) / 2.0).max_element().min(5.0));
        sheet.ink.push(Ink::Outline(h.clone(), Pen::Thin));
        // the hole about the middle has the piece's own cross
        if c.length() > 1.0 {
            sheet.line(c - DVec2::X * arm, c + DVec2::X * arm, Pen::Thin);
            sheet.line(c - DVec2::Y * arm, c + DVec2::Y * arm, Pen::Thin);
            field.boxes.push([a, b]);
        } else {
            field.soft.push(h.clone());
        }
    }
    sheet.line(DVec2::X * -CROSS, DVec2::X * CROSS, Pen::Thick);
    sheet.line(DVec2::Y * -CROSS, DVec2::Y * CROSS, Pen::Thick);
    let (tip, tail) = (DVec2::Y * p.tip, DVec2::Y * (p.tip - 3.2).max(0.0));
    sheet.line(DVec2::Y * CROSS, tail, Pen::Thin);
    sheet.ink.push(Ink::Fill(Loop::polygon(&[
        tip,
        tail - DVec2::X * 1.4,
        tail + DVec2::X * 1.4,
    ])));
    field
        .boxes
        .push([DVec2::new(-1.6, 0.0), DVec2::new(1.6, p.tip)]);
    // as large as it goes in
    if let Some(label) = field.spot(&p.id, &[7.0, 5.0, 4.0, 3.2, 2.6]) {
        sheet.text(label);
    }
    sheet
}

/// The lines under a piece, which are cut off with the rest.
fn under(p: &Piece) -> [Label; 2] {
    let at = p.area[0] - DVec2::Y * (UNDER * 1.35);
    let line = |k: f64, text: String| {
        let at = at - DVec2::Y * (k * UNDER * 1.25);
        Label::new(at, UNDER, Anchor::Start, text)
    };
    [
        line(0.0, format!("{}: {}", p.id, p.words)).bold(),
        line(1.0, format!("arrow: {}", p.arrow)),
    ]
}

/// The box of a piece with its lines.
fn whole(p: &Piece) -> [DVec2; 2] {
    let own = [p.area[0] - EDGE, p.area[1] + EDGE];
    (under(p).iter().map(Label::area)).fold(own, |[a, b], [c, d]| [a.min(c), b.max(d)])
}

/// Page and lower left corner of a box, measured from the upper left corner of the page's room.
type Spot = (usize, DVec2);

/// The pieces by falling height on shelves from the top, left to right.
fn shelves(mut pieces: Vec<&Piece>, room: DVec2) -> (Vec<&Piece>, Vec<Spot>) {
    let size = |p: &Piece| {
        let [a, b] = whole(p);
        b - a
    };
    // a stable sort: like pieces stay in the order of the design
    pieces.sort_by(|a, b| size(b).y.total_cmp(&size(a).y));
    let mut places = Vec::new();
    let (mut page, mut x, mut top, mut deep) = (0, 0.0, 0.0, 0.0);
    for size in pieces.iter().map(|p| size(p)) {
        if x > 0.0 && x + size.x > room.x {
            (x, top, deep) = (0.0, top + deep + GAP, 0.0);
        }
        if top > 0.0 && top + size.y > room.y {
            (page, x, top, deep) = (page + 1, 0.0, 0.0, 0.0);
        }
        places.push((page, DVec2::new(x, -top - size.y)));
        x += size.x + GAP;
        deep = size.y.max(deep);
    }
    (pieces, places)
}

/// The pieces as pages, the largest first; one too large for a page is tiled by itself.
#[must_use]
pub fn pages(design: &Design, pieces: &[Piece]) -> Vec<Sheet> {
    let paper = paper(design);
    let frame = DVec2::new(2.0 * MARGIN, 2.0 * MARGIN + FOOT);
    let tall = paper::upright(paper);
    let room = tall.map_or(DVec2::new(LONG - frame.x, f64::INFINITY), |t| t - frame);
    let (fit, large): (Vec<&Piece>, Vec<&Piece>) = pieces.iter().partition(|p| {
        let [a, b] = whole(p);
        (b - a).cmple(room).all()
    });
    let (fit, places) = shelves(fit, room);
    let count = places.last().map_or(0, |p| p.0 + 1);
    let sheet_size = tall.unwrap_or_else(|| {
        let lowest = places.iter().map(|p| -p.1.y).fold(0.0, f64::max);
        paper::long(DVec2::new(LONG, lowest + frame.y))
    });
    let head = [
        "CUT-OUTS: push them around on the bare plate".to_owned(),
        "Cut along the outer lines; prick the crosses only when all is in its place.".to_owned(),
        format!(
            "{}. Print at 100 %, then check both rulers. The cross is the part's place in the file; heavy: the part; dashed: beyond the plate.",
            design.name
        ),
        "Seen on the face of the plate that the part stands on; turn counts counter-clockwise. Measure the parts in hand first.".to_owned(),
    ];
    let mut sheets: Vec<Sheet> = (0..count).map(|_| Sheet::new(sheet_size)).collect();
    for (p, (page, at)) in fit.into_iter().zip(&places) {
        let shift = DVec2::new(MARGIN, sheet_size.y - MARGIN) + *at - whole(p)[0];
        let sheet = &mut sheets[*page];
        sheet.ink.extend(draw(p).ink.iter().map(|i| i.moved(shift)));
        for l in under(p) {
            sheet.text(l.moved(shift));
        }
    }
    for (k, sheet) in sheets.iter_mut().enumerate() {
        tile::foot(sheet, &head);
        let words = format!("sheet {} of {count}", k + 1);
        let at = DVec2::new(sheet.size.x - MARGIN, MARGIN + 1.5);
        sheet.text(Label::new(at, 3.6, Anchor::End, words).bold());
    }
    for p in large {
        let area = whole(p);
        let (ink, texts) = draw(p).parted();
        let f = Figure {
            ink,
            texts,
            again: Vec::new(),
            area: [area[0] - GAP, area[1] + GAP],
            clear: p.holes.iter().map(Loop::bounds).collect(),
            head: [
                head[0].clone(),
                format!("{}: {}, arrow: {}", p.id, p.words, p.arrow),
                head[2].clone(),
                head[3].clone(),
            ],
        };
        sheets.extend(tile::tiles(&f, paper));
    }
    sheets
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::params::Paper;
    use crate::shop::sheet::meet;

    fn all(s: &crate::study::Study) -> Vec<Piece> {
        pieces(&s.design, &s.assembly, &s.meshes)
    }

    #[test]
    fn every_piece_carries_its_id_and_no_two_texts_or_pieces_meet() {
        for mut s in crate::testing::all_designs() {
            let pieces = all(&s);
            for paper in [Paper::A4, Paper::A3, Paper::Letter, Paper::Long] {
                s.design.paper = Some(paper);
                let pages = pages(&s.design, &pieces);
                for (k, sheet) in pages.iter().enumerate() {
                    assert_eq!(sheet.unreadable(), None, "{} {k}", s.design.name);
                }
                for p in &pieces {
                    let mut labels = pages.iter().flat_map(Sheet::labels);
                    assert!(labels.any(|l| l.text == p.id), "{} {}", s.design.name, p.id);
                }
            }
        }
    }

    #[test]
    fn boxes_on_shelves_stay_in_the_room_and_apart() {
        let mut seen = 0;
        for s in crate::testing::all_designs() {
            let pieces = all(&s);
            let room = DVec2::new(194.0, 241.0);
            // a piece larger than the page is tiled by itself
            let fit = pieces.iter().filter(|p| {
                let [a, b] = whole(p);
                (b - a).cmple(room).all()
            });
            let (order, places) = shelves(fit.collect(), room);
            seen += order.len();
            let boxes: Vec<(usize, [DVec2; 2])> = (order.iter().zip(&places))
                .map(|(p, (page, at))| {
                    let [a, b] = whole(p);
                    (*page, [*at, *at + b - a])
                })
                .collect();
            for (k, (page, a)) in boxes.iter().enumerate() {
                assert!(a[0].x >= 0.0 && a[1].x <= room.x && a[0].y >= -room.y && a[1].y <= 1e-9);
                let others = boxes[..k].iter().filter(|b| b.0 == *page);
                assert!(
                    others.into_iter().all(|b| !meet(a, &b.1)),
                    "{}",
                    order[k].id
                );
            }
        }
        assert!(seen > 50, "{seen} pieces");
    }

    #[test]
    fn a_piece_laid_on_its_place_has_its_holes_where_the_plate_has_them() {
        let s = crate::testing::lantern();
        let pieces = all(&s);
        let ids: Vec<&str> = pieces.iter().map(|p| p.id.as_str()).collect();
        for id in [
            "PT", "OT", "CH", "V1", "V2", "V3", "V4", "V5", "C1", "C2", "B1",
        ] {
            assert!(ids.contains(&id), "{id}");
        }
        let piece = |id: &str| pieces.iter().find(|p| p.id == id).expect("a piece");
        // four screws and a hole for its leads
        let pt = piece("PT");
        assert_eq!(pt.holes.len(), 5);
        assert!(pt.area[1].x - pt.area[0].x > 90.0);
        // turned by 90 degrees in the amp, as drawn at 0: longer across its coil's axis than along it, like the other
        let ot = piece("OT");
        let size = |p: &Piece| p.area[1] - p.area[0];
        assert_eq!(size(pt).x > size(pt).y, size(ot).x > size(ot).y);
        // the key of an octal tube is marked inside the hole of its socket
        let v4 = piece("V4");
        assert_eq!(v4.arrow, "key");
        let hole = v4.holes.iter().map(|h| h.bounds()[1].y).fold(0.0, f64::max);
        assert!(v4.tip < hole);
        // two like tubes are two like pieces, wherever they stand
        let v5 = piece("V5");
        for (a, b) in v4.holes.iter().zip(&v5.holes) {
            let ([p, q], [r, t]) = (a.bounds(), b.bounds());
            assert!(p.distance(r) < 1e-9 && q.distance(t) < 1e-9);
        }
    }
}
