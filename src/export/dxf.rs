//! A plan as DXF for laser, waterjet or router: AC1009 (Release 12) ASCII in mm, closed outlines, circles as circles, arcs as arcs.
//!
//! Layers say what is cut: OUTLINE and HOLES go through; COUNTERSINK, BLIND and POCKET do not; DATUM and ENGRAVE are marks.
//! The origin is the datum corner, x to the right as seen on the face shown.

use crate::design::HoleShape;
use crate::font;
use crate::outline::Loop;
use crate::shop::plan::Plan;
use crate::shop::sheet::Label;
use glam::DVec2;
use std::fmt::Write as _;

const LAYERS: [(&str, i32); 7] = [
    ("OUTLINE", 7),
    ("HOLES", 1),
    ("COUNTERSINK", 3),
    ("BLIND", 4),
    ("POCKET", 5),
    ("DATUM", 6),
    ("ENGRAVE", 2),
];

/// Pairs of group codes and values.
#[derive(Default)]
struct Pairs(String);

impl Pairs {
    fn text(&mut self, code: i32, value: &str) -> &mut Self {
        // group codes and values are single lines of plain letters
        let plain: String = value
            .chars()
            .map(|c| {
                if c.is_ascii() && !c.is_ascii_control() {
                    c
                } else {
                    '_'
                }
            })
            .collect();
        let _ = writeln!(self.0, "{code:>3}\n{plain}");
        self
    }

    fn number(&mut self, code: i32, value: f64) -> &mut Self {
        let text = format!("{value:.9}");
        let text = text.trim_end_matches('0');
        let text = if text.ends_with('.') {
            format!("{text}0")
        } else {
            text.to_owned()
        };
        let text = if text == "-0.0" { "0.0" } else { &text };
        let _ = writeln!(self.0, "{code:>3}\n{text}");
        self
    }

    fn int(&mut self, code: i32, value: i32) -> &mut Self {
        let _ = writeln!(self.0, "{code:>3}\n{value}");
        self
    }

    fn point(&mut self, p: DVec2) -> &mut Self {
        self.number(10, p.x).number(20, p.y).number(30, 0.0)
    }

    fn circle(&mut self, layer: &str, at: DVec2, r: f64) {
        self.text(0, "CIRCLE")
            .text(8, layer)
            .point(at)
            .number(40, r);
    }

    fn outline(&mut self, layer: &str, l: &Loop, origin: DVec2) {
        self.text(0, "POLYLINE")
            .text(8, layer)
            .int(66, 1)
            .point(DVec2::ZERO)
            .int(70, 1);
        for s in l.segs() {
            self.text(0, "VERTEX").text(8, layer).point(s.from - origin);
            if s.arc.is_some() {
                // bulge: the tangent of a quarter of the angle, positive counter-clockwise
                self.number(42, (s.sweep() / 4.0).tan());
            }
        }
        self.text(0, "SEQEND").text(8, layer);
    }

    fn line(&mut self, layer: &str, a: DVec2, b: DVec2) {
        self.text(0, "LINE")
            .text(8, layer)
            .point(a)
            .number(11, b.x)
            .number(21, b.y)
            .number(31, 0.0);
    }

    /// A text to engrave, centred: another typeface is as wide on both sides of the control.
    fn lettering(&mut self, l: &Label, origin: DVec2) {
        let middle = l.at - origin;
        self.text(0, "TEXT")
            .text(8, "ENGRAVE")
            .point(l.start() - origin)
            .number(40, l.size * font::CAPITAL)
            .text(1, &l.text)
            .int(72, 1)
            .number(11, middle.x)
            .number(21, middle.y)
            .number(31, 0.0);
    }
}

/// The plan as a file.
#[must_use]
pub fn dxf(p: &Plan) -> Vec<u8> {
    let origin = p.corner;
    let mut d = Pairs::default();
    d.text(
        999,
        &format!(
            "{}: {}; seen on the {}; mm; origin at the datum corner",
            p.title, p.stuff, p.face
        ),
    );
    d.text(0, "SECTION").text(2, "HEADER");
    d.text(9, "$ACADVER").text(1, "AC1009");
    d.text(9, "$INSUNITS").int(70, 4);
    d.text(9, "$EXTMIN").point(-origin);
    d.text(9, "$EXTMAX").point(p.size - origin);
    d.text(0, "ENDSEC");
    d.text(0, "SECTION").text(2, "TABLES");
    d.text(0, "TABLE").text(2, "LTYPE").int(70, 1);
    d.text(0, "LTYPE")
        .text(2, "CONTINUOUS")
        .int(70, 0)
        .text(3, "Solid line")
        .int(72, 65)
        .int(73, 0)
        .number(40, 0.0);
    d.text(0, "ENDTAB");
    d.text(0, "TABLE")
        .text(2, "LAYER")
        .int(70, LAYERS.len() as i32);
    for (name, colour) in LAYERS {
        d.text(0, "LAYER")
            .text(2, name)
            .int(70, 0)
            .int(62, colour)
            .text(6, "CONTINUOUS");
    }
    d.text(0, "ENDTAB");
    d.text(0, "TABLE").text(2, "STYLE").int(70, 1);
    d.text(0, "STYLE")
        .text(2, "STANDARD")
        .int(70, 0)
        .number(40, 0.0)
        .number(41, 1.0)
        .number(50, 0.0)
        .int(71, 0)
        .number(42, 2.5)
        .text(3, "txt")
        .text(4, "");
    d.text(0, "ENDTAB");
    d.text(0, "ENDSEC");
    d.text(0, "SECTION").text(2, "ENTITIES");
    d.outline("OUTLINE", &p.outline, origin);
    for (a, b, _, here) in &p.pockets {
        if *here {
            d.outline("POCKET", &Loop::rect(*a, *b), origin);
        }
    }
    for h in &p.holes {
        let at = h.at - origin;
        match (&h.outline, &h.row.shape) {
            (Some(l), _) => d.outline("HOLES", l, origin),
            (None, HoleShape::Round { d: dia }) => d.circle("HOLES", at, dia / 2.0),
            (None, HoleShape::Countersunk { d: dia, head, .. }) => {
                d.circle("HOLES", at, dia / 2.0);
                if h.opens_here {
                    d.circle("COUNTERSINK", at, head / 2.0);
                }
            }
            (None, HoleShape::Pilot { drill, .. }) => {
                if h.opens_here {
                    d.circle("BLIND", at, drill / 2.0);
                }
            }
            (None, HoleShape::Cut { .. }) => {}
        }
    }
    d.line("DATUM", DVec2::ZERO, DVec2::new(p.way.x * 10.0, 0.0));
    d.line("DATUM", DVec2::ZERO, DVec2::new(0.0, p.way.y * 10.0));
    for l in &p.legends {
        d.lettering(l, origin);
    }
    d.text(0, "ENDSEC").text(0, "EOF");
    d.0.into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop;

    #[test]
    fn every_outline_is_closed_and_codes_come_in_pairs() {
        let s = crate::testing::lantern();
        let plans = shop::plan::plans(&s.design, &s.report, &shop::schedule(&s.design));
        for p in &plans {
            let text = String::from_utf8(dxf(p)).expect("ASCII");
            assert!(text.is_ascii());
            let lines: Vec<&str> = text.lines().collect();
            assert_eq!(lines.len() % 2, 0, "{}", p.title);
            let pairs: Vec<(i32, &str)> = lines
                .chunks(2)
                .map(|c| (c[0].trim().parse().expect("a group code"), c[1]))
                .collect();
            let count = |name: &str| pairs.iter().filter(|c| **c == (0, name)).count();
            assert_eq!(count("POLYLINE"), count("SEQEND"));
            let outlines = p.holes.iter().filter(|h| h.outline.is_some()).count();
            let pockets = p.pockets.iter().filter(|k| k.3).count();
            assert_eq!(count("POLYLINE"), 1 + outlines + pockets, "{}", p.title);
            assert_eq!(pairs.last(), Some(&(0, "EOF")));
        }
    }

    #[test]
    fn a_half_circle_has_a_bulge_of_one() {
        let mut d = Pairs::default();
        d.outline("HOLES", &Loop::circle(DVec2::ZERO, 5.0), DVec2::ZERO);
        assert_eq!(d.0.matches(" 42\n1.0\n").count(), 2, "{}", d.0);
    }
}
