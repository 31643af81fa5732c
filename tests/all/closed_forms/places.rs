//! Places tied to edges, middles and shares, and rows, by where the solids lie.

use super::*;

/// The middle of a part's box.
fn middle(b: &Built, id: &str) -> [f64; 3] {
    let (k, _) = b.part(id);
    let [low, high] = b.study.report.solids[k].box_mm;
    std::array::from_fn(|i| f64::midpoint(low[i], high[i]))
}

fn stands(b: &Built, id: &str, x: f64, y: f64) {
    let at = middle(b, id);
    assert!(
        (at[0] - x).abs() < 1e-9 * 400.0 && (at[1] - y).abs() < 1e-9 * 400.0,
        "{id} stands at {at:?}, by hand {x}, {y}"
    );
}

fn tubes(places: &[(&str, &str)]) -> String {
    places
        .iter()
        .map(|(id, at)| format!("[[tube]]\nid = \"{id}\"\ntype = \"6AQ5\"\n{at}\n"))
        .collect()
}

#[test]
fn ties_on_the_plate() {
    // the plate: inside width 400, from y = 30 to 210
    let text = on_plate(&tubes(&[
        ("A", "at = { left = 50, front = 40 }"),
        ("B", "at = { right = 50, rear = 40 }"),
        ("C", "at = { centre = 20, middle = -10 }"),
        ("D", "at = { across = 0.75, along = 0.25 }"),
        ("E", "at = { left = \"4 in\", rear = \"2 1/2 in\" }"),
    ]));
    let b = Built::new(&text);
    stands(&b, "A", 50.0, 70.0);
    stands(&b, "B", 350.0, 170.0);
    stands(&b, "C", 220.0, 110.0);
    stands(&b, "D", 300.0, 75.0);
    stands(&b, "E", 101.6, 210.0 - 63.5);
}

#[test]
fn ties_follow_a_wider_cabinet() {
    let text = on_plate(&tubes(&[
        ("A", "at = { left = 50, front = 40 }"),
        ("B", "at = { right = 50, rear = 40 }"),
        ("C", "at = { centre = 20, middle = -10 }"),
        ("D", "at = { across = 0.75, along = 0.25 }"),
    ]))
    .replace("width = 400", "width = 460")
    .replace("depth = 180", "depth = 200");
    // 60 mm wider; the plate now starts at y = 10
    let b = Built::new(&text);
    stands(&b, "A", 50.0, 50.0);
    stands(&b, "B", 410.0, 170.0);
    stands(&b, "C", 250.0, 100.0);
    stands(&b, "D", 345.0, 60.0);
}

#[test]
fn rows_spread_their_items() {
    let mut text = on_plate(&tubes(&[
        ("A", ""),
        ("B", ""),
        ("C", ""),
        ("D", ""),
        // a row may give one direction only
        ("E", "at = { front = 130 }"),
        ("F", "at = { rear = 30 }"),
    ]));
    text += r#"
[[row]]
items = ["A", "B", "C", "D"]
from = { left = 40, front = 40 }
to = { right = 60, front = 70 }
[[row]]
items = ["E", "F"]
from = { across = 0.25 }
to = { right = 40 }
"#;
    let b = Built::new(&text);
    // from 40 to 340 in three steps of 100 and 10
    for (k, id) in ["A", "B", "C", "D"].into_iter().enumerate() {
        let k = k as f64;
        stands(&b, id, 40.0 + 100.0 * k, 70.0 + 10.0 * k);
    }
    stands(&b, "E", 100.0, 160.0);
    stands(&b, "F", 360.0, 180.0);
}

#[test]
fn left_and_right_on_a_panel_are_those_of_who_faces_it() {
    let lamps: String = [
        ("A", "rear", "left = 60, bottom = 20"),
        ("B", "rear", "right = 60, top = 30"),
        ("C", "rear", "centre = 15, up = 0.5"),
        ("D", "front", "left = 60, bottom = 20"),
        ("E", "front", "across = 0.75, middle = 5"),
    ]
    .iter()
    .map(|(id, on, at)| format!("[[control]]\nid = \"{id}\"\nkind = \"lamp\"\ntype = \"lamp small\"\non = \"{on}\"\nat = {{ {at} }}\n"))
    .collect();
    let b = Built::new(&format!(
        r#"
[design]
name = "places-panel"
[cabinet]
width = 400
height = 300
depth = 240
covering = 0
[chassis]
thickness = 3
set-back = 30
[chassis.panel.rear]
height = 80
play = 2
[chassis.panel.front]
height = 70
play = 2
{lamps}"#
    ));
    // panels from x = 2 to 398; the rear one from z = 3 to 83, the front one, whose upper edge is as high, from 13
    let at = |id: &str| {
        let m = middle(&b, id);
        [m[0], m[2]]
    };
    for (id, want) in [
        ("A", [398.0 - 60.0, 23.0]),
        ("B", [2.0 + 60.0, 53.0]),
        ("C", [200.0 - 15.0, 43.0]),
        ("D", [2.0 + 60.0, 33.0]),
        ("E", [2.0 + 0.75 * 396.0, 53.0]),
    ] {
        let have = at(id);
        assert!(
            (have[0] - want[0]).abs() < 1e-6 && (have[1] - want[1]).abs() < 1e-6,
            "{id}: {have:?}, by hand {want:?}"
        );
    }
}

#[test]
fn a_speaker_is_tied_along_the_baffle() {
    let b = Built::new(
        r#"
[design]
name = "places-speaker"
[cabinet]
width = 400
height = 400
depth = 240
[cabinet.baffle]
thickness = 15
set-back = 20
[speaker]
pattern = "8 in ceramic"
at = { right = 150, top = 130 }
"#,
    );
    let at = middle(&b, "speaker-magnet");
    assert!(
        (at[0] - 250.0).abs() < 1e-6 && (at[2] - 270.0).abs() < 1e-6,
        "{at:?}"
    );
}
