//! Flat parts, angle stock, feet and handle.

use super::{Builder, Label, prism, through, turned};
use crate::assembly::{Group, Kind};
use crate::design::{AngleBar, Design, Face, Flat, FlatHole, HandleSpec, HoleShape};
use crate::outline::{self, Arc, Loop, Node, Region};
use crate::pose::Pose;
use crate::solid::{Hole, Layer, Recipe};
use glam::{DVec2, DVec3};

pub(super) fn add(design: &Design, b: &mut Builder) {
    for f in &design.flats {
        let owner = if f.id.ends_with("-overlay") {
            f.id.trim_end_matches("-overlay")
        } else {
            &f.id
        };
        let label = Label {
            id: &f.id,
            owner,
            kind: f.kind,
            group: f.group,
            material: &f.material,
            moves: f.moves,
        };
        b.add(label, recipe(f), f.pose);
    }
    for a in &design.angles {
        let label = Label {
            id: &a.id,
            owner: &a.id,
            kind: a.kind,
            group: a.group,
            material: &a.material,
            moves: a.moves,
        };
        b.add(label, angle(a), a.pose);
    }
    for f in &design.feet {
        let deep = f.height - f.web;
        let (r, bore, recess) = (f.diameter / 2.0, f.bore / 2.0, f.recess / 2.0);
        // a ring: web with the shank's bore above, recess for the head below
        let ring = turned(&[
            (bore, -f.web),
            (recess, -f.web),
            (recess, -f.web - deep),
            (r, -f.web - deep),
            (r, 0.0),
            (bore, 0.0),
        ]);
        let label = Label {
            id: &f.id,
            owner: &f.id,
            kind: Kind::Foot,
            group: Group::Cabinet,
            material: "rubber",
            moves: false,
        };
        b.add(label, ring, f.pose);
    }
    if let Some(h) = &design.handle {
        let label = Label {
            id: "handle",
            owner: "handle",
            kind: Kind::Handle,
            group: Group::Cabinet,
            material: "steel low carbon",
            moves: false,
        };
        let pose = Pose::from_axes(DVec3::X, DVec3::Z, h.pose.at + DVec3::Y * (h.width / 2.0));
        b.add(label, handle(h), pose);
    }
}

/// A hole of a flat part as the solid needs it; cut outlines are handled with the layers.
fn drilled(h: &FlatHole, t: f64) -> Option<Hole> {
    let from = |face: Face| match face {
        Face::Front => (DVec3::new(h.at.x, h.at.y, t), -DVec3::Z),
        Face::Back => (DVec3::new(h.at.x, h.at.y, 0.0), DVec3::Z),
    };
    match h.shape {
        HoleShape::Round { d } => {
            let (at, dir) = from(Face::Back);
            Some(through(at, dir, d / 2.0, t))
        }
        HoleShape::Countersunk {
            d,
            head,
            angle,
            face,
        } => {
            let (at, dir) = from(face);
            let half = (angle / 2.0).to_radians().tan();
            let cone = (head - d) / 2.0 / half;
            let profile = if cone < t - 1e-6 {
                vec![
                    DVec2::new(0.0, head / 2.0),
                    DVec2::new(cone, d / 2.0),
                    DVec2::new(t, d / 2.0),
                ]
            } else {
                // the head is deeper than the sheet: the cone comes out of the other face
                vec![
                    DVec2::new(0.0, head / 2.0),
                    DVec2::new(t, head / 2.0 - t * half),
                ]
            };
            Some(Hole {
                at,
                dir,
                profile,
                blind: false,
            })
        }
        HoleShape::Pilot {
            thread,
            depth,
            face,
            ..
        } => {
            let (at, dir) = from(face);
            Some(Hole {
                at,
                dir,
                profile: vec![
                    DVec2::new(0.0, thread / 2.0),
                    DVec2::new(depth, thread / 2.0),
                ],
                blind: true,
            })
        }
        HoleShape::Cut { .. } => None,
    }
}

fn recipe(f: &Flat) -> Recipe {
    let t = f.thickness;
    let holes: Vec<Hole> = f.holes.iter().filter_map(|h| drilled(h, t)).collect();
    let windows: Vec<Loop> = f
        .holes
        .iter()
        .filter_map(|h| match &h.shape {
            HoleShape::Cut { outline } => Some(outline.clone()),
            _ => None,
        })
        .collect();
    if let Some(top) = &f.bevel {
        return Recipe::Bevelled {
            bottom: f.outline.clone(),
            top: top.clone(),
            thickness: t,
            windows,
            holes,
        };
    }
    // depths at which the section changes
    let mut cuts = vec![0.0, t];
    for p in &f.pockets {
        cuts.push(if p.face == Face::Front {
            t - p.depth
        } else {
            p.depth
        });
    }
    cuts.retain(|z| (0.0..=t).contains(z));
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let layers = cuts
        .windows(2)
        .map(|w| {
            let mid = f64::midpoint(w[0], w[1]);
            let taken: Vec<Region> = f
                .pockets
                .iter()
                .filter(|p| {
                    if p.face == Face::Front {
                        mid > t - p.depth
                    } else {
                        mid < p.depth
                    }
                })
                .map(|p| Region::solid(Loop::rect(p.low, p.high)))
                .collect();
            let whole = Region {
                outer: f.outline.clone(),
                inner: windows.clone(),
            };
            let mut rest = vec![whole];
            for cut in taken {
                // what cannot be cut is left whole: the solid then shows the overlap
                if let Ok(r) = outline::difference(&rest, &[cut]) {
                    rest = r;
                }
            }
            Layer {
                top: w[1],
                regions: rest,
            }
        })
        .collect();
    Recipe::Layered {
        base: 0.0,
        layers,
        holes,
    }
}

fn angle(a: &AngleBar) -> Recipe {
    let (l, t, r) = (a.leg, a.thickness, a.fillet);
    let line = |x: f64, y: f64| Node {
        at: DVec2::new(x, y),
        arc: None,
    };
    let mut nodes = vec![line(0.0, 0.0), line(l, 0.0), line(l, t)];
    if r > 1e-6 {
        nodes.push(Node {
            at: DVec2::new(t + r, t),
            arc: Some(Arc {
                centre: DVec2::new(t + r, t + r),
                ccw: false,
            }),
        });
        nodes.push(line(t, t + r));
    } else {
        nodes.push(line(t, t));
    }
    nodes.extend([line(t, l), line(0.0, l)]);
    let mut holes = Vec::new();
    for (z, d) in &a.plate_leg {
        holes.push(through(DVec3::new(a.gauge, 0.0, *z), DVec3::Y, d / 2.0, t));
    }
    for (z, d) in &a.panel_leg {
        holes.push(through(DVec3::new(0.0, a.gauge, *z), DVec3::X, d / 2.0, t));
    }
    prism(Loop { nodes }, 0.0, a.length, holes)
}

/// Side view in x and z of the amp, extruded over the width.
fn handle(h: &HandleSpec) -> Recipe {
    let s = h.spacing / 2.0;
    let bar = 9.0;
    let p = |x: f64, z: f64| DVec2::new(x, z);
    let outline = Loop::polygon(&[
        p(-s - 12.0, 0.0),
        p(-s + 20.0, 0.0),
        p(-s + 20.0, h.height - bar),
        p(s - 20.0, h.height - bar),
        p(s - 20.0, 0.0),
        p(s + 12.0, 0.0),
        p(s + 12.0, h.end),
        p(s - 9.0, h.end),
        p(s - 9.0, h.height),
        p(-s + 9.0, h.height),
        p(-s + 9.0, h.end),
        p(-s - 12.0, h.end),
    ]);
    let holes = [-s, s].map(|x| {
        through(
            DVec3::new(x, h.end, h.width / 2.0),
            -DVec3::Y,
            h.hole / 2.0,
            h.end,
        )
    });
    prism(outline, 0.0, h.width, holes.to_vec())
}
