//! Studies a file and prints what was found.
use groovewright::{design, fit, mesh, model, params};
fn main() {
    let path = std::env::args().nth(1).expect("a file");
    let text = std::fs::read_to_string(&path).expect("readable");
    let cures = std::env::args().nth(2).is_some();
    if cures {
        match groovewright::study::study(&text) {
            Err(d) => println!("{}", d.render(&path, &text, false)),
            Ok(s) => {
                for f in &s.report.findings {
                    println!("{:?} {} {}  => {}", f.severity, f.id, f.text, f.hint);
                }
            }
        }
        return;
    }
    let t = std::time::Instant::now();
    let p = match params::parse(&text) {
        Ok(p) => p,
        Err(d) => {
            println!("{}", d.render(&path, &text, false));
            return;
        }
    };
    let t0 = t.elapsed();
    let d = match design::resolve(&p, &Default::default(), &design::Limits::STANDARD) {
        Ok(p) => p,
        Err(d) => {
            println!("{}", d.render(&path, &text, false));
            return;
        }
    };
    let t1 = t.elapsed();
    let a = match model::assemble(&d) {
        Ok(a) => a,
        Err(e) => {
            for e in e {
                println!("{e}");
            }
            return;
        }
    };
    let t2 = t.elapsed();
    let pr = fit::prepare(&a);
    let t3 = t.elapsed();
    let m = fit::measure_all(&d, &a, &pr);
    let t4 = t.elapsed();
    let f = fit::findings(&d, &a, &m);
    let ms: Vec<_> = a
        .shapes
        .iter()
        .map(|s| mesh::export_mesh(&s.body, s.volume))
        .collect();
    let t5 = t.elapsed();
    println!(
        "parse {t0:?} resolve {:?} solids {:?} prepare {:?} measure {:?} export mesh {:?}",
        t1 - t0,
        t2 - t1,
        t3 - t2,
        t4 - t3,
        t5 - t4
    );
    println!(
        "{} parts {} shapes {} pairs {} check triangles {} export",
        a.parts.len(),
        a.shapes.len(),
        m.len(),
        pr.iter().map(|p| p.mesh().triangles.len()).sum::<usize>(),
        ms.iter().map(|m| m.triangles.len()).sum::<usize>()
    );
    if let Some(f) = d.flat("plate") {
        println!("plate {:?} at {:?}", f.outline.bounds(), f.pose.at);
    }
    for f in &f {
        println!("{:?} {} {}  => {}", f.severity, f.id, f.text, f.hint);
    }
}
