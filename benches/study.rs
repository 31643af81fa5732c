//! What a study costs, step by step: the demo, and plates with 10, 100 and 1,000 tubes at 45 mm pitch. `cargo bench`.

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use groovewright::design::{self, Limits, Nudges};
use groovewright::export::step;
use groovewright::study::study_within;
use groovewright::{fit, mesh, model, params};
use std::fmt::Write as _;
use std::hint::black_box;

const LIMITS: Limits = Limits {
    holes_per_part: 100_000,
    solids: 1_000_000,
};

/// A plate with `n` tubes in a square, 45 mm apart, each with its socket and two screws.
fn tubes(n: usize) -> String {
    let across = (n as f64).sqrt().ceil() as usize;
    let down = n.div_ceil(across);
    let (width, depth) = (across * 45 + 80, down * 45 + 160);
    let mut text = format!(
        "[design]\nname = \"tubes-{n}\"\n[cabinet]\nwidth = {width}\nheight = 300\ndepth = {depth}\ncovering = 0\n\
         [cabinet.baffle]\n[chassis]\n[chassis.panel.rear]\nheight = 70\n[chassis.angle]\npitch = 100\n"
    );
    for i in 0..n {
        let (x, y) = (60 + (i % across) * 45, 40 + (i / across) * 45);
        let _ = write!(
            text,
            "[[tube]]\nid = \"T{i}\"\ntype = \"12AX7\"\nat = {{ left = {x}, front = {y} }}\n"
        );
    }
    text
}

fn all(c: &mut Criterion) {
    let demo = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/params/harbour-15.toml"
    ))
    .expect("the demo is there");
    let cases = [
        ("demo".to_owned(), demo),
        ("10 tubes".to_owned(), tubes(10)),
        ("100 tubes".to_owned(), tubes(100)),
        ("1000 tubes".to_owned(), tubes(1000)),
    ];
    let mut group = c.benchmark_group("study");
    group.sample_size(10);
    for (name, text) in &cases {
        let typed = params::parse(text).expect("a sound text");
        let none = Nudges::new();
        let resolved = design::resolve(&typed, &none, &LIMITS).expect("a sound design");
        let assembly = model::assemble(&resolved).expect("sound solids");
        let prepared = fit::prepare(&assembly);
        group.bench_function(BenchmarkId::new("read", name), |b| {
            b.iter(|| params::parse(black_box(text)));
        });
        group.bench_function(BenchmarkId::new("resolve", name), |b| {
            b.iter(|| design::resolve(black_box(&typed), &none, &LIMITS));
        });
        group.bench_function(BenchmarkId::new("solids", name), |b| {
            b.iter(|| model::assemble(black_box(&resolved)));
        });
        group.bench_function(BenchmarkId::new("check meshes", name), |b| {
            b.iter(|| fit::prepare(black_box(&assembly)).len());
        });
        group.bench_function(BenchmarkId::new("measure", name), |b| {
            b.iter(|| fit::measure_all(&resolved, black_box(&assembly), &prepared).len());
        });
        let measured = fit::measure_all(&resolved, &assembly, &prepared);
        group.bench_function(BenchmarkId::new("in use", name), |b| {
            b.iter(|| {
                let used = fit::in_use(&resolved, black_box(&assembly), &prepared, &measured);
                used.findings.len()
            });
        });
        group.bench_function(BenchmarkId::new("export meshes", name), |b| {
            b.iter(|| -> usize {
                let shapes = black_box(&assembly.shapes).iter();
                shapes
                    .map(|s| mesh::export_mesh(&s.body, s.volume).triangles.len())
                    .sum()
            });
        });
        group.bench_function(BenchmarkId::new("STEP", name), |b| {
            b.iter(|| step::step(black_box(&assembly), name).len());
        });
        group.bench_function(BenchmarkId::new("whole study", name), |b| {
            b.iter(|| study_within(black_box(text), &LIMITS).map(|s| s.report.pairs.len()));
        });
    }
    group.finish();
}

criterion_group!(benches, all);
criterion_main!(benches);
