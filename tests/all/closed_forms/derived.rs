//! Numbers that nobody typed, by hand.

use super::*;

#[test]
fn from_cabinet_to_plate_and_panel_in_mm() {
    let b = Built::new(
        r#"
[design]
name = "derived-mm"
[cabinet]
width = 343
height = 260
depth = 220
covering = 0.9
[cabinet.groove]
depth = 8
play = 0.4
[chassis]
thickness = 3
side-play = 0.8
margin = 4
[chassis.panel.rear]
height = 72
play = 1.1
[chassis.angle]
pitch = 60
end-margin = 15
[[control]]
id = "SW"
kind = "toggle"
at = { centre = 0 }
[[control]]
id = "VOL"
kind = "pot"
at = { centre = 60 }
"#,
    );
    // plate width over the ears = inside + 2 (groove depth - side play)
    b.derives("plate width over the ears", 343.0 + 2.0 * (8.0 - 0.8));
    // 3 + 0.4 needs 3.4: the next cutter is 3.5
    b.derives("groove width", 3.5);
    // panel length = inside - 2 (covering + play)
    b.derives("rear panel length", 343.0 - 2.0 * (0.9 + 1.1));
    b.derives("length of angle-rear", 339.0);
    // groove height: panel less the plate's edge that it covers, 3 above the floor
    b.derives("groove height above the floor", 72.0 - 3.0 + 3.0);
    // The toggle's lever ends 29 from the panel's inner face, 26 before its outer face. The pot's knob: 19 high, 1.5 off the face: 20.5. So 26 + 4.
    b.derives("set-back of the panel's face", 30.0);
    // rear edge 220 - 30 - 3; no baffle: 6 mm of air in front
    b.derives("plate depth", 220.0 - 33.0 - 6.0);
    b.derives("groove's closed end from the front edge", 4.0);
    // 339 - 30 = 309 between the outermost screws, at most 60 apart: 6 gaps of 51.5
    b.derives("screw pitch along angle-rear", 51.5);
    // pushed to one side, the far ear keeps groove depth - twice the side play
    b.derives("least engagement of an ear", 8.0 - 2.0 * 0.8);
    let plate = [[-7.2, 6.0, 72.0], [350.2, 187.0, 75.0]];
    b.lies("plate", plate);
    b.lies("panel-rear", [[2.0, 187.0, 3.0], [341.0, 190.0, 75.0]]);
}

#[test]
fn a_deep_knob_sets_the_panel_back() {
    let b = Built::new(
        r#"
[design]
name = "derived-knob"
[cabinet]
width = 343
height = 260
depth = 220
[chassis]
thickness = 3
[chassis.panel.rear]
height = 72
[[control]]
id = "VOL"
kind = "pot"
at = { centre = 60 }
"#,
    );
    // knob 25: 19 high and 1.5 off the face; margin 3 by default
    b.derives("set-back of the panel's face", 19.0 + 1.5 + 3.0);
    b.lies(
        "VOL-knob",
        [
            [111.5 - 12.5, 198.0, 39.0 - 12.5],
            [111.5 + 12.5, 217.0, 39.0 + 12.5],
        ],
    );
}

#[test]
fn mixed_inch_fractions_and_millimetres() {
    let inch = 25.4;
    let b = Built::new(
        r##"
[design]
name = "derived-inch"
unit = "in"
[cabinet]
width = "13 3/16 in"
width-rear = "335.5 mm"
height = 11
depth = "8-3/4\""
board = "3/4 in"
covering = "1/32 in"
[cabinet.groove]
depth = "5/16 in"
play = "1/64 in"
[chassis]
thickness = "1/8 in"
side-play = "1/32 in"
margin = "3 mm"
[chassis.panel.rear]
height = "2 3/4 in"
play = "3/64 in"
[chassis.angle]
count = 5
end-margin = "1/2 in"
[[control]]
id = "SW"
kind = "toggle"
at = { centre = 0 }
"##,
    );
    // 13 3/16 in are 334.9625 mm, less than the 335.5 measured at the rear
    let inside = 13.1875 * inch;
    b.derives("inside width that passes", inside);
    b.derives(
        "plate width over the ears",
        (13.1875 + 2.0 * (0.3125 - 0.03125)) * inch,
    );
    // 1/8 and 1/64 in need 9/64: the next cutter is 5/32
    b.derives("groove width", 5.0 / 32.0 * inch);
    b.derives(
        "rear panel length",
        (13.1875 - 2.0 * (1.0 / 32.0 + 3.0 / 64.0)) * inch,
    );
    b.derives("groove height above the floor", (2.75 - 0.125) * inch + 3.0);
    // lever 29 mm from the inner face, panel 1/8 in, margin 3 mm
    b.derives("set-back of the panel's face", 29.0 - inch / 8.0 + 3.0);
    let length = (13.1875 - 5.0 / 32.0) * inch;
    b.derives("screw pitch along angle-rear", (length - inch) / 4.0);
    // the wider end decides how little an ear may engage
    b.derives(
        "least engagement of an ear",
        inside + 2.0 * 9.0 / 32.0 * inch - 335.5 - 5.0 / 16.0 * inch,
    );
    let x = -9.0 / 32.0 * inch;
    let rear = 8.75 * inch - (29.0 - inch / 8.0 + 3.0) - inch / 8.0;
    let z = (2.75 - 0.125) * inch + 3.0;
    b.lies("plate", [[x, 6.0, z], [inside - x, rear, z + inch / 8.0]]);
}

#[test]
fn under_the_roof_with_two_panels() {
    let b = Built::new(
        r#"
[design]
name = "derived-roof"
[cabinet]
width = 500
height = 220
depth = 240
covering = 0.9
[cabinet.baffle]
thickness = 12
set-back = 15
tilt = 5
fixing = "glued"
[chassis]
position = "roof"
thickness = 3
set-back = 25
[chassis.panel.front]
height = 60
[chassis.panel.rear]
height = 64
"#,
    );
    // inside height - 2 under the roof - the higher panel; outside panels hide the plate's edge
    b.derives("groove height above the floor", 220.0 - 2.0 - 64.0);
    // The leaning baffle comes furthest back at the top of the front panel: 15 + 12 / cos 5 + (154 + 60) tan 5, and 1 mm.
    let (sin, cos) = 5.0_f64.to_radians().sin_cos();
    let front = 15.0 + 12.0 / cos + 214.0 * sin / cos + 1.0;
    b.derives("front panel behind the edge", front);
    // The opening in the baffle is 8 mm smaller than the panel all round; its height is measured along the board and its walls are square to it.
    let wide = 12.0 / cos;
    let board = form(
        500.0 * wide * 220.0,
        2.0 * 500.0 * (220.0 / cos + wide) + 2.0 * wide * 220.0,
    );
    let opening = rounded(496.0 - 16.0, (60.0 - 16.0) / cos, 5.0);
    b.is("baffle", board.cut(1, opening, 12.0));
    // both panels as thick as the plate
    b.derives("plate depth", 240.0 - 25.0 - 3.0 - front - 3.0);
    b.lies(
        "panel-front",
        [[2.0, front, 154.0], [498.0, front + 3.0, 214.0]],
    );
    b.lies("panel-rear", [[2.0, 212.0, 154.0], [498.0, 215.0, 218.0]]);
    b.lies("plate", [[-7.2, front + 3.0, 154.0], [507.2, 212.0, 157.0]]);
}

#[test]
fn cutters_of_the_files_own_unit() {
    // thickness, play, unit, groove: metric cutters 2, 2.5, 3, 3.2, 3.5, 4, 5, 6; inch ones 1/16, 3/32, 1/8, 5/32, 3/16, 1/4
    for (t, play, unit, want) in [
        ("1.6 mm", "0.4 mm", "mm", 2.0),
        ("2 mm", "0.4 mm", "mm", 2.5),
        ("3 mm", "0.25 mm", "mm", 3.5),
        ("1/16 in", "1/64 in", "in", 25.4 * 3.0 / 32.0),
        ("3 mm", "0.4 mm", "in", 25.4 * 5.0 / 32.0),
        // wider than any single cutter: two passes at the wanted width
        ("6 mm", "0.4 mm", "mm", 6.4),
    ] {
        let b = Built::new(&format!(
            r#"
[design]
name = "derived-groove"
unit = "{unit}"
[cabinet]
width = "343 mm"
height = "260 mm"
depth = "220 mm"
[cabinet.groove]
play = "{play}"
height = "60 mm"
[chassis]
thickness = "{t}"
"#
        ));
        b.derives("groove width", want);
    }
}
