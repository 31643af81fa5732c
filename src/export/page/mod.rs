//! `report.html`: one page that opens from disk without a network. The amp in 3D, findings, drawings and lists.
//!
//! The page holds everything: its looks, its own small viewer, the meshes, and the text of `fit.md`. A policy in its head forbids it
//! to fetch anything. Without WebGL2 or scripts the text and the drawings are still there.

mod model;
mod text;

use super::words::{amount, severity_word, tally, verdict_line, verdict_word};
use super::{markdown, svg, tightest};
use crate::fit::{Finding, PairRow};
use crate::shop::{self, drawing, plan};
use crate::study::Study;
use crate::units;
use std::fmt::Write as _;
use text::escaped;

const FRAME: &str = include_str!("page.html");
const LOOKS: &str = include_str!("page.css");

/// The viewer, in the order in which its pieces build on each other.
const VIEWER: [&str; 7] = [
    include_str!("matrix.js"),
    include_str!("solids.js"),
    include_str!("draw.js"),
    include_str!("camera.js"),
    include_str!("distance.js"),
    include_str!("bench.js"),
    include_str!("controls.js"),
];

/// What a page that is served adds: it looks out for the next build.
const REFRESH: &str = include_str!("refresh.js");

/// Pairs under the verdict.
const TIGHTEST: usize = 5;

/// How the page comes to the reader.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Serve {
    /// From disk; it never asks for anything.
    File,
    /// From `watch --open`: it asks its own server when to load again.
    Live,
}

/// The page. The same study gives the same bytes.
#[must_use]
pub fn page(study: &Study, serve: Serve) -> Vec<u8> {
    let report = &study.report;
    let name = escaped(&report.design);
    let (sections, links) = text::sections(&String::from_utf8_lossy(&markdown::fit_md(study)));
    let connect = match serve {
        Serve::File => "'none'",
        Serve::Live => "'self'",
    };
    let script = VIEWER.concat();
    let refresh = match serve {
        Serve::File => "",
        Serve::Live => REFRESH,
    };
    let fill = |key: &str| -> Option<String> {
        Some(match key {
            "name" => name.clone(),
            "connect" => connect.to_owned(),
            "looks" => LOOKS.to_owned(),
            "verdict-word" => verdict_word(report.verdict).to_owned(),
            "verdict" => escaped(&verdict_line(report)),
            "tally" => escaped(&tally(report)),
            "meaning" => escaped(markdown::meaning(report.verdict)),
            "tightest" => tight_places(study),
            "findings" => findings(&report.findings),
            "links" => links.clone(),
            "sections" => sections.clone(),
            "drawings" => drawings(study),
            "data" => model::data(study),
            "viewer" => script.clone(),
            "refresh" => refresh.to_owned(),
            _ => return None,
        })
    };
    filled(FRAME, fill).into_bytes()
}

/// A served page that knows which build it shows.
#[must_use]
pub fn numbered(page: &[u8], build: u64) -> Vec<u8> {
    const HTML: &[u8] = b"<html lang=\"en\"";
    let at = page
        .windows(HTML.len())
        .position(|w| w == HTML)
        .map_or(0, |at| at + HTML.len());
    let mut out = page[..at].to_vec();
    out.extend(format!(" data-build=\"{build}\"").into_bytes());
    out.extend(&page[at..]);
    out
}

/// What is served before the first good build.
#[must_use]
pub fn waiting() -> Vec<u8> {
    include_bytes!("waiting.html").to_vec()
}

/// The frame with each `{{key}}` replaced; what is put in is not looked at again.
fn filled(frame: &str, fill: impl Fn(&str) -> Option<String>) -> String {
    let mut out = String::with_capacity(1 << 20);
    let mut rest = frame;
    while let Some((before, after)) = rest.split_once("{{") {
        out.push_str(before);
        let Some((key, tail)) = after.split_once("}}") else {
            rest = after;
            break;
        };
        out.push_str(&fill(key).unwrap_or_default());
        rest = tail;
    }
    out.push_str(rest);
    out
}

fn tight_places(study: &Study) -> String {
    let mut out = String::new();
    for p in tightest::tightest(study, TIGHTEST) {
        let PairRow { a, b, .. } = p;
        let (figure, state) = if p.overlap_mm3 > 0.0 {
            (format!("overlap {}", amount(p.overlap_mm3, "mm3")), "error")
        } else if p.clearance_mm < p.wanted_mm {
            (units::show(p.clearance_mm), "warning")
        } else {
            (units::show(p.clearance_mm), "enough")
        };
        let wanted = if p.wanted_mm > 0.0 {
            format!("wanted {}: {}", units::show(p.wanted_mm), p.why)
        } else {
            "no rule".to_owned()
        };
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "<li><button type=\"button\" class=\"place {state}\" data-pair=\"{} {}\"><b>{}</b> <span>{} &ndash; {}</span> <small>{}</small></button></li>",
            escaped(a),
            escaped(b),
            escaped(&figure),
            escaped(a),
            escaped(b),
            escaped(&wanted)
        );
    }
    out
}

fn findings(list: &[Finding]) -> String {
    if list.is_empty() {
        return "<li class=\"none\">Nothing to put right.</li>".to_owned();
    }
    let mut out = String::new();
    for (k, f) in list.iter().enumerate() {
        let word = severity_word(f.severity);
        let _ = write!(
            out,
            "<li><button type=\"button\" class=\"place {word}\" data-finding=\"{k}\"><b>{word}</b> <span>{}</span></button>",
            escaped(&f.text)
        );
        if !f.hint.is_empty() {
            let _ = write!(out, "<p><em>What to do:</em> {}</p>", escaped(&f.hint));
        }
        let _ = writeln!(
            out,
            "<p class=\"rule\">Rule {}, from: {}</p></li>",
            escaped(&f.id),
            escaped(&f.source)
        );
    }
    out
}

fn drawings(study: &Study) -> String {
    let design = &study.design;
    let schedules = shop::schedule(design);
    let plans = plan::plans(design, &study.report, &schedules);
    let mut out = String::new();
    for (k, d) in drawing::drawings(design, &plans).iter().enumerate() {
        let part = escaped(&d.part);
        let _ = writeln!(
            out,
            "<details class=\"part\"><summary><code>{part}</code>, {}</summary>",
            units::count(d.sheets.len(), "sheet")
        );
        for (s, sheet) in d.sheets.iter().enumerate() {
            let title = format!("{}, sheet {}", d.part, s + 1);
            let _ = writeln!(
                out,
                "<figure class=\"sheet\">{}</figure>",
                svg::inline(sheet, &title, &format!("s{k}-{s}-"))
            );
        }
        out.push_str("</details>\n");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study;

    /// The page fetches nothing, by what it holds and by the policy in its head (W3C Content Security Policy level 3).
    #[test]
    fn nothing_points_outside_and_the_same_study_gives_the_same_bytes() {
        let study = crate::testing::harbour();
        let bytes = page(&study, Serve::File);
        assert!(bytes.len() < 4_000_000, "{} bytes", bytes.len());
        let text = String::from_utf8(bytes.clone()).expect("text");
        assert!(text.contains("default-src 'none'") && text.contains("connect-src 'none'"));
        for word in [
            "http://",
            "https://",
            "src=",
            "@import",
            "url(\"",
            "fetch(",
            "EventSource",
        ] {
            assert!(!text.contains(word), "{word}");
        }
        assert!(!text.contains("{{"), "all of the frame is filled");
        assert_eq!(bytes, page(&study, Serve::File));
        let live = String::from_utf8(page(&study, Serve::Live)).expect("text");
        assert!(live.contains("connect-src 'self'") && live.contains("EventSource"));
    }

    #[test]
    fn says_what_the_report_says() {
        let study = study::study(include_str!(
            "../../../tests/designs/magnet-into-transformer.toml"
        ))
        .expect("can be resolved");
        let text = String::from_utf8(page(&study, Serve::File)).expect("text");
        assert!(text.contains("class=\"verdict clashes\""));
        for f in &study.report.findings {
            assert!(text.contains(&escaped(&f.text)), "{}", f.text);
        }
        for d in &study.report.derived {
            assert!(text.contains(&escaped(&d.name)), "{}", d.name);
        }
        // what is typed in a name is text, never markup
        assert_eq!(escaped("<b> & \"x\""), "&lt;b&gt; &amp; &quot;x&quot;");
    }
}
