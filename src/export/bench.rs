//! The bench's sections of `fit.md`: order of work, drill schedule, cut list, hardware, and the form to measure by.

use super::markup::{line, plain};
use crate::shop::{self, Bench, Schedule, measure, order};
use crate::study::Study;
use crate::units;

pub(super) fn sections(out: &mut String, study: &Study) {
    let design = &study.design;
    let bench = shop::bench(design, &study.report);
    let schedules = &bench.schedules;

    line!(out, "\n## Order of work\n");
    line!(
        out,
        "Common practice for a chassis of flat parts, with this design's numbers.\n"
    );
    for (k, w) in order::order(design, schedules).iter().enumerate() {
        line!(out, "{}. **{}.** {}", k + 1, w.title, plain(&w.text));
        line!(out, "   - Caution: {}", plain(w.care));
        if !w.rules.is_empty() {
            line!(out, "   - Local rules: {}", plain(w.rules));
        }
    }

    let form = &bench.form;
    if !form.is_empty() {
        line!(out, "\n## Measure first\n");
        line!(out, "| item | measure | reckoned with | measured | set |");
        line!(out, "| --- | --- | --- | --- | --- |");
        for (items, f) in measure::shared(form) {
            let items: Vec<String> = items.iter().map(|i| format!("`{i}`")).collect();
            let table = if f.set.starts_with("none") || f.table.is_empty() {
                String::new()
            } else {
                format!(" in `{}`", f.table)
            };
            line!(
                out,
                "| {} | {} | {} | | {}{table} |",
                items.join(" "),
                f.what,
                f.show(),
                f.set
            );
        }
    }

    line!(out, "\n## Cut list\n");
    line!(
        out,
        "| count | what | parts | material | length x width x thickness, mm | in | grain | joint | mass of one |"
    );
    line!(
        out,
        "| --- | --- | --- | --- | --- | --- | --- | --- | --- |"
    );
    for c in &bench.cuts {
        let [l, w, t] = c.size;
        let parts: Vec<String> = c.parts.iter().map(|p| format!("`{p}`")).collect();
        line!(
            out,
            "| {} | {} | {} | {} | {l:.1} x {w:.1} x {t:.2} | {} x {} x {} | {} | {} | {:.0} g |",
            c.parts.len(),
            c.what,
            parts.join(" "),
            plain(&c.material),
            units::inch_64(l),
            units::inch_64(w),
            units::inch_64(t),
            c.grain,
            plain(&c.joint),
            c.mass
        );
    }

    stock(out, &bench);

    line!(out, "\n## Hardware\n");
    let rows = (bench.hardware.iter()).map(|b| (b.count, b.what, &*b.size, &*b.serves));
    to_get(out, rows);

    line!(out, "\n## Drill schedule\n");
    if design.tools.listed {
        line!(
            out,
            "Tools are those of `[tools]`; what none of them makes is marked to buy.\n"
        );
    } else {
        line!(
            out,
            "Tools are named by size; list what you own under `[tools]` in the parameter file, and the schedule names them and says what to buy.\n"
        );
    }
    by_tool(out, schedules);
    for s in schedules {
        line!(out, "### `{}`\n", s.part);
        line!(
            out,
            "{}, {}. Datum: {}. Mark on the {}.\n",
            plain(&s.material),
            units::mm_2(s.thickness),
            s.datum,
            s.face
        );
        routs(out, s);
        if s.rows.is_empty() {
            continue;
        }
        line!(out, "| mark | for | x | y | size, mm | place | steps |");
        line!(out, "| --- | --- | --- | --- | --- | --- | --- |");
        for r in &s.rows {
            let steps: Vec<String> = r
                .steps
                .iter()
                .map(|t| match t.depth {
                    Some(z) => format!("{} ({z:.1} deep)", t.tool),
                    None => t.tool.clone(),
                })
                .collect();
            let owner = if r.purpose.contains(&r.id) {
                String::new()
            } else {
                format!("`{}`: ", r.id)
            };
            line!(
                out,
                "| {} | {owner}{} | {} | {} | {}{} | {} | {} |",
                r.tag,
                plain(&r.purpose),
                place(r.at.x),
                place(r.at.y),
                r.size(),
                if r.from_face.is_empty() {
                    String::new()
                } else {
                    format!(", from the {}", r.from_face)
                },
                plain(&r.placed.words()),
                plain(&steps.join("; "))
            );
        }
        line!(out, "");
    }
}

/// All holes of one tool together, over all parts.
fn by_tool(out: &mut String, schedules: &[Schedule]) {
    line!(out, "### By tool\n");
    line!(
        out,
        "Each tool once, for all parts that lie flat at the time; the marks are those of the tables below. Holes that are spotted through \
         another part wait for it.\n"
    );
    line!(
        out,
        "| do | tool | holes | where |\n| --- | --- | --- | --- |"
    );
    for t in shop::by_tool(schedules) {
        let places: Vec<String> = t
            .holes
            .iter()
            .map(|(part, marks)| format!("`{part}` {}", runs(marks)))
            .collect();
        line!(
            out,
            "| {} | {} | {} | {} |",
            t.act.word(),
            plain(&t.tool),
            t.count(),
            places.join("; ")
        );
    }
    line!(out, "");
}

/// Marks with runs closed up: `a1-a4, c1`.
fn runs(marks: &[String]) -> String {
    let parts = |m: &str| {
        let at = m.find(|c: char| c.is_ascii_digit())?;
        Some((m[..at].to_owned(), m[at..].parse::<usize>().ok()?))
    };
    let mut out: Vec<String> = Vec::new();
    let mut start = 0;
    for k in 1..=marks.len() {
        let goes_on = k < marks.len()
            && match (parts(&marks[k - 1]), parts(&marks[k])) {
                (Some((a, i)), Some((b, j))) => a == b && j == i + 1,
                _ => false,
            };
        if goes_on {
            continue;
        }
        out.push(match k - start {
            1 => marks[start].clone(),
            2 => format!("{}, {}", marks[start], marks[k - 1]),
            _ => format!("{}-{}", marks[start], marks[k - 1]),
        });
        start = k;
    }
    out.join(", ")
}

/// Grooves, rabbets and the corner joint of a part.
fn routs(out: &mut String, s: &Schedule) {
    for r in &s.routs {
        let steps: Vec<&str> = r.steps.iter().map(|t| t.tool.as_str()).collect();
        let place = if r.depth.is_some() {
            format!(
                ", from the {}. From x {}, y {} to x {}, y {}.",
                r.face,
                place(r.from.x),
                place(r.from.y),
                place(r.to.x),
                place(r.to.y)
            )
        } else {
            format!(", {}.", r.face)
        };
        line!(
            out,
            "- **{}**, {}: {} (mm){place} Steps: {}.",
            r.tag,
            plain(&r.purpose),
            r.size(),
            plain(&steps.join("; "))
        );
    }
    if !s.routs.is_empty() {
        line!(out, "");
    }
}

fn stock(out: &mut String, bench: &Bench) {
    let plan = &bench.cutting;
    line!(out, "\n## Cutting plan\n");
    line!(
        out,
        "Each part laid on stock with {} for the saw; drawn piece by piece in `shop/cutting.pdf`. Sizes that shops usually sell are taken where \
         `[stock]` in the parameter file gives none. Parts are laid by a rule of thumb: look whether you see a better way before you buy.\n",
        units::mm_1(plan.kerf)
    );
    line!(out, "| piece | stock | | parts | used |");
    line!(out, "| --- | --- | --- | --- | --- |");
    for (k, p) in plan.pieces.iter().enumerate() {
        let parts: Vec<String> = p.parts.iter().map(|q| format!("`{}`", q.id)).collect();
        line!(
            out,
            "| {} | {} | {} | {} | {:.0} % |",
            k + 1,
            plain(&p.words()),
            if p.at_hand { "at hand" } else { "to buy" },
            parts.join(" "),
            100.0 * p.used()
        );
    }
    for u in &plan.unplaced {
        line!(out, "\n`{}` goes on no stock: {}.", u.id, plain(&u.needs));
    }

    line!(out, "\n## What to buy\n");
    line!(
        out,
        "Stock, and tools that none of yours replaces; the hardware is in the list below.\n"
    );
    let rows = (bench.buy.iter())
        .filter(|b| b.group != "hardware")
        .map(|b| (b.count, &*b.what, &*b.size, &*b.serves));
    to_get(out, rows);
}

/// What to buy or to have at hand, as a table: how many, what, its size, and the parts it serves.
fn to_get<'b>(
    out: &mut String,
    rows: impl Iterator<Item = (usize, &'b str, &'b str, &'b [String])>,
) {
    line!(
        out,
        "| count | what | size | for |\n| --- | --- | --- | --- |"
    );
    for (count, what, size, serves) in rows {
        let serves: Vec<String> = serves.iter().map(|s| format!("`{s}`")).collect();
        line!(
            out,
            "| {count} | {what} | {} | {} |",
            plain(size),
            serves.join(" ")
        );
    }
}

/// A place from the datum: mm to 0.1 and the nearest 64th with its error.
fn place(mm: f64) -> String {
    format!("{mm:.1} ({})", units::inch_64_corrected(mm))
}
