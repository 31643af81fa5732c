//! Times the phases and the slowest pairs. Throwaway.
use groovewright::measure;
use groovewright::{design, fit, mesh, model, params};
use std::time::{Duration, Instant};
unsafe extern "C" { fn clock_gettime(id: i32, t: *mut [i64; 2]) -> i32; }
/// CPU time of the process.
fn cpu() -> std::time::Duration { let mut t = [0i64; 2]; unsafe { clock_gettime(2, &raw mut t); } std::time::Duration::new(t[0] as u64, t[1] as u32) }
fn main() {
    let path = std::env::args().nth(1).expect("a file");
    let n: usize = std::env::args().nth(2).and_then(|s| s.parse().ok()).unwrap_or(1);
    let slow: usize = std::env::args().nth(3).and_then(|s| s.parse().ok()).unwrap_or(0);
    let text = std::fs::read_to_string(&path).expect("readable");
    let mut best = [Duration::MAX; 8];
    let mut bc = [Duration::MAX; 8];
    for i in 0..n {
        let mut at = Instant::now();
        let mut ac = cpu();
        let allc = ac;
        let all = at;
        let mut k = 0;
        let mut lap = |best: &mut [Duration; 8]| { let nc = cpu(); bc[k] = bc[k].min(nc - ac); ac = nc; let now = Instant::now(); best[k] = best[k].min(now - at); at = now; k += 1; };
        let p = match params::parse(&text) { Ok(p) => p, Err(d) => { println!("{}", d.render(&path, &text, false)); return; } };
        lap(&mut best);
        let limits = design::Limits { holes_per_part: 100_000, solids: 100_000 };
        let d = match design::resolve(&p, &Default::default(), &limits) { Ok(p) => p, Err(d) => { println!("{}", d.render(&path, &text, false)); return; } };
        lap(&mut best);
        let a = match model::assemble(&d) { Ok(a) => a, Err(e) => { for e in e { println!("{e}"); } return; } };
        lap(&mut best);
        let pr = fit::prepare(&a);
        lap(&mut best);
        let m = fit::measure_all(&d, &a, &pr);
        lap(&mut best);
        let f = fit::findings(&d, &a, &m);
        lap(&mut best);
        let ms: Vec<_> = { use rayon::prelude::*; a.shapes.par_iter().map(|s| mesh::export_mesh(&s.body, s.volume)).collect() };
        lap(&mut best);
        best[7] = best[7].min(all.elapsed());
        bc[7] = bc[7].min(cpu() - allc);
        if i + 1 < n { continue; }
        let names = ["parse", "resolve", "solids", "prepare", "measure", "findings", "export mesh", "total"];
        for (n, t) in names.iter().zip(best) { print!("{n} {:.2}  ", t.as_secs_f64() * 1e3); }
        println!("ms wall");
        for (n, t) in names.iter().zip(bc) { print!("{n} {:.2}  ", t.as_secs_f64() * 1e3); }
        println!("ms cpu");
        println!("{} parts {} shapes {} pairs {} check triangles {} export; {} zero-clearance pairs, {} joined, {} overlaps", a.parts.len(), a.shapes.len(), m.len(), pr.iter().map(|p| p.mesh().triangles.len()).sum::<usize>(), ms.iter().map(|m| m.triangles.len()).sum::<usize>(), m.iter().filter(|m| m.is.clearance == 0.0).count(), m.iter().filter(|m| m.joint.is_some()).count(), m.iter().filter(|m| m.is.overlap > 0.0).count());
        let (e, w) = f.iter().fold((0, 0), |(e, w), f| if f.severity == fit::Severity::Error { (e + 1, w) } else { (e, w + 1) });
        println!("{e} errors {w} others");
        let mut sum = 0.0;
        for m in &m { sum += m.is.clearance + m.is.overlap; }
        println!("checksum {sum}");
        if slow > 0 {
            let mut times: Vec<(Duration, String)> = m.iter().map(|m| {
                let (x, y) = (&a.parts[m.a], &a.parts[m.b]);
                let t = (0..3).map(|_| { let t = Instant::now(); std::hint::black_box(measure::measure_pair(&pr[x.shape], &x.pose, &pr[y.shape], &y.pose, fit::REACH)); t.elapsed() }).min().unwrap();
                (t, format!("{} {} clear {} overlap {} joint {}", x.id, y.id, m.is.clearance, m.is.overlap, m.joint.is_some()))
            }).collect();
            let zero: Duration = times.iter().zip(&m).filter(|t| t.1.is.clearance == 0.0).map(|t| t.0.0).sum();
            let all: Duration = times.iter().map(|t| t.0).sum();
            println!("pairs: {all:?}, of which touching {zero:?}");
            times.sort(); times.reverse();
            for (t, s) in times.iter().take(slow) { println!("{t:?} {s}"); }
            let mut tri: Vec<(usize, String)> = pr.iter().enumerate().map(|(i, p)| (p.mesh().triangles.len(), a.parts.iter().filter(|x| x.shape == i).map(|x| x.id.clone()).take(3).collect::<Vec<_>>().join(" "))).collect();
            tri.sort(); tri.reverse();
            for (t, s) in tri.iter().take(slow) { println!("{t} {s}"); }
        }
    }
}
