//! Story sticks: strips of paper with every height and depth of the cabinet's sides at full size, to lay against the wood instead of a rule.

use super::paper::paper;
use super::sheet::{Anchor, Ink, Label, Pen, Sheet, spread};
use super::tile::{self, Figure};
use crate::assembly::Kind;
use crate::design::{Design, Flat};
use crate::fit::Report;
use crate::font;
use crate::outline::Loop;
use crate::units;
use glam::{DVec2, DVec3};

/// Two marks closer than this are one, mm.
const ONE: f64 = 0.05;
/// Length of the ticks at the edge that lies on the wood.
const TICK: f64 = 14.0;
/// Where the texts start: the ticks bend between.
const TEXT: f64 = 24.0;
/// Em of the texts.
const EM: f64 = 3.4;
/// Longest text, mm: the strip goes across a sheet of A4 or Letter.
const LONGEST: f64 = 110.0;
/// Least distance between two texts.
const PITCH: f64 = 4.0;

/// A strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Stick {
    /// What it is, in large letters: `STORY STICK: heights, both sides`.
    pub title: String,
    /// Which end lies where.
    pub from: String,
    /// Length, mm.
    pub length: f64,
    /// Distance from its end, mm, and what is there; rising.
    pub marks: Vec<(f64, String)>,
}

/// The sticks of a design: heights and depths, for each side where they differ; none without a grooved cabinet.
#[must_use]
pub fn sticks(design: &Design, report: &Report) -> Vec<Stick> {
    let (Some(_), Some(_)) = (design.cabinet, design.plate) else {
        return Vec::new();
    };
    let sides: Vec<(&str, &Flat)> = [("left side", "side-left"), ("right side", "side-right")]
        .into_iter()
        .filter_map(|(word, id)| Some((word, design.flat(id)?)))
        .collect();
    let mut out = Vec::new();
    for make in [heights, depths] {
        let made: Vec<Stick> = sides
            .iter()
            .map(|(word, side)| make(design, report, side, word))
            .collect();
        match made.as_slice() {
            [l, r] if l.marks == r.marks => out.push(Stick {
                title: l.title.replace("left side", "both sides"),
                ..l.clone()
            }),
            _ => out.extend(made),
        }
    }
    out
}

/// One list, rising, near marks joined.
fn joined(mut marks: Vec<(f64, String)>, length: f64) -> Vec<(f64, String)> {
    marks.retain(|m| (-ONE..=length + ONE).contains(&m.0));
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<(f64, String)> = Vec::new();
    for (at, what) in marks {
        match out.last_mut() {
            Some(last) if at - last.0 < ONE => {
                if !last.1.split("; ").any(|w| w == what) {
                    last.1 = format!("{}; {what}", last.1);
                }
            }
            _ => out.push((at, what)),
        }
    }
    out
}

/// The box of a flat part in the amp frame.
fn reach(flat: &Flat) -> [DVec3; 2] {
    let [a, b] = flat.outline.bounds();
    let corners = [a, b, DVec2::new(a.x, b.y), DVec2::new(b.x, a.y)]
        .into_iter()
        .flat_map(|p| [0.0, flat.thickness].map(|z| flat.pose.point(p.extend(z))));
    corners.fold([DVec3::INFINITY, DVec3::NEG_INFINITY], |[low, high], p| {
        [low.min(p), high.max(p)]
    })
}

fn panels(design: &Design) -> impl Iterator<Item = (&str, [DVec3; 2])> {
    design
        .flats
        .iter()
        .filter(|f| f.kind == Kind::Panel && !f.id.ends_with("-overlay"))
        .map(|f| (f.id.as_str(), reach(f)))
}

/// The block that holds the plate at this side, if it has one.
fn block(design: &Design, side: &Flat) -> Option<[DVec3; 2]> {
    let id = format!("retain-{}-block", side.id.strip_prefix("side-")?);
    design.flat(&id).map(reach)
}

fn heights(design: &Design, report: &Report, side: &Flat, word: &str) -> Stick {
    let [low, high] = reach(side);
    let mut marks = vec![
        (low.z, "lower end of the side".to_owned()),
        (0.0, "floor, upper face".to_owned()),
        (high.z, "upper end of the side".to_owned()),
    ];
    if let Some(c) = design.cabinet {
        marks.push((c.height, "roof, lower face".into()));
    }
    for p in &side.pockets {
        if p.id.ends_with("-groove") {
            let at = |v: f64| side.pose.point(DVec3::new(0.0, v, 0.0)).z;
            let (a, b) = (at(p.low.y), at(p.high.y));
            marks.push((a.min(b), "groove, lower face".into()));
            marks.push((a.max(b), "groove, upper face".into()));
        }
    }
    if let Some(plate) = design.plate {
        marks.push((plate.z0, "plate, lower face".into()));
        marks.push((plate.z0 + plate.thickness, "plate, upper face".into()));
    }
    for (id, [a, b]) in panels(design) {
        marks.push((a.z, format!("{id}, lower edge")));
        marks.push((b.z, format!("{id}, upper edge")));
    }
    if let Some([a, b]) = block(design, side) {
        marks.push((a.z, "retaining block, lower face".into()));
        marks.push((b.z, "retaining block, upper face".into()));
    }
    // the part that reaches furthest from the plate on each side of it
    for (group, up) in [("above", true), ("below", false)] {
        let up = up == design.plate.is_some_and(|p| p.up);
        let far = report
            .solids
            .iter()
            .filter(|s| s.group == group)
            .map(|s| (s.box_mm[usize::from(up)][2], s.id.as_str()))
            .max_by(|a, b| {
                let way = if up { 1.0 } else { -1.0 };
                (way * a.0).total_cmp(&(way * b.0)).then(b.1.cmp(a.1))
            });
        if let Some((z, id)) = far {
            let end = if up { "top" } else { "lowest point" };
            marks.push((z, format!("{id}, {end}")));
        }
    }
    let length = high.z - low.z;
    let from_low = marks.into_iter().map(|(z, what)| (z - low.z, what));
    Stick {
        title: format!("STORY STICK: heights, {word}"),
        from: "lay its 0 end on the lower end of the side".into(),
        length,
        marks: joined(from_low.collect(), length),
    }
}

fn depths(design: &Design, _report: &Report, side: &Flat, word: &str) -> Stick {
    let [low, high] = reach(side);
    let length = high.y - low.y;
    let mut marks = vec![
        (low.y, "front edge of the side".to_owned()),
        (high.y, "rear edge of the side".to_owned()),
    ];
    let mut height = 0.0;
    for p in side.pockets.iter().filter(|p| p.id.ends_with("-groove")) {
        let at = |u: f64| side.pose.point(DVec3::new(u, 0.0, 0.0)).y;
        height = side.pose.point(DVec3::new(0.0, p.low.y, 0.0)).z;
        for y in [at(p.low.x), at(p.high.x)] {
            // its other end runs out through the edge
            if y > low.y + ONE && y < high.y - ONE {
                marks.push((y, "end of the groove".into()));
            }
        }
    }
    if let Some(plate) = design.plate {
        marks.push((plate.y0, "plate, front edge".into()));
        marks.push((plate.y0 + plate.depth, "plate, rear edge".into()));
    }
    for (id, [a, b]) in panels(design) {
        marks.push((a.y, format!("{id}, front face")));
        marks.push((b.y, format!("{id}, rear face")));
    }
    if let Some([a, b]) = block(design, side) {
        marks.push((a.y, "retaining block, front end".into()));
        marks.push((b.y, "retaining block, rear end".into()));
    }
    for f in design.flats.iter().filter(|f| f.kind == Kind::Baffle) {
        let normal = f.pose.dir(DVec3::Z);
        if normal.y.abs() < 0.1 {
            continue;
        }
        let mut faces = [0.0, f.thickness].map(|z| {
            let p = f.pose.point(DVec3::new(0.0, 0.0, z));
            p.y - normal.z * (height - p.z) / normal.y
        });
        faces.sort_by(f64::total_cmp);
        for (y, face) in faces.into_iter().zip(["front", "rear"]) {
            marks.push((y, format!("{}, {face} face at the groove", f.id)));
        }
    }
    for f in design.flats.iter().filter(|f| f.kind == Kind::BackBoard) {
        let [a, b] = reach(f);
        marks.push((a.y, format!("{}, inner face", f.id)));
        marks.push((b.y, format!("{}, outer face", f.id)));
    }
    let from_front = marks.into_iter().map(|(y, what)| (y - low.y, what));
    Stick {
        title: format!("STORY STICK: depths, {word}"),
        from: "lay its 0 end on the front edge of the side".into(),
        length,
        marks: joined(from_front.collect(), length),
    }
}

/// The sticks as pages.
#[must_use]
pub fn pages(design: &Design, sticks: &[Stick]) -> Vec<Sheet> {
    sticks
        .iter()
        .flat_map(|s| tile::tiles(&figure(design, s), paper(design)))
        .collect()
}

fn figure(design: &Design, s: &Stick) -> Figure {
    // what stands at the same place has a line of its own
    let lines: Vec<(f64, &str)> = (s.marks.iter())
        .flat_map(|(at, what)| what.split("; ").map(|w| (*at, w)))
        .collect();
    let wanted: Vec<f64> = lines.iter().map(|m| m.0).collect();
    // texts of many marks are packed closer
    let places = [PITCH, PITCH * 0.7]
        .into_iter()
        .find_map(|pitch| spread(&wanted, pitch, PITCH, s.length - PITCH))
        .unwrap_or_else(|| wanted.clone());
    let mut ink = Vec::new();
    let mut texts = Vec::new();
    let mut tall: f64 = 0.0;
    for ((at, what), to) in lines.iter().zip(places) {
        let x = |v: f64, y: f64| DVec2::new(v, y);
        ink.push(Ink::Line(x(*at, 0.0), x(*at, TICK), Pen::Thick));
        ink.push(Ink::Line(x(*at, TICK), x(to, TEXT - 2.0), Pen::Thin));
        let text = format!("{at:.1}  ({})  {what}", units::inch_64(*at));
        let label = Label::new(x(to, TEXT - 1.0), EM, Anchor::Start, text)
            .bold()
            .up()
            .fitted(LONGEST, &[EM, EM * 0.85, EM * 0.75]);
        // the letters' middle stands on the line
        let label = label.moved(DVec2::X * (label.size * font::CAPITAL / 2.0));
        tall = tall.max(label.area()[1].y);
        texts.push(label);
    }
    let strip = DVec2::new(s.length, tall + 3.0);
    ink.push(Ink::Outline(Loop::rect(DVec2::ZERO, strip), Pen::Thin));
    // heavy: the edge that lies on the wood, and the end it is measured from
    for k in 0..3 {
        let off = 0.3 * f64::from(k);
        ink.push(Ink::Line(
            DVec2::new(0.0, -off),
            DVec2::new(s.length, -off),
            Pen::Thick,
        ));
        ink.push(Ink::Line(
            DVec2::new(-off, 0.0),
            DVec2::new(-off, strip.y),
            Pen::Thick,
        ));
    }
    let clear = (s.marks.iter())
        .map(|(at, _)| [DVec2::new(at - 1.0, -1.0), DVec2::new(at + 1.0, TEXT)])
        .collect();
    Figure {
        ink,
        texts,
            again: Vec::new(),
        area: [DVec2::splat(-8.0), strip + 8.0],
        clear,
        head: [
            s.title.clone(),
            format!("Cut along the heavy lines; {}.", s.from),
            format!(
                "{}. Print at 100 %, then check both rulers. Join the tiles at their crosses before you cut.",
                design.name
            ),
            "Distances in mm, in brackets the nearest 1/64 in. Prick or knife each mark that you need; the part in hand decides.".into(),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_of_the_demo_are_those_of_its_solids() {
        let s = crate::testing::lantern();
        let sticks = sticks(&s.design, &s.report);
        assert_eq!(sticks.len(), 2, "both sides are alike");
        let solid = |id: &str| {
            let solid = s.report.solids.iter().find(|s| s.id == id);
            solid.expect(id).box_mm
        };
        let (side, plate) = (solid("side-left"), solid("plate"));
        let at = |stick: &Stick, what: &str| {
            let found = stick
                .marks
                .iter()
                .find(|m| m.1.split("; ").any(|w| w == what));
            found
                .unwrap_or_else(|| panic!("{what} in {:?}", stick.marks))
                .0
        };
        let [up, back] = [&sticks[0], &sticks[1]];
        // the file says 156 above the floor for the lower face of the groove
        let floor = at(up, "floor, upper face");
        assert!((at(up, "groove, lower face") - floor - 156.0).abs() < 1e-9);
        assert!((at(up, "plate, upper face") - (plate[1][2] - side[0][2])).abs() < 1e-6);
        assert!((at(up, "upper end of the side") - up.length).abs() < 1e-9);
        assert!((at(back, "plate, rear edge") - plate[1][1]).abs() < 1e-6);
        // 19 set back, 9 thick, upright: in the file
        assert!((at(back, "baffle, front face at the groove") - 19.0).abs() < 1e-9);
        assert!((at(back, "baffle, rear face at the groove") - 28.0).abs() < 1e-9);
    }

    /// The places of the solids, and by hand: a block is 40 long and 19 high, and the plate lies on it.
    #[test]
    fn the_blocks_that_hold_the_plate_are_marked() {
        let s = crate::testing::harbour();
        let solid = |id: &str| {
            let solid = s.report.solids.iter().find(|s| s.id == id);
            solid.expect(id).box_mm
        };
        let (side, block) = (solid("side-right"), solid("retain-right-block"));
        let sticks = sticks(&s.design, &s.report);
        let at = |what: &str| {
            let marks = sticks.iter().flat_map(|s| &s.marks);
            let mut found = marks.filter(|m| m.1.split("; ").any(|w| w == what));
            found.next().expect(what).0
        };
        let [low, high] = ["lower", "upper"].map(|w| at(&format!("retaining block, {w} face")));
        assert!(
            (low - (block[0][2] - side[0][2])).abs() < 1e-6 && (high - low - 19.0).abs() < 1e-6
        );
        let [front, rear] = ["front", "rear"].map(|w| at(&format!("retaining block, {w} end")));
        assert!((front - block[0][1]).abs() < 1e-6 && (rear - front - 40.0).abs() < 1e-6);
    }

    #[test]
    fn every_mark_of_every_design_is_said_and_no_two_texts_meet() {
        for s in crate::testing::all_designs() {
            let sticks = sticks(&s.design, &s.report);
            let pages = pages(&s.design, &sticks);
            for (k, sheet) in pages.iter().enumerate() {
                assert_eq!(sheet.unreadable(), None, "{} {k}", s.design.name);
            }
            for (at, _) in sticks.iter().flat_map(|s| &s.marks) {
                let text = format!("{at:.1}  (");
                let mut labels = pages.iter().flat_map(Sheet::labels);
                assert!(labels.any(|l| l.text.starts_with(&text)), "{text}");
            }
        }
    }
}
