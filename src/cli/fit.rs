//! `fit FILE`: checks, prints what was found, writes nothing.

use super::{Done, Stop, answer, answer_bytes, input, show};
use crate::export::json;
use clap::ValueEnum;
use std::path::PathBuf;

/// Say whether everything fits; writes nothing
#[derive(clap::Args)]
pub(super) struct Args {
    /// The parameter file, or - for standard input
    file: PathBuf,
    /// Answer in words for people, or as fit.json for programs
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// List every measured pair of parts, tightest first
    #[arg(long)]
    all: bool,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
}

pub(super) fn run(args: &Args) -> Result<Done, Stop> {
    let study = input::study(&args.file, args.format == Format::Json)?;
    match args.format {
        Format::Json => answer_bytes(&json::fit_json(&study.report))?,
        Format::Text => answer(&show::report(&study, args.all))?,
    }
    Ok(Done::of(&study.report))
}
