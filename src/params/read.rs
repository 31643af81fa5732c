//! Reading values with their places, collecting every error of a run.

use std::ops::{Deref, Range};

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

/// Reads a whole file.
pub fn parse(_text: &str) -> Result<super::Params, crate::diag::Diagnostics> {
    Err(crate::diag::Diagnostics::default())
}

macro_rules! table {
    ($(#[doc = $doc:literal])* pub struct $name:ident { $($(#[doc = $fdoc:literal])* $field:ident : $ty:ty,)* }) => {
        $(#[doc = $doc])*
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name {
            $($(#[doc = $fdoc])* pub $field: $ty,)*
            /// Where the table stands in the file (its header or its braces).
            pub span: std::ops::Range<usize>,
        }
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
        }
    };
}
