//! The printer and how jigs are printed on it, with everything that was left out filled in.

use super::ledger::Ledger;
use super::{Design, HoleShape};
use crate::params::{Length, Params, Sp};

/// A metal bush that is pressed into a jig.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MetalBush {
    /// Outside diameter, mm.
    pub outside: f64,
    /// Bore, mm.
    pub inside: f64,
}

/// How jigs are printed; all lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintSpec {
    /// Width, depth and height of the printer's room.
    pub bed: [f64; 3],
    /// Empty strip round the bed.
    pub margin: f64,
    /// Bore of the nozzle.
    pub nozzle: f64,
    /// Thickness of a jig's plate.
    pub thickness: f64,
    /// How far a fence reaches down; `None`: by the part's thickness.
    pub fence_height: Option<f64>,
    /// Width of a fence.
    pub fence_width: f64,
    /// How much smaller a bung is than its hole.
    pub bung_play: f64,
    /// The drill of all guides; `None`: the schedule's first.
    pub pilot: Option<f64>,
    /// Metal bushes.
    pub bush: Option<MetalBush>,
    /// Added to the diameter of every printed bore.
    pub growth: f64,
    /// Share by which a printed length comes out short, 0.003 for 0.3 %.
    pub shrink: f64,
    /// Play of a tile's key on each side.
    pub joint_play: f64,
    /// Height of letters.
    pub letter: f64,
    /// Stroke of letters.
    pub stroke: f64,
    /// Depth of letters.
    pub sunk: f64,
    /// Whether large holes get slots to scribe their edge.
    pub ring: bool,
    /// Flat parts that get a jig with all their scribed holes.
    pub whole: Vec<String>,
}

impl Default for PrintSpec {
    fn default() -> PrintSpec {
        PrintSpec {
            bed: [220.0; 3],
            margin: 5.0,
            nozzle: 0.4,
            thickness: 6.0,
            fence_height: None,
            fence_width: 8.0,
            bung_play: 0.2,
            pilot: None,
            bush: None,
            growth: 0.2,
            shrink: 0.0,
            joint_play: 0.2,
            letter: 5.0,
            stroke: 0.8,
            sunk: 0.6,
            ring: false,
            whole: Vec::new(),
        }
    }
}

/// Least stroke of letters that prints, mm (published: three print-bureau design guides; 0.8 for ABS-like plastics).
pub const LEAST_STROKE: f64 = 0.6;
/// Least height of letters that prints, mm (published: one print-bureau design guide; two others say 2.0).
pub const LEAST_LETTER: f64 = 3.0;
/// Letters of our stroke font are six units high; less than this many strokes and their counters close up.
const STROKES_HIGH: f64 = 5.5;
/// Smallest bed a tile with one bore, its key and its label fits, mm.
const LEAST_BED: f64 = 80.0;
/// Least wall of a bush or a plate, mm (published: five print-bureau design guides, 0.8 to 1.0).
const LEAST_WALL: f64 = 1.0;

/// Fills in what was left out, and refuses what cannot be printed.
pub(super) fn resolve(params: &Params, design: &Design, ledger: &mut Ledger) -> PrintSpec {
    let mut spec = PrintSpec::default();
    let Some(t) = &params.print else {
        return spec;
    };
    let mut take = |to: &mut f64, from: &Option<Sp<Length>>, low: f64, high: f64, why: &str| {
        let Some(v) = from else { return };
        if (low..=high).contains(&v.value.0) {
            *to = v.value.0;
        } else {
            ledger.error(
                v.span.clone(),
                format!("{:.2} mm here", v.value.0),
                format!("{low} to {high} mm: {why}"),
                "",
            );
        }
    };
    take(
        &mut spec.margin,
        &t.bed_margin,
        0.0,
        30.0,
        "the strip of the bed that stays empty",
    );
    let least = LEAST_BED + 2.0 * spec.margin;
    let small = "a smaller bed holds no tile with its bores, key and labels";
    take(&mut spec.bed[0], &t.bed_width, least, 2_000.0, small);
    take(&mut spec.bed[1], &t.bed_depth, least, 2_000.0, small);
    take(
        &mut spec.bed[2],
        &t.bed_height,
        30.0,
        2_000.0,
        "jigs with a fence stand up to 30 mm high",
    );
    take(
        &mut spec.nozzle,
        &t.nozzle,
        0.1,
        1.2,
        "nozzles of hobby printers",
    );
    take(
        &mut spec.thickness,
        &t.thickness,
        3.0,
        25.0,
        "thinner bends under the drill, thicker outlasts its use",
    );
    take(
        &mut spec.fence_width,
        &t.fence_width,
        3.0,
        40.0,
        "a thinner fence bends away from the edge",
    );
    take(
        &mut spec.bung_play,
        &t.bung_play,
        0.0,
        1.0,
        "more play is error of place",
    );
    take(
        &mut spec.growth,
        &t.hole_growth,
        0.0,
        1.0,
        "printers make bores 0.1 to 0.4 mm too small",
    );
    take(
        &mut spec.joint_play,
        &t.joint_play,
        0.0,
        0.6,
        "keys go in with 0.1 to 0.3 mm",
    );
    take(
        &mut spec.letter,
        &t.label_height,
        LEAST_LETTER,
        30.0,
        "smaller letters close up",
    );
    spec.stroke = (2.0 * spec.nozzle).max(0.8);
    take(
        &mut spec.stroke,
        &t.label_stroke,
        LEAST_STROKE,
        3.0,
        "a thinner stroke closes up",
    );
    take(
        &mut spec.sunk,
        &t.label_depth,
        0.3,
        2.0,
        "shallower cannot be read, deeper weakens the plate",
    );
    let mut height = 0.0;
    take(
        &mut height,
        &t.fence_height,
        0.8,
        25.0,
        "the fence must hook, and the part must lie flat",
    );
    spec.fence_height = (height > 0.0).then_some(height);
    let mut pilot = 0.0;
    take(&mut pilot, &t.pilot, 1.0, 13.0, "a pilot drill");
    spec.pilot = (pilot > 0.0).then_some(pilot);
    if let Some(s) = &t.shrink {
        if (-1.0..=3.0).contains(&s.value.0) {
            spec.shrink = s.value.0 / 100.0;
        } else {
            ledger.error(
                s.span.clone(),
                format!("a shrink of {} per cent", s.value.0),
                "-1 to 3 per cent; 0.1 to 0.5 is usual",
                "measure the 100 mm mark of jig/coupon.stl",
            );
        }
    }
    if spec.letter < STROKES_HIGH * spec.stroke {
        let span = t
            .label_height
            .as_ref()
            .map(|v| &v.span)
            .or(t.label_stroke.as_ref().map(|v| &v.span))
            .unwrap_or(&t.span);
        ledger.error(
            span.clone(),
            format!(
                "letters {:.1} mm high with a stroke of {:.2} mm close up",
                spec.letter, spec.stroke
            ),
            format!("a height of at least {:.1} mm", STROKES_HIGH * spec.stroke),
            "make the letters higher, or the stroke thinner, down to 0.6 mm",
        );
    }
    bush(t, pilot, &mut spec, ledger);
    if let Some(p) = t.pilot.as_ref().filter(|_| pilot > 0.0) {
        let round = design
            .flats
            .iter()
            .flat_map(|f| &f.holes)
            .filter_map(|h| match h.shape {
                HoleShape::Round { d } | HoleShape::Countersunk { d, .. } => Some(d),
                _ => None,
            });
        let most = round.fold(0.0, f64::max);
        if most > 0.0 && pilot > most {
            ledger.error(
                p.span.clone(),
                format!("a pilot of {pilot:.2} mm is larger than every hole of the design"),
                format!("at most {most:.2} mm, the largest hole"),
                "a pilot is smaller than the hole it leads",
            );
        }
    }
    spec.ring = t.scribe_ring.as_ref().is_some_and(|r| r.value);
    for one in t.whole.as_ref().map_or(&[][..], |w| &w.value) {
        match design
            .flats
            .iter()
            .find(|f| f.id.eq_ignore_ascii_case(&one.value))
        {
            Some(f) if f.holes.is_empty() => ledger.error(
                one.span.clone(),
                format!("`{}` has no holes", one.value),
                "a flat part with holes",
                "leave it out",
            ),
            Some(f) if spec.whole.contains(&f.id) => {}
            Some(f) => spec.whole.push(f.id.clone()),
            None => {
                let names: Vec<&str> = design
                    .flats
                    .iter()
                    .filter(|f| !f.holes.is_empty())
                    .map(|f| f.id.as_str())
                    .collect();
                ledger.error(
                    one.span.clone(),
                    format!("no flat part is called `{}`", one.value),
                    format!("one of {}", names.join(", ")),
                    "",
                );
            }
        }
    }
    spec
}

fn bush(t: &crate::params::Print, pilot: f64, spec: &mut PrintSpec, ledger: &mut Ledger) {
    match (&t.bush_outside, &t.bush_inside) {
        (Some(o), Some(i)) => {
            let bush = MetalBush {
                outside: o.value.0,
                inside: i.value.0,
            };
            if bush.inside + 2.0 * 0.3 > bush.outside || bush.outside > 25.0 {
                ledger.error(
                    o.span.clone(),
                    format!(
                        "a bush {:.2} mm outside and {:.2} mm inside",
                        bush.outside, bush.inside
                    ),
                    "an outside at least 0.6 mm over the bore, and at most 25 mm",
                    "measure the bush",
                );
            } else if pilot > 0.0 && (pilot - bush.inside).abs() > 0.2 {
                ledger.error(
                    i.span.clone(),
                    format!(
                        "a bush of {:.2} mm bore and a pilot of {pilot:.2} mm",
                        bush.inside
                    ),
                    "a bush that the pilot runs in",
                    "leave `pilot` out: the bush says which drill",
                );
            } else {
                spec.bush = Some(bush);
            }
        }
        (None, None) => {}
        (o, i) => {
            let span = o
                .as_ref()
                .or(i.as_ref())
                .map_or(t.span.clone(), |v| v.span.clone());
            ledger.error(
                span,
                "half a bush",
                "both `bush-outside` and `bush-inside`",
                "leave both out to let the printed bore guide the drill",
            );
        }
    }
}

impl PrintSpec {
    /// Width and depth of the bed that a piece may take.
    #[must_use]
    pub fn room(&self) -> [f64; 2] {
        [
            self.bed[0] - 2.0 * self.margin,
            self.bed[1] - 2.0 * self.margin,
        ]
    }

    /// Wall that is left between two bores, mm: twice the nozzle and no less than what prints.
    #[must_use]
    pub fn wall(&self) -> f64 {
        (2.0 * self.nozzle).max(LEAST_WALL)
    }
}
