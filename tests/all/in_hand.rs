//! Tools, plugs, leads and room for the wiring against arithmetic on the same design.

use groovewright::catalogue::{hand_tool, spanner_for};
use groovewright::fit::{Finding, Severity};
use groovewright::study::{Study, study};

/// What a measured distance may fall short of the true one by, mm.
const SHORT: f64 = 0.0241;

fn design(name: &str) -> Study {
    let path = format!("{}/tests/designs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    read(&std::fs::read_to_string(path).unwrap())
}

fn read(text: &str) -> Study {
    study(text).unwrap_or_else(|d| panic!("{}", d.render("design", text, false)))
}

/// The design with one line in place of another.
fn with(name: &str, old: &str, new: &str) -> Study {
    let path = format!("{}/tests/designs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    assert!(text.contains(old), "{name} has no {old}");
    read(&text.replacen(old, new, 1))
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

/// Flange 50 wide, spanner round the nut beside it: they meet when the axes are nearer than 25 and the spanner's radius.
#[test]
fn a_box_spanner_meets_the_flange_at_its_own_radius() {
    let radius = spanner_for("box spanner", 14.0).unwrap().tip / 2.0;
    for (room, met) in [(-0.03, true), (0.05, false)] {
        let at = 100.0 + 25.0 + radius + room;
        let s = with("no-spanner-on-jack", "left = 134", &format!("left = {at}"));
        let hit = all(&s, "reach-nut")
            .iter()
            .any(|f| f.about == ["IN", "MAINS"]);
        assert_eq!(hit, met, "{at}");
    }
}

/// A board 10 over the plate leaves less than the 30.1 that an offset screwdriver stands above its screw; further in, the screw is free.
#[test]
fn an_offset_screwdriver_needs_its_own_height() {
    let lever = hand_tool("offset screwdriver").unwrap();
    assert!((0.1 + lever.tip_length + lever.shaft.unwrap() - 30.1).abs() < 1e-9);
    let s = design("retaining-screw-covered");
    assert!(all(&s, "reach-screw")[0].text.contains("in its place"));
    let s = with("retaining-screw-covered", "left = 63", "left = 120");
    assert!(all(&s, "reach-screw").is_empty());
}

/// Centre to centre, as the holes lie.
#[test]
fn pitch_fillet_throat_and_length_are_arithmetic() {
    let s = design("screws-too-close");
    let at = |id: &str| {
        s.design
            .flat("plate")
            .unwrap()
            .holes
            .iter()
            .find(|h| h.id == id)
            .unwrap()
            .at
    };
    let f = all(&s, "hole-pitch")[0];
    let pitch = at("B1-screw-4").distance(at("OT-screw-2"));
    assert!((f.measured - pitch).abs() < 1e-9 && f.wanted == 12.0);

    let s = design("nuts-on-fillet");
    let f = all(&s, "angle-fillet")[0];
    let half = (19.05 - 3.175 - 8.2) / 2.0;
    assert!((f.measured - half).abs() < 1e-9 && (f.wanted - 7.0 / 3.0_f64.sqrt()).abs() < 1e-9);

    let s = design("hole-beyond-throat");
    let f = all(&s, "tool-throat")[0];
    let plate = s.design.plate.unwrap();
    assert!((f.measured - (plate.depth - 115.0).min(115.0)).abs() < 1e-9 && f.wanted == 100.0);

    let s = design("screws-too-long");
    let f = all(&s, "screw-long")[0];
    let row = s
        .design
        .fasteners
        .iter()
        .find(|f| f.id == "handle-screw-1")
        .unwrap()
        .row;
    assert!((f.measured - (24.0 - row.washer_thickness - row.nut_thickness)).abs() < 1e-9);
}

/// The tags end as far above the floor as the plate's underside less the socket's depth.
#[test]
fn tags_stand_as_high_as_the_socket_is_deep() {
    let s = design("tags-on-foil");
    let plate = s.design.plate.unwrap();
    let floor = all(&s, "wiring-air")
        .into_iter()
        .find(|f| f.about[1] == "bottom")
        .unwrap();
    near(floor.measured, plate.z0 - s.design.tubes[0].socket.below);
    assert_eq!(floor.wanted, 8.0);
}

/// Room behind the plate: inside width by plate depth by height; a board with tall parts fills more than 40 % of it.
#[test]
fn the_wiring_room_is_a_box_less_its_parts() {
    let s = design("no-room-for-wires");
    let f = all(&s, "wiring-room")[0];
    let p = s.design.plate.unwrap();
    let all_of_it = p.inside * p.depth * p.z0;
    let parts: f64 = (s.report.solids.iter())
        .filter(|r| r.id.starts_with("B1") && r.box_mm[1][2] <= p.z0 + 1e-6)
        .map(|r| r.volume_mm3)
        .sum();
    // angle, panel screws and nuts come on top
    assert!(f.measured > 100.0 * parts / all_of_it && f.measured < 100.0 * parts / all_of_it + 5.0);
    assert_eq!(f.severity, Severity::Warning);
}

/// The rim's rear face to the tank's front, straight back.
#[test]
fn a_loudspeaker_comes_back_as_far_as_the_tank() {
    let s = design("speaker-behind-tank");
    let f = all(&s, "speaker-out")[0];
    let row = |id: &str| s.report.solids.iter().find(|p| p.id == id).unwrap().box_mm;
    let spec = s.design.speaker.as_ref().unwrap();
    let gap = row("TANK")[0][1] - spec.pose.at.y - spec.flange;
    assert!(
        f.measured <= gap + 1e-3 && f.measured >= gap - SHORT - 1e-3,
        "{} for {gap}",
        f.measured
    );
}

/// A block 18 high under a basket: what slides past it keeps the difference of the heights.
#[test]
fn a_tube_passes_under_the_terminals_by_the_difference_of_heights() {
    let s = design("terminals-over-tube");
    let spec = s.design.speaker.as_ref().unwrap();
    let waist = ((spec.cutout / 2.0 - 1.0) * 0.8).max(spec.magnet / 2.0);
    let low =
        spec.pose.at.z - waist - 0.1 - hand_tool("speaker terminals").unwrap().tip_height.unwrap();
    let t = &s.design.tubes[0];
    let top = t.pose.at.z + t.socket_top + t.seated;
    assert!(low < top);
    // higher by what is missing and 2.5: a warning that measures 2.5
    let up = 243.0 + top - low + 2.5;
    let s = with(
        "terminals-over-tube",
        "bottom = 243",
        &format!("bottom = {up}"),
    );
    let f = all(&s, "speaker-terminals")[0];
    near(f.measured, 2.5);
    assert_eq!(f.severity, Severity::Warning);
    // turned to the side they are clear
    let s = with("terminals-over-tube", "terminals = 180", "terminals = 90");
    assert!(all(&s, "speaker-terminals").is_empty());
}

/// A plug ends 70 before the roof less what the cord needs to bend.
#[test]
fn a_cord_bends_under_a_higher_roof() {
    assert_eq!(all(&design("cord-under-roof"), "cord-bend").len(), 1);
    let s = with("cord-under-roof", "height = 152", "height = 170");
    assert!(all(&s, "cord-bend").is_empty());
}

/// A metal strip bonds what a wooden one does not; errors say who decides.
#[test]
fn errors_of_safety_say_who_decides() {
    for (name, id) in [
        ("panel-not-bonded", "panel-bond"),
        ("no-earth-stud", "earth-stud"),
        ("cord-and-earth", "cord-anchor"),
    ] {
        let s = design(name);
        let f = all(&s, id)[0];
        assert_eq!(f.severity, Severity::Error, "{name}");
        for words in ["local", "licensed practice decide"] {
            assert!(
                f.text.contains(words) && f.source.contains(words),
                "{name}: {}",
                f.text
            );
        }
    }
    let s = with("panel-not-bonded", "yellow birch", "aluminium 6063-T5");
    assert!(all(&s, "panel-bond").is_empty());
}

/// The demos show what is reached; none of the checks of hands and tools has more than a note to say of them.
#[test]
fn the_demos_can_be_put_together_by_hand() {
    for name in ["harbour-15", "lantern-40", "pantry-4"] {
        let path = format!("{}/params/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let s = read(&std::fs::read_to_string(path).unwrap());
        for f in &s.report.findings {
            assert_eq!(f.severity, Severity::Note, "{name}: {}", f.text);
        }
        assert_eq!(all(&s, "wiring-room").len(), 1, "{name}");
        let full = all(&s, "wiring-room")[0].measured;
        assert!(full > 1.0 && full < 50.0, "{name}: {full}");
    }
}
