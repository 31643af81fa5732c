//! `start FILE`: a commented parameter file to begin from.

use super::first_amp::{self, Answers, Cabinet, Chassis, Rectifier, Speaker, Tubes, Unit};
use super::{Done, Stop, answer};
use crate::export::write;
use crate::params;
use clap::ValueEnum;
use std::fs;
use std::io::{self, BufRead, ErrorKind, IsTerminal};
use std::path::{Path, PathBuf};

/// Demo designs, all invented.
const DEMOS: [(Demo, &str); 3] = [
    (
        Demo::Harbour15,
        include_str!("../../params/harbour-15.toml"),
    ),
    (
        Demo::Lantern40,
        include_str!("../../params/lantern-40.toml"),
    ),
    (Demo::Pantry4, include_str!("../../params/pantry-4.toml")),
];

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Demo {
    /// 15 W combo with a 12 in speaker, chassis low
    #[value(name = "harbour-15")]
    Harbour15,
    /// 40 W head, chassis under the roof, panels front and rear
    #[value(name = "lantern-40")]
    Lantern40,
    /// 4 W practice amp with an 8 in speaker, in inches
    #[value(name = "pantry-4")]
    Pantry4,
}

/// Write a commented parameter file to begin from; it fits at once
///
/// On a terminal it asks what kind of amp it shall be, unless an option says; Enter takes the marked answer. Piped, it asks nothing.
#[derive(clap::Args)]
pub(super) struct Args {
    /// The file to write, or - for standard output
    file: PathBuf,
    /// Write over a file that is there already
    #[arg(long)]
    force: bool,
    /// Begin from a demo design instead
    #[arg(long, value_name = "DEMO", value_enum, conflicts_with_all = ["cabinet", "speaker", "tubes", "rectifier", "chassis", "unit"])]
    from: Option<Demo>,
    /// What kind of cabinet
    #[arg(long, value_enum)]
    cabinet: Option<Cabinet>,
    /// Size of the speaker, inches
    #[arg(long, value_enum)]
    speaker: Option<Speaker>,
    /// Output tubes
    #[arg(long, value_enum)]
    tubes: Option<Tubes>,
    /// Rectifier
    #[arg(long, value_enum)]
    rectifier: Option<Rectifier>,
    /// Where the chassis slides in
    #[arg(long, value_enum)]
    chassis: Option<Chassis>,
    /// Unit of the file
    #[arg(long, value_enum)]
    unit: Option<Unit>,
}

pub(super) fn run(args: &Args) -> Result<Done, Stop> {
    let path = &args.file;
    if path.as_os_str() == "-" {
        answer(&begin(args)?)?;
        return Ok(Done::Good);
    }
    let shown = path.display();
    let Some(file) = path.file_name() else {
        return Err(Stop::Input(format!("{shown}: names no file")));
    };
    if path.is_dir() {
        return Err(Stop::Input(format!(
            "{shown}: is a folder; add the name of the file to write"
        )));
    }
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    if fs::metadata(folder).is_err_and(|e| e.kind() == ErrorKind::NotFound) {
        return Err(Stop::Input(format!(
            "{}: there is no such folder; make it first",
            folder.display()
        )));
    }
    let machine = |e: write::WriteError| Stop::Machine(e.to_string());
    if !args.force && fs::symlink_metadata(path).is_ok() {
        return Err(left(path));
    }
    let text = named(path, begin(args)?);
    if args.force {
        write::write_file(folder, file, text.as_bytes()).map_err(machine)?;
    } else if !write::write_new_file(folder, file, text.as_bytes()).map_err(machine)? {
        return Err(left(path));
    }
    answer(&format!(
        "wrote {shown}: an invented amp that fits. Put your own sizes in, then check it:\n  groovewright fit {}\nFor help in your editor, beside the file: groovewright schema > {}\n",
        quoted(path),
        params::SCHEMA_FILE
    ))?;
    Ok(Done::Good)
}

fn left(path: &Path) -> Stop {
    Stop::Input(format!(
        "{}: is there already and was left as it is; --force writes over it",
        path.display()
    ))
}

/// The text to begin from: a demo, or the starter with the answers of the options or the terminal.
fn begin(args: &Args) -> Result<String, Stop> {
    if let Some(demo) = args.from {
        let text = DEMOS.iter().find(|(d, _)| *d == demo).map_or("", |d| d.1);
        return Ok(text.replacen("#:schema ../schema/", "#:schema ", 1));
    }
    if args.cabinet == Some(Cabinet::Head) && args.speaker.is_some() {
        return Err(Stop::Input(
            "error: `--speaker` says nothing about a head, which has none\nhint: leave it out, or take `--cabinet combo`".into(),
        ));
    }
    let given = [
        args.cabinet.is_some(),
        args.speaker.is_some(),
        args.tubes.is_some(),
        args.rectifier.is_some(),
        args.chassis.is_some(),
        args.unit.is_some(),
    ];
    let ask = !given.contains(&true) && io::stdin().is_terminal() && io::stdout().is_terminal();
    let a = Answers {
        cabinet: args.cabinet.unwrap_or_default(),
        speaker: args.speaker.unwrap_or_default(),
        tubes: args.tubes.unwrap_or_default(),
        rectifier: args.rectifier.unwrap_or_default(),
        chassis: args.chassis.unwrap_or_default(),
        unit: args.unit.unwrap_or_default(),
    };
    if !ask {
        return Ok(first_amp::file(&a));
    }
    let mut talk = Talk {
        typed: io::stdin().lock(),
        say: answer,
    };
    Ok(first_amp::file(&talk.questions(a)?))
}

/// Questions and answers, one line each.
struct Talk<R, S> {
    typed: R,
    say: S,
}

impl<R: BufRead, S: FnMut(&str) -> Result<(), Stop>> Talk<R, S> {
    /// All that is asked; `a` holds the usual answers.
    fn questions(&mut self, mut a: Answers) -> Result<Answers, Stop> {
        a.cabinet = self.choose("Cabinet?", a.cabinet)?;
        if a.cabinet == Cabinet::Combo {
            a.speaker = self.choose("Speaker, inches?", a.speaker)?;
        }
        a.tubes = self.choose("Output tubes?", a.tubes)?;
        a.rectifier = self.choose("Rectifier?", a.rectifier)?;
        a.chassis = self.choose("Chassis?", a.chassis)?;
        a.unit = self.choose("Unit?", a.unit)?;
        Ok(a)
    }

    /// Asks until an answer fits; nothing typed takes the usual one.
    fn choose<T: ValueEnum + PartialEq>(&mut self, question: &str, usual: T) -> Result<T, Stop> {
        let mut shown = format!("{question}\n");
        for v in T::value_variants() {
            let Some(word) = v.to_possible_value() else {
                continue;
            };
            let help = word.get_help().map(ToString::to_string).unwrap_or_default();
            let enter = if *v == usual { "  [Enter]" } else { "" };
            shown.push_str(&format!("  {:<8} {help}{enter}\n", word.get_name()));
        }
        loop {
            (self.say)(&format!("{shown}> "))?;
            let mut line = Vec::new();
            let read = self.typed.read_until(b'\n', &mut line);
            let read = read.map_err(|e| Stop::Machine(format!("cannot read the answer: {e}")))?;
            // what is no text is no answer
            let line = String::from_utf8_lossy(&line);
            let typed = line.trim();
            if read == 0 || typed.is_empty() {
                return Ok(usual);
            }
            match T::from_str(typed, true) {
                Ok(v) => return Ok(v),
                Err(_) => (self.say)("please type one of the words on the left, or Enter\n")?,
            }
        }
    }
}

/// The text, with the design called as the file is, if a design may be called that.
fn named(path: &Path, text: String) -> String {
    let plain = |s: &str| {
        s.chars()
            .all(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '.'))
    };
    let stem = path
        .file_stem()
        .and_then(|s| s.to_str())
        .filter(|s| plain(s));
    // the first `name` of a file is that of its design
    let own = text
        .split_once("\nname = \"")
        .and_then(|(_, rest)| rest.split_once('"'))
        .map(|(name, _)| format!("name = \"{name}\""));
    stem.zip(own)
        .map(|(s, own)| text.replacen(&own, &format!("name = \"{s}\""), 1))
        .filter(|text| params::parse(text).is_ok())
        .unwrap_or(text)
}

/// A path as it can be typed at a prompt.
fn quoted(path: &Path) -> String {
    let text = path.display().to_string();
    if text.contains(|c: char| c.is_whitespace()) {
        format!("\"{text}\"")
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(typed: &[u8]) -> (Answers, String) {
        let mut said = String::new();
        let mut talk = Talk {
            typed,
            say: |text: &str| {
                said.push_str(text);
                Ok(())
            },
        };
        let Ok(answers) = talk.questions(Answers::default()) else {
            panic!("nothing to fail");
        };
        (answers, said)
    }

    #[test]
    fn answers_are_taken_by_their_words_and_nothing_typed_is_the_usual_one() {
        let (a, said) = asked(b"head\npair\nsilicon\nhigh\nin\n");
        assert!(a.cabinet == Cabinet::Head && a.tubes == Tubes::Pair);
        assert!(a.rectifier == Rectifier::Silicon && a.chassis == Chassis::High);
        assert!(a.unit == Unit::In);
        assert!(!said.contains("Speaker"), "a head has none: {said}");

        // at the end of what is typed, too
        for typed in [&b"\n\n\n\n\n\n"[..], b""] {
            let (a, said) = asked(typed);
            assert!(a == Answers::default());
            assert_eq!(said.matches("[Enter]").count(), 6, "{said}");
        }
    }

    #[test]
    fn what_is_no_answer_is_asked_again() {
        let (a, said) = asked(b"cupboard\n\xff\n HEAD \n\n\n\n\n");
        assert!(a.cabinet == Cabinet::Head);
        assert_eq!(said.matches("please type one").count(), 2, "{said}");
        assert_eq!(said.matches("Cabinet?").count(), 3, "{said}");
    }
}
