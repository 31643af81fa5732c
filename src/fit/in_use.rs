//! The checks of the amp in use: motions measured exactly over their whole way, tools and plugs as solids.

use super::measure_all::Measured;
use super::report::Finding;
use super::{
    bench, covered, finger, plug, pull, reach, screwdriver, slide, spanner, speaker, wiring,
};
use crate::assembly::{Assembly, Part};
use crate::design::Design;
use crate::measure::{self, Prepared};
use crate::pose::Pose;
use glam::DVec3;

/// What the motions work on.
pub(super) struct Scene<'s, 'b> {
    pub design: &'s Design,
    pub assembly: &'s Assembly,
    pub prepared: &'s [Prepared<'b>],
    pub measured: &'s [Measured],
    /// Box of each part at rest.
    pub boxes: Vec<[DVec3; 2]>,
}

impl<'s, 'b> Scene<'s, 'b> {
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
    for (i, part) in scene.assembly.parts.iter().enumerate() {
        if !near(room, scene.boxes[i], 0.0) || skip(i, part) {
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

/// What is nearer than this is met, mm.
const MEETS: f64 = 1e-6;

/// Everything that is found of the amp in use, in no order. `measured` must be in the order of the parts, as it comes.
#[must_use]
pub fn in_use(
    design: &Design,
    assembly: &Assembly,
    prepared: &[Prepared<'_>],
    measured: &[Measured],
) -> Vec<Finding> {
    let scene = Scene {
        design,
        assembly,
        prepared,
        measured,
        boxes: assembly
            .parts
            .iter()
            .map(|p| prepared[p.shape].bounds(&p.pose))
            .collect(),
    };
    let mut out = slide::of_scene(&scene);
    out.extend(pull::of_scene(&scene));
    out.extend(plug::of_scene(&scene));
    out.extend(reach::of_scene(&scene));
    out.extend(spanner::of_scene(&scene));
    out.extend(screwdriver::of_scene(&scene));
    out.extend(speaker::of_scene(&scene));
    out.extend(covered::of_scene(&scene));
    out.extend(wiring::of_scene(&scene));
    out.extend(finger::of_scene(&scene));
    out.extend(bench::of_scene(&scene));
    out
}
