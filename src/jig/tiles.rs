//! Jigs larger than the bed: tiles that butt at straight lines and are joined by dovetail keys.
//!
//! Tiles touch at the lines, which sets their distance; the keys have play and only hold them together. Lines keep off bores,
//! windows and keys.

use super::blank::Blank;
use crate::design::PrintSpec;
use crate::outline::{Loop, OutlineError, Region, difference, intersection, union};
use glam::DVec2;

/// A key: half width at its neck and at its head, and length, mm.
const NECK: f64 = 4.0;
const HEAD: f64 = 6.0;
const LENGTH: f64 = 7.0;
/// Clear plastic between a line or key and any bore, mm.
const CLEAR: f64 = 2.5;
/// Most tiles along one side.
const MOST: usize = 12;
/// Lines are looked for at this spacing, mm.
const STEP: f64 = 0.5;

/// A jig in tiles.
pub(super) struct Tiles {
    /// Row and column, counted from the low corner, and the tile.
    pub tiles: Vec<(usize, usize, Blank)>,
    /// What the play round the keys takes, mm3.
    pub play: f64,
    /// Lines across x and across y.
    pub lines: [usize; 2],
    /// Lines along which no key found room.
    pub unkeyed: usize,
}

/// A key on a line: where it springs from, and its direction.
#[derive(Clone, Copy)]
struct Key {
    at: DVec2,
    along: DVec2,
}

impl Key {
    /// Its outline, grown by `play` on every side that faces the socket.
    fn outline(&self, play: f64) -> Loop {
        let slope = (HEAD - NECK) / LENGTH;
        let wide = play * (1.0 + slope * slope).sqrt();
        let (near, end) = (NECK + wide, LENGTH + play);
        let head = NECK + slope * end + wide;
        let side = self.along.perp();
        let tip = self.at + self.along * end;
        Loop::polygon(&[
            self.at - side * near,
            tip - side * head,
            tip + side * head,
            self.at + side * near,
        ])
    }
}

/// Cuts a blank so that every tile fits; the words of the error say what stands in the way.
pub(super) fn split(blank: &Blank, print: &PrintSpec, scale: f64) -> Result<Tiles, String> {
    if blank.height() * scale > print.bed[2] {
        return Err("it is higher than the printer reaches".into());
    }
    let [w, d] = print.room().map(|r| r / scale);
    let both = [[w, d], [d, w]].map(|room| {
        let x = lines(blank, 0, room[0], &[])?;
        let y = lines(blank, 1, room[1], &x)?;
        Ok::<_, String>((x, y))
    });
    let best = match both {
        [Ok(a), Ok(b)] => {
            if (b.0.len() + 1) * (b.1.len() + 1) < (a.0.len() + 1) * (a.1.len() + 1) {
                b
            } else {
                a
            }
        }
        [Ok(a), Err(_)] | [Err(_), Ok(a)] => a,
        [Err(why), Err(_)] => return Err(why),
    };
    cut(blank, print, &best.0, &best.1).map_err(|e| e.to_string())
}

/// Where lines across an axis stand: the fewest that make tiles of at most `room` with their keys, each as far from everything as it
/// can be. `crossing` are the lines already set across the other axis.
fn lines(blank: &Blank, axis: usize, room: f64, crossing: &[f64]) -> Result<Vec<f64>, String> {
    let [low, high] = blank.bounds().map(|p| p[axis]);
    let size = high - low;
    if size <= room {
        return Ok(Vec::new());
    }
    let most = room - LENGTH;
    let first = (size / most).ceil() as usize;
    for n in first..=MOST.max(first) {
        if n > MOST {
            break;
        }
        if let Some(found) = set(blank, axis, n, most, crossing) {
            return Ok(found);
        }
    }
    Err(format!(
        "no line across {} keeps {CLEAR} mm off all guides with tiles of {room:.0} mm",
        ["its length", "its depth"][axis]
    ))
}

fn set(blank: &Blank, axis: usize, n: usize, most: f64, crossing: &[f64]) -> Option<Vec<f64>> {
    let [low, high] = blank.bounds().map(|p| p[axis]);
    let mut out: Vec<f64> = Vec::new();
    for k in 1..n {
        let before = out.last().copied().unwrap_or(low);
        // what is left must fit into the tiles that are left
        let from = (high - (n - k) as f64 * most).max(before + 3.0 * LENGTH);
        let to = (before + most).min(high - 3.0 * LENGTH);
        let ideal = before + (high - before) / (n - k + 1) as f64;
        let steps = ((to - from) / STEP).floor();
        if steps < 0.0 {
            return None;
        }
        let best = (0..=steps as usize)
            .map(|i| from + i as f64 * STEP)
            .filter_map(|c| {
                let clear = clearance(blank, axis, c);
                let keyed = !keys(blank, axis, c, crossing).is_empty();
                (clear >= CLEAR && keyed).then(|| (c, clear.min(8.0) - 0.05 * (c - ideal).abs()))
            })
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.total_cmp(&a.0)))?;
        out.push(best.0);
    }
    Some(out)
}

/// Distance of a line from the nearest bore, window or notch.
fn clearance(blank: &Blank, axis: usize, c: f64) -> f64 {
    let bores = blank
        .bores
        .iter()
        .map(|b| (b.at[axis] - c).abs() - b.d / 2.0);
    let cuts = blank
        .cuts
        .iter()
        .chain(blank.marks.iter().map(|m| &m.outer));
    let boxes = cuts.map(|l| {
        let [low, high] = l.bounds();
        (low[axis] - c).max(c - high[axis])
    });
    let cross = blank.cross.iter().map(|b| {
        if axis == 0 {
            (b.x - c).abs() - b.d / 2.0
        } else {
            f64::INFINITY
        }
    });
    bores
        .chain(boxes)
        .chain(cross)
        .fold(f64::INFINITY, f64::min)
}

/// Keys along a line: near a quarter and three quarters of every stretch between crossing lines, where nothing is in the way.
fn keys(blank: &Blank, axis: usize, c: f64, crossing: &[f64]) -> Vec<Key> {
    let other = 1 - axis;
    let [low, high] = blank.bounds().map(|p| p[other]);
    let mut ends = vec![low];
    ends.extend(crossing);
    ends.push(high);
    let along = [DVec2::X, DVec2::Y][axis];
    let free = |t: f64| {
        let mut at = DVec2::ZERO;
        at[axis] = c;
        at[other] = t;
        let key = Key { at, along };
        let [a, b] = key.outline(CLEAR + 1.0).bounds();
        let touches = |l: [DVec2; 2]| a.cmple(l[1]).all() && l[0].cmple(b).all();
        let clear = !(blank.bores.iter()).any(|b| touches([b.at - b.d / 2.0, b.at + b.d / 2.0]))
            && !blank.cuts.iter().any(|l| touches(l.bounds()))
            && !blank.marks.iter().any(|m| touches(m.bounds()))
            && !blank.below.iter().any(|b| touches(b.0.bounds()));
        clear.then_some(key)
    };
    let mut out = Vec::new();
    for stretch in ends.windows(2) {
        let length = stretch[1] - stretch[0];
        // the keys of a crossing line reach as far as this
        let reach = HEAD + LENGTH + CLEAR;
        let within = |t: &f64| (stretch[0] + reach..=stretch[1] - reach).contains(t);
        let shares: &[f64] = if length > 70.0 { &[0.25, 0.75] } else { &[0.5] };
        let before = out.len();
        for share in shares {
            let wanted = stretch[0] + share * length;
            let room = if shares.len() == 2 {
                length * 0.24
            } else {
                length / 2.0
            };
            let steps = (room / 1.0).max(0.0) as usize;
            let tries = (0..=steps).flat_map(|i| [i as f64, -(i as f64)]);
            if let Some(key) = tries.map(|d| wanted + d).filter(within).find_map(free) {
                out.push(key);
            }
        }
        // a stretch without a key would leave two tiles loose
        if out.len() == before && length > 2.0 * reach {
            return Vec::new();
        }
    }
    out
}

fn cut(blank: &Blank, print: &PrintSpec, xs: &[f64], ys: &[f64]) -> Result<Tiles, OutlineError> {
    let [low, high] = blank.bounds();
    // keys across y keep off the lines across x, and the other way round
    let across = |axis: usize, lines: &[f64], crossing: &[f64]| -> Vec<Vec<Key>> {
        lines
            .iter()
            .map(|c| keys(blank, axis, *c, crossing))
            .collect()
    };
    let mut by_line = across(0, xs, ys);
    by_line.extend(across(1, ys, xs));
    let unkeyed = by_line.iter().filter(|k| k.is_empty()).count();
    let all: Vec<Key> = by_line.into_iter().flatten().collect();
    // beyond the blank, so that no cell ends at its edge
    let stops = |from: f64, lines: &[f64], to: f64| -> Vec<f64> {
        let mut s = vec![from - 20.0];
        s.extend(lines);
        s.push(to + 20.0);
        s
    };
    let (sx, sy) = (stops(low.x, xs, high.x), stops(low.y, ys, high.y));
    let mut tiles = Vec::new();
    for row in 0..sy.len() - 1 {
        for column in 0..sx.len() - 1 {
            let a = DVec2::new(sx[column], sy[row]);
            let b = DVec2::new(sx[column + 1], sy[row + 1]);
            let plain = [Region::solid(Loop::rect(a, b))];
            let mut cell = plain.to_vec();
            let mut keep_off = Vec::new();
            let inside = |p: DVec2| p.cmpge(a).all() && p.cmple(b).all();
            for key in &all {
                // a point just before its neck lies in its own tile, its middle in the neighbour
                let own = inside(key.at - key.along);
                let neighbour = inside(key.at + key.along * LENGTH / 2.0);
                if own {
                    cell = union(&cell, &[Region::solid(key.outline(0.0))])?;
                }
                if neighbour {
                    let socket = key.outline(print.joint_play);
                    cell = difference(&cell, &[Region::solid(socket)])?;
                }
                if own || neighbour {
                    keep_off.push(key.outline(print.joint_play + 1.0).bounds());
                }
            }
            let plate = intersection(&blank.plate, &cell)?;
            let mut below = Vec::new();
            for (region, depth) in &blank.below {
                for r in intersection(std::slice::from_ref(region), &plain)? {
                    below.push((r, *depth));
                }
            }
            let mid = |l: &Loop| {
                let [p, q] = l.bounds();
                inside((p + q) / 2.0)
            };
            tiles.push((
                row,
                column,
                Blank {
                    plate,
                    thickness: blank.thickness,
                    below,
                    bushes: (blank.bushes.iter().copied())
                        .filter(|x| inside(x.0))
                        .collect(),
                    bush_top: blank.bush_top,
                    bores: (blank.bores.iter().filter(|x| inside(x.at)).cloned()).collect(),
                    cross: (blank.cross.iter())
                        .filter(|x| inside(DVec2::new(x.x, x.from)))
                        .cloned()
                        .collect(),
                    cuts: blank.cuts.iter().filter(|l| mid(l)).cloned().collect(),
                    marks: (blank.marks.iter().filter(|m| mid(&m.outer)).cloned()).collect(),
                    side: Vec::new(),
                    // every tile shows where the datum corner lies
                    pointers: blank.pointers.clone(),
                    sunk: blank.sunk,
                    texts: Vec::new(),
                    title_strip: false,
                    keep_off: blank.keep_off.iter().copied().chain(keep_off).collect(),
                    notes: Vec::new(),
                },
            ));
        }
    }
    let play: f64 = all
        .iter()
        .map(|k| k.outline(print.joint_play).area() - k.outline(0.0).area())
        .sum();
    Ok(Tiles {
        tiles,
        play: play * blank.thickness,
        lines: [xs.len(), ys.len()],
        unkeyed,
    })
}
