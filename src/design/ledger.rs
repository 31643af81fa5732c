//! Keeps the reason of every number that nobody typed, and every error on the way.

use crate::catalogue::{self, FittingRow, MaterialRow, Row, Status};
use crate::diag::{Diagnostic, Diagnostics};
use crate::params::{Length, Sp, Unit};
use std::ops::Range;

/// A number the design worked out, with its reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Derived {
    /// What it is, e.g. `plate width over the ears`.
    pub name: String,
    /// Value, mm.
    pub value: f64,
    /// How it came about, e.g. `inside 343.0 + 2 x (8.0 groove - 0.8 play)`.
    pub reason: String,
}

/// A value that the parameter file left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Defaulted {
    /// The key, e.g. `cabinet.board`.
    pub key: String,
    /// The value taken, in words.
    pub value: String,
    /// Why that one.
    pub reason: String,
}

/// What the design has to say before anything is measured; `fit` turns it into findings.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// Name of the check, as in a finding.
    pub check: &'static str,
    /// Whether it is a rule that must hold.
    pub error: bool,
    /// Ids it is about.
    pub about: Vec<String>,
    /// Measured, mm.
    pub measured: f64,
    /// Wanted, mm.
    pub wanted: f64,
    /// For a person.
    pub text: String,
    /// What to do.
    pub hint: String,
    /// Source and status of the rule.
    pub source: &'static str,
}

/// A part whose figures nobody measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Unmeasured {
    /// The item.
    pub id: String,
    /// The catalogue row it rests on.
    pub row: String,
    /// The row's source.
    pub source: String,
}

/// Collects reasons and errors while a design is resolved.
#[derive(Debug, Default)]
pub(super) struct Ledger {
    pub inch: bool,
    pub derived: Vec<Derived>,
    pub defaults: Vec<Defaulted>,
    pub remarks: Vec<Remark>,
    pub unmeasured: Vec<Unmeasured>,
    /// Tables of items that say no place: where their holes come to lie means nothing.
    pub unplaced: Vec<Range<usize>>,
    pub diags: Diagnostics,
}

impl Ledger {
    pub fn new(unit: Option<&Sp<Unit>>) -> Ledger {
        Ledger {
            inch: unit.is_some_and(|u| u.value == Unit::Inch),
            ..Ledger::default()
        }
    }

    /// Records a derived number and hands it back.
    pub fn derive(
        &mut self,
        name: impl Into<String>,
        value: f64,
        reason: impl Into<String>,
    ) -> f64 {
        self.derived.push(Derived {
            name: name.into(),
            value,
            reason: reason.into(),
        });
        value
    }

    /// A length that may be left out: typed, or the default, which is recorded.
    pub fn length(
        &mut self,
        key: &str,
        typed: Option<&Sp<Length>>,
        default: f64,
        why: &str,
    ) -> f64 {
        if let Some(v) = typed {
            return v.value.0;
        }
        self.took(key, format!("{default:.2} mm"), why);
        default
    }

    /// The same with a catalogue row's figure for a default.
    pub fn length_of(
        &mut self,
        key: &str,
        typed: Option<&Sp<Length>>,
        row: &FittingRow,
        figure: Option<f64>,
    ) -> f64 {
        self.length(
            key,
            typed,
            figure.unwrap_or(1.0),
            &format!("catalogue, {}", row.id),
        )
    }

    /// The typed fitting of a kind, or the usual one.
    pub fn fitting(
        &mut self,
        kind: &str,
        typed: Option<&Sp<String>>,
    ) -> Option<&'static FittingRow> {
        let Some(name) = typed else {
            return catalogue::usual_fitting(kind);
        };
        let row = self.look_up::<FittingRow>(name)?;
        if row.kind != kind {
            let all: Vec<&str> = catalogue::fittings()
                .iter()
                .filter(|r| r.kind == kind)
                .map(|r| r.id.as_str())
                .collect();
            self.error(
                name.span.clone(),
                format!("`{}` is a {}, not a {kind}", row.id, row.kind),
                format!("one of `{}`", all.join("`, `")),
                "",
            );
            return None;
        }
        Some(row)
    }

    /// Notes that an item rests on a row that is not published, unless the builder has measured it or typed all its sizes.
    pub fn rests_on(&mut self, id: &str, row: &FittingRow, cleared: bool) {
        if !cleared && row.status != Status::Published {
            self.unmeasured.push(Unmeasured {
                id: id.into(),
                row: row.id.clone(),
                source: row.source.clone(),
            });
        }
    }

    /// The same with another default in an inch file.
    pub fn length_by_unit(
        &mut self,
        key: &str,
        typed: Option<&Sp<Length>>,
        mm: f64,
        inch: f64,
        why: &str,
    ) -> f64 {
        let default = if self.inch { inch * 25.4 } else { mm };
        self.length(key, typed, default, why)
    }

    /// Records that `key` was left out and `value` taken.
    pub fn took(&mut self, key: &str, value: impl Into<String>, why: &str) {
        self.defaults.push(Defaulted {
            key: key.into(),
            value: value.into(),
            reason: why.into(),
        });
    }

    /// Any other optional value, with its default recorded by its words.
    pub fn choice<T: Clone>(
        &mut self,
        key: &str,
        typed: Option<&Sp<T>>,
        default: T,
        words: &str,
        why: &str,
    ) -> T {
        if let Some(v) = typed {
            return v.value.clone();
        }
        self.took(key, words, why);
        default
    }

    /// A row of the catalogue by name, or an error that offers the nearest.
    pub fn look_up<R: Row>(&mut self, name: &Sp<String>) -> Option<&'static R> {
        let found = catalogue::find::<R>(&name.value);
        if found.is_none() {
            let near = catalogue::nearest::<R>(&name.value);
            let hint = if near.is_empty() {
                "`groovewright parts` lists what there is".to_owned()
            } else {
                format!("nearest: `{}`", near.join("`, `"))
            };
            self.error(
                name.span.clone(),
                format!("no {} `{}` in the catalogue", R::FAMILY, name.value),
                format!("a {} of the catalogue", R::FAMILY),
                hint,
            );
        }
        found
    }

    /// The catalogue's name of a material; an unknown one is an error.
    pub fn material(&mut self, name: &Sp<String>) -> String {
        self.look_up::<MaterialRow>(name)
            .map_or_else(|| name.value.clone(), |row| row.id.clone())
    }

    pub fn error(
        &mut self,
        span: Range<usize>,
        message: impl Into<String>,
        expected: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let (message, expected, hint): (String, String, String) =
            (message.into(), expected.into(), hint.into());
        // the items of a row share its slips: tell each once
        if self
            .diags
            .list
            .iter()
            .any(|d| d.span == span && d.message == message)
        {
            return;
        }
        self.diags.list.push(Diagnostic {
            span,
            message,
            expected: (!expected.is_empty()).then_some(expected),
            hint: (!hint.is_empty()).then_some(hint),
        });
    }
}
