//! What is printed on: sheets of a size, or one sheet as long as it needs to be.

use crate::design::Design;
use crate::params::Paper;
use glam::DVec2;

/// Longest side of one sheet, mm: readers of PDF take pages of at most 14,400 points (ISO 32000-1, annex C.2), which is 5080 mm.
const LONGEST: f64 = 5000.0;

/// The paper of a design: as the builder said, else A4, or Letter where the file is in inches.
#[must_use]
pub fn paper(design: &Design) -> Paper {
    design.paper.unwrap_or(if design.inch {
        Paper::Letter
    } else {
        Paper::A4
    })
}

/// Width and height of a sheet held upright, mm (ISO 216, ANSI/ASME Y14.1); `None` for one long sheet.
#[must_use]
pub fn upright(paper: Paper) -> Option<DVec2> {
    match paper {
        Paper::A4 => Some(DVec2::new(210.0, 297.0)),
        Paper::A3 => Some(DVec2::new(297.0, 420.0)),
        Paper::Letter => Some(DVec2::new(215.9, 279.4)),
        Paper::Long => None,
    }
}

/// A sheet held upright for drawings, which go on paper of a size also where the templates are long.
#[must_use]
pub fn for_drawings(design: &Design) -> DVec2 {
    let usual = DVec2::new(210.0, 297.0);
    upright(paper(design)).unwrap_or_else(|| {
        upright(if design.inch {
            Paper::Letter
        } else {
            Paper::A4
        })
        .unwrap_or(usual)
    })
}

/// A long sheet that holds `need` mm, in whole millimetres and no longer than a page can be.
#[must_use]
pub fn long(need: DVec2) -> DVec2 {
    need.ceil().min(DVec2::splat(LONGEST))
}
