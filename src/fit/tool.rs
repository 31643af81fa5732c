//! Hand tools of the catalogue as solids, and what stands in their way.
//!
//! A tool that turns about its own axis fills the same room all the way round; one that swings about a nut fills a sector.

use super::in_use::{Scene, near};
use crate::assembly::{Kind, Part};
use crate::catalogue::HandToolRow;
use crate::design::Fastener;
use crate::measure::{self, Prepared};
use crate::outline::{Loop, Region};
use crate::params::Head;
use crate::pose::Pose;
use crate::solid::{Body, Layer, Recipe, build};
use glam::{DVec2, DVec3};

/// What a tool stays off what it goes on, mm.
pub(super) const OFF: f64 = 0.1;

/// Swing of a spanner or lever to either side, degrees: a nut's sixth of a turn, once with each face of the spanner up.
const SWING: f64 = 15.0;

/// Directions in which a swinging tool is tried.
pub(super) const DIRECTIONS: u32 = 12;

/// Distances below this are contact, mm.
const MEETS: f64 = 1e-6;

/// What is in place when a tool is put on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum When {
    /// Plate, panels and angles alone: they are screwed together before anything is mounted on them.
    Bare,
    /// The chassis out of the cabinet with all it carries but tubes and knobs.
    Out,
    /// The chassis in its place, tubes pulled and back boards off.
    Seated,
    /// The cabinet with the chassis out and its back boards off.
    Cabinet,
}

impl When {
    /// When a screw is turned.
    pub fn of(f: &Fastener) -> When {
        if f.owner.starts_with("angle-") {
            When::Bare
        } else if f.owner.starts_with("retain-") {
            When::Seated
        } else if f.moves {
            When::Out
        } else {
            When::Cabinet
        }
    }

    /// In words, for the end of a sentence.
    pub fn words(self) -> &'static str {
        match self {
            When::Bare => "on the bare metal",
            When::Out => "with the chassis out",
            When::Seated => "with the chassis in its place",
            When::Cabinet => "with the chassis out of the cabinet",
        }
    }

    fn stands(self, p: &Part) -> bool {
        let pulled = matches!(
            p.kind,
            Kind::SmallTube | Kind::PowerTube | Kind::Rectifier | Kind::Knob | Kind::BackBoard
        );
        match self {
            When::Bare => {
                matches!(p.kind, Kind::Plate | Kind::Panel | Kind::Angle)
                    || p.owner.starts_with("angle-")
            }
            When::Out => p.moves && !pulled,
            When::Seated => !pulled,
            When::Cabinet => !p.moves && !pulled,
        }
    }
}

/// The first part that a tool meets where `pose` puts it, and where; parts named in `own` are left out.
pub(super) fn meets(
    scene: &Scene<'_, '_>,
    tool: &Prepared<'_>,
    pose: &Pose,
    when: When,
    own: &[&str],
) -> Option<(usize, DVec3)> {
    let stands = |p: &Part| when.stands(p) && !own.contains(&p.id.as_str());
    meets_any(scene, tool, pose, &stands)
}

/// The same among the parts that `stands` names.
pub(super) fn meets_any(
    scene: &Scene<'_, '_>,
    tool: &Prepared<'_>,
    pose: &Pose,
    stands: &dyn Fn(&Part) -> bool,
) -> Option<(usize, DVec3)> {
    let room = tool.bounds(pose);
    for (i, part) in scene.assembly.parts.iter().enumerate() {
        let there = scene.boxes[i];
        if !near(room, there, 0.0) || !stands(part) {
            continue;
        }
        let shape = scene.shape(part);
        if let Some(n) = measure::distance(tool, pose, shape, &part.pose, MEETS) {
            return Some((i, n.at[1]));
        }
        // a body inside another lies in its box
        let holds = |a: [DVec3; 2], b: [DVec3; 2]| a[0].cmple(b[0]).all() && b[1].cmple(a[1]).all();
        let inside = tool.inner_point(pose);
        if holds(there, room) && shape.contains(&part.pose, inside) {
            return Some((i, inside));
        }
        let other = shape.inner_point(&part.pose);
        if holds(room, there) && tool.contains(pose, other) {
            return Some((i, other));
        }
    }
    None
}

/// A turned body from its half section: radius and height, counter-clockwise.
pub(super) fn turned(corners: &[(f64, f64)]) -> Option<Body> {
    let points: Vec<DVec2> = corners.iter().map(|c| DVec2::new(c.0, c.1)).collect();
    build(&Recipe::Turned {
        profile: Loop::polygon(&points),
        holes: Vec::new(),
    })
    .ok()
}

/// Slabs one on another from `base`.
pub(super) fn stack(base: f64, layers: Vec<(f64, Loop)>) -> Option<Body> {
    build(&Recipe::Layered {
        base,
        layers: layers
            .into_iter()
            .map(|(top, outline)| Layer::new(top, Region::solid(outline)))
            .collect(),
        holes: Vec::new(),
    })
    .ok()
}

pub(super) fn circle(d: f64) -> Loop {
    Loop::circle(DVec2::ZERO, d / 2.0)
}

/// A tool about its axis, z = 0 on the face that it is set on, with a bore of radius `bore` up through its tip (0: none).
pub(super) fn about_axis(row: &HandToolRow, bore: f64) -> Option<Body> {
    let tip = OFF + row.tip_length;
    let mut out = vec![(bore, OFF), (row.tip / 2.0, OFF), (row.tip / 2.0, tip)];
    let mut top = tip;
    for (d, length) in [
        (row.shaft, row.shaft_length),
        (row.handle, row.handle_length),
    ] {
        if let (Some(d), Some(length)) = (d, length) {
            out.push((d / 2.0, top));
            top += length;
            out.push((d / 2.0, top));
        }
    }
    out.push((0.0, top));
    if bore > 0.0 {
        // a floor of 2 mm over the bore
        out.extend([(0.0, tip - 2.0), (bore, tip - 2.0)]);
    }
    turned(&out)
}

/// What an open-ended spanner's jaws and bar sweep beside a nut, along +x, from the face that the nut sits on.
pub(super) fn open_ended(row: &HandToolRow) -> Option<Body> {
    let across = row.across?;
    stack(
        OFF,
        vec![(OFF + row.tip_length, fan(row, across * 0.6, row.tip / 2.0)?)],
    )
}

/// A bit that stands up from its screw and the lever on it, swung about the bit.
pub(super) fn cranked(row: &HandToolRow) -> Option<Body> {
    let tip = OFF + row.tip_length;
    let lever = fan(row, row.tip, row.tip)?;
    stack(OFF, vec![(tip, circle(row.tip)), (tip + row.shaft?, lever)])
}

/// A bar of the row's shaft swung to either side about the origin; `behind` and `half` are the size of its head there.
fn fan(row: &HandToolRow, behind: f64, half: f64) -> Option<Loop> {
    let (bar, length) = (row.shaft? / 2.0, row.shaft_length?);
    let end = bar + length * SWING.to_radians().tan();
    Some(Loop::polygon(&[
        DVec2::new(-behind, -half),
        DVec2::new(half * 0.5, -half),
        DVec2::new(length, -end.max(half)),
        DVec2::new(length, end.max(half)),
        DVec2::new(half * 0.5, half),
        DVec2::new(-behind, half),
    ]))
}

/// The frame of a screw's nut: z = 0 on the face it sits on, z away from the head.
pub(super) fn nut_frame(f: &Fastener) -> Pose {
    f.pose.offset(DVec3::Z * (f.grip + f.washer_thickness()))
}

/// The frame of a screw's head: z = 0 on its top, z away from the shank.
pub(super) fn head_frame(f: &Fastener) -> Pose {
    let lift = if f.nut.is_none() {
        f.washer_thickness()
    } else {
        0.0
    };
    let top = match f.head {
        Head::Pan => lift + f.row.pan_height,
        Head::Countersunk => 0.0,
    };
    let outward = f.pose.dir(-DVec3::Z);
    let x = f.pose.dir(DVec3::X);
    Pose::from_axes(x, outward.cross(x), f.pose.at + outward * top)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{hand_tool, spanner_for};

    fn row(name: &str) -> &'static HandToolRow {
        hand_tool(name).unwrap_or_else(|| panic!("{name}"))
    }

    fn clear(tool: &Body, pose: &Pose, other: &Body, at: DVec3) -> Option<f64> {
        let (tool, other) = (Prepared::new(tool), Prepared::new(other));
        measure::distance(&tool, pose, &other, &Pose::shift(at), 100.0).map(|n| n.distance)
    }

    /// A pin beside a box spanner stands off by the distance of the axes less both radii; behind the tip by the shaft's.
    #[test]
    fn a_box_spanner_turns_in_its_own_room() {
        let spanner = spanner_for("box spanner", 7.0).expect("7 mm");
        let tool = about_axis(spanner, 4.1).expect("a body");
        let pin = |z0: f64, z1: f64| turned(&[(0.0, z0), (2.0, z0), (2.0, z1), (0.0, z1)]);
        for (z, radius) in [(10.0, 5.5), (60.0, 4.0), (150.0, 15.0)] {
            let low = pin(z, z + 5.0).expect("a pin");
            let d = clear(&tool, &Pose::IDENTITY, &low, DVec3::new(20.0, 0.0, 0.0)).expect("near");
            let truth = 20.0 - 2.0 - radius;
            assert!(d <= truth + 1e-9 && d >= truth - 0.0241, "{d} for {truth}");
        }
        // the screw's end goes up into the bore
        let screw = pin(0.0, 12.0).expect("a pin");
        let d = clear(&tool, &Pose::IDENTITY, &screw, DVec3::ZERO).expect("near");
        assert!(d <= 2.1 && d > 2.07, "{d}");
    }

    /// Exact volume: the sum of its cylinders less the bore.
    #[test]
    fn tools_are_the_sum_of_their_cylinders() {
        let r = row("box spanner 7 mm");
        let body = about_axis(r, 4.1).expect("a body");
        let cylinder = |d: f64, h: f64| std::f64::consts::PI * d * d / 4.0 * h;
        let [shaft, handle] = [(8.0, 60.0), (30.0, 90.0)].map(|(d, h)| cylinder(d, h));
        let want = cylinder(11.0, 25.0) + shaft + handle - cylinder(8.2, 23.0);
        assert!((body.volume() - want).abs() < 1e-6 * want, "{}", body.volume());
        let [low, high] = body.bounds(&Pose::IDENTITY);
        assert!((high.z - 175.1).abs() < 1e-9 && (low.z - 0.1).abs() < 1e-9);
    }

    /// The bar's edge at its far end, swung by 15 degrees: half its width and 80 tan 15.
    #[test]
    fn an_open_ended_spanner_swings_to_both_sides() {
        let body = open_ended(row("open-ended spanner 7 mm")).expect("a body");
        let [low, high] = body.bounds(&Pose::IDENTITY);
        let end = 7.5 / 2.0 + 80.0 * 15.0_f64.to_radians().tan();
        assert!((high.y - end).abs() < 1e-9 && (low.y + end).abs() < 1e-9);
        assert!((high.z - low.z - 3.5).abs() < 1e-9 && (high.x - 80.0).abs() < 1e-9);
        let lever = cranked(row("offset screwdriver")).expect("a body");
        assert!((lever.bounds(&Pose::IDENTITY)[1].z - 30.1).abs() < 1e-9);
    }
}
