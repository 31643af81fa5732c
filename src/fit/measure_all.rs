//! Every pair of solids measured: overlap, else distance.

use super::air;
use crate::assembly::{Assembly, Joint, Part};
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

/// Every pair nearer than [`REACH`], in order of the parts. Pairs of the same shapes that lie to each other in the same way (tube by tube,
/// nut on screw) are measured once.
#[must_use]
pub fn measure_all(
    design: &Design,
    assembly: &Assembly,
    prepared: &[Prepared<'_>],
) -> Vec<Measured> {
    let prepared: Vec<&Prepared<'_>> = prepared.iter().collect();
    measure_pairs(design, assembly, &prepared, true, |_, _| None)
}

/// As [`measure_all`] for a design that differs little from one that was measured: parts of the same shape in the same place are
/// not measured against each other again, and where parts that share no joint newly overlap, only that they do is told: a volume costs more
/// than all the rest, and whoever tries a shift does not ask for it.
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
    measure_pairs(design, assembly, &prepared, false, |a, b| {
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

/// Without `volumes`, overlaps of parts that share no joint are told as 1 mm3. `known` may answer for a pair without measuring: with what it measures, or that it is out of reach.
fn measure_pairs(
    design: &Design,
    assembly: &Assembly,
    prepared: &[&Prepared<'_>],
    volumes: bool,
    known: impl Fn(usize, usize) -> Option<Option<PairMeasure>> + Sync,
) -> Vec<Measured> {
    let boxes: Vec<[DVec3; 2]> = assembly
        .parts
        .par_iter()
        .map(|p| prepared[p.shape].bounds(&p.pose))
        .collect();
    let near = measure::near_pairs(&boxes, REACH);
    let mut alike: Vec<(Placement, u32)> = near
        .par_iter()
        .enumerate()
        .map(|(i, &(a, b))| {
            (
                Placement::new(&assembly.parts[a], &assembly.parts[b]),
                i as u32,
            )
        })
        .collect();
    alike.par_sort_unstable();
    let groups: Vec<&[(Placement, u32)]> = alike.chunk_by(|x, y| x.0 == y.0).collect();
    // the first pair of each kind stands for the others
    let found: Vec<Option<PairMeasure>> = groups
        .par_iter()
        .with_max_len(1)
        .map(|group| {
            let (a, b) = near[group[0].1 as usize];
            let (pa, pb) = (&assembly.parts[a], &assembly.parts[b]);
            let joined = || {
                (group.iter().map(|g| near[g.1 as usize]))
                    .any(|(a, b)| find(&assembly.joints, a, b).is_some())
            };
            known(a, b).unwrap_or_else(|| {
                let measure = if volumes || joined() {
                    measure::measure_pair
                } else {
                    measure::meet_pair
                };
                measure(
                    prepared[pa.shape],
                    &pa.pose,
                    prepared[pb.shape],
                    &pb.pose,
                    REACH,
                )
            })
        })
        .collect();
    let mut of_pair: Vec<Option<PairMeasure>> = vec![None; near.len()];
    for (group, is) in groups.iter().zip(&found) {
        let Some(is) = is else { continue };
        let first = &assembly.parts[near[group[0].1 as usize].0].pose;
        for &(_, i) in *group {
            let own = &assembly.parts[near[i as usize].0].pose;
            let moved = own.then(&first.inverse());
            let at = if i == group[0].1 {
                is.at
            } else {
                is.at.map(|p| moved.point(p))
            };
            of_pair[i as usize] = Some(PairMeasure { at, ..*is });
        }
    }
    let bulbs = air::Bulbs::new(design);
    near.par_iter()
        .zip(of_pair)
        .filter_map(|(&(a, b), is)| {
            let is = is?;
            let (pa, pb) = (&assembly.parts[a], &assembly.parts[b]);
            let joint = find(&assembly.joints, a, b);
            let wanted = if joint.is_some() {
                None
            } else {
                air::wanted(
                    design,
                    &bulbs,
                    pa,
                    pb,
                    (is.at[1] - is.at[0]).normalize_or_zero(),
                )
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

/// How two parts lie to each other, to a ten-millionth of a mm: shapes, and the second's axes and origin in the first's frame.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Placement {
    shapes: [u32; 2],
    axes: [i64; 9],
    at: [i64; 3],
}

impl Placement {
    fn new(a: &Part, b: &Part) -> Placement {
        let relative = a.pose.inverse().then(&b.pose);
        let fine = |x: f64| (x * 1e9).round() as i64;
        Placement {
            shapes: [a.shape as u32, b.shape as u32],
            axes: relative.rot.to_cols_array().map(fine),
            at: relative.at.to_array().map(|x| (x * 1e7).round() as i64),
        }
    }
}

/// The joint of a pair; joints are sorted by their parts.
fn find(joints: &[Joint], a: usize, b: usize) -> Option<usize> {
    joints
        .binary_search_by(|j| (j.a, j.b).cmp(&(a.min(b), a.max(b))))
        .ok()
}
