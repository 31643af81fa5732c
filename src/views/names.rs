//! Which parts are named in a view, where their leaders point, and what is said of them.

use super::raster::{CELL, NOTHING, Seen};
use super::scene::Item;
use crate::assembly::{Assembly, Kind, Part};
use crate::design::Design;
use std::collections::{BTreeMap, BTreeSet};

/// Cells that a part must show to be named: a spot of 7 x 7 pixels.
const LEAST_CELLS: u32 = 12;

/// Most names in a picture; a builder's design has fewer, and more could not be placed.
const MOST: usize = 64;

/// A name with the spot it points at, in pixels.
pub(super) struct Name {
    pub id: String,
    pub detail: String,
    pub anchor: [f32; 2],
}

/// The id a part is named by, if it is one of the main ones.
fn called(part: &Part) -> Option<&str> {
    match part.kind {
        Kind::Screw
        | Kind::Nut
        | Kind::Washer
        | Kind::Covering
        | Kind::Cleat
        | Kind::Foot
        | Kind::StandOff
        | Kind::Clamp
        | Kind::Hardware
        | Kind::Bracket => None,
        Kind::Socket => Some(&part.id),
        _ => Some(&part.owner),
    }
}

/// A few words on every item that can be named.
pub(super) fn details(design: &Design) -> BTreeMap<String, String> {
    let mut out = BTreeMap::new();
    for f in &design.flats {
        out.insert(
            f.id.clone(),
            format!("{} mm {}", trimmed(f.thickness), f.material),
        );
    }
    for a in &design.angles {
        out.insert(
            a.id.clone(),
            format!(
                "{} \u{d7} {} mm angle",
                trimmed(a.leg),
                trimmed(a.thickness)
            ),
        );
    }
    for t in &design.tubes {
        out.insert(t.id.clone(), t.type_id.clone());
        out.insert(format!("{}-socket", t.id), t.type_id.clone());
    }
    for s in &design.irons {
        let word = s.role.word();
        out.insert(
            s.id.clone(),
            if word == "choke" {
                word.into()
            } else {
                format!("{word} transformer")
            },
        );
    }
    for c in &design.cans {
        out.insert(
            c.id.clone(),
            format!(
                "can {} \u{d7} {} mm",
                trimmed(c.diameter),
                trimmed(c.height)
            ),
        );
    }
    for b in &design.boards {
        out.insert(
            b.id.clone(),
            format!(
                "board {} \u{d7} {} mm",
                trimmed(b.size.x),
                trimmed(b.size.y)
            ),
        );
    }
    for c in &design.controls {
        let kind = c.kind.word();
        out.insert(
            c.id.clone(),
            c.legend
                .as_ref()
                .map_or_else(|| kind.to_owned(), |l| format!("{kind}: {l}")),
        );
    }
    for t in &design.tanks {
        out.insert(t.id.clone(), "reverb tank".into());
    }
    if let Some(s) = &design.speaker {
        out.insert(
            "speaker".into(),
            match &s.oval {
                Some(o) => format!(
                    "{} \u{d7} {} mm oval",
                    trimmed(o.frame.x),
                    trimmed(o.frame.y)
                ),
                None => format!(
                    "\u{2300} {} \u{d7} {} mm",
                    trimmed(s.frame),
                    trimmed(s.depth)
                ),
            },
        );
    }
    out
}

/// mm to 0.1, without a zero after the point.
fn trimmed(mm: f64) -> String {
    let text = format!("{mm:.1}");
    text.strip_suffix(".0")
        .map_or_else(|| text.clone(), str::to_owned)
}

/// The names of what is seen, the most of it first.
pub(super) fn names(
    assembly: &Assembly,
    items: &[Item],
    seen: &Seen,
    details: &BTreeMap<String, String>,
) -> Vec<Name> {
    // seen cells of each item: how many, and the sums of their places
    let mut solid = vec![(0_u32, [0_u64; 2]); items.len()];
    let mut ghost = solid.clone();
    for (list, map) in [(&mut solid, &seen.solid), (&mut ghost, &seen.ghost)] {
        for (at, &item) in map.iter().enumerate().filter(|&(_, &item)| item != NOTHING) {
            let (count, sums) = &mut list[item as usize];
            *count += 1;
            sums[0] += (at % seen.columns) as u64;
            sums[1] += (at / seen.columns) as u64;
        }
    }
    // of every name the item that shows most
    let mut best: BTreeMap<&str, (u32, usize)> = BTreeMap::new();
    for (i, item) in items.iter().enumerate() {
        let count = if item.ghost { ghost[i].0 } else { solid[i].0 };
        let Some(name) = called(&assembly.parts[item.part]) else {
            continue;
        };
        let slot = best.entry(name).or_insert((0, i));
        if count > slot.0 {
            *slot = (count, i);
        }
    }
    // a socket is named only where its tube is not
    let tubes: BTreeSet<String> = best
        .iter()
        .filter(|(_, b)| b.0 >= LEAST_CELLS)
        .map(|(n, _)| format!("{n}-socket"))
        .collect();
    let mut chosen: Vec<(&str, u32, usize)> = best
        .into_iter()
        .map(|(name, (cells, i))| (name, cells, i))
        .filter(|&(name, cells, _)| cells >= LEAST_CELLS && !tubes.contains(name))
        .collect();
    chosen.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(b.0)));
    chosen.truncate(MOST);
    let mut out: Vec<Name> = Vec::new();
    for (name, _, i) in chosen {
        let (count, sums) = if items[i].ghost { ghost[i] } else { solid[i] };
        let middle = sums.map(|s| s as f32 / count as f32);
        let map = if items[i].ghost {
            &seen.ghost
        } else {
            &seen.solid
        };
        // a see-through part is pointed at where nothing solid shows through it, a solid one well inside its outline
        let clear =
            |at: usize| map[at] == i as u32 && (!items[i].ghost || seen.solid[at] == NOTHING);
        let inside = if items[i].ghost { 12 } else { 4 };
        if let Some(anchor) = spot(map, seen.columns, i as u32, middle, inside, clear) {
            let detail = details.get(name).cloned().unwrap_or_default();
            out.push(Name {
                id: name.into(),
                detail,
                anchor,
            });
        }
    }
    out
}

/// The spot of an item, in pixels, that is near its middle and has clear cells `inside` cells around it.
fn spot(
    map: &[u32],
    columns: usize,
    item: u32,
    middle: [f32; 2],
    inside: usize,
    clear: impl Fn(usize) -> bool,
) -> Option<[f32; 2]> {
    let rows = map.len() / columns.max(1);
    let is_clear = |x: usize, y: usize| x < columns && y < rows && clear(y * columns + x);
    let mut best: Option<(f32, [usize; 2])> = None;
    for (at, _) in map.iter().enumerate().filter(|&(_, &i)| i == item) {
        let (x, y) = (at % columns, at / columns);
        let around = [
            (x + inside, y),
            (x.wrapping_sub(inside), y),
            (x, y + inside),
            (x, y.wrapping_sub(inside)),
        ];
        let outside = around.iter().filter(|&&(x, y)| !is_clear(x, y)).count() as f32;
        let (dx, dy) = (x as f32 - middle[0], y as f32 - middle[1]);
        let mut cost = (dx * dx + dy * dy).sqrt() + outside * 3.0 * inside as f32;
        if !clear(at) {
            cost += 150.0;
        }
        if best.is_none_or(|b| cost < b.0) {
            best = Some((cost, [x, y]));
        }
    }
    best.map(|(_, at)| at.map(|v| (v * CELL) as f32 + CELL as f32 / 2.0))
}
