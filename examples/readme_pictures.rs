//! Draws the README's pictures again, at half size so that they stay small: `cargo run --release --example readme_pictures`.

use groovewright::{study, views};
use std::error::Error;
use std::fs;
use std::path::Path;

const PICTURES: [(&str, &str, &str); 2] = [
    (
        "params/harbour-15.toml",
        "views/rear-corner.png",
        "docs/harbour-15-rear.png",
    ),
    (
        "tests/designs/tilt-onto-tube.toml",
        "views/section.png",
        "docs/clash-section.png",
    ),
];

fn main() -> Result<(), Box<dyn Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for (file, view, target) in PICTURES {
        let text = fs::read_to_string(root.join(file))?;
        let study = study::study(&text).map_err(|d| d.render(file, &text, false))?;
        let pictures = views::pictures(&study);
        let (_, png) = pictures
            .iter()
            .find(|(path, _)| path == view)
            .ok_or_else(|| format!("{file} has no {view}"))?;
        fs::write(root.join(target), halved(png)?)?;
        println!("{target}");
    }
    Ok(())
}

/// The picture at half its size, each pixel the mean of four.
fn halved(png: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut reader = png::Decoder::new(std::io::Cursor::new(png)).read_info()?;
    let mut pixels = vec![0; reader.output_buffer_size().ok_or("too large")?];
    let info = reader.next_frame(&mut pixels)?;
    if info.color_type != png::ColorType::Rgb || info.bit_depth != png::BitDepth::Eight {
        return Err("not an 8 bit RGB picture".into());
    }
    let (w, h) = (info.width as usize, info.height as usize);
    let mut out = Vec::with_capacity(w / 2 * (h / 2) * 3);
    for y in 0..h / 2 {
        for x in 0..w / 2 {
            for c in 0..3 {
                let at = |dx: usize, dy: usize| {
                    u16::from(pixels[((2 * y + dy) * w + 2 * x + dx) * 3 + c])
                };
                let sum = at(0, 0) + at(1, 0) + at(0, 1) + at(1, 1);
                out.push(((sum + 2) / 4) as u8);
            }
        }
    }
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, (w / 2) as u32, (h / 2) as u32);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&out)?;
    writer.finish()?;
    Ok(bytes)
}
