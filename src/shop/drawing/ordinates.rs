//! Ordinate dimensions: distances from the datum corner along the foot and the left of a view, each once.

use super::place::{BELOW, LEFT, Place};
use super::{MARGIN, STRIP};
use crate::font;
use crate::outline::Loop;
use crate::shop::plan::Plan;
use crate::shop::schedule::Placed;
use crate::shop::sheet::{Anchor, Label, Pen, Sheet, spread};
use glam::DVec2;

/// Two distances closer than this are one, mm: they read alike.
const ONE: f64 = 0.05;

/// Corners of an outline between two straight edges: fingers, notches, ends. Where an arc begins nobody measures.
fn corners(l: &Loop) -> impl Iterator<Item = DVec2> + '_ {
    let n = l.nodes.len();
    (0..n)
        .filter(move |k| l.nodes[*k].arc.is_none() && l.nodes[(k + n - 1) % n].arc.is_none())
        .map(|k| l.nodes[k].at)
}

/// What has an ordinate, as seen: holes that are marked out, corners, grooves, the datum and the far edges.
fn points(p: &Plan) -> Vec<DVec2> {
    let holes = (p.holes.iter())
        .filter(|h| !matches!(h.row.placed, Placed::Transferred(_)))
        .map(|h| h.at);
    let pockets = (p.pockets.iter())
        .filter(|(_, _, _, here)| *here)
        .flat_map(|(a, b, _, _)| [*a, *b]);
    holes
        .chain(pockets)
        .chain(corners(&p.outline))
        .chain([DVec2::ZERO, p.size])
        .collect()
}

/// Draws them; the boxes that they take.
pub(super) fn draw(sheet: &mut Sheet, place: Place, p: &Plan, reserve: f64) -> [[DVec2; 2]; 2] {
    let points = points(p);
    for across in [true, false] {
        let pick = |v: DVec2| if across { v.x } else { v.y };
        let mut values: Vec<(f64, f64)> = points
            .iter()
            .map(|q| (pick(place.at(*q)), pick((*q - p.corner) * p.way)))
            .collect();
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
        values.dedup_by(|a, b| (a.1 - b.1).abs() < ONE);
        let wanted: Vec<f64> = values.iter().map(|v| v.0).collect();
        let (low, high) = if across {
            (MARGIN + 16.0, sheet.size.x - MARGIN - 4.0)
        } else {
            (
                MARGIN + STRIP + reserve + BELOW - 6.0,
                sheet.size.y - MARGIN - 10.0,
            )
        };
        let fitting = [3.4, 3.0, 2.6]
            .into_iter()
            .find_map(|em| Some((em, spread(&wanted, em * 1.1, low, high)?)));
        let edge = if across {
            place.origin.y
        } else {
            place.origin.x
        };
        let Some((em, places)) = fitting else {
            let text = "too many ordinates for this sheet: see the hole table";
            let at = if across {
                DVec2::new(place.origin.x, edge - 10.0)
            } else {
                DVec2::new(edge - 10.0, place.origin.y)
            };
            let label = Label::new(at, 2.8, Anchor::Start, text);
            sheet.text(if across { label } else { label.up() });
            continue;
        };
        for ((from, value), to) in values.iter().zip(places) {
            // along the edge and away from it
            let at = |along: f64, out: f64| {
                if across {
                    DVec2::new(along, edge - out)
                } else {
                    DVec2::new(edge - out, along)
                }
            };
            sheet.line(at(*from, 2.5), at(*from, 4.0), Pen::Thin);
            sheet.line(at(*from, 4.0), at(to, 8.5), Pen::Thin);
            sheet.line(at(to, 8.5), at(to, 10.0), Pen::Thin);
            // the digits' middle stands on the line
            let half = em * font::CAPITAL / 2.0;
            // not `-0.0`
            let text = format!("{:.1}", if value.abs() < ONE { 0.0 } else { *value });
            let label = if across {
                Label::new(at(to + half, 10.8), em, Anchor::End, text).up()
            } else {
                Label::new(at(to - half, 10.8), em, Anchor::End, text)
            };
            sheet.text(label);
        }
    }
    let (low, high) = (place.at(DVec2::ZERO), place.at(p.size));
    [
        [
            low - DVec2::new(3.0, BELOW),
            DVec2::new(high.x + 3.0, low.y - 2.0),
        ],
        [
            low - DVec2::new(LEFT, 3.0),
            DVec2::new(low.x - 2.0, high.y + 3.0),
        ],
    ]
}
