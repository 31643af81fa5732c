//! Where plate, grooves and panels are: the dimensions that follow from each other.

use super::{ChassisFrame, GrooveFrame, PanelFrame, PlateFrame};
use crate::design::CabinetSize;
use crate::design::cabinet::BaffleFrame;
use crate::design::controls::Picked;
use crate::design::ledger::{Ledger, Remark};
use crate::params::{ControlOn, Entry, Length, Panel, PanelFit, Params, Position, Sp};
use std::ops::Range;

/// Cutters a router is usually owned with, mm: metric bits, and inch bits for an inch file.
pub(super) const CUTTERS_MM: [f64; 8] = [2.0, 2.5, 3.0, 3.2, 3.5, 4.0, 5.0, 6.0];

pub(super) const CUTTERS_IN: [f64; 6] = [1.5875, 2.38125, 3.175, 3.96875, 4.7625, 6.35];

pub(in crate::design) fn frame(
    params: &Params,
    size: &CabinetSize,
    baffle: Option<&BaffleFrame>,
    controls: &[Picked<'_>],
    ledger: &mut Ledger,
) -> Option<ChassisFrame> {
    let c = params.chassis.as_ref()?;
    let up = ledger.choice(
        "chassis.position",
        c.position.as_ref(),
        Position::Floor,
        "floor",
        "heat rises away from the wiring (common practice)",
    ) == Position::Floor;
    let from_rear = ledger.choice(
        "chassis.enters",
        c.enters.as_ref(),
        Entry::Rear,
        "rear",
        "the front is closed by the baffle (common practice)",
    ) == Entry::Rear;
    let t = match &c.thickness {
        Some(v) => v.value.0,
        None => ledger.length_by_unit(
            "chassis.thickness",
            None,
            3.0,
            0.125,
            "stiff enough for iron on aluminium (common practice)",
        ),
    };
    let material = match &c.material {
        Some(m) => ledger.material(m),
        None => {
            ledger.took(
                "chassis.material",
                "aluminium 5052-H32",
                "light, easily drilled (common practice)",
            );
            "aluminium 5052-H32".into()
        }
    };
    let panels = c.panel.as_ref();
    let (rear_table, front_table) = (
        panels.and_then(|p| p.rear.as_ref()),
        panels.and_then(|p| p.front.as_ref()),
    );

    // heights first: the panel says how high the groove is
    let tallest = [rear_table, front_table]
        .into_iter()
        .flatten()
        .map(|p| (p.height.value.0, panel_fit(p)))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let over = |fit: PanelFit| if fit == PanelFit::Under { t } else { 0.0 };
    let typed = params
        .cabinet
        .groove
        .as_ref()
        .and_then(|g| g.height.as_ref())
        .map(|v| v.value.0);
    let base = match (typed, tallest, up) {
        (Some(z), ..) => z,
        (None, Some((h, fit)), true) => {
            let drop = if fit == PanelFit::Under { 0.0 } else { t };
            ledger.derive(
                "groove height above the floor",
                h - drop + 3.0,
                format!("panel {h:.1} - {drop:.1} plate edge it covers + 3.0 above the floor"),
            )
        }
        (None, Some((h, fit)), false) => ledger.derive(
            "groove height above the floor",
            size.height - 2.0 - h - over(fit),
            format!(
                "inside height {:.1} - 2.0 under the roof - panel {h:.1} - {:.1} plate under it",
                size.height,
                over(fit)
            ),
        ),
        (None, None, true) => ledger.length(
            "cabinet.groove.height",
            None,
            60.0_f64.min(size.height / 3.0),
            "room for what hangs under the plate (common practice)",
        ),
        (None, None, false) => ledger.length(
            "cabinet.groove.height",
            None,
            size.height - 70.0_f64.min(size.height / 3.0),
            "room for what stands over the plate (common practice)",
        ),
    };
    let groove = groove(params, size, c.span.clone(), t, base, ledger);
    let z0 = groove.height_left.max(groove.height_right);
    if z0 < 0.0 || z0 + t > size.height {
        ledger.error(
            c.span.clone(),
            format!("the plate lies at {z0:.1} mm above the floor"),
            format!("between 0 and the inside height {:.1}", size.height),
            "change the panel's height or `cabinet.groove.height`",
        );
    }

    let side_play = ledger.length(
        "chassis.side-play",
        c.side_play.as_ref(),
        0.8,
        "slides when the boards move with the season (common practice)",
    );
    let reach = groove.depth - side_play;
    let width = ledger.derive(
        "plate width over the ears",
        size.width + 2.0 * reach,
        format!(
            "inside {:.1} + 2 x ({:.1} groove - {side_play:.1} play)",
            size.width, groove.depth
        ),
    );

    let mut rear = rear_table.map(|p| panel(p, true, size, t, z0, up, &material, ledger));
    let mut front = front_table.map(|p| panel(p, false, size, t, z0, up, &material, ledger));
    let set_back = |at_rear: bool, wall: f64, has_panel: bool, ledger: &mut Ledger| -> f64 {
        if let Some(v) = c
            .set_back
            .as_ref()
            .filter(|_| at_rear == from_rear || !has_panel)
        {
            return v.value.0;
        }
        let margin = ledger.length(
            "chassis.margin",
            c.margin.as_ref(),
            3.0,
            "nothing touches the wall it is pushed against (common practice)",
        );
        let on = if at_rear {
            ControlOn::Rear
        } else {
            ControlOn::Front
        };
        let longest = controls
            .iter()
            .filter(|p| p.on == on)
            .map(|p| (p.protrusion(wall), p.table.id.value.0.as_str()))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match longest {
            Some((out, id)) if out + margin > 20.0 => ledger.derive(
                "set-back of the panel's face",
                out + margin,
                format!("{id} stands out {out:.1} + {margin:.1} margin"),
            ),
            _ => {
                ledger.took(
                    "chassis.set-back",
                    "20 mm",
                    "protects the controls (common practice)",
                );
                20.0
            }
        }
    };
    // the edge on the entry side, then the other
    let place = |p: &mut PanelFrame, outer: f64| {
        let out = if p.at_rear { -1.0 } else { 1.0 };
        p.inner = outer + out * p.wall();
        match p.fit {
            PanelFit::Outside => p.inner,
            PanelFit::Under => outer + out * p.overlay,
        }
    };
    let z_range = [
        z0.min(front.as_ref().map_or(z0, |p| p.z0)),
        (z0 + t).max(front.as_ref().map_or(0.0, |p| p.z0 + p.height)),
    ];
    let y_rear = rear.as_mut().map(|p| {
        let s = set_back(true, p.wall(), true, ledger);
        place(p, size.depth - s)
    });
    let y_front = front.as_mut().map(|p| {
        let outer = match baffle {
            Some(b) if from_rear => ledger.derive(
                "front panel behind the edge",
                b.rearmost(z_range[0], z_range[1]) + 1.0,
                "baffle's rear face + 1.0",
            ),
            _ => set_back(false, p.wall(), true, ledger),
        };
        place(p, outer)
    });
    let far = |ledger: &mut Ledger| {
        let gap = ledger.length(
            "chassis.front-gap",
            c.front_gap.as_ref(),
            6.0,
            "air behind the baffle (common practice)",
        );
        match baffle {
            Some(b) => b.rearmost(z0, z0 + t) + gap,
            None => gap,
        }
    };
    let depth_typed = c.depth.as_ref().map(|d| d.value.0);
    let (y0, y1) = match (y_front, y_rear, depth_typed) {
        (Some(a), Some(b), Some(d)) if (b - a - d).abs() > 0.05 => {
            let span = c.depth.as_ref().map_or(0..0, |d| d.span.clone());
            ledger.error(
                span,
                format!(
                    "the panels are {:.1} mm apart, the plate is {d:.1} mm deep",
                    b - a
                ),
                "one that follows from the other",
                "leave `depth` out, or one of the set-backs",
            );
            (a, b)
        }
        (Some(a), Some(b), _) => (a, b),
        (Some(a), None, Some(d)) => (a, a + d),
        (None, Some(b), Some(d)) => (b - d, b),
        (Some(a), None, None) => {
            let s = set_back(true, 0.0, false, ledger);
            (a, size.depth - s)
        }
        (None, Some(b), None) => (far(ledger), b),
        (None, None, d) => {
            let s = set_back(true, 0.0, false, ledger);
            let b = size.depth - s;
            (d.map_or_else(|| far(ledger), |d| b - d), b)
        }
    };
    let depth = y1 - y0;
    if !(depth > 20.0 && y0 >= 0.0 && y1 <= size.depth) {
        let span = c.depth.as_ref().map_or(c.span.clone(), |d| d.span.clone());
        ledger.error(
            span,
            format!("the plate would reach from {y0:.1} to {y1:.1} mm behind the front edges"),
            format!(
                "more than 20 mm of plate within the depth of {:.1} mm",
                size.depth
            ),
            "change `depth`, `set-back` or the cabinet's depth",
        );
    }
    if depth_typed.is_none() {
        ledger.derive(
            "plate depth",
            depth,
            format!("from {y0:.1} to {y1:.1} behind the front edges"),
        );
    }
    let depth = depth.max(20.0);

    let ear = [
        c.ear_from.as_ref().map_or(0.0, |v| v.value.0),
        c.ear_to.as_ref().map_or(depth, |v| v.value.0),
    ];
    if !(ear[0] >= 0.0 && ear[1] <= depth + 1e-9 && ear[1] - ear[0] >= 20.0) {
        let span = c
            .ear_to
            .as_ref()
            .or(c.ear_from.as_ref())
            .map_or(c.span.clone(), |v| v.span.clone());
        ledger.error(
            span,
            format!("the ears reach from {:.1} to {:.1} mm", ear[0], ear[1]),
            format!("at least 20 mm within the plate's depth of {depth:.1} mm"),
            "",
        );
    }
    let stop = params
        .cabinet
        .groove
        .as_ref()
        .and_then(|g| g.stop.as_ref())
        .map(|s| s.value.0);
    let closed_end = match (stop, from_rear) {
        (Some(s), true) => s,
        (Some(s), false) => size.depth - s,
        (None, true) => ledger.derive(
            "groove's closed end from the front edge",
            (y0 + ear[0] - 2.0).max(0.0),
            "ear's front end - 2.0, so that the panel and not the groove stops the plate",
        ),
        (None, false) => ledger.derive(
            "groove's closed end from the front edge",
            (y0 + ear[1] + 2.0).min(size.depth),
            "ear's rear end + 2.0, so that the panel and not the groove stops the plate",
        ),
    };
    Some(ChassisFrame {
        plate: PlateFrame {
            x0: -reach,
            width,
            y0,
            depth,
            z0,
            thickness: t,
            up,
            inside: size.width,
        },
        groove: GrooveFrame {
            closed_end,
            ..groove
        },
        from_rear,
        front,
        rear,
        ear,
        material,
    })
}

pub(super) fn panel_fit(p: &Panel) -> PanelFit {
    p.fit.as_ref().map_or(PanelFit::Outside, |f| f.value)
}

pub(super) fn groove(
    params: &Params,
    size: &CabinetSize,
    span: Range<usize>,
    t: f64,
    base: f64,
    ledger: &mut Ledger,
) -> GrooveFrame {
    let g = params.cabinet.groove.as_ref();
    let half = size.board / 2.0;
    let depth = ledger.length_by_unit(
        "cabinet.groove.depth",
        g.and_then(|g| g.depth.as_ref()),
        8.0_f64.min(half),
        (0.25_f64).min(half / 25.4),
        "never over half the board (common practice)",
    );
    let at = |s: Option<&Sp<Length>>| s.map_or(span.clone(), |v| v.span.clone());
    if depth >= size.board {
        ledger.error(
            at(g.and_then(|g| g.depth.as_ref())),
            format!(
                "a groove {depth:.1} mm deep in a board of {:.1} mm",
                size.board
            ),
            format!("less than the board, better {half:.1} mm or less"),
            "the groove would cut the side in two",
        );
    } else if depth > half + 1e-9 {
        ledger.remarks.push(Remark {
            check: "groove-deep",
            error: false,
            about: vec!["side-left".into(), "side-right".into()],
            measured: depth,
            wanted: half,
            text: format!(
                "the grooves take {depth:.1} of the {:.1} mm boards",
                size.board
            ),
            hint: format!("make them {half:.1} mm deep or less, or the boards thicker"),
            source: "common practice: a groove leaves half the board",
        });
    }
    let play = ledger.length(
        "cabinet.groove.play",
        g.and_then(|g| g.play.as_ref()),
        0.4,
        "slides without rattling much (common practice: 0.25 to 0.75)",
    );
    let width = match g.and_then(|g| g.width.as_ref()) {
        Some(w) => w.value.0,
        None => {
            let cutters: &[f64] = if ledger.inch {
                &CUTTERS_IN
            } else {
                &CUTTERS_MM
            };
            let need = t + play;
            let cut = cutters.iter().copied().find(|c| *c >= need - 1e-9);
            let value = cut.unwrap_or(need);
            let how = if cut.is_some() {
                "the next cutter"
            } else {
                "no single cutter, two passes"
            };
            ledger.derive(
                "groove width",
                value,
                format!("plate {t:.2} + {play:.2} play = {need:.2}, {how}"),
            )
        }
    };
    let left = g
        .and_then(|g| g.height_left.as_ref())
        .map_or(base, |v| v.value.0);
    let right = g
        .and_then(|g| g.height_right.as_ref())
        .map_or(base, |v| v.value.0);
    for (z, s) in [
        (left, g.and_then(|g| g.height_left.as_ref())),
        (right, g.and_then(|g| g.height_right.as_ref())),
    ] {
        if z < 0.0 || z + width > size.height {
            ledger.error(
                at(s),
                format!(
                    "a groove from {z:.1} to {:.1} mm above the floor",
                    z + width
                ),
                format!("within the inside height of {:.1} mm", size.height),
                "change the panel's height or `cabinet.groove.height`",
            );
        }
    }
    GrooveFrame {
        depth,
        width,
        height_left: left,
        height_right: right,
        closed_end: 0.0,
    }
}

#[expect(
    clippy::too_many_arguments,
    reason = "one call, and each is a different fact"
)]
pub(super) fn panel(
    p: &Panel,
    at_rear: bool,
    size: &CabinetSize,
    t: f64,
    z0: f64,
    up: bool,
    material: &str,
    ledger: &mut Ledger,
) -> PanelFrame {
    let name = if at_rear { "rear" } else { "front" };
    let key = |k: &str| format!("chassis.panel.{name}.{k}");
    let play = ledger.length(
        &key("play"),
        p.play.as_ref(),
        1.1,
        "slides over the covering (common practice)",
    );
    let length = match &p.length {
        Some(l) => l.value.0,
        None => ledger.derive(
            format!("{name} panel length"),
            size.width - 2.0 * (size.covering + play),
            format!(
                "inside {:.1} - 2 x ({:.1} covering + {play:.1} play)",
                size.width, size.covering
            ),
        ),
    };
    if length <= 20.0 {
        ledger.error(
            p.span.clone(),
            format!("the {name} panel would be {length:.1} mm long"),
            "more than 20 mm",
            "",
        );
    }
    let fit = panel_fit(p);
    let height = p.height.value.0;
    let thickness = p.thickness.as_ref().map_or(t, |v| v.value.0);
    let z = match (up, fit) {
        (true, PanelFit::Outside) => z0 + t - height,
        (true, PanelFit::Under) => z0 - height,
        (false, PanelFit::Outside) => z0,
        (false, PanelFit::Under) => z0 + t,
    };
    let material = match &p.material {
        Some(m) => ledger.material(m),
        None => material.to_owned(),
    };
    PanelFrame {
        id: if at_rear { "panel-rear" } else { "panel-front" },
        at_rear,
        x0: (size.width - length) / 2.0,
        length,
        z0: z,
        height,
        thickness,
        overlay: p.overlay.as_ref().map_or(0.0, |v| v.value.0),
        inner: 0.0,
        fit,
        material,
        radius: ledger.length(
            &key("corner-radius"),
            p.corner_radius.as_ref(),
            2.0,
            "no sharp corner (common practice)",
        ),
        span: p.span.clone(),
    }
}
