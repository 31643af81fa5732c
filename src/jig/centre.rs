//! A large hole's centre guide with a ring to scribe its edge, on request: for holes that are sawn, filed or cut with a fly cutter, and to see
//! where a punch has to come out.

use super::blank::Bore;
use super::guide::{self, Guide};
use super::ring::shortened;
use super::sheet::Sheet;
use super::view::View;
use super::{Bench, Draft, Place, scribe};
use crate::assembly::Kind;
use crate::design::{Flat, FlatHole, HoleShape, Marked};
use crate::pose::Pose;
use crate::units;
use glam::DVec2;

/// Plastic beyond the ring, mm.
const EDGE: f64 = 9.0;

struct Found {
    hole: String,
    /// What the hole is for: the id of a tube, a control.
    of: String,
    part: String,
    face: String,
    guide: Guide,
    to_amp: Pose,
    /// From the datum corner.
    at: DVec2,
}

pub(super) fn drafts(bench: &Bench<'_>, unmade: &mut Vec<String>) -> Vec<Draft> {
    if !bench.print.ring {
        return Vec::new();
    }
    // one ring serves every hole of its size in a part: so that it has one face to lie on
    let mut kinds: Vec<Vec<Found>> = Vec::new();
    for flat in &bench.design.flats {
        if !matches!(flat.kind, Kind::Plate | Kind::Panel) {
            continue;
        }
        for f in flat.holes.iter().filter_map(|h| found(bench, flat, h)) {
            let alike = |k: &&mut Vec<Found>| k[0].guide == f.guide && k[0].part == f.part;
            match kinds.iter_mut().find(alike) {
                Some(k) => k.push(f),
                None => kinds.push(vec![f]),
            }
        }
    }
    let [w, d] = bench.print.room();
    let room = w.min(d) * (1.0 - bench.print.shrink);
    kinds.retain(|k| {
        let size = k[0].guide.finished;
        let fits = size + 2.0 * EDGE <= room;
        if !fits {
            unmade.push(format!(
                "a scribing ring for {}: {} is more than the bed holds; strike it with a trammel from its pilot",
                k[0].hole,
                units::show(size)
            ));
        }
        fits
    });
    let drafts = kinds.iter().map(|k| draft(bench, k)).collect();
    guide::with_guides(drafts, unmade)
}

fn found(bench: &Bench<'_>, flat: &Flat, hole: &FlatHole) -> Option<Found> {
    let HoleShape::Round { d } = hole.shape else {
        return None;
    };
    if d < scribe::LEAST || hole.marked != Marked::Scribed {
        return None;
    }
    let view = View::new(bench.design, flat);
    let row = guide::row_of(bench, &flat.id, &hole.id)?;
    let at = view.see(hole.at);
    Some(Found {
        hole: hole.id.clone(),
        of: hole.owner.clone(),
        part: flat.id.clone(),
        face: bench.face(flat),
        guide: guide::of_row(bench.print, row)?,
        to_amp: view.to_amp.then(&Pose::shift(at.extend(0.0))),
        at: at * view.way,
    })
}

fn draft(bench: &Bench<'_>, kind: &[Found]) -> Draft {
    let print = bench.print;
    let f = &kind[0];
    let finished = f.guide.finished;
    let names: Vec<&str> = kind.iter().map(|k| k.of.as_str()).collect();
    let size = guide::size(finished);
    let title = format!("centre {size} {}", shortened(&names));
    let half = DVec2::splat(finished / 2.0 + EDGE);
    let mut sheet = Sheet::new(bench, &title, &f.face, half, 3.5);
    sheet.notches(|_| true);
    let mut blank = sheet.blank;
    let bore = Bore {
        holes: kind.iter().map(|k| k.hole.clone()).collect(),
        at: DVec2::ZERO,
        drill: f.guide.drill,
        d: f.guide.d,
        finished: vec![finished; kind.len()],
        labels: Vec::new(),
        ..Bore::default()
    };
    guide::add(&mut blank, print, &f.guide, bore);
    scribe::rings(
        &mut blank,
        print,
        &[(f.hole.clone(), DVec2::ZERO, finished)],
    );
    guide::lengthen(&mut blank, print);
    let places = guide::places(kind.iter().map(|k| (k.hole.as_str(), k.at)));
    Draft {
        name: format!("centre-{}", f.hole),
        title,
        face: f.face.clone(),
        blank,
        places: kind.iter().map(|k| Place::new(&k.hole, &k.part, k.to_amp)).collect(),
        steps: vec![
            format!("Scribe both centre lines of the hole on the {} from the datum corner, {}, long enough to show in the four notches: {places}.", f.face, bench.datum(&f.part)),
            "Lay the jig with its notches on the lines, either way round: it is the same every quarter turn but for its letters, so it has no arrow. Clamp it.".into(),
            "Draw a scriber along the outer wall of the slots: the hole's edge, less half the width of your point. Then drill the pilot.".into(),
            "Join the three arcs by eye once the jig is off. Whatever the hole is opened with, a punch, a step bit or saw and file, its edge must run out on that line.".into(),
        ],
        as_drawn: false,
    }
}
