//! Customs of the trade about first stage, input, rectifier and output transformer: who stands near whom. And the loop of the mains wires.

use super::heat;
use super::hum_coils::{Coil, Victim, glass, inputs, mains, note};
use super::report::{Finding, Severity};
use crate::design::{Design, TubeSpec};
use crate::params::{TransformerRole, TubeRole};
use crate::physics::dipole;
use crate::units;
use glam::DVec3;

const NEAR: &str =
    "common practice is as far as the plate allows; the figure is our own, no published source";
const CUSTOM: &str = "common practice";

/// Mains voltage for the current in the loop, V: the lower one, whose current is the larger.
const MAINS: f64 = 115.0;

/// The mains wires from part to part to the power transformer and straight back, laid apart: a loop whose field is known.
pub(super) fn mains_loop(design: &Design, sources: &[Coil<'_>], victims: &[Victim<'_>]) -> String {
    let Some(pt) = sources
        .iter()
        .find(|s| s.iron.role == TransformerRole::Power)
    else {
        return String::new();
    };
    let mut way: Vec<(&str, DVec3)> = mains(design).map(|c| (c.id.as_str(), c.pose.at)).collect();
    // the cord's end first, then what is nearest to the transformer last
    way.sort_by(|a, b| {
        let far = |p: DVec3| p.distance(pt.at);
        far(b.1).total_cmp(&far(a.1)).then(a.0.cmp(b.0))
    });
    way.push((&pt.iron.id, pt.at));
    let places: Vec<DVec3> = way.iter().map(|w| w.1 / 1000.0).collect();
    let area = dipole::area(&places);
    let middle = places.iter().sum::<DVec3>() / places.len() as f64;
    let moment = area * (heat::drawn(design) / MAINS);
    // within its own size a loop is no dipole
    let mut fields: Vec<(f64, &str)> = (victims.iter())
        .map(|v| (v, v.at / 1000.0 - middle))
        .filter(|(_, r)| r.length() >= 0.05)
        .map(|(v, r)| {
            let field = dipole::field(moment, r);
            // a coil gets what lies along its axis
            let got = (v.coil).map_or_else(|| field.length(), |c| c.along(field));
            (got * 1e9, v.id)
        })
        .collect();
    fields.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    if places.len() < 3 || fields.is_empty() {
        return String::new();
    }
    let fields: Vec<String> = (fields.iter())
        .map(|(nt, id)| format!("{nt:.0} nT at {id}"))
        .collect();
    let names: Vec<&str> = way.iter().map(|w| w.0).collect();
    format!(
        "; mains wires laid apart from {} make a loop of {:.0} cm2, {}: twist them",
        names.join(" to "),
        area.length() * 1e4,
        fields.join(", ")
    )
}

/// Near the wrong things.
pub(super) fn near(
    design: &Design,
    coils: &[Coil<'_>],
    first: Option<&TubeSpec>,
    out: &mut Vec<Finding>,
) {
    let input = inputs(design).next();
    let mut bad: Vec<(&str, DVec3, f64)> = (coils.iter())
        .filter(|c| c.iron.role == TransformerRole::Power)
        .map(|c| (c.iron.id.as_str(), c.at, 100.0))
        .collect();
    bad.extend(mains(design).map(|c| (c.id.as_str(), c.pose.at, 100.0)));
    bad.extend(
        (design.tubes.iter())
            .filter(|t| t.role == TubeRole::Rectifier)
            .map(|t| (t.id.as_str(), glass(t), 50.0)),
    );
    let mut tell = |who: &str, victim: &str, at: DVec3, is: f64, wanted: f64, other: &str| {
        if is >= wanted {
            return;
        }
        let mut f = note("hum-near", vec![victim.to_owned(), other.to_owned()], at);
        f.severity = Severity::Warning;
        f.unit = "mm".into();
        f.measured = is;
        f.wanted = wanted;
        f.text = format!(
            "{who} is {} from {other}, middle to middle, {} wanted",
            units::show(is),
            units::show(wanted)
        );
        f.hint = format!("move {victim} to the end of the plate that is far from the supply");
        f.source = NEAR.into();
        out.push(f);
    };
    let mut told = false;
    for (id, at, wanted) in bad.iter().copied() {
        if let Some(t) = first {
            let is = glass(t).distance(at);
            told |= is < wanted;
            tell(
                &format!("{}, the first stage,", t.id),
                &t.id,
                glass(t),
                is,
                wanted,
                id,
            );
        }
    }
    for (id, at, wanted) in &bad {
        if let Some(c) = input {
            let is = c.pose.at.distance(*at);
            told |= is < *wanted;
            tell(
                &format!("{}, the input,", c.id),
                &c.id,
                c.pose.at,
                is,
                *wanted,
                id,
            );
        }
    }
    // the wire between them, if its ends are well away
    if let (Some(c), Some(t), false) = (input, first, told) {
        let (a, b) = (c.pose.at, t.pose.at);
        for (id, at, _) in &bad {
            let along = ((*at - a).dot(b - a) / (b - a).length_squared().max(1e-9)).clamp(0.0, 1.0);
            let nearest = a.lerp(b, along);
            tell(
                &format!("the straight way from {} to {}", c.id, t.id),
                &c.id,
                nearest,
                nearest.distance(*at),
                60.0,
                id,
            );
        }
    }
}

/// Further than this counts as further, mm.
const CLEARLY: f64 = 20.0;

pub(super) fn customs(
    design: &Design,
    coils: &[Coil<'_>],
    first: Option<&TubeSpec>,
    out: &mut Vec<Finding>,
) {
    for c in coils {
        if c.iron.role == TransformerRole::Choke && c.iron.component {
            let mut f = note("hum-custom", vec![c.iron.id.clone()], c.at);
            f.unit = "pieces".into();
            f.text = format!(
                "{} stands on the tubes' side of the plate; the custom is under it",
                c.iron.id
            );
            f.hint =
                "`side = \"wiring\"`, if there is room: away from the output transformer, out of the hot air".into();
            f.source = CUSTOM.into();
            out.push(f);
        }
    }
    let power = coils.iter().find(|c| c.iron.role == TransformerRole::Power);
    let mut tell =
        |about: [&str; 2], at: DVec3, [is, wanted]: [f64; 2], text: String, hint: String| {
            let mut f = note("hum-custom", about.map(str::to_owned).to_vec(), at);
            f.severity = Severity::Warning;
            f.unit = "mm".into();
            (f.measured, f.wanted) = (is, wanted);
            (f.text, f.hint) = (text, hint);
            f.source = CUSTOM.into();
            out.push(f);
        };
    let Some(first) = first else {
        return;
    };
    let stage = glass(first);
    if let Some(pt) = power {
        for t in design
            .tubes
            .iter()
            .filter(|t| t.role == TubeRole::Rectifier)
        {
            let [to_iron, to_stage] = [pt.at, stage].map(|p| glass(t).distance(p));
            if to_iron > to_stage {
                tell(
                    [&t.id, &pt.iron.id],
                    glass(t),
                    [to_iron, to_stage],
                    format!(
                        "the rectifier {} is {} from {} and {} from the first stage {}",
                        t.id,
                        units::show(to_iron),
                        pt.iron.id,
                        units::show(to_stage),
                        first.id
                    ),
                    format!("move {} beside {}", t.id, pt.iron.id),
                );
            }
        }
        let is = stage.distance(pt.at);
        let other = (design.tubes.iter())
            .filter(|t| t.role == TubeRole::Preamp && t.id != first.id)
            .map(|t| (glass(t).distance(pt.at), t))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((far, t)) = other.filter(|o| o.0 > is + CLEARLY) {
            tell(
                [&first.id, &t.id],
                stage,
                [is, far],
                format!(
                    "{}, the first stage by its number, is {} from {}; {} stands further off, {}",
                    first.id,
                    units::show(is),
                    pt.iron.id,
                    t.id,
                    units::show(far)
                ),
                format!("change places of {} and {}", first.id, t.id),
            );
        }
    }
    for c in (coils.iter()).filter(|c| c.iron.role == TransformerRole::Output) {
        let tube = (design.tubes.iter())
            .filter(|t| t.role == TubeRole::Power)
            .map(|t| (glass(t).distance(c.at), t))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let to_stage = stage.distance(c.at);
        if let Some((near, t)) = tube.filter(|t| t.0 > to_stage) {
            tell(
                [&c.iron.id, &t.id],
                c.at,
                [near, to_stage],
                format!(
                    "{} is {} from its nearest tube {} and {} from the first stage {}",
                    c.iron.id,
                    units::show(near),
                    t.id,
                    units::show(to_stage),
                    first.id
                ),
                format!("move {} to the power tubes", c.iron.id),
            );
        }
    }
}
