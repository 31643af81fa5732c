//! Transformers and chokes: stack, bells or coil, feet or frame, bolts.
//!
//! The coil's axis is the local x axis (left to right at turn 0); it is upright in a channel frame, a toroid and a C-core.

use super::chassis::ChassisFrame;
use super::iron_bolts::{drill, machine};
use super::iron_spec::{IRON, IronSpec};
use super::ledger::{Ledger, Unmeasured};
use super::place::Places;
use super::wound::{self, Core, Standing};
use super::{Design, GrommetSpec, Movable};
use crate::catalogue::{self, Status};
use crate::params::{Length, Mounting, Params, PlateSide, Sp, Transformer};
use glam::{DVec2, DVec3};

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
        let at = places.on_plate(ledger, &frame.plate.surface(), id, &t.span, t.at.as_ref());
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
        let Some(screw) = machine(t, usual.0, usual.1, ledger) else {
            continue;
        };
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
        drill(&spec, t, &frame.plate, screw, design);
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
