//! Hum, heat, weight and sag of whole designs: what a change of the file must do to the findings.

use super::report::{Finding, Report, Severity};
use crate::study::study;

const HARBOUR: &str = crate::testing::HARBOUR;
const ASIDE: &str = include_str!("../../tests/designs/crossed-and-aside.toml");
const CLOSED: &str = include_str!("../../tests/designs/hot-closed-box.toml");

fn report(text: &str) -> Report {
    study(text)
        .unwrap_or_else(|d| panic!("{}", d.render("design", text, false)))
        .report
}

fn find<'r>(report: &'r Report, id: &str) -> Option<&'r Finding> {
    report.findings.iter().find(|f| f.id == id)
}

fn told<'r>(report: &'r Report, id: &str) -> &'r Finding {
    find(report, id).unwrap_or_else(|| panic!("no {id}"))
}

fn changed(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1)
}

/// Standing aside, crossed axes are no null; the turn that is told is one, and no other beats it.
#[test]
fn another_turn_than_ninety_wins() {
    let crossed = report(ASIDE);
    let warned = told(&crossed, "hum-axes");
    let turn: u32 = warned
        .hint
        .split_once(" to ")
        .and_then(|(_, rest)| rest.split(' ').next())
        .and_then(|n| n.parse().ok())
        .expect("a turn in the hint");
    assert!(turn.abs_diff(90) > 30, "{turn}");
    let level = |turn: u32| {
        let r = report(&changed(ASIDE, "turn = 90", &format!("turn = {turn}")));
        let warns = find(&r, "hum-axes").is_some();
        (told(&r, "hum").measured, warns)
    };
    let (best, warns) = level(turn);
    assert!(!warns && best < told(&crossed, "hum").measured - 20.0);
    for other in (0..180).step_by(30) {
        assert!(level(other).0 >= best - 1e-9, "{other}");
    }
}

#[test]
fn a_channel_frame_is_not_told_to_turn() {
    let text = ASIDE.replace(
        "core = \"EI66\"",
        "core = \"EI66\"\nmounting = \"channel frame\"",
    );
    let crossed = report(&text);
    // lying against upright is near a null whatever the turn
    assert!(find(&crossed, "hum-axes").is_none());
    // both upright, side by side: no turn of either helps
    let both = text.replace(
        "core = \"EI84\"",
        "core = \"EI84\"\nmounting = \"channel frame\"",
    );
    let both = report(&both);
    let f = told(&both, "hum-axes");
    assert!(f.hint.starts_with("no turn of OT helps"), "{}", f.hint);
}

#[test]
fn masses_are_those_of_the_solids_and_shares_add_up() {
    let r = report(HARBOUR);
    let solids: f64 = r.solids.iter().map(|s| s.mass_g).sum();
    assert!((r.masses[0].mass_kg * 1000.0 / solids - 1.0).abs() < 1e-12);
    let moving: f64 = r.solids.iter().filter(|s| s.moves).map(|s| s.mass_g).sum();
    assert!((r.masses[1].mass_kg * 1000.0 / moving - 1.0).abs() < 1e-12);
    // the centre is where an independent sum over boxes of equal density could not put it outside the amp
    let [x, y, z] = r.masses[0].centre_mm;
    assert!((0.0..474.0).contains(&x) && (0.0..224.0).contains(&y) && (0.0..424.0).contains(&z));
    // iron moved to the right moves the centre by its share
    let moved = report(&changed(
        HARBOUR,
        "at = { left = 76, front = 62 }",
        "at = { left = 66, front = 62 }\nmass = 3.0",
    ));
    assert!(moved.masses[1].centre_mm[0] < r.masses[1].centre_mm[0]);
}

#[test]
fn sag_follows_sheet_and_limit() {
    let at = |from: &str, to: &str| report(&changed(HARBOUR, from, to));
    let base = report(HARBOUR);
    let sag = |r: &Report| told(r, "sag").measured;
    let thin = at("thickness = 3\n", "thickness = 2\n");
    let thick = at("thickness = 3\n", "thickness = 4\n");
    let steel = at("material = \"aluminium 5052-H32\"", "material = \"steel\"");
    assert!(sag(&thin) > 2.5 * sag(&base) && sag(&thick) < 0.6 * sag(&base));
    assert!(sag(&steel) < sag(&base));
    // the design's own limit
    let strict = at("thickness = 3\n", "thickness = 3\nsag = 0.5\n");
    let f = told(&strict, "sag");
    assert_eq!((f.severity, f.wanted), (Severity::Warning, 0.5));
    assert!(
        f.hint.contains("aluminium") && f.hint.contains("steel"),
        "{}",
        f.hint
    );
    assert_eq!(told(&base, "sag").severity, Severity::Note);
}

#[test]
fn heat_follows_watts_and_vents() {
    let closed = report(CLOSED);
    let warmth = |r: &Report| told(r, "heat").measured;
    let vent = "[[heat.vent]]\nwidth = 300\nheight = 10\ncount = 8\nbottom = 70\n[[heat.vent]]\nwidth = 300\nheight = 10\ncount = 8\nbottom = 240\n\n[[transformer]]";
    let open = report(&changed(CLOSED, "[[transformer]]", vent));
    assert!(warmth(&open) < warmth(&closed) / 3.0);
    let cooler = report(&changed(CLOSED, "plate-watts = 24", "plate-watts = 4"));
    assert!(warmth(&cooler) < warmth(&closed));
    let own = report(&changed(CLOSED, "[[row]]", "[[row]]"));
    assert!(
        told(&own, "heat")
            .text
            .contains("1 of 4 tubes by the design's own figures")
    );
    // a slot that no finger passes is not spoken of
    let slot = report(&changed(CLOSED, "height = 20", "height = 12"));
    assert!(find(&slot, "heat-vent").is_none() && find(&closed, "heat-vent").is_some());
    // a hotter room is a hotter board
    let board = |r: &Report| told(r, "heat-near").measured;
    let cold = report(&changed(CLOSED, "ambient = 35", "ambient = 10"));
    assert!(board(&cold) < board(&closed));
}

/// A bulb whose mean is over what its sheet allows the hottest spot is a warning, and not the maker's word where it is only remembered.
#[test]
fn glass_over_its_limit_is_warned_of() {
    let warm = report(CLOSED);
    let note = told(&warm, "touch");
    assert_eq!(note.severity, Severity::Note);
    assert!(
        note.text.contains("a maker's sheet allows 250 C"),
        "{}",
        note.text
    );
    let hot = report(&changed(CLOSED, "plate-watts = 24", "plate-watts = 40"));
    let f = told(&hot, "touch");
    assert_eq!((f.severity, f.wanted), (Severity::Warning, 250.0));
    assert!(f.measured > 250.0 && f.hint.contains("less idle current"));
}

/// Each source into each victim, the mains wires among them; and a handle that hangs aside is told what would level it.
#[test]
fn mains_wires_reach_every_victim_and_sideways_hang_is_told() {
    let r = report(HARBOUR);
    let hum = &told(&r, "hum").text;
    for id in ["OT", "V1", "IN1"] {
        assert!(hum.contains(&format!("nT at {id}")), "{id}: {hum}");
    }
    let balance = told(&r, "balance");
    assert!(balance.text.contains("with the left 3 degrees low"));
    assert!(balance.hint.contains("further to the right: PT"));
    // what moves by so much carries the centre to the handle's middle
    let all = &r.masses[0];
    let aside = 474.0 / 2.0 - all.centre_mm[0];
    assert!((aside - 17.7).abs() < 0.1, "{aside}");
}

/// Half as long an ear presses twice as hard on the wood, for the same weight.
#[test]
fn a_short_ear_presses_harder() {
    let pressed = |ears: &str| {
        let text = changed(HARBOUR, "[chassis]\n", &format!("[chassis]\n{ears}"));
        let r = report(&text);
        let held = (r.findings.iter())
            .find(|f| f.text.contains("the groove of side-"))
            .expect("the load of the groove");
        let after = held
            .text
            .split("the groove of side-")
            .nth(1)
            .expect("a side");
        let mpa = after
            .split(" with ")
            .nth(1)
            .and_then(|t| t.split(' ').next());
        mpa.and_then(|n| n.parse::<f64>().ok()).expect("MPa")
    };
    let (whole, short) = (pressed(""), pressed("ear-from = 40\near-to = 90\n"));
    assert!(short > 2.0 * whole, "{short} {whole}");
}

#[test]
fn the_page_on_fit_json_names_every_unit() {
    let page = include_str!("../../docs/fit-json.md");
    let row = (page.lines())
        .find(|l| l.starts_with("| `unit` |"))
        .expect("the row of units");
    for text in [HARBOUR, ASIDE, CLOSED] {
        for f in report(text).findings {
            assert!(
                row.contains(&format!("`{}`", f.unit)),
                "{}: {}",
                f.id,
                f.unit
            );
        }
    }
}

/// What no formula holds for is told without its figure; the JSON keeps it, as its page says.
#[test]
fn a_plate_that_would_fold_is_told_so() {
    let r = report(include_str!("../../tests/designs/anvil.toml"));
    let of = |id: &str| {
        let found = r.findings.iter().find(|f| f.id == id);
        found.unwrap_or_else(|| panic!("no {id}"))
    };
    let sag = of("sag");
    assert!(sag.text.starts_with("the plate would fold"), "{}", sag.text);
    for id in ["sag", "sag-stress"] {
        let f = of(id);
        let figure = format!("{:.0}", f.measured);
        assert!(
            f.measured > f.wanted && !f.text.contains(&figure),
            "{}",
            f.text
        );
    }
}
