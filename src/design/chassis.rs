//! Plate, panels, angle stock, and what holds the plate in its grooves.

use super::cabinet::{BaffleFrame, known_material};
use super::controls::Picked;
use super::fasten::{self, Bond, Fastener, Passed};
use super::flat::{AngleBar, Datum, Face, Flat, FlatHole, HoleShape, Marked};
use super::ledger::{Ledger, Remark};
use super::place::Surface;
use super::{CabinetSize, Design};
use crate::assembly::{Group, How, Kind, Rule};
use crate::outline::{self, Loop, Region};
use crate::params::{
    ControlOn, Entry, Head, HoleFit, Length, Panel, PanelFit, Params, PlateEdge, Position, RetainKind, Sp,
};
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::ops::Range;

/// Where the plate is, amp frame, mm. Its part frame has the same axes; its origin is the plate's low corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlateFrame {
    /// Left ear's edge.
    pub x0: f64,
    /// Width over the ears.
    pub width: f64,
    /// Front edge.
    pub y0: f64,
    /// Depth.
    pub depth: f64,
    /// Lower face.
    pub z0: f64,
    /// Thickness.
    pub thickness: f64,
    /// Components on top (tubes up) or hanging (tubes down).
    pub up: bool,
    /// Inside width of the cabinet.
    pub inside: f64,
}

impl PlateFrame {
    /// A frame on the component face: z away from the plate, x to the right.
    #[must_use]
    pub fn component(&self, x: f64, y: f64) -> Pose {
        if self.up {
            Pose::from_axes(DVec3::X, DVec3::Y, DVec3::new(x, self.y0 + y, self.z0 + self.thickness))
        } else {
            Pose::from_axes(DVec3::X, -DVec3::Y, DVec3::new(x, self.y0 + y, self.z0))
        }
    }

    /// A frame on the wiring face: z away from the plate, x to the right.
    #[must_use]
    pub fn wiring(&self, x: f64, y: f64) -> Pose {
        if self.up {
            Pose::from_axes(DVec3::X, -DVec3::Y, DVec3::new(x, self.y0 + y, self.z0))
        } else {
            Pose::from_axes(DVec3::X, DVec3::Y, DVec3::new(x, self.y0 + y, self.z0 + self.thickness))
        }
    }

    /// A point of the amp frame in the plate's part frame.
    #[must_use]
    pub fn local(&self, p: DVec3) -> DVec2 {
        DVec2::new(p.x - self.x0, p.y - self.y0)
    }

    /// The face of the plate's part that the components are on.
    #[must_use]
    pub fn component_face(&self) -> Face {
        if self.up { Face::Front } else { Face::Back }
    }

    pub(super) fn surface(&self) -> Surface {
        Surface { u: [0.0, self.inside], v: [0.0, self.depth], u_dir: DVec3::X, v_dir: DVec3::Y, upright: false }
    }
}

/// A panel in place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PanelFrame {
    pub id: &'static str,
    pub at_rear: bool,
    pub x0: f64,
    pub length: f64,
    pub z0: f64,
    pub height: f64,
    pub thickness: f64,
    pub overlay: f64,
    /// y of its inner face.
    pub inner: f64,
    pub fit: PanelFit,
    pub material: String,
    pub radius: f64,
    pub span: Range<usize>,
}

impl PanelFrame {
    /// x to the right as seen when facing the panel, y up, z out of it; z = 0 is the inner face.
    pub fn pose(&self) -> Pose {
        if self.at_rear {
            Pose::from_axes(-DVec3::X, DVec3::Z, DVec3::new(self.x0 + self.length, self.inner, self.z0))
        } else {
            Pose::from_axes(DVec3::X, DVec3::Z, DVec3::new(self.x0, self.inner, self.z0))
        }
    }

    /// Panel and overlay together.
    pub fn wall(&self) -> f64 {
        self.thickness + self.overlay
    }

    pub fn surface(&self) -> Surface {
        let u_dir = if self.at_rear { -DVec3::X } else { DVec3::X };
        Surface { u: [0.0, self.length], v: [0.0, self.height], u_dir, v_dir: DVec3::Z, upright: true }
    }
}

/// The grooves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct GrooveFrame {
    pub depth: f64,
    pub width: f64,
    pub height_left: f64,
    pub height_right: f64,
    /// y of the closed end.
    pub closed_end: f64,
}

/// Everything of the chassis that has to be known before its holes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ChassisFrame {
    pub plate: PlateFrame,
    pub groove: GrooveFrame,
    pub from_rear: bool,
    pub front: Option<PanelFrame>,
    pub rear: Option<PanelFrame>,
    pub ear: [f64; 2],
    pub side_play: f64,
    pub material: String,
}

impl ChassisFrame {
    pub fn panel(&self, on: ControlOn) -> Option<&PanelFrame> {
        match on {
            ControlOn::Rear => self.rear.as_ref(),
            ControlOn::Front => self.front.as_ref(),
            ControlOn::Plate => None,
        }
    }
}

/// Cutters a router is usually owned with, mm: metric bits, and inch bits for an inch file.
const CUTTERS_MM: [f64; 8] = [2.0, 2.5, 3.0, 3.2, 3.5, 4.0, 5.0, 6.0];
const CUTTERS_IN: [f64; 6] = [1.5875, 2.38125, 3.175, 3.96875, 4.7625, 6.35];

pub(super) fn nothing_to_stand_on(params: &Params, ledger: &mut Ledger) {
    let spans = (params.tube.iter().map(|i| &i.id.span))
        .chain(params.transformer.iter().map(|i| &i.id.span))
        .chain(params.can.iter().map(|i| &i.id.span))
        .chain(params.board.iter().map(|i| &i.id.span))
        .chain(params.control.iter().map(|i| &i.id.span));
    if let Some(span) = spans.min_by_key(|s| s.start) {
        ledger.error(span.clone(), "this has nothing to stand on", "a `[chassis]` table", "add `[chassis]`, or take the parts out");
    }
}

pub(super) fn frame(
    params: &Params,
    size: &CabinetSize,
    baffle: Option<&BaffleFrame>,
    controls: &[Picked<'_>],
    ledger: &mut Ledger,
) -> Option<ChassisFrame> {
    let c = params.chassis.as_ref()?;
    let up = ledger.choice("chassis.position", c.position.as_ref(), Position::Floor, "floor", "heat rises away from the wiring (common practice)") == Position::Floor;
    let from_rear = ledger.choice("chassis.enters", c.enters.as_ref(), Entry::Rear, "rear", "the front is closed by the baffle (common practice)") == Entry::Rear;
    let t = match &c.thickness {
        Some(v) => v.value.0,
        None => ledger.length_by_unit("chassis.thickness", None, 3.0, 0.125, "stiff enough for iron on aluminium (common practice)"),
    };
    let material = match &c.material {
        Some(m) => known_material(m, ledger),
        None => {
            ledger.took("chassis.material", "aluminium 5052-H32", "light, easily drilled (common practice)");
            "aluminium 5052-H32".into()
        }
    };
    let panels = c.panel.as_ref();
    let (rear_table, front_table) = (panels.and_then(|p| p.rear.as_ref()), panels.and_then(|p| p.front.as_ref()));

    // heights first: the panel says how high the groove is
    let tallest = [rear_table, front_table].into_iter().flatten().map(|p| (p.height.value.0, panel_fit(p))).max_by(|a, b| a.0.total_cmp(&b.0));
    let over = |fit: PanelFit| if fit == PanelFit::Under { t } else { 0.0 };
    let typed = params.cabinet.groove.as_ref().and_then(|g| g.height.as_ref()).map(|v| v.value.0);
    let base = match (typed, tallest, up) {
        (Some(z), ..) => z,
        (None, Some((h, fit)), true) => {
            let drop = if fit == PanelFit::Under { 0.0 } else { t };
            ledger.derive("groove height above the floor", h - drop + 3.0, format!("panel {h:.1} - {drop:.1} plate edge it covers + 3.0 above the floor"))
        }
        (None, Some((h, fit)), false) => ledger.derive(
            "groove height above the floor",
            size.height - 2.0 - h - over(fit),
            format!("inside height {:.1} - 2.0 under the roof - panel {h:.1} - {:.1} plate under it", size.height, over(fit)),
        ),
        (None, None, true) => ledger.length("cabinet.groove.height", None, 60.0_f64.min(size.height / 3.0), "room for what hangs under the plate (common practice)"),
        (None, None, false) => ledger.length("cabinet.groove.height", None, size.height - 70.0_f64.min(size.height / 3.0), "room for what stands over the plate (common practice)"),
    };
    let groove = groove(params, size, c.span.clone(), t, base, ledger);
    let z0 = groove.height_left.max(groove.height_right);
    if z0 < 0.0 || z0 + t > size.height {
        ledger.error(c.span.clone(), format!("the plate lies at {z0:.1} mm above the floor"), format!("between 0 and the inside height {:.1}", size.height), "change the panel's height or `cabinet.groove.height`");
    }

    let side_play = ledger.length("chassis.side-play", c.side_play.as_ref(), 0.8, "slides when the boards move with the season (common practice)");
    let reach = groove.depth - side_play;
    let width = ledger.derive("plate width over the ears", size.width + 2.0 * reach, format!("inside {:.1} + 2 x ({:.1} groove - {side_play:.1} play)", size.width, groove.depth));

    let mut rear = rear_table.map(|p| panel(p, true, params, size, t, z0, up, &material, ledger));
    let mut front = front_table.map(|p| panel(p, false, params, size, t, z0, up, &material, ledger));
    let set_back = |at_rear: bool, wall: f64, has_panel: bool, ledger: &mut Ledger| -> f64 {
        if let Some(v) = c.set_back.as_ref().filter(|_| at_rear == from_rear || !has_panel) {
            return v.value.0;
        }
        let margin = ledger.length("chassis.margin", c.margin.as_ref(), 3.0, "nothing touches the wall it is pushed against (common practice)");
        let on = if at_rear { ControlOn::Rear } else { ControlOn::Front };
        let longest = controls.iter().filter(|p| p.on == on).map(|p| (p.protrusion(wall), p.table.id.value.0.as_str())).max_by(|a, b| a.0.total_cmp(&b.0));
        match longest {
            Some((out, id)) if out + margin > 20.0 => ledger.derive("set-back of the panel's face", out + margin, format!("{id} stands out {out:.1} + {margin:.1} margin")),
            _ => {
                ledger.took("chassis.set-back", "20 mm", "protects the controls (common practice)");
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
    let z_range = [z0.min(front.as_ref().map_or(z0, |p| p.z0)), (z0 + t).max(front.as_ref().map_or(0.0, |p| p.z0 + p.height))];
    let y_rear = rear.as_mut().map(|p| {
        let s = set_back(true, p.wall(), true, ledger);
        place(p, size.depth - s)
    });
    let y_front = front.as_mut().map(|p| {
        let outer = match baffle {
            Some(b) if from_rear => ledger.derive("front panel behind the edge", b.rearmost(z_range[0], z_range[1]) + 1.0, "baffle's rear face + 1.0"),
            _ => set_back(false, p.wall(), true, ledger),
        };
        place(p, outer)
    });
    let far = |ledger: &mut Ledger| {
        let gap = ledger.length("chassis.front-gap", c.front_gap.as_ref(), 6.0, "air behind the baffle (common practice)");
        match baffle {
            Some(b) => b.rearmost(z0, z0 + t) + gap,
            None => gap,
        }
    };
    let depth_typed = c.depth.as_ref().map(|d| d.value.0);
    let (y0, y1) = match (y_front, y_rear, depth_typed) {
        (Some(a), Some(b), Some(d)) if (b - a - d).abs() > 0.05 => {
            let span = c.depth.as_ref().map_or(0..0, |d| d.span.clone());
            ledger.error(span, format!("the panels are {:.1} mm apart, the plate is {d:.1} mm deep", b - a), "one that follows from the other", "leave `depth` out, or one of the set-backs");
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
        ledger.error(span, format!("the plate would reach from {y0:.1} to {y1:.1} mm behind the front edges"), format!("more than 20 mm of plate within the depth of {:.1} mm", size.depth), "change `depth`, `set-back` or the cabinet's depth");
    }
    if depth_typed.is_none() {
        ledger.derive("plate depth", depth, format!("from {y0:.1} to {y1:.1} behind the front edges"));
    }
    let depth = depth.max(20.0);

    let ear = [c.ear_from.as_ref().map_or(0.0, |v| v.value.0), c.ear_to.as_ref().map_or(depth, |v| v.value.0)];
    if !(ear[0] >= 0.0 && ear[1] <= depth + 1e-9 && ear[1] - ear[0] >= 20.0) {
        let span = c.ear_to.as_ref().or(c.ear_from.as_ref()).map_or(c.span.clone(), |v| v.span.clone());
        ledger.error(span, format!("the ears reach from {:.1} to {:.1} mm", ear[0], ear[1]), format!("at least 20 mm within the plate's depth of {depth:.1} mm"), "");
    }
    let stop = params.cabinet.groove.as_ref().and_then(|g| g.stop.as_ref()).map(|s| s.value.0);
    let closed_end = match (stop, from_rear) {
        (Some(s), true) => s,
        (Some(s), false) => size.depth - s,
        (None, true) => ledger.derive("groove's closed end from the front edge", (y0 + ear[0] - 2.0).max(0.0), "ear's front end - 2.0, so that the panel and not the groove stops the plate"),
        (None, false) => ledger.derive("groove's closed end from the front edge", (y0 + ear[1] + 2.0).min(size.depth), "ear's rear end + 2.0, so that the panel and not the groove stops the plate"),
    };
    Some(ChassisFrame {
        plate: PlateFrame { x0: -reach, width, y0, depth, z0, thickness: t, up, inside: size.width },
        groove: GrooveFrame { closed_end, ..groove },
        from_rear,
        front,
        rear,
        ear,
        side_play,
        material,
    })
}

fn panel_fit(p: &Panel) -> PanelFit {
    p.fit.as_ref().map_or(PanelFit::Outside, |f| f.value)
}

fn groove(params: &Params, size: &CabinetSize, span: Range<usize>, t: f64, base: f64, ledger: &mut Ledger) -> GrooveFrame {
    let g = params.cabinet.groove.as_ref();
    let half = size.board / 2.0;
    let depth = ledger.length_by_unit("cabinet.groove.depth", g.and_then(|g| g.depth.as_ref()), 8.0_f64.min(half), (0.25_f64).min(half / 25.4), "never over half the board (common practice)");
    let at = |s: Option<&Sp<Length>>| s.map_or(span.clone(), |v| v.span.clone());
    if depth >= size.board {
        ledger.error(at(g.and_then(|g| g.depth.as_ref())), format!("a groove {depth:.1} mm deep in a board of {:.1} mm", size.board), format!("less than the board, better {half:.1} mm or less"), "the groove would cut the side in two");
    } else if depth > half + 1e-9 {
        ledger.remarks.push(Remark {
            check: "groove-deep",
            error: false,
            about: vec!["side-left".into(), "side-right".into()],
            measured: depth,
            wanted: half,
            text: format!("the grooves take {depth:.1} of the {:.1} mm boards", size.board),
            hint: format!("make them {half:.1} mm deep or less, or the boards thicker"),
            source: "common practice: a groove leaves half the board",
        });
    }
    let play = ledger.length("cabinet.groove.play", g.and_then(|g| g.play.as_ref()), 0.4, "slides without rattling much (common practice: 0.25 to 0.75)");
    let width = match g.and_then(|g| g.width.as_ref()) {
        Some(w) => w.value.0,
        None => {
            let cutters: &[f64] = if ledger.inch { &CUTTERS_IN } else { &CUTTERS_MM };
            let need = t + play;
            let cut = cutters.iter().copied().find(|c| *c >= need - 1e-9);
            let value = cut.unwrap_or(need);
            let how = if cut.is_some() { "the next cutter" } else { "no single cutter, two passes" };
            ledger.derive("groove width", value, format!("plate {t:.2} + {play:.2} play = {need:.2}, {how}"))
        }
    };
    let left = g.and_then(|g| g.height_left.as_ref()).map_or(base, |v| v.value.0);
    let right = g.and_then(|g| g.height_right.as_ref()).map_or(base, |v| v.value.0);
    for (z, s) in [(left, g.and_then(|g| g.height_left.as_ref())), (right, g.and_then(|g| g.height_right.as_ref()))] {
        if z < 0.0 || z + width > size.height {
            ledger.error(at(s), format!("a groove from {z:.1} to {:.1} mm above the floor", z + width), format!("within the inside height of {:.1} mm", size.height), "change the panel's height or `cabinet.groove.height`");
        }
    }
    GrooveFrame { depth, width, height_left: left, height_right: right, closed_end: 0.0 }
}

#[expect(clippy::too_many_arguments, reason = "one call, and each is a different fact")]
fn panel(p: &Panel, at_rear: bool, params: &Params, size: &CabinetSize, t: f64, z0: f64, up: bool, material: &str, ledger: &mut Ledger) -> PanelFrame {
    let name = if at_rear { "rear" } else { "front" };
    let key = |k: &str| format!("chassis.panel.{name}.{k}");
    let play = ledger.length(&key("play"), p.play.as_ref(), 1.1, "slides over the covering (common practice)");
    let length = match &p.length {
        Some(l) => l.value.0,
        None => ledger.derive(
            format!("{name} panel length"),
            size.width - 2.0 * (size.covering + play),
            format!("inside {:.1} - 2 x ({:.1} covering + {play:.1} play)", size.width, size.covering),
        ),
    };
    if length <= 20.0 {
        ledger.error(p.span.clone(), format!("the {name} panel would be {length:.1} mm long"), "more than 20 mm", "");
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
        Some(m) => known_material(m, ledger),
        None => material.to_owned(),
    };
    let _ = params;
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
        radius: ledger.length(&key("corner-radius"), p.corner_radius.as_ref(), 2.0, "no sharp corner (common practice)"),
        span: p.span.clone(),
    }
}

pub(super) fn build(params: &Params, size: &CabinetSize, frame: &ChassisFrame, design: &mut Design, ledger: &mut Ledger) {
    let Some(c) = params.chassis.as_ref() else { return };
    let plate = &frame.plate;
    let outline = plate_outline(params, frame, ledger);
    design.flats.push(Flat {
        id: "plate".into(),
        kind: Kind::Plate,
        group: Group::Chassis,
        material: frame.material.clone(),
        moves: true,
        outline,
        bevel: None,
        thickness: plate.thickness,
        // the rear edge is the one a rule hooks on once a rear panel is off; entered from the front, the front edge
        datum: if frame.from_rear { Datum::LowHigh } else { Datum::LowLow },
        holes: Vec::new(),
        pockets: Vec::new(),
        pose: Pose::shift(DVec3::new(plate.x0, plate.y0, plate.z0)),
        span: c.span.clone(),
    });
    let worst = plate.width - size.widest - frame.groove.depth;
    for side in ["side-left", "side-right"] {
        design.bonds.push(Bond {
            a: "plate".into(),
            b: side.into(),
            how: How::Sliding,
            rule: Rule::Engaged { depth: 3.0, given: worst, play: 0.3, play_given: size.width / 2.0 + frame.groove.depth - plate.width / 2.0 },
        });
    }
    ledger.derive("least engagement of an ear", worst, format!("plate {:.1} - widest inside {:.1} - groove {:.1}: the plate pushed fully to one side", plate.width, size.widest, frame.groove.depth));
    let _ = frame.side_play;
    for p in [frame.rear.as_ref(), frame.front.as_ref()].into_iter().flatten() {
        build_panel(p, design, ledger);
        build_angle(params, p, frame, design, ledger);
    }
    retain(params, size, frame, design, ledger);
}

/// The plate's outline: full width along the ears, clear of the sides elsewhere, less its notches.
fn plate_outline(params: &Params, frame: &ChassisFrame, ledger: &mut Ledger) -> Loop {
    let Some(c) = params.chassis.as_ref() else { return Loop::default() };
    let plate = &frame.plate;
    let (w, d) = (plate.width, plate.depth);
    let radius = ledger.length("chassis.corner-radius", c.corner_radius.as_ref(), 3.0, "no sharp corner (common practice)");
    let full = match Loop::rounded_rect(DVec2::ZERO, DVec2::new(w, d), radius) {
        Ok(l) => l,
        Err(e) => {
            let span = c.corner_radius.as_ref().map_or(c.span.clone(), |v| v.span.clone());
            ledger.error(span, format!("corner radius {radius:.1} mm: {e}"), "less than half the plate's smaller side", "");
            Loop::rect(DVec2::ZERO, DVec2::new(w, d))
        }
    };
    let mut cuts: Vec<Region> = Vec::new();
    // beside the ears the plate stays 1 mm clear of the sides
    let narrow = -plate.x0 + 1.0;
    for [a, b] in [[-1.0, frame.ear[0]], [frame.ear[1], d + 1.0]] {
        if b - a > 1.0 + 1e-9 {
            cuts.push(Region::solid(Loop::rect(DVec2::new(-1.0, a), DVec2::new(narrow, b))));
            cuts.push(Region::solid(Loop::rect(DVec2::new(w - narrow, a), DVec2::new(w + 1.0, b))));
        }
    }
    for n in &c.notch {
        let (at, wide, deep) = (n.at.value.0, n.width.value.0, n.depth.value.0);
        let (lo, hi) = (at - wide / 2.0, at + wide / 2.0);
        let (low, high) = match n.edge.value {
            PlateEdge::Left => (DVec2::new(-1.0, lo), DVec2::new(deep, hi)),
            PlateEdge::Right => (DVec2::new(w - deep, lo), DVec2::new(w + 1.0, hi)),
            PlateEdge::Front => (DVec2::new(lo - plate.x0, -1.0), DVec2::new(hi - plate.x0, deep)),
            PlateEdge::Rear => (DVec2::new(lo - plate.x0, d - deep), DVec2::new(hi - plate.x0, d + 1.0)),
        };
        cuts.push(Region::solid(Loop::rect(low, high)));
    }
    if cuts.is_empty() {
        return full;
    }
    let mut rest = vec![Region::solid(full)];
    for cut in cuts {
        rest = match outline::difference(&rest, &[cut]) {
            Ok(r) => r,
            Err(e) => {
                ledger.error(c.span.clone(), format!("the plate's outline cannot be cut: {e}"), "notches and ears with plain edges", "");
                return Loop::rect(DVec2::ZERO, DVec2::new(w, d));
            }
        };
    }
    match <[Region; 1]>::try_from(rest) {
        Ok([one]) if one.inner.is_empty() => one.outer,
        Ok(_) | Err(_) => {
            ledger.error(c.span.clone(), "the notches cut the plate into pieces, or lie inside it", "one plate in one piece", "make them smaller or move them to the edge");
            Loop::rect(DVec2::ZERO, DVec2::new(w, d))
        }
    }
}

fn build_panel(p: &PanelFrame, design: &mut Design, ledger: &mut Ledger) {
    let outline = Loop::rounded_rect(DVec2::ZERO, DVec2::new(p.length, p.height), p.radius).unwrap_or_else(|e| {
        ledger.error(p.span.clone(), format!("panel {:.1} x {:.1} mm with corners of {:.1} mm: {e}", p.length, p.height, p.radius), "a radius under half the height", "");
        Loop::rect(DVec2::ZERO, DVec2::new(p.length.max(1.0), p.height.max(1.0)))
    });
    let flat = Flat {
        id: p.id.into(),
        kind: Kind::Panel,
        group: Group::Panel,
        material: p.material.clone(),
        moves: true,
        outline,
        bevel: None,
        thickness: p.thickness,
        datum: Datum::LowLow,
        holes: Vec::new(),
        pockets: Vec::new(),
        pose: p.pose(),
        span: p.span.clone(),
    };
    if p.overlay > 0.0 {
        let id = format!("{}-overlay", p.id);
        design.bonds.push(Bond::face(&id, p.id, How::Resting));
        design.flats.push(Flat { id, thickness: p.overlay, pose: p.pose().offset(DVec3::Z * p.thickness), ..flat.clone() });
    }
    design.bonds.push(Bond::face("plate", p.id, How::Bolted));
    design.flats.push(flat);
}

/// Angle stock in the inside corner of plate and panel, with its two rows of screws.
fn build_angle(params: &Params, p: &PanelFrame, frame: &ChassisFrame, design: &mut Design, ledger: &mut Ledger) {
    let table = params.chassis.as_ref().and_then(|c| c.angle.as_ref());
    let span = table.map_or(p.span.clone(), |a| a.span.clone());
    let leg = ledger.length("chassis.angle.leg", table.and_then(|a| a.leg.as_ref()), 19.05, "3/4 in angle (common practice)");
    let t = ledger.length("chassis.angle.thickness", table.and_then(|a| a.thickness.as_ref()), 3.175, "1/8 in angle (common practice)");
    let fillet = ledger.length("chassis.angle.fillet", table.and_then(|a| a.fillet.as_ref()), 0.0, "6063 angle is square inside (published: mill shape sheets, copy)");
    let material = match table.and_then(|a| a.material.as_ref()) {
        Some(m) => known_material(m, ledger),
        None => "aluminium 6063-T5".into(),
    };
    let row = fasten::screw_or(ledger, "chassis.angle.screw", table.and_then(|a| a.screw.as_ref()), "M4", "#8");
    if row.wood {
        ledger.error(span.clone(), "a wood screw holds no angle", "a machine screw such as `M4` or `#8`", "");
    }
    let head = ledger.choice("chassis.angle.head", table.and_then(|a| a.head.as_ref()), Head::Countersunk, "countersunk", "flush with the face (common practice)");
    let fit = ledger.choice("chassis.angle.fit", table.and_then(|a| a.fit.as_ref()), HoleFit::Normal, "normal", "lets the parts find their place");
    let end = ledger.length("chassis.angle.end-margin", table.and_then(|a| a.end_margin.as_ref()), 12.0, "common practice");
    let shorter = table.and_then(|a| a.shorter.as_ref()).map_or(0.0, |v| v.value.0);
    let id = if p.at_rear { "angle-rear" } else { "angle-front" };
    let length = ledger.derive(format!("length of {id}"), p.length - 2.0 * shorter, format!("panel {:.1} - 2 x {shorter:.1}", p.length));
    if !(leg > t + fillet + row.nut / 2.0 && t > 0.3 && length > 2.0 * end) {
        ledger.error(span.clone(), format!("an angle of {leg:.1} mm legs, {t:.1} mm thick and {length:.1} mm long takes no {} screws", row.id), "legs wide enough for the nut, a length over twice the end margin", "choose a wider angle, a smaller screw or a smaller end margin");
        return;
    }
    // count first, else from the largest pitch
    let run = length - 2.0 * end;
    let n = match table.and_then(|a| a.count.as_ref()) {
        Some(n) => {
            if !(2..=250).contains(&n.value.0) {
                ledger.error(n.span.clone(), format!("{} screws along the angle", n.value.0), "2 to 250", "");
                return;
            }
            n.value.0 as usize
        }
        None => {
            let pitch = ledger.length("chassis.angle.pitch", table.and_then(|a| a.pitch.as_ref()), 50.0, "common practice");
            let n = (run / pitch).ceil() + 1.0;
            if !(2.0..=250.0).contains(&n) {
                let s = table.and_then(|a| a.pitch.as_ref()).map_or(span.clone(), |v| v.span.clone());
                ledger.error(s, format!("a pitch of {pitch} mm asks for {n:.0} screws along {run:.1} mm"), "a pitch that asks for 250 screws or fewer", "make the pitch larger");
                return;
            }
            n as usize
        }
    };
    let pitch = ledger.derive(format!("screw pitch along {id}"), run / (n - 1) as f64, format!("({length:.1} - 2 x {end:.1} end margins) / {} gaps", n - 1));
    let hole = row.clearance(fit);
    let gauge = t + fillet + (leg - t - fillet) / 2.0;
    let plate = &frame.plate;
    let wiring = if plate.up { -DVec3::Z } else { DVec3::Z };
    let inward = if p.at_rear { -DVec3::Y } else { DVec3::Y };
    let axis = inward.cross(wiring);
    let start = if axis.x > 0.0 { p.x0 + shorter } else { p.x0 + p.length - shorter };
    let wiring_z = if plate.up { plate.z0 } else { plate.z0 + plate.thickness };
    let pose = Pose::from_axes(inward, wiring, DVec3::new(start, p.inner, wiring_z));
    let plate_leg: Vec<f64> = (0..n).map(|k| end + pitch * k as f64).collect();
    // the panel's screws stand between the plate's, so that their ends do not meet in the corner
    let panel_leg: Vec<f64> = (0..n - 1).map(|k| end + pitch * (k as f64 + 0.5)).collect();
    design.angles.push(AngleBar {
        id: id.into(),
        kind: Kind::Angle,
        group: Group::Chassis,
        moves: true,
        material,
        leg,
        thickness: t,
        fillet,
        length,
        plate_leg: plate_leg.iter().map(|z| (*z, hole)).collect(),
        panel_leg: panel_leg.iter().map(|z| (*z, hole)).collect(),
        gauge,
        pose,
        span: span.clone(),
    });
    design.bonds.push(Bond::face(id, "plate", How::Bolted));
    design.bonds.push(Bond::face(id, p.id, How::Bolted));
    for (leg_is_plate, at) in [(true, &plate_leg), (false, &panel_leg)] {
        let part = if leg_is_plate { "plate" } else { p.id };
        let wall = if leg_is_plate { plate.thickness } else { p.thickness };
        for (k, z) in at.iter().enumerate() {
            let sid = format!("{id}-{}-screw-{}", if leg_is_plate { "plate" } else { "panel" }, k + 1);
            // on the outer face of plate or panel, pointing into the leg
            let (local, dir) = if leg_is_plate {
                (DVec3::new(gauge, -wall, *z), wiring)
            } else {
                (DVec3::new(-wall, gauge, *z), inward)
            };
            let joint = BoltedJoint {
                id: &sid,
                owner: id,
                row,
                head,
                hole,
                at: pose.point(local),
                dir,
                grip: wall + t,
                near: part,
                others: &[id],
                marked: Marked::Transferred { from: id.into() },
                group: Group::Chassis,
                moves: true,
                span: &span,
            };
            bolt(design, &joint);
        }
    }
}

/// A machine screw with a nut through one drilled flat part and whatever lies behind it.
pub(super) struct BoltedJoint<'a> {
    pub id: &'a str,
    pub owner: &'a str,
    pub row: &'static crate::catalogue::ScrewRow,
    pub head: Head,
    /// Clearance hole.
    pub hole: f64,
    /// On the outer face under the head, amp frame.
    pub at: DVec3,
    /// Along the shank, amp frame.
    pub dir: DVec3,
    /// From that face to the nut's seat.
    pub grip: f64,
    /// The flat part that is drilled for it, under the head.
    pub near: &'a str,
    /// Further parts it passes, in order, already holed.
    pub others: &'a [&'a str],
    pub marked: Marked,
    pub group: Group,
    pub moves: bool,
    pub span: &'a Range<usize>,
}

/// Drills the flat part and adds the screw with its nut.
pub(super) fn bolt(design: &mut Design, j: &BoltedJoint<'_>) {
    let (csk, sunk) = fasten::countersink(j.row);
    let Some(flat) = design.flats.iter_mut().find(|f| f.id == j.near) else { return };
    let local = flat.pose.inverse().point(j.at);
    let face = if local.z > flat.thickness / 2.0 { Face::Front } else { Face::Back };
    let shape = match j.head {
        Head::Countersunk => HoleShape::Countersunk { d: j.hole, head: csk, angle: j.row.csk_angle, face },
        Head::Pan => HoleShape::Round { d: j.hole },
    };
    flat.holes.push(FlatHole {
        id: j.id.into(),
        at: local.truncate(),
        shape,
        purpose: format!("screw {}", j.row.id),
        marked: j.marked.clone(),
        owner: j.owner.into(),
        span: j.span.clone(),
    });
    let gap = (j.hole - j.row.major) / 2.0;
    let mut through = vec![Passed { id: j.near.into(), gap }];
    through.extend(j.others.iter().map(|id| Passed { id: (*id).into(), gap }));
    add_screw(design, j, through, sunk);
}

/// The screw and nut alone, for parts that carry their own holes.
pub(super) fn add_screw(design: &mut Design, j: &BoltedJoint<'_>, through: Vec<Passed>, sunk: f64) {
    let need = j.grip + j.row.nut_thickness + 1.0;
    design.fasteners.push(Fastener {
        id: j.id.into(),
        nut: Some(j.id.replace("screw", "nut")),
        washer: None,
        owner: j.owner.into(),
        group: j.group,
        moves: j.moves,
        row: j.row,
        head: j.head,
        length: fasten::stock_length(j.row, need),
        pose: along(j.dir, j.at),
        sunk: if j.head == Head::Countersunk { sunk } else { 0.0 },
        grip: j.grip,
        through,
        bites: None,
    });
}

/// A frame whose z is `dir`: x along the amp's x, or its y where the shank lies along x.
pub(super) fn along(dir: DVec3, at: DVec3) -> Pose {
    let x = if dir.x.abs() > 0.9 { DVec3::Y } else { DVec3::X };
    let y = dir.cross(x).normalize();
    Pose::from_axes(y.cross(dir), y, at)
}

/// Screws into blocks under the plate's edges, or brackets on them.
fn retain(params: &Params, size: &CabinetSize, frame: &ChassisFrame, design: &mut Design, ledger: &mut Ledger) {
    let Some(c) = params.chassis.as_ref() else { return };
    let table = c.retain.as_ref();
    let two = frame.front.is_some() && frame.rear.is_some();
    let usual = if two { RetainKind::Bracket } else { RetainKind::Screw };
    let why = if two { "a block would stand in the way of the far panel" } else { "clamps the plate to one face of the groove (common practice)" };
    let kind = ledger.choice("chassis.retain.kind", table.and_then(|r| r.kind.as_ref()), usual, usual.word(), why);
    let span = table.map_or(c.span.clone(), |r| r.span.clone());
    let typed = table.and_then(|r| r.screw.as_ref());
    let row = match kind {
        RetainKind::Screw => fasten::screw_or(ledger, "chassis.retain.screw", typed, "#8 wood", "#8 wood"),
        _ => fasten::screw_or(ledger, "chassis.retain.screw", typed, "M4", "#8"),
    };
    if row.wood != (kind == RetainKind::Screw) {
        ledger.error(span.clone(), format!("a `{}` does not go with `{}`", row.id, kind.word()), "a wood screw for `screw`, a machine screw otherwise", "");
        return;
    }
    let plate = frame.plate;
    let leg = design.angles.first().map_or(0.0, |a| a.leg);
    let block = 40.0;
    let from_edge = ledger.length("chassis.retain.from-edge", table.and_then(|r| r.from_edge.as_ref()), leg + block / 2.0 + 3.0, "clear of the angle");
    let y = if frame.from_rear { plate.depth - from_edge } else { from_edge };
    if !(y > block / 2.0 && y < plate.depth - block / 2.0) {
        ledger.error(span.clone(), format!("the retaining screws fall {from_edge:.1} mm from the plate's edge"), format!("{:.1} to {:.1}", block / 2.0, plate.depth - block / 2.0), "change `from-edge`");
        return;
    }
    for (end, x, inward) in [("left", 10.0, 1.0), ("right", size.width - 10.0, -1.0)] {
        if kind == RetainKind::Bracket {
            bracket(frame, size, end, x, y, inward, row, &span, design, ledger);
            continue;
        }
        // the block's face lies on the plate's wiring face
        let wiring = plate.wiring(x, y);
        let id = format!("retain-{end}-block");
        let pose = wiring.offset(DVec3::new(-10.0 + if inward < 0.0 { 1.0 } else { 0.0 }, -block / 2.0, 0.0));
        let inset = if inward < 0.0 { 9.0 } else { 10.0 };
        let sid = format!("retain-{end}-screw");
        let bite = 14.0;
        design.flats.push(Flat {
            id: id.clone(),
            kind: Kind::Cleat,
            group: Group::Cabinet,
            material: "yellow birch".into(),
            moves: false,
            outline: Loop::rect(DVec2::ZERO, DVec2::new(19.0, block)),
            bevel: None,
            thickness: 19.0,
            datum: Datum::LowLow,
            holes: vec![FlatHole {
                id: format!("{sid}-pilot"),
                at: DVec2::new(inset, block / 2.0),
                shape: HoleShape::Pilot { drill: row.pilot.unwrap_or(row.major), thread: row.major, depth: bite + 1.0, face: Face::Back },
                purpose: format!("{} for {}", if kind == RetainKind::Insert { "threaded insert" } else { "pilot" }, row.id),
                marked: Marked::Transferred { from: "plate".into() },
                owner: id.clone(),
                span: span.clone(),
            }],
            pockets: Vec::new(),
            pose,
            span: span.clone(),
        });
        design.bonds.push(Bond::face(&id, &format!("side-{end}"), How::Resting));
        design.bonds.push(Bond::gap(&id, "plate", How::Bolted, FACE_OF_GROOVE));
        let hole = row.normal;
        let comp = plate.component(x, y);
        if let Some(flat) = design.flats.iter_mut().find(|f| f.id == "plate") {
            flat.holes.push(FlatHole {
                id: sid.clone(),
                at: plate.local(comp.at),
                shape: HoleShape::Round { d: hole },
                purpose: format!("retaining screw {}", row.id),
                marked: Marked::Scribed,
                owner: sid.clone(),
                span: span.clone(),
            });
        }
        design.fasteners.push(Fastener {
            id: sid.clone(),
            nut: None,
            washer: Some(format!("retain-{end}-washer")),
            owner: sid,
            group: Group::Chassis,
            moves: false,
            row,
            head: Head::Pan,
            length: fasten::stock_length(row, plate.thickness + 10.0).min(plate.thickness + bite),
            pose: along(-comp.dir(DVec3::Z), comp.at),
            sunk: 0.0,
            grip: 0.0,
            through: vec![Passed { id: "plate".into(), gap: (hole - row.major) / 2.0 }],
            bites: Some(id),
        });
    }
    if let Some(strip) = table.and_then(|r| r.strip.as_ref()) {
        let free = frame.groove.width - plate.thickness;
        if strip.value.0 >= free {
            ledger.remarks.push(Remark {
                check: "groove-strip",
                error: false,
                about: vec!["plate".into()],
                measured: free,
                wanted: strip.value.0,
                text: format!("an anti-rattle strip of {:.2} mm does not go into the {free:.2} mm beside the plate", strip.value.0),
                hint: "a thinner strip, or a wider groove".into(),
                source: "arithmetic",
            });
        }
    }
}

/// A plate resting on its groove and a block glued level with it may stand this far apart, mm.
const FACE_OF_GROOVE: f64 = 0.05;

#[expect(clippy::too_many_arguments, reason = "one call, and each is a different fact")]
fn bracket(frame: &ChassisFrame, size: &CabinetSize, end: &str, _x: f64, y: f64, inward: f64, row: &'static crate::catalogue::ScrewRow, span: &Range<usize>, design: &mut Design, ledger: &mut Ledger) {
    let plate = frame.plate;
    let id = format!("retain-{end}-bracket");
    let (leg, t, length) = (19.05, 1.6, 20.0);
    let gauge = t + (leg - t) / 2.0;
    let up = plate.component(0.0, 0.0).dir(DVec3::Z);
    // x of the L along the plate, y along the side
    let inward = DVec3::X * inward;
    let axis = inward.cross(up);
    let side = if inward.x > 0.0 { 0.0 } else { size.width };
    let z = plate.component(0.0, 0.0).at.z;
    let start = DVec3::new(side, plate.y0 + y - axis.y * length / 2.0, z);
    let pose = Pose::from_axes(inward, up, start);
    let wood = fasten::screw_or(ledger, "chassis.retain wood screw", None, "#8 wood", "#8 wood");
    design.angles.push(AngleBar {
        id: id.clone(),
        kind: Kind::Bracket,
        group: Group::Chassis,
        moves: false,
        material: "steel low carbon".into(),
        leg,
        thickness: t,
        fillet: 0.0,
        length,
        plate_leg: vec![(length / 2.0, row.normal)],
        panel_leg: vec![(length / 2.0, wood.normal)],
        gauge,
        pose,
        span: span.clone(),
    });
    design.bonds.push(Bond::face(&id, "plate", How::Bolted));
    design.bonds.push(Bond::face(&id, &format!("side-{end}"), How::Bolted));
    // machine screw from the wiring side, nut on the bracket
    let sid = format!("retain-{end}-screw");
    let at = pose.point(DVec3::new(gauge, -plate.thickness, length / 2.0));
    bolt(design, &BoltedJoint {
        id: &sid,
        owner: &sid,
        row,
        head: Head::Pan,
        hole: row.normal,
        at,
        dir: up,
        grip: plate.thickness + t,
        near: "plate",
        others: &[&id],
        marked: Marked::Scribed,
        group: Group::Chassis,
        moves: false,
        span,
    });
    let wid = format!("retain-{end}-wood-screw");
    let at = pose.point(DVec3::new(t, gauge, length / 2.0));
    let bite = (size.board - 4.0).min(12.0);
    if let Some(board) = design.flats.iter_mut().find(|f| f.id == format!("side-{end}")) {
        let local = board.pose.inverse().point(at);
        board.holes.push(FlatHole {
            id: format!("{wid}-pilot"),
            at: local.truncate(),
            shape: HoleShape::Pilot { drill: wood.pilot.unwrap_or(wood.major), thread: wood.major, depth: bite + 1.0, face: Face::Front },
            purpose: format!("pilot for wood screw {}", wood.id),
            marked: Marked::Transferred { from: id.clone() },
            owner: wid.clone(),
            span: span.clone(),
        });
    }
    design.fasteners.push(Fastener {
        id: wid.clone(),
        nut: None,
        washer: None,
        owner: wid,
        group: Group::Chassis,
        moves: false,
        row: wood,
        head: Head::Pan,
        length: t + bite,
        pose: along(-inward, at),
        sunk: 0.0,
        grip: 0.0,
        through: vec![Passed { id, gap: (wood.normal - wood.major) / 2.0 }],
        bites: Some(format!("side-{end}")),
    });
}
