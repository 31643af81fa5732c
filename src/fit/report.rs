//! The report: everything `fit.json` says, in its order and under its names.

use glam::DVec3;
use serde::{Deserialize, Serialize};

/// The answer in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// No error, no warning.
    Fits,
    /// Warnings only.
    Tight,
    /// At least one error.
    Clashes,
}

/// How bad a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Parts overlap, or a rule that must hold does not.
    Error,
    /// Below what is wanted.
    Warning,
    /// Worth knowing.
    Note,
}

/// What a check reports.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    /// Which check: lower-case words joined by `-`.
    pub id: String,
    /// How bad.
    pub severity: Severity,
    /// Ids of the parts, the movable one first.
    pub about: Vec<String>,
    /// Where, amp frame, mm.
    pub at_mm: [f64; 3],
    /// What was measured, in `unit`.
    pub measured: f64,
    /// What was wanted, in `unit`.
    pub wanted: f64,
    /// `mm`, `mm3`, `kg`, ...
    pub unit: String,
    /// For a person: both parts, the place from datum edges, the number that matters first.
    pub text: String,
    /// What to do about it; empty if nothing helps.
    pub hint: String,
    /// Where the rule is from and its status.
    pub source: String,
}

impl Finding {
    /// All but its words. `figures` are what was measured, what was wanted, and their unit.
    pub(super) fn new<S: Into<String>>(
        id: &str,
        severity: Severity,
        about: impl IntoIterator<Item = S>,
        at: DVec3,
        figures: (f64, f64, &str),
    ) -> Finding {
        let (measured, wanted, unit) = figures;
        Finding {
            id: id.into(),
            severity,
            about: about.into_iter().map(Into::into).collect(),
            at_mm: at.to_array(),
            measured,
            wanted,
            unit: unit.into(),
            text: String::new(),
            hint: String::new(),
            source: String::new(),
        }
    }

    /// The same with its words.
    pub(super) fn says(
        self,
        text: impl Into<String>,
        hint: impl Into<String>,
        source: &str,
    ) -> Finding {
        Finding {
            text: text.into(),
            hint: hint.into(),
            source: source.into(),
            ..self
        }
    }
}

/// A pair of the way in, for fit.json.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SlideRow {
    /// The part that slides.
    pub a: String,
    /// The part that stays.
    pub b: String,
    /// Least distance over the whole way; 0 if they meet.
    pub least_mm: f64,
    /// Way that is left to the seat where they are that near, or first meet.
    pub before_seated_mm: f64,
    /// Wanted air.
    pub wanted_mm: f64,
    /// What may be left off until the chassis is in: `tube`, `knob`, `back board`; empty for what stays on.
    pub comes_off: String,
}

/// A solid in `fit.json`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SolidRow {
    /// Its id.
    pub id: String,
    /// Kind in words.
    pub kind: String,
    /// Group in words.
    pub group: String,
    /// Slides with the chassis.
    pub moves: bool,
    /// Material.
    pub material: String,
    /// Exact volume.
    pub volume_mm3: f64,
    /// Mass.
    pub mass_g: f64,
    /// Exact box in the amp frame: low and high corner.
    pub box_mm: [[f64; 3]; 2],
    /// Triangles of its export mesh.
    pub triangles: usize,
    /// Where it stands at an odd turn: the corners of its own box from above, round it, in the amp frame, mm; for drawings, not written.
    #[serde(skip)]
    pub turned: Option<[[f64; 2]; 4]>,
}

/// The mass of several solids together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MassRow {
    /// `amp`: all of it; `chassis`: what slides out.
    pub of: String,
    /// Mass.
    pub mass_kg: f64,
    /// Its centre, amp frame.
    pub centre_mm: [f64; 3],
}

/// A measured pair that is not joined.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PairRow {
    /// First part.
    pub a: String,
    /// Second part.
    pub b: String,
    /// Least distance, 0 if they overlap; never above the true one, at most 0.024 below it.
    pub clearance_mm: f64,
    /// Overlap volume.
    pub overlap_mm3: f64,
    /// Wanted air, 0 where no rule applies.
    pub wanted_mm: f64,
    /// The rule in words; empty where none applies.
    pub why: String,
    /// The closest points of the two, amp frame, mm; the middle of the overlap, twice, where there is one. Not in `fit.json`.
    #[serde(skip)]
    pub nearest_mm: [[f64; 3]; 2],
}

/// A measured joint.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JoinedRow {
    /// First part.
    pub a: String,
    /// Second part.
    pub b: String,
    /// How they are joined, in words.
    pub how: String,
    /// Least distance.
    pub clearance_mm: f64,
    /// Overlap volume.
    pub overlap_mm3: f64,
    /// What must be true, in words.
    pub rule: String,
    /// As in [`PairRow`].
    #[serde(skip)]
    pub nearest_mm: [[f64; 3]; 2],
}

/// A derived number.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DerivedLine {
    /// What it is.
    pub name: String,
    /// Value.
    pub value_mm: f64,
    /// How it came about.
    pub reason: String,
}

/// A piece that the builder cuts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PieceRow {
    /// Id of the part.
    pub id: String,
    /// Material.
    pub material: String,
    /// Finished length, width and thickness, joints included.
    pub size_mm: [f64; 3],
}

/// A hole that the builder makes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HoleRow {
    /// Id of the piece.
    pub part: String,
    /// Its own id.
    pub id: String,
    /// From the datum corner along the two datum edges.
    pub at_mm: [f64; 2],
    /// Finished size in words, mm.
    pub size: String,
}

/// An item that rests on figures nobody measured.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UnmeasuredRow {
    /// The item.
    pub id: String,
    /// The catalogue row its figures are of.
    pub row: String,
    /// Where that row has them from.
    pub source: String,
}

/// All of it. Serialises to `fit.json`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// Version of the format: 1.
    pub format: u32,
    /// Name of the design.
    pub design: String,
    /// The answer.
    pub verdict: Verdict,
    /// How many parts rest on figures nobody measured.
    pub unmeasured: usize,
    /// The whole amp, and what moves with the chassis.
    pub masses: Vec<MassRow>,
    /// Which they are.
    pub unmeasured_parts: Vec<UnmeasuredRow>,
    /// Every solid, in assembly order.
    pub solids: Vec<SolidRow>,
    /// Every pair closer than 40 mm or under a rule, not joined; tightest first.
    pub pairs: Vec<PairRow>,
    /// Every joint.
    pub joined: Vec<JoinedRow>,
    /// The edge the chassis slides in from, `rear` or `front`; empty without a chassis.
    pub slide_from: String,
    /// Its way from outside to the seat.
    pub slide_mm: f64,
    /// The tightest pairs of that way, the tightest first.
    pub slide: Vec<SlideRow>,
    /// Errors first.
    pub findings: Vec<Finding>,
    /// Numbers the design worked out, with reasons.
    pub derived: Vec<DerivedLine>,
    /// Pieces to cut.
    pub pieces: Vec<PieceRow>,
    /// Holes to make, piece by piece.
    pub holes: Vec<HoleRow>,
}
