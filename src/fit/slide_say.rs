//! What is said of the way in.

use super::findings::place;
use super::report::{Finding, Severity};
use super::scene::Scene;
use super::slide_pass::{Off, Pass, is_frame, is_wood};
use crate::units;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

/// The tightest place is told if it is nearer than this, mm.
const SPOKEN_OF: f64 = 6.0;

const SOURCE: &str = "common practice";

pub(super) fn findings(
    scene: &Scene<'_, '_>,
    passes: &[Pass],
    pluggable: &BTreeSet<&str>,
) -> Vec<Finding> {
    let parts = &scene.assembly.parts;
    // what two items do to each other is told once, at its worst
    let mut worst: BTreeMap<(&str, &str, bool), &Pass> = BTreeMap::new();
    let mut boards: BTreeMap<&str, &Pass> = BTreeMap::new();
    let mut knobs: BTreeMap<&str, &Pass> = BTreeMap::new();
    let (short, enough): (Vec<&Pass>, Vec<&Pass>) =
        passes.iter().partition(|p| p.clearance < p.wanted);
    for p in short {
        let (m, f) = (&parts[p.moving], &parts[p.fixed]);
        match p.off {
            Off::Board => keep_worst(boards.entry(&f.owner), p),
            Off::Knob => keep_worst(knobs.entry(&m.id), p),
            Off::Tube | Off::Nothing => {
                keep_worst(worst.entry((&m.owner, &f.owner, p.off == Off::Tube)), p);
            }
        }
    }
    let mut out: Vec<Finding> = (worst.values())
        .map(|p| of_pass(scene, p, pluggable))
        .collect();
    if out.is_empty() {
        out.extend(least(scene, &enough, pluggable));
    }
    for (board, p) in boards {
        let m = &parts[p.moving];
        out.push(Finding {
            id: "slide-board-off".into(),
            severity: Severity::Note,
            about: vec![board.to_owned(), m.id.clone()],
            at_mm: p.at.to_array(),
            measured: p.clearance,
            wanted: p.wanted,
            unit: "mm".into(),
            text: format!(
                "{board} must be off while the chassis slides in: it is in the way of {}",
                m.id
            ),
            hint: String::new(),
            source: "geometry".into(),
        });
    }
    if let Some(p) = knobs.values().next() {
        let ids: Vec<String> = knobs.keys().map(|k| (*k).to_owned()).collect();
        let f = &parts[p.fixed];
        out.push(Finding {
            id: "slide-knobs-after".into(),
            severity: Severity::Note,
            at_mm: p.at.to_array(),
            measured: p.clearance,
            wanted: p.wanted,
            unit: "mm".into(),
            text: format!(
                "to go on after the chassis is in: {}; {} is in the way",
                ids.join(", "),
                f.id
            ),
            about: ids,
            hint: String::new(),
            source: "geometry".into(),
        });
    }
    out
}

/// The tightest place of all, and what is left of it with tubes out or knobs off.
fn least(scene: &Scene<'_, '_>, enough: &[&Pass], pluggable: &BTreeSet<&str>) -> Option<Finding> {
    let parts = &scene.assembly.parts;
    let least = |without: Option<Off>| {
        (enough.iter().copied())
            .filter(|p| p.off != Off::Board && Some(p.off) != without)
            .filter(|p| p.clearance < p.wanted.max(SPOKEN_OF))
            .filter(|p| !(is_frame(&parts[p.moving]) && is_wood(&parts[p.fixed])))
            .min_by(|a, b| a.clearance.total_cmp(&b.clearance))
    };
    let first = least(None)?;
    let mut finding = of_pass(scene, first, pluggable);
    let without = match first.off {
        Off::Tube => "with tubes out",
        Off::Knob => "with knobs off",
        Off::Board | Off::Nothing => return Some(finding),
    };
    finding.text.push_str(&match least(Some(first.off)) {
        Some(p) => format!(
            "; {without} {} between {} and {}",
            units::show(p.clearance),
            parts[p.moving].id,
            parts[p.fixed].id
        ),
        None => format!("; {without} nothing is nearer than {SPOKEN_OF} mm"),
    });
    Some(finding)
}

fn keep_worst<'a, 'p, K: Ord>(entry: Entry<'a, K, &'p Pass>, p: &'p Pass) {
    let was = entry.or_insert(p);
    let rank = |p: &Pass| (!p.hits, p.clearance - p.wanted);
    let (new, old) = (rank(p), rank(was));
    // a hit met earlier on the way in is the worse one
    if (new.0, new.1) < (old.0, old.1) || (p.hits && was.hits && p.left > was.left) {
        *was = p;
    }
}

fn of_pass(scene: &Scene<'_, '_>, p: &Pass, pluggable: &BTreeSet<&str>) -> Finding {
    let parts = &scene.assembly.parts;
    let (m, f) = (&parts[p.moving], &parts[p.fixed]);
    let left = if p.left < 0.05 {
        "as it comes to its seat".to_owned()
    } else {
        format!("{} before it is seated", units::show(p.left))
    };
    let place = place(scene.design, p.at);
    let base = Finding {
        id: "slide".into(),
        severity: Severity::Error,
        about: vec![m.id.clone(), f.id.clone()],
        at_mm: p.at.to_array(),
        measured: if p.hits { p.left } else { p.clearance },
        wanted: if p.hits { 0.0 } else { p.wanted },
        unit: "mm".into(),
        text: String::new(),
        hint: String::new(),
        source: SOURCE.into(),
    };
    if p.hits && p.off == Off::Tube {
        let met = format!(
            "{} hits {} while the chassis slides in with tubes fitted, {left}; {place}; with {} out it passes",
            m.id, f.id, m.owner
        );
        let away = format!(
            "move {} out of the way of {}, or lower the plate",
            m.owner, f.id
        );
        return if pluggable.contains(m.owner.as_str()) {
            Finding {
                id: "slide-tubes-after".into(),
                severity: Severity::Warning,
                text: format!("{met}, and it can be plugged with the chassis in its place"),
                hint: format!(
                    "slide the chassis in first, then plug {}; or {away}",
                    m.owner
                ),
                ..base
            }
        } else {
            Finding {
                text: format!("{met}, but it cannot be plugged with the chassis in its place"),
                hint: away,
                ..base
            }
        };
    }
    if p.hits {
        return Finding {
            text: format!(
                "{} hits {} while the chassis slides in, {left}; {place}",
                m.id, f.id
            ),
            hint: if f.owner.starts_with("retain-") {
                "`chassis.retain.kind = \"bracket\"`: brackets come in with the plate, blocks stand in the way of a panel".into()
            } else {
                format!(
                    "move {} out of the way of {}, or let the chassis enter from the other edge",
                    m.owner, f.id
                )
            },
            ..base
        };
    }
    let rubs = p.clearance == 0.0;
    let enough = p.clearance >= p.wanted;
    let wanted = units::show(p.wanted);
    Finding {
        id: if rubs { "slide-rub" } else { "slide" }.into(),
        severity: if enough {
            Severity::Note
        } else {
            Severity::Warning
        },
        text: if rubs {
            format!(
                "{} rubs along {} while the chassis slides in, {wanted} wanted, {left}; {place}",
                m.id, f.id
            )
        } else {
            format!(
                "{} between {} and {} while the chassis slides in, {wanted} wanted, {left}; {place}",
                units::show(p.clearance),
                m.id,
                f.id
            )
        },
        hint: if enough {
            String::new()
        } else {
            format!("move {} away from {}", m.owner, f.id)
        },
        ..base
    }
}
