//! Which hand tool goes with what.

use super::family::{Row, find};
use super::rows_shop::HandToolRow;

/// How much a spanner may be wider than the nut it is to take, mm.
const LOOSE: f64 = 1.0;

/// How much a nut may be wider than its nominal size, mm: data give the largest.
const WIDER: f64 = 0.1;

/// The tool of a kind for a nut that wide across its flats; nothing if none is within a millimetre.
#[must_use]
pub fn spanner_for(kind: &str, nut: f64) -> Option<&'static HandToolRow> {
    HandToolRow::all()
        .iter()
        .filter(|r| r.kind == kind)
        .filter_map(|r| Some((r.across?, r)))
        .filter(|(across, _)| *across > nut - WIDER && *across < nut + LOOSE)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, r)| r)
}

/// The hand tool of that name.
#[must_use]
pub fn hand_tool(name: &str) -> Option<&'static HandToolRow> {
    find(name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{controls, screws};

    /// No thicker than the hand sockets of ISO 2725-1 (from memory: 5.5: 8.8, 7: 11, 10: 14.7, 14: 19.7), and a wall round the nut's corners.
    #[test]
    fn every_nut_of_the_catalogue_has_its_spanner() {
        let nuts = (screws().iter().map(|s| s.nut)).chain(controls().iter().filter_map(|c| c.nut));
        for nut in nuts.filter(|n| *n > 0.0) {
            let row = spanner_for("box spanner", nut).unwrap_or_else(|| panic!("{nut}"));
            let across = row.across.expect("a spanner");
            assert!(
                across > nut - 0.1 && row.tip > across * 2.0 / 3.0_f64.sqrt(),
                "{nut}"
            );
        }
        for (nut, most) in [(5.5, 8.8), (7.0, 11.0), (10.0, 14.7), (14.0, 19.7)] {
            assert!(spanner_for("box spanner", nut).is_some_and(|r| r.tip <= most));
        }
        assert_eq!(spanner_for("box spanner", 25.0), None);
        assert_eq!(spanner_for("hammer", 7.0), None);
    }

    #[test]
    fn open_ended_spanners_are_no_thicker_than_a_hand_needs() {
        for r in HandToolRow::all()
            .iter()
            .filter(|r| r.kind == "open-ended spanner")
        {
            let across = r.across.expect("a spanner");
            assert!(r.tip > 2.0 * across && r.tip < 3.0 * across, "{}", r.id);
            assert!(r.tip_length < across, "{}", r.id);
        }
    }
}
