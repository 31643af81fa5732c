//! The chassis with all it carries slides along the grooves from outside to its place.

use super::doc::Doc;
use super::report::{Finding, Severity};
use super::scene::{Scene, near};
use super::slide_say;
use crate::assembly::{Group, Kind, Part};
use crate::measure::Swept;
use crate::pose::Pose;
use glam::DVec3;
use rayon::prelude::*;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

pub(super) const DOC: Doc = Doc {
    ids: &[
        "slide",
        "slide-tubes-after",
        "slide-board-off",
        "slide-knobs-after",
        "slide-brackets",
    ],
    title: "Sliding the chassis in",
    does: "Carries everything that moves with the chassis along the grooves from outside the cabinet to its place, from the rear or the \
front as `chassis.enters` says, and measures it against everything that stays: boards, baffle with its opening, cleats, corner blocks, retaining \
blocks, speaker, screws of feet and handle. Each pair is told with where along the way it is nearest. What hits is an error; what passes \
nearer than 4 mm a warning; plate, panels and angles with their screws need 0.3 mm beside wood and covering. Four ways are told apart: tubes (and \
their shields) fitted or out, knobs on or off. A tube that hits but can be plugged with the chassis in its place is a warning: slide in first, \
then plug it; if it cannot be plugged there either, an error. A back board in the way is a note that it must be off, a knob in the way a note that \
it goes on after. Retaining screws go in after the chassis and are left out; brackets ride on the plate if nothing is in their way, else a note \
says that they go on after. Where nothing is short, a note tells the tightest place, if it is nearer than 6 mm, and that with tubes out. \
`slide` of fit.json lists the tightest pairs.",
    why: "A tube that stands clear of the magnet when seated may have to pass under its rim to get there.",
    example: "`V1 hits speaker-magnet while the chassis slides in, 62.0 mm before it is seated`: the figure measured is that \
remaining way.",
    change: "move the part, lower the plate, or choose the other entry; where a gap is meant, `[[clearance]]` with the two kinds sets what is \
wanted.",
    rests_on: "4 mm for what slides past and 0.3 mm play of the frame: common practice, no published source.",
};

/// Wanted between what slides and what stays, mm.
const WANTED: f64 = 4.0;

/// The tightest place is told if it is nearer than this, mm.
pub(super) const SPOKEN_OF: f64 = 6.0;

/// Wanted beside the plate, panels and angles, mm: the play that lets them slide at all.
const PLAY: f64 = 0.3;

/// What touches on its way and is free when it is moved aside by this much only rubs, mm.
const ASIDE: f64 = 0.1;

/// Pairs are listed if they pass nearer than this, mm.
const LISTED: f64 = 8.0;

/// Plate, panels and angles are told beside wood and covering up to this distance, mm.
const FRAME_REACH: f64 = 2.0;

/// Most rows of [`SlideRows`].
const ROWS: usize = 20;

/// What can be left off while the chassis slides in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Off {
    /// Neither part comes off.
    Nothing,
    /// The fixed part is of a back board.
    Board,
    /// The moving part is a knob.
    Knob,
    /// The moving part is a tube, or the shield that comes off with it.
    Tube,
}

/// A moving part and what it comes near to.
pub(super) struct Pass {
    pub moving: usize,
    pub fixed: usize,
    pub wanted: f64,
    pub clearance: f64,
    /// Way left to the seat, mm.
    pub left: f64,
    pub at: DVec3,
    pub hits: bool,
    pub off: Off,
}

/// A pair of the way in, for fit.json.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SlideRow {
    /// The part that slides.
    pub a: String,
    /// The part that stays.
    pub b: String,
    /// Least distance over the whole way; 0 if they meet.
    pub least_mm: f64,
    /// Way that is left to the seat where they are that near, or first meet.
    pub before_seated_mm: f64,
    /// Wanted air.
    pub wanted_mm: f64,
    /// What may be left off until the chassis is in: `tube`, `knob`, `back board`; empty for what stays on.
    pub comes_off: String,
}

/// The way in, for fit.json.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SlideRows {
    /// `rear` or `front`; empty without a chassis.
    pub from: String,
    /// Its length: from where everything is outside to the seat, mm.
    pub way: f64,
    /// The tightest pairs, the tightest first.
    pub rows: Vec<SlideRow>,
}

/// `pluggable`: the tubes that can be drawn and plugged with the chassis in its place.
pub(super) fn of_scene(
    scene: &Scene<'_, '_>,
    pluggable: &BTreeSet<&str>,
) -> (Vec<Finding>, SlideRows) {
    let Some(plate) = scene.design.plate else {
        return Default::default();
    };
    let parts = &scene.assembly.parts;
    let (moving, staying): (Vec<usize>, Vec<usize>) = (0..parts.len())
        .filter(|&i| parts[i].moves || !fitted_after(&parts[i]))
        .partition(|&i| parts[i].moves);
    let out = if plate.from_rear { DVec3::Y } else { -DVec3::Y };
    // far enough that the last of what moves is clear of all that stays
    let most = |ids: &[usize], dir: DVec3| {
        ids.iter()
            .flat_map(|&i| scene.boxes[i])
            .map(|p| p.dot(dir))
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let length = most(&staying, out) + most(&moving, -out) + 2.0 * WANTED;
    if !length.is_finite() || length <= 0.0 {
        return Default::default();
    }
    let comes_off = coming_off(scene);
    let way = out * length;
    // parts of one shape that stand alike draw the same room
    let mut alike: BTreeMap<(usize, [u64; 9]), Vec<usize>> = BTreeMap::new();
    for m in moving {
        let turn = parts[m].pose.rot.to_cols_array().map(f64::to_bits);
        alike.entry((parts[m].shape, turn)).or_default().push(m);
    }
    let alike: Vec<Vec<usize>> = alike.into_values().collect();
    let mut passes: Vec<Pass> = (alike.par_iter())
        .flat_map_iter(|group| {
            let mut drawn = None;
            let mut out = Vec::new();
            for &m in group {
                out.extend(of_part(scene, m, &staying, way, &comes_off, &mut drawn));
            }
            out
        })
        .collect();
    passes.sort_by_key(|p| p.moving);
    let mut found = slide_say::findings(scene, &passes, pluggable);
    found.extend(brackets(scene, &staying, out * length));
    let rows = SlideRows {
        from: if plate.from_rear { "rear" } else { "front" }.into(),
        way: length,
        rows: rows(scene, &passes),
    };
    (found, rows)
}

/// What may be left off, by part; what may not is not in it.
fn coming_off(scene: &Scene<'_, '_>) -> BTreeMap<usize, Off> {
    let parts = &scene.assembly.parts;
    let boards: BTreeSet<&str> = (parts.iter())
        .filter(|b| b.kind == Kind::BackBoard)
        .map(|b| b.id.as_str())
        .collect();
    // a shield is as tall as its tube and comes off before it; a clamp stays on the plate
    let shields: BTreeSet<String> = (scene.design.tubes.iter())
        .filter(|t| (t.retainer.as_ref()).is_some_and(|r| r.height >= t.socket_top + t.seated))
        .map(|t| format!("{}-retainer", t.id))
        .collect();
    (parts.iter().enumerate())
        .filter_map(|(i, p)| {
            let off = match p.kind {
                _ if boards.contains(p.owner.as_str()) => Off::Board,
                Kind::Knob if p.moves => Off::Knob,
                _ if is_glass(p) => Off::Tube,
                Kind::Retainer if shields.contains(&p.id) => Off::Tube,
                _ => return None,
            };
            Some((i, off))
        })
        .collect()
}

pub(super) fn is_glass(p: &Part) -> bool {
    matches!(p.kind, Kind::SmallTube | Kind::PowerTube | Kind::Rectifier)
}

/// The tightest pairs.
fn rows(scene: &Scene<'_, '_>, passes: &[Pass]) -> Vec<SlideRow> {
    let parts = &scene.assembly.parts;
    let mut order: Vec<&Pass> = passes.iter().collect();
    order.sort_by(|x, y| {
        (x.clearance.total_cmp(&y.clearance))
            .then(y.left.total_cmp(&x.left))
            .then_with(|| (x.moving, x.fixed).cmp(&(y.moving, y.fixed)))
    });
    order.truncate(ROWS);
    (order.into_iter())
        .map(|p| SlideRow {
            a: parts[p.moving].id.clone(),
            b: parts[p.fixed].id.clone(),
            least_mm: p.clearance,
            before_seated_mm: p.left,
            wanted_mm: p.wanted,
            comes_off: match p.off {
                Off::Nothing => "",
                Off::Board => "back board",
                Off::Knob => "knob",
                Off::Tube => "tube",
            }
            .into(),
        })
        .collect()
}

/// Whether the brackets that hold the plate can ride in on it.
fn brackets(scene: &Scene<'_, '_>, staying: &[usize], out: DVec3) -> Option<Finding> {
    let parts = &scene.assembly.parts;
    let brackets: Vec<usize> = (0..parts.len())
        .filter(|&i| parts[i].kind == Kind::Bracket && fitted_after(&parts[i]))
        .collect();
    let mut met: Option<(usize, DVec3)> = None;
    for &i in &brackets {
        let (part, shape) = (&parts[i], scene.shape(&parts[i]));
        let start = Pose {
            at: part.pose.at + out,
            ..part.pose
        };
        let swept = Swept::new(shape, start, -out);
        for &f in staying {
            let other = &parts[f];
            if !near(swept.bounds(), scene.boxes[f], ASIDE) {
                continue;
            }
            let passing = |pose: &Pose| swept.passing(scene.shape(other), pose, 1e-6);
            // it lies against its side, along which it may rub
            let aside = Pose {
                at: other.pose.at
                    - (part.pose.at - other.pose.at)
                        .with_y(0.0)
                        .with_z(0.0)
                        .normalize_or_zero()
                        * ASIDE,
                ..other.pose
            };
            if let Some(p) = passing(&other.pose).filter(|_| passing(&aside).is_some()) {
                met = met.or(Some((f, p.at[1])));
            }
        }
    }
    let first = *brackets.first()?;
    let ids: Vec<String> = brackets.iter().map(|&i| parts[i].id.clone()).collect();
    let mut about = ids.clone();
    about.extend(met.map(|m| parts[m.0].id.clone()));
    Some(Finding {
        id: "slide-brackets".into(),
        severity: Severity::Note,
        about,
        at_mm: met.map_or(scene.boxes[first][0], |m| m.1).to_array(),
        measured: 0.0,
        wanted: 0.0,
        unit: "mm".into(),
        text: match met {
            Some((f, _)) => format!(
                "to go on after the chassis is in: {}; {} is in the way",
                ids.join(", "),
                parts[f].id
            ),
            None => format!(
                "{} may be bolted to the plate before the chassis slides in: nothing is in the way",
                ids.join(", ")
            ),
        },
        hint: String::new(),
        source: "geometry".into(),
    })
}

/// What is put in once the chassis is home: the screws and brackets that hold it.
fn fitted_after(p: &Part) -> bool {
    !p.moves && p.group == Group::Chassis
}

/// The frame itself, and what holds it together.
pub(super) fn is_frame(p: &Part) -> bool {
    matches!(p.kind, Kind::Plate | Kind::Panel | Kind::Angle)
        || (p.group == Group::Chassis && matches!(p.kind, Kind::Screw | Kind::Nut | Kind::Washer))
}

pub(super) fn is_wood(p: &Part) -> bool {
    matches!(
        p.kind,
        Kind::Board | Kind::Covering | Kind::Cleat | Kind::Baffle | Kind::BackBoard
    )
}

fn wanted(scene: &Scene<'_, '_>, moving: usize, fixed: usize) -> f64 {
    let (a, b) = (&scene.assembly.parts[moving], &scene.assembly.parts[fixed]);
    let own = super::air::own_rule(scene.design, a, b);
    let joined = scene
        .at_rest(moving, fixed)
        .is_some_and(|m| m.joint.is_some());
    match own {
        _ if joined => 0.0,
        Some(mm) => mm,
        None if is_frame(a) && is_wood(b) => PLAY,
        None => WANTED,
    }
}

fn of_part<'b>(
    scene: &Scene<'b, 'b>,
    moving: usize,
    staying: &[usize],
    out: DVec3,
    comes_off: &BTreeMap<usize, Off>,
    drawn: &mut Option<Swept<'b, 'b>>,
) -> Vec<Pass> {
    let part = &scene.assembly.parts[moving];
    let shape = scene.shape(part);
    let [low, high] = scene.boxes[moving];
    let swept_box = [low.min(low + out), high.max(high + out)];
    let mut swept: Option<Swept<'_, '_>> = None;
    let mut found = Vec::new();
    let off = |fixed: usize| match comes_off.get(&fixed) {
        Some(Off::Board) => Off::Board,
        _ => comes_off.get(&moving).copied().unwrap_or(Off::Nothing),
    };
    for &fixed in staying {
        let wanted = wanted(scene, moving, fixed);
        let frame = is_frame(part) && is_wood(&scene.assembly.parts[fixed]);
        let reach = if wanted == 0.0 {
            ASIDE
        } else if frame {
            wanted.max(FRAME_REACH)
        } else {
            wanted.max(LISTED)
        };
        if !near(swept_box, scene.boxes[fixed], reach) || scene.overlap_at_rest(moving, fixed) {
            continue;
        }
        let other = &scene.assembly.parts[fixed];
        let start = Pose {
            at: part.pose.at + out,
            ..part.pose
        };
        let s = swept.get_or_insert_with(|| {
            (drawn.get_or_insert_with(|| Swept::new(shape, start, -out))).from(start.at)
        });
        let Some(p) = s.passing(scene.shape(other), &other.pose, reach) else {
            continue;
        };
        if p.clearance > 0.0 {
            let told = p.clearance < wanted && told_at_rest(scene, moving, fixed, p.clearance);
            if wanted > 0.0 && !told {
                found.push(Pass {
                    moving,
                    fixed,
                    wanted,
                    clearance: p.clearance,
                    left: out.length() - p.along,
                    at: p.at[0].midpoint(p.at[1]),
                    hits: false,
                    off: off(fixed),
                });
            }
            continue;
        }
        let rubs = [DVec3::Z, -DVec3::Z, DVec3::X, -DVec3::X].iter().any(|d| {
            // the other moved the other way: the same, without the room being made again
            let aside = Pose {
                at: other.pose.at - *d * ASIDE,
                ..other.pose
            };
            s.passing(scene.shape(other), &aside, ASIDE)
                .is_none_or(|p| p.clearance > 0.0)
        });
        if rubs && wanted == 0.0 {
            continue;
        }
        let first = s
            .first_contact(scene.shape(other), &other.pose)
            .unwrap_or(p.along);
        // where it stands when it first meets it
        let at_contact = Pose {
            at: start.at - out.normalize_or_zero() * first,
            ..part.pose
        };
        let at = crate::measure::distance(shape, &at_contact, scene.shape(other), &other.pose, 1.0)
            .map_or(p.at[0], |n| n.at[0]);
        found.push(Pass {
            moving,
            fixed,
            wanted,
            clearance: 0.0,
            left: out.length() - first,
            at,
            hits: !rubs,
            off: off(fixed),
        });
    }
    found
}

/// The same gap is there at rest, and too small for a rule that speaks of it.
fn told_at_rest(scene: &Scene<'_, '_>, moving: usize, fixed: usize, clearance: f64) -> bool {
    scene.at_rest(moving, fixed).is_some_and(|m| {
        m.wanted.as_ref().is_some_and(|w| m.is.clearance < w.0)
            && m.is.clearance <= clearance + 0.05
    })
}
