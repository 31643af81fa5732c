//! Published figures, found again in the built solids. Beside each check stands the document its figure was read in; a figure that was only
//! remembered says so.

use super::*;
use groovewright::solid::Surface;

/// Sheets round inches to 1/64 and mm to 0.1 or 0.5: the solid may differ from a printed mm figure by that much.
const PRINTED: f64 = 0.06;

fn size(b: &Built, id: &str) -> [f64; 3] {
    let (k, _) = b.part(id);
    let [low, high] = b.study.report.solids[k].box_mm;
    std::array::from_fn(|i| high[i] - low[i])
}

fn reads(what: &str, have: f64, want: f64) {
    assert!(
        (have - want).abs() < PRINTED,
        "{what}: {have}, printed {want}"
    );
}

#[test]
fn tube_outlines() {
    let tubes = [
        // type, largest diameter, seated height; in mm
        // STC Brimar VAD/513.5 p. 2 and Tung-Sol plate 1931: 7/8 in, 1 15/16 in
        ("12AX7", 22.22, 49.21),
        // Philips ECC82: 22 x 49.2; Tung-Sol plate 6593: 7/8 in
        ("12AU7", 22.22, 49.2),
        // Philips EL84 p. 1: 71.4; its diameter is that of the T 6 1/2 bulb, 7/8 in (from memory)
        ("EL84", 22.22, 71.4),
        // Mazda EZ80 (Aug 1963) p. 1: 0.875 in, 60.5 mm
        ("EZ80", 22.22, 60.5),
        // current maker's drawing of the 6AQ8: 22.5 +0/-2 and 56.5 over all, of which 1/4 in are pins
        ("ECC85", 22.5, 56.5 - 6.35),
        // current maker's sheets, over all 89 and 113, of which 9/16 in are pins; diameters 1 5/16 in from memory
        ("6V6GT", 33.34, 89.0 - 14.29),
        ("EL34", 33.34, 113.0 - 14.29),
    ];
    let items: String = tubes
        .iter()
        .enumerate()
        .map(|(k, t)| {
            format!(
                "[[tube]]\nid = \"V{k}\"\ntype = \"{}\"\nat = {{ left = {}, front = 70 }}\n",
                t.0,
                35 + 53 * k
            )
        })
        .collect();
    let b = Built::new(&on_plate(&items));
    for (k, (name, d, seated)) in tubes.into_iter().enumerate() {
        let [x, y, z] = size(&b, &format!("V{k}"));
        reads(&format!("{name} across"), x, d);
        reads(&format!("{name} deep"), y, d);
        reads(&format!("{name} seated"), z, seated);
    }
}

/// One board on four screws of a size gives a pan head screw, a nut and their holes.
fn fastened(screw: &str) -> Built {
    let text = on_plate(&format!(
        "[[board]]\nid = \"B1\"\nlength = \"90 mm\"\nwidth = \"60 mm\"\ninset = \"9 mm\"\nscrew = \"{screw}\"\nat = {{ left = \"100 mm\", front = \"90 mm\" }}\n[[hardware]]\nid = \"STUD\"\nkind = \"earth stud\"\nscrew = \"{screw}\"\nat = {{ left = \"250 mm\", front = \"90 mm\" }}\n"
    ));
    Built::new(&text)
}

/// Diameters of all bores of a part, as its faces have them.
fn bores(b: &Built, id: &str) -> Vec<f64> {
    let (_, part) = b.part(id);
    let body = &b.study.assembly.shapes[part.shape].body;
    (body.faces.iter())
        .filter(|f| !f.sense)
        .filter_map(|f| match f.surface {
            Surface::Cylinder { radius, .. } => Some(2.0 * radius),
            _ => None,
        })
        .collect()
}

fn has_bore(b: &Built, id: &str, d: f64, document: &str) {
    let all = bores(b, id);
    assert!(
        all.iter().any(|have| (have - d).abs() < PRINTED),
        "{id} has no bore of {d} ({document}), only {all:?}"
    );
}

#[test]
fn metric_screws_nuts_and_their_holes() {
    for (screw, major, pan, nut, [close, medium]) in [
        // ISO 7045 largest head: diameter, height. ISO 4032 nut: largest width across flats, thickness. ISO 273 (BS 4186:1967): fine, medium.
        ("M3", 3.0, [5.6, 2.4], [5.5, 2.4], [3.2, 3.4]),
        ("M4", 4.0, [8.0, 3.1], [7.0, 3.2], [4.3, 4.5]),
        ("M5", 5.0, [9.5, 3.7], [8.0, 4.7], [5.3, 5.5]),
        ("M6", 6.0, [12.0, 4.6], [10.0, 5.2], [6.4, 6.6]),
    ] {
        let b = fastened(screw);
        let head = size(&b, "B1-screw-1");
        reads(&format!("{screw} head"), head[0], pan[0]);
        // plate 3, stand-off 10, board 2.4, nut and 1 mm over: the screw is stocked in whole mm
        let length = head[2] - pan[1];
        assert!(
            (length - length.round()).abs() < PRINTED,
            "{screw}: a stocked length and a head of {}",
            pan[1]
        );
        let hex = size(&b, "B1-nut-1");
        reads(&format!("{screw} nut across flats"), hex[1], nut[0]);
        reads(&format!("{screw} nut"), hex[2], nut[1]);
        has_bore(&b, "B1-nut-1", major, "its thread's major diameter");
        has_bore(&b, "B1", medium, "ISO 273 medium");
        has_bore(&b, "plate", medium, "ISO 273 medium");
        // an earth stud fits closely
        has_bore(&b, "plate", close, "ISO 273 fine");
        has_bore(&b, "STUD-lug", close, "ISO 273 fine");
    }
}

#[test]
fn inch_screws_nuts_and_their_holes() {
    let inch = 25.4;
    for (screw, major, pan, nut, normal, close) in [
        // ASME B18.6.3, in: major diameter, pan head and nut, largest. Machinery's Handbook 31st ed. pp. 1741, 1743: normal hole (in), close drill (mm).
        ("#4", 0.112, [0.219, 0.080], [0.250, 0.098], 0.1285, 3.0),
        ("#6", 0.138, [0.270, 0.097], [0.312, 0.114], 0.1695, 3.9),
        ("#8", 0.164, [0.322, 0.115], [0.344, 0.130], 0.1960, 4.6),
        ("#10", 0.190, [0.373, 0.133], [0.375, 0.130], 0.2210, 5.2),
    ] {
        let b = fastened(screw);
        reads(
            &format!("{screw} head"),
            size(&b, "B1-screw-1")[0],
            pan[0] * inch,
        );
        let hex = size(&b, "B1-nut-1");
        reads(&format!("{screw} nut across flats"), hex[1], nut[0] * inch);
        reads(&format!("{screw} nut"), hex[2], nut[1] * inch);
        has_bore(&b, "B1-nut-1", major * inch, "its thread's major diameter");
        has_bore(&b, "plate", normal * inch, "B18.2.8 normal");
        has_bore(&b, "plate", close, "B18.2.8 close, metric drill");
    }
}

/// An angle with countersunk screws of that size through a plate of 5 mm.
fn countersunk(screw: &str) -> Built {
    Built::new(&format!(
        r#"
[design]
name = "published-flat-heads"
[cabinet]
width = 300
height = 200
depth = 220
covering = 0
[chassis]
thickness = 5
depth = 150
set-back = 30
[chassis.panel.rear]
height = 80
[chassis.angle]
leg = 25
thickness = 4
screw = "{screw}"
count = 3
"#
    ))
}

#[test]
fn countersunk_heads_and_their_angles() {
    for (screw, head, degrees) in [
        // ISO 7046-2, largest actual head: 90 degrees
        ("M3", 5.5, 90.0_f64),
        ("M4", 8.4, 90.0),
        ("M5", 9.3, 90.0),
        // ASME B18.6.3 flat head, largest actual: 82 degrees
        ("#6", 0.262 * 25.4, 82.0),
        ("#8", 0.312 * 25.4, 82.0),
        ("#10", 0.362 * 25.4, 82.0),
    ] {
        let b = countersunk(screw);
        reads(
            &format!("{screw} flat head"),
            size(&b, "angle-rear-plate-screw-1")[0],
            head,
        );
        // the cone of the head, and that of the hole, grow by the tangent of half the angle
        let slope = (degrees / 2.0).to_radians().tan();
        for id in ["angle-rear-plate-screw-1", "plate"] {
            let (_, part) = b.part(id);
            let body = &b.study.assembly.shapes[part.shape].body;
            let slopes: Vec<f64> = (body.faces.iter())
                .filter_map(|f| match f.surface {
                    Surface::Cone { slope, .. } => Some(slope.abs()),
                    _ => None,
                })
                .collect();
            assert!(
                !slopes.is_empty() && slopes.iter().all(|s| (s - slope).abs() < 1e-9),
                "{screw}, {id}: {slopes:?}"
            );
        }
    }
}

#[test]
fn washers() {
    // ISO 7089: outside, thickness
    for (screw, washer) in [("M4", [9.0, 0.8]), ("M5", [10.0, 1.0]), ("M6", [12.0, 1.6])] {
        let b = Built::new(&format!(
            "[design]\nname = \"published-washers\"\n[cabinet]\nwidth = 300\nheight = 200\ndepth = 200\n[cabinet.handle]\nspacing = 160\nscrew = \"{screw}\"\n"
        ));
        let have = size(&b, "handle-washer-1");
        reads(&format!("{screw} washer"), have[0], washer[0]);
        reads(&format!("{screw} washer's thickness"), have[2], washer[1]);
    }
}

#[test]
fn can_clamp() {
    let b = Built::new(&on_plate(
        "[[can]]\nid = \"C1\"\ndiameter = 35\nheight = 51\nat = { left = 200, front = 90 }\n",
    ));
    // Vishay BCcomponents doc. 28348 Fig. 1, clamp for 35 mm cans: 63 over the lugs, band 12 +/- 0.5, holes 4.5 at 51.5
    let have = size(&b, "C1-clamp");
    reads("over the lugs", have[0], 63.0);
    reads("band", have[2], 12.0);
    has_bore(&b, "C1-clamp", 4.5, "doc. 28348");
    let apart = |id: &str| {
        let (k, _) = b.part(id);
        b.study.report.solids[k].box_mm[0][0]
    };
    reads(
        "hole centres",
        apart("C1-clamp-screw-2") - apart("C1-clamp-screw-1"),
        51.5,
    );
}

#[test]
fn loudspeaker() {
    let b = Built::new(
        r#"
[design]
name = "published-speaker"
[cabinet]
width = 450
height = 450
depth = 260
[cabinet.baffle]
thickness = 15
set-back = 20
[speaker]
pattern = "12 in ceramic"
"#,
    );
    // five makers' sheets of 12 in guitar drivers, the largest printed: frame 309, bolt circle 297, cutout 284, depth 135, magnet 156
    let frame = size(&b, "speaker-frame");
    reads("frame", frame[0], 309.0);
    let magnet = size(&b, "speaker-magnet");
    reads("magnet", magnet[0], 156.0);
    reads("depth", frame[1] + magnet[1], 135.0);
    has_bore(&b, "baffle", 284.0, "the sheets' largest cutout");
    let at = |id: &str| {
        let (k, _) = b.part(id);
        let [low, high] = b.study.report.solids[k].box_mm;
        [
            f64::midpoint(low[0], high[0]),
            f64::midpoint(low[2], high[2]),
        ]
    };
    let (one, five) = (at("speaker-bolt-1"), at("speaker-bolt-5"));
    reads(
        "bolt circle",
        (one[0] - five[0]).hypot(one[1] - five[1]),
        297.0,
    );
}

#[test]
fn pot_with_a_quarter_inch_shaft() {
    let b = Built::new(
        r#"
[design]
name = "published-pot"
[cabinet]
width = 300
height = 200
depth = 220
[chassis]
thickness = 3
set-back = 30
[chassis.panel.rear]
height = 70
[[control]]
id = "P"
kind = "pot"
at = { centre = 0 }
"#,
    );
    // Bourns PDB241-GTR: body 24.0 +/- 0.5; bushing 3/8-32, 9.5 long; shaft 6.35, ending 19.0 from the mounting face
    let (k, part) = b.part("P");
    reads("body", size(&b, "P")[0], 24.5);
    let rear = b.study.report.solids[k].box_mm[1][1];
    // the panel's outer face is 30 before the rear edge, its inner face 3 before that
    reads("shaft's end", rear - (220.0 - 33.0), 19.0);
    let body = &b.study.assembly.shapes[part.shape].body;
    for want in [0.375 * 25.4, 6.35] {
        assert!(body.faces.iter().any(|f| matches!(f.surface, Surface::Cylinder { radius, .. } if (2.0 * radius - want).abs() < 1e-9)), "no cylinder of {want}");
    }
    // a bushing's nut goes over its thread's major diameter
    has_bore(&b, "P-nut", 9.525, "3/8-32");
}
