//! Sheets as PDF (ISO 32000-1), 1 mm on the sheet is 1 mm on paper. Fonts are embedded as subsets and their text can be extracted.

use crate::font;
use crate::outline::Loop;
use crate::shop::sheet::{Ink, Pen, Sheet};
use ab_glyph::Font as _;
use flate2::{Compression, write::ZlibEncoder};
use glam::DVec2;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;
use subsetter::GlyphRemapper;

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// The letters that a document uses of one face.
struct Face {
    bold: bool,
    glyphs: GlyphRemapper,
    /// New glyph id to its letter and its width in 1/1000 em.
    letters: BTreeMap<u16, (char, f64)>,
}

impl Face {
    fn new(bold: bool) -> Face {
        Face {
            bold,
            glyphs: GlyphRemapper::new(),
            letters: BTreeMap::new(),
        }
    }

    /// A text as hexadecimal glyph ids of the subset.
    fn encoded(&mut self, text: &str) -> String {
        let mut out = String::new();
        for c in text.chars() {
            let old = font::face(self.bold).glyph_id(c).0;
            let new = self.glyphs.remap(old);
            let width = font::width(self.bold, c.encode_utf8(&mut [0; 4])) * 1000.0;
            self.letters.entry(new).or_insert((c, width));
            let _ = write!(out, "{new:04X}");
        }
        out
    }
}

/// A number to 0.0001: exact to 0.04 micrometres even in points.
fn n(v: f64) -> String {
    let text = format!("{v:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

/// The sheets as one document.
#[must_use]
pub fn pdf(sheets: &[Sheet], title: &str) -> Vec<u8> {
    let mut faces = [Face::new(false), Face::new(true)];
    let pages: Vec<Vec<u8>> = sheets
        .iter()
        .map(|s| content(s, &mut faces).into_bytes())
        .collect();

    // 1 catalog, 2 page tree, 3 information, 4 to 13 fonts, then two for each page
    let mut out = Objects::default();
    let first_page = 14;
    out.object(1, "<< /Type /Catalog /Pages 2 0 R /Lang (en) /ViewerPreferences << /PrintScaling /None /DisplayDocTitle true >> >>");
    let kids: Vec<String> = (0..pages.len())
        .map(|k| format!("{} 0 R", first_page + 2 * k))
        .collect();
    out.object(
        2,
        &format!(
            "<< /Type /Pages /Count {} /Kids [{}] >>",
            pages.len(),
            kids.join(" ")
        ),
    );
    out.object(
        3,
        &format!("<< /Title <{}> /Producer (groovewright) >>", utf16(title)),
    );
    for (k, face) in faces.iter().enumerate() {
        font_objects(&mut out, 4 + 5 * k, face);
    }
    for (k, (sheet, page)) in sheets.iter().zip(&pages).enumerate() {
        let id = first_page + 2 * k;
        out.object(
            id,
            &format!(
                "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {} {}] /Resources << /Font << /R 4 0 R /B 9 0 R >> >> /Contents {} 0 R >>",
                n(sheet.size.x * POINTS),
                n(sheet.size.y * POINTS),
                id + 1
            ),
        );
        out.stream(id + 1, "", page);
    }
    out.finish()
}

fn content(sheet: &Sheet, faces: &mut [Face; 2]) -> String {
    let mut c = format!("{0} 0 0 {0} 0 0 cm\n1 J 1 j\n", format_args!("{POINTS:.8}"));
    let mut pen: Option<Pen> = None;
    for ink in &sheet.ink {
        match ink {
            Ink::Line(a, b, p) => {
                take(&mut c, &mut pen, *p);
                let _ = writeln!(c, "{} m {} l S", point(*a), point(*b));
            }
            Ink::Circle(at, r, p) => {
                take(&mut c, &mut pen, *p);
                trace(&mut c, &Loop::circle(*at, *r));
                c.push_str("s\n");
            }
            Ink::Outline(l, p) => {
                take(&mut c, &mut pen, *p);
                trace(&mut c, l);
                c.push_str("s\n");
            }
            Ink::Fill(l) => {
                trace(&mut c, l);
                c.push_str("f\n");
            }
            Ink::Text(t) => {
                let face = &mut faces[usize::from(t.bold)];
                // the blank parts neighbours on one line when a reader takes the text out
                let hex = face.encoded(&format!("{} ", t.text));
                let turn = if t.up { "0 1 -1 0" } else { "1 0 0 1" };
                let _ = writeln!(
                    c,
                    "BT /{} {} Tf {turn} {} Tm <{hex}> Tj ET",
                    if t.bold { "B" } else { "R" },
                    n(t.size),
                    point(t.start())
                );
            }
            Ink::Window([low, high]) => {
                let size = *high - *low;
                let _ = writeln!(c, "q {} {} re W n", point(*low), point(size));
            }
            Ink::EndWindow => {
                c.push_str("Q\n");
                // whatever pen was taken before the window is back
                pen = None;
            }
        }
    }
    c
}

/// Takes a pen, if it is not in hand.
fn take(c: &mut String, now: &mut Option<Pen>, p: Pen) {
    if *now != Some(p) {
        let dashes: Vec<String> = p.dashes().iter().map(|d| n(*d)).collect();
        let _ = writeln!(c, "{} w [{}] 0 d", n(p.width()), dashes.join(" "));
        *now = Some(p);
    }
}

fn point(p: DVec2) -> String {
    format!("{} {}", n(p.x), n(p.y))
}

/// The outline as lines and Bezier curves: quarter arcs at most, off by under 0.03 % of the radius.
fn trace(c: &mut String, l: &Loop) {
    for (k, s) in l.segs().enumerate() {
        if k == 0 {
            let _ = writeln!(c, "{} m", point(s.from));
        }
        let Some(arc) = s.arc else {
            let _ = writeln!(c, "{} l", point(s.to));
            continue;
        };
        let sweep = s.sweep();
        let pieces = (sweep.abs() / std::f64::consts::FRAC_PI_2 - 1e-9)
            .ceil()
            .max(1.0);
        let step = sweep / pieces;
        // the usual handle length for an arc: 4/3 tan(angle / 4)
        let handle = 4.0 / 3.0 * (step / 4.0).tan();
        let mut from = s.from - arc.centre;
        for _ in 0..pieces as usize {
            let to = DVec2::from_angle(step).rotate(from);
            let (a, b) = (from + from.perp() * handle, to - to.perp() * handle);
            let _ = writeln!(
                c,
                "{} {} {} c",
                point(arc.centre + a),
                point(arc.centre + b),
                point(arc.centre + to)
            );
            from = to;
        }
    }
}

/// A composite font of five objects from `id` on.
fn font_objects(out: &mut Objects, id: usize, face: &Face) {
    let (bytes, name) = if face.bold {
        (font::BOLD, "GWBOLD+DejaVuSansCondensed-Bold")
    } else {
        (font::REGULAR, "GWTEXT+DejaVuSansCondensed")
    };
    out.object(
        id,
        &format!(
            "<< /Type /Font /Subtype /Type0 /BaseFont /{name} /Encoding /Identity-H /DescendantFonts [{} 0 R] /ToUnicode {} 0 R >>",
            id + 1,
            id + 4
        ),
    );
    let widths: Vec<String> = face
        .letters
        .iter()
        .map(|(gid, (_, w))| format!("{gid} [{}]", n(*w)))
        .collect();
    out.object(
        id + 1,
        &format!(
            "<< /Type /Font /Subtype /CIDFontType2 /BaseFont /{name} /CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> \
             /FontDescriptor {} 0 R /CIDToGIDMap /Identity /DW 500 /W [{}] >>",
            id + 2,
            widths.join(" ")
        ),
    );
    out.object(
        id + 2,
        &format!(
            "<< /Type /FontDescriptor /FontName /{name} /Flags 4 /FontBBox [-1025 -461 1793 1232] /ItalicAngle 0 /Ascent 928 /Descent -236 \
             /CapHeight 729 /StemV 80 /FontFile2 {} 0 R >>",
            id + 3
        ),
    );
    // the embedded face is sound and tests read it; whole, it would serve as well
    let subset = subsetter::subset(bytes, 0, &face.glyphs).unwrap_or_else(|_| bytes.to_vec());
    out.stream(id + 3, &format!("/Length1 {} ", subset.len()), &subset);
    let mut map = String::from(
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n\
         /CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n",
    );
    let letters: Vec<(&u16, &(char, f64))> = face.letters.iter().collect();
    for chunk in letters.chunks(100) {
        let _ = writeln!(map, "{} beginbfchar", chunk.len());
        for (gid, (c, _)) in chunk {
            let mut units = [0; 2];
            let hex: String = c
                .encode_utf16(&mut units)
                .iter()
                .map(|u| format!("{u:04X}"))
                .collect();
            let _ = writeln!(map, "<{gid:04X}> <{hex}>");
        }
        map.push_str("endbfchar\n");
    }
    map.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    out.stream(id + 4, "", map.as_bytes());
}

fn utf16(text: &str) -> String {
    text.encode_utf16()
        .fold(String::from("FEFF"), |mut hex, u| {
            let _ = write!(hex, "{u:04X}");
            hex
        })
}

/// Numbered objects with their byte offsets.
#[derive(Default)]
struct Objects {
    bytes: Vec<u8>,
    offsets: BTreeMap<usize, usize>,
}

impl Objects {
    fn begin(&mut self, id: usize) {
        if self.bytes.is_empty() {
            // the second line tells transfer programs that this is not text
            self.bytes
                .extend_from_slice(b"%PDF-1.7\n%\xE2\xE3\xCF\xD3\n");
        }
        self.offsets.insert(id, self.bytes.len());
        self.bytes
            .extend_from_slice(format!("{id} 0 obj\n").as_bytes());
    }

    fn object(&mut self, id: usize, text: &str) {
        self.begin(id);
        self.bytes.extend_from_slice(text.as_bytes());
        self.bytes.extend_from_slice(b"\nendobj\n");
    }

    fn stream(&mut self, id: usize, keys: &str, data: &[u8]) {
        let mut encoder = ZlibEncoder::new(Vec::new(), Compression::new(6));
        // writing into memory cannot fail; an empty page would be seen by the tests
        let packed = encoder
            .write_all(data)
            .and_then(|()| encoder.finish())
            .unwrap_or_default();
        self.begin(id);
        let dict = format!(
            "<< {keys}/Filter /FlateDecode /Length {} >>\nstream\n",
            packed.len()
        );
        self.bytes.extend_from_slice(dict.as_bytes());
        self.bytes.extend_from_slice(&packed);
        self.bytes.extend_from_slice(b"\nendstream\nendobj\n");
    }

    fn finish(mut self) -> Vec<u8> {
        let start = self.bytes.len();
        let count = self.offsets.len() + 1;
        let mut tail = format!("xref\n0 {count}\n0000000000 65535 f \n");
        for offset in self.offsets.values() {
            // 20 bytes a line, the blank before its end among them
            let _ = writeln!(tail, "{offset:010} 00000 n ");
        }
        let _ = write!(
            tail,
            "trailer\n<< /Size {count} /Root 1 0 R /Info 3 0 R >>\nstartxref\n{start}\n%%EOF\n"
        );
        self.bytes.extend_from_slice(tail.as_bytes());
        self.bytes
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::sheet::{Anchor, Label};

    #[test]
    fn a_page_is_as_large_as_its_sheet_and_offsets_are_true() {
        let mut s = Sheet::new(DVec2::new(210.0, 297.0));
        s.text(Label::new(
            DVec2::new(10.0, 10.0),
            4.0,
            Anchor::Start,
            "\u{d8}22 \u{bd}",
        ));
        let bytes = pdf(&[s], "t");
        let text = String::from_utf8_lossy(&bytes);
        // ISO 216: A4 is 210 x 297 mm; 1 pt is 1/72 in (ISO 32000-1, 8.3.2.3)
        assert!(text.contains("/MediaBox [0 0 595.2756 841.8898]"));
        let at = |needle: &[u8]| {
            bytes
                .windows(needle.len())
                .rposition(|w| w == needle)
                .expect("there")
        };
        let xref = at(b"xref\n0 ");
        let start: usize = text
            .rsplit("startxref\n")
            .next()
            .and_then(|t| t.lines().next())
            .and_then(|t| t.parse().ok())
            .expect("a number");
        // `startxref` itself ends in the word
        assert!(bytes[start..].starts_with(b"xref\n") && start <= xref);
        for (k, line) in text[text.rfind("xref\n0 ").expect("a table")..]
            .lines()
            .skip(3)
            .enumerate()
        {
            let Some(offset) = line.strip_suffix(" 00000 n ") else {
                break;
            };
            let offset: usize = offset.parse().expect("ten digits");
            assert!(bytes[offset..].starts_with(format!("{} 0 obj", k + 1).as_bytes()));
        }
    }
}
