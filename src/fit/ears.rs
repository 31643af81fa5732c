//! The ears stay in their grooves, at worst.

use super::doc::Doc;
use super::report::{Finding, Severity};
use crate::design::Design;
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["ear-engaged"],
    title: "Ears in their grooves",
    does: "Works out by how much an ear still holds when everything is against it: the plate pushed to the bottom of the other groove, the cabinet at \
the wider of its two inside widths, both sides bowed out by 1 mm at half height (less towards floor and roof, a parabola), the boards at their dampest. \
0 or less is an error: the ear comes out and the plate drops. Less than 3 mm is a warning. A note tells the figure. Notches in an edge of the plate shorten \
its ears: less than half the plate's depth left on a side is a warning. Dropping out endways is the retaining screws' matter: see `rattle`.",
    why: "A plate carries kilograms of iron; with one ear out it falls on the wiring.",
    example: "`the ears hold by 4.9 mm at worst`",
    change: "a deeper groove, or less `chassis.side-play`.",
    rests_on: "arithmetic; 1 mm of bow, 3 mm of hold, 0.1 mm of growth in 470 along the grain: common practice, no published source.",
};

const SOURCE: &str = "arithmetic; bow and hold: common practice";

/// Wanted hold, mm.
const HOLD: f64 = 3.0;

/// Bow of a side at half its height, mm.
const BOW: f64 = 1.0;

/// Growth of the inside width with the seasons, along the grain, as a share.
const SEASON: f64 = 0.1 / 470.0;

/// A groove as it lies in the amp, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Groove {
    /// Its lower face above the floor.
    pub z: f64,
    pub width: f64,
    pub depth: f64,
    /// From front to rear.
    pub y: [f64; 2],
}

/// The grooves of the left and the right side.
pub(super) fn grooves(design: &Design) -> Option<[Groove; 2]> {
    let of = |id: &str| {
        let side = design.flat(id)?;
        let name = format!("{id}-groove");
        let cut = side.pockets.iter().find(|p| p.id == name)?;
        let [a, b] = [cut.low, cut.high].map(|c| side.pose.point(c.extend(0.0)));
        Some(Groove {
            z: a.z.min(b.z),
            width: (b.z - a.z).abs(),
            depth: cut.depth,
            y: [a.y.min(b.y), a.y.max(b.y)],
        })
    };
    Some([of("side-left")?, of("side-right")?])
}

/// How far a side bows at a height, as a share of its bow at half height.
pub(super) fn bow_at(design: &Design, z: f64) -> f64 {
    let height = design.cabinet.map_or(1.0, |c| c.height);
    let share = (z / height).clamp(0.0, 1.0);
    4.0 * share * (1.0 - share)
}

/// How much the inside width changes with the seasons, mm.
pub(super) fn seasonal(inside: f64) -> f64 {
    inside * SEASON
}

/// The front and the rear end of the left ear, amp frame.
pub(super) fn ends(design: &Design) -> Option<[f64; 2]> {
    let plate = design.plate?;
    let tips = (design.flat("plate")?.outline.nodes.iter())
        .filter(|n| n.at.x < -plate.x0)
        .map(|n| plate.y0 + n.at.y);
    let none = [f64::INFINITY, f64::NEG_INFINITY];
    let [low, high] = tips.fold(none, |[low, high], y| [low.min(y), high.max(y)]);
    (low <= high).then_some([low, high])
}

/// Length of each ear, left and right, mm: what of the plate's tip edges is left between corners and notches.
pub(super) fn lengths(design: &Design) -> Option<[f64; 2]> {
    let plate = design.plate?;
    let outline = &design.flat("plate")?.outline;
    let tip = |x: f64| -> f64 {
        (outline.segs())
            .filter(|s| s.arc.is_none())
            .filter(|s| (s.from.x - x).abs() < 1e-6 && (s.to.x - x).abs() < 1e-6)
            .map(|s| (s.to.y - s.from.y).abs())
            .sum()
    };
    Some([tip(0.0), tip(plate.width)])
}

pub(super) fn of_design(design: &Design) -> Vec<Finding> {
    let (Some(plate), Some(cabinet), Some(grooves)) =
        (design.plate, design.cabinet, grooves(design))
    else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let depth = grooves[0].depth;
    let pushed = plate.width - cabinet.widest - depth;
    let bow = 2.0 * BOW * bow_at(design, grooves[0].z);
    let season = seasonal(cabinet.widest);
    let hold = pushed - bow - season;
    let at = DVec3::new(0.0, plate.y0 + plate.depth / 2.0, plate.z0);
    let finding = |severity, measured, wanted, text: String, hint: &str| {
        let about = ["plate", "side-left"];
        Finding::new("ear-engaged", severity, about, at, (measured, wanted, "mm"))
            .says(text, hint, SOURCE)
    };
    let how = format!(
        "pushed to the other side {}, less {} for bowed sides and {} for damp boards",
        units::show(pushed),
        units::show(bow),
        units::show(season)
    );
    let (severity, text, hint) = if hold <= 0.0 {
        (
            Severity::Error,
            format!(
                "an ear of the plate can come out of its groove by {}: {how}",
                units::show(-hold)
            ),
            "a deeper groove, or less side play",
        )
    } else if hold < HOLD {
        (
            Severity::Warning,
            format!(
                "the ears hold by {} at worst, {} wanted: {how}",
                units::show(hold),
                units::show(HOLD)
            ),
            "a deeper groove, or less side play",
        )
    } else {
        (
            Severity::Note,
            format!("the ears hold by {} at worst: {how}", units::show(hold)),
            "",
        )
    };
    out.push(finding(severity, hold, HOLD, text, hint));
    let shortest = lengths(design).map_or(0.0, |l| l[0].min(l[1]));
    let half = plate.depth / 2.0;
    if shortest < half {
        out.push(finding(
            Severity::Warning,
            shortest,
            half,
            format!(
                "{} of ear left of {} of plate: it tips and binds in its grooves",
                units::show(shortest),
                units::show(plate.depth)
            ),
            "longer ears, or smaller notches in the plate's side edges",
        ));
    }
    out
}
