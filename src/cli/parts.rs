//! `parts [WORD]`: what the catalogue holds.

use super::{Done, Stop, answer};
use crate::{catalogue, units};

/// Show what the catalogue holds, with the source of every figure
#[derive(clap::Args)]
pub(super) struct Args {
    /// A part's name, a kind of part, any word of a source, or a hole such as "28.6 mm". A name brings all its figures and, last, the
    /// lines that choose it in a parameter file
    word: Option<String>,
}

pub(super) fn run(args: &Args) -> Result<Done, Stop> {
    let Some(word) = args
        .word
        .as_deref()
        .map(str::trim)
        .filter(|w| !w.is_empty())
    else {
        answer(&catalogue::list())?;
        return Ok(Done::Good);
    };
    let mut text = catalogue::look_up(word);
    if let Some(hole) = hole(word) {
        // The makers come first: who names a size wants the tool, and may not know that a drill is called so.
        text = Some(catalogue::hole_makers(hole) + "\n" + &text.unwrap_or_default());
    }
    let Some(text) = text else {
        return Err(Stop::Input(unknown(word)));
    };
    answer(text.trim_end()).and_then(|()| answer("\n"))?;
    Ok(Done::Good)
}

/// The word as the size of a hole: a length with its unit, so that `12` stays a word.
fn hole(word: &str) -> Option<f64> {
    let with_unit = word.ends_with(|c: char| c.is_alphabetic() || c == '"');
    let mm = units::parse_length(word, units::LengthUnit::Mm).ok()?;
    (with_unit && mm > 0.0).then_some(mm)
}

fn unknown(word: &str) -> String {
    // A word of any length may be asked for; what is shown of it is not.
    let shown: String = word.chars().take(60).collect();
    let near = catalogue::suggest(word);
    let hint = if near.is_empty() {
        "`groovewright parts` lists everything".to_owned()
    } else {
        format!("near: {}", near.join(", "))
    };
    format!("nothing in the catalogue is called `{shown}`, and no source names it\nhint: {hint}")
}
