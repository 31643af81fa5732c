//! Printed jigs of the demos and of seeded random designs, on beds of all sizes.

use crate::random::{self, Rng, Wish};
use glam::{DVec2, DVec3};
use groovewright::design::{Design, Limits, Nudges};
use groovewright::jig::letters::Letters;
use groovewright::jig::{self, Jigs, Piece};
use groovewright::{design, model, params, shop};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const DEMOS: [&str; 3] = [
    include_str!("../../params/lantern-40.toml"),
    include_str!("../../params/harbour-15.toml"),
    include_str!("../../params/pantry-4.toml"),
];

fn jigs_of(text: &str) -> (Design, Jigs) {
    let params =
        params::parse(text).unwrap_or_else(|e| panic!("{}", e.render("jigs", text, false)));
    let design = design::resolve(&params, &Nudges::new(), &Limits::STANDARD)
        .unwrap_or_else(|e| panic!("{}", e.render("jigs", text, false)));
    let assembly = model::assemble(&design).expect("a design that can be built");
    let schedules = shop::schedule(&design);
    let jigs = jig::jigs(&design, &assembly, &schedules);
    (design, jigs)
}

fn errors(extra: &str) -> String {
    let text = format!("{}\n{extra}", DEMOS[1]);
    let params = match params::parse(&text) {
        Ok(p) => p,
        Err(e) => return e.render("jigs", &text, false),
    };
    match design::resolve(&params, &Nudges::new(), &Limits::STANDARD) {
        Ok(_) => String::new(),
        Err(e) => e.render("jigs", &text, false),
    }
}

/// Everything that holds for every piece of every design.
fn sound(design: &Design, jigs: &Jigs) {
    let print = &design.print;
    let [w, d] = print.room();
    for j in &jigs.jigs {
        assert!(!j.pieces.is_empty(), "{}", j.name);
        let total: f64 = j.pieces.iter().map(|p| p.volume + p.letters).sum();
        assert!(
            (total - (j.uncut - j.play)).abs() < 1e-6 * j.uncut,
            "{}: tiles {total}, uncut {} less {}",
            j.name,
            j.uncut,
            j.play
        );
        for p in &j.pieces {
            assert!(
                p.mesh.check().is_sound(),
                "{}: {:?}",
                p.name,
                p.mesh.check()
            );
            let [low, high] = p.mesh.bounds();
            let size = high - low;
            assert!(low.length() < 1e-9, "{} at {low}", p.name);
            let fits = (size.x <= w + 1e-9 && size.y <= d + 1e-9)
                || (size.x <= d + 1e-9 && size.y <= w + 1e-9);
            assert!(fits && size.z <= print.bed[2], "{}: {size}", p.name);
            assert!(
                p.check.bridge <= jig::check::WIDEST_BRIDGE,
                "{}: {}",
                p.name,
                p.check.bridge
            );
            assert!(p.check.wall >= 0.8, "{}: {}", p.name, p.check.wall);
            if p.check.letter > 0.0 {
                assert!(p.check.stroke >= 0.6 && p.check.letter >= 3.0);
            }
            bores(p);
            floors(p, print.sunk);
        }
    }
    let mut names: Vec<String> = jigs
        .jigs
        .iter()
        .flat_map(|j| &j.pieces)
        .map(|p| p.name.to_lowercase())
        .collect();
    let count = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), count, "file names");
}

/// The floors of the letters in the mesh have the area of the strokes: none runs over an edge, a window, a bore or another letter.
fn floors(p: &Piece, sunk: f64) {
    let on = |c: &[DVec3; 3]| {
        let out = (c[1] - c[0]).cross(c[2] - c[0]).normalize();
        (p.letter_floors.iter()).any(|(normal, off)| {
            out.dot(*normal) > 0.9 && c.iter().all(|q| (q.dot(*normal) - off).abs() < 1e-6)
        })
    };
    let corners = (0..p.mesh.triangles.len()).map(|t| p.mesh.corners(t));
    let area = |c: [DVec3; 3]| (c[1] - c[0]).cross(c[2] - c[0]).length() / 2.0;
    let floor: f64 = corners.filter(on).map(area).sum();
    let told = p.letters / sunk;
    let floor = floor / (p.scale * p.scale);
    assert!(
        (floor - told).abs() <= 1e-6 * told + 1e-6,
        "{}: floors of {floor} mm2, strokes of {told}",
        p.name
    );
}

/// No corner of the mesh lies in a bore, and some stand just outside its circle: the polygon is circumscribed.
fn bores(p: &Piece) {
    let level = p.cross.iter().map(|c| {
        let at = DVec3::new(c.x, c.from, c.z);
        (at, DVec3::Y, c.d / 2.0, c.depth)
    });
    let upright = p
        .bores
        .iter()
        .map(|b| (b.at.extend(0.0), DVec3::Z, b.d / 2.0, 100.0));
    for (at, axis, r, depth) in upright.chain(level) {
        let mut rim = 0;
        for &q in &p.mesh.points {
            let q = p.from_bed.point(q / p.scale) - at;
            let along = q.dot(axis);
            if along < -100.0 || along > depth + 1e-6 {
                continue;
            }
            let off = (q - axis * along).length();
            assert!(off > r, "{}: {off} in a bore of {r}", p.name);
            rim += usize::from(off < r * 1.03 + 0.05);
        }
        assert!(rim >= 16, "{}: {rim} corners round a bore of {r}", p.name);
    }
}

#[test]
fn the_demos_have_the_small_jigs() {
    for text in DEMOS {
        let (design, jigs) = jigs_of(text);
        sound(&design, &jigs);
        let has = |start: &str| jigs.jigs.iter().any(|j| j.name.starts_with(start));
        let mut kinds = vec![
            "socket-",
            "feet-",
            "row-",
            "angle",
            "coupon",
            "gauge-groove",
            "cradle",
        ];
        if design.speaker.is_some() {
            kinds.push("speaker-bolts");
        }
        for kind in kinds {
            assert!(has(kind), "{}: no {kind}", design.name);
        }
        assert!(!has("whole-"), "nobody asked for them");
        for j in &jigs.jigs {
            assert!(!j.steps.is_empty(), "{}", j.name);
            for p in &j.pieces {
                // 1.5 diameters of guide, or a bush
                for b in &p.bores {
                    let long = p.mesh.bounds()[1].z / p.scale;
                    assert!(
                        long >= 1.5 * b.drill - 1e-9 || j.places.is_empty(),
                        "{}",
                        p.name
                    );
                    assert!(
                        b.drill <= 4.0 && (b.d - b.drill - 0.2).abs() < 1e-9 || j.places.is_empty()
                    );
                }
            }
        }
    }
}

/// The axis of every guide, taken to the amp frame, is that of the part's hole: by arithmetic on the design's own records.
#[test]
fn guides_stand_over_their_holes() {
    for text in DEMOS {
        let text = format!("{text}\n[print]\nwhole = [\"plate\", \"panel-rear\"]\nshrink = 0.5\n");
        let (design, jigs) = jigs_of(&text);
        sound(&design, &jigs);
        let mut count = 0;
        for j in &jigs.jigs {
            for p in &j.pieces {
                for b in &p.bores {
                    for (k, hole) in b.holes.iter().enumerate() {
                        let Some(place) = j.place_of(&b.stands, k) else {
                            continue;
                        };
                        let on = place.to_amp.point(b.at.extend(0.0));
                        let Some(flat) = design.flat(&place.part) else {
                            continue;
                        };
                        let h = flat.holes.iter().find(|h| h.id == *hole).expect("a hole");
                        let local = flat.pose.inverse().point(on);
                        assert!(
                            (local.truncate() - h.at).length() < 1e-9,
                            "{} {hole}",
                            p.name
                        );
                        // the jig lies on the part, not in it
                        let face = (local.z - flat.thickness).abs().min(local.z.abs());
                        assert!(face < 1e-9, "{} {hole}: {local}", p.name);
                        let up = place.to_amp.point(b.at.extend(1.0));
                        let up = flat.pose.inverse().point(up).z;
                        assert!(up < -0.5 || up > flat.thickness + 0.5, "{} {hole}", p.name);
                        count += 1;
                    }
                }
            }
        }
        assert!(count > 25, "{count}");
    }
}

#[test]
fn thin_plates_raise_bushes_where_they_can() {
    let text = format!("{}\n[print]\nthickness = \"3 mm\"\n", DEMOS[1]);
    let (design, jigs) = jigs_of(&text);
    sound(&design, &jigs);
    let feet = jigs
        .jigs
        .iter()
        .find(|j| j.name == "feet-PT")
        .expect("feet");
    // 1.5 x 3.0 of guide over a plate of 3
    assert!(
        (feet.pieces[0].check.size[2] - 4.6).abs() < 1e-9,
        "{:?}",
        feet.pieces[0].check.size
    );
    let socket = jigs
        .jigs
        .iter()
        .find(|j| j.name == "socket-V5")
        .expect("socket");
    // the bung hangs below, so the plate grows: 1.5 x 3.4, and 2.7 of bung
    assert!(
        (socket.pieces[0].check.size[2] - 7.9).abs() < 1e-9,
        "{:?}",
        socket.pieces[0].check.size
    );
    assert!(socket.notes.iter().any(|n| n.contains("thick instead")));
}

#[test]
fn metal_bushes_and_pilots() {
    let bush = "\n[print]\nbush-outside = \"8 mm\"\nbush-inside = \"3 mm\"\n";
    let (design, jigs) = jigs_of(&format!("{}{bush}", DEMOS[1]));
    sound(&design, &jigs);
    let feet = jigs
        .jigs
        .iter()
        .find(|j| j.name == "feet-PT")
        .expect("feet");
    assert!(
        feet.pieces[0]
            .bores
            .iter()
            .all(|b| (b.d - 8.2).abs() < 1e-9 && b.drill == 3.0)
    );
    let pilot = "\n[print]\npilot = \"4 mm\"\n";
    let (design, jigs) = jigs_of(&format!("{}{pilot}", DEMOS[1]));
    sound(&design, &jigs);
    let choke = jigs
        .jigs
        .iter()
        .find(|j| j.name == "feet-CH")
        .expect("choke");
    // its holes are 3.4: they keep their own size, and it is said
    assert!(choke.pieces[0].bores.iter().all(|b| b.drill == 3.4));
    assert!(
        choke
            .notes
            .iter()
            .any(|n| n.contains("larger than CH-screw-1")),
        "{:?}",
        choke.notes
    );
}

#[test]
fn what_cannot_be_printed_is_refused_at_its_key() {
    for (bad, expects) in [
        ("bed-width = \"70 mm\"", "a smaller bed holds no tile"),
        ("label-height = \"2 mm\"", "smaller letters close up"),
        ("label-stroke = \"0.4 mm\"", "a thinner stroke closes up"),
        ("label-height = \"3 mm\"", "close up"),
        (
            "pilot = \"12.9 mm\"\nbush-inside = \"3 mm\"\nbush-outside = \"8 mm\"",
            "a bush that the pilot runs in",
        ),
        ("bush-inside = \"3 mm\"", "half a bush"),
        (
            "bush-inside = \"8 mm\"\nbush-outside = \"3 mm\"",
            "an outside at least",
        ),
        ("shrink = 8", "-1 to 3 per cent"),
        ("whole = [\"plat\"]", "no flat part is called `plat`"),
        ("hole-growth = \"2 mm\"", "0 to 1 mm"),
        ("thickness = \"1 mm\"", "thinner bends"),
    ] {
        let text = errors(&format!("[print]\n{bad}\n"));
        assert!(text.contains(expects), "{bad}: {text}");
    }
    assert_eq!(errors("[print]\n"), "");
}

/// A guide that would break into its neighbour is left out, and named.
#[test]
fn bushes_that_would_overlap_are_named() {
    let bush =
        "\n[print]\nbush-outside = \"24 mm\"\nbush-inside = \"3 mm\"\nwhole = [\"panel-rear\"]\n";
    let (design, jigs) = jigs_of(&format!("{}{bush}", DEMOS[1]));
    sound(&design, &jigs);
    let whole = jigs
        .jigs
        .iter()
        .find(|j| j.name == "whole-panel-rear")
        .expect("whole");
    assert!(
        whole
            .notes
            .iter()
            .any(|n| n.contains("left out") && n.contains("-stop")),
        "{:?}",
        whole.notes
    );
}

/// What a tile's key takes, by hand: the area between the dovetail and the same grown by its play.
#[test]
fn the_play_of_a_joint_is_that_of_its_keys() {
    let text = format!(
        "{}\n[print]\nwhole = [\"panel-rear\"]\njoint-play = \"0.3 mm\"\nthickness = \"6 mm\"\n",
        DEMOS[1]
    );
    let (design, jigs) = jigs_of(&text);
    sound(&design, &jigs);
    let whole = jigs
        .jigs
        .iter()
        .find(|j| j.name == "whole-panel-rear")
        .expect("whole");
    let area = |p: f64| {
        let slope = 2.0_f64 / 7.0;
        let k = (1.0 + slope * slope).sqrt() * p;
        let (near, end) = (4.0 + k, 7.0 + p);
        (near + near + slope * end) * end
    };
    let one = 6.0 * (area(0.3) - area(0.0));
    let keys = whole.play / one;
    assert!(keys > 1.5 && (keys - keys.round()).abs() < 1e-9, "{keys}");
    assert!(whole.pieces.len() > 2, "{}", whole.pieces.len());
    assert!(whole.steps[0].contains("Then check the set"));
    // tiles of one set do not overlap: no corner of one lies inside the plan of another by more than rounding
    let boxes: Vec<[DVec2; 2]> = whole
        .pieces
        .iter()
        .map(|p| {
            let in_use: Vec<DVec3> = p
                .mesh
                .points
                .iter()
                .map(|q| p.from_bed.point(*q / p.scale))
                .collect();
            let below: Vec<DVec2> = in_use
                .iter()
                .filter(|q| q.z < -1e-6)
                .map(|q| q.truncate())
                .collect();
            below
                .iter()
                .fold([DVec2::INFINITY, DVec2::NEG_INFINITY], |[l, h], q| {
                    [l.min(*q), h.max(*q)]
                })
        })
        .collect();
    for w in boxes.windows(2) {
        assert!(
            (w[0][1].x - w[1][0].x).abs() < 1e-9,
            "the fences of neighbours butt: {w:?}"
        );
    }
}

#[test]
fn the_same_design_gives_the_same_jigs() {
    let text = format!(
        "{}\n[print]\nwhole = [\"plate\"]\nbed-width = \"120 mm\"\n",
        DEMOS[2]
    );
    let [a, b] = [jigs_of(&text).1, jigs_of(&text).1];
    assert_eq!(format!("{a:?}"), format!("{b:?}"));
}

/// Every letter is one outline that bounds plastic, inside its box, with strokes of the width asked for. A stroke with octagon ends has
/// area length w + 0.828 w2 and edge 2 length + 3.314 w (2 (sqrt 2 - 1) and 8 (sqrt 2 - 1) of an octagon w across its flats).
#[test]
fn every_letter_has_the_stroke_asked_for() {
    for (height, stroke) in [(5.0, 0.8), (3.3, 0.6), (8.0, 1.2), (30.0, 3.0)] {
        let mut letters = Letters::new(height, stroke);
        let mut areas = Vec::new();
        for c in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./+:=()".chars() {
            let text = c.to_string();
            let regions = letters.set(&text, DVec2::ZERO);
            assert_eq!(
                regions.len(),
                if c == ':' || c == '=' { 2 } else { 1 },
                "{c}"
            );
            let size = letters.size(&text);
            assert!((size.y - height).abs() < 1e-9);
            for r in &regions {
                r.check().expect("a sound outline");
                let [low, high] = r.bounds();
                assert!(
                    low.min_element() > -1e-9 && high.x < size.x + 1e-9 && high.y < size.y + 1e-9,
                    "{c}"
                );
                let edge: f64 = r.loops().map(|l| l.length()).sum();
                let root = (edge * edge / 4.0 - 3.314 * r.area()).max(0.0);
                let width = (edge / 2.0 - root.sqrt()) / 1.657;
                assert!(
                    width > 0.97 * stroke && width < 1.25 * stroke,
                    "{c}: {width} for {stroke}"
                );
            }
            areas.push((regions.iter().map(|r| r.area()).sum::<f64>() * 1e6).round() as i64);
        }
        // few letters have equal areas; those that a builder must not mix up do not
        let of = |c: char| {
            areas["ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
                .find(c)
                .expect("there")]
        };
        for (a, b) in [
            ('O', '0'),
            ('I', '1'),
            ('S', '5'),
            ('Z', '2'),
            ('B', '8'),
            ('0', '8'),
        ] {
            assert_ne!(of(a), of(b), "{a} and {b}");
        }
    }
}

fn cases(n: u32) -> ProptestConfig {
    let soak: Option<u64> = std::env::var("GROOVEWRIGHT_SOAK")
        .ok()
        .and_then(|s| s.parse().ok());
    ProptestConfig {
        cases: if soak.is_some() { 10 * n } else { n },
        max_shrink_iters: 0,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(soak.unwrap_or(1)),
        ..ProptestConfig::default()
    }
}

fn print_table(r: &mut Rng) -> String {
    let mut between = |low: f64, high: f64| low + (high - low) * (r.next() % 1000) as f64 / 999.0;
    let nozzle = between(0.2, 0.8);
    let stroke: f64 = (2.0 * nozzle).max(0.8);
    let mut text = format!(
        "\n[print]\nwhole = [\"plate\"]\nbed-width = \"{:.0} mm\"\nbed-depth = \"{:.0} mm\"\nbed-margin = \"{:.1} mm\"\nnozzle = \"{nozzle:.2} mm\"\n\
         thickness = \"{:.1} mm\"\nfence-width = \"{:.1} mm\"\nhole-growth = \"{:.2} mm\"\nshrink = {:.2}\njoint-play = \"{:.2} mm\"\nlabel-height = \"{:.1} mm\"\nscribe-ring = true\n",
        between(105.0, 400.0),
        between(105.0, 400.0),
        between(0.0, 10.0),
        between(3.0, 9.0),
        between(4.0, 12.0),
        between(0.0, 0.5),
        between(-0.3, 1.0),
        between(0.05, 0.4),
        (5.6 * stroke).max(between(3.5, 7.0)),
    );
    if between(0.0, 1.0) < 0.3 {
        text.push_str(&format!("pilot = \"{:.1} mm\"\n", between(1.5, 6.0)));
    }
    text
}

proptest! {
    #![proptest_config(cases(12))]

    #[test]
    fn jigs_of_random_designs_on_random_beds(seed in any::<u64>(), wish in 0..Wish::ALL.len()) {
        let mut r = Rng::new(seed ^ 0x0001_1990);
        let text = format!("{}{}", random::design(seed, Wish::ALL[wish].0), print_table(&mut r));
        let (design, jigs) = jigs_of(&text);
        sound(&design, &jigs);
        prop_assert!(jigs.jigs.len() >= 3, "{:?}", jigs.unmade);
        for why in &jigs.unmade {
            // whatever is not made says why in a builder's words, never a kernel's
            prop_assert!(!why.contains("mesh does not close") && !why.contains("nearly coincide"), "{why}");
        }
    }
}
