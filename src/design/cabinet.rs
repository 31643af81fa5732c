//! The wooden box: sides with grooves, top, bottom, baffle, cleats, blocks, covering, back boards, feet and handle.

use super::chassis::ChassisFrame;
use super::fasten::{self, Bond, Fastener, Passed};
use super::flat::{Datum, Face, Flat, FlatHole, HoleShape, Marked, Pocket};
use super::ledger::Ledger;
use super::{CabinetSize, Design};
use crate::assembly::{Group, How, Kind};
use crate::catalogue::{self, MaterialRow};
use crate::outline::Loop;
use crate::params::{Against, BaffleFixing, BlockCorner, Corner, Head, HoleFit, Params, Sp};
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::ops::Range;

/// A round foot under the floor.
#[derive(Clone, Debug, PartialEq)]
pub struct FootSpec {
    /// Id of the solid.
    pub id: String,
    /// Diameter.
    pub diameter: f64,
    /// Height.
    pub height: f64,
    /// Thickness of the web the screw's head bears on.
    pub web: f64,
    /// Bore for the shank.
    pub bore: f64,
    /// Recess for the head.
    pub recess: f64,
    /// z points up into the board; z = 0 is the board's underside, the foot lies at negative z.
    pub pose: Pose,
}

/// A bar handle on the top.
#[derive(Clone, Debug, PartialEq)]
pub struct HandleSpec {
    /// Between its screws, along x.
    pub spacing: f64,
    /// Width along y.
    pub width: f64,
    /// Height above the top.
    pub height: f64,
    /// Thickness of its ends under the screw heads.
    pub end: f64,
    /// Clearance holes.
    pub hole: f64,
    /// Middle of its underside on the top's outer face, axes as the amp's.
    pub pose: Pose,
}

/// Wood that the cabinet's small parts are made of.
const CLEAT_WOOD: &str = "ponderosa pine";

pub(super) fn size(params: &Params, ledger: &mut Ledger) -> CabinetSize {
    let c = &params.cabinet;
    let front = c.width.value.0;
    let rear = c.width_rear.as_ref().map_or(front, |w| w.value.0);
    let width = front.min(rear);
    if (front - rear).abs() > 0.0 {
        ledger.derive("inside width that passes", width, format!("the narrower of front {front:.1} and rear {rear:.1}; the solids are built at this width"));
    }
    if (front - rear).abs() > 10.0 {
        let span = c.width_rear.as_ref().map_or(0..0, |w| w.span.clone());
        ledger.error(span, format!("front and rear width differ by {:.1} mm", (front - rear).abs()), "a difference of a few mm, as built", "measure both widths again; a tapered cabinet is not a grooved one");
    }
    CabinetSize {
        width,
        widest: front.max(rear),
        height: c.height.value.0,
        depth: c.depth.value.0,
        board: ledger.length_by_unit("cabinet.board", c.board.as_ref(), 18.0, 0.75, "usual cabinet board (common practice)"),
        covering: ledger.length("cabinet.covering", c.covering.as_ref(), 0.9, "usual vinyl covering (from memory)"),
    }
}

/// Where the baffle stands. Its part frame: x right, y up along the board, z to the front; z = 0 is the rear face.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct BaffleFrame {
    pub thickness: f64,
    pub set_back: f64,
    /// Sine and cosine of the lean.
    pub sin: f64,
    pub cos: f64,
    pub pose: Pose,
    pub height: f64,
}

impl BaffleFrame {
    pub fn new(params: &Params, size: &CabinetSize, ledger: &mut Ledger) -> Option<BaffleFrame> {
        let b = params.cabinet.baffle.as_ref()?;
        let t = ledger.length_by_unit("cabinet.baffle.thickness", b.thickness.as_ref(), 18.0, 0.75, "as the boards (common practice)");
        let set_back = ledger.length_by_unit("cabinet.baffle.set-back", b.set_back.as_ref(), 20.0, 0.75, "room for grille frame and cleats (common practice)");
        let degrees = b.tilt.as_ref().map_or(0.0, |d| d.value.0);
        if degrees.abs() > 30.0 {
            let span = b.tilt.as_ref().map_or(b.span.clone(), |d| d.span.clone());
            ledger.error(span, format!("a baffle leaning {degrees} degrees"), "30 degrees at most", "");
        }
        let (sin, cos) = if degrees == 0.0 { (0.0, 1.0) } else { degrees.clamp(-30.0, 30.0).to_radians().sin_cos() };
        let up = DVec3::new(0.0, sin, cos);
        let out = DVec3::X.cross(up);
        let origin = DVec3::new(0.0, set_back, 0.0) - t * out;
        let frame = BaffleFrame { thickness: t, set_back, sin, cos, pose: Pose::from_axes(DVec3::X, up, origin), height: size.height };
        let low = frame.rear_at(0.0).min(frame.rear_at(size.height));
        let high = frame.rear_at(0.0).max(frame.rear_at(size.height));
        if low < t * 0.5 || high > size.depth {
            ledger.error(b.span.clone(), format!("the baffle reaches from {low:.1} to {high:.1} mm behind the front edges"), format!("inside the depth of {:.1} mm", size.depth), "change `set-back`, `tilt` or the cabinet's depth");
        }
        Some(frame)
    }

    /// y of the rear face at a height above the floor.
    pub fn rear_at(&self, z: f64) -> f64 {
        self.set_back + self.thickness / self.cos + z * self.sin / self.cos
    }

    /// y of the rear face where it comes furthest back over a range of heights.
    pub fn rearmost(&self, z0: f64, z1: f64) -> f64 {
        self.rear_at(z0).max(self.rear_at(z1))
    }

    /// Heights along the board of floor and roof, on the rear face.
    pub fn ends(&self) -> [f64; 2] {
        let low = self.thickness * self.sin / self.cos;
        [low, low + self.height / self.cos]
    }

    /// Height along the board of a height above the floor, on the rear face.
    pub fn along(&self, z: f64) -> f64 {
        self.ends()[0] + z / self.cos
    }
}

fn wood(params: &Params, ledger: &mut Ledger) -> String {
    match &params.cabinet.material {
        Some(m) => known_material(m, ledger),
        None => {
            ledger.took("cabinet.material", "birch plywood", "common cabinet stock (common practice)");
            "birch plywood".into()
        }
    }
}

pub(super) fn known_material(name: &Sp<String>, ledger: &mut Ledger) -> String {
    ledger.look_up::<MaterialRow>(name).map_or_else(|| name.value.clone(), |row| row.id.clone())
}

/// A board of the box with nothing in it yet.
fn board(id: &str, material: &str, outline: Loop, thickness: f64, pose: Pose, span: &Range<usize>) -> Flat {
    Flat {
        id: id.into(),
        kind: Kind::Board,
        group: Group::Cabinet,
        material: material.into(),
        moves: false,
        outline,
        bevel: None,
        thickness,
        datum: Datum::LowLow,
        holes: Vec::new(),
        pockets: Vec::new(),
        pose,
        span: span.clone(),
    }
}

fn cleat(id: &str, kind: Kind, size: DVec3, pose: Pose, span: &Range<usize>) -> Flat {
    Flat {
        kind,
        ..board(id, CLEAT_WOOD, Loop::rect(DVec2::ZERO, DVec2::new(size.x, size.y)), size.z, pose, span)
    }
}

pub(super) fn build(
    params: &Params,
    size: &CabinetSize,
    baffle: Option<&BaffleFrame>,
    chassis: Option<&ChassisFrame>,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let material = wood(params, ledger);
    shell(params, size, &material, design, ledger);
    if let Some(frame) = chassis {
        grooves(params, size, frame, design, ledger);
    }
    if let Some(b) = baffle {
        build_baffle(params, size, b, chassis, &material, design, ledger);
    }
    cleats(params, size, design, ledger);
    back_boards(params, size, &material, design, ledger);
    covering(params, size, chassis, design, ledger);
    resting(design);
    feet(params, size, design, ledger);
    handle(params, size, design, ledger);
}

/// Sides, top and bottom with their corner joint.
fn shell(params: &Params, size: &CabinetSize, material: &str, design: &mut Design, ledger: &mut Ledger) {
    let span = &params.cabinet.span;
    let CabinetSize { width: w, height: h, depth: d, board: b, .. } = *size;
    let corner = ledger.choice("cabinet.corner", params.cabinet.corner.as_ref(), Corner::BoxJoint, "box joint", "strong and easy to cut with a jig (common practice)");
    // how far the sides reach past floor and roof
    let past = match corner {
        Corner::Butt | Corner::Dovetail => 0.0,
        Corner::Rabbet => b / 2.0,
        Corner::BoxJoint => b,
    };
    let fingers = {
        // an odd count, so that both edges end alike; about as wide as the board is thick
        let n = ((d / b.max(6.0)).floor() as usize).clamp(3, 41);
        if n % 2 == 0 { n - 1 } else { n }
    };
    let (side, flat) = if corner == Corner::BoxJoint {
        ledger.derive("width of a corner joint's fingers", d / fingers as f64, format!("depth {d:.1} / {fingers} fingers, an odd number about as wide as the board's {b:.1}"));
        (fingered(d, h + 2.0 * b, b, fingers, true), fingered(d, w + 2.0 * b, b, fingers, false))
    } else {
        (
            Loop::rect(DVec2::ZERO, DVec2::new(d, h + 2.0 * past)),
            Loop::rect(DVec2::ZERO, DVec2::new(d, w + 2.0 * b)),
        )
    };
    let left = Pose::from_axes(DVec3::Y, DVec3::Z, DVec3::new(-b, 0.0, -past));
    let right = Pose::from_axes(-DVec3::Y, DVec3::Z, DVec3::new(w + b, d, -past));
    design.flats.push(board("side-left", material, side.clone(), b, left, span));
    design.flats.push(board("side-right", material, side, b, right, span));
    // top and bottom: x of their frame runs rear to front (-Y), y to the right, z up; so both show the same fingers
    let lie = |z: f64| Pose::from_axes(-DVec3::Y, DVec3::X, DVec3::new(-b, d, z));
    let mut bottom = board("bottom", material, flat.clone(), b, lie(-b), span);
    let mut top = board("top", material, flat, b, lie(h), span);
    if corner == Corner::Rabbet {
        let cut = |board: &mut Flat, face: Face| {
            for (end, low, high) in [("left", -1.0, b), ("right", w + b, w + 2.0 * b + 1.0)] {
                board.pockets.push(Pocket {
                    id: format!("{}-rabbet-{end}", board.id),
                    low: DVec2::new(-1.0, low),
                    high: DVec2::new(d + 1.0, high),
                    depth: b / 2.0,
                    face,
                });
            }
        };
        cut(&mut bottom, Face::Front);
        cut(&mut top, Face::Back);
    }
    design.flats.push(bottom);
    design.flats.push(top);
    for s in ["side-left", "side-right"] {
        for t in ["bottom", "top"] {
            design.bonds.push(Bond::face(s, t, How::Resting));
        }
    }
}

/// A board of `length` (x) by `over` (y) whose two y ends carry fingers `deep` long; `even`: the first finger stands.
fn fingered(length: f64, over: f64, deep: f64, n: usize, even: bool) -> Loop {
    let step = |i: usize| length * i as f64 / n as f64;
    let stands = |i: usize| (i % 2 == 0) == even;
    let mut points: Vec<DVec2> = Vec::new();
    let mut push = |p: DVec2| {
        if points.last().is_none_or(|q| q.distance(p) > 1e-9) {
            points.push(p);
        }
    };
    for i in 0..n {
        let y = if stands(i) { 0.0 } else { deep };
        push(DVec2::new(step(i), y));
        push(DVec2::new(step(i + 1), y));
    }
    for i in (0..n).rev() {
        let y = if stands(i) { over } else { over - deep };
        push(DVec2::new(step(i + 1), y));
        push(DVec2::new(step(i), y));
    }
    Loop::polygon(&points)
}

fn grooves(params: &Params, size: &CabinetSize, frame: &ChassisFrame, design: &mut Design, _ledger: &mut Ledger) {
    let g = &frame.groove;
    for (id, z, mirrored) in [("side-left", g.height_left, false), ("side-right", g.height_right, true)] {
        let Some(side) = design.flats.iter_mut().find(|f| f.id == id) else { continue };
        let v = z - side.pose.at.z;
        let (mut y0, mut y1) = if frame.from_rear { (g.closed_end, size.depth + 1.0) } else { (-1.0, g.closed_end) };
        if mirrored {
            (y0, y1) = (size.depth - y1, size.depth - y0);
        }
        side.pockets.push(Pocket {
            id: format!("{id}-groove"),
            low: DVec2::new(y0, v),
            high: DVec2::new(y1, v + g.width),
            depth: g.depth,
            face: Face::Front,
        });
    }
    let _ = params;
}

fn build_baffle(
    params: &Params,
    size: &CabinetSize,
    b: &BaffleFrame,
    chassis: Option<&ChassisFrame>,
    material: &str,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let Some(table) = params.cabinet.baffle.as_ref() else { return };
    let material = match &table.material {
        Some(m) => known_material(m, ledger),
        None => material.to_owned(),
    };
    let w = size.width;
    let [low, high] = b.ends();
    let mut flat = Flat {
        kind: Kind::Baffle,
        bevel: (b.sin != 0.0).then(|| Loop::rect(DVec2::ZERO, DVec2::new(w, size.height / b.cos))),
        ..board("baffle", &material, Loop::rect(DVec2::new(0.0, low), DVec2::new(w, high)), b.thickness, b.pose, &table.span)
    };
    if let Some(panel) = chassis.and_then(|c| c.front.as_ref()) {
        let opening = table.opening.as_ref();
        let overlap = ledger.length("cabinet.baffle.opening.overlap", opening.and_then(|o| o.overlap.as_ref()), 8.0, "hides the panel's edges (common practice)");
        let radius = ledger.length("cabinet.baffle.opening.corner-radius", opening.and_then(|o| o.corner_radius.as_ref()), 5.0, "a router bit's radius (common practice)");
        let at = |z: f64| b.along(z);
        let (x0, x1) = (panel.x0 + overlap, panel.x0 + panel.length - overlap);
        let (z0, z1) = (panel.z0 + overlap, panel.z0 + panel.height - overlap);
        let outline = Loop::rounded_rect(DVec2::new(x0, at(z0)), DVec2::new(x1, at(z1)), radius);
        let Some(opening_outline) = outline.ok().filter(|_| z1 > z0 && x1 > x0) else {
            ledger.error(table.span.clone(), "the opening for the front panel vanishes", "a panel larger than twice the overlap", "make `overlap` smaller or the panel higher");
            return;
        };
        flat.holes.push(FlatHole {
            id: "baffle-opening".into(),
            at: DVec2::new(f64::midpoint(x0, x1), at(f64::midpoint(z0, z1))),
            shape: HoleShape::Cut { outline: opening_outline },
            purpose: "opening for the front panel".into(),
            marked: Marked::Scribed,
            owner: "baffle".into(),
            span: table.span.clone(),
        });
    }
    for other in ["side-left", "side-right", "bottom", "top"] {
        design.bonds.push(Bond::face("baffle", other, How::Resting));
    }
    let fixing = ledger.choice("cabinet.baffle.fixing", table.fixing.as_ref(), BaffleFixing::Glued, "glued", "simplest; screws only where the baffle must come out (common practice)");
    if fixing != BaffleFixing::Glued {
        let opening = flat.holes.iter().find(|h| h.id == "baffle-opening").and_then(|h| match &h.shape {
            HoleShape::Cut { outline } => Some(outline.bounds().map(|c| c.y)),
            _ => None,
        });
        baffle_cleats(size, b, &mut flat, opening, design, ledger, &table.span);
    }
    design.flats.push(flat);
}

/// Cleats on the sides in front of the baffle, and the wood screws from behind.
fn baffle_cleats(size: &CabinetSize, b: &BaffleFrame, baffle: &mut Flat, opening: Option<[f64; 2]>, design: &mut Design, ledger: &mut Ledger, span: &Range<usize>) {
    let deep = 19.0_f64.min(b.set_back);
    if deep < 12.0 {
        ledger.error(span.clone(), format!("cleats in front of the baffle have {deep:.1} mm of room"), "12 mm or more", "set the baffle back further, or glue it");
        return;
    }
    let t = b.thickness;
    // clear of floor and roof at the cleat's front face, whichever way the baffle leans
    let lift = deep * b.sin / b.cos;
    let (mut y0, mut y1) = ((-lift).max(0.0), (size.height / b.cos - lift).min(size.height / b.cos));
    // and clear of an opening, in front of which it would be seen: the longer run below or above it
    if let Some([low, high]) = opening {
        if low - y0 >= y1 - high {
            y1 = low - 3.0;
        } else {
            y0 = high + 3.0;
        }
    }
    if y1 - y0 < 40.0 {
        ledger.error(span.clone(), "the opening leaves no room for the baffle's cleats", "40 mm or more above or below it", "glue the baffle, or make the front panel lower");
        return;
    }
    let row = fasten::screw_or(ledger, "cabinet.baffle screws", None, "#8 wood", "#8 wood");
    for (end, x0) in [("left", 0.0), ("right", size.width - 19.0)] {
        let id = format!("baffle-cleat-{end}");
        let pose = b.pose.offset(DVec3::new(x0, y0, t));
        let mut strip = cleat(&id, Kind::Cleat, DVec3::new(19.0, y1 - y0, deep), pose, span);
        for (k, share) in [0.12, 0.5, 0.88].into_iter().enumerate() {
            let y = y0 + (y1 - y0) * share;
            let screw = format!("baffle-screw-{end}-{}", k + 1);
            wood_screw(design, WoodScrew { id: &screw, owner: "baffle", row, through: baffle, into: &mut strip, at: DVec2::new(x0 + 9.5, y), at_into: DVec2::new(9.5, y - y0), bite: (deep - 3.0).min(14.0), span });
        }
        design.bonds.push(Bond::face(&id, &format!("side-{end}"), How::Resting));
        design.bonds.push(Bond::face(&id, "baffle", How::Bolted));
        design.flats.push(strip);
    }
}

/// A countersunk wood screw from a board's back face (z = 0) along +z into the part that lies on its front face.
struct WoodScrew<'a> {
    id: &'a str,
    owner: &'a str,
    row: &'static catalogue::ScrewRow,
    through: &'a mut Flat,
    into: &'a mut Flat,
    at: DVec2,
    at_into: DVec2,
    bite: f64,
    span: &'a Range<usize>,
}

fn wood_screw(design: &mut Design, s: WoodScrew<'_>) {
    let (head, sunk) = fasten::countersink(s.row);
    let hole = s.row.clearance(HoleFit::Normal);
    let pose = s.through.pose.offset(s.at.extend(0.0));
    let length = fasten::stock_length(s.row, s.through.thickness + s.bite - 4.0).min(s.through.thickness + s.bite);
    s.through.holes.push(FlatHole {
        id: s.id.into(),
        at: s.at,
        shape: HoleShape::Countersunk { d: hole, head, angle: s.row.csk_angle, face: Face::Back },
        purpose: format!("wood screw {}", s.row.id),
        marked: Marked::Scribed,
        owner: s.owner.into(),
        span: s.span.clone(),
    });
    s.into.holes.push(FlatHole {
        id: format!("{}-pilot", s.id),
        at: s.at_into,
        shape: HoleShape::Pilot { drill: s.row.pilot.unwrap_or(s.row.major * 0.65), thread: s.row.major, depth: s.bite + 1.0, face: Face::Back },
        purpose: format!("pilot for wood screw {}", s.row.id),
        marked: Marked::Transferred { from: s.through.id.clone() },
        owner: s.owner.into(),
        span: s.span.clone(),
    });
    design.fasteners.push(Fastener {
        id: s.id.into(),
        nut: None,
        washer: None,
        owner: s.owner.into(),
        group: Group::Cabinet,
        moves: false,
        row: s.row,
        head: Head::Countersunk,
        length,
        pose,
        sunk,
        grip: 0.0,
        through: vec![Passed { id: s.through.id.clone(), gap: (hole - s.row.major) / 2.0 }],
        bites: Some(s.into.id.clone()),
    });
}

fn cleats(params: &Params, size: &CabinetSize, design: &mut Design, ledger: &mut Ledger) {
    let CabinetSize { width: w, height: h, depth: d, .. } = *size;
    for c in &params.cabinet.cleat {
        let id = &c.id.value.0;
        let off = ledger.length(&format!("{id}.stands-off"), c.stands_off.as_ref(), 19.0, "usual cleat section (common practice)");
        let wide = ledger.length(&format!("{id}.wide"), c.wide.as_ref(), 19.0, "usual cleat section (common practice)");
        let y = c.front.value.0;
        let run = if matches!(c.against.value, Against::Left | Against::Right) { h } else { w };
        let from = c.from.as_ref().map_or(0.0, |v| v.value.0);
        let to = c.to.as_ref().map_or(run, |v| v.value.0);
        if !(from >= 0.0 && to <= run && to - from > 1.0) || y < 0.0 || y + wide > d {
            ledger.error(c.span.clone(), format!("cleat `{id}` does not lie inside the cabinet"), format!("from {from:.1} to {to:.1} within 0 to {run:.1}, front {y:.1} and width {wide:.1} within 0 to {d:.1}"), "");
            continue;
        }
        let long = to - from;
        let (size3, pose, wall) = match c.against.value {
            Against::Left => (DVec3::new(wide, long, off), Pose::from_axes(DVec3::Y, DVec3::Z, DVec3::new(0.0, y, from)), "side-left"),
            Against::Right => (DVec3::new(wide, long, off), Pose::from_axes(-DVec3::Y, DVec3::Z, DVec3::new(w, y + wide, from)), "side-right"),
            Against::Floor => (DVec3::new(long, wide, off), Pose::from_axes(DVec3::X, DVec3::Y, DVec3::new(from, y, 0.0)), "bottom"),
            Against::Roof => (DVec3::new(long, wide, off), Pose::from_axes(DVec3::X, -DVec3::Y, DVec3::new(from, y + wide, h)), "top"),
        };
        design.flats.push(cleat(id, Kind::Cleat, size3, pose, &c.span));
        design.bonds.push(Bond::face(id, wall, How::Resting));
    }
    for c in &params.cabinet.block {
        let id = &c.id.value.0;
        let leg = ledger.length(&format!("{id}.leg"), c.leg.as_ref(), 19.0, "usual glue block (common practice)");
        let long = ledger.length(&format!("{id}.length"), c.length.as_ref(), 60.0, "usual glue block (common practice)");
        let y = c.front.value.0;
        if y < 0.0 || y + long > d {
            ledger.error(c.span.clone(), format!("block `{id}` does not lie inside the cabinet"), format!("front {y:.1} and length {long:.1} within 0 to {d:.1}"), "");
            continue;
        }
        let (x, up, corner, walls) = match c.corner.value {
            BlockCorner::FloorLeft => (DVec3::Z, DVec3::X, DVec3::new(0.0, y, 0.0), ["side-left", "bottom"]),
            BlockCorner::FloorRight => (-DVec3::X, DVec3::Z, DVec3::new(w, y, 0.0), ["side-right", "bottom"]),
            BlockCorner::RoofLeft => (DVec3::X, -DVec3::Z, DVec3::new(0.0, y, h), ["side-left", "top"]),
            BlockCorner::RoofRight => (-DVec3::Z, -DVec3::X, DVec3::new(w, y, h), ["side-right", "top"]),
        };
        let outline = Loop::polygon(&[DVec2::ZERO, DVec2::new(leg, 0.0), DVec2::new(0.0, leg)]);
        design.flats.push(Flat { kind: Kind::Cleat, ..board(id, CLEAT_WOOD, outline, long, Pose::from_axes(x, up, corner), &c.span) });
        for wall in walls {
            design.bonds.push(Bond::face(id, wall, How::Resting));
        }
    }
}

fn back_boards(params: &Params, size: &CabinetSize, material: &str, design: &mut Design, ledger: &mut Ledger) {
    let CabinetSize { width: w, height: h, depth: d, covering, .. } = *size;
    for b in &params.cabinet.back_board {
        let id = &b.id.value.0;
        let t = ledger.length_by_unit(&format!("{id}.thickness"), b.thickness.as_ref(), 12.0, 0.5, "usual back board (common practice)");
        let play = ledger.length(&format!("{id}.play"), b.play.as_ref(), 1.0, "room for covering and season (common practice)");
        let bottom = ledger.length(&format!("{id}.bottom"), b.bottom.as_ref(), covering + play, "just over the covering");
        let high = b.height.value.0;
        if bottom < 0.0 || bottom + high > h || t >= d {
            ledger.error(b.span.clone(), format!("back board `{id}` reaches from {bottom:.1} to {:.1} mm", bottom + high), format!("within the inside height of {h:.1} mm"), "");
            continue;
        }
        let side = covering + play;
        let long = ledger.derive(format!("length of {id}"), w - 2.0 * side, format!("inside {w:.1} - 2 x ({covering:.1} covering + {play:.1} play)"));
        // seen from the rear, but turned inside out: z = 0 is the outer face, so that screws go along +z
        let pose = Pose::from_axes(DVec3::X, DVec3::Z, DVec3::new(side, d, bottom));
        let mut flat = Flat { kind: Kind::BackBoard, ..board(id, material, Loop::rect(DVec2::ZERO, DVec2::new(long, high)), t, pose, &b.span) };
        let row = fasten::screw_or(ledger, &format!("{id}.screw"), b.screw.as_ref(), "#8 wood", "#8 wood");
        let n = b.screws.as_ref().map_or(2, |c| c.value.0.min(50)) as usize;
        for (end, x) in [("left", 0.0), ("right", w)] {
            let cid = format!("{id}-cleat-{end}");
            let x0 = if end == "left" { 0.0 } else { x - 19.0 };
            let pose = Pose::from_axes(DVec3::X, DVec3::Z, DVec3::new(x0, d - t, bottom));
            let mut strip = cleat(&cid, Kind::Cleat, DVec3::new(19.0, high, 19.0), pose, &b.span);
            // in the cleat's visible half, clear of the board's end
            let inset = 12.0_f64.max(side + 8.0);
            let x_screw = if end == "left" { inset } else { w - inset };
            for k in 0..n {
                let y = high * (k as f64 + 0.5) / n as f64;
                let screw = format!("{id}-screw-{end}-{}", k + 1);
                wood_screw(design, WoodScrew { id: &screw, owner: id, row, through: &mut flat, into: &mut strip, at: DVec2::new(x_screw - side, y), at_into: DVec2::new(x_screw - x0, y), bite: 13.0, span: &b.span });
            }
            design.bonds.push(Bond::face(&cid, &format!("side-{end}"), How::Resting));
            design.bonds.push(Bond::face(&cid, id, How::Bolted));
            design.flats.push(strip);
        }
        design.flats.push(flat);
    }
}

/// Strips of covering where it turns in at the rear edge: butted in the corners, cut clear of grooves and cleats.
fn covering(params: &Params, size: &CabinetSize, chassis: Option<&ChassisFrame>, design: &mut Design, ledger: &mut Ledger) {
    let CabinetSize { width: w, height: h, depth: d, covering: t, .. } = *size;
    if t <= 0.0 {
        return;
    }
    let span = &params.cabinet.span;
    let turn_in = ledger.length("cabinet.turn-in", params.cabinet.turn_in.as_ref(), 20.0, "usual turn-in (common practice)");
    let relieved = ledger.choice("cabinet.relieved", params.cabinet.relieved.as_ref(), true, "true", "the covering would fill part of the groove");
    if turn_in <= 0.0 || turn_in > d {
        ledger.error(span.clone(), format!("the covering turns in {turn_in:.1} mm"), format!("more than 0, at most the depth of {d:.1} mm"), "");
        return;
    }
    let clear = if relieved { 1.0 } else { 0.0 };
    for (end, left) in [("left", true), ("right", false)] {
        // heights that something else takes at the wall
        let mut taken: Vec<[f64; 2]> = Vec::new();
        if let Some(c) = chassis.filter(|c| c.from_rear) {
            let z = if left { c.groove.height_left } else { c.groove.height_right };
            taken.push([z - clear, z + c.groove.width + clear]);
        }
        let wall = format!("side-{end}");
        for f in &design.flats {
            let on_wall = f.kind == Kind::Cleat && design.bonds.iter().any(|b| b.a == f.id && b.b == wall);
            if on_wall {
                let bounds = flat_box(f);
                if bounds[1].y > d - turn_in - 1.0 {
                    taken.push([bounds[0].z - 0.5, bounds[1].z + 0.5]);
                }
            }
        }
        for (k, [z0, z1]) in free_runs([0.0, h], taken).into_iter().enumerate() {
            let id = format!("covering-{end}-{}", k + 1);
            let size3 = DVec3::new(turn_in, z1 - z0, t);
            let pose = if left {
                Pose::from_axes(DVec3::Y, DVec3::Z, DVec3::new(0.0, d - turn_in, z0))
            } else {
                Pose::from_axes(-DVec3::Y, DVec3::Z, DVec3::new(w, d, z0))
            };
            strip(&id, size3, pose, &wall, design, span);
        }
    }
    for (wall, z, dir) in [("bottom", 0.0, DVec3::Y), ("top", h, -DVec3::Y)] {
        let mut taken: Vec<[f64; 2]> = Vec::new();
        for f in &design.flats {
            if f.kind == Kind::Cleat && design.bonds.iter().any(|b| b.a == f.id && b.b == wall) {
                let bounds = flat_box(f);
                if bounds[1].y > d - turn_in - 1.0 {
                    taken.push([bounds[0].x - 0.5, bounds[1].x + 0.5]);
                }
            }
        }
        for (k, [x0, x1]) in free_runs([t, w - t], taken).into_iter().enumerate() {
            let id = format!("covering-{wall}-{}", k + 1);
            let y0 = if wall == "bottom" { d - turn_in } else { d };
            strip(&id, DVec3::new(x1 - x0, turn_in, t), Pose::from_axes(DVec3::X, dir, DVec3::new(x0, y0, z)), wall, design, span);
        }
    }
}

/// Strips, cleats and boards of the box that the design sets against one another.
fn resting(design: &mut Design) {
    let loose = |f: &Flat| matches!(f.kind, Kind::Covering | Kind::Cleat);
    let boxes: Vec<(&Flat, [DVec3; 2])> = design.flats.iter().filter(|f| f.group == Group::Cabinet && (loose(f) || f.kind == Kind::Board)).map(|f| (f, flat_box(f))).collect();
    let mut bonds = Vec::new();
    for (i, (a, a_box)) in boxes.iter().enumerate() {
        for (b, b_box) in &boxes[i + 1..] {
            if (loose(a) || loose(b)) && touching(a_box, b_box) {
                bonds.push(Bond::face(&a.id, &b.id, How::Resting));
            }
        }
    }
    design.bonds.extend(bonds);
}

fn strip(id: &str, size: DVec3, pose: Pose, wall: &str, design: &mut Design, span: &Range<usize>) {
    let outline = Loop::rect(DVec2::ZERO, DVec2::new(size.x, size.y));
    design.flats.push(Flat { kind: Kind::Covering, ..board(id, "vinyl covering", outline, size.z, pose, span) });
    design.bonds.push(Bond::face(id, wall, How::Resting));
}

fn touching(a: &[DVec3; 2], b: &[DVec3; 2]) -> bool {
    (0..3).all(|k| a[0][k] <= b[1][k] + 1e-6 && b[0][k] <= a[1][k] + 1e-6)
}

/// Box of a flat part from its outline's corners: exact for the rectangles it is used on.
fn flat_box(f: &Flat) -> [DVec3; 2] {
    let mut low = DVec3::INFINITY;
    let mut high = DVec3::NEG_INFINITY;
    for n in &f.outline.nodes {
        for z in [0.0, f.thickness] {
            let p = f.pose.point(n.at.extend(z));
            low = low.min(p);
            high = high.max(p);
        }
    }
    [low, high]
}

/// What is left of a run when pieces of it are taken; pieces under 2 mm are not worth gluing.
fn free_runs([low, high]: [f64; 2], mut taken: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    taken.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut out = Vec::new();
    let mut at = low;
    for [a, b] in taken {
        if a - at > 2.0 {
            out.push([at, a.min(high)]);
        }
        at = at.max(b);
    }
    if high - at > 2.0 {
        out.push([at, high]);
    }
    out
}

fn feet(params: &Params, size: &CabinetSize, design: &mut Design, ledger: &mut Ledger) {
    let Some(f) = &params.cabinet.feet else { return };
    let CabinetSize { width: w, depth: d, board: b, .. } = *size;
    let diameter = ledger.length("cabinet.feet.diameter", f.diameter.as_ref(), 38.0, "usual rubber foot (from memory)");
    let height = ledger.length("cabinet.feet.height", f.height.as_ref(), 15.0, "usual rubber foot (from memory)");
    let inset = ledger.length("cabinet.feet.inset", f.inset.as_ref(), 40.0, "usual place (common practice)");
    let row = fasten::screw_or(ledger, "cabinet.feet.screw", f.screw.as_ref(), "#8 wood", "#8 wood");
    let bite = ledger.length("cabinet.feet.bite", f.bite.as_ref(), 12.0, "ends inside the board, away from the wiring");
    let web = 5.0;
    if height < web + row.pan_height + 1.0 || diameter < row.pan_diameter + 8.0 {
        ledger.error(f.span.clone(), "the feet are too small for their screws", format!("at least {:.1} high and {:.1} across", web + row.pan_height + 1.0, row.pan_diameter + 8.0), "choose larger feet or a smaller screw");
        return;
    }
    let Some(bottom) = design.flats.iter_mut().find(|p| p.id == "bottom") else { return };
    let mut new = Vec::new();
    for (k, (x, y)) in [(inset - b, inset), (w + b - inset, inset), (inset - b, d - inset), (w + b - inset, d - inset)].into_iter().enumerate() {
        let id = format!("foot-{}", k + 1);
        let local = bottom.pose.inverse().point(DVec3::new(x, y, -b));
        // the screw may end inside the cabinet: then the hole goes through and the tip is measured like anything else
        let shape = if bite + 1.0 < b {
            HoleShape::Pilot { drill: row.pilot.unwrap_or(row.major * 0.65), thread: row.major, depth: bite + 1.0, face: Face::Back }
        } else {
            HoleShape::Round { d: row.major }
        };
        bottom.holes.push(FlatHole {
            id: format!("{id}-pilot"),
            at: local.truncate(),
            shape,
            purpose: format!("pilot for a foot's wood screw {}", row.id),
            marked: Marked::Scribed,
            owner: id.clone(),
            span: f.span.clone(),
        });
        let pose = Pose::shift(DVec3::new(x, y, -b));
        design.feet.push(FootSpec { id: id.clone(), diameter, height, web, bore: row.normal, recess: row.pan_diameter + 2.0, pose });
        new.push(Fastener {
            id: format!("{id}-screw"),
            nut: None,
            washer: None,
            owner: id.clone(),
            group: Group::Cabinet,
            moves: false,
            row,
            head: Head::Pan,
            length: web + bite,
            pose: Pose::shift(DVec3::new(x, y, -b - web)),
            sunk: 0.0,
            grip: 0.0,
            through: vec![Passed { id: id.clone(), gap: (row.normal - row.major) / 2.0 }],
            bites: Some("bottom".into()),
        });
        design.bonds.push(Bond::face(&id, "bottom", How::Bolted));
    }
    design.fasteners.append(&mut new);
}

fn handle(params: &Params, size: &CabinetSize, design: &mut Design, ledger: &mut Ledger) {
    let Some(h) = &params.cabinet.handle else { return };
    let CabinetSize { width: w, height: inside, depth: d, board: b, .. } = *size;
    let spacing = ledger.length("cabinet.handle.spacing", h.spacing.as_ref(), 230.0, "usual bar handle (from memory)");
    let width = ledger.length("cabinet.handle.width", h.width.as_ref(), 30.0, "usual bar handle (from memory)");
    let height = ledger.length("cabinet.handle.height", h.height.as_ref(), 40.0, "room for a hand (from memory)");
    let front = ledger.length("cabinet.handle.front", h.front.as_ref(), d / 2.0, "middle of the depth");
    let row = fasten::screw_or(ledger, "cabinet.handle.screw", h.screw.as_ref(), "M5", "#10");
    let end = 6.0;
    let grip = end + b;
    let length = match &h.stick_out {
        Some(s) => grip + s.value.0,
        None => fasten::stock_length(row, grip + row.washer_thickness + row.nut_thickness + 1.0),
    };
    let fits = spacing > 80.0 && spacing + 24.0 <= w && height > 20.0 && width >= row.pan_diameter + 4.0 && front - width / 2.0 >= 0.0 && front + width / 2.0 <= d;
    if !fits {
        ledger.error(h.span.clone(), "the handle does not sit on the top", format!("a spacing from 80 to {:.0}, a height over 20, its width inside the depth of {d:.0} mm", w - 24.0), "");
        return;
    }
    if length < grip + row.washer_thickness + row.nut_thickness {
        ledger.error(h.span.clone(), format!("a handle screw of {length:.1} mm does not take its nut"), format!("{:.1} mm or more", grip + row.washer_thickness + row.nut_thickness), "leave `stick-out` out");
        return;
    }
    let pose = Pose::shift(DVec3::new(w / 2.0, front, inside + b));
    design.handle = Some(HandleSpec { spacing, width, height, end, hole: row.normal, pose });
    let Some(top) = design.flats.iter_mut().find(|p| p.id == "top") else { return };
    for (k, dx) in [-spacing / 2.0, spacing / 2.0].into_iter().enumerate() {
        let id = format!("handle-screw-{}", k + 1);
        let at = DVec3::new(w / 2.0 + dx, front, inside + b);
        top.holes.push(FlatHole {
            id: id.clone(),
            at: top.pose.inverse().point(at).truncate(),
            shape: HoleShape::Round { d: row.normal },
            purpose: format!("handle screw {}", row.id),
            marked: Marked::InHand { part: "handle".into() },
            owner: "handle".into(),
            span: h.span.clone(),
        });
        design.fasteners.push(Fastener {
            id,
            nut: Some(format!("handle-nut-{}", k + 1)),
            washer: Some(format!("handle-washer-{}", k + 1)),
            owner: "handle".into(),
            group: Group::Cabinet,
            moves: false,
            row,
            head: Head::Pan,
            length,
            pose: Pose::from_axes(DVec3::X, -DVec3::Y, at + DVec3::Z * end),
            sunk: 0.0,
            grip,
            through: vec![
                Passed { id: "handle".into(), gap: (row.normal - row.major) / 2.0 },
                Passed { id: "top".into(), gap: (row.normal - row.major) / 2.0 },
            ],
            bites: None,
        });
    }
    design.bonds.push(Bond::face("handle", "top", How::Bolted));
}
