//! What is cut and what is bought: the cut list and the hardware list.

use crate::assembly::Kind;
use crate::design::{Design, Flat};
use crate::fit::{Report, kind_word};
use crate::params::{Corner, Head};
use crate::units;
use std::collections::BTreeMap;

/// Pieces that are cut alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Ids of the parts.
    pub parts: Vec<String>,
    /// What they are.
    pub what: &'static str,
    /// Material.
    pub material: String,
    /// Finished size: along the grain or the stock's length, across it, thickness, mm. Joints included.
    pub size: [f64; 3],
    /// What of the length or width is the corner joint's, or how the ends are cut, in words; may be empty.
    pub joint: String,
    /// Which way the grain runs, in words.
    pub grain: &'static str,
    /// Finished mass of one, g.
    pub mass: f64,
}

/// The cut list: every flat part and every length of angle, alike ones together, in the order of the design.
#[must_use]
pub fn cut_list(design: &Design, report: &Report) -> Vec<Cut> {
    let mass: BTreeMap<&str, f64> = report
        .solids
        .iter()
        .map(|s| (s.id.as_str(), s.mass_g))
        .collect();
    let of = |id: &str| mass.get(id).copied().unwrap_or(0.0);
    let mut out: Vec<Cut> = Vec::new();
    let mut add = |cut: Cut| {
        let same = out.iter_mut().find(|c| {
            c.what == cut.what
                && c.material == cut.material
                && c.joint == cut.joint
                && (0..3).all(|k| (c.size[k] - cut.size[k]).abs() < 0.005)
        });
        match same {
            Some(c) => c.parts.extend(cut.parts),
            None => out.push(cut),
        }
    };
    for f in &design.flats {
        add(cut_of(design, f, of(&f.id)));
    }
    for a in &design.angles {
        let legs = units::mm_2(a.leg);
        add(Cut {
            parts: vec![a.id.clone()],
            what: kind_word(a.kind),
            material: a.material.clone(),
            size: [a.length, a.leg, a.thickness],
            joint: format!(
                "{legs} legs, square inside fillet {}",
                units::mm_1(a.fillet)
            ),
            grain: "none",
            mass: of(&a.id),
        });
    }
    out
}

fn cut_of(design: &Design, f: &Flat, mass: f64) -> Cut {
    let [low, high] = match &f.bevel {
        // a bevelled end is sawn from a piece that holds both faces
        Some(top) => {
            let (a, b) = (f.outline.bounds(), top.bounds());
            [a[0].min(b[0]), a[1].max(b[1])]
        }
        None => f.outline.bounds(),
    };
    let mut size = high - low;
    let wood = matches!(
        f.kind,
        Kind::Board | Kind::Baffle | Kind::Cleat | Kind::BackBoard
    );
    // boards of the shell have y of their frame round the box; that is where the grain runs
    let shell = f.kind == Kind::Board;
    let mut joint = String::new();
    if shell {
        let board = f.thickness;
        let side = f.id.starts_with("side");
        joint = match design.corner {
            Some(Corner::Dovetail) if side => {
                size.y += 2.0 * board;
                format!(
                    "tails of {} at both ends are in the length; the model shows the board without them",
                    units::mm_1(board)
                )
            }
            Some(Corner::Dovetail) => "pins at both ends, in the length".into(),
            Some(Corner::BoxJoint) => format!(
                "fingers {} long at both ends, in the length",
                units::mm_1(board)
            ),
            Some(Corner::Rabbet) if side => {
                "goes into the rabbets at both ends, in the length".into()
            }
            Some(Corner::Rabbet) => format!(
                "rabbets {} wide, {} deep at both ends",
                units::mm_1(board),
                units::mm_1(board / 2.0)
            ),
            Some(Corner::Butt) if side => "stands between top and bottom".into(),
            _ => "lies over the ends of the sides".into(),
        };
    } else if f.bevel.is_some() {
        joint = "two ends are sawn at the tilt; the size holds both faces".into();
    }
    let (along, across) = if shell {
        (size.y, size.x)
    } else {
        (size.max_element(), size.min_element())
    };
    // a thick short strip: its length is the longest of the three
    let mut dims = [along, across, f.thickness];
    if f.kind == Kind::Cleat {
        dims.sort_by(|a, b| b.total_cmp(a));
    }
    Cut {
        parts: vec![f.id.clone()],
        what: kind_word(f.kind),
        material: f.material.clone(),
        size: dims,
        joint,
        grain: if !wood {
            "none"
        } else if shell {
            "round the box"
        } else {
            "along the length"
        },
        mass,
    }
}

/// Things bought by count.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    /// What it is: `screw`, `nut`, `grommet`, ...
    pub what: &'static str,
    /// Its size, in words.
    pub size: String,
    /// How many.
    pub count: usize,
    /// The items it serves, each once, in the order of the design.
    pub serves: Vec<String>,
}

/// The hardware list: screws with lengths, nuts, washers, grommets, stand-offs, feet, knobs, and the parts that come ready made.
#[must_use]
pub fn hardware(design: &Design) -> Vec<Bought> {
    let mut list = List::default();
    for f in &design.fasteners {
        let head = match f.head {
            Head::Countersunk => "countersunk head",
            Head::Pan => "pan head",
        };
        let what = if f.row.wood { "wood screw" } else { "screw" };
        let name = f.row.id.trim_end_matches(" wood");
        list.add(
            what,
            format!("{name} x {}, {head}", units::show(f.length)),
            1,
            &f.owner,
        );
        if f.nut.is_some() {
            list.add("nut", name.to_owned(), 1, &f.owner);
        }
        if f.washer.is_some() {
            list.add("washer", format!("plain, {name}"), 1, &f.owner);
        }
    }
    for r in &design.rivets {
        list.add(
            "blind rivet",
            format!(
                "{}, dome head, grip {}",
                r.row.id.trim_start_matches("rivet "),
                units::show(r.grip)
            ),
            1,
            &r.owner,
        );
    }
    for i in &design.inserts {
        list.add("threaded insert", i.row.id.clone(), 1, &i.owner);
    }
    for g in &design.grommets {
        list.add(
            "grommet",
            format!(
                "{}, for a hole of {} in {}",
                g.row.id,
                units::mm_1(g.row.hole),
                units::mm_1(g.sheet)
            ),
            1,
            &g.owner,
        );
    }
    for b in &design.boards {
        list.add(
            "stand-off",
            format!(
                "{} long, bore {}",
                units::mm_1(b.stand_off),
                units::mm_1(b.bore)
            ),
            b.holes.len(),
            &b.id,
        );
        list.add(
            "circuit board",
            format!(
                "{} x {} x {}",
                units::mm_1(b.size.x),
                units::mm_1(b.size.y),
                units::mm_1(b.thickness)
            ),
            1,
            &b.id,
        );
    }
    for s in &design.studs {
        list.add(
            "solder lug",
            format!("hole {}", units::mm_1(s.hole)),
            1,
            &s.owner,
        );
    }
    for s in &design.strips {
        list.add(
            "terminal strip",
            format!("{} long", units::mm_1(s.size.x)),
            1,
            &s.id,
        );
    }
    for f in &design.feet {
        list.add(
            "foot",
            format!(
                "rubber, {} dia, {} high",
                units::mm_1(f.diameter),
                units::mm_1(f.height)
            ),
            1,
            &f.id,
        );
    }
    if let Some(h) = &design.handle {
        list.add(
            "handle",
            format!("{} between screws", units::show(h.spacing)),
            1,
            "handle",
        );
    }
    for t in &design.tubes {
        list.add("tube", t.type_id.clone(), 1, &t.id);
        list.add("socket", t.socket.id.clone(), 1, &t.id);
        if let Some(r) = &t.retainer {
            list.add(
                "retainer",
                format!("for {} inside", units::mm_1(2.0 * r.inside)),
                1,
                &t.id,
            );
        }
    }
    for c in &design.cans {
        list.add(
            "can",
            format!("{} x {}", units::mm_1(c.diameter), units::mm_1(c.height)),
            1,
            &c.id,
        );
        list.add(
            "clamp",
            format!(
                "for {}, holes {} apart",
                units::mm_1(c.diameter),
                units::mm_1(2.0 * c.half_spacing)
            ),
            1,
            &c.id,
        );
    }
    for c in &design.controls {
        list.add("control", c.row.id.clone(), 1, &c.id);
        if let Some(k) = &c.knob {
            list.add("knob", k.row.id.clone(), 1, &c.id);
        }
    }
    list.rows
}

#[derive(Default)]
struct List {
    rows: Vec<Bought>,
}

impl List {
    fn add(&mut self, what: &'static str, size: String, count: usize, serves: &str) {
        let row = match self
            .rows
            .iter_mut()
            .find(|r| r.what == what && r.size == size)
        {
            Some(row) => row,
            None => {
                // kinds stay together: a new size goes behind the last of its kind
                let at = self
                    .rows
                    .iter()
                    .rposition(|r| r.what == what)
                    .map_or(self.rows.len(), |k| k + 1);
                self.rows.insert(
                    at,
                    Bought {
                        what,
                        size,
                        count: 0,
                        serves: Vec::new(),
                    },
                );
                &mut self.rows[at]
            }
        };
        row.count += count;
        if !row.serves.iter().any(|s| s == serves) {
            row.serves.push(serves.to_owned());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study;

    fn demos() -> Vec<study::Study> {
        [
            include_str!("../../params/lantern-40.toml"),
            include_str!("../../params/harbour-15.toml"),
            include_str!("../../params/pantry-4.toml"),
        ]
        .iter()
        .map(|t| study::study(t).expect("the demo is sound"))
        .collect()
    }

    #[test]
    fn every_fastener_of_the_model_is_bought_once() {
        for s in demos() {
            let list = hardware(&s.design);
            let bought = |what: &[&str]| -> usize {
                list.iter()
                    .filter(|b| what.contains(&b.what))
                    .map(|b| b.count)
                    .sum()
            };
            let solids = |kind: &str| s.report.solids.iter().filter(|x| x.kind == kind).count();
            assert_eq!(bought(&["screw", "wood screw"]), solids("screw"));
            assert_eq!(bought(&["washer"]), solids("washer"));
            assert_eq!(bought(&["stand-off"]), solids("stand-off"));
            assert_eq!(bought(&["foot"]), solids("foot"));
            assert_eq!(bought(&["socket"]), solids("socket"));
            // the nuts of controls come with them
            let own = s
                .design
                .controls
                .iter()
                .filter(|c| {
                    let id = format!("{}-nut", c.id);
                    s.report.solids.iter().any(|x| x.id == id)
                })
                .count();
            assert_eq!(bought(&["nut"]) + own, solids("nut"), "{}", s.design.name);
        }
    }

    #[test]
    fn every_piece_is_cut_once_and_holds_its_part() {
        for s in demos() {
            let list = cut_list(&s.design, &s.report);
            let pieces: usize = list.iter().map(|c| c.parts.len()).sum();
            assert_eq!(pieces, s.design.flats.len() + s.design.angles.len());
            for c in &list {
                for id in &c.parts {
                    let solid = s
                        .report
                        .solids
                        .iter()
                        .find(|x| x.id == *id)
                        .expect("a solid");
                    if s.design.flat(id).is_some() {
                        assert!(
                            c.size.iter().product::<f64>() >= solid.volume_mm3 * (1.0 - 1e-9),
                            "{id}: {:?}",
                            c.size
                        );
                    }
                    assert!(solid.mass_g > 0.0 && (solid.mass_g - c.mass).abs() < 0.2 * c.mass);
                }
            }
        }
    }

    #[test]
    fn a_dovetailed_side_is_longer_than_its_model() {
        let s = study::study(include_str!("../../params/lantern-40.toml")).expect("sound");
        let list = cut_list(&s.design, &s.report);
        let side = list
            .iter()
            .find(|c| c.parts.contains(&"side-left".to_owned()))
            .expect("a side");
        // by hand: inside height 235 and a board of 18 at each end; depth 238
        assert_eq!(side.size, [235.0 + 36.0, 238.0, 18.0]);
    }
}
