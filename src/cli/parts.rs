//! `parts [WORD]`: what the catalogue holds.

use super::{Done, Stop, answer};
use crate::catalogue;

/// Show what the catalogue holds, with the source of every figure
#[derive(clap::Args)]
pub(super) struct Args {
    /// A part's name, a kind of part, or any word: shows all figures of what matches, and the lines that set them in a parameter file
    word: Option<String>,
}

pub(super) fn run(args: &Args) -> Result<Done, Stop> {
    answer(&catalogue::list(args.word.as_deref()))?;
    Ok(Done::Good)
}
