//! What is routed or sawn into a board: grooves, rabbets, the fingers of a box joint.

use super::faces::{datum_of, face_words};
use crate::assembly::Kind;
use crate::design::{Design, Flat};
use crate::params::Corner;
use crate::shop::steps::{self, Step};
use crate::units;
use glam::DVec2;

/// A cut that is not drilled.
#[derive(Clone, Debug, PartialEq)]
pub struct Rout {
    /// Its mark: `rout-1`, `rout-2`, ...; no letter of a hole
    pub tag: String,
    /// Its id.
    pub id: String,
    /// What it is for.
    pub purpose: String,
    /// From the datum corner to its near corner, along the two datum edges, mm.
    pub from: DVec2,
    /// From the datum corner to its far corner, mm.
    pub to: DVec2,
    /// Depth from its face, mm; `None` right through.
    pub depth: Option<f64>,
    /// The face it is made from, in words.
    pub face: String,
    /// What is done, in order.
    pub steps: Vec<Step>,
    /// What to buy, if nothing owned serves.
    pub buy: Vec<String>,
}

impl Rout {
    /// Its size in words, mm: `3.40 x 183.0, 8.0 deep`.
    #[must_use]
    pub fn size(&self) -> String {
        let s = self.to - self.from;
        let depth = self
            .depth
            .map_or_else(|| "through".into(), |d| format!("{d:.1} deep"));
        format!("{:.2} x {:.1}, {depth}", s.min_element(), s.max_element())
    }
}

/// The mark of the pocket that stands there in the part's list, from 0.
#[must_use]
pub(in crate::shop) fn rout_tag(k: usize) -> String {
    format!("rout-{}", k + 1)
}

/// The grooves and rabbets of a part in the order of the design, then its corner joint.
pub(super) fn routs(design: &Design, flat: &Flat) -> Vec<Rout> {
    let [low, high] = flat.outline.bounds();
    let (corner, way) = datum_of(flat);
    let mut out = Vec::new();
    for p in &flat.pockets {
        let (a, b) = (
            (p.low.clamp(low, high) - corner) * way,
            (p.high.clamp(low, high) - corner) * way,
        );
        let (from, to) = (a.min(b), a.max(b));
        let size = to - from;
        // open at both ends, at one, or stopped: the router has to know
        let across = usize::from(size.y > size.x);
        let ends = [p.low, p.high]
            .iter()
            .filter(|c| c[across] <= low[across] || c[across] >= high[across])
            .count();
        let what = if p.id.contains("rabbet") {
            "rabbet of the corner joint"
        } else {
            "groove for the plate"
        };
        let runs = match ends {
            0 => "stopped at both ends",
            1 => "open at one end, stopped at the other",
            _ => "open at both ends",
        };
        let plan = steps::rout(&design.tools, size.min_element(), p.depth);
        out.push(Rout {
            tag: rout_tag(out.len()),
            id: p.id.clone(),
            purpose: format!("{what}, {runs}"),
            from,
            to,
            depth: Some(p.depth),
            face: face_words(design, flat, p.face).into(),
            steps: plan.steps,
            buy: plan.buy,
        });
    }
    if flat.kind == Kind::Board && design.corner == Some(Corner::BoxJoint) {
        out.extend(fingers(design, flat, out.len()));
    }
    out
}

/// The sockets between the fingers at both ends of a board: one row, since both ends and all four boards are cut with one setting.
fn fingers(design: &Design, flat: &Flat, number: usize) -> Option<Rout> {
    let [low, high] = flat.outline.bounds();
    let inset: Vec<DVec2> = flat
        .outline
        .nodes
        .iter()
        .map(|n| n.at)
        .filter(|p| p.y > low.y + 1e-6 && p.y < (low.y + high.y) / 2.0)
        .collect();
    let deep = inset.first()?.y - low.y;
    let mut steps_x: Vec<f64> = inset.iter().map(|p| p.x - low.x).collect();
    steps_x.sort_by(f64::total_cmp);
    steps_x.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let sockets: Vec<[f64; 2]> = steps_x.chunks_exact(2).map(|c| [c[0], c[1]]).collect();
    let wide = sockets.first()?;
    let wide = wide[1] - wide[0];
    let starts = if sockets[0][0] > 1e-6 {
        "a finger"
    } else {
        "a socket"
    };
    let places: Vec<String> = sockets
        .iter()
        .map(|[a, b]| format!("{a:.1} to {b:.1}"))
        .collect();
    let plan = steps::fingers(&design.tools, wide);
    Some(Rout {
        tag: rout_tag(number),
        id: format!("{}-fingers", flat.id),
        purpose: format!(
            "box joint at both ends: {}, {} wide and {} deep; each edge begins with {starts}; sockets at {} mm",
            units::count(sockets.len(), "socket"),
            units::mm_2(wide),
            units::mm_1(deep),
            places.join(", ")
        ),
        from: DVec2::ZERO,
        to: DVec2::new(high.x - low.x, deep),
        depth: None,
        face: "either face, the board on end".into(),
        steps: plan.steps,
        buy: plan.buy,
    })
}
