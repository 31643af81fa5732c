//! Room for the wiring: live tags off foil and earthed metal, and how full the space behind the plate is.

use super::doc::Doc;
use super::findings::place;
use super::report::{Finding, Severity};
use super::scene::{Scene, near};
use super::tool::{circle, stack};
use crate::assembly::{Group, Kind, Part};
use crate::measure::{self, Prepared};
use crate::outline::Loop;
use crate::params::ControlKind;
use crate::pose::Pose;
use crate::solid::Body;
use crate::units;
use glam::{DVec2, DVec3};

pub(super) const DOC: Doc = Doc {
    ids: &["wiring-air", "wiring-room"],
    title: "Room for the wiring",
    does: "Live tags keep 8 mm off the board that closes the wiring side (foil is usual on it) and off panels, angles, brackets and the screws \
of handle and feet (`wiring-air`). Live tags are: the tag end of tube sockets, the terminal end of cans, the parts on circuit boards and \
terminal strips on the wiring side, and the last 8 mm of inlets, fuse holders, toggles and lamps; each is a solid of its own. A note \
tells how large the space behind the plate is, how much of it the parts fill (those that stand partly in it by their share), and the height \
that is left under the lowest part; more than 40 % filled is a warning (`wiring-room`).",
    why: "Wires need somewhere to go; a tag bent against the foil puts the supply on it.",
    example: "`5.0 mm between the tags of V1 and bottom, 8.0 mm wanted`",
    change: "a higher panel, a lower socket, the part further from the edge; `[[clearance]]` does not change it.",
    rests_on: "8 mm live to foil or metal, 40 % filled at most: common practice, no published source. No proof of insulation: local electrical \
codes and licensed practice decide.",
};

/// Live parts to foil or earthed metal, mm.
const AIR: f64 = 8.0;

/// Largest share of the space that parts may fill, %.
const FULL: f64 = 40.0;

/// Tags at the rear of mains parts, mm.
const TAGS: f64 = 8.0;

const SOURCE: &str = "common practice; local electrical codes and licensed practice decide";

/// Something live, where it is.
struct Live<'s> {
    owner: &'s str,
    /// The flat part it is mounted on.
    on: &'s str,
    body: Body,
    pose: Pose,
}

fn live<'s>(scene: &Scene<'s, '_>) -> Vec<Live<'s>> {
    let design = scene.design;
    let mut out: Vec<Live<'s>> = Vec::new();
    let mut push = |owner: &'s str, on: &'s str, body: Option<Body>, pose: Pose| {
        if let Some(body) = body {
            out.push(Live {
                owner,
                on,
                body,
                pose,
            });
        }
    };
    for t in &design.tubes {
        let (top, low) = (t.plate + t.socket.flange + 3.0, t.plate + t.socket.below);
        if low > top + 1.0 {
            let body = stack(-low, vec![(-top, circle(t.socket.body))]);
            push(&t.id, "plate", body, t.pose);
        }
    }
    for c in design.cans.iter().filter(|c| c.component && !c.lying) {
        let body = stack(-c.tail, vec![(-c.tail + 4.0, circle(c.diameter * 0.7))]);
        push(&c.id, "plate", body, c.pose);
    }
    for b in design
        .boards
        .iter()
        .filter(|b| !b.component && b.parts > 0.0)
    {
        let low = b.stand_off + b.thickness + 0.01;
        let half = b.parts_size / 2.0;
        let body = stack(low, vec![(low + b.parts, Loop::rect(-half, half))]);
        push(&b.id, "plate", body, b.pose);
    }
    for s in design.strips.iter().filter(|s| !s.component) {
        let half = DVec2::new(s.size.x, s.size.y) / 2.0;
        let body = stack(s.size.z / 2.0, vec![(s.size.z, Loop::rect(-half, half))]);
        push(&s.id, "plate", body, s.pose);
    }
    for c in &design.controls {
        let mains = matches!(
            c.kind,
            ControlKind::Inlet | ControlKind::FuseHolder | ControlKind::Toggle | ControlKind::Lamp
        );
        let r = c.row;
        if !mains || r.behind < TAGS {
            continue;
        }
        let outline = match (r.body_box, r.body.or(r.bushing)) {
            (Some([w, h]), _) => {
                let half = DVec2::new(w, h) / 2.0 - DVec2::splat(1.0);
                Loop::rect(-half, half)
            }
            (None, Some(d)) => circle(d),
            (None, None) => continue,
        };
        let body = stack(-r.behind, vec![(-r.behind + TAGS, outline)]);
        push(&c.id, &c.on, body, c.pose);
    }
    out
}

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let Some(plate) = scene.design.plate else {
        return Vec::new();
    };
    let far = if plate.up { "bottom" } else { "top" };
    let earthed = |p: &Part| {
        p.id == far
            || matches!(p.kind, Kind::Panel | Kind::Angle | Kind::Bracket)
            || (p.kind == Kind::Screw && !p.moves && p.group == Group::Cabinet)
    };
    let walls: Vec<usize> = (0..scene.assembly.parts.len())
        .filter(|&i| earthed(&scene.assembly.parts[i]))
        .collect();
    let mut out: Vec<Finding> = Vec::new();
    for l in live(scene) {
        let shape = Prepared::new(&l.body);
        let room = shape.bounds(&l.pose);
        for &i in &walls {
            let p = &scene.assembly.parts[i];
            if p.id == l.on || p.owner == l.owner || !near(room, scene.boxes[i], AIR) {
                continue;
            }
            let Some(n) = measure::distance(&shape, &l.pose, scene.shape(p), &p.pose, AIR) else {
                continue;
            };
            let at = n.at[0].midpoint(n.at[1]);
            out.push(Finding {
                id: "wiring-air".into(),
                severity: Severity::Warning,
                about: vec![l.owner.to_owned(), p.id.clone()],
                at_mm: at.to_array(),
                measured: n.distance,
                wanted: AIR,
                unit: "mm".into(),
                text: format!(
                    "{} between the tags of {} and {}, {} wanted, {}",
                    units::show(n.distance),
                    l.owner,
                    p.id,
                    units::show(AIR),
                    place(scene.design, at)
                ),
                hint: format!(
                    "move {} away from {}, or insulate what is near it",
                    l.owner, p.id
                ),
                source: SOURCE.into(),
            });
        }
    }
    out.extend(room(scene, far));
    out
}

/// How large the space behind the plate is, and how full.
fn room(scene: &Scene<'_, '_>, far: &str) -> Option<Finding> {
    let design = scene.design;
    let (plate, cabinet) = (design.plate?, design.cabinet?);
    let z = if plate.up {
        [0.0, plate.z0]
    } else {
        [plate.z0 + plate.thickness, cabinet.height]
    };
    let low = DVec3::new(0.0, plate.y0, z[0]);
    let high = DVec3::new(plate.inside, plate.y0 + plate.depth, z[1]);
    let all = (high - low).max(DVec3::ZERO).element_product();
    if all <= 0.0 {
        return None;
    }
    let mut filled = 0.0;
    let mut least: Option<(f64, &Part)> = None;
    for (i, p) in scene.assembly.parts.iter().enumerate() {
        let mounted = p.moves
            && !matches!(p.kind, Kind::Plate | Kind::Panel)
            && matches!(
                p.group,
                Group::Below | Group::Panel | Group::Above | Group::Chassis
            );
        let [a, b] = scene.boxes[i];
        let own = (b - a).element_product();
        let common = (b.min(high) - a.max(low))
            .max(DVec3::ZERO)
            .element_product();
        if !mounted || common <= 0.0 || own <= 0.0 {
            continue;
        }
        filled += scene.assembly.shapes[p.shape].volume * (common / own).min(1.0);
        let left = if plate.up { a.z - low.z } else { high.z - b.z };
        if least.is_none_or(|l| left < l.0) {
            least = Some((left, p));
        }
    }
    let share = 100.0 * filled / all;
    let (left, lowest) = least?;
    let at = (low + high) / 2.0;
    let tight = share > FULL;
    Some(Finding {
        id: "wiring-room".into(),
        severity: if tight {
            Severity::Warning
        } else {
            Severity::Note
        },
        about: vec!["plate".into(), lowest.id.clone()],
        at_mm: at.to_array(),
        measured: share,
        wanted: FULL,
        unit: "%".into(),
        text: format!(
            "{share:.0} % of the {:.1} litres behind the plate are filled by parts, the rest is for the wiring; {} from plate to {far}, {} of it left beyond {}",
            all * 1e-6,
            units::show(high.z - low.z),
            units::show(left),
            lowest.id
        ),
        hint: if tight {
            "a higher panel, or fewer parts on the wiring side".into()
        } else {
            String::new()
        },
        source: "geometry; 40 % filled at most: common practice".into(),
    })
}
