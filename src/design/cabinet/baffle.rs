//! The baffle, upright or leaning, its opening and its cleats.

use super::wood::{WoodScrew, wood_screw};
use super::{board, cleat, cleat_side};
use crate::assembly::{How, Kind};
use crate::design::chassis::ChassisFrame;
use crate::design::fasten::{self, Bond};
use crate::design::flat::{Flat, FlatHole, HoleShape, Marked};
use crate::design::ledger::Ledger;
use crate::design::{CabinetSize, Design};
use crate::outline::Loop;
use crate::params::{BaffleFixing, Params};
use crate::pose::Pose;
use glam::{DVec2, DVec3};
use std::ops::Range;

/// Where the baffle stands. Its part frame: x right, y up along the board, z to the front; z = 0 is the rear face.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::design) struct BaffleFrame {
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
        let t = ledger.length_by_unit(
            "cabinet.baffle.thickness",
            b.thickness.as_ref(),
            18.0,
            0.75,
            "as the boards (common practice)",
        );
        let set_back = ledger.length_by_unit(
            "cabinet.baffle.set-back",
            b.set_back.as_ref(),
            20.0,
            0.75,
            "room for grille frame and cleats (common practice)",
        );
        let degrees = b.tilt.as_ref().map_or(0.0, |d| d.value.0);
        if degrees.abs() > 30.0 {
            let span = b.tilt.as_ref().map_or(b.span.clone(), |d| d.span.clone());
            ledger.error(
                span,
                format!("a baffle leaning {degrees} degrees"),
                "30 degrees at most",
                "",
            );
        }
        let (sin, cos) = if degrees == 0.0 {
            (0.0, 1.0)
        } else {
            degrees.clamp(-30.0, 30.0).to_radians().sin_cos()
        };
        let up = DVec3::new(0.0, sin, cos);
        let out = DVec3::X.cross(up);
        let origin = DVec3::new(0.0, set_back, 0.0) - t * out;
        let frame = BaffleFrame {
            thickness: t,
            set_back,
            sin,
            cos,
            pose: Pose::from_axes(DVec3::X, up, origin),
            height: size.height,
        };
        let low = frame.rear_at(0.0).min(frame.rear_at(size.height));
        let high = frame.rear_at(0.0).max(frame.rear_at(size.height));
        if low < t * 0.5 || high > size.depth {
            let reach = if high - low < 0.05 {
                format!("{high:.1} mm behind the front edges")
            } else {
                format!("from {low:.1} to {high:.1} mm behind the front edges, as it leans")
            };
            ledger.error(
                b.span.clone(),
                format!("the baffle's rear face lies {reach}"),
                format!("inside the depth of {:.1} mm", size.depth),
                "change `set-back`, `tilt` or the cabinet's depth",
            );
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

pub(super) fn build_baffle(
    params: &Params,
    size: &CabinetSize,
    b: &BaffleFrame,
    chassis: Option<&ChassisFrame>,
    material: &str,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let Some(table) = params.cabinet.baffle.as_ref() else {
        return;
    };
    let material = match &table.material {
        Some(m) => ledger.material(m),
        None => material.to_owned(),
    };
    let w = size.width;
    let [low, high] = b.ends();
    let mut flat = Flat {
        kind: Kind::Baffle,
        bevel: (b.sin != 0.0).then(|| Loop::rect(DVec2::ZERO, DVec2::new(w, size.height / b.cos))),
        ..board(
            "baffle",
            &material,
            Loop::rect(DVec2::new(0.0, low), DVec2::new(w, high)),
            b.thickness,
            b.pose,
            &table.span,
        )
    };
    if let Some(panel) = chassis.and_then(|c| c.front.as_ref()) {
        let opening = table.opening.as_ref();
        let overlap = ledger.length(
            "cabinet.baffle.opening.overlap",
            opening.and_then(|o| o.overlap.as_ref()),
            8.0,
            "hides the panel's edges (common practice)",
        );
        let radius = ledger.length(
            "cabinet.baffle.opening.corner-radius",
            opening.and_then(|o| o.corner_radius.as_ref()),
            5.0,
            "a router bit's radius (common practice)",
        );
        let at = |z: f64| b.along(z);
        let (x0, x1) = (panel.x0 + overlap, panel.x0 + panel.length - overlap);
        let (z0, z1) = (panel.z0 + overlap, panel.z0 + panel.height - overlap);
        let outline = Loop::rounded_rect(DVec2::new(x0, at(z0)), DVec2::new(x1, at(z1)), radius);
        let Some(opening_outline) = outline.ok().filter(|_| z1 > z0 && x1 > x0) else {
            ledger.error(
                table.span.clone(),
                "the opening for the front panel vanishes",
                "a panel larger than twice the overlap",
                "make `overlap` smaller or the panel higher",
            );
            return;
        };
        flat.holes.push(FlatHole {
            id: "baffle-opening".into(),
            at: DVec2::new(f64::midpoint(x0, x1), at(f64::midpoint(z0, z1))),
            shape: HoleShape::Cut {
                outline: opening_outline,
            },
            purpose: "opening for the front panel".into(),
            marked: Marked::Scribed,
            owner: "baffle".into(),
            span: table.span.clone(),
        });
    }
    for other in ["side-left", "side-right", "bottom", "top"] {
        design.bonds.push(Bond::face("baffle", other, How::Resting));
    }
    let fixing = ledger.choice(
        "cabinet.baffle.fixing",
        table.fixing.as_ref(),
        BaffleFixing::Glued,
        "glued",
        "simplest; screws only where the baffle must come out (common practice)",
    );
    if fixing != BaffleFixing::Glued {
        let opening = flat
            .holes
            .iter()
            .find(|h| h.id == "baffle-opening")
            .and_then(|h| match &h.shape {
                HoleShape::Cut { outline } => Some(outline.bounds().map(|c| c.y)),
                _ => None,
            });
        baffle_cleats(size, b, &mut flat, opening, design, ledger, &table.span);
    }
    design.flats.push(flat);
}

/// Cleats on the sides in front of the baffle, and the wood screws from behind.
pub(super) fn baffle_cleats(
    size: &CabinetSize,
    b: &BaffleFrame,
    baffle: &mut Flat,
    opening: Option<[f64; 2]>,
    design: &mut Design,
    ledger: &mut Ledger,
    span: &Range<usize>,
) {
    let side = cleat_side();
    let deep = side.min(b.set_back);
    if deep < 12.0 {
        ledger.error(
            span.clone(),
            format!("cleats in front of the baffle have {deep:.1} mm of room"),
            "12 mm or more",
            "set the baffle back further, or glue it",
        );
        return;
    }
    let t = b.thickness;
    // clear of floor and roof at the cleat's front face, whichever way the baffle leans
    let lift = deep * b.sin / b.cos;
    let (mut y0, mut y1) = (
        (-lift).max(0.0),
        (size.height / b.cos - lift).min(size.height / b.cos),
    );
    // and clear of an opening, in front of which it would be seen: the longer run below or above it
    if let Some([low, high]) = opening {
        if low - y0 >= y1 - high {
            y1 = low - 3.0;
        } else {
            y0 = high + 3.0;
        }
    }
    if y1 - y0 < 40.0 {
        ledger.error(
            span.clone(),
            "the opening leaves no room for the baffle's cleats",
            "40 mm or more above or below it",
            "glue the baffle, or make the front panel lower",
        );
        return;
    }
    let row = fasten::screw_or(ledger, "cabinet.baffle screws", None, "#8 wood", "#8 wood");
    for (end, x0) in [("left", 0.0), ("right", size.width - side)] {
        let id = format!("baffle-cleat-{end}");
        let pose = b.pose.offset(DVec3::new(x0, y0, t));
        let mut strip = cleat(
            &id,
            Kind::Cleat,
            DVec3::new(side, y1 - y0, deep),
            pose,
            span,
        );
        for (k, share) in [0.12, 0.5, 0.88].into_iter().enumerate() {
            let y = y0 + (y1 - y0) * share;
            let screw = format!("baffle-screw-{end}-{}", k + 1);
            wood_screw(
                design,
                WoodScrew {
                    id: &screw,
                    owner: "baffle",
                    row,
                    through: baffle,
                    into: &mut strip,
                    at: DVec2::new(x0 + side / 2.0, y),
                    at_into: DVec2::new(side / 2.0, y - y0),
                    bite: (deep - 3.0).min(14.0),
                    span,
                },
            );
        }
        design
            .bonds
            .push(Bond::face(&id, &format!("side-{end}"), How::Resting));
        design.bonds.push(Bond::face(&id, "baffle", How::Bolted));
        design.flats.push(strip);
    }
}
