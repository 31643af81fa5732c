//! What can change, as records; and what is known of the earlier state.

use crate::fit::{DerivedLine, Finding, HoleRow, PieceRow, Report, Verdict};
use serde::{Deserialize, Serialize};

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
