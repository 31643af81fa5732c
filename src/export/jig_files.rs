//! The files under `jig/`: what is printed, how it is used, and where each guide stands, for programs.

use super::three_mf::{Named, three_mf};
use super::{OutFile, json, stl, words};
use crate::design::{LEAST_LETTER, LEAST_STROKE, PrintSpec};
use crate::jig::{Jig, Jigs, Piece, check};
use crate::pose::Pose;
use crate::study::Study;
use crate::units::{self, count};
use crate::{jig, shop, views};
use glam::DVec3;
use rayon::prelude::*;
use serde::Serialize;
use std::fmt::Write as _;

/// The files of the jigs, and what is wrong with them.
pub(super) struct Made {
    pub files: Vec<OutFile>,
    /// Jigs that could not be made or do not print well, and why.
    pub unmade: Vec<String>,
}

/// All files of the jigs, in an order that never changes; with or without their pictures.
pub(super) fn files(study: &Study, pictures: bool) -> Made {
    let schedules = shop::schedule(&study.design);
    let jigs = jig::jigs(&study.design, &study.assembly, &schedules);
    let mut out = vec![
        (
            "jig/README.md".to_owned(),
            readme(study, &jigs, pictures).into_bytes(),
        ),
        (
            "jig/jigs.json".to_owned(),
            json::text(&listing(study, &jigs)),
        ),
    ];
    let pieces: Vec<&Piece> = jigs.jigs.iter().flat_map(|j| &j.pieces).collect();
    let made: Vec<Vec<OutFile>> = pieces
        .par_iter()
        .map(|p| {
            let named = Named {
                name: &p.label,
                material: "printed plastic",
                colour: [216, 160, 60],
                mesh: &p.mesh,
                pose: Pose::IDENTITY,
            };
            let title = format!("{}: {}", study.design.name, p.label);
            vec![
                (
                    format!("jig/{}.stl", p.name),
                    stl::part_stl(&p.mesh, &Pose::IDENTITY),
                ),
                (format!("jig/{}.3mf", p.name), three_mf(&[named], &title)),
            ]
        })
        .collect();
    out.extend(made.into_iter().flatten());
    if pictures {
        out.extend(views::jig_pictures(&study.assembly, &jigs.jigs));
    }
    let faults = pieces.iter().flat_map(|p| {
        let faults = p.check.faults().into_iter();
        faults.map(|f| format!("before you print {}: {f}", p.label))
    });
    let unmade = jigs.unmade.iter().map(|why| format!("no jig: {why}"));
    let unmade = unmade.chain(faults).collect();
    Made { files: out, unmade }
}

/// `jig/jigs.json`: one piece, one guide a line. mm; `amp_from_stl` is the first three rows of a matrix, row by row, that takes a point
/// of the STL file into the amp frame, shrink undone.
#[derive(Serialize)]
struct Listing<'a> {
    format: u32,
    design: &'a str,
    pieces: Vec<PieceRow<'a>>,
    guides: Vec<GuideRow<'a>>,
    unmade: &'a [String],
}

#[derive(Serialize)]
struct PieceRow<'a> {
    file: String,
    jig: &'a str,
    label: &'a str,
    scale: f64,
    volume_mm3: f64,
    joint_play_mm3: f64,
    uncut_mm3: f64,
    letters_mm3: f64,
    size_mm: [f64; 3],
    first_layer_mm2: f64,
    overhang_mm2: f64,
    widest_bridge_mm: f64,
    thinnest_wall_mm: f64,
    letter_height_mm: f64,
    letter_stroke_mm: f64,
    letter_floors: Vec<[f64; 4]>,
    triangles: usize,
}

#[derive(Serialize)]
struct GuideRow<'a> {
    file: String,
    part: &'a str,
    hole: &'a str,
    at_mm: [f64; 3],
    axis: [f64; 3],
    drill_mm: f64,
    bore_mm: f64,
    finished_mm: f64,
    amp_from_stl: [f64; 12],
}

fn listing<'a>(study: &'a Study, jigs: &'a Jigs) -> Listing<'a> {
    let mut pieces = Vec::new();
    let mut guides = Vec::new();
    for jig in &jigs.jigs {
        for p in &jig.pieces {
            let file = format!("jig/{}.stl", p.name);
            let c = &p.check;
            pieces.push(PieceRow {
                file: file.clone(),
                jig: &jig.name,
                label: &p.label,
                scale: p.scale,
                volume_mm3: p.volume,
                joint_play_mm3: jig.play,
                uncut_mm3: jig.uncut,
                letters_mm3: p.letters,
                size_mm: c.size,
                first_layer_mm2: c.foot,
                overhang_mm2: c.overhang,
                widest_bridge_mm: c.bridge,
                // JSON has no infinity; no second edge, no wall to speak of
                thinnest_wall_mm: if c.wall.is_finite() { c.wall } else { 0.0 },
                letter_height_mm: c.letter,
                letter_stroke_mm: c.stroke,
                letter_floors: (p.letter_floors.iter())
                    .map(|(n, off)| [n.x, n.y, n.z, *off])
                    .collect(),
                triangles: c.triangles,
            });
            let to_bed = p.from_bed.inverse();
            let mut add = |holes: &'a [String],
                           stands: &[usize],
                           finished: &[f64],
                           at: DVec3,
                           axis: DVec3,
                           sizes: [f64; 2]| {
                for (k, (hole, size)) in holes.iter().zip(finished).enumerate() {
                    let Some(place) = jig.place_of(stands, k) else {
                        continue;
                    };
                    let matrix = place.to_amp.then(&p.from_bed);
                    let mut amp_from_stl = [0.0; 12];
                    for row in 0..3 {
                        for column in 0..3 {
                            amp_from_stl[4 * row + column] = matrix.rot.col(column)[row] / p.scale;
                        }
                        amp_from_stl[4 * row + 3] = matrix.at[row];
                    }
                    guides.push(GuideRow {
                        file: file.clone(),
                        part: &place.part,
                        hole,
                        at_mm: (to_bed.point(at) * p.scale).to_array(),
                        axis: to_bed.dir(axis).to_array(),
                        drill_mm: sizes[0],
                        bore_mm: sizes[1],
                        finished_mm: *size,
                        amp_from_stl,
                    });
                }
            };
            for b in &p.bores {
                add(
                    &b.holes,
                    &b.stands,
                    &b.finished,
                    b.at.extend(0.0),
                    DVec3::Z,
                    [b.drill, b.d],
                );
            }
            for b in &p.cross {
                let at = DVec3::new(b.x, b.from, b.z);
                add(&b.holes, &[], &b.finished, at, DVec3::Y, [b.drill, b.d]);
            }
        }
    }
    Listing {
        format: 1,
        design: &study.design.name,
        pieces,
        guides,
        unmade: &jigs.unmade,
    }
}

fn readme(study: &Study, jigs: &Jigs, pictures: bool) -> String {
    let mut out = String::new();
    let print = &study.design.print;
    let pieces: usize = jigs.jigs.iter().map(|j| j.pieces.len()).sum();
    let _ = writeln!(
        out,
        "# Drill jigs for {}\n\n{} to print. The design {}.\n",
        study.design.name,
        count(pieces, "piece"),
        words::verdict_line(&study.report)
    );
    out.push_str("## Before you drill\n\n");
    for line in CAUTIONS {
        let _ = writeln!(out, "- {line}");
    }
    out.push_str("\n## What to print\n\n| file | what it is | on the bed mm | guides | plastic |\n| --- | --- | --- | --- | --- |\n");
    for j in &jigs.jigs {
        for p in &j.pieces {
            let [x, y, z] = p.check.size;
            let _ = writeln!(
                out,
                "| `{}.stl`, `.3mf` | {} | {x:.1} x {y:.1} x {z:.1} | {} | {:.0} cm3 |",
                p.name,
                p.label,
                p.bores.len() + p.cross.len(),
                p.volume / 1000.0
            );
        }
    }
    out.push_str("\nPrint every piece as it lies in its file: no supports, at least three walls round each bore, 30 % infill or more. \
The 3MF files hold the same pieces with their names and the unit, mm. `jigs.json` tells a program where every guide stands.\n\n");
    out.push_str(ORDER);
    settings(&mut out, print);
    looked_at(&mut out, jigs);
    for j in &jigs.jigs {
        one(&mut out, j, pictures);
    }
    if !jigs.unmade.is_empty() {
        out.push_str("## Not made\n\n");
        for why in &jigs.unmade {
            let _ = writeln!(out, "- {why}");
        }
        out.push('\n');
    }
    out
}

const ORDER: &str = "Use them in the order of this page: the coupon first, then whatever all others depend on. On one part, drill all pilots, \
check them with a rule from the datum corner, then open them from the smallest to the largest as the drill schedule says; holes that two parts share \
are drilled in the one and spotted through it in the other.\n\n";

const CAUTIONS: [&str; 8] = [
    "A printed guide is for pilot holes at low speed: a hot or large drill melts it, and a worn bore guides nothing. Open the holes afterwards with drill, step bit or punch.",
    "Clamp jig and work to the bench. Never hold sheet metal by hand under a drill: it grabs and spins as the bit breaks through.",
    "Wear eye protection, and no gloves at a turning drill. Swarf is sharp and hot: brush it away, and lift the jig to clear it after every hole.",
    "A burr or a chip under a jig lifts and tilts it: take the burr off edges, faces and holes before the jig goes on.",
    "Let the drill run before it meets the work, and lift it out while it turns; press no harder than the drill cuts.",
    "Measure the parts in hand before you drill. Catalogue figures are not your part.",
    "Try every new jig on paper or scrap first, and measure the holes.",
    "Local codes and licensed practice decide what is safe in an amplifier, not a jig.",
];

fn settings(out: &mut String, print: &PrintSpec) {
    let bush = print.bush.map_or_else(
        || "none: the printed bore guides the drill".to_owned(),
        |b| {
            format!(
                "{} outside, {} inside",
                units::mm_2(b.outside),
                units::mm_2(b.inside)
            )
        },
    );
    let _ = writeln!(
        out,
        "## Drawn for this printer\n\nFrom the table `[print]` of the parameter file; change it there and build again.\n\n\
| key | value |\n| --- | --- |\n\
| bed | {:.0} x {:.0} x {:.0} mm, {:.0} mm kept free all round |\n\
| nozzle | {} |\n\
| hole-growth, added to every bore's diameter | {} |\n\
| shrink, made good in every length | {:.2} % |\n\
| plate | {} thick |\n\
| metal bushes | {bush} |\n\
| letters | {} high, stroke {}, {} deep |\n",
        print.bed[0],
        print.bed[1],
        print.bed[2],
        print.margin,
        units::mm_2(print.nozzle),
        units::mm_2(print.growth),
        100.0 * print.shrink,
        units::mm_1(print.thickness),
        units::mm_1(print.letter),
        units::mm_2(print.stroke),
        units::mm_2(print.sunk),
    );
    if let Some(b) = print.bush {
        let _ = writeln!(
            out,
            "Press a bush into every guide for a {} drill, from the side with the letters, no further than to the side that lies on the work. A guide \
for another drill is printed to that drill's size and takes no bush.\n",
            units::show_drill(b.inside)
        );
    }
}

fn looked_at(out: &mut String, jigs: &Jigs) {
    let all: Vec<&Piece> = jigs.jigs.iter().flat_map(|j| &j.pieces).collect();
    if all.is_empty() {
        return;
    }
    let most = |f: fn(&Piece) -> f64| all.iter().map(|p| f(p)).fold(0.0, f64::max);
    let least = |f: fn(&Piece) -> f64| all.iter().map(|p| f(p)).fold(f64::INFINITY, f64::min);
    let bridge = most(|p| p.check.bridge);
    let _ = writeln!(
        out,
        "Looked at before printing: widest bridge {bridge:.1} mm (up to {:.0} needs no support), thinnest wall {:.1} mm, smallest area on the bed {:.0} mm2.\n",
        check::WIDEST_BRIDGE,
        least(|p| p.check.wall),
        least(|p| p.check.foot),
    );
    let lettered = all.iter().map(|p| &p.check).filter(|c| c.letter > 0.0);
    if let Some(c) = lettered.min_by(|a, b| a.stroke.total_cmp(&b.stroke)) {
        let _ = writeln!(
            out,
            "Smallest letters: {:.1} mm high with a stroke of {:.2} mm ({LEAST_LETTER:.1} mm and {LEAST_STROKE:.2} mm still print).\n",
            c.letter, c.stroke
        );
    }
    for p in all {
        for fault in p.check.faults() {
            let _ = writeln!(out, "- `{}`: {fault}", p.name);
        }
    }
    out.push('\n');
}

fn one(out: &mut String, j: &Jig, picture: bool) {
    let _ = writeln!(out, "## {}: `{}`\n", j.title, j.name);
    if picture {
        let _ = writeln!(out, "![{}]({}.png)\n", j.title, j.name);
    }
    if !j.face.is_empty() {
        let mut parts: Vec<&str> = j.places.iter().map(|p| p.part.as_str()).collect();
        parts.dedup();
        let _ = writeln!(out, "Lies on the {} of {}.\n", j.face, parts.join(", "));
    }
    for (k, step) in j.steps.iter().enumerate() {
        let _ = writeln!(out, "{}. {step}", k + 1);
    }
    // holes of one drill and one finished size together
    let mut rows: Vec<(Vec<&str>, f64, f64)> = Vec::new();
    for p in &j.pieces {
        let bores = p.bores.iter().map(|b| (&b.holes, b.drill, &b.finished));
        let cross = p.cross.iter().map(|b| (&b.holes, b.drill, &b.finished));
        for (holes, drill, finished) in bores.chain(cross) {
            for (hole, finished) in holes.iter().zip(finished) {
                let same = |r: &&mut (Vec<&str>, f64, f64)| r.1 == drill && r.2 == *finished;
                match rows.iter_mut().find(same) {
                    Some(r) if r.0.contains(&hole.as_str()) => {}
                    Some(r) => r.0.push(hole),
                    None => rows.push((vec![hole], drill, *finished)),
                }
            }
        }
    }
    if !rows.is_empty() {
        out.push_str("\n| holes | drill in the guide | finished |\n| --- | --- | --- |\n");
        for (holes, drill, finished) in rows {
            let _ = writeln!(
                out,
                "| {} | {} | {} |",
                holes.join(", "),
                units::show_drill(drill),
                units::show_drill(finished)
            );
        }
    }
    if !j.notes.is_empty() {
        out.push_str("\nWhat gave way:\n\n");
        for n in &j.notes {
            let _ = writeln!(out, "- {n}");
        }
    }
    out.push('\n');
}
