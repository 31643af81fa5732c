//! The loudspeaker with its bolts, on the baffle.

use super::cabinet::BaffleFrame;
use super::chassis::ChassisFrame;
use super::fasten::{self, Bond, Fastener, Passed};
use super::flat::{FlatHole, HoleShape, Marked};
use super::ledger::{Ledger, Unmeasured};
use super::oval::Oval;
use super::place::{Places, Surface, upright_ties};
use super::{CabinetSize, Design, InsertSpec, Movable, insert};
use crate::assembly::{Group, How};
use crate::catalogue::{InsertRow, SpeakerRow, Status};
use crate::outline::Loop;
use crate::params::{BaffleFixing, Head, HoleFit, Id, Length, Params, Sp, SpeakerMount, Tie};
use crate::pose::Pose;
use glam::{DVec2, DVec3};

/// A loudspeaker. z of its frame runs to the rear from the mounting face.
#[derive(Clone, Debug, PartialEq)]
pub struct SpeakerSpec {
    /// Outside diameter of the frame; of an oval one its length.
    pub frame: f64,
    /// Cutout of the baffle, of an oval speaker its length; the basket is a little smaller.
    pub cutout: f64,
    /// Diameter of the circle through the bolts.
    pub bolt_circle: f64,
    /// The sizes of an oval one.
    pub oval: Option<Oval>,
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
    /// Length of its lead, if said.
    pub lead: Option<f64>,
    /// Whether a plug ends the lead at the chassis.
    pub lead_plug: bool,
    /// The item of the chassis that the lead goes to, if said.
    pub lead_to: Option<String>,
    /// Centre of the mounting face.
    pub pose: Pose,
}

/// Sheet of a T-nut's flange, mm (from memory).
const T_NUT_FLANGE: f64 = 1.5;

/// How far into the board from its far face a T-nut's thread is still caught by 3 mm.
fn row_reach(row: Option<&InsertRow>) -> f64 {
    row.map_or(0.0, |r| r.length - 3.0)
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
    let oval_kind = s.frame_width.is_some() || row.is_some_and(|r| r.frame_width.is_some());
    let bolt_circle = if oval_kind {
        0.0
    } else {
        need(
            s.bolt_circle.as_ref(),
            row.map(|r| r.bolt_circle),
            "bolt-circle",
        )
    };
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
    let oval = Oval::of(s, row, frame, cutout, ledger);
    if oval_kind && oval.is_none() {
        return;
    }
    let bolt_circle = oval.map_or(bolt_circle, |o| o.bolts.length());
    let n = match (&s.bolts, oval) {
        (_, Some(_)) => 4,
        (Some(c), None) => c.value.0,
        (None, None) => row.map_or(4, |r| r.bolts),
    };
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
    let around = match oval {
        Some(o) => o.sound(bolt_hole) && magnet < o.cutout.y - 6.0,
        None => {
            cutout < bolt_circle - bolt_hole
                && bolt_circle + bolt_hole < frame
                && magnet < cutout - 6.0
        }
    };
    let sound = around
        && flange > 0.5
        && magnet_length + flange + 5.0 < depth
        && (3..=24).contains(&n)
        && !bolt.wood
        && bolt_hole > bolt.major;
    if !sound {
        let sizes = oval.map_or(
            format!("frame {frame:.1}, bolt circle {bolt_circle:.1}, cutout {cutout:.1}"),
            |o| {
                format!(
                    "frame {:.1} x {:.1}, bolts {:.1} x {:.1}, cutout {:.1} x {:.1}",
                    o.frame.x, o.frame.y, o.bolts.x, o.bolts.y, o.cutout.x, o.cutout.y
                )
            },
        );
        ledger.error(s.span.clone(), format!("a speaker with {sizes}, magnet {magnet:.1}, depth {depth:.1}, {n} bolts does not add up"), "cutout < bolt circle < frame, magnet < cutout, magnet length < depth, 3 to 24 machine bolts", "measure the part in hand");
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
    let t_nut = match params
        .cabinet
        .baffle
        .as_ref()
        .and_then(|b| b.fixing.as_ref())
    {
        Some(f) if f.value == BaffleFixing::TNuts => {
            let at = s.bolt.as_ref().map_or(f.span.clone(), |v| v.span.clone());
            match insert::for_screw("T-nut", bolt, "speaker T-nuts", measured, &at, ledger) {
                Some(row) if row.length + 1.0 < b.thickness => Some(row),
                Some(row) => {
                    ledger.error(
                        at,
                        format!(
                            "a `{}` is {:.1} mm long, the baffle {:.1} mm thick",
                            row.id, row.length, b.thickness
                        ),
                        "a thicker baffle or a smaller bolt",
                        "",
                    );
                    return;
                }
                None => return,
            }
        }
        _ => None,
    };
    let stick = s.stick_out.as_ref().map(|v| v.value.0);
    let grip = b.thickness + flange;
    let length = match stick {
        // a bolt in a T-nut ends inside the board
        _ if t_nut.is_some() => {
            let most = grip - 1.0;
            let sold = bolt.lengths.iter().copied().filter(|l| *l <= most);
            sold.reduce(f64::max).unwrap_or(most)
        }
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
    let turn = s
        .turn
        .as_ref()
        .map_or(if n == 4 { 45.0 } else { 180.0 / f64::from(n) }, |t| {
            t.value.0
        });
    let round = || {
        let place = |k: u32| {
            // seen from the front clockwise; local x runs to the left there
            let a = (turn + 360.0 * f64::from(k) / f64::from(n)).to_radians();
            DVec2::new(-a.sin(), a.cos()) * (bolt_circle / 2.0)
        };
        (0..n).map(place).collect()
    };
    let bolts: Vec<DVec2> = oval.map_or_else(round, |o| o.places());
    let Some(flat) = design.flats.iter_mut().find(|f| f.id == "baffle") else {
        return;
    };
    flat.holes.push(FlatHole {
        id: "speaker-cutout".into(),
        at,
        shape: match oval {
            Some(o) => HoleShape::Cut {
                outline: Loop::oval(at, o.lying(o.cutout)),
            },
            None => HoleShape::Round { d: cutout },
        },
        purpose: "speaker".into(),
        marked: Marked::Scribed,
        owner: "speaker".into(),
        span: s.span.clone(),
    });
    if let Some(row) = t_nut.filter(|_| length < flange + b.thickness - row_reach(t_nut)) {
        ledger.error(
            s.span.clone(),
            format!(
                "no {} bolt of the catalogue reaches its `{}`",
                bolt.id, row.id
            ),
            "a bolt that ends inside the baffle",
            "another bolt size, or a baffle fixed without T-nuts",
        );
        return;
    }
    let hole = t_nut.map_or_else(|| bolt.clearance(HoleFit::Loose), |r| r.hole);
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
        if let Some(row) = t_nut {
            // the T-nut on the board's far face, the bolt's head on the speaker's flange
            let flip = Pose::from_axes(DVec3::X, -DVec3::Y, DVec3::ZERO);
            let (nut, head) = if from_front {
                (
                    pose.offset(p.extend(b.thickness)).then(&flip),
                    pose.offset(p.extend(-flange)),
                )
            } else {
                (
                    pose.offset(p.extend(-b.thickness)),
                    pose.offset(p.extend(flange)).then(&flip),
                )
            };
            let held = format!("speaker-t-nut-{}", k + 1);
            design.bonds.push(Bond::face(&held, "baffle", How::Seated));
            design.inserts.push(InsertSpec {
                id: held.clone(),
                owner: "speaker".into(),
                row,
                bore: bolt.major,
                flange: T_NUT_FLANGE,
                group: Group::Speaker,
                pose: nut,
            });
            design.fasteners.push(Fastener {
                id,
                nut: None,
                washer: None,
                owner: "speaker".into(),
                group: Group::Speaker,
                moves: false,
                row: bolt,
                head: Head::Pan,
                length,
                pose: head,
                sunk: 0.0,
                grip,
                through: vec![frame, board],
                bites: Some(held),
            });
            continue;
        }
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
        oval,
        bolt_hole,
        bolts,
        depth,
        magnet,
        magnet_length,
        flange,
        from_front,
        mass,
        terminals,
        lead: s.lead.as_ref().map(|v| v.value.0),
        lead_plug: s.lead_plug.as_ref().is_some_and(|v| v.value),
        lead_to: lead_to(s.lead_to.as_ref(), design, ledger),
        pose,
    });
}

/// The item that the lead goes to, which must be one that wires end on.
fn lead_to(typed: Option<&Sp<Id>>, design: &Design, ledger: &mut Ledger) -> Option<String> {
    let typed = typed?;
    let id = &typed.value.0;
    let known = (design.controls.iter().map(|c| &c.id))
        .chain(design.irons.iter().map(|i| &i.id))
        .chain(design.boards.iter().map(|b| &b.id))
        .chain(design.strips.iter().map(|s| &s.id))
        .any(|k| k == id);
    if !known {
        ledger.error(
            typed.span.clone(),
            format!("`lead-to` names `{id}`, which is no control, transformer, board or strip"),
            "the id of a jack, for example",
            "",
        );
    }
    known.then(|| id.clone())
}
