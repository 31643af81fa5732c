//! Plugs, cords, connectors and fuses in what is on the panels.

use super::doc::Doc;
use super::findings::place;
use super::report::{Finding, Severity};
use super::scene::{Scene, hits};
use super::tool::{Tool, circle, meets_any, stack};
use crate::assembly::Part;
use crate::catalogue::{hand_tool, hand_tools};
use crate::design::ControlSpec;
use crate::measure::{self, Prepared};
use crate::outline::Loop;
use crate::params::ControlKind;
use crate::pose::Pose;
use crate::solid::Body;
use crate::units;
use glam::DVec2;

pub(super) const DOC: Doc = Doc {
    ids: &[
        "plug",
        "plug-pitch",
        "cord-bend",
        "jack-contacts",
        "fuse-draw",
    ],
    title: "Plugs, cords and fuses",
    does: "Puts a straight 6.35 mm plug into each jack (handle 14 mm thick and 45 mm long, then 25 mm of 7 mm cord before it bends), a connector \
into the inlet (28 x 20.5 x 60 mm and 25 mm of 8 mm cord), a 9 mm cord with 30 mm before it bends into the strain relief, and draws each \
fuse's cap out by the length of its fuse and 5 mm. None of these may hit a solid of the amp, chassis in place (`plug`, `fuse-draw`), nor \
one plug another (`plug-pitch`); beyond that each cord needs one free way of eight to bend square to its plug, 40 mm long (`cord-bend`). Inside, a plug pushes a jack's contacts further back: 10 mm wide, as deep as the catalogue says \
(`jack-contacts`).",
    why: "A jack that no plug goes into is found out at the first rehearsal.",
    example: "`IN2's plug hits VOLUME-knob, 3.1 mm from the panel`",
    change: "space the controls wider, or move the knob.",
    rests_on: "sizes of plugs, connectors, cords and fuses: catalogue, family `hand tool`, from memory; measure yours.",
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
    bends(scene, &plugs, &mut out);
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

/// Directions in which a cord may bend.
const WAYS: u32 = 8;

/// Each cord must be free to bend one way or another.
fn bends(scene: &Scene<'_, '_>, plugs: &[Plug<'_>], out: &mut Vec<Finding>) {
    for plug in plugs.iter().filter(|p| p.id == "plug") {
        let c = plug.control;
        let name = match c.kind {
            ControlKind::Inlet => "connector C13",
            ControlKind::StrainRelief => "mains cord",
            _ => "plug 6.35",
        };
        let top = plug.body.bounds(&Pose::IDENTITY)[1].z;
        let Some(body) = bent(name, top) else {
            continue;
        };
        let shape = Tool::new(&body);
        let mut first = None;
        let free = (0..WAYS).any(|k| {
            let pose = c.pose.turned_z(f64::from(k) * 360.0 / f64::from(WAYS));
            match meets_any(scene, &shape, &pose, &|p| p.owner != c.id) {
                None => true,
                Some(hit) => {
                    first.get_or_insert(hit);
                    false
                }
            }
        });
        let Some((i, at)) = first.filter(|_| !free) else {
            continue;
        };
        let hit = &scene.assembly.parts[i];
        out.push(Finding {
            id: "cord-bend".into(),
            severity: Severity::Warning,
            about: vec![c.id.clone(), hit.id.clone()],
            at_mm: at.to_array(),
            measured: 0.0,
            wanted: OFF,
            unit: "mm".into(),
            text: format!(
                "the cord of {}'s {} has no room to bend any way: {} is in the way, {}",
                c.id,
                plug.what,
                hit.id,
                place(scene.design, at)
            ),
            hint: format!(
                "move {} away from {}, or a right-angled plug",
                c.id, hit.owner
            ),
            source: SOURCE.into(),
        });
    }
}

/// Width of a jack's contact, pushed back, mm.
const CONTACTS: f64 = 10.0;

/// How much further than its own length a fuse is drawn, mm.
const BEYOND_FUSE: f64 = 5.0;

/// Between two plugs, mm: room to draw one beside the other.
const APART: f64 = 1.0;

/// Plugs of controls further apart than this cannot meet, mm.
const FURTHEST: f64 = 300.0;

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
                .then(|| {
                    stack(
                        -r.behind - r.behind_in_use,
                        vec![(-behind, circle(CONTACTS))],
                    )
                })
                .flatten();
            vec![
                plug("plug", "plug", outside("plug 6.35", front)),
                plug("jack-contacts", "contact, pushed back,", contacts),
            ]
        }
        ControlKind::Inlet => vec![plug("plug", "connector", outside("connector C13", front))],
        ControlKind::StrainRelief => {
            let front = front.max(c.wall + r.cap_height + OFF);
            vec![plug("plug", "cord", outside("mains cord", front))]
        }
        ControlKind::FuseHolder => {
            let fuse = hand_tools()
                .iter()
                .find(|t| t.kind == "fuse" && t.takes == r.id)
                .or_else(|| hand_tool("fuse 6.3x32"))
                .map_or(0.0, |t| t.tip_length);
            let cap = r.cap.unwrap_or(r.bushing.unwrap_or(12.0));
            let top = front + r.cap_height + fuse + BEYOND_FUSE;
            vec![plug(
                "fuse-draw",
                "fuse, drawn out with its cap,",
                stack(front, vec![(top, circle(cap))]),
            )]
        }
        _ => Vec::new(),
    };
    made.into_iter().flatten().collect()
}

/// A plug, connector or cord of the catalogue in front of a control, up to where its cord bends.
fn outside(name: &str, front: f64) -> Option<Body> {
    let row = hand_tool(name)?;
    let tip = match row.tip_height {
        Some(h) => {
            let half = DVec2::new(row.tip, h) / 2.0;
            Loop::rect(-half, half)
        }
        None => circle(row.tip),
    };
    let mut layers = vec![(front + row.tip_length, tip)];
    if let (Some(d), Some(length)) = (row.shaft, row.shaft_length) {
        layers.push((front + row.tip_length + length, circle(d)));
    }
    stack(front, layers)
}

/// The cord where it has bent square to the control's axis, from the axis along +x, in the control's frame.
fn bent(name: &str, top: f64) -> Option<Body> {
    let row = hand_tool(name)?;
    let (d, length) = (row.handle?, row.handle_length?);
    stack(
        top,
        vec![(
            top + d,
            Loop::rect(DVec2::new(0.0, -d / 2.0), DVec2::new(length, d / 2.0)),
        )],
    )
}
