//! The parameter file that `start` writes: the commented starter, with a few answers worked in. Every combination fits at once.

use clap::ValueEnum;

/// The starter as it stands: a combo in mm with a 10 in speaker.
const STARTER: &str = include_str!("starter.toml");

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Cabinet {
    /// With a speaker
    #[default]
    Combo,
    /// Without
    Head,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Speaker {
    /// 8 in
    #[value(name = "8")]
    Eight,
    /// 10 in
    #[default]
    #[value(name = "10")]
    Ten,
    /// 12 in
    #[value(name = "12")]
    Twelve,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Tubes {
    /// One EL84 and a 12AX7
    #[default]
    Single,
    /// Two EL84 and a 12AX7
    Pair,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Rectifier {
    /// An EZ81
    #[default]
    Tube,
    /// Diodes on the board
    Silicon,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Chassis {
    /// Near the floor, tubes up
    #[default]
    Low,
    /// Under the roof, tubes down
    High,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Unit {
    /// Millimetres
    #[default]
    Mm,
    /// Inches
    In,
}

/// What the builder answered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Answers {
    pub cabinet: Cabinet,
    pub speaker: Speaker,
    pub tubes: Tubes,
    pub rectifier: Rectifier,
    pub chassis: Chassis,
    pub unit: Unit,
}

/// The file.
pub(super) fn file(a: &Answers) -> String {
    let mut text = STARTER.to_owned();
    let swap = |text: &mut String, from: &str, to: &str| *text = text.replacen(from, to, 1);
    // more tubes need a wider plate
    let width = if a.tubes == Tubes::Pair { 476 } else { 420 };
    let (height, depth) = match a.cabinet {
        Cabinet::Head => (230, 220),
        Cabinet::Combo => speaker(&mut text, a),
    };
    if a.cabinet == Cabinet::Head {
        cut(&mut text, "# ---- The speaker.", "# ---- The flat metal");
        swap(&mut text, "one small combo", "one small head");
    }
    swap(&mut text, "width = 420", &format!("width = {width}"));
    swap(&mut text, "height = 400", &format!("height = {height}"));
    swap(&mut text, "depth = 220 ", &format!("depth = {depth} "));
    if a.chassis == Chassis::High {
        swap(
            &mut text,
            "position = \"floor\"                   # tubes up; \"roof\" hangs them under the top",
            "position = \"roof\"                    # tubes hang down; \"floor\" stands them up",
        );
        // what hangs falls out of its socket unless it is held
        for tube in ["EL84", "EZ81"] {
            swap(
                &mut text,
                &format!("type = \"{tube}\"\n"),
                &format!("type = \"{tube}\"\nretainer = \"clamp\"\n"),
            );
        }
    }
    if a.rectifier == Rectifier::Silicon {
        cut(
            &mut text,
            "# ---- Tubes: the rectifier by the power transformer, the first stage far from it.",
            "[[tube]]\nid = \"V2\"",
        );
        swap(
            &mut text,
            "[[tube]]\nid = \"V2\"",
            "# ---- Tubes: the first stage far from the power transformer. The rectifier's diodes go on the board.\n[[tube]]\nid = \"V2\"",
        );
    }
    if a.tubes == Tubes::Pair
        && let (Some(from), Some(to)) = (
            text.find("[[tube]]\nid = \"V2\""),
            text.find("[[tube]]\nid = \"V1\""),
        )
    {
        let second = text[from..to]
            .replace("\"V2\"", "\"V4\"")
            .replace("left = 230", "left = 286");
        text.insert_str(to, &second);
        // so far off, the chassis lies on it safely when it is worked on upside down
        swap(
            &mut text,
            "left = 262, front = 42",
            "left = 310, front = 42",
        );
    }
    if a.unit == Unit::In {
        text = in_inches(&text);
    }
    text
}

/// Puts the speaker in; height and depth of a cabinet that holds it and the chassis.
fn speaker(text: &mut String, a: &Answers) -> (u32, u32) {
    let low = a.chassis == Chassis::Low;
    // over the tubes of a low chassis, near the floor under a high one
    let (inch, middle, height, depth) = match (a.speaker, low) {
        (Speaker::Eight, true) => (8, 236, 363, 220),
        (Speaker::Ten, true) => (10, 258, 412, 220),
        (Speaker::Twelve, true) => (12, 288, 467, 223),
        (Speaker::Eight, false) => (8, 119, 400, 220),
        (Speaker::Ten, false) => (10, 146, 470, 220),
        (Speaker::Twelve, false) => (12, 171, 530, 223),
    };
    *text = text
        .replacen("10 in ceramic", &format!("{inch} in ceramic"), 1)
        .replacen("bottom = 258 }", &format!("bottom = {middle} }}"), 1)
        .replacen("; 258 above the floor", ", and so far above the floor", 1);
    (height, depth)
}

/// Takes out what stands from one mark up to another.
fn cut(text: &mut String, from: &str, to: &str) {
    if let Some(from) = text.find(from)
        && let Some(to) = text[from..].find(to)
    {
        text.replace_range(from..from + to, "");
    }
}

/// The same file in inches: every length to the nearest 32nd, as a builder would write it.
fn in_inches(text: &str) -> String {
    let text = text
        .replacen(
            "unit = \"mm\"                          # or \"in\"",
            "unit = \"in\"                          # or \"mm\"",
            1,
        )
        .replacen(
            "from = 4\nto = 20\nstep = 2",
            "from = \"1/8 in\"\nto = \"3/4 in\"\nstep = \"1/16 in\"",
            1,
        )
        .replacen("diameter = 12.4", "diameter = \"1/2 in\"", 1);
    let mut out = String::with_capacity(text.len() + 512);
    let mut as_sold = false;
    for line in text.lines() {
        if line.starts_with(['[', '#']) {
            // a printer is sold in mm
            as_sold = line == "[print]";
        }
        let plain = line.starts_with('#') || line.starts_with("turn");
        let (code, comment) = match line.find('#') {
            Some(at) if !plain => line.split_at(at),
            _ => (line, ""),
        };
        if plain {
            out.push_str(line);
        } else {
            numbers(&mut out, code, if as_sold { millimetres } else { inches });
            out.push_str(comment);
        }
        out.push('\n');
    }
    out
}

fn numbers(out: &mut String, code: &str, written: fn(f64) -> String) {
    let mut rest = code;
    while let Some(at) = rest.find("= ") {
        let (before, after) = rest.split_at(at + 2);
        out.push_str(before);
        let end = after
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(after.len());
        match after[..end].parse::<f64>() {
            Ok(mm) => {
                out.push_str(&written(mm));
            }
            Err(_) => out.push_str(&after[..end]),
        }
        rest = &after[end..];
    }
    out.push_str(rest);
}

fn millimetres(mm: f64) -> String {
    format!("\"{mm} mm\"")
}

/// A length as a value of the file: `3` or `"16 9/16 in"`.
fn inches(mm: f64) -> String {
    let count = (mm / 25.4 * 32.0).round() as u32;
    let (whole, part) = (count / 32, count % 32);
    if part == 0 {
        return whole.to_string();
    }
    let shift = part.trailing_zeros();
    let fraction = format!("{}/{}", part >> shift, 32 >> shift);
    if whole == 0 {
        format!("\"{fraction} in\"")
    } else {
        format!("\"{whole} {fraction} in\"")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::Verdict;
    use crate::study;

    #[test]
    fn every_combination_of_answers_fits() {
        let mut seen = std::collections::BTreeSet::new();
        for &cabinet in Cabinet::value_variants() {
            for &speaker in Speaker::value_variants() {
                for &tubes in Tubes::value_variants() {
                    for &rectifier in Rectifier::value_variants() {
                        for &chassis in Chassis::value_variants() {
                            for &unit in Unit::value_variants() {
                                let a = Answers {
                                    cabinet,
                                    speaker,
                                    tubes,
                                    rectifier,
                                    chassis,
                                    unit,
                                };
                                let text = file(&a);
                                if !seen.insert(text.clone()) {
                                    continue;
                                }
                                let study = study::study(&text).unwrap_or_else(|e| {
                                    panic!("{a:?}: {}", e.render("starter", &text, false))
                                });
                                let told: Vec<&str> = study
                                    .report
                                    .findings
                                    .iter()
                                    .map(|f| f.text.as_str())
                                    .collect();
                                assert_eq!(study.report.verdict, Verdict::Fits, "{a:?}: {told:#?}");
                                let has = |id: &str| study.report.solids.iter().any(|s| s.id == id);
                                assert_eq!(has("V3"), rectifier == Rectifier::Tube);
                                assert_eq!(has("V4"), tubes == Tubes::Pair);
                                assert_eq!(has("speaker-magnet"), cabinet == Cabinet::Combo);
                                assert_eq!(study.design.inch, unit == Unit::In);
                                assert_eq!(
                                    study.design.plate.expect("a plate").up,
                                    chassis == Chassis::Low
                                );
                            }
                        }
                    }
                }
            }
        }
        // a head has no speaker to choose
        assert_eq!(seen.len(), 4 * 16);
    }

    #[test]
    fn inches_are_written_as_on_a_rule() {
        assert_eq!(
            [25.4, 9.525, 420.0].map(inches),
            ["1", "\"3/8 in\"", "\"16 17/32 in\""]
        );
    }
}
