//! Every pair of solids measured: overlap, else distance.

use super::air;
use crate::assembly::{Assembly, Joint};
use crate::design::Design;
use crate::measure::{self, PairMeasure, Prepared};
use glam::DVec3;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Pairs further apart than this are not spoken of, mm.
pub const REACH: f64 = 40.0;

/// A measured pair.
#[derive(Clone, Debug)]
pub struct Measured {
    /// Index of the first part.
    pub a: usize,
    /// Index of the second part.
    pub b: usize,
    /// What was measured.
    pub is: PairMeasure,
    /// Its joint, as an index into the assembly's.
    pub joint: Option<usize>,
    /// Wanted air and the rule.
    pub wanted: Option<(f64, String)>,
}

/// The shapes made ready for measuring.
#[must_use]
pub fn prepare(assembly: &Assembly) -> Vec<Prepared<'_>> {
    assembly
        .shapes
        .par_iter()
        .map(|s| Prepared::new(&s.body))
        .collect()
}

/// Every pair nearer than [`REACH`], in order of the parts.
#[must_use]
pub fn measure_all(
    design: &Design,
    assembly: &Assembly,
    prepared: &[Prepared<'_>],
) -> Vec<Measured> {
    let prepared: Vec<&Prepared<'_>> = prepared.iter().collect();
    measure_pairs(design, assembly, &prepared, |_, _| None)
}

/// As [`measure_all`] for a design that differs little from one that was measured: parts of the same shape in the same place are
/// not measured against each other again.
#[must_use]
pub fn measure_again(
    design: &Design,
    assembly: &Assembly,
    before: (&Assembly, &[Prepared<'_>], &[Measured]),
) -> Vec<Measured> {
    let (old, old_prepared, old_measured) = before;
    let old_parts: BTreeMap<&str, usize> = old
        .parts
        .iter()
        .enumerate()
        .map(|(i, p)| (p.id.as_str(), i))
        .collect();
    // shapes are matched through the parts that have them
    let mut same_shape: Vec<Option<usize>> = vec![None; assembly.shapes.len()];
    let mut looked = vec![false; assembly.shapes.len()];
    let mut same_part: Vec<Option<usize>> = Vec::with_capacity(assembly.parts.len());
    for p in &assembly.parts {
        let was = old_parts.get(p.id.as_str()).copied();
        if let Some(o) = was.filter(|_| !looked[p.shape]) {
            looked[p.shape] = true;
            let k = old.parts[o].shape;
            same_shape[p.shape] =
                (old.shapes[k].recipe == assembly.shapes[p.shape].recipe).then_some(k);
        }
        same_part.push(was.filter(|&o| {
            old.parts[o].pose == p.pose && same_shape[p.shape] == Some(old.parts[o].shape)
        }));
    }
    let fresh: Vec<Option<Prepared<'_>>> = assembly
        .shapes
        .par_iter()
        .zip(&same_shape)
        .map(|(s, same)| same.is_none().then(|| Prepared::new(&s.body)))
        .collect();
    let prepared: Vec<&Prepared<'_>> = fresh
        .iter()
        .zip(&same_shape)
        .map(|(f, same)| {
            f.as_ref()
                .unwrap_or_else(|| &old_prepared[same.unwrap_or_default()])
        })
        .collect();
    let known: BTreeMap<(usize, usize), PairMeasure> =
        old_measured.iter().map(|m| ((m.a, m.b), m.is)).collect();
    measure_pairs(design, assembly, &prepared, |a, b| {
        let (oa, ob) = (same_part[a]?, same_part[b]?);
        match known.get(&(oa.min(ob), oa.max(ob))) {
            Some(is) if oa < ob => Some(Some(*is)),
            Some(is) => Some(Some(PairMeasure {
                at: [is.at[1], is.at[0]],
                ..*is
            })),
            // it was looked at, and is further apart than is spoken of
            None => Some(None),
        }
    })
}

/// `known` may answer for a pair without measuring: with what it measures, or that it is out of reach.
fn measure_pairs(
    design: &Design,
    assembly: &Assembly,
    prepared: &[&Prepared<'_>],
    known: impl Fn(usize, usize) -> Option<Option<PairMeasure>> + Sync,
) -> Vec<Measured> {
    let boxes: Vec<[DVec3; 2]> = assembly
        .parts
        .iter()
        .map(|p| prepared[p.shape].bounds(&p.pose))
        .collect();
    let near = measure::near_pairs(&boxes, REACH);
    let joints = &assembly.joints;
    near.par_iter()
        .filter_map(|&(a, b)| {
            let (pa, pb) = (&assembly.parts[a], &assembly.parts[b]);
            let is = known(a, b).unwrap_or_else(|| {
                measure::measure_pair(
                    prepared[pa.shape],
                    &pa.pose,
                    prepared[pb.shape],
                    &pb.pose,
                    REACH,
                )
            })?;
            let joint = find(joints, a, b);
            let wanted = if joint.is_some() {
                None
            } else {
                air::wanted(design, pa, pb, (is.at[1] - is.at[0]).normalize_or_zero())
            };
            Some(Measured {
                a,
                b,
                is,
                joint,
                wanted,
            })
        })
        .collect()
}

/// The joint of a pair; joints are sorted by their parts.
fn find(joints: &[Joint], a: usize, b: usize) -> Option<usize> {
    joints
        .binary_search_by(|j| (j.a, j.b).cmp(&(a.min(b), a.max(b))))
        .ok()
}
