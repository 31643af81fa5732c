//! The drill schedule: every hole of every flat part and angle, from the datum corner, with the tools in order.

use super::steps::{self, Act, Step};
use crate::assembly::Kind;
use crate::catalogue;
use crate::design::{AngleBar, Datum, Design, Face, Flat, FlatHole, HoleShape, Marked};
use glam::{DVec2, DVec3};

/// How a hole's place is found on the part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Placed {
    /// Scribed from the datum edges.
    Scribed,
    /// Spotted through the named part, which is drilled first.
    Transferred(String),
    /// Taken from the named part in hand.
    InHand(String),
}

impl Placed {
    /// In a few words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Placed::Scribed => "scribed from the datum".into(),
            Placed::Transferred(from) => format!("spotted through {from}"),
            Placed::InHand(part) => format!("taken from {part} in hand"),
        }
    }
}

/// A hole as it is made.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its mark on the drawings: a letter for its size and a number, `b3`.
    pub tag: String,
    /// Id of the hole.
    pub id: String,
    /// What it is for.
    pub purpose: String,
    /// From the datum corner along the two datum edges, mm.
    pub at: DVec2,
    /// Its centre in the part frame, mm.
    pub centre: DVec2,
    /// Its shape in the solid.
    pub shape: HoleShape,
    /// How its place is found.
    pub placed: Placed,
    /// The face a countersink or a blind hole is made from, in words; empty for a plain hole.
    pub from_face: String,
    /// What is done, in order.
    pub steps: Vec<Step>,
    /// What to buy, if nothing owned serves.
    pub buy: Vec<String>,
}

impl Row {
    /// Finished size in words, mm: `5.00`, `5.00, countersunk 9.4`, `2.80 x 15.0 deep`, `28.0 x 48.0 opening`.
    #[must_use]
    pub fn size(&self) -> String {
        match &self.shape {
            HoleShape::Round { d } => format!("{d:.2}"),
            HoleShape::Countersunk { d, head, angle, .. } => {
                format!("{d:.2}, countersunk {head:.1} at {angle:.0} deg")
            }
            HoleShape::Pilot { drill, depth, .. } => format!("{drill:.2} x {depth:.1} deep"),
            HoleShape::Cut { outline } => {
                let [low, high] = outline.bounds();
                format!("{:.1} x {:.1} opening", high.x - low.x, high.y - low.y)
            }
        }
    }

    /// Diameter of the finished hole, mm; `None` for an opening that is not round.
    #[must_use]
    pub fn diameter(&self) -> Option<f64> {
        match self.shape {
            HoleShape::Round { d } | HoleShape::Countersunk { d, .. } => Some(d),
            HoleShape::Pilot { drill, .. } => Some(drill),
            HoleShape::Cut { .. } => None,
        }
    }

    /// Diameter and depth of its countersink, mm.
    #[must_use]
    pub fn countersink(&self) -> Option<(f64, f64)> {
        let step = self.steps.iter().find(|s| s.act == Act::Countersink)?;
        Some((step.d, step.depth?))
    }
}

/// All holes of one part.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    /// Id of the part.
    pub part: String,
    /// What it is.
    pub kind: Kind,
    /// Material.
    pub material: String,
    /// Thickness, mm.
    pub thickness: f64,
    /// The datum corner, in words.
    pub datum: String,
    /// The face that is marked, in words.
    pub face: String,
    /// Its holes: all of one size together, the smallest first.
    pub rows: Vec<Row>,
}

/// The face of a flat part that is scribed and drilled from: the one its drawing shows first.
#[must_use]
pub fn marked_face(design: &Design, flat: &Flat) -> Face {
    match (flat.kind, design.plate) {
        (Kind::Plate, Some(plate)) => plate.component_face(),
        (Kind::Panel, _) => Face::Front,
        _ => {
            let usual = match flat.kind {
                Kind::Board => face_towards(flat, inside(design)),
                _ => Face::Front,
            };
            // countersinks and blind holes say which face is worked
            let at = |face| {
                flat.holes
                    .iter()
                    .filter(|h| face_of(h) == Some(face))
                    .count()
            };
            match at(Face::Front).cmp(&at(Face::Back)) {
                std::cmp::Ordering::Greater => Face::Front,
                std::cmp::Ordering::Less => Face::Back,
                std::cmp::Ordering::Equal => usual,
            }
        }
    }
}

/// A face in the builder's words.
#[must_use]
pub fn face_words(design: &Design, flat: &Flat, face: Face) -> &'static str {
    match flat.kind {
        Kind::Plate => match (design.plate.map(|p| p.component_face()) == Some(face), face) {
            (true, Face::Front) => "component face (top)",
            (true, Face::Back) => "component face (underside)",
            (false, Face::Front) => "wiring face (top)",
            (false, Face::Back) => "wiring face (underside)",
        },
        Kind::Panel | Kind::BackBoard => match face {
            Face::Front => "outer face",
            Face::Back => "inner face",
        },
        Kind::Baffle => match face {
            Face::Front => "front face",
            Face::Back => "rear face",
        },
        Kind::Board => {
            if face == face_towards(flat, inside(design)) {
                "inside face"
            } else {
                "outside face"
            }
        }
        _ => {
            if face == marked_face(design, flat) {
                "drilled face"
            } else {
                "other face"
            }
        }
    }
}

fn inside(design: &Design) -> DVec3 {
    design.cabinet.map_or(DVec3::ZERO, |c| {
        DVec3::new(c.width, c.depth, c.height) / 2.0
    })
}

fn face_towards(flat: &Flat, point: DVec3) -> Face {
    if flat.pose.inverse().point(point).z > flat.thickness / 2.0 {
        Face::Front
    } else {
        Face::Back
    }
}

/// The datum corner in the part frame, and the directions away from it along its edges.
#[must_use]
pub fn datum_of(flat: &Flat) -> (DVec2, DVec2) {
    let [low, high] = flat.outline.bounds();
    match flat.datum {
        Datum::LowLow => (low, DVec2::ONE),
        Datum::HighLow => (DVec2::new(high.x, low.y), DVec2::new(-1.0, 1.0)),
        Datum::LowHigh => (DVec2::new(low.x, high.y), DVec2::new(1.0, -1.0)),
    }
}

pub(super) fn datum_words(design: &Design, flat: &Flat) -> String {
    let turned = flat.kind != Kind::Plate && marked_face(design, flat) == Face::Back;
    let (side, end) = match flat.datum {
        // seen from the back, left and right change places
        Datum::LowLow if turned => ("right", "low"),
        Datum::HighLow if turned => ("left", "low"),
        Datum::LowHigh if turned => ("right", "high"),
        Datum::LowLow => ("left", "low"),
        Datum::HighLow => ("right", "low"),
        Datum::LowHigh => ("left", "high"),
    };
    match flat.kind {
        Kind::Plate => format!(
            "{side} {} corner of the plate as it stands in the amp, seen from the front and above",
            if end == "low" { "front" } else { "rear" }
        ),
        Kind::Panel => format!(
            "{} {side} corner, seen facing the outer face",
            if end == "low" { "lower" } else { "upper" }
        ),
        _ => {
            let seen = face_words(design, flat, marked_face(design, flat));
            format!(
                "{} {side} corner of the drawing, seen on the {seen}",
                if end == "low" { "lower" } else { "upper" }
            )
        }
    }
}

/// Whether holes are made the metalworker's way.
#[must_use]
pub fn is_metal(material: &str) -> bool {
    catalogue::material(material).is_some_and(|m| m.family == "metal")
}

/// The drill schedule of every part with holes, in the order of the design.
#[must_use]
pub fn schedule(design: &Design) -> Vec<Schedule> {
    let flats = design
        .flats
        .iter()
        .filter(|f| !f.holes.is_empty())
        .map(|f| of_flat(design, f));
    let angles = design.angles.iter().map(|a| of_angle(design, a));
    flats.chain(angles).collect()
}

fn of_flat(design: &Design, flat: &Flat) -> Schedule {
    let metal = is_metal(&flat.material);
    let (corner, way) = datum_of(flat);
    let rows = flat
        .holes
        .iter()
        .map(|h| {
            let plan = steps::plan(&design.tools, &h.shape, flat.thickness, metal);
            Row {
                tag: String::new(),
                id: h.id.clone(),
                purpose: h.purpose.clone(),
                at: (h.at - corner) * way,
                centre: h.at,
                shape: h.shape.clone(),
                placed: placed(h),
                from_face: face_of(h)
                    .map_or_else(String::new, |f| face_words(design, flat, f).to_owned()),
                steps: plan.steps,
                buy: plan.buy,
            }
        })
        .collect();
    Schedule {
        part: flat.id.clone(),
        kind: flat.kind,
        material: flat.material.clone(),
        thickness: flat.thickness,
        datum: datum_words(design, flat),
        face: face_words(design, flat, marked_face(design, flat)).into(),
        rows: tagged(rows),
    }
}

fn placed(h: &FlatHole) -> Placed {
    match &h.marked {
        Marked::Scribed => Placed::Scribed,
        Marked::Transferred { from } => Placed::Transferred(from.clone()),
        Marked::InHand { part } => Placed::InHand(part.clone()),
    }
}

fn face_of(h: &FlatHole) -> Option<Face> {
    match h.shape {
        HoleShape::Countersunk { face, .. } | HoleShape::Pilot { face, .. } => Some(face),
        _ => None,
    }
}

/// The legs of an angle, as two rows of holes along it: what lies on the plate and what lies on the panel.
#[must_use]
pub fn legs(angle: &AngleBar) -> [(&'static str, &[(f64, f64)]); 2] {
    [
        ("leg on the plate", &angle.plate_leg),
        (
            if angle.kind == Kind::Bracket {
                "leg on the side"
            } else {
                "leg on the panel"
            },
            &angle.panel_leg,
        ),
    ]
}

fn of_angle(design: &Design, angle: &AngleBar) -> Schedule {
    let mut rows = Vec::new();
    let held = if design.rivets.iter().any(|r| r.owner == angle.id) {
        "rivet"
    } else {
        "screw"
    };
    for (short, (leg, holes)) in ["plate", "panel"].into_iter().zip(legs(angle)) {
        for (k, (z, d)) in holes.iter().enumerate() {
            let shape = HoleShape::Round { d: *d };
            let plan = steps::plan(&design.tools, &shape, angle.thickness, true);
            let at = DVec2::new(*z, angle.gauge);
            rows.push(Row {
                tag: String::new(),
                id: format!("{}-{short}-hole-{}", angle.id, k + 1),
                purpose: format!("{held}, {leg}"),
                at,
                centre: at,
                shape,
                placed: Placed::Scribed,
                from_face: String::new(),
                steps: plan.steps,
                buy: plan.buy,
            });
        }
    }
    let end = angle.pose.dir(DVec3::Z).x;
    let side = if end > 0.5 {
        "left end, as it stands in the amp seen from the front"
    } else if end < -0.5 {
        "right end, as it stands in the amp seen from the front"
    } else {
        "either end"
    };
    Schedule {
        part: angle.id.clone(),
        kind: angle.kind,
        material: angle.material.clone(),
        thickness: angle.thickness,
        datum: format!("x from the {side}; y from the outside corner of the angle"),
        face: "outside of each leg".into(),
        rows: tagged(rows),
    }
}

/// All holes of one size together, the smallest first, then from left to right; a letter a size.
fn tagged(mut rows: Vec<Row>) -> Vec<Row> {
    // what is made alike carries one letter: a countersink, a depth, a leg sets holes apart
    let group = |r: &Row| match &r.shape {
        HoleShape::Round { d } => (0, *d, 0.0, r.purpose.contains("leg on the p")),
        HoleShape::Countersunk { d, head, .. } => (1, *d, *head, false),
        HoleShape::Pilot { drill, depth, .. } => (2, *drill, *depth, false),
        HoleShape::Cut { outline } => (3, outline.area(), outline.length(), false),
    };
    rows.sort_by(|a, b| {
        let (ka, kb) = (group(a), group(b));
        (ka.0 == 3)
            .cmp(&(kb.0 == 3))
            .then(ka.1.total_cmp(&kb.1))
            .then(ka.0.cmp(&kb.0))
            .then(ka.2.total_cmp(&kb.2))
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
            .then(a.id.cmp(&b.id))
    });
    let mut letter = 0;
    let mut number = 0;
    for k in 0..rows.len() {
        let same = k > 0 && {
            let (a, b) = (group(&rows[k - 1]), group(&rows[k]));
            a.0 == b.0 && (a.1 - b.1).abs() < 1e-6 && (a.2 - b.2).abs() < 1e-6
        };
        if k > 0 && !same {
            letter += 1;
            number = 0;
        }
        number += 1;
        rows[k].tag = format!("{}{number}", letters(letter));
    }
    rows
}

/// a, b, ... z, aa, ab, ... without i, l and o, which read as figures. Small, because `C1` is a builder's name for a can.
fn letters(n: usize) -> String {
    const PLAIN: &[u8; 23] = b"abcdefghjkmnpqrstuvwxyz";
    let last = char::from(PLAIN[n % 23]);
    if n < 23 {
        last.to_string()
    } else {
        format!("{}{last}", letters(n / 23 - 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study;
    use std::f64::consts::PI;

    fn demos() -> Vec<study::Study> {
        let texts = [
            include_str!("../../params/lantern-40.toml"),
            include_str!("../../params/harbour-15.toml"),
            include_str!("../../params/pantry-4.toml"),
        ];
        texts
            .iter()
            .map(|t| study::study(t).expect("the demo is sound"))
            .collect()
    }

    /// What a row takes out of its part, from the schedule's own figures: a cylinder, a cylinder and the rest of a cone, a prism.
    fn taken(r: &Row, t: f64) -> f64 {
        match &r.shape {
            HoleShape::Pilot { thread, depth, .. } => PI / 4.0 * thread * thread * depth,
            HoleShape::Cut { outline } => outline.area() * t,
            HoleShape::Round { .. } | HoleShape::Countersunk { .. } => {
                let d = r.diameter().expect("round");
                let cone = r.countersink().map_or(0.0, |(head, depth)| {
                    let depth_in = depth.min(t);
                    let low = head - (head - d) * depth_in / depth;
                    PI / 12.0 * depth_in * (head * head + head * low + low * low)
                        - PI / 4.0 * d * d * depth_in
                });
                PI / 4.0 * d * d * t + cone
            }
        }
    }

    #[test]
    fn the_schedule_re_summed_is_the_solid() {
        let mut parts = 0;
        let mut holes = 0;
        for s in demos() {
            for sheet in schedule(&s.design) {
                let volume = s
                    .report
                    .solids
                    .iter()
                    .find(|x| x.id == sheet.part)
                    .map(|x| x.volume_mm3)
                    .expect("every scheduled part is a solid");
                let gross = match s.design.flat(&sheet.part) {
                    Some(f) if f.bevel.is_none() && f.pockets.is_empty() => {
                        f.outline.area() * f.thickness
                    }
                    // bevels and pockets have closed forms of their own elsewhere
                    Some(_) => continue,
                    None => {
                        let a = s
                            .design
                            .angles
                            .iter()
                            .find(|a| a.id == sheet.part)
                            .expect("angle");
                        if a.fillet > 0.0 {
                            continue;
                        }
                        a.thickness * (2.0 * a.leg - a.thickness) * a.length
                    }
                };
                let sum: f64 = sheet.rows.iter().map(|r| taken(r, sheet.thickness)).sum();
                assert!(
                    (gross - sum - volume).abs() < 1e-6 * volume,
                    "{} of {}: {gross} - {sum} is not {volume}",
                    sheet.part,
                    s.design.name
                );
                parts += 1;
                holes += sheet.rows.len();
            }
        }
        assert!(parts > 20 && holes > 200, "{parts} parts, {holes} holes");
    }

    #[test]
    fn places_are_from_the_datum_and_tags_are_unique() {
        for s in demos() {
            for sheet in schedule(&s.design) {
                let mut tags: Vec<&str> = sheet.rows.iter().map(|r| r.tag.as_str()).collect();
                tags.sort_unstable();
                tags.dedup();
                assert_eq!(tags.len(), sheet.rows.len(), "{}", sheet.part);
                for r in &sheet.rows {
                    assert!(r.at.min_element() > -1e-9, "{} {:?}", r.id, r.at);
                    assert!(!r.steps.is_empty());
                }
                // by hand: the plate is measured from its left rear corner when it enters from the rear
                if sheet.part == "plate" && s.design.name == "lantern-40" {
                    let f = s.design.flat("plate").expect("plate");
                    let earth = sheet.rows.iter().find(|r| r.id == "EARTH").expect("EARTH");
                    let plate = s.design.plate.expect("plate");
                    // `at = { left = 24.5, front = 151 }` from the inside left face and the plate's front edge
                    let x = 24.5 - plate.x0;
                    let y = plate.depth - 151.0;
                    assert!(f.datum == Datum::LowHigh);
                    assert!(
                        (earth.at - DVec2::new(x, y)).length() < 1e-9,
                        "{:?}",
                        earth.at
                    );
                }
            }
        }
    }

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!(letters(0), "a");
        assert_eq!(letters(8), "j");
        assert_eq!(letters(22), "z");
        assert_eq!(letters(23), "aa");
    }
}
