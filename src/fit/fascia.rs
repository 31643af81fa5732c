//! A front panel behind the opening of the baffle.

use super::doc::Doc;
use super::report::{Finding, Severity};
use crate::assembly::Kind;
use crate::design::{Design, HoleShape};
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["fascia"],
    title: "Panel behind the fascia's opening",
    does: "Where the chassis comes in from the rear behind an opening of the baffle, the front panel must cover it on all four sides, also with the plate pushed \
to one side by its play: 2 mm or more, else a warning; less than nothing is an error, for the gap lets fingers to the wiring. Controls and knobs that come through \
the opening are measured against its edges over the whole way by `slide`.",
    why: "A panel that does not cover its opening shows its raw edge, and the live side behind it.",
    example: "`panel-front covers the opening by 0.7 mm on the left with the plate pushed over, 2.0 mm wanted`",
    change: "`cabinet.baffle.opening.overlap`, a longer or higher panel.",
    rests_on: "2 mm: common practice, no published source.",
};

/// Wanted cover on each side, mm.
const COVER: f64 = 2.0;

pub(super) fn of_design(design: &Design) -> Option<Finding> {
    let (plate, cabinet) = (design.plate?, design.cabinet?);
    let panel = (design.flats.iter()).find(|f| f.id == "panel-front" && f.kind == Kind::Panel)?;
    let baffle = design.flat("baffle")?;
    let hole = baffle.holes.iter().find(|h| h.id == "baffle-opening")?;
    let HoleShape::Cut { outline } = &hole.shape else {
        return None;
    };
    if !plate.from_rear {
        return None;
    }
    // seen along the amp's depth; the opening's rear edges are those the panel lies behind
    let open = outline.bounds().map(|c| baffle.pose.point(c.extend(0.0)));
    let cover = panel
        .outline
        .bounds()
        .map(|c| panel.pose.point(c.extend(0.0)));
    let depth = plate.width - cabinet.width;
    let groove = super::ears::grooves(design)?[0].depth;
    let play = (2.0 * groove - depth).max(0.0) / 2.0;
    let low = |c: &[DVec3; 2]| c[0].min(c[1]);
    let high = |c: &[DVec3; 2]| c[0].max(c[1]);
    let sides = [
        ("left", low(&open).x - low(&cover).x - play),
        ("right", high(&cover).x - high(&open).x - play),
        ("lower edge", low(&open).z - low(&cover).z),
        ("upper edge", high(&cover).z - high(&open).z),
    ];
    let (side, least) = sides
        .into_iter()
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|s| s.1 < COVER)?;
    let short = least < 0.0;
    Some(Finding {
        id: "fascia".into(),
        severity: if short {
            Severity::Error
        } else {
            Severity::Warning
        },
        about: vec![panel.id.clone(), baffle.id.clone()],
        at_mm: open[0].midpoint(open[1]).to_array(),
        measured: least,
        wanted: COVER,
        unit: "mm".into(),
        text: if short {
            format!(
                "{} leaves {} of the baffle's opening uncovered at its {side} with the plate pushed over",
                panel.id,
                units::show(-least)
            )
        } else {
            format!(
                "{} covers the baffle's opening by {} at its {side} with the plate pushed over, {} wanted",
                panel.id,
                units::show(least),
                units::show(COVER)
            )
        },
        hint: "a greater `cabinet.baffle.opening.overlap`".into(),
        source: "common practice".into(),
    })
}
