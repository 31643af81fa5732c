//! A sheet as SVG, in mm.

use crate::outline::Loop;
use crate::shop::sheet::{Ink, Pen, Sheet};
use std::fmt::Write as _;

/// A number without a tail of zeros, to 0.001.
fn n(v: f64) -> String {
    let text = format!("{v:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

fn pen(p: Pen) -> &'static str {
    match p {
        Pen::Thick => "t",
        Pen::Thin => "h",
        Pen::Dashed => "d",
        Pen::Chain => "c",
    }
}

/// The sheet as a drawing of its true size.
#[must_use]
pub fn svg(sheet: &Sheet, title: &str) -> Vec<u8> {
    let (w, h) = (sheet.size.x, sheet.size.y);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\">\n<title>{2}</title>\n<style>",
        n(w),
        n(h),
        escaped(title)
    );
    for p in [Pen::Thick, Pen::Thin, Pen::Dashed, Pen::Chain] {
        let dashes: Vec<String> = p.dashes().iter().map(|d| n(*d)).collect();
        let _ = write!(
            out,
            ".{}{{fill:none;stroke:#000;stroke-width:{};stroke-dasharray:{}}}",
            pen(p),
            n(p.width()),
            if dashes.is_empty() {
                "none".to_owned()
            } else {
                dashes.join(" ")
            }
        );
    }
    out.push_str(
        "text{font-family:\"DejaVu Sans Condensed\",\"DejaVu Sans\",sans-serif;font-stretch:condensed;fill:#000}</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n",
    );
    marks(&mut out, sheet, "w");
    out.push_str("</svg>\n");
    out.into_bytes()
}

/// The sheet as part of a page, which has the pens as classes; `key` tells its clipping windows from those of other sheets.
pub(super) fn inline(sheet: &Sheet, title: &str, key: &str) -> String {
    let (w, h) = (n(sheet.size.x), n(sheet.size.y));
    let mut out = format!(
        "<svg role=\"img\" viewBox=\"0 0 {w} {h}\"><title>{}</title>\n",
        escaped(title)
    );
    marks(&mut out, sheet, key);
    out.push_str("</svg>\n");
    out
}

/// What is drawn; windows are numbered after `window`.
fn marks(out: &mut String, sheet: &Sheet, window: &str) {
    let h = sheet.size.y;
    let mut windows = 0;
    for ink in &sheet.ink {
        match ink {
            Ink::Line(a, b, p) => {
                let _ = writeln!(
                    out,
                    "<path class=\"{}\" d=\"M{} {}L{} {}\"/>",
                    pen(*p),
                    n(a.x),
                    n(h - a.y),
                    n(b.x),
                    n(h - b.y)
                );
            }
            Ink::Circle(c, r, p) => {
                let _ = writeln!(
                    out,
                    "<circle class=\"{}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                    pen(*p),
                    n(c.x),
                    n(h - c.y),
                    n(*r)
                );
            }
            Ink::Outline(l, p) => {
                let _ = writeln!(out, "<path class=\"{}\" d=\"{}\"/>", pen(*p), path(l, h));
            }
            Ink::Fill(l) => {
                let _ = writeln!(out, "<path class=\"f\" d=\"{}\"/>", path(l, h));
            }
            Ink::Text(t) => {
                let at = t.start();
                let turn = if t.up {
                    format!(" transform=\"rotate(-90 {} {})\"", n(at.x), n(h - at.y))
                } else {
                    String::new()
                };
                // the length holds whatever face the viewer puts in its place
                let _ = writeln!(
                    out,
                    "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{} textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"{turn}>{}</text>",
                    n(at.x),
                    n(h - at.y),
                    n(t.size),
                    if t.bold { " font-weight=\"bold\"" } else { "" },
                    n(t.width()),
                    escaped(&t.text)
                );
            }
            Ink::Window([low, high]) => {
                windows += 1;
                let _ = writeln!(
                    out,
                    "<clipPath id=\"{window}{windows}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath><g clip-path=\"url(#{window}{windows})\">",
                    n(low.x),
                    n(h - high.y),
                    n(high.x - low.x),
                    n(high.y - low.y)
                );
            }
            Ink::EndWindow => out.push_str("</g>\n"),
        }
    }
}

fn path(l: &Loop, h: f64) -> String {
    let mut d = String::new();
    for (k, s) in l.segs().enumerate() {
        if k == 0 {
            let _ = write!(d, "M{} {}", n(s.from.x), n(h - s.from.y));
        }
        if s.arc.is_some() {
            let r = n(s.radius());
            let sweep = s.sweep();
            // y runs down here: counter-clockwise is flag 0
            let _ = write!(
                d,
                "A{r} {r} 0 {} {} {} {}",
                i32::from(sweep.abs() > std::f64::consts::PI),
                i32::from(sweep < 0.0),
                n(s.to.x),
                n(h - s.to.y)
            );
        } else {
            let _ = write!(d, "L{} {}", n(s.to.x), n(h - s.to.y));
        }
    }
    d.push('Z');
    d
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::sheet::{Anchor, Label};
    use glam::DVec2;

    #[test]
    fn y_runs_down_and_text_is_escaped() {
        let mut s = Sheet::new(DVec2::new(100.0, 50.0));
        s.ink
            .push(Ink::Circle(DVec2::new(10.0, 20.0), 2.5, Pen::Thick));
        s.text(Label::new(
            DVec2::new(1.0, 2.0),
            3.0,
            Anchor::Start,
            "a < b & c",
        ));
        let text = String::from_utf8(svg(&s, "t")).expect("text");
        assert!(text.contains("width=\"100mm\" height=\"50mm\""));
        assert!(text.contains("cx=\"10\" cy=\"30\" r=\"2.5\""));
        assert!(text.contains(">a &lt; b &amp; c</text>"));
    }
}
