//! Controls: body behind the wall, bushing through it, nut, cap and knob in front.

use super::{Builder, Label, rect, stack, turned};
use crate::assembly::{Group, Kind};
use crate::design::{ControlSpec, Design};
use crate::outline::{Loop, Region};
use crate::solid::{Layer, Recipe};
use glam::{DVec2, DVec3};

pub(super) fn add(design: &Design, b: &mut Builder) {
    for c in &design.controls {
        control(c, b);
    }
}

/// Room of a shaft in its knob and of a bushing in its nut, mm; a nut is cut to the thread's major diameter.
const SHAFT_GAP: f64 = 0.1;

fn label<'a>(id: &'a str, owner: &'a str, kind: Kind, material: &'a str) -> Label<'a> {
    Label {
        id,
        owner,
        kind,
        group: Group::Panel,
        material,
        moves: true,
    }
}

fn control(c: &ControlSpec, b: &mut Builder) {
    let r = c.row;
    let body = match (r.body_box, r.body) {
        (Some([w, h]), _) => rect(DVec2::ZERO, DVec2::new(w, h)),
        (None, Some(d)) => Loop::circle(DVec2::ZERO, d / 2.0),
        (None, None) => Loop::circle(DVec2::ZERO, r.bushing.or(r.hole).unwrap_or(6.0) / 2.0 - 0.1),
    };
    let mut layers: Vec<(f64, Loop)> = Vec::new();
    let bushing = r.bushing.map(|d| Loop::circle(DVec2::ZERO, d / 2.0));
    let shaft = r.shaft.map(|d| Loop::circle(DVec2::ZERO, d / 2.0));
    let mut top = 0.0;
    let push = |layers: &mut Vec<(f64, Loop)>, top: &mut f64, z: f64, outline: Loop| {
        if z > *top + 0.05 {
            layers.push((z, outline));
            *top = z;
        }
    };
    let mut recipe = if let (Some([w, h]), Some([fw, fh])) = (r.cutout, r.flange) {
        // through a rectangular cut-out, flange in front
        let slim = r.body_box.map_or(DVec2::new(w - 1.0, h - 1.0), |[bw, bh]| {
            DVec2::new(bw.min(w - 0.6), bh.min(h - 0.6))
        });
        let flange = rect(DVec2::ZERO, DVec2::new(fw, fh));
        stack(
            -r.behind,
            vec![
                (
                    c.wall,
                    rect(DVec2::ZERO, slim)
                        .rounded(1.5)
                        .unwrap_or_else(|_| rect(DVec2::ZERO, slim)),
                ),
                (c.wall + r.flange_thickness, flange),
            ],
        )
    } else if c.nut_in_front {
        layers.push((0.0, body));
        if let Some(bush) = bushing {
            push(&mut layers, &mut top, r.bushing_length.max(c.wall), bush);
        }
        if let Some(s) = shaft {
            push(&mut layers, &mut top, r.tip, s);
        }
        stack(-r.behind, layers)
    } else {
        // as thick as the hole lets it in the wall; a body wider than that lies against the wall's inner face
        let hole = r.hole.unwrap_or(6.0);
        let slim = match r.flat {
            Some(f) => Loop::d_hole(DVec2::ZERO, hole / 2.0 - 0.3, f - 0.3, 0.0)
                .unwrap_or_else(|_| Loop::circle(DVec2::ZERO, f - 0.3)),
            None => Loop::circle(
                DVec2::ZERO,
                r.bushing.or(r.body).unwrap_or(hole).min(hole - 0.1) / 2.0,
            ),
        };
        let mut layers = Vec::new();
        if r.body_box.is_none() && r.body.is_some_and(|d| d > hole) {
            layers.push((0.0, body));
        }
        layers.push((c.wall, slim));
        top = c.wall;
        if let (Some([fw, fh]), true) = (r.flange, r.flange_thickness > 0.0) {
            push(
                &mut layers,
                &mut top,
                c.wall + r.flange_thickness,
                rect(DVec2::ZERO, DVec2::new(fw, fh)),
            );
        }
        if let (Some(s), None) = (shaft, r.cap) {
            push(&mut layers, &mut top, r.tip, s);
        }
        stack(-r.behind, layers)
    };
    if let (Some(spacing), Some(screw), Recipe::Layered { layers, .. }) = (
        r.screw_spacing,
        r.screw.as_deref().and_then(crate::catalogue::screw),
        &mut recipe,
    ) && r.flange.is_some()
        && let Some(last) = layers.last_mut()
    {
        last.regions[0].inner.extend(
            [-0.5, 0.5].map(|s| Loop::circle(DVec2::new(s * spacing, 0.0), screw.normal / 2.0)),
        );
    }
    let metal = r.body_box.is_none();
    b.add(
        label(
            &c.id,
            &c.id,
            Kind::Control,
            if metal { "zinc casting" } else { "nylon" },
        ),
        recipe,
        c.pose,
    );
    let thread = if c.nut_in_front {
        r.bushing
    } else {
        r.bushing
            .or(r.body)
            .map(|d| d.min(r.hole.unwrap_or(d) - 0.1))
    };
    if let (Some(af), Some(d)) = (r.nut, thread) {
        let mut region = Region::solid(Loop::hexagon(DVec2::ZERO, af, 0.0));
        region.inner.push(Loop::circle(DVec2::ZERO, d / 2.0));
        let nut = Recipe::Layered {
            base: 0.0,
            layers: vec![Layer::new(r.nut_thickness, region)],
            holes: Vec::new(),
        };
        let z = if c.nut_in_front {
            c.wall
        } else {
            -r.nut_thickness
        };
        let id = format!("{}-nut", c.id);
        b.add(
            label(&id, &c.id, Kind::Nut, "brass"),
            nut,
            c.pose.offset(DVec3::Z * z),
        );
    }
    if let Some(d) = r.cap {
        let z = if c.nut_in_front {
            (c.wall + r.nut_thickness).max(top)
        } else {
            top.max(c.wall)
        };
        let id = format!("{}-cap", c.id);
        let r0 = d / 2.0;
        b.add(
            label(&id, &c.id, Kind::Knob, "nylon"),
            turned(&[
                (0.0, 0.0),
                (r0, 0.0),
                (r0, r.cap_height),
                (0.0, r.cap_height),
            ]),
            c.pose.offset(DVec3::Z * z),
        );
    }
    if let Some(k) = &c.knob {
        let (row, [hollow, depth]) = (k.row, k.hollow);
        let bore = r.shaft.unwrap_or(6.0) / 2.0 + SHAFT_GAP;
        let deep = (r.tip - k.base + SHAFT_GAP).clamp(depth + 0.5, row.height - 1.0);
        let rk = row.diameter / 2.0;
        let id = format!("{}-knob", c.id);
        let mut profile = vec![(0.0, deep), (bore, deep)];
        if depth > 0.0 {
            profile.extend([(bore, depth), (hollow, depth), (hollow, 0.0)]);
        } else {
            profile.push((bore, 0.0));
        }
        profile.extend([(rk, 0.0), (rk, row.height), (0.0, row.height)]);
        b.add(
            label(&id, &c.id, Kind::Knob, "phenolic"),
            turned(&profile),
            c.pose.offset(DVec3::Z * k.base),
        );
    }
}
