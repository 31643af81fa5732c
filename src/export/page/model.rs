//! What the viewer draws: shapes, placed parts, measured pairs, findings, the way the chassis slides.

use crate::assembly::{Group, Part};
use crate::export::words::severity_word;
use crate::fit::{Finding, group_word, kind_word};
use crate::study::Study;
use crate::views::coarse::Coarse;
use crate::views::explode;
use glam::DVec3;
use rayon::prelude::*;
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Serialize)]
struct Data<'s> {
    name: &'s str,
    groups: Vec<&'static str>,
    /// Corners, triangles and lines of each shape, as counts.
    shapes: Vec<[usize; 3]>,
    /// Places (3 f32), normals (3 i8 and a spare byte), triangles and lines (u32, or u16 where `narrow`), each of all shapes; base64.
    bytes: String,
    narrow: bool,
    parts: Vec<PartRow<'s>>,
    pairs: Vec<PairRow>,
    words: Vec<&'s str>,
    findings: Vec<FindingRow<'s>>,
    slide: Option<Slide>,
}

/// First part, second part, clearance, overlap, wanted, index of the words, the two closest points.
type PairRow = (usize, usize, f64, f64, f64, usize, [f64; 6]);

#[derive(Serialize)]
struct PartRow<'s> {
    id: &'s str,
    kind: &'static str,
    group: usize,
    material: &'s str,
    grams: f64,
    shape: usize,
    colour: [u8; 3],
    /// Columns of the rotation, then the place.
    pose: [f64; 12],
    /// How far it is moved when drawn apart.
    apart: [f64; 3],
    #[serde(skip_serializing_if = "is_false")]
    moves: bool,
    /// Goes in after the chassis, or comes off before it.
    #[serde(skip_serializing_if = "is_false")]
    later: bool,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
const fn is_false(b: &bool) -> bool {
    !*b
}

#[derive(Serialize)]
struct FindingRow<'s> {
    id: &'s str,
    severity: &'static str,
    about: Vec<usize>,
    at: [f64; 3],
    measured: f64,
    unit: &'s str,
    /// How far the chassis is out, where that is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    out: Option<f64>,
}

/// Where the chassis goes when it is pulled out.
#[derive(Serialize)]
struct Slide {
    out: [f64; 3],
    length: f64,
}

/// The data as JSON that may stand in a script element.
pub(super) fn data(study: &Study) -> String {
    let (assembly, report) = (&study.assembly, &study.report);
    let packed = Packed::new(
        &assembly
            .shapes
            .par_iter()
            .map(|s| Coarse::new(&s.body))
            .collect::<Vec<_>>(),
    );
    let centres: Vec<DVec3> = assembly
        .parts
        .iter()
        .map(|p| p.pose.point(assembly.shapes[p.shape].centroid))
        .collect();
    let apart = explode::shifts(&study.design, assembly, &centres);
    let index: BTreeMap<&str, usize> = assembly
        .parts
        .iter()
        .enumerate()
        .map(|(i, p)| (p.id.as_str(), i))
        .collect();
    let groups = [
        Group::Cabinet,
        Group::Speaker,
        Group::Chassis,
        Group::Above,
        Group::Below,
        Group::Panel,
    ];
    let later = later(study);
    let parts = assembly
        .parts
        .iter()
        .zip(&report.solids)
        .zip(&apart)
        .map(|((p, solid), apart)| PartRow {
            id: &p.id,
            kind: kind_word(p.kind),
            group: groups.iter().position(|g| *g == p.group).unwrap_or(0),
            material: &p.material,
            grams: round(solid.mass_g, 10.0),
            shape: p.shape,
            colour: p.colour,
            pose: pose(p),
            apart: apart.to_array().map(|x| round(x, 100.0)),
            moves: p.moves,
            later: later.contains(&p.id.as_str()) || later.contains(&p.owner.as_str()) || after(p),
        })
        .collect();

    let mut words: Vec<&str> = vec![""];
    let mut known: BTreeMap<&str, usize> = BTreeMap::from([("", 0)]);
    let mut word = |text| {
        *known.entry(text).or_insert_with(|| {
            words.push(text);
            words.len() - 1
        })
    };
    let points = |p: [[f64; 3]; 2]| {
        let mut out = [0.0; 6];
        for (o, x) in out.iter_mut().zip(p.into_iter().flatten()) {
            *o = round(x, 1000.0);
        }
        out
    };
    let mut pairs = Vec::with_capacity(report.pairs.len() + report.joined.len());
    for p in &report.pairs {
        pairs.push((
            index[p.a.as_str()],
            index[p.b.as_str()],
            round(p.clearance_mm, 1000.0),
            round(p.overlap_mm3, 1000.0),
            p.wanted_mm,
            word(&p.why),
            points(p.nearest_mm),
        ));
    }
    for p in &report.joined {
        pairs.push((
            index[p.a.as_str()],
            index[p.b.as_str()],
            round(p.clearance_mm, 1000.0),
            round(p.overlap_mm3, 1000.0),
            0.0,
            word(&p.how),
            points(p.nearest_mm),
        ));
    }
    let findings = report
        .findings
        .iter()
        .map(|f| FindingRow {
            id: &f.id,
            severity: severity_word(f.severity),
            about: f
                .about
                .iter()
                .filter_map(|id| index.get(id.as_str()).copied())
                .collect(),
            at: f.at_mm.map(|x| round(x, 1000.0)),
            measured: round(f.measured, 1000.0),
            unit: &f.unit,
            out: pulled_out(study, f),
        })
        .collect();
    let data = Data {
        name: &report.design,
        groups: groups.map(group_word).to_vec(),
        shapes: packed.counts,
        bytes: base64(&packed.bytes),
        narrow: packed.narrow,
        parts,
        pairs,
        words,
        findings,
        slide: slide(study),
    };
    // Within a script element only `<` can end it.
    serde_json::to_string(&data)
        .expect("text keys and plain values")
        .replace('<', "\\u003c")
}

fn round(x: f64, to: f64) -> f64 {
    (x * to).round() / to + 0.0
}

fn pose(p: &Part) -> [f64; 12] {
    let mut out = [0.0; 12];
    let all = p.pose.rot.to_cols_array();
    for (o, x) in out.iter_mut().zip(all.iter().chain(&p.pose.at.to_array())) {
        *o = round(*x, 1e6);
    }
    out
}

/// What holds the chassis once it is home: the screws and brackets beside it.
fn after(p: &Part) -> bool {
    !p.moves && p.group == Group::Chassis
}

/// Ids that the findings say are off while the chassis slides.
fn later(study: &Study) -> Vec<&str> {
    let findings = study.report.findings.iter();
    findings
        .flat_map(|f| match f.id.as_str() {
            "slide-board-off" => &f.about[..f.about.len().min(1)],
            "slide-knobs-after" | "slide-tubes-after" => &f.about[..],
            _ => &[],
        })
        .map(String::as_str)
        .collect()
}

fn slide(study: &Study) -> Option<Slide> {
    let report = &study.report;
    let out = match report.slide_from.as_str() {
        "rear" => 1.0,
        "front" => -1.0,
        _ => return None,
    };
    (report.slide_mm > 0.0).then_some(Slide {
        out: [0.0, out, 0.0],
        length: round(report.slide_mm, 10.0),
    })
}

/// How far the chassis is out where a finding of the slide is, mm.
fn pulled_out(study: &Study, f: &Finding) -> Option<f64> {
    let rows = study.report.slide.iter();
    let row = rows
        .filter(|_| f.id.starts_with("slide"))
        .find(|r| f.about.first() == Some(&r.a) && f.about.get(1) == Some(&r.b))?;
    Some(round(row.before_seated_mm, 1000.0))
}

/// All shapes in one run of bytes.
struct Packed {
    counts: Vec<[usize; 3]>,
    bytes: Vec<u8>,
    narrow: bool,
}

impl Packed {
    fn new(shapes: &[Coarse]) -> Packed {
        let split: Vec<Split> = shapes.par_iter().map(Split::new).collect();
        let narrow = split.iter().all(|s| s.points.len() <= 0xffff);
        let mut bytes = Vec::new();
        for s in &split {
            bytes.extend(s.points.iter().flatten().flat_map(|x| x.to_le_bytes()));
        }
        for s in &split {
            bytes.extend(
                s.normals
                    .iter()
                    .flat_map(|n| [n[0] as u8, n[1] as u8, n[2] as u8, 0]),
            );
        }
        let mut index = |i: u32| {
            if narrow {
                bytes.extend((i as u16).to_le_bytes());
            } else {
                bytes.extend(i.to_le_bytes());
            }
        };
        split
            .iter()
            .flat_map(|s| s.triangles.iter().flatten())
            .for_each(|&i| index(i));
        split
            .iter()
            .flat_map(|s| s.lines.iter().flatten())
            .for_each(|&i| index(i));
        Packed {
            counts: split
                .iter()
                .map(|s| [s.points.len(), s.triangles.len(), s.lines.len()])
                .collect(),
            bytes,
            narrow,
        }
    }
}

/// A shape whose corners are split where its faces meet.
#[derive(Default)]
struct Split {
    points: Vec<[f32; 3]>,
    normals: Vec<[i8; 3]>,
    triangles: Vec<[u32; 3]>,
    lines: Vec<[u32; 2]>,
}

impl Split {
    fn new(coarse: &Coarse) -> Split {
        let mut out = Split::default();
        let mut known: BTreeMap<(u32, [i8; 3]), u32> = BTreeMap::new();
        let mut any: Vec<u32> = vec![0; coarse.points.len()];
        for (triangle, normals) in coarse.triangles.iter().zip(&coarse.normals) {
            let mut corners = [0; 3];
            for (k, (&i, n)) in triangle.iter().zip(normals).enumerate() {
                let n = n.to_array().map(|x| (x * 127.0).round() as i8);
                corners[k] = *known.entry((i, n)).or_insert_with(|| {
                    let p = coarse.points[i as usize].to_array();
                    out.points.push(p.map(|x| x as f32));
                    out.normals.push(n);
                    out.points.len() as u32 - 1
                });
                any[i as usize] = corners[k];
            }
            out.triangles.push(corners);
        }
        out.lines = coarse
            .sides
            .iter()
            .filter(|s| s.sharp)
            .map(|s| s.ends.map(|i| any[i as usize]))
            .collect();
        out
    }
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let at = |k: usize| u32::from(chunk.get(k).copied().unwrap_or(0));
        let word = at(0) << 16 | at(1) << 8 | at(2);
        for k in 0..4 {
            let digit = DIGITS[(word >> (18 - 6 * k)) as usize & 63];
            out.push(if k <= chunk.len() {
                char::from(digit)
            } else {
                '='
            });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn base64_is_that_of_the_rfc() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn every_part_has_its_shape_and_every_pair_its_line() {
        let study = crate::testing::pantry();
        let data: serde_json::Value = serde_json::from_str(&data(&study)).expect("JSON");
        let list = |key: &str| data[key].as_array().expect("a list").clone();
        assert_eq!(list("parts").len(), study.assembly.parts.len());
        assert_eq!(list("shapes").len(), study.assembly.shapes.len());
        let rows = study.report.pairs.len() + study.report.joined.len();
        assert_eq!(list("pairs").len(), rows);
        // the two points are as far apart as is said
        for p in list("pairs") {
            let at: Vec<f64> = p[6]
                .as_array()
                .expect("points")
                .iter()
                .map(|x| x.as_f64().expect("a number"))
                .collect();
            let d = (0..3)
                .map(|k| (at[k] - at[k + 3]).powi(2))
                .sum::<f64>()
                .sqrt();
            let said = p[2].as_f64().expect("a number");
            assert!((d - said).abs() < 0.005, "{p}: {d}");
        }
    }
}
