//! Angle stock held by blind rivets, the plate by threaded inserts.

use super::*;
use groovewright::catalogue;
use groovewright::shop::hardware;

const DESIGN: &str = r#"
[design]
name = "forms-rivets"
[cabinet]
width = 400
height = 200
depth = 240
board = 18
corner = "butt"
covering = 0
[cabinet.groove]
depth = 8
play = 0.4
[chassis]
thickness = 3
depth = 180
set-back = 30
side-play = 0.8
[chassis.panel.rear]
height = 70
thickness = 2
play = 1.1
corner-radius = 2
fit = "outside"
[chassis.angle]
leg = 20
thickness = 3
rivet = "rivet 1/8"
count = 5
end-margin = 12
[chassis.retain]
kind = "insert"
screw = "M4"
"#;

#[test]
fn riveted_angle_and_threaded_inserts() {
    let b = Built::new(DESIGN);
    let row = catalogue::rivet("rivet 1/8").expect("a row");
    // #30 of the drill chart; heads as discs
    let hole = 0.1285 * 25.4;
    let (d, head, high) = (3.175, row.head, row.head_height);
    let set = |grip: f64| {
        form(
            disc(d).area * grip + disc(head).area * high + disc(row.blind).area * row.blind_height,
            2.0 * (disc(head).area + disc(row.blind).area - disc(d).area)
                + disc(d).rim * grip
                + disc(head).rim * high
                + disc(row.blind).rim * row.blind_height,
        )
    };
    let angle = section(3.0 * 37.0, 80.0).high(397.8).bored(9, hole, 3.0);
    b.is("angle-rear", angle);
    // gauge line: 3 + 17 / 2 in front of the panel's inner face at 208
    let plate_top = 73.0;
    b.has(
        "angle-rear-plate-rivet-1",
        set(6.0),
        about(
            13.1,
            196.5,
            [head / 2.0; 2],
            [plate_top - 6.0 - row.blind_height, plate_top + high],
        ),
    );
    b.is("angle-rear-panel-rivet-4", set(5.0));
    b.is(
        "panel-rear",
        rounded(397.8, 70.0, 2.0).high(2.0).bored(4, hole, 2.0),
    );
    // wood insert M4 of the catalogue: 8.0 outside, 10 long, in a hole that takes the screw's end too
    b.is("retain-left-insert", ring(8.0, 4.0).high(10.0));
    b.is(
        "retain-left-block",
        rect(19.0, 40.0).high(19.0).blind(1, 8.0, 15.0),
    );
    let counted = |what: &str| -> usize {
        hardware(&b.study.design)
            .iter()
            .filter(|r| r.what == what)
            .map(|r| r.count)
            .sum()
    };
    assert_eq!((counted("blind rivet"), counted("threaded insert")), (9, 2));
}
