//! The checks of the amp in use: motions measured exactly over their whole way, tools and plugs as solids.

use super::measure_all::Measured;
use super::report::Finding;
use super::slide::SlideRows;
use super::{
    bench, covered, ears, fascia, finger, jam, lead, plug, pull, rattle, reach, screwdriver, slide,
    spanner, speaker, wiring,
};
use crate::assembly::{Assembly, Part};
use crate::design::Design;
use crate::measure::{self, BoxIndex, Prepared};
use crate::pose::Pose;
use glam::DVec3;
use rayon::prelude::*;
use std::collections::BTreeMap;

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

/// What is nearer than this is met, mm.
const MEETS: f64 = 1e-6;

/// What is found of the amp in use.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct InUse {
    /// In no order.
    pub findings: Vec<Finding>,
    /// The tightest pairs of the way in.
    pub slide: SlideRows,
}

/// Everything that is found of the amp in use. `measured` must be in the order of the parts, as it comes.
#[must_use]
pub fn in_use(
    design: &Design,
    assembly: &Assembly,
    prepared: &[Prepared<'_>],
    measured: &[Measured],
) -> InUse {
    let boxes: Vec<[DVec3; 2]> = (assembly.parts.par_iter())
        .map(|p| prepared[p.shape].bounds(&p.pose))
        .collect();
    let scene = Scene {
        design,
        assembly,
        prepared,
        measured,
        index: BoxIndex::new(boxes.clone()),
        boxes,
        by_id: (assembly.parts.iter().enumerate())
            .map(|(i, p)| (p.id.as_str(), i))
            .collect(),
    };
    // the longest first; in this order whoever is done first
    let checks: [&(dyn Fn() -> Vec<Finding> + Sync); 13] = [
        &|| spanner::of_scene(&scene),
        &|| screwdriver::of_scene(&scene),
        &|| plug::of_scene(&scene),
        &|| reach::of_scene(&scene),
        &|| speaker::of_scene(&scene),
        &|| covered::of_scene(&scene),
        &|| wiring::of_scene(&scene),
        &|| finger::of_scene(&scene),
        &|| bench::of_scene(&scene).into_iter().collect(),
        &|| ears::of_design(design),
        &|| jam::of_design(design),
        &|| rattle::of_design(design),
        &|| {
            (fascia::of_design(design).into_iter())
                .chain(lead::of_design(design))
                .collect()
        },
    ];
    let ((mut findings, slide), others) = rayon::join(
        || {
            let pulls = pull::of_scene(&scene);
            let (mut findings, slide) = slide::of_scene(&scene, &pulls.seated);
            findings.extend(pulls.findings);
            (findings, slide)
        },
        || -> Vec<Vec<Finding>> { checks.par_iter().map(|check| check()).collect() },
    );
    findings.extend(others.into_iter().flatten());
    InUse { findings, slide }
}
