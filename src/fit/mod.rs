//! What is checked, one file per check, and what a check reports.

mod air;
mod bench;
mod covered;
mod cure;
mod doc;
mod ears;
mod fascia;
mod fillet;
mod findings;
mod finger;
mod heat;
mod heat_near;
mod hum;
mod hum_coils;
mod hum_near;
mod in_the_way;
mod in_use;
mod jam;
mod laden;
mod lead;
mod measure_all;
mod metal;
mod page;
mod plate_choice;
mod plug;
mod pull;
mod pulled_out;
mod rattle;
mod reach;
mod recess;
mod report;
mod safety;
mod sag;
mod scene;
mod screwdriver;
mod screws;
mod slide;
mod slide_pass;
mod slide_say;
mod spanner;
mod speaker;
mod stock;
#[cfg(test)]
mod tests_cure;
#[cfg(test)]
mod tests_physics;
mod throat;
mod tool;
mod weight;
mod wiring;
mod wood;

pub use cure::add_cures;
pub use findings::kind_word;
pub use in_use::{InUse, in_use};
pub use measure_all::{Measured, REACH, measure_again, measure_all, prepare};
pub use page::reference_page;
pub use plate_choice::{HUM, PlateChoice, PlateChoices, SagClass, plate_choices, screen_words};
pub use report::{
    DerivedLine, Finding, HoleRow, JoinedRow, MassRow, PairRow, PieceRow, Report, Severity,
    SlideRow, SolidRow, UnmeasuredRow, Verdict,
};
pub use sag::folds;
pub use slide::SlideRows;
pub use stock::{OffStock, add_off_stock};

use crate::assembly::{Assembly, Group, Rule};
use crate::design::Design;
use crate::mesh::Mesh;
use crate::pose::Pose;
use crate::solid::Body;
use crate::units;
use glam::DVec3;

/// Everything that is found at rest, worst first; what moves is looked at by [`in_use`].
#[must_use]
pub fn findings(design: &Design, assembly: &Assembly, measured: &[Measured]) -> Vec<Finding> {
    let mut all = findings::of_pairs(design, assembly, measured);
    all.extend(metal::of_design(design));
    all.extend(fillet::of_design(design));
    all.extend(throat::of_design(design));
    all.extend(screws::of_design(design, assembly, measured));
    let recess = recess::of_design(design, assembly);
    let longest = (recess.iter())
        .filter(|f| f.severity == Severity::Note)
        .min_by(|a, b| a.measured.total_cmp(&b.measured))
        .map(|f| (f.measured, f.about[1].as_str()));
    all.extend(wood::of_design(design, longest));
    all.extend(recess);
    all.extend(findings::of_remarks(design));
    all.extend(safety::of_design(design));
    all.extend(hum::of_design(design, assembly));
    all.extend(heat::of_design(design, assembly, measured));
    all.extend(weight::of_design(design, assembly));
    all.extend(sag::of_design(design, assembly));
    all.extend(pulled_out::of_design(design, assembly));
    sort(&mut all);
    all
}

/// Worst first.
pub fn sort(all: &mut [Finding]) {
    // the deepest shortfall first within a severity, then by name, so that the order never depends on chance
    all.sort_by(|a, b| {
        let short = |f: &Finding| {
            if f.unit == "mm3" {
                -f.measured
            } else {
                f.measured - f.wanted
            }
        };
        a.severity
            .cmp(&b.severity)
            .then(short(a).total_cmp(&short(b)))
            .then_with(|| a.about.cmp(&b.about))
            .then_with(|| a.id.cmp(&b.id))
    });
}

/// The verdict that findings give.
#[must_use]
pub fn verdict(findings: &[Finding]) -> Verdict {
    if findings.iter().any(|f| f.severity == Severity::Error) {
        Verdict::Clashes
    } else if findings.iter().any(|f| f.severity == Severity::Warning) {
        Verdict::Tight
    } else {
        Verdict::Fits
    }
}

/// Puts the report together. `meshes` are the export meshes by shape.
#[must_use]
pub fn report(
    design: &Design,
    assembly: &Assembly,
    meshes: &[Mesh],
    measured: &[Measured],
    findings: Vec<Finding>,
    slide: SlideRows,
) -> Report {
    let parts = &assembly.parts;
    let solids = parts
        .iter()
        .map(|p| {
            let shape = &assembly.shapes[p.shape];
            let b = shape.body.bounds(&p.pose);
            SolidRow {
                id: p.id.clone(),
                kind: kind_word(p.kind).into(),
                group: group_word(p.group).into(),
                moves: p.moves,
                material: p.material.clone(),
                volume_mm3: shape.volume,
                mass_g: shape.volume * p.density * 1e-6,
                box_mm: [b[0].to_array(), b[1].to_array()],
                triangles: meshes[p.shape].triangles.len(),
                turned: turned(&shape.body, &p.pose),
            }
        })
        .collect();
    let mut pairs: Vec<PairRow> = Vec::new();
    let mut joined: Vec<JoinedRow> = Vec::new();
    for m in measured {
        let (a, b) = (parts[m.a].id.clone(), parts[m.b].id.clone());
        match m.joint {
            Some(j) => {
                let j = &assembly.joints[j];
                joined.push(JoinedRow {
                    a,
                    b,
                    how: findings::how_word(j.how).into(),
                    clearance_mm: m.is.clearance,
                    overlap_mm3: m.is.overlap,
                    rule: rule_words(j.rule),
                    nearest_mm: m.is.at.map(|p| p.to_array()),
                });
            }
            None => {
                let (wanted_mm, why) = m.wanted.clone().unwrap_or_default();
                pairs.push(PairRow {
                    a,
                    b,
                    clearance_mm: m.is.clearance,
                    overlap_mm3: m.is.overlap,
                    wanted_mm,
                    why,
                    nearest_mm: m.is.at.map(|p| p.to_array()),
                });
            }
        }
    }
    pairs.sort_by(|x, y| {
        y.overlap_mm3
            .total_cmp(&x.overlap_mm3)
            .then(x.clearance_mm.total_cmp(&y.clearance_mm))
            .then_with(|| (&x.a, &x.b).cmp(&(&y.a, &y.b)))
    });
    Report {
        format: 1,
        design: design.name.clone(),
        verdict: verdict(&findings),
        unmeasured: design.unmeasured.len(),
        masses: weight::rows(assembly),
        unmeasured_parts: design
            .unmeasured
            .iter()
            .map(|u| UnmeasuredRow {
                id: u.id.clone(),
                row: u.row.clone(),
                source: u.source.clone(),
            })
            .collect(),
        solids,
        pairs,
        joined,
        pieces: Vec::new(),
        holes: Vec::new(),
        slide_from: slide.from,
        slide_mm: slide.way,
        slide: slide.rows,
        findings,
        derived: design
            .derived
            .iter()
            .map(|d| DerivedLine {
                name: d.name.clone(),
                value_mm: d.value,
                reason: d.reason.clone(),
            })
            .collect(),
    }
}

/// The corners from above of a body's own box that stands upright, but at no multiple of a quarter turn.
fn turned(body: &Body, pose: &Pose) -> Option<[[f64; 2]; 4]> {
    const STRAIGHT: f64 = 1e-9;
    let upright = DVec3::AXES
        .iter()
        .position(|a| pose.dir(*a).z.abs() > 1.0 - STRAIGHT)?;
    let (i, j) = ((upright + 1) % 3, (upright + 2) % 3);
    let along = pose.dir(DVec3::AXES[i]);
    if along.x.abs() < STRAIGHT || along.y.abs() < STRAIGHT {
        return None;
    }
    let own = body.bounds(&Pose::IDENTITY);
    Some([[0, 0], [1, 0], [1, 1], [0, 1]].map(|[a, b]| {
        let mut p = own[0];
        (p[i], p[j]) = (own[a][i], own[b][j]);
        pose.point(p).truncate().to_array()
    }))
}

/// A group in words.
#[must_use]
pub fn group_word(group: Group) -> &'static str {
    match group {
        Group::Cabinet => "cabinet",
        Group::Speaker => "speaker",
        Group::Chassis => "chassis",
        Group::Above => "above",
        Group::Below => "below",
        Group::Panel => "panel",
    }
}

fn rule_words(rule: Rule) -> String {
    match rule {
        Rule::Gap { most } => format!("no overlap, at most {} apart", units::show(most)),
        Rule::Engaged { depth, play, .. } => format!(
            "no overlap, engaged by {} or more with {} play or more",
            units::show(depth),
            units::show(play)
        ),
        Rule::Flush { .. } => "no overlap, flush or below".into(),
    }
}
