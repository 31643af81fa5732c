//! Every pair of solids measured: overlap, else distance.

use super::air;
use crate::assembly::{Assembly, Joint};
use crate::design::Design;
use crate::measure::{self, PairMeasure, Prepared};
use glam::DVec3;
use rayon::prelude::*;

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
    assembly.shapes.par_iter().map(|s| Prepared::new(&s.body)).collect()
}

/// Every pair nearer than [`REACH`], in order of the parts.
#[must_use]
pub fn measure_all(design: &Design, assembly: &Assembly, prepared: &[Prepared<'_>]) -> Vec<Measured> {
    let boxes: Vec<[DVec3; 2]> = assembly.parts.iter().map(|p| prepared[p.shape].bounds(&p.pose)).collect();
    let near = measure::near_pairs(&boxes, REACH);
    let joints = &assembly.joints;
    near.par_iter()
        .filter_map(|&(a, b)| {
            let (pa, pb) = (&assembly.parts[a], &assembly.parts[b]);
            let is = measure::measure_pair(&prepared[pa.shape], &pa.pose, &prepared[pb.shape], &pb.pose, REACH)?;
            let joint = find(joints, a, b);
            let wanted = if joint.is_some() { None } else { air::wanted(design, pa, pb, (is.at[1] - is.at[0]).normalize_or_zero()) };
            Some(Measured { a, b, is, joint, wanted })
        })
        .collect()
}

/// The joint of a pair; joints are sorted by their parts.
fn find(joints: &[Joint], a: usize, b: usize) -> Option<usize> {
    joints.binary_search_by(|j| (j.a, j.b).cmp(&(a.min(b), a.max(b)))).ok()
}
