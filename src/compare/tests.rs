use super::*;
use crate::fit::Report;
use crate::study;

const DEMO: &str = crate::testing::HARBOUR;

fn from_json(report: &Report) -> Before {
    serde_json::from_slice(&crate::export::json::fit_json(report)).expect("what was written")
}

#[test]
fn nothing_changes_between_equals_and_a_written_report_stands_for_its_study() {
    let s = study::study(DEMO).expect("sound");
    assert!(compare(&Before::of(&s.report), &s).is_empty());
    let c = compare(&from_json(&s.report), &s);
    assert!(c.pieces_known && c.is_empty(), "{} holes", c.holes.len());
}

/// By hand: the inside grows by 4 mm, so does everything that spans it; a hole's place from its datum follows its own edge.
#[test]
fn a_wider_cabinet_is_cut_again_and_every_number_says_why() {
    let old = study::study(DEMO).expect("sound");
    let width = old.design.cabinet.expect("a box").width;
    let text = DEMO.replacen(
        &format!("width = {width}"),
        &format!("width = {}", width + 4.0),
        1,
    );
    assert_ne!(text, DEMO, "the demo gives its inside width so: {width}");
    let new = study::study(&text).expect("sound");
    let c = compare(&Before::of(&old.report), &new);
    let plate = c.pieces.iter().find(|p| p.id == "plate").expect("changed");
    assert_eq!(plate.fate, PieceFate::CutAgain);
    let (b, a) = (plate.before_mm.expect("was"), plate.after_mm.expect("is"));
    assert!((a[0] - b[0] - 4.0).abs() < 1e-9, "{b:?} {a:?}");
    assert!(c.pieces.iter().all(|p| !p.id.starts_with("side-")));
    let d = c
        .dimensions
        .iter()
        .find(|d| d.name == "plate width over the ears")
        .expect("changed");
    assert!(
        d.reason.contains(&format!("{:.1}", width + 4.0)),
        "{}",
        d.reason
    );
    // every page of a piece that is cut anew is void
    let v = c
        .void_templates
        .iter()
        .find(|v| v.part == "plate")
        .expect("void");
    assert_eq!(v.pages.len(), v.of);
}

/// A tube goes 3 mm to the right: its holes move by 3 mm and nothing else does; the plate keeps its size.
#[test]
fn a_moved_tube_moves_its_own_holes() {
    let old = study::study(DEMO).expect("sound");
    let before = Before::of(&old.report);
    let mut moved = before.clone();
    for h in moved.holes.iter_mut().flatten() {
        if h.part == "plate" && h.id.starts_with("V2-") {
            h.at_mm[0] -= 3.0;
        }
    }
    let c = compare(&moved, &old);
    assert!(!c.holes.is_empty());
    for h in &c.holes {
        assert!(
            h.id.starts_with("V2-") && (h.moved_mm - 3.0).abs() < 1e-9,
            "{h:?}"
        );
    }
    assert_eq!(c.pieces.len(), 1);
    assert_eq!(c.pieces[0].fate, PieceFate::DrillAgain);
    let v = c
        .void_templates
        .iter()
        .find(|v| v.part == "plate")
        .expect("void");
    assert!(!v.pages.is_empty() && v.pages.len() < v.of, "{v:?}");
}

/// Nobody drills a plate again because a tube is called otherwise.
#[test]
fn a_hole_under_another_name_is_the_same_hole() {
    let s = study::study(DEMO).expect("sound");
    let mut before = Before::of(&s.report);
    let mut renamed = 0;
    for h in before.holes.iter_mut().flatten() {
        if let Some(rest) = h.id.strip_prefix("V2-") {
            h.id = format!("driver-{rest}");
            renamed += 1;
        }
    }
    let c = compare(&before, &s);
    assert!(renamed > 0 && c.holes.len() == renamed);
    for h in &c.holes {
        let was = h.id_before.as_deref().expect("its old name");
        assert_eq!(was.replacen("driver-", "V2-", 1), h.id);
        assert_eq!(h.moved_mm, 0.0);
    }
    assert!(c.pieces.is_empty() && c.void_templates.is_empty());
    assert!(!c.is_empty());
}

#[test]
fn what_can_still_be_drilled_is_not_cut_again() {
    let s = study::study(DEMO).expect("sound");
    let mut before = Before::of(&s.report);
    let holes = before.holes.as_mut().expect("known");
    let gone = holes
        .iter()
        .position(|h| h.part == "panel-rear")
        .expect("a hole");
    holes.remove(gone);
    let c = compare(&before, &s);
    assert_eq!(c.pieces.len(), 1);
    assert_eq!(c.pieces[0].fate, PieceFate::DrillMore);
    // an earlier file that does not know of holes is told so, not taken for one without any
    before.holes = None;
    let c = compare(&before, &s);
    assert!(!c.pieces_known && c.holes.is_empty() && c.pieces.is_empty());
}

#[test]
fn new_cured_and_changed_findings() {
    let s =
        study::study(include_str!("../../tests/designs/tube-into-roof.toml")).expect("resolved");
    let mut before = Before::of(&s.report);
    let worst = before.findings.remove(0);
    let mut other = before.findings[0].clone();
    other.id = "invented".into();
    before.findings.push(other.clone());
    before.findings[0].measured += 1.0;
    let c = compare(&before, &s);
    assert_eq!(c.new_findings, [worst]);
    assert_eq!(c.cured_findings, [other]);
    assert_eq!(c.changed_findings.len(), 1);
}
