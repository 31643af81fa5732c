//! The checks of the amp in use against arithmetic on the same design.

use groovewright::fit::{Finding, Severity};
use groovewright::study::{Study, study};

/// What a measured distance may fall short of the true one by, mm.
const SHORT: f64 = 0.0241;

fn design(name: &str) -> Study {
    let path = format!("{}/tests/designs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    study(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn all<'s>(s: &'s Study, id: &str) -> Vec<&'s Finding> {
    s.report.findings.iter().filter(|f| f.id == id).collect()
}

fn near(measured: f64, truth: f64) {
    assert!(
        measured <= truth + 1e-6 && measured >= truth - SHORT,
        "{measured} for {truth}"
    );
}

/// Glass of radius 16.5 on the screw's own line meets its shank, radius 2.5, when their axes are 19 apart.
#[test]
fn a_tube_meets_a_screw_at_the_sum_of_their_radii() {
    let s = design("tube-under-handle-screw");
    let tube = s.design.tubes[0].pose.at;
    let screw = s
        .design
        .fasteners
        .iter()
        .find(|f| f.id == "handle-screw-1")
        .unwrap();
    assert!((screw.pose.at.x - tube.x).abs() < 1e-9);
    let left = screw.pose.at.y + 16.5 + screw.row.major / 2.0 - tube.y;
    let hit = all(&s, "slide")[0];
    // both meshes lie a little outside their circles, so contact is told early, never late
    assert!(
        hit.measured >= left - 0.002 && hit.measured <= left + SHORT,
        "{} for {left}",
        hit.measured
    );
    assert_eq!(hit.severity, Severity::Error);
}

/// The roof's inner face is 180 up; the way to it is what the seated tube leaves.
#[test]
fn a_tube_comes_up_as_far_as_the_roof() {
    let s = design("tube-wedged-under-roof");
    let t = &s.design.tubes[0];
    let pull = all(&s, "tube-pull")[0];
    let room = 180.0 - (t.pose.at.z + t.socket_top + t.seated);
    assert!(
        pull.measured <= room + 1e-6 && pull.measured >= room - SHORT - 0.001,
        "{} for {room}",
        pull.measured
    );
    assert!((pull.wanted - t.pins - 5.0).abs() < 1e-9);
}

#[test]
fn a_knob_stands_out_by_its_height_less_the_set_back() {
    let s = design("knob-stands-out");
    let c = &s.design.controls[0];
    let knob = c.knob.as_ref().unwrap();
    let out = knob.base - c.wall + knob.row.height - 14.0;
    assert!(out > 0.0);
    let error = all(&s, "recess")[0];
    assert!((error.measured + out).abs() < 1e-6);
    let note = all(&s, "recess")[1];
    assert_eq!(note.severity, Severity::Note);
    assert!((note.measured + out).abs() < 1e-6 && note.wanted == 3.0);
}

#[test]
fn webs_and_edges_are_those_of_the_drawing() {
    let s = design("thin-webs");
    let webs = all(&s, "hole-web");
    let measured = |a: &str| {
        webs.iter()
            .find(|f| f.about[0] == a)
            .map(|f| f.measured)
            .unwrap()
    };
    // 10 mm holes 11.5 apart
    assert!((measured("H2") - 1.5).abs() < 1e-9);
    // 9 above the panel's edge
    let lamp = s.design.controls[0].row.hole.unwrap() / 2.0;
    assert!((measured("LAMP") - (9.0 - lamp)).abs() < 1e-9);
    // 5.8 beyond the seat, less washer and nut
    let f = s
        .design
        .fasteners
        .iter()
        .find(|f| f.id == "handle-screw-1")
        .unwrap();
    let through = 5.8 - f.row.washer_thickness - f.row.nut_thickness;
    assert!((all(&s, "screw-short")[0].measured - through).abs() < 1e-9);
}

/// What is in the way of sliding but comes off is a note: a back board, a lamp's cap.
#[test]
fn what_comes_off_first_is_said() {
    let off = |s: &Study, id: &str| {
        let f = all(s, id);
        assert_eq!(f.len(), 1);
        assert_eq!(f[0].severity, Severity::Note);
        f[0].about[0].clone()
    };
    assert_eq!(
        off(&design("panel-behind-board"), "slide-board-off"),
        "back-low"
    );
    assert_eq!(off(&design("thin-webs"), "slide-knobs-after"), "LAMP-cap");
}

/// A demo tells its tightest place on the way in: the lug of an earth stud beside a block.
#[test]
fn the_tightest_place_on_the_way_in_is_told() {
    let path = format!("{}/params/harbour-15.toml", env!("CARGO_MANIFEST_DIR"));
    let s = study(&std::fs::read_to_string(path).unwrap()).unwrap();
    let notes = all(&s, "slide");
    assert_eq!(notes.len(), 1);
    assert_eq!(notes[0].severity, Severity::Note);
    let row = |id: &str| s.report.solids.iter().find(|p| p.id == id).unwrap();
    let (lug, block) = (row("EARTH-lug"), row("retain-left-block"));
    assert_eq!(notes[0].about, [lug.id.clone(), block.id.clone()]);
    // the lug slides along the block's inner face
    let gap = lug.box_mm[0][0] - block.box_mm[1][0];
    near(notes[0].measured, gap);
}

fn jacks(second: f64) -> Study {
    study(&format!(
        "[design]\nname = \"p\"\n[cabinet]\nwidth = 420\nheight = 400\ndepth = 230\n[cabinet.baffle]\nthickness = 15\nset-back = 20\n\
         [chassis]\nthickness = 3\n[chassis.panel.rear]\nheight = 70\n\
         [[control]]\nid = \"A\"\nkind = \"jack\"\nat = {{ left = 100 }}\n\
         [[control]]\nid = \"B\"\nkind = \"jack\"\nat = {{ left = {second} }}\n"
    ))
    .unwrap()
}

/// Two handles of 14 mm leave the pitch less 14.
#[test]
fn plugs_side_by_side_leave_the_pitch_less_a_handle() {
    let s = jacks(114.5);
    near(all(&s, "plug-pitch")[0].measured, 0.5);
    assert_eq!(
        all(&jacks(113.0), "plug-pitch")[0].severity,
        Severity::Error
    );
    assert!(all(&jacks(125.0), "plug-pitch").is_empty());
}

/// Wood Handbook, chapter 13: dD = D C dM; 250 mm of ponderosa pine, 0.00216 per 1 %, 9.24 to 6.17 %.
#[test]
fn dry_air_takes_what_the_handbook_says_from_the_recess() {
    let s = design("pine-dries");
    let margin = all(&s, "recess")[0].measured;
    let left = margin - 250.0 * 0.00216 * (9.24 - 6.17);
    assert!(margin > 0.0 && left < 0.0);
    assert!((all(&s, "wood-moves")[0].measured - left).abs() < 1e-9);
}

/// A gap of 16 and a hole of 14 let 12 mm through; the 6 mm that the demos leave do not.
#[test]
fn the_finger_goes_through_what_is_wider_than_it() {
    let s = design("gap-for-a-finger");
    let found = all(&s, "test-finger");
    let of = |a: &str| found.iter().find(|f| f.about[0] == a).unwrap().measured;
    near(of("plate"), 16.0);
    assert!((of("VENT") - 14.0).abs() < 1e-9);
    assert_eq!(found.len(), 2);
}

/// Glass under a board: it comes up by what is between them.
#[test]
fn a_tube_comes_up_as_far_as_the_board_over_it() {
    let s = design("tube-under-board");
    let t = &s.design.tubes[0];
    let board = s.report.solids.iter().find(|p| p.id == "B1").unwrap();
    let pull = all(&s, "tube-pull")[0];
    assert_eq!(pull.severity, Severity::Error);
    let room = board.box_mm[0][2] - (t.pose.at.z + t.socket_top + t.seated);
    assert!(
        pull.measured <= room + 1e-6 && pull.measured >= room - SHORT - 0.001,
        "{} for {room}",
        pull.measured
    );
}

/// Drawn past its pins it has 5 mm of room towards each post and cannot tilt by 15 degrees. It is less than what a plain cylinder of its size
/// would have to tilt to close 5 mm at its full height: 11 cos a + 49 sin a = 16 gives 6.0 degrees, its rounded top a little more.
#[test]
fn a_tube_that_cannot_be_tilted_wants_the_chassis_out() {
    let s = design("tube-hemmed-in");
    let pull = all(&s, "tube-pull")[0];
    assert_eq!(pull.severity, Severity::Warning);
    assert_eq!((pull.unit.as_str(), pull.wanted), ("degrees", 15.0));
    let t = &s.design.tubes[0];
    let (r, h) = (t.diameter / 2.0, t.seated);
    let plain = ((r + 5.0) / r.hypot(h)).asin() - r.atan2(h);
    assert!(
        pull.measured > plain.to_degrees() && pull.measured < 15.0,
        "{}",
        pull.measured
    );
}

/// What hits is out of the way with the tube out, and the tube goes in from above once the chassis is home.
#[test]
fn a_tube_in_the_way_is_plugged_afterwards() {
    let s = design("tube-after-chassis");
    assert!(all(&s, "slide").is_empty());
    let tube = s.design.tubes[0].pose.at;
    let screw = (s.design.fasteners.iter())
        .find(|f| f.id == "handle-screw-1")
        .unwrap();
    let left = screw.pose.at.y + 16.5 + screw.row.major / 2.0 - tube.y;
    let hit = all(&s, "slide-tubes-after")[0];
    assert!(
        hit.measured >= left - 0.002 && hit.measured <= left + SHORT,
        "{} for {left}",
        hit.measured
    );
    // fit.json has the pair, and that the tube may be left off
    let row = &s.report.slide[0];
    assert_eq!(
        (row.a.as_str(), row.least_mm, row.comes_off.as_str()),
        ("V1", 0.0, "tube")
    );
    assert_eq!(row.before_seated_mm, hit.measured);
}

/// plate - inside - groove, less two sides that bow by 1 mm at half height (a parabola) and 0.1 mm in 470 of growth.
#[test]
fn ears_hold_by_what_pushing_bowing_and_damp_leave() {
    let hold = |s: &Study| {
        let (p, c) = (s.design.plate.unwrap(), s.design.cabinet.unwrap());
        let side = s.design.flat("side-left").unwrap();
        let groove = &side.pockets[0];
        let z = groove.low.y + side.pose.at.z;
        let share = z / c.height;
        p.width - c.width - groove.depth - 8.0 * share * (1.0 - share) - c.width * 0.1 / 470.0
    };
    let loose = design("ear-out-of-groove");
    let f = all(&loose, "ear-engaged")[0];
    assert!((f.measured - hold(&loose)).abs() < 1e-9 && f.measured < 0.0);
    let sound = design("plate-binds");
    let f = all(&sound, "ear-engaged")[0];
    assert_eq!(f.severity, Severity::Note);
    assert!((f.measured - hold(&sound)).abs() < 1e-9 && f.measured > 3.0);
}

#[test]
fn plays_are_those_of_the_numbers_typed() {
    // 0.2 a side
    let f = design("plate-binds");
    assert!((all(&f, "jam")[0].measured - 0.4).abs() < 1e-9);
    // 3.5 of groove, 3 of plate, 0.8 of difference
    let f = design("grooves-uneven");
    assert!((all(&f, "jam")[0].measured + 0.3).abs() < 1e-9);
    let f = design("nothing-holds-plate");
    assert_eq!(all(&f, "rattle").len(), 2);
    assert!((all(&f, "rattle")[0].measured - 0.5).abs() < 1e-9);
    // 0.5 of overlap less 0.8 of side play
    let f = design("fascia-uncovered");
    assert!((all(&f, "fascia")[0].measured + 0.3).abs() < 1e-9);
    // none of it where nothing is wrong
    let f = design("tilt-onto-tube");
    for id in ["jam", "ear-engaged", "bench-rest"] {
        assert!(
            all(&f, id).iter().all(|f| f.severity == Severity::Note),
            "{id}"
        );
    }
    assert!(all(&f, "rattle").is_empty() && all(&f, "fascia").is_empty());
}

/// From the rim at half the basket's depth straight to the jack, with the plate 150 behind the cabinet's rear edge, and 100 more.
#[test]
fn the_lead_must_reach_with_the_chassis_out() {
    let s = design("lead-too-short");
    let (speaker, plate) = (s.design.speaker.as_ref().unwrap(), s.design.plate.unwrap());
    let jack = s.design.controls[0].pose.at;
    let middle = speaker.pose.at + glam::DVec3::Y * speaker.depth / 2.0;
    let out = jack + glam::DVec3::Y * (230.0 - plate.y0 + 150.0);
    let need = middle.distance(out) + speaker.frame / 2.0 + 100.0;
    let f = all(&s, "speaker-lead")[0];
    assert!((f.wanted - need).abs() < 1e-9);
    assert_eq!(f.measured, 250.0);
}

/// Upside down it stands on the knob of a pot on its plate, which is 8 mm beside its middle or less on each side.
#[test]
fn a_knob_takes_no_weight() {
    let s = design("rests-on-knob");
    let f = all(&s, "bench-rest")[0];
    assert_eq!(f.severity, Severity::Warning);
    let top = |id: &str| {
        let row = s.report.solids.iter().find(|p| p.id == id).unwrap();
        row.box_mm[1][2] - (s.design.plate.unwrap().z0 + 3.0)
    };
    // level props keep the glass 5 mm off the bench
    let props = format!("props {}", groovewright::units::show(top("V1") + 5.0));
    assert!(f.text.contains(&props), "{} {props}", f.text);
}

/// The gap between a can's flat top and the lowest point of a magnet on a leaning baffle, as the can is carried under it. The speaker's axis
/// falls to the rear by the lean, so the lowest point is the rim of the magnet's rear face: height - depth sin t - radius cos t.
#[test]
fn a_can_slides_under_a_tilted_magnet_with_the_gap_of_arithmetic() {
    let at = |bottom: f64| {
        study(&format!(
            "[design]\nname = \"t\"\n[cabinet]\nwidth = 420\nheight = 420\ndepth = 260\n[cabinet.baffle]\nthickness = 15\nset-back = 20\ntilt = 8\n\
             [speaker]\npattern = \"10 in ceramic\"\nat = {{ centre = 0, bottom = {bottom} }}\n\
             [chassis]\nthickness = 3\n[chassis.panel.rear]\nheight = 70\n\
             [[can]]\nid = \"C1\"\ndiameter = 25\nheight = 40\nat = {{ centre = 0, front = 40 }}\n"
        ))
        .unwrap()
    };
    let tilt = 8.0_f64.to_radians();
    let gap = |s: &Study| {
        let speaker = s.design.speaker.as_ref().unwrap();
        let can = s.report.solids.iter().find(|p| p.id == "C1").unwrap();
        let low =
            speaker.pose.at.z - speaker.depth * tilt.sin() - speaker.magnet / 2.0 * tilt.cos();
        low - can.box_mm[1][2]
    };
    let first = gap(&at(230.0));
    let s = at(230.0 - (first - 5.0) / tilt.cos());
    let truth = gap(&s);
    assert!((truth - 5.0).abs() < 1e-6, "{truth}");
    let rows = &s.report.slide;
    let row = (rows.iter())
        .find(|r| r.a == "C1" && r.b == "speaker-magnet")
        .unwrap();
    near(row.least_mm, truth);
    // it passes the rim on its way: its axis then stands within its radius of it
    let speaker = s.design.speaker.as_ref().unwrap();
    let rim = speaker.pose.at.y + speaker.depth * tilt.cos() - speaker.magnet / 2.0 * tilt.sin();
    let can = s.report.solids.iter().find(|p| p.id == "C1").unwrap();
    let axis = f64::midpoint(can.box_mm[0][1], can.box_mm[1][1]) + row.before_seated_mm;
    assert!((axis - rim).abs() <= 12.6, "{axis} {rim}");
}

/// It balances where its centre of mass is over the ends of the grooves, the rear edges here; the amp's own centre follows it by the share of
/// its mass.
#[test]
fn a_chassis_pulled_out_tips_where_its_mass_says() {
    let s = design("supply-by-the-input");
    let mass = |of: &str| s.report.masses.iter().find(|m| m.of == of).unwrap();
    let (amp, chassis) = (mass("amp"), mass("chassis"));
    let depth = s.design.cabinet.unwrap().depth;
    let note = all(&s, "pulled-out")[0];
    assert_eq!(note.severity, Severity::Note);
    let balance = depth - chassis.centre_mm[1];
    assert!((note.measured - balance).abs() < 1e-9, "{}", note.measured);
    assert!(s.design.feet.is_empty());
    let out = depth - s.design.plate.unwrap().y0;
    let moved = amp.centre_mm[1] + chassis.mass_kg / amp.mass_kg * out;
    assert_eq!(note.text.contains("tips over"), moved > depth);
}

/// With no panel anywhere both ends are open from plate to floor; a back board down to the floor closes the rear.
#[test]
fn an_end_without_panel_is_open_unless_a_board_covers_it() {
    let s = design("open-at-both-ends");
    let plate = s.design.plate.unwrap();
    let found = all(&s, "test-finger");
    assert_eq!(found.len(), 2);
    assert!(found.iter().all(|f| (f.measured - plate.z0).abs() < 1e-9));
    let path = format!(
        "{}/tests/designs/open-at-both-ends.toml",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(path).unwrap();
    let closed = text
        + "[cabinet.baffle]\nthickness = 15\n[[cabinet.back-board]]\nid = \"low\"\nbottom = 4\nheight = 50\n";
    let s = study(&closed).unwrap();
    let whole = |f: &&&Finding| f.text.contains("no panel");
    assert_eq!(all(&s, "test-finger").iter().filter(whole).count(), 0);
}
