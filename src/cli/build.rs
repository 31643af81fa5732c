//! `build FILE`: checks, and writes the files the shop needs.

use super::waiting::MAKING;
use super::{Done, Stop, answer, input, show};
use crate::export::{self, Built, What, write};
use crate::units::count;
use clap::ValueEnum;
use clap::builder::PossibleValue;
use std::path::PathBuf;

/// Check, and write the files the shop needs into DIR/NAME
///
/// NAME is the design's name. The folder then holds exactly what this build wrote: files of an earlier build that this one does not
/// write are removed, and nothing else is touched. A clash does not stop the writing; it shows in the verdict.
#[derive(clap::Args)]
pub(super) struct Args {
    /// The parameter file, or - for standard input
    file: PathBuf,
    /// Folder in which the design's own folder is made
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
    /// Write only these, separated by commas
    #[arg(long, value_name = "WHAT", value_delimiter = ',', value_enum)]
    only: Vec<What>,
}

impl ValueEnum for What {
    fn value_variants<'a>() -> &'a [Self] {
        &What::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.word()).help(self.about()))
    }
}

/// What was asked for: all of it where nothing was.
pub(super) fn all_or(only: &[What]) -> &[What] {
    if only.is_empty() { &What::ALL } else { only }
}

/// Steps in which these files are made and written.
pub(super) fn steps(what: &[What]) -> u64 {
    let made: u64 = What::ALL
        .iter()
        .filter(|w| what.contains(w))
        .map(|w| w.steps())
        .sum();
    made + 1
}

/// Which jigs are missing or do not print well, a line each; nothing where all is well.
pub(super) fn unmade(built: &Built) -> String {
    let lines = built.unmade_jigs.iter();
    lines.map(|why| format!("{why}\n")).collect()
}

pub(super) fn run(args: &Args) -> Result<Done, Stop> {
    let what = all_or(&args.only);
    let (study, waiting) = input::study(&args.file, false, steps(what))?;
    waiting.now(MAKING);
    let built = export::build_files_telling(&study, what, &|| waiting.step());
    let written = write::write_build(&args.out, &study.design.name, &built.files)
        .map_err(|e| Stop::Machine(e.to_string()))?;
    drop(waiting);

    let mut text = show::report(&study, false);
    text.push_str(&format!(
        "\nwrote {} to {}",
        count(written.files, "file"),
        written.folder.display()
    ));
    if written.removed > 0 {
        text.push_str(&format!(
            ", removed {} of an earlier build",
            written.removed
        ));
    }
    text.push('\n');
    text.push_str(&unmade(&built));
    answer(&text)?;
    Ok(Done::of(&study.report))
}
