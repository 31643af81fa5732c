//! Finding room for letters.

use super::blank::Blank;
use super::letters::Letters;
use crate::outline::Region;
use glam::DVec2;

/// Clear plastic between letters and anything else, mm.
const CLEAR: f64 = 1.0;

/// The boxes of everything that letters keep off.
struct Room<'b> {
    blank: &'b Blank,
    boxes: Vec<[DVec2; 2]>,
}

impl<'b> Room<'b> {
    fn new(blank: &'b Blank) -> Room<'b> {
        let square = |at: DVec2, r: f64| [at - r, at + r];
        let mut boxes: Vec<[DVec2; 2]> = blank.cuts.iter().map(|c| c.bounds()).collect();
        boxes.extend(blank.bores.iter().map(|b| square(b.at, b.d / 2.0)));
        boxes.extend(blank.bushes.iter().map(|(at, r)| square(*at, *r)));
        boxes.extend(blank.keep_off.iter().copied());
        Room { blank, boxes }
    }

    fn free(&self, low: DVec2, size: DVec2) -> bool {
        let (l, h) = (low - CLEAR, low + size + CLEAR);
        if self
            .boxes
            .iter()
            .any(|b| l.cmplt(b[1]).all() && b[0].cmplt(h).all())
        {
            return false;
        }
        // corners and the middles of the sides; a plate's edge does not wind between them
        let m = (l + h) / 2.0;
        let points = [
            l,
            h,
            DVec2::new(l.x, h.y),
            DVec2::new(h.x, l.y),
            DVec2::new(m.x, l.y),
            DVec2::new(m.x, h.y),
            DVec2::new(l.x, m.y),
            DVec2::new(h.x, m.y),
        ];
        let holds = |r: &Region| points.iter().all(|p| r.outer.contains(*p));
        self.blank.plate.iter().any(holds)
    }
}

/// A jig with more guides than this may write each of them differently.
const ALIKE: usize = 8;

/// Writes beside every bore the fullest of its labels that finds room: all in one manner where that can be. Bores without any are
/// named in the notes.
pub(super) fn bores(blank: &mut Blank, letters: &mut Letters) {
    let count = blank.bores.len();
    let manners = blank
        .bores
        .iter()
        .map(|b| b.labels.len())
        .min()
        .unwrap_or(0);
    if count > 1 && count <= ALIKE {
        for manner in 0..manners {
            let mut tried = blank.clone();
            let all = (0..count).all(|k| {
                let text = tried.bores[k].labels[manner].clone();
                beside(&mut tried, letters, k, &text)
            });
            if all {
                *blank = tried;
                return;
            }
        }
    }
    let mut bare = Vec::new();
    for k in 0..count {
        let labels = blank.bores[k].labels.clone();
        if !labels.iter().any(|text| beside(blank, letters, k, text)) {
            bare.push(blank.bores[k].holes.first().cloned().unwrap_or_default());
        }
    }
    if !bare.is_empty() {
        blank
            .notes
            .push(format!("no room to write beside {}", bare.join(", ")));
    }
}

/// Writes a text beside a bore; whether it found room.
fn beside(blank: &mut Blank, letters: &mut Letters, k: usize, text: &str) -> bool {
    let (at, d) = (blank.bores[k].at, blank.bores[k].d);
    let r = (blank.bushes.iter())
        .filter(|(centre, _)| centre.distance(at) < 1e-9)
        .map(|b| b.1)
        .fold(d / 2.0, f64::max)
        + 1.3 * CLEAR;
    let size = letters.size(text);
    let half = size / 2.0;
    let ways = [
        DVec2::new(r, -half.y),
        DVec2::new(-r - size.x, -half.y),
        DVec2::new(-half.x, r),
        DVec2::new(-half.x, -r - size.y),
        DVec2::new(r, r - size.y),
        DVec2::new(r, -r),
        DVec2::new(-r - size.x, r - size.y),
        DVec2::new(-r - size.x, -r),
        DVec2::new(-r, r),
        DVec2::new(r - size.x, r),
        DVec2::new(-r, -r - size.y),
        DVec2::new(r - size.x, -r - size.y),
    ];
    let room = Room::new(blank);
    let free = ways.into_iter().find(|w| room.free(at + *w, size));
    match free {
        Some(way) => {
            blank.write(letters, text, at + way);
            true
        }
        None => false,
    }
}

/// Writes the first of the texts that finds room anywhere on the plate, from the top left downwards; upright, or else turned.
pub(super) fn title(blank: &mut Blank, letters: &mut Letters, texts: &[String]) {
    if texts.iter().any(|text| anywhere(blank, letters, text)) {
        return;
    }
    if let Some(full) = texts.first() {
        blank
            .notes
            .push(format!("no room to write `{}`", full.replace('\n', " ")));
    }
}

/// Writes a text wherever it finds room; whether it did.
pub(super) fn anywhere(blank: &mut Blank, letters: &mut Letters, text: &str) -> bool {
    let size = letters.size(text);
    if let Some(at) = free_box(blank, size) {
        blank.write(letters, text, at);
        return true;
    }
    if let Some(at) = free_box(blank, DVec2::new(size.y, size.x)) {
        blank.write_turned(letters, text, at);
        return true;
    }
    false
}

/// The low corner of a free box of that size.
fn free_box(blank: &Blank, size: DVec2) -> Option<DVec2> {
    const STEP: f64 = 1.5;
    let [low, high] = blank.bounds();
    let room = Room::new(blank);
    let rows = ((high.y - low.y - size.y) / STEP).floor();
    let columns = ((high.x - low.x - size.x) / STEP).floor();
    if rows < 0.0 || columns < 0.0 {
        return None;
    }
    let (rows, columns) = (rows as usize, columns as usize);
    (0..=rows)
        .flat_map(|i| (0..=columns).map(move |k| (i, k)))
        .map(|(i, k)| DVec2::new(low.x + k as f64 * STEP, high.y - size.y - i as f64 * STEP))
        .find(|at| room.free(*at, size))
}
