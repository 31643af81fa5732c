//! The library's front door: one call from a text to design, assembly and findings. No input, no output.

use crate::assembly::Assembly;
use crate::design::{self, Design, Limits, Nudges};
use crate::diag::{Diagnostic, Diagnostics};
use crate::fit::{self, Finding, Report};
use crate::mesh::{self, Mesh};
use crate::model::{self, ModelError};
use crate::params::{self, Params};
use crate::shop;
use rayon::prelude::*;

/// A design resolved, built and checked.
#[derive(Clone, Debug)]
pub struct Study {
    /// The resolved design.
    pub design: Design,
    /// Its solids.
    pub assembly: Assembly,
    /// Export meshes, one per shape of the assembly.
    pub meshes: Vec<Mesh>,
    /// What was found.
    pub report: Report,
}

/// How often [`study_telling`] tells of a step.
pub const STEPS: u64 = 7;

/// Studies a parameter file.
///
/// # Errors
/// Everything that is wrong with the text, with its places.
pub fn study(text: &str) -> Result<Study, Diagnostics> {
    study_within(text, &Limits::STANDARD)
}

/// The same with other limits, for designs larger than a builder's.
///
/// # Errors
/// As [`study`].
pub fn study_within(text: &str, limits: &Limits) -> Result<Study, Diagnostics> {
    study_telling(text, limits, &|| {})
}

/// The same, and calls `step` after each of its [`STEPS`] steps, for whoever waits.
///
/// # Errors
/// As [`study`].
pub fn study_telling(text: &str, limits: &Limits, step: &dyn Fn()) -> Result<Study, Diagnostics> {
    let params = params::parse(text)?;
    let (design, assembly) = build(&params, &Nudges::new(), limits)?;
    step();
    let prepared = fit::prepare(&assembly);
    step();
    let measured = fit::measure_all(&design, &assembly, &prepared);
    step();
    let (mut findings, used) = rayon::join(
        || fit::findings(&design, &assembly, &measured),
        || fit::in_use(&design, &assembly, &prepared, &measured),
    );
    step();
    findings.extend(used.findings);
    step();
    fit::sort(&mut findings);
    let first = (&assembly, prepared.as_slice(), measured.as_slice());
    let retry = |nudges: &Nudges| -> Option<Vec<Finding>> {
        let (design, assembly) = build(&params, nudges, limits).ok()?;
        let measured = fit::measure_again(&design, &assembly, first);
        Some(fit::findings(&design, &assembly, &measured))
    };
    // dearer than measuring what was shifted, so asked of a cure that is good at rest
    let usable = |nudges: &Nudges| -> Option<Vec<Finding>> {
        let (design, assembly) = build(&params, nudges, limits).ok()?;
        let measured = fit::measure_again(&design, &assembly, first);
        let prepared = fit::prepare(&assembly);
        Some(fit::in_use(&design, &assembly, &prepared, &measured).findings)
    };
    fit::add_cures(
        &design,
        &assembly,
        &prepared,
        &measured,
        &mut findings,
        &retry,
        &usable,
    );
    step();
    let meshes: Vec<Mesh> = assembly
        .shapes
        .par_iter()
        .map(|s| mesh::export_mesh(&s.body, s.volume))
        .collect();
    let mut report = fit::report(&design, &assembly, &meshes, &measured, findings, used.slide);
    let cuts = shop::cut_list(&design, &report);
    (report.pieces, report.holes) = shop::made(&design, &cuts);
    let off = shop::stock::unplaced(&design, &cuts).into_iter();
    fit::add_off_stock(&mut report, off.map(|u| (u.id, u.needs, u.lacks)).collect());
    drop(prepared);
    step();
    Ok(Study {
        design,
        assembly,
        meshes,
        report,
    })
}

/// Resolves and models, with items shifted.
fn build(
    params: &Params,
    nudges: &Nudges,
    limits: &Limits,
) -> Result<(Design, Assembly), Diagnostics> {
    let design = design::resolve(params, nudges, limits)?;
    match model::assemble(&design) {
        Ok(assembly) => Ok((design, assembly)),
        Err(errors) => {
            let mut diags = Diagnostics::default();
            for e in errors {
                let (owner, id) = e.about();
                let span = design
                    .movables
                    .iter()
                    .find(|m| m.id == owner)
                    .map(|m| m.span.clone());
                let flat = |id: &str| design.flat(id).map(|f| f.span.clone());
                let span = span
                    .or_else(|| flat(id))
                    .or_else(|| flat(owner))
                    .or_else(|| flat("plate"))
                    .unwrap_or(0..0);
                let (expected, hint) = match e {
                    ModelError::Unbuildable { .. } => (
                        "sizes that make one closed body",
                        "look at the sizes given for it, and at what was defaulted",
                    ),
                    ModelError::SameId { .. } => (
                        "an id that no derived part bears",
                        "choose another id: the parts of `V1` are called `V1-socket`, `V1-socket-screw-1`, ...",
                    ),
                };
                diags.list.push(Diagnostic {
                    span,
                    message: e.to_string(),
                    expected: Some(expected.into()),
                    hint: Some(hint.into()),
                });
            }
            Err(diags)
        }
    }
}
