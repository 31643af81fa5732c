//! What changed between two states of a design: dimensions, pieces, holes, printed templates, findings.
//!
//! The earlier state may be a study or what was kept of one in `fit.json`; the later is a study.

mod change;
#[cfg(test)]
mod tests;

pub use change::{
    Before, Comparison, Dimension, FindingChange, HoleChange, PieceChange, PieceFate, Standing,
    Void,
};

use crate::fit::{DerivedLine, Finding, HoleRow, PieceRow, Severity};
use crate::shop::{self, plan, template};
use crate::study::Study;
use glam::DVec2;
use std::collections::{BTreeMap, BTreeSet};

/// Differences below this are none, mm: far under what a scriber or a saw shows, far over rounding.
const SAME: f64 = 0.005;

/// What changed from `before` to `after`.
#[must_use]
pub fn compare(before: &Before, after: &Study) -> Comparison {
    let now = &after.report;
    let known = before.pieces.as_ref().zip(before.holes.as_ref());
    let (pieces, holes, void_templates) = known.map_or_else(Default::default, |(pieces, holes)| {
        let holes = hole_changes(holes, &now.holes);
        let pieces = piece_changes(pieces, &now.pieces, &holes);
        let void = voided(after, &pieces, &holes);
        (pieces, holes, void)
    });
    let (new_findings, cured_findings, changed_findings) =
        finding_changes(&before.findings, &now.findings);
    let standing = |design: &str, verdict, unmeasured| Standing {
        design: design.to_owned(),
        verdict,
        unmeasured,
    };
    Comparison {
        format: 1,
        before: standing(&before.design, before.verdict, before.unmeasured),
        after: standing(&now.design, now.verdict, now.unmeasured),
        pieces_known: known.is_some(),
        dimensions: dimension_changes(&before.derived, &now.derived),
        pieces,
        holes,
        void_templates,
        new_findings,
        cured_findings,
        changed_findings,
    }
}

fn dimension_changes(before: &[DerivedLine], after: &[DerivedLine]) -> Vec<Dimension> {
    let index = |list: &[DerivedLine]| -> BTreeMap<String, usize> {
        let mut out = BTreeMap::new();
        for (i, d) in list.iter().enumerate() {
            out.entry(d.name.clone()).or_insert(i);
        }
        out
    };
    let (was, is) = (index(before), index(after));
    let mut out = Vec::new();
    for d in after {
        let old = was.get(&d.name).map(|&i| before[i].value_mm);
        if old.is_none_or(|o| (o - d.value_mm).abs() >= SAME) {
            out.push(Dimension {
                name: d.name.clone(),
                before_mm: old,
                after_mm: Some(d.value_mm),
                reason: d.reason.clone(),
            });
        }
    }
    for d in before.iter().filter(|d| !is.contains_key(&d.name)) {
        out.push(Dimension {
            name: d.name.clone(),
            before_mm: Some(d.value_mm),
            after_mm: None,
            reason: d.reason.clone(),
        });
    }
    out
}

fn hole_changes(before: &[HoleRow], after: &[HoleRow]) -> Vec<HoleChange> {
    let key = |h: &HoleRow| (h.part.clone(), h.id.clone());
    let was: BTreeMap<_, &HoleRow> = before.iter().map(|h| (key(h), h)).collect();
    let is: BTreeSet<_> = after.iter().map(key).collect();
    let mut gone: Vec<&HoleRow> = before.iter().filter(|h| !is.contains(&key(h))).collect();
    let mut out = Vec::new();
    for h in after {
        let mut old = was.get(&key(h)).copied();
        let mut renamed = None;
        if old.is_none() {
            // a hole that is there under another name needs no drill
            let same = |o: &&HoleRow| o.part == h.part && apart(o, h) < SAME && o.size == h.size;
            if let Some(k) = gone.iter().position(same) {
                old = Some(gone.remove(k));
                renamed = old.map(|o| o.id.clone());
            }
        }
        let moved = old.map_or(0.0, |o| apart(o, h));
        let resized = old.is_some_and(|o| o.size != h.size);
        if old.is_some() && moved < SAME && !resized && renamed.is_none() {
            continue;
        }
        out.push(HoleChange {
            part: h.part.clone(),
            id: h.id.clone(),
            id_before: renamed,
            before_mm: old.map(|o| o.at_mm),
            after_mm: Some(h.at_mm),
            moved_mm: if moved < SAME { 0.0 } else { moved },
            size_before: old.map(|o| o.size.clone()),
            size_after: Some(h.size.clone()),
        });
    }
    for h in gone {
        out.push(HoleChange {
            part: h.part.clone(),
            id: h.id.clone(),
            id_before: None,
            before_mm: Some(h.at_mm),
            after_mm: None,
            moved_mm: 0.0,
            size_before: Some(h.size.clone()),
            size_after: None,
        });
    }
    out
}

fn apart(a: &HoleRow, b: &HoleRow) -> f64 {
    DVec2::from_array(a.at_mm).distance(DVec2::from_array(b.at_mm))
}

/// Whether a hole that is there can be made into the one that is wanted: none was there, or a plain round one in its place is opened up.
fn can_be_added(h: &HoleChange) -> bool {
    let Some(before) = &h.size_before else {
        return true;
    };
    let round = |s: &str| s.parse::<f64>().ok();
    match (round(before), h.size_after.as_deref().and_then(round)) {
        (Some(old), Some(new)) => h.moved_mm == 0.0 && new > old,
        _ => false,
    }
}

fn piece_changes(
    before: &[PieceRow],
    after: &[PieceRow],
    holes: &[HoleChange],
) -> Vec<PieceChange> {
    let was: BTreeMap<&str, &PieceRow> = before.iter().map(|p| (p.id.as_str(), p)).collect();
    let is: BTreeSet<&str> = after.iter().map(|p| p.id.as_str()).collect();
    let mut out = Vec::new();
    for p in after {
        let own: Vec<&HoleChange> = (holes.iter())
            .filter(|h| h.part == p.id && h.id_before.is_none())
            .collect();
        let change = |fate, old: Option<&PieceRow>| {
            let other = old.filter(|o| o.material != p.material);
            PieceChange {
                id: p.id.clone(),
                fate,
                before_mm: old.map(|o| o.size_mm),
                after_mm: Some(p.size_mm),
                material_before: other.map(|o| o.material.clone()),
                material_after: other.map(|_| p.material.clone()),
            }
        };
        match was.get(p.id.as_str()) {
            None => out.push(change(PieceFate::New, None)),
            Some(o) => {
                let resized = (0..3).any(|k| (o.size_mm[k] - p.size_mm[k]).abs() >= SAME);
                let fate = if resized || o.material != p.material {
                    PieceFate::CutAgain
                } else if own.iter().any(|h| !can_be_added(h)) {
                    PieceFate::DrillAgain
                } else if !own.is_empty() {
                    PieceFate::DrillMore
                } else {
                    continue;
                };
                out.push(change(fate, Some(o)));
            }
        }
    }
    for p in before.iter().filter(|p| !is.contains(p.id.as_str())) {
        out.push(PieceChange {
            id: p.id.clone(),
            fate: PieceFate::Gone,
            before_mm: Some(p.size_mm),
            after_mm: None,
            material_before: None,
            material_after: None,
        });
    }
    out.sort_by_key(|p| p.fate);
    out
}

/// Pages of the templates as they would be printed now: all of a piece that is cut anew, else those on which a changed hole is or was.
fn voided(after: &Study, pieces: &[PieceChange], holes: &[HoleChange]) -> Vec<Void> {
    let design = &after.design;
    let schedules = shop::schedule(design);
    let mut out = Vec::new();
    for p in plan::plans(design, &after.report, &schedules) {
        let mut places = Vec::new();
        let fate = pieces.iter().find(|c| c.id == p.part).map(|c| c.fate);
        if let Some(PieceFate::DrillAgain | PieceFate::DrillMore) = fate {
            // the legs of an angle have holes of their own; one that is gone may have been on either
            let own = |h: &&HoleChange| {
                h.part == p.part
                    && h.id_before.is_none()
                    && (h.after_mm.is_none() || p.holes.iter().any(|q| q.row.id == h.id))
            };
            for h in holes.iter().filter(own) {
                places.extend(
                    [h.before_mm, h.after_mm]
                        .into_iter()
                        .flatten()
                        .map(DVec2::from_array),
                );
            }
        }
        if places.is_empty() && fate != Some(PieceFate::CutAgain) {
            continue;
        }
        let (mut pages, of) = template::pages_with(design, &p, &places);
        if fate == Some(PieceFate::CutAgain) {
            pages = (1..=of).collect();
        }
        if !pages.is_empty() {
            out.push(Void {
                part: p.part.clone(),
                file: format!("shop/{}", template::file_name(&p)),
                pages,
                of,
            });
        }
    }
    out
}

type Found = (Vec<Finding>, Vec<Finding>, Vec<FindingChange>);

fn finding_changes(before: &[Finding], after: &[Finding]) -> Found {
    let key = |f: &Finding| {
        let mut about = f.about.clone();
        about.sort_unstable();
        (f.id.clone(), about)
    };
    let mut was: BTreeMap<_, Vec<&Finding>> = BTreeMap::new();
    for f in before {
        was.entry(key(f)).or_default().push(f);
    }
    let (mut new, mut changed) = (Vec::new(), Vec::new());
    for f in after {
        let list = was.get_mut(&key(f)).filter(|l| !l.is_empty());
        match list {
            None => new.push(f.clone()),
            Some(list) => {
                let old = list.remove(0);
                let other = (old.measured - f.measured).abs() >= 0.05
                    || (old.wanted - f.wanted).abs() >= 0.05;
                if old.severity != f.severity || (f.severity != Severity::Note && other) {
                    changed.push(FindingChange {
                        before: old.clone(),
                        after: f.clone(),
                    });
                }
            }
        }
    }
    // in the order they were told
    let left: BTreeSet<*const Finding> = was
        .values()
        .flatten()
        .map(|f| std::ptr::from_ref(*f))
        .collect();
    let cured = before
        .iter()
        .filter(|f| left.contains(&std::ptr::from_ref(*f)))
        .cloned()
        .collect();
    (new, cured, changed)
}
