//! The text encoding of ISO 10303-21: numbered entities, numbers that read back exactly, escaped names.

use std::fmt::Write as _;

/// An attribute of an entity.
#[derive(Clone, Copy, Debug)]
pub(super) enum Arg<'a> {
    /// Another entity.
    Id(u32),
    /// A list of entities.
    Ids(&'a [u32]),
    /// A real number.
    Real(f64),
    /// A list of three real numbers.
    Triple([f64; 3]),
    /// A name, any text.
    Text(&'a str),
    /// An enumeration's value or a boolean, without its dots.
    Enum(&'static str),
    /// A whole number.
    Int(u32),
    /// Not given.
    Unset,
    /// Redefined by a subtype.
    Derived,
}

/// `.T.` or `.F.`.
pub(super) const fn boolean(b: bool) -> Arg<'static> {
    Arg::Enum(if b { "T" } else { "F" })
}

/// The data section as it grows. Entities are numbered from 1 in the order in which they are put.
#[derive(Debug, Default)]
pub(super) struct Part21 {
    text: String,
    last: u32,
}

impl Part21 {
    pub(super) fn with_capacity(bytes: usize) -> Part21 {
        Part21 {
            text: String::with_capacity(bytes),
            last: 0,
        }
    }

    /// Writes one entity and returns its number.
    pub(super) fn put(&mut self, keyword: &str, args: &[Arg]) -> u32 {
        self.begin();
        self.record(keyword, args);
        self.text.push_str(";\n");
        self.last
    }

    /// Writes one entity of several types at once; the types stand in alphabetical order, as the standard wants.
    pub(super) fn put_complex(&mut self, records: &[(&str, &[Arg])]) -> u32 {
        debug_assert!(records.windows(2).all(|w| w[0].0 < w[1].0));
        self.begin();
        self.text.push('(');
        for (keyword, args) in records {
            self.record(keyword, args);
        }
        self.text.push_str(");\n");
        self.last
    }

    /// Writes one entity whose attributes are given as text, for the few with typed measures inside.
    pub(super) fn put_raw(&mut self, record: &str) -> u32 {
        self.begin();
        self.text.push_str(record);
        self.text.push_str(";\n");
        self.last
    }

    /// The exchange structure: header, data, end. `name` is the design's name, any text.
    pub(super) fn finish(self, name: &str, description: &str, schema: &str) -> Vec<u8> {
        let mut out = String::with_capacity(self.text.len() + 512);
        out.push_str("ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((");
        push_text(&mut out, description);
        out.push_str("),'2;1');\nFILE_NAME(");
        push_text(&mut out, name);
        // The same input must give the same bytes, so the time stamp is a fixed one. Author and organization are lists that
        // hold one empty text: an empty list, or a list within a list, is reported as a failure by readers.
        out.push_str(",'1970-01-01T00:00:00',(''),(''),'groovewright ");
        out.push_str(env!("CARGO_PKG_VERSION"));
        out.push_str("','groovewright','');\nFILE_SCHEMA((");
        push_text(&mut out, schema);
        out.push_str("));\nENDSEC;\nDATA;\n");
        out.push_str(&self.text);
        out.push_str("ENDSEC;\nEND-ISO-10303-21;\n");
        out.into_bytes()
    }

    fn begin(&mut self) {
        self.last += 1;
        self.text.push('#');
        push_int(&mut self.text, self.last);
        self.text.push('=');
    }

    fn record(&mut self, keyword: &str, args: &[Arg]) {
        let out = &mut self.text;
        out.push_str(keyword);
        out.push('(');
        for (i, arg) in args.iter().enumerate() {
            if i > 0 {
                out.push(',');
            }
            match *arg {
                Arg::Id(id) => {
                    out.push('#');
                    push_int(out, id);
                }
                Arg::Ids(ids) => {
                    for (k, id) in ids.iter().enumerate() {
                        out.push_str(if k == 0 { "(#" } else { ",#" });
                        push_int(out, *id);
                    }
                    out.push_str(if ids.is_empty() { "()" } else { ")" });
                }
                Arg::Real(x) => push_real(out, x),
                Arg::Triple([x, y, z]) => {
                    out.push('(');
                    push_real(out, x);
                    out.push(',');
                    push_real(out, y);
                    out.push(',');
                    push_real(out, z);
                    out.push(')');
                }
                Arg::Text(t) => push_text(out, t),
                Arg::Enum(e) => {
                    out.push('.');
                    out.push_str(e);
                    out.push('.');
                }
                Arg::Int(n) => push_int(out, n),
                Arg::Unset => out.push('$'),
                Arg::Derived => out.push('*'),
            }
        }
        out.push(')');
    }
}

/// A whole number without the formatting machinery: there are several hundred thousand of them in a file.
fn push_int(out: &mut String, mut n: u32) {
    let mut digits = [0u8; 10];
    let mut at = digits.len();
    loop {
        at -= 1;
        digits[at] = b'0' + (n % 10) as u8;
        n /= 10;
        if n == 0 {
            break;
        }
    }
    out.extend(digits[at..].iter().map(|&d| char::from(d)));
}

/// The shortest decimal that reads back as `x`, in the form that ISO 10303-21 wants: a point always, a capital E.
/// Both zeros are `0.`. `x` is finite.
pub(super) fn push_real(out: &mut String, x: f64) {
    debug_assert!(x.is_finite());
    if x == x.trunc() && x.abs() < 1e9 {
        if x < 0.0 {
            out.push('-');
        }
        // Whole and below 1e9, so the cast is exact.
        push_int(out, x.abs() as u32);
        out.push('.');
        return;
    }
    let start = out.len();
    // `{:?}` gives the shortest text that reads back, as `1.25`, `1e-7` or `1.5e-7`. Writing to a String cannot fail.
    let _ = write!(out, "{x:?}");
    if let Some(e) = out[start..].find('e') {
        let point = if out[start..start + e].contains('.') {
            "E"
        } else {
            ".E"
        };
        out.replace_range(start + e..=start + e, point);
    } else if out.ends_with(".0") {
        out.pop();
    }
}

/// A text in quotes: `'` and `\` doubled, anything but printable ASCII by its UTF-16 code (`\X2\`), or by its UTF-32 code (`\X4\`)
/// outside the basic plane.
pub(super) fn push_text(out: &mut String, text: &str) {
    out.push('\'');
    // 0 outside an escape, else the digits per character of the open one.
    let mut open = 0;
    for c in text.chars() {
        let code = u32::from(c);
        let digits = match code {
            0x20..=0x7E => 0,
            0..=0xFFFF => 4,
            _ => 8,
        };
        if digits != open {
            if open > 0 {
                out.push_str("\\X0\\");
            }
            out.push_str(match digits {
                0 => "",
                4 => "\\X2\\",
                _ => "\\X4\\",
            });
            open = digits;
        }
        match (digits, c) {
            (0, '\'') => out.push_str("''"),
            (0, '\\') => out.push_str("\\\\"),
            (0, _) => out.push(c),
            _ => {
                let _ = write!(out, "{code:0digits$X}");
            }
        }
    }
    if open > 0 {
        out.push_str("\\X0\\");
    }
    out.push('\'');
}

#[cfg(test)]
mod tests {
    use super::*;

    fn real(x: f64) -> String {
        let mut s = String::new();
        push_real(&mut s, x);
        s
    }

    fn text(t: &str) -> String {
        let mut s = String::new();
        push_text(&mut s, t);
        s
    }

    #[test]
    fn numbers_have_the_form_of_the_standard() {
        // ISO 10303-21:2002, 6.3.2: REAL = [ SIGN ] DIGIT { DIGIT } "." { DIGIT } [ "E" [ SIGN ] DIGIT { DIGIT } ].
        for (x, want) in [
            (0.0, "0."),
            (-0.0, "0."),
            (1.0, "1."),
            (-400.0, "-400."),
            (0.1, "0.1"),
            (-2.54, "-2.54"),
            (1e-7, "1.E-7"),
            (1.5e-7, "1.5E-7"),
            (-1.5e-12, "-1.5E-12"),
            (1e9, "1000000000."),
            (1e300, "1.E300"),
        ] {
            assert_eq!(real(x), want);
        }
    }

    proptest::proptest! {
        #[test]
        fn numbers_read_back_exactly(x in proptest::num::f64::NORMAL | proptest::num::f64::SUBNORMAL | proptest::num::f64::ZERO) {
            let s = real(x);
            proptest::prop_assert!(s.contains('.'));
            proptest::prop_assert_eq!(s.parse::<f64>().unwrap(), x);
        }
    }

    #[test]
    fn names_are_escaped() {
        // ISO 10303-21:2002, 6.3.3: apostrophe and reverse solidus doubled, other characters by \X2\ and \X4\.
        assert_eq!(text("O'Brien"), "'O''Brien'");
        assert_eq!(text("a\\b"), r"'a\\b'");
        assert_eq!(text("Röhre Ω5"), r"'R\X2\00F6\X0\hre \X2\03A9\X0\5'");
        assert_eq!(text("öΩ"), r"'\X2\00F603A9\X0\'");
        assert_eq!(text("a\nb"), r"'a\X2\000A\X0\b'");
        assert_eq!(text("🎸ö"), r"'\X4\0001F3B8\X0\\X2\00F6\X0\'");
        assert_eq!(text(""), "''");
    }
}
