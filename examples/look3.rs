use groovewright::{design, fit, measure, model, params};
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let p = params::parse(&text).unwrap();
    let d = design::resolve(&p, &Default::default(), &design::Limits { holes_per_part: 100_000, solids: 100_000 }).unwrap();
    let a = model::assemble(&d).unwrap();
    let pr = fit::prepare(&a);
    let m = fit::measure_all(&d, &a, &pr);
    let what = std::env::args().nth(2).unwrap();
    let list: Vec<_> = m.iter().filter(|m| match what.as_str() { "touch" => m.is.clearance == 0.0 && m.is.overlap == 0.0, "join" => m.joint.is_some() && m.is.clearance > 0.0, "far" => m.joint.is_none() && m.is.clearance > 0.0, w => { let mut w = w.split(','); let x = w.next().unwrap(); let y = w.next().unwrap(); a.parts[m.a].id == x && a.parts[m.b].id == y } }).collect();
    let n: usize = std::env::args().nth(3).unwrap().parse().unwrap();
    let t = std::time::Instant::now();
    let mut best = std::time::Duration::MAX;
    for _ in 0..n {
        let t = std::time::Instant::now();
        for m in &list {
            let (x, y) = (&a.parts[m.a], &a.parts[m.b]);
            std::hint::black_box(measure::measure_pair(&pr[x.shape], &x.pose, &pr[y.shape], &y.pose, 40.0));
        }
        best = best.min(t.elapsed());
    }
    println!("{} pairs, best {:?}, mean {:?}", list.len(), best, t.elapsed() / n as u32);
}
