//! The plate under what it carries: sag, strain when the amp is set down hard, bolts, and the wood of the grooves.

use super::doc::Doc;
use super::laden::Laden;
use super::report::{Finding, Severity};
use super::weight;
use crate::assembly::Assembly;
use crate::catalogue::{self, MaterialRow};
use crate::design::Design;
use crate::params::Mounting;
use crate::physics::GRAVITY;
use crate::physics::body;
use crate::physics::plate::{Bent, hole_stress};
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["sag", "sag-stress", "bolt-pull", "groove-load"],
    title: "Sag and strength of the plate",
    does: "Bends the plate under the weight of all it carries, each part at its place (iron through its feet), as a thin plate simply \
supported where it leaves the grooves, free in front and behind. A panel or angle along an edge, nine tenths of the span long or more, stiffens it as a \
beam with its own E I, a slot as high as its highest hole taken out; its twist and its working together with the plate are not counted, nor \
brackets, blocks and the iron's own stiffness; ears along part of the depth count as along all of it; a sag of more than half the thickness is overstated, and past a tenth of the span the finding says that the plate would fold (`measured`, also of `sag-stress`, is then what the formula gives, and no estimate). The sag is told twice: as if there were no holes, and with every hole charged 2/(1 - Poisson's \
ratio) times its area (a window: the circle round it), which for holes that stand apart is more than any can cost; the larger is \
held against 1/300 of the span. Then five times the weight, as when the amp is set down hard: strain of the plate at a hole's edge against \
the metal's yield (`sag-stress`), the pull on the bolts of the iron, shaken up and sideways, against punching through the sheet (`bolt-pull`), and \
pressure and shear of the wood under the ears (`groove-load`).",
    why: "A plate that gives under its transformer rattles in its grooves, and lets tube sockets and wires work.",
    example: "`the plate sags 0.9 mm at its deepest, 1.6 mm at most wanted`",
    change: "`chassis.sag` sets the limit; thicker sheet, steel, an angle or a second panel along the free edge, the heaviest iron nearer a groove.",
    rests_on: "Kirchhoff's plate theory, D = E t^3 / (12 (1 - nu^2)), solved by a series of sines and polynomials (Ritz) that the tests hold to the exact one within 0.2 % and to \
Roark's Table 11.4 within 1 %; with the few terms used here sag to 2 %, stress to a tenth; what a hole costs, and stress at its edge, (5 + 3 nu)/(3 + nu) times: the same theory (computed). 1/300 of the span: common practice, after building. Five times the weight: common \
practice. Yield: 5052-H32 193, 6061-T6 276 MPa (property sheets), 3003-H14 145, 6063 145, steel 180 MPa (from memory), any other metal 100 MPa (our own figure, as its temper is not known); shear at yield is yield / 1.73. \
Wood: 3.0 MPa across the grain and 6.2 MPa in shear, those of eastern white pine, the weakest listed (Wood Handbook, from memory).",
};

/// Sag over span that is wanted at most.
pub(super) const LIMIT: f64 = 1.0 / 300.0;

/// Sag over span beyond which thin-plate theory, made for a sag of less than the thickness, is no estimate at all (our own figure).
const FOLDS: f64 = 1.0 / 10.0;

/// Times the weight, when set down hard.
const HARD: f64 = 5.0;

/// Yield, MPa, by metal.
const YIELD: [(&str, f64); 5] = [
    ("aluminium 5052-H32", 193.0),
    ("aluminium 6061-T6", 276.0),
    ("aluminium 3003-H14", 145.0),
    ("aluminium 6063-T5", 145.0),
    ("steel low carbon", 180.0),
];

/// What a metal of an unknown kind is taken to bear, MPa.
const WEAKEST: f64 = 100.0;

/// Wood across the grain and in shear along it, MPa.
const WOOD: [f64; 2] = [3.0, 6.2];

fn yield_of(metal: &MaterialRow) -> f64 {
    (YIELD.iter().find(|y| y.0 == metal.id)).map_or(WEAKEST, |y| y.1)
}

pub(super) fn of_design(design: &Design, assembly: &Assembly) -> Vec<Finding> {
    let Some(laden) = Laden::new(design, assembly) else {
        return Vec::new();
    };
    let Some(flat) = design.flat("plate") else {
        return Vec::new();
    };
    let metal = catalogue::material(&flat.material);
    let Some((metal, bent)) =
        metal.and_then(|m| Some((m, laden.bend(m, laden.frame.thickness, true)?)))
    else {
        return Vec::new();
    };
    let mut out = vec![sag(design, &laden, metal, &bent)];
    let mut hard = vec![stress(&laden, metal, &bent)];
    hard.extend(bolts(design, assembly, &laden, metal));
    hard.extend(groove(design, assembly, &laden));
    let (fails, holds): (Vec<Finding>, Vec<Finding>) =
        hard.into_iter().partition(|f| f.measured > f.wanted);
    out.extend(fails);
    // what holds is told in one note
    let mut holds = holds.into_iter();
    if let Some(mut first) = holds.next() {
        first.severity = Severity::Note;
        first.hint = String::new();
        for f in holds {
            first.text.push_str("; ");
            first.text.push_str(f.text.trim_start_matches(HARD_WORDS));
        }
        out.push(first);
    }
    out
}

/// How the texts of hard handling begin.
const HARD_WORDS: &str = "set down hard (5 times its weight) ";

fn place(laden: &Laden, [x, y]: [f64; 2]) -> DVec3 {
    DVec3::new(x, laden.frame.y0 + y, laden.frame.z0)
}

/// Sag that is wanted at most, mm.
pub(super) fn limit(design: &Design, span: f64) -> f64 {
    design.most_sag.unwrap_or(span * LIMIT)
}

/// Whether a sag, mm, is so large a share of the span that the formula no longer tells anything.
#[must_use]
pub fn folds(sag: f64, span: f64) -> bool {
    sag > span * FOLDS
}

fn sag(design: &Design, laden: &Laden, metal: &'static MaterialRow, bent: &Bent) -> Finding {
    let wanted = limit(design, laden.span);
    let (deep, at) = bent.deepest();
    let whole = (laden.bend(metal, laden.frame.thickness, false)).map_or(deep, |b| b.deepest().0);
    let mut f = Finding::new(
        "sag",
        Severity::Warning,
        ["plate"],
        place(laden, at),
        (deep, wanted, "mm"),
    );
    let held = if laden.stiffened.is_empty() {
        "nothing stiffens its edges".to_owned()
    } else {
        format!("stiffened along {}", laden.stiffened.join(" and "))
    };
    f.text = if folds(deep, laden.span) {
        format!(
            "the plate would fold: {:.1} kg on {} of {} sag it far more than its thickness, over a tenth of the {} between its grooves, which is \
outside what the formula can tell; {:.2} mm at most wanted, {held}",
            laden.load,
            units::show_drill(laden.frame.thickness),
            metal.id,
            units::show(laden.span),
            wanted
        )
    } else {
        format!(
            "the plate sags {:.2} mm at its deepest, {} from its left groove and {} from its front edge, {:.2} mm at most wanted: {:.1} kg on {} of {}, {held}; \
{:.2} mm if it had no holes",
            deep,
            units::show(at[0]),
            units::show(at[1]),
            wanted,
            laden.load,
            units::show(laden.frame.thickness),
            metal.id,
            whole
        )
    };
    f.source = if design.most_sag.is_some() {
        "the design's own limit; plate theory, computed".into()
    } else {
        "1/300 of the span: common practice; plate theory, computed".into()
    };
    if deep <= wanted {
        f.severity = Severity::Note;
        return f;
    }
    let mut cures: Vec<String> = [metal.id.as_str(), "steel low carbon"]
        .into_iter()
        .filter_map(catalogue::material)
        .filter_map(|m| Some((m, thinnest(laden, m, wanted)?)))
        .map(|(m, t)| format!("{} of {}", units::show_drill(t), m.id))
        .collect();
    cures.dedup();
    if laden.stiffened.len() < 2 {
        cures.push("a panel or an angle along a free edge".into());
    }
    cures.push("the heaviest iron nearer a groove".into());
    f.hint = cures.join("; or ");
    f
}

/// The thinnest stock of a metal that sags no more than wanted.
pub(super) fn thinnest(laden: &Laden, metal: &'static MaterialRow, wanted: f64) -> Option<f64> {
    let fits = |t: f64| (laden.bend(metal, t, true)).is_some_and(|b| b.deepest().0 <= wanted);
    metal.stock.iter().copied().find(|&t| fits(t))
}

fn stress(laden: &Laden, metal: &MaterialRow, bent: &Bent) -> Finding {
    let (strain, at) = bent.most_strained();
    let most = strain * HARD * metal.poisson.map_or(2.0, hole_stress);
    let bears = yield_of(metal);
    let mut f = Finding::new(
        "sag-stress",
        Severity::Warning,
        ["plate"],
        place(laden, at),
        (most, bears, "MPa"),
    );
    f.text = format!(
        "{HARD_WORDS}the plate is strained to {most:.0} MPa at the edge of a hole, {bears:.0} MPa bend it for good"
    );
    if most > bears && folds(bent.deepest().0, laden.span) {
        f.text = format!(
            "{HARD_WORDS}the plate is bent for good: its strain, as its sag, is outside what the formula can tell; {bears:.0} MPa bend it"
        );
    }
    f.hint = "thicker sheet, or the heaviest iron nearer a groove".into();
    f.source = "5 times the weight: common practice; yield as docs/checks.md says".into();
    f
}

/// Iron shaken up and sideways: the most its bolts pull, against the sheet under their heads.
fn bolts(design: &Design, assembly: &Assembly, laden: &Laden, metal: &MaterialRow) -> Vec<Finding> {
    let mut out = Vec::new();
    for iron in &design.irons {
        let m = weight::mass(assembly, |p| p.owner == iron.id);
        let feet = iron.mounts();
        let force = HARD * m.kg * GRAVITY;
        let height = iron.pose.dir(DVec3::Z).dot(m.centre - iron.pose.at).abs();
        let (arm, on_one_side) = match iron.mounting {
            // two feet hold it across their line by half the width of their seat only, one bolt by half its width
            Mounting::ChannelFrame => (iron.stack / 2.0, 2.0),
            Mounting::CentreBolt => (iron.length / 2.0, 1.0),
            _ => (iron.holes.x.min(iron.holes.y), feet.len() as f64 / 2.0),
        };
        let pull = force / feet.len() as f64 + force * height / arm.max(1.0) / on_one_side;
        let id = format!("{}-screw-1", iron.id);
        let head = (design.fasteners.iter().find(|f| f.id == id))
            .map_or(iron.hole * 1.6, |f| f.row.pan_diameter);
        let bears =
            std::f64::consts::PI * head * laden.frame.thickness * yield_of(metal) / 3f64.sqrt();
        let mut f = Finding::new(
            "bolt-pull",
            Severity::Warning,
            [iron.id.as_str(), "plate"],
            iron.pose.at,
            (pull, bears, "N"),
        );
        f.text = format!(
            "{HARD_WORDS}a bolt of {} pulls {pull:.0} N, the sheet under its head bears {bears:.0} N",
            iron.id
        );
        f.hint = "large washers, thicker sheet, or larger bolts".into();
        f.source = "5 times the weight: common practice; punching shear, computed".into();
        out.push(f);
    }
    // one that holds is enough: the hardest pulled
    out.sort_by(|a, b| (b.measured / b.wanted).total_cmp(&(a.measured / a.wanted)));
    let fails = out.iter().filter(|f| f.measured > f.wanted).count();
    out.truncate(fails.max(1));
    out
}

/// The ears on the wood.
fn groove(design: &Design, assembly: &Assembly, laden: &Laden) -> Option<Finding> {
    let cabinet = design.cabinet?;
    let frame = &laden.frame;
    let chassis = weight::mass(assembly, |p| p.moves);
    let shares = body::shares(chassis.centre.x, 0.0, laden.span);
    let share = shares[0].max(shares[1]).clamp(0.0, 1.0);
    let force = HARD * chassis.kg * GRAVITY * share;
    let ear = (frame.width - frame.inside) / 2.0;
    // the lip that is left under or over the groove, whichever is lower
    let lip = frame.z0.min(cabinet.height - frame.z0 - frame.thickness);
    if ear <= 0.0 || lip <= 0.0 {
        return None;
    }
    let (k, side, x) = if shares[0] > shares[1] {
        (0, "side-left", 0.0)
    } else {
        (1, "side-right", laden.span)
    };
    // only what the ear is long bears on the wood
    let long = super::ears::lengths(design).map_or(frame.depth, |l| l[k]);
    if long <= 0.0 {
        return None;
    }
    let loads = [force / (ear * long), force / (lip * long)];
    let worst = usize::from(loads[1] / WOOD[1] > loads[0] / WOOD[0]);
    let mut f = Finding::new(
        "groove-load",
        Severity::Warning,
        ["plate", side],
        place(laden, [x, laden.depth / 2.0]),
        (loads[worst], WOOD[worst], "MPa"),
    );
    f.text = format!(
        "{HARD_WORDS}the plate's ear {} the groove of {side} with {:.2} MPa, weak wood bears {:.1} MPa",
        ["presses on", "shears the lip of"][worst],
        loads[worst],
        WOOD[worst]
    );
    f.hint =
        "a deeper groove, a groove further from floor and roof, or a cleat under the ear".into();
    f.source = "5 times the weight: common practice; eastern white pine, from memory".into();
    Some(f)
}
