//! Angle stock: a sleeve with the pitch of both legs, indexed by a pin.

use super::blank::{Blank, Bore, CrossBore};
use super::guide::{self, Guide};
use super::{Bench, Draft, Place};
use crate::assembly::Kind;
use crate::design::AngleBar;
use crate::outline::Region;
use crate::pose::Pose;
use glam::{DVec2, DVec3};

/// Pitches that differ by less are one, mm.
const SAME: f64 = 0.01;
/// Plastic beyond the last guide, mm.
const END: f64 = 12.0;

pub(super) fn drafts(bench: &Bench<'_>, unmade: &mut Vec<String>) -> Vec<Draft> {
    let mut out = Vec::new();
    // equal angles share one sleeve
    let mut kinds: Vec<Vec<&AngleBar>> = Vec::new();
    for a in &bench.design.angles {
        if a.kind == Kind::Bracket || a.plate_leg.len() + a.panel_leg.len() < 2 {
            continue;
        }
        let alike = |k: &&mut Vec<&AngleBar>| {
            let b = k[0];
            b.leg == a.leg
                && b.gauge == a.gauge
                && same(&b.plate_leg, &a.plate_leg)
                && same(&b.panel_leg, &a.panel_leg)
        };
        match kinds.iter_mut().find(alike) {
            Some(k) => k.push(a),
            None => kinds.push(vec![a]),
        }
    }
    for (k, kind) in kinds.iter().enumerate() {
        let name = if k == 0 {
            "angle".to_owned()
        } else {
            format!("angle-{}", k + 1)
        };
        match draft(bench, kind, name) {
            Some(d) => out.push(d),
            None => unmade.push(format!(
                "a sleeve for {}: its first two holes in a leg lie further apart than the bed is long; scribe them by the schedule, or choose a closer pitch under [chassis.angle]",
                kind[0].id
            )),
        }
    }
    guide::with_guides(out, unmade)
}

fn same(a: &[(f64, f64)], b: &[(f64, f64)]) -> bool {
    a.len() == b.len()
        && a.iter()
            .zip(b)
            .all(|(p, q)| (p.0 - q.0).abs() < SAME && (p.1 - q.1).abs() < SAME)
}

/// Whether the holes of a leg stand at one pitch.
fn even(leg: &[(f64, f64)]) -> bool {
    leg.windows(3)
        .all(|w| (w[2].0 - 2.0 * w[1].0 + w[0].0).abs() < SAME)
}

fn draft(bench: &Bench<'_>, kind: &[&AngleBar], name: String) -> Option<Draft> {
    let print = bench.print;
    let a = kind[0];
    let [w, d] = print.room();
    let room = w.max(d) * (1.0 - print.shrink) - END;
    let upright = a.leg + print.thickness;
    // two holes of each leg index the next two; all of them where the spacing changes
    let regular = even(&a.plate_leg) && even(&a.panel_leg);
    let second = |leg: &[(f64, f64)]| leg.get(1).or(leg.first()).map_or(0.0, |h| h.0);
    let third = |leg: &[(f64, f64)]| leg.get(2).map_or(second(leg), |h| h.0);
    let least = second(&a.plate_leg).max(second(&a.panel_leg));
    let more = third(&a.plate_leg).max(third(&a.panel_leg));
    let last = if more <= room { more } else { least };
    if last > room || upright > print.bed[2] {
        return None;
    }
    let guide_of = |leg: &str, k: usize| -> Option<(Vec<String>, Guide)> {
        let ids = kind
            .iter()
            .map(|a| format!("{}-{leg}-hole-{}", a.id, k + 1));
        let ids: Vec<String> = ids.collect();
        let row = guide::row_of(bench, &a.id, &ids[0])?;
        Some((ids, guide::of_row(print, row)?))
    };
    let t = print.thickness;
    // x runs from the angle's end z = 0 towards -x, so that the frame stays right-handed with z towards the drill
    let length = last + END;
    let mut blank = Blank {
        thickness: t,
        plate: vec![Region::solid(guide::rect(
            DVec2::new(-length, -t),
            DVec2::new(0.0, a.leg.max(a.gauge + 8.0)),
        ))],
        below: vec![(
            Region::solid(guide::rect(DVec2::new(-length, -t), DVec2::new(0.0, 0.0))),
            a.leg,
        )],
        ..Blank::default()
    };
    for (k, (z, _)) in a.plate_leg.iter().enumerate() {
        if *z > last + SAME {
            break;
        }
        let (ids, g) = guide_of("plate", k)?;
        if a.gauge.min(8.0) < g.d / 2.0 + print.wall() {
            blank.notes.push(format!(
                "{}: a bore of {:.1} mm would break out of the sleeve: left out, mark it by the schedule",
                ids.join(", "),
                g.d
            ));
            continue;
        }
        let size = guide::size(g.finished);
        let bore = Bore {
            finished: vec![g.finished; ids.len()],
            holes: ids,
            at: DVec2::new(-z, a.gauge),
            drill: g.drill,
            d: g.d,
            labels: vec![
                format!("plate-{}\n{size}", k + 1),
                format!("plate-{} {size}", k + 1),
                format!("{} {size}", k + 1),
                size,
            ],
            ..Bore::default()
        };
        guide::add(&mut blank, print, &g, bore);
    }
    for (k, (z, _)) in a.panel_leg.iter().enumerate() {
        if *z > last + SAME {
            break;
        }
        let (ids, g) = guide_of("panel", k)?;
        // its wall is as high as the leg
        if a.gauge.min(a.leg - a.gauge) < g.d / 2.0 + print.wall() {
            blank.notes.push(format!(
                "{}: a bore of {:.1} mm would break out of the sleeve's wall: left out, mark it by the schedule",
                ids.join(", "),
                g.d
            ));
            continue;
        }
        let clash =
            (blank.cross.iter()).any(|c| (c.x + z).abs() < (c.d + g.d) / 2.0 + print.wall());
        if clash {
            blank.notes.push(format!(
                "{} stands too near its neighbour for a guide of its own: left out",
                ids.join(", ")
            ));
            continue;
        }
        let size = guide::size(g.finished);
        blank.cross.push(CrossBore {
            labels: vec![
                format!("panel-{}\n{size}", k + 1),
                format!("panel-{} {size}", k + 1),
                format!("{} {size}", k + 1),
                size,
            ],
            finished: vec![g.finished; ids.len()],
            holes: ids,
            x: -z,
            z: -a.gauge,
            drill: g.drill,
            d: g.d,
            from: -t,
            depth: t,
        });
    }
    guide::lengthen(&mut blank, print);
    if blank.thickness > t + 1e-9 {
        // the fence guides too, so it is as thick as the plate
        let t = blank.thickness;
        let [low, high] = blank.bounds();
        blank.plate = vec![Region::solid(guide::rect(DVec2::new(low.x, -t), high))];
        blank.below = vec![(
            Region::solid(guide::rect(DVec2::new(low.x, -t), DVec2::new(0.0, 0.0))),
            a.leg,
        )];
        for c in &mut blank.cross {
            (c.from, c.depth) = (-t, t);
        }
    }
    let tip = DVec2::new(-1.0, a.gauge + 1.0);
    // as long as the first bore leaves room, which a metal bush widens
    let bore = blank.bores.iter().map(|b| b.at.x + b.d / 2.0 + 1.0);
    let long = (tip.x - bore.fold(f64::NEG_INFINITY, f64::max)).min(8.0);
    if long > 2.6 * print.stroke + 0.5 {
        blank.arrow(tip - DVec2::X * long, tip, print.stroke);
    } else {
        blank
            .notes
            .push("no room for the arrow: the end that guide 1 is nearest to lies flush".into());
    }
    // the angle's x lies along y here, its y along -z, its z along -x
    let frame = Pose::from_axes(DVec3::NEG_Z, DVec3::X, DVec3::ZERO);
    let mut steps = vec![
        "Lay the angle into the sleeve, its outside corner in the sleeve's inside corner, both legs flat against it, and the end that the arrow points to flush with the sleeve's end: hold a flat block across both. Clamp.".into(),
        format!(
            "The side with the arrow guides the leg that lies on the plate, the other side the leg on the panel. Drill {} with a guide in this place.",
            if regular { "every hole" } else { "the holes" }
        ),
    ];
    if regular {
        steps.push("Move the angle along until the sleeve's first guides stand over the last holes drilled, put a spare drill of the pilot's size, or a screw that just passes, through each leg as a pin, clamp, drill the next holes; go on to the end. Each move adds its own error of about 0.1 mm.".into());
    } else {
        steps.push("The holes are not evenly spaced: the sleeve is for this end only; scribe the others from the schedule.".into());
    }
    if kind.len() > 1 {
        let ids: Vec<&str> = kind.iter().map(|a| a.id.as_str()).collect();
        steps.push(format!(
            "The same sleeve serves {}: each begins at its own datum end, as its schedule names it.",
            ids.join(", ")
        ));
    }
    steps.push("Plate and panel are then spotted through the angle: one drilling for both.".into());
    Some(Draft {
        name,
        title: a.id.clone(),
        face: "outside".into(),
        blank,
        places: kind
            .iter()
            .map(|a| Place::new(&a.id, &a.id, a.pose.then(&frame)))
            .collect(),
        steps,
        as_drawn: false,
    })
}
