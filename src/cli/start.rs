//! `start FILE`: a commented parameter file to begin from.

use super::{Done, Stop, answer};
use crate::export::write;
use crate::params;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The file that is written: an invented amplifier that fits at once.
const STARTER: &str = include_str!("starter.toml");

/// The design's name in it, which gives way to the file's own.
const NAME: &str = "name = \"first-combo\"";

/// Write a commented parameter file to begin from; it fits at once
#[derive(clap::Args)]
pub(super) struct Args {
    /// The file to write, or - for standard output
    file: PathBuf,
    /// Write over a file that is there already
    #[arg(long)]
    force: bool,
}

pub(super) fn run(args: &Args) -> Result<Done, Stop> {
    let path = &args.file;
    if path.as_os_str() == "-" {
        answer(STARTER)?;
        return Ok(Done::Good);
    }
    let shown = path.display();
    let Some(file) = path.file_name() else {
        return Err(Stop::Input(format!("{shown}: names no file")));
    };
    if path.is_dir() {
        return Err(Stop::Input(format!(
            "{shown}: is a folder; add the name of the file to write"
        )));
    }
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    if fs::metadata(folder).is_err_and(|e| e.kind() == ErrorKind::NotFound) {
        return Err(Stop::Input(format!(
            "{}: there is no such folder; make it first",
            folder.display()
        )));
    }
    let machine = |e: write::WriteError| Stop::Machine(e.to_string());
    let text = named(path);
    if args.force {
        write::write_file(folder, file, text.as_bytes()).map_err(machine)?;
    } else if !write::write_new_file(folder, file, text.as_bytes()).map_err(machine)? {
        return Err(Stop::Input(format!(
            "{shown}: is there already and was left as it is; --force writes over it"
        )));
    }
    answer(&format!(
        "wrote {shown}: an invented amp that fits. Put your own sizes in, then check it:\n  groovewright fit {}\n",
        quoted(path)
    ))?;
    Ok(Done::Good)
}

/// The starter, with the design called as the file is, if a design may be called that.
fn named(path: &Path) -> String {
    let plain = |s: &str| {
        s.chars()
            .all(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '.'))
    };
    let stem = path
        .file_stem()
        .and_then(|s| s.to_str())
        .filter(|s| plain(s));
    stem.map(|s| STARTER.replacen(NAME, &format!("name = \"{s}\""), 1))
        .filter(|text| params::parse(text).is_ok())
        .unwrap_or_else(|| STARTER.to_owned())
}

/// A path as it can be typed at a prompt.
fn quoted(path: &Path) -> String {
    let text = path.display().to_string();
    if text.contains(|c: char| c.is_whitespace()) {
        format!("\"{text}\"")
    } else {
        text
    }
}
