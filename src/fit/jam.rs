//! The plate neither jams in its grooves nor stands askew.

use super::doc::Doc;
use super::ears::{bow_at, grooves, lengths, seasonal};
use super::report::{Finding, Severity};
use crate::design::Design;
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["jam"],
    title: "Jamming in the grooves",
    does: "Works out the play of the plate in width (both grooves together, at the narrower inside width) and in thickness, and holds them between limits: 0.6 and \
3 mm in width, 0.1 and 1.5 mm in thickness. In width the sides may bow in by 1 mm together at half height, less towards floor and roof, and the boards \
may be at their driest, before it binds. Where the two grooves are not at one height, a level plate has less play by the difference; if that is too little, \
the plate must lie askew, and its tilted ears need more of the groove's width: the check solves the least tilt and says what is left. A plate that \
does not go in even tilted is an error, all else a warning. A note tells both plays and how far off its middle the plate may be pushed before it binds like a drawer.",
    why: "A plate that binds is forced, and what gives way is the covering, a tube or a finger.",
    example: "`a level plate has no play: the grooves differ by 0.6 mm in height, 0.4 mm is there; tilted it has 0.3 mm`",
    change: "`chassis.side-play`, `cabinet.groove.width`; rout the lower groove wider.",
    rests_on: "plays and bow: common practice, no published source. A guided slide of length L binds when pushed L / (2 x friction) off its middle (statics); friction 0.4 of \
metal on dry wood: from memory.",
};

const SOURCE: &str = "arithmetic; plays and bow: common practice";

/// Least and most play in width, both sides together, mm.
const IN_WIDTH: [f64; 2] = [0.6, 3.0];

/// Least and most play in thickness, mm.
const IN_THICKNESS: [f64; 2] = [0.1, 1.5];

/// By how much both sides together bow in at half height, mm.
const BOW_IN: f64 = 1.0;

/// Friction of metal on dry wood.
const FRICTION: f64 = 0.4;

/// Play of a plate in two grooves of one width whose heights differ, mm: level, and as little tilted as it can lie.
///
/// `span` is the distance of the grooves' mouths, `reach` how far an ear reaches in. The tilted plate leans on the upper lip of the lower
/// groove's mouth and on the lower lip of the higher one's; its ear's far corner then takes `reach tan a + thickness cos a` of the width.
/// Without a difference of heights both are the same.
fn play_of_tilted(width: f64, thickness: f64, rise: f64, span: f64, reach: f64) -> (f64, f64) {
    let level = width - thickness - rise;
    if level >= 0.0 {
        return (level, level);
    }
    // span sin a + (width - rise) cos a = thickness
    let (side, over) = (span, width - rise);
    let tilt = (thickness / side.hypot(over)).clamp(-1.0, 1.0).asin() - over.atan2(side);
    let needs = (reach * tilt.tan() + thickness * tilt.cos()).max(thickness / tilt.cos());
    (level, width - needs)
}

pub(super) fn of_design(design: &Design) -> Vec<Finding> {
    let (Some(plate), Some(cabinet), Some([left, right])) =
        (design.plate, design.cabinet, grooves(design))
    else {
        return Vec::new();
    };
    let at = DVec3::new(0.0, plate.y0 + plate.depth / 2.0, plate.z0);
    let finding = |severity, measured, wanted, text: String, hint: &str| {
        let about = ["plate", "side-left"];
        Finding::new("jam", severity, about, at, (measured, wanted, "mm")).says(text, hint, SOURCE)
    };
    let mut out = Vec::new();

    let across = cabinet.width + left.depth + right.depth - plate.width;
    let bow = BOW_IN * bow_at(design, left.z);
    let least = across - bow - seasonal(cabinet.width);
    if across < IN_WIDTH[0] || least < 0.0 {
        out.push(finding(
            Severity::Warning,
            across,
            IN_WIDTH[0].max(bow + seasonal(cabinet.width)),
            format!(
                "{} play between the plate's ears and the grooves, both sides together: bowed sides and dry boards can take {}",
                units::show(across),
                units::show(bow + seasonal(cabinet.width))
            ),
            "more side play: boards move with the season",
        ));
    } else if across > IN_WIDTH[1] {
        out.push(finding(
            Severity::Warning,
            across,
            IN_WIDTH[1],
            format!(
                "{} play between the plate's ears and the grooves, both sides together, {} at most: it stands askew and binds",
                units::show(across),
                units::show(IN_WIDTH[1])
            ),
            "less side play",
        ));
    }

    let rise = (left.z - right.z).abs();
    let reach = (plate.width - cabinet.width) / 2.0;
    let (level, tilted) = play_of_tilted(left.width, plate.thickness, rise, cabinet.width, reach);
    let heights = if rise > 0.0 {
        format!(
            ": the grooves differ by {} in height, {} is there",
            units::show(rise),
            units::show(left.width - plate.thickness)
        )
    } else {
        String::new()
    };
    let wider = "a wider groove, or both at one height";
    // an anti-rattle strip fills what it is thick
    let strip = design.groove_strip.unwrap_or(0.0);
    if tilted < 0.0 {
        out.push(finding(
            Severity::Error,
            tilted,
            IN_THICKNESS[0],
            format!(
                "the plate does not go into its grooves, {} short even tilted{heights}",
                units::show(-tilted)
            ),
            wider,
        ));
    } else if level < IN_THICKNESS[0] - 1e-9 {
        out.push(finding(
            Severity::Warning,
            level,
            IN_THICKNESS[0],
            if level < 0.0 {
                format!(
                    "a level plate has no play{heights}; tilted it has {}",
                    units::show(tilted)
                )
            } else {
                format!(
                    "{} play of the plate's thickness in its grooves, {} wanted{heights}",
                    units::show(level),
                    units::show(IN_THICKNESS[0])
                )
            },
            wider,
        ));
    } else if level - strip > IN_THICKNESS[1] {
        out.push(finding(
            Severity::Warning,
            level - strip,
            IN_THICKNESS[1],
            format!(
                "{} play of the plate's thickness in its grooves, {} at most: it tips and binds on its way in",
                units::show(level - strip),
                units::show(IN_THICKNESS[1])
            ),
            "a narrower groove, or an anti-rattle strip",
        ));
    }

    if out.is_empty() {
        let length = lengths(design).map_or(0.0, |l| l[0].min(l[1]));
        let off = length / (2.0 * FRICTION);
        let mut text = format!(
            "play in the grooves: {} in width, both sides together, {} left when they bow in; {} in thickness",
            units::show(across),
            units::show(least),
            units::show(level)
        );
        if off < cabinet.width / 2.0 {
            text.push_str(&format!(
                "; push within {} of the middle, further out it binds like a drawer",
                units::show(off)
            ));
        }
        out.push(finding(Severity::Note, least, 0.0, text, ""));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The corners of a plate put where the solution says, against the four faces of the two grooves.
    #[test]
    fn a_tilted_plate_lies_where_the_solution_says() {
        let (width, thickness, span, reach) = (3.5, 3.0, 400.0, 7.0);
        for rise in [0.6, 1.0, 2.0, 4.0] {
            let (level, play) = play_of_tilted(width, thickness, rise, span, reach);
            assert!((level - (0.5 - rise)).abs() < 1e-12);
            // bisect the tilt at which the upper face over x = 0 is at the lower groove's upper lip, the lower face over x = span at the
            // higher groove's lower lip
            let lower_face = |a: f64, x: f64| width - thickness / a.cos() + x * a.tan();
            let (mut low, mut high) = (0.0, 0.1);
            for _ in 0..200 {
                let a = f64::midpoint(low, high);
                if lower_face(a, span) < rise {
                    low = a;
                } else {
                    high = a;
                }
            }
            let a = low;
            // upper corner of the ear's square end, over the lower lip of the higher groove
            let corner = reach * a.tan() + thickness * a.cos();
            assert!((width - corner - play).abs() < 1e-9, "{play} at {rise}");
        }
        // by hand: 1 mm of difference with 0.5 of play tilts by about 0.5 in 400; over 7 mm of ear that is 0.009
        let (_, play) = play_of_tilted(3.5, 3.0, 1.0, 400.0, 7.0);
        assert!((play - (0.5 - 7.0 * 0.5 / 400.0)).abs() < 1e-4, "{play}");
        // grooves at one height
        assert_eq!(play_of_tilted(3.5, 3.0, 0.0, 400.0, 7.0), (0.5, 0.5));
        // too narrow at any tilt
        assert!(play_of_tilted(3.005, 3.0, 3.0, 300.0, 8.0).1 < 0.0);
    }

    /// A groove 5 mm wide leaves 2 mm over a plate of 3 mm: too much, and the strip that is advised cures it.
    #[test]
    fn the_advised_strip_takes_up_the_play() {
        let found = |strip: &str| {
            let text = format!(
                "[design]\nname = \"a\"\n[cabinet]\nwidth = 420\nheight = 300\ndepth = 230\n[cabinet.groove]\nwidth = 5\n\
                 [chassis]\nthickness = 3\n[chassis.panel.rear]\nheight = 70\n[chassis.retain]\nkind = \"screw\"\n{strip}"
            );
            let s = crate::study::study(&text)
                .unwrap_or_else(|d| panic!("{}", d.render("a", &text, false)));
            (s.report.findings.iter())
                .any(|f| f.id == "jam" && f.text.contains("it tips and binds"))
        };
        assert!(found(""));
        assert!(!found("strip = 1\n"));
        assert!(found("strip = 0.3\n"));
    }
}
