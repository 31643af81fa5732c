//! `fit.json`: the report for machines, as `docs/fit-json.md` describes it.

use crate::fit::Report;
use serde::Serialize;
use serde_json::ser::Formatter;
use std::io::{self, Write};

/// The report as JSON text: one solid, pair, joint, finding or derived number a line. Numbers are unrounded; ends in a newline.
///
/// The same report gives the same bytes: keys stand in the order of [`Report`]'s fields.
#[must_use]
pub fn fit_json(report: &Report) -> Vec<u8> {
    text(report)
}

/// Any serialisable value in the same layout.
pub(crate) fn text<T: Serialize>(value: &T) -> Vec<u8> {
    let mut out = Vec::new();
    let mut writer = serde_json::Serializer::with_formatter(&mut out, RowPerLine::default());
    value
        .serialize(&mut writer)
        .expect("text keys and plain values, written to memory");
    out.push(b'\n');
    out
}

/// How deep a value may stand and still get a line of its own: the root's members, and the rows of its lists.
const DEEPEST: usize = 2;

/// Breaks lines down to the rows of the lists, so that a difference between two files is a difference of lines.
#[derive(Default)]
struct RowPerLine {
    depth: usize,
    /// Whether the list or object that was opened last holds anything.
    filled: bool,
}

impl RowPerLine {
    fn open<W: ?Sized + Write>(&mut self, out: &mut W, mark: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.filled = false;
        out.write_all(mark)
    }

    fn close<W: ?Sized + Write>(&mut self, out: &mut W, mark: &[u8]) -> io::Result<()> {
        let breaks = self.filled && self.depth <= DEEPEST;
        self.depth -= 1;
        self.filled = true;
        if breaks {
            self.line(out)?;
        }
        out.write_all(mark)
    }

    fn next<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        if !first {
            out.write_all(b",")?;
        }
        if self.depth <= DEEPEST {
            self.line(out)
        } else if first {
            Ok(())
        } else {
            out.write_all(b" ")
        }
    }

    fn line<W: ?Sized + Write>(&self, out: &mut W) -> io::Result<()> {
        out.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| out.write_all(b"  "))
    }
}

impl Formatter for RowPerLine {
    fn begin_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"[")
    }

    fn end_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"]")
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.next(out, first)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, _out: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }

    fn begin_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"{")
    }

    fn end_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"}")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.next(out, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        out.write_all(b": ")
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, _out: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::text;
    use serde_json::json;

    #[test]
    fn breaks_lines_down_to_the_rows_and_no_further() {
        let value = json!({ "a": 1, "none": [], "empty": {}, "rows": [{ "at": [0.1, 2.0], "b": [] }, { "at": [] }] });
        let want = "{\n  \"a\": 1,\n  \"empty\": {},\n  \"none\": [],\n  \"rows\": [\n    {\"at\": [0.1, 2.0], \"b\": []},\n    {\"at\": []}\n  ]\n}\n";
        let written = text(&value);
        assert_eq!(String::from_utf8_lossy(&written), want);
        assert_eq!(
            serde_json::from_slice::<serde_json::Value>(&written).expect("JSON"),
            value
        );
    }
}
