//! The baffle, upright and leaning, with its cutout, bolt holes and cleats; the loudspeaker in it.

use super::*;

const SHANK: f64 = 0.164 * 25.4;
const HOLE: f64 = 0.196 * 25.4;
/// The #8 countersink is 0.2 mm wider than its head of 0.312 in.
const SINK: f64 = 0.312 * 25.4 + 0.2;

/// A loudspeaker of its own numbers; M4 bolts pass coarse holes of 4.8 (ISO 273).
fn design(baffle: &str, speaker: &str) -> String {
    format!(
        r#"
[design]
name = "forms-baffle"
[cabinet]
width = 300
height = 250
depth = 200
board = 18
corner = "butt"
covering = 0
[cabinet.baffle]
thickness = 15
set-back = 25
{baffle}
[speaker]
frame = 170
cutout = 145
bolt-circle = 158
bolts = 4
bolt = "M4"
depth = 70
magnet = 80
magnet-length = 25
flange = 4
mass = 2
stick-out = 3
at = {{ centre = 10, bottom = 130 }}
{speaker}"#
    )
}

/// Flange 170 x 4, basket from 71.5 (the cutout's radius less 1) over 0.8 of that half way to the magnet's 40; 25 mm of magnet behind.
/// `behind` is the basket's length behind the flange.
fn frame(behind: f64) -> Form {
    let (mouth, waist, neck) = (71.5, 71.5 * 0.8, 40.0);
    let h = behind / 2.0;
    form(
        disc(170.0).area * 4.0 + frustum(mouth, waist, h) + frustum(waist, neck, h),
        // front, rim, ring behind, two cones, rear
        2.0 * disc(170.0).area - PI * mouth * mouth
            + disc(170.0).rim * 4.0
            + cone_wall(mouth, waist, h)
            + cone_wall(waist, neck, h)
            + PI * neck * neck,
    )
    .bored(4, 4.8, 4.0)
}

#[test]
fn upright_baffle_with_cleats_and_speaker() {
    let b = Built::new(&design("fixing = \"cleats\"", ""));
    let board = rect(300.0, 250.0)
        .high(15.0)
        .bored(1, 145.0, 15.0)
        .bored(4, 4.8, 15.0)
        .countersunk(6, HOLE, SINK, 82.0, 15.0);
    b.has("baffle", board, [[0.0, 25.0, 0.0], [300.0, 40.0, 250.0]]);
    // cleats fill 19 of the 25 mm in front; 14 mm of thread and 1 mm over
    let cleat = rect(19.0, 250.0).high(19.0).blind(3, SHANK, 15.0);
    b.has(
        "baffle-cleat-left",
        cleat,
        [[0.0, 6.0, 0.0], [19.0, 25.0, 250.0]],
    );
    b.has(
        "baffle-cleat-right",
        cleat,
        [[281.0, 6.0, 0.0], [300.0, 25.0, 250.0]],
    );
    // 15 + 14 - 4 are 25: one inch
    b.is(
        "baffle-screw-left-1",
        countersunk_screw(SHANK, 0.312 * 25.4, 82.0, 25.4),
    );
    // the flange behind the baffle; 45 mm to the magnet, 41 of them basket
    let (x, z) = (160.0, 130.0);
    let across = |r: f64, y: [f64; 2]| [[x - r, y[0], z - r], [x + r, y[1], z + r]];
    b.has("speaker-frame", frame(41.0), across(85.0, [40.0, 85.0]));
    b.has(
        "speaker-magnet",
        disc(80.0).high(25.0),
        across(40.0, [85.0, 110.0]),
    );
    // 15 + 4 + nut 3.2 + 3 of thread behind it; heads in front, 45 degrees from upright
    let d = 79.0 / 2f64.sqrt();
    let bolt = pan_screw(4.0, 8.0, 3.1, 25.2);
    b.has(
        "speaker-bolt-1",
        bolt,
        [
            [x + d - 4.0, 25.0 - 3.1, z + d - 4.0],
            [x + d + 4.0, 50.2, z + d + 4.0],
        ],
    );
    b.has(
        "speaker-bolt-3",
        bolt,
        [
            [x - d - 4.0, 25.0 - 3.1, z - d - 4.0],
            [x - d + 4.0, 50.2, z - d + 4.0],
        ],
    );
    // corners to the sides
    let half = [7.0 / 3f64.sqrt(), 3.5];
    b.has(
        "speaker-nut-1",
        nut(7.0, 4.0, 3.2),
        [
            [x + d - half[0], 44.0, z + d - half[1]],
            [x + d + half[0], 47.2, z + d + half[1]],
        ],
    );
    b.all_but(measured_in_cabinet);
}

#[test]
fn speaker_mounted_from_the_front() {
    let b = Built::new(&design("fixing = \"glued\"", "mount = \"front\""));
    let board = rect(300.0, 250.0)
        .high(15.0)
        .bored(1, 145.0, 15.0)
        .bored(4, 4.8, 15.0);
    b.has("baffle", board, [[0.0, 25.0, 0.0], [300.0, 40.0, 250.0]]);
    // depth counts from the mounting face: all 45 mm before the magnet are basket, the flange lies in front
    let (x, z) = (160.0, 130.0);
    b.has(
        "speaker-frame",
        frame(45.0),
        [[x - 85.0, 21.0, z - 85.0], [x + 85.0, 70.0, z + 85.0]],
    );
    b.has(
        "speaker-magnet",
        disc(80.0).high(25.0),
        [[x - 40.0, 70.0, z - 40.0], [x + 40.0, 95.0, z + 40.0]],
    );
    let bolt = pan_screw(4.0, 8.0, 3.1, 25.2);
    let d = 79.0 / 2f64.sqrt();
    b.has(
        "speaker-bolt-1",
        bolt,
        [
            [x + d - 4.0, 21.0 - 3.1, z + d - 4.0],
            [x + d + 4.0, 46.2, z + d + 4.0],
        ],
    );
    b.is("speaker-nut-1", nut(7.0, 4.0, 3.2));
    b.all_but(measured_in_cabinet);
}

#[test]
fn leaning_baffle_is_bevelled_to_floor_and_roof() {
    for tilt in [6.0_f64, -5.0] {
        let b = Built::new(&design(
            &format!("fixing = \"cleats\"\ntilt = {tilt:?}"),
            "",
        ));
        let (sin, cos) = tilt.to_radians().sin_cos();
        let lean = 250.0 * sin / cos;
        // seen from the side a parallelogram: 15 / cos wide along the floor, 250 high
        let (wide, long) = (15.0 / cos, 250.0 / cos);
        let board = form(
            300.0 * wide * 250.0,
            2.0 * 300.0 * long + 2.0 * 300.0 * wide + 2.0 * wide * 250.0,
        )
        .bored(1, 145.0, 15.0)
        .bored(4, 4.8, 15.0)
        .countersunk(6, HOLE, SINK, 82.0, 15.0);
        let place = [
            [0.0, 25.0 + lean.min(0.0), 0.0],
            [300.0, 25.0 + wide + lean.max(0.0), 250.0],
        ];
        b.has("baffle", board, place);
        // A cleat 19 x 19 square to the baffle must not reach through floor or roof at either of its faces: it is shorter by what the lean
        // takes over 19 mm.
        let lift = 19.0 * sin / cos;
        let run = long - lift.abs();
        let cleat = rect(19.0, run).high(19.0).blind(3, SHANK, 15.0);
        // its face on the baffle starts on the floor, or so high that its other face does
        let start = (-lift).max(0.0);
        let corner = |up: f64, out: f64| [25.0 + up * sin - out * cos, up * cos + out * sin];
        let corners = [
            corner(start, 0.0),
            corner(start, 19.0),
            corner(start + run, 0.0),
            corner(start + run, 19.0),
        ];
        let low = corners
            .iter()
            .fold([f64::MAX; 2], |m, c| [m[0].min(c[0]), m[1].min(c[1])]);
        let high = corners
            .iter()
            .fold([f64::MIN; 2], |m, c| [m[0].max(c[0]), m[1].max(c[1])]);
        assert!(
            low[1].abs() < 1e-9 && (high[1] - 250.0).abs() < 1e-9,
            "it reaches from floor to roof"
        );
        b.has(
            "baffle-cleat-left",
            cleat,
            [[0.0, low[0], low[1]], [19.0, high[0], high[1]]],
        );
        // The mounting face is 130 mm up the rear face; the speaker's axis leans as the baffle does.
        let at = [25.0 + wide + 130.0 * sin, 130.0 * cos];
        let along = |d: f64| [at[0] + d * cos, at[1] - d * sin];
        let (near, far) = (along(45.0), along(70.0));
        let reach = [40.0 * sin.abs(), 40.0 * cos];
        let magnet = [
            [120.0, near[0] - reach[0], near[1].min(far[1]) - reach[1]],
            [200.0, far[0] + reach[0], near[1].max(far[1]) + reach[1]],
        ];
        b.has("speaker-magnet", disc(80.0).high(25.0), magnet);
        b.is("speaker-frame", frame(41.0));
        b.is("speaker-bolt-2", pan_screw(4.0, 8.0, 3.1, 25.2));
        b.is("speaker-nut-2", nut(7.0, 4.0, 3.2));
        b.is(
            "baffle-screw-right-3",
            countersunk_screw(SHANK, 0.312 * 25.4, 82.0, 25.4),
        );
        b.all_but(measured_in_cabinet);
    }
}

/// An oval of four arcs by the draughtsman's rule: the end's radius from what the diagonal of the half axes leaves beyond their difference.
/// Area: two sectors of the ends and two of the long sides, which count the rhomb of their centres twice.
fn oval(length: f64, width: f64) -> Section {
    let (a, b) = (length / 2.0, width / 2.0);
    let long = a.hypot(b);
    let rest = (long - (a - b)) / 2.0;
    let (end, side) = (rest * long / a, (a * a - rest * long) / b + b);
    let (x, y) = (a - end, side - b);
    // the arcs touch: the line through both centres is as long as the radii differ
    assert!((x.hypot(y) - (side - end)).abs() < 1e-9);
    let half = y.atan2(x);
    section(
        2.0 * half * end * end + (PI - 2.0 * half) * side * side - 2.0 * x * y,
        4.0 * half * end + 2.0 * (PI - 2.0 * half) * side,
    )
}

#[test]
fn oval_speaker_standing_upright() {
    let text = r#"
[design]
name = "forms-oval"
[cabinet]
width = 300
height = 250
depth = 200
board = 18
corner = "butt"
covering = 0
[cabinet.baffle]
thickness = 15
set-back = 25
fixing = "glued"
[speaker]
frame = 200
frame-width = 140
cutout = 180
cutout-width = 116
bolt-spacing = { width = 140, height = 96 }
long-side = "upright"
bolt = "M4"
depth = 70
magnet = 80
magnet-length = 25
flange = 4
mass = 2
stick-out = 3
at = { centre = 10, bottom = 130 }
"#;
    let b = Built::new(text);
    // an oval is near the ellipse of its axes
    assert!((oval(180.0, 116.0).area / (PI * 90.0 * 58.0) - 1.0).abs() < 0.01);
    let board = rect(300.0, 250.0)
        .high(15.0)
        .cut(1, oval(180.0, 116.0), 15.0)
        .bored(4, 4.8, 15.0);
    b.has("baffle", board, [[0.0, 25.0, 0.0], [300.0, 40.0, 250.0]]);
    // a flange with round ends; behind it 41 mm in two steps, 2 mm smaller than the cutout and 0.8 of that
    let (flange, mouth, waist) = (
        stadium(60.0, 140.0),
        oval(178.0, 114.0),
        oval(178.0 * 0.8, 114.0 * 0.8),
    );
    let frame = form(
        flange.area * 4.0 + (mouth.area + waist.area) * 20.5,
        2.0 * flange.area + flange.rim * 4.0 + (mouth.rim + waist.rim) * 20.5,
    )
    .bored(4, 4.8, 4.0);
    let (x, z) = (160.0, 130.0);
    b.has(
        "speaker-frame",
        frame,
        [[x - 70.0, 40.0, z - 100.0], [x + 70.0, 85.0, z + 100.0]],
    );
    b.is("speaker-magnet", disc(80.0).high(25.0));
    // upper right as seen from the front; 15 + 4 + nut 3.2 + 3
    b.has(
        "speaker-bolt-1",
        pan_screw(4.0, 8.0, 3.1, 25.2),
        [
            [x + 48.0 - 4.0, 25.0 - 3.1, z + 70.0 - 4.0],
            [x + 48.0 + 4.0, 50.2, z + 70.0 + 4.0],
        ],
    );
    b.is("speaker-nut-1", nut(7.0, 4.0, 3.2));
    b.all_but(measured_in_cabinet);
}

#[test]
fn speaker_on_t_nuts() {
    let text = design("fixing = \"t-nuts\"", "").replace("bolt = \"M4\"", "bolt = \"M5\"");
    let text = text.replace("stick-out = 3\n", "");
    let b = Built::new(&text);
    // T-nut M5 of the catalogue: barrel for a hole of 6.5, 8 long; flange 17 x 1.5 on the front of the board
    let board = rect(300.0, 250.0)
        .high(15.0)
        .bored(1, 145.0, 15.0)
        .bored(4, 6.5, 15.0)
        .countersunk(6, HOLE, SINK, 82.0, 15.0);
    b.is("baffle", board);
    let flange = ring(17.0, 5.0);
    let barrel = ring(6.4, 5.0);
    let t_nut = form(
        flange.area * 1.5 + barrel.area * 8.0,
        2.0 * flange.area + disc(17.0).rim * 1.5 + disc(6.4).rim * 8.0 + disc(5.0).rim * 9.5,
    );
    let (x, z, d) = (160.0, 130.0, 79.0 / 2f64.sqrt());
    b.has(
        "speaker-t-nut-1",
        t_nut,
        [
            [x + d - 8.5, 23.5, z + d - 8.5],
            [x + d + 8.5, 33.0, z + d + 8.5],
        ],
    );
    // from the flange's rear at 44: the longest sold that ends in the board
    b.has(
        "speaker-bolt-1",
        pan_screw(5.0, 9.5, 3.7, 16.0),
        [
            [x + d - 4.75, 28.0, z + d - 4.75],
            [x + d + 4.75, 47.7, z + d + 4.75],
        ],
    );
}
