//! Plate, panels, angle stock, and what holds the plate in its grooves.

mod angle;
mod frame;
mod panel;
mod plate;
mod retain;

pub(super) use frame::frame;

use crate::assembly::{Group, How, Kind, Rule};
use crate::design::fasten::Bond;
use crate::design::flat::{Datum, Face, Flat};
use crate::design::ledger::Ledger;
use crate::design::place::Surface;
use crate::design::{CabinetSize, Design};
use crate::params::{ControlOn, PanelFit, Params};
use crate::pose::Pose;
use angle::build_angle;
use glam::{DVec2, DVec3};
use panel::build_panel;
use plate::plate_outline;
use retain::retain;
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
    /// Slides in from the rear; else from the front.
    pub from_rear: bool,
    /// Inside width of the cabinet.
    pub inside: f64,
}

impl PlateFrame {
    /// A frame on the component face: z away from the plate, x to the right.
    #[must_use]
    pub fn component(&self, x: f64, y: f64) -> Pose {
        if self.up {
            Pose::from_axes(
                DVec3::X,
                DVec3::Y,
                DVec3::new(x, self.y0 + y, self.z0 + self.thickness),
            )
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
            Pose::from_axes(
                DVec3::X,
                DVec3::Y,
                DVec3::new(x, self.y0 + y, self.z0 + self.thickness),
            )
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
        Surface {
            u: [0.0, self.inside],
            v: [0.0, self.depth],
            u_dir: DVec3::X,
            v_dir: DVec3::Y,
            upright: false,
        }
    }
}

/// A panel in place.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::design) struct PanelFrame {
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
            Pose::from_axes(
                -DVec3::X,
                DVec3::Z,
                DVec3::new(self.x0 + self.length, self.inner, self.z0),
            )
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
        Surface {
            u: [0.0, self.length],
            v: [0.0, self.height],
            u_dir,
            v_dir: DVec3::Z,
            upright: true,
        }
    }
}

/// The grooves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::design) struct GrooveFrame {
    pub depth: f64,
    pub width: f64,
    pub height_left: f64,
    pub height_right: f64,
    /// y of the closed end.
    pub closed_end: f64,
}

/// Everything of the chassis that has to be known before its holes.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::design) struct ChassisFrame {
    pub plate: PlateFrame,
    pub groove: GrooveFrame,
    pub from_rear: bool,
    pub front: Option<PanelFrame>,
    pub rear: Option<PanelFrame>,
    pub ear: [f64; 2],
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

pub(in crate::design) fn nothing_to_stand_on(params: &Params, ledger: &mut Ledger) {
    let spans = (params.tube.iter().map(|i| &i.id.span))
        .chain(params.transformer.iter().map(|i| &i.id.span))
        .chain(params.can.iter().map(|i| &i.id.span))
        .chain(params.board.iter().map(|i| &i.id.span))
        .chain(params.control.iter().map(|i| &i.id.span));
    if let Some(span) = spans.min_by_key(|s| s.start) {
        ledger.error(
            span.clone(),
            "this has nothing to stand on",
            "a `[chassis]` table",
            "add `[chassis]`, or take the parts out",
        );
    }
}

pub(in crate::design) fn build(
    params: &Params,
    size: &CabinetSize,
    frame: &ChassisFrame,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let Some(c) = params.chassis.as_ref() else {
        return;
    };
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
        datum: if frame.from_rear {
            Datum::LowHigh
        } else {
            Datum::LowLow
        },
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
            rule: Rule::Engaged {
                depth: 3.0,
                given: worst,
                play: 0.3,
                play_given: size.width / 2.0 + frame.groove.depth - plate.width / 2.0,
            },
        });
    }
    ledger.derive(
        "least engagement of an ear",
        worst,
        format!(
            "plate {:.1} - widest inside {:.1} - groove {:.1}: the plate pushed fully to one side",
            plate.width, size.widest, frame.groove.depth
        ),
    );
    for p in [frame.rear.as_ref(), frame.front.as_ref()]
        .into_iter()
        .flatten()
    {
        build_panel(p, design, ledger);
        build_angle(params, p, frame, design, ledger);
    }
    retain(params, size, frame, design, ledger);
}
