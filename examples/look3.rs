use groovewright::{design, fit, measure, model, params};
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let (x, y) = (
        std::env::args().nth(2).unwrap(),
        std::env::args().nth(3).unwrap(),
    );
    let p = params::parse(&text).unwrap();
    let d = design::resolve(&p, &Default::default(), &design::Limits::STANDARD).unwrap();
    let a = model::assemble(&d).unwrap();
    let pr = fit::prepare(&a);
    let f = |id: &str| a.parts.iter().find(|p| p.id == id).unwrap();
    let (x, y) = (f(&x), f(&y));
    println!(
        "{:?}",
        measure::measure_pair(&pr[x.shape], &x.pose, &pr[y.shape], &y.pose, 40.0)
    );
    println!(
        "{:?}",
        measure::overlap(&pr[x.shape], &x.pose, &pr[y.shape], &y.pose)
    );
}
