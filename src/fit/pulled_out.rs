//! How far the chassis may be pulled out before it, or the whole amp, tips.

use super::doc::Doc;
use super::ears::{ends, grooves};
use super::report::{Finding, Severity};
use super::weight::{mass, stands_between};
use crate::assembly::Assembly;
use crate::design::Design;
use crate::units;

pub(super) const DOC: Doc = Doc {
    ids: &["pulled-out"],
    title: "The chassis pulled half out",
    does: "A note tells how far the chassis comes out of its seat before its centre of mass stands over the ends of the grooves: from there on it \
lifts its inner edge against the grooves' upper faces, and falls when the ears leave them; how much of the ears is then still in; and how far it comes \
before the whole amp tips over its feet (over the cabinet's edge without feet), if it does before the ears are out. The pull of the hand, and what \
holds the amp, are left out.",
    why: "A chassis is let go half out to unplug the speaker's lead, and lands on its knobs.",
    example: "`118.0 mm out of its seat the chassis balances on the ends of its grooves, 104.0 mm of ear still in them: carry it from there on`",
    change: "the heavy iron further from the edge that the chassis comes out at; feet nearer that edge.",
    rests_on: "statics on the solids' masses (see Weight and balance); wires and small parts are not modelled.",
};

pub(super) fn of_design(design: &Design, assembly: &Assembly) -> Option<Finding> {
    let (plate, cabinet) = (design.plate?, design.cabinet?);
    let (groove, ear) = (grooves(design)?[0], ends(design)?);
    let chassis = mass(assembly, |p| p.moves);
    let all = mass(assembly, |_| true);
    if chassis.kg <= 0.0 {
        return None;
    }
    // along the way out; the cutter runs past the edge of the side
    let mouth = [groove.y[0].max(0.0), groove.y[1].min(cabinet.depth)];
    let [front, rear] = stands_between(design, cabinet.depth);
    let (exit, inner, centre, room) = if plate.from_rear {
        (mouth[1], ear[0], chassis.centre.y, rear - all.centre.y)
    } else {
        (-mouth[0], -ear[1], -chassis.centre.y, all.centre.y - front)
    };
    let (balance, free) = (exit - centre, exit - inner);
    // the amp's centre follows the chassis by the share of its mass
    let tips = room * all.kg / chassis.kg;
    let mut text = if balance > 0.0 {
        format!(
            "{} out of its seat the chassis balances on the ends of its grooves, {} of ear still in them: carry it from there on",
            units::show(balance),
            units::show((free - balance).max(0.0))
        )
    } else {
        "the chassis is heavier outside the ends of its grooves than inside, in its seat: carry it all the way".to_owned()
    };
    text.push_str(&if tips < free {
        format!(
            "; the amp tips over with it {} out: hold the cabinet",
            units::show(tips.max(0.0))
        )
    } else {
        "; the amp stays on its feet".to_owned()
    });
    Some(Finding {
        id: "pulled-out".into(),
        severity: Severity::Note,
        about: vec!["plate".into()],
        at_mm: chassis.centre.to_array(),
        measured: balance.min(tips),
        wanted: 0.0,
        unit: "mm".into(),
        text,
        hint: String::new(),
        source: "solids x density; statics".into(),
    })
}

#[cfg(test)]
mod tests {
    use crate::study::study;

    /// The grooves end at the edges of the sides, at the front as at the rear, whatever the cutter does beyond.
    #[test]
    fn a_chassis_balances_over_the_front_edges_too() {
        for (enters, panel) in [("front", "front"), ("rear", "rear")] {
            let text = format!(
                "[design]\nname = \"a\"\n[cabinet]\nwidth = 420\nheight = 300\ndepth = 230\n\
                 [chassis]\nenters = \"{enters}\"\n[chassis.panel.{panel}]\nheight = 70\n"
            );
            let s = study(&text).unwrap_or_else(|d| panic!("{}", d.render("a", &text, false)));
            let centre = s
                .report
                .masses
                .iter()
                .find(|m| m.of == "chassis")
                .expect("a chassis");
            let y = centre.centre_mm[1];
            let want = if enters == "front" { y } else { 230.0 - y };
            let told = s
                .report
                .findings
                .iter()
                .find(|f| f.id == "pulled-out")
                .expect("a note");
            assert!(
                (told.measured - want).abs() < 1e-9,
                "{enters}: {} for {want}",
                told.measured
            );
        }
    }
}
