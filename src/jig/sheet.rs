//! A flat sheet for a jig that is set on scribed lines: a strip for its title along the upper edge, and a notch in the middle of each.

use super::blank::{Blank, notch};
use super::letters::Letters;
use super::{Bench, short_name};
use crate::outline::{Loop, Region};
use glam::DVec2;

/// Plastic beside the title, mm.
const BESIDE: f64 = 2.0;
/// From a notch's tip to the edge, mm.
const NOTCH: f64 = 2.5;

/// A sheet round the origin.
pub(super) struct Sheet {
    /// What becomes the jig.
    pub blank: Blank,
    /// How far it reaches to each side, and downwards.
    pub half: DVec2,
    /// How far it reaches upwards, the title's strip included.
    pub top: f64,
}

impl Sheet {
    /// A sheet that reaches `half` or, for its title, further to the sides; `clear` stands between the title and the rest, because the
    /// notch in the middle of the edge takes the first of the strip.
    pub fn new(bench: &Bench<'_>, title: &str, face: &str, half: DVec2, clear: f64) -> Sheet {
        let strip = title_size(bench, title, face);
        let half = half.max(DVec2::new(strip.x / 2.0 + BESIDE, 0.0));
        let top = half.y + strip.y + clear;
        Sheet {
            blank: Blank {
                thickness: bench.print.thickness,
                plate: vec![Region::solid(Loop::rect(-half, DVec2::new(half.x, top)))],
                title_strip: true,
                ..Blank::default()
            },
            half,
            top,
        }
    }

    /// Cuts the notches that stand on both scribed lines, but those whose tip something else wants.
    pub fn notches(&mut self, free: impl Fn(DVec2) -> bool) {
        for (way, reach) in [
            (DVec2::X, self.half.x),
            (DVec2::NEG_X, self.half.x),
            (DVec2::Y, self.top),
            (DVec2::NEG_Y, self.half.y),
        ] {
            let tip = way * (reach - NOTCH);
            if free(tip) {
                self.blank.cuts.push(notch(tip, way));
            }
        }
    }
}

/// Room that the design's name, a title and the face take, mm.
pub(super) fn title_size(bench: &Bench<'_>, title: &str, face: &str) -> DVec2 {
    let letters = Letters::new(bench.print.letter, bench.print.stroke);
    letters.size(&format!("{}\n{title}\n{face}", short_name(bench.design)))
}
