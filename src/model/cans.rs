//! Cans with clamps, circuit boards, grommets, lugs, strips, tanks.

use super::{Builder, Label, prism, rect, stack, through, turned};
use crate::assembly::{Group, Kind};
use crate::design::{CanSpec, Design};
use crate::outline::{Arc, Loop, Node, Region};
use crate::pose::Pose;
use crate::solid::{Layer, Recipe};
use glam::{DVec2, DVec3};

pub(super) fn add(design: &Design, b: &mut Builder) {
    for c in &design.cans {
        can(c, b);
    }
    for s in &design.boards {
        let group = if s.component {
            Group::Above
        } else {
            Group::Below
        };
        let z = s.stand_off;
        let holes = s
            .holes
            .iter()
            .map(|h| through(h.extend(z), DVec3::Z, s.hole / 2.0, s.thickness))
            .collect();
        b.add(
            label(&s.id, &s.id, group, Kind::CircuitBoard, "fibreglass board"),
            prism(rect(DVec2::ZERO, s.size), z, z + s.thickness, holes),
            s.pose,
        );
        let parts = format!("{}-parts", s.id);
        b.add(
            label(&parts, &s.id, group, Kind::CircuitBoard, "phenolic"),
            prism(rect(DVec2::ZERO, s.parts_size), 0.0, s.parts, Vec::new()),
            s.pose.offset(DVec3::Z * (z + s.thickness)),
        );
        for (k, h) in s.holes.iter().enumerate() {
            let id = format!("{}-stand-off-{}", s.id, k + 1);
            let outside = s.bore / 2.0 + 1.4;
            b.add(
                label(&id, &s.id, group, Kind::StandOff, "nylon"),
                ring(outside, s.bore / 2.0, s.stand_off),
                s.pose.offset(h.extend(0.0)),
            );
        }
    }
    for g in &design.grommets {
        let r = g.row;
        let lip = r.height / 2.0;
        let (bore, neck, out) = (r.bore / 2.0, r.hole / 2.0 - 0.1, r.outside / 2.0);
        // z = 0 on one face of the sheet; lips lie 0.1 mm off both
        let p = turned(&[
            (bore, -g.sheet - lip),
            (out, -g.sheet - lip),
            (out, -g.sheet - 0.1),
            (neck, -g.sheet - 0.1),
            (neck, 0.1),
            (out, 0.1),
            (out, lip),
            (bore, lip),
        ]);
        b.add(
            Label {
                id: &g.id,
                owner: &g.owner,
                kind: Kind::Hardware,
                group: g.group,
                material: "rubber",
                moves: true,
            },
            p,
            g.pose,
        );
    }
    for s in &design.studs {
        let eye = s.eye / 2.0;
        let mut region =
            Region::solid(Loop::slot(DVec2::ZERO, DVec2::new(s.reach - eye, 0.0), eye));
        region.inner.push(Loop::circle(DVec2::ZERO, s.hole / 2.0));
        let lug = Recipe::Layered {
            base: 0.0,
            layers: vec![Layer::new(s.thickness, region)],
            holes: Vec::new(),
        };
        b.add(
            Label {
                id: &s.id,
                owner: &s.owner,
                kind: Kind::Hardware,
                group: Group::Below,
                material: "brass",
                moves: true,
            },
            lug,
            s.pose,
        );
    }
    for s in &design.strips {
        let group = if s.component {
            Group::Above
        } else {
            Group::Below
        };
        // foot with its screw at the origin, the strip's body standing at its edge
        let half = s.foot_size / 2.0;
        let foot = Loop::rect(DVec2::new(-half, -half), DVec2::new(half, half + s.size.y));
        let body = Loop::rect(DVec2::new(-half, half), DVec2::new(half, half + s.size.y));
        let wide = Loop::rect(
            DVec2::new(-s.size.x / 2.0, half),
            DVec2::new(s.size.x / 2.0, half + s.size.y),
        );
        let recipe = Recipe::Layered {
            base: 0.0,
            layers: vec![
                Layer::new(s.foot, Region::solid(foot)),
                Layer::new(s.size.z * 0.4, Region::solid(body)),
                Layer::new(s.size.z, Region::solid(wide)),
            ],
            holes: vec![through(DVec3::ZERO, DVec3::Z, s.hole / 2.0, s.foot)],
        };
        b.add(
            Label {
                id: &s.id,
                owner: &s.id,
                kind: Kind::Hardware,
                group,
                material: "phenolic",
                moves: true,
            },
            recipe,
            s.pose,
        );
    }
    for t in &design.tanks {
        let label = Label {
            id: &t.id,
            owner: &t.id,
            kind: Kind::ReverbTank,
            group: Group::Cabinet,
            material: "steel low carbon",
            moves: false,
        };
        b.add_of_mass(
            label,
            stack(0.0, vec![(t.size.z, rect(DVec2::ZERO, t.size.truncate()))]),
            t.pose,
            Some(t.mass),
        );
    }
}

fn label<'a>(
    id: &'a str,
    owner: &'a str,
    group: Group,
    kind: Kind,
    material: &'a str,
) -> Label<'a> {
    Label {
        id,
        owner,
        kind,
        group,
        material,
        moves: true,
    }
}

fn ring(outside: f64, inside: f64, height: f64) -> Recipe {
    let mut region = Region::solid(Loop::circle(DVec2::ZERO, outside));
    region.inner.push(Loop::circle(DVec2::ZERO, inside));
    Recipe::Layered {
        base: 0.0,
        layers: vec![Layer::new(height, region)],
        holes: Vec::new(),
    }
}

/// Room between a can and its clamp, mm.
const CLAMP_GAP: f64 = 0.2;

fn can(c: &CanSpec, b: &mut Builder) {
    let group = if c.component {
        Group::Above
    } else {
        Group::Below
    };
    let r = c.diameter / 2.0;
    let clamp_id = format!("{}-clamp", c.id);
    if c.lying {
        let body = turned(&[
            (0.0, -c.height / 2.0),
            (r, -c.height / 2.0),
            (r, c.height / 2.0),
            (0.0, c.height / 2.0),
        ]);
        // the can's axis along local x, resting on the plate
        let pose = c.pose.then(&Pose::from_axes(
            DVec3::Y,
            DVec3::Z,
            DVec3::new(0.0, 0.0, r),
        ));
        b.add(
            label(&c.id, &c.id, group, Kind::Can, "electrolytic can"),
            body,
            pose,
        );
        b.add(
            label(&clamp_id, &c.id, group, Kind::Clamp, "steel low carbon"),
            strap(c),
            c.pose.then(&Pose::from_axes(
                DVec3::Y,
                DVec3::Z,
                DVec3::new(-c.band / 2.0, 0.0, 0.0),
            )),
        );
        return;
    }
    let tail = (r - 2.0).max(r * 0.6);
    let body = turned(&[
        (0.0, -c.plate - c.tail),
        (tail, -c.plate - c.tail),
        (tail, -c.plate),
        (r, -c.plate),
        (r, c.height),
        (0.0, c.height),
    ]);
    b.add(
        label(&c.id, &c.id, group, Kind::Can, "electrolytic can"),
        body,
        c.pose,
    );
    let inside = r + CLAMP_GAP;
    let half = DVec2::new(c.half_spacing, 0.0);
    let mut foot = Region::solid(Loop::slot(
        -half,
        half,
        (c.half_lugs - c.half_spacing).max(c.hole),
    ));
    // the oblong over the lugs, widened by the band's ring
    let ring_loop = Loop::circle(DVec2::ZERO, inside + c.sheet);
    if let Ok(mut u) = crate::outline::union(&[foot.clone()], &[Region::solid(ring_loop.clone())])
        && u.len() == 1
    {
        foot = u.remove(0);
    }
    foot.inner.push(Loop::circle(DVec2::ZERO, inside));
    for s in [-1.0, 1.0] {
        foot.inner.push(Loop::circle(half * s, c.hole / 2.0));
    }
    let mut band = Region::solid(ring_loop);
    band.inner.push(Loop::circle(DVec2::ZERO, inside));
    let clamp = Recipe::Layered {
        base: 0.0,
        layers: vec![Layer::new(c.sheet, foot), Layer::new(c.band, band)],
        holes: Vec::new(),
    };
    b.add(
        label(&clamp_id, &c.id, group, Kind::Clamp, "steel low carbon"),
        clamp,
        c.pose,
    );
}

/// A strap over a lying can: seen along the can's axis, local y across, z up.
fn strap(c: &CanSpec) -> Recipe {
    let r = c.diameter / 2.0 + CLAMP_GAP;
    let (out, t, zc) = (r + c.sheet, c.sheet, c.diameter / 2.0);
    let line = |x: f64, y: f64| Node {
        at: DVec2::new(x, y),
        arc: None,
    };
    let arc = |x: f64, y: f64, ccw: bool| Node {
        at: DVec2::new(x, y),
        arc: Some(Arc {
            centre: DVec2::new(0.0, zc),
            ccw,
        }),
    };
    let lug = c.half_lugs;
    let outline = Loop {
        nodes: vec![
            line(-lug, 0.0),
            line(-r, 0.0),
            arc(-r, zc, false),
            line(r, zc),
            line(r, 0.0),
            line(lug, 0.0),
            line(lug, t),
            line(out, t),
            arc(out, zc, true),
            line(-out, zc),
            line(-out, t),
            line(-lug, t),
        ],
    };
    let holes = [-1.0, 1.0].map(|s| {
        through(
            DVec3::new(s * c.half_spacing, t, c.band / 2.0),
            -DVec3::Y,
            c.hole / 2.0,
            t,
        )
    });
    prism(outline, 0.0, c.band, holes.to_vec())
}
