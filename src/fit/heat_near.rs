//! What stands near hot glass, and the glass itself.

use super::measure_all::Measured;
use super::report::{Finding, Severity};
use crate::assembly::{Assembly, Group, Kind, Part};
use crate::catalogue;
use crate::design::TubeSpec;
use crate::physics::air::{self, Bulb};
use glam::DVec3;
use std::collections::BTreeMap;

/// Emissivity of wood, covering and a can's sleeve.
const WOODEN: f64 = 0.90;

/// A bulb further off than this adds nothing worth counting, m.
const FAR: f64 = 0.25;

/// Height over which a warm patch of wood sheds its heat, m.
const PATCH: f64 = 0.1;

pub(super) fn finding(id: &str, severity: Severity, about: Vec<String>, at: DVec3) -> Finding {
    Finding::new(id, severity, about, at, (0.0, 0.0, "C"))
}

/// A hot tube.
pub(super) struct Hot<'d> {
    pub tube: &'d TubeSpec,
    pub bulb: Bulb,
    /// Mean of its glass.
    pub celsius: f64,
}

impl Hot<'_> {
    /// Distance of a place from the bulb's axis, m, at least its radius; further off beyond its ends.
    fn axis_to(&self, p: DVec3) -> f64 {
        let up = self.tube.pose.dir(DVec3::Z);
        let foot = self.tube.pose.point(DVec3::Z * self.tube.socket_top);
        let along = (p - foot).dot(up).clamp(0.0, self.tube.seated);
        (p.distance(foot + up * along) / 1e3).max(self.bulb.diameter / 2.0 + 1e-4)
    }
}

/// What a kind may get to, C.
fn bears(kind: Kind) -> Option<(f64, &'static str)> {
    match kind {
        Kind::Board | Kind::Baffle | Kind::Cleat | Kind::BackBoard => {
            Some((60.0, "60 C for wood: common practice"))
        }
        Kind::Covering => Some((60.0, "60 C for covering, as wood: common practice")),
        Kind::Can => Some((
            70.0,
            "70 C for a can of the 85 C kind: our own figure; 10 K cooler doubles its life (from memory)",
        )),
        Kind::Magnet => Some((80.0, "80 C for a magnet: our own figure")),
        _ => None,
    }
}

/// What stands near hot glass: one finding for each part, at its worst.
pub(super) fn near(
    assembly: &Assembly,
    measured: &[Measured],
    hot: &[Hot<'_>],
    room: f64,
    out: &mut Vec<Finding>,
) {
    let is_hot = |p: &Part| matches!(p.kind, Kind::PowerTube | Kind::Rectifier);
    let mut worst: BTreeMap<&str, (f64, f64, &Part, &Part, DVec3)> = BTreeMap::new();
    for m in measured {
        let [a, b] = [m.a, m.b].map(|i| &assembly.parts[i]);
        let (tube, other, at) = if is_hot(a) {
            (a, b, m.is.at[1])
        } else if is_hot(b) {
            (b, a, m.is.at[0])
        } else {
            continue;
        };
        let Some((limit, _)) = bears(other.kind) else {
            continue;
        };
        // the plate is a screen
        if other.group == Group::Below || m.is.overlap > 0.0 {
            continue;
        }
        let bulbs: Vec<(&Hot<'_>, f64)> = (hot.iter())
            .map(|h| (h, h.axis_to(at)))
            .filter(|(_, axis)| *axis < FAR)
            .collect();
        let heat = |t: f64| {
            (bulbs.iter())
                .map(|(h, axis)| h.bulb.heats(h.celsius, t, *axis))
                .sum::<f64>()
        };
        let celsius = air::warmed(heat, WOODEN, room, PATCH);
        let over = celsius - limit;
        let row = (over, celsius, tube, other, at);
        let e = worst.entry(other.id.as_str()).or_insert(row);
        if over > e.0 {
            *e = row;
        }
    }
    for (over, celsius, tube, other, at) in worst.into_values() {
        let Some((limit, source)) = bears(other.kind).filter(|_| over > 0.0) else {
            continue;
        };
        let mut f = finding(
            "heat-near",
            Severity::Warning,
            vec![tube.owner.clone(), other.id.clone()],
            at,
        );
        (f.measured, f.wanted) = (celsius, limit);
        f.text = format!(
            "{} gets about {celsius:.0} C beside {} at idle, {limit:.0} C at most wanted",
            other.id, tube.owner
        );
        f.hint = "more distance, or a bright metal sheet between them, clear of both".into();
        f.source = format!("{source}; radiation and still air, estimated");
        out.push(f);
    }
}

/// The glass, and the power transformer `(id, C)`.
pub(super) fn touch(hot: &[Hot<'_>], iron: Option<(&str, f64)>) -> Option<Finding> {
    let limit = |h: &Hot<'_>| {
        let row = catalogue::tube(&h.tube.type_id)?;
        Some((row.bulb_c?, row.bulb_is_published()))
    };
    // one over its limit is told before one that is hotter and bears it
    let rank = |h: &Hot<'_>| {
        let over = limit(h).map_or(0.0, |(most, _)| (h.celsius - most).max(0.0));
        (over, h.celsius)
    };
    let h = (hot.iter()).max_by(|a, b| {
        let (a, b) = (rank(a), rank(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    })?;
    let mut f = finding(
        "touch",
        Severity::Note,
        vec![h.tube.id.clone()],
        h.tube.pose.at,
    );
    // glass touched for one to ten seconds
    (f.measured, f.wanted) = (h.celsius, 71.0);
    f.text = format!(
        "the glass of {} is about {:.0} C at idle: it burns at a touch, and is hot for minutes after",
        h.tube.id, h.celsius
    );
    let limit = limit(h);
    if let Some((most, published)) = limit {
        f.text.push_str(&if published {
            format!("; a maker's sheet allows {most:.0} C at the hottest spot")
        } else {
            format!("; its limit at the hottest spot is remembered as {most:.0} C")
        });
    }
    if let Some((id, celsius)) = iron {
        f.text
            .push_str(&format!("; {id} gets about {celsius:.0} C outside"));
    }
    f.hint = "let it cool before a hand goes in; where hands or children reach it, a guard or a back board".into();
    if let Some((most, _)) = limit.filter(|(most, _)| h.celsius > *most) {
        f.severity = Severity::Warning;
        f.wanted = most;
        f.hint = format!(
            "more air (see `heat`), or less idle current in {}; {}",
            h.tube.id, f.hint
        );
    }
    f.source = "means, estimated; IEC 62368-1 Table 38 allows glass 71 C and metal 60 C where touched up to 10 s (from memory); the standard decides"
        .into();
    Some(f)
}
