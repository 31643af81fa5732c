//! Earth studs, terminal strips, grommets and free holes in the plate.

use super::bolt::{BoltedJoint, add_screw};
use super::chassis::ChassisFrame;
use super::fasten::{Bond, Passed};
use super::flat::{FlatHole, Marked};
use super::grommet::GrommetSpec;
use super::ledger::{Ledger, Unmeasured};
use super::on_plate::{drill_plate, face_of, machine, side};
use super::place::Places;
use super::{Design, Movable};
use crate::assembly::{Group, How};
use crate::catalogue::{self, Status};
use crate::params::{Hardware, HardwareKind, Head, Length, Params, PlateSide, Sp};
use crate::pose::Pose;
use glam::DVec3;

/// A terminal strip on one screw.
#[derive(Clone, Debug, PartialEq)]
pub struct StripSpec {
    /// The item's id.
    pub id: String,
    /// Length, width, height.
    pub size: DVec3,
    /// Hole of its foot.
    pub hole: f64,
    /// Thickness of its foot.
    pub foot: f64,
    /// Side of its square foot.
    pub foot_size: f64,
    /// On the component side.
    pub component: bool,
    /// On its face, z away from the plate.
    pub pose: Pose,
}

/// A lug under the nut of an earth stud.
#[derive(Clone, Debug, PartialEq)]
pub struct WasherStudSpec {
    /// Id of the lug.
    pub id: String,
    /// The item's id.
    pub owner: String,
    /// Outside diameter of its eye.
    pub eye: f64,
    /// Length from the screw to its tip.
    pub reach: f64,
    /// Hole.
    pub hole: f64,
    /// Thickness.
    pub thickness: f64,
    /// On the wiring face, z away from the plate.
    pub pose: Pose,
}

/// Keys that say nothing about this kind of hardware: a typed figure must never be passed over in silence.
fn stray_keys(h: &Hardware, ledger: &mut Ledger) {
    use HardwareKind::{EarthStud, Grommet, Hole, ReverbTank, Strip};
    let kind = h.kind.value;
    let length = |v: &Option<Sp<Length>>| v.as_ref().map(|v| v.span.clone());
    let keys = [
        ("diameter", length(&h.diameter), &[Grommet, Hole][..]),
        (
            "screw",
            h.screw.as_ref().map(|s| s.span.clone()),
            &[EarthStud, Strip],
        ),
        (
            "type",
            h.type_.as_ref().map(|s| s.span.clone()),
            &[Strip, ReverbTank],
        ),
        ("length", length(&h.length), &[Strip, ReverbTank]),
        ("width", length(&h.width), &[Strip, ReverbTank]),
        ("height", length(&h.height), &[Strip, ReverbTank]),
        (
            "side",
            h.side.as_ref().map(|s| s.span.clone()),
            &[Grommet, EarthStud, Strip],
        ),
    ];
    for (key, span, kinds) in keys {
        if let Some(span) = span.filter(|_| !kinds.contains(&kind)) {
            let of: Vec<&str> = kinds.iter().map(|k| k.word()).collect();
            ledger.error(
                span,
                format!("`{key}` says nothing about the kind `{}`", kind.word()),
                format!("`{key}` only with the kind {}", of.join(" or ")),
                "take the key out, or change `kind`",
            );
        }
    }
}

pub(super) fn build(
    params: &Params,
    frame: &ChassisFrame,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    for h in &params.hardware {
        stray_keys(h, ledger);
    }
    for h in params
        .hardware
        .iter()
        .filter(|h| h.kind.value != HardwareKind::ReverbTank)
    {
        let id = h.id.value.0.as_str();
        let at = places.on_plate(ledger, &frame.plate.surface(), id, &h.span, h.at.as_ref());
        let component = side(h.side.as_ref(), PlateSide::Wiring);
        let degrees = h.turn.as_ref().map_or(0.0, |t| t.value.0);
        let pose = face_of(frame, component, at, degrees);
        let t = frame.plate.thickness;
        let group = if component {
            Group::Above
        } else {
            Group::Below
        };
        match h.kind.value {
            HardwareKind::Grommet => {
                let bore = ledger.length(
                    &format!("{id}.diameter"),
                    h.diameter.as_ref(),
                    6.35,
                    "usual bore for leads (common practice)",
                );
                match catalogue::grommet_for(bore) {
                    Some(row) => {
                        if row.status != Status::Published
                            && !h.measured.as_ref().is_some_and(|m| m.value)
                        {
                            ledger.unmeasured.push(Unmeasured {
                                id: id.into(),
                                row: row.id.clone(),
                                source: row.source.clone(),
                            });
                        }
                        GrommetSpec::add(id, id, row, pose, "plate", t, component, &h.span, design)
                    }
                    None => {
                        ledger.error(
                            h.span.clone(),
                            format!("no grommet with a bore of {bore:.1} mm in the catalogue"),
                            "a bore near one of the catalogue's",
                            "",
                        );
                        continue;
                    }
                }
            }
            HardwareKind::Hole => {
                let Some(d) = &h.diameter else {
                    ledger.error(
                        h.span.clone(),
                        format!("hole `{id}` has no diameter"),
                        "`diameter`",
                        "",
                    );
                    continue;
                };
                drill_plate(
                    design,
                    FlatHole::round(
                        id,
                        id,
                        frame.plate.local(pose.at),
                        d.value.0,
                        "free hole",
                        &h.span,
                    ),
                );
            }
            HardwareKind::EarthStud => {
                let Some(row) = machine(
                    ledger,
                    &format!("{id}.screw"),
                    h.screw.as_ref(),
                    "M4",
                    "#8",
                    &h.span,
                ) else {
                    continue;
                };
                drill_plate(
                    design,
                    FlatHole::round(
                        id,
                        id,
                        frame.plate.local(pose.at),
                        row.close,
                        format!("protective-earth stud {}", row.id),
                        &h.span,
                    ),
                );
                let lug = format!("{id}-lug");
                let gap = (row.close - row.major) / 2.0;
                let thickness = catalogue::usual_fitting("earth stud")
                    .and_then(|r| r.thickness)
                    .unwrap_or(0.8);
                let joint = BoltedJoint {
                    id,
                    owner: id,
                    row,
                    head: Head::Pan,
                    hole: row.close,
                    at: pose.point(DVec3::new(0.0, 0.0, -t)),
                    dir: pose.dir(DVec3::Z),
                    grip: t + thickness,
                    near: "plate",
                    others: &[],
                    marked: Marked::Scribed,
                    group: Group::Below,
                    moves: true,
                    span: &h.span,
                };
                let before = design.fasteners.len();
                add_screw(
                    design,
                    &joint,
                    vec![
                        Passed {
                            id: "plate".into(),
                            gap,
                        },
                        Passed {
                            id: lug.clone(),
                            gap,
                        },
                    ],
                    0.0,
                );
                if let Some(f) = design.fasteners.get_mut(before) {
                    f.nut = Some(format!("{id}-nut"));
                }
                design.bonds.push(Bond::face(&lug, "plate", How::Bolted));
                design.studs.push(WasherStudSpec {
                    id: lug,
                    owner: id.into(),
                    eye: row.nut.max(row.washer),
                    reach: row.washer / 2.0 + 14.0,
                    hole: row.close,
                    thickness,
                    pose,
                });
            }
            HardwareKind::Strip => {
                let Some(row) = machine(
                    ledger,
                    &format!("{id}.screw"),
                    h.screw.as_ref(),
                    "M3",
                    "#6",
                    &h.span,
                ) else {
                    continue;
                };
                let Some(tags) = ledger.fitting("terminal strip", h.type_.as_ref()) else {
                    continue;
                };
                let [length, width, height] = [
                    ("length", &h.length, tags.length),
                    ("width", &h.width, tags.width),
                    ("height", &h.height, tags.height),
                ]
                .map(|(key, typed, figure)| {
                    ledger.length_of(&format!("{id}.{key}"), typed.as_ref(), tags, figure)
                });
                let cleared = h.measured.as_ref().is_some_and(|m| m.value)
                    || (h.length.is_some() && h.width.is_some() && h.height.is_some());
                ledger.rests_on(id, tags, cleared);
                let foot_size = row.washer.max(row.nut * 1.16) + 2.0;
                drill_plate(
                    design,
                    FlatHole::round(
                        format!("{id}-screw"),
                        id,
                        frame.plate.local(pose.at),
                        row.normal,
                        format!("screw {} of {id}", row.id),
                        &h.span,
                    ),
                );
                let foot = 1.0;
                let sid = format!("{id}-screw");
                let gap = (row.normal - row.major) / 2.0;
                let joint = BoltedJoint {
                    id: &sid,
                    owner: id,
                    row,
                    head: Head::Pan,
                    hole: row.normal,
                    at: pose.point(DVec3::new(0.0, 0.0, -t)),
                    dir: pose.dir(DVec3::Z),
                    grip: t + foot,
                    near: "plate",
                    others: &[],
                    marked: Marked::Scribed,
                    group,
                    moves: true,
                    span: &h.span,
                };
                add_screw(
                    design,
                    &joint,
                    vec![
                        Passed {
                            id: "plate".into(),
                            gap,
                        },
                        Passed { id: id.into(), gap },
                    ],
                    0.0,
                );
                design.bonds.push(Bond::face(id, "plate", How::Bolted));
                design.strips.push(StripSpec {
                    id: id.into(),
                    size: DVec3::new(length, width, height),
                    hole: row.normal,
                    foot,
                    foot_size,
                    component,
                    pose,
                });
            }
            HardwareKind::ReverbTank => {}
        }
        design.movables.push(Movable {
            id: id.into(),
            along: [DVec3::X, DVec3::Y],
            span: h.span.clone(),
        });
    }
}
