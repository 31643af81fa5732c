//! A face that holes pass.

use super::maker::Frame;
use super::{Body, SolidError};
use crate::outline::{Grid, Loop, SAME_POINT, Seg};
use glam::DVec2;

/// Its loops in its plane, sorted so that each hole looks only at what is near.
pub(super) struct Site {
    pub(super) frame: Frame,
    loops: Vec<Loop>,
    boxes: Grid,
    segs: Vec<Seg>,
    near: Grid,
    /// Hole, centre, radius.
    pub(super) circles: Vec<(usize, DVec2, f64)>,
    found: Vec<u32>,
}

impl Site {
    pub(super) fn new(body: &Body, face: u32) -> Option<Site> {
        let flat = body.flat(&body.faces[face as usize])?;
        let segs: Vec<Seg> = flat.loops.iter().flat_map(Loop::segs).collect();
        let boxes = Grid::new(flat.loops.iter().map(Loop::bounds).collect());
        let near = Grid::new(segs.iter().map(Seg::bounds).collect());
        Some(Site {
            frame: flat.frame,
            loops: flat.loops,
            boxes,
            segs,
            near,
            circles: vec![],
            found: vec![],
        })
    }

    /// Whether a point of the plane lies in the face.
    pub(super) fn contains(&mut self, p: DVec2) -> bool {
        self.boxes.near(&[p, p], &mut self.found);
        let mut outer = false;
        for &i in &self.found {
            if self.loops[i as usize].contains(p) {
                if i > 0 {
                    return false;
                }
                outer = true;
            }
        }
        outer
    }

    pub(super) fn clear(&mut self, p: DVec2, radius: f64) -> bool {
        let reach = radius + SAME_POINT;
        let around = [p - DVec2::splat(reach), p + DVec2::splat(reach)];
        self.near.near(&around, &mut self.found);
        self.found
            .iter()
            .all(|&i| self.segs[i as usize].distance_to_point(p) > reach)
    }

    pub(super) fn check_circles(&self) -> Result<(), SolidError> {
        if self.circles.len() < 2 {
            return Ok(());
        }
        let around = |c: &(usize, DVec2, f64)| [c.1 - DVec2::splat(c.2), c.1 + DVec2::splat(c.2)];
        for (i, j) in Grid::new(self.circles.iter().map(around).collect()).pairs(SAME_POINT) {
            let (a, b) = (&self.circles[i as usize], &self.circles[j as usize]);
            if a.1.distance(b.1) <= a.2 + b.2 + SAME_POINT {
                return Err(SolidError::HolesMeet {
                    first: a.0.min(b.0),
                    second: a.0.max(b.0),
                });
            }
        }
        Ok(())
    }
}
