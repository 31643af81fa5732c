//! Hum: which coils and stages stand badly to the iron that hums, and which turn would be better.

use super::doc::Doc;
use super::hum_coils::{
    Coil, Victim, core_volume, first_stage, glass, got, inputs, middle, note, strength, total,
    turned, upright,
};
use super::hum_near;
use super::report::{Finding, Severity};
use crate::assembly::Assembly;
use crate::design::Design;
use crate::params::TransformerRole;
use crate::physics::dipole;
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["hum", "hum-axes", "hum-near", "hum-custom"],
    title: "Hum: coils, first stage, mains",
    does: "Takes every transformer and choke as a magnetic dipole in the middle of its coil, its axis that of the coil: upright in a channel frame, \
a toroid or a C-core, along the laminations' middle leg otherwise. Power transformer and chokes are sources, a choke weaker by its core's volume, a toroid ten times (from memory); output and \
reverb transformers are victims by the coupling of the two axes, the first stage's tube, the input jack and a reverb tank by the strength of the field. \
`hum` ranks the victims in decibels, 0 dB being two coils end to end 100 mm apart: it is a ranking of places and turns, not a level. For a \
transformer that is a victim it tries every whole degree of turn on the plate and tells the best and what it gains; a null \
is taken for 30 dB and no more. The mains wires, from part to part to the power transformer as if laid apart, are a loop of known area and current \
(at 115 V): its field at every victim is told in nanotesla, at a transformer what lies along its axis. `hum-axes` warns where power transformer and victim couple with more than a quarter of the worst two axes can at that \
distance. `hum-near` warns where first stage, input jack or the straight line between them is near power transformer, rectifier or mains parts. \
`hum-custom` warns where a layout breaks the trade's customs: rectifier by the power transformer, output transformer by its tubes, \
no other small tube further from the power transformer than the first stage. The first stage is the small tube with the lowest number; the \
input is a jack whose name or legend begins with \"in\"; mains parts are inlet, strain relief, fuse, and a switch called power, mains or standby.",
    why: "Crossed axes are a null only where one of them points at or stands square to the other's middle; aside of that another turn wins, and moving it makes \
it worse.",
    example: "`OT couples with PT as -9 dB of the worst two coils can at their distance, -12 dB or less wanted; turned to 162 degrees 27 dB less`",
    change: "`turn`, `mounting` or place of a transformer; place of tubes and controls.",
    rests_on: "the dipole's field, exact: B = (mu0 / 4 pi r^3) (3 (m.r) r - m), and for the coupling of two axes (3 (u1.r)(u2.r) - u1.u2) / r^3, r along the line \
between them: 2 end to end, 1 side by side, a null where the axes are square to each other and one of them is along or square to the line, and falling by 18 dB when \
the distance doubles. Near the iron the real field has more in it and gaps and saturation shape it. Axes crossed, first stage far, \
rectifier near, output transformer by its tubes: common practice. The quarter, the 30 dB, and 100 mm (60 mm for the wire, 50 mm to the rectifier): our own \
figures, no published source. An aluminium plate between them is no screen: see the table below.",
};

/// Share of the worst two axes that is passed.
const PASSED: f64 = 0.25;

/// Gain that is worth turning a transformer for, dB.
const WORTH: f64 = 3.0;

pub(super) fn of_design(design: &Design, assembly: &Assembly) -> Vec<Finding> {
    let power = (design.irons.iter())
        .filter(|i| i.role == TransformerRole::Power)
        .map(core_volume)
        .fold(0.0, f64::max);
    let coils: Vec<Coil<'_>> = (design.irons.iter())
        .map(|iron| Coil {
            iron,
            at: middle(assembly, iron),
            axis: iron.coil_axis(),
            weight: strength(iron, power),
        })
        .collect();
    let is = |roles: &[TransformerRole]| -> Vec<Coil<'_>> {
        (coils.iter().copied())
            .filter(|c| roles.contains(&c.iron.role))
            .collect()
    };
    let sources = is(&[TransformerRole::Power, TransformerRole::Choke]);
    let mut victims: Vec<Victim<'_>> = is(&[TransformerRole::Output, TransformerRole::Reverb])
        .into_iter()
        .map(|c| Victim {
            id: &c.iron.id,
            at: c.at,
            coil: Some(c),
        })
        .collect();
    let first = first_stage(design);
    victims.extend(first.map(|t| Victim {
        id: &t.id,
        at: glass(t),
        coil: None,
    }));
    victims.extend(inputs(design).map(|c| Victim {
        id: &c.id,
        at: c.pose.at,
        coil: None,
    }));
    victims.extend(design.tanks.iter().map(|t| Victim {
        id: &t.id,
        at: t.pose.point(DVec3::Z * (t.size.z / 2.0)),
        coil: None,
    }));
    let mut out = Vec::new();
    if !sources.is_empty() && !victims.is_empty() {
        out.push(ranking(design, &sources, &victims));
        for v in &victims {
            if let Some(coil) = &v.coil {
                out.extend(axes(design, &sources, coil));
            }
        }
    }
    hum_near::near(design, &coils, first, &mut out);
    hum_near::customs(design, &coils, first, &mut out);
    out
}

/// The best turn of a victim and what it gains, dB.
fn best(design: &Design, sources: &[Coil<'_>], coil: &Coil<'_>) -> Option<(f64, u32, f64)> {
    let (now, axis_at) = turned(design, coil.iron)?;
    let at = |turn: f64| total(sources, coil.at, Some(axis_at(turn)), &coil.iron.id);
    let (turn, least) = dipole::best_turn(at);
    Some((now, turn, dipole::decibels(at(now) / least)))
}

/// Which source is the worst for a victim, where there are several.
fn mostly(sources: &[Coil<'_>], v: &Victim<'_>) -> String {
    let worst = (sources.iter().filter(|s| s.iron.id != v.id))
        .map(|s| (got(s, v.at, v.coil.map(|c| c.axis))[0], s))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    match worst {
        Some((_, s)) if sources.len() > 1 => format!(" (most of {})", s.iron.id),
        _ => String::new(),
    }
}

fn ranking(design: &Design, sources: &[Coil<'_>], victims: &[Victim<'_>]) -> Finding {
    let mut rows: Vec<(f64, &Victim<'_>)> = victims
        .iter()
        .map(|v| {
            let axis = v.coil.map(|c| c.axis);
            (dipole::decibels(total(sources, v.at, axis, v.id)), v)
        })
        .collect();
    rows.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.id.cmp(b.1.id)));
    let list: Vec<String> = rows
        .iter()
        .map(|(db, v)| format!("{} {db:.0} dB{}", v.id, mostly(sources, v)))
        .collect();
    let (worst, victim) = &rows[0];
    let mut f = note("hum", vec![victim.id.to_owned()], victim.at);
    f.measured = *worst;
    f.wanted = *worst;
    let from: Vec<&str> = sources.iter().map(|s| s.iron.id.as_str()).collect();
    f.text = format!(
        "field of {} where it matters, worst first: {} (0 dB: two coils end to end 100 mm apart)",
        from.join(" and "),
        list.join(", ")
    );
    f.text
        .push_str(&hum_near::mains_loop(design, sources, victims));
    let turns: Vec<String> = (victims.iter().filter_map(|v| v.coil.as_ref()))
        .filter(|c| !upright(c.iron))
        .filter_map(|c| {
            let (now, turn, gain) = best(design, sources, c)?;
            (gain >= WORTH).then(|| {
                format!(
                    "turned to {turn} degrees {} would get {gain:.0} dB less than at {now:.0}",
                    c.iron.id
                )
            })
        })
        .collect();
    if !turns.is_empty() {
        f.hint = turns.join("; ");
    }
    f
}

/// Power transformer and a victim whose axes face each other.
fn axes(design: &Design, sources: &[Coil<'_>], coil: &Coil<'_>) -> Option<Finding> {
    let (share, source) = (sources.iter())
        .filter(|s| s.iron.role == TransformerRole::Power)
        .map(|s| (got(s, coil.at, Some(coil.axis))[1] * s.weight, s))
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    if share <= PASSED {
        return None;
    }
    let (a, b) = (&coil.iron.id, &source.iron.id);
    let mut f = note("hum-axes", vec![a.clone(), b.clone()], coil.at);
    f.severity = Severity::Warning;
    f.measured = dipole::decibels(share);
    f.wanted = dipole::decibels(PASSED);
    f.text = format!(
        "{a} couples with {b} as {:.0} dB of the worst two coils can at their distance of {}, {:.0} dB or less wanted",
        f.measured,
        units::show(coil.at.distance(source.at)),
        f.wanted
    );
    let far = "twice the distance gains 18 dB";
    f.hint = match best(design, sources, coil) {
        Some((now, turn, gain)) if gain >= WORTH => {
            format!("turn {a} to {turn} degrees (it is at {now:.0}): {gain:.0} dB less; {far}")
        }
        _ if upright(coil.iron) => {
            // its own axis stays upright; the source's may turn
            let other = turned(design, source.iron).and_then(|(now, axis_at)| {
                let at = |turn: f64| {
                    let turned = Coil {
                        axis: axis_at(turn),
                        ..*source
                    };
                    got(&turned, coil.at, Some(coil.axis))[0]
                };
                let (turn, least) = dipole::best_turn(at);
                let gain = dipole::decibels(at(now) / least);
                (gain >= WORTH).then(|| format!("turn {b} to {turn} degrees: {gain:.0} dB less; "))
            });
            format!(
                "{}no turn of {a} helps, its coil stays upright: mount it or {b} in another way so that the axes cross; {far}",
                other.unwrap_or_default()
            )
        }
        _ => format!("no turn of {a} helps by much: mount it in another way, or move it; {far}"),
    };
    Some(f)
}
