//! A stroke font of our own for letters that are sunk into printed plastic: every stroke has one width, whatever the height.
//!
//! Letters stand on a grid 4 units wide and 6 high; strokes run along it or at 45 degrees, and end in octagons, so that
//! strokes that meet share their corners exactly.

use crate::outline::{Loop, Region, union};
use glam::DVec2;
use std::collections::BTreeMap;

/// Polylines of a letter; each point is two digits, x and y.
const STROKES: [(char, &str); 45] = [
    ('A', "0004264440 0242"),
    ('B', "00063645443303 3342413000"),
    ('C', "4536160501103041"),
    ('D', "00062644422000"),
    ('E', "46060040 0333"),
    ('F', "460600 0333"),
    ('G', "45361605011030414323"),
    ('H', "0006 4046 0343"),
    ('I', "1030 2026 1636"),
    ('J', "0110304146"),
    ('K', "0006 031346 1340"),
    ('L', "060040"),
    ('M', "0006244640"),
    ('N', "0006 0541 4046"),
    ('O', "103041453616050110"),
    ('P', "00063645443303"),
    ('Q', "103041453616050110 2240"),
    ('R', "00063645443303 1340"),
    ('S', "453616050413334241301001"),
    ('T', "0646 2026"),
    ('U', "060110304146"),
    ('V', "0602204246"),
    ('W', "0600224046"),
    ('X', "00014546 06054140"),
    ('Y', "0605234546 2320"),
    ('Z', "064645010040"),
    ('0', "102031352616050110"),
    ('1', "152620 1030"),
    ('2', "05163645440040"),
    ('3', "05163645443313 334241301001"),
    ('4', "3036030242"),
    ('5', "460603334241301001"),
    ('6', "362604011030414233 3303"),
    ('7', "0646451210"),
    ('8', "13040516364544331302011030414233"),
    ('9', "1020424536160504 041343"),
    ('-', "1333"),
    ('_', "0040"),
    ('.', "20"),
    ('/', "00014546"),
    ('+', "0343 2125"),
    (':', "21 24"),
    ('=', "0242 0444"),
    ('(', "36252130"),
    (')', "16252110"),
];

/// Letters of one height and stroke, made once each.
pub struct Letters {
    height: f64,
    stroke: f64,
    made: BTreeMap<char, Vec<Region>>,
}

impl Letters {
    /// Letters `height` mm high over all, with strokes `stroke` mm wide.
    #[must_use]
    pub fn new(height: f64, stroke: f64) -> Letters {
        Letters {
            height,
            stroke,
            made: BTreeMap::new(),
        }
    }

    fn unit(&self) -> f64 {
        (self.height - self.stroke) / 6.0
    }

    /// From one letter to the next, mm: the gap is as wide as the stroke.
    fn step(&self) -> f64 {
        4.0 * self.unit() + 2.0 * self.stroke
    }

    /// What keeps two words in one line apart, beyond the gap of letters, mm.
    #[must_use]
    pub fn gap(&self) -> f64 {
        2.5 * self.stroke
    }

    /// Width and height of a text of one or more lines, mm.
    #[must_use]
    pub fn size(&self, text: &str) -> DVec2 {
        let longest = text.lines().map(|l| l.chars().count()).max().unwrap_or(0);
        let lines = text.lines().count().max(1);
        DVec2::new(
            (longest as f64 * self.step() - self.stroke).max(0.0),
            lines as f64 * self.height + (lines - 1) as f64 * 2.0 * self.stroke,
        )
    }

    /// The outlines of a text whose box has its low corner at `low`; the last line stands lowest.
    #[must_use]
    pub fn set(&mut self, text: &str, low: DVec2) -> Vec<Region> {
        let mut out = Vec::new();
        let lines: Vec<&str> = text.lines().collect();
        for (k, line) in lines.iter().rev().enumerate() {
            let mut pen = low + DVec2::new(0.0, k as f64 * (self.height + 2.0 * self.stroke));
            for c in line.chars() {
                out.extend(self.letter(c).iter().map(|r| r.translated(pen)));
                pen.x += self.step();
            }
        }
        out
    }

    fn letter(&mut self, c: char) -> &[Region] {
        let c = c.to_ascii_uppercase();
        let (unit, stroke) = (self.unit(), self.stroke);
        self.made
            .entry(c)
            .or_insert_with(|| draw(strokes_of(c), unit, stroke))
    }
}

/// What we have no strokes for is shown as a dash; a blank stays blank.
fn strokes_of(c: char) -> &'static str {
    if c.is_whitespace() {
        return "";
    }
    STROKES
        .iter()
        .find(|(k, _)| *k == c)
        .map_or("1333", |(_, s)| s)
}

fn draw(strokes: &str, unit: f64, stroke: f64) -> Vec<Region> {
    let mut out: Vec<Region> = Vec::new();
    for line in strokes.split(' ') {
        let digits: Vec<f64> = line
            .chars()
            .filter_map(|d| d.to_digit(10))
            .map(f64::from)
            .collect();
        let points: Vec<DVec2> = digits
            .chunks_exact(2)
            .map(|p| DVec2::new(p[0], p[1]) * unit + DVec2::splat(stroke / 2.0))
            .collect();
        let ends = if points.len() == 1 {
            vec![(points[0], points[0])]
        } else {
            points.windows(2).map(|w| (w[0], w[1])).collect()
        };
        for (a, b) in ends {
            let bar = [Region::solid(bar(a, b, stroke))];
            // a stroke that cannot be joined leaves a letter that can still be read
            if let Ok(joined) = union(&out, &bar) {
                out = joined;
            }
        }
    }
    out
}

/// A stroke of that width from a to b: everything an upright octagon covers on its way.
#[must_use]
pub fn bar(a: DVec2, b: DVec2, width: f64) -> Loop {
    let r = width / 2.0;
    let e = r * (std::f64::consts::SQRT_2 - 1.0);
    let octagon = [
        (r, -e),
        (r, e),
        (e, r),
        (-e, r),
        (-r, e),
        (-r, -e),
        (-e, -r),
        (e, -r),
    ]
    .map(DVec2::from);
    let mut points: Vec<DVec2> = octagon.iter().map(|p| a + *p).collect();
    if a != b {
        points.extend(octagon.iter().map(|p| b + *p));
        points = hull(points);
    }
    Loop::polygon(&points)
}

/// The convex hull, counter-clockwise, without corners that are none.
pub fn hull(mut points: Vec<DVec2>) -> Vec<DVec2> {
    points.sort_by(|p, q| p.x.total_cmp(&q.x).then(p.y.total_cmp(&q.y)));
    points.dedup_by(|p, q| p.distance(*q) < 1e-9);
    let half = |points: &mut dyn Iterator<Item = DVec2>| {
        let mut chain: Vec<DVec2> = Vec::new();
        for p in points {
            while chain.len() > 1 {
                let (a, b) = (chain[chain.len() - 2], chain[chain.len() - 1]);
                if (b - a).perp_dot(p - b) > 1e-9 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut out = half(&mut points.iter().copied());
    out.extend(half(&mut points.iter().rev().copied()));
    out
}
