//! Stacks of slabs.
//!
//! The outlines of all layers are cut at their common points at once. Then every piece is, in each slab, a wall or
//! nothing, and the steps between neighbouring slabs are joined from the same pieces: edges are common by construction.

use super::maker::Maker;
use super::{Curve, Layer, SolidError, Surface};
use crate::outline::{Half, Locator, Loop, arrange, as_set, nest};
use glam::DVec3;
use std::collections::BTreeMap;

/// Where something happens: (piece or point, level).
type Site = (u32, usize);

pub(crate) fn make(base: f64, layers: &[Layer]) -> Result<Maker, SolidError> {
    let levels = levels(base, layers)?;
    for (i, l) in layers.iter().enumerate() {
        // Neighbours are often equal; a region that was sound stays so.
        if layers[..i]
            .iter()
            .rev()
            .take(2)
            .all(|k| k.regions != l.regions)
        {
            for r in &l.regions {
                r.check()
                    .map_err(SolidError::outline(format!("outline of layer {i}")))?;
            }
        }
    }
    let sets: Vec<_> = layers.iter().map(|l| as_set(&l.regions)).collect();
    let cut = arrange(&sets);
    let n = layers.len();
    let count = cut.pieces.len() as u32;
    let run = |piece: u32, slab: usize| if slab < n { cut.uses(piece, slab) } else { 0 };
    let below = |piece: u32, level: usize| if level == 0 { 0 } else { run(piece, level - 1) };

    // The steps at every level: upwards where the slab below ends, downwards where the slab above begins.
    let mut steps: Vec<[Vec<Half>; 2]> = vec![];
    let mut near = vec![];
    for (level, &z) in levels.iter().enumerate() {
        let material = |slab: Option<usize>| {
            slab.and_then(|s| layers.get(s))
                .map(|l| Locator::new(&l.regions))
        };
        let changes = (0..count).any(|p| below(p, level) != run(p, level));
        let (under, over) = if changes {
            (material(level.checked_sub(1)), material(Some(level)))
        } else {
            (None, None)
        };
        let mut step = [vec![], vec![]];
        for piece in 0..count {
            let (a, b) = (below(piece, level), run(piece, level));
            if a == b {
                continue;
            }
            let middle = cut
                .seg(Half {
                    piece,
                    forward: true,
                })
                .point(0.5);
            if a != 0 && b != 0 {
                return Err(SolidError::EdgeContact {
                    at: middle.extend(z),
                });
            }
            let other = if a != 0 { &over } else { &under };
            let covered = other
                .as_ref()
                .is_some_and(|l| l.contains(middle, &mut near));
            // Up: the lower slab's own edge, or the upper slab's edge standing on it, run backwards; down likewise.
            let (up, dir) = match (a != 0, covered) {
                (true, false) => (true, a),
                (true, true) => (false, -a),
                (false, false) => (false, b),
                (false, true) => (true, -b),
            };
            step[usize::from(!up)].push(Half {
                piece,
                forward: dir > 0,
            });
        }
        steps.push(step);
    }

    let mut stack = Stack {
        cut: &cut,
        levels: &levels,
        maker: Maker::default(),
        rings: BTreeMap::new(),
        corners: BTreeMap::new(),
    };
    let mut active: Vec<Site> = vec![];
    for (level, step) in steps.iter().enumerate() {
        let mut here: Vec<u32> = step.iter().flatten().map(|h| h.piece).collect();
        here.sort_unstable();
        active.extend(here.into_iter().map(|p| (p, level)));
    }
    // A turned wall keeps two plain sides: where a corner of it lies on a side, the wall is parted at that level,
    // which puts a corner on the wall's other side too.
    let mut arcs_at: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for (i, p) in cut
        .pieces
        .iter()
        .enumerate()
        .filter(|(_, p)| p.centre.is_some())
    {
        for v in p.ends {
            arcs_at.entry(v).or_default().push(i as u32);
        }
    }
    while let Some((piece, level)) = active.pop() {
        if stack.rings.contains_key(&(piece, level)) {
            continue;
        }
        stack.rings.insert((piece, level), u32::MAX);
        for v in cut.pieces[piece as usize].ends {
            if stack.corners.insert((v, level), u32::MAX).is_none() {
                let through = arcs_at.get(&v).into_iter().flatten();
                active.extend(
                    through
                        .filter(|&&q| below(q, level) != 0 && run(q, level) != 0)
                        .map(|&q| (q, level)),
                );
            }
        }
    }
    stack.edges();
    stack.walls(n, &run);
    for (level, step) in steps.iter().enumerate() {
        for (halves, up) in step.iter().zip([true, false]) {
            stack.step(level, halves, up)?;
        }
    }
    Ok(stack.maker)
}

fn levels(base: f64, layers: &[Layer]) -> Result<Vec<f64>, SolidError> {
    let mut levels = vec![base];
    levels.extend(layers.iter().map(|l| l.top));
    if layers.is_empty() {
        return Err(SolidError::NoThickness {
            what: "a stack of no layers".into(),
            thickness: 0.0,
        });
    }
    if levels.iter().any(|z| !z.is_finite()) {
        return Err(SolidError::NotFinite {
            what: "the height of a layer".into(),
        });
    }
    for (i, w) in levels.windows(2).enumerate() {
        if w[1] - w[0] < 1e-6 {
            return Err(SolidError::NoThickness {
                what: format!("layer {i}"),
                thickness: w[1] - w[0],
            });
        }
    }
    Ok(levels)
}

struct Stack<'a> {
    cut: &'a crate::outline::Arrangement,
    levels: &'a [f64],
    maker: Maker,
    /// Edges that lie in a level.
    rings: BTreeMap<Site, u32>,
    /// Vertices.
    corners: BTreeMap<Site, u32>,
}

impl Stack<'_> {
    fn edges(&mut self) {
        for (&(v, level), id) in &mut self.corners {
            *id = self
                .maker
                .vertex(self.cut.points[v as usize].extend(self.levels[level]));
        }
        for (&(p, level), id) in &mut self.rings {
            let piece = &self.cut.pieces[p as usize];
            let [a, b] = piece.ends.map(|v| self.corners[&(v, level)]);
            let curve = match piece.centre {
                None => Curve::Line,
                Some(c) => {
                    let [p, q] = piece.ends.map(|v| self.cut.points[v as usize].distance(c));
                    Curve::Arc {
                        centre: c.extend(self.levels[level]),
                        axis: DVec3::Z,
                        radius: (p + q) / 2.0,
                    }
                }
            };
            *id = self.maker.edge(a, b, curve);
        }
    }

    /// One wall for each piece over as many slabs as it goes on unchanged.
    fn walls(&mut self, slabs: usize, run: &impl Fn(u32, usize) -> i8) {
        let mut posts: BTreeMap<Site, u32> = BTreeMap::new();
        for piece in 0..self.cut.pieces.len() as u32 {
            let mut low = 0;
            while low < slabs {
                let dir = run(piece, low);
                let mut high = low + 1;
                while high < slabs
                    && run(piece, high) == dir
                    && !self.rings.contains_key(&(piece, high))
                {
                    high += 1;
                }
                if dir != 0 {
                    self.wall(piece, dir, (low, high), &mut posts);
                }
                low = high;
            }
        }
    }

    fn wall(
        &mut self,
        piece: u32,
        dir: i8,
        (low, high): (usize, usize),
        posts: &mut BTreeMap<Site, u32>,
    ) {
        let half = Half {
            piece,
            forward: dir > 0,
        };
        let seg = self.cut.seg(half);
        let [a, b] = self.cut.pieces[piece as usize].ends;
        let (from, to) = if half.forward { (a, b) } else { (b, a) };
        let mut up = |v: u32| -> Vec<u32> {
            let at: Vec<(usize, u32)> = self
                .corners
                .range((v, low)..=(v, high))
                .map(|(site, id)| (site.1, *id))
                .collect();
            at.windows(2)
                .map(|w| {
                    *posts
                        .entry((v, w[0].0))
                        .or_insert_with(|| self.maker.edge(w[0].1, w[1].1, Curve::Line))
                })
                .collect()
        };
        let (left, right) = (up(from), up(to));
        let mut w = vec![(self.rings[&(piece, low)], half.forward)];
        w.extend(right.iter().map(|&e| (e, true)));
        w.push((self.rings[&(piece, high)], !half.forward));
        w.extend(left.iter().rev().map(|&e| (e, false)));
        let z = self.levels[low];
        let (surface, sense) = match seg.arc {
            None => {
                let d = (seg.to - seg.from).normalize();
                (
                    Surface::Plane {
                        origin: seg.from.extend(z),
                        normal: DVec3::new(d.y, -d.x, 0.0),
                    },
                    true,
                )
            }
            Some(arc) => {
                let radius = (seg.from.distance(arc.centre) + seg.to.distance(arc.centre)) / 2.0;
                (
                    Surface::Cylinder {
                        origin: arc.centre.extend(z),
                        axis: DVec3::Z,
                        radius,
                    },
                    arc.ccw,
                )
            }
        };
        self.maker.face(surface, sense, vec![w]);
    }

    fn step(&mut self, level: usize, halves: &[Half], up: bool) -> Result<(), SolidError> {
        if halves.is_empty() {
            return Ok(());
        }
        let loops = self
            .cut
            .stitch(halves)
            .map_err(SolidError::outline("a step between layers"))?;
        let outlines: Vec<Loop> = loops.iter().map(|l| self.cut.outline(l)).collect();
        let z = self.levels[level];
        for (outer, inner) in nest(&outlines) {
            let edges = std::iter::once(outer).chain(inner).map(|i| {
                let ring = |h: &Half| (self.rings[&(h.piece, level)], h.forward == up);
                let mut l: Vec<(u32, bool)> = loops[i].iter().map(ring).collect();
                if !up {
                    l.reverse();
                }
                l
            });
            let loops = edges.collect();
            let origin = outlines[outer].nodes[0].at.extend(z);
            let normal = if up { DVec3::Z } else { DVec3::NEG_Z };
            self.maker
                .face(Surface::Plane { origin, normal }, true, loops);
        }
        Ok(())
    }
}
