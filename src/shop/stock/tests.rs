use super::*;
use crate::{shop, study};

const LANTERN: &str = crate::testing::LANTERN;

fn plan(text: &str) -> (Vec<Cut>, Cutting) {
    let s = study::study(text).expect("sound");
    let cuts = shop::cut_list(&s.design, &s.report);
    let plan = cutting(&s.design, &cuts);
    (cuts, plan)
}

#[test]
fn every_metal_and_wood_part_of_a_demo_is_laid_once_at_its_size() {
    for text in [LANTERN, crate::testing::HARBOUR, crate::testing::PANTRY] {
        let (cuts, plan) = plan(text);
        assert!(plan.unplaced.is_empty(), "{:?}", plan.unplaced);
        let mut wanted = 0;
        for c in cuts.iter().filter(|c| c.kind != Kind::Covering) {
            for id in &c.parts {
                wanted += 1;
                let on: Vec<(&Piece, &Part)> = plan
                    .pieces
                    .iter()
                    .flat_map(|p| p.parts.iter().map(move |q| (p, q)))
                    .filter(|(_, q)| q.id == *id)
                    .collect();
                assert_eq!(on.len(), 1, "{id}");
                let (piece, part) = on[0];
                let straight = DVec2::new(c.size[0], c.size[1]);
                let turned = DVec2::new(c.size[1], c.size[0]);
                assert!(part.size == straight || !piece.grain && part.size == turned);
                assert_eq!(piece.material, c.material);
                let end = part.low + part.size + piece.trim;
                assert!(end.x < piece.size[0] + AS_BOUGHT && end.y < piece.size[1] + AS_BOUGHT);
            }
        }
        let laid: usize = plan.pieces.iter().map(|p| p.parts.len()).sum();
        assert_eq!(laid, wanted);
    }
}

/// By hand: two angles of 552 and a kerf of 3 are 1107; a bar of 1110 at hand without trim holds both, one of 1106 only one.
#[test]
fn an_angle_at_hand_is_used_before_any_is_bought() {
    let given = |length: f64| {
        format!(
            "{LANTERN}\n[stock]\nkerf = 3\ntrim = 0\n[[stock.angle]]\nmaterial = \"6063\"\nleg = 19.05\nlength = {length}\ncount = 1\n"
        )
    };
    let angles = |text: &str| -> Vec<(bool, usize)> {
        plan(text)
            .1
            .pieces
            .iter()
            .filter(|p| p.form == StockForm::Angle && p.material.contains("6063"))
            .map(|p| (p.at_hand, p.parts.len()))
            .collect()
    };
    assert_eq!(angles(&given(1110.0)), [(true, 2)]);
    assert_eq!(angles(&given(1106.0)), [(true, 1), (false, 1)]);
}

#[test]
fn a_part_that_goes_on_no_given_stock_is_named_with_what_it_needs() {
    let text = format!(
        "{LANTERN}\n[stock]\ntrim = 4\n[[stock.sheet]]\nmaterial = \"5052\"\nthickness = 3\nlength = 560\nwidth = 200\n"
    );
    let (_, plan) = plan(&text);
    let out: Vec<&str> = plan.unplaced.iter().map(|u| u.id.as_str()).collect();
    // the plate is 570.4 long, the panels 552 go on 560 - 2 x 4
    assert_eq!(out, ["plate"]);
    assert!(
        plan.unplaced[0].needs.contains("578.4 mm"),
        "{}",
        plan.unplaced[0].needs
    );
    let s = study::study(&text).expect("sound");
    let bench = shop::bench(&s.design, &s.report);
    assert!(bench.buy.iter().any(|b| b.serves == ["plate"]));
}

/// The finding's list is the cutting plan's, on every design and where stock is small or used up. By hand: trim 5 leaves 290 of 300.
#[test]
fn what_goes_on_no_stock_is_told_as_the_plan_has_it() {
    for s in crate::testing::all_designs() {
        let cuts = shop::cut_list(&s.design, &s.report);
        let plan = cutting(&s.design, &cuts);
        assert_eq!(
            unplaced(&s.design, &cuts),
            plan.unplaced,
            "{}",
            s.design.name
        );
    }
    let small = format!(
        "{LANTERN}\n[stock]\nkerf = 3\ntrim = 5\n[[stock.sheet]]\nmaterial = \"5052\"\nlength = 300\nwidth = 300\n"
    );
    let s = study::study(&small).expect("sound");
    let cuts = shop::cut_list(&s.design, &s.report);
    let plan = cutting(&s.design, &cuts);
    assert_eq!(unplaced(&s.design, &cuts), plan.unplaced);
    let plate = plan.unplaced.iter().find(|u| u.id == "plate");
    assert_eq!(plate.map(|u| u.lacks[0]), Some(290.0));
    let found = s.report.findings.iter().filter(|f| f.id == "stock-small");
    let told: Vec<&str> = found.map(|f| f.about[0].as_str()).collect();
    assert_eq!(told.len(), plan.unplaced.len());
    assert!(told.contains(&"plate") && s.report.verdict == crate::fit::Verdict::Tight);
}
