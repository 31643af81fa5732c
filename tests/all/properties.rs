//! Properties that hold for every design, tried on seeded random ones and on texts broken at random.

use crate::random::{self, Rng, Wish};
use glam::DVec3;
use groovewright::assembly::Assembly;
use groovewright::design::{self, Design, Limits, Nudges};
use groovewright::fit::Verdict;
use groovewright::measure::{self, PairMeasure, Prepared};
use groovewright::params::{Kind, Measure, Params};
use groovewright::pose::Pose;
use groovewright::{mesh, model, params, study};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::collections::{BTreeMap, BTreeSet};
use std::time::{Duration, Instant};

fn wish() -> impl Strategy<Value = Wish> {
    (0..Wish::ALL.len()).prop_map(|k| Wish::ALL[k].0)
}

/// `n` cases that are the same on every run. GROOVEWRIGHT_SOAK=SEED draws ten times as many others.
fn cases(n: u32) -> ProptestConfig {
    let soak: Option<u64> = std::env::var("GROOVEWRIGHT_SOAK")
        .ok()
        .and_then(|s| s.parse().ok());
    ProptestConfig {
        cases: if soak.is_some() { 10 * n } else { n },
        // a seed is its own smallest case
        max_shrink_iters: 0,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(soak.unwrap_or(1)),
        ..ProptestConfig::default()
    }
}

fn resolve(text: &str) -> Design {
    let params =
        params::parse(text).unwrap_or_else(|e| panic!("{}", e.render("random", text, false)));
    design::resolve(&params, &Nudges::new(), &Limits::STANDARD)
        .unwrap_or_else(|e| panic!("{}", e.render("random", text, false)))
}

fn assemble(text: &str) -> Assembly {
    let built = model::assemble(&resolve(text));
    built.unwrap_or_else(|e| panic!("{e:?}\n{text}"))
}

/// Shapes are made ready for measuring when first asked for: most of a design's are not.
struct Ready<'a> {
    assembly: &'a Assembly,
    shapes: BTreeMap<usize, Prepared<'a>>,
}

impl<'a> Ready<'a> {
    fn new(assembly: &'a Assembly) -> Ready<'a> {
        Ready {
            assembly,
            shapes: BTreeMap::new(),
        }
    }

    fn prepare(&mut self, part: usize) {
        let shape = self.assembly.parts[part].shape;
        self.shapes
            .entry(shape)
            .or_insert_with(|| Prepared::new(&self.assembly.shapes[shape].body));
    }

    fn measure(&mut self, a: usize, b: usize, shift: DVec3, limit: f64) -> Option<PairMeasure> {
        self.prepare(a);
        self.prepare(b);
        let (a, b) = (&self.assembly.parts[a], &self.assembly.parts[b]);
        let moved = Pose {
            at: b.pose.at + shift,
            ..b.pose
        };
        measure::measure_pair(
            &self.shapes[&a.shape],
            &a.pose,
            &self.shapes[&b.shape],
            &moved,
            limit,
        )
    }
}

/// Pairs whose boxes are nearer than `reach`, by index.
fn near(assembly: &Assembly, reach: f64) -> Vec<(usize, usize)> {
    let boxes: Vec<[DVec3; 2]> = assembly
        .parts
        .iter()
        .map(|p| assembly.shapes[p.shape].body.bounds(&p.pose))
        .collect();
    measure::near_pairs(&boxes, reach)
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn every_solid_is_closed_and_oriented(seed in any::<u64>(), wish in wish()) {
        let assembly = assemble(&random::design(seed, wish));
        prop_assert!(assembly.parts.len() >= 25, "{} solids", assembly.parts.len());
        let ids: BTreeSet<String> = assembly.parts.iter().map(|p| p.id.to_lowercase()).collect();
        prop_assert_eq!(ids.len(), assembly.parts.len());
        for (k, shape) in assembly.shapes.iter().enumerate() {
            let id = assembly.parts.iter().find(|p| p.shape == k).map_or("no part", |p| p.id.as_str());
            prop_assert!(shape.body.check().is_ok(), "{id}: {:?}", shape.body.check());
            let mesh = mesh::export_mesh(&shape.body, shape.volume);
            prop_assert!(mesh.check().is_sound(), "{id}: {:?}", mesh.check());
            prop_assert!(shape.volume > 0.0 && (mesh.volume() / shape.volume - 1.0).abs() < 0.003, "{id}: {} and {}", shape.volume, mesh.volume());
        }
        for joint in &assembly.joints {
            prop_assert!(joint.a < joint.b && joint.b < assembly.parts.len());
        }
    }
}

proptest! {
    #![proptest_config(cases(8))]

    #[test]
    fn a_clearance_is_symmetric_and_changes_by_no_more_than_a_part_moves(seed in any::<u64>(), wish in wish()) {
        let assembly = assemble(&random::design(seed, wish));
        let mut rng = Rng::new(seed);
        let pairs = near(&assembly, 30.0);
        let mut ready = Ready::new(&assembly);
        for _ in 0..40 {
            let (a, b) = pairs[rng.below(pairs.len())];
            let who = format!("{}, {}", assembly.parts[a].id, assembly.parts[b].id);
            let limit = 500.0;
            let (Some(one), Some(other)) = (ready.measure(a, b, DVec3::ZERO, limit), ready.measure(b, a, DVec3::ZERO, limit)) else {
                return Err(TestCaseError::fail(format!("{who}: nothing measured within {limit}")));
            };
            prop_assert!((one.clearance - other.clearance).abs() < 1e-9, "{who}: {} and {}", one.clearance, other.clearance);
            prop_assert!((one.overlap - other.overlap).abs() <= 1e-6 * one.overlap.max(1.0), "{who}: {} and {}", one.overlap, other.overlap);
            prop_assert!(one.overlap == 0.0 || one.clearance == 0.0, "{who}: {one:?}");
            // the closest points are as far apart as is said
            prop_assert!((one.at[0].distance(one.at[1]) - one.clearance).abs() < 1e-6, "{who}: {one:?}");

            let d = DVec3::new(rng.within(-8.0, 8.0), rng.within(-8.0, 8.0), rng.within(-8.0, 8.0));
            let Some(moved) = ready.measure(a, b, d, limit) else {
                return Err(TestCaseError::fail(format!("{who}: nothing measured after a move of {d}")));
            };
            prop_assert!((moved.clearance - one.clearance).abs() <= d.length() + 1e-9, "{who}: {} and, moved by {d}, {}", one.clearance, moved.clearance);
        }
    }

    /// Everything on plate and panels is tied to the left; the right side of the cabinet moves away.
    #[test]
    fn a_wider_cabinet_invents_no_clash_among_parts_tied_to_one_side(seed in any::<u64>(), by in 1.0..90.0f64) {
        let wish = if seed % 2 == 0 { Wish::Plain } else { Wish::Overlap };
        let text = random::left_tied(seed, wish);
        let narrow = clashes(&text);
        let wide = clashes(&widened(&text, by));
        let new: Vec<_> = wide.difference(&narrow).collect();
        prop_assert!(new.is_empty(), "{by} mm wider, and {new:?} clash\n{text}");
    }
}

/// The text with its cabinet wider by so many mm, front and rear.
fn widened(text: &str, by: f64) -> String {
    let by = if text.contains("unit = \"in\"") {
        by / 25.4
    } else {
        by
    };
    let cabinet = text.find("[cabinet]").expect("there is a cabinet");
    let mut out = text.to_owned();
    for key in ["width-rear = ", "width = "] {
        let Some(at) = text
            .find(&format!("\n{key}"))
            .map(|at| at + 1 + key.len())
            .filter(|at| *at > cabinet)
        else {
            continue;
        };
        let end = at + text[at..].find('\n').unwrap_or(text.len() - at);
        let width: f64 = text[at..end].parse().expect("a bare number");
        out.replace_range(at..end, &format!("{}", width + by));
    }
    out
}

/// Pairs of parts that share room, of items of the file (whose parts are tied to one side) and the plate.
fn clashes(text: &str) -> BTreeSet<(String, String)> {
    let design = resolve(text);
    let assembly = model::assemble(&design).expect("a random design can be built");
    let items: BTreeSet<&str> = design
        .movables
        .iter()
        .map(|m| m.id.as_str())
        .filter(|id| *id != "speaker")
        .collect();
    let tied = |k: usize| {
        items.contains(assembly.parts[k].owner.as_str()) || assembly.parts[k].id == "plate"
    };
    let mut ready = Ready::new(&assembly);
    let mut out = BTreeSet::new();
    for (a, b) in near(&assembly, 0.0) {
        if tied(a)
            && tied(b)
            && ready
                .measure(a, b, DVec3::ZERO, 1.0)
                .is_some_and(|m| m.overlap > 0.01)
        {
            out.insert((assembly.parts[a].id.clone(), assembly.parts[b].id.clone()));
        }
    }
    out
}

proptest! {
    #![proptest_config(cases(3))]

    #[test]
    fn a_study_says_what_its_design_was_made_for(seed in any::<u64>(), wish in wish()) {
        let text = random::design(seed, wish);
        let studied = study::study(&text).unwrap_or_else(|e| panic!("{}", e.render("random", &text, false)));
        let report = &studied.report;
        let overlaps: Vec<_> = report.pairs.iter().filter(|p| p.overlap_mm3 > 0.0).collect();
        if matches!(wish, Wish::Overlap | Wish::Buried) {
            prop_assert!(!overlaps.is_empty() && report.verdict == Verdict::Clashes);
        }
        if wish == Wish::Buried {
            let volume = |id: &str| report.solids.iter().find(|s| s.id == id).map_or(0.0, |s| s.volume_mm3);
            prop_assert!(overlaps.iter().any(|p| [&p.a, &p.b].into_iter().any(|id| (p.overlap_mm3 / volume(id) - 1.0).abs() < 1e-3)), "nothing is buried");
        }
        for pair in &report.pairs {
            prop_assert!(pair.clearance_mm >= 0.0 && pair.overlap_mm3 >= 0.0 && pair.wanted_mm >= 0.0);
        }
        // the same text gives the same report
        prop_assert_eq!(&study::study(&text).expect("as before").report, report);
    }
}

/// Long enough for a debug build on a busy machine, far too short for a hang.
const PATIENCE: Duration = Duration::from_secs(20);

/// Values that nobody means.
const ABSURD: [&str; 22] = [
    "0",
    "-1",
    "1e308",
    "-1e308",
    "nan",
    "inf",
    "1e-300",
    "0.0001",
    "99999",
    "999999999",
    "18446744073709551616",
    "\"\"",
    "\"1/0 in\"",
    "\"1e9 mm\"",
    "\"-0.0 in\"",
    "\"99999999999999999999/3 in\"",
    "true",
    "[]",
    "{}",
    "\"#10\"",
    "\"EI96\"",
    "1979-05-27",
];

/// One to three keys, of those a table of the text may have, set to random values of the right kind.
fn rewritten(text: &str, rng: &mut Rng) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..1 + rng.below(3) {
        let headers: Vec<usize> = (0..lines.len())
            .filter(|k| lines[*k].starts_with('['))
            .collect();
        let header = headers[rng.below(headers.len())];
        let path = lines[header].trim_matches(['[', ']']).to_owned();
        let mut keys = Params::keys();
        for name in path.split('.') {
            if let Some(Kind::Table(of) | Kind::Tables(of)) =
                keys.iter().find(|k| k.name == name).map(|k| k.kind)
            {
                keys = &of().keys;
            }
        }
        let key = &keys[rng.below(keys.len())];
        let Some(value) = value(&key.kind, rng) else {
            continue;
        };
        let line = format!("{} = {value}", key.name);
        let end = headers
            .iter()
            .copied()
            .find(|k| *k > header)
            .unwrap_or(lines.len());
        match (header..end).find(|k| {
            lines[*k]
                .split('=')
                .next()
                .is_some_and(|name| name.trim() == key.name)
        }) {
            Some(k) => lines[k] = line,
            None => lines.insert(header + 1, line),
        }
    }
    lines.join("\n")
}

/// Sizes from impossible to impossible.
const SIZES: [f64; 16] = [
    -3.0, 0.0, 0.001, 0.3, 1.0, 2.0, 3.175, 6.0, 10.0, 19.0, 45.0, 77.7, 150.0, 402.0, 1500.0,
    99999.0,
];

/// Names of the catalogue, for any text.
const NAMES: [&str; 18] = [
    "M3",
    "M6",
    "#6",
    "1/4",
    "#8 wood",
    "EI30",
    "EI150",
    "EL34",
    "KT66",
    "6X4",
    "octal ceramic",
    "15 in ceramic",
    "pot 16",
    "inlet C14",
    "knob 32",
    "none",
    "MDF",
    "felt",
];

/// A value of a kind; none for a table.
fn value(kind: &Kind, rng: &mut Rng) -> Option<String> {
    Some(match kind {
        Kind::Length => format!("{}", rng.pick(&SIZES)),
        Kind::Thickness => rng
            .pick(&[
                "0.5",
                "1.2",
                "3",
                "6",
                "12",
                "\"18 ga steel\"",
                "\"10 ga steel\"",
            ])
            .to_owned(),
        Kind::Degrees => format!(
            "{:.1}",
            rng.pick(&[-400.0, -20.0, -3.0, 0.0, 0.1, 12.0, 30.0, 45.0, 90.0, 133.3])
        ),
        Kind::Number => format!("{}", rng.pick(&[0.001, 1.0, 4.2, 500.0])),
        Kind::Count => format!("{}", rng.pick(&[0, 1, 2, 3, 7, 24, 250, 500])),
        Kind::Text => format!("\"{}\"", rng.pick(&NAMES)),
        Kind::YesNo => format!("{}", rng.chance(0.5)),
        Kind::Words(words) => format!("\"{}\"", words[rng.below(words.len())].word),
        Kind::Place(keys) => {
            let (one, other) = (keys[rng.below(keys.len())], keys[rng.below(keys.len())]);
            let at = |m: Measure, rng: &mut Rng| {
                if m == Measure::Share {
                    rng.within(0.0, 1.0)
                } else {
                    rng.pick(&SIZES)
                }
            };
            let (u, v) = (at(one.measure, rng), at(other.measure, rng));
            format!("{{ {} = {u}, {} = {v} }}", one.name, other.name)
        }
        Kind::Id | Kind::List(_) | Kind::Table(_) | Kind::Tables(_) => return None,
    })
}

/// One to four random mutations of a text.
fn broken(text: &str, rng: &mut Rng) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..1 + rng.below(4) {
        if lines.is_empty() {
            break;
        }
        let at = rng.below(lines.len());
        match rng.below(6) {
            0 => {
                lines.remove(at);
            }
            1 => lines.insert(at, lines[at].clone()),
            2 => {
                let to = rng.below(lines.len());
                lines.swap(at, to);
            }
            // any byte becomes any character, also one that cuts a string or opens a table
            3 => {
                let mut chars: Vec<char> = lines[at].chars().collect();
                if !chars.is_empty() {
                    let k = rng.below(chars.len());
                    chars[k] = rng.pick(&[
                        '"', '\'', '[', ']', '{', '}', '=', '.', '-', '0', '9', 'e', 'x', ' ', ',',
                        '#', '\u{e9}', '\u{0}', '\u{202e}',
                    ]);
                }
                lines[at] = chars.into_iter().collect();
            }
            4 => {
                let keep = rng.below(lines[at].chars().count() + 1);
                lines[at] = lines[at].chars().take(keep).collect();
            }
            _ => {
                let with_values: Vec<usize> = (0..lines.len())
                    .filter(|k| lines[*k].contains(" = "))
                    .collect();
                if !with_values.is_empty() {
                    let k = with_values[rng.below(with_values.len())];
                    let key = lines[k].split(" = ").next().unwrap_or_default().to_owned();
                    lines[k] = format!("{key} = {}", rng.pick(&ABSURD));
                }
            }
        }
    }
    lines.join("\n")
}

/// Resolves a text and builds its solids, in time and without a panic.
fn try_out(text: &str) -> Result<(), TestCaseError> {
    let start = Instant::now();
    match params::parse(text).and_then(|p| design::resolve(&p, &Nudges::new(), &Limits::STANDARD)) {
        Ok(design) => {
            let _ = model::assemble(&design);
        }
        Err(errors) => {
            prop_assert!(!errors.is_empty());
            prop_assert!(!errors.render("broken", text, false).is_empty());
        }
    }
    prop_assert!(start.elapsed() < PATIENCE, "{:?}\n{text}", start.elapsed());
    Ok(())
}

proptest! {
    #![proptest_config(cases(300))]

    // Up to the solids; what comes after reads numbers that have been through all this.

    #[test]
    fn broken_texts_neither_panic_nor_hang(seed in any::<u64>(), wish in wish()) {
        let mut rng = Rng::new(seed);
        try_out(&broken(&random::design(seed, wish), &mut rng))?;
    }

    #[test]
    fn any_value_of_any_key_neither_panics_nor_hangs(seed in any::<u64>(), wish in wish()) {
        let mut rng = Rng::new(seed);
        try_out(&rewritten(&random::design(seed, wish), &mut rng))?;
    }
}
