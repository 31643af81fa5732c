//! A sheet of paper as lines, circles, outlines and texts, mm, origin at its lower left corner, y up.

use crate::font;
use crate::outline::Loop;
use glam::DVec2;

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pen {
    /// Edges of the part and its holes.
    Thick,
    /// Dimensions, tables.
    Thin,
    /// Hidden or neighbouring parts.
    Dashed,
    /// Axes.
    Chain,
}

impl Pen {
    /// Width, mm.
    #[must_use]
    pub const fn width(self) -> f64 {
        match self {
            Pen::Thick => 0.35,
            Pen::Thin | Pen::Dashed => 0.18,
            Pen::Chain => 0.13,
        }
    }

    /// Dashes and gaps, mm; empty for a full line.
    #[must_use]
    pub const fn dashes(self) -> &'static [f64] {
        match self {
            Pen::Thick | Pen::Thin => &[],
            Pen::Dashed => &[2.0, 1.2],
            Pen::Chain => &[4.0, 0.8, 0.6, 0.8],
        }
    }
}

/// Where a text's point is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// At its start.
    Start,
    /// In its middle.
    Middle,
    /// At its end.
    End,
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// The anchor on the base line.
    pub at: DVec2,
    /// Size of the em, mm.
    pub size: f64,
    /// Which point of the text that is.
    pub anchor: Anchor,
    /// Reads upwards, turned a quarter counter-clockwise.
    pub up: bool,
    /// Bold.
    pub bold: bool,
    /// What it says.
    pub text: String,
}

impl Label {
    /// A level text.
    #[must_use]
    pub fn new(at: DVec2, size: f64, anchor: Anchor, text: impl Into<String>) -> Label {
        Label {
            at,
            size,
            anchor,
            up: false,
            bold: false,
            text: text.into(),
        }
    }

    /// The same in bold.
    #[must_use]
    pub fn bold(self) -> Label {
        Label { bold: true, ..self }
    }

    /// The same reading upwards.
    #[must_use]
    pub fn up(self) -> Label {
        Label { up: true, ..self }
    }

    /// The same moved by `by` mm.
    #[must_use]
    pub fn moved(&self, by: DVec2) -> Label {
        Label {
            at: self.at + by,
            ..self.clone()
        }
    }

    /// The same, or less of it, in the largest of `sizes` (falling) at which it is at most `width` mm long.
    #[must_use]
    pub fn fitted(mut self, width: f64, sizes: &[f64]) -> Label {
        for size in sizes {
            self.size = *size;
            if self.width() <= width {
                return self;
            }
        }
        self.text = font::shortened(self.bold, &self.text, width / self.size);
        self
    }

    /// Its length along the base line, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        font::width(self.bold, &self.text) * self.size
    }

    /// Where its base line starts.
    #[must_use]
    pub fn start(&self) -> DVec2 {
        let back = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => self.width() / 2.0,
            Anchor::End => self.width(),
        };
        self.at - back * if self.up { DVec2::Y } else { DVec2::X }
    }

    /// The box of its letters.
    #[must_use]
    pub fn area(&self) -> [DVec2; 2] {
        let (w, above, below) = (
            self.width(),
            font::ABOVE * self.size,
            font::BELOW * self.size,
        );
        let s = self.start();
        if self.up {
            [
                DVec2::new(s.x - above, s.y),
                DVec2::new(s.x + below, s.y + w),
            ]
        } else {
            [
                DVec2::new(s.x, s.y - below),
                DVec2::new(s.x + w, s.y + above),
            ]
        }
    }
}

/// Something on a sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Ink {
    /// A straight line.
    Line(DVec2, DVec2, Pen),
    /// A circle.
    Circle(DVec2, f64, Pen),
    /// A closed outline.
    Outline(Loop, Pen),
    /// A filled outline.
    Fill(Loop),
    /// A text.
    Text(Label),
    /// What follows, up to [`Ink::EndWindow`], shows only inside this rectangle.
    Window([DVec2; 2]),
    /// Ends a window.
    EndWindow,
}

impl Ink {
    /// The same moved by `by` mm.
    #[must_use]
    pub fn moved(&self, by: DVec2) -> Ink {
        match self {
            Ink::Line(a, b, pen) => Ink::Line(*a + by, *b + by, *pen),
            Ink::Circle(c, r, pen) => Ink::Circle(*c + by, *r, *pen),
            Ink::Outline(l, pen) => Ink::Outline(l.translated(by), *pen),
            Ink::Fill(l) => Ink::Fill(l.translated(by)),
            Ink::Text(l) => Ink::Text(l.moved(by)),
            Ink::Window([a, b]) => Ink::Window([*a + by, *b + by]),
            Ink::EndWindow => Ink::EndWindow,
        }
    }
}

/// A sheet of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Width and height, mm.
    pub size: DVec2,
    /// What is on it.
    pub ink: Vec<Ink>,
}

/// Whether two boxes share area.
#[must_use]
pub fn meet(a: &[DVec2; 2], b: &[DVec2; 2]) -> bool {
    a[0].cmplt(b[1]).all() && b[0].cmplt(a[1]).all()
}

impl Sheet {
    /// An empty one.
    #[must_use]
    pub fn new(size: DVec2) -> Sheet {
        Sheet {
            size,
            ink: Vec::new(),
        }
    }

    /// A straight line.
    pub fn line(&mut self, a: DVec2, b: DVec2, pen: Pen) {
        self.ink.push(Ink::Line(a, b, pen));
    }

    /// An upright rectangle.
    pub fn frame(&mut self, low: DVec2, high: DVec2, pen: Pen) {
        self.ink.push(Ink::Outline(Loop::rect(low, high), pen));
    }

    /// A text.
    pub fn text(&mut self, label: Label) {
        self.ink.push(Ink::Text(label));
    }

    /// All texts.
    pub fn labels(&self) -> impl Iterator<Item = &Label> {
        self.ink.iter().filter_map(|i| match i {
            Ink::Text(l) => Some(l),
            _ => None,
        })
    }

    /// Its lines and its texts apart.
    #[must_use]
    pub fn parted(self) -> (Vec<Ink>, Vec<Label>) {
        let mut texts = Vec::new();
        let mut ink = self.ink;
        ink.retain(|i| match i {
            Ink::Text(l) => {
                texts.push(l.clone());
                false
            }
            _ => true,
        });
        (ink, texts)
    }

    /// Two texts that lie on each other, or one that runs off the paper; `None` when all can be read.
    #[must_use]
    pub fn unreadable(&self) -> Option<String> {
        let labels: Vec<(&Label, [DVec2; 2])> = self.labels().map(|l| (l, l.area())).collect();
        for (k, (a, box_a)) in labels.iter().enumerate() {
            if box_a[0].min_element() < 0.0 || box_a[1].cmpgt(self.size).any() {
                return Some(format!("`{}` runs off the paper", a.text));
            }
            for (b, box_b) in &labels[k + 1..] {
                if meet(box_a, box_b) {
                    return Some(format!("`{}` lies on `{}`", a.text, b.text));
                }
            }
        }
        None
    }
}

/// Places along a line as near as can be to the wanted ones (rising), at least `pitch` apart and between `low` and `high`; `None` if they
/// do not all go in.
#[must_use]
pub fn spread(wanted: &[f64], pitch: f64, low: f64, high: f64) -> Option<Vec<f64>> {
    if wanted.is_empty() {
        return Some(Vec::new());
    }
    if pitch * (wanted.len() - 1) as f64 > high - low {
        return None;
    }
    // runs of neighbours that stand shoulder to shoulder: first index, count, place of the first
    let mut runs: Vec<(usize, usize, f64)> = Vec::new();
    let last_start = |n: usize| high - pitch * (n - 1) as f64;
    for (k, w) in wanted.iter().enumerate() {
        let mut run = (k, 1, w.clamp(low, high));
        while let Some(&(first, n, at)) = runs.last() {
            if at + pitch * n as f64 <= run.2 + 1e-9 {
                break;
            }
            runs.pop();
            let count = n + run.1;
            // the mean of what each member would like the first to stand at
            let sum: f64 = (first..first + count)
                .map(|j| wanted[j] - pitch * (j - first) as f64)
                .sum();
            let start = (sum / count as f64).clamp(low, last_start(count));
            run = (first, count, start);
        }
        run.2 = run.2.min(last_start(run.1));
        runs.push(run);
    }
    let places: Vec<f64> = runs
        .iter()
        .flat_map(|(_, n, at)| (0..*n).map(move |j| at + pitch * j as f64))
        .collect();
    let apart = places.windows(2).all(|w| w[1] - w[0] > pitch - 1e-6);
    let inside = places
        .iter()
        .all(|p| (low - 1e-6..=high + 1e-6).contains(p));
    if apart && inside {
        return Some(places);
    }
    // hemmed in at the far end: pack from there
    let n = wanted.len();
    let mut packed: Vec<f64> = wanted.iter().map(|w| w.clamp(low, high)).collect();
    for k in 1..n {
        packed[k] = packed[k].max(packed[k - 1] + pitch);
    }
    let mut most = high;
    for p in packed.iter_mut().rev() {
        *p = p.min(most);
        most = *p - pitch;
    }
    Some(packed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn spread_places_stay_apart_inside_and_in_order(mut wanted in prop::collection::vec(0.0..200.0f64, 0..60)) {
            wanted.sort_by(f64::total_cmp);
            match spread(&wanted, 3.0, 0.0, 200.0) {
                Some(places) => {
                    prop_assert_eq!(places.len(), wanted.len());
                    for w in places.windows(2) {
                        prop_assert!(w[1] - w[0] > 3.0 - 1e-6, "{:?}", places);
                    }
                    for p in &places {
                        prop_assert!((-1e-6..200.0 + 1e-6).contains(p), "{:?}", places);
                    }
                }
                None => prop_assert!(wanted.len() > 67),
            }
        }
    }

    #[test]
    fn free_places_are_not_moved() {
        assert_eq!(
            spread(&[10.0, 20.0, 30.0], 3.0, 0.0, 100.0),
            Some(vec![10.0, 20.0, 30.0])
        );
        assert_eq!(
            spread(&[10.0, 10.0], 4.0, 0.0, 100.0),
            Some(vec![8.0, 12.0])
        );
    }

    #[test]
    fn overlapping_texts_are_seen() {
        let mut s = Sheet::new(DVec2::new(100.0, 100.0));
        s.text(Label::new(
            DVec2::new(10.0, 10.0),
            3.0,
            Anchor::Start,
            "one",
        ));
        assert_eq!(s.unreadable(), None);
        s.text(Label::new(
            DVec2::new(12.0, 11.0),
            3.0,
            Anchor::Start,
            "two",
        ));
        assert!(s.unreadable().is_some());
    }
}
