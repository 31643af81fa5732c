//! Printed drill jigs: guides for the pilot drill, from the same holes as the solids and the schedule.
//!
//! Every jig is a [`blank::Blank`], flat outlines in layers, in the frame in which it is used: on the work at z = 0, z up to the drill.
//! All its edges are straight, so body, mesh and file have the same corners; bores are polygons outside their circles.
//!
//! # Errors of place
//! Drawn places are exact. What a printer adds is stated with each jig; nothing here knows the printer.

mod angle;
pub mod blank;
mod centre;
pub mod check;
mod cradle;
mod feet;
mod finish;
mod gauges;
mod guide;
mod label;
pub mod letters;
mod ring;
mod row;
mod scribe;
mod sheet;
mod speaker;
#[cfg(test)]
mod tests;
mod tiles;
mod view;
mod whole;

pub use blank::{Blank, Bore, CrossBore, Pointer};
pub use check::PrintCheck;

use crate::assembly::Assembly;
use crate::design::{Design, Flat, PrintSpec};
use crate::mesh::Mesh;
use crate::pose::Pose;
use crate::shop::Schedule;
use crate::shop::schedule::{face_words, marked_face};
use crate::solid::Body;
use glam::DVec3;
use rayon::prelude::*;

/// Where a jig is used: the frame of use in the amp frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// What is drilled there: the id of a tube, a transformer, a control.
    pub of: String,
    /// The part that is drilled.
    pub part: String,
    /// Frame of use to amp frame.
    pub to_amp: Pose,
}

impl Place {
    fn new(of: &str, part: &str, to_amp: Pose) -> Self {
        Self {
            of: of.to_owned(),
            part: part.to_owned(),
            to_amp,
        }
    }
}

/// A drawn jig.
#[derive(Clone, Debug)]
pub struct Draft {
    /// Stem of its files.
    pub name: String,
    /// What it is, in words.
    pub title: String,
    /// The face it lies on, in words; empty for gauges.
    pub face: String,
    /// The jig.
    pub blank: Blank,
    /// Where it is used; a bore's `holes` stand in the same order unless it says otherwise. Empty for gauges and the like.
    pub places: Vec<Place>,
    /// How it is used, step by step.
    pub steps: Vec<String>,
    /// Whether it is printed as drawn, without the printer's shrink: gauges that find it.
    pub as_drawn: bool,
}

/// One piece that is printed.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Stem of its files.
    pub name: String,
    /// What a printing program lists it as.
    pub label: String,
    /// The exact solid, before scaling, in the frame of use.
    pub body: Body,
    /// As it lies on the bed, scaled for shrink, mm.
    pub mesh: Mesh,
    /// Its volume before scaling, mm3.
    pub volume: f64,
    /// What its letters took away, mm3.
    pub letters: f64,
    /// Floors of its letters as it lies on the bed: outward normal, and distance from the origin along it, mm.
    pub letter_floors: Vec<(DVec3, f64)>,
    /// From the bed, before scaling, to the frame of use.
    pub from_bed: Pose,
    /// What it was scaled by.
    pub scale: f64,
    /// Its guides.
    pub bores: Vec<Bore>,
    /// Its level guides.
    pub cross: Vec<CrossBore>,
    /// What was looked at before printing.
    pub check: PrintCheck,
}

/// A jig, ready to print.
#[derive(Clone, Debug)]
pub struct Jig {
    /// Stem of its files.
    pub name: String,
    /// What it is, in words.
    pub title: String,
    /// Its pieces: one, or tiles.
    pub pieces: Vec<Piece>,
    /// The face it lies on, in words; empty for gauges.
    pub face: String,
    /// Where it is used.
    pub places: Vec<Place>,
    /// How it is used.
    pub steps: Vec<String>,
    /// What gave way.
    pub notes: Vec<String>,
    /// Volume of the jig in one piece, mm3.
    pub uncut: f64,
    /// What the play round its keys takes, mm3.
    pub play: f64,
}

impl Jig {
    /// Where the jig stands when a guide is over the k-th of its holes; `stands` is the guide's own ([`Bore::stands`]).
    #[must_use]
    pub fn place_of(&self, stands: &[usize], k: usize) -> Option<&Place> {
        let k = stands.get(k).copied().unwrap_or(k);
        // one place serves all guides of a jig for one part
        self.places.get(k.checked_rem(self.places.len())?)
    }
}

/// All jigs of a design, and what could not be made.
#[derive(Clone, Debug, Default)]
pub struct Jigs {
    /// In the order they are used.
    pub jigs: Vec<Jig>,
    /// What could not be made, and why.
    pub unmade: Vec<String>,
}

/// What the kinds of jigs draw from.
struct Bench<'d> {
    design: &'d Design,
    schedules: &'d [Schedule],
    print: &'d PrintSpec,
}

impl Bench<'_> {
    /// Which corner of a part is its datum, in the words of its drawing.
    fn datum(&self, part: &str) -> &str {
        let schedule = self.schedules.iter().find(|s| s.part == part);
        schedule.map_or("", |s| s.datum.as_str())
    }

    /// The marked face of a part, in the words of its drawing, without what stands in brackets.
    fn face(&self, flat: &Flat) -> String {
        let words = face_words(self.design, flat, marked_face(self.design, flat));
        words.split(" (").next().unwrap_or_default().to_owned()
    }
}

/// The design's name, cut to what a small jig has room for.
fn short_name(design: &Design) -> String {
    design.name.chars().take(16).collect()
}

/// The jigs of a design.
#[must_use]
pub fn jigs(design: &Design, assembly: &Assembly, schedules: &[Schedule]) -> Jigs {
    let bench = Bench {
        design,
        schedules,
        print: &design.print,
    };
    let mut out = Jigs::default();
    let mut drafts: Vec<Draft> = Vec::new();
    drafts.push(gauges::coupon(&bench));
    drafts.extend(gauges::slide(&bench, &mut out.unmade));
    drafts.extend(angle::drafts(&bench, &mut out.unmade));
    drafts.extend(whole::drafts(&bench, &mut out.unmade));
    drafts.extend(row::drafts(&bench, &mut out.unmade));
    drafts.extend(feet::drafts(&bench, &mut out.unmade));
    drafts.extend(centre::drafts(&bench, &mut out.unmade));
    drafts.extend(ring::drafts(&bench, &mut out.unmade));
    drafts.extend(speaker::drafts(&bench, &mut out.unmade));
    drafts.extend(cradle::draft(&bench, assembly, &mut out.unmade));
    let made: Vec<Result<Jig, String>> = drafts
        .into_par_iter()
        .map(|d| finish::finish(d, design, &design.print))
        .collect();
    for one in made {
        match one {
            Ok(jig) => out.jigs.push(jig),
            Err(why) => out.unmade.push(why),
        }
    }
    out
}
