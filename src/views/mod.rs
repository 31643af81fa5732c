//! Pictures of a design, drawn without a screen: parallel projection, flat colours, drawn edges, named parts.
//!
//! The cabinet is see-through or cut open so that the inside is seen; parts that clash are red and the place is ringed. Pictures are
//! 1600 x 1200 PNG. The same study gives the same bytes.

mod camera;
mod canvas;
pub(crate) mod coarse;
pub(crate) mod explode;
mod jig;
mod label;
mod names;
mod project;
mod raster;
mod scene;
mod sheet;
#[cfg(test)]
mod tests;
mod text;

pub use jig::jig_pictures;

use crate::assembly::Assembly;
use crate::fit::Severity;
use crate::study::Study;
use camera::Camera;
use canvas::{Canvas, Rgb};
use coarse::Coarse;
use glam::DVec3;
use names::Name;
use project::{Placed, project};
use raster::{Look, Picture};
use rayon::prelude::*;
use scene::Scene;
use std::collections::{BTreeMap, BTreeSet};

/// Size of a picture, pixels.
pub const WIDTH: usize = 1600;
/// See [`WIDTH`].
pub const HEIGHT: usize = 1200;

const PAPER: Rgb = [250, 249, 245];
const INK: Rgb = [34, 40, 49];
/// What clashes.
const BAD: Rgb = [214, 40, 46];

/// Where the drawing goes: x0, y0, x1, y1. Names stand around it.
const ROOM: [f64; 4] = [250.0, 176.0, 1350.0, 1070.0];

/// Radius of the ring around a clash, pixels.
const RING: f32 = 15.0;

/// How far behind the plane of a section clashes are ringed, mm.
const CUT_REACH: f64 = 40.0;

/// Clashes that are ringed.
const MOST_RINGS: usize = 60;

/// More are not drawn of a design.
pub(crate) const MOST_PICTURES: u64 = 7;

/// All pictures of a study, as (path below the design's folder, PNG file).
#[must_use]
pub fn pictures(study: &Study) -> Vec<(String, Vec<u8>)> {
    pictures_telling(study, &|| {})
}

/// The same, and calls `drawn` after each of them.
pub(crate) fn pictures_telling(study: &Study, drawn: &(dyn Fn() + Sync)) -> Vec<(String, Vec<u8>)> {
    let assembly = &study.assembly;
    let coarse: Vec<Coarse> = assembly
        .shapes
        .par_iter()
        .map(|s| Coarse::new(&s.body))
        .collect();
    let centres: Vec<DVec3> = assembly
        .parts
        .iter()
        .map(|p| p.pose.point(assembly.shapes[p.shape].centroid))
        .collect();
    let details = names::details(&study.design);
    let clashes = clashes(study);
    scene::scenes(&study.design, assembly, &centres)
        .par_iter()
        .map(|scene| {
            let (canvas, _) = draw(study, scene, &coarse, &details, &clashes);
            let file = (format!("views/{}.png", scene.file), canvas.png());
            drawn();
            file
        })
        .collect()
}

/// A clash that has a place.
struct Clash<'a> {
    about: &'a [String],
    at: DVec3,
    text: String,
}

fn clashes(study: &Study) -> Vec<Clash<'_>> {
    let errors = study
        .report
        .findings
        .iter()
        .filter(|f| f.severity == Severity::Error);
    errors
        .map(|f| Clash {
            about: &f.about,
            at: DVec3::from_array(f.at_mm),
            text: match &f.about[..] {
                [_, other] if f.unit == "mm3" => format!("{:.1} mm\u{b3} in {other}", f.measured),
                _ => format!("{:.1} {}, {:.1} wanted", f.measured, f.unit, f.wanted),
            },
        })
        .collect()
}

/// Boxes of the names of a picture, for tests.
type Boxes = Vec<[f32; 4]>;

fn draw(
    study: &Study,
    scene: &Scene,
    coarse: &[Coarse],
    details: &BTreeMap<String, String>,
    clashes: &[Clash],
) -> (Canvas, Boxes) {
    let assembly = &study.assembly;
    let bad: BTreeSet<&str> = clashes
        .iter()
        .flat_map(|c| c.about.iter().map(String::as_str))
        .collect();
    let corners = scene.items.iter().flat_map(|i| {
        let part = &assembly.parts[i.part];
        // what is cut away takes no room
        coarse[part.shape]
            .points
            .iter()
            .map(move |&p| part.pose.point(p) + i.shift)
            .filter(|p| scene.cut.is_none_or(|x| p.x <= x))
    });
    let camera = scene.camera.fitted(corners, ROOM);
    let near = scene.cut.map(|x| camera.project(DVec3::X * x).z);
    let looks: Vec<Look> = scene
        .items
        .iter()
        .map(|i| {
            let part = &assembly.parts[i.part];
            let clashing = bad.contains(part.id.as_str());
            let colour = if clashing {
                canvas::mix(part.colour, BAD, 0.85)
            } else {
                canvas::mix(part.colour, [255; 3], 0.1)
            };
            Look {
                colour,
                ghost: i.ghost,
                veil: if clashing { 0.42 } else { 0.15 },
                slant: i.part % 2 == 0,
            }
        })
        .collect();
    let placed: Vec<Placed> = scene
        .items
        .iter()
        .map(|i| {
            let part = &assembly.parts[i.part];
            let mut pose = part.pose;
            pose.at += i.shift;
            Placed {
                mesh: &coarse[part.shape],
                pose,
                ghost: i.ghost,
            }
        })
        .collect();
    let (tris, lines) = project(&placed, &camera, near);
    let picture = Picture {
        looks: &looks,
        tris: &tris,
        lines: &lines,
        near,
        pixel: (1.0 / camera.scale) as f32,
        paper: PAPER,
        ink: INK,
    };
    let mut canvas = Canvas::new(WIDTH, HEIGHT, PAPER);
    let seen = picture.draw(&mut canvas);
    drop((tris, lines));

    let mut names = names::names(assembly, &scene.items, &seen, details);
    let rings = if scene.in_place {
        rings(scene, assembly, clashes, &camera)
    } else {
        Vec::new()
    };
    for ring in &rings {
        canvas.ring(ring.anchor, RING, 7.0, PAPER);
        canvas.ring(ring.anchor, RING, 3.4, BAD);
    }
    let frame = sheet::frame_around(&seen);
    let boxes = sheet::write_names(&mut canvas, &mut names, &rings, frame);
    sheet::head_and_foot(&mut canvas, study, scene, &camera);
    (canvas, boxes)
}

/// Clashes that this view can show, the worst first; the first few have names.
fn rings(scene: &Scene, assembly: &Assembly, clashes: &[Clash], camera: &Camera) -> Vec<Name> {
    let shown: BTreeSet<&str> = scene
        .items
        .iter()
        .map(|i| assembly.parts[i.part].id.as_str())
        .collect();
    let mut out = Vec::new();
    for clash in clashes {
        let in_view = clash.at != DVec3::ZERO
            && clash.about.iter().all(|id| shown.contains(id.as_str()))
            && scene
                .cut
                .is_none_or(|x| (x - CUT_REACH..x + 2.0).contains(&clash.at.x));
        let p = camera.project(clash.at);
        // of several in one spot the worst one is ringed
        let near = |r: &Name| (r.anchor[0] - p.x).hypot(r.anchor[1] - p.y) < RING;
        if !in_view || out.iter().any(near) {
            continue;
        }
        let Some(id) = clash.about.first() else {
            continue;
        };
        out.push(Name {
            id: id.clone(),
            detail: clash.text.clone(),
            anchor: [p.x, p.y],
        });
        if out.len() == MOST_RINGS {
            break;
        }
    }
    out
}
