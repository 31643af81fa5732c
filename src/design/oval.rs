//! What an oval loudspeaker has that a round one has not.

use super::ledger::Ledger;
use crate::catalogue::SpeakerRow;
use crate::outline::Loop;
use crate::params::{LongSide, Speaker};
use glam::{DVec2, Vec2Swizzles};

/// Sizes of an oval loudspeaker: x along its long side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Oval {
    /// Length and width of the frame, drawn with round ends: the outline that holds every frame of that size, ears and all.
    pub frame: DVec2,
    /// Length and width of the hole, an oval of four arcs.
    pub cutout: DVec2,
    /// Bolts, centre to centre.
    pub bolts: DVec2,
    /// Whether the long side stands upright.
    pub upright: bool,
}

impl Oval {
    /// Of the parameter file or the pattern; `None` for a round speaker. Keys of the one kind on the other are errors.
    pub(super) fn of(
        s: &Speaker,
        row: Option<&SpeakerRow>,
        frame: f64,
        cutout: f64,
        ledger: &mut Ledger,
    ) -> Option<Oval> {
        let width = s
            .frame_width
            .as_ref()
            .map(|v| v.value.0)
            .or(row.and_then(|r| r.frame_width));
        let Some(width) = width else {
            let keys = [
                (
                    "cutout-width",
                    s.cutout_width.as_ref().map(|v| v.span.clone()),
                ),
                (
                    "bolt-spacing",
                    s.bolt_spacing.as_ref().map(|v| v.span.clone()),
                ),
                ("long-side", s.long_side.as_ref().map(|v| v.span.clone())),
            ];
            for (key, span) in keys {
                if let Some(span) = span {
                    ledger.error(
                        span,
                        format!("`{key}` says nothing about a round speaker"),
                        "`frame-width`, or an oval pattern",
                        "take the key out, or add `frame-width`",
                    );
                }
            }
            return None;
        };
        let keys = [
            (
                "bolt-circle",
                s.bolt_circle.as_ref().map(|v| v.span.clone()),
            ),
            ("bolts", s.bolts.as_ref().map(|v| v.span.clone())),
            ("turn", s.turn.as_ref().map(|v| v.span.clone())),
        ];
        for (key, span) in keys {
            if let Some(span) = span {
                ledger.error(
                    span,
                    format!("`{key}` says nothing about an oval speaker"),
                    "`bolt-spacing` for its four bolts, `long-side` for the way it lies",
                    "take the key out",
                );
            }
        }
        let hole = s
            .cutout_width
            .as_ref()
            .map(|v| v.value.0)
            .or(row.and_then(|r| r.cutout_width));
        let bolts = s
            .bolt_spacing
            .as_ref()
            .map(|v| DVec2::new(v.width.value.0, v.height.value.0))
            .or(row.and_then(|r| r.bolt_spacing).map(DVec2::from));
        let (Some(hole), Some(bolts)) = (hole, bolts) else {
            ledger.error(
                s.span.clone(),
                "an oval speaker needs `cutout-width` and `bolt-spacing`",
                "an oval `pattern`, or every size of its own",
                "for example `pattern = \"6x9 in oval\"`",
            );
            return None;
        };
        let lies = ledger.choice(
            "speaker.long-side",
            s.long_side.as_ref(),
            LongSide::Across,
            "across",
            "the wider way of most baffles (common practice)",
        );
        Some(Oval {
            frame: DVec2::new(frame, width),
            cutout: DVec2::new(cutout, hole),
            bolts,
            upright: lies == LongSide::Upright,
        })
    }

    /// A size along the long side and across, as it lies on the baffle.
    #[must_use]
    pub fn lying(&self, size: DVec2) -> DVec2 {
        if self.upright { size.yx() } else { size }
    }

    /// Its four bolts, clockwise as seen from the front, from the upper right; x to the left.
    #[must_use]
    pub fn places(&self) -> Vec<DVec2> {
        let half = self.lying(self.bolts) / 2.0;
        [(-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0), (1.0, 1.0)]
            .map(|(x, y)| DVec2::new(x, y) * half)
            .to_vec()
    }

    /// Whether frame, hole and bolts go round each other: 1 mm of frame left on both sides of each bolt hole.
    #[must_use]
    pub fn sound(&self, bolt_hole: f64) -> bool {
        let (frame, cutout, at) = (self.frame / 2.0, self.cutout / 2.0, self.bolts / 2.0);
        let room = bolt_hole / 2.0 + 1.0;
        let end = frame.x - frame.y;
        let inside = frame.y - DVec2::new((at.x - end).max(0.0), at.y).length();
        frame.x > frame.y
            && cutout.x >= cutout.y
            && frame.x > cutout.x + 2.0
            && frame.y > cutout.y + 2.0
            && inside > room
            && outside_oval(cutout, at) > room
    }
}

/// How far a point of the first quadrant lies outside an oval of four arcs, by its half axes, mm.
fn outside_oval(half: DVec2, at: DVec2) -> f64 {
    let (end, side, join) = Loop::oval_arcs(half);
    let from = DVec2::new(0.0, half.y - side);
    // beyond the line through both centres the side's arc is nearest
    if (join - from).perp_dot(at - from) > 0.0 {
        (at - from).length() - side
    } else {
        (at - DVec2::new(half.x - end, 0.0)).length() - end
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::speakers;

    fn of(row: &SpeakerRow) -> Option<Oval> {
        Some(Oval {
            frame: DVec2::new(row.frame, row.frame_width?),
            cutout: DVec2::new(row.cutout, row.cutout_width?),
            bolts: DVec2::from(row.bolt_spacing?),
            upright: false,
        })
    }

    #[test]
    fn oval_patterns_of_the_catalogue_are_sound() {
        let ovals: Vec<(&SpeakerRow, Oval)> = speakers()
            .iter()
            .filter_map(|r| Some((r, of(r)?)))
            .collect();
        assert!(!ovals.is_empty());
        for (row, oval) in ovals {
            assert!(oval.sound(row.bolt_hole), "{}", row.id);
            // bolts on the edge of the hole, beyond the round end, and a hole as wide as the frame
            let half = oval.cutout / 2.0;
            let at_edge = Oval {
                bolts: DVec2::new(0.1, 2.0 * half.y),
                ..oval
            };
            let beyond = Oval {
                bolts: oval.frame - DVec2::splat(1.0),
                ..oval
            };
            let wide = Oval {
                cutout: DVec2::new(oval.cutout.x, oval.frame.y),
                ..oval
            };
            for wrong in [at_edge, beyond, wide] {
                assert!(!wrong.sound(row.bolt_hole), "{wrong:?}");
            }
        }
    }

    #[test]
    fn a_point_is_as_far_from_an_oval_as_from_its_outline() {
        // on the axes the oval is as long and as wide as it says
        let half = DVec2::new(90.0, 58.0);
        for (at, want) in [
            (DVec2::new(95.0, 0.0), 5.0),
            (DVec2::new(0.0, 60.0), 2.0),
            (DVec2::new(0.0, 50.0), -8.0),
        ] {
            assert!((outside_oval(half, at) - want).abs() < 1e-9, "{at}");
        }
        // on the join both arcs agree
        let (_, _, join) = Loop::oval_arcs(half);
        assert!(outside_oval(half, join).abs() < 1e-9);
        // a circle
        assert!((outside_oval(DVec2::splat(50.0), DVec2::new(48.0, 64.0)) - 30.0).abs() < 1e-9);
    }
}
