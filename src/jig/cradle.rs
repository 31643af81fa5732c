//! Cradles that hold the chassis on the bench with its wiring side up, by the edges that ride in the grooves.

use super::blank::{Blank, bore_loop};
use super::{Bench, Draft};
use crate::assembly::Assembly;
use crate::outline::{Loop, Region};
use crate::units;
use glam::{DVec2, DVec3};

/// Air between the highest part and the bench, mm (common practice).
const AIR: f64 = 5.0;
/// Thickness of the post outside the plate's edge, mm.
const POST: f64 = 16.0;
/// How far the foot reaches outwards, mm.
const FOOT: f64 = 45.0;
/// How far the lip stands over the plate's lower face, mm.
const LIP: f64 = 8.0;
/// Width of a cradle along the plate's edge, mm.
const WIDE: f64 = 30.0;
/// Smallest ledge that carries, mm.
const LEAST: f64 = 4.0;
/// Play between the plate's edge and the lip, mm.
const PLAY: f64 = 1.0;
/// Holes for screws into a batten that joins two cradles, mm.
const SCREW: f64 = 4.5;

pub(super) fn draft(
    bench: &Bench<'_>,
    assembly: &Assembly,
    unmade: &mut Vec<String>,
) -> Option<Draft> {
    let plate = bench.design.plate?;
    let print = bench.print;
    let up = plate.component(0.0, 0.0).dir(DVec3::Z).z;
    let face = plate.component(0.0, 0.0).at.z;
    // how far the parts stand over the component face
    let mut most = 0.0_f64;
    for p in assembly.parts.iter().filter(|p| p.moves) {
        let [low, high] = assembly.shapes[p.shape].body.bounds(&p.pose);
        most = most.max((low.z - face) * up).max((high.z - face) * up);
    }
    if most < 1.0 {
        return None;
    }
    let ledge = (plate.width - plate.inside) / 2.0 - 1.0;
    let ledge = ledge.min(12.0);
    if ledge < LEAST {
        unmade.push(format!(
            "cradles: only {:.1} mm of the plate's edge are free of parts",
            ledge.max(0.0)
        ));
        return None;
    }
    let height = most + AIR;
    let top = height + plate.thickness + LIP;
    let t = 14.0;
    // seen along the edge: x outwards from the inner end of the ledge, y up from the bench
    let edge = ledge + PLAY;
    let foot = edge + POST + FOOT;
    let brace = (top * 0.6).min(FOOT + top * 0.3);
    let outline = Loop::polygon(&[
        DVec2::ZERO,
        DVec2::new(foot, 0.0),
        DVec2::new(foot, t),
        DVec2::new(edge + POST, brace.max(t + 5.0)),
        DVec2::new(edge + POST, top),
        DVec2::new(edge, top),
        DVec2::new(edge, height),
        DVec2::new(0.0, height),
    ]);
    let mut blank = Blank {
        thickness: WIDE,
        plate: vec![Region::solid(outline)],
        ..Blank::default()
    };
    let x = edge + POST / 2.0;
    for y in [t, height * 0.7] {
        if y + SCREW < height - 4.0 {
            blank.cuts.push(bore_loop(DVec2::new(x, y), SCREW));
        }
    }
    let [w, d] = print.room();
    let (a, b) = (foot.max(top), foot.min(top));
    if a > w.max(d) || b > w.min(d) {
        unmade.push(format!(
            "cradles: they would stand {} high, more than the bed holds; make them of wood to that height",
            units::show(top)
        ));
        return None;
    }
    Some(Draft {
        name: "cradle".into(),
        title: format!("cradle {height:.0}"),
        face: String::new(),
        blank,
        places: Vec::new(),
        steps: vec![
            "Print four.".into(),
            format!("They hold the chassis with its wiring side up by the edges that ride in the grooves, {} over the bench: {} of air under the highest part, which stands {} over the plate.", units::show(height), units::mm_1(AIR), units::show(most)),
            "Screw a batten between two of them for each side, so that neither can tip, and set the two sides so that the lips stand close outside the plate's edges.".into(),
            "Pull the tubes first all the same. Two hands, the heavy iron over the bench: a chassis that slips breaks glass and fingers.".into(),
        ],
        as_drawn: false,
    })
}
