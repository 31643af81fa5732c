//! Who hums and who hears it: coils, first stage, input and mains parts, and what one gets of the other.

use super::report::{Finding, Severity};
use crate::assembly::{Assembly, Kind};
use crate::design::{ControlSpec, Design, IronSpec, TubeSpec};
use crate::params::{ControlKind, Mounting, TransformerRole, TubeRole};
use crate::physics::body::Mass;
use crate::physics::dipole::{self, FLOOR};
use glam::DVec3;

/// Distance of the coils that are 0 dB, mm.
const STANDARD: f64 = 100.0;

const PRACTICE: &str = "common practice; dipole field, computed: a ranking, not a level";

/// A coil.
#[derive(Clone, Copy)]
pub(super) struct Coil<'d> {
    pub iron: &'d IronSpec,
    pub at: DVec3,
    pub axis: DVec3,
    /// Strength as a source, by the volume of its core over the power transformer's.
    pub weight: f64,
}

impl Coil<'_> {
    /// What of a field lies along its axis.
    pub fn along(&self, field: DVec3) -> f64 {
        self.axis.dot(field).abs()
    }
}

/// Something that picks up hum.
pub(super) struct Victim<'d> {
    pub id: &'d str,
    pub at: DVec3,
    pub coil: Option<Coil<'d>>,
}

/// Whether its coil stands upright on the plate, so that no turn changes it.
pub(super) fn upright(iron: &IronSpec) -> bool {
    iron.coil_axis().dot(iron.pose.dir(DVec3::Z)).abs() > 0.5
}

pub(super) fn core_volume(iron: &IronSpec) -> f64 {
    iron.length * iron.height * iron.stack
}

/// A toroid's stray field over that of a stack of laminations (from memory).
const TOROID: f64 = 0.1;

/// How strong a source it is; `power` is the largest power transformer's core, mm3.
pub(super) fn strength(iron: &IronSpec, power: f64) -> f64 {
    let ring = if iron.mounting == Mounting::CentreBolt {
        TOROID
    } else {
        1.0
    };
    if power > 0.0 && iron.role == TransformerRole::Choke {
        ring * (core_volume(iron) / power).min(1.0)
    } else {
        ring
    }
}

/// The middle of core and coil.
pub(super) fn middle(assembly: &Assembly, iron: &IronSpec) -> DVec3 {
    let parts = (assembly.parts.iter())
        .filter(|p| p.owner == iron.id && matches!(p.kind, Kind::Iron | Kind::Coil))
        .map(|p| Mass {
            kg: assembly.shapes[p.shape].volume * p.density,
            centre: p.pose.point(assembly.shapes[p.shape].centroid),
        });
    let all = Mass::sum(parts);
    if all.kg > 0.0 {
        all.centre
    } else {
        iron.pose.at
    }
}

/// The number in a name, for `V2` before `V10`.
fn number(id: &str) -> u64 {
    let digits: String = id.chars().filter(char::is_ascii_digit).take(9).collect();
    digits.parse().unwrap_or(u64::MAX)
}

pub(super) fn first_stage(design: &Design) -> Option<&TubeSpec> {
    (design.tubes.iter())
        .filter(|t| t.role == TubeRole::Preamp)
        .min_by_key(|t| (number(&t.id), &t.id))
}

fn named(c: &ControlSpec, words: &[&str]) -> bool {
    let begins = |text: &str| {
        let text = text.to_ascii_lowercase();
        words.iter().any(|w| text.starts_with(w))
    };
    begins(&c.id) || c.legend.as_deref().is_some_and(begins)
}

pub(super) fn inputs(design: &Design) -> impl Iterator<Item = &ControlSpec> {
    (design.controls.iter()).filter(|c| c.kind == ControlKind::Jack && named(c, &["in"]))
}

pub(super) fn mains(design: &Design) -> impl Iterator<Item = &ControlSpec> {
    design.controls.iter().filter(|c| match c.kind {
        ControlKind::Inlet | ControlKind::StrainRelief | ControlKind::FuseHolder => true,
        ControlKind::Toggle | ControlKind::Rotary => {
            named(c, &["power", "mains", "standby", "stand-by", "on"])
        }
        _ => false,
    })
}

/// Half the height of the glass over the plate.
pub(super) fn glass(t: &TubeSpec) -> DVec3 {
    t.pose.point(DVec3::Z * (t.socket_top + t.seated / 2.0))
}

/// What a victim gets of a source: of the standard coupling, and of the worst at their distance.
pub(super) fn got(source: &Coil<'_>, at: DVec3, axis: Option<DVec3>) -> [f64; 2] {
    let r = at - source.at;
    if r.length() < 1.0 {
        return [source.weight, 1.0];
    }
    let fall = (STANDARD / r.length()).powi(3);
    let share = match axis {
        Some(u) => dipole::facing(source.axis, u, r).abs() / 2.0,
        None => dipole::strength(source.axis, r, r.length()),
    };
    let share = share.max(FLOOR);
    [share * fall * source.weight, share]
}

/// All sources together, as powers add.
pub(super) fn total(sources: &[Coil<'_>], at: DVec3, axis: Option<DVec3>, but: &str) -> f64 {
    (sources.iter().filter(|s| s.iron.id != but))
        .map(|s| got(s, at, axis)[0].powi(2))
        .sum::<f64>()
        .sqrt()
}

/// Its axis at a `turn` as a parameter file says it, degrees clockwise seen from the component side; and the turn it has, 0 to 179.
pub(super) fn turned(design: &Design, iron: &IronSpec) -> Option<(f64, impl Fn(f64) -> DVec3)> {
    let plate = design.plate?;
    let (base, sign) = if iron.component {
        (plate.component(0.0, 0.0), -1.0)
    } else {
        (plate.wiring(0.0, 0.0), 1.0)
    };
    let local = base.rot.transpose() * iron.pose.dir(DVec3::X);
    let now = (sign * local.y.atan2(local.x).to_degrees()).rem_euclid(180.0);
    let upright = upright(iron);
    let axis = move |turn: f64| {
        if upright {
            base.dir(DVec3::Z)
        } else {
            base.turned_z(sign * turn).dir(DVec3::X)
        }
    };
    Some((now, axis))
}

pub(super) fn note(id: &str, about: Vec<String>, at: DVec3) -> Finding {
    Finding {
        source: PRACTICE.into(),
        ..Finding::new(id, Severity::Note, about, at, (0.0, 0.0, "dB"))
    }
}
