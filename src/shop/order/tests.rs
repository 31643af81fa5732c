use super::*;
use crate::shop;

#[test]
fn the_work_goes_in_the_order_of_the_bench_and_each_step_has_its_caution() {
    for s in crate::testing::demos() {
        let work = order(&s.design, &shop::schedule(&s.design));
        let at = |title: &str| work.iter().position(|w| w.title == title);
        let mut wanted = vec![
            "Saw the boards",
            "Joints and grooves",
            "Glue up",
            "Baffle, boards and cleats",
            "Cut plate and panels",
            "Deburr the edges",
            "Try it in the groove",
            "Clamp the angle square",
            "Mark even pitch",
            "Drill angle and plate together",
            "Countersink",
            "Take apart",
            "Drill plate and panels flat",
            "Punch the sockets",
            "Finish",
            "Cover the box",
            "Assemble",
            "Wire and test",
        ];
        // the angle of this demo is held by pan heads
        if s.design.name == "pantry-4" {
            wanted.retain(|w| *w != "Countersink");
            assert_eq!(at("Countersink"), None);
            // and its box is oiled, not covered
            wanted.retain(|w| *w != "Cover the box");
            assert_eq!(at("Cover the box"), None);
            assert!(at("Finish") < at("Fit out the box") && at("Fit out the box") < at("Assemble"));
        }
        let places: Vec<usize> = wanted
            .iter()
            .map(|w| at(w).unwrap_or_else(|| panic!("no step `{w}`")))
            .collect();
        assert!(places.is_sorted(), "{places:?}");
        assert!(work.iter().all(|w| !w.care.is_empty()));
        let last = work.last().expect("steps");
        assert!(last.care.contains("0 V") && last.rules.contains("licensed"));
    }
}

/// By hand: 552 - 2 x 12 is 528, which takes gaps of 52.8 where at most 55 is asked for: 11 screws in the plate and 10 in the panel,
/// on two angles.
#[test]
fn the_pitch_is_told_with_the_designs_numbers() {
    let s = crate::testing::lantern();
    let work = order(&s.design, &shop::schedule(&s.design));
    let pitch = work
        .iter()
        .find(|w| w.title == "Mark even pitch")
        .expect("a step");
    assert!(pitch.text.contains("42 holes"), "{}", pitch.text);
    assert!(pitch.text.contains("every 52.8 mm"), "{}", pitch.text);
}
