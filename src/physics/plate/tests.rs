//! Against handbook tables, series and beams.

use super::*;

const MANY: Terms = Terms { x: 45, y: 44 };

fn plate(depth: f64, poisson: f64) -> Plate {
    Plate {
        span: 100.0,
        depth,
        thickness: 1.0,
        modulus: 70_000.0,
        poisson,
    }
}

fn uniform(p: &Plate, q: f64) -> Load {
    Load {
        x: [0.0, p.span],
        y: [0.0, p.depth],
        force: q * p.span * p.depth,
    }
}

fn point(x: f64, y: f64, force: f64) -> Load {
    Load {
        x: [x, x],
        y: [y, y],
        force,
    }
}

fn bent(p: Plate, beams: &[Beam], loads: &[Load], terms: Terms) -> Bent {
    bend(p, beams, loads, &[], terms).expect("a plate")
}

fn near(have: f64, want: f64, share: f64, what: &str) {
    assert!(
        (have / want - 1.0).abs() < share,
        "{what}: {have}, wanted {want}"
    );
}

/// Levy's series for two edges supported and two free, summed to the last digit apart from this code (computed), by nu and b/a: uniform load at
/// the centre and at the middle of a free edge in q a^4 / D, central point load in P a^2 / D.
const TWO_EDGES: [(f64, f64, [f64; 3]); 10] = [
    (0.3, 0.25, [0.01412, 0.01441, 0.08983]),
    (0.3, 0.5, [0.01371, 0.01464, 0.04379]),
    (0.3, 1.0, [0.01309, 0.01501, 0.02321]),
    (0.3, 1.5, [0.01290, 0.01516, 0.01868]),
    (0.3, 2.0, [0.01289, 0.01520, 0.01744]),
    (0.33, 0.25, [0.01439, 0.01472, 0.09147]),
    (0.33, 0.5, [0.01391, 0.01497, 0.04430]),
    (0.33, 1.0, [0.01317, 0.01536, 0.02325]),
    (0.33, 1.5, [0.01292, 0.01552, 0.01866]),
    (0.33, 2.0, [0.01289, 0.01556, 0.01743]),
];

#[test]
fn two_edges_supported_meet_the_series() {
    for (nu, ratio, want) in TWO_EDGES {
        let p = plate(100.0 * ratio, nu);
        let d = p.rigidity();
        let even = bent(p, &[], &[uniform(&p, 1.0)], MANY);
        let scale = d / p.span.powi(4);
        let what = format!("nu {nu} b/a {ratio}");
        // 0.2 %, and half a unit of the last printed digit
        near(even.sag(50.0, p.depth / 2.0) * scale, want[0], 0.002, &what);
        near(even.sag(50.0, 0.0) * scale, want[1], 0.002, &what);
        near(even.sag(50.0, p.depth) * scale, want[1], 0.002, &what);
        let one = bent(p, &[], &[point(50.0, p.depth / 2.0, 1.0)], MANY);
        let have = one.sag(50.0, p.depth / 2.0) * d / p.span.powi(2);
        near(have, want[2], 0.002, &what);
    }
}

/// Edges held by beams as good as rigid: a plate supported on all four.
fn held(p: &Plate) -> [Beam; 2] {
    let stiffness = p.rigidity() * p.span * 1e5;
    [0.0, p.depth].map(|at| Beam { at, stiffness })
}

/// Roark's Formulas for Stress and Strain, 7th ed., Table 11.4 cases 1a (uniform, nu = 0.3: y = k q b^4 / (E t^3), sigma = beta q b^2 / t^2 in the
/// middle) and 1b (central load over a small circle: y = k W b^2 / (E t^3)), b the short side, by long over short side. 1 %: the printed digits
/// differ from the series by up to 0.5 %.
const ROARK: [(f64, f64, f64, f64); 6] = [
    (1.0, 0.0444, 0.2874, 0.1267),
    (1.2, 0.0616, 0.3762, 0.1478),
    (1.4, 0.0770, 0.4530, 0.1621),
    (1.6, 0.0906, 0.5172, 0.1715),
    (1.8, 0.1017, 0.5688, 0.1770),
    (2.0, 0.1110, 0.6102, 0.1805),
];

#[test]
fn four_edges_supported_meet_roark() {
    for (ratio, k, beta, k_point) in ROARK {
        let p = plate(100.0 * ratio, 0.3);
        let even = bent(p, &held(&p), &[uniform(&p, 1.0)], MANY);
        let (x, y) = (50.0, p.depth / 2.0);
        let scale = p.modulus * p.thickness.powi(3) / p.span.powi(4);
        near(even.sag(x, y) * scale, k, 0.01, "uniform");
        near(even.stress(x, y) * 1e-4, beta, 0.01, "stress");
        let one = bent(p, &held(&p), &[point(x, y, 1.0)], MANY);
        let scale = p.modulus * p.thickness.powi(3) / p.span.powi(2);
        near(one.sag(x, y) * scale, k_point, 0.01, "point");
    }
}

/// Navier's double series for four supported edges.
#[test]
fn four_edges_supported_meet_the_double_series() {
    let p = plate(130.0, 0.3);
    let (a, b, d) = (p.span, p.depth, p.rigidity());
    let (mut even, mut one) = (0.0, 0.0);
    for m in (1..400).step_by(2) {
        for n in (1..400).step_by(2) {
            let (m, n) = (f64::from(m), f64::from(n));
            let bowl = ((m / a).powi(2) + (n / b).powi(2)).powi(2);
            let sign = ((m * PI / 2.0).sin() * (n * PI / 2.0).sin()).signum();
            even += 16.0 / (PI.powi(6) * d) * sign / (m * n * bowl);
            one += 4.0 / (PI.powi(4) * a * b * d) / bowl;
        }
    }
    let (x, y) = (a / 2.0, b / 2.0);
    let have = bent(p, &held(&p), &[uniform(&p, 1.0)], MANY).sag(x, y);
    near(have, even, 0.0005, "uniform");
    let have = bent(p, &held(&p), &[point(x, y, 1.0)], MANY).sag(x, y);
    near(have, one, 0.002, "point");
}

#[test]
fn narrow_plates_are_beams_and_stiff_edges_carry() {
    // 5 q a^4 / (384 E I) and P a^3 / (48 E I) with I = b t^3 / 12
    let p = plate(4.0, 0.3);
    let ei = p.modulus * p.depth * p.thickness.powi(3) / 12.0;
    let even = bent(p, &[], &[uniform(&p, 1.0)], MANY).sag(50.0, 2.0);
    near(even, 5.0 * p.depth * 1e8 / (384.0 * ei), 0.002, "uniform");
    let load = [point(50.0, 2.0, 1.0)];
    near(
        bent(p, &[], &load, MANY).sag(50.0, 2.0),
        1e6 / (48.0 * ei),
        0.005,
        "point",
    );
    // with two beams along its edges their stiffness adds up
    let beams = [0.0, 4.0].map(|at| Beam {
        at,
        stiffness: 3.0 * ei,
    });
    near(
        bent(p, &beams, &load, MANY).sag(50.0, 2.0),
        1e6 / (48.0 * 7.0 * ei),
        0.005,
        "beams",
    );
    // a wide plate under an even load: 5/384
    let p = plate(800.0, 0.3);
    let have = bent(p, &[], &[uniform(&p, 1.0)], MANY).sag(50.0, 400.0);
    near(have * p.rigidity() / 1e8, 5.0 / 384.0, 0.002, "wide");
}

/// A free round hole in a bent plate, by Kirchhoff's equations: w = c r^2 + A ln r for dishing, (c r^2 + A / r^2 + B) cos 2t for twist, both
/// with no moment and no shear at r = 1. Energy lost over that of the disc, as forces of the far field do work on the hole's edge.
#[test]
fn what_a_hole_costs_follows_from_its_free_edge() {
    for nu in [0.0, 0.29, 0.33] {
        let a = 2.0 * (1.0 + nu) / (1.0 - nu);
        let dished = (2.0 + a) / 2.0;
        near(hole_cost(nu), dished, 1e-12, "dished");
        // M_r: 2(1-nu) + 6(1-nu) A - 4 nu B = 0; V_r: -4(1-nu) + 12(1-nu) A + (12 - 4 nu) B = 0
        let b = 2.0 * (1.0 - nu) / (3.0 + nu);
        let a = (4.0 * nu * b - 2.0 * (1.0 - nu)) / (6.0 * (1.0 - nu));
        let shear = -4.0 * (1.0 - nu) + 12.0 * (1.0 - nu) * a + (12.0 - 4.0 * nu) * b;
        assert!(shear.abs() < 1e-12);
        let twisted = (4.0 * (1.0 + a + b) + 2.0 * (2.0 - 2.0 * a)) / 8.0;
        near(twisted, 4.0 / (3.0 + nu), 1e-12, "twisted");
        assert!(twisted < dished);
        // one-way bending is half dishing, half twist, by their shares of its energy; it equals the known rise of stress (Peterson; from memory)
        let one_way = dished * (1.0 - nu) / 2.0 + twisted * (1.0 + nu) / 2.0;
        near(one_way, hole_stress(nu), 1e-12, "one way");
    }
    near(hole_stress(0.3), 1.788, 1e-3, "Peterson, nu 0.3");
}

#[test]
fn a_hole_costs_its_share_and_never_stiffens() {
    let p = plate(100.0, 0.33);
    let load = [uniform(&p, 0.01)];
    let whole = bent(p, &[], &load, Terms::FEW).sag(50.0, 50.0);
    // cylindrical bending, energy all over the plate the same: 1 % of its area in small holes costs about the charged 3 %
    let hole = |x: f64, y: f64, radius: f64| Hole { at: [x, y], radius };
    let sag = |holes: &[Hole]| {
        bend(p, &[], &load, holes, Terms::FEW)
            .expect("a plate")
            .sag(50.0, 50.0)
    };
    let mut before = whole;
    for radius in [1.0, 2.0, 4.0, 8.0, 16.0, 30.0, 60.0] {
        let now = sag(&[hole(50.0, 50.0, radius)]);
        assert!(now > before, "{radius}");
        before = now;
    }
    // whatever holes do, a tenth of the stiffness stays
    assert!(before < 10.5 * whole);
    let many: Vec<Hole> = (0..100)
        .map(|i| {
            hole(
                5.0 + f64::from(i % 10) * 10.0,
                5.0 + f64::from(i / 10) * 10.0,
                (1.0 / PI).sqrt(),
            )
        })
        .collect();
    let share = sag(&many) / whole - 1.0;
    assert!((share - 0.0308).abs() < 0.003, "{share}");
}

#[test]
fn few_terms_are_near_many() {
    for (depth, beams) in [(25.0, 0.0), (25.0, 5e6), (60.0, 1e9), (120.0, 0.0)] {
        let p = plate(depth, 0.33);
        let edge = [Beam {
            at: depth,
            stiffness: beams,
        }];
        // feet of a transformer, aside
        let loads = [
            Load {
                x: [12.0, 16.0],
                y: [depth * 0.3, depth * 0.4],
                force: 5.0,
            },
            Load {
                x: [35.0, 45.0],
                y: [depth * 0.4, depth * 0.7],
                force: 4.0,
            },
        ];
        let few = bent(p, &edge, &loads, Terms::FEW);
        let many = bent(p, &edge, &loads, MANY);
        let what = format!("{depth} {beams}");
        near(few.deepest().0, many.deepest().0, 0.02, &what);
        // fewer terms are stiffer: the loads do less work
        assert!(few.work(&loads) <= many.work(&loads) * (1.0 + 1e-9));
    }
}

/// Two transformers on their feet and a socket, as on a chassis.
#[test]
fn few_terms_do_for_a_chassis() {
    for (span, depth, stiffness) in [
        (474.0, 149.0, 7e9),
        (336.0, 120.0, 1e9),
        (474.0, 149.0, 0.0),
    ] {
        let p = Plate {
            span,
            depth,
            thickness: 3.0,
            modulus: 70_300.0,
            poisson: 0.33,
        };
        let foot = |x: f64, y: f64| Load {
            x: [x - 6.0, x + 6.0],
            y: [y - 6.0, y + 6.0],
            force: 5.0,
        };
        let mut loads: Vec<Load> = [40.0, 110.0]
            .into_iter()
            .flat_map(|x| [foot(x, 30.0), foot(x, 95.0)])
            .collect();
        loads.extend([foot(160.0, 60.0), foot(220.0, 60.0)]);
        loads.push(Load {
            x: [250.0, 272.0],
            y: [97.0, 119.0],
            force: 0.6,
        });
        let edge = [Beam {
            at: depth,
            stiffness,
        }];
        let few = bent(p, &edge, &loads, Terms::FEW);
        let many = bent(p, &edge, &loads, MANY);
        near(few.deepest().0, many.deepest().0, 0.002, "sag");
        near(few.most_strained().0, many.most_strained().0, 0.1, "stress");
    }
}

#[test]
fn thicker_stiffer_and_lighter_sag_less() {
    let p = plate(60.0, 0.33);
    let load = |f: f64| {
        [Load {
            x: [30.0, 40.0],
            y: [10.0, 30.0],
            force: f,
        }]
    };
    let deep = |p: Plate, beam: f64, f: f64| {
        let edge = [Beam {
            at: 60.0,
            stiffness: beam,
        }];
        bent(p, &edge, &load(f), Terms::FEW).deepest().0
    };
    let base = deep(p, 1e6, 2.0);
    near(deep(p, 1e6, 6.0), 3.0 * base, 1e-9, "load");
    assert!(deep(p, 2e6, 2.0) < base && deep(p, 0.0, 2.0) > base);
    let thick = Plate {
        thickness: 2.0,
        ..p
    };
    near(deep(thick, 8e6, 2.0), base / 8.0, 1e-9, "t^3");
    assert!(deep(thick, 1e6, 2.0) < base);
    let steel = Plate {
        modulus: 200_000.0,
        ..p
    };
    assert!(deep(steel, 1e6, 2.0) < base);
    assert_eq!(
        bend(Plate { span: 0.0, ..p }, &[], &[], &[], Terms::FEW),
        None
    );
}

mod any {
    use super::*;
    use proptest::prelude::*;

    proptest! {
            #![proptest_config(ProptestConfig::with_cases(64))]

            /// Of any plate under any load: no sag without bound, more stiffness less work, more holes more work.
            #[test]
            fn work_falls_with_stiffness_and_rises_with_holes(
                depth in 15.0..300.0f64,
                at in (0.05..0.95f64, 0.05..0.95f64),
                size in 0.5..10.0f64,
                thickness in 0.5..5.0f64,
                beam in 0.0..1e9f64,
                hole in (0.1..0.9f64, 0.1..0.9f64, 0.01..0.2f64),
            ) {
                let p = Plate { thickness, ..plate(depth, 0.33) };
                let (x, y) = (at.0 * p.span, at.1 * depth);
                let loads = [Load {
                    x: [(x - size).max(0.0), (x + size).min(p.span)],
                    y: [(y - size).max(0.0), (y + size).min(depth)],
                    force: 1.0,
                }];
                let work = |p: Plate, beam: f64, holes: &[Hole]| {
                    let edge = [Beam { at: depth, stiffness: beam }];
                    bend(p, &edge, &loads, holes, Terms::FEW).expect("a plate").work(&loads)
                };
                let base = work(p, beam, &[]);
                prop_assert!(base > 0.0 && base.is_finite());
                prop_assert!(work(p, 2.0 * beam + 1e4, &[]) <= base);
    let thicker = Plate { thickness: 1.1 * thickness, ..p };
                prop_assert!(work(thicker, beam, &[]) < base);
                let h = [Hole { at: [hole.0 * p.span, hole.1 * depth], radius: hole.2 * depth.min(p.span) }];
                prop_assert!(work(p, beam, &h) >= base);
            }
        }
}
