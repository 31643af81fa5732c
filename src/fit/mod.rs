//! What is checked, one file per check, and what a check reports.

mod report;

pub use report::{DerivedLine, Finding, JoinedRow, PairRow, Report, Severity, SolidRow, Verdict};
