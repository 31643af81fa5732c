//! A grid of square cells that finds the boxes near a place without looking at them all.

use super::Box2;
use glam::DVec2;

/// Boxes sorted into square cells. Answers are in rising order, so that what is built from them does not
/// depend on chance.
#[derive(Clone, Debug)]
pub struct Grid {
    boxes: Vec<Box2>,
    low: DVec2,
    cell: f64,
    nx: usize,
    ny: usize,
    /// Boxes in each cell, as runs of `ids`.
    start: Vec<u32>,
    ids: Vec<u32>,
    /// Boxes that would fill too many cells, such as a plate's own outline: always looked at.
    wide: Vec<u32>,
}

/// A box that covers more cells than this is kept aside.
const WIDE: usize = 64;

/// Whether two boxes have a point in common.
#[must_use]
pub(crate) fn overlap(a: &Box2, b: &Box2) -> bool {
    a[0].cmple(b[1]).all() && b[0].cmple(a[1]).all()
}

/// The box with `by` added on all sides.
#[must_use]
pub(crate) fn grown(b: &Box2, by: f64) -> Box2 {
    [b[0] - DVec2::splat(by), b[1] + DVec2::splat(by)]
}

/// The box of both.
#[must_use]
pub(crate) fn joined(a: Box2, b: Box2) -> Box2 {
    [a[0].min(b[0]), a[1].max(b[1])]
}

impl Grid {
    /// Sorts boxes (finite corners) into cells; about one box a cell.
    #[must_use]
    pub fn new(boxes: Vec<Box2>) -> Grid {
        let all = boxes
            .iter()
            .copied()
            .reduce(joined)
            .unwrap_or([DVec2::ZERO; 2]);
        let size = all[1] - all[0];
        let n = boxes.len().max(1) as f64;
        // Long thin sets get cells along their length only.
        let cell = ((size.x * size.y / n).sqrt())
            .max(size.max_element() / n)
            .max(1e-6);
        let count = |s: f64| ((s / cell).floor() as usize + 1).min(4096);
        let (nx, ny) = (count(size.x), count(size.y));
        let mut grid = Grid {
            boxes,
            low: all[0],
            cell,
            nx,
            ny,
            start: vec![0; nx * ny + 1],
            ids: vec![],
            wide: vec![],
        };
        let mut held = Vec::with_capacity(grid.boxes.len());
        for (i, b) in grid.boxes.iter().enumerate() {
            let [x0, x1, y0, y1] = grid.cells(b);
            if (x1 - x0 + 1) * (y1 - y0 + 1) > WIDE {
                grid.wide.push(i as u32);
                continue;
            }
            for y in y0..=y1 {
                for x in x0..=x1 {
                    held.push(((y * nx + x) as u32, i as u32));
                }
            }
        }
        held.sort_unstable();
        for &(c, _) in &held {
            grid.start[c as usize + 1] += 1;
        }
        for i in 0..nx * ny {
            grid.start[i + 1] += grid.start[i];
        }
        grid.ids = held.into_iter().map(|h| h.1).collect();
        grid
    }

    fn cells(&self, b: &Box2) -> [usize; 4] {
        let ix = |v: f64, n: usize| (((v / self.cell).floor().max(0.0)) as usize).min(n - 1);
        let (l, h) = (b[0] - self.low, b[1] - self.low);
        [
            ix(l.x, self.nx),
            ix(h.x, self.nx),
            ix(l.y, self.ny),
            ix(h.y, self.ny),
        ]
    }

    /// Puts the indices of all boxes that share a point with `b` into `out`, rising, each once.
    pub fn near(&self, b: &Box2, out: &mut Vec<u32>) {
        out.clear();
        let [x0, x1, y0, y1] = self.cells(b);
        for y in y0..=y1 {
            for x in x0..=x1 {
                let c = y * self.nx + x;
                out.extend(&self.ids[self.start[c] as usize..self.start[c + 1] as usize]);
            }
        }
        out.extend(&self.wide);
        out.retain(|&i| overlap(&self.boxes[i as usize], b));
        out.sort_unstable();
        out.dedup();
    }

    /// Every pair of boxes nearer than `reach`, as (lower, higher) index in rising order.
    #[must_use]
    pub fn pairs(&self, reach: f64) -> Vec<(u32, u32)> {
        let (mut pairs, mut near) = (vec![], vec![]);
        for (i, b) in self.boxes.iter().enumerate() {
            self.near(&grown(b, reach), &mut near);
            pairs.extend(
                near.iter()
                    .filter(|&&j| j as usize > i)
                    .map(|&j| (i as u32, j)),
            );
        }
        pairs
    }
}
