//! One kind of diagnostic for everything that is wrong with an input.

use std::ops::Range;

/// Something wrong with the parameter file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Byte range in the source text.
    pub span: Range<usize>,
    /// What is wrong: lower case, no full stop, values in backticks.
    pub message: String,
    /// What was expected there, e.g. "a length such as `335 mm` or `13 3/16 in`".
    pub expected: Option<String>,
    /// What to do about it.
    pub hint: Option<String>,
}

/// Collects diagnostics so that one run reports them all.
#[derive(Clone, Debug, Default)]
pub struct Diagnostics {
    /// In the order found; sorted by place when shown.
    pub list: Vec<Diagnostic>,
}
