//! Whether a body is a closed, outward-oriented solid whose points lie where the record says.

use super::{Body, Curve, SolidError, Surface};
use glam::DVec3;
use std::f64::consts::PI;

/// How far a point may lie off its curve or surface, mm.
pub(crate) const ON: f64 = 1e-9;

impl Surface {
    /// Signed distance of `p` along the surface's own normal, mm (for a cone square to its side).
    #[must_use]
    pub fn distance(&self, p: DVec3) -> f64 {
        let from_axis = |o: DVec3, axis: DVec3| {
            let d = p - o;
            let z = d.dot(axis);
            ((d - axis * z).length(), z)
        };
        match *self {
            Surface::Plane { origin, normal } => (p - origin).dot(normal),
            Surface::Cylinder {
                origin,
                axis,
                radius,
            } => from_axis(origin, axis).0 - radius,
            Surface::Cone {
                origin,
                axis,
                radius,
                slope,
            } => {
                let (r, z) = from_axis(origin, axis);
                (r - radius - slope * z) / slope.hypot(1.0)
            }
            Surface::Sphere { centre, radius, .. } => p.distance(centre) - radius,
            Surface::Torus {
                centre,
                axis,
                major,
                minor,
            } => {
                let (r, z) = from_axis(centre, axis);
                (r - major).hypot(z) - minor
            }
        }
    }

    /// The surface's own unit normal at a point on it (zero where it has none, such as a cone's tip).
    #[must_use]
    pub fn normal(&self, p: DVec3) -> DVec3 {
        let radial = |o: DVec3, axis: DVec3| {
            let d = p - o;
            let out = d - axis * d.dot(axis);
            // On the axis the direction of what is left is noise.
            if out.length() < ON {
                DVec3::ZERO
            } else {
                out.normalize()
            }
        };
        match *self {
            Surface::Plane { normal, .. } => normal,
            Surface::Cylinder { origin, axis, .. } => radial(origin, axis),
            Surface::Cone {
                origin,
                axis,
                slope,
                ..
            } => match radial(origin, axis) {
                DVec3::ZERO => DVec3::ZERO,
                out => (out - axis * slope).normalize(),
            },
            Surface::Sphere { centre, .. } => (p - centre).normalize_or_zero(),
            Surface::Torus {
                centre,
                axis,
                major,
                ..
            } => (p - centre - radial(centre, axis) * major).normalize_or_zero(),
        }
    }
}

impl Body {
    /// Whether this is one sound solid: each edge used twice, in opposite directions; loops closed; the faces about
    /// each vertex form one fan; vertices and edges on their curves and surfaces to 1e-9 mm; every face oriented
    /// outwards; one shell; volume positive.
    ///
    /// # Errors
    /// [`SolidError::Unsound`] with the first fault found, or [`SolidError::Pieces`].
    pub fn check(&self) -> Result<(), SolidError> {
        self.check_links()?;
        self.check_places()?;
        self.check_fans()?;
        self.check_faces()?;
        match self.shells() {
            1 => {}
            count => return Err(SolidError::Pieces { count }),
        }
        let volume = self.volume();
        if volume > 0.0 {
            Ok(())
        } else {
            Err(SolidError::unsound(format!("its volume is {volume} mm3")))
        }
    }

    fn check_links(&self) -> Result<(), SolidError> {
        let (nv, ne) = (self.vertices.len(), self.edges.len());
        if self.vertices.iter().any(|v| !v.is_finite()) {
            return Err(SolidError::unsound("a point is not finite"));
        }
        if self
            .edges
            .iter()
            .flat_map(|e| e.ends)
            .any(|v| v as usize >= nv)
        {
            return Err(SolidError::unsound(
                "an edge names a point that is not there",
            ));
        }
        let mut uses = vec![[0u32; 2]; ne];
        for f in &self.faces {
            if f.loops.is_empty() {
                return Err(SolidError::unsound("a face has no edges"));
            }
            for l in &f.loops {
                for (i, &h) in l.iter().enumerate() {
                    let Some(u) = uses.get_mut(h.0 as usize) else {
                        return Err(SolidError::unsound(
                            "a face names an edge that is not there",
                        ));
                    };
                    u[usize::from(h.1)] += 1;
                    let next = l[(i + 1) % l.len()];
                    if next.0 as usize >= ne || self.end(h) != self.start(next) {
                        return Err(SolidError::unsound(
                            "the edges of a face do not follow one another",
                        ));
                    }
                }
            }
        }
        match uses.iter().position(|u| *u != [1, 1]) {
            None => Ok(()),
            Some(i) => {
                let p = self.edge_point(i as u32, 0.5);
                Err(SolidError::unsound(format!(
                    "the edge at ({:.4}, {:.4}, {:.4}) is not shared by two faces",
                    p.x, p.y, p.z
                )))
            }
        }
    }

    fn check_places(&self) -> Result<(), SolidError> {
        let off = |what: &str, p: DVec3, by: f64| {
            Err(SolidError::unsound(format!(
                "{what} at ({:.4}, {:.4}, {:.4}) is {by:.1e} mm off",
                p.x, p.y, p.z
            )))
        };
        for (i, e) in self.edges.iter().enumerate() {
            let [p, q] = e.ends.map(|v| self.vertices[v as usize]);
            if e.ends[0] == e.ends[1] || p.distance(q) < 1e-7 {
                return Err(SolidError::unsound(format!(
                    "an edge at ({:.4}, {:.4}, {:.4}) has no length",
                    p.x, p.y, p.z
                )));
            }
            if let Curve::Arc {
                centre,
                axis,
                radius,
            } = e.curve
            {
                for v in [p, q] {
                    let d = v - centre;
                    let miss = (d.length() - radius).abs().max(d.dot(axis).abs());
                    if miss > ON {
                        return off("the end of an arc", v, miss);
                    }
                }
                if self.edge_sweep(i as u32) > PI + 1e-7 {
                    return Err(SolidError::unsound("an arc turns more than half a turn"));
                }
            }
        }
        for f in &self.faces {
            for &(e, _) in f.loops.iter().flatten() {
                for t in [0.0, 0.37] {
                    let p = self.edge_point(e, t);
                    let miss = f.surface.distance(p).abs();
                    if miss > ON {
                        return off("an edge of a face", p, miss);
                    }
                }
            }
        }
        Ok(())
    }

    /// The faces about each vertex must form one fan: two solids that touch in a point are none.
    fn check_fans(&self) -> Result<(), SolidError> {
        // From each edge leaving a vertex, turn over the face on its left to the next edge that leaves it.
        let leaving = |h: (u32, bool)| 2 * h.0 as usize + usize::from(!h.1);
        let mut turn = vec![u32::MAX; 2 * self.edges.len()];
        for l in self.faces.iter().flat_map(|f| &f.loops) {
            for (i, &h) in l.iter().enumerate() {
                let before = l[(i + l.len() - 1) % l.len()];
                turn[leaving(h)] = leaving((before.0, !before.1)) as u32;
            }
        }
        let mut seen = vec![false; turn.len()];
        let mut fans = vec![0u32; self.vertices.len()];
        for first in 0..turn.len() {
            if seen[first] {
                continue;
            }
            fans[self.start((first as u32 / 2, first.is_multiple_of(2))) as usize] += 1;
            let mut at = first;
            while !seen[at] {
                seen[at] = true;
                at = turn[at] as usize;
            }
        }
        match fans.iter().position(|&n| n != 1) {
            None => Ok(()),
            Some(i) => {
                let p = self.vertices[i];
                let what = if fans[i] == 0 {
                    "belongs to no face"
                } else {
                    "joins parts that only touch there"
                };
                Err(SolidError::unsound(format!(
                    "the point ({:.4}, {:.4}, {:.4}) {what}",
                    p.x, p.y, p.z
                )))
            }
        }
    }

    fn check_faces(&self) -> Result<(), SolidError> {
        for f in &self.faces {
            let place = || self.vertices[self.start(f.loops[0][0]) as usize];
            let bad = |why: &str| {
                let p = place();
                Err(SolidError::unsound(format!(
                    "the face at ({:.4}, {:.4}, {:.4}) {why}",
                    p.x, p.y, p.z
                )))
            };
            if let Some(flat) = self.flat(f) {
                let outer = flat.loops[0].area();
                if outer <= 0.0 || flat.loops[1..].iter().any(|l| l.area() >= 0.0) {
                    return bad("has a loop that runs the wrong way");
                }
            } else {
                let Some(p) = self.patch(f) else {
                    return bad("is not bounded by rings and meridians");
                };
                let (angle, t) = (p.sweep / 2.0, 0.5);
                let q = p.point(angle, t);
                let own = f.surface.normal(q) * if f.sense { 1.0 } else { -1.0 };
                if f.surface.distance(q).abs() > ON || own.dot(p.normal(angle, t)) < 1.0 - 1e-9 {
                    return bad("does not face outwards");
                }
            }
        }
        Ok(())
    }

    /// Number of closed shells: sets of faces connected over edges.
    #[must_use]
    pub fn shells(&self) -> usize {
        let mut of_edge = vec![u32::MAX; self.edges.len()];
        let mut parent: Vec<u32> = (0..self.faces.len() as u32).collect();
        let mut count = self.faces.len();
        for (i, f) in self.faces.iter().enumerate() {
            for &(e, _) in f.loops.iter().flatten() {
                let other = &mut of_edge[e as usize];
                if *other == u32::MAX {
                    *other = i as u32;
                } else {
                    let (a, b) = (root(&mut parent, i as u32), root(&mut parent, *other));
                    if a != b {
                        parent[a.max(b) as usize] = a.min(b);
                        count -= 1;
                    }
                }
            }
        }
        count
    }
}

/// The representative of a set in a forest of parents, with the path shortened.
pub(crate) fn root(parent: &mut [u32], mut i: u32) -> u32 {
    while parent[i as usize] != i {
        parent[i as usize] = parent[parent[i as usize] as usize];
        i = parent[i as usize];
    }
    i
}
