//! The drill schedule: every hole of every flat part and angle, from the datum corner, with the tools in order.

mod by_tool;
mod faces;
mod rout;
mod tags;
#[cfg(test)]
mod tests;

pub use by_tool::{Turn, by_tool};
pub(in crate::shop) use faces::datum_words;
pub use faces::{datum_of, face_words, marked_face};
pub use rout::Rout;
pub(in crate::shop) use rout::rout_tag;

use super::steps::{self, Act, Step};
use crate::assembly::Kind;
use crate::catalogue;
use crate::design::{AngleBar, Design, Flat, FlatHole, HoleShape, Marked};
use faces::face_of;
use glam::{DVec2, DVec3};
use tags::tagged;

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
    /// Grooves, rabbets and the fingers of its corner joint.
    pub routs: Vec<Rout>,
}

/// Whether holes are made the metalworker's way.
#[must_use]
pub fn is_metal(material: &str) -> bool {
    catalogue::material(material).is_some_and(|m| m.family == "metal")
}

/// The drill schedule of every part with holes, grooves or a joint to be cut, in the order of the design.
#[must_use]
pub fn schedule(design: &Design) -> Vec<Schedule> {
    let flats = design
        .flats
        .iter()
        .map(|f| of_flat(design, f))
        .filter(|s| !s.rows.is_empty() || !s.routs.is_empty());
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
        routs: rout::routs(design, flat),
    }
}

fn placed(h: &FlatHole) -> Placed {
    match &h.marked {
        Marked::Scribed => Placed::Scribed,
        Marked::Transferred { from } => Placed::Transferred(from.clone()),
        Marked::InHand { part } => Placed::InHand(part.clone()),
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
    let held = if design.rivets.iter().any(|r| r.owner == angle.id) {
        "rivet"
    } else {
        "screw"
    };
    let mut rows = Vec::new();
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
        routs: Vec::new(),
    }
}
