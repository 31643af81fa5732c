//! Panels and their overlays.

use super::PanelFrame;
use crate::assembly::{Group, How, Kind};
use crate::design::Design;
use crate::design::fasten::Bond;
use crate::design::flat::{Datum, Flat};
use crate::design::ledger::Ledger;
use crate::outline::Loop;
use crate::params::PanelFit;
use glam::{DVec2, DVec3};

pub(super) fn build_panel(p: &PanelFrame, design: &mut Design, ledger: &mut Ledger) {
    let outline = Loop::rounded_rect(DVec2::ZERO, DVec2::new(p.length, p.height), p.radius)
        .unwrap_or_else(|e| {
            ledger.error(
                p.span.clone(),
                format!(
                    "panel {:.1} x {:.1} mm with corners of {:.1} mm: {e}",
                    p.length, p.height, p.radius
                ),
                "a radius under half the height",
                "",
            );
            Loop::rect(
                DVec2::ZERO,
                DVec2::new(p.length.max(1.0), p.height.max(1.0)),
            )
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
        if p.fit == PanelFit::Under {
            design.bonds.push(Bond::face(&id, "plate", How::Resting));
        }
        design.flats.push(Flat {
            id,
            thickness: p.overlay,
            pose: p.pose().offset(DVec3::Z * p.thickness),
            ..flat.clone()
        });
    }
    design.bonds.push(Bond::face("plate", p.id, How::Bolted));
    design.flats.push(flat);
}
