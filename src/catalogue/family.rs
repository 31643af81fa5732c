//! Families of rows: where their data is, and how a row is found by name.

use std::sync::OnceLock;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::drill_series::read_series;
use super::figures::Figure;
use super::rows::{
    ClampRow, ControlRow, CoreRow, GaugeRow, GrommetRow, KnobRow, MaterialRow, ScrewRow, SocketRow,
    SpeakerRow, Status, TubeRow,
};
use super::rows_shop::{
    BaseRow, CutCoreRow, DrillRow, FittingRow, HandToolRow, InsertRow, LugRow, PunchRow, RivetRow,
    StandOffRow, StepBitRow, ToothWasherRow, ToroidRow,
};

/// A row of the catalogue.
pub trait Row: Sized + 'static {
    /// The family's name, singular, as used in messages: `tube`.
    const FAMILY: &'static str;

    /// Every row of the family, in the order of its data file.
    fn all() -> &'static [Self];

    /// Its name, unique in the family ignoring case.
    fn id(&self) -> &str;

    /// Other names.
    fn also(&self) -> &[String];

    /// Where the figures are from.
    fn source(&self) -> &str;

    /// The standing of the figures that `source` does not name as having another.
    fn status(&self) -> Status;

    /// The figures in the order in which they are shown, the same for every row of the family.
    fn figures(&self) -> Vec<Figure>;

    /// Lines that set these figures in a parameter file.
    fn paste(&self) -> Vec<String>;
}

/// A data file: `[[row]]` tables.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File<T> {
    row: Vec<T>,
}

fn read<T: DeserializeOwned>(texts: &[&str]) -> Vec<T> {
    let mut rows = Vec::new();
    for text in texts {
        // The texts are compiled in and a test reads every one of them, so this cannot fail in a released program.
        let file: File<T> = toml::from_str(text).expect("the compiled-in data is well formed");
        rows.extend(file.row);
    }
    rows
}

/// `also` of a row type that has no such field.
macro_rules! names {
    ($row:ident) => {
        &[]
    };
    ($row:ident also) => {
        &$row.also
    };
}

macro_rules! family {
    ($type:ident, $name:literal, $all:ident, $load:expr $(, $also:ident)?) => {
        #[doc = concat!("Every ", $name, " of the catalogue, in the order of the data.")]
        #[must_use]
        pub fn $all() -> &'static [$type] {
            static ROWS: OnceLock<Vec<$type>> = OnceLock::new();
            ROWS.get_or_init(|| $load)
        }

        impl Row for $type {
            const FAMILY: &'static str = $name;

            fn all() -> &'static [Self] {
                $all()
            }

            fn id(&self) -> &str {
                &self.id
            }

            fn also(&self) -> &[String] {
                let _row = self;
                names!(_row $($also)?)
            }

            fn source(&self) -> &str {
                &self.source
            }

            fn status(&self) -> Status {
                self.status
            }

            fn figures(&self) -> Vec<Figure> {
                self.figure_list()
            }

            fn paste(&self) -> Vec<String> {
                self.paste_lines()
            }
        }
    };
}

/// The rows of the named data files.
macro_rules! data {
    ($($file:literal),+) => {
        read(&[$(include_str!(concat!("data/", $file, ".toml"))),+])
    };
}

/// Does `f::<R>(arguments)` for every family, in the order in which they are shown.
macro_rules! each_family {
    ($f:ident($($arg:expr),*)) => {
        $f::<$crate::catalogue::TubeRow>($($arg),*);
        $f::<$crate::catalogue::BaseRow>($($arg),*);
        $f::<$crate::catalogue::SocketRow>($($arg),*);
        $f::<$crate::catalogue::CoreRow>($($arg),*);
        $f::<$crate::catalogue::ToroidRow>($($arg),*);
        $f::<$crate::catalogue::CutCoreRow>($($arg),*);
        $f::<$crate::catalogue::SpeakerRow>($($arg),*);
        $f::<$crate::catalogue::ControlRow>($($arg),*);
        $f::<$crate::catalogue::KnobRow>($($arg),*);
        $f::<$crate::catalogue::ScrewRow>($($arg),*);
        $f::<$crate::catalogue::RivetRow>($($arg),*);
        $f::<$crate::catalogue::InsertRow>($($arg),*);
        $f::<$crate::catalogue::ToothWasherRow>($($arg),*);
        $f::<$crate::catalogue::LugRow>($($arg),*);
        $f::<$crate::catalogue::StandOffRow>($($arg),*);
        $f::<$crate::catalogue::FittingRow>($($arg),*);
        $f::<$crate::catalogue::DrillRow>($($arg),*);
        $f::<$crate::catalogue::PunchRow>($($arg),*);
        $f::<$crate::catalogue::StepBitRow>($($arg),*);
        $f::<$crate::catalogue::HandToolRow>($($arg),*);
        $f::<$crate::catalogue::MaterialRow>($($arg),*);
        $f::<$crate::catalogue::GaugeRow>($($arg),*);
        $f::<$crate::catalogue::GrommetRow>($($arg),*);
        $f::<$crate::catalogue::ClampRow>($($arg),*);
    };
}
pub(super) use each_family;

family!(TubeRow, "tube", tubes, data!("tubes"), also);
family!(BaseRow, "base", bases, data!("bases"), also);
family!(SocketRow, "socket", sockets, data!("sockets"));
family!(CoreRow, "core", cores, data!("cores"));
family!(ToroidRow, "toroid", toroids, data!("toroids"));
family!(CutCoreRow, "C-core", cut_cores, data!("cut-cores"), also);
family!(SpeakerRow, "speaker", speakers, data!("speakers"));
family!(ControlRow, "control", controls, data!("controls"));
family!(KnobRow, "knob", knobs, data!("knobs"));
family!(
    ScrewRow,
    "screw",
    screws,
    data!("screws-metric", "screws-inch", "screws-wood"),
    also
);
family!(RivetRow, "rivet", rivets, data!("rivets"), also);
family!(InsertRow, "insert", inserts, data!("inserts"));
family!(
    ToothWasherRow,
    "tooth washer",
    tooth_washers,
    data!("tooth-washers")
);
family!(LugRow, "lug", lugs, data!("lugs"));
family!(StandOffRow, "stand-off", stand_offs, data!("stand-offs"));
family!(FittingRow, "fitting", fittings, data!("fittings"));
family!(
    DrillRow,
    "drill",
    drills,
    read_series(include_str!("data/drills.toml")),
    also
);
family!(PunchRow, "punch", punches, data!("punches"));
family!(StepBitRow, "step bit", step_bits, data!("step-bits"));
family!(HandToolRow, "hand tool", hand_tools, data!("hand-tools"));
family!(MaterialRow, "material", materials, data!("materials"), also);
family!(GaugeRow, "gauge", gauges, data!("gauges"));
family!(GrommetRow, "grommet", grommets, data!("grommets"));
family!(ClampRow, "clamp", clamps, data!("clamps"));

/// A name without case, spaces, hyphens and underscores, and with `gauge` written `ga`.
pub(super) fn squeeze(name: &str) -> String {
    let plain: String = name
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_'))
        .flat_map(char::to_lowercase)
        .collect();
    plain.replace("gauge", "ga")
}

fn names<R: Row>(row: &R) -> impl Iterator<Item = &str> {
    std::iter::once(row.id()).chain(row.also().iter().map(String::as_str))
}

/// The row called `name`: its id or another of its names, whatever the case; failing that, the only row whose name differs by no more than
/// spaces and hyphens. `EI 75` finds nothing, because `EI75` (metric) and `EI-75` (US) are two cores.
#[must_use]
pub fn find<R: Row>(name: &str) -> Option<&'static R> {
    let name = name.trim();
    let lower = name.to_lowercase();
    if let Some(row) = R::all()
        .iter()
        .find(|row| names(*row).any(|n| n.to_lowercase() == lower))
    {
        return Some(row);
    }
    let bare = squeeze(name);
    let mut rows = R::all()
        .iter()
        .filter(|row| names(*row).any(|n| squeeze(n) == bare));
    match (rows.next(), rows.next()) {
        (Some(row), None) => Some(row),
        _ => None,
    }
}

/// How alike two names must be to count as near (Jaro-Winkler), which lets through one wrong letter in four.
const ALIKE: f64 = 0.75;

/// Rows that `name` may have been meant for, in the order of the data, each with how near it is.
///
/// A name counts as near if it is spelt alike, or if one name contains the other. A name of one letter is like too many words to count.
pub(super) fn near<R: Row>(name: &str) -> Vec<(f64, &'static str)> {
    let bare = squeeze(name);
    if bare.is_empty() {
        return Vec::new();
    }
    R::all()
        .iter()
        .filter_map(|row| {
            let score = names(row)
                .map(squeeze)
                .filter(|other| other.len() > 1 || *other == bare)
                .map(|other| {
                    let inside = bare.len() > 1 && (other.contains(&bare) || bare.contains(&other));
                    strsim::jaro_winkler(&bare, &other).max(if inside { ALIKE } else { 0.0 })
                })
                .fold(0.0, f64::max);
            (score >= ALIKE).then(|| (score, row.id()))
        })
        .collect()
}

/// The `most` likeliest ids, the likeliest first; ids that are equally near stay in order.
pub(super) fn likeliest(mut scored: Vec<(f64, &'static str)>, most: usize) -> Vec<&'static str> {
    scored.sort_by(|a, b| b.0.total_cmp(&a.0));
    scored.into_iter().take(most).map(|(_, id)| id).collect()
}

/// Ids of the rows that `name` may have been meant for, the likeliest first, at most five; empty if nothing is near.
#[must_use]
pub fn nearest<R: Row>(name: &str) -> Vec<&'static str> {
    likeliest(near::<R>(name), 5)
}
