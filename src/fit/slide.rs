//! The chassis with all it carries slides along the grooves from outside to its place.

use super::doc::Doc;
use super::report::{Finding, Severity, SlideRow};
use super::scene::{Scene, near};
use super::slide_pass::{ASIDE, Off, Pass, WANTED, of_part};
use super::slide_say;
use crate::assembly::{Group, Kind, Part};
use crate::measure::Swept;
use crate::pose::Pose;
use glam::DVec3;
use rayon::prelude::*;
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

/// Most rows of [`SlideRows`].
const ROWS: usize = 20;

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
    let at = met.map_or(scene.boxes[first][0], |m| m.1);
    let ids = ids.join(", ");
    let text = match met {
        Some((f, _)) => format!(
            "to go on after the chassis is in: {ids}; {} is in the way",
            parts[f].id
        ),
        None => format!(
            "{ids} may be bolted to the plate before the chassis slides in: nothing is in the way"
        ),
    };
    let finding = Finding::new(
        "slide-brackets",
        Severity::Note,
        about,
        at,
        (0.0, 0.0, "mm"),
    );
    Some(finding.says(text, "", "geometry"))
}

/// What is put in once the chassis is home: the screws and brackets that hold it.
fn fitted_after(p: &Part) -> bool {
    !p.moves && p.group == Group::Chassis
}
