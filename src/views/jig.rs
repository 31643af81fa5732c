//! Each jig on the part it is for, and as it lies on the printer's bed.

use super::camera::Camera;
use super::canvas::{Canvas, Rgb, mix};
use super::coarse::Coarse;
use super::project::{Placed, project};
use super::raster::{Look, Picture};
use super::text::Type;
use super::{INK, PAPER};
use crate::assembly::Assembly;
use crate::jig::{Jig, Piece};
use crate::pose::Pose;
use glam::DVec3;
use rayon::prelude::*;

/// Width of one of the two panels, and height, pixels.
const PANEL: [usize; 2] = [640, 520];
/// Where the drawing goes in a panel.
const ROOM: [f64; 4] = [24.0, 56.0, 616.0, 500.0];
/// Printed plastic, one tile beside another.
const PLASTIC: [Rgb; 2] = [[226, 152, 58], [206, 128, 40]];
/// How much of the part is shown around the jig, as a share of the jig's longest side.
const AROUND: f64 = 0.3;
/// Between tiles on the bed, mm.
const GAP: f64 = 12.0;

/// One picture for each jig, as (path below the design's folder, PNG file). The same jigs give the same bytes.
#[must_use]
pub fn jig_pictures(assembly: &Assembly, jigs: &[Jig]) -> Vec<(String, Vec<u8>)> {
    jigs.par_iter()
        .map(|jig| {
            (
                format!("jig/{}.png", jig.name),
                picture(assembly, jig).png(),
            )
        })
        .collect()
}

fn picture(assembly: &Assembly, jig: &Jig) -> Canvas {
    let coarse: Vec<Coarse> = jig.pieces.iter().map(|p| Coarse::new(&p.body)).collect();
    let printed = printed(jig, &coarse);
    let Some(used) = in_use(assembly, jig, &coarse) else {
        return printed;
    };
    let [width, height] = PANEL;
    let mut both = Canvas::new(2 * width, height, PAPER);
    for (rows, (l, r)) in (both.pixels.chunks_mut(2 * width))
        .zip(used.pixels.chunks(width).zip(printed.pixels.chunks(width)))
    {
        rows[..width].copy_from_slice(l);
        rows[width..].copy_from_slice(r);
    }
    both
}

/// Seen over the letters, from the side of the lower edge.
fn looking(frame: &Pose) -> Camera {
    let from = frame.dir(DVec3::new(-0.3, -0.75, 0.95));
    Camera::looking_from(from, frame.dir(DVec3::Y))
}

/// On the part, at the first of the places it is for.
fn in_use(assembly: &Assembly, jig: &Jig, coarse: &[Coarse]) -> Option<Canvas> {
    let place = jig.places.first()?;
    let part = assembly.parts.iter().find(|p| p.id == place.part)?;
    let body = Coarse::new(&assembly.shapes[part.shape].body);
    let mut placed = vec![Placed {
        mesh: &body,
        pose: part.pose,
        ghost: false,
    }];
    let mut looks = vec![solid(mix(part.colour, [255; 3], 0.1))];
    for (k, mesh) in coarse.iter().enumerate() {
        placed.push(Placed {
            mesh,
            pose: place.to_amp,
            ghost: false,
        });
        looks.push(solid(PLASTIC[k % 2]));
    }
    // of a part much larger than the jig only what lies around it
    let to_use = place.to_amp.inverse();
    let [low, high] = bounds(placed[1..].iter(), &to_use);
    let [part_low, part_high] = bounds(placed[..1].iter(), &to_use);
    let around = DVec3::splat(AROUND * (high - low).max_element());
    let (low, high) = (
        (low - around).max(part_low.min(low)),
        (high + around).min(part_high.max(high)),
    );
    let camera =
        looking(&place.to_amp).fitted(corners(low, high).map(|p| place.to_amp.point(p)), ROOM);
    let of = if jig.places.len() > 1 {
        format!("{} (one of {})", place.of, jig.places.len())
    } else {
        place.of.clone()
    };
    let title = if place.of == place.part {
        format!("on {}", place.part)
    } else {
        format!("on {}, at {of}", place.part)
    };
    Some(panel(&title, &placed, &looks, &camera))
}

/// All pieces beside each other, as they lie on the bed.
fn printed(jig: &Jig, coarse: &[Coarse]) -> Canvas {
    let columns = (jig.pieces.len() as f64).sqrt().ceil() as usize;
    let size = |p: &Piece| DVec3::from_array(p.check.size) / p.scale + GAP;
    let cell = jig.pieces.iter().map(size).fold(DVec3::ZERO, DVec3::max);
    let mut placed = Vec::new();
    let mut looks = Vec::new();
    for (k, (piece, mesh)) in jig.pieces.iter().zip(coarse).enumerate() {
        let at = DVec3::new(
            (k % columns) as f64 * cell.x,
            (k / columns) as f64 * cell.y,
            0.0,
        );
        placed.push(Placed {
            mesh,
            pose: Pose::shift(at).then(&piece.from_bed.inverse()),
            ghost: false,
        });
        looks.push(solid(PLASTIC[k % 2]));
    }
    let [low, high] = bounds(placed.iter(), &Pose::IDENTITY);
    let camera = looking(&Pose::IDENTITY).fitted(corners(low, high), ROOM);
    panel("as it is printed", &placed, &looks, &camera)
}

fn solid(colour: Rgb) -> Look {
    Look {
        colour,
        ghost: false,
        veil: 0.0,
        slant: false,
    }
}

fn bounds<'a>(placed: impl Iterator<Item = &'a Placed<'a>>, to: &Pose) -> [DVec3; 2] {
    let mut out = [DVec3::INFINITY, DVec3::NEG_INFINITY];
    for p in placed {
        let pose = to.then(&p.pose);
        for q in &p.mesh.points {
            let q = pose.point(*q);
            out = [out[0].min(q), out[1].max(q)];
        }
    }
    out
}

fn corners(low: DVec3, high: DVec3) -> impl Iterator<Item = DVec3> {
    (0..8).map(move |k| {
        let pick = |bit: usize, axis: usize| {
            if k >> bit & 1 == 0 {
                low[axis]
            } else {
                high[axis]
            }
        };
        DVec3::new(pick(0, 0), pick(1, 1), pick(2, 2))
    })
}

fn panel(title: &str, placed: &[Placed], looks: &[Look], camera: &Camera) -> Canvas {
    let (tris, lines) = project(placed, camera, None);
    let picture = Picture {
        looks,
        tris: &tris,
        lines: &lines,
        near: None,
        pixel: (1.0 / camera.scale) as f32,
        paper: PAPER,
        ink: INK,
    };
    let [width, height] = PANEL;
    let mut canvas = Canvas::new(width, height, PAPER);
    picture.draw(&mut canvas);
    // a part that runs out of the picture runs under its title
    canvas.fill([0, 0, width as i32, 46], PAPER);
    let title = Type::Bold.shortened(20.0, title, width as f32 - 40.0);
    canvas.write(Type::Bold, 20.0, [20.0, 32.0], &title, INK);
    canvas
}
