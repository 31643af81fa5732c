//! The checks of the amp in use: motions measured exactly over their whole way, tools and plugs as solids.

use super::measure_all::Measured;
use super::report::Finding;
use super::scene::Scene;
use super::slide::SlideRows;
use super::{
    bench, covered, ears, fascia, finger, jam, lead, plug, pull, rattle, reach, screwdriver, slide,
    spanner, speaker, wiring,
};
use crate::assembly::Assembly;
use crate::design::Design;
use crate::measure::Prepared;
use rayon::prelude::*;

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
    let scene = Scene::new(design, assembly, prepared, measured);
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
