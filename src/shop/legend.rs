//! Legends of panels: the texts at the controls' places, at full size, for engraving or decals.

use super::paper::paper;
use super::plan::Plan;
use super::sheet::{Anchor, Ink, Label, Pen, Sheet, meet};
use super::tile::{self, Figure};
use crate::assembly::Kind;
use crate::design::{ControlSpec, Design, Face, Flat, FlatHole};
use crate::font;
use glam::{DVec2, DVec3};

/// Em of the letters, mm: capitals of 3.5 mm can be read at arm's length.
const SIZE: f64 = 4.8;
/// White round the panel, mm.
const PAD: f64 = 10.0;

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

/// The legend sheet of a panel at 1 : 1 on a sheet of its own size; `None` where there is nothing to say.
#[must_use]
pub fn legend_sheet(p: &Plan) -> Option<Sheet> {
    if p.legends.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new(p.size + 2.0 * PAD);
    let shift = DVec2::splat(PAD);
    sheet.frame(shift, shift + p.size, Pen::Thin);
    for h in &p.holes {
        if let Some(l) = &h.outline {
            let moved = l.translated(shift);
            sheet.ink.push(Ink::Outline(moved, Pen::Dashed));
        } else if let Some(d) = h.row.diameter() {
            sheet
                .ink
                .push(Ink::Circle(h.at + shift, d / 2.0, Pen::Dashed));
        }
    }
    for l in &p.legends {
        sheet.text(l.moved(shift));
    }
    Some(sheet)
}

/// The legend sheet on the builder's paper.
#[must_use]
pub fn pages(design: &Design, p: &Plan) -> Vec<Sheet> {
    let Some(sheet) = legend_sheet(p) else {
        return Vec::new();
    };
    let size = sheet.size;
    let (ink, texts) = sheet.parted();
    let shift = DVec2::splat(PAD);
    let f = Figure {
        ink,
        texts,
        again: Vec::new(),
        area: [DVec2::ZERO, size],
        clear: (p.holes.iter())
            .map(|h| match &h.outline {
                Some(l) => l.bounds(),
                None => {
                    let r = h.row.diameter().unwrap_or(0.0) / 2.0;
                    [h.at - r, h.at + r]
                }
            })
            .map(|[a, b]| [a + shift, b + shift])
            .collect(),
        head: [
            format!("LEGENDS: {}, {}", p.part, p.face),
            "Full size, right way round; for decals that go on face down, mirror when you print."
                .into(),
            format!(
                "{}, {}: {}. Print at 100 %, then check both rulers.",
                design.name, p.title, p.stuff
            ),
            "Dashed: holes. Try it on the drilled panel before you letter it.".into(),
        ],
    };
    tile::tiles(&f, paper(design))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop;

    #[test]
    fn a_legend_of_a_demo_lies_on_its_panel_and_on_no_hole() {
        for s in crate::testing::demos() {
            let plans = shop::plan::plans(&s.design, &s.report, &shop::schedule(&s.design));
            assert!(plans.iter().any(|p| !p.legends.is_empty()));
            for p in &plans {
                for area in p.legends.iter().map(Label::area) {
                    assert!(area[0].min_element() >= 0.0 && area[1].cmple(p.size).all());
                    for h in &p.holes {
                        let bounds = h.outline.as_ref().map_or_else(
                            || {
                                let r = h.row.diameter().expect("a round hole") / 2.0;
                                [h.at - r, h.at + r]
                            },
                            crate::outline::Loop::bounds,
                        );
                        assert!(!meet(&bounds, &area), "{} {}", p.title, h.row.id);
                    }
                }
                for sheet in pages(&s.design, p) {
                    assert_eq!(sheet.unreadable(), None, "{}", p.title);
                }
            }
        }
    }

    #[test]
    fn every_control_has_its_text_under_it() {
        let s = crate::testing::lantern();
        let plans = shop::plan::plans(&s.design, &s.report, &shop::schedule(&s.design));
        let front = plans
            .iter()
            .find(|p| p.part == "panel-front" && p.marked)
            .expect("a front panel");
        let sheet = legend_sheet(front).expect("legends");
        assert_eq!(sheet.unreadable(), None);
        for id in [
            "POWER", "LAMP", "MASTER", "TREBLE", "MIDDLE", "BASS", "VOLUME", "INPUT",
        ] {
            let l = sheet.labels().find(|l| l.text == id).expect(id);
            let h = front
                .holes
                .iter()
                // the largest: pots have a hole for their lug beside
                .filter(|h| h.row.id.starts_with(id))
                .max_by(|a, b| {
                    a.row
                        .diameter()
                        .partial_cmp(&b.row.diameter())
                        .expect("sizes")
                })
                .expect(id);
            assert!((l.at.x - PAD - h.at.x).abs() < 0.01 && l.at.y - PAD < h.at.y);
        }
        let rear = plans
            .iter()
            .find(|p| p.part == "panel-rear" && p.marked)
            .expect("a rear panel");
        assert!(rear.legends.iter().any(|l| l.text == "8 ohm"));
    }
}
