//! The places where there is least to spare, as a builder would choose them.

use crate::assembly::{Group, Part};
use crate::fit::PairRow;
use crate::study::Study;
use std::collections::{BTreeMap, BTreeSet};

/// At most `most` pairs with the least to spare, the worst first: overlaps, then clearance less wanted air.
///
/// Of several parts of the same two items the tightest speaks for all. An item and what it is mounted on are no place to watch (a nut 0.8 mm
/// over its plate sits on a washer), nor are two pieces of the wooden box, unless they overlap or are nearer than wanted.
#[must_use]
pub fn tightest(study: &Study, most: usize) -> Vec<&PairRow> {
    let assembly = &study.assembly;
    let parts: BTreeMap<&str, &Part> = assembly.parts.iter().map(|p| (p.id.as_str(), p)).collect();
    let mut mounted: BTreeSet<(&str, &str)> = BTreeSet::new();
    for joint in &assembly.joints {
        let (a, b) = (&assembly.parts[joint.a], &assembly.parts[joint.b]);
        mounted.insert((&a.owner, &b.id));
        mounted.insert((&b.owner, &a.id));
    }
    let mut told: BTreeSet<[&str; 2]> = BTreeSet::new();
    let mut out = Vec::new();
    for pair in all(study) {
        let (Some(a), Some(b)) = (parts.get(pair.a.as_str()), parts.get(pair.b.as_str())) else {
            continue;
        };
        let wrong = pair.overlap_mm3 > 0.0 || pair.clearance_mm < pair.wanted_mm;
        let one_thing = a.owner == b.owner
            || mounted.contains(&(a.owner.as_str(), b.id.as_str()))
            || mounted.contains(&(b.owner.as_str(), a.id.as_str()))
            || (a.group == Group::Cabinet && b.group == Group::Cabinet);
        let owners = [
            a.owner.as_str().min(&b.owner),
            a.owner.as_str().max(&b.owner),
        ];
        if (wrong || !one_thing) && told.insert(owners) {
            out.push(pair);
        }
        if out.len() == most {
            break;
        }
    }
    out
}

/// Every measured pair that is not joined, the least to spare first.
#[must_use]
pub fn all(study: &Study) -> Vec<&PairRow> {
    let mut rows: Vec<&PairRow> = study.report.pairs.iter().collect();
    let spare = |p: &PairRow| p.clearance_mm - p.wanted_mm;
    rows.sort_by(|x, y| {
        let worse = y
            .overlap_mm3
            .total_cmp(&x.overlap_mm3)
            .then(spare(x).total_cmp(&spare(y)));
        worse.then_with(|| (&x.a, &x.b).cmp(&(&y.a, &y.b)))
    });
    rows
}
