//! Flat parts as they are drawn: one face of one part, its outline, holes and datum, in one place for drawings, templates and cutting files.

use super::lettering::legends;
use super::schedule::{Row, Schedule, datum_of, face_words, marked_face};
use super::sheet::Label;
use crate::assembly::Kind;
use crate::catalogue;
use crate::design::{AngleBar, Design, Face, Flat, HoleShape};
use crate::fit::{Report, kind_word};
use crate::outline::{Arc, Loop, Node};
use glam::{DVec2, DVec3};

/// One face of a part, as seen looking at it.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Id of the part.
    pub part: String,
    /// What is shown: the part, and for an angle which leg.
    pub title: String,
    /// What it is, material and thickness, in words.
    pub stuff: String,
    /// The face shown.
    pub face: String,
    /// Whether that is the face that is marked.
    pub marked: bool,
    /// The datum corner in words.
    pub datum: String,
    /// Outline as seen, mm, its box's lower left corner at the origin.
    pub outline: Loop,
    /// Width and height of that box.
    pub size: DVec2,
    /// The datum corner as seen.
    pub corner: DVec2,
    /// Away from the datum corner along the edges as seen: +1 or -1 in x and y.
    pub way: DVec2,
    /// Holes.
    pub holes: Vec<Hole>,
    /// Grooves and rabbets: low and high corner as seen, depth, and whether they are cut into the face shown.
    pub pockets: Vec<(DVec2, DVec2, f64, bool)>,
    /// Outlines of parts that stand on this face.
    pub ghosts: Vec<Loop>,
    /// The middle of each of those parts, and its id.
    pub names: Vec<(DVec2, String)>,
    /// Sockets with their pins, on the wiring face.
    pub sockets: Vec<Socket>,
    /// Texts to engrave, seen on a panel's outer face.
    pub legends: Vec<Label>,
    /// Words for the lower, upper, left and right edge as seen; empty where none is needed.
    pub edges: [String; 4],
}

impl Plan {
    /// What its files are called, without ending: the legs of an angle are cut and marked apart.
    #[must_use]
    pub fn file_name(&self) -> String {
        let leg = self.title.strip_prefix(&self.part).unwrap_or_default();
        let leg = leg.trim_start_matches(", ").replace(' ', "-");
        if leg.is_empty() {
            self.part.clone()
        } else {
            format!("{}.{leg}", self.part)
        }
    }
}

/// A hole as seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Centre as seen.
    pub at: DVec2,
    /// What stands in the schedule.
    pub row: Row,
    /// Its outline as seen, for an opening that is not round.
    pub outline: Option<Loop>,
    /// Whether its countersink or blind hole opens at the face shown.
    pub opens_here: bool,
}

/// A socket seen from the wiring side.
#[derive(Clone, Debug, PartialEq)]
pub struct Socket {
    /// The tube's id and type.
    pub name: String,
    /// Centre as seen.
    pub at: DVec2,
    /// Diameter of its hole.
    pub hole: f64,
    /// Unit direction to its gap or key as seen.
    pub key: DVec2,
    /// `gap` or `key`.
    pub mark: &'static str,
    /// Pins: number and place as seen, from the centre.
    pub pins: Vec<(u32, DVec2)>,
}

/// How the part frame is seen.
#[derive(Clone, Copy)]
struct Seen {
    low: DVec2,
    high: DVec2,
    mirror: bool,
}

impl Seen {
    fn point(self, p: DVec2) -> DVec2 {
        let x = if self.mirror {
            self.high.x - p.x
        } else {
            p.x - self.low.x
        };
        DVec2::new(x, p.y - self.low.y)
    }

    fn outline(self, l: &Loop) -> Loop {
        let seen = Loop {
            nodes: l
                .nodes
                .iter()
                .map(|n| Node {
                    at: self.point(n.at),
                    arc: n.arc.map(|a| Arc {
                        centre: self.point(a.centre),
                        ccw: a.ccw != self.mirror,
                    }),
                })
                .collect(),
        };
        // counter-clockwise again
        if self.mirror { seen.reversed() } else { seen }
    }
}

/// Both faces of plate, panels, baffle and back boards, the marked face of every other part, and the legs of angles.
#[must_use]
pub fn plans(design: &Design, report: &Report, schedules: &[Schedule]) -> Vec<Plan> {
    let mut out = Vec::new();
    for flat in &design.flats {
        // a plain stick needs no drawing; a board may have fingers
        let plain = flat.holes.is_empty() && flat.pockets.is_empty();
        if plain && flat.kind == Kind::Cleat || flat.kind == Kind::Covering {
            continue;
        }
        let rows = schedules
            .iter()
            .find(|s| s.part == flat.id)
            .map_or(&[][..], |s| &s.rows);
        let marked = marked_face(design, flat);
        let first = of_flat(design, report, flat, rows, marked);
        let both = matches!(
            flat.kind,
            Kind::Plate | Kind::Panel | Kind::Baffle | Kind::BackBoard
        ) || first.holes.iter().any(|h| !h.opens_here);
        out.push(first);
        if both {
            let other = if marked == Face::Front {
                Face::Back
            } else {
                Face::Front
            };
            out.push(of_flat(design, report, flat, rows, other));
        }
    }
    for (angle, schedule) in design
        .angles
        .iter()
        .filter_map(|a| Some((a, schedules.iter().find(|s| s.part == a.id)?)))
    {
        out.extend(of_angle(angle, schedule));
    }
    out
}

fn of_flat(design: &Design, report: &Report, flat: &Flat, rows: &[Row], face: Face) -> Plan {
    let [low, high] = flat.outline.bounds();
    let seen = Seen {
        low,
        high,
        mirror: face == Face::Back,
    };
    let (corner, way) = datum_of(flat);
    let holes = rows
        .iter()
        .map(|row| {
            let opens = match row.shape {
                HoleShape::Countersunk { face: f, .. } | HoleShape::Pilot { face: f, .. } => {
                    f == face
                }
                _ => true,
            };
            Hole {
                at: seen.point(row.centre),
                outline: match &row.shape {
                    HoleShape::Cut { outline } => Some(seen.outline(outline)),
                    _ => None,
                },
                row: row.clone(),
                opens_here: opens,
            }
        })
        .collect();
    let pockets = flat
        .pockets
        .iter()
        .map(|p| {
            let (a, b) = (
                seen.point(p.low.clamp(low, high)),
                seen.point(p.high.clamp(low, high)),
            );
            (a.min(b), a.max(b), p.depth, p.face == face)
        })
        .collect();
    let mut edges = match flat.kind {
        Kind::Plate => ["front edge", "rear edge", "left ear", "right ear"],
        Kind::Panel => ["lower edge", "upper edge", "left end", "right end"],
        _ => ["", "", "", ""],
    };
    if seen.mirror {
        edges.swap(2, 3);
    }
    Plan {
        part: flat.id.clone(),
        title: flat.id.clone(),
        stuff: format!(
            "{}, {}, {:.2} mm",
            kind_word(flat.kind),
            flat.material,
            flat.thickness
        ),
        face: face_words(design, flat, face).into(),
        marked: face == marked_face(design, flat),
        datum: super::schedule::datum_words(design, flat),
        outline: seen.outline(&flat.outline),
        size: high - low,
        corner: seen.point(corner),
        way: if seen.mirror {
            way * DVec2::new(-1.0, 1.0)
        } else {
            way
        },
        holes,
        pockets,
        ghosts: ghosts(design, report, flat, face, seen),
        names: names(design, report, flat, face, seen),
        sockets: sockets(design, flat, face, seen),
        legends: legends(design, flat, face),
        edges: edges.map(str::to_owned),
    }
}

/// Knobs on a panel's outer face, bodies of controls on its inner face.
fn on_panel(design: &Design, report: &Report, flat: &Flat, face: Face, seen: Seen) -> Vec<Loop> {
    let kind = if face == Face::Front {
        "knob"
    } else {
        "control"
    };
    let own = flat.id.trim_end_matches("-overlay");
    let to_panel = flat.pose.inverse();
    let controls = design.controls.iter().filter(|c| c.on == own);
    controls
        .flat_map(|c| report.solids.iter().filter(move |s| of_item(&s.id, &c.id)))
        .filter(|s| s.kind == kind)
        .map(|s| {
            let [a, b] = s.box_mm.map(|p| to_panel.point(p.into()).truncate());
            let (low, high) = (a.min(b), a.max(b));
            seen.outline(&if kind == "knob" {
                Loop::circle((low + high) / 2.0, (high.x - low.x) / 2.0)
            } else {
                Loop::rect(low, high)
            })
        })
        .collect()
}

/// Whether a solid is an item's own: `V1` and `V1-socket` are of `V1`, `V10` is not.
fn of_item(solid: &str, item: &str) -> bool {
    solid
        .strip_prefix(item)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
}

/// What stands on a face of the plate, by the boxes of its solids; round where the solid is.
fn ghosts(design: &Design, report: &Report, flat: &Flat, face: Face, seen: Seen) -> Vec<Loop> {
    if flat.kind == Kind::Panel {
        return on_panel(design, report, flat, face, seen);
    }
    let Some(plate) = design.plate.filter(|_| flat.kind == Kind::Plate) else {
        return Vec::new();
    };
    let component = face == plate.component_face();
    let round = ["small tube", "power tube", "rectifier"];
    let mut out = Vec::new();
    for s in &report.solids {
        let here = match s.group.as_str() {
            "above" => component,
            "below" => !component,
            _ => false,
        };
        let small = matches!(
            s.kind.as_str(),
            "screw" | "nut" | "washer" | "stand-off" | "hardware" | "clamp" | "retainer"
        );
        if !here || small {
            continue;
        }
        let [a, b] = s.box_mm.map(|p| plate.local(p.into()));
        let upright_can = s.kind == "can" && (b.x - a.x - (b.y - a.y)).abs() < 0.1;
        let l = if round.contains(&s.kind.as_str()) || upright_can {
            Loop::circle((a + b) / 2.0, (b.x - a.x) / 2.0)
        } else if let Some(corners) = s.turned {
            let [a, b, c, d] = corners.map(|[x, y]| plate.local(DVec3::new(x, y, plate.z0)));
            // loops run counter-clockwise, also where the plate is seen from below
            if (b - a).perp_dot(c - b) > 0.0 {
                Loop::polygon(&[a, b, c, d])
            } else {
                Loop::polygon(&[d, c, b, a])
            }
        } else {
            Loop::rect(a, b)
        };
        out.push(seen.outline(&l));
    }
    out
}

/// The tall items of a face of the plate, each with the middle of its solids' box.
fn names(
    design: &Design,
    report: &Report,
    flat: &Flat,
    face: Face,
    seen: Seen,
) -> Vec<(DVec2, String)> {
    let Some(plate) = design.plate.filter(|_| flat.kind == Kind::Plate) else {
        return Vec::new();
    };
    let here = if face == plate.component_face() {
        "above"
    } else {
        "below"
    };
    let ids = (design.tubes.iter().map(|t| &t.id))
        .chain(design.irons.iter().map(|t| &t.id))
        .chain(design.cans.iter().map(|t| &t.id))
        .chain(design.boards.iter().map(|t| &t.id));
    ids.filter_map(|id| {
        let own = |s: &&crate::fit::SolidRow| s.group == here && of_item(&s.id, id);
        let [a, b] = report
            .solids
            .iter()
            .filter(own)
            .map(|s| s.box_mm.map(|p| plate.local(p.into())))
            .reduce(|p, q| [p[0].min(q[0]), p[1].max(q[1])])?;
        Some((seen.point((a + b) / 2.0), id.clone()))
    })
    .collect()
}

/// The sockets with their pins, on the wiring face of the plate.
fn sockets(design: &Design, flat: &Flat, face: Face, seen: Seen) -> Vec<Socket> {
    let Some(plate) = design.plate.filter(|_| flat.kind == Kind::Plate) else {
        return Vec::new();
    };
    if face == plate.component_face() {
        return Vec::new();
    }
    let mut out = Vec::new();
    for t in &design.tubes {
        let Some(base) = catalogue::find::<catalogue::BaseRow>(&t.socket.base) else {
            continue;
        };
        let place = |p: DVec2| seen.point(plate.local(t.pose.point(p.extend(0.0))));
        let at = place(DVec2::ZERO);
        out.push(Socket {
            name: format!("{} {}", t.id, t.type_id),
            at,
            hole: t.socket.hole,
            key: (place(DVec2::Y) - at).normalize_or_zero(),
            mark: if base.mark == "key" { "key" } else { "gap" },
            pins: base
                .pins()
                .iter()
                .map(|p| (p.number, place(p.at) - at))
                .collect(),
        });
    }
    out
}

fn of_angle(angle: &AngleBar, schedule: &Schedule) -> [Plan; 2] {
    let size = DVec2::new(angle.length, angle.leg);
    super::schedule::legs(angle).map(|(leg, _)| {
        // seen from outside, the leg on the plate runs the other way along the bar
        let seen = Seen {
            low: DVec2::ZERO,
            high: size,
            mirror: leg == "leg on the plate",
        };
        let holes = schedule
            .rows
            .iter()
            .filter(|r| r.purpose.ends_with(leg))
            .map(|r| Hole {
                at: seen.point(r.centre),
                row: r.clone(),
                outline: None,
                opens_here: true,
            })
            .collect();
        Plan {
            part: angle.id.clone(),
            title: format!("{}, {leg}", angle.id),
            stuff: format!(
                "{}, {}, {:.2} mm",
                kind_word(angle.kind),
                angle.material,
                angle.thickness
            ),
            face: "outside of the leg".into(),
            marked: true,
            datum: schedule.datum.clone(),
            outline: seen.outline(&Loop::rect(DVec2::ZERO, size)),
            size,
            corner: seen.point(DVec2::ZERO),
            way: DVec2::new(if seen.mirror { -1.0 } else { 1.0 }, 1.0),
            holes,
            pockets: Vec::new(),
            ghosts: Vec::new(),
            names: Vec::new(),
            sockets: Vec::new(),
            legends: Vec::new(),
            edges: ["outside corner", "toe", "", ""].map(str::to_owned),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{shop, study};

    /// Pins are numbered clockwise from the gap or key, seen from the side where one solders (as tube makers' base diagrams print it).
    #[test]
    fn pins_run_clockwise_on_the_wiring_side_from_the_gap() {
        for text in [crate::testing::LANTERN, crate::testing::HARBOUR] {
            let s = study::study(text).expect("sound");
            let plans = plans(&s.design, &s.report, &shop::schedule(&s.design));
            let wiring: Vec<&Plan> = plans.iter().filter(|p| !p.sockets.is_empty()).collect();
            assert_eq!(wiring.len(), 1);
            assert_eq!(wiring[0].sockets.len(), s.design.tubes.len());
            assert!(wiring[0].face.starts_with("wiring"));
            for socket in &wiring[0].sockets {
                for pair in socket.pins.windows(2) {
                    assert!(pair[0].1.perp_dot(pair[1].1) < 0.0, "{}", socket.name);
                }
                let first = socket.key.perp_dot(socket.pins[0].1);
                assert!(
                    first < 0.0,
                    "{}: pin 1 follows the {}",
                    socket.name,
                    socket.mark
                );
                let hole = wiring[0]
                    .holes
                    .iter()
                    .any(|h| h.at.distance(socket.at) < 1e-9);
                assert!(hole, "{}", socket.name);
            }
        }
    }

    /// A turn moves what stands on the plate and makes nothing larger.
    #[test]
    fn a_part_at_an_odd_turn_keeps_its_footprint() {
        let text = include_str!("../../tests/designs/crossed-and-aside.toml");
        let areas = |turn: &str| {
            let text = text.replace("turn = 90", turn);
            let s = study::study(&text).expect("sound");
            let plans = plans(&s.design, &s.report, &shop::schedule(&s.design));
            let ghosts = plans.iter().flat_map(|p| &p.ghosts);
            let mut areas: Vec<f64> = ghosts.map(|g| g.area().abs()).collect();
            areas.sort_by(f64::total_cmp);
            areas
        };
        let (square, odd) = (areas("turn = 90"), areas("turn = 30"));
        assert!(!square.is_empty() && square.len() == odd.len());
        for (a, b) in square.iter().zip(&odd) {
            assert!((a - b).abs() < 1e-6 * a, "{square:?} {odd:?}");
        }
    }

    #[test]
    fn a_hole_lies_as_far_from_the_datum_on_every_view() {
        let s = crate::testing::lantern();
        let plans = plans(&s.design, &s.report, &shop::schedule(&s.design));
        for p in &plans {
            for h in &p.holes {
                let at = (h.at - p.corner) * p.way;
                assert!((at - h.row.at).length() < 1e-9, "{} {}", p.title, h.row.id);
            }
        }
        // by hand: seen facing the front panel INPUT is on the right, so seen from behind it is on the left
        let views: Vec<&Plan> = plans.iter().filter(|p| p.part == "panel-front").collect();
        let x = |p: &Plan| {
            let h = p
                .holes
                .iter()
                .find(|h| h.row.id.starts_with("INPUT"))
                .expect("INPUT");
            h.at.x / p.size.x
        };
        assert!(views[0].face == "outer face" && x(views[0]) > 0.9);
        assert!(views[1].face == "inner face" && x(views[1]) < 0.1);
    }
}
