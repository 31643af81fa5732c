//! Transformers and chokes in each of their mountings.

use super::*;

fn design() -> String {
    on_plate(
        r#"
[[transformer]]
id = "DT"
role = "power"
length = 90
height = 75
stack = 30
bell = 17
mounting = "drop-through"
screw = "M4"
holes = { width = 76, height = 61 }
grommets = 0
mass = 2.0
at = { left = 70, front = 90 }
[[transformer]]
id = "FL"
role = "output"
length = 60
height = 50
stack = 20
bell = 12
mounting = "flat"
screw = "M4"
holes = { width = 51, height = 41 }
grommets = 0
mass = 0.6
at = { left = 160, front = 90 }
[[transformer]]
id = "UP"
role = "output"
length = 60
height = 50
stack = 22
bell = 12
mounting = "upright"
screw = "M4"
holes = { width = 36, height = 60 }
grommets = 1
mass = 0.8
at = { left = 250, front = 80 }
[[transformer]]
id = "CF"
role = "choke"
length = 48
height = 40
stack = 16
bell = 9
mounting = "channel frame"
screw = "M3"
holes = { width = 66, height = 10 }
side = "wiring"
turn = 90
grommets = 0
mass = 0.3
at = { left = 340, front = 80 }
"#,
    )
}

fn drop_through_with_its_window(b: &Built) {
    let (x, y) = (70.0, 120.0);
    // laminations lie across the tongue's direction: 75 along x, 90 along y; four bolts through 4.5
    let sheet = rect(75.0, 90.0);
    let core = sheet.high(30.0).bored(4, 4.5, 30.0);
    b.has("DT-core", core, about(x, y, [37.5, 45.0], [93.0, 123.0]));
    // Tongue 90 / 3 = 30, window 15 x 45: the coil fills one and a half tongues by two, less 1 mm.
    let coil = [44.0, 59.0];
    b.has(
        "DT-coil",
        rect(coil[0], coil[1]).high(17.0),
        about(x, y, [22.0, 29.5], [76.0, 93.0]),
    );
    // the bell: 1.2 of flange, then a cap 2 mm wider than the coil all round with corners of 3
    let cap = rounded(48.0, 63.0, 3.0);
    let bell = form(
        sheet.area * 1.2 + cap.area * 17.0,
        2.0 * sheet.area + sheet.rim * 1.2 + cap.rim * 17.0,
    )
    .bored(4, 4.5, 1.2);
    b.has("DT-bell", bell, about(x, y, [37.5, 45.0], [123.0, 141.2]));
    // head on the flange: 30 + 1.2 + plate 3, nut 3.2 and 1 are 38.4: 40 mm
    let hole = [x - 30.5, y - 38.0];
    b.has(
        "DT-screw-1",
        pan_screw(4.0, 8.0, 3.1, 40.0),
        about(hole[0], hole[1], [4.0; 2], [84.2, 127.3]),
    );
    b.has(
        "DT-nut-1",
        nut(7.0, 4.0, 3.2),
        about(hole[0], hole[1], [7.0 / 3f64.sqrt(), 3.5], [86.8, 90.0]),
    );
}

fn flat_on_spacers(b: &Built) {
    let (x, y) = (160.0, 120.0);
    // the coil below must clear the plate by 3 mm: 12 + 3
    let lift = 15.0;
    let sheet = rect(50.0, 60.0);
    b.has(
        "FL-core",
        sheet.high(20.0).bored(4, 4.5, 20.0),
        about(x, y, [25.0, 30.0], [93.0 + lift, 113.0 + lift]),
    );
    b.has(
        "FL-coil",
        rect(29.0, 39.0).high(12.0),
        about(x, y, [14.5, 19.5], [96.0, 108.0]),
    );
    let cap = rounded(33.0, 43.0, 3.0);
    let bell = form(
        sheet.area * 1.2 + cap.area * 12.0,
        2.0 * sheet.area + sheet.rim * 1.2 + cap.rim * 12.0,
    )
    .bored(4, 4.5, 1.2);
    b.has("FL-bell", bell, about(x, y, [25.0, 30.0], [128.0, 141.2]));
    // 2 mm of wall about the hole
    let spacer = ring(8.5, 4.5).high(lift);
    b.has(
        "FL-spacer-3",
        spacer,
        about(x + 20.5, y + 25.5, [4.25; 2], [93.0, 108.0]),
    );
    // 15 + 20 + 1.2 + 3, nut 3.2 and 1 are 43.4: 45 mm
    b.is("FL-screw-2", pan_screw(4.0, 8.0, 3.1, 45.0));
}

fn upright_with_two_bells(b: &Built) {
    let (x, y) = (250.0, 110.0);
    // on feet of 1.2: laminations 50 x 60, 22 thick, their length upright
    b.has(
        "UP-core",
        rect(50.0, 22.0).high(60.0),
        about(x, y, [25.0, 11.0], [94.2, 154.2]),
    );
    // Each bell covers one face of the stack, 12 deep; its foot reaches as far beyond the hole as the bell stands before it: 30 + (30 - 23).
    let bell = form(
        50.0 * 26.0 * 1.2 + 50.0 * 12.0 * 60.0,
        2.0 * 50.0 * 26.0 + 2.0 * (50.0 + 26.0) * 1.2 + 2.0 * (50.0 + 12.0) * 60.0,
    )
    .bored(2, 4.5, 1.2);
    b.has(
        "UP-bell-rear",
        bell,
        [[225.0, y + 11.0, 93.0], [275.0, y + 37.0, 154.2]],
    );
    b.has(
        "UP-bell-front",
        bell,
        [[225.0, y - 37.0, 93.0], [275.0, y - 11.0, 154.2]],
    );
    // 1.2 + 3, nut 3.2 and 1 are 8.4: 10 mm
    b.has(
        "UP-screw-1",
        pan_screw(4.0, 8.0, 3.1, 10.0),
        about(x - 18.0, y - 30.0, [4.0; 2], [84.2, 97.3]),
    );
    // The grommet for leads stands 2 mm beside the feet's holes and 6 more: bore 1/4, hole 3/8, outside 9/16 in, 5 mm of lips in all.
    let (bore, neck, out) = (disc(6.35), disc(9.525 - 0.2), disc(14.287));
    let lip = 2.5 - 0.1;
    let grommet = form(
        2.0 * (out.area - bore.area) * lip + (neck.area - bore.area) * 3.2,
        4.0 * out.area - 2.0 * bore.area - 2.0 * neck.area
            + 2.0 * out.rim * lip
            + neck.rim * 3.2
            + bore.rim * (2.0 * lip + 3.2),
    );
    let r = 14.287 / 2.0;
    b.has(
        "UP-grommet",
        grommet,
        about(x, y + 36.0 + r + 2.0, [r; 2], [87.5, 95.5]),
    );
}

fn channel_frame_below_the_plate_turned(b: &Built) {
    let (x, y) = (340.0, 110.0);
    // turned by 90 degrees its length lies along y; it hangs from the plate's lower face
    b.has(
        "CF-core",
        rect(48.0, 16.0).high(40.0),
        about(x, y, [8.0, 24.0], [50.0, 90.0]),
    );
    // Seen from its front: a strap 1.5 thick over 48 x 40, and feet that reach as far beyond the holes as the strap stands before them:
    // 33 + (33 - 25.5).
    let area = 2.0 * 40.0 * 1.5 + (48.0 + 3.0) * 1.5 + 2.0 * (40.5 - 25.5) * 1.5;
    let rim = 2.0 * ((40.5 - 24.0) + 1.5 + (40.5 - 25.5) + 40.0 + 40.0) + 48.0 + 51.0;
    let frame = section(area, rim).high(16.0).bored(2, 3.4, 1.5);
    b.has("CF-frame", frame, about(x, y, [8.0, 40.5], [48.5, 90.0]));
    // tongue 16: the coil is 2 x 16 - 1 wide and 1.5 x 16 - 1 high in the middle of the height, 9 out at each side
    let coil = rect(31.0, 9.0).high(23.0);
    for (id, side) in [("CF-coil-front", -1.0), ("CF-coil-rear", 1.0)] {
        // below the plate its own front looks to the rear; turned clockwise as seen from above, to the right
        let at = x - side * 12.5;
        b.has(id, coil, about(at, y, [4.5, 15.5], [58.5, 81.5]));
    }
    // 1.5 + 3, nut 2.4 and 1 are 7.9: 8 mm; heads below, nuts on top
    for k in [1, 2] {
        b.is(&format!("CF-screw-{k}"), pan_screw(3.0, 5.6, 2.4, 8.0));
        b.is(&format!("CF-nut-{k}"), nut(5.5, 3.0, 2.4));
    }
}

fn plate_with_their_holes(b: &Built) {
    // window 1.5 mm round the coil, corners of 2; 4 + 4 + 4 holes for M4, 2 for M3; the grommet's hole
    let sheet = plate()
        .cut(1, rounded(47.0, 62.0, 2.0), 3.0)
        .bored(12, 4.5, 3.0)
        .bored(2, 3.4, 3.0)
        .bored(1, 9.525, 3.0);
    b.is("plate", sheet);
}

#[test]
fn every_part_of_transformers_in_each_mounting() {
    let b = Built::new(&design());
    drop_through_with_its_window(&b);
    flat_on_spacers(&b);
    upright_with_two_bells(&b);
    channel_frame_below_the_plate_turned(&b);
    plate_with_their_holes(&b);
    b.all_but(measured_in_cabinet);
}
