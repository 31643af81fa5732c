//! The cut list: what is sawn to size, with the joints' allowance, the way of the grain and the mass.

use crate::assembly::Kind;
use crate::design::{Design, Flat, has_grain};
use crate::fit::{Report, kind_word};
use crate::params::Corner;
use crate::units;
use std::collections::BTreeMap;

/// Pieces that are cut alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Ids of the parts.
    pub parts: Vec<String>,
    /// What they are, in a word.
    pub what: &'static str,
    /// What they are.
    pub kind: Kind,
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
            kind: a.kind,
            material: a.material.clone(),
            size: [a.length, a.leg, a.thickness],
            joint: if a.fillet > 0.0 {
                format!("{legs} legs, inside fillet {}", units::mm_1(a.fillet))
            } else {
                format!("{legs} legs, square inside")
            },
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
    let grain = has_grain(&f.material);
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
                "fingers {} long at both ends, in the length; their places are in the drill schedule",
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
    } else if f.kind == Kind::Covering {
        joint = "not cut apart: where the one strip that is listed to buy is turned in".into();
    } else if f.bevel.is_some() {
        joint = "two ends are sawn at the tilt; the size holds both faces".into();
    }
    let (along, across) = if shell {
        (size.y, size.x)
    } else if matches!(f.kind, Kind::Baffle | Kind::BackBoard) {
        // their grain runs from side to side, also where they are higher than wide: `wood-moves` reckons with it
        (size.x, size.y)
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
        kind: f.kind,
        material: f.material.clone(),
        size: dims,
        joint,
        grain: if !grain {
            "none"
        } else if shell {
            "round the box"
        } else {
            "along the length"
        },
        mass,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_piece_is_cut_once_and_holds_its_part() {
        for s in crate::testing::demos() {
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
    fn a_baffle_higher_than_wide_keeps_its_grain_from_side_to_side() {
        let text = "[design]\nname = \"a\"\n[cabinet]\nwidth = 300\nheight = 412\ndepth = 230\n[cabinet.baffle]\nthickness = 12\n\
            material = \"ponderosa pine\"\n";
        let s =
            crate::study::study(text).unwrap_or_else(|d| panic!("{}", d.render("a", text, false)));
        let list = cut_list(&s.design, &s.report);
        let baffle = list
            .iter()
            .find(|c| c.parts == ["baffle"])
            .expect("a baffle");
        assert_eq!(baffle.size, [300.0, 412.0, 12.0]);
        assert_eq!(baffle.grain, "along the length");
    }

    #[test]
    fn a_dovetailed_side_is_longer_than_its_model() {
        let s = crate::testing::lantern();
        let list = cut_list(&s.design, &s.report);
        let side = list
            .iter()
            .find(|c| c.parts.contains(&"side-left".to_owned()))
            .expect("a side");
        // by hand: inside height 235 and a board of 18 at each end; depth 238
        assert_eq!(side.size, [235.0 + 36.0, 238.0, 18.0]);
    }
}
