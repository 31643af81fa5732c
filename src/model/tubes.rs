//! Tubes at their largest outline, sockets, retainers.

use super::{Builder, Label};
use crate::assembly::{Group, Kind};
use crate::design::{Design, RetainerSpec, TubeSpec};
use crate::outline::{self, Arc, Loop, Node, Region};
use crate::params::TubeRole;
use crate::solid::{Layer, Recipe};
use glam::{DVec2, DVec3};

pub(super) fn add(design: &Design, b: &mut Builder) {
    for t in &design.tubes {
        let kind = match t.role {
            TubeRole::Preamp => Kind::SmallTube,
            TubeRole::Power => Kind::PowerTube,
            TubeRole::Rectifier => Kind::Rectifier,
        };
        let label = |id, kind, group, material| Label {
            id,
            owner: &t.id,
            kind,
            group,
            material,
            moves: true,
        };
        b.add(
            label(&t.id, kind, Group::Above, "glass"),
            bulb(t),
            t.pose.offset(DVec3::Z * t.socket_top),
        );
        let id = format!("{}-socket", t.id);
        b.add(
            label(&id, Kind::Socket, Group::Below, "phenolic"),
            socket(t),
            t.pose,
        );
        if let Some(r) = &t.retainer {
            let id = format!("{}-retainer", t.id);
            b.add(
                label(&id, Kind::Retainer, Group::Above, "aluminium 5052-H32"),
                retainer(t, r),
                t.pose,
            );
        }
    }
}

/// Seated on z = 0: base shell, bulb, shoulder as a quarter of a ring, flat tip.
fn bulb(t: &TubeSpec) -> Recipe {
    let r = t.diameter / 2.0;
    let shoulder = (r * 0.6).min(t.seated / 3.0);
    let line = |x: f64, z: f64| Node {
        at: DVec2::new(x, z),
        arc: None,
    };
    let mut nodes = vec![line(0.0, 0.0)];
    // an octal base is a little slimmer than a fat bulb; the bulb's widest part starts over it
    let base = r.min(16.65);
    if t.shell > 0.0 && base < r - 0.5 && t.shell + (r - base) < t.seated - shoulder {
        nodes.extend([
            line(base, 0.0),
            line(base, t.shell),
            line(r, t.shell + (r - base)),
        ]);
    } else {
        nodes.push(line(r, 0.0));
    }
    let centre = DVec2::new(r - shoulder, t.seated - shoulder);
    nodes.push(Node {
        at: DVec2::new(r, t.seated - shoulder),
        arc: Some(Arc { centre, ccw: true }),
    });
    nodes.push(line(r - shoulder, t.seated));
    nodes.push(line(0.0, t.seated));
    Recipe::Turned {
        profile: Loop { nodes },
        holes: Vec::new(),
    }
}

/// A strip with round ends over the two screws, and a ring's outline about the tube.
fn saddle(spacing: f64, strip: f64, ring: f64) -> Loop {
    let half = DVec2::new(spacing / 2.0, 0.0);
    let ears = Loop::slot(-half, half, strip / 2.0);
    let round = Loop::circle(DVec2::ZERO, ring);
    let joined = outline::union(&[Region::solid(ears)], &[Region::solid(round)]);
    // one outline, unless the two touch in a way that has no clear answer: then the wider strip
    match joined.as_deref() {
        Ok([one]) => one.outer.clone(),
        _ => Loop::slot(-half, half, ring),
    }
}

fn screw_holes(t: &TubeSpec) -> Option<[Loop; 2]> {
    let d = crate::catalogue::screw(&t.socket.screw)?.normal;
    Some([-0.5, 0.5].map(|s| Loop::circle(DVec2::new(s * t.socket.spacing, 0.0), d / 2.0)))
}

/// z = 0 is the component face: body below, flange against the wiring face, body through the hole.
fn socket(t: &TubeSpec) -> Recipe {
    let s = t.socket;
    let body = || Region::solid(Loop::circle(DVec2::ZERO, s.body / 2.0));
    let mut flange = Region::solid(saddle(s.spacing, s.flange_width, s.body / 2.0 + 1.0));
    flange.inner.extend(screw_holes(t).into_iter().flatten());
    // a body that would reach the screws is drawn in below the flange
    let below = (s.body / 2.0).min(s.spacing / 2.0 - 4.5);
    Recipe::Layered {
        base: -t.plate - s.below,
        layers: vec![
            Layer::new(
                -t.plate - s.flange,
                Region::solid(Loop::circle(DVec2::ZERO, below)),
            ),
            Layer::new(-t.plate, flange),
            Layer::new(t.socket_top, body()),
        ],
        holes: Vec::new(),
    }
}

/// A saddle on the plate under the socket's screws, and a tube open at the top, notched where their heads stand.
fn retainer(t: &TubeSpec, r: &RetainerSpec) -> Recipe {
    let hole = Loop::circle(DVec2::ZERO, r.inside);
    let mut foot = Region::solid(saddle(
        t.socket.spacing,
        t.socket.flange_width,
        r.inside + r.wall + 0.5,
    ));
    foot.inner.push(Loop::circle(DVec2::ZERO, r.foot_hole));
    foot.inner.extend(screw_holes(t).into_iter().flatten());
    let mut ring = Region::solid(Loop::circle(DVec2::ZERO, r.inside + r.wall));
    ring.inner.push(hole);
    let mut layers = vec![Layer::new(r.saddle, foot)];
    if let Some(screw) = crate::catalogue::screw(&t.socket.screw)
        && t.socket.spacing / 2.0 - screw.pan_diameter / 2.0 - HEAD_ROOM < r.inside + r.wall
    {
        let heads = [-0.5, 0.5].map(|s| {
            Region::solid(Loop::circle(
                DVec2::new(s * t.socket.spacing, 0.0),
                screw.pan_diameter / 2.0 + HEAD_ROOM,
            ))
        });
        let top = r.saddle + screw.pan_height + HEAD_ROOM;
        // outlines of a few arcs about two axes always combine; a plain ring would show as an overlap
        let notched = outline::difference(std::slice::from_ref(&ring), &heads)
            .unwrap_or_else(|_| vec![ring.clone()]);
        if top < r.height - 1.0 {
            layers.push(Layer {
                top,
                regions: notched,
            });
        }
    }
    layers.push(Layer::new(r.height, ring));
    Recipe::Layered {
        base: 0.0,
        layers,
        holes: Vec::new(),
    }
}

/// Room round and over a screw head in a retainer's notch, mm.
const HEAD_ROOM: f64 = 0.5;
