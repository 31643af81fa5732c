//! Cans with clamps, boards on stand-offs, earth lug, terminal strip, grommet, reverb tank.

use super::*;

fn design() -> String {
    on_plate(
        r#"
[[can]]
id = "C1"
diameter = 35
height = 51
at = { left = 60, front = 60 }
[[can]]
id = "C2"
diameter = 22
height = 46
mount = "lying"
turn = 90
at = { left = 130, front = 60 }
[[board]]
id = "B1"
length = 80
width = 40
thickness = 2.4
stand-off = 10
inset = 5
parts = 12
screw = "M3"
at = { left = 210, front = 60 }
[[hardware]]
id = "EARTH"
kind = "earth stud"
screw = "M4"
at = { left = 290, front = 60 }
[[hardware]]
id = "STRIP"
kind = "terminal strip"
screw = "M3"
length = 45
width = 10
height = 18
at = { left = 340, front = 60 }
[[hardware]]
id = "RING"
kind = "grommet"
diameter = "3/8 in"
at = { left = 340, front = 120 }
[[hardware]]
id = "FREE"
kind = "hole"
diameter = 11
at = { left = 300, front = 120 }
[[hardware]]
id = "TANK"
kind = "reverb tank"
length = 200
width = 80
height = 30
at = { centre = 0, middle = 0 }
"#,
    )
}

fn upright_can_in_its_clamp(b: &Built) {
    let (x, y) = (60.0, 90.0);
    // 12 mm of terminals, 2 mm slimmer all round, hang through the plate
    let (can, tail) = (disc(35.0), disc(31.0));
    let body = form(
        can.area * 54.0 + tail.area * 12.0,
        2.0 * can.area + can.rim * 54.0 + tail.rim * 12.0,
    );
    b.has("C1", body, about(x, y, [17.5; 2], [78.0, 144.0]));
    // Clamp for 35 mm cans: holes of 4.5 at 51.5, 63 over the lugs, band of 12 (Vishay BCcomponents doc. 28348 Fig. 1); sheet of 1, 0.2 of air.
    let (a, q, r) = (51.5 / 2.0, (63.0 - 51.5) / 2.0, 18.7_f64);
    // Lugs with round ends beyond a disc: a rectangle less a piece of the disc, and half a disc on each side.
    let (half, chord) = ((q / r).asin(), (r * r - q * q).sqrt());
    let outline = section(
        PI * r * r + 2.0 * (2.0 * q * a + PI * q * q / 2.0 - (q * chord + r * r * half)),
        2.0 * PI * r - 4.0 * r * half + 2.0 * (2.0 * (a - chord) + PI * q),
    );
    let foot = outline.less(1, disc(35.4)).less(2, disc(4.5));
    let band = ring(37.4, 35.4);
    let clamp = form(
        foot.area * 1.0 + band.area * 11.0,
        2.0 * foot.area + foot.rim * 1.0 + band.rim * 11.0,
    );
    b.has("C1-clamp", clamp, about(x, y, [31.5, 18.7], [93.0, 105.0]));
    // 1 + 3, nut 3.2 and 1 are 8.2: 10 mm
    b.has(
        "C1-clamp-screw-1",
        pan_screw(4.0, 8.0, 3.1, 10.0),
        about(x - 25.75, y, [4.0; 2], [84.0, 97.1]),
    );
    b.has(
        "C1-clamp-nut-2",
        nut(7.0, 4.0, 3.2),
        about(x + 25.75, y, [7.0 / 3f64.sqrt(), 3.5], [86.8, 90.0]),
    );
}

fn lying_can_under_its_strap(b: &Built) {
    let (x, y) = (130.0, 90.0);
    // its axis along x, turned by 90 degrees along y
    b.has(
        "C2",
        disc(22.0).high(46.0),
        [[x - 11.0, y - 23.0, 93.0], [x + 11.0, y + 23.0, 115.0]],
    );
    // Lugs of 1 mm, 50 over both (spacing 38.5: by rule, can + 16.5), walls up to the can's axis at 11, half a ring from 11.2 to 12.2 over it.
    let (r, out, lug) = (11.2, 12.2, 25.0);
    let area = 2.0 * (lug - out) * 1.0 + 2.0 * 1.0 * 11.0 + PI * (out * out - r * r) / 2.0;
    // undersides, ends and tops of the lugs, walls inside and outside, arcs
    let rim = 2.0 * (lug - r) + 2.0 + 2.0 * (lug - out) + 2.0 * 11.0 + 2.0 * 10.0 + PI * (r + out);
    let strap = section(area, rim).high(12.0).bored(2, 4.5, 1.0);
    b.has("C2-clamp", strap, about(x, y, [25.0, 6.0], [93.0, 116.2]));
    b.is("C2-clamp-screw-2", pan_screw(4.0, 8.0, 3.1, 10.0));
}

fn board_on_stand_offs(b: &Built) {
    let (x, y) = (210.0, 90.0);
    // below the plate: 10 of stand-off, 2.4 of board, 12 of parts
    let board = rect(80.0, 40.0).high(2.4).bored(4, 3.4, 2.4);
    b.has("B1", board, about(x, y, [40.0, 20.0], [77.6, 80.0]));
    // parts keep 10 mm from the ends, where the stand-offs are, and 1 mm from the long edges
    b.has(
        "B1-parts",
        rect(60.0, 38.0).high(12.0),
        about(x, y, [30.0, 19.0], [65.6, 77.6]),
    );
    for (k, [dx, dy]) in [[-35.0, 15.0], [35.0, 15.0], [35.0, -15.0], [-35.0, -15.0]]
        .into_iter()
        .enumerate()
    {
        // 1.4 of wall about the screw's hole
        let place = about(x + dx, y + dy, [3.1; 2], [80.0, 90.0]);
        b.has(
            &format!("B1-stand-off-{}", k + 1),
            ring(6.2, 3.4).high(10.0),
            place,
        );
    }
    // head on the plate: 3 + 10 + 2.4, nut 2.4 and 1 are 18.8: 20 mm
    b.has(
        "B1-screw-1",
        pan_screw(3.0, 5.6, 2.4, 20.0),
        about(x - 35.0, y + 15.0, [2.8; 2], [73.0, 95.4]),
    );
    b.has(
        "B1-nut-1",
        nut(5.5, 3.0, 2.4),
        about(x - 35.0, y + 15.0, [5.5 / 3f64.sqrt(), 2.75], [75.2, 77.6]),
    );
}

fn earth_stud_strip_grommet_and_tank(b: &Built) {
    // M4 in close holes of 4.3 (ISO 273); the eye is as wide as the washer (ISO 7089: 9), the tip 14 mm further out
    let lug = stadium(18.5 - 4.5, 9.0).less(1, disc(4.3)).high(0.8);
    b.has("EARTH-lug", lug, [[285.5, 85.5, 89.2], [308.5, 94.5, 90.0]]);
    // 3 + 0.8, nut 3.2 and 1 are 8: 8 mm
    b.has(
        "EARTH",
        pan_screw(4.0, 8.0, 3.1, 8.0),
        about(290.0, 90.0, [4.0; 2], [85.0, 96.1]),
    );
    b.is("EARTH-nut", nut(7.0, 4.0, 3.2));
    // Strip: a foot of 9 (washer 7 and 2) x 19 x 1; over its farther 10 mm a neck 9 wide to 0.4 of the height; over that 45 wide.
    let strip = form(
        9.0 * 19.0 * 1.0 + 9.0 * 10.0 * 6.2 + 45.0 * 10.0 * 10.8,
        // from above foot and body, from below foot and what overhangs
        2.0 * 9.0 * 19.0
            + 2.0 * (45.0 - 9.0) * 10.0
            + 2.0 * (9.0 + 19.0) * 1.0
            + 2.0 * (9.0 + 10.0) * 6.2
            + 2.0 * (45.0 + 10.0) * 10.8,
    )
    .bored(1, 3.4, 1.0);
    // on the lower face, its body to the front
    b.has("STRIP", strip, [[317.5, 75.5, 72.0], [362.5, 94.5, 90.0]]);
    b.is("STRIP-screw", pan_screw(3.0, 5.6, 2.4, 8.0));
    // grommet: bore 3/8, hole 9/16, outside 3/4 in, lips of 2.5 less 0.1 mm on both sides, neck 0.1 mm slimmer than the hole all round
    let (bore, neck, out) = (disc(9.525), disc(14.287 - 0.2), disc(19.05));
    let grommet = form(
        2.0 * (out.area - bore.area) * 2.4 + (neck.area - bore.area) * 3.2,
        4.0 * out.area - 2.0 * bore.area - 2.0 * neck.area
            + 2.0 * out.rim * 2.4
            + neck.rim * 3.2
            + bore.rim * 8.0,
    );
    b.has(
        "RING",
        grommet,
        about(340.0, 150.0, [9.525; 2], [87.5, 95.5]),
    );
    b.has(
        "TANK",
        rect(200.0, 80.0).high(30.0),
        about(200.0, 120.0, [100.0, 40.0], [0.0, 30.0]),
    );
}

fn plate_with_their_holes(b: &Built) {
    // can 35 + 0.6 and 2 + 2 clamp screws, board 4, stud, strip, grommet, free hole
    let sheet = plate()
        .bored(1, 35.6, 3.0)
        .bored(4, 4.5, 3.0)
        .bored(5, 3.4, 3.0)
        .bored(1, 4.3, 3.0)
        .bored(1, 14.287, 3.0)
        .bored(1, 11.0, 3.0);
    b.is("plate", sheet);
}

#[test]
fn every_part_of_cans_boards_and_hardware() {
    let b = Built::new(&design());
    upright_can_in_its_clamp(&b);
    lying_can_under_its_strap(&b);
    board_on_stand_offs(&b);
    earth_stud_strip_grommet_and_tank(&b);
    plate_with_their_holes(&b);
    b.all_but(measured_in_cabinet);
}
