//! Writes seeded random designs for the cross-check: `random_designs DIR WISH SEED...`, where WISH is `plain`, `overlap`, `buried`,
//! `tilted` or `down`. Prints the path of each file.

#[path = "../tests/all/random/mod.rs"]
mod random;

use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let wish = args
        .get(1)
        .and_then(|word| random::Wish::ALL.iter().find(|w| w.1 == word));
    let seeds: Option<Vec<u64>> = args
        .get(2..)
        .map(|s| s.iter().map(|s| s.parse().ok()).collect())
        .unwrap_or_default();
    let (Some(folder), Some(&(wish, word)), Some(seeds)) = (args.first(), wish, seeds) else {
        eprintln!("random_designs DIR plain|overlap|buried|tilted|down SEED...");
        return ExitCode::from(2);
    };
    for seed in seeds {
        let path = Path::new(folder).join(format!("{word}-{seed}.toml"));
        let written = std::fs::create_dir_all(folder)
            .and_then(|()| std::fs::write(&path, random::design(seed, wish)));
        if let Err(error) = written {
            eprintln!("{}: {error}", path.display());
            return ExitCode::from(3);
        }
        println!("{}", path.display());
    }
    ExitCode::SUCCESS
}
