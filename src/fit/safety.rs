//! What the trade takes for granted about cords, earth, leads and tubes that hang. No more than reminders: local electrical codes and
//! licensed practice decide.

use super::doc::Doc;
use super::report::{Finding, Severity};
use crate::assembly::Kind;
use crate::catalogue;
use crate::design::{Design, IronSpec};
use crate::params::{ControlKind, Mounting, TransformerRole};
use crate::units;
use glam::DVec3;
use std::collections::BTreeSet;

pub(super) const DOC: Doc = Doc {
    ids: &[
        "cord-anchor",
        "earth-stud",
        "panel-bond",
        "lead-grommet",
        "hanging-tube",
    ],
    title: "Cord, earth and leads",
    does: "A design with a mains transformer has an inlet or a strain relief; a grommet anchors no cord (`cord-anchor`). Where the mains comes \
in there is an earth stud of its own, at most 50 mm away, centre to centre; wooden grooves are no earth path (`earth-stud`). From that stud \
every metal panel is reached through screws that clamp metal to metal: plate to angle, angle to panel (`panel-bond`). Each transformer or \
choke on the component side that is not dropped through the plate has a grommet for its leads within 40 mm of its body (`lead-grommet`). A \
tube that hangs has a clamp or a shield (`hanging-tube`). A missing anchor or stud, and a panel that is not bonded, are errors.",
    why: "A cord pulled out of a grommet puts the mains on the chassis; a panel that is not bonded stays live until a hand earths it.",
    example: "`PT is fed from the mains, and nothing anchors a cord`",
    change: "add the control or the hardware; metal angle stock; `grommets` of the transformer.",
    rests_on: "common practice, no published source; 50 and 40 mm from memory of the trade. Reminders, no proof of safety: local electrical \
codes and licensed practice decide.",
};

/// Furthest place of the earth stud from where the mains comes in, centre to centre, mm.
const EARTH_REACH: f64 = 50.0;

/// Furthest a transformer's grommet stands from its body, mm.
const LEAD_REACH: f64 = 40.0;

const SOURCE: &str = "common practice; local electrical codes and licensed practice decide";

pub(super) fn of_design(design: &Design) -> Vec<Finding> {
    let mut out = Vec::new();
    let entries: Vec<(&str, DVec3)> = design
        .controls
        .iter()
        .filter(|c| matches!(c.kind, ControlKind::Inlet | ControlKind::StrainRelief))
        .map(|c| (c.id.as_str(), c.pose.at))
        .collect();
    let supply = design
        .irons
        .iter()
        .find(|i| i.role == TransformerRole::Power);
    if let Some(supply) = supply.filter(|_| entries.is_empty()) {
        out.push(error(
            "cord-anchor",
            vec![supply.id.clone()],
            supply.pose.at,
            format!(
                "{} is fed from the mains, and nothing anchors a cord; local codes and licensed practice decide what may",
                supply.id
            ),
            "add a control of kind `inlet` or `strain relief`; a grommet is no anchor",
        ));
    }
    for (entry, at) in &entries {
        let nearest = design
            .studs
            .iter()
            .map(|s| (s.pose.at.distance(*at), &s.owner))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        match nearest {
            None => out.push(error(
                "earth-stud",
                vec![(*entry).to_owned()],
                *at,
                format!(
                    "the mains comes in at {entry}, and there is no earth stud; local codes and licensed practice decide how it is made"
                ),
                "add hardware of kind `earth stud` beside it: wooden grooves are no earth path",
            )),
            Some((far, stud)) if far > EARTH_REACH => out.push(warning(
                "earth-stud",
                vec![stud.clone(), (*entry).to_owned()],
                *at,
                (far, EARTH_REACH, "mm"),
                format!(
                    "the earth stud {stud} is {} from {entry}, {} or less wanted",
                    units::show(far),
                    units::show(EARTH_REACH)
                ),
                "move the stud towards the mains entry, so that its wire is short and the last to part",
            )),
            Some(_) => {}
        }
    }
    if !entries.is_empty() && !design.studs.is_empty() {
        bonds(design, &mut out);
    }
    for iron in &design.irons {
        leads(design, iron, &mut out);
    }
    for t in design.tubes.iter().filter(|t| t.retainer.is_none()) {
        if t.pose.dir(DVec3::Z).z < -0.5 {
            out.push(warning(
                "hanging-tube",
                vec![t.id.clone()],
                t.pose.at,
                NONE,
                format!("{} hangs, and nothing but its pins holds it", t.id),
                "add `retainer = \"clamp\"` or `\"shield\"`",
            ));
        }
    }
    out
}

/// Whether a flat part or an angle is of metal.
fn conducts(design: &Design, id: &str) -> bool {
    let of = |material: &str| catalogue::material(material).is_some_and(|m| m.family == "metal");
    (design.flat(id).map(|f| of(&f.material)))
        .or_else(|| {
            (design.angles.iter())
                .find(|a| a.id == id)
                .map(|a| of(&a.material))
        })
        .unwrap_or(false)
}

/// Every metal panel is reached from the plate, which carries the stud, through screws that clamp metal to metal.
fn bonds(design: &Design, out: &mut Vec<Finding>) {
    let mut reached: BTreeSet<&str> = BTreeSet::from(["plate"]);
    // rivets of an angle join it to the plate and to the panel in front of it
    let riveted = (design.angles.iter())
        .filter(|a| design.rivets.iter().any(|r| r.owner == a.id))
        .map(|a| {
            let panel = a.id.strip_prefix("angle-").unwrap_or_default();
            (design.flats.iter().map(|f| f.id.as_str()))
                .filter(|id| *id == "plate" || id.strip_prefix("panel-") == Some(panel))
                .chain([a.id.as_str()])
                .filter(|id| conducts(design, id))
                .collect()
        });
    let clamped: Vec<Vec<&str>> = (design.fasteners.iter())
        .filter(|f| f.nut.is_some())
        .map(|f| {
            (f.through.iter().map(|p| p.id.as_str()))
                .filter(|id| conducts(design, id))
                .collect()
        })
        .chain(riveted)
        .collect();
    loop {
        let before = reached.len();
        for group in &clamped {
            if group.iter().any(|id| reached.contains(id)) {
                reached.extend(group.iter().copied());
            }
        }
        if reached.len() == before {
            break;
        }
    }
    let panels =
        (design.flats.iter()).filter(|f| f.kind == Kind::Panel && !f.id.ends_with("-overlay"));
    for p in panels.filter(|p| conducts(design, &p.id)) {
        if !reached.contains(p.id.as_str()) {
            out.push(error(
                "panel-bond",
                vec![p.id.clone()],
                p.pose.at,
                format!(
                    "{} is metal, and no metal joins it to the plate and its earth stud; local codes and licensed practice decide how it is bonded",
                    p.id
                ),
                "metal angle stock, bare under its screws, or an earth stud and wire of its own to the plate's stud",
            ));
        }
    }
}

/// Leads of what stands on the component side go through a grommet.
fn leads(design: &Design, iron: &IronSpec, out: &mut Vec<Finding>) {
    if !iron.component || iron.mounting == Mounting::DropThrough {
        return;
    }
    let local = iron.pose.inverse();
    let half = match iron.mounting {
        Mounting::Upright => DVec3::new(iron.height / 2.0, iron.stack / 2.0 + iron.bell, 0.0),
        Mounting::ChannelFrame => DVec3::new(iron.length / 2.0, iron.stack / 2.0 + iron.bell, 0.0),
        _ => DVec3::new(iron.height / 2.0, iron.length / 2.0, 0.0),
    };
    let nearest = (design.grommets.iter())
        .map(|g| {
            let p = local.point(g.pose.at);
            let beside = (p.abs() - half).max(DVec3::ZERO);
            beside.truncate().length()
        })
        .min_by(f64::total_cmp);
    if nearest.is_some_and(|far| far <= LEAD_REACH) {
        return;
    }
    let (measured, what) = match nearest {
        Some(far) => (
            (far, LEAD_REACH, "mm"),
            format!("the nearest grommet is {} away", units::show(far)),
        ),
        None => (NONE, "there is no grommet".into()),
    };
    out.push(warning(
        "lead-grommet",
        vec![iron.id.clone()],
        iron.pose.at,
        measured,
        format!(
            "the leads of {} need a way through the plate, {what}",
            iron.id
        ),
        "leave `grommets` out or make it 1, or add hardware of kind `grommet` beside it: bare sheet cuts insulation",
    ));
}

/// None there, one wanted.
const NONE: (f64, f64, &str) = (0.0, 1.0, "pieces");

fn error(id: &str, about: Vec<String>, at: DVec3, text: String, hint: &str) -> Finding {
    Finding::new(id, Severity::Error, about, at, NONE).says(text, hint, SOURCE)
}

fn warning(
    id: &str,
    about: Vec<String>,
    at: DVec3,
    figures: (f64, f64, &str),
    text: String,
    hint: &str,
) -> Finding {
    Finding::new(id, Severity::Warning, about, at, figures).says(text, hint, SOURCE)
}
