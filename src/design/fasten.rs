//! Screws with what they pass through, what they bear on and what they are held by; joints between parts.

use super::ledger::Ledger;
use crate::assembly::{Group, How, Rule};
use crate::catalogue::{self, ScrewRow};
use crate::params::{Head, Sp};
use crate::pose::Pose;

/// A part a screw passes through, or bites into.
#[derive(Clone, Debug, PartialEq)]
pub struct Passed {
    /// Id of the part.
    pub id: String,
    /// Radial gap of the shank in that part's hole, mm; 0 where its thread bites.
    pub gap: f64,
}

/// A screw with its nut and washer.
#[derive(Clone, Debug, PartialEq)]
pub struct Fastener {
    /// Id of the screw.
    pub id: String,
    /// Id of its nut, if it has one.
    pub nut: Option<String>,
    /// Id of the washer under the nut or, for wood screws, under the head.
    pub washer: Option<String>,
    /// The item it serves.
    pub owner: String,
    /// Group of its solids.
    pub group: Group,
    /// Slides with the chassis.
    pub moves: bool,
    /// Size.
    pub row: &'static ScrewRow,
    /// Head.
    pub head: Head,
    /// Length: under a pan head, over all for a countersunk one.
    pub length: f64,
    /// z points along the shank into the work; z = 0 is the face under a pan head (or its washer), or the flush face of a countersunk one.
    pub pose: Pose,
    /// How far a countersunk head lies below its face.
    pub sunk: f64,
    /// z at which the nut (or its washer) seats.
    pub grip: f64,
    /// Parts it goes through, head side first; the head bears on the first.
    pub through: Vec<Passed>,
    /// Part its thread bites into, if it has no nut.
    pub bites: Option<String>,
}

impl Fastener {
    /// Thickness of the washer, 0 without one.
    #[must_use]
    pub fn washer_thickness(&self) -> f64 {
        if self.washer.is_some() {
            self.row.washer_thickness
        } else {
            0.0
        }
    }
}

/// Two parts that share a joint, by id.
#[derive(Clone, Debug, PartialEq)]
pub struct Bond {
    /// First part.
    pub a: String,
    /// Second part.
    pub b: String,
    /// How they hold.
    pub how: How,
    /// What must be true.
    pub rule: Rule,
}

/// Faces that lie on each other may show a gap of this much, mm: well over the error of a measured clearance (0.024), well under anything a feeler gauge would pass.
pub const FACE_GAP: f64 = 0.05;

/// A gap of a head from its countersink, mm, so that solids never share a cone.
pub const CONE_GAP: f64 = 0.02;

impl Bond {
    /// Two parts face to face.
    #[must_use]
    pub fn face(a: &str, b: &str, how: How) -> Bond {
        Bond {
            a: a.into(),
            b: b.into(),
            how,
            rule: Rule::Gap { most: FACE_GAP },
        }
    }

    /// Two parts with a known gap between them.
    #[must_use]
    pub fn gap(a: &str, b: &str, how: How, most: f64) -> Bond {
        Bond {
            a: a.into(),
            b: b.into(),
            how,
            rule: Rule::Gap { most },
        }
    }
}

/// Next stocked length that holds `need` mm, or `need` itself where none is that long.
#[must_use]
pub fn stock_length(row: &ScrewRow, need: f64) -> f64 {
    row.lengths
        .iter()
        .copied()
        .filter(|l| *l >= need - 1e-9)
        .min_by(f64::total_cmp)
        .unwrap_or(need)
}

/// The longest stocked length from `least` to `most` mm; `most` itself, to be cut from a longer one, where none lies between.
#[must_use]
pub fn stock_within(row: &ScrewRow, least: f64, most: f64) -> f64 {
    row.lengths
        .iter()
        .copied()
        .filter(|l| *l >= least - 1e-9 && *l <= most + 1e-9)
        .max_by(f64::total_cmp)
        .unwrap_or(most)
}

/// Diameter of a countersink at the face, and how deep the head lies in it: the cone is 0.2 mm wider than the largest head.
#[must_use]
pub fn countersink(row: &ScrewRow) -> (f64, f64) {
    let wider = 0.2;
    let half = (row.csk_angle / 2.0).to_radians();
    // the head slides down until its cone meets the countersink's, less the modelled gap square to the cone
    let sunk = (wider / 2.0) / half.tan() - CONE_GAP / half.sin();
    (row.csk_diameter + wider, sunk)
}

/// The typed screw, or the usual one for the file's unit.
pub(super) fn screw_or(
    ledger: &mut Ledger,
    key: &str,
    typed: Option<&Sp<String>>,
    metric: &str,
    inch: &str,
) -> &'static ScrewRow {
    let name = match typed {
        Some(s) => s.clone(),
        None => {
            let name = if ledger.inch { inch } else { metric };
            ledger.took(key, name, "the usual size for it (common practice)");
            Sp {
                value: name.to_owned(),
                span: 0..0,
            }
        }
    };
    // any row will do: the run ends with the error after everything else has been looked at
    ledger
        .look_up::<ScrewRow>(&name)
        .unwrap_or(&catalogue::screws()[0])
}
