//! Controls and connectors, their nuts, caps and knobs, and the panel and overlay with all their holes.

use super::*;

/// Where each control stands: mm from the panel's middle, to the right as seen from the rear, which is to the left in the amp's frame.
const PLACES: [(&str, &str, f64); 11] = [
    ("INLET", "kind = \"inlet\"", -160.0),
    ("ROTARY", "kind = \"rotary\"", -105.0),
    ("POT", "kind = \"pot\"", -65.0),
    ("JACK", "kind = \"jack\"", -35.0),
    ("TOGGLE", "kind = \"toggle\"", -8.0),
    ("LAMP", "kind = \"lamp\"", 20.0),
    ("FUSE", "kind = \"fuse holder\"", 48.0),
    ("CORD", "kind = \"strain relief\"", 75.0),
    ("RING", "kind = \"grommet\"", 105.0),
    ("SMALL", "kind = \"pot\"\ntype = \"pot 16\"", 135.0),
    ("MINI", "kind = \"toggle\"\ntype = \"toggle mini\"", 165.0),
];

/// A wall of 2.5 mm of panel and 0.5 of overlay; its outer face 45 mm before the rear edge, so y from 192 to 195. The panel's middle is 48 mm
/// over the floor.
fn built() -> Built {
    let mut text = String::from(
        r#"
[design]
name = "forms-controls"
[cabinet]
width = 400
height = 300
depth = 240
board = 18
corner = "butt"
covering = 0
[chassis]
thickness = 3
depth = 150
set-back = 45
[chassis.panel.rear]
height = 90
thickness = 2.5
overlay = 0.5
play = 1.1
corner-radius = 2
[chassis.angle]
leg = 19.05
thickness = 3.175
screw = "M4"
head = "pan"
count = 3
end-margin = 12
"#,
    );
    for (id, kind, at) in PLACES {
        text += &format!(
            "[[control]]\nid = \"{id}\"\n{kind}\nat = {{ centre = {at:?}, middle = 0 }}\n"
        );
    }
    Built::new(&text)
}

const INNER: f64 = 192.0;
const Z: f64 = 48.0;

/// Its box: half its width and height, and from where to where along its axis, 0 at the panel's inner face.
fn at(id: &str, half: [f64; 2], along: [f64; 2]) -> Box3 {
    let place = PLACES
        .iter()
        .find(|p| p.0 == id)
        .expect("a control of the list");
    let x = 200.0 - place.2;
    [
        [x - half[0], INNER + along[0], Z - half[1]],
        [x + half[0], INNER + along[1], Z + half[1]],
    ]
}

/// Pieces along an axis, each inside the larger one beside it: the two outermost faces and all steps together are twice the largest section.
fn stacked(pieces: &[(Section, f64)], largest: Section) -> Form {
    let mut whole = form(0.0, 2.0 * largest.area);
    for (s, length) in pieces {
        whole = whole.plus(s.area * length, s.rim * length);
    }
    whole
}

/// A knob bored for a shaft of that diameter with 0.1 mm of air, hollow below for nut and bushing.
fn knob(d: f64, high: f64, shaft: f64, deep: f64, hollow: [f64; 2]) -> Form {
    let (out, bore, wide) = (disc(d), disc(shaft + 0.2), disc(2.0 * hollow[0]));
    form(
        out.area * high - wide.area * hollow[1] - bore.area * (deep - hollow[1]),
        2.0 * out.area + out.rim * high + wide.rim * hollow[1] + bore.rim * (deep - hollow[1]),
    )
}

fn pots_and_rotary_switch_with_nuts_and_knobs(b: &Built) {
    // Bourns PDB241: bushing 3/8 in, 9.5 long, shaft 6.35 to 19 from the mounting face; body 24 + 0.5, 25 behind with lugs
    let (bush, shaft) = (disc(9.525), disc(6.35));
    let pot = stacked(&[(disc(24.5), 25.0), (bush, 9.5), (shaft, 9.5)], disc(24.5));
    b.has("POT", pot, at("POT", [12.25; 2], [-25.0, 19.0]));
    let hex = |flats: f64| [flats / 3f64.sqrt(), flats / 2.0];
    b.has(
        "POT-nut",
        nut(14.0, 9.525, 2.4),
        at("POT", hex(14.0), [3.0, 5.4]),
    );
    // The knob clears the wall by 1.5. Its hollow goes 0.5 over the bushing's end, 9.5, and about the nut's corners; the bore 0.1 over the tip.
    let hollow = [14.0 / 3f64.sqrt() + 0.5, 10.0 - 4.5];
    b.has(
        "POT-knob",
        knob(25.0, 19.0, 6.35, 14.6, hollow),
        at("POT", [12.5; 2], [4.5, 23.5]),
    );
    let rotary = stacked(&[(disc(38.0), 35.0), (bush, 9.5), (shaft, 9.5)], disc(38.0));
    b.has("ROTARY", rotary, at("ROTARY", [19.0; 2], [-35.0, 19.0]));
    b.has(
        "ROTARY-knob",
        knob(32.0, 20.0, 6.35, 14.6, hollow),
        at("ROTARY", [16.0; 2], [4.5, 24.5]),
    );
    // the small pot: bushing 7 x 7, shaft 6 to 19, body 17 x 15; nut 10 x 2
    let pot = stacked(
        &[(disc(17.0), 15.0), (disc(7.0), 7.0), (disc(6.0), 12.0)],
        disc(17.0),
    );
    b.has("SMALL", pot, at("SMALL", [8.5; 2], [-15.0, 19.0]));
    b.has(
        "SMALL-nut",
        nut(10.0, 7.0, 2.0),
        at("SMALL", hex(10.0), [3.0, 5.0]),
    );
    let hollow = [10.0 / 3f64.sqrt() + 0.5, 7.5 - 4.5];
    b.has(
        "SMALL-knob",
        knob(19.0, 18.0, 6.0, 14.6, hollow),
        at("SMALL", [9.5; 2], [4.5, 22.5]),
    );
}

fn jack_and_toggles(b: &Built) {
    let hex = |flats: f64| [flats / 3f64.sqrt(), flats / 2.0];
    let jack = stacked(
        &[(rect(20.0, 30.0), 28.0), (disc(9.525), 9.5)],
        rect(20.0, 30.0),
    );
    b.has("JACK", jack, at("JACK", [10.0, 15.0], [-28.0, 9.5]));
    b.has(
        "JACK-nut",
        nut(14.0, 9.525, 2.4),
        at("JACK", hex(14.0), [3.0, 5.4]),
    );
    let toggle = stacked(
        &[
            (rect(18.0, 30.0), 38.0),
            (disc(11.91), 11.9),
            (disc(6.3), 29.0 - 11.9),
        ],
        rect(18.0, 30.0),
    );
    b.has("TOGGLE", toggle, at("TOGGLE", [9.0, 15.0], [-38.0, 29.0]));
    b.has(
        "TOGGLE-nut",
        nut(14.3, 11.91, 2.0),
        at("TOGGLE", hex(14.3), [3.0, 5.0]),
    );
    let mini = stacked(
        &[
            (rect(13.2, 13.2), 20.0),
            (disc(6.35), 8.9),
            (disc(3.0), 19.5 - 8.9),
        ],
        rect(13.2, 13.2),
    );
    b.has("MINI", mini, at("MINI", [6.6; 2], [-20.0, 19.5]));
    b.has(
        "MINI-nut",
        nut(8.0, 6.35, 2.0),
        at("MINI", hex(8.0), [3.0, 5.0]),
    );
}

fn lamp_fuse_holder_and_their_caps(b: &Built) {
    // a body wider than the hole behind the wall, the bushing through it, a cap on its outer face
    let lamp = stacked(&[(disc(22.0), 45.0), (disc(17.2), 3.0)], disc(22.0));
    b.has("LAMP", lamp, at("LAMP", [11.0; 2], [-45.0, 3.0]));
    b.has(
        "LAMP-cap",
        disc(21.0).high(14.0),
        at("LAMP", [10.5; 2], [3.0, 17.0]),
    );
    let fuse = stacked(&[(disc(17.5), 56.0), (disc(12.4), 3.0)], disc(17.5));
    b.has("FUSE", fuse, at("FUSE", [8.75; 2], [-56.0, 3.0]));
    b.has(
        "FUSE-cap",
        disc(17.5).high(12.0),
        at("FUSE", [8.75; 2], [3.0, 15.0]),
    );
}

/// A disc of radius `r` less what lies beyond a chord at `f` from its centre.
fn d_shape(r: f64, f: f64) -> Section {
    let half = (f / r).acos();
    let chord = (r * r - f * f).sqrt();
    section(
        r * r * (PI - half) + f * chord,
        2.0 * r * (PI - half) + 2.0 * chord,
    )
}

fn inlet_strain_relief_and_grommet(b: &Built) {
    // Inlet: 0.6 slimmer than its cut-out of 27.5 x 20 where its body of 27 x 19.5 is not, corners of 1.5; flange 50 x 24 x 3, screws 40 apart.
    let body = rounded(26.9, 19.4, 1.5);
    let flange = rect(50.0, 24.0).less(2, disc(3.4));
    let inlet = stacked(&[(body, 36.0 + 3.0), (flange, 3.0)], flange);
    b.has("INLET", inlet, at("INLET", [25.0, 12.0], [-36.0, 6.0]));
    // wall 3, flange 3, nut 2.4 and 1 are 9.4: 10 mm
    let x = 360.0 - 20.0;
    let screw = [
        [x - 2.8, INNER + 6.0 - 10.0, Z - 2.8],
        [x + 2.8, INNER + 8.4, Z + 2.8],
    ];
    b.has("INLET-screw-2", pan_screw(3.0, 5.6, 2.4, 10.0), screw);
    b.is("INLET-nut-1", nut(5.5, 3.0, 2.4));
    // 0.3 mm of room in a double-D hole's round half and at its flat
    let cord = stacked(
        &[(disc(18.0), 16.0), (d_shape(7.65, 6.85), 3.0)],
        disc(18.0),
    );
    b.has("CORD", cord, at("CORD", [9.0; 2], [-16.0, 3.0]));
    b.has(
        "CORD-cap",
        disc(19.0).high(10.0),
        at("CORD", [9.5; 2], [3.0, 13.0]),
    );
    // bore 3/8, hole 9/16, outside 3/4 in; lips of 2.5 on both sides of 3 mm
    let (bore, neck, out) = (disc(9.525), disc(14.287 - 0.2), disc(19.05));
    let ring = form(
        2.0 * (out.area - bore.area) * 2.4 + (neck.area - bore.area) * 3.2,
        4.0 * out.area - 2.0 * bore.area - 2.0 * neck.area
            + 2.0 * out.rim * 2.4
            + neck.rim * 3.2
            + bore.rim * 8.0,
    );
    b.has("RING", ring, at("RING", [9.525; 2], [-2.5, 5.5]));
}

fn panel_and_overlay_with_every_hole(b: &Built) {
    let length = 400.0 - 2.2;
    let holed = |wall: f64| {
        rounded(length, 90.0, 2.0)
            .high(wall)
            // pot, rotary and jack: 25/64 in
            .bored(3, 9.92, wall)
            // turn stops of the pots
            .bored(1, 3.2, wall)
            .bored(1, 2.9, wall)
            .bored(1, 7.5, wall)
            .bored(1, 12.3, wall)
            .bored(1, 6.53, wall)
            .bored(1, 17.5, wall)
            .bored(1, 12.7, wall)
            .bored(1, 14.287, wall)
            .cut(1, d_shape(7.95, 7.15), wall)
            .cut(1, rounded(27.5, 20.0, 1.5), wall)
            .bored(2, 3.4, wall)
    };
    // the angle's two screws pass the panel and lie under the overlay
    let z = [Z - 45.0, Z + 45.0];
    b.has(
        "panel-rear",
        holed(2.5).bored(2, 4.5, 2.5),
        [[1.1, 192.0, z[0]], [398.9, 194.5, z[1]]],
    );
    b.has(
        "panel-rear-overlay",
        holed(0.5),
        [[1.1, 194.5, z[0]], [398.9, 195.0, z[1]]],
    );
}

#[test]
fn every_part_of_a_panel_of_controls() {
    let b = built();
    pots_and_rotary_switch_with_nuts_and_knobs(&b);
    jack_and_toggles(&b);
    lamp_fuse_holder_and_their_caps(&b);
    inlet_strain_relief_and_grommet(&b);
    panel_and_overlay_with_every_hole(&b);
    // plate and angle are measured in `chassis`
    b.all_but(|p| measured_in_cabinet(p) || p.id == "plate" || p.id.starts_with("angle-"));
}

#[test]
fn controls_on_the_plate_and_a_slim_knob() {
    let b = Built::new(&on_plate(
        r#"
[[control]]
id = "TRIM"
kind = "pot"
knob = "knob 19"
on = "plate"
at = { left = 100, front = 60 }
[[control]]
id = "BARE"
kind = "pot"
knob = "none"
on = "plate"
at = { left = 180, front = 60 }
"#,
    ));
    let pot = stacked(
        &[(disc(24.5), 25.0), (disc(9.525), 9.5), (disc(6.35), 9.5)],
        disc(24.5),
    );
    // behind the lower face, shaft up
    b.has("TRIM", pot, about(100.0, 90.0, [12.25; 2], [65.0, 109.0]));
    b.has("BARE", pot, about(180.0, 90.0, [12.25; 2], [65.0, 109.0]));
    // A knob of 19 mm has no room for a hollow about the nut's corners (16.2 and 1 mm of air, 2 of wall): it stands 0.5 mm in front of the bushing,
    // bored 0.1 mm deeper than the shaft's last 9 mm.
    let knob = knob(19.0, 18.0, 6.35, 9.1, [0.0, 0.0]);
    b.has(
        "TRIM-knob",
        knob,
        about(100.0, 90.0, [9.5; 2], [100.0, 118.0]),
    );
    b.is("plate", plate().bored(2, 9.92, 3.0).bored(2, 3.2, 3.0));
}
