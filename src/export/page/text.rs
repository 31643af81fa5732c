//! The Markdown of `fit.md` as sections of the page. Reads what this crate writes, not all of Markdown.

use std::fmt::Write as _;

/// Sections that the page shows in its own way.
const SHOWN_ELSEWHERE: [&str; 2] = ["What was found", "The tightest places"];

/// Text in which nothing is taken for markup.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            _ => out.push(c),
        }
    }
    out
}

/// The sections, and the links to them.
pub(super) fn sections(markdown: &str) -> (String, String) {
    let (mut out, mut links) = (String::new(), String::new());
    for section in markdown.split("\n## ").skip(1) {
        let (title, body) = section.split_once('\n').unwrap_or((section, ""));
        if SHOWN_ELSEWHERE.contains(&title) {
            continue;
        }
        let key = slug(title);
        // Writing to a String cannot fail.
        let _ = writeln!(links, "<a href=\"#{key}\">{}</a>", inline(title));
        let _ = writeln!(
            out,
            "<section id=\"{key}\" class=\"{key}\">\n<h2>{}</h2>\n{}</section>",
            inline(title),
            blocks(body)
        );
    }
    (out, links)
}

fn slug(title: &str) -> String {
    let mut out = String::new();
    for c in title.chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_matches('-').to_owned()
}

/// What a line begins.
enum Line<'l> {
    Blank,
    Head(&'l str),
    Row(&'l str),
    /// Depth, whether numbered, text.
    Entry(usize, bool, &'l str),
    Text(&'l str),
}

fn line(text: &str) -> Line<'_> {
    let bare = text.trim_start();
    let depth = usize::from(text.len() > bare.len());
    let numbered = bare
        .split_once(". ")
        .filter(|(n, _)| !n.is_empty() && n.len() < 4 && n.bytes().all(|b| b.is_ascii_digit()));
    if bare.is_empty() {
        Line::Blank
    } else if let Some(title) = bare.strip_prefix("### ") {
        Line::Head(title)
    } else if bare.starts_with('|') {
        Line::Row(bare)
    } else if let Some(entry) = bare.strip_prefix("- ") {
        Line::Entry(depth, false, entry)
    } else if let Some((_, entry)) = numbered {
        Line::Entry(depth, true, entry)
    } else {
        Line::Text(bare)
    }
}

/// The blocks of a section.
fn blocks(text: &str) -> String {
    let mut out = String::new();
    // tags that are open, innermost last
    let mut open: Vec<&str> = Vec::new();
    for one in text.lines().map(line) {
        let wanted: usize = match one {
            Line::Entry(0, ..) => usize::from(open.first().is_some_and(|t| *t != "table")),
            Line::Entry(..) => open.len(),
            Line::Row(_) => usize::from(open.first() == Some(&"table")),
            _ => 0,
        };
        while open.len() > wanted {
            close(&mut out, open.pop().unwrap_or_default());
        }
        match one {
            Line::Blank => {}
            Line::Head(title) => {
                let _ = writeln!(out, "<h3>{}</h3>", inline(title));
            }
            Line::Text(text) => {
                let _ = writeln!(out, "<p>{}</p>", inline(text));
            }
            Line::Row(row) => table_row(&mut out, row, &mut open),
            Line::Entry(depth, numbered, entry) => {
                let tag = if numbered { "ol" } else { "ul" };
                if open.len() <= depth {
                    let _ = write!(out, "<{tag}>");
                    open.push(tag);
                }
                let _ = writeln!(out, "<li>{}", inline(entry));
            }
        }
    }
    while let Some(tag) = open.pop() {
        close(&mut out, tag);
    }
    out
}

fn close(out: &mut String, tag: &str) {
    out.push_str(match tag {
        "table" => "</tbody></table></div>\n",
        "ol" => "</ol>\n",
        _ => "</ul>\n",
    });
}

fn table_row(out: &mut String, row: &str, open: &mut Vec<&str>) {
    if row.bytes().all(|b| matches!(b, b'|' | b'-' | b' ' | b':')) && row.contains("---") {
        return;
    }
    let tag = if open.is_empty() {
        out.push_str("<div class=\"wide\" tabindex=\"0\"><table><thead>");
        "th"
    } else {
        "td"
    };
    out.push_str("<tr>");
    for cell in cells(row) {
        let _ = write!(out, "<{tag}>{}</{tag}>", inline(cell.trim()));
    }
    out.push_str("</tr>\n");
    if tag == "th" {
        out.push_str("</thead><tbody>\n");
        open.push("table");
    }
}

/// The cells of a row: between bars that are not escaped.
fn cells(row: &str) -> Vec<&str> {
    let inner = row.trim().trim_start_matches('|');
    let mut out = Vec::new();
    let (mut from, mut escape) = (0, false);
    for (at, c) in inner.char_indices() {
        if c == '|' && !escape {
            out.push(&inner[from..at]);
            from = at + 1;
        }
        escape = c == '\\' && !escape;
    }
    if !inner[from..].trim().is_empty() {
        out.push(&inner[from..]);
    }
    out
}

/// Code, bold and escapes within a line.
fn inline(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text;
    let mut bold = false;
    while let Some(at) = rest.find(['\\', '`', '*']) {
        out.push_str(&escaped(&rest[..at]));
        let tail = &rest[at + 1..];
        match rest.as_bytes()[at] {
            b'\\' => {
                let mut chars = tail.chars();
                if let Some(c) = chars.next() {
                    out.push_str(&escaped(c.encode_utf8(&mut [0; 4])));
                }
                rest = chars.as_str();
            }
            b'`' => {
                if let Some((code, after)) = tail.split_once('`') {
                    let _ = write!(out, "<code>{}</code>", escaped(code));
                    rest = after;
                } else {
                    out.push('`');
                    rest = tail;
                }
            }
            _ => {
                if let Some(after) = tail.strip_prefix('*') {
                    out.push_str(if bold { "</b>" } else { "<b>" });
                    bold = !bold;
                    rest = after;
                } else {
                    out.push('*');
                    rest = tail;
                }
            }
        }
    }
    out.push_str(&escaped(rest));
    if bold {
        out.push_str("</b>");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_lists_and_escapes() {
        let (html, links) = sections(
            "# t\n\n## What was found\n\n- x\n\n## Cut list\n\nSay *so*.\n\n1. **One.** \\<a\\>\n   - Caution: `b<`\n2. Two\n\n### `plate`\n\n| a | b |\n| --- | --- |\n| 1 \\| 2 | |\n",
        );
        assert_eq!(links, "<a href=\"#cut-list\">Cut list</a>\n");
        assert!(!html.contains("What was found"));
        for part in [
            "<section id=\"cut-list\"",
            "<p>Say *so*.</p>",
            "<ol><li><b>One.</b> &lt;a&gt;\n<ul><li>Caution: <code>b&lt;</code>\n</ul>\n<li>Two\n</ol>",
            "<h3><code>plate</code></h3>",
            "<thead><tr><th>a</th><th>b</th></tr>",
            "<tbody>\n<tr><td>1 | 2</td><td></td></tr>\n</tbody></table></div>",
        ] {
            assert!(html.contains(part), "{part}\n in {html}");
        }
    }
}
