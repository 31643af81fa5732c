//! Studies a file and prints what was found.
use std::io::Write;
fn main() {
    let path = std::env::args().nth(1).expect("a file");
    let text = std::fs::read_to_string(&path).expect("readable");
    let t = std::time::Instant::now();
    match groovewright::study::study(&text) {
        Err(d) => println!("{}", d.render(&path, &text, false)),
        Ok(s) => {
            println!("{:?} {} solids {} shapes in {:?}", s.report.verdict, s.report.solids.len(), s.assembly.shapes.len(), t.elapsed());
            for f in &s.report.findings {
                println!("{:?} {} {}  => {}", f.severity, f.id, f.text, f.hint);
            }
            if std::env::args().nth(2).is_some() {
                let b = groovewright::export::step::step(&s.assembly, &s.report.design);
                std::fs::File::create("/tmp/a.step").unwrap().write_all(&b).unwrap();
            }
        }
    }
}
