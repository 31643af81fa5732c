//! Round stepped holes between parallel flat faces.
//!
//! A hole adds the two half circles of its mouth (and exit) to the loops of the faces it enters and leaves, and its
//! walls; nothing else of the body changes. So everything that would make this wrong is looked for: a circle
//! that reaches an edge of its face, two holes that meet, a wall in the hole's way ([`super::obstruct`]).

use super::maker::{Corner, Frame, Maker};
use super::obstruct::{self, Bore};
use super::site::Site;
use super::{Body, Curve, Hole, SolidError, Surface};
use crate::outline::{Box2, SAME_POINT, grown, joined, overlap};
use glam::{DVec2, DVec3};
use std::collections::BTreeMap;

pub(crate) fn drill(maker: &mut Maker, holes: &[Hole]) -> Result<(), SolidError> {
    if holes.is_empty() {
        return Ok(());
    }
    let mut bores = Vec::with_capacity(holes.len());
    let mut sites: BTreeMap<u32, Site> = BTreeMap::new();
    let mut lists: Vec<Faces> = vec![];
    for (index, hole) in holes.iter().enumerate() {
        let (dir, profile) = plain(index, hole)?;
        let list = match lists.iter().position(|l| l.dir == dir) {
            Some(i) => &lists[i],
            None => {
                lists.push(Faces::along(&maker.body, dir));
                &lists[lists.len() - 1]
            }
        };
        let mouth = list.enter(
            &maker.body,
            &mut sites,
            index,
            hole.at,
            profile[0].y,
            Facing::Against,
        )?;
        let last = profile[profile.len() - 1];
        let mut bore = Bore {
            frame: Frame::about(mouth.at, mouth.axis),
            profile,
            faces: [mouth.face; 2],
        };
        if !hole.blind {
            let end = hole.at + dir * last.x;
            let exit = list.enter(&maker.body, &mut sites, index, end, last.y, Facing::Along)?;
            bore.faces[1] = exit.face;
            // The far face says how deep the hole is, to the last bit.
            let deep = (exit.at - mouth.at).dot(mouth.axis);
            for p in bore
                .profile
                .iter_mut()
                .rev()
                .take_while(|p| (p.x - last.x).abs() <= SAME_POINT)
            {
                p.x = deep;
            }
        }
        bores.push(bore);
    }
    for site in sites.values() {
        site.check_circles()?;
    }
    obstruct::check(&maker.body, &bores)?;
    for (bore, hole) in bores.iter().zip(holes) {
        cut(maker, bore, hole.blind);
    }
    Ok(())
}

/// The unit direction and the profile without doubled points, or what is wrong with the hole.
fn plain(index: usize, hole: &Hole) -> Result<(DVec3, Vec<DVec2>), SolidError> {
    let wrong = |why: &str| {
        Err(SolidError::HoleProfile {
            index,
            why: why.into(),
        })
    };
    if !hole.at.is_finite() || hole.profile.iter().any(|p| !p.is_finite()) {
        return wrong("a number is not finite");
    }
    let Some(dir) = hole.dir.try_normalize() else {
        return wrong("it has no direction");
    };
    let mut profile: Vec<DVec2> = vec![];
    for &p in &hole.profile {
        if profile.last().is_none_or(|q| q.distance(p) > SAME_POINT) {
            profile.push(p);
        }
    }
    if profile.len() < 2 {
        return wrong("it has no depth");
    }
    let n = profile.len();
    for i in 0..n {
        if profile[i].y < -SAME_POINT {
            return wrong("a radius is negative");
        }
        if profile[i].y <= SAME_POINT {
            profile[i].y = 0.0;
            if !(hole.blind && i == n - 1) {
                return wrong("a radius is zero before the tip");
            }
        }
        if i > 0 {
            if profile[i].x < profile[i - 1].x - SAME_POINT {
                return wrong("a step lies less deep than the one before");
            }
            if profile[i].x - profile[i - 1].x <= SAME_POINT {
                profile[i].x = profile[i - 1].x;
            }
            if (profile[i].y - profile[i - 1].y).abs() <= 1e-9 {
                profile[i].y = profile[i - 1].y;
            }
        }
    }
    if profile[0].x.abs() > SAME_POINT {
        return wrong("it does not begin at depth 0");
    }
    profile[0].x = 0.0;
    if profile[1].x == 0.0 {
        return wrong("it begins with a flat step in the face itself");
    }
    if !hole.blind && profile[n - 1].x == profile[n - 2].x {
        return wrong("it ends with a flat step in the far face itself");
    }
    Ok((dir, profile))
}

#[derive(Clone, Copy, PartialEq)]
enum Facing {
    /// Outward normal against the hole's direction: where it enters.
    Against,
    /// Outward normal along it: where it leaves.
    Along,
}

/// Flat faces square to a direction, sorted by where they stand along it.
struct Faces {
    dir: DVec3,
    list: Vec<(f64, u32, Facing, Box2)>,
    frame: Frame,
}

/// Where a hole passes a face.
struct Passage {
    face: u32,
    at: DVec3,
    axis: DVec3,
}

impl Faces {
    fn along(body: &Body, dir: DVec3) -> Faces {
        let frame = Frame::about(DVec3::ZERO, dir);
        let mut list = vec![];
        for (i, f) in body.faces.iter().enumerate() {
            let Surface::Plane { origin, normal } = f.surface else {
                continue;
            };
            if normal.cross(dir).length() > 1e-9 {
                continue;
            }
            let facing = if (normal.dot(dir) > 0.0) == f.sense {
                Facing::Along
            } else {
                Facing::Against
            };
            let flat = f.loops[0].iter().map(|&(e, _)| {
                let edge = &body.edges[e as usize];
                let [p, q] = edge.ends.map(|v| frame.flat(body.vertices[v as usize]));
                // Roomy for an arc; the box only spares a closer look.
                match edge.curve {
                    Curve::Arc { centre, radius, .. } => grown(&[frame.flat(centre); 2], radius),
                    Curve::Line => [p.min(q), p.max(q)],
                }
            });
            let Some(b) = flat.reduce(joined) else {
                continue;
            };
            list.push((origin.dot(dir), i as u32, facing, b));
        }
        list.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        Faces { dir, list, frame }
    }

    /// Enters a circle into the face at `at`.
    fn enter(
        &self,
        body: &Body,
        sites: &mut BTreeMap<u32, Site>,
        index: usize,
        at: DVec3,
        radius: f64,
        facing: Facing,
    ) -> Result<Passage, SolidError> {
        let offset = at.dot(self.dir);
        let flat = self.frame.flat(at);
        let from = self.list.partition_point(|f| f.0 < offset - SAME_POINT);
        for f in self.list[from..]
            .iter()
            .take_while(|f| f.0 <= offset + SAME_POINT)
        {
            if f.2 != facing || !overlap(&f.3, &[flat, flat]) {
                continue;
            }
            let site = match sites.entry(f.1) {
                std::collections::btree_map::Entry::Occupied(e) => e.into_mut(),
                std::collections::btree_map::Entry::Vacant(e) => match Site::new(body, f.1) {
                    Some(s) => e.insert(s),
                    None => continue,
                },
            };
            let p = site.frame.flat(at);
            if !site.contains(p) {
                continue;
            }
            if !site.clear(p, radius) {
                return Err(SolidError::HoleReachesEdge { index, radius, at });
            }
            site.circles.push((index, p, radius));
            let w = site.frame.w;
            let axis = if facing == Facing::Along { w } else { -w };
            return Ok(Passage {
                face: f.1,
                at: at - w * (at - site.frame.o).dot(w),
                axis,
            });
        }
        Err(SolidError::HoleFindsNoFace { index, at })
    }
}

fn cut(maker: &mut Maker, bore: &Bore, blind: bool) {
    // From the end to the mouth: so the material, which lies outside the hole, is on the left.
    let mut corners: Vec<Corner> = bore
        .profile
        .iter()
        .rev()
        .map(|p| Corner {
            r: p.y,
            z: p.x,
            arc: None,
        })
        .collect();
    if blind && corners[0].r > 0.0 {
        corners.insert(
            0,
            Corner {
                r: 0.0,
                ..corners[0]
            },
        );
    }
    let rings = maker.turn(&bore.frame, &corners, false);
    if let Some([a, b]) = rings[rings.len() - 1] {
        maker.body.faces[bore.faces[0] as usize]
            .loops
            .push(vec![(a, true), (b, true)]);
    }
    if !blind && let Some([a, b]) = rings[0] {
        maker.body.faces[bore.faces[1] as usize]
            .loops
            .push(vec![(b, false), (a, false)]);
    }
}
