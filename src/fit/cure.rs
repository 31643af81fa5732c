//! A curing move: the shortest shift of the movable part that ends a finding and makes no new one.

use super::measure_all::Measured;
use super::report::{Finding, Severity};
use crate::assembly::{Assembly, Part};
use crate::design::{Design, Nudges};
use crate::measure::{self, BoxIndex, Prepared};
use crate::pose::Pose;
use crate::units;
use glam::DVec3;
use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

/// Furthest shift that is tried, mm.
const FURTHEST: usize = 60;

/// Most findings for which a cure is looked for in one run; a design worse than that needs thought, not shifts.
const MOST: usize = 6;

/// Most times the whole design is built and measured again in one run, and most times the amp in use is then looked at: each costs as much as
/// the run itself.
const REBUILDS: usize = 6;
const USES: usize = 3;

/// Adds a hint to the findings that a shift of one item would end. `retry` resolves and measures the whole design with items shifted and
/// returns what it then finds, or nothing if it cannot be built; `in_use` the same of the amp in use.
pub fn add_cures(
    design: &Design,
    assembly: &Assembly,
    prepared: &[Prepared<'_>],
    measured: &[Measured],
    findings: &mut [Finding],
    retry: &dyn Fn(&Nudges) -> Option<Vec<Finding>>,
    in_use: &dyn Fn(&Nudges) -> Option<Vec<Finding>>,
) {
    let owners: BTreeMap<&str, &str> = assembly
        .parts
        .iter()
        .map(|p| (p.id.as_str(), p.owner.as_str()))
        .collect();
    // the worst of each finding that there is: a move may leave it, but not make it worse
    let mut short: BTreeMap<(String, Vec<String>), f64> = BTreeMap::new();
    for f in findings.iter() {
        let most = short.entry(key(f, &owners)).or_default();
        *most = most.max(shortfall(f));
    }
    let (mut tried, mut rebuilds, mut uses) = (0, 0, 0);
    let known: BTreeSet<&(String, Vec<String>)> = short.keys().collect();
    let room: OnceCell<BoxIndex> = OnceCell::new();
    let boxes = || {
        let of = |p: &Part| prepared[p.shape].bounds(&p.pose);
        BoxIndex::new(assembly.parts.iter().map(of).collect())
    };
    for finding in findings.iter_mut() {
        if finding.severity == Severity::Note
            || !finding.hint.is_empty()
            || finding.about.len() != 2
            || tried >= MOST
            || rebuilds >= REBUILDS
            || uses >= USES
        {
            continue;
        }
        let Some(owner) = assembly
            .parts
            .iter()
            .find(|p| p.id == finding.about[0])
            .map(|p| p.owner.clone())
        else {
            continue;
        };
        let Some(movable) = design.movables.iter().find(|m| m.id == owner) else {
            continue;
        };
        let Some(pair) = measured.iter().find(|m| {
            let ids = [&assembly.parts[m.a].id, &assembly.parts[m.b].id];
            finding.about.iter().all(|id| ids.contains(&id))
        }) else {
            continue;
        };
        tried += 1;
        // six directions; those an item cannot take are left out
        let mut options: Vec<(usize, DVec3)> = [
            DVec3::X,
            -DVec3::X,
            DVec3::Y,
            -DVec3::Y,
            DVec3::Z,
            -DVec3::Z,
        ]
        .into_iter()
        .filter(|d| movable.along.iter().any(|a| a.dot(*d).abs() > 0.5))
        .filter_map(|d| shift_needed(assembly, prepared, pair, &owner, d).map(|mm| (mm, d)))
        .collect();
        options.sort_by_key(|o| o.0);
        for (mm, dir) in options.into_iter().take(4) {
            let index = room.get_or_init(boxes);
            let meets = meets_another(assembly, prepared, index, &owner, dir * mm as f64, &known);
            if meets || rebuilds >= REBUILDS || uses >= USES {
                continue;
            }
            rebuilds += 1;
            let nudges = Nudges::from([(owner.clone(), dir * mm as f64)]);
            let Some(after) = retry(&nudges) else {
                continue;
            };
            let this = key(finding, &owners);
            let good = |found: &[Finding]| {
                (found.iter().filter(|f| f.severity != Severity::Note)).all(|f| {
                    let k = key(f, &owners);
                    k != this
                        && (short.get(&k)).is_some_and(|most| {
                            !k.1.contains(&owner) || f.unit != "mm" || shortfall(f) <= most + SAME
                        })
                })
            };
            if !good(&after) {
                continue;
            }
            uses += 1;
            if in_use(&nudges).is_some_and(|found| good(&found)) {
                finding.hint =
                    format!("move {owner} {} {}", units::show(mm as f64), direction(dir));
                break;
            }
        }
    }
}

/// Whether an item shifted as a whole runs into another that it did not run into before: found on the solids as they are, without building
/// anything. Its holes and what it is fixed to move with it, so what it shares a joint with is left to the building.
fn meets_another(
    assembly: &Assembly,
    prepared: &[Prepared<'_>],
    index: &BoxIndex,
    owner: &str,
    shift: DVec3,
    known: &BTreeSet<&(String, Vec<String>)>,
) -> bool {
    let parts = &assembly.parts;
    let own = |i: usize| parts[i].owner == owner;
    let fixed_to: BTreeSet<usize> = (assembly.joints.iter())
        .filter(|j| own(j.a) != own(j.b))
        .flat_map(|j| [j.a, j.b])
        .collect();
    (0..parts.len()).filter(|&i| own(i)).any(|i| {
        let shape = &prepared[parts[i].shape];
        let [low, high] = index.of(i);
        let pose = Pose {
            at: parts[i].pose.at + shift,
            ..parts[i].pose
        };
        (index.near([low + shift, high + shift], 0.0).into_iter())
            .filter(|&k| !own(k) && !fixed_to.contains(&k))
            .any(|k| {
                let mut about = vec![owner.to_owned(), parts[k].owner.clone()];
                about.sort();
                let overlap = ("overlap".to_owned(), about);
                !known.contains(&overlap)
                    && !measure::clear_by(
                        shape,
                        &pose,
                        &prepared[parts[k].shape],
                        &parts[k].pose,
                        MEETS,
                    )
            })
    })
}

/// How far a finding's figure is from the one wanted.
fn shortfall(f: &Finding) -> f64 {
    (f.wanted - f.measured).abs()
}

/// A finding that changes by less than this is no worse, mm: finer than the mesh, it is not known.
const SAME: f64 = 0.05;

/// What is nearer than this is met, mm.
const MEETS: f64 = 1e-6;

/// What a finding is about, whichever of the items' solids show it.
fn key(f: &Finding, owners: &BTreeMap<&str, &str>) -> (String, Vec<String>) {
    let mut about: Vec<String> = f
        .about
        .iter()
        .map(|id| {
            owners
                .get(id.as_str())
                .map_or_else(|| id.clone(), |o| (*o).to_owned())
        })
        .collect();
    about.sort();
    (f.id.clone(), about)
}

/// Whole mm by which all parts of `owner` must shift along `dir` until this pair is as wanted.
fn shift_needed(
    assembly: &Assembly,
    prepared: &[Prepared<'_>],
    pair: &Measured,
    owner: &str,
    dir: DVec3,
) -> Option<usize> {
    let (a, b) = (&assembly.parts[pair.a], &assembly.parts[pair.b]);
    let wanted = pair.wanted.as_ref().map_or(0.05, |w| w.0.max(0.05));
    let good = |mm: usize| {
        let shifted = |p: &crate::assembly::Part| {
            let mut pose = p.pose;
            if p.owner == owner {
                pose.at += dir * mm as f64;
            }
            pose
        };
        measure::clear_by(
            &prepared[a.shape],
            &shifted(a),
            &prepared[b.shape],
            &shifted(b),
            wanted,
        )
    };
    // coarse first, then back to the mm; a shift that passes through a good place and out again is found too late, never wrongly
    let coarse = (1..=FURTHEST / 5).map(|k| k * 5).find(|mm| good(*mm))?;
    (coarse.saturating_sub(4).max(1)..=coarse).find(|mm| good(*mm))
}

fn direction(d: DVec3) -> &'static str {
    if d.x > 0.5 {
        "to the right (seen from the front)"
    } else if d.x < -0.5 {
        "to the left (seen from the front)"
    } else if d.y > 0.5 {
        "to the rear"
    } else if d.y < -0.5 {
        "to the front"
    } else if d.z > 0.5 {
        "up"
    } else {
        "down"
    }
}
