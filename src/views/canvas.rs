use super::text::Type;

/// An sRGB picture, rows from the top.
pub(super) struct Canvas {
    pub width: usize,
    pub height: usize,
    pub pixels: Vec<[u8; 3]>,
}

/// An sRGB colour.
pub(super) type Rgb = [u8; 3];

/// `a` with the share `t` (0 to 1) of `b`.
pub(super) fn mix(a: Rgb, b: Rgb, t: f32) -> Rgb {
    let t = (t.clamp(0.0, 1.0) * 256.0) as u32;
    std::array::from_fn(|k| ((u32::from(a[k]) * (256 - t) + u32::from(b[k]) * t) >> 8) as u8)
}

/// Calls `put` with the place in the box and the coverage of every pixel that a stroke with round ends touches.
pub(super) fn stroke(
    a: [f32; 2],
    b: [f32; 2],
    width: f32,
    rows: [i32; 2],
    columns: i32,
    mut put: impl FnMut(usize, usize, f32),
) {
    let reach = width / 2.0 + 1.0;
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let square = dx * dx + dy * dy;
    let top = ((a[1].min(b[1]) - reach).floor() as i32).max(rows[0]);
    let bottom = ((a[1].max(b[1]) + reach).ceil() as i32).min(rows[1]);
    let length = square.sqrt();
    for y in top..bottom {
        let py = y as f32 + 0.5;
        // where the stroke crosses this row, so that a long slanting line does not visit its whole box
        let (mut left, mut right) = (a[0].min(b[0]), a[0].max(b[0]));
        if dy.abs() > 1e-3 {
            let at = |v: f32| a[0] + dx * ((v - a[1]) / dy);
            let aside = reach * length / dy.abs();
            let (p, q) = (at(py) - aside, at(py) + aside);
            left = left.max(p.min(q));
            right = right.min(p.max(q));
        }
        let from = ((left - reach).floor() as i32).max(0);
        let to = ((right + reach).ceil() as i32).min(columns);
        for x in from..to {
            let px = x as f32 + 0.5;
            let t = if square > 0.0 {
                (((px - a[0]) * dx + (py - a[1]) * dy) / square).clamp(0.0, 1.0)
            } else {
                0.0
            };
            let (ex, ey) = (px - a[0] - t * dx, py - a[1] - t * dy);
            let cover = (width / 2.0 + 0.5 - (ex * ex + ey * ey).sqrt()).clamp(0.0, 1.0);
            if cover > 0.0 {
                put(x as usize, y as usize, cover);
            }
        }
    }
}

impl Canvas {
    pub fn new(width: usize, height: usize, paper: Rgb) -> Canvas {
        Canvas {
            width,
            height,
            pixels: vec![paper; width * height],
        }
    }

    pub fn blend(&mut self, x: usize, y: usize, colour: Rgb, cover: f32) {
        if x < self.width && y < self.height {
            let at = &mut self.pixels[y * self.width + x];
            *at = mix(*at, colour, cover);
        }
    }

    /// The rectangle from (x0, y0) up to but without (x1, y1).
    pub fn fill(&mut self, [x0, y0, x1, y1]: [i32; 4], colour: Rgb) {
        for y in y0.max(0)..y1.min(self.height as i32) {
            for x in x0.max(0)..x1.min(self.width as i32) {
                self.pixels[y as usize * self.width + x as usize] = colour;
            }
        }
    }

    pub fn line(&mut self, a: [f32; 2], b: [f32; 2], width: f32, colour: Rgb, strength: f32) {
        let (rows, columns) = ([0, self.height as i32], self.width as i32);
        stroke(a, b, width, rows, columns, |x, y, cover| {
            self.blend(x, y, colour, cover * strength)
        });
    }

    pub fn dot(&mut self, at: [f32; 2], radius: f32, colour: Rgb) {
        self.line(at, at, 2.0 * radius, colour, 1.0);
    }

    pub fn ring(&mut self, at: [f32; 2], radius: f32, width: f32, colour: Rgb) {
        let reach = radius + width;
        for y in (at[1] - reach).floor().max(0.0) as usize..(at[1] + reach).ceil().max(0.0) as usize
        {
            for x in
                (at[0] - reach).floor().max(0.0) as usize..(at[0] + reach).ceil().max(0.0) as usize
            {
                let (dx, dy) = (x as f32 + 0.5 - at[0], y as f32 + 0.5 - at[1]);
                let off = ((dx * dx + dy * dy).sqrt() - radius).abs();
                self.blend(x, y, colour, (width / 2.0 + 0.5 - off).clamp(0.0, 1.0));
            }
        }
    }

    /// Writes with the baseline's left end at `at`; returns where the text ends.
    pub fn write(&mut self, face: Type, em: f32, at: [f32; 2], text: &str, colour: Rgb) -> f32 {
        face.draw(em, at, text, |x, y, cover| self.blend(x, y, colour, cover))
    }

    /// The picture as a PNG file.
    pub fn png(&self) -> Vec<u8> {
        let mut bytes = Vec::with_capacity(self.pixels.len() / 8);
        let mut encoder = png::Encoder::new(&mut bytes, self.width as u32, self.height as u32);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_compression(png::Compression::Fast);
        encoder
            .write_header()
            .and_then(|mut w| {
                w.write_image_data(self.pixels.as_flattened())
                    .and_then(|()| w.finish())
            })
            .expect("writing to memory does not fail");
        bytes
    }
}
