//! Dimensioned drawings: a view of each face at a usual scale, ordinate dimensions from the datum, and the hole table.

mod ordinates;
mod pins;
mod place;
mod table;
mod title;
mod view;

use super::paper;
use super::plan::Plan;
use super::sheet::Sheet;
use crate::design::Design;
use glam::DVec2;

/// From the paper's edge to the frame, mm.
const MARGIN: f64 = 8.0;
/// Height of the title strip at the foot.
const STRIP: f64 = 18.0;

/// How much of its scale a view may lose so that its hole table stands under it: a step from 1 : 2 to 1 : 2.5.
const NEARLY: f64 = 0.75;

/// The sheets of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Id of the part.
    pub part: String,
    /// Its sheets: views, then sockets and hole tables.
    pub sheets: Vec<Sheet>,
}

/// Drawings of all parts, in the order of their plans.
#[must_use]
pub fn drawings(design: &Design, plans: &[Plan]) -> Vec<Drawing> {
    plans
        .chunk_by(|a, b| a.part == b.part)
        .map(|of| of_part(design, of))
        .collect()
}

/// A sheet with what its title block says of it.
struct Titled<'p> {
    sheet: Sheet,
    plan: &'p Plan,
    shown: String,
    scale: &'static str,
}

fn of_part(design: &Design, plans: &[Plan]) -> Drawing {
    let tall = paper::for_drawings(design);
    let wide = DVec2::new(tall.y, tall.x);
    let mut views: Vec<Titled<'_>> = Vec::new();
    let mut tables: Vec<Titled<'_>> = Vec::new();
    for (k, plan) in plans.iter().enumerate() {
        // both faces of a plate have the same holes, the legs of an angle have their own
        let first = plans[..k].iter().all(|p| p.title != plan.title);
        let table = (first && !plan.holes.is_empty()).then(|| table::height(plan.holes.len()));
        let best = |below: f64| {
            let scale = |size: DVec2| view::scale(size, plan, below).0;
            let size = if scale(tall) > scale(wide) {
                tall
            } else {
                wide
            };
            (size, scale(size))
        };
        // the table goes under the view where that does not make the view much smaller
        let (size, alone) = best(0.0);
        let under = table
            .map(|below| (below, best(below)))
            .filter(|(_, (_, with))| *with >= NEARLY * alone);
        let (below, size) = under.map_or((None, size), |(t, (size, _))| (Some(t), size));
        let (mut sheet, scale) = view::view(size, plan, below.unwrap_or(0.0));
        if let Some(height) = below {
            table::under(&mut sheet, plan, MARGIN + STRIP + height);
        } else if table.is_some() {
            tables.extend(table::sheets(wide, plan).into_iter().map(|sheet| Titled {
                sheet,
                plan,
                shown: "hole table".into(),
                scale: "none",
            }));
        }
        views.push(Titled {
            sheet,
            plan,
            shown: plan.face.clone(),
            scale,
        });
    }
    for plan in plans {
        views.extend(pins::sheets(wide, plan).into_iter().map(|sheet| Titled {
            sheet,
            plan,
            shown: format!("{}, sockets", plan.face),
            scale: "2 : 1",
        }));
    }
    views.extend(tables);
    let of = views.len();
    let sheets = views
        .into_iter()
        .enumerate()
        .map(|(k, mut t)| {
            title::block(&mut t, design, k + 1, of);
            t.sheet
        })
        .collect();
    Drawing {
        part: plans[0].part.clone(),
        sheets,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::params::Paper;
    use crate::shop::{self, plan};

    #[test]
    fn on_every_view_each_hole_has_its_mark_and_no_two_texts_meet() {
        for mut s in crate::testing::all_designs() {
            let plans = plan::plans(&s.design, &s.report, &shop::schedule(&s.design));
            for paper in [Paper::A4, Paper::A3, Paper::Letter] {
                s.design.paper = Some(paper);
                for d in drawings(&s.design, &plans) {
                    for (k, sheet) in d.sheets.iter().enumerate() {
                        let where_ = format!("{} {} sheet {}", s.design.name, d.part, k + 1);
                        assert_eq!(sheet.unreadable(), None, "{where_}");
                    }
                    let of: Vec<&plan::Plan> = plans.iter().filter(|p| p.part == d.part).collect();
                    // the views come first, one for each face, and the table has each hole once more
                    for (p, sheet) in of.iter().zip(&d.sheets) {
                        for h in &p.holes {
                            let on = |s: &Sheet| s.labels().filter(|l| l.text == h.row.tag).count();
                            assert!(on(sheet) >= 1, "{} {} {}", d.part, p.face, h.row.tag);
                            let all: usize = d.sheets.iter().map(on).sum();
                            let faces = of.iter().filter(|q| q.title == p.title).count();
                            assert_eq!(all, faces + 1, "{} {}", d.part, h.row.tag);
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn fingers_of_a_box_joint_have_ordinates() {
        let s = crate::testing::harbour();
        let plans = plan::plans(&s.design, &s.report, &shop::schedule(&s.design));
        let drawings = drawings(&s.design, &plans);
        let side = drawings.iter().find(|d| d.part == "side-left").expect("it");
        let flat = s.design.flat("side-left").expect("it");
        for n in &flat.outline.nodes {
            for v in [n.at.x, n.at.y] {
                let text = format!("{v:.1}");
                let mut labels = side.sheets[0].labels();
                assert!(labels.any(|l| l.text == text), "{text}");
            }
        }
    }
}
