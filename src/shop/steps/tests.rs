use super::*;
use crate::design::{Countersinker, Face, Stepped, Tool};

fn owned() -> ToolBox {
    let tool = |d: f64| Tool {
        name: format!("{d} mm"),
        d,
    };
    ToolBox {
        listed: true,
        inch: false,
        drills: [3.0, 4.5].map(tool).into(),
        punches: vec![tool(28.5)],
        saws: Vec::new(),
        router_bits: Vec::new(),
        step_bits: vec![Stepped {
            steps: (2..=10).map(|k| f64::from(k) * 2.0).collect(),
            height: 3.0,
        }],
        countersinks: vec![Countersinker {
            d: 12.0,
            angle: 90.0,
        }],
        throat: None,
    }
}

fn acts(p: &Plan) -> Vec<(Act, &str)> {
    p.steps.iter().map(|s| (s.act, s.tool.as_str())).collect()
}

#[test]
fn owned_tools_come_first_and_what_lacks_is_bought() {
    let tools = owned();
    let shape = HoleShape::Countersunk {
        d: 4.5,
        head: 8.6,
        angle: 90.0,
        face: Face::Front,
    };
    let p = plan(&tools, &shape, 3.0, true);
    assert!(p.buy.is_empty(), "{:?}", p.buy);
    let named = acts(&p);
    assert_eq!(named[0], (Act::Pilot, "drill 3 mm"));
    assert_eq!(named[1], (Act::Final, "drill 4.5 mm"));
    assert_eq!(named[2].0, Act::Countersink);
    // by hand: a 90 degree cone is as deep as its radius grows, (8.6 - 4.5) / 2
    assert!((p.steps[2].depth.expect("a depth") - 2.05).abs() < 1e-9);

    let p = plan(&tools, &HoleShape::Round { d: 3.4 }, 3.0, true);
    assert_eq!(p.buy, ["drill 3.4 mm"]);
    let p = plan(&tools, &HoleShape::Round { d: 16.0 }, 3.0, true);
    assert!(p.buy.is_empty() && acts(&p)[1].1.starts_with("step bit 4.0 to 20.0 mm"));
    // by hand: the bit has steps of 8, 10, 12: a hole of 9.92 is made by the one of 10, and no bit has a step of 9.92
    let p = plan(&tools, &HoleShape::Round { d: 9.92 }, 3.0, true);
    assert!(
        acts(&p)[1].1.ends_with("stop at its step of 10.0 mm") && p.steps[1].d == 10.0,
        "{:?}",
        p.steps
    );
    // too thick for punch and step bit, too large for a chuck
    let p = plan(&tools, &HoleShape::Round { d: 28.5 }, 5.0, true);
    assert!(
        acts(&p)[1].1.contains("hole saw for metal") && p.buy.len() == 1,
        "{:?} {:?}",
        acts(&p),
        p.buy
    );
    // the step is lower than this sheet is thick, and no punch makes 16
    let p = plan(&tools, &HoleShape::Round { d: 16.0 }, 3.2, true);
    assert_eq!(p.buy.len(), 1, "{:?}", acts(&p));
    let p = plan(&tools, &HoleShape::Round { d: 28.5 }, 3.0, true);
    assert!(
        p.buy.is_empty() && acts(&p)[2].1 == "punch 28.5 mm",
        "{:?}",
        acts(&p)
    );
}

/// ASME B18.2.8 names #9 for a #8 screw (Machinery's Handbook 31st ed., p. 1741), 0.196 in.
#[test]
fn an_inch_file_names_number_drills() {
    let tools = ToolBox {
        inch: true,
        ..ToolBox::default()
    };
    let p = plan(&tools, &HoleShape::Round { d: 0.196 * 25.4 }, 3.0, true);
    assert!(
        acts(&p).contains(&(Act::Final, "drill #9 (4.98 mm)")),
        "{:?}",
        acts(&p)
    );
}
