//! Plugs, cords, connectors and fuses in what is on the panels.

use super::findings::place;
use super::in_use::{Scene, hits};
use super::page::Doc;
use super::report::{Finding, Severity};
use crate::assembly::Part;
use crate::design::ControlSpec;
use crate::measure::{self, Prepared};
use crate::outline::{Loop, Region};
use crate::params::ControlKind;
use crate::solid::{Body, Layer, Recipe, build};
use crate::units;
use glam::DVec2;

pub(super) const DOC: Doc = Doc {
    ids: &["plug", "plug-pitch", "jack-contacts", "fuse-draw"],
    title: "Plugs, cords and fuses",
    does: "Puts a straight 6.35 mm plug into each jack (handle 14 mm thick and 45 mm long, then 25 mm of 7 mm cord before it bends), a connector \
into the inlet (28 x 20.5 x 60 mm and 25 mm of 8 mm cord), a 9 mm cord with 30 mm before it bends into the strain relief, and draws each \
fuse's cap out by the length of its fuse and 5 mm. None of these may hit a solid of the amp, chassis in place (`plug`, `fuse-draw`), nor \
one plug another (`plug-pitch`). Inside, a plug pushes a jack's contacts further back: 10 mm wide, as deep as the catalogue says \
(`jack-contacts`).",
    why: "A jack that no plug goes into is found out at the first rehearsal.",
    example: "`IN2's plug hits VOLUME-knob, 3.1 mm from the panel`",
    change: "space the controls wider, or move the knob.",
    rests_on: "sizes of plugs, connectors, cords and fuses: from memory; measure yours.",
};

const SOURCE: &str = "plug, connector and fuse sizes from memory";

/// A thing that is put into a control, in the control's frame.
struct Plug<'s> {
    control: &'s ControlSpec,
    what: &'static str,
    id: &'static str,
    body: Body,
}

/// Where it starts in front of what it bears on, so that it does not touch it, mm.
const OFF: f64 = 0.1;

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let plugs: Vec<Plug<'_>> = scene.design.controls.iter().flat_map(plugs_of).collect();
    let prepared: Vec<Prepared<'_>> = plugs.iter().map(|p| Prepared::new(&p.body)).collect();
    let mut out = Vec::new();
    for (plug, shape) in plugs.iter().zip(&prepared) {
        let c = plug.control;
        let own = |p: &Part| p.owner == c.id || (plug.id == "jack-contacts" && p.id == c.on);
        let Some((i, at)) = hits(scene, shape, &c.pose, &|_, p| own(p))
            .into_iter()
            .next()
        else {
            continue;
        };
        let hit = &scene.assembly.parts[i];
        out.push(Finding {
            id: plug.id.into(),
            severity: Severity::Error,
            about: vec![c.id.clone(), hit.id.clone()],
            at_mm: at.to_array(),
            measured: 0.0,
            wanted: OFF,
            unit: "mm".into(),
            text: format!(
                "{}'s {} hits {}, {}",
                c.id,
                plug.what,
                hit.id,
                place(scene.design, at)
            ),
            hint: format!("move {} away from {}", c.id, hit.owner),
            source: SOURCE.into(),
        });
    }
    // two plugs side by side
    for (i, a) in plugs.iter().enumerate().filter(|(_, p)| p.id == "plug") {
        for (j, b) in plugs
            .iter()
            .enumerate()
            .skip(i + 1)
            .filter(|(_, p)| p.id == "plug")
        {
            let (pa, pb) = (&a.control.pose, &b.control.pose);
            if pa.at.distance(pb.at) > FURTHEST {
                continue;
            }
            let Some(near) = measure::distance(&prepared[i], pa, &prepared[j], pb, APART) else {
                continue;
            };
            let at = near.at[0].midpoint(near.at[1]);
            let (first, second) = (&a.control.id, &b.control.id);
            out.push(Finding {
                id: "plug-pitch".into(),
                severity: if near.distance > 0.0 {
                    Severity::Warning
                } else {
                    Severity::Error
                },
                about: vec![first.clone(), second.clone()],
                at_mm: at.to_array(),
                measured: near.distance,
                wanted: APART,
                unit: "mm".into(),
                text: format!(
                    "{} between {first}'s {} and {second}'s {}, {} wanted",
                    units::show(near.distance),
                    a.what,
                    b.what,
                    units::show(APART)
                ),
                hint: format!("move {first} away from {second}"),
                source: SOURCE.into(),
            });
        }
    }
    out
}

/// Between two plugs, mm: room to draw one beside the other.
const APART: f64 = 1.0;

/// Plugs of controls further apart than this cannot meet, mm.
const FURTHEST: f64 = 300.0;

/// A stack of outlines from `base`; nothing if it makes no body.
fn stack(base: f64, layers: Vec<(f64, Loop)>) -> Option<Body> {
    build(&Recipe::Layered {
        base,
        layers: layers
            .into_iter()
            .map(|(top, outline)| Layer::new(top, Region::solid(outline)))
            .collect(),
        holes: Vec::new(),
    })
    .ok()
}

fn round(d: f64) -> Loop {
    Loop::circle(DVec2::ZERO, d / 2.0)
}

fn plugs_of(c: &ControlSpec) -> Vec<Plug<'_>> {
    let r = c.row;
    let plug = |id, what, body: Option<Body>| {
        body.map(|body| Plug {
            control: c,
            what,
            id,
            body,
        })
    };
    let nut = if c.nut_in_front { r.nut_thickness } else { 0.0 };
    let front = (c.wall + nut)
        .max(r.bushing_length)
        .max(c.wall + r.flange_thickness)
        + OFF;
    let made = match c.kind {
        ControlKind::Jack => {
            let behind = r.behind + OFF;
            let contacts = (r.behind_in_use > OFF)
                .then(|| stack(-r.behind - r.behind_in_use, vec![(-behind, round(10.0))]))
                .flatten();
            vec![
                plug(
                    "plug",
                    "plug",
                    stack(
                        front,
                        vec![(front + 45.0, round(14.0)), (front + 70.0, round(7.0))],
                    ),
                ),
                plug("jack-contacts", "contact, pushed back,", contacts),
            ]
        }
        ControlKind::Inlet => {
            let half = DVec2::new(14.0, 10.25);
            vec![plug(
                "plug",
                "connector",
                stack(
                    front,
                    vec![
                        (front + 60.0, Loop::rect(-half, half)),
                        (front + 85.0, round(8.0)),
                    ],
                ),
            )]
        }
        ControlKind::StrainRelief => {
            let front = front.max(c.wall + r.cap_height + OFF);
            vec![plug(
                "plug",
                "cord",
                stack(front, vec![(front + 30.0, round(9.0))]),
            )]
        }
        ControlKind::FuseHolder => {
            // the deeper holders take fuses of 6.3 x 32 mm, the others 5 x 20
            let fuse = if r.behind > 50.0 { 32.0 } else { 20.0 };
            let cap = r.cap.unwrap_or(r.bushing.unwrap_or(12.0));
            vec![plug(
                "fuse-draw",
                "fuse, drawn out with its cap,",
                stack(front, vec![(front + r.cap_height + fuse + 5.0, round(cap))]),
            )]
        }
        _ => Vec::new(),
    };
    made.into_iter().flatten().collect()
}
