//! `completions SHELL` and `man [COMMAND]`: help for shells and manual pages, from the same declarations as `--help`.

use super::{Cli, Done, Stop, answer_bytes};
use clap::CommandFactory;
use clap_complete::Shell as Kind;

/// Print a script that completes commands and options in your shell
#[derive(clap::Args)]
pub(super) struct Shell {
    /// Which shell
    #[arg(value_enum)]
    shell: Kind,
}

/// Print the manual page, or that of one command
///
/// To read it at once: groovewright man | man -l -
#[derive(clap::Args)]
pub(super) struct Page {
    /// The command
    command: Option<String>,
}

pub(super) fn completions(args: &Shell) -> Result<Done, Stop> {
    let mut out = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "groovewright", &mut out);
    answer_bytes(&out)?;
    Ok(Done::Good)
}

pub(super) fn man(args: &Page) -> Result<Done, Stop> {
    let mut all = Cli::command();
    all.build();
    let page = match &args.command {
        None => all,
        Some(name) => {
            let own = all.find_subcommand(name).cloned().ok_or_else(|| {
                let known: Vec<&str> = all.get_subcommands().map(clap::Command::get_name).collect();
                Stop::Input(format!(
                    "there is no command `{name}`\nhint: one of {}",
                    known.join(", ")
                ))
            })?;
            let full: &'static str = format!("groovewright-{name}").leak();
            own.name(full)
        }
    };
    let mut out = Vec::new();
    clap_mangen::Man::new(page)
        .render(&mut out)
        .map_err(|e| Stop::Machine(format!("cannot write the page: {e}")))?;
    answer_bytes(&out)?;
    Ok(Done::Good)
}
