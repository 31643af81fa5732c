//! Text from two embedded faces of DejaVu Sans Condensed; see `font/LICENSE`.

use ab_glyph::{Font, FontRef, Glyph, PxScale, ScaleFont, point};
use std::sync::LazyLock;

static REGULAR: LazyLock<FontRef<'static>> =
    LazyLock::new(|| read(include_bytes!("font/DejaVuSansCondensed.ttf")));
static BOLD: LazyLock<FontRef<'static>> =
    LazyLock::new(|| read(include_bytes!("font/DejaVuSansCondensed-Bold.ttf")));

fn read(bytes: &'static [u8]) -> FontRef<'static> {
    FontRef::try_from_slice(bytes).expect("the embedded font is sound")
}

/// A face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Type {
    Regular,
    Bold,
}

impl Type {
    fn font(self) -> &'static FontRef<'static> {
        match self {
            Type::Regular => &REGULAR,
            Type::Bold => &BOLD,
        }
    }

    fn scale(self, em: f32) -> PxScale {
        let font = self.font();
        PxScale::from(em * font.height_unscaled() / font.units_per_em().unwrap_or(2048.0))
    }

    /// Width in pixels at `em` pixels to the em.
    pub fn width(self, em: f32, text: &str) -> f32 {
        let font = self.font().as_scaled(self.scale(em));
        text.chars().map(|c| font.h_advance(font.glyph_id(c))).sum()
    }

    /// `text`, or as much of it as goes into `width` pixels and an ellipsis.
    pub fn shortened(self, em: f32, text: &str, width: f32) -> String {
        if self.width(em, text) <= width {
            return text.into();
        }
        let mut kept = String::new();
        let room = width - self.width(em, "\u{2026}");
        let mut used = 0.0;
        for c in text.chars() {
            used += self.width(em, c.encode_utf8(&mut [0; 4]));
            if used > room {
                break;
            }
            kept.push(c);
        }
        kept.truncate(kept.trim_end().len());
        kept + "\u{2026}"
    }

    /// Calls `put` for every pixel that the text touches; returns where it ends.
    pub fn draw(
        self,
        em: f32,
        at: [f32; 2],
        text: &str,
        mut put: impl FnMut(usize, usize, f32),
    ) -> f32 {
        let scale = self.scale(em);
        let font = self.font().as_scaled(scale);
        let mut x = at[0];
        for c in text.chars() {
            let id = font.glyph_id(c);
            let glyph: Glyph = id.with_scale_and_position(scale, point(x, at[1]));
            x += font.h_advance(id);
            let Some(outline) = self.font().outline_glyph(glyph) else {
                continue;
            };
            let corner = outline.px_bounds().min;
            outline.draw(|dx, dy, cover| {
                let (px, py) = (corner.x + dx as f32, corner.y + dy as f32);
                if px >= 0.0 && py >= 0.0 {
                    put(px as usize, py as usize, cover);
                }
            });
        }
        x
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_leave_ink_and_a_long_text_is_cut() {
        for face in [Type::Regular, Type::Bold] {
            let mut ink = 0.0;
            let end = face.draw(20.0, [10.0, 30.0], "V1 \u{2205}22 \u{bd}", |x, y, c| {
                assert!(x < 200 && y < 40);
                ink += c;
            });
            assert!(ink > 100.0, "{ink}");
            assert!((end - 10.0 - face.width(20.0, "V1 \u{2205}22 \u{bd}")).abs() < 1e-3);
            // a letter without an outline would leave a blank
            for c in
                "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789/()-,.\u{d7}".chars()
            {
                assert_ne!(face.font().glyph_id(c).0, 0, "{c}");
            }
            let cut = face.shortened(20.0, "a name that goes on and on", 120.0);
            assert!(
                face.width(20.0, &cut) <= 120.0 && cut.ends_with('\u{2026}'),
                "{cut}"
            );
        }
    }
}
