//! Legends of panels: the texts at the controls' places, at full size, for engraving or decals.

use super::paper::paper;
use super::plan::Plan;
use super::sheet::{Ink, Pen, Sheet};
use super::tile::{self, Figure};
use crate::design::Design;
use glam::DVec2;

/// White round the panel, mm.
const PAD: f64 = 10.0;

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
    use crate::shop::sheet::{Label, meet};

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
