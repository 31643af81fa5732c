//! The order of work for a design, with the caution that belongs to each step.

use super::schedule::{Schedule, is_metal};
use crate::design::Design;
use crate::units;

/// A step of the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// What it is, in a word or two.
    pub title: &'static str,
    /// What to do, with this design's numbers.
    pub text: String,
    /// What can hurt or spoil here; empty where nothing special does.
    pub care: &'static str,
}

/// The order of work: common practice, with this design's own parts and numbers.
#[must_use]
pub fn order(design: &Design, schedules: &[Schedule]) -> Vec<Work> {
    let mut out = Vec::new();
    let mut add = |title: &'static str, text: String, care: &'static str| {
        out.push(Work { title, text, care });
    };
    if !design.unmeasured.is_empty() {
        add(
            "Measure first",
            format!(
                "Have the real parts on the bench and fill in the measure-first form: {} unmeasured. Write the numbers into the parameter file \
                 and build again; only then print templates.",
                units::count(design.unmeasured.len(), "part")
            ),
            "A hole in the wrong place cannot be undone.",
        );
    }
    add(
        "Check the print",
        "Print the templates at 100 %, with no fitting to the page, and lay a steel rule on the printed 100 mm and 4 in. If they are off, \
         use the drill schedule instead of the template."
            .into(),
        "",
    );
    if let Some(c) = &design.cabinet {
        add(
            "Cabinet",
            format!(
                "Cut the boards by the cut list, the corner joint's ends included. Check the inside width of {} at front and rear before glue, \
                 and both diagonals after clamping. Rout the grooves before gluing up.",
                units::show(c.width)
            ),
            "Saw and router: eyes and ears protected, work clamped, push sticks; dust mask for plywood and MDF.",
        );
    }
    let Some(plate) = &design.plate else {
        return out;
    };
    add(
        "Cut the plate",
        format!(
            "Cut the plate to {} wide over the ears and {} deep, {} thick. Mark the datum corner with a scratch that stays. File the edges \
             smooth and break them.",
            units::show(plate.width),
            units::show(plate.depth),
            units::mm_2(plate.thickness)
        ),
        "Sheet edges cut skin: gloves to carry, none at a turning tool.",
    );
    add(
        "Try it in the groove",
        "Slide the bare plate into the cabinet over the whole depth. It should go by hand without rattle. Put it right now, while nothing \
         is drilled."
            .into(),
        "",
    );
    let angles: Vec<&str> = design
        .angles
        .iter()
        .filter(|a| a.kind == crate::assembly::Kind::Angle)
        .map(|a| a.id.as_str())
        .collect();
    if !angles.is_empty() {
        let screws: usize = schedules
            .iter()
            .filter(|s| angles.contains(&s.part.as_str()))
            .map(|s| s.rows.len())
            .sum();
        add(
            "Angle",
            format!(
                "Cut {} to length and mark {} at even pitch on the gauge line, by the drill schedule. Clamp each angle square on the plate's \
                 edge, drill angle and plate together, one screw at each end first. Then clamp the panel and spot it through the other leg.",
                angles.join(" and "),
                units::count(screws, "hole")
            ),
            "Clamp, never hold: sheet grabs as the drill breaks through. Eye protection.",
        );
        if design.rivets.is_empty() {
            add(
                "Countersink and take apart",
                "Countersink plate and panels from the outside until a screw lies flush; try after each turn. Deburr every hole on both faces, \
                 then take everything apart again."
                    .into(),
                "A countersink that chatters is too fast or too dull.",
            );
        } else {
            add(
                "Take apart, rivet last",
                "Hold the parts with clamping pins or screws in the rivet holes while you fit everything. Take them apart, deburr every hole on \
                 both faces, and set the rivets last of all, dome heads outside: they come out only by drilling."
                    .into(),
                "Eye protection: spent mandrels fly. Catch every one; none may stay in a chassis that carries mains.",
            );
        }
    }
    add(
        "Flat work",
        "Lay each panel and the plate flat on scrap wood. Tape the template to the marked face, datum edges flush, prick every centre, take \
         the template off and check five places with a rule. Drill all holes of one letter before you change the drill."
            .into(),
        "Aluminium chips are sharp and hot; brush, don't blow.",
    );
    let hand: Vec<String> = {
        let mut ids: Vec<String> = schedules
            .iter()
            .flat_map(|s| &s.rows)
            .filter_map(|r| match &r.placed {
                super::Placed::InHand(part) => Some(part.clone()),
                _ => None,
            })
            .collect();
        ids.sort();
        ids.dedup();
        ids
    };
    if !hand.is_empty() {
        add(
            "Holes taken from the part",
            format!(
                "Set these on their centre lines and spot their holes from the part itself: {}. Feet and clamps are not standardised.",
                hand.join(", ")
            ),
            "Transformers are heavy: support plate and part, keep fingers from under them.",
        );
    }
    add(
        "Large holes",
        "Punch or step-drill the sockets' holes, pilot first. File openings to the line. Deburr both faces; every hole that a wire passes \
         gets its grommet."
            .into(),
        "A step bit grabs in thin sheet as a new step bites: low speed, clamped, both hands free of the sheet.",
    );
    if is_metal(design.flat("plate").map_or("", |f| f.material.as_str())) {
        add(
            "Finish",
            "Wet-sand with 600, 800 and 1000 grit in one direction, then 0000 steel wool in the same direction (common practice). Wash and \
             dry. Leave bare metal under the earth stud and its lug."
                .into(),
            "Pick up every strand of steel wool before anything electrical comes near: it conducts.",
        );
    }
    add(
        "Assemble",
        "Screw angle and panels on, then sockets, small hardware, controls, boards, and the iron last. Slide the chassis in and out once \
         before wiring; then measure what the report calls tight."
            .into(),
        "Iron makes one end heavy: hold the chassis under it.",
    );
    add(
        "Wire and test",
        "Protective earth first: from the inlet or cord straight to its stud, checked with a meter to every metal part that a hand can reach. \
         Wiring, insulation, fusing and the first switching-on follow the local electrical code, and are for a person licensed or trained \
         for it."
            .into(),
        "Mains and the charge left in filter capacitors can kill, also unplugged: bleed them and measure 0 V before you touch.",
    );
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{shop, study};

    #[test]
    fn angle_comes_before_panels_and_mains_has_its_caution() {
        let s = study::study(include_str!("../../params/lantern-40.toml")).expect("sound");
        let work = order(&s.design, &shop::schedule(&s.design));
        let at = |title: &str| work.iter().position(|w| w.title == title).expect("a step");
        assert!(at("Try it in the groove") < at("Angle"));
        assert!(at("Angle") < at("Flat work"));
        assert!(at("Flat work") < at("Finish"));
        let last = work.last().expect("steps");
        assert!(last.care.contains("0 V") && last.text.contains("licensed"));
        assert!(
            work[at("Angle")].text.contains("42 holes"),
            "{}",
            work[at("Angle")].text
        );
    }
}
