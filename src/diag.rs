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

/// Where the lines of a text begin, and how many characters stand before any byte.
pub struct Lines<'s> {
    source: &'s str,
    starts: Vec<usize>,
    /// Characters before every [`STRIDE`]th byte, so that a place in a very long line is found fast too.
    counts: Vec<usize>,
}

/// Distance of the counted places, bytes.
const STRIDE: usize = 4096;

/// A longer line is shown as a window around the place, bytes.
const LONG_LINE: usize = 500;

impl<'s> Lines<'s> {
    /// Counts the lines of a text.
    #[must_use]
    pub fn new(source: &'s str) -> Self {
        let breaks = source
            .bytes()
            .enumerate()
            .filter(|(_, byte)| *byte == b'\n');
        let starts = std::iter::once(0)
            .chain(breaks.map(|(at, _)| at + 1))
            .collect();
        let mut counts = vec![0];
        let mut total = 0;
        for chunk in source.as_bytes().chunks(STRIDE) {
            total += count_chars(chunk);
            counts.push(total);
        }
        Self {
            source,
            starts,
            counts,
        }
    }

    /// Line and column of a byte, both from 1, the column in characters. A place beyond the end is the end; one
    /// inside a character is that character. A byte-order mark takes no column.
    #[must_use]
    pub fn place(&self, byte: usize) -> (usize, usize) {
        let byte = self.floor(byte);
        let line = self.line(byte);
        let start = self.span(line).start.min(byte);
        (line, self.chars_before(byte) - self.chars_before(start) + 1)
    }

    /// Line of a byte, from 1.
    #[must_use]
    pub fn line(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte)
    }

    /// The bytes of a line (from 1) without its end and without a byte-order mark. A line beyond the last is empty.
    #[must_use]
    pub fn span(&self, line: usize) -> Range<usize> {
        let end_of_text = self.source.len();
        let start = self
            .starts
            .get(line.saturating_sub(1))
            .copied()
            .unwrap_or(end_of_text);
        let end = self
            .starts
            .get(line)
            .copied()
            .unwrap_or(end_of_text)
            .max(start);
        let text = self.source[start..end].trim_end_matches(['\n', '\r']);
        let mark = if start == 0 && text.starts_with('\u{feff}') {
            '\u{feff}'.len_utf8()
        } else {
            0
        };
        start + mark..start + text.len()
    }

    /// The text of a line (from 1), and the part of a span that lies on it, in bytes of that text.
    fn underlined(&self, line: usize, span: &Range<usize>) -> (&'s str, Range<usize>) {
        let Range { start, end } = self.span(line);
        let from = self.floor(span.start).clamp(start, end);
        let to = self.floor(span.end).clamp(from, end);
        if end - start <= LONG_LINE {
            return (&self.source[start..end], from - start..to - start);
        }
        let window_start = self.floor(from.saturating_sub(LONG_LINE / 4)).max(start);
        let window_end = self.floor(from + LONG_LINE / 4).min(end);
        (
            &self.source[window_start..window_end],
            from - window_start..to.min(window_end) - window_start,
        )
    }

    /// Characters before a byte that begins one.
    fn chars_before(&self, byte: usize) -> usize {
        let stride = byte / STRIDE;
        self.counts[stride] + count_chars(&self.source.as_bytes()[stride * STRIDE..byte])
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

/// Bytes that begin a character of UTF-8.
fn count_chars(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0xc0 != 0x80).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn one(span: Range<usize>) -> Diagnostics {
        Diagnostics {
            list: vec![Diagnostic::new(span, "wrong")],
        }
    }

    fn place(source: &str, byte: usize) -> (usize, usize) {
        Lines::new(source).place(byte)
    }

    #[test]
    fn columns_count_characters_and_lines_end_with_either_mark() {
        let source = "aé€𝄞b\r\n\tc\n";
        assert_eq!(place(source, 0), (1, 1));
        assert_eq!(place(source, source.find('b').expect("b")), (1, 5));
        assert_eq!(place(source, 2), (1, 2), "inside the second character");
        assert_eq!(place(source, source.find('c').expect("c")), (2, 2));
        assert_eq!(place(source, source.len()), (3, 1));
        assert_eq!(place(source, usize::MAX), (3, 1));
        assert_eq!(place("", 0), (1, 1));
        assert_eq!(place("\u{feff}a", 3), (1, 1));
        assert_eq!(place("\u{feff}a", 0), (1, 1));
        let long = "é".repeat(10_000);
        assert_eq!(place(&long, long.len()), (1, 10_001));
        assert_eq!(place(&long, 8192), (1, 4097));
    }

    #[test]
    fn shows_place_expectation_and_hint() {
        let source = "a = 1\nwidth = 3,5 # µ\n";
        let mut found = Diagnostics::default();
        let span = source.find("3,5").map(|at| at..at + 3).expect("there");
        found.push(
            Diagnostic::new(span, "a comma")
                .expected("a length")
                .hint("write a point"),
        );
        found.push(Diagnostic::new(0..1, "unknown key `a`"));
        let text = found.render("amp.toml", source, false);
        let want = "amp.toml:1:1: error: unknown key `a`
  |
1 | a = 1
  | ^

amp.toml:2:9: error: a comma
  |
2 | width = 3,5 # µ
  |         ^^^
expected: a length
hint: write a point

2 errors in amp.toml
";
        assert_eq!(text, want);
        let coloured = found.render("amp.toml", source, true);
        assert!(coloured.contains("\u{1b}[1;91merror:\u{1b}[0m"));
        let plain: String = anstream::adapter::strip_str(&coloured).to_string();
        assert_eq!(plain, want, "colour changes nothing else");
    }

    #[test]
    fn shows_empty_texts_ends_and_tabs() {
        assert_eq!(
            one(0..0).render("e", "", false),
            "e:1:1: error: wrong\n  |\n1 |\n  | ^\n\n1 error in e\n"
        );
        let at_end = one(4..9).render("e", "a=1\n", false);
        assert!(at_end.starts_with("e:2:1: error: wrong\n"), "{at_end}");
        let tab = one(1..2).render("e", "\tb\r\n", false);
        assert!(
            tab.starts_with("e:1:2: error: wrong\n") && !tab.contains(['\t', '\r']),
            "{tab:?}"
        );
    }

    #[test]
    fn long_lines_are_shown_around_the_place() {
        let source = format!("{}!{}", "é".repeat(50_000), "x".repeat(50_000));
        let text = one(100_000..100_001).render("e", &source, false);
        assert!(text.starts_with("e:1:50001: error: wrong\n"));
        assert!(text.len() < 1000 && text.contains('!'), "{text}");
    }

    #[test]
    fn sorts_by_place_keeps_the_cause_first_and_drops_repetitions() {
        let mut found = Diagnostics::default();
        for (start, message) in [(5, "late"), (1, "cause"), (1, "effect"), (1, "cause")] {
            found.push(Diagnostic::new(start..start + 1, message));
        }
        found.sort();
        let messages: Vec<&str> = found.list.iter().map(|one| one.message.as_str()).collect();
        assert_eq!(messages, ["cause", "effect", "late"]);
        assert_eq!(found.to_string(), "cause\neffect\nlate");
        assert!(found.or(()).is_err());
        assert_eq!(Diagnostics::default().or(7), Ok(7));
    }

    #[test]
    fn machine_form_has_lines_and_columns() {
        let json = serde_json::to_string(&one(2..5).located("a\nbcd\n")).expect("plain data");
        assert_eq!(
            json,
            r#"[{"line":2,"column":1,"end_line":2,"end_column":4,"message":"wrong"}]"#
        );
    }

    proptest! {
        #[test]
        fn any_span_of_any_text_can_be_shown(source in any::<String>(), start in 0_usize..80, length in 0_usize..80) {
            for colour in [true, false] {
                let text = one(start..start + length).render("e", &source, colour);
                prop_assert!(text.contains("wrong"));
            }
        }

        #[test]
        fn columns_agree_with_a_plain_count(source in "[a\n\ré𝄞]{0,60}", at in 0_usize..60) {
            let byte = source.char_indices().nth(at).map_or(source.len(), |(byte, _)| byte);
            let before = &source[..byte];
            let line = before.split('\n').count();
            let column = before.rsplit('\n').next().map_or(0, |rest| rest.chars().count()) + 1;
            prop_assert_eq!(place(&source, byte), (line, column));
        }
    }
}
