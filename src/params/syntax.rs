//! Text that is not TOML: the first few causes, in a builder's words.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::Error;

use super::key::{header, is_table};
use super::value::clip;
use crate::diag::{Diagnostic, Diagnostics, Lines};
use crate::units::{LengthUnit, parse_thickness};

/// After this many, what follows is more likely a consequence than a cause.
const MOST_CAUSES: usize = 5;

/// Slips that harm no other line are all told, up to this many.
const MOST_SLIPS: usize = 500;

/// What the text's syntax errors mean for the rest.
pub(super) struct Syntax {
    /// The errors worth reporting.
    pub diagnostics: Diagnostics,
    /// Part of the text could not be followed, so keys may seem to be missing that are not.
    pub torn: bool,
    /// Lines (from 1) with an error.
    lines: BTreeSet<usize>,
    /// The first line (from 1) from which nothing is certain.
    doubtful: usize,
}

impl Syntax {
    /// Whether what was read from a line (from 1) can be relied on.
    pub fn trusts(&self, line: usize) -> bool {
        line < self.doubtful && !self.lines.contains(&line)
    }
}

/// Sorts the errors of the TOML parser.
pub(super) fn report(errors: Vec<Error>, text: &str, lines: &Lines<'_>) -> Syntax {
    let mut syntax = Syntax {
        diagnostics: Diagnostics::default(),
        torn: false,
        lines: BTreeSet::new(),
        doubtful: usize::MAX,
    };
    let mut located: Vec<(usize, Error)> = errors
        .into_iter()
        .map(|error| (error.span().map_or(text.len(), |span| span.start), error))
        .collect();
    located.sort_by_key(|(at, _)| *at);
    let mut causes = 0;
    // line of the last header that should have had two brackets
    let mut repeated: Option<usize> = None;
    for (at, error) in located {
        let line = lines.line(at);
        // The parser goes on within the line and finds more, all for the first reason.
        if !syntax.lines.insert(line) {
            continue;
        }
        let span = error.span().unwrap_or(at..at);
        if syntax.diagnostics.len() > MOST_SLIPS {
            break;
        }
        if error.message() == "duplicate key" {
            let key = text.get(span.clone()).unwrap_or_default();
            let message = format!("`{}` is written twice", clip(key));
            let whole = text.get(lines.span(line)).unwrap_or_default();
            // under a header that stands twice all keys do
            if repeated.is_some_and(|header| !headers(text, lines, header + 1..=line)) {
                continue;
            }
            let hint = match listed(whole) {
                Some(header) => {
                    repeated = Some(line);
                    format!("write `{header}` at each of them: there may be several")
                }
                None => "keep one of the two".to_owned(),
            };
            syntax
                .diagnostics
                .push(Diagnostic::new(span, message).hint(hint));
            continue;
        }
        let slip = bare_length(text, lines, line)
            .or_else(|| decimal_comma(text, lines, line))
            .or_else(|| bare_text(text, lines, line));
        if let Some(diagnostic) = slip {
            syntax.diagnostics.push(diagnostic);
            continue;
        }
        let message = error.message();
        // Something is open that should have been closed: all that follows is read as part of it.
        let spills = [
            "multi-line",
            "array element",
            "inline table",
            "comma",
            "recur",
        ]
        .iter()
        .any(|word| message.contains(word));
        syntax.torn = true;
        syntax.doubtful = syntax.doubtful.min(line);
        causes += 1;
        if causes <= MOST_CAUSES {
            syntax.diagnostics.push(plain(&error, span));
        }
        if spills {
            break;
        }
    }
    syntax
}

/// The parser's words, where they would not help a builder replaced by ours.
fn plain(error: &Error, span: Range<usize>) -> Diagnostic {
    let (message, expected) = match error.message().split_once(", expected ") {
        Some((message, expected)) => (message, Some(expected)),
        None => (error.message(), None),
    };
    let (message, expected) = match message {
        "string values must be quoted" | "invalid literal string" => (
            "this value cannot be read",
            Some("a number, text in quotes, `true`, `false`, a list or a table"),
        ),
        "invalid basic string" => ("text without its closing quote", expected),
        _ if message.contains("recur") => ("nested too deeply", None),
        _ => (message, expected.filter(|expected| *expected != "nothing")),
    };
    let mut diagnostic = Diagnostic::new(span, message);
    diagnostic.expected = expected.map(str::to_owned);
    diagnostic
}

/// Whether one of these lines (from 1) begins a table.
fn headers(text: &str, lines: &Lines<'_>, mut range: std::ops::RangeInclusive<usize>) -> bool {
    range.any(|line| {
        text.get(lines.span(line))
            .is_some_and(|whole| whole.trim_start().starts_with('['))
    })
}

/// The header of a table that may stand several times, if `line` writes it with one bracket.
fn listed(line: &str) -> Option<String> {
    let name = line.trim_start().strip_prefix('[')?.split(']').next()?;
    let wanted = header(name.trim(), true);
    is_table(&wanted).then_some(wanted)
}

/// The key, the value and where that stands, of a line `key = value`.
fn entry<'t>(
    text: &'t str,
    lines: &Lines<'_>,
    line: usize,
) -> Option<(&'t str, &'t str, Range<usize>)> {
    let span = lines.span(line);
    let (key, value) = text.get(span.clone())?.split_once('=')?;
    let value_text = value.split('#').next().unwrap_or(value).trim();
    let simple_key = key
        .trim()
        .bytes()
        .all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.'));
    let skipped = value.len() - value.trim_start().len();
    let start = span.start + key.len() + 1 + skipped;
    simple_key.then(|| (key.trim(), value_text, start..start + value_text.len()))
}

/// A number with a comma for its point: `width = 480,5`.
fn decimal_comma(text: &str, lines: &Lines<'_>, line: usize) -> Option<Diagnostic> {
    let (key, value, span) = entry(text, lines, line)?;
    let (whole, parts) = value.split_once(',')?;
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole.strip_prefix('-').unwrap_or(whole)) || !digits(parts) {
        return None;
    }
    Some(
        Diagnostic::new(span, format!("`{}` has a comma for its point", clip(value))).hint(
            format!("write `{} = {}.{}`", clip(key), clip(whole), clip(parts)),
        ),
    )
}

/// Text without quotes, or in those of a word processor: `type = EL84`.
fn bare_text(text: &str, lines: &Lines<'_>, line: usize) -> Option<Diagnostic> {
    let (key, value, span) = entry(text, lines, line)?;
    let curly = |c: char| matches!(c, '\u{2018}'..='\u{201f}' | '\u{ab}' | '\u{bb}');
    let bare = value.trim_matches(curly);
    let plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '/' | '.');
    let word = bare.contains(char::is_alphabetic) && bare.chars().all(plain);
    if !word || matches!(bare, "true" | "false" | "inf" | "nan") {
        return None;
    }
    let message = if bare.len() < value.len() {
        format!("`{}` is not in straight quotes", clip(value))
    } else {
        format!("`{}` is not in quotes", clip(value))
    };
    Some(Diagnostic::new(span, message).hint(format!("write `{} = \"{}\"`", clip(key), clip(bare))))
}

/// A length with a unit but without quotes, the commonest slip: `width = 343 mm`. It harms no other line.
fn bare_length(text: &str, lines: &Lines<'_>, line: usize) -> Option<Diagnostic> {
    let (key, value_text, span) = entry(text, lines, line)?;
    // A plain number needs no quotes; then the error is another.
    let has_unit = value_text.contains(|c: char| c.is_ascii_alphabetic() || c == '"' || c == '/');
    if !has_unit || parse_thickness(value_text, LengthUnit::Inch).is_err() {
        return None;
    }
    let quoted = if value_text.contains('"') {
        format!("'{value_text}'")
    } else {
        format!("\"{value_text}\"")
    };
    let message = format!("`{value_text}` is not in quotes");
    Some(Diagnostic::new(span, message).hint(format!("write `{} = {quoted}`", clip(key))))
}

#[cfg(test)]
mod tests {
    use crate::params::parse;

    /// Message and hint of each error that a file gets.
    fn told(text: &str) -> Vec<String> {
        let list = parse(text).err().map(|d| d.list).unwrap_or_default();
        let hint = |d: &crate::diag::Diagnostic| d.hint.clone().unwrap_or_default();
        list.iter()
            .map(|d| format!("{}: {}", d.message, hint(d)))
            .collect()
    }

    const SOUND: &str =
        "[design]\nname = \"a\"\n[cabinet]\nwidth = 480\nheight = 225\ndepth = 220\n";

    #[test]
    fn a_table_of_several_with_one_bracket_is_told_once() {
        let tube = |n: u32| format!("[tube]\nid = \"V{n}\"\ntype = \"EL84\"\n");
        let all = told(&format!("{SOUND}{}{}{}", tube(1), tube(2), tube(3)));
        let twice =
            "`tube` is written twice: write `[[tube]]` at each of them: there may be several";
        assert_eq!(all.iter().filter(|t| *t == twice).count(), 2, "{all:?}");
        assert!(
            !all.iter()
                .any(|t| t.contains("`id`") || t.contains("keep one")),
            "{all:?}"
        );
        // a true double after the next header is told
        let more = format!(
            "{SOUND}{}{}[heat]\nambient = 30\nambient = 31\n",
            tube(1),
            tube(2)
        );
        assert!(
            told(&more).contains(&"`ambient` is written twice: keep one of the two".to_owned())
        );
        let cabinet = told(&format!("{SOUND}[cabinet]\nboard = 18\n"));
        assert_eq!(cabinet, ["`cabinet` is written twice: keep one of the two"]);
    }

    #[test]
    fn commas_and_missing_quotes_are_told_as_such() {
        for (from, to, want) in [
            (
                "width = 480",
                "width = 480,5",
                "`480,5` has a comma for its point: write `width = 480.5`",
            ),
            (
                "width = 480",
                "width = 480,0 # inside",
                "`480,0` has a comma for its point: write `width = 480.0`",
            ),
            (
                "name = \"a\"",
                "name = amp",
                "`amp` is not in quotes: write `name = \"amp\"`",
            ),
            (
                "name = \"a\"",
                "name = \u{201c}my amp\u{201d}",
                "`\u{201c}my amp\u{201d}` is not in straight quotes: write `name = \"my amp\"`",
            ),
        ] {
            // another error further down is told in the same run
            let text = SOUND.replace(from, to).replace("depth = 220", "depth = -1");
            let all = told(&text);
            assert_eq!(all.len(), 2, "{to}: {all:?}");
            assert_eq!(all[0], want);
        }
    }
}
