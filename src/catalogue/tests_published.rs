//! The published figures typed a second time, document by document, and compared with the data both ways: nothing may be called published
//! that is not in this table, and nothing in this table may read otherwise in the data.

use std::collections::BTreeMap;

use super::family::each_family;
use super::figures::Value;
use super::tests::{STANDINGS, exceptions};
use super::*;

/// Half of the last digit in which documents print, mm (0.001 in is 0.0254 mm; US sheets print 64ths, ISO tables 0.05 mm).
const READING: f64 = 0.006;

/// Inches to mm.
const fn inch(value: f64) -> f64 {
    value * 25.4
}

/// Family, id, document, figures. Lengths mm.
type Entry = (
    &'static str,
    &'static str,
    &'static str,
    &'static [(&'static str, f64)],
);

const TUBES: &[Entry] = &[
    (
        "tube",
        "12AX7",
        "STC Brimar VAD/513.5 p. 2; Tung-Sol plate 1931: 7/8, 2-3/16, 1-15/16 in",
        &[
            ("diameter", inch(0.875)),
            ("overall", inch(2.1875)),
            ("seated", inch(1.9375)),
            ("classic-diameter", inch(0.875)),
            ("classic-overall", inch(2.1875)),
            ("heater-v", 6.3),
            ("heater-a", 0.3),
        ],
    ),
    (
        "tube",
        "12AU7",
        "STC Brimar VAD/513.4 p. 2; Tung-Sol plate 6593: 7/8, 2-3/16, 1-15/16 in; Philips ECC82: 5.5 W both",
        &[
            ("diameter", inch(0.875)),
            ("overall", inch(2.1875)),
            ("seated", inch(1.9375)),
            ("classic-diameter", inch(0.875)),
            ("classic-overall", inch(2.1875)),
            ("heater-v", 6.3),
            ("heater-a", 0.3),
            ("plate-w", 5.5),
        ],
    ),
    (
        "tube",
        "ECC85",
        "Electro-Harmonix 6AQ8EH p. 1: 22.5 x 56.5; Philips ECC85 (Dec 1969) pp. 1, 3",
        &[
            ("diameter", 22.5),
            ("overall", 56.5),
            ("classic-diameter", 22.2),
            ("classic-overall", 55.6),
            ("current-diameter", 22.5),
            ("current-overall", 56.5),
            ("heater-v", 6.3),
            ("heater-a", 0.435),
            ("plate-w", 4.5),
        ],
    ),
    (
        "tube",
        "6CG7",
        "Electro-Harmonix 6CG7EH p. 1: 22.5 +0/-2 x 66.5",
        &[
            ("diameter", 22.5),
            ("current-diameter", 22.5),
            ("current-overall", 66.5),
        ],
    ),
    (
        "tube",
        "EL84",
        "Philips EL84 p. 1 (71.4 seated, 77.8 overall; 2-13/16, 3-1/16 in) and p. 6",
        &[
            ("overall", inch(3.0625)),
            ("classic-overall", inch(3.0625)),
            ("seated", inch(2.8125)),
            ("heater-v", 6.3),
            ("heater-a", 0.76),
            ("plate-w", 12.0),
            ("screen-w", 2.0),
        ],
    ),
    (
        "tube",
        "ECL82",
        "Electro-Harmonix 6BM8EH p. 1: 22.5 +0/-2 x 78.5",
        &[
            ("diameter", 22.5),
            ("overall", 78.5),
            ("heater-v", 6.3),
            ("current-diameter", 22.5),
            ("current-overall", 78.5),
        ],
    ),
    (
        "tube",
        "6V6GT",
        "Electro-Harmonix 6V6EH: 29.6 x 87 +/- 2, 13.2 W, 2.2 W, 483 K",
        &[
            ("overall", 89.0),
            ("plate-w", 13.2),
            ("screen-w", 2.2),
            ("bulb-c", 210.0),
            ("current-diameter", 29.6),
            ("current-overall", 89.0),
        ],
    ),
    (
        "tube",
        "EL34",
        "Electro-Harmonix EL34EH: 32 +0/-1 x 111 +/- 2, 25 W, 8 W, 523 K",
        &[
            ("overall", 113.0),
            ("bulb-c", 250.0),
            ("current-diameter", 32.0),
            ("current-overall", 113.0),
            ("plate-w", 25.0),
            ("screen-w", 8.0),
        ],
    ),
    ("tube", "KT88", "KT88S sheet, p. 1", &[("heater-a", 1.6)]),
    (
        "tube",
        "KT90",
        "Electro-Harmonix KT90EH: 38 max x 120 +2/-3, 50 W, 8 W",
        &[
            ("diameter", 38.0),
            ("overall", 122.0),
            ("current-diameter", 38.0),
            ("current-overall", 122.0),
            ("plate-w", 50.0),
            ("screen-w", 8.0),
        ],
    ),
    (
        "tube",
        "EZ80",
        "Mazda EZ80 (Aug 1963) p. 1: 0.875 in, 60.5 mm",
        &[
            ("diameter", inch(0.875)),
            ("seated", 60.5),
            ("heater-v", 6.3),
            ("heater-a", 0.6),
        ],
    ),
    (
        "tube",
        "6SN7GT",
        "Electro-Harmonix 6SN7EH p. 1: at most 29.6 x 84",
        &[("current-diameter", 29.6), ("current-overall", 84.0)],
    ),
];

const SPEAKERS: &[Entry] = &[
    (
        "speaker",
        "10 in ceramic",
        "Celestion G10 Greenback, Jensen C10Q, largest: 259, 231, 245, 102, 124, 1.6 kg, 8 slots 6.5 wide",
        &[
            ("frame", 259.0),
            ("cutout", 231.0),
            ("bolt-circle", 245.0),
            ("bolts", 8.0),
            ("bolt-hole", 6.5),
            ("depth", 102.0),
            ("magnet", 124.0),
            ("mass", 1.6),
        ],
    ),
    (
        "speaker",
        "12 in ceramic",
        "Celestion Vintage 30, G12M, G12M-65, G12-65, Fane F25, largest: 309, 284, 297, 135, 156, 8 mm holes, flange 5",
        &[
            ("frame", 309.0),
            ("cutout", 284.0),
            ("bolt-circle", 297.0),
            ("bolts", 8.0),
            ("bolt-hole", 8.0),
            ("depth", 135.0),
            ("magnet", 156.0),
            ("flange", 5.0),
        ],
    ),
    (
        "speaker",
        "12 in alnico",
        "Celestion Cream: 309, 283, 297, 165, 128, 4.2 kg, 8 holes 7.9",
        &[
            ("frame", 309.0),
            ("cutout", 283.0),
            ("bolt-circle", 297.0),
            ("bolts", 8.0),
            ("bolt-hole", 7.9),
            ("depth", 165.0),
            ("magnet", 128.0),
            ("mass", 4.2),
        ],
    ),
];

const CONTROLS: &[Entry] = &[(
    "control",
    "pot 24",
    "Bourns PDB241-GTR: 3/8-32, 9.5 long, body 24.0 +/- 0.5, shaft 6.35 to 19.0",
    &[
        ("bushing", inch(0.375)),
        ("bushing-length", 9.5),
        ("body", 24.5),
        ("shaft", 6.35),
        ("tip", 19.0),
    ],
)];

/// Id, holes, pan head, countersunk head, nut, washer.
type MetricScrew = (
    &'static str,
    [f64; 3],
    [f64; 2],
    [f64; 2],
    [f64; 2],
    Option<[f64; 2]>,
);

/// Id, close, normal and loose hole, pan head, flat head, nut.
type InchScrew = (
    &'static str,
    f64,
    f64,
    Option<f64>,
    [f64; 2],
    [f64; 2],
    [f64; 2],
);

/// ISO 273 (BS 4186:1967): fine, medium, coarse. ISO 7045 pan head: largest diameter, height. ISO 7046-2 countersunk head: largest diameter,
/// height. ISO 4032 nut: largest width, thickness. ISO 7089 washer: outside, thickness (M3 to M6 only).
#[rustfmt::skip]
const METRIC: &[MetricScrew] = &[
    ("M2.5", [2.7, 2.9, 3.1], [5.0, 2.1], [4.7, 1.5], [5.0, 2.0], None),
    ("M3", [3.2, 3.4, 3.6], [5.6, 2.4], [5.5, 1.65], [5.5, 2.4], Some([7.0, 0.5])),
    ("M4", [4.3, 4.5, 4.8], [8.0, 3.1], [8.4, 2.7], [7.0, 3.2], Some([9.0, 0.8])),
    ("M5", [5.3, 5.5, 5.8], [9.5, 3.7], [9.3, 2.7], [8.0, 4.7], Some([10.0, 1.0])),
    ("M6", [6.4, 6.6, 7.0], [12.0, 4.6], [11.3, 3.3], [10.0, 5.2], Some([12.0, 1.6])),
];

/// ISO 273 alone.
const METRIC_HOLES: &[(&str, [f64; 3])] = &[("M3.5", [3.7, 3.9, 4.2])];

/// Machinery's Handbook 31st ed. pp. 1741, 1743: close metric drill (mm), normal drill (in), loose minimum (in; #10 not seen). ASME B18.6.3: pan
/// head, flat head, machine screw nut, largest diameter or width and height (in).
#[rustfmt::skip]
const INCH: &[InchScrew] = &[
    ("#4", 3.0, 0.1285, Some(0.144), [0.219, 0.080], [0.212, 0.067], [0.250, 0.098]),
    ("#6", 3.9, 0.1695, Some(0.185), [0.270, 0.097], [0.262, 0.083], [0.312, 0.114]),
    ("#8", 4.6, 0.1960, Some(0.213), [0.322, 0.115], [0.312, 0.100], [0.344, 0.130]),
    ("#10", 5.2, 0.2210, None, [0.373, 0.133], [0.362, 0.116], [0.375, 0.130]),
    ("1/4", 6.7, 0.28125, Some(0.297), [0.492, 0.175], [0.477, 0.153], [0.438, 0.193]),
];

/// Density, kg/m3; modulus, GPa; Poisson's ratio; resistivity, nano-ohm metres.
const fn metal(values: [f64; 4]) -> [(&'static str, f64); 4] {
    let [density, modulus, poisson, resistivity] = values;
    [
        ("density", density),
        ("modulus", modulus),
        ("poisson", poisson),
        ("resistivity", resistivity),
    ]
}

const MATERIALS: &[Entry] = &[
    (
        "material",
        "aluminium 5052-H32",
        "Aluminum Association property sheet: 2.68 g/cm3, 70.3 GPa, 0.33, 4.99e-6 ohm cm",
        &metal([2680.0, 70.3, 0.33, 49.9]),
    ),
    (
        "material",
        "aluminium 6061-T6",
        "Aluminum Association property sheet (copies): 2.7 g/cm3, 68.9 GPa, 0.33, 3.99e-6 ohm cm",
        &metal([2700.0, 68.9, 0.33, 39.9]),
    ),
    (
        "material",
        "aluminium 6063-T5",
        "Aluminum Association property sheet (copy): 2.7 g/cm3, 68.9 GPa, 0.33, 3.16e-6 ohm cm",
        &metal([2700.0, 68.9, 0.33, 31.6]),
    ),
    (
        "material",
        "aluminium 3003-H14",
        "Aluminum Association property sheet (copy): 2.73 g/cm3, 68.9 GPa, 0.33, 4.16e-6 ohm cm",
        &metal([2730.0, 68.9, 0.33, 41.6]),
    ),
    (
        "material",
        "steel low carbon",
        "SAE 1018 property sheet (copy): 7.87 g/cm3, 200 GPa, 0.29, 1.59e-5 ohm cm at 0 C",
        &metal([7870.0, 200.0, 0.29, 159.0]),
    ),
    (
        "material",
        "ponderosa pine",
        "USDA Wood Handbook FPL-GTR-190 Table 5-3a: 8 900 MPa",
        &[("modulus", 8.9)],
    ),
    (
        "material",
        "sugar pine",
        "USDA Wood Handbook FPL-GTR-190 Table 5-3a: 8 200 MPa",
        &[("modulus", 8.2)],
    ),
];

const BASES: &[Entry] = &[
    (
        "base",
        "noval",
        "Electro-Harmonix 6AQ8EH, 6CG7EH, 6BM8EH p. 1: 9 pins at 36 deg, 1.00 +0.03",
        &[
            ("pins", 9.0),
            ("pin", 1.03),
            ("first", 36.0),
            ("pitch", 36.0),
        ],
    ),
    (
        "base",
        "octal",
        "Electro-Harmonix 6V6EH, 6SN7EH, EL34EH p. 1: 8 pins at 45 deg, key half-way",
        &[("pins", 8.0), ("first", 22.5), ("pitch", 45.0)],
    ),
];

/// US Army TM 10-5410-221-14/1 Table 4-3: rivet, smallest and largest hole, in.
const RIVETS: &[(&str, f64, f64)] = &[
    ("rivet 3/32", 0.096, 0.100),
    ("rivet 1/8", 0.128, 0.132),
    ("rivet 5/32", 0.160, 0.164),
    ("rivet 1/4", 0.257, 0.261),
];

/// ASME B18.21.1 (a supplier's table): screw, smallest hole, internal: largest outside and thickness, external: largest outside; in.
const TOOTH_WASHERS: &[(&str, f64, f64, f64, f64)] = &[
    ("#4", 0.115, 0.270, 0.018, 0.260),
    ("#6", 0.141, 0.295, 0.022, 0.320),
    ("#8", 0.168, 0.340, 0.023, 0.381),
    ("#10", 0.195, 0.381, 0.024, 0.410),
    ("1/4", 0.256, 0.478, 0.028, 0.510),
];

/// Chart of drills, v.2 of 2007-02-12 (public domain): #80 downwards to #54, ten-thousandths of an inch.
#[rustfmt::skip]
const DRILLS: [u32; 27] = [
    135, 145, 160, 180, 200, 210, 225, 240, 250, 260, 280, 292, 310, 320, 330, 350, 360, 370, 380, 390, 400, 410, 420, 430, 465, 520, 550,
];

/// YG-1 technical data p. 390, tap drill sizes, ten-thousandths of an inch; and those that Machinery's Handbook 31st ed. pp. 1741, 1743 prints as
/// clearance drills.
#[rustfmt::skip]
const DRILLS_BY_NAME: [(&str, u32); 25] = [
    ("#53", 595), ("#50", 700), ("#47", 785), ("#45", 820), ("#43", 890), ("#42", 935), ("#38", 1015), ("#37", 1040), ("#36", 1065),
    ("#33", 1130), ("#29", 1360), ("#25", 1495), ("#21", 1590), ("#16", 1770), ("#14", 1820), ("#7", 2010), ("#3", 2130),
    ("F", 2570), ("I", 2720), ("Q", 3320), ("U", 3680),
    ("#30", 1285), ("#18", 1695), ("#9", 1960), ("#2", 2210),
];

/// Hammond 182 series, p. 34: outside diameter and height, in; weight, lb.
#[rustfmt::skip]
const TOROIDS: [(f64, f64, f64); 12] = [
    (3.20, 1.25, 0.76), (2.95, 1.60, 1.12), (3.63, 1.73, 1.67), (3.73, 1.52, 2.15), (3.98, 1.68, 2.84), (4.43, 1.73, 3.87),
    (4.97, 1.90, 4.96), (5.06, 2.27, 5.58), (5.50, 2.21, 8.46), (6.10, 3.10, 10.38), (6.40, 3.10, 13.53), (6.50, 3.50, 16.49),
];

const CLAMPS: &[Entry] = &[(
    "clamp",
    "clamp 35",
    "Vishay BCcomponents 28348 Fig. 1",
    &[
        ("can", 35.0),
        ("spacing", 51.5),
        ("hole", 4.5),
        ("over-lugs", 63.0),
        ("band", 12.0),
    ],
)];

type Key = (String, String, String);

/// Every published figure, by family, id and name.
fn typed() -> BTreeMap<Key, f64> {
    let mut all = BTreeMap::new();
    let mut add = |family: &str, id: &str, name: &str, value: f64| {
        let known = all.insert((family.to_owned(), id.to_owned(), name.to_owned()), value);
        assert!(known.is_none(), "{family} {id} {name} typed twice");
    };
    for (family, id, _, figures) in [TUBES, BASES, SPEAKERS, CONTROLS, MATERIALS, CLAMPS]
        .into_iter()
        .flatten()
    {
        for (name, value) in *figures {
            add(family, id, name, *value);
        }
    }
    for (id, least, most) in RIVETS {
        add("rivet", id, "hole-least", inch(*least));
        add("rivet", id, "hole-most", inch(*most));
    }
    for (id, hole, internal, thickness, external) in TOOTH_WASHERS {
        for (kind, outside) in [("internal", internal), ("external", external)] {
            let id = format!("{id} {kind} tooth");
            add("tooth washer", &id, "hole", inch(*hole));
            add("tooth washer", &id, "outside", inch(*outside));
            if kind == "internal" {
                add("tooth washer", &id, "thickness", inch(*thickness));
            }
        }
    }
    for (number, size) in (54..=80).rev().zip(DRILLS) {
        let size = f64::from(size) / 10_000.0;
        add("drill", &format!("#{number}"), "diameter", inch(size));
    }
    for (id, size) in DRILLS_BY_NAME {
        add("drill", id, "diameter", inch(f64::from(size) / 10_000.0));
    }
    for (diameter, height, pounds) in TOROIDS {
        let id = format!("toroid {:.0} x {:.0}", inch(diameter), inch(height));
        add("toroid", &id, "diameter", inch(diameter));
        add("toroid", &id, "height", inch(height));
        add("toroid", &id, "mass", pounds * 0.453_592_37);
    }
    let mut screw = |id: &str, figures: &[(&str, f64)]| {
        figures
            .iter()
            .for_each(|(name, value)| add("screw", id, name, *value))
    };
    for (id, [close, normal, loose], pan, csk, nut, washer) in METRIC {
        screw(
            id,
            &[
                ("close", *close),
                ("normal", *normal),
                ("loose", *loose),
                ("csk-angle", 90.0),
            ],
        );
        screw(
            id,
            &[
                ("pan-diameter", pan[0]),
                ("pan-height", pan[1]),
                ("csk-diameter", csk[0]),
                ("csk-height", csk[1]),
            ],
        );
        screw(id, &[("nut", nut[0]), ("nut-thickness", nut[1])]);
        if let Some([outside, thickness]) = washer {
            screw(
                id,
                &[("washer", *outside), ("washer-thickness", *thickness)],
            );
        }
    }
    for (id, [close, normal, loose]) in METRIC_HOLES {
        screw(
            id,
            &[("close", *close), ("normal", *normal), ("loose", *loose)],
        );
    }
    for (id, close, normal, loose, pan, csk, nut) in INCH {
        screw(
            id,
            &[
                ("close", *close),
                ("normal", inch(*normal)),
                ("csk-angle", 82.0),
            ],
        );
        if let Some(loose) = loose {
            screw(id, &[("loose", inch(*loose))]);
        }
        screw(
            id,
            &[("pan-diameter", inch(pan[0])), ("pan-height", inch(pan[1]))],
        );
        screw(
            id,
            &[("csk-diameter", inch(csk[0])), ("csk-height", inch(csk[1]))],
        );
        screw(
            id,
            &[("nut", inch(nut[0])), ("nut-thickness", inch(nut[1]))],
        );
    }
    all
}

/// Names after `Published: ` at the end of a source.
fn named_published(source: &str) -> Vec<String> {
    let Some(at) = source.find("Published: ") else {
        return Vec::new();
    };
    let tail = &source[at..];
    let end = STANDINGS[1..]
        .iter()
        .filter_map(|word| tail.find(word))
        .min()
        .unwrap_or(tail.len());
    exceptions(&tail[..end])
}

fn collect<R: Row>(all: &mut BTreeMap<Key, f64>) {
    for row in R::all() {
        let (others, named) = (exceptions(row.source()), named_published(row.source()));
        for figure in row.figures() {
            let name = figure.name.to_owned();
            let published = named.contains(&name)
                || (row.status() == Status::Published && !others.contains(&name));
            let value = match figure.value {
                Value::Mm(v) | Value::Number(v, _) => v,
                Value::Count(n) => f64::from(n),
                // Words are our own; a screw that goes with a hole follows from it.
                Value::Word(_) | Value::Absent | Value::Size(_) | Value::Lengths(_) => {
                    let figures = matches!(figure.value, Value::Size(_) | Value::Lengths(_));
                    assert!(
                        !(published && figures),
                        "{} {}: {name} cannot be checked here",
                        R::FAMILY,
                        row.id()
                    );
                    continue;
                }
            };
            if published {
                all.insert((R::FAMILY.to_owned(), row.id().to_owned(), name), value);
            }
        }
    }
}

#[test]
fn published_figures_read_as_in_their_documents() {
    let mut data = BTreeMap::new();
    each_family!(collect(&mut data));
    let typed = typed();
    for (key, value) in &data {
        let second = typed.get(key);
        assert!(
            second.is_some(),
            "{key:?} is called published, but no document was typed for it"
        );
        assert!(
            second.is_some_and(|v| (v - value).abs() < READING),
            "{key:?} is {value}, the document says {second:?}"
        );
    }
    for key in typed.keys() {
        assert!(
            data.contains_key(key),
            "{key:?} is typed from a document, but the data does not call it published"
        );
    }
    assert!(data.len() > 150, "only {} figures", data.len());
}

#[test]
fn tubes_hold_the_larger_of_classic_and_current_outline() {
    let larger = |a: Option<f64>, b: Option<f64>| a.into_iter().chain(b).reduce(f64::max);
    let mut both = 0;
    for row in tubes() {
        let id = &row.id;
        for (modelled, classic, current) in [
            (row.diameter, row.classic_diameter, row.current_diameter),
            (row.overall, row.classic_overall, row.current_overall),
        ] {
            both += usize::from(classic.is_some() && current.is_some());
            if let Some(largest) = larger(classic, current) {
                assert!(
                    (modelled - largest).abs() < READING,
                    "{id}: {modelled}, but the larger outline says {largest}"
                );
            }
        }
    }
    assert_eq!(both, 12, "six types have both outlines");
    // Current maker's sheets: 6V6GT 29.6 x 89, 6SN7 29.6 x 84, EL34 32 x 113, 6AQ8 22.5 x 56.5, 6CG7 22.5 x 66.5, 6BM8 22.5 x 78.5.
    // Classic maxima (JEDEC outlines, from memory unless in the table above): octal GT 33.34 x 84.14, EL34 33.34 x 112.71, noval 22.22.
    for (name, classic, current) in [
        ("6V6GT", [33.34, 84.14], [29.6, 89.0]),
        ("6SN7GT", [33.34, 84.14], [29.6, 84.0]),
        ("EL34", [33.34, 112.71], [32.0, 113.0]),
        ("ECC85", [22.2, 55.6], [22.5, 56.5]),
        ("6CG7", [22.22, 66.67], [22.5, 66.5]),
        ("ECL82", [22.22, 77.79], [22.5, 78.5]),
    ] {
        let row = tube(name).unwrap_or_else(|| panic!("{name}"));
        for (have, want) in [
            (row.classic_diameter, classic[0]),
            (row.classic_overall, classic[1]),
            (row.current_diameter, current[0]),
            (row.current_overall, current[1]),
        ] {
            assert!(
                have.is_some_and(|v| (v - want).abs() < READING),
                "{name}: {have:?}, {want}"
            );
        }
    }
}

#[test]
fn metric_drills_for_inch_screws_agree() {
    // Machinery's Handbook 31st ed. Table 3a: metric drills for close, normal and loose holes, mm; inch and metric drills of one hole differ by
    // no more than 0.06 mm.
    for (name, [close, normal, loose]) in [
        ("#4", [3.0, 3.3, 3.7]),
        ("#6", [3.9, 4.3, 4.7]),
        ("#8", [4.6, 5.0, 5.4]),
        ("#10", [5.2, 5.6, 6.0]),
        ("1/4", [6.7, 7.1, 7.5]),
    ] {
        for id in [name.to_owned(), format!("{name} wood")] {
            let Some(row) = screw(&id) else { continue };
            for (have, want) in [(row.close, close), (row.normal, normal), (row.loose, loose)] {
                assert!((have - want).abs() < 0.06, "{id}: {have}, drill {want}");
            }
        }
    }
}
