//! `fit FILE`: checks, prints what was found, writes nothing.

use super::{Done, Stop, answer, answer_bytes, input, metals, show};
use crate::export::json;
use crate::fit::plate_choices;
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
    /// Print the notes whole and list every measured pair of parts, tightest first
    #[arg(long)]
    all: bool,
    /// Compare aluminium and steel for this design's plate: mass, sag, rust, solder, bending, hum
    #[arg(long)]
    materials: bool,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
}

pub(super) fn run(args: &Args) -> Result<Done, Stop> {
    if args.materials && args.format == Format::Json {
        return Err(Stop::Input(
            "--materials answers in words\nhint: leave out `--format json`, or `--materials`"
                .into(),
        ));
    }
    let (study, waiting) = input::study(&args.file, args.format == Format::Json, 0)?;
    drop(waiting);
    match args.format {
        Format::Json => answer_bytes(&json::fit_json(&study.report))?,
        Format::Text => {
            let mut text = show::report(&study, args.all);
            if args.materials {
                text.push_str(&metals::text(
                    plate_choices(&study.design, &study.assembly).as_ref(),
                ));
            }
            answer(&text)?;
        }
    }
    Ok(Done::of(&study.report))
}
