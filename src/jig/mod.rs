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
mod gauges;
mod guide;
mod label;
pub mod letters;
mod ring;
mod row;
mod scribe;
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
use crate::mesh::{self, Division, EXPORT_CHORD, Mesh};
use crate::pose::Pose;
use crate::shop::Schedule;
use crate::shop::schedule::{face_words, marked_face};
use crate::solid::Body;
use crate::units;
use glam::DVec3;
use letters::Letters;
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
    /// Where it is used; a bore's `holes` stand in the same order. Empty for gauges and the like.
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
    /// Room that the design's name, a title and the face take, mm.
    fn title_size(&self, title: &str, face: &str) -> glam::DVec2 {
        let letters = Letters::new(self.print.letter, self.print.stroke);
        letters.size(&format!("{}\n{title}\n{face}", short_name(self.design)))
    }

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
        .map(|d| finish(d, design, &design.print))
        .collect();
    for one in made {
        match one {
            Ok(jig) => out.jigs.push(jig),
            Err(why) => out.unmade.push(why),
        }
    }
    out
}

/// Labels a draft and makes its pieces: one, or tiles where it is larger than the bed.
fn finish(mut draft: Draft, design: &Design, print: &PrintSpec) -> Result<Jig, String> {
    let scale = if draft.as_drawn {
        1.0
    } else {
        1.0 / (1.0 - print.shrink)
    };
    let failed = |why: String| format!("{}: {why}", draft.title);
    draft.blank.sunk = print.sunk;
    let mut notes = std::mem::take(&mut draft.blank.notes);
    let mut steps = draft.steps;
    let bounds = draft.blank.bounds();
    let mut play = 0.0;
    let mut whole = None;
    let mut blanks: Vec<(String, String, Blank)> = Vec::new();
    if on_bed(&draft.blank, print, scale).is_some() || draft.places.is_empty() {
        blanks.push((draft.name.clone(), draft.title.clone(), draft.blank));
    } else {
        let uncut = tiles::split(&draft.blank, print, scale).map_err(&failed)?;
        play = uncut.play;
        if uncut.unkeyed > 0 {
            notes.push(format!(
                "no room for keys along {}: glue a strip across, clear of the guides",
                units::count(uncut.unkeyed, "joint")
            ));
        }
        let body = draft.blank.body().map_err(|e| failed(e.to_string()))?;
        whole = Some(body.volume() + draft.blank.sunk_volume());
        steps.insert(0, joining(&draft.blank, &uncut, print));
        for (row, column, tile) in uncut.tiles {
            // letters for the columns, numbers for the rows, as on a map
            let mark = format!("{}{}", char::from(b'A' + (column % 26) as u8), row + 1);
            blanks.push((
                format!("{}.{mark}", draft.name),
                format!("{} {mark}", draft.title),
                tile,
            ));
        }
    }
    // how the joined set is checked, on the first tile that has room
    let mut check = (blanks.len() > 1).then(|| {
        let [low, high] = bounds;
        format!("check\n{:.1} x {:.1}", high.x - low.x, high.y - low.y)
    });
    let mut pieces = Vec::new();
    for (name, title, mut blank) in blanks {
        let mut letters = Letters::new(print.letter, print.stroke);
        let last = title.rsplit(' ').next().unwrap_or_default();
        let face = &draft.face;
        let texts = [
            format!("{}\n{title}\n{face}", short_name(design)),
            format!("{}\n{title}", short_name(design)),
            format!("{} {title}", short_name(design)),
            format!("{} {last}", short_name(design)),
            format!("{}\n{}", short_name(design), title.replace(' ', "\n")),
            title.clone(),
            last.to_owned(),
        ];
        label::level(&mut blank, &mut letters);
        if blank.title_strip {
            label::title(&mut blank, &mut letters, &texts);
        }
        label::bores(&mut blank, &mut letters);
        label::pointers(&mut blank, &mut letters, print.stroke);
        if !blank.title_strip {
            label::title(&mut blank, &mut letters, &texts);
        }
        // gauges lie on no face; where the title found room for it, it is there already
        if !face.is_empty() && !blank.texts.iter().any(|t| t.ends_with(face)) {
            label::title(&mut blank, &mut letters, std::slice::from_ref(face));
        }
        if let Some(text) = &check
            && label::anywhere(&mut blank, &mut letters, text)
        {
            check = None;
        }
        pieces.push(piece(&name, &title, &blank, print, scale).map_err(&failed)?);
        notes.append(&mut blank.notes);
    }
    // the jig in one piece, not the sum of its tiles: so that the one tests the other
    let uncut = whole.unwrap_or_else(|| pieces.iter().map(|p| p.volume + p.letters).sum());
    Ok(Jig {
        name: draft.name,
        title: draft.title,
        uncut,
        play,
        pieces,
        places: draft.places,
        steps,
        notes,
    })
}

/// How tiles are joined, and what that costs in truth.
fn joining(blank: &Blank, tiles: &tiles::Tiles, print: &PrintSpec) -> String {
    let [low, high] = blank.bounds();
    let size = high - low;
    let [x, y] = tiles.lines;
    let error = |joints: usize, length: f64| EACH * (1 + joints) as f64 + LENGTH_ERROR * length;
    let worst = error(x, size.x).max(error(y, size.y));
    format!(
        "Lay the {} tiles {} on glass: seen on the letters the columns A, B, ... run from left to right and the rows 1, 2, ... upwards. Push them together until the straight edges touch, run thin glue into the play of {} round the keys, and weigh them down until it sets. Then check the set: {} over its length and {} over its depth. It may be off by up to about {worst:.1} mm at the far end ({EACH} mm for each piece and {:.1} mm a metre of print); a paper template and a centre punch are off by about {PAPER} mm anywhere: {}.",
        tiles.tiles.len(),
        if blank.work_side_up() {
            "with their letters down"
        } else {
            "with their letters up"
        },
        units::mm_2(print.joint_play),
        units::show(size.x),
        units::show(size.y),
        1000.0 * LENGTH_ERROR,
        if worst > PAPER {
            "paper does better here, use the set only if its check is good"
        } else {
            "the set does as well"
        }
    )
}

/// What a printed edge is off by, mm, and a printed length as a share (both from memory: hobby printers, well set).
const EACH: f64 = 0.1;
const LENGTH_ERROR: f64 = 0.001;
/// What a paper template and a centre punch are off by, mm (from memory).
const PAPER: f64 = 0.4;

/// Makes one piece; turned by a quarter where it fits the bed only so.
fn piece(
    name: &str,
    label: &str,
    blank: &Blank,
    print: &PrintSpec,
    scale: f64,
) -> Result<Piece, String> {
    let quarter = on_bed(blank, print, scale).ok_or_else(|| {
        let [l, h] = blank.bounds();
        format!(
            "{:.0} x {:.0} x {:.0} mm does not fit the bed of {:.0} x {:.0} x {:.0} mm with its margin",
            (h.x - l.x) * scale,
            (h.y - l.y) * scale,
            blank.height() * scale,
            print.bed[0],
            print.bed[1],
            print.bed[2]
        )
    })?;
    let body = blank.body().map_err(|e| e.to_string())?;
    let mut to_bed = blank.to_bed(quarter);
    let drawn = mesh::mesh(
        &body,
        Division::EqualArea {
            chord: EXPORT_CHORD,
        },
    );
    // notches may take the outermost corners away
    let low = drawn.transformed(&to_bed).bounds()[0];
    to_bed.at -= low;
    let mut on_bed = drawn.transformed(&to_bed);
    for p in &mut on_bed.points {
        *p *= scale;
    }
    if !on_bed.check().is_sound() {
        return Err("its mesh does not close".into());
    }
    let check = check::look(blank, &on_bed, print);
    Ok(Piece {
        name: name.to_owned(),
        label: label.to_owned(),
        volume: drawn.volume(),
        body,
        letters: blank.sunk_volume(),
        letter_floors: blank
            .letter_floors()
            .into_iter()
            .map(|(at, out)| {
                let out = to_bed.dir(out);
                (out, (to_bed.point(at) * scale).dot(out))
            })
            .collect(),
        mesh: on_bed,
        from_bed: to_bed.inverse(),
        scale,
        bores: blank.bores.clone(),
        cross: blank.cross.clone(),
        check,
    })
}

/// Whether it fits the bed, and then whether only after a quarter turn.
fn on_bed(blank: &Blank, print: &PrintSpec, scale: f64) -> Option<bool> {
    let [l, h] = blank.bounds();
    let size = (h - l) * scale;
    let [w, d] = print.room();
    if blank.height() * scale > print.bed[2] {
        return None;
    }
    if size.x <= w && size.y <= d {
        Some(false)
    } else if size.x <= d && size.y <= w {
        Some(true)
    } else {
        None
    }
}
