//! Reading tables with their places, collecting every error of a run.
//!
//! `table!` and `words!` turn one declaration into the struct, its key list and its reader. The file is walked as a
//! tree of spanned values, because a derived reader would stop at the first error.

use std::collections::BTreeMap;
use std::ops::{Deref, Range};

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::key::{Declared, Key, Kind, header, kebab, nearest, tables_with};
use super::value::{Value, clip, found};
use super::{Params, syntax};
use crate::diag::{Diagnostic, Diagnostics, Lines};
use crate::units::LengthUnit;

/// A value and its byte range in the source text.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Sp<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Range<usize>,
}

impl<T> Deref for Sp<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

/// A length in mm, already converted from the file's unit.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Length(pub f64);

/// The thickness of a sheet in mm; may be written as a steel gauge.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Thickness(pub f64);

/// An angle in degrees.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Degrees(pub f64);

/// A bare number.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Number(pub f64);

/// A whole number, zero or more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Count(pub u32);

/// A name given by the builder: letters, digits, `-`, `_`.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Id(pub String);

/// A longer file is refused unread, so that no input can keep the tool busy; 10,000 full items fit in.
const MOST_BYTES: usize = 4 << 20;

/// After this many errors the rest is not looked for: a file that is not a parameter file at all has millions.
const MOST_ERRORS: usize = 1000;

/// Every item is at least one solid, so more items than this can never be modelled.
const MOST_ITEMS: usize = 10_000;

/// Reads a whole file. Every error in it is reported, in the order of the file.
pub fn parse(text: &str) -> Result<Params, Diagnostics> {
    read_root::<Params>(text, None)
}

/// Reads the keys of one table without its header, as tests need.
#[cfg(test)]
pub(crate) fn snippet<T: Table>(text: &str) -> Result<T, Diagnostics> {
    read_root(text, Some(LengthUnit::Mm))
}

fn read_root<T: Table>(text: &str, unit: Option<LengthUnit>) -> Result<T, Diagnostics> {
    let mut out = Diagnostics::default();
    if let Some(diagnostic) = too_many_headers(text).or_else(|| too_long(text)) {
        out.push(diagnostic);
        return Err(out);
    }
    let (root, errors) = DeTable::parse_recoverable(text);
    let table = root.get_ref();
    if let Some(diagnostic) = too_many(table) {
        out.push(diagnostic);
        return Err(out);
    }
    let lines = Lines::new(text);
    let syntax = syntax::report(errors, text, &lines);
    let mut reader = Reader {
        unit: unit.unwrap_or_else(|| unit_of_file(table)),
        out: Diagnostics::default(),
        path: Vec::new(),
        ids: Vec::new(),
        whole: !syntax.torn,
    };
    let read = T::read_table(table, 0..0, &mut reader);
    reader.report_double_ids(&lines);
    if reader.is_full() {
        let message = format!("more than {MOST_ERRORS} errors, the others were not looked for");
        reader
            .out
            .push(Diagnostic::new(text.len()..text.len(), message));
    }
    // What stands on a line that is not even TOML, or after text that could not be followed, would be guesswork.
    reader
        .out
        .list
        .retain(|diagnostic| syntax.trusts(lines.line(diagnostic.span.start)));
    out.merge(syntax.diagnostics);
    out.merge(reader.out);
    match read {
        Some(value) => out.or(value),
        None if out.is_empty() => {
            // Every reader that gives nothing has said why; this keeps the promise even if one forgets.
            out.error(0..0, "the file cannot be read");
            Err(out)
        }
        None => {
            out.sort();
            Err(out)
        }
    }
}

/// The unit must be known before the first length, wherever it stands; a bad one is reported when its table is read.
fn unit_of_file(root: &DeTable<'_>) -> LengthUnit {
    let written = root
        .get("design")
        .and_then(|design| design.get_ref().as_table())
        .and_then(|design| design.get("unit"))
        .and_then(|unit| unit.get_ref().as_str());
    if written == Some(super::Unit::Inch.word()) {
        LengthUnit::Inch
    } else {
        LengthUnit::Mm
    }
}

/// Counts `[[..]]` headers without parsing, so that a huge file is answered at once.
fn too_many_headers(text: &str) -> Option<Diagnostic> {
    let mut start = 0;
    let mut total = 0;
    let mut excess = None;
    for line in text.split_inclusive('\n') {
        if line.trim_start().starts_with("[[") {
            total += 1;
            if total == MOST_ITEMS + 1 {
                excess = Some(start..start + line.trim_end().len());
            }
        }
        start += line.len();
    }
    excess.map(|span| more_than_allowed(span, total))
}

fn more_than_allowed(span: Range<usize>, total: usize) -> Diagnostic {
    Diagnostic::new(
        span,
        format!("more than 10,000 solids: the file lists {total} items"),
    )
    .expected("at most 10,000 items in all")
}

fn too_long(text: &str) -> Option<Diagnostic> {
    let kilobytes = text.len() >> 10;
    (text.len() > MOST_BYTES).then(|| {
        Diagnostic::new(0..0, format!("the file is {kilobytes} kB long"))
            .expected("at most 4096 kB")
    })
}

/// Counts the items that are written as lists of tables too.
fn too_many(root: &DeTable<'_>) -> Option<Diagnostic> {
    let mut total = 0;
    let mut longest = (0, 0..0);
    let mut tables = vec![root];
    while let Some(table) = tables.pop() {
        for (_, value) in table.iter() {
            match value.get_ref() {
                DeValue::Table(inner) => tables.push(inner),
                DeValue::Array(array) => {
                    let items = array
                        .iter()
                        .filter(|entry| matches!(entry.get_ref(), DeValue::Table(_)))
                        .count();
                    total += items;
                    if items > longest.0 {
                        longest = (items, value.span());
                    }
                }
                _ => {}
            }
        }
    }
    (total > MOST_ITEMS).then(|| more_than_allowed(longest.1, total))
}

/// A field of a table.
pub trait Field: Sized {
    /// Whether the key must be there.
    const REQUIRED: bool;
    /// What it takes.
    fn kind() -> Kind;
    /// What to write, for a message.
    fn expects(key: &Key) -> String;
    /// Reads it; says in `r` why it cannot.
    fn read(value: &Spanned<DeValue<'_>>, key: &Key, r: &mut Reader) -> Option<Self>;
    /// What stands for it when the key is left out, if it may be.
    fn missing() -> Option<Self>;
}

/// A table, declared by `table!`.
pub trait Table: Sized {
    /// Its keys.
    fn declared() -> &'static Declared;
    /// Reads it; says in `r` why it cannot.
    fn read_table(table: &DeTable<'_>, span: Range<usize>, r: &mut Reader) -> Option<Self>;
}

impl<T: Value> Field for Sp<T> {
    const REQUIRED: bool = true;
    fn kind() -> Kind {
        T::kind()
    }
    fn expects(key: &Key) -> String {
        T::expects(key.limit)
    }
    fn read(value: &Spanned<DeValue<'_>>, key: &Key, r: &mut Reader) -> Option<Self> {
        let span = value.span();
        T::read(value.get_ref(), &span, key, r).map(|value| Self { value, span })
    }
    fn missing() -> Option<Self> {
        None
    }
}

impl<T: Field> Field for Option<T> {
    const REQUIRED: bool = false;
    fn kind() -> Kind {
        T::kind()
    }
    fn expects(key: &Key) -> String {
        T::expects(key)
    }
    fn read(value: &Spanned<DeValue<'_>>, key: &Key, r: &mut Reader) -> Option<Self> {
        T::read(value, key, r).map(Some)
    }
    fn missing() -> Option<Self> {
        Some(None)
    }
}

impl<T: Table> Field for Vec<T> {
    const REQUIRED: bool = false;
    fn kind() -> Kind {
        Kind::Tables(T::declared)
    }
    fn expects(key: &Key) -> String {
        format!("any number of tables `{}`", header(&key.name, true))
    }
    fn read(value: &Spanned<DeValue<'_>>, key: &Key, r: &mut Reader) -> Option<Self> {
        match value.get_ref() {
            DeValue::Array(array) => {
                let mut list = Some(Vec::with_capacity(array.len()));
                for entry in array.iter() {
                    let one: Option<T> = match entry.get_ref() {
                        DeValue::Table(table) => r.enter(table, entry.span(), key, true),
                        other => {
                            r.not_a_table(entry.span(), other, key, true);
                            None
                        }
                    };
                    list = list.zip(one).map(|(mut list, one)| {
                        list.push(one);
                        list
                    });
                }
                list
            }
            DeValue::Table(table) => {
                r.not_a_table(value.span(), value.get_ref(), key, true);
                // Read all the same, for the other errors in it.
                let _: Option<T> = r.enter(table, value.span(), key, true);
                None
            }
            other => {
                r.not_a_table(value.span(), other, key, true);
                None
            }
        }
    }
    fn missing() -> Option<Self> {
        Some(Self::new())
    }
}

/// Reads a table that stands alone; called by `table!`.
pub fn read_single<T: Table>(value: &Spanned<DeValue<'_>>, key: &Key, r: &mut Reader) -> Option<T> {
    match value.get_ref() {
        DeValue::Table(table) => r.enter(table, value.span(), key, false),
        other => {
            r.not_a_table(value.span(), other, key, false);
            if let DeValue::Array(array) = other
                && let [entry] = &array[..]
                && let DeValue::Table(table) = entry.get_ref()
            {
                let _: Option<T> = r.enter(table, entry.span(), key, false);
            }
            None
        }
    }
}

/// A table on the way to the one being read.
struct Step {
    name: String,
    many: bool,
    id: Option<String>,
}

/// An id that an item has taken.
struct Taken {
    id: String,
    span: Range<usize>,
}

/// What reading needs to know, and what it has found.
pub struct Reader {
    /// Unit of bare numbers.
    pub unit: LengthUnit,
    /// Everything wrong so far.
    pub out: Diagnostics,
    path: Vec<Step>,
    ids: Vec<Taken>,
    /// The text was TOML throughout, so a key that is not there was not written.
    whole: bool,
}

impl Reader {
    /// Adds an error, unless there are too many already.
    pub fn report(&mut self, diagnostic: Diagnostic) {
        if !self.is_full() {
            self.out.push(diagnostic);
        }
    }

    fn is_full(&self) -> bool {
        self.out.len() >= MOST_ERRORS
    }

    /// The table being read, for a message: `[cabinet.groove]`, `[[tube]] V1`.
    fn label(&self) -> String {
        let Some(last) = self.path.last() else {
            return "the file".to_owned();
        };
        let names: Vec<&str> = self.path.iter().map(|step| step.name.as_str()).collect();
        let header = header(&names.join("."), last.many);
        match &last.id {
            Some(id) => format!("`{header}` `{id}`"),
            None => format!("`{header}`"),
        }
    }

    fn path_to(&self, key: &str, many: bool) -> String {
        let names: Vec<&str> = self
            .path
            .iter()
            .map(|step| step.name.as_str())
            .chain([key])
            .collect();
        header(&names.join("."), many)
    }

    fn enter<T: Table>(
        &mut self,
        table: &DeTable<'_>,
        span: Range<usize>,
        key: &Key,
        many: bool,
    ) -> Option<T> {
        let id = table
            .get("id")
            .and_then(|id| id.get_ref().as_str())
            .map(clip);
        self.path.push(Step {
            name: key.name.clone(),
            many,
            id,
        });
        let read = T::read_table(table, span, self);
        self.path.pop();
        read
    }

    fn not_a_table(&mut self, span: Range<usize>, value: &DeValue<'_>, key: &Key, many: bool) {
        let wanted = self.path_to(&key.name, many);
        let expected = if many {
            "any number of tables"
        } else {
            "one table"
        };
        let hint = match value {
            DeValue::Table(_) => {
                format!("write the header with two brackets, `{wanted}`: there may be several")
            }
            DeValue::Array(_) if !many => {
                format!("write the header with one bracket, `{wanted}`: there is only one")
            }
            _ => format!("begin a line with `{wanted}` and write the keys under it"),
        };
        let message = format!(
            "`{}` is {}, not {}",
            key.name,
            found(value),
            if many { "a list of tables" } else { "a table" }
        );
        self.report(Diagnostic::new(span, message).expected(expected).hint(hint));
    }

    /// Reports the keys that a table does not know. Returns the known names they were probably meant for, so that these are not
    /// reported as missing too.
    pub fn report_unknown(
        &mut self,
        table: &DeTable<'_>,
        declared: &'static Declared,
    ) -> Vec<&'static str> {
        let mut meant = Vec::new();
        for (key, _) in table.iter() {
            let written: &str = key.get_ref();
            if declared.keys.iter().any(|known| known.name == written) {
                continue;
            }
            if self.is_full() {
                break;
            }
            let near = nearest(
                written,
                declared.keys.iter().map(|known| known.name.as_str()),
            );
            meant.extend(near.filter(|near| !table.contains_key(*near)));
            // Written with `_`, the name is still recognised.
            let dashed = clip(&kebab(written));
            let elsewhere = if near == Some(dashed.as_str()) {
                Vec::new()
            } else {
                tables_with(&dashed)
            };
            let near_text = near.map(|near| format!("did you mean `{near}`?"));
            let elsewhere_text = (!elsewhere.is_empty()).then(|| {
                let quoted: Vec<String> = elsewhere
                    .iter()
                    .map(|header| format!("`{header}`"))
                    .collect();
                format!("`{dashed}` is a key of {}", quoted.join(", "))
            });
            let hint: Vec<String> = near_text.into_iter().chain(elsewhere_text).collect();
            let names: Vec<String> = declared
                .keys
                .iter()
                .map(|known| format!("`{}`", known.name))
                .collect();
            let message = format!("unknown key `{}` in {}", clip(written), self.label());
            let diagnostic = Diagnostic::new(key.span(), message)
                .expected(names.join(", "))
                .maybe_hint((!hint.is_empty()).then(|| hint.join("; ")));
            self.report(diagnostic);
        }
        meant
    }

    /// Reads one field of a table.
    pub fn field<F: Field>(
        &mut self,
        table: &DeTable<'_>,
        span: &Range<usize>,
        key: &Key,
        meant: &[&str],
    ) -> Option<F> {
        if let Some(value) = table.get(key.name.as_str()) {
            return F::read(value, key, self);
        }
        let missing = F::missing();
        if missing.is_none() && self.whole && !meant.contains(&key.name.as_str()) {
            let message = match key.kind {
                Kind::Table(_) => format!("table `{}` is missing", self.path_to(&key.name, false)),
                _ => format!("`{}` is missing in {}", key.name, self.label()),
            };
            self.report(Diagnostic::new(span.clone(), message).expected(F::expects(key)));
        }
        missing
    }

    /// Remembers that an item has taken an id.
    pub fn take_id(&mut self, id: &str, span: &Range<usize>) {
        self.ids.push(Taken {
            id: id.to_owned(),
            span: span.clone(),
        });
    }

    /// Ids name files, and some file systems do not tell upper from lower case.
    fn report_double_ids(&mut self, lines: &Lines<'_>) {
        let mut ids = std::mem::take(&mut self.ids);
        ids.sort_by_key(|taken| taken.span.start);
        let mut first: BTreeMap<String, &Taken> = BTreeMap::new();
        for taken in &ids {
            let earlier = first.entry(taken.id.to_lowercase()).or_insert(taken);
            if earlier.span == taken.span {
                continue;
            }
            let message = format!(
                "id `{}` on line {} is already taken by `{}` on line {}",
                taken.id,
                lines.line(taken.span.start),
                earlier.id,
                lines.line(earlier.span.start)
            );
            let diagnostic = Diagnostic::new(taken.span.clone(), message)
                .expected("an id that no other item has, upper and lower case being the same");
            self.report(diagnostic);
        }
    }
}

macro_rules! table {
    ($(#[doc = $doc:literal])* pub struct $name:ident { $($(#[doc = $fdoc:literal])* $field:ident : $ty:ty $(where $limit:ident)?,)* }) => {
        $(#[doc = $doc])*
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name {
            $($(#[doc = $fdoc])* pub $field: $ty,)*
            /// Where the table stands in the file (its header or its braces).
            pub span: std::ops::Range<usize>,
        }

        impl $name {
            /// The keys it takes.
            #[must_use]
            pub fn keys() -> &'static [$crate::params::Key] {
                &<Self as $crate::params::read::Table>::declared().keys
            }
        }

        impl $crate::params::read::Table for $name {
            fn declared() -> &'static $crate::params::Declared {
                static DECLARED: std::sync::OnceLock<$crate::params::Declared> = std::sync::OnceLock::new();
                DECLARED.get_or_init(|| $crate::params::Declared {
                    doc: concat!($($doc),*).trim().to_owned(),
                    keys: vec![$($crate::params::Key {
                        name: $crate::params::key::kebab(stringify!($field)),
                        doc: concat!($($fdoc),*).trim().to_owned(),
                        kind: <$ty as $crate::params::read::Field>::kind(),
                        required: <$ty as $crate::params::read::Field>::REQUIRED,
                        limit: limit!($($limit)?),
                    },)*],
                })
            }

            fn read_table(
                table: &toml::de::DeTable<'_>,
                span: std::ops::Range<usize>,
                r: &mut $crate::params::read::Reader,
            ) -> Option<Self> {
                let declared = Self::declared();
                let meant = r.report_unknown(table, declared);
                let mut keys = declared.keys.iter();
                // All fields first, then the `?`: one bad field must not hide the next.
                $(let $field = r.field::<$ty>(table, &span, keys.next().expect("one key is declared per field"), &meant);)*
                Some($name { $($field: $field?,)* span })
            }
        }

        impl $crate::params::read::Field for $name {
            const REQUIRED: bool = true;
            fn kind() -> $crate::params::Kind {
                $crate::params::Kind::Table(<$name as $crate::params::read::Table>::declared)
            }
            fn expects(_key: &$crate::params::Key) -> String {
                let needed: Vec<String> =
                    Self::keys().iter().filter(|key| key.required).map(|key| format!("`{}`", key.name)).collect();
                if needed.is_empty() { "a table".to_owned() } else { format!("a table with {}", needed.join(", ")) }
            }
            fn read(
                value: &toml::Spanned<toml::de::DeValue<'_>>,
                key: &$crate::params::Key,
                r: &mut $crate::params::read::Reader,
            ) -> Option<Self> {
                $crate::params::read::read_single(value, key, r)
            }
            fn missing() -> Option<Self> {
                None
            }
        }
    };
}

/// The limit of a field: the one after `where`, or any.
macro_rules! limit {
    () => {
        $crate::params::Limit::Any
    };
    ($limit:ident) => {
        $crate::params::Limit::$limit
    };
}

macro_rules! words {
    ($(#[doc = $doc:literal])* pub enum $name:ident { $($(#[doc = $vdoc:literal])* $variant:ident = $word:literal,)* }) => {
        $(#[doc = $doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $name {
            $($(#[doc = $vdoc])* $variant,)*
        }

        impl $name {
            /// The word that stands for it in a parameter file.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)* }
            }

            /// Every word with its meaning.
            #[must_use]
            pub fn words() -> &'static [$crate::params::Word] {
                const WORDS: &[$crate::params::Word] =
                    &[$($crate::params::Word { word: $word, doc: concat!($($vdoc),*).trim_ascii() },)*];
                WORDS
            }
        }

        impl $crate::params::value::Value for $name {
            fn kind() -> $crate::params::Kind {
                $crate::params::Kind::Words(Self::words())
            }
            fn expects(_limit: $crate::params::Limit) -> String {
                $crate::params::value::list_words(Self::words(), "")
            }
            fn read(
                value: &toml::de::DeValue<'_>,
                span: &std::ops::Range<usize>,
                key: &$crate::params::Key,
                r: &mut $crate::params::read::Reader,
            ) -> Option<Self> {
                match $crate::params::value::read_word(value, span, key, Self::words(), r)? {
                    $($word => Some($name::$variant),)*
                    _ => None,
                }
            }
        }
    };
}
