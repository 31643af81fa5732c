//! What a check says of itself; the reference page is made of it.

/// The text of a check.
pub(super) struct Doc {
    /// Ids of its findings.
    pub ids: &'static [&'static str],
    pub title: &'static str,
    pub does: &'static str,
    pub why: &'static str,
    pub example: &'static str,
    pub change: &'static str,
    /// Where its figures are from, and their status.
    pub rests_on: &'static str,
}
