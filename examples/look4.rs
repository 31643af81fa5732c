use groovewright::{design, fit, mesh, model, params};
unsafe extern "C" { fn clock_gettime(id: i32, t: *mut [i64; 2]) -> i32; }
/// CPU time of the process.
fn cpu() -> std::time::Duration { let mut t = [0i64; 2]; unsafe { clock_gettime(2, &raw mut t); } std::time::Duration::new(t[0] as u64, t[1] as u32) }
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let what = std::env::args().nth(2).unwrap();
    let n: usize = std::env::args().nth(3).unwrap().parse().unwrap();
    let p = params::parse(&text).unwrap();
    let d = design::resolve(&p, &Default::default(), &design::Limits { holes_per_part: 100_000, solids: 100_000 }).unwrap();
    let a = model::assemble(&d).unwrap();
    let pr = fit::prepare(&a);
    let mut best = std::time::Duration::MAX;
    for _ in 0..n {
        let t = cpu();
        match what.as_str() {
            "solids" => { std::hint::black_box(model::assemble(&d).unwrap()); }
            "prepare" => { std::hint::black_box(fit::prepare(&a)); }
            "measure" => { std::hint::black_box(fit::measure_all(&d, &a, &pr)); }
            "export" => for s in &a.shapes { std::hint::black_box(mesh::export_mesh(&s.body, s.volume)); },
            _ => {}
        }
        best = best.min(cpu() - t);
    }
    println!("{what} cpu {best:?}");
}
