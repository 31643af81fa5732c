//! The wooden box: boards with their corner joints and grooves, cleats, blocks, back, covering, feet, handle, and what holds the plate.

use super::*;

/// #8 wood screw as the catalogue has it, in inches (ASME B18.6.3 heads, Machinery's Handbook holes; a wood screw's heads are the machine
/// screw's): shank 0.164, hole 0.196, pan head 0.322 x 0.115, flat head 0.312 of 82 degrees, washer 0.438 x 0.049 bored 4.6 mm.
const SHANK: f64 = 0.164 * 25.4;
const HOLE: f64 = 0.196 * 25.4;
const PAN: [f64; 2] = [0.322 * 25.4, 0.115 * 25.4];
const FLAT: f64 = 0.312 * 25.4;
const WASHER: [f64; 3] = [0.438 * 25.4, 4.6, 0.049 * 25.4];

const BOX_JOINT: &str = r##"
[design]
name = "forms-box"
[cabinet]
width = 300
height = 250
depth = 200
board = 18
corner = "box joint"
covering = 0.9
turn-in = 20
[cabinet.groove]
depth = 8
width = 3.5
height = 60
stop = 35
[cabinet.handle]
spacing = 160
width = 30
height = 40
screw = "M5"
[cabinet.feet]
diameter = 38
height = 15
inset = 40
screw = "#8 wood"
bite = 12
[[cabinet.cleat]]
id = "roof-cleat"
against = "roof"
stands-off = 15
wide = 20
front = 30
from = 40
to = 240
[[cabinet.cleat]]
id = "side-cleat"
against = "right"
stands-off = 12
wide = 22
front = 5
from = 100
to = 180
[[cabinet.block]]
id = "block"
corner = "floor right"
leg = 20
front = 50
length = 60
[[cabinet.back-board]]
id = "back"
bottom = 140
height = 100
thickness = 12
play = 1
screws = 2
screw = "#8 wood"
[chassis]
thickness = 3
depth = 120
set-back = 20
side-play = 0.8
corner-radius = 3
ear-from = 15
ear-to = 105
[chassis.retain]
kind = "screw"
screw = "#8 wood"
from-edge = 23
"##;

/// A finger-jointed board lies within `length` x `over`; each end has `gaps` gaps one finger wide and 18 mm deep. Every step between finger
/// and gap adds 18 mm of rim; a board whose outermost fingers are missing is 36 mm shorter at its two edges.
fn fingered(length: f64, over: f64, gaps: usize, edges: f64) -> Section {
    let fingers = 11.0;
    section(
        length * over - 2.0 * gaps as f64 * (length / fingers) * 18.0,
        2.0 * (length + 10.0 * 18.0) + 2.0 * edges,
    )
}

fn boards_with_box_joint_and_stopped_groove(b: &Built) {
    // 200 / 18 is 11.1: 11 fingers, an odd number
    b.derives("width of a corner joint's fingers", 200.0 / 11.0);
    // sides stand with fingers 1, 3, ... 11 (six), so five gaps at each end; the groove runs from 35 mm to the rear edge: its floor takes the place
    // of the face, two walls are new, and its closed end is as large as its open one
    let groove = [165.0, 3.5, 8.0];
    let side = fingered(200.0, 286.0, 5, 286.0).high(18.0).plus(
        -groove[0] * groove[1] * groove[2],
        2.0 * groove[0] * groove[2],
    );
    b.has(
        "side-left",
        side,
        [[-18.0, 0.0, -18.0], [0.0, 200.0, 268.0]],
    );
    b.has(
        "side-right",
        side,
        [[300.0, 0.0, -18.0], [318.0, 200.0, 268.0]],
    );
    // top and bottom fill the gaps: five fingers, six gaps; their edges are the inside width long
    let lying = fingered(200.0, 336.0, 6, 300.0).high(18.0);
    // the handle's M5 screws pass 5.5 mm holes (ISO 273 medium), the feet's pilots hold 12 + 1 mm
    b.has(
        "top",
        lying.bored(2, 5.5, 18.0),
        [[-18.0, 0.0, 250.0], [318.0, 200.0, 268.0]],
    );
    b.has(
        "bottom",
        lying.blind(4, SHANK, 13.0),
        [[-18.0, 0.0, -18.0], [318.0, 200.0, 0.0]],
    );
}

fn cleats_blocks_back_and_covering(b: &Built) {
    b.has(
        "roof-cleat",
        rect(200.0, 20.0).high(15.0),
        [[40.0, 30.0, 235.0], [240.0, 50.0, 250.0]],
    );
    b.has(
        "side-cleat",
        rect(80.0, 22.0).high(12.0),
        [[288.0, 5.0, 100.0], [300.0, 27.0, 180.0]],
    );
    // a right triangle of 20 mm legs
    let block = section(200.0, 40.0 + 20.0 * 2f64.sqrt()).high(60.0);
    b.has("block", block, [[280.0, 50.0, 0.0], [300.0, 110.0, 20.0]]);
    // inside width less 0.9 covering and 1 play on both sides; the countersink is 0.2 wider than the head
    let long = 300.0 - 2.0 * 1.9;
    b.derives("length of back", long);
    let back = rect(long, 100.0)
        .high(12.0)
        .countersunk(4, HOLE, FLAT + 0.2, 82.0, 12.0);
    b.has("back", back, [[1.9, 188.0, 140.0], [298.1, 200.0, 240.0]]);
    let cleat = rect(19.0, 100.0).high(19.0).blind(2, SHANK, 14.0);
    b.has(
        "back-cleat-left",
        cleat,
        [[0.0, 169.0, 140.0], [19.0, 188.0, 240.0]],
    );
    b.has(
        "back-cleat-right",
        cleat,
        [[281.0, 169.0, 140.0], [300.0, 188.0, 240.0]],
    );
    // 12 board + 13 of thread hold 25 mm; the stocked inch is 0.4 longer and still ends inside its pilot, 14 deep
    let screw = countersunk_screw(SHANK, FLAT, 82.0, 25.4);
    b.is("back-screw-left-1", screw);
    // covering: 1 mm clear of the groove (60 to 63.5), half a mm of the back's cleats (140 to 240)
    for (id, [z0, z1]) in [
        ("1", [0.0, 59.0]),
        ("2", [64.5, 139.5]),
        ("3", [240.5, 250.0]),
    ] {
        let strip = rect(20.0, z1 - z0).high(0.9);
        b.has(
            &format!("covering-left-{id}"),
            strip,
            [[0.0, 180.0, z0], [0.9, 200.0, z1]],
        );
        b.has(
            &format!("covering-right-{id}"),
            strip,
            [[299.1, 180.0, z0], [300.0, 200.0, z1]],
        );
    }
    // butted between those on the sides
    let strip = rect(298.2, 20.0).high(0.9);
    b.has(
        "covering-bottom-1",
        strip,
        [[0.9, 180.0, 0.0], [299.1, 200.0, 0.9]],
    );
    b.has(
        "covering-top-1",
        strip,
        [[0.9, 180.0, 249.1], [299.1, 200.0, 250.0]],
    );
}

fn feet_and_handle(b: &Built) {
    // a web of 5 mm bored for the shank, below it a recess 2 mm wider than the head
    let (out, bore, recess) = (disc(38.0), disc(HOLE), disc(PAN[0] + 2.0));
    let foot = form(
        out.area * 15.0 - bore.area * 5.0 - recess.area * 10.0,
        // the two ends and the step between the bores, seen from below, are as large as the top's ring
        out.rim * 15.0 + bore.rim * 5.0 + recess.rim * 10.0 + 2.0 * (out.area - bore.area),
    );
    // 40 mm from the outside of the boards
    b.has(
        "foot-1",
        foot,
        about(22.0, 40.0, [19.0, 19.0], [-33.0, -18.0]),
    );
    b.has(
        "foot-4",
        foot,
        about(278.0, 160.0, [19.0, 19.0], [-33.0, -18.0]),
    );
    b.has(
        "foot-1-screw",
        pan_screw(SHANK, PAN[0], PAN[1], 17.0),
        about(22.0, 40.0, [PAN[0] / 2.0; 2], [-23.0 - PAN[1], -6.0]),
    );
    // Seen from the front: two lugs 32 x 6 that reach 12 mm outside the screws, posts 11 wide above them, a bar 9 high between.
    let bar = [160.0 - 2.0 * 20.0, 9.0];
    let area = 2.0 * 32.0 * 6.0 + 2.0 * 11.0 * 34.0 + bar[0] * bar[1];
    // lugs' undersides, insides of the posts, underside of the bar, ends and upper faces of the lugs, outsides of the posts, top
    let rim = 2.0 * 32.0 + 2.0 * 31.0 + bar[0] + 2.0 * (6.0 + 21.0) + 2.0 * 34.0 + (bar[0] + 22.0);
    let handle = section(area, rim).high(30.0).bored(2, 5.5, 6.0);
    b.has(
        "handle",
        handle,
        about(150.0, 100.0, [92.0, 15.0], [268.0, 308.0]),
    );
    // 6 + 18 under the head, 1.0 washer, 4.7 nut and 1 spare are 30.7: the next stocked length is 35
    b.has(
        "handle-screw-1",
        pan_screw(5.0, 9.5, 3.7, 35.0),
        about(70.0, 100.0, [4.75; 2], [274.0 - 35.0, 277.7]),
    );
    b.has(
        "handle-washer-2",
        ring(10.0, 5.3).high(1.0),
        about(230.0, 100.0, [5.0; 2], [249.0, 250.0]),
    );
    b.has(
        "handle-nut-2",
        nut(8.0, 5.0, 4.7),
        about(230.0, 100.0, [8.0 / 3f64.sqrt(), 4.0], [244.3, 249.0]),
    );
}

fn what_holds_the_plate(b: &Built) {
    // Beside its ears (15 to 105 of 120) the plate is cut back 7.2 + 1 mm on both sides: no rounded corner is left.
    let plate = section(314.4 * 120.0 - 2.0 * 8.2 * 30.0, 2.0 * (314.4 + 120.0)).high(3.0);
    b.has(
        "plate",
        plate.bored(2, HOLE, 3.0),
        [[-7.2, 60.0, 60.0], [307.2, 180.0, 63.0]],
    );
    let block = rect(19.0, 40.0).high(19.0).blind(1, SHANK, 15.0);
    b.has(
        "retain-left-block",
        block,
        [[0.0, 137.0, 41.0], [19.0, 177.0, 60.0]],
    );
    b.has(
        "retain-right-block",
        block,
        [[281.0, 137.0, 41.0], [300.0, 177.0, 60.0]],
    );
    // 3 mm of plate and 10 of wood are 13: the next stocked wood screw is 5/8 in; its head lies on a washer
    let top = 63.0 + WASHER[2];
    b.has(
        "retain-left-screw",
        pan_screw(SHANK, PAN[0], PAN[1], 0.625 * 25.4),
        about(
            10.0,
            157.0,
            [PAN[0] / 2.0; 2],
            [top - 0.625 * 25.4, top + PAN[1]],
        ),
    );
    b.has(
        "retain-right-washer",
        ring(WASHER[0], WASHER[1]).high(WASHER[2]),
        about(290.0, 157.0, [WASHER[0] / 2.0; 2], [63.0, top]),
    );
}

#[test]
fn every_part_of_a_box_jointed_cabinet() {
    let b = Built::new(BOX_JOINT);
    boards_with_box_joint_and_stopped_groove(&b);
    cleats_blocks_back_and_covering(&b);
    feet_and_handle(&b);
    what_holds_the_plate(&b);
    b.all();
}

#[test]
fn rabbets_and_a_groove_from_the_front() {
    let b = Built::new(
        r##"
[design]
name = "forms-rabbet"
[cabinet]
width = 300
height = 250
depth = 200
board = 18
corner = "rabbet"
covering = 0
[cabinet.groove]
depth = 8
width = 3.5
height = 60
[chassis]
enters = "front"
thickness = 3
depth = 120
set-back = 20
side-play = 0.8
corner-radius = 3
ear-to = 105
[chassis.retain]
kind = "bracket"
screw = "M4"
from-edge = 23
"##,
    );
    // open at the front, closed 2 mm behind the ears, which end 60 + 105 mm behind the front edges; a blind pilot for the bracket's wood screw
    let groove = [167.0, 3.5, 8.0];
    let side = rect(200.0, 268.0)
        .high(18.0)
        .plus(
            -groove[0] * groove[1] * groove[2],
            2.0 * groove[0] * groove[2],
        )
        .blind(1, SHANK, 12.7 - 1.6 + 1.0);
    b.has("side-left", side, [[-18.0, 0.0, -9.0], [0.0, 200.0, 259.0]]);
    b.has(
        "side-right",
        side,
        [[300.0, 0.0, -9.0], [318.0, 200.0, 259.0]],
    );
    // a rabbet 18 wide and 9 deep at each end leaves the length of rim as it was
    let lying = section(336.0 * 18.0 - 2.0 * 18.0 * 9.0, 2.0 * (336.0 + 18.0)).high(200.0);
    b.has("top", lying, [[-18.0, 0.0, 250.0], [318.0, 200.0, 268.0]]);
    b.has("bottom", lying, [[-18.0, 0.0, -18.0], [318.0, 200.0, 0.0]]);
    // ears from the front edge, whose corners stay rounded; both rear corners are cut back 8.2 mm over the last 15
    let plate = section(
        314.4 * 120.0 - 2.0 * 8.2 * 15.0 - 2.0 * (1.0 - PI / 4.0) * 9.0,
        2.0 * (314.4 + 120.0) - 2.0 * (2.0 - PI / 2.0) * 3.0,
    );
    b.has(
        "plate",
        plate.high(3.0).bored(2, 4.5, 3.0),
        [[-7.2, 60.0, 60.0], [307.2, 180.0, 63.0]],
    );
    // an L of 19.05 mm legs, 1.6 thick, 20 long; M4 through the lying leg, #8 wood through the upright one
    let bracket = section(1.6 * (2.0 * 19.05 - 1.6), 4.0 * 19.05)
        .high(20.0)
        .bored(1, 4.5, 1.6)
        .bored(1, HOLE, 1.6);
    b.has(
        "retain-left-bracket",
        bracket,
        [[0.0, 73.0, 63.0], [19.05, 93.0, 82.05]],
    );
    b.has(
        "retain-right-bracket",
        bracket,
        [[280.95, 73.0, 63.0], [300.0, 93.0, 82.05]],
    );
    // gauge line in the middle of the leg's inside
    let gauge = 1.6 + (19.05 - 1.6) / 2.0;
    // 3 + 1.6 + nut 3.2 + 1 are 8.8: 10 mm
    b.has(
        "retain-left-screw",
        pan_screw(4.0, 8.0, 3.1, 10.0),
        about(gauge, 83.0, [4.0; 2], [64.6 - 10.0, 64.6 + 3.1]),
    );
    b.is("retain-left-nut", nut(7.0, 4.0, 3.2));
    // 1.6 + 14 in a board of 18 leave room for the stocked half inch
    let wood = [
        [1.6 - 12.7, 83.0 - PAN[0] / 2.0, 63.0 + gauge - PAN[0] / 2.0],
        [
            1.6 + PAN[1],
            83.0 + PAN[0] / 2.0,
            63.0 + gauge + PAN[0] / 2.0,
        ],
    ];
    b.has(
        "retain-left-wood-screw",
        pan_screw(SHANK, PAN[0], PAN[1], 12.7),
        wood,
    );
    b.all();
}

#[test]
fn butted_and_dovetailed_boards_are_plain() {
    for corner in ["butt", "dovetail"] {
        let b = Built::new(&format!(
            "[design]\nname = \"forms-plain\"\n[cabinet]\nwidth = 300\nheight = 250\ndepth = 200\nboard = 18\ncovering = 0\ncorner = \"{corner}\"\n"
        ));
        b.has(
            "side-left",
            rect(200.0, 250.0).high(18.0),
            [[-18.0, 0.0, 0.0], [0.0, 200.0, 250.0]],
        );
        b.has(
            "side-right",
            rect(200.0, 250.0).high(18.0),
            [[300.0, 0.0, 0.0], [318.0, 200.0, 250.0]],
        );
        b.has(
            "top",
            rect(200.0, 336.0).high(18.0),
            [[-18.0, 0.0, 250.0], [318.0, 200.0, 268.0]],
        );
        b.has(
            "bottom",
            rect(200.0, 336.0).high(18.0),
            [[-18.0, 0.0, -18.0], [318.0, 200.0, 0.0]],
        );
        b.all();
    }
}
