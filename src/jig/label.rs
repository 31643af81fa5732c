//! Finding room for letters.

use super::blank::{Blank, Bore, Pointer, arrow_loop};
use super::letters::Letters;
use crate::outline::{Loop, Region};
use glam::DVec2;

/// A loop with more corners than this is a drawn arc; its corners stand closer together than any text is high.
const FEW: usize = 12;

/// Clear plastic between letters and anything else, mm.
const CLEAR: f64 = 1.0;

/// The boxes of everything that letters keep off.
pub(super) struct Room<'b> {
    blank: &'b Blank,
    boxes: Vec<[DVec2; 2]>,
    /// Slots along a circle: their boxes would take the room within the circle too.
    round: Vec<&'b Loop>,
}

impl<'b> Room<'b> {
    pub fn new(blank: &'b Blank) -> Room<'b> {
        let square = |at: DVec2, r: f64| [at - r, at + r];
        let (round, straight): (Vec<&Loop>, Vec<&Loop>) =
            blank.cuts.iter().partition(|c| c.nodes.len() > FEW);
        let mut boxes: Vec<[DVec2; 2]> = straight.iter().map(|c| c.bounds()).collect();
        boxes.extend(blank.bores.iter().map(|b| square(b.at, b.d / 2.0)));
        boxes.extend(blank.bushes.iter().map(|(at, r)| square(*at, *r)));
        boxes.extend(blank.keep_off.iter().copied());
        Room {
            blank,
            boxes,
            round,
        }
    }

    /// Whether a box finds plastic with nothing else in it.
    pub fn free(&self, low: DVec2, size: DVec2) -> bool {
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
        let within = |p: &DVec2| p.cmpge(l).all() && p.cmple(h).all();
        let cuts_in = |opening: &Loop| opening.nodes.iter().any(|n| within(&n.at));
        if self.round.iter().any(|c| cuts_in(c) || c.contains(m)) {
            return false;
        }
        // a curved edge bulges in between the points
        let holds = |r: &Region| points.iter().all(|p| r.contains(*p)) && !r.loops().any(cuts_in);
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
        // the last resort leaves something out: not for all because of one
        for manner in 0..manners.saturating_sub(1).max(1).min(manners) {
            let mut tried = blank.clone();
            let all = (0..count).all(|k| {
                let text = tried.bores[k].labels[manner].clone();
                beside(&mut tried, letters, k, &text, true)
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
        // a guide without labels stands in the title
        // rather a short label that stands beside its own guide alone than a full one between two
        let written = [true, false]
            .iter()
            .any(|alone| (labels.iter()).any(|text| beside(blank, letters, k, text, *alone)));
        if !labels.is_empty() && !written {
            bare.push(blank.bores[k].holes.first().cloned().unwrap_or_default());
        }
    }
    if !bare.is_empty() {
        blank
            .notes
            .push(format!("no room to write beside {}", bare.join(", ")));
    }
}

/// Writes beside the level guides, on the outer face of their fence, upright as the jig is used.
pub(super) fn level(blank: &mut Blank, letters: &mut Letters) {
    if blank.cross.is_empty() {
        return;
    }
    let [low, high] = blank.bounds();
    let deepest = blank.below.iter().map(|b| b.1).fold(0.0, f64::max);
    let face = Loop::rect(DVec2::new(low.x, -deepest), DVec2::new(high.x, 0.0));
    let mut side = Blank {
        plate: vec![Region::solid(face)],
        thickness: blank.thickness,
        ..Blank::default()
    };
    for c in &blank.cross {
        side.bores.push(Bore {
            holes: c.holes.clone(),
            at: DVec2::new(c.x, c.z),
            drill: c.drill,
            d: c.d,
            finished: c.finished.clone(),
            labels: c.labels.clone(),
            ..Bore::default()
        });
    }
    bores(&mut side, letters);
    blank.side = side.marks;
    blank.texts.append(&mut side.texts);
    blank.notes.append(&mut side.notes);
}

/// Length of an arrow, mm.
const ARROW: f64 = 8.0;

/// Sinks the arrows that still look for room, each as far its own way as it can stand, with its words beside it.
pub(super) fn pointers(blank: &mut Blank, letters: &mut Letters, stroke: f64) {
    for pointer in std::mem::take(&mut blank.pointers) {
        let said =
            (pointer.words.iter()).any(|words| point(blank, letters, stroke, &pointer, words));
        if !said && !point(blank, letters, stroke, &pointer, "") {
            let words = pointer.words.first().map_or("", String::as_str);
            blank.notes.push(format!("no room for the arrow `{words}`"));
        }
    }
}

/// Sinks an arrow with a word on one of its four sides; whether both found room.
fn point(
    blank: &mut Blank,
    letters: &mut Letters,
    stroke: f64,
    pointer: &Pointer,
    word: &str,
) -> bool {
    const STEP: f64 = 2.0;
    let ends = [-0.5, 0.5].map(|s| pointer.way * (s * ARROW));
    let Some(arrow) = arrow_loop(ends[0], ends[1], stroke) else {
        return false;
    };
    let around = arrow.bounds();
    let text = if word.is_empty() {
        DVec2::ZERO
    } else {
        letters.size(word)
    };
    let gap = 2.0 * stroke;
    // where the text's low corner stands, seen from the arrow's middle
    let sides = [
        DVec2::new(around[1].x + gap, -text.y / 2.0),
        DVec2::new(around[0].x - gap - text.x, -text.y / 2.0),
        DVec2::new(-text.x / 2.0, around[1].y + gap),
        DVec2::new(-text.x / 2.0, around[0].y - gap - text.y),
    ];
    let [low, high] = blank.bounds();
    let middle = (low + high) / 2.0;
    let room = Room::new(blank);
    let [columns, rows] = ((high - low) / STEP).floor().to_array().map(|n| n as usize);
    let mut best: Option<(f64, DVec2, DVec2)> = None;
    for side in &sides[..if word.is_empty() { 1 } else { 4 }] {
        let (a, b) = if word.is_empty() {
            (around[0], around[1])
        } else {
            (around[0].min(*side), around[1].max(*side + text))
        };
        for (i, k) in (0..=rows).flat_map(|i| (0..=columns).map(move |k| (i, k))) {
            let at = low + DVec2::new(k as f64, i as f64) * STEP;
            let far = (at - middle).dot(pointer.way);
            let better = best.is_none_or(|(least, ..)| far > least + 1e-9);
            if better && room.free(at + a, b - a) {
                best = Some((far, at, at + *side));
            }
        }
    }
    let Some((_, at, beside)) = best else {
        return false;
    };
    blank.arrow(at + ends[0], at + ends[1], stroke);
    if !word.is_empty() {
        blank.write(letters, word, beside);
    }
    true
}

/// How far a box is from a bore's edge, mm.
fn gap(bore: &Bore, low: DVec2, size: DVec2) -> f64 {
    bore.at.clamp(low, low + size).distance(bore.at) - bore.d / 2.0
}

/// Writes a text beside a bore, `alone` only where no other bore is about as near; whether it found room.
fn beside(blank: &mut Blank, letters: &mut Letters, k: usize, text: &str, alone: bool) -> bool {
    let bore = &blank.bores[k];
    let (at, d) = (bore.at, bore.d);
    let near = (blank.bushes.iter())
        .filter(|(centre, _)| centre.distance(at) < 1e-9)
        .map(|b| b.1)
        .fold(d / 2.0, f64::max);
    // or beyond the edge of the finished hole
    let finished = bore.finished.iter().copied().fold(0.0, f64::max) / 2.0;
    let size = letters.size(text);
    let radii = [near, finished].into_iter().filter(|r| *r >= near);
    let mut ways = radii.flat_map(|r| around(r + 1.3 * CLEAR, size));
    let room = Room::new(blank);
    let others = |low: DVec2| {
        let others = (blank.bores.iter()).filter(|b| b.at.distance(at) > 1e-9);
        others
            .map(|b| gap(b, low, size))
            .fold(f64::INFINITY, f64::min)
    };
    let own = |low: DVec2| gap(&blank.bores[k], low, size) + 0.3 * letters.size("A").y;
    let clear = |low: DVec2| !alone || others(low) > own(low);
    match ways.find(|w| clear(at + *w) && room.free(at + *w, size)) {
        Some(way) => {
            blank.write(letters, text, at + way);
            true
        }
        None => false,
    }
}

/// Low corners of a box that stands off a centre by `r`.
fn around(r: f64, size: DVec2) -> [DVec2; 12] {
    let half = size / 2.0;
    [
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
    ]
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

/// Writes a text wherever it finds room, apart from other letters where it can; whether it did.
pub(super) fn anywhere(blank: &mut Blank, letters: &mut Letters, text: &str) -> bool {
    let size = letters.size(text);
    let turned = DVec2::new(size.y, size.x);
    for air in [letters.size("A").y / 2.0, 0.0] {
        if let Some(at) = free_box(blank, size, air) {
            blank.write(letters, text, at);
            return true;
        }
        if let Some(at) = free_box(blank, turned, air) {
            blank.write_turned(letters, text, at);
            return true;
        }
    }
    false
}

/// The low corner of a free box of that size, with air to whatever letters keep off.
fn free_box(blank: &Blank, size: DVec2, air: f64) -> Option<DVec2> {
    const STEP: f64 = 1.5;
    let [low, high] = blank.bounds();
    let apart = |at: DVec2| {
        let (l, h) = (at - air, at + size + air);
        !(blank.keep_off.iter()).any(|b| l.cmplt(b[1]).all() && b[0].cmplt(h).all())
    };
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
        .find(|at| apart(*at) && room.free(*at, size))
}
