//! Pieces that find the printer's own errors, and that try the plate's slide before wood is cut.

use super::blank::{Blank, Bore, notch};
use super::guide;
use super::{Bench, Draft};
use crate::design::Face;
use crate::outline::{Loop, Region};
use crate::units;
use glam::DVec2;

/// Growths that the coupon tries, mm.
const GROWTHS: [f64; 6] = [0.0, 0.1, 0.2, 0.3, 0.4, 0.5];
/// Drill that the coupon is for where the printer's table names none, mm.
const PILOT: f64 = 3.0;
/// Length of the gauges along the groove, mm.
const LONG: f64 = 25.0;

/// The coupon that finds `hole-growth` and `shrink`.
pub(super) fn coupon(bench: &Bench<'_>) -> Draft {
    let print = bench.print;
    // as long as the bed allows, in whole tens
    let [w, d] = print.room();
    let length = ((w.max(d) / 10.0).floor() * 10.0).min(100.0);
    let drill = print
        .bush
        .map(|b| b.outside)
        .or(print.pilot)
        .unwrap_or(PILOT);
    let high = (print.letter * 2.0 + drill + 12.0).max(24.0);
    let mut blank = Blank {
        thickness: print.thickness,
        plate: vec![Region::solid(Loop::rect(
            DVec2::ZERO,
            DVec2::new(length, high),
        ))],
        ..Blank::default()
    };
    // wide bushes leave room for fewer
    let edge = drill / 2.0 + 4.0;
    let room = ((length - 2.0 * edge) / (drill + 4.0)).floor() as usize + 1;
    let every = if room >= GROWTHS.len() {
        1
    } else if room >= 3 {
        2
    } else {
        GROWTHS.len() - 1
    };
    let growths: Vec<f64> = GROWTHS.iter().copied().step_by(every).collect();
    let edge = edge.max(8.0);
    let pitch = (length - 2.0 * edge) / (growths.len() - 1) as f64;
    for (k, growth) in growths.iter().enumerate() {
        let word = format!("+{growth:.1}").replace("+0.", "+.");
        let bore = Bore {
            holes: Vec::new(),
            at: DVec2::new(edge + k as f64 * pitch, high - drill / 2.0 - 4.0),
            drill,
            d: drill + growth,
            finished: Vec::new(),
            labels: vec![word, format!("{k}")],
            ..Bore::default()
        };
        blank.bores.push(bore);
    }
    let what = print.bush.map_or_else(
        || {
            format!(
                "Push a {} mm drill, not turning, into each bore.",
                guide::size(drill)
            )
        },
        |b| format!("Press a {} mm bush into each bore.", guide::size(b.outside)),
    );
    Draft {
        name: "coupon".into(),
        title: format!("coupon {length:.0}"),
        face: String::new(),
        blank,
        places: Vec::new(),
        steps: vec![
            "Print this first, with the plastic and the settings the jigs will have. It is drawn without growth or shrink.".into(),
            format!("{what} Write the number beside the first bore it enters with a light push and without play into `hole-growth` under [print]."),
            format!("Measure the coupon's length with a calliper at three heights above the first layer. It is drawn {length:.2} mm long; `shrink` = ({length:.0} - measured) / {length:.0} x 100."),
            "Build again, and print the jigs.".into(),
        ],
        as_drawn: true,
    }
}

/// A short piece with the groove's section, and one with the plate's edge.
pub(super) fn slide(bench: &Bench<'_>, unmade: &mut Vec<String>) -> Vec<Draft> {
    let (Some(plate), print) = (bench.design.plate, bench.print) else {
        return Vec::new();
    };
    let groove = (bench.design.flats.iter())
        .flat_map(|f| &f.pockets)
        .find(|p| p.id.ends_with("-groove") && matches!(p.face, Face::Front | Face::Back));
    let Some(groove) = groove else {
        unmade.push("a gauge for the slide: there is no groove".into());
        return Vec::new();
    };
    let width = (groove.high - groove.low).min_element();
    let (t, depth) = (plate.thickness, groove.depth);
    let wall = 8.0;
    let body = 36.0;
    let block = DVec2::new(depth + body, width + 2.0 * wall);
    // the section lies on the bed, so the slot's width is as true as the printer's x and y
    let mut slot = Blank {
        thickness: LONG.min(print.bed[2] * 0.9),
        plate: vec![Region::solid(Loop::rect(DVec2::ZERO, block))],
        ..Blank::default()
    };
    slot.cuts.push(Loop::rect(
        DVec2::new(-5.0, wall),
        DVec2::new(depth, wall + width),
    ));
    let tongue = DVec2::new(depth + 10.0, t);
    let grip = DVec2::new(30.0, t + 2.0 * wall);
    let outline = Loop::polygon(&[
        DVec2::new(-tongue.x, wall),
        DVec2::new(0.0, wall),
        DVec2::ZERO,
        DVec2::new(grip.x, 0.0),
        grip,
        DVec2::new(0.0, grip.y),
        DVec2::new(0.0, wall + t),
        DVec2::new(-tongue.x, wall + t),
    ]);
    let mut edge = Blank {
        thickness: slot.thickness,
        plate: vec![Region::solid(outline)],
        ..Blank::default()
    };
    edge.cuts
        .push(notch(DVec2::new(grip.x - 2.0, grip.y / 2.0), DVec2::X));
    let draft = |name: &str, title: String, blank: Blank, steps: Vec<String>| Draft {
        name: name.into(),
        title,
        face: String::new(),
        blank,
        places: Vec::new(),
        steps,
        as_drawn: false,
    };
    vec![
        draft(
            "gauge-groove",
            format!("groove {}", guide::size((width * 100.0).round() / 100.0)),
            slot,
            vec![
                format!(
                    "The groove's section: {} wide, {} deep, {LONG:.0} mm long. Slide the sheet you bought into it: it must go by its own weight and not rattle. A printed slot comes out up to 0.2 mm narrow: try it with the calliper first.",
                    units::show_drill(width),
                    units::show_drill(depth)
                ),
                "If the sheet binds or rattles, change `cabinet.groove` before you cut wood."
                    .into(),
            ],
        ),
        draft(
            "gauge-plate",
            format!("plate {}", guide::size((t * 100.0).round() / 100.0)),
            edge,
            vec![format!(
                "The plate's edge: {} thick, {:.1} mm wide. Slide it along a groove routed in scrap, then along both grooves before the sides are glued.",
                units::show_drill(t),
                tongue.x
            )],
        ),
    ]
}
