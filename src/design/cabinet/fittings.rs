//! Feet and handle.

use crate::assembly::{Group, How};
use crate::design::fasten::{self, Bond, Fastener, Passed};
use crate::design::flat::{Face, FlatHole, HoleShape, Marked};
use crate::design::ledger::Ledger;
use crate::design::{CabinetSize, Design};
use crate::params::{Head, Params};
use crate::pose::Pose;
use glam::DVec3;

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

pub(super) fn feet(params: &Params, size: &CabinetSize, design: &mut Design, ledger: &mut Ledger) {
    let Some(f) = &params.cabinet.feet else {
        return;
    };
    let CabinetSize {
        width: w,
        depth: d,
        board: b,
        ..
    } = *size;
    let Some(foot) = ledger.fitting("foot", f.type_.as_ref()) else {
        return;
    };
    let diameter = ledger.length_of(
        "cabinet.feet.diameter",
        f.diameter.as_ref(),
        foot,
        foot.diameter,
    );
    let height = ledger.length_of("cabinet.feet.height", f.height.as_ref(), foot, foot.height);
    let cleared = f.measured.as_ref().is_some_and(|m| m.value)
        || (f.diameter.is_some() && f.height.is_some());
    ledger.rests_on("feet", foot, cleared);
    let inset = ledger.length(
        "cabinet.feet.inset",
        f.inset.as_ref(),
        40.0,
        "usual place (common practice)",
    );
    let row = fasten::screw_or(
        ledger,
        "cabinet.feet.screw",
        f.screw.as_ref(),
        "#8 wood",
        "#8 wood",
    );
    let web = 5.0;
    // a stocked screw that ends inside the board, away from the wiring, unless the builder says how deep it bites
    let length = match &f.bite {
        Some(bite) => web + bite.value.0,
        None => {
            let most = web + (b - 3.0).clamp(1.0, 16.0);
            let length = fasten::stock_within(row, web + 6.0, most);
            ledger.took(
                "cabinet.feet.bite",
                format!("{:.2} mm", length - web),
                "a stocked screw that ends inside the board, away from the wiring",
            );
            length
        }
    };
    let bite = length - web;
    if height < web + row.pan_height + 1.0 || diameter < row.pan_diameter + 8.0 {
        ledger.error(
            f.span.clone(),
            "the feet are too small for their screws",
            format!(
                "at least {:.1} high and {:.1} across",
                web + row.pan_height + 1.0,
                row.pan_diameter + 8.0
            ),
            "choose larger feet or a smaller screw",
        );
        return;
    }
    let Some(bottom) = design.flats.iter_mut().find(|p| p.id == "bottom") else {
        return;
    };
    let mut new = Vec::new();
    for (k, (x, y)) in [
        (inset - b, inset),
        (w + b - inset, inset),
        (inset - b, d - inset),
        (w + b - inset, d - inset),
    ]
    .into_iter()
    .enumerate()
    {
        let id = format!("foot-{}", k + 1);
        let local = bottom.pose.inverse().point(DVec3::new(x, y, -b));
        // the screw may end inside the cabinet: then the hole goes through and the tip is measured like anything else
        let shape = if bite + 1.0 < b {
            HoleShape::Pilot {
                drill: row.pilot.unwrap_or(row.major * 0.65),
                thread: row.major,
                depth: bite + 1.0,
                face: Face::Back,
            }
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
        design.feet.push(FootSpec {
            id: id.clone(),
            diameter,
            height,
            web,
            bore: row.normal,
            recess: row.pan_diameter + 2.0,
            pose,
        });
        new.push(Fastener {
            id: format!("{id}-screw"),
            nut: None,
            washer: None,
            owner: id.clone(),
            group: Group::Cabinet,
            moves: false,
            row,
            head: Head::Pan,
            length,
            pose: Pose::shift(DVec3::new(x, y, -b - web)),
            sunk: 0.0,
            grip: 0.0,
            through: vec![Passed {
                id: id.clone(),
                gap: (row.normal - row.major) / 2.0,
            }],
            bites: Some("bottom".into()),
        });
        design.bonds.push(Bond::face(&id, "bottom", How::Bolted));
    }
    design.fasteners.append(&mut new);
}

pub(super) fn handle(
    params: &Params,
    size: &CabinetSize,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let Some(h) = &params.cabinet.handle else {
        return;
    };
    let CabinetSize {
        width: w,
        height: inside,
        depth: d,
        board: b,
        ..
    } = *size;
    let Some(bar) = ledger.fitting("handle", h.type_.as_ref()) else {
        return;
    };
    let spacing = ledger.length_of(
        "cabinet.handle.spacing",
        h.spacing.as_ref(),
        bar,
        bar.length,
    );
    let width = ledger.length_of("cabinet.handle.width", h.width.as_ref(), bar, bar.width);
    let height = ledger.length_of("cabinet.handle.height", h.height.as_ref(), bar, bar.height);
    let cleared = h.measured.as_ref().is_some_and(|m| m.value)
        || (h.spacing.is_some() && h.width.is_some() && h.height.is_some());
    ledger.rests_on("handle", bar, cleared);
    let front = ledger.length(
        "cabinet.handle.front",
        h.front.as_ref(),
        d / 2.0,
        "middle of the depth",
    );
    let row = fasten::screw_or(
        ledger,
        "cabinet.handle.screw",
        h.screw.as_ref(),
        "M5",
        "#10",
    );
    let end = 6.0;
    let grip = end + b;
    let length = match &h.stick_out {
        Some(s) => grip + s.value.0,
        None => fasten::stock_length(row, grip + row.washer_thickness + row.nut_thickness + 1.0),
    };
    let fits = spacing > 80.0
        && spacing + 24.0 <= w
        && height > 20.0
        && width >= row.pan_diameter + 4.0
        && front - width / 2.0 >= 0.0
        && front + width / 2.0 <= d;
    if !fits {
        ledger.error(h.span.clone(), "the handle does not sit on the top", format!("a spacing from 80 to {:.0}, a height over 20, its width inside the depth of {d:.0} mm", w - 24.0), "");
        return;
    }
    if length < grip + row.washer_thickness + row.nut_thickness {
        ledger.error(
            h.span.clone(),
            format!("a handle screw of {length:.1} mm does not take its nut"),
            format!(
                "{:.1} mm or more",
                grip + row.washer_thickness + row.nut_thickness
            ),
            "leave `stick-out` out",
        );
        return;
    }
    let pose = Pose::shift(DVec3::new(w / 2.0, front, inside + b));
    design.handle = Some(HandleSpec {
        spacing,
        width,
        height,
        end,
        hole: row.normal,
        pose,
    });
    let Some(top) = design.flats.iter_mut().find(|p| p.id == "top") else {
        return;
    };
    for (k, dx) in [-spacing / 2.0, spacing / 2.0].into_iter().enumerate() {
        let id = format!("handle-screw-{}", k + 1);
        let at = DVec3::new(w / 2.0 + dx, front, inside + b);
        top.holes.push(FlatHole {
            id: id.clone(),
            at: top.pose.inverse().point(at).truncate(),
            shape: HoleShape::Round { d: row.normal },
            purpose: format!("handle screw {}", row.id),
            marked: Marked::InHand {
                part: "handle".into(),
            },
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
                Passed {
                    id: "handle".into(),
                    gap: (row.normal - row.major) / 2.0,
                },
                Passed {
                    id: "top".into(),
                    gap: (row.normal - row.major) / 2.0,
                },
            ],
            bites: None,
        });
    }
    design.bonds.push(Bond::face("handle", "top", How::Bolted));
}
