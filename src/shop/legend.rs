//! Legends of panels: the texts at the controls' places, at full size, for engraving or decals.

use super::paper::paper;
use super::plan::Plan;
use super::sheet::{Anchor, Ink, Label, Pen, Sheet, meet};
use super::tile::{self, Figure};
use crate::assembly::Kind;
use crate::design::{ControlSpec, Design, Face, Flat};
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
    let low = flat.outline.bounds()[0];
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
        let base = at.y - under(c) - 1.5 - SIZE * crate::font::ABOVE;
        let mut label = Label::new(DVec2::new(at.x, base), SIZE, Anchor::Middle, text).bold();
        // a crowded row goes on two lines
        while out.iter().any(|l| meet(&l.area(), &label.area())) {
            label.at.y -= SIZE * 1.15;
        }
        out.push(label);
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
            "Full size, right way round; for decals that go on face down, mirror when you print.".into(),
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
    use crate::{shop, study};

    #[test]
    fn every_control_has_its_text_under_it() {
        let s = study::study(include_str!("../../params/lantern-40.toml")).expect("sound");
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
