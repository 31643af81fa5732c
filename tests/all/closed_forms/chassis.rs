//! Plate with notches, two panels, angle stock with both rows of screws.

use super::*;

const DESIGN: &str = r#"
[design]
name = "forms-chassis"
[cabinet]
width = 400
height = 200
depth = 240
board = 18
corner = "butt"
covering = 0.9
[cabinet.groove]
depth = 8
play = 0.4
[chassis]
thickness = 3
set-back = 30
side-play = 0.8
corner-radius = 4
[[chassis.notch]]
id = "n-rear"
edge = "rear"
at = 250
width = 40
depth = 10
[[chassis.notch]]
id = "n-left"
edge = "left"
at = 70
width = 30
depth = 9
[chassis.panel.rear]
height = 70
thickness = 2
play = 1.1
corner-radius = 2
fit = "outside"
[chassis.panel.front]
height = 60
play = 1.1
corner-radius = 5
fit = "under"
[chassis.angle]
leg = 20
thickness = 3
fillet = 2
screw = "M4"
head = "countersunk"
fit = "normal"
count = 5
end-margin = 12
[chassis.retain]
kind = "bracket"
screw = "M4"
"#;

/// M4: hole 4.5 (ISO 273 medium), head 8.4 of 90 degrees (ISO 7046-2), nut 7.0 x 3.2 (ISO 4032). The countersink is 0.2 wider than the head.
const SINK: f64 = 8.6;

fn plate_with_notches_and_countersunk_holes(b: &Built) {
    // The rear panel's face 30 mm before the rear edge, its inner face and the plate's rear edge 2 mm before that; in front the plate reaches
    // over the panel, 20 mm behind the edge (a default).
    let depth = 240.0 - 30.0 - 2.0 - 20.0;
    b.derives("plate depth", depth);
    let blank = rounded(414.4, depth, 4.0);
    let notched = section(
        blank.area - 40.0 * 10.0 - 30.0 * 9.0,
        blank.rim + 2.0 * 10.0 + 2.0 * 9.0,
    );
    let plate = notched
        .high(3.0)
        .countersunk(10, 4.5, SINK, 90.0, 3.0)
        .bored(2, 4.5, 3.0);
    // groove and plate: panel 70 less the plate's edge of 3 that it covers, 3 above the floor
    b.has(
        "plate",
        plate,
        [[-7.2, 20.0, 70.0], [407.2, 20.0 + depth, 73.0]],
    );
}

fn panels_with_screw_holes(b: &Built) {
    let length = 400.0 - 2.0 * (0.9 + 1.1);
    // Four screws stand between the plate's five. In 2 mm of sheet the cone of 8.6 comes out at 8.6 - 2 x 2 = 4.6, wider than the hole of 4.5.
    let blank = rounded(length, 70.0, 2.0).high(2.0);
    let rear = blank.plus(
        -4.0 * frustum(4.3, 2.3, 2.0),
        4.0 * (cone_wall(4.3, 2.3, 2.0) - PI * (4.3 * 4.3 + 2.3 * 2.3)),
    );
    b.has(
        "panel-rear",
        rear,
        [[2.0, 208.0, 3.0], [398.0, 210.0, 73.0]],
    );
    let front = rounded(length, 60.0, 5.0)
        .high(3.0)
        .countersunk(4, 4.5, SINK, 90.0, 3.0);
    b.has(
        "panel-front",
        front,
        [[2.0, 20.0, 10.0], [398.0, 23.0, 70.0]],
    );
}

fn angle_with_fillet_and_the_holes_of_both_legs(b: &Built) {
    // 3 (2 x 20 - 3) and the fillet in the inside corner: a square less a quarter disc; it shortens the rim by two radii less a quarter circle
    let profile = section(3.0 * 37.0 + (1.0 - PI / 4.0) * 4.0, 80.0 - (4.0 - PI));
    let angle = profile.high(396.0).bored(9, 4.5, 3.0);
    b.has(
        "angle-rear",
        angle,
        [[2.0, 188.0, 50.0], [398.0, 208.0, 70.0]],
    );
    b.has(
        "angle-front",
        angle,
        [[2.0, 23.0, 50.0], [398.0, 43.0, 70.0]],
    );
    for id in ["angle-rear", "angle-front"] {
        b.derives(&format!("length of {id}"), 396.0);
        b.derives(&format!("screw pitch along {id}"), (396.0 - 24.0) / 4.0);
    }
}

fn countersunk_screws_with_their_nuts(b: &Built) {
    // 3 + 3 and nut 3.2 and 1 are 10.2: 12 mm; through the thinner panel 9.2: 10 mm
    let long = countersunk_screw(4.0, 8.4, 90.0, 12.0);
    let short = countersunk_screw(4.0, 8.4, 90.0, 10.0);
    // The cone of the hole is 0.1 mm wider all round, so the head sinks 0.1 / tan 45, less a modelled gap of 0.02 square to the cone.
    let sunk = 0.1 - 0.02 * 2f64.sqrt();
    // gauge line in the middle between fillet and toe: 3 + 2 + 15 / 2
    let gauge = 12.5;
    // five at 12, 105, 198, ... from the angle's left end
    for (k, x) in [14.0, 107.0, 200.0, 293.0, 386.0].into_iter().enumerate() {
        let top = 73.0 - sunk;
        let screw = format!("angle-rear-plate-screw-{}", k + 1);
        b.has(
            &screw,
            long,
            about(x, 208.0 - gauge, [4.2; 2], [top - 12.0, top]),
        );
        let half = [7.0 / 3f64.sqrt(), 3.5];
        let seat = about(x, 208.0 - gauge, half, [73.0 - 6.0 - 3.2, 67.0]);
        b.has(
            &format!("angle-rear-plate-nut-{}", k + 1),
            nut(7.0, 4.0, 3.2),
            seat,
        );
    }
    // half a pitch further on, through the panel
    for (k, x) in [60.5, 153.5, 246.5, 339.5].into_iter().enumerate() {
        let (z, face) = (70.0 - gauge, 210.0 - sunk);
        let place = [[x - 4.2, face - 10.0, z - 4.2], [x + 4.2, face, z + 4.2]];
        b.has(&format!("angle-rear-panel-screw-{}", k + 1), short, place);
    }
    b.is("angle-front-panel-screw-1", long);
}

#[test]
fn every_part_of_a_chassis_with_two_panels() {
    let b = Built::new(DESIGN);
    plate_with_notches_and_countersunk_holes(&b);
    panels_with_screw_holes(&b);
    angle_with_fillet_and_the_holes_of_both_legs(&b);
    countersunk_screws_with_their_nuts(&b);
    // strips of covering too are measured in `cabinet`
    b.all_but(|p| measured_in_cabinet(p) || p.id.starts_with("covering-"));
}

#[test]
fn pan_heads_square_angle_and_a_typed_pitch() {
    let b = Built::new(
        r##"
[design]
name = "forms-pan"
unit = "in"
[cabinet]
width = 16
height = 10
depth = 9
board = "3/4 in"
corner = "butt"
covering = 0
[chassis]
thickness = "1/8 in"
depth = 6
set-back = 1
[chassis.panel.rear]
height = 3
play = "1/16 in"
corner-radius = 0
[chassis.angle]
leg = "3/4 in"
thickness = "1/8 in"
screw = "#8"
head = "pan"
fit = "close"
pitch = 3
end-margin = "1/2 in"
shorter = "1/4 in"
"##,
    );
    let inch = 25.4;
    let length = (16.0 - 2.0 / 16.0) * inch;
    b.derives("rear panel length", length);
    // 15 7/8 less twice 1/4, less twice 1/2: 14 3/8 in; at most 3 in apart makes 5 gaps
    b.derives(
        "screw pitch along angle-rear",
        (14.0 + 3.0 / 8.0) / 5.0 * inch,
    );
    // close holes for #8 are drilled 4.6 mm (Machinery's Handbook 31st ed. p. 1741): 6 and 5 of them
    let t = inch / 8.0;
    let angle = section(t * (1.5 * inch - t), 3.0 * inch)
        .high(length - inch / 2.0)
        .bored(11, 4.6, t);
    // the plate lies one panel less its own thickness over the 3 mm at the floor, the angle in the corner below it
    let z = 3.0 + 3.0 * inch - t;
    let y = 8.0 * inch - t;
    let place = [
        [0.3125 * inch, y - 0.75 * inch, z - 0.75 * inch],
        [15.6875 * inch, y, z],
    ];
    b.has("angle-rear", angle, place);
    let panel = rect(length, 3.0 * inch).high(t).bored(5, 4.6, t);
    b.has(
        "panel-rear",
        panel,
        [
            [inch / 16.0, y, 3.0],
            [15.9375 * inch, y + t, 3.0 + 3.0 * inch],
        ],
    );
    // 1/4 grip, nut 0.130 and 1 mm are 10.65 mm: 7/16 in
    b.is(
        "angle-rear-plate-screw-1",
        pan_screw(0.164 * inch, 0.322 * inch, 0.115 * inch, 0.4375 * inch),
    );
    b.is(
        "angle-rear-plate-nut-1",
        nut(0.344 * inch, 0.164 * inch, 0.130 * inch),
    );
}

#[test]
fn plate_held_by_machine_screws_in_threaded_inserts() {
    let text = on_plate("")
        .replace("kind = \"screw\"", "kind = \"insert\"")
        .replace("\"#8 wood\"", "\"M4\"");
    let b = Built::new(&text);
    // the block is cut for the insert's outer thread (8.0 by the catalogue), 1 mm deeper than the longest screw may bite
    let block = rect(19.0, 40.0).high(19.0).blind(1, 8.0, 15.0);
    b.has(
        "retain-left-block",
        block,
        [[0.0, 167.0, 71.0], [19.0, 207.0, 90.0]],
    );
    b.has(
        "retain-right-block",
        block,
        [[381.0, 167.0, 71.0], [400.0, 207.0, 90.0]],
    );
    // the insert is 10 long, flush with the block
    let insert = ring(8.0, 4.0).high(10.0);
    b.has(
        "retain-left-insert",
        insert,
        about(10.0, 187.0, [4.0; 2], [80.0, 90.0]),
    );
    b.is("retain-right-insert", insert);
    // 3 of plate and 10 of thread: 16 mm, on a washer of 9.0 x 0.8 bored 4.3 (ISO 7089)
    b.has(
        "retain-left-screw",
        pan_screw(4.0, 8.0, 3.1, 16.0),
        about(10.0, 187.0, [4.0; 2], [77.8, 96.9]),
    );
    b.has(
        "retain-right-washer",
        ring(9.0, 4.3).high(0.8),
        about(390.0, 187.0, [4.5; 2], [93.0, 93.8]),
    );
    let plate = rounded(414.4, 180.0, 3.0).high(3.0).bored(2, 4.5, 3.0);
    b.has("plate", plate, [[-7.2, 30.0, 90.0], [407.2, 210.0, 93.0]]);
    // butted boards, the groove closed 2 mm before the ears
    let side = rect(240.0, 300.0)
        .high(18.0)
        .plus(-8.0 * 3.5 * 212.0, 2.0 * 8.0 * 212.0);
    b.has("side-left", side, [[-18.0, 0.0, 0.0], [0.0, 240.0, 300.0]]);
    b.has(
        "side-right",
        side,
        [[400.0, 0.0, 0.0], [418.0, 240.0, 300.0]],
    );
    b.all_but(|p| ["top", "bottom"].contains(&p.id.as_str()));
}
