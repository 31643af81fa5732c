//! What a curing move must not do: here to a design of our own invention, output tubes too near each other in one line.

use crate::study::study;

const FRAME: &str = "[design]\nname = \"line\"\n[cabinet]\nwidth = 480\nheight = 320\ndepth = 230\n[cabinet.baffle]\n\
    [chassis]\n[chassis.panel.rear]\nheight = 70\n";

fn tube(id: &str, left: f64) -> String {
    format!("[[tube]]\nid = \"{id}\"\ntype = \"6V6GT\"\nat = {{ left = {left}, front = 90 }}\n")
}

/// The hint of the finding that V2 and V3 stand too near each other.
fn hint(tubes: &str) -> String {
    let text = format!("{FRAME}{tubes}");
    let report = study(&text)
        .unwrap_or_else(|d| panic!("{}", d.render("line", &text, false)))
        .report;
    (report.findings.iter())
        .find(|f| f.id == "air" && f.about == ["V2", "V3"])
        .map(|f| f.hint.clone())
        .expect("V2 and V3 are too near")
}

/// V1 is too near V2 already: V2 must not be sent towards it to get off V3.
#[test]
fn a_cure_makes_no_other_finding_worse() {
    let two = tube("V2", 206.0) + &tube("V3", 260.0);
    assert!(hint(&two).starts_with("move V2 3.0 mm"), "{}", hint(&two));
    assert!(hint(&two).contains("to the left"), "{}", hint(&two));
    let three = hint(&(tube("V1", 150.0) + &two));
    assert!(!three.contains("to the left"), "{three}");
}
