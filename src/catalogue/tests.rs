//! Checks over every row of every family, and of the look-ups.

use std::collections::BTreeSet;

use super::family::each_family;
use super::family::squeeze;
use super::figures::Value;
use super::*;
use crate::params::HoleFit;

/// Words that open a sentence at the end of a source which names figures of another standing than the row's.
pub(super) const STANDINGS: [&str; 4] = [
    "Published: ",
    "Common practice: ",
    "From memory: ",
    "Computed: ",
];

/// The figures that the end of a source names as standing otherwise than the row. A bracket after a name is a remark.
pub(super) fn exceptions(source: &str) -> Vec<String> {
    let mut names = Vec::new();
    for word in STANDINGS {
        let Some(at) = source.find(word) else {
            continue;
        };
        let text = &source[at + word.len()..];
        let end = STANDINGS
            .iter()
            .filter_map(|other| text.find(other))
            .min()
            .unwrap_or(text.len());
        let mut bare = String::new();
        let mut depth = 0;
        for c in text[..end].chars() {
            match c {
                '(' => depth += 1,
                ')' => depth -= 1,
                _ if depth == 0 => bare.push(c),
                _ => {}
            }
        }
        names.extend(
            bare.trim()
                .trim_end_matches('.')
                .split(',')
                .map(|name| name.trim().to_owned()),
        );
    }
    names
}

fn check_family<R: Row>() {
    let family = R::FAMILY;
    assert!(!R::all().is_empty(), "{family}: no rows");
    let mut ids = BTreeSet::new();
    let mut names = BTreeSet::new();
    for row in R::all() {
        let id = row.id();
        assert!(
            ids.insert(id.to_lowercase()),
            "{family} {id}: id used twice"
        );
        for name in std::iter::once(id).chain(row.also().iter().map(String::as_str)) {
            assert_eq!(name.trim(), name);
            assert!(
                names.insert(name.to_lowercase()),
                "{family} {id}: the name {name} is used twice"
            );
            let found = find::<R>(name).unwrap_or_else(|| panic!("{family}: {name} is not found"));
            assert_eq!(found.id(), id, "{family}: {name} finds another row");
        }
        assert!(
            row.source().len() > 10 && row.source().ends_with('.'),
            "{family} {id}: source"
        );
        let figures = row.figures();
        for name in exceptions(row.source()) {
            assert!(
                figures.iter().any(|f| f.name == name),
                "{family} {id}: its source speaks of `{name}`"
            );
        }
        for figure in figures {
            let good = |v: f64| v.is_finite() && v > 0.0;
            let ok = match figure.value {
                Value::Mm(v) | Value::Number(v, _) => good(v),
                Value::Size(size) => size.into_iter().all(good),
                Value::Lengths(all) => {
                    all.iter().all(|v| good(*v)) && all.windows(2).all(|pair| pair[0] < pair[1])
                }
                Value::Count(n) => n > 0,
                Value::Word(text) => !text.is_empty(),
                Value::Absent => true,
            };
            assert!(ok, "{family} {id}: {}", figure.name);
        }
    }
}

#[test]
fn every_row_has_a_unique_name_a_source_and_sound_figures() {
    each_family!(check_family());
}

#[test]
fn tubes_stand_lower_than_they_are_long_and_fit_their_socket() {
    for tube in tubes() {
        let id = &tube.id;
        assert!(tube.seated < tube.overall, "{id}");
        // Overall less seated: 1/4 in for miniature and noval (Rogers 17EW8, RCA 19J6), 9/16 in for octal (Tung-Sol 12SR7GT). Metric
        // roundings of the sheets allow 0.5 mm.
        let pins = if tube.base == "octal" { 14.29 } else { 6.35 };
        assert!(
            (tube.overall - tube.seated - pins).abs() < 0.5,
            "{id}: {}",
            tube.overall - tube.seated
        );
        assert_eq!(tube.shell > 0.0, tube.base == "octal", "{id}: shell");
        assert!(tube.shell < tube.seated, "{id}");
        assert!(usual_socket(&tube.base).is_some(), "{id}: no socket");
        assert!(
            ["preamp", "power", "rectifier"].contains(&tube.role.as_str()),
            "{id}: role"
        );
        assert_eq!(
            tube.plate_w > 0.0,
            tube.role != "rectifier",
            "{id}: plate dissipation"
        );
    }
}

/// Only the two sheets that print a hottest spot may speak for their maker.
#[test]
fn a_remembered_bulb_is_not_called_a_makers() {
    for (name, published) in [
        ("6V6GT", true),
        ("EL34", true),
        ("KT88", false),
        ("6AQ5", false),
    ] {
        let row = tube(name).unwrap_or_else(|| panic!("{name}"));
        assert!(row.bulb_c.is_some(), "{name}");
        assert_eq!(row.bulb_is_published(), published, "{name}");
    }
}

#[test]
fn the_tubes_that_builders_use_are_there() {
    assert!(tubes().len() >= 25);
    for (base, role, least) in [
        ("noval", "preamp", 5),
        ("noval", "power", 2),
        ("noval", "rectifier", 2),
        ("miniature", "power", 1),
        ("miniature", "rectifier", 1),
        ("octal", "preamp", 2),
        ("octal", "power", 6),
        ("octal", "rectifier", 3),
    ] {
        let n = tubes().iter().filter(|t| t.base == base && t.role == role);
        assert!(n.count() >= least, "{base} {role}");
    }
    let largest = tubes().iter().filter(|t| t.role == "power");
    assert!(largest.clone().all(|t| t.plate_w > 0.0 && t.screen_w > 0.0));
}

#[test]
fn sockets_pass_their_hole_and_leave_room_for_screws_and_tubes() {
    for socket in sockets() {
        let id = &socket.id;
        assert!(socket.body < socket.hole, "{id}: body in hole");
        let screw = screw(&socket.screw).unwrap_or_else(|| panic!("{id}: screw"));
        assert!(
            socket.flange_width > screw.normal + 3.0,
            "{id}: the ear is too narrow for its hole"
        );
        let web = (socket.spacing - socket.hole - screw.loose) / 2.0;
        assert!(
            web > 1.0,
            "{id}: {web} mm between chassis hole and screw hole"
        );
        let nut_corner = screw.nut / 30_f64.to_radians().cos() / 2.0;
        assert!(
            socket.spacing / 2.0 - nut_corner > socket.body / 2.0,
            "{id}: nut beside the body"
        );
        assert!(
            socket.spacing / 2.0 - screw.pan_diameter / 2.0 > socket.body / 2.0,
            "{id}: head beside the body"
        );
        assert!(
            socket.above > screw.pan_height + screw.washer_thickness,
            "{id}: the tube would stand on the screw heads"
        );
        assert!(socket.flange < socket.below, "{id}");
    }
    for base in ["noval", "miniature", "octal"] {
        assert_eq!(
            sockets()
                .iter()
                .filter(|s| s.usual && s.base == base)
                .count(),
            1,
            "{base}"
        );
    }
    // US chassis-punch custom: 5/8, 3/4 and 1-1/8 in (common practice).
    for (base, inch) in [("miniature", 0.625), ("noval", 0.75), ("octal", 1.125)] {
        let hole = usual_socket(base).map(|s| s.hole).unwrap_or_default();
        assert!((hole - inch * 25.4).abs() < 1e-3, "{base}: {hole}");
    }
}

#[test]
fn laminations_are_scrapless() {
    for core in cores() {
        let id = &core.id;
        // E and I are punched from one another without waste: L = 3 T, H = 2.5 T (rule of the trade; windows seen in DIN EN 60740-1 as
        // quoted: 10, 20, 40 mm tongue).
        assert!((core.length - 3.0 * core.tongue).abs() < 1e-3, "{id}");
        assert!((core.height - 2.5 * core.tongue).abs() < 1e-3, "{id}");
        let number: f64 = id
            .trim_start_matches("EI")
            .trim_start_matches('-')
            .parse()
            .expect("a number");
        if id.contains('-') {
            // US numbers are hundredths of an inch, cut off to whole ones (87 is 7/8).
            assert!((core.tongue / 0.254 - number).abs() < 0.51, "{id}");
        } else {
            assert!((core.length - number).abs() < 1e-9, "{id}");
        }
        assert!(
            core.hole < 0.75 * core.tongue / 2.0,
            "{id}: hole in the outer leg, tongue / 2 wide"
        );
    }
    // Hole centres 2.5 T x 2 T give 80 x 64 for EI96 (trade tables, from memory).
    let ei96 = core("EI96").map(|c| (c.tongue * 2.5, c.tongue * 2.0));
    assert_eq!(ei96, Some((80.0, 64.0)));
}

#[test]
fn speaker_frames_cover_their_cutout_and_their_bolts() {
    for speaker in speakers() {
        let id = &speaker.id;
        if let Some(width) = speaker.frame_width {
            // an oval: that bolts stand clear of frame and hole is asked where it is built
            let hole = speaker.cutout_width.unwrap_or_default();
            let [long, short] = speaker.bolt_spacing.unwrap_or_default();
            assert!(hole < width && speaker.cutout < speaker.frame, "{id}: hole");
            assert!(
                (long.hypot(short) - speaker.bolt_circle).abs() < 0.01,
                "{id}"
            );
            assert!(speaker.magnet + 8.0 < hole && speaker.bolts == 4, "{id}");
            continue;
        }
        assert!(
            speaker.bolt_circle - speaker.bolt_hole > speaker.cutout,
            "{id}: bolt holes break into the cutout"
        );
        assert!(
            speaker.bolt_circle + speaker.bolt_hole < speaker.frame,
            "{id}: bolt holes break out of the frame"
        );
        assert!(
            speaker.magnet < speaker.cutout,
            "{id}: magnet passes the cutout"
        );
        assert!(
            speaker.magnet_length + speaker.flange < speaker.depth,
            "{id}"
        );
    }
}

#[test]
fn controls_pass_their_hole_and_hide_it() {
    for control in controls() {
        let id = &control.id;
        assert_eq!(
            control.hole.is_some(),
            control.cutout.is_none(),
            "{id}: one opening"
        );
        assert_eq!(control.hole.is_some(), control.bushing.is_some(), "{id}");
        assert!(
            control.body.is_some() != control.body_box.is_some(),
            "{id}: one body"
        );
        let most = control
            .panel_most
            .unwrap_or_else(|| panic!("{id}: panel-most"));
        if let (Some(hole), Some(bushing)) = (control.hole, control.bushing) {
            assert!(bushing < hole, "{id}: bushing in hole");
            if let Some(flat) = control.flat {
                assert!(bushing < 2.0 * flat && flat < hole / 2.0, "{id}: flat");
            }
            let cover = control
                .nut
                .or(control.cap)
                .unwrap_or_else(|| panic!("{id}: nothing in front"));
            assert!(cover > hole, "{id}: the front does not cover the hole");
            let behind = control
                .body
                .or(control.body_box.map(|b| b[0].min(b[1])))
                .unwrap_or_default();
            assert!(behind > hole, "{id}: the body would pull through");
            assert!(
                most + control.nut_thickness <= control.bushing_length,
                "{id}: bushing too short"
            );
        }
        if let (Some(cutout), Some(flange)) = (control.cutout, control.flange) {
            let body = control.body_box.unwrap_or_default();
            assert!(
                (0..2).all(|i| body[i] < cutout[i] && cutout[i] < flange[i]),
                "{id}: body in cut-out under flange"
            );
            let spacing = control
                .screw_spacing
                .unwrap_or_else(|| panic!("{id}: spacing"));
            let screw = control
                .screw
                .as_deref()
                .and_then(screw)
                .unwrap_or_else(|| panic!("{id}: screw"));
            assert!(
                spacing - screw.loose > cutout[0] + 2.0 && spacing + screw.csk_diameter < flange[0],
                "{id}: screws"
            );
        }
        if let Some(shaft) = control.shaft {
            assert!(
                control.tip > control.bushing_length && Some(shaft) < control.bushing,
                "{id}: shaft"
            );
        }
        if let (Some(hole), Some(radius)) = (control.stop_hole, control.stop_radius) {
            let edge = control.hole.unwrap_or_default() / 2.0;
            assert!(
                radius - hole / 2.0 > edge,
                "{id}: turn-stop hole breaks into the hole"
            );
        }
        if let Some(name) = control.knob.as_deref() {
            let knob = knob(name).unwrap_or_else(|| panic!("{id}: knob"));
            let corners = control.nut.unwrap_or_default() / 30_f64.to_radians().cos();
            assert!(knob.diameter > corners, "{id}: knob hides the nut");
            // The knob goes down to its gap before the shaft bottoms in it, on panels from 1.5 mm.
            let reach = knob.gap + knob.bore_depth;
            assert!(
                control.tip - 1.5 <= reach,
                "{id}: shaft too long for its knob"
            );
        }
    }
    for kind in [
        "pot",
        "jack",
        "toggle",
        "rotary",
        "lamp",
        "fuse holder",
        "inlet",
        "strain relief",
        "grommet",
    ] {
        assert_eq!(
            controls()
                .iter()
                .filter(|c| c.usual && c.kind == kind)
                .count(),
            1,
            "{kind}"
        );
    }
}

#[test]
fn knobs_keep_a_roof_over_their_bore() {
    for knob in knobs() {
        assert!(knob.bore_depth + 1.0 < knob.height, "{}", knob.id);
    }
}

#[test]
fn screws_pass_their_holes_and_heads_hold() {
    for screw in screws() {
        let id = &screw.id;
        let fits =
            [HoleFit::Close, HoleFit::Normal, HoleFit::Loose].map(|fit| screw.clearance(fit));
        assert!(
            screw.major < fits[0] && fits[0] < fits[1] && fits[1] < fits[2],
            "{id}: clearance holes"
        );
        assert!(
            fits[2] < screw.pan_diameter && fits[2] < screw.csk_diameter,
            "{id}: heads pull through"
        );
        // The cone from the head's edge down to the thread is no higher than the whole head.
        let cone =
            (screw.csk_diameter - screw.major) / 2.0 / (screw.csk_angle / 2.0).to_radians().tan();
        assert!(cone <= screw.csk_height + 0.01, "{id}: cone {cone}");
        assert_eq!(screw.wood, screw.pilot.is_some(), "{id}");
        assert_eq!(screw.wood, screw.nut == 0.0, "{id}");
        if let Some(pilot) = screw.pilot {
            assert!(pilot < screw.major, "{id}: pilot");
        } else {
            assert!(
                screw.nut > screw.major * 1.5 && screw.nut_thickness > 0.0,
                "{id}: nut"
            );
            assert!(
                screw.washer > fits[2] && screw.washer_thickness > 0.0,
                "{id}: washer"
            );
        }
        if let Some(number) = id
            .strip_prefix('#')
            .and_then(|rest| rest.split(' ').next()?.parse::<f64>().ok())
        {
            // Number sizes: 0.060 in + 0.013 in a number (ASME B1.1).
            assert!(
                (screw.major / 25.4 - 0.060 - 0.013 * number).abs() < 1e-5,
                "{id}"
            );
        }
    }
}

#[test]
fn materials_are_plausible_and_can_be_told_apart() {
    let mut colours = BTreeSet::new();
    for material in materials() {
        let id = &material.id;
        assert!(
            ["metal", "wood", "other"].contains(&material.family.as_str()),
            "{id}: family"
        );
        assert!(
            (100.0..12_000.0).contains(&material.density),
            "{id}: density"
        );
        // What a plate or a cabinet is made of can be reckoned with and bought.
        let reckoned = material.modulus.is_some() && material.poisson.is_some();
        let metal = material.family == "metal";
        if metal || material.family == "wood" {
            assert!(reckoned && !material.stock.is_empty(), "{id}: figures");
        }
        assert_eq!(
            material.resistivity.is_some(),
            metal,
            "{id}: wood does not conduct"
        );
        assert!(
            colours.insert(material.colour),
            "{id}: its colour is another's"
        );
    }
    // Wood Handbook FPL-GTR-190 Table 5-3a: specific gravity of ponderosa pine 0.40, sugar pine 0.36 at 12 %; density = SG x 1.12 x 1000.
    for (name, sg) in [("ponderosa pine", 0.40), ("sugar pine", 0.36)] {
        let density = material(name).map(|m| m.density).unwrap_or_default();
        assert!((density - sg * 1120.0).abs() < 0.6, "{name}: {density}");
    }
    // M6 lamination steel 7.65 g/cm3 (a transformer maker's page) with a stacking factor of 0.95.
    assert_eq!(
        material("lamination core").map(|m| m.density),
        Some(7650.0 * 0.95)
    );
}

#[test]
fn gauges_follow_their_series() {
    // Manufacturers' Standard Gauge as sheet-gauge pages print it; 16 ga is 2.5 lb / 41.82.
    for (name, inch) in [
        ("10 ga steel", 0.1345),
        ("16 gauge steel", 0.0598),
        ("18 ga steel", 0.0478),
        ("20 GA Steel", 0.0359),
    ] {
        let thickness = gauge(name).map(|g| g.thickness / 25.4).unwrap_or_default();
        assert!((thickness - inch).abs() < 0.00006, "{name}: {thickness}");
    }
    for n in 14..=22 {
        assert!(gauge(&format!("{n} ga steel")).is_some(), "{n}");
    }
    // `units` reads and explains gauges without the catalogue
    for g in gauges() {
        let (number, metal) = g.id.split_once(" ga ").expect("`18 ga steel`");
        let n: u32 = number.parse().expect("a number");
        let inch = match metal {
            "steel" => crate::units::gauge_steel(n),
            _ => Some(crate::units::gauge_wire(n)),
        };
        let off = inch.map_or(f64::INFINITY, |i| (i * 25.4 - g.thickness).abs());
        // tables print 0.0001 in
        assert!(off < 0.0025, "{}: {} is {off} mm off", g.id, g.thickness);
    }
    // Without its metal a gauge is two thicknesses.
    assert_eq!(gauge("18 ga"), None);
    for metal in ["steel", "aluminium"] {
        let list: Vec<f64> = gauges()
            .iter()
            .filter(|g| g.id.ends_with(metal))
            .map(|g| g.thickness)
            .collect();
        assert!(
            list.windows(2).all(|pair| pair[0] > pair[1]),
            "{metal}: higher gauges are thinner"
        );
    }
}

#[test]
fn grommets_and_clamps_fit() {
    for grommet in grommets() {
        assert!(
            grommet.bore < grommet.hole && grommet.hole < grommet.outside,
            "{}",
            grommet.id
        );
    }
    for clamp in clamps() {
        let id = &clamp.id;
        let screw = screw(&clamp.screw).unwrap_or_else(|| panic!("{id}: screw"));
        assert!(
            screw.major < clamp.hole && clamp.hole < screw.pan_diameter,
            "{id}: hole"
        );
        assert!(
            clamp.can + screw.pan_diameter < clamp.spacing,
            "{id}: screw heads beside the can"
        );
        assert!(
            clamp.spacing + screw.pan_diameter < clamp.over_lugs,
            "{id}: screw heads on the lugs"
        );
    }
    assert_eq!(clamp_for(35.0).map(|c| c.id.as_str()), Some("clamp 35"));
    assert_eq!(clamp_for(35.9).map(|c| c.id.as_str()), Some("clamp 35"));
    assert_eq!(clamp_for(25.4).map(|c| c.id.as_str()), Some("clamp 25"));
    assert_eq!(clamp_for(37.5), None);
    assert_eq!(clamp_for(f64::NAN), None);
    assert_eq!(
        grommet_for(6.35).map(|g| g.id.as_str()),
        Some("grommet 1/4")
    );
    assert_eq!(grommet_for(8.0).map(|g| g.id.as_str()), Some("grommet 3/8"));
    assert_eq!(grommet_for(80.0), None);
}

#[test]
fn names_are_found_however_they_are_spelt() {
    for (name, id) in [
        ("el84", "EL84"),
        ("6BQ5", "EL84"),
        ("EL 84", "EL84"),
        ("ecc-83", "12AX7"),
        (" 12ax7 ", "12AX7"),
        ("6v6-gt", "6V6GT"),
    ] {
        assert_eq!(tube(name).map(|t| t.id.as_str()), Some(id), "{name}");
    }
    for (name, id) in [
        ("m4", "M4"),
        ("8-32", "#8"),
        ("# 8", "#8"),
        ("1/4 in", "1/4"),
        ("#8 Wood", "#8 wood"),
    ] {
        assert_eq!(screw(name).map(|s| s.id.as_str()), Some(id), "{name}");
    }
    // EI75 is metric with a 25 mm tongue, EI-75 American with a 3/4 in tongue; a space does not say which.
    assert_eq!(core("ei75").map(|c| c.tongue), Some(25.0));
    assert_eq!(core("ei-75").map(|c| c.tongue), Some(19.05));
    assert_eq!(core("EI 75"), None);
    assert_eq!(core("EI 96").map(|c| c.id.as_str()), Some("EI96"));
    let both = nearest::<CoreRow>("EI 75");
    assert!(
        both.contains(&"EI75") && both.contains(&"EI-75"),
        "{both:?}"
    );
    assert_eq!(tube(""), None);
    assert_eq!(tube("-"), None);
    assert_eq!(
        material("aluminum").map(|m| m.id.as_str()),
        Some("aluminium 5052-H32")
    );
}

#[test]
fn a_misspelt_name_brings_the_likely_ones() {
    assert_eq!(nearest::<TubeRow>("EL48").first().copied(), Some("EL84"));
    assert_eq!(
        nearest::<ControlRow>("pott 24").first().copied(),
        Some("pot 24")
    );
    assert_eq!(
        nearest::<MaterialRow>("brich plywood").first().copied(),
        Some("birch plywood")
    );
    assert!(nearest::<TubeRow>("12AX").contains(&"12AX7"));
    assert!(nearest::<TubeRow>("").is_empty());
    assert!(nearest::<TubeRow>("???").is_empty());
    assert!(nearest::<TubeRow>("a").len() <= 5);
}

#[test]
fn the_next_stocked_length_is_taken() {
    let m4 = screw("M4").expect("M4");
    for (wanted, sold) in [
        (0.0, Some(6.0)),
        (6.0, Some(6.0)),
        (6.2, Some(8.0)),
        (17.0, Some(20.0)),
        (500.0, None),
        (f64::NAN, None),
    ] {
        assert_eq!(screw_length_at_least(m4, wanted), sold, "{wanted}");
    }
    let number_8 = screw("#8").expect("#8");
    // 5/8 in is 15.875 mm; written as 15.9 it is still 5/8 in.
    assert_eq!(screw_length_at_least(number_8, 15.9), Some(15.875));
}

#[test]
fn inch_fractions_are_in_lowest_terms_and_own_up_to_their_error() {
    use super::spelling::inches;
    // 1 in = 25.4 mm exactly; 0.19 mm is nearly half a 64th.
    for (mm, text) in [
        (22.225, "7/8"),
        (71.4375, "2 13/16"),
        (25.4, "1"),
        (3.0, "1/8 +0.17"),
        (0.4, "1/64"),
        (0.0, "0"),
        (31.75, "1 1/4"),
    ] {
        assert_eq!(inches(mm), text, "{mm}");
    }
}

#[test]
fn squeezing_keeps_what_tells_names_apart() {
    assert_eq!(squeeze("18 Gauge steel"), "18gasteel");
    assert_ne!(squeeze("#8"), squeeze("8"));
}
