//! No gap round the chassis lets the test finger through to its wiring side.

use super::doc::Doc;
use super::report::{Finding, Severity};
use super::scene::{Scene, near};
use crate::assembly::{Kind, Part};
use crate::design::{Flat, HoleShape, PlateFrame};
use crate::outline::{self, Loop, Region};
use crate::units;
use glam::{DVec2, DVec3};

pub(super) const DOC: Doc = Doc {
    ids: &["test-finger"],
    title: "Test finger",
    does: "Where the back is open, plate, panels and boards close the wiring side in. Their gaps must be narrower than the 12 mm test finger: panel to \
floor or roof, panel to sides; where no panel stands, the plate's edge to the baffle, or what baffle and back boards leave open there; every bite out of the plate's edges, and every free \
hole, for ventilation or for anything else, in plate or panels. \
A grommet or a part in a hole fills it. The jointed finger's way round corners is not followed, and holes smaller than 12 mm may still let a wire through.",
    why: "Behind an open back the wiring carries mains and the filter capacitors' high voltage.",
    example: "`16.0 mm between plate and baffle: the 12 mm test finger reaches the wiring side`",
    change: "a higher panel, a panel at that edge, a smaller `chassis.front-gap`, a grommet or a screen.",
    rests_on: "diameter of 12 mm: IEC 61032 probe B (from memory). A reminder, no proof of safety: local codes and licensed practice decide.",
};

/// Diameter of the finger, mm.
const FINGER: f64 = 12.0;

const SOURCE: &str =
    "IEC 61032 probe B, 12 mm, from memory; local codes and licensed practice decide";

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let design = scene.design;
    let Some(plate) = design.plate else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let panels: Vec<&Flat> = (design.flats.iter())
        .filter(|f| f.kind == Kind::Panel && !f.id.ends_with("-overlay"))
        .collect();
    for p in &panels {
        let far = if plate.up { "bottom" } else { "top" };
        for board in [far, "side-left", "side-right"] {
            out.extend(between(scene, &p.id, board));
        }
    }
    if !panels.is_empty() || (scene.assembly.parts.iter()).any(live) {
        for facing in [-1.0, 1.0] {
            let closes = |p: &&Flat| p.pose.dir(DVec3::Z).y * facing > 0.0;
            if !panels.iter().any(closes) {
                out.extend(open_end(scene, &plate, facing > 0.0));
            }
        }
    }
    out.extend(bites(scene, &plate));
    for flat in design.flats.iter().filter(|f| f.moves) {
        for h in &flat.holes {
            let HoleShape::Round { d } = h.shape else {
                continue;
            };
            let free = !(scene.assembly.parts.iter()).any(|p| p.owner == h.owner);
            if free && d >= FINGER {
                out.push(finding(
                    vec![h.id.clone(), flat.id.clone()],
                    flat.pose.point(h.at.extend(flat.thickness)),
                    d,
                    format!(
                        "the hole {} in {} is {} wide",
                        h.id,
                        flat.id,
                        units::show(d)
                    ),
                    "a smaller hole, a grommet or a screen",
                ));
            }
        }
    }
    out
}

/// Whether a part has wires: a bare plate without any needs no closing in.
fn live(p: &Part) -> bool {
    p.moves
        && matches!(
            p.kind,
            Kind::SmallTube
                | Kind::PowerTube
                | Kind::Rectifier
                | Kind::Iron
                | Kind::Coil
                | Kind::Can
                | Kind::CircuitBoard
                | Kind::Control
        )
}

/// The front or rear end of the wiring side where no panel stands: the baffle closes the front, back boards may close the rear.
fn open_end(scene: &Scene<'_, '_>, plate: &PlateFrame, rear: bool) -> Vec<Finding> {
    let design = scene.design;
    let Some(cabinet) = design.cabinet else {
        return Vec::new();
    };
    if !rear && design.flat("baffle").is_some() {
        return between(scene, "plate", "baffle").into_iter().collect();
    }
    let boards: Vec<(&str, [f64; 2])> = (design.flats.iter())
        .filter(|f| rear && f.kind == Kind::BackBoard)
        .map(|f| {
            let z = f.outline.bounds().map(|c| f.pose.point(c.extend(0.0)).z);
            (f.id.as_str(), [z[0].min(z[1]), z[0].max(z[1])])
        })
        .collect();
    let (below, above) = (
        [0.0, plate.z0],
        [plate.z0 + plate.thickness, cabinet.height],
    );
    let (wiring, other, far) = if plate.up {
        (below, above, "bottom")
    } else {
        (above, below, "top")
    };
    let open = |z: [f64; 2]| widest_open(z, boards.iter().map(|b| b.1).collect());
    let gap = open(wiring);
    let (y, word) = if rear {
        (plate.y0 + plate.depth, "rear")
    } else {
        (plate.y0, "front")
    };
    if gap >= FINGER {
        let at = DVec3::new(plate.inside / 2.0, y, f64::midpoint(wiring[0], wiring[1]));
        return vec![finding(
            vec!["plate".into(), far.into()],
            at,
            gap,
            format!(
                "no panel closes the {word} between plate and {far}, {} are open",
                units::show(gap)
            ),
            "a panel at that edge, or a board that covers it",
        )];
    }
    // over the plate's edge, where a hand gets to the tubes
    if open(other) < FINGER {
        return Vec::new();
    }
    (boards.iter())
        .filter(|(_, z)| z[0] - FINGER <= plate.z0 + plate.thickness && z[1] + FINGER >= plate.z0)
        .filter_map(|(id, _)| between(scene, "plate", id))
        .collect()
}

/// The widest part of a stretch that nothing covers.
fn widest_open([from, to]: [f64; 2], mut covered: Vec<[f64; 2]>) -> f64 {
    covered.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (mut reached, mut widest) = (from, 0.0_f64);
    for [low, high] in covered {
        widest = widest.max(low.min(to) - reached);
        reached = reached.max(high);
    }
    widest.max(to - reached)
}

/// Room that a part which fills a bite leaves beside it, mm.
const FILLED: f64 = 0.5;

/// Bites out of the plate's edges, inside the cabinet, that a finger goes through.
fn bites(scene: &Scene<'_, '_>, plate: &PlateFrame) -> Vec<Finding> {
    let Some(flat) = scene.design.flat("plate") else {
        return Vec::new();
    };
    // a plain plate has four corners, rounded or not
    if flat.outline.nodes.len() <= 8 {
        return Vec::new();
    }
    let inside = Region::solid(Loop::rect(
        DVec2::new(-plate.x0, 0.0),
        DVec2::new(plate.inside - plate.x0, plate.depth),
    ));
    let whole = Region::solid(flat.outline.clone());
    let left = outline::difference(&[inside], &[whole]).unwrap_or_default();
    let mut out = Vec::new();
    for region in left {
        let [low, high] = region.bounds();
        let wide = (high - low).min_element();
        if wide < FINGER {
            continue;
        }
        let at = flat.pose.point(low.midpoint(high).extend(0.0));
        // a magnet or a part that reaches through it leaves less
        let through = |(i, p): (usize, &Part)| {
            let [a, b] = scene.boxes[i];
            let over = a.z < plate.z0 + plate.thickness && b.z > plate.z0;
            let fills = (b - a)
                .truncate()
                .cmpge(high - low - 2.0 * (FINGER + FILLED))
                .all();
            p.id != "plate" && over && fills && near([a, b], [at, at], 0.0)
        };
        if scene.assembly.parts.iter().enumerate().any(through) {
            continue;
        }
        let measured = format!(
            "a bite of {} by {} out of the edge of the plate",
            units::show(high.x - low.x),
            units::show(high.y - low.y)
        );
        out.push(finding(
            vec!["plate".into()],
            at,
            wide,
            measured,
            "a smaller notch, or a screen over it",
        ));
    }
    out
}

fn between(scene: &Scene<'_, '_>, a: &str, b: &str) -> Option<Finding> {
    let index = |id: &str| scene.assembly.parts.iter().position(|p| p.id == id);
    let (i, j) = (index(a)?, index(b)?);
    let (gap, at) = match scene.at_rest(i, j) {
        Some(m) => (m.is.clearance, m.is.at[0].midpoint(m.is.at[1])),
        // further apart than is measured
        None => (super::REACH, scene.assembly.parts[i].pose.at),
    };
    (gap >= FINGER).then(|| {
        let more = if gap >= super::REACH { " or more" } else { "" };
        finding(
            vec![a.to_owned(), b.to_owned()],
            at,
            gap,
            format!("{}{more} between {a} and {b}", units::show(gap)),
            "close the gap: a higher or longer panel, a panel at that edge, or a screen",
        )
    })
}

fn finding(about: Vec<String>, at: DVec3, measured: f64, what: String, hint: &str) -> Finding {
    let text = format!("{what}: the 12 mm test finger reaches the wiring side");
    Finding::new(
        "test-finger",
        Severity::Warning,
        about,
        at,
        (measured, FINGER, "mm"),
    )
    .says(text, hint, SOURCE)
}

#[cfg(test)]
mod tests {
    use super::widest_open;

    #[test]
    fn boards_leave_what_they_do_not_cover() {
        for (covered, open) in [
            (vec![], 70.0),
            (vec![[0.0, 60.0]], 10.0),
            (vec![[50.0, 200.0], [11.0, 30.0]], 20.0),
            (vec![[0.0, 40.0], [10.0, 20.0], [40.0, 90.0]], 0.0),
            // above it all
            (vec![[100.0, 200.0]], 70.0),
            (vec![[-20.0, -5.0]], 70.0),
        ] {
            assert_eq!(
                widest_open([0.0, 70.0], covered.clone()),
                open,
                "{covered:?}"
            );
        }
    }
}
