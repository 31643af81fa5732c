//! The kinds of rows for bases, fixings and tools. All lengths in mm; a field that a part does not have is `None`.

use super::rows::Status;
use serde::Deserialize;

/// The pins of a tube's base, as numbered looking at the wiring side of its socket: clockwise from the gap or the key.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct BaseRow {
    /// The word of tubes and sockets: `noval`, `miniature`, `octal`.
    pub id: String,
    /// Names in standards, e.g. `B9A`.
    #[serde(default)]
    pub also: Vec<String>,
    /// Number of pins.
    pub pins: u32,
    /// Diameter of the circle on which the pins stand.
    pub circle: f64,
    /// Diameter of a pin.
    pub pin: f64,
    /// Angle from the mark to pin 1, degrees clockwise seen from the wiring side.
    pub first: f64,
    /// Angle from pin to pin, degrees.
    pub pitch: f64,
    /// What the angles are counted from: `gap` (the middle of the wide gap) or `key` (the ridge of the spigot).
    pub mark: String,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A toroidal mains transformer as a plain envelope: a ring between two pads, held by one bolt with a large washer.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ToroidRow {
    /// Name, e.g. `toroid 120 VA`.
    pub id: String,
    /// Rating, VA; a maker's envelope may be sold at several.
    pub rating: Option<f64>,
    /// Outside diameter over the winding.
    pub diameter: f64,
    /// Height lying flat, without pads and washer.
    pub height: f64,
    /// Open middle, for the bolt.
    pub bore: f64,
    /// The bolt.
    pub screw: String,
    /// Mass, kg.
    pub mass: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A C-core pair for one coil: two loops of strip side by side, the coil round the legs that meet.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct CutCoreRow {
    /// Name, e.g. `SM 85b`.
    pub id: String,
    /// Other names.
    #[serde(default)]
    pub also: Vec<String>,
    /// Thickness of a leg: the build-up of the strip.
    pub leg: f64,
    /// Width of the strip, the stack of the core.
    pub strip: f64,
    /// Width of a window.
    pub window: f64,
    /// Height of a window.
    pub window_height: f64,
    /// Over both loops: 4 legs and 2 windows.
    pub length: f64,
    /// Height: window and 2 legs.
    pub height: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// Something of the cabinet, the plate or a tube that is bought or cut to a usual size. A size that it does not have is `None`.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct FittingRow {
    /// Name, e.g. `tank long`.
    pub id: String,
    /// `reverb tank`, `foot`, `handle`, `cleat`, `terminal strip`, `circuit board`, `can`, `tube clamp`, `tube shield`, `earth stud`.
    pub kind: String,
    /// Whether it is the usual one of its kind.
    #[serde(default)]
    pub usual: bool,
    /// Length; of a handle between its screws.
    pub length: Option<f64>,
    /// Width.
    pub width: Option<f64>,
    /// Height; of a tube shield how far it stands over the tube.
    pub height: Option<f64>,
    /// Diameter.
    pub diameter: Option<f64>,
    /// Thickness of sheet, board or wall.
    pub thickness: Option<f64>,
    /// The screw that holds it.
    pub screw: Option<String>,
    /// Mass, kg.
    pub mass: Option<f64>,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A blind (pop) rivet and its hole.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct RivetRow {
    /// Name, e.g. `rivet 1/8`.
    pub id: String,
    /// Other names.
    #[serde(default)]
    pub also: Vec<String>,
    /// Nominal diameter.
    pub diameter: f64,
    /// The drill for it, by its id.
    pub drill: String,
    /// Smallest hole.
    pub hole_least: f64,
    /// Largest hole.
    pub hole_most: f64,
    /// Diameter of its dome head.
    pub head: f64,
    /// Height of that head.
    pub head_height: f64,
    /// Diameter of the head that is drawn up on the blind side.
    pub blind: f64,
    /// Height of that head.
    pub blind_height: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A thread that is set into wood or sheet: a screwed insert, a T-nut, a rivet nut.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct InsertRow {
    /// Name, e.g. `wood insert M4`.
    pub id: String,
    /// `wood insert`, `T-nut` or `rivet nut`.
    pub kind: String,
    /// The screw it takes.
    pub screw: String,
    /// Hole drilled for it.
    pub hole: f64,
    /// Largest outside diameter: over the outer thread, or the flange.
    pub outside: f64,
    /// Length in the hole.
    pub length: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A tooth lock washer, which bites through paint and oxide: what an earth stud needs.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ToothWasherRow {
    /// Name, e.g. `#8 internal tooth`.
    pub id: String,
    /// The screw it goes on.
    pub screw: String,
    /// Smallest hole.
    pub hole: f64,
    /// Largest outside diameter.
    pub outside: f64,
    /// Largest thickness.
    pub thickness: Option<f64>,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A solder lug on a screw.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct LugRow {
    /// Name, e.g. `lug M4`.
    pub id: String,
    /// The screw it goes on.
    pub screw: String,
    /// Hole of its eye.
    pub hole: f64,
    /// Outside diameter of its eye.
    pub eye: f64,
    /// From the screw's centre to its tip.
    pub reach: f64,
    /// Thickness.
    pub thickness: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A hexagon stand-off, threaded at both ends.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct StandOffRow {
    /// Name, e.g. `stand-off M3`.
    pub id: String,
    /// The screw it takes.
    pub screw: String,
    /// Width across flats.
    pub across: f64,
    /// Lengths sold.
    pub lengths: Vec<f64>,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A twist drill.
#[derive(Clone, Debug, PartialEq)]
pub struct DrillRow {
    /// As stamped on it: `#30`, `F`, `9/64`, `3.2 mm`.
    pub id: String,
    /// Other spellings.
    pub also: Vec<String>,
    /// `number`, `letter`, `fraction` or `metric`.
    pub series: String,
    /// Diameter.
    pub diameter: f64,
    /// Where the figure is from.
    pub source: String,
    /// Its standing.
    pub status: Status,
}

/// A chassis punch, drawn through the sheet by a screw.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PunchRow {
    /// Name, e.g. `punch 1 1/8`.
    pub id: String,
    /// `chassis` (called by its hole) or `conduit` (called by the conduit, which is smaller than its hole).
    pub kind: String,
    /// The hole it makes.
    pub hole: f64,
    /// Pilot hole for its screw.
    pub pilot: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A step bit.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct StepBitRow {
    /// Name by its first and last step, e.g. `step bit 3/16 to 7/8`.
    pub id: String,
    /// The holes its steps make.
    pub steps: Vec<f64>,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A round thing about one axis, counted from the work outwards: a tip, then a shaft, then a handle.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct HandToolRow {
    /// Name, e.g. `box spanner 7 mm`.
    pub id: String,
    /// `box spanner`, `open-ended spanner`, `screwdriver`, `offset screwdriver`, `finger`, `plug`, `connector`, `cord`, `fuse` or
    /// `terminals`.
    pub kind: String,
    /// Width across flats of the nut it takes.
    pub across: Option<f64>,
    /// What it goes with, in words.
    pub takes: String,
    /// Diameter of the tip, or its width where `tip_height` is given.
    pub tip: f64,
    /// The other side of a rectangular tip.
    pub tip_height: Option<f64>,
    /// Length of the tip along the axis.
    pub tip_length: f64,
    /// Diameter of the shaft.
    pub shaft: Option<f64>,
    /// Its length.
    pub shaft_length: Option<f64>,
    /// Diameter of the handle; of a cord, after its bend.
    pub handle: Option<f64>,
    /// Its length.
    pub handle_length: Option<f64>,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}
