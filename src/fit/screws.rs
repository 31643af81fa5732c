//! Whether screws are as long as their grip asks for, and no longer.

use super::doc::Doc;
use super::measure_all::Measured;
use super::metal::warning;
use super::report::Finding;
use crate::assembly::Assembly;
use crate::design::{Design, Fastener};
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["screw-short", "screw-long"],
    title: "Length of screws",
    does: "A machine screw comes through its nut by one thread or more (`screw-short`) and by 12 mm at most; no screw of either sort ends \
nearer than 2 mm to a part that it has nothing to do with, and a wood screw's point stays 1 mm or more inside the wood that it bites into \
(`screw-long`).",
    why: "A short screw strips its nut; a long one grazes a wire, a can or a finger, or shows its point outside.",
    example: "`handle-screw-1 stands 19.0 mm out of its nut, 12.0 mm is enough`",
    change: "the next shorter or longer screw: `stick-out` of handle and speaker, the angle's screw, a thicker board.",
    rests_on: "one thread through the nut, 12, 2 and 1 mm: common practice, no published source; thread pitches ISO 261 and ASME B1.1, from \
memory.",
};

const SOURCE: &str = "common practice";

/// Furthest that a screw stands out of its nut, mm.
const MOST: f64 = 12.0;

/// From a screw's end to what it has nothing to do with, mm.
const END: f64 = 2.0;

/// Wood left over a point, mm.
const OVER_POINT: f64 = 1.0;

/// Sums of a few hundred mm round by less than this, mm.
const ROUNDING: f64 = 1e-6;

/// Coarse thread pitch, mm: ISO 261 and ASME B1.1 (UNC), from memory; a fifth of the diameter for what is not listed.
fn thread(row: &crate::catalogue::ScrewRow) -> f64 {
    match row.id.as_str() {
        "M2.5" => 0.45,
        "M3" => 0.5,
        "M3.5" => 0.6,
        "M4" => 0.7,
        "M5" => 0.8,
        "M6" => 1.0,
        "#4" => 25.4 / 40.0,
        "#6" | "#8" => 25.4 / 32.0,
        "#10" => 25.4 / 24.0,
        "1/4" => 25.4 / 20.0,
        _ => row.major / 5.0,
    }
}

/// Where a screw ends, from the face under its head along its shank.
fn end(f: &Fastener) -> f64 {
    let lift = if f.nut.is_none() {
        f.washer_thickness()
    } else {
        0.0
    };
    f.sunk + f.length - lift
}

pub(super) fn of_design(
    design: &Design,
    assembly: &Assembly,
    measured: &[Measured],
) -> Vec<Finding> {
    let mut out = Vec::new();
    for f in &design.fasteners {
        if f.nut.is_some() {
            in_nut(f, &mut out);
        } else {
            in_wood(design, f, &mut out);
        }
    }
    near_ends(design, assembly, measured, &mut out);
    out
}

fn in_nut(f: &Fastener, out: &mut Vec<Finding>) {
    let through = end(f) - f.grip - f.washer_thickness() - f.row.nut_thickness;
    let want = thread(f.row);
    let tip = f.pose.point(DVec3::Z * end(f));
    if through < want - ROUNDING {
        out.push(warning(
            "screw-short",
            vec![f.id.clone()],
            tip,
            [through, want],
            format!(
                "{} comes {} through its nut, one thread ({}) wanted",
                f.id,
                units::show(through),
                units::show(want)
            ),
            "a longer screw".into(),
            SOURCE,
        ));
    } else if through > MOST + ROUNDING {
        out.push(warning(
            "screw-long",
            vec![f.id.clone()],
            tip,
            [through, MOST],
            format!(
                "{} stands {} out of its nut, {} is enough",
                f.id,
                units::show(through),
                units::show(MOST)
            ),
            "a shorter screw".into(),
            SOURCE,
        ));
    }
}

/// How much of the wood that it bites into is left over a wood screw's point.
fn in_wood(design: &Design, f: &Fastener, out: &mut Vec<Finding>) {
    let Some(into) = f.bites.as_deref().and_then(|id| design.flat(id)) else {
        return;
    };
    let local = into.pose.inverse();
    let tip = f.pose.point(DVec3::Z * end(f));
    let (at, dir) = (local.point(tip), local.dir(f.pose.dir(DVec3::Z)));
    // along the board its end is far
    if dir.z.abs() < 0.7 {
        return;
    }
    let left = if dir.z > 0.0 {
        into.thickness - at.z
    } else {
        at.z
    };
    if left < OVER_POINT - ROUNDING {
        out.push(warning(
            "screw-long",
            vec![f.id.clone(), into.id.clone()],
            tip,
            [left, OVER_POINT],
            format!(
                "{} leaves {} of {} over its point, {} wanted",
                f.id,
                units::show(left),
                into.id,
                units::show(OVER_POINT)
            ),
            "a shorter screw, or a thicker board".into(),
            SOURCE,
        ));
    }
}

/// What a screw's end nearly touches.
fn near_ends(design: &Design, assembly: &Assembly, measured: &[Measured], out: &mut Vec<Finding>) {
    for m in measured {
        if m.joint.is_some() || m.is.overlap > 0.0 || m.is.clearance >= END - ROUNDING {
            continue;
        }
        for (s, o, at) in [(m.a, m.b, m.is.at[0]), (m.b, m.a, m.is.at[1])] {
            let (screw, other) = (&assembly.parts[s], &assembly.parts[o]);
            let Some(f) = design.fasteners.iter().find(|f| f.id == screw.id) else {
                continue;
            };
            let beyond = f.pose.inverse().point(at).z - end(f);
            // its rim, or near it: the side of a shank is no end
            if beyond < -0.1 || other.owner == screw.owner {
                continue;
            }
            out.push(warning(
                "screw-long",
                vec![screw.id.clone(), other.id.clone()],
                at,
                [m.is.clearance, END],
                format!(
                    "{} ends {} from {}, {} wanted",
                    screw.id,
                    units::show(m.is.clearance),
                    other.id,
                    units::show(END)
                ),
                "a shorter screw, or move one of the two".into(),
                SOURCE,
            ));
        }
    }
}
