//! A jig as flat outlines in layers, in the frame in which it is used: it lies on the work at z = 0, z up towards the drill.

use super::letters::Letters;
use crate::outline::{Loop, OutlineError, Region, SAME_POINT, difference, union};
use crate::pose::Pose;
use crate::solid::{self, Body, Hole, Layer, Recipe, SolidError};
use glam::{DVec2, DVec3};
use std::f64::consts::{PI, TAU};

/// A guide for a drill.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bore {
    /// The holes it is for, by id: one, or one of each place the jig is used at.
    pub holes: Vec<String>,
    /// The place of each, counted from 0; empty where they stand in the order of the jig's places.
    pub stands: Vec<usize>,
    /// Centre in the frame of use.
    pub at: DVec2,
    /// The drill that runs in it, mm.
    pub drill: f64,
    /// The bore as drawn: the drill or the bush, grown for the printer.
    pub d: f64,
    /// The finished hole of each, mm.
    pub finished: Vec<f64>,
    /// What may be written beside it, the fullest first.
    pub labels: Vec<String>,
}

/// A level guide through the fence, along +y.
#[derive(Clone, Debug, PartialEq)]
pub struct CrossBore {
    /// The holes it is for.
    pub holes: Vec<String>,
    /// x in the frame of use.
    pub x: f64,
    /// Height, negative: in the fence.
    pub z: f64,
    /// The drill.
    pub drill: f64,
    /// The bore as drawn.
    pub d: f64,
    /// y of the fence's outer face, where the drill enters.
    pub from: f64,
    /// Thickness of the fence.
    pub depth: f64,
    /// The finished hole of each, mm.
    pub finished: Vec<f64>,
    /// What may be written beside it on the fence, the fullest first.
    pub labels: Vec<String>,
}

/// An arrow that is sunk where it finds room: the way to the datum corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Pointer {
    /// Unit vector in the frame of use.
    pub way: DVec2,
    /// What may be written beside it, the fullest first.
    pub words: Vec<String>,
}

impl Pointer {
    /// The arrow to the datum corner.
    #[must_use]
    pub fn datum(way: DVec2) -> Pointer {
        Pointer {
            way,
            words: vec!["datum".into(), "D".into()],
        }
    }
}

/// A jig before it becomes a body.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Blank {
    /// The plate, z = 0 to `thickness`.
    pub plate: Vec<Region>,
    /// Its thickness.
    pub thickness: f64,
    /// What hangs below it, fences and bungs, each with its depth; inside the plate in plan.
    pub below: Vec<(Region, f64)>,
    /// Raised bushes: centre, radius. None where anything hangs below.
    pub bushes: Vec<(DVec2, f64)>,
    /// Top of the bushes.
    pub bush_top: f64,
    /// Guides.
    pub bores: Vec<Bore>,
    /// Guides through the fence.
    pub cross: Vec<CrossBore>,
    /// Windows, notches, clamp holes: right through.
    pub cuts: Vec<Loop>,
    /// Letters and arrows.
    pub marks: Vec<Region>,
    /// Letters on the outer face of the fence that `cross` goes through: x and z, seen from outside.
    pub side: Vec<Region>,
    /// Arrows that still look for room.
    pub pointers: Vec<Pointer>,
    /// Their depth.
    pub sunk: f64,
    /// What was written, for the report.
    pub texts: Vec<String>,
    /// Boxes that letters keep off: joints.
    pub keep_off: Vec<[DVec2; 2]>,
    /// Whether a strip was left for the title, which is then written first.
    pub title_strip: bool,
    /// What had to give way, in words.
    pub notes: Vec<String>,
}

/// Chord of drawn bores, mm.
const CHORD: f64 = 0.01;

/// A bore as a polygon that lies outside its circle, with a corner towards +x.
#[must_use]
pub fn bore_loop(at: DVec2, d: f64) -> Loop {
    let r = d / 2.0;
    let n = sides(r);
    let out = r / (PI / f64::from(n)).cos();
    ring(at, out, n)
}

/// A peg as a polygon inside its circle.
#[must_use]
pub fn peg_loop(at: DVec2, r: f64) -> Loop {
    ring(at, r, sides(r))
}

fn ring(at: DVec2, r: f64, n: u32) -> Loop {
    let points: Vec<DVec2> = (0..n)
        .map(|k| at + DVec2::from_angle(TAU * f64::from(k) / f64::from(n)) * r)
        .collect();
    Loop::polygon(&points)
}

fn sides(r: f64) -> u32 {
    let half = (r / (r + CHORD)).clamp(0.5, 1.0).acos().max(1e-3);
    let n = (PI / half / 4.0).ceil() * 4.0;
    n.clamp(16.0, 160.0) as u32
}

/// Points along an arc, the ends included.
#[must_use]
pub fn arc(centre: DVec2, r: f64, from: f64, to: f64) -> Vec<DVec2> {
    let whole = f64::from(sides(r));
    let n = ((to - from).abs() / TAU * whole).ceil().max(2.0) as u32;
    (0..=n)
        .map(|k| centre + DVec2::from_angle(from + (to - from) * f64::from(k) / f64::from(n)) * r)
        .collect()
}

/// A notch in an edge: a triangle from `tip` outwards, as wide as it is deep, twice as far as the edge.
#[must_use]
pub fn notch(tip: DVec2, outwards: DVec2) -> Loop {
    let side = outwards.perp();
    Loop::polygon(&super::letters::hull(vec![
        tip,
        tip + outwards * 8.0 + side * 4.0,
        tip + outwards * 8.0 - side * 4.0,
    ]))
}

/// A diamond whose corners point along the axes, to look at scribed lines through.
#[must_use]
pub fn diamond(at: DVec2, half: f64) -> Loop {
    let points = [DVec2::X, DVec2::Y, DVec2::NEG_X, DVec2::NEG_Y].map(|d| at + d * half);
    Loop::polygon(&points)
}

/// Loops that may overlap, as regions that do not.
pub fn joined(loops: impl IntoIterator<Item = Loop>) -> Result<Vec<Region>, OutlineError> {
    let mut out: Vec<Region> = Vec::new();
    let mut boxes: Vec<[DVec2; 2]> = Vec::new();
    for l in loops {
        let b = l.bounds();
        let meets = boxes
            .iter()
            .any(|c| b[0].cmple(c[1]).all() && c[0].cmple(b[1]).all());
        if meets {
            out = union(&out, &[Region::solid(l)])?;
            boxes = out.iter().map(Region::bounds).collect();
        } else {
            out.push(Region::solid(l));
            boxes.push(b);
        }
    }
    Ok(out)
}

/// Why a jig could not be made.
#[derive(Clone, Debug, thiserror::Error)]
pub enum BlankError {
    /// Outlines that cannot be combined.
    #[error("{0}")]
    Outline(#[from] OutlineError),
    /// Layers that make no body.
    #[error("{0}")]
    Solid(#[from] SolidError),
}

impl Blank {
    /// Box of the plate.
    #[must_use]
    pub fn bounds(&self) -> [DVec2; 2] {
        let mut boxes = self.plate.iter().map(Region::bounds);
        let first = boxes.next().unwrap_or([DVec2::ZERO; 2]);
        boxes.fold(first, |[l, h], [a, b]| [l.min(a), h.max(b)])
    }

    /// Whether it is printed with the side that lies on the work up.
    #[must_use]
    pub fn work_side_up(&self) -> bool {
        !self.below.is_empty()
    }

    /// All that goes right through the plate.
    fn through(&self) -> Result<Vec<Region>, OutlineError> {
        joined((self.bores.iter().map(|b| bore_loop(b.at, b.d))).chain(self.cuts.iter().cloned()))
    }

    /// The plate's section between the letters and the work.
    pub fn section(&self) -> Result<Vec<Region>, OutlineError> {
        difference(&self.plate, &self.through()?)
    }

    /// The exact body, in the frame of use.
    pub fn body(&self) -> Result<Body, BlankError> {
        let through = self.through()?;
        let plate = difference(&self.plate, &through)?;
        let mut layers: Vec<Layer> = Vec::new();
        let mut depths: Vec<f64> = self.below.iter().map(|b| b.1).collect();
        depths.sort_by(|a, b| b.total_cmp(a));
        depths.dedup_by(|a, b| (*a - *b).abs() < SAME_POINT);
        for (k, &depth) in depths.iter().enumerate() {
            let mut here: Vec<Region> = Vec::new();
            for (region, _) in self.below.iter().filter(|b| b.1 >= depth - SAME_POINT) {
                here = union(&here, std::slice::from_ref(region))?;
            }
            layers.push(Layer {
                top: -depths.get(k + 1).copied().unwrap_or(0.0),
                regions: difference(&here, &through)?,
            });
        }
        if self.marks.is_empty() {
            layers.push(Layer {
                top: self.thickness,
                regions: plate,
            });
        } else {
            layers.push(Layer {
                top: self.thickness - self.sunk,
                regions: plate.clone(),
            });
            layers.push(Layer {
                top: self.thickness,
                regions: difference(&plate, &self.marks)?,
            });
        }
        if !self.bushes.is_empty() && self.bush_top > self.thickness + SAME_POINT {
            let rings = joined(self.bushes.iter().map(|(at, r)| peg_loop(*at, *r)))?;
            layers.push(Layer {
                top: self.bush_top,
                regions: difference(&rings, &through)?,
            });
        }
        let holes = self
            .cross
            .iter()
            .map(|c| {
                // the drawn polygon has the circle's area and would cut into it by less than the export chord
                let r = c.d / 2.0 + crate::mesh::EXPORT_CHORD;
                Hole {
                    at: DVec3::new(c.x, c.from, c.z),
                    dir: DVec3::Y,
                    profile: vec![DVec2::new(0.0, r), DVec2::new(c.depth, r)],
                    blind: false,
                }
            })
            .collect();
        let body = solid::build(&Recipe::Layered {
            base: -depths.first().copied().unwrap_or(0.0),
            layers,
            holes,
        })?;
        let Some(fence) = self.cross.first().filter(|_| !self.side.is_empty()) else {
            return Ok(body);
        };
        let outside = Pose::from_axes(DVec3::X, DVec3::Z, DVec3::Y * fence.from);
        Ok(solid::sink(body, &outside, &self.side, self.sunk)?)
    }

    /// From the frame of use to the bed: turned over where it is printed work side up, its low corner at the origin.
    #[must_use]
    pub fn to_bed(&self, quarter: bool) -> Pose {
        let over = if self.work_side_up() {
            Pose::from_axes(DVec3::X, DVec3::NEG_Y, DVec3::ZERO)
        } else {
            Pose::IDENTITY
        };
        let turned = Pose::IDENTITY
            .turned_z(if quarter { 90.0 } else { 0.0 })
            .then(&over);
        let [l, h] = self.bounds();
        let top = self.top();
        let low = -self.below.iter().map(|b| b.1).fold(0.0, f64::max);
        let a = turned.point(l.extend(low));
        let b = turned.point(h.extend(top));
        Pose {
            at: -a.min(b),
            ..turned
        }
    }

    /// Highest z of it.
    #[must_use]
    pub fn top(&self) -> f64 {
        if self.bushes.is_empty() {
            self.thickness
        } else {
            self.bush_top.max(self.thickness)
        }
    }

    /// Height over all.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.top() + self.below.iter().map(|b| b.1).fold(0.0, f64::max)
    }

    /// Sinks a text whose box has its low corner there.
    pub fn write(&mut self, letters: &mut Letters, text: &str, low: DVec2) {
        self.marks.extend(letters.set(text, low));
        self.texts.push(text.to_owned());
        // two texts in one line stay two words
        let gap = DVec2::new(letters.gap(), 0.0);
        self.keep_off
            .push([low - gap, low + letters.size(text) + gap]);
    }

    /// Sinks a text that reads upwards, its box's low corner there.
    pub fn write_turned(&mut self, letters: &mut Letters, text: &str, low: DVec2) {
        let size = letters.size(text);
        let corner = low + DVec2::new(size.y, 0.0);
        let turned = letters.set(text, DVec2::ZERO);
        self.marks.extend(
            turned
                .iter()
                .map(|r| r.rotated(DVec2::ZERO, 90.0).translated(corner)),
        );
        self.texts.push(text.to_owned());
        let gap = DVec2::new(0.0, letters.gap());
        self.keep_off
            .push([low - gap, low + DVec2::new(size.y, size.x) + gap]);
    }

    /// What the letters and arrows take away, mm3.
    #[must_use]
    pub fn sunk_volume(&self) -> f64 {
        let sunk = self.marks.iter().chain(&self.side);
        sunk.map(Region::area).sum::<f64>() * self.sunk
    }

    /// A point of each face that is the floor of letters, and its outward normal; in the frame of use.
    #[must_use]
    pub fn letter_floors(&self) -> Vec<(DVec3, DVec3)> {
        let top =
            (!self.marks.is_empty()).then(|| (DVec3::Z * (self.thickness - self.sunk), DVec3::Z));
        let side = self.cross.first().filter(|_| !self.side.is_empty());
        let side = side.map(|c| (DVec3::Y * (c.from + self.sunk), DVec3::NEG_Y));
        top.into_iter().chain(side).collect()
    }

    /// Sinks an arrow from `from` to `to`.
    pub fn arrow(&mut self, from: DVec2, to: DVec2, stroke: f64) {
        let Some(l) = arrow_loop(from, to, stroke) else {
            return;
        };
        self.keep_off.push(l.bounds());
        self.marks.push(Region::solid(l));
    }
}

/// The outline of an arrow; `None` without a length.
#[must_use]
pub fn arrow_loop(from: DVec2, to: DVec2, stroke: f64) -> Option<Loop> {
    let d = (to - from).try_normalize()?;
    let head = 2.6 * stroke;
    let neck = to - d * head;
    let side = d.perp();
    Some(Loop::polygon(&[
        from - side * stroke / 2.0,
        neck - side * stroke / 2.0,
        neck - side * head / 1.4,
        to,
        neck + side * head / 1.4,
        neck + side * stroke / 2.0,
        from + side * stroke / 2.0,
    ]))
}
