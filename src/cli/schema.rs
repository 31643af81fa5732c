//! `schema`: the JSON Schema of a parameter file.

use super::{Done, Stop, answer};
use crate::params::schema_text;

/// Print the JSON Schema of a parameter file, for editors
///
/// Save it beside your files as groovewright.schema.json: an editor that knows TOML schemas then shows what each key means, its unit and
/// its default, and marks what cannot be. A file says where its schema is with a first line such as
/// `#:schema groovewright.schema.json`; the files that `start` writes have it.
#[derive(clap::Args)]
pub(super) struct Args {}

pub(super) fn run(_args: &Args) -> Result<Done, Stop> {
    answer(&schema_text())?;
    Ok(Done::Good)
}
