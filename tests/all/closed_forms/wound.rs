//! A toroid on its centre bolt and a C-core under its band.

use super::*;

fn design() -> String {
    on_plate(
        r#"
[[transformer]]
id = "TO"
role = "power"
mounting = "centre bolt"
diameter = 90
height = 36
bore = 26
screw = "M5"
grommets = 0
mass = 1.0
at = { left = 100, front = 90 }
[[transformer]]
id = "CC"
role = "output"
mounting = "banded"
length = 66
height = 64
stack = 30
bell = 12
screw = "M4"
holes = { width = 86, height = 20 }
grommets = 0
mass = 1.2
at = { left = 260, front = 90 }
"#,
    )
}

fn toroid_between_its_pads(b: &Built) {
    let (x, y) = (100.0, 120.0);
    // M5 through 5.5 (ISO 273 medium); pads of 0.8 and a washer of 0.7 of the diameter, 1.5 thick each
    let pad = ring(72.0, 5.5).high(1.5);
    b.has("TO-pad", pad, about(x, y, [36.0; 2], [93.0, 94.5]));
    b.has(
        "TO-coil",
        ring(90.0, 26.0).high(36.0),
        about(x, y, [45.0; 2], [94.5, 130.5]),
    );
    b.has("TO-pad-top", pad, about(x, y, [36.0; 2], [130.5, 132.0]));
    b.has(
        "TO-washer",
        ring(63.0, 5.5).high(1.5),
        about(x, y, [31.5; 2], [132.0, 133.5]),
    );
    // 40.5 over the plate, the plate's 3, nut 4.7 and 1 are 49.2: 50 mm; head 9.5 x 3.7 (ISO 7045)
    b.has(
        "TO-screw-1",
        pan_screw(5.0, 9.5, 3.7, 50.0),
        about(x, y, [4.75; 2], [83.5, 137.2]),
    );
    b.has(
        "TO-nut-1",
        nut(8.0, 5.0, 4.7),
        about(x, y, [8.0 / 3f64.sqrt(), 4.0], [85.3, 90.0]),
    );
    // the ring carries the whole mass
    let (k, _) = b.part("TO-coil");
    assert!((b.study.report.solids[k].mass_g - 1000.0).abs() < 1e-6);
}

fn c_core_under_its_band(b: &Built) {
    let (x, y) = (260.0, 120.0);
    // Legs a sixth of the length, 11; windows of 11 x 42. The foot plate reaches as far beyond the holes as these lie beyond the band of 0.8:
    // 43 + (43 - 33.8).
    let feet = rect(104.4, 38.4).high(1.5).bored(4, 4.5, 1.5);
    b.has("CC-feet", feet, about(x, y, [52.2, 19.2], [93.0, 94.5]));
    // corners of 0.6 leg
    b.has(
        "CC-core",
        rounded(66.0, 64.0, 6.6).high(30.0),
        about(x, y, [33.0, 15.0], [94.5, 158.5]),
    );
    // a strap round three sides: each outline a rectangle with two round corners
    let corner = |r: f64| 2.0 * (1.0 - PI / 4.0) * r * r;
    let area = (67.6 * 64.8 - corner(7.4)) - (66.0 * 64.0 - corner(6.6));
    let path = |wide: f64, r: f64| 2.0 * 57.4 + wide - 2.0 * r + PI * r;
    let rim = path(67.6, 7.4) + path(66.0, 6.6) + 2.0 * 0.8;
    b.has(
        "CC-band",
        section(area, rim).high(12.0),
        about(x, y, [33.8, 6.0], [94.5, 159.3]),
    );
    // the coil: between the outer legs less 1 mm, as high as the window less 1 mm, 12 out of the strip at each side
    let coil = rect(43.0, 12.0).high(41.0);
    for (id, at) in [("CC-coil-front", y - 21.0), ("CC-coil-rear", y + 21.0)] {
        b.has(id, coil, about(x, at, [21.5, 6.0], [106.0, 147.0]));
    }
    // 1.5 + 3, nut 3.2 and 1 are 8.7: 10 mm
    b.has(
        "CC-screw-1",
        pan_screw(4.0, 8.0, 3.1, 10.0),
        about(x - 43.0, y - 10.0, [4.0; 2], [84.5, 97.6]),
    );
    b.is("CC-nut-1", nut(7.0, 4.0, 3.2));
    let mass: f64 = (b.study.report.solids.iter())
        .filter(|s| s.id.starts_with("CC-") && !s.id.contains("screw") && !s.id.contains("nut"))
        .map(|s| s.mass_g)
        .sum();
    assert!((mass - 1200.0).abs() < 1e-6, "{mass}");
}

#[test]
fn every_part_of_a_toroid_and_of_a_c_core() {
    let b = Built::new(&design());
    toroid_between_its_pads(&b);
    c_core_under_its_band(&b);
    b.is("plate", plate().bored(1, 5.5, 3.0).bored(4, 4.5, 3.0));
    b.all_but(measured_in_cabinet);
    // both coils stand upright: their stray fields with them
    for iron in &b.study.design.irons {
        assert!(
            (iron.coil_axis().z.abs() - 1.0).abs() < 1e-12,
            "{}",
            iron.id
        );
    }
}
