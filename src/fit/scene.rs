//! The amp at rest as the checks of its use see it: parts, shapes and boxes, and what was measured of them.

use super::measure_all::Measured;
use crate::assembly::{Assembly, Part};
use crate::design::Design;
use crate::measure::{self, BoxIndex, Prepared};
use crate::pose::Pose;
use glam::DVec3;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// What is nearer than this is met, mm.
const MEETS: f64 = 1e-6;

/// What the motions work on.
pub(super) struct Scene<'s, 'b> {
    pub design: &'s Design,
    pub assembly: &'s Assembly,
    pub prepared: &'s [Prepared<'b>],
    pub measured: &'s [Measured],
    /// Box of each part at rest.
    pub boxes: Vec<[DVec3; 2]>,
    /// The same, to be asked for those near a place.
    pub index: BoxIndex,
    /// Place of each part by its id.
    pub by_id: BTreeMap<&'s str, usize>,
}

impl<'s, 'b> Scene<'s, 'b> {
    /// `measured` must be in the order of the parts, as it comes.
    pub fn new(
        design: &'s Design,
        assembly: &'s Assembly,
        prepared: &'s [Prepared<'b>],
        measured: &'s [Measured],
    ) -> Scene<'s, 'b> {
        let boxes: Vec<[DVec3; 2]> = (assembly.parts.par_iter())
            .map(|p| prepared[p.shape].bounds(&p.pose))
            .collect();
        Scene {
            design,
            assembly,
            prepared,
            measured,
            index: BoxIndex::new(boxes.clone()),
            boxes,
            by_id: (assembly.parts.iter().enumerate())
                .map(|(i, p)| (p.id.as_str(), i))
                .collect(),
        }
    }

    pub fn shape(&self, part: &Part) -> &'s Prepared<'b> {
        &self.prepared[part.shape]
    }

    /// What was measured of two parts at rest.
    pub fn at_rest(&self, a: usize, b: usize) -> Option<&'s Measured> {
        let key = (a.min(b), a.max(b));
        self.measured
            .binary_search_by(|m| (m.a, m.b).cmp(&key))
            .ok()
            .map(|k| &self.measured[k])
    }

    /// Whether two parts overlap at rest, which is told elsewhere.
    pub fn overlap_at_rest(&self, a: usize, b: usize) -> bool {
        self.at_rest(a, b).is_some_and(|m| m.is.overlap > 0.0)
    }
}

/// Whether two boxes are nearer than `reach`.
pub(super) fn near(a: [DVec3; 2], b: [DVec3; 2], reach: f64) -> bool {
    (a[0] - b[1]).max(b[0] - a[1]).max_element() <= reach
}

/// The parts that a tool, finger or plug meets where `pose` puts it, and where; those that `skip` names are left out.
pub(super) fn hits(
    scene: &Scene<'_, '_>,
    tool: &Prepared<'_>,
    pose: &Pose,
    skip: &dyn Fn(usize, &Part) -> bool,
) -> Vec<(usize, DVec3)> {
    let room = tool.bounds(pose);
    let mut out = Vec::new();
    for i in scene.index.near(room, 0.0) {
        let part = &scene.assembly.parts[i];
        if skip(i, part) {
            continue;
        }
        let shape = scene.shape(part);
        if !measure::clear_by(tool, pose, shape, &part.pose, MEETS) {
            let at = measure::distance(tool, pose, shape, &part.pose, MEETS)
                .map_or(tool.inner_point(pose), |n| n.at[1]);
            out.push((i, at));
        }
    }
    out
}
