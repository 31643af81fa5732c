//! Where the texts of a panel's controls go: under each, clear of holes and of one another.

use super::sheet::{Anchor, Label, meet};
use crate::assembly::Kind;
use crate::design::{ControlSpec, Design, Face, Flat, FlatHole};
use crate::font;
use glam::{DVec2, DVec3};

/// Em of the letters, mm: capitals of 3.5 mm can be read at arm's length.
const SIZE: f64 = 4.8;

/// The legends of a panel seen on its outer face, in the plan's place: under each control, clear of its knob or flange.
#[must_use]
pub(super) fn legends(design: &Design, flat: &Flat, face: Face) -> Vec<Label> {
    if flat.kind != Kind::Panel || face != Face::Front {
        return Vec::new();
    }
    let [low, high] = flat.outline.bounds();
    let own = flat.id.trim_end_matches("-overlay");
    let mut out: Vec<Label> = Vec::new();
    for c in design.controls.iter().filter(|c| c.on == own) {
        let text = c.legend.clone().unwrap_or_else(|| c.id.clone());
        if text.trim().is_empty() {
            continue;
        }
        let at = flat
            .pose
            .inverse()
            .point(c.pose.point(DVec3::ZERO))
            .truncate()
            - low;
        let label =
            |y: f64| Label::new(DVec2::new(at.x, y), SIZE, Anchor::Middle, text.as_str()).bold();
        let below = at.y - under(c) - 1.5 - SIZE * font::ABOVE;
        let above = at.y + under(c) + 1.5 + SIZE * font::BELOW;
        let clear = |l: &Label| {
            let area = l.area();
            let on_hole = |h: &FlatHole| {
                let [a, b] = h.edge().bounds();
                meet(&[a - low, b - low], &area)
            };
            area[0].cmpge(DVec2::ZERO).all()
                && area[1].cmple(high - low).all()
                && !flat.holes.iter().any(on_hole)
        };
        // a crowded row goes on two lines or three, or over its control
        let lines = [0.0, 1.15, 2.3].map(|k| SIZE * k);
        let spots: Vec<Label> = (lines.map(|d| below - d).into_iter())
            .chain(lines.map(|d| above + d))
            .map(label)
            .collect();
        let apart = |l: &Label| out.iter().all(|o| !meet(&o.area(), &l.area()));
        let mut found = (spots.iter().find(|l| apart(l) && clear(l)))
            .or_else(|| spots.iter().find(|l| apart(l)))
            .unwrap_or(&spots[0])
            .clone();
        while !apart(&found) {
            found.at.y -= SIZE * 1.15;
        }
        out.push(found);
    }
    out
}

/// How far a control reaches below its centre in front of the panel, mm.
fn under(c: &ControlSpec) -> f64 {
    let r = c.row;
    [
        c.knob.as_ref().map(|k| k.row.diameter / 2.0),
        r.cap.map(|d| d / 2.0),
        // the corner of a nut
        r.nut.map(|w| w / 3f64.sqrt()),
        r.flange.map(|f| f[1] / 2.0),
        r.cutout.map(|f| f[1] / 2.0),
        r.hole.map(|d| d / 2.0),
    ]
    .into_iter()
    .flatten()
    .fold(0.0, f64::max)
}
