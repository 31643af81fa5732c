use super::tags::letters;
use super::*;
use crate::design::{Datum, Face};
use crate::outline::{Loop, Node};
use std::f64::consts::PI;

/// What a row takes out of its part, from the schedule's own figures: a cylinder, a cylinder and the rest of a cone, a prism.
fn taken(r: &Row, t: f64) -> f64 {
    match &r.shape {
        HoleShape::Pilot { thread, depth, .. } => PI / 4.0 * thread * thread * depth,
        HoleShape::Cut { outline } => outline.area() * t,
        HoleShape::Round { .. } | HoleShape::Countersunk { .. } => {
            let d = r.diameter().expect("round");
            let cone = r.countersink().map_or(0.0, |(head, depth)| {
                let depth_in = depth.min(t);
                let low = head - (head - d) * depth_in / depth;
                PI / 12.0 * depth_in * (head * head + head * low + low * low)
                    - PI / 4.0 * d * d * depth_in
            });
            PI / 4.0 * d * d * t + cone
        }
    }
}

/// A part before anything is drilled or routed: outline times thickness, a prismatoid where its ends are sawn at a tilt
/// (`t/6 (A0 + 4 Am + A1)`), the L of an angle with its fillet.
fn gross(design: &Design, part: &str) -> f64 {
    let Some(f) = design.flat(part) else {
        let a = design.angles.iter().find(|a| a.id == part).expect("angle");
        let section =
            a.thickness * (2.0 * a.leg - a.thickness) + (1.0 - PI / 4.0) * a.fillet * a.fillet;
        return section * a.length;
    };
    let low = f.outline.area();
    let Some(top) = &f.bevel else {
        return low * f.thickness;
    };
    let nodes = f.outline.nodes.iter().zip(&top.nodes);
    let middle = Loop {
        nodes: nodes
            .map(|(a, b)| Node {
                at: (a.at + b.at) / 2.0,
                arc: None,
            })
            .collect(),
    };
    f.thickness / 6.0 * (low + 4.0 * middle.area() + top.area())
}

#[test]
fn the_schedule_re_summed_is_the_solid() {
    let mut parts = 0;
    let mut holes = 0;
    let mut worst = 0f64;
    for s in crate::testing::demos() {
        let schedules = schedule(&s.design);
        let ids =
            (s.design.flats.iter().map(|f| &f.id)).chain(s.design.angles.iter().map(|a| &a.id));
        // the covering is stretched, not drilled
        for id in ids.filter(|id| !id.starts_with("covering")) {
            let volume = s
                .report
                .solids
                .iter()
                .find(|x| x.id == *id)
                .map(|x| x.volume_mm3)
                .expect("every part is a solid");
            let sheet = schedules.iter().find(|x| x.part == *id);
            let drilled: f64 =
                sheet.map_or(0.0, |x| x.rows.iter().map(|r| taken(r, x.thickness)).sum());
            // sockets of a box joint are in the outline already
            let routed: f64 = sheet.map_or(0.0, |x| {
                let pockets = x.routs.iter().filter_map(|r| Some((r, r.depth?)));
                pockets
                    .map(|(r, depth)| (r.to - r.from).element_product() * depth)
                    .sum()
            });
            let off = (gross(&s.design, id) - drilled - routed - volume).abs() / volume;
            assert!(
                off < 1e-9,
                "{id} of {}: {} - {drilled} - {routed} is not {volume}",
                s.design.name,
                gross(&s.design, id)
            );
            worst = worst.max(off);
            parts += 1;
            holes += sheet.map_or(0, |x| x.rows.len());
        }
    }
    println!("{parts} parts, {holes} holes, worst {worst:e}");
    assert!(parts > 35 && holes > 250, "{parts} parts, {holes} holes");
}

/// By hand: harbour-15 has boards 224 deep; its box joint's fingers and sockets share that out evenly, so they add up to the depth.
#[test]
fn a_box_joint_and_its_grooves_are_in_the_schedule() {
    let s = crate::testing::harbour();
    let list = schedule(&s.design);
    for id in ["side-left", "side-right", "top", "bottom"] {
        let sheet = list.iter().find(|x| x.part == id).expect("a schedule");
        let joint = sheet.routs.last().expect("a joint");
        assert!(
            joint.id.ends_with("-fingers") && joint.depth.is_none(),
            "{joint:?}"
        );
        assert!(
            (joint.to - DVec2::new(224.0, 18.0)).length() < 1e-9,
            "{joint:?}"
        );
    }
    let side = list.iter().find(|x| x.part == "side-left").expect("a side");
    let groove = &side.routs[0];
    assert_eq!((groove.tag.as_str(), groove.depth), ("rout-1", Some(8.0)));
    assert!(groove.purpose.starts_with("groove"), "{}", groove.purpose);
    // two passes of 4, or three of 2.7 where the bit is thinner than that
    assert!(
        groove.steps[0].tool.contains("passes"),
        "{:?}",
        groove.steps
    );
}

#[test]
fn by_tool_holds_every_step_once() {
    for s in crate::testing::demos() {
        let list = schedule(&s.design);
        let steps: usize = list
            .iter()
            .flat_map(|x| {
                x.rows
                    .iter()
                    .map(|r| &r.steps)
                    .chain(x.routs.iter().map(|r| &r.steps))
            })
            .flatten()
            .filter(|x| x.act != Act::Deburr)
            .count();
        let turns = by_tool(&list);
        assert_eq!(turns.iter().map(Turn::count).sum::<usize>(), steps);
        for (k, t) in turns.iter().enumerate() {
            let twice = turns[k + 1..]
                .iter()
                .any(|u| u.act == t.act && u.tool == t.tool);
            assert!(!twice, "{} is taken up twice", t.tool);
        }
    }
}

#[test]
fn places_are_from_the_datum_and_tags_are_unique() {
    for s in crate::testing::demos() {
        for sheet in schedule(&s.design) {
            let mut tags: Vec<&str> = sheet.rows.iter().map(|r| r.tag.as_str()).collect();
            tags.sort_unstable();
            tags.dedup();
            assert_eq!(tags.len(), sheet.rows.len(), "{}", sheet.part);
            for r in &sheet.rows {
                assert!(r.at.min_element() > -1e-9, "{} {:?}", r.id, r.at);
                assert!(!r.steps.is_empty());
            }
            // by hand: the plate is measured from its left rear corner when it enters from the rear
            if sheet.part == "plate" && s.design.name == "lantern-40" {
                let f = s.design.flat("plate").expect("plate");
                let earth = sheet.rows.iter().find(|r| r.id == "EARTH").expect("EARTH");
                let plate = s.design.plate.expect("plate");
                // `at = { left = 24.5, front = 151 }` from the inside left face and the plate's front edge
                let x = 24.5 - plate.x0;
                let y = plate.depth - 151.0;
                assert!(f.datum == Datum::LowHigh);
                assert!(
                    (earth.at - DVec2::new(x, y)).length() < 1e-9,
                    "{:?}",
                    earth.at
                );
            }
        }
    }
}

#[test]
fn letters_go_on_after_z() {
    assert_eq!(letters(0), "a");
    assert_eq!(letters(8), "j");
    assert_eq!(letters(22), "z");
    assert_eq!(letters(23), "aa");
}

/// The words for a face against where the face is: a back board's outer face is the rearmost, and its screws go in from there; a
/// handle is laid on the top from outside.
#[test]
fn faces_are_called_by_where_they_are() {
    let s = crate::testing::harbour();
    let list = schedule(&s.design);
    let flat = s.design.flat("back-upper").expect("a back board");
    let y = |z: f64| flat.pose.point(DVec3::new(0.0, 0.0, z)).y;
    for (face, z) in [(Face::Back, 0.0), (Face::Front, flat.thickness)] {
        let outer = y(z) > y(flat.thickness / 2.0);
        let word = if outer { "outer face" } else { "inner face" };
        assert_eq!(face_words(&s.design, flat, face), word);
    }
    let sheet = list.iter().find(|x| x.part == "back-upper").expect("rows");
    assert_eq!(sheet.face, "outer face");
    assert!(sheet.rows.iter().all(|r| r.from_face == "outer face"));
    let top = list.iter().find(|x| x.part == "top").expect("rows");
    assert_eq!(top.face, "outside face");
}
