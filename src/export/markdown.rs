//! `fit.md`: the report for people, on paper or in any text viewer.

use super::markup::{line, plain};
use super::words::{amount, has_place, severity_word, tally, verdict_line};
use super::{bench, caution, tightest};
use crate::fit::{Finding, Severity, Verdict};
use crate::study::Study;
use crate::units;
use crate::units::count;
use std::collections::BTreeMap;

/// Tightest pairs that are listed.
const TIGHTEST: usize = 10;

/// The report as Markdown: the number that matters first, then what to do. The same study gives the same bytes.
#[must_use]
pub fn fit_md(study: &Study) -> Vec<u8> {
    let mut out = String::new();
    head(&mut out, study);
    findings(&mut out, study);
    tight_places(&mut out, study);
    unmeasured(&mut out, study);
    bench::sections(&mut out, study);
    derived(&mut out, study);
    defaults(&mut out, study);
    cautions(&mut out);
    out.into_bytes()
}

fn head(out: &mut String, study: &Study) {
    let report = &study.report;
    line!(out, "# {}\n", plain(&report.design));
    line!(out, "**{}**\n", verdict_line(report));
    line!(out, "{}. {}\n", tally(report), meaning(report.verdict));
    if report.unmeasured > 0 {
        line!(
            out,
            "The answer rests on catalogue figures for {} that nobody has measured, listed below. Measure them in hand, write the numbers into \
             the parameter file with `measured = true`, and check again before you drill.\n",
            count(report.unmeasured, "part")
        );
    }
    line!(
        out,
        "Left and right are as seen from the front of the amp. Weight is that of the modelled parts, without wire, solder and covering glue."
    );
}

pub(super) const fn meaning(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fits => "Nothing overlaps, and all the wanted air is there.",
        Verdict::Tight => "Nothing overlaps, but somewhere there is less air than wanted.",
        Verdict::Clashes => {
            "It cannot be built as it stands: parts overlap, or a rule that must hold does not."
        }
    }
}

fn findings(out: &mut String, study: &Study) {
    line!(out, "\n## What was found\n");
    if study.report.findings.is_empty() {
        line!(out, "Nothing to put right.");
        return;
    }
    for severity in [Severity::Error, Severity::Warning, Severity::Note] {
        for finding in study
            .report
            .findings
            .iter()
            .filter(|f| f.severity == severity)
        {
            one_finding(out, finding);
        }
    }
}

fn one_finding(out: &mut String, f: &Finding) {
    let about: Vec<String> = f.about.iter().map(|id| format!("`{id}`")).collect();
    let what = if about.is_empty() {
        f.id.clone()
    } else {
        format!("{}: {}", f.id, about.join(", "))
    };
    line!(
        out,
        "- **{}** {what}. {}",
        severity_word(f.severity),
        plain(&f.text)
    );
    if f.unit == "mm3" {
        line!(
            out,
            "  - shared: {}; must be none",
            amount(f.measured, &f.unit)
        );
    } else {
        line!(
            out,
            "  - measured {}, wanted {}",
            amount(f.measured, &f.unit),
            amount(f.wanted, &f.unit)
        );
    }
    if has_place(f) {
        let [x, y, z] = f.at_mm;
        line!(out, "  - in the model at x {x:.1}, y {y:.1}, z {z:.1} mm");
    }
    if !f.hint.is_empty() {
        line!(out, "  - what to do: {}", plain(&f.hint));
    }
    line!(out, "  - rule from: {}", plain(&f.source));
}

fn tight_places(out: &mut String, study: &Study) {
    let rows = tightest::tightest(study, TIGHTEST);
    if rows.is_empty() {
        return;
    }
    line!(out, "\n## The tightest places\n");
    line!(
        out,
        "The pairs of parts with the least to spare. A measured clearance never exceeds the true one, and falls short of it by 0.024 mm at most. An item and what it is mounted on are left out, as are pieces of the wooden box among themselves; `fit.json` holds every pair.\n"
    );
    line!(
        out,
        "| between | and | clearance | wanted | why |\n| --- | --- | --- | --- | --- |"
    );
    for p in rows {
        let clearance = if p.overlap_mm3 > 0.0 {
            format!("overlap, {}", amount(p.overlap_mm3, "mm3"))
        } else {
            units::show(p.clearance_mm)
        };
        let wanted = if p.wanted_mm > 0.0 {
            units::show(p.wanted_mm)
        } else {
            "no rule".to_owned()
        };
        line!(
            out,
            "| `{}` | `{}` | {clearance} | {wanted} | {} |",
            p.a,
            p.b,
            plain(&p.why)
        );
    }
}

fn unmeasured(out: &mut String, study: &Study) {
    let list = &study.design.unmeasured;
    if list.is_empty() {
        return;
    }
    line!(out, "\n## Figures nobody measured\n");
    line!(out, "| part | figures of | source |\n| --- | --- | --- |");
    // One row per source, so that nine equal pots are one line to read.
    let mut rows: Vec<(&str, &str, Vec<String>)> = Vec::new();
    let mut index: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for u in list {
        let next = rows.len();
        let at = *index.entry((&u.row, &u.source)).or_insert(next);
        if at == next {
            rows.push((&u.row, &u.source, Vec::new()));
        }
        rows[at].2.push(format!("`{}`", u.id));
    }
    for (row, source, ids) in rows {
        line!(
            out,
            "| {} | {} | {} |",
            ids.join(", "),
            plain(row),
            plain(source)
        );
    }
}

fn derived(out: &mut String, study: &Study) {
    if study.report.derived.is_empty() {
        return;
    }
    line!(out, "\n## Numbers that follow from yours\n");
    line!(out, "| what | value | because |\n| --- | --- | --- |");
    for d in &study.report.derived {
        line!(
            out,
            "| {} | {} | {} |",
            plain(&d.name),
            units::show(d.value_mm),
            plain(&d.reason)
        );
    }
}

fn defaults(out: &mut String, study: &Study) {
    if study.design.defaults.is_empty() {
        return;
    }
    line!(out, "\n## What you left out, and what was taken\n");
    line!(out, "| key | taken | why |\n| --- | --- | --- |");
    for d in &study.design.defaults {
        line!(
            out,
            "| `{}` | {} | {} |",
            d.key,
            plain(&d.value),
            plain(&d.reason)
        );
    }
}

fn cautions(out: &mut String) {
    line!(out, "\n## Cautions\n");
    for (what, care) in caution::LONG {
        line!(out, "- **{what}.** {care}");
    }
}
