//! Lines of Markdown, and text put into them.

/// Adds a line. Writing to a String cannot fail.
macro_rules! line {
    ($out:expr, $($text:tt)*) => {
        {
            use std::fmt::Write as _;
            let _ = writeln!($out, $($text)*);
        }
    };
}
pub(super) use line;

/// Text in which nothing is taken for a mark of Markdown.
pub(super) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '#' | '~' | '$' | '&'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}
