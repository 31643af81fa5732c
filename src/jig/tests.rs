//! Jigs against the schedule and the drawings of the same design.

use super::*;
use crate::shop;
use crate::shop::plan;
use crate::study::{self, Study};
use glam::DVec2;

const HARBOUR: &str = include_str!("../../params/harbour-15.toml");
const LANTERN: &str = include_str!("../../params/lantern-40.toml");

fn made(text: &str) -> (Study, Vec<Schedule>, Jigs) {
    let s = study::study(text).expect("sound");
    let schedules = shop::schedule(&s.design);
    let jigs = jigs(&s.design, &s.assembly, &schedules);
    (s, schedules, jigs)
}

/// Whoever owns a drill of 2.8 mm and none of 3 gets guides for it: the drill in the guide is the one that the schedule begins with.
#[test]
fn a_guide_is_for_the_drill_that_the_schedule_names() {
    let text = HARBOUR.replace("\"3 mm\", ", "");
    assert_ne!(text, HARBOUR);
    let (_, schedules, jigs) = made(&text);
    let feet = jigs
        .jigs
        .iter()
        .find(|j| j.name == "feet-PT")
        .expect("feet");
    for b in &feet.pieces[0].bores {
        let mut rows = schedules.iter().flat_map(|s| &s.rows);
        let row = rows.find(|r| r.id == b.holes[0]).expect("a row");
        assert_eq!(row.steps[0].tool, "drill 2.8 mm");
        assert_eq!((b.drill, row.steps[0].d), (2.8, 2.8));
    }
}

/// Both angles of this demo have the same holes from their own ends: one sleeve, and it says so.
#[test]
fn equal_angles_share_one_sleeve_by_name() {
    let (_, _, jigs) = made(LANTERN);
    let sleeves = jigs.jigs.iter().filter(|j| j.name.starts_with("angle"));
    let sleeves: Vec<&Jig> = sleeves.collect();
    assert_eq!(sleeves.len(), 1);
    let parts: Vec<&str> = sleeves[0].places.iter().map(|p| p.part.as_str()).collect();
    assert_eq!(parts, ["angle-rear", "angle-front"]);
    let piece = &sleeves[0].pieces[0];
    assert!(piece.bores.iter().all(|b| b.holes.len() == 2));
    assert!(piece.cross.iter().all(|b| b.holes.len() == 2));
    let named = |s: &String| s.contains("angle-rear, angle-front");
    assert!(sleeves[0].steps.iter().any(named));
}

/// The gap or key that a socket jig tells is that of the wiring side's drawing, seen from the other face: left and right change places.
#[test]
fn gap_and_key_are_those_of_the_drawing() {
    for text in [HARBOUR, LANTERN] {
        let (s, schedules, jigs) = made(text);
        let plans = plan::plans(&s.design, &s.report, &schedules);
        let sockets: Vec<_> = plans.iter().flat_map(|p| &p.sockets).collect();
        assert!(!sockets.is_empty());
        let own = jigs.jigs.iter().filter(|j| j.name.starts_with("socket-"));
        let steps: Vec<&String> = own.flat_map(|j| &j.steps).collect();
        for socket in sockets {
            let id = socket.name.split(' ').next().expect("an id");
            let way = (socket.key * DVec2::new(-1.0, 1.0)).to_angle();
            let degrees = way.to_degrees().round().rem_euclid(360.0);
            let wanted = format!("{id} {} {degrees:.0} deg", socket.mark);
            let told = steps.iter().any(|t| t.contains(&wanted));
            assert!(told, "{wanted}: {steps:?}");
        }
    }
}
