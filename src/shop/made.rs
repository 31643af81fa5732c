//! What the builder's hands make, in rows for `fit.json` and for comparing two states of a design.

use super::{Cut, schedule};
use crate::design::Design;
use crate::fit::{HoleRow, PieceRow};

/// The pieces to cut and the holes to make, from the same cut list and drill schedule as the bench's.
#[must_use]
pub fn made(design: &Design, cuts: &[Cut]) -> (Vec<PieceRow>, Vec<HoleRow>) {
    let mut pieces = Vec::new();
    for cut in cuts {
        for id in &cut.parts {
            pieces.push(PieceRow {
                id: id.clone(),
                material: cut.material.clone(),
                size_mm: cut.size,
            });
        }
    }
    let mut holes = Vec::new();
    for s in schedule(design) {
        for r in &s.rows {
            holes.push(HoleRow {
                part: s.part.clone(),
                id: r.id.clone(),
                at_mm: r.at.to_array(),
                size: r.size(),
            });
        }
    }
    (pieces, holes)
}

#[cfg(test)]
mod tests {
    use crate::shop::{plan, schedule};

    /// What `template::tiles_with` stands on, for every demo and failing design.
    #[test]
    fn places_from_the_datum_lie_where_the_plans_show_them() {
        for s in crate::testing::all_designs() {
            let schedules = schedule(&s.design);
            for p in plan::plans(&s.design, &s.report, &schedules) {
                for h in &p.holes {
                    let seen = p.corner + p.way * h.row.at;
                    assert!(
                        (seen - h.at).length() < 1e-6,
                        "{} {}: {seen} {}",
                        p.title,
                        h.row.id,
                        h.at
                    );
                }
            }
        }
    }
}
