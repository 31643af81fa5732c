//! Aluminium or steel for the plate in hand, as text.

use crate::catalogue;
use crate::fit::{HUM, PlateChoice, PlateChoices, folds, screen_words};
use crate::units;
use std::fmt::Write as _;

/// What a builder knows of a metal: its key, and a line each on rust, solder, bending and drilling. Common practice; the bending radii are
/// of the Aluminum Association's table for 90 degrees as a design-book page prints it, steel's of a shop table beside it (copies).
const KNOWN: [(&str, [&str; 4]); 3] = [
    (
        "aluminium 5052-H32",
        [
            "does not rust, conducts well and polishes; anodised or bare it needs a scraped spot and a toothed washer at the earth stud",
            "does not take tin solder: earth by lugs under screws",
            "cracks at a sharp bend: inside radius 1 x the thickness at 1.6 mm, 1-1/2 x from 3 mm",
            "drills and punches easily, gums up dry: a drop of paraffin or spirit",
        ],
    ),
    (
        "aluminium 6061-T6",
        [
            "does not rust, conducts well and polishes; needs a scraped spot and a toothed washer at the earth stud",
            "does not take tin solder: earth by lugs under screws",
            "cracks at a sharp bend: inside radius 1-1/2 x the thickness at 1.6 mm, 2-1/2 x at 3 mm; leave it flat",
            "the cleanest to drill and tap of the three",
        ],
    ),
    (
        "steel low carbon",
        [
            "rusts at every bare edge and hole: plate, paint or oil it after drilling",
            "takes solder on bright metal with a large iron; painted, scrape at the earth stud",
            "folds well at 18 to 20 gauge: inside radius about 1 to 1-1/2 x the thickness",
            "harder to drill: slow speed, sharp drills, cutting oil; large holes by punch, in thin sheet only",
        ],
    ),
];

/// The table; `None`, with no plate, says so.
pub(super) fn text(choices: Option<&PlateChoices>) -> String {
    let Some(all) = choices else {
        return "\nAluminium or steel: this design has no plate to choose for.\n".to_owned();
    };
    let mut out = String::new();
    let held = if all.stiffened.is_empty() {
        "nothing stiffens its edges".to_owned()
    } else {
        format!("stiffened along {}", all.stiffened.join(" and "))
    };
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "\nAluminium or steel for this plate: {} between the grooves, {} along them, {:.1} kg on it,\n  {held}; at most {:.2} mm of sag wanted",
        units::show(all.span),
        units::show(all.depth),
        all.load,
        all.limit
    );
    let cheapest = (all.choices.iter().filter_map(|c| c.cost)).fold(f64::INFINITY, f64::min);
    let cells: Vec<[String; 6]> = all
        .choices
        .iter()
        .map(|c| {
            [
                c.metal.id.clone(),
                thickness(c),
                format!("{:.2} kg", c.mass),
                if folds(c.sag, all.span) {
                    "folds".to_owned()
                } else {
                    format!("sags {:.2} mm", c.sag)
                },
                c.cost.map_or_else(String::new, |cost| {
                    let over = cost / cheapest;
                    let class = match over {
                        o if o < 1.5 => "low",
                        o if o < 3.0 => "middle",
                        _ => "high",
                    };
                    format!("cost {class}, {over:.1} x the least")
                }),
                format!(
                    "{}{}",
                    c.class.word(),
                    if c.drawn { ", as drawn" } else { "" }
                ),
            ]
        })
        .collect();
    let width = |i: usize| {
        cells
            .iter()
            .map(|c| c[i].chars().count())
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..6).map(width).collect();
    for row in &cells {
        let mut line = String::from(" ");
        for (cell, width) in row.iter().zip(&widths) {
            let _ = write!(line, " {cell:<width$} ");
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
    out.push_str(
        "  Sag is at the deepest place, every part at its place, panels and angle along an edge counted as beams, each hole charged with more than it\n  \
         costs. stiff: at most 1/600 of the span, fair: 1/300, springy: more (common practice); past 1/10 it folds. Each metal: as thick as drawn, and\n  \
         the thinnest stock that sags no more than wanted; panels and angle stay as drawn. Cost: metal only, by mass, aluminium 4 to 5 times steel a kg\n  \
         (from memory).\n",
    );
    for (id, [rust, solder, bend, drill]) in KNOWN {
        let Some(choice) = all.choices.iter().find(|c| c.metal.id == id) else {
            continue;
        };
        let _ = writeln!(
            out,
            "{id}\n  rust    {rust}\n  solder  {solder}\n  bend    {bend}\n  drill   {drill}"
        );
        if let Some(screens) = choice.screens() {
            let _ = writeln!(out, "  hum     {}", hum(id));
            for (f, row) in HUM.into_iter().zip(screens) {
                let _ = writeln!(
                    out,
                    "          {f:>3.0} Hz: skin depth and absorption {}",
                    screen_words(row)
                );
            }
        }
    }
    out.push_str(
        "Either metal screens electric fields once it is earthed. Density, stiffness and resistivity: see `groovewright parts` for their sources.\n",
    );
    out
}

/// Millimetres, and beside them the gauge of steel sheet or the inches.
fn thickness(choice: &PlateChoice) -> String {
    let t = choice.thickness;
    let gauge = catalogue::gauges()
        .iter()
        .find(|g| (g.thickness - t).abs() < 1e-3 && g.id.ends_with("steel"))
        .filter(|_| choice.metal.id.starts_with("steel"));
    match gauge {
        Some(row) => format!("{t:.2} mm ({})", row.id.trim_end_matches(" steel")),
        None => units::show_drill(t),
    }
}

fn hum(id: &str) -> &'static str {
    if id.starts_with("steel") {
        "screens better: it turns a mains field aside; but it carries the field of iron bolted flat to it: stand transformers off it.\n          \
         By grade (permeability 100 to 1000, from memory), at most:"
    } else {
        "screens little: no wall against a transformer's field; distance and turned cores must do it. At most:"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the trade says of the two metals, and this must not gainsay.
    #[test]
    fn advice_agrees_with_the_trade() {
        let study = crate::testing::harbour();
        let all = crate::fit::plate_choices(&study.design, &study.assembly);
        let said = text(all.as_ref());
        let (aluminium, steel) = said.split_once("\nsteel low carbon\n").expect("both");
        let aluminium = aluminium
            .split_once("\naluminium 5052-H32\n")
            .expect("it")
            .1;
        for (metal, words) in [
            (
                aluminium,
                [
                    "drills and punches easily",
                    "conducts well and polishes",
                    "cracks at a sharp bend",
                    "earth by lugs under screws",
                    "screens little",
                ],
            ),
            (
                steel,
                [
                    "folds well at 18 to 20 gauge",
                    "takes solder",
                    "screens better",
                    "rusts",
                    "harder to drill",
                ],
            ),
        ] {
            for word in words {
                assert!(metal.contains(word), "{word} is not in {metal}");
            }
        }
        assert!(text(None).contains("no plate"));
    }
}
