//! Lengths as the catalogue spells them: mm, and inch fractions.

/// Rounding error of an inch fraction beyond which it is shown, mm.
const SHOWN_ERROR: f64 = 0.1;

/// A length in mm, at most two decimals: catalogues are no finer.
pub(super) fn millimetres(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// `n / of` in lowest terms, `of` a power of two: `2 3/16`.
pub(super) fn fraction(n: u64, of: u64) -> String {
    let (whole, mut top, mut bottom) = (n / of, n % of, of);
    while top > 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    match (whole, top) {
        (whole, 0) => whole.to_string(),
        (0, top) => format!("{top}/{bottom}"),
        (whole, top) => format!("{whole} {top}/{bottom}"),
    }
}

/// The nearest 64th of an inch in lowest terms, `2 3/16`, with the rounding error in mm (fraction less value) where it exceeds 0.1 mm.
pub(super) fn inches(value: f64) -> String {
    const INCH: f64 = 25.4;
    let sixty_fourths = (value / INCH * 64.0).round();
    let error = sixty_fourths / 64.0 * INCH - value;
    // Lengths of the catalogue are far below 2^52 / 64 inches, so the cast is exact.
    let mut text = fraction(sixty_fourths as u64, 64);
    if error.abs() > SHOWN_ERROR {
        text.push_str(&format!(" {error:+.2}"));
    }
    text
}
