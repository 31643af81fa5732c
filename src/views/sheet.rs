//! What is written around a drawing: names with their leaders, the head with verdict and sizes, the foot with scale and finding.

use super::camera::Camera;
use super::canvas::{Canvas, Rgb};
use super::label::{self, Side, Wish};
use super::names::Name;
use super::raster::{CELL, NOTHING, Seen};
use super::scene::Scene;
use super::text::Type;
use super::{BAD, HEIGHT, INK, PAPER, ROOM, WIDTH};
use crate::fit::{Severity, Verdict};
use crate::study::Study;
use crate::units;

const QUIET: Rgb = [104, 112, 122];
const LEADER: Rgb = [70, 84, 104];
/// What is tight, what fits.
const TIGHT: Rgb = [201, 124, 0];
const GOOD: Rgb = [38, 128, 74];

/// Least room between the drawing and names beside it, and above and below it.
const AROUND: [f32; 2] = [16.0, 20.0];

/// Clashes that are named.
const MOST_CLASHES_NAMED: usize = 5;

/// The frame that leaders stay in: a little around what is drawn.
pub(super) fn frame_around(seen: &Seen) -> label::Frame {
    let (mut low, mut high) = ([f32::INFINITY; 2], [f32::NEG_INFINITY; 2]);
    for (at, (&s, &g)) in seen.solid.iter().zip(&seen.ghost).enumerate() {
        if s != NOTHING || g != NOTHING {
            let p = [at % seen.columns, at / seen.columns].map(|v| (v * CELL) as f32);
            low = std::array::from_fn(|k| low[k].min(p[k]));
            high = std::array::from_fn(|k| high[k].max(p[k]));
        }
    }
    if low[0] > high[0] {
        return ROOM.map(|v| v as f32);
    }
    [
        low[0] - AROUND[0],
        low[1] - AROUND[1],
        high[0] + AROUND[0],
        high[1] + AROUND[1],
    ]
}

const ID_EM: f32 = 21.0;
const DETAIL_EM: f32 = 15.5;
/// Widest text beside the drawing and above or below it.
const WIDEST: f32 = 200.0;

/// Writes names around the drawing; returns their boxes.
pub(super) fn write_names(
    canvas: &mut Canvas,
    names: &mut [Name],
    rings: &[Name],
    mut frame: label::Frame,
) -> Vec<[f32; 4]> {
    let is_first = |&(k, n): &(usize, &Name)| rings[..k].iter().all(|r| r.id != n.id);
    let marked = rings
        .iter()
        .enumerate()
        .filter(is_first)
        .take(MOST_CLASHES_NAMED)
        .map(|(_, n)| (n, BAD));
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
    let mut layout = label::place(&wishes, &frame);
    // a low drawing has short columns beside it: they may go beyond it if need be
    let (least, most) = (ROOM[1] as f32 - AROUND[1], ROOM[3] as f32 + AROUND[1]);
    while (layout.places.len() < wishes.len() || layout.crossed > 0)
        && (frame[1] > least || frame[3] < most)
    {
        frame[1] = (frame[1] - 40.0).max(least);
        frame[3] = (frame[3] + 40.0).min(most);
        let taller = label::place(&wishes, &frame);
        if (taller.places.len(), layout.crossed) >= (layout.places.len(), taller.crossed) {
            layout = taller;
        }
    }
    let places = layout.places;
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
pub(super) fn head_and_foot(canvas: &mut Canvas, study: &Study, scene: &Scene, camera: &Camera) {
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

    let name = Type::Bold.shortened(36.0, &report.design, 480.0);
    let x = canvas.write(Type::Bold, 36.0, [36.0, 56.0], &name, INK);
    let x = canvas.write(Type::Regular, 27.0, [x + 22.0, 56.0], scene.title, INK);
    let hint = Type::Regular.shortened(18.0, scene.hint, right - width - x - 40.0);
    canvas.write(Type::Regular, 18.0, [x + 20.0, 56.0], &hint, QUIET);

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
        let text = format!("{} unmeasured", units::count(report.unmeasured, "part"));
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
    let worst = report
        .findings
        .iter()
        .find(|f| f.severity != Severity::Note);
    let (text, colour) = match worst {
        Some(f) => (
            f.text.as_str(),
            if f.severity == Severity::Error {
                BAD
            } else {
                TIGHT
            },
        ),
        None if report.unmeasured > 0 => (
            "Measure the parts in hand before drilling: some sizes here are nobody's measurement.",
            QUIET,
        ),
        None => ("", QUIET),
    };
    let [first, second] = two_lines(text, right - x);
    let up = if second.is_empty() { 0.0 } else { 11.0 };
    canvas.write(Type::Regular, FOOT_EM, [x, base - up], &first, colour);
    canvas.write(Type::Regular, FOOT_EM, [x, base + up], &second, colour);
}

const FOOT_EM: f32 = 17.0;

/// A text broken between words where the first line is full; what goes beyond the second is cut.
fn two_lines(text: &str, width: f32) -> [String; 2] {
    if Type::Regular.width(FOOT_EM, text) <= width {
        return [text.into(), String::new()];
    }
    let breaks = text.match_indices(' ').map(|(at, _)| at);
    let at = breaks
        .take_while(|&at| Type::Regular.width(FOOT_EM, &text[..at]) <= width)
        .last()
        .unwrap_or(0);
    let (first, second) = text.split_at(at);
    [
        first.into(),
        Type::Regular.shortened(FOOT_EM, second.trim_start(), width),
    ]
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
