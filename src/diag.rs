//! One kind of diagnostic for everything that is wrong with an input.
//!
//! A diagnostic knows bytes; lines and columns are counted only when it is shown, from the text it belongs to.

use std::collections::BTreeSet;
use std::fmt;
use std::fmt::Write as _;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use serde::Serialize;

/// More than this many are counted, not shown: nobody reads on, and a broken file must not flood the terminal.
const MOST_SHOWN: usize = 200;

/// Something wrong with the parameter file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Byte range in the source text.
    pub span: Range<usize>,
    /// What is wrong: lower case, no full stop, values in backticks.
    pub message: String,
    /// What was expected there, e.g. "a length such as `335 mm` or `13 3/16 in`".
    pub expected: Option<String>,
    /// What to do about it.
    pub hint: Option<String>,
}

impl Diagnostic {
    /// A diagnostic that only says what is wrong.
    #[must_use]
    pub fn new(span: Range<usize>, message: impl Into<String>) -> Self {
        Self {
            span,
            message: message.into(),
            expected: None,
            hint: None,
        }
    }

    /// Says what was expected.
    #[must_use]
    pub fn expected(mut self, text: impl Into<String>) -> Self {
        self.expected = Some(text.into());
        self
    }

    /// Says what to do.
    #[must_use]
    pub fn hint(mut self, text: impl Into<String>) -> Self {
        self.hint = Some(text.into());
        self
    }

    /// Says what to do, if there is something to say.
    #[must_use]
    pub fn maybe_hint(mut self, text: Option<String>) -> Self {
        self.hint = text;
        self
    }
}

/// Collects diagnostics so that one run reports them all.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Diagnostics {
    /// In the order found; sorted by place when shown.
    pub list: Vec<Diagnostic>,
}

/// A diagnostic with its place counted out, for machines.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Located {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Line of the end, from 1.
    pub end_line: usize,
    /// Column just past the end, in characters, from 1.
    pub end_column: usize,
    /// What is wrong.
    pub message: String,
    /// What was expected.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expected: Option<String>,
    /// What to do about it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hint: Option<String>,
}

impl Diagnostics {
    /// Adds one.
    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.list.push(diagnostic);
    }

    /// Adds one that only has a message, and returns it for more.
    pub fn error(&mut self, span: Range<usize>, message: impl Into<String>) -> &mut Diagnostic {
        let at = self.list.len();
        self.list.push(Diagnostic::new(span, message));
        &mut self.list[at]
    }

    /// Adds all of another collection.
    pub fn merge(&mut self, other: Self) {
        self.list.extend(other.list);
    }

    /// Whether nothing is wrong.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Sorts by place and drops repetitions. At one place the order found is kept: the cause was found before what
    /// follows from it.
    pub fn sort(&mut self) {
        self.list.sort_by_key(|diagnostic| diagnostic.span.start);
        let mut seen = BTreeSet::new();
        self.list
            .retain(|diagnostic| seen.insert((diagnostic.span.start, diagnostic.message.clone())));
    }

    /// The value if nothing is wrong, otherwise the sorted diagnostics.
    pub fn or<T>(mut self, value: T) -> Result<T, Self> {
        if self.is_empty() {
            return Ok(value);
        }
        self.sort();
        Err(self)
    }

    /// Every diagnostic with its place in lines and columns, sorted.
    #[must_use]
    pub fn located(&self, source: &str) -> Vec<Located> {
        let lines = Lines::new(source);
        let mut sorted = self.clone();
        sorted.sort();
        let locate = |diagnostic: Diagnostic| {
            let (line, column) = lines.place(diagnostic.span.start);
            let (end_line, end_column) =
                lines.place(diagnostic.span.end.max(diagnostic.span.start));
            Located {
                line,
                column,
                end_line,
                end_column,
                message: diagnostic.message,
                expected: diagnostic.expected,
                hint: diagnostic.hint,
            }
        };
        sorted.list.into_iter().map(locate).collect()
    }

    /// Text for people. Each diagnostic begins with `FILE:LINE:COLUMN: error: MESSAGE`, then come the line with the place
    /// underlined, what was expected and what to do; a count ends the text.
    #[must_use]
    pub fn render(&self, file_name: &str, source: &str, colour: bool) -> String {
        let lines = Lines::new(source);
        let mut sorted = self.clone();
        sorted.sort();
        let mut out = String::new();
        for diagnostic in sorted.list.iter().take(MOST_SHOWN) {
            render_one(&mut out, diagnostic, file_name, &lines, colour);
        }
        let count = sorted.list.len();
        let errors = if count == 1 { "error" } else { "errors" };
        let shown = if count > MOST_SHOWN {
            format!(", the first {MOST_SHOWN} shown")
        } else {
            String::new()
        };
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{count} {errors} in {file_name}{shown}");
        out
    }
}

impl fmt::Display for Diagnostics {
    /// The messages alone, one a line, for places that have no source text at hand.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, diagnostic) in self.list.iter().enumerate() {
            if index > 0 {
                f.write_str("\n")?;
            }
            f.write_str(&diagnostic.message)?;
        }
        Ok(())
    }
}

impl std::error::Error for Diagnostics {}

fn render_one(
    out: &mut String,
    diagnostic: &Diagnostic,
    file_name: &str,
    lines: &Lines<'_>,
    colour: bool,
) {
    let paint = |style: &str, text: &str| {
        if colour {
            format!("\u{1b}[{style}m{text}\u{1b}[0m")
        } else {
            text.to_owned()
        }
    };
    let (line, column) = lines.place(diagnostic.span.start);
    let error = paint("1;91", "error:");
    let message = paint("1", &diagnostic.message);
    let _ = writeln!(out, "{file_name}:{line}:{column}: {error} {message}");
    let (text, span) = lines.underlined(line, &diagnostic.span);
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let snippet = Snippet::source(text)
        .line_start(line)
        .annotation(AnnotationKind::Primary.span(span));
    let frame = Group::with_level(Level::ERROR).element(snippet);
    let _ = writeln!(out, "{}", renderer.render(&[frame]));
    if let Some(expected) = &diagnostic.expected {
        let _ = writeln!(out, "{} {expected}", paint("1;96", "expected:"));
    }
    if let Some(hint) = &diagnostic.hint {
        let _ = writeln!(out, "{} {hint}", paint("1;92", "hint:"));
    }
    out.push('\n');
}

/// Where the lines of a text begin.
pub struct Lines<'s> {
    source: &'s str,
    starts: Vec<usize>,
}

impl<'s> Lines<'s> {
    /// Counts the lines of a text.
    #[must_use]
    pub fn new(source: &'s str) -> Self {
        let after_breaks = source
            .bytes()
            .enumerate()
            .filter(|(_, byte)| *byte == b'\n')
            .map(|(at, _)| at + 1);
        Self {
            source,
            starts: std::iter::once(0).chain(after_breaks).collect(),
        }
    }

    /// Line and column of a byte, both from 1, the column in characters. A place beyond the end is the end; one
    /// inside a character is that character. A byte-order mark takes no column.
    #[must_use]
    pub fn place(&self, byte: usize) -> (usize, usize) {
        let byte = self.floor(byte);
        let line = self.line(byte);
        let start = self.starts[line - 1];
        let column = self.source[start..byte]
            .chars()
            .filter(|c| *c != '\u{feff}')
            .count()
            + 1;
        (line, column)
    }

    /// Line of a byte, from 1.
    #[must_use]
    pub fn line(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte)
    }

    /// The bytes of a line (from 1) without its end.
    #[must_use]
    pub fn span(&self, line: usize) -> Range<usize> {
        let start = self.starts[line - 1];
        let end = self.starts.get(line).copied().unwrap_or(self.source.len());
        start..start + self.source[start..end].trim_end_matches(['\n', '\r']).len()
    }

    /// The text of a line (from 1) without its end, and the part of a span that lies on it, in bytes of that text.
    fn underlined(&self, line: usize, span: &Range<usize>) -> (&'s str, Range<usize>) {
        let Range { start, end } = self.span(line);
        let text = &self.source[start..end];
        let from = self.floor(span.start).saturating_sub(start).min(text.len());
        let to = self.floor(span.end).saturating_sub(start).min(text.len());
        (text, from..to.max(from))
    }

    /// The last character boundary not after a byte.
    fn floor(&self, byte: usize) -> usize {
        let mut byte = byte.min(self.source.len());
        while !self.source.is_char_boundary(byte) {
            byte -= 1;
        }
        byte
    }
}
