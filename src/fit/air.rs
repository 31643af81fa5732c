//! The wanted air by pair of kinds: a table of the trade's customs, which a design may override.

use crate::assembly::{Group, Kind, Part};
use crate::design::Design;
use glam::DVec3;
use std::collections::BTreeMap;

/// How much air a rule asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Air {
    /// So many mm.
    Flat(f64),
    /// So many mm beside, so many where the second part is over the first.
    Beside(f64, f64),
    /// A share of the larger bulb's diameter.
    OfBulb(f64),
}

/// One custom.
#[derive(Clone, Copy, Debug)]
struct Custom {
    a: &'static str,
    b: &'static str,
    air: Air,
    why: &'static str,
}

/// Earlier rows speak first. All are common practice; none has a published source.
const CUSTOMS: [Custom; 12] = [
    Custom {
        a: "power tube",
        b: "can",
        air: Air::Flat(30.0),
        why: "a hot bulb shortens a capacitor's life",
    },
    Custom {
        a: "rectifier",
        b: "can",
        air: Air::Flat(30.0),
        why: "a hot bulb shortens a capacitor's life",
    },
    Custom {
        a: "power tube",
        b: "wood",
        air: Air::Beside(25.0, 40.0),
        why: "hot glass dries and darkens wood and covering",
    },
    Custom {
        a: "rectifier",
        b: "wood",
        air: Air::Beside(25.0, 40.0),
        why: "hot glass dries and darkens wood and covering",
    },
    Custom {
        a: "tube",
        b: "tube",
        air: Air::OfBulb(0.7),
        why: "glass needs air round it, and fingers to pull it",
    },
    Custom {
        a: "tube",
        b: "speaker",
        air: Air::Flat(4.0),
        why: "what slides past needs room",
    },
    Custom {
        a: "iron",
        b: "iron",
        air: Air::Flat(10.0),
        why: "room for leads and a spanner",
    },
    Custom {
        a: "iron",
        b: "tube",
        air: Air::Flat(10.0),
        why: "room for leads, a spanner and air",
    },
    Custom {
        a: "iron",
        b: "can",
        air: Air::Flat(10.0),
        why: "room for leads and a spanner",
    },
    Custom {
        a: "iron",
        b: "wood",
        air: Air::Flat(10.0),
        why: "room for leads and a spanner",
    },
    Custom {
        a: "iron",
        b: "speaker",
        air: Air::Flat(10.0),
        why: "room for leads, and away from the magnet",
    },
    Custom {
        a: "can",
        b: "speaker",
        air: Air::Flat(4.0),
        why: "what slides past needs room",
    },
];

/// Source and status of the table.
pub(super) const SOURCE: &str = "common practice";

/// Whether a part is meant by a word of a `[[clearance]]`.
fn means(word: &str, kind: Kind) -> bool {
    match word {
        "tube" => matches!(kind, Kind::SmallTube | Kind::PowerTube | Kind::Rectifier),
        "power tube" => kind == Kind::PowerTube,
        "rectifier" => kind == Kind::Rectifier,
        "wood" => matches!(
            kind,
            Kind::Board | Kind::Baffle | Kind::Cleat | Kind::BackBoard | Kind::Covering
        ),
        "can" => kind == Kind::Can,
        "iron" => matches!(kind, Kind::Iron | Kind::Coil),
        "metal" => matches!(
            kind,
            Kind::Plate | Kind::Panel | Kind::Angle | Kind::Bracket
        ),
        "magnet" => kind == Kind::Magnet,
        "speaker" => matches!(kind, Kind::SpeakerFrame | Kind::Magnet),
        "socket" => kind == Kind::Socket,
        "control" => kind == Kind::Control,
        "board" => kind == Kind::CircuitBoard,
        "knob" => kind == Kind::Knob,
        _ => false,
    }
}

/// Wanted air of two parts, mm, and the rule in words; `None` where no rule applies. `toward` points from the first to the second
/// at their closest.
pub(super) fn wanted(
    design: &Design,
    bulbs: &Bulbs<'_>,
    a: &Part,
    b: &Part,
    toward: DVec3,
) -> Option<(f64, String)> {
    if a.owner == b.owner {
        return None;
    }
    // with the plate between them neither spanner, leads nor heat pass from one to the other
    let parted = matches!(
        (a.group, b.group),
        (Group::Above, Group::Below) | (Group::Below, Group::Above)
    );
    let pair = |x: &str, y: &str| -> Option<bool> {
        if means(x, a.kind) && means(y, b.kind) {
            Some(true)
        } else if means(x, b.kind) && means(y, a.kind) {
            Some(false)
        } else {
            None
        }
    };
    if let Some((air, [x, y])) = own(design, a, b) {
        return Some((air, format!("{x} to {y}: the design's own rule")));
    }
    if parted {
        return None;
    }
    for c in &CUSTOMS {
        if let Some(straight) = pair(c.a, c.b) {
            let up = if straight { toward.z } else { -toward.z };
            let (air, how) = match c.air {
                Air::Flat(mm) => (mm, ""),
                Air::Beside(_, over) if up > 0.7 => (over, " above it"),
                Air::Beside(beside, _) => (beside, ""),
                Air::OfBulb(share) => (share * bulbs.of(a).max(bulbs.of(b)), ""),
            };
            return Some((air, format!("{} to {}{how}: {}", c.a, c.b, c.why)));
        }
    }
    None
}

/// What the builder wrote of two kinds; the last counts.
fn own<'d>(design: &'d Design, a: &Part, b: &Part) -> Option<(f64, &'d [String; 2])> {
    let meant = |x: &str, y: &str| means(x, a.kind) && means(y, b.kind);
    (design.clearances.iter().rev())
        .find(|([x, y], _)| meant(x, y) || meant(y, x))
        .map(|(words, air)| (*air, words))
}

/// Air that the design itself asks for between two parts, mm.
pub(super) fn own_rule(design: &Design, a: &Part, b: &Part) -> Option<f64> {
    own(design, a, b).map(|o| o.0)
}

/// Diameters of the tubes by their ids.
pub(super) struct Bulbs<'d>(BTreeMap<&'d str, f64>);

impl<'d> Bulbs<'d> {
    pub fn new(design: &'d Design) -> Bulbs<'d> {
        Bulbs(
            (design.tubes.iter())
                .map(|t| (t.id.as_str(), t.diameter))
                .collect(),
        )
    }

    fn of(&self, part: &Part) -> f64 {
        self.0.get(part.owner.as_str()).copied().unwrap_or(0.0)
    }
}
