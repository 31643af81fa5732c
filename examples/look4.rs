use groovewright::{design, fit, mesh, model, params};
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let what = std::env::args().nth(2).unwrap();
    let n: usize = std::env::args().nth(3).unwrap().parse().unwrap();
    let p = params::parse(&text).unwrap();
    let d = design::resolve(&p, &Default::default(), &design::Limits::STANDARD).unwrap();
    let a = model::assemble(&d).unwrap();
    let pr = fit::prepare(&a);
    let mut best = std::time::Duration::MAX;
    for _ in 0..n {
        let t = std::time::Instant::now();
        match what.as_str() {
            "solids" => { std::hint::black_box(model::assemble(&d).unwrap()); }
            "prepare" => { std::hint::black_box(fit::prepare(&a)); }
            "measure" => { std::hint::black_box(fit::measure_all(&d, &a, &pr)); }
            "export" => for s in &a.shapes { std::hint::black_box(mesh::export_mesh(&s.body, s.volume)); },
            _ => {}
        }
        best = best.min(t.elapsed());
    }
    println!("{what} {best:?}");
}
