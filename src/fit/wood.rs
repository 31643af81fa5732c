//! The seasons change the depth of the sides, and with it what stands inside their edges.

use super::doc::Doc;
use super::report::{Finding, Severity};
use crate::assembly::Kind;
use crate::design::{Design, Flat};
use crate::units;

pub(super) const DOC: Doc = Doc {
    ids: &["wood-moves"],
    title: "Wood moves",
    does: "Works out how much boards change between 30 and 70 % relative humidity at 21 C, starting from wood at rest at 50 %: across \
the grain for solid wood, flat-sawn; in the sheet's plane for plywood; along the grain nothing. The grain of sides, top and bottom runs round the box, that of baffle and back boards from \
side to side: so the sides change in depth and keep their height, baffle and back boards change in height. Tells what is then left: of the recess of the longest control (a warning if it may stand out); \
of the gap at the grooves' closed ends, as the sides shrink behind the retaining screws (a warning if the plate meets the end); of the play above and below each back board (a warning if it binds); and of a solid \
baffle between floor and roof (a note of how much it swells: glued in, it opens the corner joints). Inside width, and with it the ears' hold and play, changes by 0.1 mm in 470, which `ear-engaged` and `jam` reckon with. Less than \
0.5 mm is not spoken of.",
    why: "A pine side 250 mm deep changes by 4 mm from a dry winter to a damp summer; a recess of 3 mm set in summer may be gone by spring. Along the \
grain, the inside width, nothing worth speaking of changes.",
    example: "`the sides lose 1.7 mm by 30 % humidity and gain 2.1 mm by 70 %, being 250.0 mm deep in ponderosa pine`",
    change: "plywood, quarter-sawn wood, a greater `chassis.set-back`, `cabinet.groove.stop`, more `play` round a back board.",
    rests_on: "coefficients of change: Wood Handbook, FPL-GTR-190 (2010), Table 13-5, those of pines and poplar computed from its shrinkage; \
equilibrium moisture 6.17, 9.24 and 13.09 % at 30, 50 and 70 % humidity: its formula, with the constants of FPL-RN-0268, as copied; \
plywood 0.0002 for each 10 % of humidity: a plywood trade association, as copied.",
};

/// Equilibrium moisture at 21.1 C and 30, 50, 70 % relative humidity, %.
const MOISTURE: [f64; 3] = [6.17, 9.24, 13.09];

/// Change of plywood in its plane for each 10 % of relative humidity.
const PLYWOOD: f64 = 0.0002;

/// Less than this is not spoken of unless it makes something stand out, mm.
const SPOKEN_OF: f64 = 0.5;

/// Tangential change per 1 % of moisture.
const TANGENTIAL: [(&str, f64); 11] = [
    ("eastern white pine", 0.00212),
    ("ponderosa pine", 0.00216),
    ("sugar pine", 0.00194),
    ("poplar", 0.00289),
    ("walnut", 0.00274),
    ("cherry", 0.00248),
    ("maple", 0.00353),
    ("red oak", 0.00369),
    ("ash", 0.00274),
    ("basswood", 0.00330),
    ("yellow birch", 0.00338),
];

/// Loss by 30 % and gain by 70 % humidity of a length in wood at rest at 50 %, mm; none for what is neither solid wood nor plywood.
fn change(material: &str, length: f64) -> Option<[f64; 2]> {
    if material.ends_with("plywood") {
        return Some([length * PLYWOOD * 2.0; 2]);
    }
    let (_, c) = TANGENTIAL.iter().find(|t| t.0 == material)?;
    Some([MOISTURE[1] - MOISTURE[0], MOISTURE[2] - MOISTURE[1]].map(|dm| length * c * dm))
}

const SOURCE: &str = "Wood Handbook FPL-GTR-190 Table 13-5 and its equilibrium moisture, as copied or computed; see docs/checks.md";

/// `recess` is what the longest control is inside the edge, mm, and its id.
pub(super) fn of_design(design: &Design, recess: Option<(f64, &str)>) -> Vec<Finding> {
    let mut out = Vec::new();
    out.extend(recess.and_then(|r| of_recess(design, r)));
    out.extend(of_groove_end(design));
    for board in design.flats.iter().filter(|f| f.kind == Kind::BackBoard) {
        out.extend(of_back_board(design, board));
    }
    out.extend(of_baffle(design));
    out
}

fn finding(
    severity: Severity,
    flat: &Flat,
    other: &str,
    measured: f64,
    text: String,
    hint: String,
) -> Finding {
    let about = [flat.id.as_str(), other];
    Finding::new(
        "wood-moves",
        severity,
        about,
        flat.pose.at,
        (measured, 0.0, "mm"),
    )
    .says(text, hint, SOURCE)
}

fn of_recess(design: &Design, (margin, longest): (f64, &str)) -> Option<Finding> {
    let cabinet = design.cabinet?;
    let side = design.flat("side-left")?;
    let [loss, gain] = change(&side.material, cabinet.depth)?;
    let left = margin - loss;
    // sheet material hardly moves
    if loss.max(gain) < SPOKEN_OF && left >= 0.0 {
        return None;
    }
    // what stands out already is told by another check
    let short = left < 0.0 && margin >= 0.0;
    let severity = if short {
        Severity::Warning
    } else {
        Severity::Note
    };
    let text = format!(
        "the sides lose {} by 30 % humidity and gain {} by 70 %, being {} deep in {}, and keep their height: {longest}, the longest, then ends {} inside their edge at the least",
        units::show(loss),
        units::show(gain),
        units::show(cabinet.depth),
        side.material,
        units::show(left)
    );
    let hint = if short {
        format!("a set-back {} greater, or plywood", units::show(-left))
    } else {
        String::new()
    };
    Some(finding(severity, side, longest, left, text, hint))
}

/// The sides shrink between the retaining screws, which hold the plate to them, and the grooves' closed ends.
fn of_groove_end(design: &Design) -> Option<Finding> {
    let plate = design.plate?;
    let side = design.flat("side-left")?;
    let groove = super::ears::grooves(design)?[0];
    let screw = (design.fasteners.iter()).find(|f| f.owner == "retain-left-screw")?;
    let [front, rear] = super::ears::ends(design)?;
    let (end, ear) = if plate.from_rear {
        (groove.y[0], front)
    } else {
        (groove.y[1], rear)
    };
    let gap = (ear - end) * if plate.from_rear { 1.0 } else { -1.0 };
    let [loss, _] = change(&side.material, (screw.pose.at.y - end).abs())?;
    let left = gap - loss;
    (gap >= 0.0 && left < 0.0).then(|| {
        finding(
            Severity::Warning,
            side,
            "plate",
            left,
            format!(
                "the groove's closed end stands {} before the ear, and the dry side shrinks by {} between it and the retaining screw: it pushes the plate",
                units::show(gap),
                units::show(loss)
            ),
            format!("end the groove {} earlier", units::show(-left)),
        )
    })
}

/// A back board swells in height between what is above and below it.
fn of_back_board(design: &Design, board: &Flat) -> Option<Finding> {
    let span = |f: &Flat| {
        let z = f.outline.bounds().map(|c| f.pose.point(c.extend(0.0)).z);
        [z[0].min(z[1]), z[0].max(z[1])]
    };
    let [low, high] = span(board);
    let [_, gain] = change(&board.material, high - low)?;
    let (cabinet, covering) = (design.cabinet?, design.cabinet?.covering);
    // the next boards of the back, or covered floor and roof
    let others = (design.flats.iter())
        .filter(|f| f.kind == Kind::BackBoard && f.id != board.id)
        .map(span);
    let (mut under, mut over) = (covering, cabinet.height - covering);
    for [a, b] in others {
        if b <= low {
            under = under.max(b);
        }
        if a >= high {
            over = over.min(a);
        }
    }
    let play = (low - under).max(0.0) + (over - high).max(0.0);
    let left = play - gain;
    (left < 0.0).then(|| {
        finding(
            Severity::Warning,
            board,
            "top",
            left,
            format!(
                "{}, {} high in {}, gains {} by 70 % humidity and has {} of room above and below: it binds",
                board.id,
                units::show(high - low),
                board.material,
                units::show(gain),
                units::show(play)
            ),
            format!("{} more play, or plywood", units::show(-left)),
        )
    })
}

/// A solid baffle swells between floor and roof.
fn of_baffle(design: &Design) -> Option<Finding> {
    let (cabinet, baffle) = (design.cabinet?, design.flat("baffle")?);
    let [loss, gain] = change(&baffle.material, cabinet.height)?;
    (gain >= SPOKEN_OF).then(|| {
        finding(
            Severity::Note,
            baffle,
            "top",
            -gain,
            format!(
                "the baffle gains {} by 70 % humidity between floor and roof and loses {} by 30 %, being {} high in {}: it opens the corner joints, or itself",
                units::show(gain),
                units::show(loss),
                units::show(cabinet.height),
                baffle.material
            ),
            "a baffle of plywood".into(),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Simpson, FPL-RN-0268 (1998): M = 1800/W (Kh/(1-Kh) + (K1Kh + 2K1K2K2h2)/(1 + K1Kh + K1K2K2h2)), constants for Celsius.
    #[test]
    fn moisture_is_that_of_the_formula() {
        let t = 21.1_f64;
        let w = 349.0 + 1.29 * t + 0.0135 * t * t;
        let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
        let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
        let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
        for (h, m) in [0.3, 0.5, 0.7].into_iter().zip(MOISTURE) {
            let kh = k * h;
            let wet = (k1 * kh + 2.0 * k1 * k2 * kh * kh) / (1.0 + k1 * kh + k1 * k2 * kh * kh);
            let formula = 1800.0 / w * (kh / (1.0 - kh) + wet);
            assert!((formula - m).abs() < 0.01, "{formula} for {m}");
        }
    }

    /// Wood Handbook, chapter 13: dD = D C dM. 250 mm of red oak by 1 %: 0.92 mm.
    #[test]
    fn change_is_length_times_coefficient_times_moisture() {
        let [loss, gain] = change("red oak", 250.0).unwrap();
        assert!((loss / (MOISTURE[1] - MOISTURE[0]) - 0.9225).abs() < 1e-9);
        assert!((gain / (MOISTURE[2] - MOISTURE[1]) - 0.9225).abs() < 1e-9);
        assert_eq!(change("birch plywood", 250.0), Some([0.1; 2]));
        assert_eq!(change("steel low carbon", 250.0), None);
    }
}
