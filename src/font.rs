//! The two embedded faces of DejaVu Sans Condensed (licence: `views/font/LICENSE`), and how wide their texts are.

use ab_glyph::{Font, FontRef};
use std::sync::LazyLock;

/// The regular face, TrueType.
pub const REGULAR: &[u8] = include_bytes!("views/font/DejaVuSansCondensed.ttf");
/// The bold face, TrueType.
pub const BOLD: &[u8] = include_bytes!("views/font/DejaVuSansCondensed-Bold.ttf");

/// Height of a capital letter, in em (both faces, from their OS/2 table).
pub const CAPITAL: f64 = 0.729;
/// How far letters such as `g` and `(` reach below the line, in em; generous.
pub const BELOW: f64 = 0.24;
/// How far the highest letters and brackets reach above the line, in em.
pub const ABOVE: f64 = 0.77;

/// The regular face, parsed.
pub static REGULAR_FACE: LazyLock<FontRef<'static>> = LazyLock::new(|| read(REGULAR));
/// The bold face, parsed.
pub static BOLD_FACE: LazyLock<FontRef<'static>> = LazyLock::new(|| read(BOLD));

fn read(bytes: &'static [u8]) -> FontRef<'static> {
    FontRef::try_from_slice(bytes).expect("the embedded font is sound")
}

/// A face, parsed.
#[must_use]
pub fn face(bold: bool) -> &'static FontRef<'static> {
    if bold { &BOLD_FACE } else { &REGULAR_FACE }
}

/// Width of a text, in em.
#[must_use]
pub fn width(bold: bool, text: &str) -> f64 {
    let font = face(bold);
    let em = f64::from(font.units_per_em().unwrap_or(2048.0));
    text.chars()
        .map(|c| f64::from(font.h_advance_unscaled(font.glyph_id(c))) / em)
        .sum()
}

/// `text`, or as much of it as goes into `most` em, with an ellipsis.
#[must_use]
pub fn shortened(bold: bool, text: &str, most: f64) -> String {
    if width(bold, text) <= most {
        return text.to_owned();
    }
    let room = most - width(bold, "\u{2026}");
    let mut kept = String::new();
    let mut used = 0.0;
    for c in text.chars() {
        used += width(bold, c.encode_utf8(&mut [0; 4]));
        if used > room {
            break;
        }
        kept.push(c);
    }
    kept.truncate(kept.trim_end().len());
    kept + "\u{2026}"
}
