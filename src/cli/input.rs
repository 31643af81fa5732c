//! Reads a parameter file and studies it.

use super::waiting::{CHECKING, Waiting};
use super::{Stop, answer_bytes, tell};
use crate::design::Limits;
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

/// A file that cannot be used at all.
pub(super) struct Unusable {
    file: String,
    /// Line and column, from 1, where one is to blame.
    at: Option<(usize, usize)>,
    message: String,
    hint: &'static str,
    /// The system does not hand it over; nothing in the file is to be put right.
    machine: bool,
}

impl Unusable {
    pub fn new(
        path: &Path,
        at: Option<(usize, usize)>,
        message: impl Into<String>,
        hint: &'static str,
    ) -> Unusable {
        Unusable {
            file: name(path),
            at,
            message: message.into(),
            hint,
            machine: false,
        }
    }

    /// Ends the command; for a machine with an answer on stdout too.
    pub fn stop(self, for_machine: bool) -> Stop {
        let mut text = match self.at {
            Some((line, column)) => {
                format!("{}:{line}:{column}: error: {}", self.file, self.message)
            }
            None => format!("{}: {}", self.file, self.message),
        };
        if !self.hint.is_empty() {
            text.push_str("\nhint: ");
            text.push_str(self.hint);
        }
        let stop = if self.machine {
            Stop::Machine
        } else {
            Stop::Input
        };
        if !for_machine {
            return stop(text);
        }
        tell(&text);
        let hint = (!self.hint.is_empty()).then(|| self.hint.to_owned());
        let error = match self.at {
            Some((line, column)) => Fault::Place(Located {
                line,
                column,
                end_line: line,
                end_column: column + 1,
                message: self.message,
                expected: None,
                hint,
            }),
            None => Fault::Whole {
                message: self.message,
                hint,
            },
        };
        answer_refused(self.file, vec![error]).unwrap_or_else(|| stop(String::new()))
    }
}

/// The text of a parameter file. A file that is not there, is a folder or is no text is the user's to put right; one that the system
/// does not hand over is the machine's failure.
pub(super) fn read(path: &Path) -> Result<String, Unusable> {
    let fail = |message: String, hint| Unusable::new(path, None, message, hint);
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
            return Err(fail(
                "there is no such file".into(),
                "`groovewright start FILE` writes one to begin from",
            ));
        }
        Err(e) if e.kind() == ErrorKind::IsADirectory => {
            return Err(fail("is a folder".into(), "name the parameter file in it"));
        }
        Err(e) => {
            return Err(Unusable {
                machine: true,
                ..fail(format!("cannot be read: {e}"), "")
            });
        }
        Ok(_) if bytes.len() as u64 > MOST_BYTES => {
            let most = MOST_BYTES >> 20;
            return Err(fail(
                format!("more than {most} MB, so this is no parameter file"),
                "",
            ));
        }
        Ok(_) => {}
    }
    String::from_utf8(bytes).map_err(|e| {
        let good = e.utf8_error().valid_up_to();
        let bytes = e.into_bytes();
        // What stands before the first bad byte is text.
        let place = Lines::new(&String::from_utf8_lossy(&bytes[..good])).place(good);
        let hint = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
            "it looks like UTF-16: save it as UTF-8"
        } else {
            "save the file as UTF-8 text"
        };
        let message = format!("this is not UTF-8 text (byte 0x{:02X})", bytes[good]);
        Unusable::new(path, Some(place), message, hint)
    })
}

/// What `--format json` answers when a file cannot be used.
#[derive(Serialize)]
struct Refused {
    format: u32,
    file: String,
    errors: Vec<Fault>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Fault {
    Place(Located),
    /// Of the whole file, not of a place in it.
    Whole {
        message: String,
        #[serde(skip_serializing_if = "Option::is_none")]
        hint: Option<String>,
    },
}

/// Prints it; a failure of that.
fn answer_refused(file: String, errors: Vec<Fault>) -> Option<Stop> {
    answer_bytes(&json::text(&Refused {
        format: 1,
        file,
        errors,
    }))
    .err()
}

/// Reads and studies, with a bar that has `more` steps to go; what is wrong with the text is shown on stderr, and for a machine as JSON on
/// stdout too.
pub(super) fn study(path: &Path, for_machine: bool, more: u64) -> Result<(Study, Waiting), Stop> {
    let text = read(path).map_err(|e| e.stop(for_machine))?;
    // not before: who types the text is not waiting
    let waiting = Waiting::new(CHECKING, study::STEPS + more);
    study_text(path, &text, for_machine, waiting)
}

/// The same of a text that was read already.
pub(super) fn study_text(
    path: &Path,
    text: &str,
    for_machine: bool,
    waiting: Waiting,
) -> Result<(Study, Waiting), Stop> {
    match study::study_telling(text, &Limits::STANDARD, &|| waiting.step()) {
        Ok(study) => Ok((study, waiting)),
        Err(wrong) => {
            // the bar goes before words come
            drop(waiting);
            Err(refuse(path, text, &wrong, for_machine))
        }
    }
}

fn refuse(path: &Path, text: &str, wrong: &Diagnostics, for_machine: bool) -> Stop {
    // Colour goes in always and is taken out where stderr is no terminal.
    tell(&wrong.render(&name(path), text, true));
    if for_machine {
        let errors = wrong.located(text).into_iter().map(Fault::Place).collect();
        if let Some(stop) = answer_refused(name(path), errors) {
            return stop;
        }
    }
    Stop::Input(String::new())
}
