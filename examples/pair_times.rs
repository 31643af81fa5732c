//! Times our own measuring of given pairs, for the cross-check: `pair_times FILE < PAIRS`, where each line of PAIRS holds two ids.
//! Prints the seconds that one thread takes to prepare the shapes of those pairs and to measure each pair once.

use groovewright::measure::{self, Prepared};
use groovewright::study;
use std::collections::BTreeMap;
use std::io::Read as _;
use std::process::ExitCode;
use std::time::Instant;

fn main() -> ExitCode {
    match run() {
        Ok(seconds) => {
            println!("{seconds}");
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<f64, String> {
    let file = std::env::args().nth(1).ok_or("pair_times FILE < PAIRS")?;
    let text = std::fs::read_to_string(&file).map_err(|e| format!("{file}: {e}"))?;
    let mut list = String::new();
    std::io::stdin()
        .read_to_string(&mut list)
        .map_err(|e| e.to_string())?;
    let assembly = study::study(&text).map_err(|e| e.to_string())?.assembly;
    let index: BTreeMap<&str, usize> = assembly
        .parts
        .iter()
        .enumerate()
        .map(|(i, p)| (p.id.as_str(), i))
        .collect();
    let mut pairs = Vec::new();
    for line in list.lines() {
        let (a, b) = line
            .split_once(' ')
            .ok_or_else(|| format!("not a pair: {line}"))?;
        let find = |id: &str| {
            index
                .get(id)
                .copied()
                .ok_or_else(|| format!("no part {id}"))
        };
        pairs.push((find(a)?, find(b)?));
    }

    let start = Instant::now();
    let mut prepared: BTreeMap<usize, Prepared> = BTreeMap::new();
    for &(a, b) in &pairs {
        for i in [a, b] {
            let shape = assembly.parts[i].shape;
            prepared
                .entry(shape)
                .or_insert_with(|| Prepared::new(&assembly.shapes[shape].body));
        }
    }
    let mut total = 0.0;
    for &(a, b) in &pairs {
        let (a, b) = (&assembly.parts[a], &assembly.parts[b]);
        let measured = measure::measure_pair(
            &prepared[&a.shape],
            &a.pose,
            &prepared[&b.shape],
            &b.pose,
            groovewright::fit::REACH,
        );
        total += measured.map_or(0.0, |m| m.clearance);
    }
    let seconds = start.elapsed().as_secs_f64();
    // the sum is used, so that nothing of the above can be left out
    if total.is_finite() {
        Ok(seconds)
    } else {
        Err("a clearance is not a number".into())
    }
}
