//! The commands, one file each. What they print is meant for a builder; what went wrong is told on stderr, and by the exit code:
//! 0 done and no error among the findings, 1 done and a finding is an error, 2 the input cannot be used, 3 the machine failed.

mod build;
mod compare;
mod first_amp;
mod fit;
mod input;
mod manual;
mod metals;
mod parts;
mod schema;
mod serve;
mod show;
mod start;
mod waiting;
mod watch;

use crate::fit::{Report, Verdict};
use clap::{Parser, Subcommand};
use std::ffi::OsString;
use std::io::{self, Write};
use std::process::ExitCode;

/// The version, and the commit it was built from where that is known.
const VERSION: &str = concat!(env!("CARGO_PKG_VERSION"), env!("GROOVEWRIGHT_COMMIT"));

const AFTER: &str = "\
Exit codes: 0 done, no error found; 1 done, and an error was found in the design;
2 the input cannot be used; 3 the machine failed (disk, permission).

Mains and the charge left in filter capacitors can kill. Local codes and licensed practice decide.";

/// Lays out the cabinet and the flat metal chassis of a tube amplifier, says whether everything fits, and writes the files the shop needs.
#[derive(Parser)]
#[command(name = "groovewright", bin_name = "groovewright", version = VERSION, after_help = AFTER, arg_required_else_help = true)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    Start(start::Args),
    Fit(fit::Args),
    Build(build::Args),
    Watch(watch::Args),
    Compare(compare::Args),
    Parts(parts::Args),
    Schema(schema::Args),
    Completions(manual::Shell),
    Man(manual::Page),
}

/// How a command that did its work ended.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Done {
    /// No error among the findings.
    Good,
    /// A finding is an error.
    Clashes,
}

impl Done {
    fn of(report: &Report) -> Done {
        if report.verdict == Verdict::Clashes {
            Done::Clashes
        } else {
            Done::Good
        }
    }
}

/// Why a command could not do its work.
enum Stop {
    /// The input cannot be used; said already, or the message.
    Input(String),
    /// The machine failed.
    Machine(String),
}

/// Runs the command line, the program's name first.
pub fn main(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    quiet_panics();
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(e) => {
            // Help and version go to stdout; a reader that has gone away wants no complaint.
            let _ = e.print();
            return ExitCode::from(if e.use_stderr() { 2 } else { 0 });
        }
    };
    let ran = std::panic::catch_unwind(|| match &cli.command {
        Command::Start(args) => start::run(args),
        Command::Fit(args) => fit::run(args),
        Command::Build(args) => build::run(args),
        Command::Watch(args) => watch::run(args),
        Command::Compare(args) => compare::run(args),
        Command::Parts(args) => parts::run(args),
        Command::Schema(args) => schema::run(args),
        Command::Completions(args) => manual::completions(args),
        Command::Man(args) => manual::man(args),
    });
    match ran {
        Ok(Ok(Done::Good)) => ExitCode::SUCCESS,
        Ok(Ok(Done::Clashes)) => ExitCode::from(1),
        Ok(Err(Stop::Input(text))) => fail(2, &text),
        Ok(Err(Stop::Machine(text))) => fail(3, &text),
        Err(_) => fail(
            3,
            "groovewright itself failed at the place named above. This is a fault of the program, not of your file: please report it with the file",
        ),
    }
}

/// A fault of the program is told in one line; nobody at a bench reads a backtrace.
fn quiet_panics() {
    std::panic::set_hook(Box::new(|info| {
        let place = info.location().map(ToString::to_string).unwrap_or_default();
        let _ = writeln!(
            io::stderr(),
            "fault at {place}: {}",
            info.payload_as_str().unwrap_or("")
        );
    }));
}

fn fail(code: u8, text: &str) -> ExitCode {
    tell(text);
    ExitCode::from(code)
}

/// Writes to stderr, in colour on a terminal only. There is nobody to tell if that fails.
fn tell(text: &str) {
    if !text.is_empty() {
        let newline = if text.ends_with('\n') { "" } else { "\n" };
        let _ = write!(anstream::stderr().lock(), "{text}{newline}");
    }
}

/// Writes an answer to stdout, in colour on a terminal only. A reader that has seen enough, as `head`, is no failure.
fn answer(text: &str) -> Result<(), Stop> {
    heard(text).map(|_| ())
}

/// The same, and whether there is a reader still.
fn heard(text: &str) -> Result<bool, Stop> {
    let mut out = anstream::stdout().lock();
    printed(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
}

/// The same for bytes that are for machines.
fn answer_bytes(bytes: &[u8]) -> Result<(), Stop> {
    let mut out = io::stdout().lock();
    printed(out.write_all(bytes).and_then(|()| out.flush())).map(|_| ())
}

fn printed(result: io::Result<()>) -> Result<bool, Stop> {
    match result {
        Ok(()) => Ok(true),
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(false),
        Err(e) => Err(Stop::Machine(format!("cannot write the answer: {e}"))),
    }
}
