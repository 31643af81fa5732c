//! Screws, nuts and washers, and the joints they make.

use super::{Builder, Label, prism, turned};
use crate::assembly::{Group, How, Kind, Rule};
use crate::design::{Bond, CONE_GAP, Design, FACE_GAP, Fastener, InsertSpec, RivetSpec};
use crate::outline::{Loop, Region};
use crate::params::Head;
use crate::solid::{Layer, Recipe};
use glam::{DVec2, DVec3};

pub(super) fn add(design: &Design, b: &mut Builder) {
    for f in &design.fasteners {
        solids(f, b);
        joints(f, b);
    }
    for r in &design.rivets {
        rivet(r, b);
    }
    for i in &design.inserts {
        insert(i, b);
    }
}

/// Body, dome head and blind head in one, both heads as plain discs of their full height.
fn rivet(r: &RivetSpec, b: &mut Builder) {
    let row = r.row;
    let (body, head, blind) = (row.diameter / 2.0, row.head / 2.0, row.blind / 2.0);
    let recipe = turned(&[
        (0.0, -row.head_height),
        (head, -row.head_height),
        (head, 0.0),
        (body, 0.0),
        (body, r.grip),
        (blind, r.grip),
        (blind, r.grip + row.blind_height),
        (0.0, r.grip + row.blind_height),
    ]);
    b.add(
        Label {
            id: &r.id,
            owner: &r.owner,
            kind: Kind::Screw,
            group: Group::Chassis,
            material: "aluminium 5052-H32",
            moves: true,
        },
        recipe,
        r.pose,
    );
}

/// A threaded insert as a ring; a T-nut with its flange outside the wood, its barrel a little slimmer than the hole.
fn insert(i: &InsertSpec, b: &mut Builder) {
    let ring = |outside: f64| {
        let mut region = Region::solid(Loop::circle(DVec2::ZERO, outside / 2.0));
        region.inner.push(Loop::circle(DVec2::ZERO, i.bore / 2.0));
        region
    };
    let layers = if i.flange > 0.0 {
        vec![
            Layer::new(0.0, ring(i.row.outside)),
            Layer::new(i.row.length, ring(i.row.hole - 0.1)),
        ]
    } else {
        vec![Layer::new(i.row.length, ring(i.row.outside))]
    };
    b.add(
        Label {
            id: &i.id,
            owner: &i.owner,
            kind: Kind::Nut,
            group: i.group,
            material: if i.flange > 0.0 {
                "steel low carbon"
            } else {
                "brass"
            },
            moves: false,
        },
        Recipe::Layered {
            base: -i.flange,
            layers,
            holes: Vec::new(),
        },
        i.pose,
    );
}

// a seated cone must pass as touching
const _: () = assert!(CONE_GAP < FACE_GAP);

/// Where the washer lies under the head, a pan head starts on top of it.
fn under_head(f: &Fastener) -> f64 {
    if f.nut.is_none() {
        f.washer_thickness()
    } else {
        0.0
    }
}

fn solids(f: &Fastener, b: &mut Builder) {
    let row = f.row;
    let r = row.major / 2.0;
    let lift = under_head(f);
    let recipe = match f.head {
        Head::Pan => {
            let (hr, hh) = (row.pan_diameter / 2.0, row.pan_height);
            turned(&[
                (0.0, -lift - hh),
                (hr, -lift - hh),
                (hr, -lift),
                (r, -lift),
                (r, f.length - lift),
                (0.0, f.length - lift),
            ])
        }
        Head::Countersunk => {
            let hr = row.csk_diameter / 2.0;
            let cone = (hr - r) / (row.csk_angle / 2.0).to_radians().tan();
            let z = f.sunk;
            turned(&[
                (0.0, z),
                (hr, z),
                (r, z + cone),
                (r, z + f.length),
                (0.0, z + f.length),
            ])
        }
    };
    let label = |id| Label {
        id,
        owner: &f.owner,
        kind: Kind::Screw,
        group: f.group,
        material: "steel low carbon",
        moves: f.moves,
    };
    b.add(label(&f.id), recipe, f.pose);
    if let Some(id) = &f.washer {
        let z = if f.nut.is_some() { f.grip } else { -lift };
        let mut region = Region::solid(Loop::circle(DVec2::ZERO, row.washer / 2.0));
        region
            .inner
            .push(Loop::circle(DVec2::ZERO, row.close / 2.0));
        let ring = Recipe::Layered {
            base: 0.0,
            layers: vec![Layer::new(row.washer_thickness, region)],
            holes: Vec::new(),
        };
        b.add(
            Label {
                kind: Kind::Washer,
                ..label(id)
            },
            ring,
            f.pose.offset(DVec3::Z * z),
        );
    }
    if let Some(id) = &f.nut {
        let z = f.grip + f.washer_thickness();
        let hex = Loop::hexagon(DVec2::ZERO, row.nut, 0.0);
        let mut nut = prism(hex, 0.0, row.nut_thickness, Vec::new());
        if let Recipe::Layered { layers, .. } = &mut nut {
            layers[0].regions[0]
                .inner
                .push(Loop::circle(DVec2::ZERO, r));
        }
        b.add(
            Label {
                kind: Kind::Nut,
                ..label(id)
            },
            nut,
            f.pose.offset(DVec3::Z * z),
        );
    }
}

fn joints(f: &Fastener, b: &mut Builder) {
    let washer_gap = (f.row.close - f.row.major) / 2.0 + FACE_GAP;
    for (k, p) in f.through.iter().enumerate() {
        let bond = if k == 0 && f.head == Head::Countersunk {
            Bond {
                a: f.id.clone(),
                b: p.id.clone(),
                how: How::Seated,
                rule: Rule::Flush {
                    proud: 0.0,
                    given: -f.sunk,
                },
            }
        } else if k == 0 && under_head(f) == 0.0 {
            Bond::face(&f.id, &p.id, How::Seated)
        } else {
            Bond::gap(&f.id, &p.id, How::Through, p.gap + FACE_GAP)
        };
        b.join(bond);
    }
    let near = f.through.first().map(|p| p.id.as_str());
    let far = f.through.last().map(|p| p.id.as_str());
    if let Some(nut) = &f.nut {
        b.join(Bond::face(nut, &f.id, How::Threaded));
        let seat = f.washer.as_deref().or(far);
        if let Some(seat) = seat {
            b.join(Bond::face(nut, seat, How::Seated));
        }
        if let (Some(w), Some(far)) = (&f.washer, far) {
            b.join(Bond::face(w, far, How::Seated));
            b.join(Bond::gap(w, &f.id, How::Through, washer_gap));
        }
    } else if let Some(w) = &f.washer {
        b.join(Bond::face(w, &f.id, How::Seated));
        if let Some(near) = near {
            b.join(Bond::face(w, near, How::Seated));
        }
    }
    if let Some(into) = &f.bites {
        b.join(Bond::face(&f.id, into, How::Threaded));
    }
}
