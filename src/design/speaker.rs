//! The loudspeaker with its bolts, on the baffle.

use super::cabinet::BaffleFrame;
use super::chassis::ChassisFrame;
use super::fasten::{self, Bond, Fastener, Passed};
use super::flat::{FlatHole, HoleShape, Marked};
use super::ledger::{Ledger, Unmeasured};
use super::place::{Places, Surface, upright_ties};
use super::{CabinetSize, Design, Movable};
use crate::assembly::{Group, How};
use crate::catalogue::{SpeakerRow, Status};
use crate::params::{
    ControlKind, Head, HoleFit, Length, Params, Sp, SpeakerMount, Tie, TransformerRole,
};
use crate::pose::Pose;
use glam::{DVec2, DVec3};

/// A loudspeaker. z of its frame runs to the rear from the mounting face.
#[derive(Clone, Debug, PartialEq)]
pub struct SpeakerSpec {
    /// Outside diameter of the frame.
    pub frame: f64,
    /// Cutout of the baffle; the basket is a little smaller.
    pub cutout: f64,
    /// Bolt circle diameter.
    pub bolt_circle: f64,
    /// Hole in the flange.
    pub bolt_hole: f64,
    /// Bolt places about the axis.
    pub bolts: Vec<DVec2>,
    /// Mounting face to the rear of the magnet.
    pub depth: f64,
    /// Magnet diameter.
    pub magnet: f64,
    /// Magnet length.
    pub magnet_length: f64,
    /// Flange thickness.
    pub flange: f64,
    /// Whether the flange lies on the baffle's front face (at negative z).
    pub from_front: bool,
    /// Mass, kg.
    pub mass: f64,
    /// Side of its terminals: degrees clockwise from straight up, seen from the front.
    pub terminals: f64,
    /// Its lead.
    pub lead: LeadSpec,
    /// Centre of the mounting face.
    pub pose: Pose,
}

/// The lead between loudspeaker and chassis.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadSpec {
    /// Whether it ends in a plug; else it is soldered.
    pub plug: bool,
    /// Length, if it is known.
    pub length: Option<f64>,
    /// The item it goes to, and where on it.
    pub to: Option<(String, DVec3)>,
}

/// Where the lead goes to: the named item, or the output transformer.
fn lead(
    s: &crate::params::Speaker,
    chassis: Option<&ChassisFrame>,
    design: &Design,
    ledger: &mut Ledger,
) -> LeadSpec {
    let items = || {
        let controls = design.controls.iter().map(|c| (&c.id, c.pose.at));
        let irons = design.irons.iter().map(|i| (&i.id, i.pose.at));
        let rings = design.grommets.iter().map(|g| (&g.id, g.pose.at));
        controls.chain(irons).chain(rings)
    };
    let to = match &s.lead_to {
        Some(id) => {
            let found = items().find(|(have, _)| **have == id.value.0);
            if found.is_none() {
                ledger.error(
                    id.span.clone(),
                    format!("the speaker's lead goes to `{}`, which is no control, grommet or transformer", id.value.0),
                    "the id of one of them",
                    "",
                );
            }
            found.map(|(id, at)| (id.clone(), at))
        }
        None => (design.irons.iter())
            .find(|i| i.role == TransformerRole::Output)
            .map(|i| (i.id.clone(), i.pose.at))
            .or_else(|| {
                let p = chassis?.plate;
                let middle = p.component(p.inside / 2.0, p.depth / 2.0);
                Some(("plate".to_owned(), middle.at))
            }),
    };
    let jack = (design.controls.iter()).any(|c| c.kind == ControlKind::Jack);
    let plug = match &s.plug {
        Some(p) => {
            if p.value && !jack {
                ledger.error(
                    p.span.clone(),
                    "the speaker's lead has a plug, and the chassis no jack",
                    "a `[[control]]` of kind `jack`",
                    "add one, or solder the lead: `plug = false`",
                );
            }
            p.value
        }
        None => {
            let why = if jack {
                "the chassis has a jack (common practice)"
            } else {
                "the chassis has no jack"
            };
            ledger.took("speaker.plug", if jack { "true" } else { "false" }, why);
            jack
        }
    };
    LeadSpec {
        plug,
        length: s.lead.as_ref().map(|l| l.value.0),
        to,
    }
}

pub(super) fn build(
    params: &Params,
    size: &CabinetSize,
    baffle: Option<&BaffleFrame>,
    chassis: Option<&ChassisFrame>,
    places: &Places,
    design: &mut Design,
    ledger: &mut Ledger,
) {
    let Some(s) = params.speaker.as_ref() else {
        return;
    };
    let Some(b) = baffle else {
        ledger.error(
            s.span.clone(),
            "a speaker without a baffle",
            "a table `[cabinet.baffle]`",
            "add one, an empty table will do",
        );
        return;
    };
    let row = match &s.pattern {
        Some(p) => ledger.look_up::<SpeakerRow>(p),
        None => None,
    };
    if s.pattern.is_some() && row.is_none() {
        return;
    }
    let mut need = |typed: Option<&Sp<Length>>, from: Option<f64>, key: &str| -> f64 {
        typed.map(|v| v.value.0).or(from).unwrap_or_else(|| {
            ledger.error(
                s.span.clone(),
                format!("the speaker has no `{key}`"),
                "a `pattern`, or every size of its own",
                "for example `pattern = \"12 in ceramic\"`",
            );
            1.0
        })
    };
    let frame = need(s.frame.as_ref(), row.map(|r| r.frame), "frame");
    let cutout = need(s.cutout.as_ref(), row.map(|r| r.cutout), "cutout");
    let bolt_circle = need(
        s.bolt_circle.as_ref(),
        row.map(|r| r.bolt_circle),
        "bolt-circle",
    );
    let depth = need(s.depth.as_ref(), row.map(|r| r.depth), "depth");
    let magnet = need(s.magnet.as_ref(), row.map(|r| r.magnet), "magnet");
    let magnet_length = s
        .magnet_length
        .as_ref()
        .map(|v| v.value.0)
        .or(row.map(|r| r.magnet_length))
        .unwrap_or(depth * 0.3);
    let flange = s
        .flange
        .as_ref()
        .map(|v| v.value.0)
        .or(row.map(|r| r.flange))
        .unwrap_or(5.0);
    let mass = s
        .mass
        .as_ref()
        .map(|v| v.value.0)
        .or(row.map(|r| r.mass))
        .unwrap_or(2.0);
    let n = s
        .bolts
        .as_ref()
        .map_or_else(|| row.map_or(4, |r| r.bolts), |c| c.value.0);
    if !ledger.diags.list.is_empty() && row.is_none() {
        return;
    }
    let bolt = fasten::screw_or(ledger, "speaker.bolt", s.bolt.as_ref(), "M5", "#10");
    let bolt_hole = row.map_or_else(
        || bolt.clearance(HoleFit::Loose),
        |r| r.bolt_hole.min(bolt.major + 2.5),
    );
    let measured = s.measured.as_ref().is_some_and(|m| m.value);
    if !measured && row.is_some_and(|r| r.status != Status::Published) {
        ledger.unmeasured.push(Unmeasured {
            id: "speaker".into(),
            row: row.map_or_else(String::new, |r| r.id.clone()),
            source: row.map_or_else(String::new, |r| r.source.clone()),
        });
    }
    let sound = cutout < bolt_circle - bolt_hole
        && bolt_circle + bolt_hole < frame
        && magnet < cutout - 6.0
        && flange > 0.5
        && magnet_length + flange + 5.0 < depth
        && (3..=24).contains(&n)
        && !bolt.wood
        && bolt_hole > bolt.major;
    if !sound {
        ledger.error(s.span.clone(), format!("a speaker with frame {frame:.1}, bolt circle {bolt_circle:.1}, cutout {cutout:.1}, magnet {magnet:.1}, depth {depth:.1}, {n} bolts does not add up"), "cutout < bolt circle < frame, magnet < cutout, magnet length < depth, 3 to 24 machine bolts", "measure the part in hand");
        return;
    }
    let mount = ledger.choice(
        "speaker.mount",
        s.mount.as_ref(),
        SpeakerMount::Rear,
        "rear",
        "common practice",
    );
    let [low, high] = b.ends();
    let surface = Surface {
        u: [0.0, size.width],
        v: [low, high],
        u_dir: DVec3::X,
        v_dir: b.pose.dir(DVec3::Y),
        upright: true,
    };
    // the middle of what the chassis leaves free
    let free = match chassis {
        Some(c) if c.plate.up => [b.along(c.plate.z0 + c.plate.thickness), high],
        Some(c) => [low, b.along(c.plate.z0)],
        None => [low, high],
    };
    let middle = Tie::Middle(f64::midpoint(free[0], free[1]) - f64::midpoint(low, high));
    let at = places.resolve(
        ledger,
        "speaker",
        &s.span,
        upright_ties(s.at.as_ref()),
        &surface,
        [Some(Tie::Middle(0.0)), Some(middle)],
    );
    let from_front = mount == SpeakerMount::Front;
    let z = if from_front { b.thickness } else { 0.0 };
    let centre = b.pose.point(DVec3::new(at.x, at.y, z));
    let pose = Pose::from_axes(-DVec3::X, b.pose.dir(DVec3::Y), centre);
    let stick = s.stick_out.as_ref().map(|v| v.value.0);
    let grip = b.thickness + flange;
    let length = match stick {
        Some(o) => grip + bolt.nut_thickness + o,
        None => {
            ledger.took(
                "speaker.stick-out",
                "3 mm",
                "thread shows behind the nut (common practice)",
            );
            grip + bolt.nut_thickness + 3.0
        }
    };
    let terminals = match &s.terminals {
        Some(t) => t.value.0,
        None => {
            let side = if chassis.is_some_and(|c| !c.plate.up) {
                180.0
            } else {
                0.0
            };
            ledger.took(
                "speaker.terminals",
                format!("{side:.0} degrees"),
                "on the side away from the chassis (common practice)",
            );
            side
        }
    };
    let lead = lead(s, chassis, design, ledger);
    let turn = s
        .turn
        .as_ref()
        .map_or(if n == 4 { 45.0 } else { 180.0 / f64::from(n) }, |t| {
            t.value.0
        });
    let bolts: Vec<DVec2> = (0..n)
        .map(|k| {
            // seen from the front clockwise; local x runs to the left there
            let a = (turn + 360.0 * f64::from(k) / f64::from(n)).to_radians();
            DVec2::new(-a.sin(), a.cos()) * (bolt_circle / 2.0)
        })
        .collect();
    let Some(flat) = design.flats.iter_mut().find(|f| f.id == "baffle") else {
        return;
    };
    flat.holes.push(FlatHole {
        id: "speaker-cutout".into(),
        at,
        shape: HoleShape::Round { d: cutout },
        purpose: "speaker".into(),
        marked: Marked::Scribed,
        owner: "speaker".into(),
        span: s.span.clone(),
    });
    let hole = bolt.clearance(HoleFit::Loose);
    for (k, p) in bolts.iter().enumerate() {
        let id = format!("speaker-bolt-{}", k + 1);
        let local = flat
            .pose
            .inverse()
            .point(pose.point(p.extend(0.0)))
            .truncate();
        flat.holes.push(FlatHole {
            id: id.clone(),
            at: local,
            shape: HoleShape::Round { d: hole },
            purpose: format!("speaker bolt {}", bolt.id),
            marked: Marked::InHand {
                part: "speaker-frame".into(),
            },
            owner: "speaker".into(),
            span: s.span.clone(),
        });
        let board = Passed {
            id: "baffle".into(),
            gap: (hole - bolt.major) / 2.0,
        };
        let frame = Passed {
            id: "speaker-frame".into(),
            gap: (bolt_hole - bolt.major) / 2.0,
        };
        // the head in front, the nut behind
        let (start, through) = if from_front {
            (-flange, vec![frame, board])
        } else {
            (-b.thickness, vec![board, frame])
        };
        design.fasteners.push(Fastener {
            id,
            nut: Some(format!("speaker-nut-{}", k + 1)),
            washer: None,
            owner: "speaker".into(),
            group: Group::Speaker,
            moves: false,
            row: bolt,
            head: Head::Pan,
            length,
            pose: pose.offset(p.extend(start)),
            sunk: 0.0,
            grip,
            through,
            bites: None,
        });
    }
    design
        .bonds
        .push(Bond::face("speaker-frame", "baffle", How::Bolted));
    design
        .bonds
        .push(Bond::face("speaker-frame", "speaker-magnet", How::Bolted));
    design.movables.push(Movable {
        id: "speaker".into(),
        along: [DVec3::X, DVec3::Z],
        span: s.span.clone(),
    });
    design.speaker = Some(SpeakerSpec {
        frame,
        cutout,
        bolt_circle,
        bolt_hole,
        bolts,
        depth,
        magnet,
        magnet_length,
        flange,
        from_front,
        mass,
        terminals,
        lead,
        pose,
    });
}
