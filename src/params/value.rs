//! Reading single values.

use std::ops::Range;

use toml::de::DeValue;

use super::key::{Key, Kind, Limit, Word, nearest};
use super::read::{Count, Degrees, Field as _, Id, Length, Number, Reader, Sp, Thickness};
use crate::diag::Diagnostic;
use crate::units::{self, LengthError};

/// More of anything in one part is refused before any geometry.
pub const MOST_COUNT: u32 = 500;

/// Longest id; derived names and file names add to it.
const MOST_ID_CHARS: usize = 40;

/// Longest free text.
const MOST_TEXT_CHARS: usize = 300;

/// Longest design name; it becomes a folder.
const MOST_NAME_CHARS: usize = 80;

/// No plain number (a mass in kg) is larger.
const LARGEST: f64 = 1e6;

/// A value that stands for itself, read without its place.
pub trait Value: Sized {
    /// What it is.
    fn kind() -> Kind;
    /// What to write, for a message.
    fn expects(limit: Limit) -> String;
    /// Reads it; says in `r` why it cannot.
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self>;
}

/// What a value is, in a builder's words.
pub(super) fn found(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// A text from the file, fit to stand in a message.
pub(super) fn clip(text: &str) -> String {
    const MOST: usize = 40;
    let mut clipped: String = text
        .chars()
        .take(MOST)
        .flat_map(char::escape_debug)
        .collect();
    clipped = clipped.replace("\\\"", "\"").replace("\\'", "'");
    if text.chars().nth(MOST).is_some() {
        clipped.push_str("...");
    }
    clipped
}

fn wrong_kind<T: Value>(
    value: &DeValue<'_>,
    span: &Range<usize>,
    key: &Key,
    noun: &str,
    r: &mut Reader,
) -> Option<T> {
    let message = format!("`{}` is {}, not {noun}", key.name, found(value));
    r.report(Diagnostic::new(span.clone(), message).expected(T::expects(key.limit)));
    None
}

fn wrong_value<T: Value>(
    span: &Range<usize>,
    key: &Key,
    message: String,
    hint: Option<String>,
    r: &mut Reader,
) -> Option<T> {
    r.report(
        Diagnostic::new(span.clone(), message)
            .expected(T::expects(key.limit))
            .maybe_hint(hint),
    );
    None
}

/// A number as the file has it; `None` for anything else, infinite if it does not fit.
pub(super) fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(integer) if integer.radix() == 10 => {
            Some(integer.as_str().parse().unwrap_or(f64::INFINITY))
        }
        DeValue::Integer(integer) => Some(
            i64::from_str_radix(integer.as_str(), integer.radix())
                .map_or(f64::INFINITY, |whole| whole as f64),
        ),
        DeValue::Float(float) => Some(float.as_str().parse().unwrap_or(f64::NAN)),
        _ => None,
    }
}

/// Reads a length in mm, for a key that is named `name`.
pub(super) fn length_mm(
    value: &DeValue<'_>,
    span: &Range<usize>,
    (name, limit): (&str, Limit),
    of_text: fn(&str, units::LengthUnit) -> Result<f64, LengthError>,
    expected: &str,
    r: &mut Reader,
) -> Option<f64> {
    let unit = r.unit;
    let mut refuse = |message: String, hint: Option<String>| {
        r.report(
            Diagnostic::new(span.clone(), message)
                .expected(expected)
                .maybe_hint(hint),
        );
        None
    };
    let read = match (value, number(value)) {
        (DeValue::String(text), _) => of_text(text, unit),
        (_, Some(number)) => units::from_number(number, unit),
        _ => return refuse(format!("`{name}` is {}, not a length", found(value)), None),
    };
    match read {
        Ok(mm) if limit == Limit::Positive && mm <= 0.0 => refuse(
            format!("`{name}` is {}, but must be over 0", units::mm_1(mm)),
            None,
        ),
        Ok(mm) if limit == Limit::NotNegative && mm < 0.0 => refuse(
            format!("`{name}` is {}, but must not be negative", units::mm_1(mm)),
            None,
        ),
        Ok(mm) => Some(mm),
        Err(error @ LengthError::Beyond) => refuse(format!("`{name}` is {error}"), error.hint()),
        Err(error) => {
            let written = match value {
                DeValue::String(text) => format!("`{}` is not a length: {error}", clip(text)),
                _ => format!("`{name}` is {error}"),
            };
            refuse(written, error.hint())
        }
    }
}

fn sign_words(limit: Limit) -> &'static str {
    match limit {
        Limit::Positive => " over 0",
        Limit::NotNegative => " of 0 or more",
        _ => "",
    }
}

impl Value for Length {
    fn kind() -> Kind {
        Kind::Length
    }
    fn expects(limit: Limit) -> String {
        format!(
            "a length{}, such as `335 mm` or `13 3/16 in`",
            sign_words(limit)
        )
    }
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
        let expected = Self::expects(key.limit);
        length_mm(
            value,
            span,
            (&key.name, key.limit),
            units::parse_length,
            &expected,
            r,
        )
        .map(Self)
    }
}

impl Value for Thickness {
    fn kind() -> Kind {
        Kind::Thickness
    }
    fn expects(_limit: Limit) -> String {
        "a thickness over 0, such as `3 mm`, `1/8 in` or `18 ga steel`".to_owned()
    }
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
        let expected = Self::expects(key.limit);
        length_mm(
            value,
            span,
            (&key.name, Limit::Positive),
            units::parse_thickness,
            &expected,
            r,
        )
        .map(Self)
    }
}

impl Value for Degrees {
    fn kind() -> Kind {
        Kind::Degrees
    }
    fn expects(_limit: Limit) -> String {
        "an angle in degrees from -360 to 360, such as `45`".to_owned()
    }
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
        match number(value) {
            Some(degrees) if degrees.abs() <= 360.0 => Some(Self(degrees + 0.0)),
            Some(_) => wrong_value(
                span,
                key,
                format!("`{}` is out of range", key.name),
                None,
                r,
            ),
            None => wrong_kind(value, span, key, "an angle", r),
        }
    }
}

impl Value for Number {
    fn kind() -> Kind {
        Kind::Number
    }
    fn expects(limit: Limit) -> String {
        format!("a number{} and at most 1,000,000", sign_words(limit))
    }
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
        let Some(number) = number(value) else {
            return wrong_kind(value, span, key, "a number", r);
        };
        let low = match key.limit {
            Limit::Positive => number > 0.0,
            Limit::NotNegative => number >= 0.0,
            _ => number >= -LARGEST,
        };
        if low && number <= LARGEST {
            return Some(Self(number + 0.0));
        }
        wrong_value(
            span,
            key,
            format!("`{}` is out of range", key.name),
            None,
            r,
        )
    }
}

impl Value for Count {
    fn kind() -> Kind {
        Kind::Count
    }
    fn expects(limit: Limit) -> String {
        let least = u32::from(limit == Limit::Positive);
        format!("a whole number from {least} to {MOST_COUNT}")
    }
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
        let DeValue::Integer(integer) = value else {
            return wrong_kind(value, span, key, "a whole number", r);
        };
        let least = u32::from(key.limit == Limit::Positive);
        match u32::from_str_radix(integer.as_str(), integer.radix()) {
            Ok(count) if (least..=MOST_COUNT).contains(&count) => Some(Self(count)),
            _ => {
                let message = format!("`{}` is {}, out of range", key.name, clip(integer.as_str()));
                wrong_value(span, key, message, None, r)
            }
        }
    }
}

impl Value for bool {
    fn kind() -> Kind {
        Kind::YesNo
    }
    fn expects(_limit: Limit) -> String {
        "`true` or `false`, without quotes".to_owned()
    }
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
        match value {
            DeValue::Boolean(yes) => Some(*yes),
            _ => wrong_kind(value, span, key, "true or false", r),
        }
    }
}

impl Value for String {
    fn kind() -> Kind {
        Kind::Text
    }
    fn expects(limit: Limit) -> String {
        match limit {
            Limit::FolderName => {
                format!("a name of at most {MOST_NAME_CHARS} characters that can name a folder")
            }
            _ => format!("text in quotes on one line, at most {MOST_TEXT_CHARS} characters"),
        }
    }
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
        let DeValue::String(text) = value else {
            return wrong_kind(value, span, key, "text", r);
        };
        let wrong = match key.limit {
            Limit::FolderName => folder_fault(text),
            limit => text_fault(text, limit == Limit::MayBeEmpty, MOST_TEXT_CHARS),
        };
        match wrong {
            Some(wrong) => wrong_value(span, key, format!("`{}` {wrong}", key.name), None, r),
            None => Some(text.clone().into_owned()),
        }
    }
}

fn text_fault(text: &str, may_be_empty: bool, most: usize) -> Option<String> {
    if !may_be_empty && text.trim().is_empty() {
        return Some("is empty".to_owned());
    }
    if text.chars().any(unseen) {
        return Some("holds a line break or another character that cannot be seen".to_owned());
    }
    let chars = text.chars().count();
    (chars > most).then(|| format!("has {chars} characters, more than {most}"))
}

/// Control characters and those that hide themselves or turn the writing direction.
fn unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}')
}

/// Why a text cannot name a folder on one system or another.
fn folder_fault(name: &str) -> Option<String> {
    if let Some(fault) = text_fault(name, false, MOST_NAME_CHARS) {
        return Some(fault);
    }
    if let Some(c) = name
        .chars()
        .find(|c| matches!(c, '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|'))
    {
        return Some(format!(
            "holds `{c}`, which cannot stand in a folder's name"
        ));
    }
    if name.starts_with(['.', ' ']) || name.ends_with(['.', ' ']) {
        return Some("begins or ends with a dot or a space".to_owned());
    }
    // Some systems reserve these with any ending: `nul.1` too.
    let stem = name.split('.').next().unwrap_or(name).trim_end();
    reserved(stem).then(|| "is a name that some systems reserve for a device".to_owned())
}

fn reserved(name: &str) -> bool {
    let lower = name.to_lowercase();
    let device = |stem: &str| {
        lower
            .strip_prefix(stem)
            .is_some_and(|rest| matches!(rest.as_bytes(), [b'0'..=b'9']))
    };
    matches!(lower.as_str(), "con" | "prn" | "aux" | "nul") || device("com") || device("lpt")
}

impl Value for Id {
    fn kind() -> Kind {
        Kind::Id
    }
    fn expects(_limit: Limit) -> String {
        format!(
            "a name of letters a to z, digits, `-` and `_`, such as `V1`, at most {MOST_ID_CHARS} characters"
        )
    }
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
        let DeValue::String(text) = value else {
            return wrong_kind(value, span, key, "a name", r);
        };
        if let Some(fault) = id_fault(text) {
            return wrong_value(span, key, format!("id `{}` {fault}", clip(text)), None, r);
        }
        // Other keys of this kind only refer to an item.
        if key.name == "id" {
            r.take_id(text, span);
        }
        Some(Self(text.clone().into_owned()))
    }
}

fn id_fault(id: &str) -> Option<String> {
    if id.is_empty() {
        return Some("is empty".to_owned());
    }
    if let Some(c) = id
        .chars()
        .find(|c| !c.is_ascii_alphanumeric() && !matches!(c, '-' | '_'))
    {
        return Some(match c {
            ' ' => "holds a space".to_owned(),
            _ => format!("holds `{}`", clip(c.encode_utf8(&mut [0; 4]))),
        });
    }
    if id.len() > MOST_ID_CHARS {
        return Some(format!(
            "has {} characters, more than {MOST_ID_CHARS}",
            id.len()
        ));
    }
    if !id.starts_with(|c: char| c.is_ascii_alphanumeric()) {
        return Some("does not begin with a letter or a digit".to_owned());
    }
    // `V1-` and the socket of `V1` would be told apart by one dash only.
    if id.ends_with(['-', '_']) {
        return Some("ends with a dash".to_owned());
    }
    reserved(id).then(|| "is a name that some systems reserve for a device".to_owned())
}

impl<T: Value> Value for Vec<Sp<T>> {
    fn kind() -> Kind {
        match T::kind() {
            Kind::Id => Kind::List(&Kind::Id),
            _ => Kind::List(&Kind::Text),
        }
    }
    fn expects(limit: Limit) -> String {
        let count = match limit {
            Limit::Pair => "of exactly two",
            Limit::TwoOrMore => "of two or more",
            _ => "of any number",
        };
        format!(
            "a list in square brackets {count}; each is {}",
            T::expects(Limit::Any)
        )
    }
    fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
        let DeValue::Array(array) = value else {
            return wrong_kind(value, span, key, "a list", r);
        };
        if array.len() > MOST_COUNT as usize {
            let message = format!(
                "`{}` has {} in its list, more than {MOST_COUNT}",
                key.name,
                array.len()
            );
            return wrong_value(span, key, message, None, r);
        }
        // Not collected into an Option: the first bad entry must not hide the next.
        let read: Vec<Option<Sp<T>>> = array.iter().map(|entry| Sp::read(entry, key, r)).collect();
        let fits = match key.limit {
            Limit::Pair => array.len() == 2,
            Limit::TwoOrMore => array.len() >= 2,
            _ => true,
        };
        if !fits {
            return wrong_value(
                span,
                key,
                format!("`{}` has {} in its list", key.name, array.len()),
                None,
                r,
            );
        }
        read.into_iter().collect()
    }
}

/// The words as a list for a message, those most like `written` first.
pub(super) fn list_words(words: &[Word], written: &str) -> String {
    let mut sorted: Vec<&str> = words.iter().map(|word| word.word).collect();
    let alike = |word: &str| strsim::jaro_winkler(&written.to_lowercase(), word);
    if !written.is_empty() && written.len() <= 60 {
        sorted.sort_by(|a, b| alike(b).total_cmp(&alike(a)));
    }
    let quoted: Vec<String> = sorted.iter().map(|word| format!("`\"{word}\"`")).collect();
    format!("one of {}", quoted.join(", "))
}

/// Reads one of a few words; called by `words!`.
pub(super) fn read_word(
    value: &DeValue<'_>,
    span: &Range<usize>,
    key: &Key,
    words: &'static [Word],
    r: &mut Reader,
) -> Option<&'static str> {
    let DeValue::String(text) = value else {
        let message = format!("`{}` is {}, not a word in quotes", key.name, found(value));
        r.report(Diagnostic::new(span.clone(), message).expected(list_words(words, "")));
        return None;
    };
    if let Some(word) = words.iter().find(|word| word.word == text.as_ref()) {
        return Some(word.word);
    }
    let message = format!("`{}` is no word for `{}`", clip(text), key.name);
    let hint = nearest(text, words.iter().map(|word| word.word))
        .map(|near| format!("did you mean `\"{near}\"`?"));
    r.report(
        Diagnostic::new(span.clone(), message)
            .expected(list_words(words, text))
            .maybe_hint(hint),
    );
    None
}
