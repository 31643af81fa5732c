use groovewright::{export, study};
use std::path::Path;
fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let out = Path::new(&args[0]);
    for file in &args[1..] {
        let text = std::fs::read_to_string(file).unwrap();
        match study::study(&text) {
            Err(e) => {
                println!("{file}: REFUSED\n{}", e.render(file, &text, false));
            }
            Ok(s) => {
                let dir = out.join(&s.report.design);
                std::fs::create_dir_all(dir.join("model/parts")).unwrap();
                std::fs::write(
                    dir.join("fit.json"),
                    serde_json::to_vec_pretty(&s.report).unwrap(),
                )
                .unwrap();
                std::fs::write(
                    dir.join("model/assembly.step"),
                    export::step::step(&s.assembly, &s.report.design),
                )
                .unwrap();
                for p in &s.assembly.parts {
                    std::fs::write(
                        dir.join(format!("model/parts/{}.stl", p.id)),
                        export::stl::part_stl(&s.meshes[p.shape], &p.pose),
                    )
                    .unwrap();
                }
                println!(
                    "{file}: {:?} {} solids {} pairs {} joined, {} errors",
                    s.report.verdict,
                    s.report.solids.len(),
                    s.report.pairs.len(),
                    s.report.joined.len(),
                    s.report
                        .findings
                        .iter()
                        .filter(|f| f.severity == groovewright::fit::Severity::Error)
                        .count()
                );
            }
        }
    }
}
