//! From measurements to findings.

use super::air;
use super::measure_all::Measured;
use super::report::{Finding, Severity};
use crate::assembly::{Assembly, How, Kind, Part, Rule};
use crate::design::Design;
use crate::units;
use glam::DVec3;
use std::collections::{BTreeMap, BTreeSet};

/// Common volume that two joined parts may show, mm3: the rounding of mating circles, not material.
const JOINED_OVERLAP: f64 = 0.01;

/// Volumes that differ by less are told as one, mm3.
const SAME: f64 = 1e-3;

/// Parts nearer than this touch: as far as a measured clearance may fall short of the true one, mm.
const TOUCHING: f64 = 0.024;

/// Everything the measured pairs say, in the order of the parts.
pub(super) fn of_pairs(
    design: &Design,
    assembly: &Assembly,
    measured: &[Measured],
) -> Vec<Finding> {
    let mut out = Vec::new();
    let movables: BTreeSet<&str> = design.movables.iter().map(|v| v.id.as_str()).collect();
    let movable = |p: &Part| movables.contains(p.owner.as_str());
    for m in measured {
        // the part that can be moved comes first
        let (a, b) = (&assembly.parts[m.a], &assembly.parts[m.b]);
        let (a, b) = if !movable(a) && movable(b) {
            (b, a)
        } else {
            (a, b)
        };
        let at = m.is.at[0].midpoint(m.is.at[1]);
        let finding = match m.joint {
            Some(j) => of_joint(
                design,
                assembly.joints[j].how,
                assembly.joints[j].rule,
                a,
                b,
                m,
                at,
            ),
            None => of_pair(design, a, b, m, at),
        };
        out.extend(finding);
    }
    worst_of_each_two_items(assembly, out)
}

/// Two items that meet do so in many of their solids: one finding tells it, at the worst place, and says how many more there are. `pairs`
/// holds them all.
fn worst_of_each_two_items(assembly: &Assembly, findings: Vec<Finding>) -> Vec<Finding> {
    let owner: BTreeMap<&str, &str> = assembly
        .parts
        .iter()
        .map(|p| (p.id.as_str(), p.owner.as_str()))
        .collect();
    let mut places: BTreeMap<(String, [String; 2]), usize> = BTreeMap::new();
    let mut out: Vec<Finding> = Vec::new();
    let mut more: Vec<usize> = Vec::new();
    for f in findings {
        let row = f.id == "joint-overlap";
        let merged = row || matches!(f.id.as_str(), "overlap" | "air" | "touching");
        // the screws of a row stand for one another
        let mut owners = [0, 1].map(|k| {
            let id = f.about[k].as_str();
            let stem = id.trim_end_matches(|c: char| c.is_ascii_digit());
            if row { stem } else { owner[id] }.to_owned()
        });
        owners.sort_unstable();
        let key = (f.id.clone(), owners);
        match places.get(&key).filter(|_| merged) {
            None => {
                places.insert(key, out.len());
                out.push(f);
                more.push(0);
            }
            Some(&k) => {
                more[k] += 1;
                let worse = if f.unit == "mm3" {
                    f.measured > out[k].measured + SAME
                } else {
                    f.measured - f.wanted < out[k].measured - out[k].wanted
                };
                if worse {
                    out[k] = f;
                }
            }
        }
    }
    for (f, n) in out.iter_mut().zip(more) {
        if n > 0 {
            f.text.push_str(&if f.id == "joint-overlap" {
                format!("; so do {n} more like it")
            } else if n == 1 {
                "; so does 1 more pair of their parts".to_owned()
            } else {
                format!("; so do {n} more pairs of their parts")
            });
        }
    }
    out
}

fn of_pair(design: &Design, a: &Part, b: &Part, m: &Measured, at: DVec3) -> Option<Finding> {
    let finding = |id: &str, severity, figures, text: String, source: &str| {
        Some(Finding::new(id, severity, [&a.id, &b.id], at, figures).says(text, "", source))
    };
    let place = || place(design, at);
    if m.is.overlap > 0.0 {
        return finding(
            "overlap",
            Severity::Error,
            (m.is.overlap, 0.0, "mm3"),
            format!(
                "{} deep: {} runs into {}, {} in common, {}",
                units::show(m.is.depth),
                a.id,
                b.id,
                units::show_volume(m.is.overlap),
                place()
            ),
            "geometry",
        );
    }
    if let Some((wanted, why)) = m.wanted.as_ref().filter(|w| m.is.clearance < w.0) {
        return finding(
            "air",
            Severity::Warning,
            (m.is.clearance, *wanted, "mm"),
            format!(
                "{} between {} and {}, {} wanted, {} ({why})",
                units::show(m.is.clearance),
                a.id,
                b.id,
                units::show(*wanted),
                place()
            ),
            if why.ends_with("own rule") {
                "the parameter file"
            } else {
                air::SOURCE
            },
        );
    }
    if m.is.clearance <= TOUCHING && a.owner != b.owner {
        return finding(
            "touching",
            Severity::Warning,
            (m.is.clearance, TOUCHING, "mm"),
            format!("{} touches {}, {}", a.id, b.id, place()),
            "geometry",
        );
    }
    None
}

fn of_joint(
    design: &Design,
    how: How,
    rule: Rule,
    a: &Part,
    b: &Part,
    m: &Measured,
    at: DVec3,
) -> Option<Finding> {
    // the ear, or the head, is spoken of first
    let first = match rule {
        Rule::Engaged { .. } => Kind::Plate,
        _ => Kind::Screw,
    };
    let (a, b) = if b.kind == first && a.kind != first {
        (b, a)
    } else {
        (a, b)
    };
    let finding = |id: &str, severity, measured, wanted, unit: &str, text: String, hint: &str| {
        let about = [&a.id, &b.id];
        Some(
            Finding::new(id, severity, about, at, (measured, wanted, unit)).says(
                text,
                hint,
                "common practice",
            ),
        )
    };
    if m.is.overlap > JOINED_OVERLAP {
        let place = place(design, at);
        return finding(
            "joint-overlap",
            Severity::Error,
            m.is.overlap,
            0.0,
            "mm3",
            format!(
                "{} is {} {} and runs into it, {} in common, {place}",
                a.id,
                how_to(how),
                b.id,
                units::show_volume(m.is.overlap)
            ),
            "",
        );
    }
    match rule {
        Rule::Gap { most } if m.is.clearance > most => finding(
            "joint-open",
            Severity::Error,
            m.is.clearance,
            most,
            "mm",
            format!(
                "{} and {} should be {} but stand {} apart, {}",
                a.id,
                b.id,
                how_word(how),
                units::show(m.is.clearance),
                place(design, at)
            ),
            "",
        ),
        Rule::Flush { proud, given } if given > proud => finding(
            "head-proud",
            Severity::Warning,
            given,
            proud,
            "mm",
            format!(
                "the head of {} stands {} out of {}",
                a.id,
                units::show(given),
                b.id
            ),
            "a deeper countersink, or a smaller screw",
        ),
        _ => None,
    }
}

/// What the design had to say before anything was measured.
pub(super) fn of_remarks(design: &Design) -> Vec<Finding> {
    design
        .remarks
        .iter()
        .map(|r| Finding {
            id: r.check.into(),
            severity: if r.error {
                Severity::Error
            } else {
                Severity::Warning
            },
            about: r.about.clone(),
            at_mm: [0.0; 3],
            measured: r.measured,
            wanted: r.wanted,
            unit: "mm".into(),
            text: r.text.clone(),
            hint: r.hint.clone(),
            source: r.source.into(),
        })
        .collect()
}

/// A place as a builder would measure it.
pub(super) fn place(design: &Design, at: DVec3) -> String {
    let x = units::show(at.x);
    let z = units::show(at.z);
    match &design.plate {
        Some(p) => format!(
            "{x} from the inside left, {} behind the plate's front edge, {z} above the floor",
            units::show(at.y - p.y0)
        ),
        None => format!(
            "{x} from the inside left, {} behind the front edges, {z} above the floor",
            units::show(at.y)
        ),
    }
}

pub(super) fn how_word(how: How) -> &'static str {
    match how {
        How::Bolted => "bolted",
        How::Through => "through its hole",
        How::Threaded => "threaded",
        How::Seated => "seated",
        How::Inserted => "inserted",
        How::Resting => "resting",
        How::Sliding => "sliding in its groove",
    }
}

/// The same with what follows it.
fn how_to(how: How) -> &'static str {
    match how {
        How::Bolted => "bolted to",
        How::Through => "through its hole in",
        How::Threaded => "threaded into",
        How::Seated => "seated on",
        How::Inserted => "inserted in",
        How::Resting => "resting on",
        How::Sliding => "sliding in its groove in",
    }
}

/// A kind in the trade's words.
#[must_use]
pub fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Board => "board",
        Kind::Baffle => "baffle",
        Kind::Cleat => "cleat",
        Kind::Covering => "covering",
        Kind::BackBoard => "back board",
        Kind::Foot => "foot",
        Kind::Handle => "handle",
        Kind::SpeakerFrame => "speaker frame",
        Kind::Magnet => "magnet",
        Kind::Plate => "plate",
        Kind::Panel => "panel",
        Kind::Angle => "angle",
        Kind::Bracket => "bracket",
        Kind::Screw => "screw",
        Kind::Nut => "nut",
        Kind::Washer => "washer",
        Kind::SmallTube => "small tube",
        Kind::PowerTube => "power tube",
        Kind::Rectifier => "rectifier",
        Kind::Retainer => "retainer",
        Kind::Socket => "socket",
        Kind::Iron => "iron",
        Kind::Coil => "coil",
        Kind::Can => "can",
        Kind::Clamp => "clamp",
        Kind::CircuitBoard => "circuit board",
        Kind::StandOff => "stand-off",
        Kind::Control => "control",
        Kind::Knob => "knob",
        Kind::Hardware => "hardware",
        Kind::ReverbTank => "reverb tank",
    }
}
