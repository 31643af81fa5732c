use groovewright::{design, fit, model, params};
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let p = params::parse(&text).unwrap();
    let d = design::resolve(&p, &Default::default(), &design::Limits { holes_per_part: 100_000, solids: 100_000 }).unwrap();
    let a = model::assemble(&d).unwrap();
    let pr = fit::prepare(&a);
    let m = fit::measure_all(&d, &a, &pr);
    for f in fit::findings(&d, &a, &m).iter().take(8) { println!("{} {}", f.id, f.text); }
}
