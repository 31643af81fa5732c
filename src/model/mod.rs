//! From a resolved design to placed solids: one file per family of parts.

mod cans;
mod controls;
mod fasteners;
mod flats;
mod iron;
mod speaker;
mod tubes;
mod wound;

use crate::assembly::{Assembly, Group, How, Joint, Kind, Part, Rule, Shape};
use crate::catalogue;
use crate::design::{Bond, Design};
use crate::outline::{Loop, Region};
use crate::pose::Pose;
use crate::solid::{self, Hole, Layer, Recipe, SolidError};
use glam::{DVec2, DVec3};
use std::collections::BTreeMap;

/// A solid that cannot be built although the design allowed it.
#[derive(Debug, thiserror::Error)]
pub enum ModelError {
    /// A part whose outlines make no solid.
    #[error("`{id}` cannot be built: {error}")]
    Unbuildable {
        /// The part.
        id: String,
        /// The item of the parameter file it comes from.
        owner: String,
        /// Why.
        #[source]
        error: SolidError,
    },
    /// Two solids under one id: a builder's own id is that of a part which the design derives.
    #[error("`{id}` is also the name of a part of `{other}`")]
    SameId {
        /// The id.
        id: String,
        /// The item that bears it.
        owner: String,
        /// The item that a part of the same name comes from.
        other: String,
    },
}

impl ModelError {
    /// The item of the parameter file to point at, and the part.
    #[must_use]
    pub fn about(&self) -> (&str, &str) {
        match self {
            ModelError::Unbuildable { id, owner, .. } | ModelError::SameId { id, owner, .. } => {
                (owner, id)
            }
        }
    }
}

/// Builds every solid of the design.
///
/// # Errors
/// Every part whose outlines make no solid, and every id that two parts bear.
pub fn assemble(design: &Design) -> Result<Assembly, Vec<ModelError>> {
    let mut b = Builder::default();
    flats::add(design, &mut b);
    speaker::add(design, &mut b);
    tubes::add(design, &mut b);
    iron::add(design, &mut b);
    cans::add(design, &mut b);
    controls::add(design, &mut b);
    fasteners::add(design, &mut b);
    b.finish(design)
}

/// What a part is, save its shape and place.
pub(super) struct Label<'a> {
    pub id: &'a str,
    pub owner: &'a str,
    pub kind: Kind,
    pub group: Group,
    pub material: &'a str,
    pub moves: bool,
}

/// A part before its shape is built.
struct Waiting {
    part: Part,
    /// Mass wanted of an envelope, kg; its density follows from its volume.
    mass: Option<f64>,
}

/// Collects parts; equal recipes share one shape.
#[derive(Default)]
pub(super) struct Builder {
    recipes: Vec<Recipe>,
    known: BTreeMap<Vec<u64>, usize>,
    waiting: Vec<Waiting>,
    joints: Vec<Bond>,
}

impl Builder {
    pub fn add(&mut self, label: Label<'_>, recipe: Recipe, pose: Pose) {
        self.add_of_mass(label, recipe, pose, None);
    }

    /// An envelope whose real counterpart has a known mass, kg.
    pub fn add_of_mass(&mut self, label: Label<'_>, recipe: Recipe, pose: Pose, mass: Option<f64>) {
        let row = catalogue::material(label.material);
        let next = self.recipes.len();
        let shape = *self.known.entry(key(&recipe)).or_insert(next);
        if shape == next {
            self.recipes.push(recipe);
        }
        self.waiting.push(Waiting {
            part: Part {
                id: label.id.into(),
                kind: label.kind,
                group: label.group,
                owner: label.owner.into(),
                material: label.material.into(),
                density: row.map_or(1000.0, |r| r.density),
                colour: row.map_or([160, 160, 160], |r| r.colour),
                moves: label.moves,
                shape,
                pose,
            },
            mass,
        });
    }

    pub fn join(&mut self, bond: Bond) {
        self.joints.push(bond);
    }

    fn finish(self, design: &Design) -> Result<Assembly, Vec<ModelError>> {
        use rayon::prelude::*;
        let built: Vec<Result<Shape, SolidError>> = self
            .recipes
            .into_par_iter()
            .map(|recipe| {
                let body = solid::build(&recipe)?;
                let (volume, centroid) = (body.volume(), body.centroid());
                Ok(Shape {
                    recipe,
                    body,
                    volume,
                    centroid,
                })
            })
            .collect();
        let mut shapes = Vec::with_capacity(built.len());
        let mut errors = Vec::new();
        for (k, shape) in built.into_iter().enumerate() {
            match shape {
                Ok(s) => shapes.push(s),
                Err(error) => {
                    let part = self.waiting.iter().find(|w| w.part.shape == k);
                    let (id, owner) = part.map_or_else(Default::default, |w| {
                        (w.part.id.clone(), w.part.owner.clone())
                    });
                    errors.push(ModelError::Unbuildable { id, owner, error });
                }
            }
        }
        let mut named: BTreeMap<String, &Part> = BTreeMap::new();
        for w in &self.waiting {
            if let Some(first) = named.insert(w.part.id.to_lowercase(), &w.part) {
                // the builder's own item is the one that bears the id itself
                let (own, other) = if first.owner == first.id {
                    (first, &w.part)
                } else {
                    (&w.part, first)
                };
                errors.push(ModelError::SameId {
                    id: own.id.clone(),
                    owner: own.owner.clone(),
                    other: other.owner.clone(),
                });
            }
        }
        if !errors.is_empty() {
            return Err(errors);
        }
        let parts: Vec<Part> = self
            .waiting
            .into_iter()
            .map(|Waiting { mut part, mass }| {
                if let Some(kg) = mass {
                    part.density = kg / (shapes[part.shape].volume * 1e-9);
                }
                part
            })
            .collect();
        let index: BTreeMap<&str, usize> = parts
            .iter()
            .enumerate()
            .map(|(i, p)| (p.id.as_str(), i))
            .collect();
        // a pair has one joint: the design's own bonds speak first
        let mut joints: BTreeMap<(usize, usize), (How, Rule)> = BTreeMap::new();
        for bond in design.bonds.iter().chain(&self.joints) {
            if let (Some(&a), Some(&b)) = (index.get(bond.a.as_str()), index.get(bond.b.as_str())) {
                joints
                    .entry((a.min(b), a.max(b)))
                    .or_insert((bond.how, bond.rule));
            }
        }
        let joints = joints
            .into_iter()
            .map(|((a, b), (how, rule))| Joint { a, b, how, rule })
            .collect();
        Ok(Assembly {
            shapes,
            parts,
            joints,
        })
    }
}

/// The bits of a recipe, so that equal recipes are found without comparing all with all.
fn key(recipe: &Recipe) -> Vec<u64> {
    let mut out = Vec::new();
    let num = |out: &mut Vec<u64>, v: f64| out.push((v + 0.0).to_bits());
    let path = |out: &mut Vec<u64>, l: &Loop| {
        out.push(l.nodes.len() as u64);
        for n in &l.nodes {
            num(out, n.at.x);
            num(out, n.at.y);
            match n.arc {
                None => out.push(0),
                Some(a) => {
                    out.push(1 + u64::from(a.ccw));
                    num(out, a.centre.x);
                    num(out, a.centre.y);
                }
            }
        }
    };
    let holes = |out: &mut Vec<u64>, hs: &[Hole]| {
        out.push(hs.len() as u64);
        for h in hs {
            for v in [h.at, h.dir] {
                for k in 0..3 {
                    num(out, v[k]);
                }
            }
            out.push(u64::from(h.blind));
            out.push(h.profile.len() as u64);
            for p in &h.profile {
                num(out, p.x);
                num(out, p.y);
            }
        }
    };
    match recipe {
        Recipe::Layered {
            base,
            layers,
            holes: hs,
        } => {
            out.push(0);
            num(&mut out, *base);
            out.push(layers.len() as u64);
            for l in layers {
                num(&mut out, l.top);
                out.push(l.regions.len() as u64);
                for r in &l.regions {
                    path(&mut out, &r.outer);
                    out.push(r.inner.len() as u64);
                    for i in &r.inner {
                        path(&mut out, i);
                    }
                }
            }
            holes(&mut out, hs);
        }
        Recipe::Bevelled {
            bottom,
            top,
            thickness,
            windows,
            holes: hs,
        } => {
            out.push(1);
            path(&mut out, bottom);
            path(&mut out, top);
            num(&mut out, *thickness);
            out.push(windows.len() as u64);
            for w in windows {
                path(&mut out, w);
            }
            holes(&mut out, hs);
        }
        Recipe::Turned { profile, holes: hs } => {
            out.push(2);
            path(&mut out, profile);
            holes(&mut out, hs);
        }
    }
    out
}

/// A rectangle about a centre.
fn rect(centre: DVec2, size: DVec2) -> Loop {
    Loop::rect(centre - size / 2.0, centre + size / 2.0)
}

/// A solid of one outline from z0 to z1.
fn prism(outline: Loop, z0: f64, z1: f64, holes: Vec<Hole>) -> Recipe {
    Recipe::Layered {
        base: z0,
        layers: vec![Layer::new(z1, Region::solid(outline))],
        holes,
    }
}

/// Layers of plain outlines from `base` upwards.
fn stack(base: f64, layers: Vec<(f64, Loop)>) -> Recipe {
    let layers = layers
        .into_iter()
        .map(|(top, outline)| Layer::new(top, Region::solid(outline)))
        .collect();
    Recipe::Layered {
        base,
        layers,
        holes: Vec::new(),
    }
}

/// A turned body from (radius, z) corners, counter-clockwise.
fn turned(corners: &[(f64, f64)]) -> Recipe {
    let points: Vec<DVec2> = corners.iter().map(|c| DVec2::new(c.0, c.1)).collect();
    Recipe::Turned {
        profile: Loop::polygon(&points),
        holes: Vec::new(),
    }
}

/// A round through hole.
fn through(at: DVec3, dir: DVec3, radius: f64, depth: f64) -> Hole {
    Hole {
        at,
        dir,
        profile: vec![DVec2::new(0.0, radius), DVec2::new(depth, radius)],
        blind: false,
    }
}
