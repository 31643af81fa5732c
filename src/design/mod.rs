//! Resolves what the builder wrote and the catalogue to parts. Pure arithmetic: no kernel, no mesh.
//!
//! Every number that nobody typed keeps its reason. A flat part is an outline, a thickness, a datum corner and holes; everything else is a
//! handful of sizes and a placement, which `model` turns into solids.

mod apart;
mod boards;
mod bolt;
mod cabinet;
mod cans;
mod chassis;
mod check;
mod controls;
mod fasten;
mod flat;
mod grommet;
mod hardware;
mod heat;
mod insert;
mod iron;
mod iron_bolts;
mod iron_spec;
mod ledger;
mod on_plate;
mod oval;
mod place;
mod print;
mod rivet;
mod speaker;
mod stock;
mod tanks;
mod tools;
mod tubes;
mod wound;

pub use boards::BoardSpec;
pub use cabinet::{FootSpec, HandleSpec};
pub use cans::CanSpec;
pub use chassis::PlateFrame;
pub use controls::ControlSpec;
pub use fasten::{Bond, CONE_GAP, FACE_GAP, Fastener, Passed, countersink};
pub use flat::{AngleBar, Datum, Face, Flat, FlatHole, HoleShape, Marked, Pocket, cone_depth};
pub use grommet::GrommetSpec;
pub use hardware::{StripSpec, WasherStudSpec};
pub use heat::{HeatSpec, VentSpec};
pub use insert::InsertSpec;
pub use iron_spec::{IRON, IronSpec};
pub use ledger::{Defaulted, Derived, Remark, Unmeasured};
pub use oval::Oval;
pub use place::Nudges;
pub use print::{LEAST_LETTER, LEAST_STROKE, MetalBush, PrintSpec};
pub use rivet::RivetSpec;
pub use speaker::SpeakerSpec;
pub use stock::{Stock, StockForm, StockRow, comes_in_sheets, has_grain, usual, usual_strips};
pub use tanks::TankSpec;
pub use tools::{Countersinker, Stepped, Tool, ToolBox};
pub use tubes::{RetainerSpec, TubeSpec};
pub use wound::BAND;

use crate::diag::Diagnostics;
use crate::params::{Corner, Paper, Params};
use glam::DVec3;
use std::ops::Range;

/// Bounds on what is accepted before any geometry is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Most holes in one part.
    pub holes_per_part: usize,
    /// Most solids in a design.
    pub solids: usize,
}

impl Limits {
    /// What a parameter file may ask for.
    pub const STANDARD: Limits = Limits {
        holes_per_part: 500,
        solids: 10_000,
    };
}

/// Sizes of the cabinet that everything else refers to, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CabinetSize {
    /// Inside width the parts must pass: the narrower of front and rear.
    pub width: f64,
    /// The wider of front and rear.
    pub widest: f64,
    /// Inside height.
    pub height: f64,
    /// Depth of the sides.
    pub depth: f64,
    /// Thickness of the boards.
    pub board: f64,
    /// Thickness of the covering.
    pub covering: f64,
}

/// An item of the parameter file that can be moved about, for cures.
#[derive(Clone, Debug, PartialEq)]
pub struct Movable {
    /// The item's id.
    pub id: String,
    /// The two amp directions it may be shifted along, both ways.
    pub along: [DVec3; 2],
    /// Where its table stands.
    pub span: Range<usize>,
}

/// A parameter file resolved.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Design {
    /// Name.
    pub name: String,
    /// Whether bare numbers of the file are inches.
    pub inch: bool,
    /// What templates are printed on, where the builder said so.
    pub paper: Option<Paper>,
    /// Who made it, a date, a line of notes, for title blocks; empty where left out.
    pub title: [String; 3],
    /// How the boards meet at the corners.
    pub corner: Option<Corner>,
    /// What the builder owns.
    pub tools: ToolBox,
    /// The printer and how jigs are printed.
    pub print: PrintSpec,
    /// What the parts are cut from.
    pub stock: Stock,
    /// Sizes of the cabinet.
    pub cabinet: Option<CabinetSize>,
    /// Where the plate is.
    pub plate: Option<PlateFrame>,
    /// Flat parts: boards, baffle, cleats, covering, plate, panels.
    pub flats: Vec<Flat>,
    /// Angle stock and brackets.
    pub angles: Vec<AngleBar>,
    /// Feet.
    pub feet: Vec<FootSpec>,
    /// Handle.
    pub handle: Option<HandleSpec>,
    /// Anti-rattle strip in the grooves, thickness.
    pub groove_strip: Option<f64>,
    /// Loudspeaker.
    pub speaker: Option<SpeakerSpec>,
    /// Tubes with sockets and retainers.
    pub tubes: Vec<TubeSpec>,
    /// Transformers and chokes.
    pub irons: Vec<IronSpec>,
    /// Cans.
    pub cans: Vec<CanSpec>,
    /// Circuit boards.
    pub boards: Vec<BoardSpec>,
    /// Grommets.
    pub grommets: Vec<GrommetSpec>,
    /// Terminal strips.
    pub strips: Vec<StripSpec>,
    /// Reverb tanks.
    pub tanks: Vec<TankSpec>,
    /// Earth studs' lugs.
    pub studs: Vec<WasherStudSpec>,
    /// Controls.
    pub controls: Vec<ControlSpec>,
    /// Screws.
    pub fasteners: Vec<Fastener>,
    /// Rivets.
    pub rivets: Vec<RivetSpec>,
    /// Threaded inserts.
    pub inserts: Vec<InsertSpec>,
    /// Joints that are not a screw's own.
    pub bonds: Vec<Bond>,
    /// Wanted air by pair of kind words, as written.
    pub clearances: Vec<([String; 2], f64)>,
    /// The room, the vents, what gives off heat.
    pub heat: HeatSpec,
    /// Most sag of the plate, mm, if the builder set it.
    pub most_sag: Option<f64>,
    /// Items that can be moved.
    pub movables: Vec<Movable>,
    /// Derived numbers with reasons.
    pub derived: Vec<Derived>,
    /// What was left out and what was taken.
    pub defaults: Vec<Defaulted>,
    /// What is worth saying before anything is measured.
    pub remarks: Vec<Remark>,
    /// Items that rest on figures nobody measured.
    pub unmeasured: Vec<Unmeasured>,
}

impl Design {
    /// The flat part of that id.
    #[must_use]
    pub fn flat(&self, id: &str) -> Option<&Flat> {
        self.flats.iter().find(|f| f.id == id)
    }
}

/// Resolves a parameter file.
///
/// # Errors
/// Everything that is impossible, in one go: places off the plate, holes outside their part, outlines that cross, a groove deeper than its
/// board, too many holes, names the catalogue does not know.
pub fn resolve(params: &Params, nudges: &Nudges, limits: &Limits) -> Result<Design, Diagnostics> {
    let mut ledger = ledger::Ledger::new(params.design.unit.as_ref());
    let places = place::Places::new(params, nudges, &mut ledger);
    let mut design = Design {
        name: params.design.name.value.clone(),
        inch: ledger.inch,
        paper: params.design.paper.as_ref().map(|p| p.value),
        title: [
            &params.design.maker,
            &params.design.date,
            &params.design.note,
        ]
        .map(|t| t.as_ref().map_or_else(String::new, |t| t.value.clone())),
        corner: Some(
            params
                .cabinet
                .corner
                .as_ref()
                .map_or(Corner::BoxJoint, |c| c.value),
        ),
        tools: tools::tools(params, &mut ledger),
        stock: stock::stock(params, &mut ledger),
        ..Design::default()
    };

    let size = cabinet::size(params, &mut ledger);
    design.cabinet = Some(size);
    let baffle = cabinet::BaffleFrame::new(params, &size, &mut ledger);
    // Controls come before the plate: the longest of them says how far the panels stand back.
    let fronts = controls::rows(params, &mut ledger);
    let frame = chassis::frame(params, &size, baffle.as_ref(), &fronts, &mut ledger);
    design.plate = frame.as_ref().map(|f| f.plate);

    cabinet::build(
        params,
        &size,
        baffle.as_ref(),
        frame.as_ref(),
        &mut design,
        &mut ledger,
    );
    if let Some(frame) = &frame {
        chassis::build(params, &size, frame, &mut design, &mut ledger);
        tubes::build(params, frame, &places, &mut design, &mut ledger);
        iron::build(params, frame, &places, &mut design, &mut ledger);
        cans::build(params, frame, &places, &mut design, &mut ledger);
        boards::build(params, frame, &places, &mut design, &mut ledger);
        hardware::build(params, frame, &places, &mut design, &mut ledger);
        controls::build(&fronts, frame, &places, &mut design, &mut ledger);
    } else {
        chassis::nothing_to_stand_on(params, &mut ledger);
    }
    speaker::build(
        params,
        &size,
        baffle.as_ref(),
        frame.as_ref(),
        &places,
        &mut design,
        &mut ledger,
    );
    tanks::build(
        params,
        &size,
        baffle.as_ref(),
        &places,
        &mut design,
        &mut ledger,
    );
    clearances(params, &mut design, &mut ledger);
    design.print = print::resolve(params, &design, &mut ledger);
    heat::build(params, &mut design, &mut ledger);
    check::all(&design, limits, &mut ledger);

    if ledger.diags.list.is_empty() {
        design.derived = ledger.derived;
        design.defaults = ledger.defaults;
        design.remarks = ledger.remarks;
        design.unmeasured = ledger.unmeasured;
        Ok(design)
    } else {
        Err(ledger.diags)
    }
}

/// The words a `[[clearance]]` may name, each with the kinds of solids it stands for.
pub const AIR_WORDS: [&str; 13] = [
    "tube",
    "power tube",
    "rectifier",
    "wood",
    "can",
    "iron",
    "metal",
    "magnet",
    "speaker",
    "socket",
    "control",
    "board",
    "knob",
];

fn clearances(params: &Params, design: &mut Design, ledger: &mut ledger::Ledger) {
    for c in &params.clearance {
        let words = &c.between.value;
        if words.len() != 2 {
            ledger.error(
                c.between.span.clone(),
                format!("a clearance is between two kinds, not {}", words.len()),
                "two kinds, e.g. `[\"power tube\", \"wood\"]`",
                "",
            );
            continue;
        }
        for w in words {
            if !AIR_WORDS.contains(&w.value.as_str()) {
                ledger.error(
                    w.span.clone(),
                    format!("no kind `{}`", w.value),
                    format!("one of `{}`", AIR_WORDS.join("`, `")),
                    "",
                );
            }
        }
        design.clearances.push((
            [words[0].value.clone(), words[1].value.clone()],
            c.air.value.0,
        ));
    }
}
