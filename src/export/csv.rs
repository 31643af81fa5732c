//! Tables as comma-separated values (RFC 4180), UTF-8, a header line first.

use crate::shop::buy::Buy;
use crate::shop::{
    Act, Bench, Bought, Cut, Figure, Rout, Schedule, Step, Turn, by_tool as by_tool_of,
};
use crate::units;

/// One line; quotes a field that needs it, and disarms what a spreadsheet would take for a formula.
fn line(out: &mut String, fields: &[String]) {
    for (k, field) in fields.iter().enumerate() {
        if k > 0 {
            out.push(',');
        }
        let number = field.parse::<f64>().is_ok();
        let armed = !number && field.starts_with(['=', '+', '-', '@']);
        let text = if armed {
            format!("'{field}")
        } else {
            field.clone()
        };
        if text.contains([',', '"', '\n', '\r']) {
            out.push('"');
            out.push_str(&text.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(&text);
        }
    }
    out.push_str("\r\n");
}

fn head(names: &[&str]) -> String {
    let mut out = String::new();
    let names: Vec<String> = names.iter().map(|n| (*n).to_owned()).collect();
    line(&mut out, &names);
    out
}

fn mm(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text
        .trim_start_matches('-')
        .bytes()
        .all(|b| matches!(b, b'0' | b'.'))
    {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// `drill-schedule.csv`: a line a hole, then a line a groove or joint of the part.
#[must_use]
pub fn drill_schedule(schedules: &[Schedule]) -> Vec<u8> {
    let mut out = head(&[
        "part",
        "mark",
        "hole",
        "for",
        "x mm",
        "y mm",
        "x in",
        "x in error mm",
        "y in",
        "y in error mm",
        "finished size mm",
        "finished size in",
        "how marked",
        "datum",
        "face marked",
        "pilot",
        "open",
        "final",
        "countersink dia mm",
        "countersink depth mm",
        "made from",
        "deburr",
        "all steps",
        "to buy",
    ]);
    for s in schedules {
        for r in &s.rows {
            let step = |act: Act| tools_of(&r.steps, act);
            let last = match step(Act::Final) {
                t if t.is_empty() => step(Act::Shape),
                t => t,
            };
            let (csk, deep) = r
                .countersink()
                .map_or((String::new(), String::new()), |(d, z)| {
                    (mm(d, 1), mm(z, 2))
                });
            let all: Vec<&str> = r.steps.iter().map(|x| x.tool.as_str()).collect();
            line(
                &mut out,
                &[
                    s.part.clone(),
                    r.tag.clone(),
                    r.id.clone(),
                    r.purpose.clone(),
                    mm(r.at.x, 2),
                    mm(r.at.y, 2),
                    units::inch_64(r.at.x),
                    mm(units::inch_64_error(r.at.x), 2),
                    units::inch_64(r.at.y),
                    mm(units::inch_64_error(r.at.y), 2),
                    r.size(),
                    r.diameter()
                        .map_or_else(String::new, units::inch_64_corrected),
                    r.placed.words(),
                    s.datum.clone(),
                    s.face.clone(),
                    step(Act::Pilot),
                    step(Act::Open),
                    last,
                    csk,
                    deep,
                    r.from_face.clone(),
                    step(Act::Deburr),
                    all.join("; "),
                    r.buy.join("; "),
                ],
            );
        }
        for r in &s.routs {
            rout_line(&mut out, s, r);
        }
    }
    out.into_bytes()
}

/// The tools of one kind of step, in order.
fn tools_of(steps: &[Step], act: Act) -> String {
    let tools: Vec<&str> = (steps.iter())
        .filter(|x| x.act == act)
        .map(|x| x.tool.as_str())
        .collect();
    tools.join("; ")
}

/// A groove, rabbet or joint as a line of the drill schedule: its place is that of its corner nearest the datum.
fn rout_line(out: &mut String, s: &Schedule, r: &Rout) {
    let step = |act: Act| tools_of(&r.steps, act);
    let all: Vec<&str> = r.steps.iter().map(|x| x.tool.as_str()).collect();
    line(
        out,
        &[
            s.part.clone(),
            r.tag.clone(),
            r.id.clone(),
            format!("{}; to x {:.2} y {:.2} mm", r.purpose, r.to.x, r.to.y),
            mm(r.from.x, 2),
            mm(r.from.y, 2),
            units::inch_64(r.from.x),
            mm(units::inch_64_error(r.from.x), 2),
            units::inch_64(r.from.y),
            mm(units::inch_64_error(r.from.y), 2),
            r.size(),
            units::inch_64_corrected((r.to - r.from).min_element()),
            "scribed from the datum".into(),
            s.datum.clone(),
            s.face.clone(),
            String::new(),
            String::new(),
            step(Act::Shape),
            String::new(),
            String::new(),
            r.face.clone(),
            step(Act::Deburr),
            all.join("; "),
            r.buy.join("; "),
        ],
    );
}

/// `drill-by-tool.csv`: a line a tool taken in hand once, with its holes in each part.
#[must_use]
pub fn by_tool(turns: &[Turn]) -> Vec<u8> {
    let mut out = head(&["order", "do", "tool", "size mm", "part", "holes", "marks"]);
    for (k, t) in turns.iter().enumerate() {
        for (part, marks) in &t.holes {
            line(
                &mut out,
                &[
                    (k + 1).to_string(),
                    t.act.word().into(),
                    t.tool.clone(),
                    if t.d > 0.0 { mm(t.d, 2) } else { String::new() },
                    part.clone(),
                    marks.len().to_string(),
                    marks.join(" "),
                ],
            );
        }
    }
    out.into_bytes()
}

/// `cut-list.csv`: a line a kind of piece.
#[must_use]
pub fn cut_list(cuts: &[Cut]) -> Vec<u8> {
    let mut out = head(&[
        "count",
        "what",
        "parts",
        "material",
        "length mm",
        "width mm",
        "thickness mm",
        "length in",
        "width in",
        "thickness in",
        "grain",
        "joint",
        "mass of one g",
        "mass of all g",
    ]);
    for c in cuts {
        let n = c.parts.len();
        line(
            &mut out,
            &[
                n.to_string(),
                c.what.into(),
                c.parts.join(" "),
                c.material.clone(),
                mm(c.size[0], 1),
                mm(c.size[1], 1),
                mm(c.size[2], 2),
                units::inch_64_corrected(c.size[0]),
                units::inch_64_corrected(c.size[1]),
                units::inch_64_corrected(c.size[2]),
                c.grain.into(),
                c.joint.clone(),
                mm(c.mass, 0),
                mm(c.mass * n as f64, 0),
            ],
        );
    }
    out.into_bytes()
}

/// `hardware.csv`: a line a size.
#[must_use]
pub fn hardware(list: &[Bought]) -> Vec<u8> {
    let mut out = head(&["count", "what", "size", "for"]);
    for b in list {
        line(
            &mut out,
            &[
                b.count.to_string(),
                b.what.into(),
                b.size.clone(),
                b.serves.join(" "),
            ],
        );
    }
    out.into_bytes()
}

/// `measure-first.csv`: a line a figure, with room for what was measured.
#[must_use]
pub fn measure_first(form: &[Figure]) -> Vec<u8> {
    let mut out = head(&[
        "item",
        "measure",
        "reckoned with",
        "unit",
        "reckoned with in",
        "measured",
        "set",
        "in table",
        "catalogue row",
    ]);
    for f in form {
        line(
            &mut out,
            &[
                f.item.clone(),
                f.what.into(),
                mm(f.reckoned, 2),
                f.unit.into(),
                if f.unit == "mm" {
                    units::inch_64_corrected(f.reckoned)
                } else {
                    String::new()
                },
                String::new(),
                f.set.replace('`', ""),
                f.table.into(),
                f.row.clone(),
            ],
        );
    }
    out.into_bytes()
}

/// `buy.csv`: a line a thing to buy.
#[must_use]
pub fn buy(list: &[Buy]) -> Vec<u8> {
    let mut out = head(&["count", "group", "what", "size", "for"]);
    for b in list {
        line(
            &mut out,
            &[
                b.count.to_string(),
                b.group.into(),
                b.what.clone(),
                b.size.clone(),
                b.serves.join(" "),
            ],
        );
    }
    out.into_bytes()
}

/// All tables, with their paths.
#[must_use]
pub fn tables(bench: &Bench) -> Vec<(String, Vec<u8>)> {
    vec![
        (
            "shop/drill-schedule.csv".into(),
            drill_schedule(&bench.schedules),
        ),
        (
            "shop/drill-by-tool.csv".into(),
            by_tool(&by_tool_of(&bench.schedules)),
        ),
        ("shop/cut-list.csv".into(), cut_list(&bench.cuts)),
        ("shop/buy.csv".into(), buy(&bench.buy)),
        ("shop/hardware.csv".into(), hardware(&bench.hardware)),
        ("shop/measure-first.csv".into(), measure_first(&bench.form)),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4180, section 2: fields with commas, quotes or breaks are quoted, quotes doubled, lines end in CRLF.
    #[test]
    fn fields_are_quoted_and_formulas_disarmed() {
        let mut out = String::new();
        let fields = ["a", "b, c", "5 \"", "-1.5", "=1+1", "-x"].map(str::to_owned);
        line(&mut out, &fields);
        assert_eq!(out, "a,\"b, c\",\"5 \"\"\",-1.5,'=1+1,'-x\r\n");
    }

    #[test]
    fn every_hole_of_the_design_has_its_line() {
        let s = crate::testing::lantern();
        let bench = crate::shop::bench(&s.design, &s.report);
        let files = tables(&bench);
        let text = String::from_utf8(files[0].1.clone()).expect("text");
        let holes: usize = s.design.flats.iter().map(|f| f.holes.len()).sum::<usize>()
            + s.design
                .angles
                .iter()
                .map(|a| a.plate_leg.len() + a.panel_leg.len())
                .sum::<usize>();
        let routs: usize = bench.schedules.iter().map(|s| s.routs.len()).sum();
        assert!(routs >= 2, "a groove in each side");
        assert_eq!(text.lines().count(), holes + routs + 1);
        for f in &s.design.flats {
            for h in &f.holes {
                let start = format!("{},", f.id);
                let has = |l: &str| l.starts_with(&start) && l.contains(&format!(",{},", h.id));
                assert!(text.lines().any(has), "{}", h.id);
            }
        }
        assert_eq!(files, tables(&bench));
    }
}
