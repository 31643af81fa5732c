//! Times the phases of a check in one process: `fit_times FILE [RUNS]`. Prints the least and the middle of the runs, in milliseconds of
//! processor time, all threads together; where the system does not tell it, of wall time.

use groovewright::{design, fit, model, params};
use std::process::ExitCode;
use std::sync::OnceLock;
use std::time::Instant;

/// Processor time of all threads so far, ms.
fn now() -> f64 {
    static START: OnceLock<Instant> = OnceLock::new();
    let spent = |dir: std::fs::ReadDir| -> Option<f64> {
        let mut sum = 0.0;
        for task in dir {
            let text = std::fs::read_to_string(task.ok()?.path().join("schedstat")).ok()?;
            sum += text.split_whitespace().next()?.parse::<f64>().ok()?;
        }
        Some(sum * 1e-6)
    };
    (std::fs::read_dir("/proc/self/task").ok())
        .and_then(spent)
        .unwrap_or_else(|| START.get_or_init(Instant::now).elapsed().as_secs_f64() * 1e3)
}

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<(), String> {
    let mut args = std::env::args().skip(1);
    let file = args.next().ok_or("fit_times FILE [RUNS]")?;
    let runs: usize = args.next().and_then(|n| n.parse().ok()).unwrap_or(20);
    let text = std::fs::read_to_string(&file).map_err(|e| format!("{file}: {e}"))?;
    let names = [
        "resolve", "solids", "prepare", "at rest", "findings", "in use",
    ];
    let mut times: Vec<Vec<f64>> = vec![Vec::new(); names.len()];
    for _ in 0..runs.max(1) {
        let mut clock = now();
        let mut lap = |k: usize| {
            times[k].push(now() - clock);
            clock = now();
        };
        let params = params::parse(&text).map_err(|e| e.to_string())?;
        let design = design::resolve(&params, &design::Nudges::new(), &design::Limits::STANDARD)
            .map_err(|e| e.to_string())?;
        lap(0);
        let assembly = model::assemble(&design).map_err(|e| format!("{e:?}"))?;
        lap(1);
        let prepared = fit::prepare(&assembly);
        lap(2);
        let measured = fit::measure_all(&design, &assembly, &prepared);
        lap(3);
        let found = fit::findings(&design, &assembly, &measured).len();
        lap(4);
        let used = fit::in_use(&design, &assembly, &prepared, &measured)
            .findings
            .len();
        lap(5);
        if found + used == usize::MAX {
            return Err("too many findings".into());
        }
    }
    for (name, list) in names.iter().zip(&mut times) {
        list.sort_by(f64::total_cmp);
        println!("{name:9} {:7.2} {:7.2}", list[0], list[list.len() / 2]);
    }
    Ok(())
}
