//! What changed between two states of a design: dimensions, pieces, holes, printed templates, findings.
//!
//! The earlier state may be a study or what was kept of one in `fit.json`; the later is a study.

use crate::fit::{DerivedLine, Finding, HoleRow, PieceRow, Report, Severity, Verdict};
use crate::shop::{self, plan, template};
use crate::study::Study;
use glam::DVec2;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Differences below this are none, mm: far under what a scriber or a saw shows, far over rounding.
const SAME: f64 = 0.005;

/// What is known of the earlier state. Reads from `fit.json`, in which everything may be missing but the verdict and the design.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Before {
    /// Name of the design.
    pub design: String,
    /// The answer.
    pub verdict: Verdict,
    /// How many parts rested on figures nobody measured.
    #[serde(default)]
    pub unmeasured: usize,
    /// What was found.
    #[serde(default)]
    pub findings: Vec<Finding>,
    /// Numbers the design worked out.
    #[serde(default)]
    pub derived: Vec<DerivedLine>,
    /// Pieces to cut; none in files of versions that did not write them.
    pub pieces: Option<Vec<PieceRow>>,
    /// Holes to make; likewise.
    pub holes: Option<Vec<HoleRow>>,
}

impl Before {
    /// What is compared of a study.
    #[must_use]
    pub fn of(report: &Report) -> Before {
        Before {
            design: report.design.clone(),
            verdict: report.verdict,
            unmeasured: report.unmeasured,
            findings: report.findings.clone(),
            derived: report.derived.clone(),
            pieces: Some(report.pieces.clone()),
            holes: Some(report.holes.clone()),
        }
    }
}

/// How a state stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Standing {
    /// Name of the design.
    pub design: String,
    /// The answer.
    pub verdict: Verdict,
    /// Parts that rest on figures nobody measured.
    pub unmeasured: usize,
}

/// A derived number that changed, came or went.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dimension {
    /// What it is.
    pub name: String,
    /// As it was; missing if it is new.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before_mm: Option<f64>,
    /// As it is; missing if it is gone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after_mm: Option<f64>,
    /// How it comes about now, or came about.
    pub reason: String,
}

/// What happened to a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PieceFate {
    /// Its size or material is another.
    CutAgain,
    /// The size is as it was, but a hole moved, shrank or is gone.
    DrillAgain,
    /// As it was, with holes to add or to open up.
    DrillMore,
    /// It was not there.
    New,
    /// It is not needed any more.
    Gone,
}

/// A piece that changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PieceChange {
    /// Id of the part.
    pub id: String,
    /// What happened.
    pub fate: PieceFate,
    /// Size as it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before_mm: Option<[f64; 3]>,
    /// Size as it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after_mm: Option<[f64; 3]>,
    /// Material as it was, if that changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub material_before: Option<String>,
    /// Material as it is, if that changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub material_after: Option<String>,
}

/// A hole that changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoleChange {
    /// Id of the piece.
    pub part: String,
    /// Id of the hole.
    pub id: String,
    /// Its id as it was, if that is all that changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id_before: Option<String>,
    /// Where it was from the datum corner; missing if it is new.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before_mm: Option<[f64; 2]>,
    /// Where it is; missing if it is gone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after_mm: Option<[f64; 2]>,
    /// How far it moved, 0 if only its size changed.
    pub moved_mm: f64,
    /// Size as it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_before: Option<String>,
    /// Size as it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_after: Option<String>,
}

/// A printed template of which pages are not to be used any more.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Void {
    /// Id of the piece.
    pub part: String,
    /// Its file under `shop/`.
    pub file: String,
    /// Pages, from 1.
    pub pages: Vec<usize>,
    /// How many it has.
    pub of: usize,
}

/// A finding in both states that is not the same.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FindingChange {
    /// As it was.
    pub before: Finding,
    /// As it is.
    pub after: Finding,
}

/// All that changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Comparison {
    /// Version of the format: 1.
    pub format: u32,
    /// How it stood.
    pub before: Standing,
    /// How it stands.
    pub after: Standing,
    /// Whether the earlier state said which pieces and holes it had; if not, the three lists that follow from them are empty.
    pub pieces_known: bool,
    /// Derived numbers that changed, in the order of the design.
    pub dimensions: Vec<Dimension>,
    /// Pieces that changed.
    pub pieces: Vec<PieceChange>,
    /// Holes that changed.
    pub holes: Vec<HoleChange>,
    /// Printed templates that are void.
    pub void_templates: Vec<Void>,
    /// Findings that were not there.
    pub new_findings: Vec<Finding>,
    /// Findings that are gone.
    pub cured_findings: Vec<Finding>,
    /// Findings that are better or worse.
    pub changed_findings: Vec<FindingChange>,
}

impl Comparison {
    /// Whether nothing changed that is compared.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.before == self.after
            && self.dimensions.is_empty()
            && self.pieces.is_empty()
            && self.holes.is_empty()
            && self.void_templates.is_empty()
            && self.new_findings.is_empty()
            && self.cured_findings.is_empty()
            && self.changed_findings.is_empty()
    }
}

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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study;

    const DEMO: &str = crate::testing::HARBOUR;

    fn from_json(report: &Report) -> Before {
        serde_json::from_slice(&crate::export::json::fit_json(report)).expect("what was written")
    }

    #[test]
    fn nothing_changes_between_equals_and_a_written_report_stands_for_its_study() {
        let s = study::study(DEMO).expect("sound");
        assert!(compare(&Before::of(&s.report), &s).is_empty());
        let c = compare(&from_json(&s.report), &s);
        assert!(c.pieces_known && c.is_empty(), "{} holes", c.holes.len());
    }

    /// By hand: the inside grows by 4 mm, so does everything that spans it; a hole's place from its datum follows its own edge.
    #[test]
    fn a_wider_cabinet_is_cut_again_and_every_number_says_why() {
        let old = study::study(DEMO).expect("sound");
        let width = old.design.cabinet.expect("a box").width;
        let text = DEMO.replacen(
            &format!("width = {width}"),
            &format!("width = {}", width + 4.0),
            1,
        );
        assert_ne!(text, DEMO, "the demo gives its inside width so: {width}");
        let new = study::study(&text).expect("sound");
        let c = compare(&Before::of(&old.report), &new);
        let plate = c.pieces.iter().find(|p| p.id == "plate").expect("changed");
        assert_eq!(plate.fate, PieceFate::CutAgain);
        let (b, a) = (plate.before_mm.expect("was"), plate.after_mm.expect("is"));
        assert!((a[0] - b[0] - 4.0).abs() < 1e-9, "{b:?} {a:?}");
        assert!(c.pieces.iter().all(|p| !p.id.starts_with("side-")));
        let d = c
            .dimensions
            .iter()
            .find(|d| d.name == "plate width over the ears")
            .expect("changed");
        assert!(
            d.reason.contains(&format!("{:.1}", width + 4.0)),
            "{}",
            d.reason
        );
        // every page of a piece that is cut anew is void
        let v = c
            .void_templates
            .iter()
            .find(|v| v.part == "plate")
            .expect("void");
        assert_eq!(v.pages.len(), v.of);
    }

    /// A tube goes 3 mm to the right: its holes move by 3 mm and nothing else does; the plate keeps its size.
    #[test]
    fn a_moved_tube_moves_its_own_holes() {
        let old = study::study(DEMO).expect("sound");
        let before = Before::of(&old.report);
        let mut moved = before.clone();
        for h in moved.holes.iter_mut().flatten() {
            if h.part == "plate" && h.id.starts_with("V2-") {
                h.at_mm[0] -= 3.0;
            }
        }
        let c = compare(&moved, &old);
        assert!(!c.holes.is_empty());
        for h in &c.holes {
            assert!(
                h.id.starts_with("V2-") && (h.moved_mm - 3.0).abs() < 1e-9,
                "{h:?}"
            );
        }
        assert_eq!(c.pieces.len(), 1);
        assert_eq!(c.pieces[0].fate, PieceFate::DrillAgain);
        let v = c
            .void_templates
            .iter()
            .find(|v| v.part == "plate")
            .expect("void");
        assert!(!v.pages.is_empty() && v.pages.len() < v.of, "{v:?}");
    }

    /// Nobody drills a plate again because a tube is called otherwise.
    #[test]
    fn a_hole_under_another_name_is_the_same_hole() {
        let s = study::study(DEMO).expect("sound");
        let mut before = Before::of(&s.report);
        let mut renamed = 0;
        for h in before.holes.iter_mut().flatten() {
            if let Some(rest) = h.id.strip_prefix("V2-") {
                h.id = format!("driver-{rest}");
                renamed += 1;
            }
        }
        let c = compare(&before, &s);
        assert!(renamed > 0 && c.holes.len() == renamed);
        for h in &c.holes {
            let was = h.id_before.as_deref().expect("its old name");
            assert_eq!(was.replacen("driver-", "V2-", 1), h.id);
            assert_eq!(h.moved_mm, 0.0);
        }
        assert!(c.pieces.is_empty() && c.void_templates.is_empty());
        assert!(!c.is_empty());
    }

    #[test]
    fn what_can_still_be_drilled_is_not_cut_again() {
        let s = study::study(DEMO).expect("sound");
        let mut before = Before::of(&s.report);
        let holes = before.holes.as_mut().expect("known");
        let gone = holes
            .iter()
            .position(|h| h.part == "panel-rear")
            .expect("a hole");
        holes.remove(gone);
        let c = compare(&before, &s);
        assert_eq!(c.pieces.len(), 1);
        assert_eq!(c.pieces[0].fate, PieceFate::DrillMore);
        // an earlier file that does not know of holes is told so, not taken for one without any
        before.holes = None;
        let c = compare(&before, &s);
        assert!(!c.pieces_known && c.holes.is_empty() && c.pieces.is_empty());
    }

    #[test]
    fn new_cured_and_changed_findings() {
        let s =
            study::study(include_str!("../tests/designs/tube-into-roof.toml")).expect("resolved");
        let mut before = Before::of(&s.report);
        let worst = before.findings.remove(0);
        let mut other = before.findings[0].clone();
        other.id = "invented".into();
        before.findings.push(other.clone());
        before.findings[0].measured += 1.0;
        let c = compare(&before, &s);
        assert_eq!(c.new_findings, [worst]);
        assert_eq!(c.cured_findings, [other]);
        assert_eq!(c.changed_findings.len(), 1);
    }
}
