//! Pots, jacks, switches, lamps, fuse holders, inlets and cord anchors on panels or plate.

use super::bolt::{BoltedJoint, add_screw};
use super::chassis::{ChassisFrame, PanelFrame};
use super::fasten::{Bond, Passed};
use super::flat::{FlatHole, HoleShape, Marked};
use super::ledger::{Ledger, Unmeasured};
use super::place::{Places, any_ties};
use super::{Design, GrommetSpec, Movable};
use crate::assembly::{Group, How};
use crate::catalogue::{self, ControlRow, KnobRow, Status};
use crate::outline::Loop;
use crate::params::{Control, ControlKind, ControlOn, Head, Params, Tie};
use crate::pose::Pose;
use glam::{DVec2, DVec3};

/// A control with the rows it rests on, before its place is known.
#[derive(Debug)]
pub(super) struct Picked<'a> {
    pub table: &'a Control,
    pub row: &'static ControlRow,
    pub knob: Option<&'static KnobRow>,
    pub on: ControlOn,
}

impl Picked<'_> {
    /// How far it stands out of the outer face of a wall of that thickness.
    pub fn protrusion(&self, wall: f64) -> f64 {
        let r = self.row;
        let nut = if nut_in_front(r) {
            r.nut_thickness
        } else {
            0.0
        };
        let mut out = (r.tip - wall)
            .max(r.bushing_length - wall)
            .max(nut)
            .max(r.flange_thickness)
            .max(0.0);
        if r.cap.is_some() {
            out = out.max(nut + r.cap_height);
        }
        if let Some(k) = self.knob {
            out = out.max(KnobSpec::on(r, k, wall).base - wall + k.height);
        }
        if r.screw.is_some() {
            let head = r
                .screw
                .as_deref()
                .and_then(catalogue::screw)
                .map_or(0.0, |s| s.pan_height);
            out = out.max(r.flange_thickness + head);
        }
        out
    }
}

/// A part whose body is wider than its hole is fitted from behind, its nut in front; a slimmer one from the front, its nut behind.
fn nut_in_front(r: &ControlRow) -> bool {
    let hole = r.hole.unwrap_or(0.0);
    r.nut.is_some() && (r.body.is_some_and(|b| b > hole) || r.body_box.is_some())
}

/// A knob on its shaft. z counts from the wall's inner face.
#[derive(Clone, Debug, PartialEq)]
pub struct KnobSpec {
    /// Its row.
    pub row: &'static KnobRow,
    /// z of its underside.
    pub base: f64,
    /// Radius and depth of the hollow in its underside that takes nut and bushing; a depth of 0 means none.
    pub hollow: [f64; 2],
}

impl KnobSpec {
    /// On its shaft as deep as its bore lets it, the row's gap clear of the panel. Knobs are hollow below for nut and bushing; one too
    /// slim for that stands in front of them.
    fn on(r: &ControlRow, k: &'static KnobRow, wall: f64) -> KnobSpec {
        let room = 0.5;
        let in_front = (wall + r.nut_thickness).max(r.bushing_length) + room;
        let base = (wall + k.gap).max(r.tip - k.bore_depth);
        let radius = r.nut.unwrap_or(0.0).max(r.bushing.unwrap_or(0.0)) / 3.0_f64.sqrt() + room;
        let depth = in_front - base;
        if depth <= 0.0 {
            KnobSpec {
                row: k,
                base,
                hollow: [0.0; 2],
            }
        } else if radius + 1.0 > k.diameter / 2.0 || depth > k.height - 2.0 {
            KnobSpec {
                row: k,
                base: in_front,
                hollow: [0.0; 2],
            }
        } else {
            KnobSpec {
                row: k,
                base,
                hollow: [radius, depth],
            }
        }
    }
}

/// A control in place. z = 0 is the wall's inner face, z points out of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ControlSpec {
    /// The item's id.
    pub id: String,
    /// What it is.
    pub kind: ControlKind,
    /// Its row.
    pub row: &'static ControlRow,
    /// Its knob.
    pub knob: Option<KnobSpec>,
    /// Thickness of the wall it goes through.
    pub wall: f64,
    /// Whether its nut is in front of the wall.
    pub nut_in_front: bool,
    /// The flat part it is on.
    pub on: String,
    /// Text beside it.
    pub legend: Option<String>,
    /// Placed and turned.
    pub pose: Pose,
}

/// Looks up every control's rows.
pub(super) fn rows<'a>(params: &'a Params, ledger: &mut Ledger) -> Vec<Picked<'a>> {
    let panels = params.chassis.as_ref().and_then(|c| c.panel.as_ref());
    let has = |on: ControlOn| match on {
        ControlOn::Rear => panels.is_some_and(|p| p.rear.is_some()),
        ControlOn::Front => panels.is_some_and(|p| p.front.is_some()),
        ControlOn::Plate => params.chassis.is_some(),
    };
    let mut out = Vec::new();
    for c in &params.control {
        let id = &c.id.value.0;
        let kind = c.kind.value.word();
        let row = match &c.type_ {
            Some(t) => ledger.look_up::<ControlRow>(t),
            None => catalogue::usual_control(kind),
        };
        let Some(row) = row else { continue };
        if row.kind != kind {
            let span = c.type_.as_ref().map_or(c.span.clone(), |t| t.span.clone());
            ledger.error(
                span,
                format!("`{}` is a {}, `{id}` is a {kind}", row.id, row.kind),
                format!("a type that is a {kind}"),
                "",
            );
            continue;
        }
        let knob = match &c.knob {
            Some(k) if k.value == "none" => None,
            Some(k) if row.shaft.is_none() => {
                ledger.error(
                    k.span.clone(),
                    format!("`{id}` has no shaft to put a knob on"),
                    "`knob` on a pot or rotary switch only",
                    "take the key out",
                );
                None
            }
            Some(k) => ledger.look_up::<KnobRow>(k),
            None => row.knob.as_deref().and_then(catalogue::knob),
        };
        let on = match &c.on {
            Some(on) => on.value,
            None if has(ControlOn::Rear) && has(ControlOn::Front) => {
                ledger.error(
                    c.span.clone(),
                    format!("`{id}` may be on either panel"),
                    "`on = \"rear\"` or `on = \"front\"`",
                    "",
                );
                ControlOn::Rear
            }
            None if has(ControlOn::Front) => ControlOn::Front,
            None => ControlOn::Rear,
        };
        if !has(on) {
            let span = c.on.as_ref().map_or(c.span.clone(), |o| o.span.clone());
            ledger.error(
                span,
                format!("`{id}` is on a {} panel that does not exist", on.word()),
                format!("a table `[chassis.panel.{}]`", on.word()),
                "add the panel, or move the control",
            );
            continue;
        }
        let mut unsure = vec![(row.status, row.id.as_str(), row.source.as_str())];
        unsure.extend(knob.map(|k| (k.status, k.id.as_str(), k.source.as_str())));
        unsure.retain(|(status, ..)| *status != Status::Published);
        if !unsure.is_empty() && !c.measured.as_ref().is_some_and(|m| m.value) {
            ledger.unmeasured.push(Unmeasured {
                id: id.clone(),
                row: unsure.iter().map(|u| u.1).collect::<Vec<_>>().join(", "),
                source: unsure.iter().map(|u| u.2).collect::<Vec<_>>().join(" / "),
            });
        }
        out.push(Picked {
            table: c,
            row,
            knob,
            on,
        });
    }
    out
}

pub(super) fn build(
    picked: &[Picked<'_>],
    frame: &ChassisFrame,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    for p in picked {
        let c = p.table;
        let id = c.id.value.0.as_str();
        let at = c.at.as_ref();
        let degrees = c.turn.as_ref().map_or(0.0, |t| t.value.0);
        let (on, wall, pose, along) = match frame.panel(p.on) {
            Some(panel) => {
                let ties = any_ties(ledger, at, true);
                let at = places.resolve(
                    ledger,
                    id,
                    &c.span,
                    ties,
                    &panel.surface(),
                    [None, Some(Tie::Middle(0.0))],
                );
                (
                    panel.id,
                    panel.wall(),
                    panel.pose().offset(at.extend(0.0)),
                    [DVec3::X, DVec3::Z],
                )
            }
            None => {
                let ties = any_ties(ledger, at, false);
                let at = places.resolve(
                    ledger,
                    id,
                    &c.span,
                    ties,
                    &frame.plate.surface(),
                    [None, None],
                );
                let t = frame.plate.thickness;
                (
                    ("plate"),
                    t,
                    frame.plate.component(at.x, at.y).offset(DVec3::Z * -t),
                    [DVec3::X, DVec3::Y],
                )
            }
        };
        let pose = pose.turned_z(-degrees);
        design.movables.push(Movable {
            id: id.into(),
            along,
            span: c.span.clone(),
        });
        if p.row.panel_most.is_some_and(|most| wall > most) {
            let most = p.row.panel_most.unwrap_or(0.0);
            ledger.error(
                c.span.clone(),
                format!("`{id}` takes a panel up to {most:.1} mm, this one is {wall:.1} mm"),
                "a thinner panel, or another part",
                "",
            );
        }
        if c.kind.value == ControlKind::Grommet {
            let Some(row) = p.row.hole.and_then(|h| {
                catalogue::grommets()
                    .iter()
                    .find(|g| (g.hole - h).abs() < 0.6)
            }) else {
                continue;
            };
            GrommetSpec::add(
                id,
                id,
                row,
                pose.offset(DVec3::Z * wall),
                on,
                wall,
                true,
                &c.span,
                design,
            );
            continue;
        }
        cut(p, id, on, frame.panel(p.on), &pose, design, ledger);
        let spec = ControlSpec {
            id: id.into(),
            kind: c.kind.value,
            row: p.row,
            knob: p.knob.map(|k| KnobSpec::on(p.row, k, wall)),
            wall,
            nut_in_front: nut_in_front(p.row),
            on: on.into(),
            legend: c.legend.as_ref().map(|l| l.value.clone()),
            pose,
        };
        join(&spec, &c.span, frame.panel(p.on), design);
        design.controls.push(spec);
    }
}

/// The holes in the wall, and in its overlay.
fn cut(
    p: &Picked<'_>,
    id: &str,
    on: &str,
    panel: Option<&PanelFrame>,
    pose: &Pose,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let r = p.row;
    let mut flats = vec![on.to_owned()];
    if panel.is_some_and(|f| f.overlay > 0.0) {
        flats.push(format!("{on}-overlay"));
    }
    for name in flats {
        let Some(flat) = design.flats.iter_mut().find(|f| f.id == name) else {
            continue;
        };
        // an outline about the control's centre, taken to the flat's own frame
        let to = flat.pose.inverse();
        let at = to.point(pose.at).truncate();
        let map = |l: &Loop| {
            let x = to.dir(pose.dir(DVec3::X)).truncate();
            let turned = l
                .rotated(DVec2::ZERO, x.y.atan2(x.x).to_degrees())
                .translated(at);
            if to.dir(pose.dir(DVec3::Z)).z < 0.0 {
                turned.mirrored_y(at.y)
            } else {
                turned
            }
        };
        let hole = |suffix: &str, at: DVec2, shape: HoleShape, purpose: String| FlatHole {
            id: if suffix.is_empty() {
                id.to_owned()
            } else {
                format!("{id}-{suffix}")
            },
            at,
            shape,
            purpose,
            marked: Marked::Scribed,
            owner: id.to_owned(),
            span: p.table.span.clone(),
        };
        let word = p.table.kind.value.word();
        if let Some([w, h]) = r.cutout {
            let rect = Loop::rect(DVec2::new(-w / 2.0, -h / 2.0), DVec2::new(w / 2.0, h / 2.0));
            let outline = map(&rect.rounded(1.5).unwrap_or(rect));
            flat.holes.push(hole(
                "",
                at,
                HoleShape::Cut { outline },
                format!("{word} {id}"),
            ));
        } else if let Some(d) = r.hole {
            let shape = match r.flat {
                Some(f) => match Loop::d_hole(DVec2::ZERO, d / 2.0, f, 0.0) {
                    Ok(l) => HoleShape::Cut { outline: map(&l) },
                    Err(_) => HoleShape::Round { d },
                },
                None => HoleShape::Round { d },
            };
            flat.holes.push(hole("", at, shape, format!("{word} {id}")));
        } else {
            ledger.error(
                p.table.span.clone(),
                format!("catalogue row `{}` has no hole", r.id),
                "",
                "",
            );
        }
        let spot = |x: f64, y: f64| to.point(pose.point(DVec3::new(x, y, 0.0))).truncate();
        if let (Some(spacing), Some(screw)) = (
            r.screw_spacing,
            r.screw.as_deref().and_then(catalogue::screw),
        ) {
            for (k, s) in [-0.5, 0.5].into_iter().enumerate() {
                flat.holes.push(hole(
                    &format!("screw-{}", k + 1),
                    spot(s * spacing, 0.0),
                    HoleShape::Round { d: screw.normal },
                    format!("screw {} of {id}", screw.id),
                ));
            }
        }
        if let (Some(d), Some(at)) = (r.stop_hole, r.stop_radius) {
            flat.holes.push(hole(
                "stop",
                spot(-at, 0.0),
                HoleShape::Round { d },
                format!("turn stop of {id}"),
            ));
        }
    }
}

fn join(
    spec: &ControlSpec,
    span: &std::ops::Range<usize>,
    panel: Option<&PanelFrame>,
    design: &mut Design,
) {
    let (id, r) = (&spec.id, spec.row);
    let on = &spec.on;
    let outer = if panel.is_some_and(|p| p.overlay > 0.0) {
        format!("{on}-overlay")
    } else {
        on.clone()
    };
    let through = r
        .hole
        .map_or(0.5, |h| (h - r.bushing.or(r.body).unwrap_or(h - 1.0)) / 2.0)
        + 0.1;
    if spec.nut_in_front {
        design.bonds.push(Bond::face(id, on, How::Bolted));
    } else {
        design
            .bonds
            .push(Bond::gap(id, on, How::Inserted, through.max(1.0)));
    }
    if outer != *on {
        design
            .bonds
            .push(Bond::gap(id, &outer, How::Through, through.max(1.0)));
    }
    if r.nut.is_some() {
        let nut = format!("{id}-nut");
        design.bonds.push(Bond::face(&nut, id, How::Threaded));
        design.bonds.push(Bond::face(
            &nut,
            if spec.nut_in_front { &outer } else { on },
            How::Seated,
        ));
    }
    if r.cap.is_some() {
        let cap = format!("{id}-cap");
        design.bonds.push(Bond::face(&cap, id, How::Inserted));
        if spec.nut_in_front && r.nut.is_some() {
            design
                .bonds
                .push(Bond::face(&cap, &format!("{id}-nut"), How::Seated));
        } else {
            design.bonds.push(Bond::face(&cap, &outer, How::Seated));
        }
    }
    if spec.knob.is_some() {
        design
            .bonds
            .push(Bond::gap(&format!("{id}-knob"), id, How::Inserted, 0.3));
    }
    if let (Some(spacing), Some(screw), Some(_)) = (
        r.screw_spacing,
        r.screw.as_deref().and_then(catalogue::screw),
        r.flange,
    ) {
        for (k, s) in [-0.5, 0.5].into_iter().enumerate() {
            let sid = format!("{id}-screw-{}", k + 1);
            let gap = (screw.normal - screw.major) / 2.0;
            let mut through = vec![Passed {
                id: id.clone(),
                gap,
            }];
            if outer != *on {
                through.push(Passed {
                    id: outer.clone(),
                    gap,
                });
            }
            through.push(Passed {
                id: on.clone(),
                gap,
            });
            let joint = BoltedJoint {
                id: &sid,
                owner: id,
                row: screw,
                head: Head::Pan,
                hole: screw.normal,
                at: spec
                    .pose
                    .point(DVec3::new(s * spacing, 0.0, spec.wall + r.flange_thickness)),
                dir: -spec.pose.dir(DVec3::Z),
                grip: spec.wall + r.flange_thickness,
                near: on,
                others: &[],
                marked: Marked::Scribed,
                group: Group::Panel,
                moves: true,
                span,
            };
            add_screw(design, &joint, through, 0.0);
        }
    }
}
