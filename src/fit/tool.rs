//! Hand tools of the catalogue as solids, and what stands in their way.
//!
//! A tool that turns about its own axis fills the same room all the way round; one that swings about its screw fills a sector.

use super::scene::Scene;
use crate::assembly::{Kind, Part};
use crate::catalogue::HandToolRow;
use crate::design::{Design, Fastener};
use crate::measure::{self, Prepared};
use crate::outline::{Loop, Region};
use crate::params::Head;
use crate::pose::Pose;
use crate::solid::{Body, Layer, Recipe, build};
use glam::{DMat3, DVec2, DVec3};
use std::sync::OnceLock;

/// What a tool stays off what it goes on, mm.
pub(super) const OFF: f64 = 0.1;

/// Swing of a ratchet's lever to either side, degrees.
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

    fn stands(self, design: &Design, p: &Part) -> bool {
        let pulled = match p.kind {
            Kind::SmallTube | Kind::PowerTube | Kind::Rectifier | Kind::Knob | Kind::BackBoard => {
                true
            }
            // a shield is lifted off before its tube is pulled
            Kind::Retainer => (design.tubes.iter())
                .filter(|t| t.id == p.owner)
                .filter_map(|t| Some(t.retainer.as_ref()?.height - t.socket_top - t.seated))
                .any(|over| over >= 0.0),
            _ => false,
        };
        match self {
            // an overlay goes on over the screws
            When::Bare => {
                let metal = matches!(p.kind, Kind::Plate | Kind::Panel | Kind::Angle);
                (metal && !p.id.ends_with("-overlay")) || p.owner.starts_with("angle-")
            }
            When::Out => p.moves && !pulled,
            When::Seated => !pulled,
            When::Cabinet => {
                let retains = p.owner.starts_with("retain-") && p.kind != Kind::Cleat;
                !p.moves && !pulled && !retains
            }
        }
    }
}

/// A tool made ready for measuring, with its box in its own frame.
pub(super) struct Tool<'b> {
    shape: Prepared<'b>,
    middle: DVec3,
    half: DVec3,
}

impl<'b> Tool<'b> {
    pub fn new(body: &'b Body) -> Tool<'b> {
        let shape = Prepared::new(body);
        let [low, high] = shape.bounds(&Pose::IDENTITY);
        Tool {
            shape,
            middle: low.midpoint(high),
            half: (high - low) / 2.0,
        }
    }

    /// A box that holds it where `pose` puts it.
    fn room(&self, pose: &Pose) -> [DVec3; 2] {
        let (middle, r) = (pose.point(self.middle), pose.rot);
        let half = r.x_axis.abs() * self.half.x
            + r.y_axis.abs() * self.half.y
            + r.z_axis.abs() * self.half.z;
        [middle - half, middle + half]
    }
}

/// Tools that are made when they are first asked for: most of them never are.
pub(super) struct Rack<'r> {
    make: &'r (dyn Fn(usize) -> Option<Body> + Sync),
    bodies: &'r [OnceLock<Option<Body>>],
    tools: Vec<OnceLock<Option<Tool<'r>>>>,
}

/// Room for `count` bodies of a rack.
pub(super) fn empty(count: usize) -> Vec<OnceLock<Option<Body>>> {
    (0..count).map(|_| OnceLock::new()).collect()
}

impl<'r> Rack<'r> {
    pub fn new(
        bodies: &'r [OnceLock<Option<Body>>],
        make: &'r (dyn Fn(usize) -> Option<Body> + Sync),
    ) -> Rack<'r> {
        Rack {
            make,
            bodies,
            tools: bodies.iter().map(|_| OnceLock::new()).collect(),
        }
    }

    pub fn get(&self, k: usize) -> Option<&Tool<'r>> {
        let (body, tool) = (self.bodies.get(k)?, self.tools.get(k)?);
        tool.get_or_init(|| body.get_or_init(|| (self.make)(k)).as_ref().map(Tool::new))
            .as_ref()
    }
}

/// The first part that a tool meets where `pose` puts it, and where; parts named in `own` are left out.
pub(super) fn meets(
    scene: &Scene<'_, '_>,
    tool: &Tool<'_>,
    pose: &Pose,
    when: When,
    own: &[&str],
) -> Option<(usize, DVec3)> {
    let stands = |p: &Part| !own.contains(&p.id.as_str()) && when.stands(scene.design, p);
    meets_any(scene, tool, pose, &stands)
}

/// The same among the parts that `stands` names.
pub(super) fn meets_any(
    scene: &Scene<'_, '_>,
    tool: &Tool<'_>,
    pose: &Pose,
    stands: &dyn Fn(&Part) -> bool,
) -> Option<(usize, DVec3)> {
    let room = tool.room(pose);
    let tool = &tool.shape;
    for i in scene.index.near(room, 0.0) {
        let (part, there) = (&scene.assembly.parts[i], scene.boxes[i]);
        if !stands(part) {
            continue;
        }
        let shape = scene.shape(part);
        if let Some(at) = measure::touch(tool, pose, shape, &part.pose, MEETS) {
            return Some((i, at));
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

/// An open-ended spanner that holds a nut, its bar along +x, from the face that the nut sits on.
pub(super) fn open_ended(row: &HandToolRow) -> Option<Body> {
    let bar = Bar {
        behind: row.across? * 0.6,
        half: row.tip / 2.0,
        swing: 0.0,
    };
    stack(OFF, vec![(OFF + row.tip_length, bar.outline(row)?)])
}

/// A bit that stands up from its screw and the lever on it, swung about the bit.
pub(super) fn cranked(row: &HandToolRow) -> Option<Body> {
    let tip = OFF + row.tip_length;
    let lever = Bar {
        behind: row.tip,
        half: row.tip,
        swing: SWING,
    };
    stack(
        OFF,
        vec![
            (tip, circle(row.tip)),
            (tip + row.shaft?, lever.outline(row)?),
        ],
    )
}

/// The head of a bar about the origin, and how far it is swung to either side, degrees.
struct Bar {
    behind: f64,
    half: f64,
    swing: f64,
}

impl Bar {
    fn outline(&self, row: &HandToolRow) -> Option<Loop> {
        let (bar, length, half) = (row.shaft? / 2.0, row.shaft_length?, self.half);
        let wide = |x: f64| bar + x * self.swing.to_radians().tan();
        let neck = half * 1.5;
        let [near, far] = [wide(neck), wide(length)];
        let near = near.min(half - 0.01);
        let upper = [
            DVec2::new(length, far),
            DVec2::new(neck, near),
            DVec2::new(half, half),
            DVec2::new(-self.behind, half),
        ];
        let lower = upper.iter().rev().map(|p| DVec2::new(p.x, -p.y));
        let points: Vec<DVec2> = lower.chain(upper).collect();
        Some(Loop::polygon(&points))
    }
}

/// A blade leans by so much in its slot, degrees.
const LEAN: f64 = 10.0;

/// Ways in which it is leant.
const LEANS: u32 = 8;

/// The poses in which a blade is tried: straight, then leant each way and drawn back by what its rim then dips.
pub(super) fn leant(straight: Pose, rim: f64) -> impl Iterator<Item = Pose> {
    let (angle, back) = (LEAN.to_radians(), rim * LEAN.to_radians().sin());
    let each = (0..LEANS).map(move |k| {
        let (s, c) = (f64::from(k) * std::f64::consts::TAU / f64::from(LEANS)).sin_cos();
        let turn = DMat3::from_axis_angle(DVec3::new(c, s, 0.0), angle);
        Pose {
            rot: straight.rot * turn,
            at: straight.point(DVec3::Z * back),
        }
    });
    std::iter::once(straight).chain(each)
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
        for (z, radius) in [(10.0, 5.2), (60.0, 4.0), (150.0, 15.0)] {
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
        let want = cylinder(10.4, 25.0) + shaft + handle - cylinder(8.2, 23.0);
        assert!(
            (body.volume() - want).abs() < 1e-6 * want,
            "{}",
            body.volume()
        );
        let [low, high] = body.bounds(&Pose::IDENTITY);
        assert!((high.z - 175.1).abs() < 1e-9 && (low.z - 0.1).abs() < 1e-9);
    }

    /// Leant by 10 degrees, a blade 80 long with a handle 90 long ends 170.1 sin 10 aside.
    #[test]
    fn a_blade_leans_in_its_slot() {
        let blade = about_axis(row("screwdriver 4.5 mm"), 0.0).expect("a body");
        let poses: Vec<Pose> = leant(Pose::IDENTITY, 2.25).collect();
        assert_eq!(poses.len(), 9);
        assert_eq!(poses[0], Pose::IDENTITY);
        let aside = 170.1 * LEAN.to_radians().sin();
        for pose in &poses[1..] {
            let tip = pose.point(DVec3::Z * 170.1);
            assert!((tip.truncate().length() - aside).abs() < 1e-9);
            // no part of it dips below the head
            assert!(blade.bounds(pose)[0].z > 0.0);
        }
    }

    /// A held spanner is as wide as its jaws and no higher than its thickness; a lever's far end is half its width and 70 tan 15 aside.
    #[test]
    fn a_spanner_is_held_and_a_lever_swings() {
        let body = open_ended(row("open-ended spanner 7 mm")).expect("a body");
        let [low, high] = body.bounds(&Pose::IDENTITY);
        assert!((high.y - 8.5).abs() < 1e-9 && (low.y + 8.5).abs() < 1e-9);
        assert!((high.z - low.z - 3.5).abs() < 1e-9 && (high.x - 70.0).abs() < 1e-9);
        assert!((low.x + 4.2).abs() < 1e-9);
        let lever = cranked(row("offset screwdriver")).expect("a body");
        let [low, high] = lever.bounds(&Pose::IDENTITY);
        let end = 5.0 + 70.0 * 15.0_f64.to_radians().tan();
        assert!((high.z - 30.1).abs() < 1e-9 && (high.y - end).abs() < 1e-9);
        assert!((low.y + end).abs() < 1e-9);
    }
}
