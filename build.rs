//! Tells the program the commit it is built from, where there is one to tell.

use std::path::Path;
use std::process::Command;

fn git(args: &[&str]) -> Option<String> {
    let output = Command::new("git").args(args).output().ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    output.status.success().then(|| text.trim().to_owned())
}

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    // a copy of the sources inside some other repository is not that repository's commit
    let own = git(&["rev-parse", "--show-toplevel"])
        .zip(Path::new(".").canonicalize().ok())
        .is_some_and(|(top, here)| Path::new(&top).canonicalize().is_ok_and(|t| t == here));
    let commit = own
        .then(|| git(&["rev-parse", "--short=12", "HEAD"]))
        .flatten();
    if own {
        let branch = git(&["symbolic-ref", "-q", "HEAD"]);
        for name in ["HEAD", "packed-refs"].into_iter().chain(branch.as_deref()) {
            let path = git(&["rev-parse", "--git-path", name]);
            if let Some(path) = path.filter(|p| Path::new(p).exists()) {
                println!("cargo::rerun-if-changed={path}");
            }
        }
    }
    let shown = commit.map_or_else(String::new, |c| format!(" (commit {c})"));
    println!("cargo::rustc-env=GROOVEWRIGHT_COMMIT={shown}");
}
