//! The faces of a flat part and its datum corner, in the builder's words.

use crate::assembly::Kind;
use crate::design::{Datum, Design, Face, Flat, FlatHole, HoleShape, Marked};
use glam::{DVec2, DVec3};

/// The face of a flat part that is scribed and drilled from: the one its drawing shows first.
#[must_use]
pub fn marked_face(design: &Design, flat: &Flat) -> Face {
    match (flat.kind, design.plate) {
        (Kind::Plate, Some(plate)) => plate.component_face(),
        (Kind::Panel, _) => Face::Front,
        _ => {
            let usual = match flat.kind {
                Kind::Board if takes_handle(flat) => opposite(face_towards(flat, inside(design))),
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
        Kind::Panel => match face {
            Face::Front => "outer face",
            Face::Back => "inner face",
        },
        // z of its frame points into the cabinet, the way its screws go
        Kind::BackBoard => match face {
            Face::Front => "inner face",
            Face::Back => "outer face",
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

/// Whether the handle in hand is laid on it, outside, and nothing is routed inside.
fn takes_handle(flat: &Flat) -> bool {
    let of_handle = |h: &FlatHole| matches!(&h.marked, Marked::InHand { part } if part == "handle");
    flat.pockets.is_empty() && flat.holes.iter().any(of_handle)
}

fn opposite(face: Face) -> Face {
    match face {
        Face::Front => Face::Back,
        Face::Back => Face::Front,
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

pub(in crate::shop) fn datum_words(design: &Design, flat: &Flat) -> String {
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

/// The face a countersink or a blind hole is made from.
pub(super) fn face_of(h: &FlatHole) -> Option<Face> {
    match h.shape {
        HoleShape::Countersunk { face, .. } | HoleShape::Pilot { face, .. } => Some(face),
        _ => None,
    }
}
