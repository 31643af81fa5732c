//! Lengths and their spelling: how a builder writes one, and how one is shown.
//!
//! Inside the program a length is always millimetres in `f64`. One inch is exactly 25.4 mm (international inch,
//! 1959), so 1/64 in is exactly 0.396875 mm.

use thiserror::Error;

/// Millimetres in an inch, exact by definition.
pub const MM_PER_INCH: f64 = 25.4;

/// No length in a parameter file may be larger than this, mm: 100 m is far beyond any cabinet and still small enough for
/// every sum of lengths to keep its precision.
pub const LONGEST: f64 = 100_000.0;

/// Longer strings are not lengths; the limit keeps the parser and its messages short.
const MOST_CHARS: usize = 40;

/// The unit of a number that has none written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Mm,
    /// Inches.
    Inch,
}

/// Why a string is not a length. The text of each says what is wrong; [`LengthError::hint`] what to do.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum LengthError {
    /// Nothing but spaces.
    #[error("an empty string is not a length")]
    Empty,
    /// More than 40 characters.
    #[error("a length of {0} characters")]
    TooLong(usize),
    /// Does not begin with a number.
    #[error("`{0}` does not begin with a number")]
    NoNumber(String),
    /// A number and then something that is no unit.
    #[error("`{0}` is not a unit of length")]
    Unit(String),
    /// Feet.
    #[error("feet are not read")]
    Feet,
    /// A comma for the decimal point.
    #[error("a comma inside a number")]
    Comma,
    /// `1e3`.
    #[error("a power of ten inside a length")]
    Exponent,
    /// A fraction that is none: over 0, or 5/4 after a whole number.
    #[error("`{0}` is not a fraction")]
    Fraction(String),
    /// A fraction of a millimetre or centimetre.
    #[error("a fraction goes with inches")]
    FractionOfMm,
    /// Longer than [`LONGEST`].
    #[error("more than 100 m")]
    Beyond,
    /// Not a finite number.
    #[error("not a finite number")]
    NotFinite,
    /// A gauge of steel that the table does not hold.
    #[error("`{0}` is not a sheet gauge known here")]
    Gauge(String),
    /// A gauge number and no metal, or one whose gauges are not read.
    #[error("gauge numbers differ between steel and aluminium")]
    GaugeOfWhat(String),
    /// A gauge number where sheet is not meant.
    #[error("a gauge number stands for the thickness of sheet only")]
    GaugeAsLength,
}

impl LengthError {
    /// What to write instead.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        let text = match self {
            Self::Feet => "write inches: 2 ft is `24 in`",
            Self::Comma => "write the decimal point as `.`",
            Self::Exponent => "write the number out, as `1000 mm`",
            Self::Fraction(_) => "write it as `13 3/16 in` or `2-3/4 in`",
            Self::FractionOfMm => "add `in`, or write millimetres with a decimal point",
            Self::Unit(_) => "the units are `mm`, `cm`, `in`, `inch` and `\"`",
            Self::Gauge(_) => {
                "gauges 7 to 26 of steel are known, as `18 ga steel`; write any other sheet by its thickness"
            }
            Self::GaugeOfWhat(text) => return Some(gauge_hint(text)),
            Self::GaugeAsLength => {
                "gauge numbers differ between steel and aluminium: measure it, and write mm or inches"
            }
            _ => return None,
        };
        Some(text.to_owned())
    }
}

/// Reads a length: the whole string, or nothing. A number without unit takes `bare`.
///
/// Returns mm, finite, within ±[`LONGEST`]; never the negative zero.
pub fn parse_length(text: &str, bare: LengthUnit) -> Result<f64, LengthError> {
    let trimmed = text.trim_matches(' ');
    if trimmed.is_empty() {
        return Err(LengthError::Empty);
    }
    let chars = trimmed.chars().count();
    if chars > MOST_CHARS {
        return Err(LengthError::TooLong(chars));
    }
    let (negative, rest) = match trimmed.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, trimmed.strip_prefix('+').unwrap_or(trimmed)),
    };
    let (number, unit) =
        take_number(rest).ok_or_else(|| LengthError::NoNumber(trimmed.to_owned()))??;
    let inches = match unit.trim_start_matches(' ') {
        "" if number.is_fraction() && bare == LengthUnit::Mm => {
            return Err(LengthError::FractionOfMm);
        }
        "" => bare == LengthUnit::Inch,
        "in" | "inch" | "\"" => true,
        "mm" | "cm" if number.is_fraction() => return Err(LengthError::FractionOfMm),
        "mm" => false,
        "cm" => return within(signed(negative, number.times(10.0, 1.0))),
        other => return Err(wrong_unit(other)),
    };
    let mm = if inches {
        number.times(254.0, 10.0)
    } else {
        number.times(1.0, 1.0)
    };
    within(signed(negative, mm))
}

/// Reads the thickness of a sheet: a length, or a steel gauge as `18 ga steel`. Returns mm.
pub fn parse_thickness(text: &str, bare: LengthUnit) -> Result<f64, LengthError> {
    let mut words = text.split(' ').filter(|word| !word.is_empty());
    let first = words.next().unwrap_or_default();
    let digits: String = first.chars().take_while(char::is_ascii_digit).collect();
    let glued = &first[digits.len()..];
    let unit = if glued.is_empty() {
        words.next().unwrap_or_default()
    } else {
        glued
    };
    if digits.is_empty() || !matches!(unit, "ga" | "gauge") {
        return parse_length(text, bare);
    }
    let unknown = || LengthError::Gauge(text.chars().take(MOST_CHARS).collect());
    let (metal, after) = (words.next(), words.next());
    if metal != Some("steel") || after.is_some() {
        let text = text.chars().take(MOST_CHARS).collect();
        return Err(LengthError::GaugeOfWhat(text));
    }
    let inches = digits
        .parse()
        .ok()
        .and_then(gauge_steel)
        .ok_or_else(unknown)?;
    Ok(inches * MM_PER_INCH)
}

/// What to write for a gauge without a known metal: what the number means in both, where both are known.
fn gauge_hint(text: &str) -> String {
    let digits: String = text
        .trim_start()
        .chars()
        .take_while(char::is_ascii_digit)
        .collect();
    let known = (digits.parse().ok()).and_then(|n| Some((gauge_steel(n)?, gauge_wire(n))));
    match known {
        Some((steel, other)) => format!(
            "{digits} ga is {:.2} mm ({steel:.4} in) in steel and {:.2} mm ({other:.4} in) in aluminium: write `{digits} ga steel`, or the thickness in mm or \
inches, best measured",
            steel * MM_PER_INCH,
            other * MM_PER_INCH
        ),
        None => "say the metal as in `18 ga steel`, or write the thickness in mm or inches".into(),
    }
}

/// Thickness in inches of American wire gauge, by which aluminium sheet is numbered: 36 is 0.005 in, 0000 is 0.46 in, the 39 steps between them are
/// equal ratios (ASTM B258; computed).
pub(crate) fn gauge_wire(gauge: u32) -> f64 {
    0.005 * 92f64.powf((36.0 - f64::from(gauge)) / 39.0)
}

/// Thickness in inches of a Manufacturers' Standard gauge of steel sheet; `None` outside 7 to 26.
///
/// The gauge is a weight per area; the thickness follows from 41.82 lb/ft² per inch and is rounded to 0.0001 in.
/// Source: sheet-gauge tables (weak pages that agree with the standard), which were read for 10, 18 and 20 ga and the
/// basis: published. 16 ga: computed from its published 2.5 lb/ft². The other weights: from memory, measure the sheet.
#[must_use]
pub fn gauge_steel(gauge: u32) -> Option<f64> {
    /// Inches for the gauges 7, 8, 9 and so on to 26.
    const INCHES: [f64; 20] = [
        0.1793, 0.1644, 0.1495, 0.1345, 0.1196, 0.1046, 0.0897, 0.0747, 0.0673, 0.0598, 0.0538,
        0.0478, 0.0418, 0.0359, 0.0329, 0.0299, 0.0269, 0.0239, 0.0209, 0.0179,
    ];
    let index = usize::try_from(gauge.checked_sub(7)?).ok()?;
    INCHES.get(index).copied()
}

/// Checks a number of mm that came from elsewhere than a string (a TOML number), in `unit`.
pub fn from_number(value: f64, unit: LengthUnit) -> Result<f64, LengthError> {
    if !value.is_finite() {
        return Err(LengthError::NotFinite);
    }
    within(match unit {
        LengthUnit::Mm => value,
        LengthUnit::Inch => value * MM_PER_INCH,
    })
}

fn within(mm: f64) -> Result<f64, LengthError> {
    if mm.abs() <= LONGEST {
        Ok(mm + 0.0)
    } else {
        Err(LengthError::Beyond)
    }
}

fn signed(negative: bool, mm: f64) -> f64 {
    if negative { -mm } else { mm }
}

fn wrong_unit(unit: &str) -> LengthError {
    match unit {
        "ft" | "feet" | "foot" | "'" => LengthError::Feet,
        _ if unit.starts_with('\'') => LengthError::Feet,
        _ if matches!(unit.split(' ').next(), Some("ga" | "gauge")) => LengthError::GaugeAsLength,
        _ if unit.starts_with(',') => LengthError::Comma,
        _ if unit.starts_with(['e', 'E'])
            && unit[1..]
                .starts_with(['-', '+', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9']) =>
        {
            LengthError::Exponent
        }
        _ => LengthError::Unit(unit.to_owned()),
    }
}

/// An unsigned number as written, kept as integers so that the conversion to mm rounds once.
enum Written {
    /// Digits without the point, and how many of them stand after it.
    Decimal {
        text: String,
        digits: u64,
        after: u32,
        exact: bool,
    },
    /// Numerator (with the whole number multiplied in) and denominator.
    Fraction { over: u64, under: u64 },
}

impl Written {
    fn is_fraction(&self) -> bool {
        matches!(self, Self::Fraction { .. })
    }

    /// Value times `by / through`, small whole numbers. Both products are exact, so only the division rounds.
    fn times(&self, by: f64, through: f64) -> f64 {
        match self {
            Self::Decimal {
                digits,
                after,
                exact: true,
                ..
            } => (*digits as f64 * by) / (power_of_ten(*after) * through),
            Self::Decimal { text, .. } => {
                text.parse::<f64>().unwrap_or(f64::INFINITY) * by / through
            }
            Self::Fraction { over, under } => (*over as f64 * by) / (*under as f64 * through),
        }
    }
}

fn power_of_ten(exponent: u32) -> f64 {
    // Exact up to 10^22, and `exact` numbers have at most 15 digits.
    (0..exponent).fold(1.0, |power, _| power * 10.0)
}

/// Splits the number off the front. `None` if there is none; `Some(Err)` if it is a broken fraction.
fn take_number(text: &str) -> Option<Result<(Written, &str), LengthError>> {
    let (whole, rest) = take_digits(text);
    if let Some(tail) = rest.strip_prefix('.') {
        let (after, rest) = take_digits(tail);
        if whole.is_empty() && after.is_empty() {
            return None;
        }
        return Some(Ok((decimal(whole, after), rest)));
    }
    if whole.is_empty() {
        return None;
    }
    if rest.starts_with('/') {
        return Some(fraction("0", text));
    }
    // `13 3/16` and `13-3/16`; a second number without a slash is left for the unit to be wrong about.
    let next = if let Some(tail) = rest.strip_prefix('-') {
        tail
    } else {
        rest.trim_start_matches(' ')
    };
    if next.len() < rest.len() && take_digits(next).1.starts_with('/') {
        return Some(fraction(whole, next));
    }
    Some(Ok((decimal(whole, ""), rest)))
}

fn take_digits(text: &str) -> (&str, &str) {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    text.split_at(end)
}

fn decimal(whole: &str, after: &str) -> Written {
    let digits = format!("{whole}{after}");
    let exact = digits.len() <= 13;
    Written::Decimal {
        digits: digits.parse().unwrap_or(0),
        after: u32::try_from(after.len()).unwrap_or(0),
        text: format!("0{whole}.{after}0"),
        exact,
    }
}

/// `text` begins with digits and a slash.
fn fraction<'t>(whole: &str, text: &'t str) -> Result<(Written, &'t str), LengthError> {
    let (over, rest) = take_digits(text);
    let (under, rest) = take_digits(rest.strip_prefix('/').unwrap_or(rest));
    let spelt = || LengthError::Fraction(format!("{over}/{under}"));
    // Four digits are plenty for a rule or a caliper, and keep the whole in 53 bits.
    let small = |digits: &str| {
        if digits.len() > 6 {
            None
        } else {
            digits.parse::<u64>().ok()
        }
    };
    let (Some(whole_number), Some(over_number), Some(under_number)) =
        (small(whole), small(over), small(under))
    else {
        return Err(spelt());
    };
    let proper = whole == "0" || over_number < under_number;
    if under_number == 0 || !proper {
        return Err(spelt());
    }
    Ok((
        Written::Fraction {
            over: whole_number * under_number + over_number,
            under: under_number,
        },
        rest,
    ))
}

/// Millimetres to 0.1: `357.4 mm`.
#[must_use]
pub fn mm_1(mm: f64) -> String {
    format!("{} mm", fixed(mm, 1))
}

/// Millimetres to 0.01, for drills and bores: `4.30 mm`.
#[must_use]
pub fn mm_2(mm: f64) -> String {
    format!("{} mm", fixed(mm, 2))
}

/// A number with so many decimals, without the sign of a zero.
fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| matches!(byte, b'0' | b'.')) => rest.to_owned(),
        _ => text,
    }
}

/// The nearest 1/64 in as a reduced fraction: `14 5/64 in`, `7/8 in`, `-1/8 in`, `0 in`.
#[must_use]
pub fn inch_64(mm: f64) -> String {
    let count = sixty_fourths(mm);
    let sign = if count < 0 { "-" } else { "" };
    let (whole, part) = (count.unsigned_abs() / 64, count.unsigned_abs() % 64);
    if part == 0 {
        return format!("{sign}{whole} in");
    }
    let shift = part.trailing_zeros();
    let (over, under) = (part >> shift, 64_u64 >> shift);
    if whole == 0 {
        format!("{sign}{over}/{under} in")
    } else {
        format!("{sign}{whole} {over}/{under} in")
    }
}

/// Decimal inches to 0.001: `14.071 in`.
#[must_use]
pub fn inch_3(mm: f64) -> String {
    format!("{} in", fixed(mm / MM_PER_INCH, 3))
}

/// How much longer than the true length the fraction of [`inch_64`] is, mm; negative if it is shorter. At most 0.198 mm either way.
#[must_use]
pub fn inch_64_error(mm: f64) -> f64 {
    sixty_fourths(mm) as f64 * (MM_PER_INCH / 64.0) - mm
}

fn sixty_fourths(mm: f64) -> i64 {
    // `as` saturates and turns NaN to 0, so no input can panic.
    (mm / MM_PER_INCH * 64.0).round() as i64
}

/// The fraction of an inch, and what to add to it or take off where it is off by over 0.1 mm: `14 5/64 in - 0.2 mm`.
#[must_use]
pub fn inch_64_corrected(mm: f64) -> String {
    let error = inch_64_error(mm);
    if error.abs() <= 0.1 {
        return inch_64(mm);
    }
    let sign = if error > 0.0 { '-' } else { '+' };
    format!("{} {sign} {:.1} mm", inch_64(mm), error.abs())
}

/// Both units, for reports: `357.6 mm (14 5/64 in)`, `357.4 mm (14 5/64 in - 0.2 mm)`.
#[must_use]
pub fn show(mm: f64) -> String {
    // where the nearest 64th is none at all, inches say nothing
    if mm.abs() < 25.4 / 128.0 {
        return mm_1(mm);
    }
    format!("{} ({})", mm_1(mm), inch_64_corrected(mm))
}

/// A volume in common: `12.3 mm3`, `under 0.05 mm3`.
#[must_use]
pub fn show_volume(mm3: f64) -> String {
    if mm3 > 0.0 && mm3 < 0.05 {
        "under 0.05 mm3".to_owned()
    } else {
        format!("{mm3:.1} mm3")
    }
}

/// `1 part`, `7 parts`.
#[must_use]
pub fn count(n: usize, what: &str) -> String {
    if n == 1 {
        format!("1 {what}")
    } else {
        format!("{n} {what}s")
    }
}

/// Both units for a drill or a bore, mm to 0.01: `4.37 mm (11/64 in)`.
#[must_use]
pub fn show_drill(mm: f64) -> String {
    format!("{} ({})", mm_2(mm), inch_64_corrected(mm))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mm(text: &str) -> f64 {
        parse_length(text, LengthUnit::Mm).unwrap_or_else(|error| panic!("{text}: {error}"))
    }

    fn refused(text: &str) -> LengthError {
        parse_length(text, LengthUnit::Mm).expect_err(text)
    }

    // Values by hand from 1 in = 25.4 mm (international yard and pound agreement, 1959).
    #[test]
    fn reads_every_spelling_exactly() {
        let cases = [
            ("1 in", 25.4),
            ("1/64 in", 0.396875),
            ("13 3/16 in", 334.9625),
            ("13-3/16in", 334.9625),
            ("13  3/16\"", 334.9625),
            ("2-3/4\"", 69.85),
            ("7/8 in", 22.225),
            ("-1/8 in", -3.175),
            ("-1-1/4 in", -31.75),
            ("1-1/4 in", 31.75),
            ("1.25 in", 31.75),
            ("1.25inch", 31.75),
            (".5 in", 12.7),
            ("0.1 in", 2.54),
            ("9/8 in", 28.575),
            ("335 mm", 335.0),
            ("3.2mm", 3.2),
            ("3.2", 3.2),
            ("+2 mm", 2.0),
            ("33.5 cm", 335.0),
            ("0.3 cm", 3.0),
            (" 335 mm ", 335.0),
            ("100000 mm", 100_000.0),
            ("12.", 12.0),
        ];
        for (text, want) in cases {
            assert_eq!(mm(text), want, "{text}");
        }
        assert!(mm("-0 mm").is_sign_positive());
    }

    #[test]
    fn bare_numbers_take_the_unit_of_the_file() {
        assert_eq!(parse_length("2", LengthUnit::Inch), Ok(50.8));
        assert_eq!(parse_length("13 3/16", LengthUnit::Inch), Ok(334.9625));
        assert_eq!(parse_length("2 mm", LengthUnit::Inch), Ok(2.0));
        assert_eq!(refused("13 3/16"), LengthError::FractionOfMm);
        assert_eq!(from_number(0.5, LengthUnit::Inch), Ok(12.7));
        assert_eq!(
            from_number(f64::NAN, LengthUnit::Mm),
            Err(LengthError::NotFinite)
        );
        assert_eq!(from_number(1e9, LengthUnit::Mm), Err(LengthError::Beyond));
    }

    #[test]
    fn refuses_what_is_not_wholly_a_length() {
        for text in [
            "2o0 mm",
            "1/0 in",
            "3 mm 4",
            "NaN",
            "inf",
            "-inf mm",
            "--2",
            "1e999",
            "1e3 mm",
            "",
            "  ",
            "5 ft",
            "5'",
            "5'6\"",
            "3,2 mm",
            "3 1/2 mm",
            "1 5/4 in",
            "2 3 in",
            "2 - 3/4 in",
            "in",
            "-",
            ".",
            "1..2",
            "1.2.3",
            "0x10",
            "1/2/3 in",
            "1/ in",
            "/2 in",
            "3 mmm",
            "3 MM",
            "1_000 mm",
            "١٢ mm",
            "½ in",
            "100000.1 mm",
            "9000000 in",
            "3937.1 in",
            "1/9999999 in",
            "18 ga steel",
            "2\tmm",
            "3 m\u{301}m",
        ] {
            assert!(
                parse_length(text, LengthUnit::Mm).is_err(),
                "{text:?} was read as a length"
            );
        }
        assert_eq!(refused(&"9".repeat(200)), LengthError::TooLong(200));
        assert_eq!(refused(&"9".repeat(30)), LengthError::Beyond);
        assert_eq!(refused("5'6\""), LengthError::Feet);
        assert_eq!(refused("3,2 mm"), LengthError::Comma);
        assert_eq!(refused("1e999"), LengthError::Exponent);
        assert_eq!(refused("1/0 in"), LengthError::Fraction("1/0".to_owned()));
        assert_eq!(refused("200000 mm"), LengthError::Beyond);
    }

    // Weights in lb/ft2: 10, 16, 18 and 20 ga published, the others from memory; basis 41.82 lb/ft2 per inch, published.
    #[test]
    fn gauges_follow_from_their_weights() {
        let weights = [
            (7, 7.5),
            (8, 6.875),
            (9, 6.25),
            (10, 5.625),
            (11, 5.0),
            (12, 4.375),
            (13, 3.75),
            (14, 3.125),
            (15, 2.8125),
            (16, 2.5),
            (17, 2.25),
            (18, 2.0),
            (19, 1.75),
            (20, 1.5),
            (21, 1.375),
            (22, 1.25),
            (23, 1.125),
            (24, 1.0),
            (25, 0.875),
            (26, 0.75),
        ];
        for (gauge, weight) in weights {
            let inches: f64 = gauge_steel(gauge).expect("a gauge of the table");
            assert!(
                (inches - weight / 41.82).abs() <= 0.000_051,
                "{gauge} ga: {inches}"
            );
        }
        assert_eq!(gauge_steel(18), Some(0.0478));
        assert_eq!(
            (gauge_steel(6), gauge_steel(27), gauge_steel(u32::MAX)),
            (None, None, None)
        );
    }

    #[test]
    fn sheet_thickness_takes_a_gauge_of_steel_only() {
        let read = |text| parse_thickness(text, LengthUnit::Mm);
        assert_eq!(read("18 ga steel"), Ok(0.0478 * 25.4));
        assert_eq!(read("16ga steel"), Ok(0.0598 * 25.4));
        assert_eq!(read("20 gauge steel"), Ok(0.0359 * 25.4));
        assert_eq!(read("3 mm"), Ok(3.0));
        assert_eq!(read("1/8 in"), Ok(3.175));
        for text in [
            "18 ga",
            "18 ga aluminium",
            "18 ga steel plate",
            "3 ga steel",
            "99999999999 ga steel",
            "ga steel",
            "-18 ga steel",
            "18 steel",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    // 18 AWG is 0.0403 in (ASTM B258), 1.02 mm.
    #[test]
    fn a_gauge_without_its_metal_is_told_with_what_it_could_mean() {
        let bare = parse_thickness("18 ga", LengthUnit::Mm).expect_err("no metal");
        assert_eq!(
            bare.to_string(),
            "gauge numbers differ between steel and aluminium"
        );
        let hint = bare.hint().expect("a hint");
        for word in [
            "1.21 mm (0.0478 in) in steel",
            "1.02 mm (0.0403 in) in aluminium",
        ] {
            assert!(hint.contains(word), "{hint}");
        }
        let wild = parse_thickness("3 ga brass", LengthUnit::Mm).expect_err("no steel");
        assert!(wild.hint().is_some_and(|h| h.contains("mm or inches")));
        let length = parse_length("18 ga", LengthUnit::Mm).expect_err("no sheet");
        assert_eq!(length, LengthError::GaugeAsLength);
    }

    // Fractions by hand: 357.4 / 25.4 x 64 = 900.535, 901/64 in = 357.584 mm.
    #[test]
    fn shows_both_units_and_what_the_fraction_is_off() {
        assert_eq!(show(357.4), "357.4 mm (14 5/64 in - 0.2 mm)");
        assert_eq!(show(357.55), "357.6 mm (14 5/64 in)");
        assert_eq!(show(25.4), "25.4 mm (1 in)");
        assert_eq!(show(25.28), "25.3 mm (1 in - 0.1 mm)");
        assert_eq!(show(-3.175), "-3.2 mm (-1/8 in)");
        assert_eq!(show(-0.01), "0.0 mm");
        assert_eq!(show(0.18), "0.2 mm");
        assert_eq!(show(25.39), "25.4 mm (1 in)");
        assert_eq!(show(0.5), "0.5 mm (1/64 in + 0.1 mm)");
        assert_eq!(show_drill(4.365), "4.37 mm (11/64 in)");
        assert_eq!(inch_3(357.4), "14.071 in");
        assert_eq!(inch_64(12.7), "1/2 in");
        assert_eq!(mm_2(-0.001), "0.00 mm");
    }

    proptest! {
        #[test]
        fn arbitrary_text_never_panics(text in any::<String>()) {
            for unit in [LengthUnit::Mm, LengthUnit::Inch] {
                if let Ok(mm) = parse_length(&text, unit) {
                    prop_assert!(mm.is_finite() && mm.abs() <= LONGEST);
                }
                let _ = parse_thickness(&text, unit);
            }
        }

        #[test]
        fn text_that_looks_like_a_length_never_panics(text in "[-+]?[0-9]{0,12}[ ./-]?[0-9]{0,9}[/.]?[0-9]{0,4} ?(mm|cm|in|inch|\"|ft|ga steel|e9)?") {
            for unit in [LengthUnit::Mm, LengthUnit::Inch] {
                if let Ok(mm) = parse_thickness(&text, unit) {
                    prop_assert!(mm.is_finite() && mm.abs() <= LONGEST);
                }
            }
        }

        #[test]
        fn any_number_of_sixty_fourths_comes_back(count in -250_000_i64..250_000) {
            let mm = count as f64 * 0.396875;
            prop_assert_eq!(parse_length(&inch_64(mm), LengthUnit::Mm), Ok(count as f64 * 254.0 / 640.0));
            prop_assert!(inch_64_error(mm).abs() < 1e-9);
        }

        #[test]
        fn shown_millimetres_come_back_to_their_last_figure(mm in -99_000.0..99_000.0_f64) {
            let tenth = parse_length(&mm_1(mm), LengthUnit::Inch).expect("a shown length");
            let hundredth = parse_length(&mm_2(mm), LengthUnit::Inch).expect("a shown length");
            prop_assert!((tenth - mm).abs() <= 0.05 + 1e-9);
            prop_assert!((hundredth - mm).abs() <= 0.005 + 1e-9);
            prop_assert!(inch_64_error(mm).abs() <= 25.4 / 128.0 + 1e-9);
        }

        #[test]
        fn decimals_read_as_the_standard_library_reads_them(whole in 0_u32..99_999, after in 0_u32..1000) {
            let text = format!("{whole}.{after:03}");
            let want: f64 = text.parse().expect("a decimal");
            prop_assert_eq!(parse_length(&text, LengthUnit::Mm), Ok(want));
        }
    }
}
