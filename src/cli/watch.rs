//! `watch FILE`: builds again on every save, and says what changed since the last good build.

use super::build::{all_or, steps, unmade};
use super::serve::Server;
use super::waiting::{CHECKING, MAKING, Waiting};
use super::{Done, Stop, answer, compare, heard, input, tell};
use crate::compare::{Before, compare as compared};
use crate::design::Limits;
use crate::export::page::{self, Serve};
use crate::export::words::verdict_line;
use crate::export::{What, build_files_telling, write};
use crate::study;
use crate::units::count;
use notify_debouncer_mini::new_debouncer;
use notify_debouncer_mini::notify::RecursiveMode;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

/// Saves that follow each other as quickly are one.
const PAUSE: Duration = Duration::from_millis(120);

/// An editor that replaces a file takes it away for a moment, or leaves it empty for one.
const TRIES: u32 = 8;
const BETWEEN_TRIES: Duration = Duration::from_millis(60);

/// Build again on every save
///
/// Writes into DIR/NAME as `build` does, prints the verdict and what changed since the last good build. While the file cannot be
/// used, the files of the last good build stay. Ends with Ctrl-C, or when nobody reads what it says. Nothing is served unless --open asks for it.
#[derive(clap::Args)]
pub(super) struct Args {
    /// The parameter file
    file: PathBuf,
    /// Folder in which the design's own folder is made
    #[arg(long, value_name = "DIR", default_value = "out")]
    out: PathBuf,
    /// Write only these, separated by commas
    #[arg(long, value_name = "WHAT", value_delimiter = ',', value_enum)]
    only: Vec<What>,
    /// Serve the page to this machine only, at this port (0: any free one); it loads each new build by itself and keeps the view
    #[arg(long, value_name = "PORT")]
    open: Option<u16>,
}

pub(super) fn run(args: &Args) -> Result<Done, Stop> {
    if args.file.as_os_str() == "-" {
        return Err(Stop::Input(
            "standard input cannot be watched\nhint: name a file".into(),
        ));
    }
    // what is not there at all is a slip of the pen, not a file to wait for
    let text = input::read(&args.file).map_err(|e| e.stop(false))?;
    let (saved, saves) = mpsc::channel();
    let mut watcher =
        new_debouncer(PAUSE, saved).map_err(|e| Stop::Machine(format!("cannot watch: {e}")))?;
    for folder in folders(&args.file) {
        watcher
            .watcher()
            .watch(&folder, RecursiveMode::NonRecursive)
            .map_err(|e| Stop::Machine(format!("cannot watch {}: {e}", folder.display())))?;
    }
    let server = args.open.map(Server::start).transpose().map_err(|e| {
        Stop::Machine(format!(
            "cannot serve at port {} of this machine: {e}\nhint: name another port, or 0 for any free one",
            args.open.unwrap_or_default()
        ))
    })?;
    if let Some(server) = &server {
        answer(&format!(
            "the page is at http://{}/ for this machine only\n",
            server.address()
        ))?;
    }
    let mut bench = Bench {
        args,
        server,
        good: None,
    };
    if !bench.build(&text)? {
        return Ok(Done::Good);
    }
    let mut last = text;
    for events in saves {
        if let Err(e) = events {
            tell(&format!("while watching: {e}"));
            continue;
        }
        // whatever happened in the folder: what counts is whether the text is another
        match again(&args.file, &last) {
            Ok(text) if text == last => {}
            Ok(text) => {
                if !bench.build(&text)? {
                    return Ok(Done::Good);
                }
                last = text;
            }
            Err(Stop::Input(why) | Stop::Machine(why)) => {
                bench.broken(&why);
                last.clear();
            }
        }
    }
    Err(Stop::Machine("the watching ended".into()))
}

/// The file's own folder, and that of what it links to.
fn folders(file: &Path) -> BTreeSet<PathBuf> {
    let parent = |p: &Path| match p.parent() {
        Some(p) if !p.as_os_str().is_empty() => p.to_owned(),
        _ => PathBuf::from("."),
    };
    let own = parent(file);
    let mut out = BTreeSet::from([own.canonicalize().unwrap_or(own)]);
    if let Ok(real) = file.canonicalize() {
        out.insert(parent(&real));
    }
    out
}

/// Reads the file again, with patience for an editor that is just replacing it.
fn again(file: &Path, last: &str) -> Result<String, Stop> {
    let read = || input::read(file).map_err(|e| e.stop(false));
    let mut text = read();
    for _ in 0..TRIES {
        match &text {
            Ok(text) if !text.trim().is_empty() || last.trim().is_empty() => break,
            _ => {}
        }
        thread::sleep(BETWEEN_TRIES);
        text = read();
    }
    text
}

/// What the command keeps between saves.
struct Bench<'a> {
    args: &'a Args,
    server: Option<Server>,
    /// The last good build.
    good: Option<Before>,
}

impl Bench<'_> {
    /// `false` if nobody is there any more to hear of it.
    fn build(&mut self, text: &str) -> Result<bool, Stop> {
        let studied = {
            let waiting = Waiting::new(CHECKING, study::STEPS);
            study::study_telling(text, &Limits::STANDARD, &|| waiting.step())
        };
        let study = match studied {
            Ok(study) => study,
            Err(wrong) => {
                let shown = wrong.render(&self.args.file.display().to_string(), text, true);
                self.broken(&shown);
                return Ok(true);
            }
        };
        let mut told = format!("\n{}\n", verdict_line(&study.report));
        if let Some(before) = &self.good {
            told.push_str(&compare::changes(&compared(before, &study)));
        }
        // who serves a page is heard by its reader
        if !heard(&told)? && self.server.is_none() {
            return Ok(false);
        }
        // the page first: it is what is looked at
        if let Some(server) = &self.server {
            server.show(page::page(&study, Serve::Live));
        }
        let built = {
            let what = all_or(&self.args.only);
            let waiting = Waiting::new(MAKING, steps(what));
            build_files_telling(&study, what, &|| waiting.step())
        };
        match write::write_build(&self.args.out, &study.design.name, &built.files) {
            Ok(written) => answer(&format!(
                "\nwrote {} to {}\n{}",
                count(written.files, "file"),
                written.folder.display(),
                unmade(&built)
            ))?,
            // the disk may have room again at the next save
            Err(e) => tell(&e.to_string()),
        }
        self.good = Some(Before::of(&study.report));
        Ok(true)
    }

    /// The file cannot be used as it stands: says so, and leaves everything as the last good build made it.
    fn broken(&self, why: &str) {
        tell(&format!("\n{why}"));
        tell(if self.good.is_some() {
            "The files of the last good build stay as they are."
        } else {
            "Nothing is written until the file can be used."
        });
        if let Some(server) = &self.server {
            server.tell_broken(&plain(why));
        }
    }
}

/// A text without the marks that colour it on a terminal.
fn plain(text: &str) -> String {
    anstream::adapter::strip_str(text).to_string()
}
