//! Which files a build makes. A new output is a variant of [`What`], its word, and an arm in `jobs`.

use super::page::{self, Serve};
use super::{glb, jig_files, json, markdown, shop_files, step, stl, three_mf};
use crate::study::Study;
use crate::views;
use rayon::prelude::*;
use std::sync::atomic::{AtomicU64, Ordering};

/// A file to write: its path below the design's folder, with `/` between the parts, and its bytes.
pub type OutFile = (String, Vec<u8>);

/// An output that can be asked for by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// `fit.json` and `fit.md`.
    Fit,
    /// `model/assembly.stl` and `model/parts/ID.stl`.
    Stl,
    /// `model/assembly.step`.
    Step,
    /// `model/assembly.glb`.
    Glb,
    /// `model/assembly.3mf`.
    ThreeMf,
    /// `shop/*`: tables, drawings and templates for the bench.
    Shop,
    /// `jig/*`: drill jigs to print.
    Jig,
    /// `views/*.png`.
    Views,
    /// `report.html`.
    Page,
}

impl What {
    /// All of them.
    pub const ALL: [What; 9] = [
        What::Fit,
        What::Stl,
        What::Step,
        What::Glb,
        What::ThreeMf,
        What::Shop,
        What::Jig,
        What::Views,
        What::Page,
    ];

    /// Its name on the command line.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            What::Fit => "fit",
            What::Stl => "stl",
            What::Step => "step",
            What::Glb => "glb",
            What::ThreeMf => "3mf",
            What::Shop => "shop",
            What::Jig => "jig",
            What::Views => "views",
            What::Page => "report",
        }
    }

    /// Steps of about equal work in which [`build_files_telling`] makes it.
    #[must_use]
    pub const fn steps(self) -> u64 {
        match self {
            What::Views => views::MOST_PICTURES,
            _ => 1,
        }
    }

    /// What it is, in a few words.
    #[must_use]
    pub const fn about(self) -> &'static str {
        match self {
            What::Fit => "the findings and every measured clearance: fit.json, fit.md",
            What::Stl => "meshes of the whole amp and of each part",
            What::Step => "exact solids for CAD and CAM",
            What::Glb => "the coloured model for viewers of pages and phones",
            What::ThreeMf => "the coloured model for printing programs",
            What::Shop => {
                "for the bench: drill schedule, cut list, hardware, drawings, full-size templates"
            }
            What::Page => "one page to look at, offline: the amp in 3D, findings, drawings, lists",
            What::Jig => "drill jigs to print, with how to use them",
            What::Views => "pictures: front, rear, top, section, underside, exploded",
        }
    }
}

/// Makes one file.
type Job<'s> = (What, String, Box<dyn Fn() -> Vec<u8> + Send + Sync + 's>);

/// The files of the outputs in `what`, in an order that never changes. Nothing is written.
#[must_use]
pub fn build_files(study: &Study, what: &[What]) -> Vec<OutFile> {
    build_files_telling(study, what, &|| {}).files
}

/// What a build made, and what it could not make.
#[derive(Debug)]
pub struct Built {
    /// In an order that never changes.
    pub files: Vec<OutFile>,
    /// Jigs that could not be made or do not print well, and why, in words; empty where no jigs were asked for.
    pub unmade_jigs: Vec<String>,
}

/// The same, and calls `step` for each of the [`What::steps`] that is done, for whoever waits.
#[must_use]
pub fn build_files_telling(study: &Study, what: &[What], step: &(dyn Fn() + Sync)) -> Built {
    let mut unmade_jigs = Vec::new();
    let mut todo = Vec::new();
    let mut left = Vec::new();
    for one in What::ALL {
        let before = todo.len();
        if what.contains(&one) {
            jobs(study, one, &mut todo);
        }
        left.push(AtomicU64::new((todo.len() - before) as u64));
    }
    let mut files: Vec<OutFile> = todo
        .into_par_iter()
        .map(|(one, path, make)| {
            let file = (path, make());
            // told when the last of an output's files is made
            if left[one as usize].fetch_sub(1, Ordering::Relaxed) == 1 {
                step();
            }
            file
        })
        .collect();
    // one schedule serves all of the bench's files
    if what.contains(&What::Shop) {
        files.extend(shop_files::files(study));
        step();
    }
    if what.contains(&What::Jig) {
        // pictures only for who asked for pictures
        let made = jig_files::files(study, what.contains(&What::Views));
        files.extend(made.files);
        unmade_jigs = made.unmade;
        step();
    }
    // drawn together: the pictures share their scene
    if what.contains(&What::Views) {
        let pictures = views::pictures_telling(study, step);
        for _ in pictures.len() as u64..What::Views.steps() {
            step();
        }
        files.extend(pictures);
    }
    Built { files, unmade_jigs }
}

fn jobs<'s>(study: &'s Study, what: What, todo: &mut Vec<Job<'s>>) {
    let mut add = |path: &str, make: Box<dyn Fn() -> Vec<u8> + Send + Sync + 's>| {
        todo.push((what, path.to_owned(), make));
    };
    match what {
        What::Fit => {
            add("fit.json", Box::new(|| json::fit_json(&study.report)));
            add("fit.md", Box::new(|| markdown::fit_md(study)));
        }
        What::Stl => {
            let parts = &study.assembly.parts;
            add(
                "model/assembly.stl",
                Box::new(|| {
                    stl::assembly_stl(parts.iter().map(|p| (&study.meshes[p.shape], &p.pose)))
                }),
            );
            for part in parts {
                let path = format!("model/parts/{}.stl", part.id);
                add(
                    &path,
                    Box::new(|| stl::part_stl(&study.meshes[part.shape], &part.pose)),
                );
            }
        }
        What::Step => add(
            "model/assembly.step",
            Box::new(|| step::step(&study.assembly, &study.design.name)),
        ),
        What::Glb => add(
            "model/assembly.glb",
            Box::new(|| glb::glb(&study.assembly, &study.meshes, &study.design.name)),
        ),
        What::ThreeMf => add(
            "model/assembly.3mf",
            Box::new(|| three_mf::assembly_3mf(&study.assembly, &study.meshes, &study.design.name)),
        ),
        What::Page => add("report.html", Box::new(|| page::page(study, Serve::File))),
        What::Shop | What::Jig | What::Views => {}
    }
}
