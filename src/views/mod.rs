//! Pictures of a design, drawn without a screen: parallel projection, flat colours, drawn edges, named parts.
//!
//! The cabinet is see-through or cut open so that the inside is seen; parts that clash are red and the place is ringed. Pictures are
//! 1600 x 1200 PNG. The same study gives the same bytes.

mod camera;
mod canvas;
mod coarse;
mod explode;
mod label;
mod names;
mod raster;
mod scene;
mod text;

use crate::assembly::Assembly;
use crate::fit::{Severity, Verdict};
use crate::study::Study;
use crate::units;
use camera::Camera;
use canvas::{Canvas, Rgb};
use coarse::Coarse;
use glam::{DVec3, Vec3};
use label::{Side, Wish};
use names::Name;
use raster::{Line, Look, Pen, Picture, Tri};
use rayon::prelude::*;
use scene::Scene;
use std::collections::{BTreeMap, BTreeSet};
use text::Type;

/// Size of a picture, pixels.
pub const WIDTH: usize = 1600;
/// See [`WIDTH`].
pub const HEIGHT: usize = 1200;

const PAPER: Rgb = [250, 249, 245];
const INK: Rgb = [34, 40, 49];
const QUIET: Rgb = [104, 112, 122];
const LEADER: Rgb = [70, 84, 104];
/// What clashes, what is tight, what fits.
const BAD: Rgb = [214, 40, 46];
const TIGHT: Rgb = [201, 124, 0];
const GOOD: Rgb = [38, 128, 74];

/// Where the drawing goes: x0, y0, x1, y1. Names stand around it.
const ROOM: [f64; 4] = [226.0, 166.0, 1374.0, 1076.0];

/// Clashes that are ringed, and those of them that are named.
const MOST_RINGS: usize = 60;
const MOST_CLASHES_NAMED: usize = 5;

/// All pictures of a study, as (path below the design's folder, PNG file).
#[must_use]
pub fn pictures(study: &Study) -> Vec<(String, Vec<u8>)> {
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
            (format!("views/{}.png", scene.file), canvas.png())
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
            text: if f.unit == "mm3" {
                format!("share {:.1} mm\u{b3}", f.measured)
            } else {
                format!("{:.1} {}, {:.1} wanted", f.measured, f.unit, f.wanted)
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
                BAD
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
    let (tris, lines) = project(assembly, scene, coarse, &camera, near);
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
        canvas.ring(ring.anchor, 15.0, 7.0, PAPER);
        canvas.ring(ring.anchor, 15.0, 3.4, BAD);
    }
    let frame = frame_around(&seen);
    let boxes = write_names(&mut canvas, &mut names, &rings, frame);
    head_and_foot(&mut canvas, study, scene, &camera);
    (canvas, boxes)
}

/// Everything in pixels: triangles that can be seen, and the lines that are drawn.
fn project(
    assembly: &Assembly,
    scene: &Scene,
    coarse: &[Coarse],
    camera: &Camera,
    near: Option<f32>,
) -> (Vec<Tri>, Vec<Line>) {
    let light = Vec3::new(-0.38, 0.62, 0.69).normalize();
    let (mut tris, mut lines) = (Vec::new(), Vec::new());
    for (number, item) in scene.items.iter().enumerate() {
        let part = &assembly.parts[item.part];
        let mesh = &coarse[part.shape];
        let at: Vec<Vec3> = mesh
            .points
            .iter()
            .map(|&p| camera.project(part.pose.point(p) + item.shift))
            .collect();
        let mut away = Vec::with_capacity(mesh.triangles.len());
        for (t, normals) in mesh.triangles.iter().zip(&mesh.normals) {
            let corners = t.map(|i| at[i as usize]);
            let (u, v) = (
                (corners[1] - corners[0]).truncate(),
                (corners[2] - corners[0]).truncate(),
            );
            // rows run downwards, so what is counter-clockwise in the amp is clockwise in the picture
            let is_away = u.perp_dot(v) >= 0.0;
            away.push(is_away);
            if let Some(near) = near {
                lines.extend(cut_line(corners, near));
            }
            if is_away && near.is_none() {
                continue;
            }
            let shade = normals.map(|n| {
                let n = camera.facing(part.pose.dir(n.as_dvec3()));
                0.60 + 0.40 * n.dot(light).max(0.0)
            });
            tris.push(Tri {
                at: corners,
                shade,
                item: number as u32,
                away: is_away,
            });
        }
        for side in &mesh.sides {
            let [p, q] = side.triangles.map(|t| away[t as usize]);
            let pen = match (p != q, side.sharp && !(p && q)) {
                _ if item.ghost && (p != q || side.sharp) => Pen::Ghost,
                (true, _) => Pen::Outline,
                (false, true) => Pen::Edge,
                _ => continue,
            };
            let ends = side.ends.map(|i| at[i as usize]);
            if let Some(ends) = behind(ends, near) {
                lines.push(Line { ends, pen });
            }
        }
    }
    (tris, lines)
}

/// Where a triangle crosses the plane of the cut.
fn cut_line(corners: [Vec3; 3], near: f32) -> Option<Line> {
    let mut ends = [Vec3::ZERO; 2];
    let mut count = 0;
    for k in 0..3 {
        let (p, q) = (corners[k], corners[(k + 1) % 3]);
        if (p.z < near) != (q.z < near) && count < 2 {
            ends[count] = p.lerp(q, (near - p.z) / (q.z - p.z)).with_z(near);
            count += 1;
        }
    }
    (count == 2).then_some(Line {
        ends,
        pen: Pen::Cut,
    })
}

/// The stretch of a line behind the plane of the cut.
fn behind([a, b]: [Vec3; 2], near: Option<f32>) -> Option<[Vec3; 2]> {
    let Some(near) = near else {
        return Some([a, b]);
    };
    match (a.z < near, b.z < near) {
        (false, false) => Some([a, b]),
        (true, true) => None,
        (true, false) => Some([b.lerp(a, (near - b.z) / (a.z - b.z)), b]),
        (false, true) => Some([a, a.lerp(b, (near - a.z) / (b.z - a.z))]),
    }
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
            && scene.cut.is_none_or(|x| clash.at.x <= x + 2.0);
        if !in_view {
            continue;
        }
        let p = camera.project(clash.at);
        out.push(Name {
            id: clash.about.join(" / "),
            detail: clash.text.clone(),
            anchor: [p.x, p.y],
            cells: 0,
        });
        if out.len() == MOST_RINGS {
            break;
        }
    }
    out
}

/// The frame that leaders stay in: a little around what is drawn.
fn frame_around(seen: &raster::Seen) -> label::Frame {
    let (mut low, mut high) = ([f32::INFINITY; 2], [f32::NEG_INFINITY; 2]);
    for (at, (&s, &g)) in seen.solid.iter().zip(&seen.ghost).enumerate() {
        if s != raster::NOTHING || g != raster::NOTHING {
            let p = [at % seen.columns, at / seen.columns].map(|v| (v * raster::CELL) as f32);
            low = std::array::from_fn(|k| low[k].min(p[k]));
            high = std::array::from_fn(|k| high[k].max(p[k]));
        }
    }
    let room = ROOM.map(|v| v as f32);
    if low[0] > high[0] {
        return room;
    }
    [
        low[0] - 16.0,
        room[1] - 14.0,
        high[0] + 16.0,
        room[3] + 14.0,
    ]
}

const ID_EM: f32 = 21.0;
const DETAIL_EM: f32 = 15.5;
/// Widest text beside the drawing and above or below it.
const WIDEST: f32 = 200.0;

/// Writes names around the drawing; returns their boxes.
fn write_names(
    canvas: &mut Canvas,
    names: &mut [Name],
    rings: &[Name],
    frame: label::Frame,
) -> Boxes {
    let marked = rings.iter().take(MOST_CLASHES_NAMED).map(|n| (n, BAD));
    let all: Vec<(&Name, Rgb)> = marked.chain(names.iter().map(|n| (n, INK))).collect();
    let texts: Vec<[String; 2]> = all
        .iter()
        .map(|(n, _)| {
            [
                Type::Bold.shortened(ID_EM, &n.id, WIDEST),
                Type::Regular.shortened(DETAIL_EM, &n.detail, WIDEST),
            ]
        })
        .collect();
    let wishes: Vec<Wish> = all
        .iter()
        .zip(&texts)
        .map(|((n, _), [id, detail])| {
            let width = Type::Bold
                .width(ID_EM, id)
                .max(Type::Regular.width(DETAIL_EM, detail));
            let anchor = [
                n.anchor[0].clamp(frame[0], frame[2]),
                n.anchor[1].clamp(frame[1], frame[3]),
            ];
            Wish {
                anchor,
                size: [width, if detail.is_empty() { 20.0 } else { 37.0 }],
            }
        })
        .collect();
    let places = label::place(&wishes, &frame);
    for place in &places {
        let from = wishes[place.wish].anchor;
        canvas.line(from, place.tip, 3.6, PAPER, 0.75);
    }
    for place in &places {
        let (from, ring) = (wishes[place.wish].anchor, all[place.wish].1 == BAD);
        let colour = if ring { BAD } else { LEADER };
        canvas.line(from, place.tip, 1.3, colour, 1.0);
        if !ring {
            canvas.dot(from, 4.6, PAPER);
            canvas.dot(from, 3.2, colour);
        }
    }
    for place in &places {
        let (name, colour) = (&all[place.wish], all[place.wish].1);
        let [id, detail] = &texts[place.wish];
        let [x0, y0, x1, _] = place.area;
        for (face, em, text, base, colour) in [
            (Type::Bold, ID_EM, id, 16.5, colour),
            (
                Type::Regular,
                DETAIL_EM,
                detail,
                33.0,
                if name.1 == BAD { BAD } else { QUIET },
            ),
        ] {
            let width = face.width(em, text);
            let x = match place.side {
                Side::Left => x1 - width,
                Side::Right => x0,
                Side::Top | Side::Bottom => f32::midpoint(x0, x1) - width / 2.0,
            };
            canvas.write(face, em, [x, y0 + base], text, colour);
        }
    }
    places.iter().map(|p| p.area).collect()
}

/// Name, verdict and sizes above; scale, directions and the worst finding below.
fn head_and_foot(canvas: &mut Canvas, study: &Study, scene: &Scene, camera: &Camera) {
    let report = &study.report;
    let (word, colour) = match report.verdict {
        Verdict::Fits => ("fits", GOOD),
        Verdict::Tight => ("tight", TIGHT),
        Verdict::Clashes => ("clashes", BAD),
    };
    let right = WIDTH as f32 - 36.0;
    let width = Type::Bold.width(27.0, word) + 36.0;
    canvas.fill([(right - width) as i32, 24, right as i32, 64], colour);
    canvas.write(Type::Bold, 27.0, [right - width + 18.0, 53.0], word, PAPER);

    let name = Type::Bold.shortened(36.0, &report.design, 760.0);
    let x = canvas.write(Type::Bold, 36.0, [36.0, 56.0], &name, INK);
    canvas.write(Type::Regular, 27.0, [x + 22.0, 56.0], scene.title, QUIET);

    if let Some(c) = study.design.cabinet {
        let sizes = [c.width, c.height, c.depth];
        let mm = sizes
            .map(|v| units::mm_1(v).trim_end_matches(" mm").to_owned())
            .join(" \u{d7} ");
        let inch = sizes
            .map(|v| units::inch_64(v).trim_end_matches(" in").to_owned())
            .join(" \u{d7} ");
        let text = format!("cabinet inside, wide \u{d7} high \u{d7} deep:  {mm} mm  =  {inch} in");
        canvas.write(Type::Regular, 20.0, [36.0, 92.0], &text, INK);
    }
    if report.unmeasured > 0 {
        let text = format!("{} parts unmeasured", report.unmeasured);
        let width = Type::Regular.width(18.0, &text);
        canvas.write(Type::Regular, 18.0, [right - width, 90.0], &text, QUIET);
    }
    canvas.fill([36, 106, WIDTH as i32 - 36, 107], [205, 203, 196]);
    canvas.fill(
        [
            36,
            HEIGHT as i32 - 56,
            WIDTH as i32 - 36,
            HEIGHT as i32 - 55,
        ],
        [205, 203, 196],
    );

    let base = HEIGHT as f32 - 22.0;
    let mut x = 36.0;
    if scene.to_scale {
        x = scale_bar(canvas, camera, x, base) + 28.0;
    }
    x = canvas.write(Type::Regular, 18.0, [x, base], scene.hint, QUIET) + 28.0;
    if let Some(f) = report
        .findings
        .iter()
        .find(|f| f.severity != Severity::Note)
    {
        let text = Type::Regular.shortened(18.0, &f.text, right - x);
        let width = Type::Regular.width(18.0, &text);
        canvas.write(
            Type::Regular,
            18.0,
            [right - width, base],
            &text,
            if f.severity == Severity::Error {
                BAD
            } else {
                TIGHT
            },
        );
    }
}

/// A bar of 100 mm with one of 4 in under it; returns where it ends.
fn scale_bar(canvas: &mut Canvas, camera: &Camera, x: f32, base: f32) -> f32 {
    let mut end = x;
    for (mm, text, y) in [(100.0, "100 mm", base - 15.0), (101.6, "4 in", base + 3.0)] {
        let to = x + (mm * camera.scale) as f32;
        canvas.line([x, y], [to, y], 2.0, INK, 1.0);
        for tick in [x, to] {
            canvas.line([tick, y - 5.0], [tick, y + 5.0], 2.0, INK, 1.0);
        }
        end = f32::max(
            end,
            canvas.write(Type::Regular, 16.0, [to + 8.0, y + 5.5], text, INK),
        );
    }
    end
}
