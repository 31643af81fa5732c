//! Reads a parameter file and studies it.

use super::{Stop, answer_bytes, tell};
use crate::diag::{Diagnostics, Lines, Located};
use crate::export::json;
use crate::study::{self, Study};
use serde::Serialize;
use std::fs::File;
use std::io::{self, ErrorKind, Read};
use std::path::Path;

/// Nothing longer is read, bytes: no parameter file comes near, and `/dev/zero` would never end.
const MOST_BYTES: u64 = 16 << 20;

/// Whether a path stands for standard input.
fn is_stdin(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// A path as a builder would recognise it.
fn name(path: &Path) -> String {
    if is_stdin(path) {
        "standard input".to_owned()
    } else {
        path.display().to_string()
    }
}

/// The text of a parameter file. A file that is not there, is a folder or is no text is the user's to put right; one that the system
/// does not hand over is the machine's failure.
pub(super) fn read(path: &Path) -> Result<String, Stop> {
    let name = name(path);
    let mut bytes = Vec::new();
    let read = if is_stdin(path) {
        io::stdin()
            .lock()
            .take(MOST_BYTES + 1)
            .read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|f| f.take(MOST_BYTES + 1).read_to_end(&mut bytes))
    };
    match read {
        Err(e)
            if matches!(
                e.kind(),
                ErrorKind::NotFound
                    | ErrorKind::NotADirectory
                    | ErrorKind::InvalidInput
                    | ErrorKind::InvalidFilename
            ) =>
        {
            return Err(Stop::Input(format!(
                "{name}: there is no such file; `groovewright start FILE` writes one to begin from"
            )));
        }
        Err(e) if e.kind() == ErrorKind::IsADirectory => {
            return Err(Stop::Input(format!(
                "{name}: is a folder; name the parameter file in it"
            )));
        }
        Err(e) => return Err(Stop::Machine(format!("{name}: cannot be read: {e}"))),
        Ok(_) if bytes.len() as u64 > MOST_BYTES => {
            return Err(Stop::Input(format!(
                "{name}: more than {} MB, so this is no parameter file",
                MOST_BYTES >> 20
            )));
        }
        Ok(_) => {}
    }
    String::from_utf8(bytes).map_err(|e| {
        let good = e.utf8_error().valid_up_to();
        let bytes = e.into_bytes();
        // What stands before the first bad byte is text.
        let (line, column) = Lines::new(&String::from_utf8_lossy(&bytes[..good])).place(good);
        let hint = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
            "it looks like UTF-16: save it as UTF-8"
        } else {
            "save the file as UTF-8 text"
        };
        Stop::Input(format!(
            "{name}:{line}:{column}: error: this is not UTF-8 text (byte 0x{:02X})\nhint: {hint}",
            bytes[good]
        ))
    })
}

/// What `--format json` answers when the file cannot be used.
#[derive(Serialize)]
struct Refused {
    format: u32,
    errors: Vec<Located>,
}

/// Reads and studies; what is wrong with the text is shown on stderr, and for a machine as JSON on stdout too.
pub(super) fn study(path: &Path, for_machine: bool) -> Result<Study, Stop> {
    study_text(path, &read(path)?, for_machine)
}

/// The same of a text that was read already.
pub(super) fn study_text(path: &Path, text: &str, for_machine: bool) -> Result<Study, Stop> {
    let _waiting = super::waiting::Waiting::new("checking every pair of parts");
    study::study(text).map_err(|wrong| refuse(path, text, &wrong, for_machine))
}

fn refuse(path: &Path, text: &str, wrong: &Diagnostics, for_machine: bool) -> Stop {
    // Colour goes in always and is taken out where stderr is no terminal.
    tell(&wrong.render(&name(path), text, true));
    if for_machine {
        let refused = Refused {
            format: 1,
            errors: wrong.located(text),
        };
        if let Err(stop) = answer_bytes(&json::text(&refused)) {
            return stop;
        }
    }
    Stop::Input(String::new())
}
