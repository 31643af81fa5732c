//! Small holes round a large one: a socket's screws, a can's clamp. A bung centres the jig in the finished large hole.

use super::blank::{Blank, Bore, Pointer, bore_loop, peg_loop};
use super::guide::{self, Guide};
use super::sheet::Sheet;
use super::view::View;
use super::{Bench, Draft, Place};
use crate::assembly::Kind;
use crate::catalogue;
use crate::design::{Flat, FlatHole, HoleShape};
use crate::outline::Region;
use crate::pose::Pose;
use crate::units;
use glam::{DVec2, DVec3};

/// A smaller hole leaves no bung to hold.
const LEAST_HOLE: f64 = 12.0;
/// The bolt that clamps the jig through its bung: M5.
const CLAMP: f64 = 5.4;
/// Places nearer than this are one, mm.
const SAME: f64 = 1e-4;

/// One large hole with its small ones, in the frame of its face.
struct Found {
    of: String,
    part: String,
    face: String,
    /// Radius of the large hole.
    r: f64,
    thickness: f64,
    /// From the datum corner.
    at: DVec2,
    /// Frame of use to amp: the centre, x towards the first small hole.
    to_amp: Pose,
    /// Direction of the first small hole, degrees from the x axis of the face's frame.
    turn: f64,
    /// The way to the part's datum corner, in the frame of use.
    datum: DVec2,
    /// Where a tube's socket wants its gap or key, counted like `turn`, and which of the two it has.
    key: Option<(f64, &'static str)>,
    /// Small holes in the frame of use.
    small: Vec<(String, DVec2, Guide, String)>,
}

pub(super) fn drafts(bench: &Bench<'_>, unmade: &mut Vec<String>) -> Vec<Draft> {
    let mut found: Vec<Found> = Vec::new();
    for flat in &bench.design.flats {
        if matches!(flat.kind, Kind::Plate | Kind::Panel) {
            found.extend(groups(bench, flat));
        }
    }
    // equal patterns share one jig
    let mut kinds: Vec<Vec<Found>> = Vec::new();
    for f in found {
        match kinds.iter_mut().find(|k| alike(&k[0], &f)) {
            Some(k) => k.push(f),
            None => kinds.push(vec![f]),
        }
    }
    let drafts = kinds.iter().map(|kind| draft(bench, kind)).collect();
    guide::with_guides(drafts, unmade)
}

/// Whether one jig serves both, and lies at both in one way: so that it has one face to lie on, one arrow, and the key on one side.
fn alike(a: &Found, b: &Found) -> bool {
    let key = |f: &Found| {
        let (angle, mark) = f.key?;
        Some((DVec2::from_angle((angle - f.turn).to_radians()), mark))
    };
    let same_key = match (key(a), key(b)) {
        (Some(p), Some(q)) => p.0.distance(q.0) < 1e-3 && p.1 == q.1,
        (p, q) => p.is_none() && q.is_none(),
    };
    a.part == b.part
        && a.datum.distance(b.datum) < 1e-6
        && same_key
        && (a.r - b.r).abs() < SAME
        && (a.thickness - b.thickness).abs() < SAME
        && a.small.len() == b.small.len()
        && a.small
            .iter()
            .zip(&b.small)
            .all(|(p, q)| p.1.distance(q.1) < SAME && p.2 == q.2)
}

/// Every owner's large round hole that has small holes of the same owner round it.
fn groups(bench: &Bench<'_>, flat: &Flat) -> Vec<Found> {
    let view = View::new(bench.design, flat);
    let mut owners: Vec<&str> = flat.holes.iter().map(|h| h.owner.as_str()).collect();
    owners.sort_unstable();
    owners.dedup();
    let order = |o: &&str| flat.holes.iter().position(|h| h.owner == **o);
    owners.sort_by_key(order);
    let mut out = Vec::new();
    for owner in owners {
        let holes: Vec<&FlatHole> = flat.holes.iter().filter(|h| h.owner == owner).collect();
        let size = |h: &FlatHole| match h.shape {
            HoleShape::Round { d } => Some(d),
            _ => None,
        };
        let Some(large) = holes
            .iter()
            .filter(|h| size(h).is_some_and(|d| d >= LEAST_HOLE))
            .max_by(|a, b| size(a).unwrap_or(0.0).total_cmp(&size(b).unwrap_or(0.0)))
        else {
            continue;
        };
        let r = size(large).unwrap_or(0.0) / 2.0;
        let centre = view.see(large.at);
        let mut small: Vec<(&FlatHole, DVec2, Guide)> = Vec::new();
        for h in &holes {
            let at = view.see(h.at) - centre;
            let round = size(h).is_some_and(|d| d < LEAST_HOLE);
            // a hole of the same item far away, an iron's grommet for example, is not round this one
            if !round || at.length() <= r || at.length() > r + 40.0 {
                continue;
            }
            let row = guide::row_of(bench, &flat.id, &h.id);
            if let Some(g) = row.and_then(|r| guide::of_row(bench.print, r)) {
                small.push((*h, at, g));
            }
        }
        let Some(first) = small.first().map(|s| s.1) else {
            continue;
        };
        let turn = first.to_angle();
        let back = DVec2::from_angle(-turn);
        let frame = Pose::from_axes(
            DVec2::from_angle(turn).extend(0.0),
            DVec2::from_angle(turn).perp().extend(0.0),
            centre.extend(0.0),
        );
        out.push(Found {
            of: owner.to_owned(),
            part: flat.id.clone(),
            face: bench.face(flat),
            r,
            thickness: view.thickness,
            at: centre * view.way,
            to_amp: view.to_amp.then(&frame),
            turn: turn.to_degrees(),
            datum: back.rotate(-view.way.normalize()),
            key: key_of(bench, owner, &view),
            small: small
                .into_iter()
                .map(|(h, at, g)| {
                    let word = h.id.strip_prefix(owner).unwrap_or(&h.id);
                    let word = word.trim_start_matches('-').replace("socket-", "");
                    (h.id.clone(), back.rotate(at), g, word)
                })
                .collect(),
        });
    }
    out
}

/// Direction of the gap or key of a tube's socket on the marked face, degrees.
fn key_of(bench: &Bench<'_>, owner: &str, view: &View) -> Option<(f64, &'static str)> {
    let t = bench.design.tubes.iter().find(|t| t.id == owner)?;
    let base = catalogue::find::<catalogue::BaseRow>(&t.socket.base)?;
    let way = view.to_amp.inverse().dir(t.pose.dir(DVec3::Y)).truncate();
    let mark = if base.mark == "key" { "key" } else { "gap" };
    Some((way.to_angle().to_degrees(), mark))
}

/// Sinks an arrow towards the gap or key, where no guide is in its way; whether it did.
fn key_arrow(blank: &mut Blank, f: &Found, stroke: f64) -> bool {
    let Some((angle, _)) = f.key else {
        return false;
    };
    let way = DVec2::from_angle((angle - f.turn).to_radians());
    let from = CLAMP / 2.0 + 1.5;
    let (from, to) = (way * from, way * (from + 6.0));
    let free = |b: &Bore| {
        let near = from + (b.at - from).project_onto(way).clamp_length_max(6.0);
        b.at.distance(near) > b.d / 2.0 + 2.6 * stroke + 1.0
    };
    let sunk = blank.bores.iter().all(free);
    if sunk {
        blank.arrow(from, to, stroke);
    }
    sunk
}

fn draft(bench: &Bench<'_>, kind: &[Found]) -> Draft {
    let print = bench.print;
    let f = &kind[0];
    let names: Vec<&str> = kind.iter().map(|k| k.of.as_str()).collect();
    let edge = f
        .small
        .iter()
        .map(|s| s.2.d / 2.0 + 6.0)
        .fold(9.0, f64::max);
    let reach = f
        .small
        .iter()
        .fold(DVec2::splat(f.r * 0.6), |m, s| m.max(s.1.abs()));
    let half = DVec2::new(
        (reach.x + edge).max(f.r + 4.0),
        (reach.y + edge).max(f.r + 4.0).max(3.2 * print.letter),
    );
    let kind_word = if bench.design.tubes.iter().any(|t| t.id == f.of) {
        "socket"
    } else {
        "ring"
    };
    let title = format!("{kind_word} {}", shortened(&names));
    let mut sheet = Sheet::new(bench, &title, &f.face, half, 5.5);
    sheet.notches(|_| true);
    let mut blank = sheet.blank;
    let down = guide::hang(print, f.thickness);
    let bung = f.r - print.bung_play / 2.0;
    let clamp = bung > CLAMP / 2.0 + 3.0;
    // the bung's last half millimetre is smaller, to find its way in
    let lead = 0.5_f64.min(down / 3.0);
    blank.below = vec![
        (Region::solid(peg_loop(DVec2::ZERO, bung)), down - lead),
        (Region::solid(peg_loop(DVec2::ZERO, bung - 0.4)), down),
    ];
    if clamp {
        blank.cuts.push(bore_loop(DVec2::ZERO, CLAMP));
    }
    for (k, (_, at, g, word)) in f.small.iter().enumerate() {
        let size = guide::size(g.finished);
        let bore = Bore {
            holes: kind.iter().map(|one| one.small[k].0.clone()).collect(),
            at: *at,
            drill: g.drill,
            d: g.d,
            finished: vec![g.finished; kind.len()],
            labels: vec![
                format!("{word}\n{size}"),
                format!("{}\n{size}", k + 1),
                format!("{} {size}", k + 1),
                size,
            ],
            ..Bore::default()
        };
        guide::add(&mut blank, print, g, bore);
    }
    guide::lengthen(&mut blank, print);
    let marked = key_arrow(&mut blank, f, print.stroke);
    blank.pointers = vec![Pointer::datum(f.datum)];
    Draft {
        name: format!("{kind_word}-{}", f.of),
        title,
        face: f.face.clone(),
        blank,
        places: kind
            .iter()
            .map(|k| Place::new(&k.of, &k.part, k.to_amp))
            .collect(),
        steps: steps(bench, kind, clamp, marked),
        as_drawn: false,
    }
}

fn steps(bench: &Bench<'_>, kind: &[Found], clamp: bool, marked: bool) -> Vec<String> {
    let f = &kind[0];
    let (face, datum) = (&f.face, bench.datum(&f.part));
    let places = guide::places(kind.iter().map(|k| (k.of.as_str(), k.at)));
    // a jig's notches stand on the line through its first small hole, and square to it
    let off = f.turn.rem_euclid(90.0);
    let square = off.min(90.0 - off) < 0.05;
    let mut scribed = format!(
        "Before the large hole is cut, scribe both its centre lines on the {face} from the datum corner, {datum}, long enough to show beyond the jig: {places}.",
    );
    if !square {
        scribed += &format!(
            " Through the crossing scribe two more for the notches: one at {} degrees, counter-clockwise from straight right on the drawing of that face, and one square to it.",
            guide::degrees(f.turn.rem_euclid(180.0))
        );
    }
    let turns: Vec<String> = kind
        .iter()
        .map(|k| format!("{} {} deg", k.of, guide::degrees(k.turn)))
        .collect();
    let mut turned = format!(
        "Push the bung in from the {face} and turn the jig until its notches stand on {} and its arrow DATUM, or D, points towards the datum corner. The jig's first screw ({}) then points, counter-clockwise from straight right on the drawing of that face: {}.",
        if square {
            "the lines"
        } else {
            "the two turned lines"
        },
        f.small[0].3,
        turns.join(", ")
    );
    let keys: Vec<String> = kind
        .iter()
        .filter_map(|k| {
            k.key
                .map(|(a, mark)| format!("{} {mark} {} deg", k.of, guide::degrees(a)))
        })
        .collect();
    if !keys.is_empty() {
        turned += &format!(
            " {}, counted the same way: {}.",
            if marked {
                "The arrow beside the clamp hole points to the socket's gap or key"
            } else {
                "The socket's gap or key goes"
            },
            keys.join(", ")
        );
    }
    vec![
        scribed,
        format!(
            "Punch or cut the hole of {} and take off its burr.",
            units::show_drill(2.0 * f.r)
        ),
        turned,
        if clamp {
            "Clamp it: an M5 bolt through the bung, with a strip of wood or a washer behind the part that is wider than the hole; or a clamp beside it.".into()
        } else {
            "Clamp the jig on the part.".into()
        },
        guide::drilling(&f.small[0].2, f.small.len()),
    ]
}

/// `V1, V2, V3` or `V1 to V9`-like lists shortened to what a plate has room for.
pub(super) fn shortened(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [a, b] => format!("{a} {b}"),
        [a, b, c] => format!("{a} {b} {c}"),
        [a, b, rest @ ..] => format!("{a} {b} +{}", rest.len()),
    }
}
