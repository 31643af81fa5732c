//! Room for the tool that makes a hole: the throat of a bench drill, the die of a punch, the chuck beside an angle's leg.

use super::doc::Doc;
use super::report::{Finding, Severity};
use crate::assembly::Kind;
use crate::design::{Design, Flat, FlatHole, HoleShape, Marked};
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["tool-throat"],
    title: "Room for drill and punch",
    does: "Plate and panels are drilled flat, before they are joined; so nothing upright is in a tool's way but the sheet's own size. A hole \
stands no further from the nearest edge than the throat of the bench drill (`tools.drill-throat`, 100 mm unless said). Round a hole that \
a punch makes (16 mm and more) 4 mm of sheet are left to the edge for the die to bear on. Holes that are drilled through an angle's own \
holes are drilled from inside, the chuck beside the other leg: the bit must stand out of the chuck by more than leg and sheet.",
    why: "A hole in the middle of a wide plate is out of reach of a small drill press; a die that hangs over an edge tears it.",
    example: "`VENT is 121.0 mm from the nearest edge of plate, the drill's throat is 100.0 mm`",
    change: "a hand drill in a guide, another edge, a hole further in; a narrower angle or a long-series bit.",
    rests_on: "parts drilled flat, then assembled: common practice; throat of a small bench drill, rim of a die and lengths of jobber drills \
(flute lengths of DIN 338): from memory.",
};

/// Throat of a small bench drill, mm.
const THROAT: f64 = 100.0;

/// Smallest hole that a chassis punch is taken for, mm.
const PUNCHED: f64 = 16.0;

/// Sheet round a punched hole for its die, mm.
const RIM: f64 = 4.0;

/// Half a chuck's outside, mm.
const CHUCK: f64 = 20.0;

/// How far a jobber drill stands out of its chuck: flute lengths of DIN 338 by diameter up to which they hold, mm, from memory.
const FLUTES: [(f64, f64); 9] = [
    (2.65, 30.0),
    (3.0, 33.0),
    (3.35, 36.0),
    (3.75, 39.0),
    (4.25, 43.0),
    (4.75, 47.0),
    (5.3, 52.0),
    (6.0, 57.0),
    (6.7, 63.0),
];

/// Sums of a few hundred mm round by less than this, mm.
const ROUNDING: f64 = 1e-6;

const SOURCE: &str = "common practice; throat, rim and drill lengths from memory";

pub(super) fn of_design(design: &Design) -> Vec<Finding> {
    let mut out = Vec::new();
    let throat = design.tools.throat.unwrap_or(THROAT);
    let metal = |f: &&Flat| f.moves && matches!(f.kind, Kind::Plate | Kind::Panel);
    for flat in design.flats.iter().filter(metal) {
        let mut furthest: Option<(f64, &FlatHole)> = None;
        for hole in &flat.holes {
            let to_edge = flat.outline.distance_to_point(hole.at);
            if furthest.is_none_or(|f| to_edge > f.0) {
                furthest = Some((to_edge, hole));
            }
            if let HoleShape::Round { d } = hole.shape
                && d >= PUNCHED
                && to_edge - d / 2.0 < RIM - ROUNDING
            {
                let left = to_edge - d / 2.0;
                out.push(finding(
                    vec![hole.id.clone(), flat.id.clone()],
                    at(flat, hole),
                    [left, RIM],
                    format!(
                        "{} leaves {} of {} to its edge, a punch's die bears on {}",
                        hole.id,
                        units::show(left),
                        flat.id,
                        units::show(RIM)
                    ),
                    format!("move {} inwards, or saw and file it", hole.owner),
                ));
            }
        }
        if let Some((far, hole)) = furthest.filter(|f| f.0 > throat + ROUNDING) {
            out.push(finding(
                vec![hole.id.clone(), flat.id.clone()],
                at(flat, hole),
                [far, throat],
                format!(
                    "{} is {} from the nearest edge of {}, the drill's throat is {}",
                    hole.id,
                    units::show(far),
                    flat.id,
                    units::show(throat)
                ),
                "a hand drill in a guide, or write your drill's reach as `tools.drill-throat`"
                    .into(),
            ));
        }
    }
    beside_legs(design, &mut out);
    out
}

fn at(flat: &Flat, hole: &FlatHole) -> DVec3 {
    flat.pose.point(hole.at.extend(flat.thickness))
}

/// Length of a jobber drill's flutes, mm.
fn flutes(d: f64) -> f64 {
    FLUTES
        .iter()
        .find(|(most, _)| d <= *most + ROUNDING)
        .map_or(63.0, |(_, length)| *length)
}

fn beside_legs(design: &Design, out: &mut Vec<Finding>) {
    for a in design.angles.iter().filter(|a| a.kind == Kind::Angle) {
        let holes = |flat: &Flat| {
            (flat.holes.iter())
                .find(|h| h.marked == Marked::Transferred { from: a.id.clone() })
                .and_then(|h| match h.shape {
                    HoleShape::Round { d } | HoleShape::Countersunk { d, .. } => Some(d),
                    _ => None,
                })
        };
        let worst = (design.flats.iter())
            .filter_map(|f| Some((f, holes(f)?)))
            .map(|(f, d)| (a.leg + f.thickness - flutes(d), d, f))
            .max_by(|x, y| x.0.total_cmp(&y.0));
        let Some((over, d, f)) = worst else { continue };
        if over > ROUNDING && a.gauge - a.thickness < CHUCK {
            let need = a.leg + f.thickness;
            out.push(finding(
                vec![a.id.clone(), f.id.clone()],
                a.pose.point(DVec3::new(a.gauge, a.gauge, a.length / 2.0)),
                [flutes(d), need],
                format!(
                    "a {} bit stands {} out of its chuck; beside the leg of {} it needs {} to get through {}",
                    units::show(d),
                    units::show(flutes(d)),
                    a.id,
                    units::show(need),
                    f.id
                ),
                "a long-series bit, or drill from outside".into(),
            ));
        }
    }
}

fn finding(
    about: Vec<String>,
    at: DVec3,
    [measured, wanted]: [f64; 2],
    text: String,
    hint: String,
) -> Finding {
    Finding::new(
        "tool-throat",
        Severity::Warning,
        about,
        at,
        (measured, wanted, "mm"),
    )
    .says(text, hint, SOURCE)
}
