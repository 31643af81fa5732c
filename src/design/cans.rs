//! Filter cans, circuit boards, grommets, studs, strips and reverb tanks.

use super::bolt::{BoltedJoint, add_screw, along};
use super::cabinet::BaffleFrame;
use super::chassis::ChassisFrame;
use super::fasten::{self, Bond, Passed};
use super::flat::{FlatHole, HoleShape, Marked};
use super::ledger::{Ledger, Unmeasured};
use super::place::{Places, Surface, plate_ties};
use super::{CabinetSize, Design, Movable};
use crate::assembly::{Group, How};
use crate::catalogue::{self, ClampRow, GrommetRow, ScrewRow};
use crate::params::{CanMount, Hardware, HardwareKind, Head, Length, Params, PlateSide, Sp};
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::ops::Range;

/// A filter capacitor with its clamp.
#[derive(Clone, Debug, PartialEq)]
pub struct CanSpec {
    /// The item's id.
    pub id: String,
    /// Diameter.
    pub diameter: f64,
    /// Height over the plate, or length where it lies.
    pub height: f64,
    /// How far its terminal end goes through the plate; 0 where it lies.
    pub tail: f64,
    /// Lies along local x.
    pub lying: bool,
    /// Distance of the clamp's screws from the middle: along x upright, along y lying.
    pub half_spacing: f64,
    /// Half width over the clamp's lugs.
    pub half_lugs: f64,
    /// Height of the band upright, its width lying.
    pub band: f64,
    /// Thickness of the clamp's sheet.
    pub sheet: f64,
    /// Hole in the lugs.
    pub hole: f64,
    /// Plate thickness.
    pub plate: f64,
    /// On the component side.
    pub component: bool,
    /// On its face, z away from the plate, turned.
    pub pose: Pose,
}

/// A board on four stand-offs.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardSpec {
    /// The item's id.
    pub id: String,
    /// Size along x and y.
    pub size: DVec2,
    /// Thickness.
    pub thickness: f64,
    /// Height of the stand-offs.
    pub stand_off: f64,
    /// Stand-off centres.
    pub holes: Vec<DVec2>,
    /// Hole diameter.
    pub hole: f64,
    /// Bore of the stand-offs.
    pub bore: f64,
    /// Height of the parts on it.
    pub parts: f64,
    /// Size of the room the parts take along x and y.
    pub parts_size: DVec2,
    /// On the component side.
    pub component: bool,
    /// On its face, z away from the plate, turned.
    pub pose: Pose,
}

/// A rubber ring in a hole.
#[derive(Clone, Debug, PartialEq)]
pub struct GrommetSpec {
    /// Id of the solid.
    pub id: String,
    /// The item it belongs to.
    pub owner: String,
    /// Its row.
    pub row: &'static GrommetRow,
    /// Thickness of the sheet.
    pub sheet: f64,
    /// Group of the solid.
    pub group: Group,
    /// On one face of the sheet, z away from it.
    pub pose: Pose,
}

impl GrommetSpec {
    /// Cuts the hole in the flat part `on` and adds the ring.
    #[expect(
        clippy::too_many_arguments,
        reason = "one call, and each is a different fact"
    )]
    pub(super) fn add(
        id: &str,
        owner: &str,
        row: &'static GrommetRow,
        pose: Pose,
        on: &str,
        sheet: f64,
        component: bool,
        span: &Range<usize>,
        design: &mut Design,
    ) {
        let Some(flat) = design.flats.iter_mut().find(|f| f.id == on) else {
            return;
        };
        flat.holes.push(FlatHole {
            id: id.into(),
            at: flat.pose.inverse().point(pose.at).truncate(),
            shape: HoleShape::Round { d: row.hole },
            purpose: format!("grommet, bore {:.1}", row.bore),
            marked: Marked::Scribed,
            owner: owner.into(),
            span: span.clone(),
        });
        design.bonds.push(Bond::gap(id, on, How::Inserted, 0.25));
        let group = if on != "plate" {
            Group::Panel
        } else if component {
            Group::Above
        } else {
            Group::Below
        };
        design.grommets.push(GrommetSpec {
            id: id.into(),
            owner: owner.into(),
            row,
            sheet,
            group,
            pose,
        });
    }
}

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

/// A reverb tank on the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct TankSpec {
    /// The item's id.
    pub id: String,
    /// Length, width, height.
    pub size: DVec3,
    /// Middle of its underside, turned.
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

fn face_of(frame: &ChassisFrame, component: bool, at: DVec2, degrees: f64) -> Pose {
    if component {
        frame.plate.component(at.x, at.y).turned_z(-degrees)
    } else {
        frame.plate.wiring(at.x, at.y).turned_z(degrees)
    }
}

fn side(s: Option<&Sp<PlateSide>>, usual: PlateSide) -> bool {
    s.map_or(usual, |s| s.value) == PlateSide::Component
}

fn plate_hole(
    design: &mut Design,
    frame: &ChassisFrame,
    at: DVec3,
    id: &str,
    owner: &str,
    d: f64,
    purpose: String,
    marked: Marked,
    span: &Range<usize>,
) {
    if let Some(flat) = design.flats.iter_mut().find(|f| f.id == "plate") {
        flat.holes.push(FlatHole {
            id: id.into(),
            at: frame.plate.local(at),
            shape: HoleShape::Round { d },
            purpose,
            marked,
            owner: owner.into(),
            span: span.clone(),
        });
    }
}

fn machine(
    ledger: &mut Ledger,
    key: &str,
    typed: Option<&Sp<String>>,
    metric: &str,
    inch: &str,
    span: &Range<usize>,
) -> Option<&'static ScrewRow> {
    let row = fasten::screw_or(ledger, key, typed, metric, inch);
    if row.wood {
        ledger.error(
            typed.map_or(span.clone(), |s| s.span.clone()),
            format!("a `{}` screw does not hold in sheet metal", row.id),
            "a machine screw such as `M3` or `#6`",
            "",
        );
        return None;
    }
    Some(row)
}

pub(super) fn build(
    params: &Params,
    frame: &ChassisFrame,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    cans(params, frame, places, design, ledger);
    boards(params, frame, places, design, ledger);
    hardware(params, frame, places, design, ledger);
}

fn cans(
    params: &Params,
    frame: &ChassisFrame,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    for c in &params.can {
        let id = c.id.value.0.as_str();
        let at = places.resolve(
            ledger,
            id,
            &c.span,
            plate_ties(c.at.as_ref()),
            &frame.plate.surface(),
            [None, None],
        );
        let d = ledger.length(
            &format!("{id}.diameter"),
            c.diameter.as_ref(),
            35.0,
            "usual electrolytic can (from memory)",
        );
        let height = ledger.length(
            &format!("{id}.height"),
            c.height.as_ref(),
            51.0,
            "usual electrolytic can (from memory)",
        );
        let mount = ledger.choice(
            &format!("{id}.mount"),
            c.mount.as_ref(),
            CanMount::Clamp,
            "clamp",
            "common practice",
        );
        let component = side(c.side.as_ref(), PlateSide::Component);
        let degrees = c.turn.as_ref().map_or(0.0, |t| t.value.0);
        let pose = face_of(frame, component, at, degrees);
        let clamp: Option<&ClampRow> = catalogue::clamp_for(d);
        let (spacing, over, band) = clamp.map_or((d + 16.5, d + 28.0, 12.0), |r| {
            (r.spacing, r.over_lugs, r.band)
        });
        let Some(screw) = machine(
            ledger,
            &format!("{id} clamp screws"),
            None,
            clamp.map_or("M4", |r| r.screw.as_str()),
            clamp.map_or("#8", |r| r.screw.as_str()),
            &c.span,
        ) else {
            continue;
        };
        if !c.measured.as_ref().is_some_and(|m| m.value) {
            let row = clamp.map_or("by rule", |r| r.id.as_str());
            ledger.unmeasured.push(Unmeasured {
                id: id.into(),
                row: format!("can and clamp {row}"),
                source: "from memory".into(),
            });
        }
        let lying = mount == CanMount::Lying;
        if height < band + 8.0 {
            ledger.error(
                c.span.clone(),
                format!("can `{id}` is only {height:.1} mm high"),
                format!("more than its clamp's band of {band:.1} mm and 8 mm"),
                "",
            );
            continue;
        }
        let spec = CanSpec {
            id: id.into(),
            diameter: d,
            height,
            tail: if lying { 0.0 } else { 12.0 },
            lying,
            half_spacing: spacing / 2.0,
            half_lugs: over / 2.0,
            band,
            sheet: 1.0,
            hole: screw.normal,
            plate: frame.plate.thickness,
            component,
            pose,
        };
        let group = if component {
            Group::Above
        } else {
            Group::Below
        };
        let clamp_id = format!("{id}-clamp");
        if !lying {
            plate_hole(
                design,
                frame,
                pose.at,
                id,
                id,
                d + 0.6,
                format!("can {id}"),
                Marked::Scribed,
                &c.span,
            );
            design
                .bonds
                .push(Bond::gap(id, "plate", How::Inserted, 0.35));
        } else {
            design.bonds.push(Bond::face(id, "plate", How::Resting));
        }
        for (k, s) in [-1.0, 1.0].into_iter().enumerate() {
            let local = if lying {
                DVec3::new(0.0, s * spec.half_spacing, spec.sheet)
            } else {
                DVec3::new(s * spec.half_spacing, 0.0, spec.sheet)
            };
            let sid = format!("{clamp_id}-screw-{}", k + 1);
            plate_hole(
                design,
                frame,
                pose.point(local),
                &sid,
                id,
                screw.normal,
                format!("screw {} of the clamp of {id}", screw.id),
                Marked::InHand {
                    part: clamp_id.clone(),
                },
                &c.span,
            );
            let gap = (screw.normal - screw.major) / 2.0;
            let joint = BoltedJoint {
                id: &sid,
                owner: id,
                row: screw,
                head: Head::Pan,
                hole: screw.normal,
                at: pose.point(local),
                dir: -pose.dir(DVec3::Z),
                grip: spec.sheet + spec.plate,
                near: "plate",
                others: &[],
                marked: Marked::Scribed,
                group,
                moves: true,
                span: &c.span,
            };
            add_screw(
                design,
                &joint,
                vec![
                    Passed {
                        id: clamp_id.clone(),
                        gap,
                    },
                    Passed {
                        id: "plate".into(),
                        gap,
                    },
                ],
                0.0,
            );
        }
        design
            .bonds
            .push(Bond::face(&clamp_id, "plate", How::Bolted));
        design
            .bonds
            .push(Bond::gap(&clamp_id, id, How::Inserted, 0.35));
        design.movables.push(Movable {
            id: id.into(),
            along: [DVec3::X, DVec3::Y],
            span: c.span.clone(),
        });
        design.cans.push(spec);
    }
}

fn boards(
    params: &Params,
    frame: &ChassisFrame,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    for b in &params.board {
        let id = b.id.value.0.as_str();
        let at = places.resolve(
            ledger,
            id,
            &b.span,
            plate_ties(b.at.as_ref()),
            &frame.plate.surface(),
            [None, None],
        );
        let size = DVec2::new(b.length.value.0, b.width.value.0);
        let thickness = ledger.length(
            &format!("{id}.thickness"),
            b.thickness.as_ref(),
            2.4,
            "usual fibre board (from memory)",
        );
        let stand_off = ledger.length(
            &format!("{id}.stand-off"),
            b.stand_off.as_ref(),
            10.0,
            "usual stand-off (common practice)",
        );
        let inset = ledger.length(
            &format!("{id}.inset"),
            b.inset.as_ref(),
            5.0,
            "common practice",
        );
        let parts = ledger.length(
            &format!("{id}.parts"),
            b.parts.as_ref(),
            12.0,
            "room for axial parts (common practice)",
        );
        let component = side(b.side.as_ref(), PlateSide::Wiring);
        let Some(screw) = machine(
            ledger,
            &format!("{id}.screw"),
            b.screw.as_ref(),
            "M3",
            "#4",
            &b.span,
        ) else {
            continue;
        };
        let hole = screw.normal;
        let clear = 2.0 * inset.max(screw.nut * 0.6 + 1.0);
        if inset < hole / 2.0 + 1.0
            || size.x < 2.0 * clear + 4.0
            || size.y < 2.0 * inset + hole + 1.0
        {
            ledger.error(
                b.span.clone(),
                format!("board `{id}` is too small for its stand-offs"),
                format!(
                    "an inset over {:.1} mm and a length over {:.1} mm",
                    hole / 2.0 + 1.0,
                    2.0 * clear + 4.0
                ),
                "",
            );
            continue;
        }
        let degrees = b.turn.as_ref().map_or(0.0, |t| t.value.0);
        let pose = face_of(frame, component, at, degrees);
        let half = size / 2.0 - DVec2::splat(inset);
        let holes = vec![
            DVec2::new(-half.x, -half.y),
            DVec2::new(half.x, -half.y),
            DVec2::new(half.x, half.y),
            DVec2::new(-half.x, half.y),
        ];
        let group = if component {
            Group::Above
        } else {
            Group::Below
        };
        let t = frame.plate.thickness;
        for (k, h) in holes.iter().enumerate() {
            let sid = format!("{id}-screw-{}", k + 1);
            let so = format!("{id}-stand-off-{}", k + 1);
            plate_hole(
                design,
                frame,
                pose.point(h.extend(0.0)),
                &sid,
                id,
                hole,
                format!("screw {} of board {id}", screw.id),
                Marked::InHand { part: id.into() },
                &b.span,
            );
            let gap = (hole - screw.major) / 2.0;
            let joint = BoltedJoint {
                id: &sid,
                owner: id,
                row: screw,
                head: Head::Pan,
                hole,
                at: pose.point(h.extend(-t)),
                dir: pose.dir(DVec3::Z),
                grip: t + stand_off + thickness,
                near: "plate",
                others: &[],
                marked: Marked::Scribed,
                group,
                moves: true,
                span: &b.span,
            };
            add_screw(
                design,
                &joint,
                vec![
                    Passed {
                        id: "plate".into(),
                        gap,
                    },
                    Passed {
                        id: so.clone(),
                        gap,
                    },
                    Passed { id: id.into(), gap },
                ],
                0.0,
            );
            design.bonds.push(Bond::face(&so, "plate", How::Bolted));
            design.bonds.push(Bond::face(&so, id, How::Bolted));
        }
        design
            .bonds
            .push(Bond::face(&format!("{id}-parts"), id, How::Bolted));
        design.movables.push(Movable {
            id: id.into(),
            along: [DVec3::X, DVec3::Y],
            span: b.span.clone(),
        });
        design.boards.push(BoardSpec {
            id: id.into(),
            size,
            thickness,
            stand_off,
            holes,
            hole,
            bore: hole,
            parts,
            parts_size: DVec2::new(size.x - 2.0 * clear, size.y - 2.0),
            component,
            pose,
        });
    }
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
                format!("a {} has no `{key}`", kind.word()),
                format!("`{key}` on a {}", of.join(" or ")),
                "take the key out, or change `kind`",
            );
        }
    }
}

fn hardware(
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
        let at = places.resolve(
            ledger,
            id,
            &h.span,
            plate_ties(h.at.as_ref()),
            &frame.plate.surface(),
            [None, None],
        );
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
                plate_hole(
                    design,
                    frame,
                    pose.at,
                    id,
                    id,
                    d.value.0,
                    "free hole".into(),
                    Marked::Scribed,
                    &h.span,
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
                plate_hole(
                    design,
                    frame,
                    pose.at,
                    id,
                    id,
                    row.close,
                    format!("protective-earth stud {}", row.id),
                    Marked::Scribed,
                    &h.span,
                );
                let lug = format!("{id}-lug");
                let gap = (row.close - row.major) / 2.0;
                let thickness = 0.8;
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
                let length = ledger.length(
                    &format!("{id}.length"),
                    h.length.as_ref(),
                    45.0,
                    "a five-lug strip (from memory)",
                );
                let width = ledger.length(
                    &format!("{id}.width"),
                    h.width.as_ref(),
                    10.0,
                    "from memory",
                );
                let height = ledger.length(
                    &format!("{id}.height"),
                    h.height.as_ref(),
                    18.0,
                    "from memory",
                );
                let foot_size = row.washer.max(row.nut * 1.16) + 2.0;
                plate_hole(
                    design,
                    frame,
                    pose.at,
                    &format!("{id}-screw"),
                    id,
                    row.normal,
                    format!("screw {} of {id}", row.id),
                    Marked::Scribed,
                    &h.span,
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

/// Reverb tanks lie on the cabinet's floor; they need no chassis.
pub(super) fn tanks(
    params: &Params,
    size: &CabinetSize,
    baffle: Option<&BaffleFrame>,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let front = baffle.map_or(0.0, |b| b.rear_at(0.0));
    let floor = Surface {
        u: [0.0, size.width],
        v: [front, size.depth],
        u_dir: DVec3::X,
        v_dir: DVec3::Y,
        upright: false,
    };
    for h in params
        .hardware
        .iter()
        .filter(|h| h.kind.value == HardwareKind::ReverbTank)
    {
        let id = h.id.value.0.as_str();
        let at = places.resolve(
            ledger,
            id,
            &h.span,
            plate_ties(h.at.as_ref()),
            &floor,
            [None, None],
        );
        let long = ledger.length(
            &format!("{id}.length"),
            h.length.as_ref(),
            425.0,
            "usual long tank (from memory)",
        );
        let wide = ledger.length(
            &format!("{id}.width"),
            h.width.as_ref(),
            111.0,
            "usual long tank (from memory)",
        );
        let high = ledger.length(
            &format!("{id}.height"),
            h.height.as_ref(),
            34.0,
            "usual long tank (from memory)",
        );
        let degrees = h.turn.as_ref().map_or(0.0, |t| t.value.0);
        if !h.measured.as_ref().is_some_and(|m| m.value) {
            ledger.unmeasured.push(Unmeasured {
                id: id.into(),
                row: "reverb tank".into(),
                source: "from memory".into(),
            });
        }
        let pose = along(DVec3::Z, DVec3::new(at.x, at.y, 0.0)).turned_z(-degrees);
        design.bonds.push(Bond::face(id, "bottom", How::Resting));
        design.movables.push(Movable {
            id: id.into(),
            along: [DVec3::X, DVec3::Y],
            span: h.span.clone(),
        });
        design.tanks.push(TankSpec {
            id: id.into(),
            size: DVec3::new(long, wide, high),
            pose,
        });
    }
}
