//! Transformers and chokes: stack, bells or coil, feet or frame, bolts.
//!
//! The coil's axis is the local x axis (left to right at turn 0); it is upright in a channel frame, a toroid and a C-core.

use super::bolt::{BoltedJoint, add_screw};
use super::chassis::ChassisFrame;
use super::fasten::{self, Bond, Passed};
use super::flat::{FlatHole, HoleShape, Marked};
use super::ledger::{Ledger, Unmeasured};
use super::place::Places;
use super::wound::{self, Core, Standing};
use super::{Design, GrommetSpec, Movable};
use crate::assembly::{Group, How};
use crate::catalogue::{self, Status};
use crate::outline::Loop;
use crate::params::{Head, Length, Mounting, Params, PlateSide, Sp, Transformer, TransformerRole};
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::ops::Range;

/// A transformer or choke.
#[derive(Clone, Debug, PartialEq)]
pub struct IronSpec {
    /// The item's id.
    pub id: String,
    /// What it does.
    pub role: TransformerRole,
    /// How it is mounted.
    pub mounting: Mounting,
    /// On the component side.
    pub component: bool,
    /// Tongue; leg of a C-core; thickness of a toroid's ring.
    pub tongue: f64,
    /// Lamination length, across the legs; diameter of a toroid.
    pub length: f64,
    /// Lamination height, along the tongue; diameter of a toroid.
    pub height: f64,
    /// Stack; strip width of a C-core, height of a toroid's ring.
    pub stack: f64,
    /// How far coil or bell stands out of the stack on each side.
    pub bell: f64,
    /// Thickness of feet, frame strap or bell flange.
    pub sheet: f64,
    /// Hole spacing along local x and y.
    pub holes: DVec2,
    /// Hole diameter in plate and feet.
    pub hole: f64,
    /// Height of the spacers of a flat mounting, thickness of a toroid's pads.
    pub spacer: f64,
    /// Open middle of a toroid, 0 without one.
    pub bore: f64,
    /// Plate thickness (the coil of a drop-through hangs through it).
    pub plate: f64,
    /// Mass, kg.
    pub mass: f64,
    /// On its face of the plate, z away from it, turned.
    pub pose: Pose,
}

/// Density of lamination steel, kg/m3, and its stacking factor. M6 steel 7.65 g/cm3: published (maker's lamination page); 0.95 from memory.
pub const IRON: f64 = 7650.0 * 0.95;

pub(super) fn build(
    params: &Params,
    frame: &ChassisFrame,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let plate = &frame.plate;
    for t in &params.transformer {
        let id = t.id.value.0.as_str();
        let at = places.on_plate(ledger, frame, id, &t.span, t.at.as_ref());
        let picked = match &t.core {
            Some(c) => match Core::look_up(c, ledger) {
                Some(core) => Some(core),
                None => continue,
            },
            None => None,
        };
        let usual = picked.map_or(Mounting::Upright, Core::usual);
        let mounting = ledger.choice(
            &format!("{id}.mounting"),
            t.mounting.as_ref(),
            usual,
            usual.word(),
            "common practice",
        );
        if let Some(core) = picked.filter(|c| !c.goes(mounting)) {
            ledger.error(
                t.mounting
                    .as_ref()
                    .map_or(t.span.clone(), |m| m.span.clone()),
                format!("`{}` is not mounted by `{}`", core.row().0, mounting.word()),
                format!("`mounting = \"{}\"`, or another core", core.usual().word()),
                "",
            );
            continue;
        }
        stray_keys(t, mounting, ledger);
        let component = t
            .side
            .as_ref()
            .is_none_or(|s| s.value == PlateSide::Component);
        let degrees = t.turn.as_ref().map_or(0.0, |d| d.value.0);
        // clockwise as seen from the component side, whichever face it stands on
        let pose = if component {
            plate.component(at.x, at.y).turned_z(-degrees)
        } else {
            plate.wiring(at.x, at.y).turned_z(degrees)
        };
        let standing = Standing {
            t,
            id,
            frame,
            component,
            pose,
        };
        let published = matches!(picked, Some(Core::Toroid(r)) if r.status == Status::Published);
        if !published && !t.measured.as_ref().is_some_and(|m| m.value) {
            let (row, source) = picked.map_or(("own numbers", "the parameter file"), Core::row);
            ledger.unmeasured.push(Unmeasured {
                id: id.into(),
                row: row.into(),
                source: source.into(),
            });
        }
        let core = match (mounting, picked) {
            (Mounting::CentreBolt, picked) => {
                let row = match picked {
                    Some(Core::Toroid(row)) => Some(row),
                    _ => None,
                };
                if let Some(spec) = wound::toroid(&standing, row, design, ledger) {
                    finish(spec, t, frame, design, ledger);
                }
                continue;
            }
            (Mounting::Banded, picked) => {
                let row = match picked {
                    Some(Core::Cut(row)) => Some(row),
                    _ => None,
                };
                if let Some(spec) = wound::banded(&standing, row, design, ledger) {
                    finish(spec, t, frame, design, ledger);
                }
                continue;
            }
            (_, Some(Core::Lamination(row))) => Some(row),
            _ => None,
        };
        let length = t
            .length
            .as_ref()
            .map(|v| v.value.0)
            .or(core.map(|c| c.length));
        let height = t
            .height
            .as_ref()
            .map(|v| v.value.0)
            .or(core.map(|c| c.height));
        let height = height.or_else(|| {
            let by_rule = length? / 3.0 * 2.5;
            ledger.took(
                &format!("{id}.height"),
                format!("{by_rule:.2} mm"),
                "5/6 of the length, as laminations are punched without waste (computed)",
            );
            Some(by_rule)
        });
        let (Some(length), Some(height)) = (length, height) else {
            ledger.error(
                t.span.clone(),
                format!("`{id}` has no size"),
                "`core`, or `length`, and `height` if it is not by the rule",
                "for example `core = \"EI96\"`",
            );
            continue;
        };
        let tongue = core.map_or(length / 3.0, |c| c.tongue);
        let stack = ledger.length(
            &format!("{id}.stack"),
            t.stack.as_ref(),
            tongue,
            "a square stack (common practice)",
        );
        let bell = ledger.length(
            &format!("{id}.bell"),
            t.bell.as_ref(),
            tongue / 2.0 + 2.0,
            "the winding fills the window, plus 2 mm of wrap (computed)",
        );
        let usual = if length < 60.0 {
            ("M3", "#6")
        } else if length < 110.0 {
            ("M4", "#8")
        } else {
            ("M5", "#10")
        };
        let screw = fasten::screw_or(
            ledger,
            &format!("{id}.screw"),
            t.screw.as_ref(),
            usual.0,
            usual.1,
        );
        if screw.wood {
            no_wood_screw(id, &t.span, ledger);
            continue;
        }
        let hole = screw.normal;
        let foot = screw.pan_diameter.max(screw.nut * 1.16) + 5.0;
        let rule = match mounting {
            Mounting::DropThrough | Mounting::Flat => {
                DVec2::new(height - tongue / 2.0, length - tongue / 2.0)
            }
            Mounting::Upright => DVec2::new(height - 2.0 * (foot / 2.0), stack + 2.0 * bell + foot),
            _ => DVec2::new(length + 4.0 + foot, 0.0),
        };
        let holes = match (&t.holes, mounting) {
            (Some(s), Mounting::DropThrough | Mounting::Flat) => {
                DVec2::new(s.height.value.0, s.width.value.0)
            }
            (Some(s), Mounting::Upright) => DVec2::new(s.width.value.0, s.height.value.0),
            (Some(s), _) => DVec2::new(s.width.value.0, 0.0),
            (None, _) => {
                ledger.took(
                    &format!("{id}.holes"),
                    format!("{:.1} x {:.1} mm", rule.x, rule.y),
                    "by rule; feet are not standardised, measure the part (computed)",
                );
                rule
            }
        };
        let iron = (length * height - tongue / 2.0 * tongue * 1.5 * 2.0) * stack * 1e-9 * IRON;
        let mass = match &t.mass {
            Some(m) => m.value.0,
            None => {
                ledger.took(
                    &format!("{id}.mass"),
                    format!("{:.2} kg", iron * 1.4),
                    &format!("iron {:.2} kg and 40 % copper (common practice)", iron),
                );
                iron * 1.4
            }
        };
        let coil = tongue / 2.0 + 2.0;
        let spec = IronSpec {
            id: id.into(),
            role: t.role.value,
            mounting,
            component,
            tongue,
            length,
            height,
            stack,
            bell,
            sheet: if mounting == Mounting::ChannelFrame {
                1.5
            } else {
                1.2
            },
            holes,
            hole,
            spacer: bell.max(coil) + 3.0,
            bore: 0.0,
            plate: plate.thickness,
            mass,
            pose,
        };
        let foot_fits = match mounting {
            Mounting::Upright => holes.y > stack + 2.0 * bell + screw.pan_diameter - 2.0,
            Mounting::DropThrough | Mounting::Flat => {
                holes.x < height - hole && holes.y < length - hole
            }
            _ => holes.x > length + 2.0 * spec.sheet + screw.pan_diameter,
        };
        if !foot_fits {
            let span = t.holes.as_ref().map_or(t.span.clone(), |h| h.span.clone());
            ledger.error(
                span,
                format!("the mounting holes of `{id}` fall outside its feet or under its body"),
                format!("about {:.1} x {:.1} mm by the rule", rule.x, rule.y),
                "measure the part and correct `holes`, or leave it out",
            );
            continue;
        }
        drill(&spec, t, frame, screw, design);
        finish(spec, t, frame, design, ledger);
    }
}

/// Leads, and that it can be moved.
fn finish(
    spec: IronSpec,
    t: &Transformer,
    frame: &ChassisFrame,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    grommets(&spec, t, frame, design, ledger);
    design.movables.push(Movable {
        id: spec.id.clone(),
        along: [DVec3::X, DVec3::Y],
        span: t.span.clone(),
    });
    design.irons.push(spec);
}

pub(super) fn no_wood_screw(id: &str, span: &Range<usize>, ledger: &mut Ledger) {
    ledger.error(
        span.clone(),
        format!("a wood screw does not hold `{id}`"),
        "a machine screw",
        "",
    );
}

/// Keys that say nothing about this mounting: a typed figure must never be passed over in silence.
fn stray_keys(t: &Transformer, mounting: Mounting, ledger: &mut Ledger) {
    let toroid = mounting == Mounting::CentreBolt;
    let length = |v: &Option<Sp<Length>>| v.as_ref().map(|v| v.span.clone());
    let keys = [
        ("diameter", length(&t.diameter), toroid),
        ("bore", length(&t.bore), toroid),
        ("length", length(&t.length), !toroid),
        ("stack", length(&t.stack), !toroid),
        ("bell", length(&t.bell), !toroid),
        ("holes", t.holes.as_ref().map(|h| h.span.clone()), !toroid),
    ];
    for (key, span, wanted) in keys {
        if let Some(span) = span.filter(|_| !wanted) {
            ledger.error(
                span,
                format!(
                    "`{key}` says nothing about a transformer mounted by `{}`",
                    mounting.word()
                ),
                if toroid {
                    "`diameter`, `height` and `bore` of a toroid"
                } else {
                    "`length`, `height` and `stack`"
                },
                "take the key out, or change `mounting`",
            );
        }
    }
}

impl IronSpec {
    /// Its mounting holes in its own frame.
    #[must_use]
    pub fn mounts(&self) -> Vec<DVec2> {
        let (x, y) = (self.holes.x / 2.0, self.holes.y / 2.0);
        if self.mounting == Mounting::CentreBolt {
            vec![DVec2::ZERO]
        } else if self.mounting == Mounting::ChannelFrame {
            vec![DVec2::new(-x, 0.0), DVec2::new(x, 0.0)]
        } else {
            vec![
                DVec2::new(-x, -y),
                DVec2::new(x, -y),
                DVec2::new(x, y),
                DVec2::new(-x, y),
            ]
        }
    }

    /// The axis of its coil, which is that of its stray field, in the amp frame: along the tongue of a lamination, upright in a channel frame,
    /// in a toroid (whose field goes round and hardly leaves it) and in a C-core.
    #[must_use]
    pub fn coil_axis(&self) -> DVec3 {
        match self.mounting {
            Mounting::DropThrough | Mounting::Flat | Mounting::Upright => self.pose.dir(DVec3::X),
            Mounting::ChannelFrame | Mounting::CentreBolt | Mounting::Banded => {
                self.pose.dir(DVec3::Z)
            }
        }
    }

    /// Size of the coil where it stands out of a lying stack: along x and y.
    #[must_use]
    pub fn coil(&self) -> DVec2 {
        DVec2::new(self.tongue * 1.5 - 1.0, self.tongue * 2.0 - 1.0)
    }

    /// Half the footprint along y, for what stands beside it.
    fn half_y(&self) -> f64 {
        match self.mounting {
            Mounting::DropThrough | Mounting::Flat => self.length / 2.0,
            Mounting::Upright => self.holes.y / 2.0 + 6.0,
            Mounting::CentreBolt => self.length / 2.0,
            Mounting::ChannelFrame | Mounting::Banded => self.stack / 2.0 + self.bell,
        }
    }
}

fn drill(
    spec: &IronSpec,
    t: &crate::params::Transformer,
    frame: &ChassisFrame,
    screw: &'static catalogue::ScrewRow,
    design: &mut Design,
) {
    let id = &spec.id;
    let plate = &frame.plate;
    let group = if spec.component {
        Group::Above
    } else {
        Group::Below
    };
    let Some(flat) = design.flats.iter_mut().find(|f| f.id == "plate") else {
        return;
    };
    if spec.mounting == Mounting::DropThrough {
        let half = spec.coil() / 2.0 + DVec2::splat(1.5);
        let corner =
            |x: f64, y: f64| plate.local(spec.pose.point(DVec3::new(x * half.x, y * half.y, 0.0)));
        let mut points = [
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ];
        let square = Loop::polygon(&points);
        if square.area() < 0.0 {
            points.reverse();
        }
        let square = Loop::polygon(&points);
        flat.holes.push(FlatHole {
            id: format!("{id}-window"),
            at: plate.local(spec.pose.at),
            shape: HoleShape::Cut {
                outline: square.rounded(2.0).unwrap_or(square),
            },
            purpose: format!("window for the coil of {id}"),
            marked: Marked::InHand { part: id.clone() },
            owner: id.clone(),
            span: t.span.clone(),
        });
    }
    for (k, m) in spec.mounts().into_iter().enumerate() {
        flat.holes.push(FlatHole {
            id: format!("{id}-screw-{}", k + 1),
            at: plate.local(spec.pose.point(m.extend(0.0))),
            shape: HoleShape::Round { d: spec.hole },
            purpose: format!("screw {} of {id}", screw.id),
            marked: Marked::InHand { part: id.clone() },
            owner: id.clone(),
            span: t.span.clone(),
        });
    }
    let gap = (spec.hole - screw.major) / 2.0;
    for (k, m) in spec.mounts().into_iter().enumerate() {
        let sid = format!("{id}-screw-{}", k + 1);
        // parts from the head to the plate, and how high the head sits over the plate
        let (parts, head): (Vec<String>, f64) = match spec.mounting {
            Mounting::DropThrough => (
                vec![format!("{id}-bell"), format!("{id}-core")],
                spec.stack + spec.sheet,
            ),
            Mounting::Flat => (
                vec![
                    format!("{id}-bell"),
                    format!("{id}-core"),
                    format!("{id}-spacer-{}", k + 1),
                ],
                spec.spacer + spec.stack + spec.sheet,
            ),
            Mounting::Upright => (
                vec![format!(
                    "{id}-bell-{}",
                    if m.y < 0.0 { "front" } else { "rear" }
                )],
                spec.sheet,
            ),
            _ => (vec![format!("{id}-frame")], spec.sheet),
        };
        let mut through: Vec<Passed> = parts.into_iter().map(|id| Passed { id, gap }).collect();
        through.push(Passed {
            id: "plate".into(),
            gap,
        });
        let joint = BoltedJoint {
            id: &sid,
            owner: id,
            row: screw,
            head: Head::Pan,
            hole: spec.hole,
            at: spec.pose.point(m.extend(head)),
            dir: -spec.pose.dir(DVec3::Z),
            grip: head + plate.thickness,
            near: "plate",
            others: &[],
            marked: Marked::Scribed,
            group,
            moves: true,
            span: &t.span,
        };
        add_screw(design, &joint, through, 0.0);
    }
    let name = |w: &str| format!("{id}-{w}");
    let mut face = |a: String, b: String| design.bonds.push(Bond::face(&a, &b, How::Bolted));
    match spec.mounting {
        Mounting::DropThrough => {
            face(name("core"), "plate".into());
            face(name("bell"), name("core"));
            face(name("coil"), name("core"));
            design
                .bonds
                .push(Bond::gap(&name("coil"), "plate", How::Inserted, 1.55));
        }
        Mounting::Flat => {
            face(name("bell"), name("core"));
            face(name("coil"), name("core"));
            for k in 1..=4 {
                face(format!("{id}-spacer-{k}"), name("core"));
                face(format!("{id}-spacer-{k}"), "plate".into());
            }
        }
        Mounting::Upright => {
            for b in ["bell-front", "bell-rear"] {
                face(name(b), name("core"));
                face(name(b), "plate".into());
            }
            design.bonds.push(Bond::gap(
                &name("core"),
                "plate",
                How::Bolted,
                spec.sheet + 0.05,
            ));
        }
        _ => {
            face(name("frame"), name("core"));
            face(name("frame"), "plate".into());
            face(name("core"), "plate".into());
            face(name("coil-front"), name("core"));
            face(name("coil-rear"), name("core"));
        }
    }
}

fn grommets(
    spec: &IronSpec,
    t: &crate::params::Transformer,
    frame: &ChassisFrame,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let usual = if spec.mounting == Mounting::DropThrough || !spec.component {
        0
    } else {
        1
    };
    let n = match &t.grommets {
        Some(c) => c.value.0.min(8),
        None => {
            ledger.took(
                &format!("{}.grommets", spec.id),
                format!("{usual}"),
                "leads of a transformer on the plate pass through a grommet (common practice)",
            );
            usual
        }
    };
    let Some(row) = catalogue::grommet_for(6.35) else {
        return;
    };
    for k in 0..n {
        let id = if n == 1 {
            format!("{}-grommet", spec.id)
        } else {
            format!("{}-grommet-{}", spec.id, k + 1)
        };
        let x = (f64::from(k) - f64::from(n - 1) / 2.0) * (row.outside + 4.0);
        let place = spec
            .pose
            .offset(DVec3::new(x, spec.half_y() + row.outside / 2.0 + 2.0, 0.0));
        GrommetSpec::add(
            &id,
            &spec.id,
            row,
            place,
            "plate",
            frame.plate.thickness,
            spec.component,
            &t.span,
            design,
        );
    }
}
