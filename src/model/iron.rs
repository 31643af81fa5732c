//! Transformers and chokes by their mounting.

use super::{Builder, Label, prism, rect, through, wound};
use crate::assembly::{Group, Kind};
use crate::design::{Design, IronSpec};
use crate::outline::{Loop, Region};
use crate::params::Mounting;
use crate::pose::Pose;
use crate::solid::{Hole, Layer, Recipe};
use glam::{DVec2, DVec3};

pub(super) fn add(design: &Design, b: &mut Builder) {
    for s in &design.irons {
        match s.mounting {
            Mounting::DropThrough => lying(s, 0.0, b),
            Mounting::Flat => lying(s, s.spacer, b),
            Mounting::Upright => upright(s, b),
            Mounting::ChannelFrame => channel(s, b),
            Mounting::CentreBolt => wound::toroid(s, b),
            Mounting::Banded => wound::banded(s, b),
        }
    }
}

struct Pieces<'a> {
    spec: &'a IronSpec,
    iron: f64,
}

impl<'a> Pieces<'a> {
    fn new(spec: &'a IronSpec) -> Self {
        // The stack keeps the density of iron; what is left of the mass is shared by the rest.
        let core = (spec.length * spec.height - 1.5 * spec.tongue * spec.tongue)
            * spec.stack
            * 1e-9
            * crate::design::IRON;
        Pieces {
            spec,
            iron: core.min(spec.mass * 0.9),
        }
    }

    fn add(
        &self,
        b: &mut Builder,
        word: &str,
        kind: Kind,
        material: &str,
        recipe: Recipe,
        share: f64,
    ) {
        let s = self.spec;
        let mass = if word == "core" {
            self.iron
        } else {
            (s.mass - self.iron) * share
        };
        let group = if s.component {
            Group::Above
        } else {
            Group::Below
        };
        let id = format!("{}-{word}", s.id);
        b.add_of_mass(
            Label {
                id: &id,
                owner: &s.id,
                kind,
                group,
                material,
                moves: true,
            },
            recipe,
            s.pose,
            Some(mass),
        );
    }
}

fn drilled(s: &IronSpec, z0: f64, z1: f64) -> Vec<Hole> {
    s.mounts()
        .into_iter()
        .map(|m| through(m.extend(z0), DVec3::Z, s.hole / 2.0, z1 - z0))
        .collect()
}

/// Laminations parallel to the plate at height `lift`: coil below, bell with a flange on top.
fn lying(s: &IronSpec, lift: f64, b: &mut Builder) {
    let p = Pieces::new(s);
    let sheet = DVec2::new(s.height, s.length);
    let top = lift + s.stack;
    let coil = s.coil();
    p.add(
        b,
        "core",
        Kind::Iron,
        "lamination core",
        prism(rect(DVec2::ZERO, sheet), lift, top, drilled(s, lift, top)),
        0.0,
    );
    let flange = rect(DVec2::ZERO, sheet);
    let cap = rect(DVec2::ZERO, coil + DVec2::splat(4.0))
        .rounded(3.0)
        .unwrap_or_else(|_| rect(DVec2::ZERO, coil));
    let bell = Recipe::Layered {
        base: top,
        layers: vec![
            Layer::new(top + s.sheet, Region::solid(flange)),
            Layer::new(top + s.sheet + s.bell, Region::solid(cap)),
        ],
        holes: drilled(s, top, top + s.sheet),
    };
    p.add(b, "bell", Kind::Iron, "steel low carbon", bell, 0.4);
    p.add(
        b,
        "coil",
        Kind::Coil,
        "copper",
        prism(rect(DVec2::ZERO, coil), lift - s.bell, lift, Vec::new()),
        0.6,
    );
    if lift > 0.0 {
        for (k, m) in s.mounts().into_iter().enumerate() {
            let mut region = Region::solid(Loop::circle(DVec2::ZERO, s.hole / 2.0 + 2.0));
            region.inner.push(Loop::circle(DVec2::ZERO, s.hole / 2.0));
            let ring = Recipe::Layered {
                base: 0.0,
                layers: vec![Layer::new(lift, region)],
                holes: Vec::new(),
            };
            let id = format!("{}-spacer-{}", s.id, k + 1);
            let group = if s.component {
                Group::Above
            } else {
                Group::Below
            };
            b.add(
                Label {
                    id: &id,
                    owner: &s.id,
                    kind: Kind::StandOff,
                    group,
                    material: "brass",
                    moves: true,
                },
                ring,
                s.pose.offset(m.extend(0.0)),
            );
        }
    }
}

/// Laminations upright, coil axis along x; a bell with a foot on each side.
fn upright(s: &IronSpec, b: &mut Builder) {
    let p = Pieces::new(s);
    let z0 = s.sheet;
    let z1 = z0 + s.length;
    p.add(
        b,
        "core",
        Kind::Iron,
        "lamination core",
        prism(
            rect(DVec2::ZERO, DVec2::new(s.height, s.stack)),
            z0,
            z1,
            Vec::new(),
        ),
        0.0,
    );
    for (word, side) in [("bell-front", -1.0), ("bell-rear", 1.0)] {
        let near = s.stack / 2.0;
        let foot_end = s.holes.y / 2.0 + (s.holes.y / 2.0 - near - s.bell);
        let span = |a: f64, c: f64| {
            let (lo, hi) = if side < 0.0 { (-c, -a) } else { (a, c) };
            Loop::rect(
                DVec2::new(-s.height / 2.0, lo),
                DVec2::new(s.height / 2.0, hi),
            )
        };
        let holes = s
            .mounts()
            .into_iter()
            .filter(|m| m.y * side > 0.0)
            .map(|m| through(m.extend(0.0), DVec3::Z, s.hole / 2.0, s.sheet))
            .collect();
        let bell = Recipe::Layered {
            base: 0.0,
            layers: vec![
                Layer::new(
                    s.sheet,
                    Region::solid(span(near, foot_end.max(near + s.bell + 2.0))),
                ),
                Layer::new(z1, Region::solid(span(near, near + s.bell))),
            ],
            holes,
        };
        p.add(b, word, Kind::Iron, "steel low carbon", bell, 0.5);
    }
}

/// Strap over the stack with two feet; the coil stands out front and rear, its axis upright.
fn channel(s: &IronSpec, b: &mut Builder) {
    let p = Pieces::new(s);
    let (l, h, t) = (s.length / 2.0, s.height, s.sheet);
    p.add(
        b,
        "core",
        Kind::Iron,
        "lamination core",
        prism(
            rect(DVec2::ZERO, DVec2::new(s.length, s.stack)),
            0.0,
            h,
            Vec::new(),
        ),
        0.0,
    );
    // Side view in x and z, extruded over the stack.
    let tip = s.holes.x / 2.0 + (s.holes.x / 2.0 - l - t);
    let v = |x: f64, z: f64| DVec2::new(x, z);
    let outline = Loop::polygon(&[
        v(-tip, 0.0),
        v(-l, 0.0),
        v(-l, h),
        v(l, h),
        v(l, 0.0),
        v(tip, 0.0),
        v(tip, t),
        v(l + t, t),
        v(l + t, h + t),
        v(-l - t, h + t),
        v(-l - t, t),
        v(-tip, t),
    ]);
    // the frame's own axes: x as the transformer's, y up, z to its front
    let holes = s
        .mounts()
        .into_iter()
        .map(|m| {
            through(
                DVec3::new(m.x, t, s.stack / 2.0),
                -DVec3::Y,
                s.hole / 2.0,
                t,
            )
        })
        .collect();
    let frame = prism(outline, 0.0, s.stack, holes);
    let pose = s.pose.then(&Pose::from_axes(
        DVec3::X,
        DVec3::Z,
        DVec3::new(0.0, s.stack / 2.0, 0.0),
    ));
    let group = if s.component {
        Group::Above
    } else {
        Group::Below
    };
    let id = format!("{}-frame", s.id);
    b.add_of_mass(
        Label {
            id: &id,
            owner: &s.id,
            kind: Kind::Iron,
            group,
            material: "steel low carbon",
            moves: true,
        },
        frame,
        pose,
        Some((s.mass - p.iron) * 0.2),
    );
    let (w, z) = (2.0 * s.tongue - 1.0, 1.5 * s.tongue - 1.0);
    for (word, side) in [("coil-front", -1.0), ("coil-rear", 1.0)] {
        let centre = DVec2::new(0.0, side * (s.stack + s.bell) / 2.0);
        let coil = prism(
            rect(centre, DVec2::new(w, s.bell)),
            (h - z) / 2.0,
            f64::midpoint(h, z),
            Vec::new(),
        );
        p.add(b, word, Kind::Coil, "copper", coil, 0.4);
    }
}
