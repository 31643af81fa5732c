//! The questions the design asks of the catalogue.

use super::family::{Row, find};
pub use super::family::{
    clamps, controls, cores, gauges, grommets, knobs, materials, screws, sockets, speakers, tubes,
};
use super::rows::{
    ClampRow, ControlRow, CoreRow, GaugeRow, GrommetRow, KnobRow, MaterialRow, ScrewRow, SocketRow,
    SpeakerRow, TubeRow,
};
use crate::params::HoleFit;

/// Tolerance on a can's diameter within which its clamp still closes, mm.
const CAN_PLAY: f64 = 1.0;

/// How much smaller than wanted a grommet's bore may be, mm; rubber gives.
const BORE_GIVE: f64 = 0.3;

/// Slack when a length is compared with a stocked one, mm: 7/8 in written as 22.2 is still 7/8 in.
const LENGTH_SLACK: f64 = 0.05;

impl ScrewRow {
    /// Diameter of the clearance hole, mm.
    #[must_use]
    pub fn clearance(&self, fit: HoleFit) -> f64 {
        match fit {
            HoleFit::Close => self.close,
            HoleFit::Normal => self.normal,
            HoleFit::Loose => self.loose,
        }
    }
}

/// The tube of that type, e.g. `EL84` or `6bq5`.
#[must_use]
pub fn tube(name: &str) -> Option<&'static TubeRow> {
    find(name)
}

/// The socket of that name.
#[must_use]
pub fn socket(name: &str) -> Option<&'static SocketRow> {
    find(name)
}

/// The usual socket for a base (`noval`, `miniature`, `octal`).
#[must_use]
pub fn usual_socket(base: &str) -> Option<&'static SocketRow> {
    sockets()
        .iter()
        .find(|row| row.usual && row.base.eq_ignore_ascii_case(base))
}

/// The lamination of that name, e.g. `EI96` or `EI-100`.
#[must_use]
pub fn core(name: &str) -> Option<&'static CoreRow> {
    find(name)
}

/// The loudspeaker pattern of that name, e.g. `12 in ceramic`.
#[must_use]
pub fn speaker(name: &str) -> Option<&'static SpeakerRow> {
    find(name)
}

/// The control of that name, e.g. `pot 24`.
#[must_use]
pub fn control(name: &str) -> Option<&'static ControlRow> {
    find(name)
}

/// The usual control of a kind, by its word in the parameter file, e.g. `fuse holder`.
#[must_use]
pub fn usual_control(kind: &str) -> Option<&'static ControlRow> {
    controls()
        .iter()
        .find(|row| row.usual && row.kind.eq_ignore_ascii_case(kind))
}

/// The knob of that name.
#[must_use]
pub fn knob(name: &str) -> Option<&'static KnobRow> {
    find(name)
}

/// The screw of that size, e.g. `M4`, `#8`, `8-32`, `#8 wood`.
#[must_use]
pub fn screw(name: &str) -> Option<&'static ScrewRow> {
    find(name)
}

/// The shortest length sold of a screw that is at least `length` (mm, both under a countersunk head's face and under a pan head), or `None`
/// if none is that long.
#[must_use]
pub fn screw_length_at_least(row: &ScrewRow, length: f64) -> Option<f64> {
    row.lengths
        .iter()
        .copied()
        .find(|&sold| sold >= length - LENGTH_SLACK)
}

/// The material of that name, e.g. `birch plywood`.
#[must_use]
pub fn material(name: &str) -> Option<&'static MaterialRow> {
    find(name)
}

/// The sheet gauge of that name, e.g. `18 ga steel` or `18 gauge steel`. A gauge without its metal finds nothing: the same number is a
/// different thickness in steel and in aluminium.
#[must_use]
pub fn gauge(name: &str) -> Option<&'static GaugeRow> {
    find(name)
}

/// The grommet of that name.
#[must_use]
pub fn grommet(name: &str) -> Option<&'static GrommetRow> {
    find(name)
}

/// The smallest grommet whose bore is at least `bore` mm.
#[must_use]
pub fn grommet_for(bore: f64) -> Option<&'static GrommetRow> {
    grommets()
        .iter()
        .filter(|row| row.bore >= bore - BORE_GIVE)
        .min_by(|a, b| a.bore.total_cmp(&b.bore))
}

/// The clamp of that name.
#[must_use]
pub fn clamp(name: &str) -> Option<&'static ClampRow> {
    find(name)
}

/// The clamp nearest to a can's diameter (mm), or `None` if it is more than 1 mm off.
#[must_use]
pub fn clamp_for(can: f64) -> Option<&'static ClampRow> {
    ClampRow::all()
        .iter()
        .filter(|row| (row.can - can).abs() <= CAN_PLAY)
        .min_by(|a, b| (a.can - can).abs().total_cmp(&(b.can - can).abs()))
}
