//! Text that is not TOML: the first few causes, in a builder's words.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::Error;

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
            syntax
                .diagnostics
                .push(Diagnostic::new(span, message).hint("keep one of the two"));
            continue;
        }
        if let Some(diagnostic) = bare_length(text, lines, line) {
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

/// A length with a unit but without quotes, the commonest slip: `width = 343 mm`. It harms no other line.
fn bare_length(text: &str, lines: &Lines<'_>, line: usize) -> Option<Diagnostic> {
    let span = lines.span(line);
    let (key, value) = text.get(span.clone())?.split_once('=')?;
    let value_text = value.split('#').next().unwrap_or(value).trim();
    let simple_key = key
        .trim()
        .bytes()
        .all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.'));
    // A plain number needs no quotes; then the error is another.
    let has_unit = value_text.contains(|c: char| c.is_ascii_alphabetic() || c == '"' || c == '/');
    if !simple_key || !has_unit || parse_thickness(value_text, LengthUnit::Inch).is_err() {
        return None;
    }
    let skipped = value.len() - value.trim_start().len();
    let start = span.start + key.len() + 1 + skipped;
    let quoted = if value_text.contains('"') {
        format!("'{value_text}'")
    } else {
        format!("\"{value_text}\"")
    };
    let message = format!("`{value_text}` is not in quotes");
    Some(
        Diagnostic::new(start..start + value_text.len(), message)
            .hint(format!("write `{} = {quoted}`", clip(key.trim()))),
    )
}
