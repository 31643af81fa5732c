//! Checks over bases, fixings and hole-making tools.

use super::*;
use crate::params::HoleFit;
use crate::pose::Pose;
use glam::DVec3;

#[test]
fn drills_are_whole_series_in_order() {
    let of = |series: &str| -> Vec<&'static DrillRow> {
        drills().iter().filter(|d| d.series == series).collect()
    };
    // the file keeps what has one source together
    let sorted = |mut rows: Vec<&'static DrillRow>| {
        rows.sort_by(|a, b| a.diameter.total_cmp(&b.diameter));
        rows
    };
    let [number, letter, fraction, metric] = DRILL_SERIES.map(|s| sorted(of(s)));
    // American standard twist drills: #80 to #1, A to Z; by 64ths to 1/2 in; BS 328 has every 0.1 mm here.
    assert_eq!(
        [number.len(), letter.len(), fraction.len(), metric.len()],
        [80, 26, 32, 121]
    );
    for series in [&number, &letter, &fraction, &metric] {
        assert!(
            series
                .windows(2)
                .all(|pair| pair[0].diameter < pair[1].diameter),
            "{}",
            series[0].series
        );
    }
    for (i, row) in number.iter().enumerate() {
        assert_eq!(row.id, format!("#{}", 80 - i));
    }
    assert!(
        letter.iter().map(|d| d.id.as_str()).eq(('A'..='Z')
            .map(String::from)
            .collect::<Vec<_>>()
            .iter()
            .map(String::as_str))
    );
    for (name, mm) in [
        // Exact: n / 64 x 25.4 mm.
        ("1/64", 0.396875),
        ("9/64", 3.571875),
        ("1/2", 12.7),
        ("3.2 mm", 3.2),
        ("10.0 mm", 10.0),
        // E and 1/4 in are one size by two names.
        ("E", 6.35),
        ("letter F", 6.5278),
    ] {
        let row = find::<DrillRow>(name).unwrap_or_else(|| panic!("{name}"));
        assert!((row.diameter - mm).abs() < 1e-9, "{name}: {}", row.diameter);
    }
}

#[test]
fn the_nearest_drill_is_at_or_above_the_hole() {
    for (hole, name) in [
        // To size, also when the hole is written with three digits.
        (3.2639, "#30"),
        (3.26, "#30"),
        (0.1285 * 25.4, "#30"),
        // Just above #30 comes 3.3 mm; above the last metric size nothing.
        (3.2700, "3.3 mm"),
        (0.1, "#80"),
        (13.0, "13.0 mm"),
        (-1.0, "#80"),
    ] {
        assert_eq!(
            drill_at_least(hole).map(|d| d.id.as_str()),
            Some(name),
            "{hole}"
        );
    }
    assert_eq!(drill_at_least(13.01), None);
    assert_eq!(drill_at_least(f64::NAN), None);
    assert_eq!(
        drill_of_at_least("fraction", 3.2639).map(|d| d.id.as_str()),
        Some("9/64")
    );
    assert_eq!(
        drill_of_at_least("letter", 1.0).map(|d| d.id.as_str()),
        Some("A")
    );
    assert_eq!(drill_of_at_least("letter", 10.5), None);
    assert_eq!(drill_of_at_least("wire", 1.0), None);
    for hole in (0..1300).map(|n| f64::from(n) / 100.0) {
        let drill = drill_at_least(hole).expect("up to 13 mm there is one");
        let nearer = drills()
            .iter()
            .any(|d| d.diameter >= hole && d.diameter < drill.diameter);
        assert!(drill.diameter >= hole - 0.005 && !nearer, "{hole}");
    }
}

#[test]
fn large_holes_have_punches_and_steps() {
    for (hole, punch, step) in [
        (15.875, Some("punch 5/8"), Some(15.875)),
        (19.05, Some("punch 3/4"), Some(19.05)),
        (28.575, Some("punch 1 1/8"), Some(28.575)),
        (30.1625, Some("punch 1 3/16"), Some(31.75)),
        (28.6, Some("punch 1 1/8"), Some(28.575)),
        (23.0, Some("punch 1"), Some(24.0)),
        (100.0, None, None),
        (f64::NAN, None, None),
    ] {
        assert_eq!(punch_at_least(hole).map(|p| p.id.as_str()), punch, "{hole}");
        assert_eq!(step_at_least(hole).map(|s| s.1), step, "{hole}");
    }
    for punch in punches() {
        assert!(punch.pilot < punch.hole, "{}", punch.id);
        if let Some(conduit) = punch.id.strip_prefix("conduit punch ") {
            // A conduit punch is called by less than its hole.
            let called = drills()
                .iter()
                .find(|d| d.id == conduit)
                .map(|d| d.diameter)
                .or(match conduit {
                    "3/4" => Some(19.05),
                    "1" => Some(25.4),
                    _ => None,
                });
            assert!(
                called.is_some_and(|c| c + 5.0 < punch.hole),
                "{}: {called:?}",
                punch.id
            );
        }
    }
    // Every usual socket's hole has a punch to size.
    for socket in sockets() {
        let punch = punch_at_least(socket.hole)
            .map(|p| p.hole)
            .unwrap_or_default();
        assert!((punch - socket.hole).abs() < 0.01, "{}", socket.id);
    }
    for bit in step_bits() {
        let steps = &bit.steps;
        let even = steps
            .windows(3)
            .all(|s| ((s[1] - s[0]) - (s[2] - s[1])).abs() < 2e-4);
        assert!(steps.len() > 2 && even, "{}", bit.id);
    }
}

#[test]
fn rivets_fit_their_hole_and_their_drill_makes_it() {
    for rivet in rivets() {
        let id = &rivet.id;
        assert!(
            rivet.diameter < rivet.hole_least && rivet.hole_least < rivet.hole_most,
            "{id}: the rivet fits its hole"
        );
        assert!(rivet.hole_most < rivet.head, "{id}: the head covers it");
        let drill = find::<DrillRow>(&rivet.drill).unwrap_or_else(|| panic!("{id}: drill"));
        assert!(
            (rivet.hole_least - 0.01..=rivet.hole_most).contains(&drill.diameter),
            "{id}: drill {}",
            drill.diameter
        );
    }
    assert_eq!(
        rivet("pop rivet 1/8").map(|r| r.drill.as_str()),
        Some("#30")
    );
    assert_eq!(rivet("3.2 mm"), None);
    assert_eq!(
        rivet("rivet 3.2 mm").map(|r| r.id.as_str()),
        Some("rivet 1/8")
    );
}

#[test]
fn set_in_threads_lugs_and_stand_offs_pass_their_screw() {
    for insert in inserts() {
        let id = &insert.id;
        let screw = screw(&insert.screw).unwrap_or_else(|| panic!("{id}: screw"));
        assert!(!screw.wood, "{id}");
        assert!(
            screw.major + 0.8 < insert.hole && insert.hole < insert.outside,
            "{id}: a wall round the thread, and something that holds"
        );
        assert!(
            ["wood insert", "T-nut", "rivet nut"].contains(&insert.kind.as_str()),
            "{id}"
        );
        assert_eq!(
            insert_for(&insert.kind, &insert.screw).map(|i| &i.id),
            Some(id)
        );
    }
    for washer in tooth_washers() {
        let id = &washer.id;
        let screw = screw(&washer.screw).unwrap_or_else(|| panic!("{id}: screw"));
        assert!(
            screw.major < washer.hole && washer.hole < washer.outside,
            "{id}"
        );
    }
    for lug in lugs() {
        let id = &lug.id;
        let screw = screw(&lug.screw).unwrap_or_else(|| panic!("{id}: screw"));
        assert!(screw.major < lug.hole && lug.hole < lug.eye, "{id}: hole");
        assert!(lug.reach > lug.eye / 2.0 && lug.thickness < 1.0, "{id}");
    }
    for stand_off in stand_offs() {
        let id = &stand_off.id;
        let screw = screw(&stand_off.screw).unwrap_or_else(|| panic!("{id}: screw"));
        assert!(stand_off.across > screw.major + 1.5, "{id}: wall");
    }
}

#[test]
fn the_older_chart_is_another_system_than_the_standards() {
    for (name, close, free) in [
        // Drills of the older chart: #32 / #30, #27 / #25, #18 / #16, #9 / #7, F / H.
        ("#4", "#32", "#30"),
        ("#6", "#27", "#25"),
        ("#8", "#18", "#16"),
        ("#10", "#9", "#7"),
        ("1/4", "F", "H"),
    ] {
        let row = screw(name).unwrap_or_else(|| panic!("{name}"));
        for (fit, drill) in [(HoleFit::Close, close), (HoleFit::Normal, free)] {
            let drill = find::<DrillRow>(drill)
                .map(|d| d.diameter)
                .unwrap_or_default();
            let hole = row.hole(HoleSystem::ShopChart, fit).unwrap_or_default();
            assert!((hole - drill).abs() < 1e-3, "{name}: {hole}, drill {drill}");
            assert!(hole > row.major, "{name}: passes");
        }
        assert_eq!(row.hole(HoleSystem::ShopChart, HoleFit::Loose), None);
        assert_eq!(row.hole_system(), HoleSystem::AsmeB18);
        assert_eq!(
            row.hole(HoleSystem::AsmeB18, HoleFit::Normal),
            Some(row.normal)
        );
        assert_eq!(row.hole(HoleSystem::Iso273, HoleFit::Normal), None);
    }
    // The trap: #6 free by the chart is 0.1495 in, close by the standard 3.9 mm (0.154 in).
    let six = screw("#6").expect("#6");
    assert!(six.chart_free < Some(six.close));
    let m4 = screw("M4").expect("M4");
    assert_eq!(m4.hole_system().words(), "ISO 273");
    assert_eq!(m4.hole(HoleSystem::ShopChart, HoleFit::Close), None);
}

#[test]
fn pins_go_clockwise_seen_from_the_wiring_side() {
    for base in bases() {
        let id = &base.id;
        // Half the gap on each side of the mark: first pin and last pin stand alike.
        let last = base.angle(base.pins).unwrap_or_default();
        assert!((base.first + last - 360.0).abs() < 1e-9, "{id}");
        assert_eq!(base.angle(0), None);
        assert_eq!(base.angle(base.pins + 1), None);
        let (wiring, component) = (base.pins_from_wiring_side(), base.pins());
        assert_eq!(wiring.len(), base.pins as usize, "{id}");
        for (w, c) in wiring.iter().zip(&component) {
            assert!((w.at.length() - base.circle / 2.0).abs() < 1e-9, "{id}");
            assert!(
                w.number == c.number && (w.at.x + c.at.x).abs() < 1e-12 && w.at.y == c.at.y,
                "{id}: the two views are mirror images"
            );
        }
        // Pin 1 is the first clockwise from the mark: up and to the right of it, looking at the wiring side with the mark up.
        assert!(wiring[0].at.x > 0.0 && wiring[0].at.y > 0.0, "{id}");
        for pair in wiring.windows(2) {
            assert!(pair[0].at.perp_dot(pair[1].at) < 0.0, "{id}: clockwise");
        }
        let pins = 2.0 * (base.circle / 2.0) * (base.pitch / 2.0).to_radians().sin();
        assert!(pins > base.pin + 0.5, "{id}: pins apart");
        let socket = usual_socket(id).unwrap_or_else(|| panic!("{id}: socket"));
        assert!(base.circle + base.pin < socket.body, "{id}");
    }
    for (name, number) in [("noval", 9), ("B9A", 9), ("miniature", 7), ("octal", 8)] {
        assert_eq!(base(name).map(|b| b.pins), Some(number), "{name}");
    }
    for tube in tubes() {
        assert!(base(&tube.base).is_some(), "{}", tube.id);
    }
}

#[test]
fn a_turned_socket_takes_its_pins_along() {
    let octal = base("octal").expect("octal");
    // A tube's pose: z away from the component side, y to the rear; `turn` is clockwise from there, so it turns z by -turn.
    let pose = Pose::shift(DVec3::new(100.0, 50.0, 3.0)).turned_z(-90.0);
    let pin = octal.pins()[0];
    let place = pose.point(pin.at.extend(0.0)) - pose.at;
    // Turned a quarter clockwise the key points to the right (+x). Pin 1 is 22.5 deg from it, counter-clockwise from above: to the rear.
    let (s, c) = 22.5_f64.to_radians().sin_cos();
    let want = DVec3::new(c, s, 0.0) * (octal.circle / 2.0);
    assert!((place - want).length() < 1e-9, "{place} {want}");
}

#[test]
fn toroids_grow_with_their_rating_and_take_their_bolt() {
    let rated: Vec<&ToroidRow> = toroids().iter().filter(|t| t.rating.is_some()).collect();
    for pair in rated.windows(2) {
        assert!(
            pair[0].rating < pair[1].rating
                && pair[0].mass < pair[1].mass
                && pair[0].diameter * pair[0].height < pair[1].diameter * pair[1].height,
            "{}",
            pair[1].id
        );
    }
    for toroid in toroids() {
        let id = &toroid.id;
        // Iron (7.65), copper (8.9) and air: between 2 and 6 g per cm3 of the cylinder round it.
        let volume =
            std::f64::consts::PI * (toroid.diameter / 2.0).powi(2) * toroid.height / 1000.0;
        let density = toroid.mass * 1000.0 / volume;
        assert!((2.0..6.0).contains(&density), "{id}: {density}");
        let screw = screw(&toroid.screw).unwrap_or_else(|| panic!("{id}: screw"));
        assert!(
            screw.loose < toroid.bore && toroid.bore < 0.5 * toroid.diameter,
            "{id}: bore"
        );
        assert!(!screw.wood, "{id}");
    }
}

#[test]
fn c_cores_are_four_legs_and_two_windows_long() {
    for core in cut_cores() {
        let id = &core.id;
        assert!(
            (core.length - 4.0 * core.leg - 2.0 * core.window).abs() < 1e-9,
            "{id}"
        );
        assert!(
            (core.height - core.window_height - 2.0 * core.leg).abs() < 1e-9,
            "{id}"
        );
        // The core fills the coil former of the M lamination of its number, which is as long as that number says.
        let number: f64 = id
            .trim_start_matches("SM ")
            .trim_end_matches(['a', 'b'])
            .parse()
            .unwrap_or_else(|_| panic!("{id}"));
        assert!(
            (core.length - number).abs() < 0.6 && (core.height - number).abs() < 0.6,
            "{id}"
        );
    }
}

#[test]
fn fittings_have_the_sizes_a_design_asks_of_them() {
    for (kind, needs) in [
        ("reverb tank", "lwhm"),
        ("foot", "dh"),
        ("handle", "lwh"),
        ("cleat", "wh"),
        ("terminal strip", "lwh"),
        ("circuit board", "t"),
        ("can", "dh"),
        ("tube clamp", "th"),
        ("tube shield", "th"),
        ("earth stud", "t"),
    ] {
        let rows: Vec<&FittingRow> = fittings().iter().filter(|f| f.kind == kind).collect();
        assert_eq!(rows.iter().filter(|f| f.usual).count(), 1, "{kind}");
        for row in rows {
            let has = [
                ('l', row.length),
                ('w', row.width),
                ('h', row.height),
                ('d', row.diameter),
                ('t', row.thickness),
                ('m', row.mass),
            ];
            for (letter, figure) in has {
                assert!(
                    !needs.contains(letter) || figure.is_some(),
                    "{}: {letter}",
                    row.id
                );
            }
            if let Some(name) = &row.screw {
                assert!(screw(name).is_some(), "{}: {name}", row.id);
            }
        }
    }
    let known = fittings()
        .iter()
        .filter(|f| usual_fitting(&f.kind).is_none());
    assert_eq!(known.count(), 0);
}
