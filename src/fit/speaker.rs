//! The loudspeaker: it comes off its bolts, its terminals are clear, its baffle comes out.

use super::doc::Doc;
use super::findings::place;
use super::report::{Finding, Severity};
use super::scene::{Scene, near};
use super::tool::stack;
use crate::assembly::{Kind, Part};
use crate::catalogue::hand_tool;
use crate::design::SpeakerSpec;
use crate::measure::{Prepared, Swept};
use crate::outline::Loop;
use crate::pose::Pose;
use crate::units;
use glam::{DVec2, DVec3};

pub(super) const DOC: Doc = Doc {
    ids: &["speaker-out", "speaker-terminals", "baffle-out"],
    title: "Loudspeaker and baffle",
    does: "Chassis out, back boards off: carries the loudspeaker off its bolts, straight along its axis by as much as they stand out of the \
baffle and 2 mm more (`speaker-out`). Its bolts and nuts are looked at with all screws and nuts (`reach-screw`, `reach-nut`). Sets a \
block of terminals with its lead (30 mm along the rim, 18 mm out of the basket, 20 mm along the axis) on the side that \
`speaker.terminals` says, half way up the basket: everything of the chassis must pass it by 4 mm on its whole way in, and the cabinet stay \
off it (`speaker-terminals`). A baffle that is screwed to cleats is carried straight out to the rear; a note tells what its face meets first (`baffle-out`). Basket, \
magnet and tilt are measured like all solids.",
    why: "A tag that a tube scrapes past on its way in shorts the output stage.",
    example: "`2.5 mm (3/32 in) between V1 and the terminals of the loudspeaker, 4.0 mm wanted as the chassis slides in`",
    change: "`speaker.terminals`, or move what is in the way.",
    rests_on: "size of the terminals: catalogue, family `hand tool`, from memory; 4 mm and 2 mm: common practice, no \
published source.",
};

const SOURCE: &str = "common practice";

/// What slides past the terminals stays off by this much, mm.
const PAST: f64 = 4.0;

/// Beyond the ends of its bolts, mm.
const OFF_BOLTS: f64 = 2.0;

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let mut out = Vec::new();
    if let Some(s) = &scene.design.speaker {
        out.extend(off_bolts(scene, s));
        out.extend(terminals(scene, s));
    }
    out.extend(baffle(scene));
    out
}

/// The first thing of the empty cabinet that a part carried by `way` meets, and after how much of it.
fn first(
    scene: &Scene<'_, '_>,
    id: &str,
    way: DVec3,
    skip: &dyn Fn(&Part) -> bool,
) -> Option<(f64, usize)> {
    let parts = &scene.assembly.parts;
    let k = parts.iter().position(|p| p.id == id)?;
    let [low, high] = scene.boxes[k];
    let room = [low.min(low + way), high.max(high + way)];
    let mut swept = None;
    let mut met: Option<(f64, usize)> = None;
    for (i, p) in parts.iter().enumerate() {
        let stands = !p.moves && p.kind != Kind::BackBoard && i != k;
        if !stands || skip(p) || !near(room, scene.boxes[i], 0.0) {
            continue;
        }
        // what is further off at rest than it is carried is not met
        let rest = scene.at_rest(k, i);
        if rest.is_none_or(|m| m.is.clearance > way.length() || m.is.overlap > 0.0) {
            continue;
        }
        let swept =
            swept.get_or_insert_with(|| Swept::new(scene.shape(&parts[k]), parts[k].pose, way));
        if let Some(far) = swept.first_contact(scene.shape(p), &p.pose)
            && met.is_none_or(|m| far < m.0)
        {
            met = Some((far, i));
        }
    }
    met
}

fn off_bolts(scene: &Scene<'_, '_>, s: &SpeakerSpec) -> Option<Finding> {
    let bolt = (scene.design.fasteners.iter()).find(|f| f.id == "speaker-bolt-1")?;
    // what of the bolt stands on the speaker's side of the baffle
    let board = bolt.grip - s.flange;
    let (dir, stands) = if bolt.nut.is_none() {
        // screwed into the board: the bolts come out before the loudspeaker does
        (if s.from_front { -DVec3::Z } else { DVec3::Z }, 0.0)
    } else if s.from_front {
        (-DVec3::Z, s.flange)
    } else {
        (DVec3::Z, bolt.length - board)
    };
    let way = s.pose.dir(dir) * (stands + OFF_BOLTS);
    let skip =
        |p: &Part| matches!(p.owner.as_str(), "speaker" | "baffle") || p.id.starts_with("retain-");
    let met = ["speaker-frame", "speaker-magnet"]
        .into_iter()
        .filter_map(|id| Some((id, first(scene, id, way, &skip)?)))
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let (id, (far, i)) = met?;
    let other = &scene.assembly.parts[i];
    let at = s.pose.at + way.normalize_or_zero() * far;
    Some(finding(
        "speaker-out",
        Severity::Warning,
        vec![id.to_owned(), other.id.clone()],
        at,
        [far, way.length()],
        format!(
            "the loudspeaker does not come off its bolts: {id} hits {} after {} of {}, {}",
            other.id,
            units::show(far),
            units::show(way.length()),
            place(scene.design, at)
        ),
        format!("move the loudspeaker away from {}", other.owner),
    ))
}

/// The block of terminals: z of its frame points out of the basket, x along the rim.
fn block(s: &SpeakerSpec) -> Option<(crate::solid::Body, Pose)> {
    let row = hand_tool("speaker terminals")?;
    let half = DVec2::new(row.tip, row.tip_length) / 2.0;
    let body = stack(0.0, vec![(row.tip_height?, Loop::rect(-half, half))])?;
    // the envelope of the basket half way up, as it is modelled
    let waist = ((s.cutout / 2.0 - 1.0) * 0.8).max(s.magnet / 2.0);
    let high = if s.from_front { 0.0 } else { s.flange };
    let z = f64::midpoint(high, s.depth - s.magnet_length);
    let (sin, cos) = s.terminals.to_radians().sin_cos();
    // local x runs to the left as seen from the front
    let outward = DVec3::new(-sin, cos, 0.0);
    let along = DVec3::Z;
    let x = along.cross(outward);
    let [x, y, at] = [
        s.pose.dir(x),
        s.pose.dir(along),
        s.pose.point(outward * (waist + 0.1) + along * z),
    ];
    Some((body, Pose::from_axes(x, y, at)))
}

fn terminals(scene: &Scene<'_, '_>, s: &SpeakerSpec) -> Vec<Finding> {
    let Some((body, pose)) = block(s) else {
        return Vec::new();
    };
    let shape = Prepared::new(&body);
    // the chassis comes in past the block, or the block goes out past the chassis: the same
    let from_rear = scene.design.plate.is_none_or(|p| p.from_rear);
    let depth = scene.design.cabinet.map_or(0.0, |c| c.depth);
    let way = if from_rear { DVec3::Y } else { -DVec3::Y } * depth;
    let swept = Swept::new(&shape, pose, way);
    let still = Swept::new(&shape, pose, DVec3::Y * 1e-3);
    let mut worst: [Option<(f64, DVec3, usize)>; 2] = [None, None];
    for (i, p) in scene.assembly.parts.iter().enumerate() {
        let s = if p.moves { &swept } else { &still };
        let fixed = !p.moves;
        if p.owner == "speaker"
            || p.kind == Kind::BackBoard
            || !near(s.bounds(), scene.boxes[i], PAST)
        {
            continue;
        }
        let limit = if fixed { 0.05 } else { PAST };
        let Some(n) = s.passing(scene.shape(p), &p.pose, limit) else {
            continue;
        };
        let k = usize::from(fixed);
        if worst[k].is_none_or(|w| n.clearance < w.0) {
            worst[k] = Some((n.clearance, n.at[1], i));
        }
    }
    worst
        .into_iter()
        .flatten()
        .map(|(clearance, at, i)| {
            let other = &scene.assembly.parts[i];
            let hits = clearance <= 0.0;
            let what = if hits {
                format!("{} hits the terminals of the loudspeaker", other.id)
            } else {
                format!(
                    "{} between {} and the terminals of the loudspeaker, {} wanted",
                    units::show(clearance),
                    other.id,
                    units::show(PAST)
                )
            };
            let sliding = if other.moves {
                " as the chassis slides in"
            } else {
                ""
            };
            finding(
                "speaker-terminals",
                if hits {
                    Severity::Error
                } else {
                    Severity::Warning
                },
                vec!["speaker".into(), other.id.clone()],
                at,
                [clearance, PAST],
                format!("{what}{sliding}, {}", place(scene.design, at)),
                "turn the loudspeaker: `speaker.terminals`".into(),
            )
        })
        .collect()
}

fn baffle(scene: &Scene<'_, '_>) -> Option<Finding> {
    let design = scene.design;
    let screwed = |id: &str| id.starts_with("baffle-screw-");
    if !design.fasteners.iter().any(|f| screwed(&f.id)) {
        return None;
    }
    let (flat, cabinet) = (design.flat("baffle")?, design.cabinet?);
    let way = flat.pose.dir(-DVec3::Z) * cabinet.depth;
    // what holds it, or is screwed to it, comes off or along
    let skip = |p: &Part| {
        p.moves
            || matches!(p.owner.as_str(), "baffle" | "speaker")
            || p.id.starts_with("baffle-")
            || matches!(p.kind, Kind::Board | Kind::Covering | Kind::BackBoard)
            || (p.id.starts_with("retain-") && p.kind != Kind::Cleat)
    };
    // a board carried square to its face meets first what has a corner nearest to that face
    let local = flat.pose.inverse();
    let [low, high] = flat.outline.bounds();
    let mut met: Option<(f64, usize)> = None;
    for (i, p) in scene
        .assembly
        .parts
        .iter()
        .enumerate()
        .filter(|(_, p)| !skip(p))
    {
        let to = local.then(&p.pose);
        let nearest = (scene.shape(p).mesh().points.iter())
            .map(|q| to.point(*q))
            .filter(|q| q.truncate().cmpge(low).all() && q.truncate().cmple(high).all())
            .map(|q| -q.z)
            .filter(|far| *far > 0.0)
            .fold(f64::INFINITY, f64::min);
        if nearest < way.length() && met.is_none_or(|m| nearest < m.0) {
            met = Some((nearest, i));
        }
    }
    let (far, i) = met?;
    let other = &scene.assembly.parts[i];
    let at = flat.pose.at + way.normalize_or_zero() * far;
    Some(finding(
        "baffle-out",
        Severity::Note,
        vec!["baffle".into(), other.id.clone()],
        at,
        [far, way.length()],
        format!(
            "the baffle comes straight back {}, then meets {}: tip it past, or take that off first",
            units::show(far),
            other.id
        ),
        String::new(),
    ))
}

fn finding(
    id: &str,
    severity: Severity,
    about: Vec<String>,
    at: DVec3,
    [measured, wanted]: [f64; 2],
    text: String,
    hint: String,
) -> Finding {
    Finding::new(id, severity, about, at, (measured, wanted, "mm")).says(text, hint, SOURCE)
}
