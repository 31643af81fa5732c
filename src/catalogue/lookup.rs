//! The questions the design asks of the catalogue.

use super::family::{Row, find};
pub use super::family::{
    bases, clamps, controls, cores, cut_cores, drills, fittings, gauges, grommets, hand_tools,
    inserts, knobs, lugs, materials, punches, rivets, screws, sockets, speakers, stand_offs,
    step_bits, tooth_washers, toroids, tubes,
};
use super::rows::{
    ClampRow, ControlRow, CoreRow, GaugeRow, GrommetRow, KnobRow, MaterialRow, ScrewRow, SocketRow,
    SpeakerRow, TubeRow,
};
use super::rows_shop::{BaseRow, DrillRow, FittingRow, InsertRow, RivetRow};
use crate::params::HoleFit;

/// Tolerance on a can's diameter within which its clamp still closes, mm.
const CAN_PLAY: f64 = 1.0;

/// How much smaller than wanted a grommet's bore may be, mm; rubber gives.
const BORE_GIVE: f64 = 0.3;

/// Slack when a length is compared with a stocked one, mm: 7/8 in written as 22.2 is still 7/8 in.
const LENGTH_SLACK: f64 = 0.05;

/// Where a clearance hole's size is from. One screw has different holes in each, so the system is always named with the size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HoleSystem {
    /// ISO 273: fine, medium, coarse; metric screws.
    Iso273,
    /// ASME B18.2.8: close, normal, loose; inch screws.
    AsmeB18,
    /// The older shop chart of inch screws: close and free. Its free fit is smaller than the close fit of ASME B18.2.8.
    ShopChart,
}

impl HoleSystem {
    /// Its name.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            HoleSystem::Iso273 => "ISO 273",
            HoleSystem::AsmeB18 => "ASME B18.2.8",
            HoleSystem::ShopChart => "older shop chart",
        }
    }
}

impl ScrewRow {
    /// The system in which [`ScrewRow::clearance`] gives its holes.
    #[must_use]
    pub fn hole_system(&self) -> HoleSystem {
        if self.id.starts_with('M') {
            HoleSystem::Iso273
        } else {
            HoleSystem::AsmeB18
        }
    }

    /// Diameter of the clearance hole in a named system, mm; `None` where that system does not know this screw or this fit (the older chart
    /// has no third fit: its free fit stands under [`HoleFit::Normal`]).
    #[must_use]
    pub fn hole(&self, system: HoleSystem, fit: HoleFit) -> Option<f64> {
        match (system, fit) {
            (HoleSystem::ShopChart, HoleFit::Close) => self.chart_close,
            (HoleSystem::ShopChart, HoleFit::Normal) => self.chart_free,
            (HoleSystem::ShopChart, HoleFit::Loose) => None,
            _ => (system == self.hole_system()).then(|| self.clearance(fit)),
        }
    }

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

impl TubeRow {
    /// Whether the hottest bulb was read in a maker's sheet; remembered otherwise.
    #[must_use]
    pub fn bulb_is_published(&self) -> bool {
        let (_, named) = self.source.split_once("Published: ").unwrap_or_default();
        let end = ["Computed: ", "Common practice: ", "From memory: "]
            .iter()
            .filter_map(|next| named.find(next))
            .min()
            .unwrap_or(named.len());
        named[..end].contains("bulb-c")
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

/// The base of that name, e.g. `octal`.
#[must_use]
pub fn base(name: &str) -> Option<&'static BaseRow> {
    find(name)
}

/// The blind rivet of that name, e.g. `rivet 1/8`.
#[must_use]
pub fn rivet(name: &str) -> Option<&'static RivetRow> {
    find(name)
}

impl RivetRow {
    /// The hole that its drill makes, mm.
    #[must_use]
    pub fn drilled(&self) -> f64 {
        find::<DrillRow>(&self.drill).map_or(self.hole_least, |drill| drill.diameter)
    }
}

/// The usual fitting of a kind, e.g. `foot`, `reverb tank`.
#[must_use]
pub fn usual_fitting(kind: &str) -> Option<&'static FittingRow> {
    fittings()
        .iter()
        .find(|row| row.usual && row.kind.eq_ignore_ascii_case(kind))
}

/// The set-in thread of a kind (`wood insert`, `T-nut`, `rivet nut`) for a screw, by the screw's id.
#[must_use]
pub fn insert_for(kind: &str, screw: &str) -> Option<&'static InsertRow> {
    inserts()
        .iter()
        .find(|row| row.kind.eq_ignore_ascii_case(kind) && row.screw.eq_ignore_ascii_case(screw))
}
