//! The order of work for a design, with the caution that belongs to each step and what local rules decide there.

#[cfg(test)]
mod tests;

use super::schedule::{Placed, Schedule, is_metal};
use crate::assembly::Kind;
use crate::design::{AngleBar, Design, HoleShape};
use crate::params::Corner;
use crate::units;

/// A step of the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// What it is, in a word or two.
    pub title: &'static str,
    /// What to do, with this design's numbers.
    pub text: String,
    /// What can hurt or spoil here.
    pub care: &'static str,
    /// What local rules or a licensed person decide here; empty where nothing of that kind does.
    pub rules: &'static str,
}

/// The order of work: common practice, with this design's own parts and numbers.
#[must_use]
pub fn order(design: &Design, schedules: &[Schedule]) -> Vec<Work> {
    let mut out = Vec::new();
    before(design, &mut out);
    cabinet(design, &mut out);
    boards(design, schedules, &mut out);
    if design.plate.is_some() {
        metal(design, schedules, &mut out);
        holes(design, schedules, &mut out);
    }
    cover(design, &mut out);
    if design.plate.is_some() {
        together(design, &mut out);
    }
    out
}

fn add(out: &mut Vec<Work>, title: &'static str, text: impl Into<String>, care: &'static str) {
    out.push(Work {
        title,
        text: text.into(),
        care,
        rules: "",
    });
}

/// Says of the last step what is not the builder's to decide.
fn rules(out: &mut [Work], text: &'static str) {
    if let Some(last) = out.last_mut() {
        last.rules = text;
    }
}

fn before(design: &Design, out: &mut Vec<Work>) {
    if !design.unmeasured.is_empty() {
        let text = format!(
            "Have the real parts on the bench and fill in the measure-first form: {} unmeasured. Write the numbers into the parameter file \
             and build again; only then print templates.",
            units::count(design.unmeasured.len(), "part")
        );
        add(
            out,
            "Measure first",
            text,
            "A hole in the wrong place cannot be undone. Measure only parts that are connected to nothing.",
        );
    }
    add(
        out,
        "Check the print",
        "Print the templates at 100 %, with no fitting to the page, and lay a steel rule on the printed 100 mm and 4 in. If they are off, \
         use the drill schedule instead of the template.",
        "A page fitted to the paper is 3 to 6 % small: every hole would be wrong.",
    );
}

fn cabinet(design: &Design, out: &mut Vec<Work>) {
    let Some(c) = &design.cabinet else {
        return;
    };
    add(
        out,
        "Saw the boards",
        format!(
            "Saw the boards by the cutting plan, {} apart for the saw's kerf. The cut list's sizes hold the corner joint.",
            units::mm_1(design.stock.kerf)
        ),
        "Saw: eyes and ears protected, work against the fence, push sticks, nobody behind the blade; dust mask for plywood and MDF.",
    );
    let joint = match design.corner {
        Some(Corner::BoxJoint) => {
            "Cut the box joint's sockets with one setting of the jig, all four boards from the same edge; try it in scrap first"
        }
        Some(Corner::Dovetail) => {
            "Cut the tails into the sides and mark the pins from them; try the joint in scrap first"
        }
        Some(Corner::Rabbet) => "Rout the rabbets into top and bottom; try one in scrap first",
        _ => "Plane the ends square, since the boards only butt",
    };
    add(
        out,
        "Joints and grooves",
        format!(
            "{joint}. Rout the plate's grooves before gluing, left and right from the same edge, and try the bare plate's stock in them."
        ),
        "Router: clamp the work, feed against the bit's turn, hands clear, take shallow passes; unplug it to change the bit.",
    );
    add(
        out,
        "Glue up",
        format!(
            "Put the box together dry and check the inside width of {} at front and rear, and both diagonals, before and after clamping. \
             Keep glue out of the grooves.",
            units::show(c.width)
        ),
        "A box glued out of square jams the plate; there are minutes to put it right, not hours.",
    );
}

/// Baffle, back boards, cleats and blocks, once the box stands.
fn boards(design: &Design, schedules: &[Schedule], out: &mut Vec<Work>) {
    let of = |kinds: &[Kind]| -> Vec<&str> {
        let flats = design.flats.iter().filter(|f| kinds.contains(&f.kind));
        flats.map(|f| f.id.as_str()).collect()
    };
    let (wide, sticks) = (of(&[Kind::Baffle, Kind::BackBoard]), of(&[Kind::Cleat]));
    if wide.is_empty() && sticks.is_empty() {
        return;
    }
    let mut text = String::new();
    if !wide.is_empty() {
        text += &format!(
            "Cut and drill {} by the drill schedule, each from the face it names, and try it in the box. ",
            wide.join(", ")
        );
    }
    if !sticks.is_empty() {
        text += &format!(
            "Glue {} in where the story stick, or the part they hold, puts them, and keep glue out of the grooves. ",
            sticks.join(", ")
        );
    }
    let spotted = schedules
        .iter()
        .filter(|s| sticks.contains(&s.part.as_str()));
    let spotted = spotted
        .flat_map(|s| &s.rows)
        .any(|r| matches!(r.placed, Placed::Transferred(_)));
    if spotted {
        text += "Their pilots are spotted through what is screwed to them, when that lies in its place.";
    }
    add(
        out,
        "Baffle, boards and cleats",
        text.trim_end(),
        "Router or jigsaw: clamp the board over scrap, shallow passes, hands clear; eyes and ears protected, a mask against the dust.",
    );
}

/// Covering, handle and feet: after all trying, before the chassis goes in for good.
fn cover(design: &Design, out: &mut Vec<Work>) {
    let covered = design.flats.iter().any(|f| f.kind == Kind::Covering);
    let mut on = Vec::new();
    if design.handle.is_some() {
        on.push("handle");
    }
    if !design.feet.is_empty() {
        on.push("feet");
    }
    let screwed = if on.is_empty() {
        String::new()
    } else {
        format!(
            "Screw the {} on in the holes drilled by the schedule.",
            on.join(" and the ")
        )
    };
    if covered {
        add(
            out,
            "Cover the box",
            format!(
                "Glue the covering once round the box, its lap underneath, turn it in at front and rear, and keep it out of the grooves; \
                 slide the plate in again while it can be trimmed. {screwed}"
            )
            .trim_end(),
            "Contact glue: its vapour burns and harms; fresh air, no flame, no spark. Cut away from the hand.",
        );
    } else if !on.is_empty() {
        add(
            out,
            "Fit out the box",
            screwed,
            "A screw that is too long comes through: try its length against the board first.",
        );
    }
}

fn metal(design: &Design, schedules: &[Schedule], out: &mut Vec<Work>) {
    let Some(plate) = &design.plate else {
        return;
    };
    let panels: Vec<String> = design
        .flats
        .iter()
        .filter(|f| f.kind == Kind::Panel)
        .map(|f| {
            let [low, high] = f.outline.bounds();
            format!(
                "{} to {:.1} x {:.1} mm",
                f.id,
                high.x - low.x,
                high.y - low.y
            )
        })
        .collect();
    let panels = if panels.is_empty() {
        String::new()
    } else {
        format!(", {}", panels.join(", "))
    };
    add(
        out,
        "Cut plate and panels",
        format!(
            "Cut the plate to {} wide over the ears and {} deep, {} thick{panels}. Mark the datum corner of each with a scratch that stays.",
            units::show(plate.width),
            units::show(plate.depth),
            units::mm_2(plate.thickness)
        ),
        "Clamp the sheet, protect eyes and ears. Sheet edges cut skin: gloves to carry, none at a turning tool.",
    );
    add(
        out,
        "Deburr the edges",
        "File the sawn edges smooth and square, break them on both faces, and take the corners of the ears off so that they enter the groove.",
        "A burr cuts skin and wire, and scores the groove. Brush the filings off, don't wipe them with the hand.",
    );
    add(
        out,
        "Try it in the groove",
        "Slide the bare plate into the cabinet over the whole depth. It should go by hand without rattle. Put it right now, while nothing \
         is drilled.",
        "Never drive it with a hammer: the groove's lip breaks out. Widen the groove or thin the ear.",
    );
    let angles: Vec<&AngleBar> = design
        .angles
        .iter()
        .filter(|a| a.kind == Kind::Angle)
        .collect();
    if angles.is_empty() {
        return;
    }
    let ids: Vec<&str> = angles.iter().map(|a| a.id.as_str()).collect();
    let lengths: Vec<String> = angles
        .iter()
        .map(|a| format!("{} {}", a.id, units::show(a.length)))
        .collect();
    add(
        out,
        "Clamp the angle square",
        format!(
            "Cut the angle to length: {}. Clamp each angle on the plate's edge, outside corner flush with it, and check with a square at both \
             ends before anything is drilled.",
            lengths.join(", ")
        ),
        "File the angle's ends before you handle it. What is clamped askew stays askew: the panel will lean.",
    );
    let screws: usize = schedules
        .iter()
        .filter(|s| ids.contains(&s.part.as_str()))
        .map(|s| s.rows.len())
        .sum();
    let pitches: Vec<String> = angles
        .iter()
        .filter_map(|a| {
            let (first, second) = (a.plate_leg.first()?.0, a.plate_leg.get(1)?.0);
            Some(format!(
                "{}: line {} from the corner, first hole {} from the end, then every {}",
                a.id,
                units::mm_1(a.gauge),
                units::mm_1(first),
                units::show(second - first)
            ))
        })
        .collect();
    add(
        out,
        "Mark even pitch",
        format!(
            "Scribe the gauge line on both legs and mark {} by the drill schedule, the panel's between the plate's ({}). Step them off with \
             dividers as a check, then prick them.",
            units::count(screws, "hole"),
            pitches.join("; ")
        ),
        "Measure each place from the end, not from hole to hole: small errors add up.",
    );
    add(
        out,
        "Drill angle and plate together",
        "Drill through angle and plate in one go, one hole at each end first, with a screw or a pin put in before the next. Then clamp the \
         panel against the other leg and spot its holes through the leg.",
        "Clamp, never hold: sheet grabs as the drill breaks through. Eye protection, sleeves and hair away from the chuck.",
    );
    let sunk = |s: &Schedule| {
        s.rows
            .iter()
            .any(|r| matches!(r.shape, HoleShape::Countersunk { .. }) && is_metal(&s.material))
    };
    if schedules.iter().any(sunk) {
        add(
            out,
            "Countersink",
            "Countersink plate and panels from the outside until a screw lies flush; try after each turn.",
            "A countersink that chatters is too fast or too dull. Too deep cannot be undone.",
        );
    }
    add(
        out,
        "Take apart",
        "Mark which angle, end and edge belong together, take everything apart, and deburr every hole on both faces: a burr between plate \
         and angle holds them apart.",
        "Chips left between the parts scratch them and keep the earth path poor: brush them out.",
    );
}

fn holes(design: &Design, schedules: &[Schedule], out: &mut Vec<Work>) {
    add(
        out,
        "Drill plate and panels flat",
        "Lay each panel and the plate flat on scrap wood. Tape the template to the marked face, datum edges flush, prick every centre, take \
         the template off and check five places with a rule. Drill all holes of one letter before you change the drill.",
        "Aluminium chips are sharp and hot; brush, don't blow. Eye protection; clamp every piece.",
    );
    if !design.controls.is_empty() {
        rules(
            out,
            "Where mains comes in (inlet or cord, its anchorage, fuse, switch) local rules say what parts, spacings and marks are allowed.",
        );
    }
    let mut hand: Vec<&str> = schedules
        .iter()
        .flat_map(|s| &s.rows)
        .filter_map(|r| match &r.placed {
            Placed::InHand(part) => Some(part.as_str()),
            _ => None,
        })
        .collect();
    hand.sort_unstable();
    hand.dedup();
    if !hand.is_empty() {
        add(
            out,
            "Holes taken from the part",
            format!(
                "Set these on their centre lines and spot their holes from the part itself: {}. Feet and clamps are not standardised.",
                hand.join(", ")
            ),
            "Transformers are heavy: support plate and part, keep fingers from under them.",
        );
    }
    let sockets: Vec<String> = design
        .tubes
        .iter()
        .map(|t| format!("{} {}", t.id, units::mm_1(t.socket.hole)))
        .collect();
    let sockets = if sockets.is_empty() {
        String::new()
    } else {
        format!(" ({})", sockets.join(", "))
    };
    add(
        out,
        "Punch the sockets",
        format!(
            "Punch or step-drill the sockets' holes{sockets}, pilot first; lay a socket in and turn its gap or key as drawn before you spot its \
             screws. File openings to the line. Deburr both faces; every hole that a wire passes gets its grommet."
        ),
        "A step bit grabs in thin sheet as a new step bites: low speed, clamped, both hands free of the sheet.",
    );
    if is_metal(design.flat("plate").map_or("", |f| f.material.as_str())) {
        add(
            out,
            "Finish",
            "Wet-sand with 600, 800 and 1000 grit in one direction, then 0000 steel wool in the same direction (common practice). Wash and \
             dry. Leave bare metal under the earth stud and its lug.",
            "Pick up every strand of steel wool before anything electrical comes near: it conducts.",
        );
        rules(
            out,
            "How the earth stud is made, marked and kept from loosening is set by local rules.",
        );
    }
}

fn together(design: &Design, out: &mut Vec<Work>) {
    let angle = if design.rivets.is_empty() {
        "Screw angle and panels on"
    } else {
        "Hold angle and panels with clamping pins or screws in the rivet holes"
    };
    let stud = if design.studs.is_empty() {
        ""
    } else {
        " Earth stud: bare metal, tooth washer, lug, tooth washer, nut; the model leaves the tooth washers out, so take its screw a size \
         longer if no thread stands out of the nut."
    };
    add(
        out,
        "Assemble",
        format!(
            "{angle}, then sockets, small hardware, controls, boards, and the iron last. Slide the chassis in and out once before wiring; then \
             measure what the report calls tight.{stud}"
        ),
        "Iron makes one end heavy: hold the chassis under it. Don't force tubes and pins: glass breaks.",
    );
    if !design.tubes.is_empty() {
        rules(
            out,
            "Guards over hot glass and openings near live parts are a matter of local product-safety rules where others use or buy the amp.",
        );
    }
    if !design.rivets.is_empty() {
        add(
            out,
            "Set the rivets",
            format!(
                "Set the {} once everything fits, from the middle to the ends, dome heads outside: they come out only by drilling.",
                units::count(design.rivets.len(), "rivet")
            ),
            "Eye protection: spent mandrels fly. Catch every one; none may stay in a chassis that carries mains.",
        );
    }
    add(
        out,
        "Wire and test",
        "Protective earth first: from the inlet or cord straight to its stud, checked with a meter to every metal part that a hand can reach.",
        "Mains and the charge left in filter capacitors can kill, also unplugged: bleed them and measure 0 V before you touch.",
    );
    rules(
        out,
        "Wiring, insulation, fusing and the first switching-on follow the local electrical code, and are for a person licensed or trained \
         for it.",
    );
}
