//! The loudspeaker's lead reaches with the chassis slid out, or a plug ends it.

use super::doc::Doc;
use super::report::{Finding, Severity};
use crate::design::{Design, PlateFrame, SpeakerSpec};
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["speaker-lead"],
    title: "The loudspeaker's lead",
    does: "Works out how long the lead must be, from the terminals (anywhere on the basket's rim at half its depth) straight to where it goes on the chassis (`speaker.lead-to`; \
unless said, the plate's farthest corner), and 100 mm for bends and hands: with the chassis slid out until the plate is clear of the cabinet, and 150 mm further to lay it down, if the lead is fixed, in its place if a plug ends it. A given `speaker.lead` that is \
shorter is a warning; without one a note says what to cut.",
    why: "With the lead soldered at both ends and too short, the first pull at the chassis tears the speaker's terminals off.",
    example: "`cut the speaker's lead 560 mm or longer, so that the chassis slides out with it on; with a plug 330 mm do`",
    change: "`speaker.lead`, `lead-plug`, `lead-to`.",
    rests_on: "straight lines; 100 mm more, and 150 mm behind the cabinet: common practice, no published source.",
};

/// For bends and hands, mm.
const MORE: f64 = 100.0;

/// Behind the cabinet, where the chassis is laid down, mm.
const BEHIND: f64 = 150.0;

/// Length of the lead with the chassis in its place, and slid out and laid down behind the cabinet.
fn needed(design: &Design, plate: &PlateFrame, speaker: &SpeakerSpec) -> [f64; 2] {
    let depth = design.cabinet.map_or(0.0, |c| c.depth);
    let out = if plate.from_rear {
        DVec3::Y * (depth - plate.y0 + BEHIND)
    } else {
        -DVec3::Y * (plate.y0 + plate.depth + BEHIND)
    };
    let middle = speaker.pose.point(DVec3::Z * speaker.depth / 2.0);
    let rim = speaker.frame / 2.0;
    let ends: Vec<DVec3> = match speaker
        .lead_to
        .as_deref()
        .and_then(|id| place_of(design, id))
    {
        Some(at) => vec![at],
        None => [0.0, plate.width]
            .into_iter()
            .flat_map(|x| [0.0, plate.depth].map(|y| (x, y)))
            .map(|(x, y)| DVec3::new(plate.x0 + x, plate.y0 + y, plate.z0))
            .collect(),
    };
    // the rim's nearest and farthest points differ by its width: the farther one, for a terminal that may point anywhere
    [DVec3::ZERO, out].map(|moved| {
        let far = (ends.iter())
            .map(|e| middle.distance(*e + moved))
            .fold(0.0, f64::max);
        far + rim + MORE
    })
}

/// Where an item stands.
fn place_of(design: &Design, id: &str) -> Option<DVec3> {
    let of = |own: &str, at: DVec3| (own == id).then_some(at);
    (design.controls.iter().find_map(|c| of(&c.id, c.pose.at)))
        .or_else(|| design.irons.iter().find_map(|i| of(&i.id, i.pose.at)))
        .or_else(|| design.boards.iter().find_map(|b| of(&b.id, b.pose.at)))
        .or_else(|| design.strips.iter().find_map(|s| of(&s.id, s.pose.at)))
}

pub(super) fn of_design(design: &Design) -> Option<Finding> {
    let (plate, speaker) = (design.plate?, design.speaker.as_ref()?);
    let [home, out] = needed(design, &plate, speaker);
    let to = speaker.lead_to.as_deref().unwrap_or("the chassis");
    let need = if speaker.lead_plug { home } else { out };
    let given = speaker.lead;
    let short = given.is_some_and(|l| l < need);
    let text = match (given, speaker.lead_plug) {
        (Some(l), true) if short => format!(
            "the speaker's lead is {} long; {} are needed to plug it into {to}",
            units::show(l),
            units::show(need)
        ),
        (Some(l), false) if short => format!(
            "the speaker's lead is {} long; {} are needed to slide the chassis out with it on {to}",
            units::show(l),
            units::show(need)
        ),
        (Some(_), _) => return None,
        (None, true) => format!(
            "cut the speaker's lead {} or longer; pull its plug from {to} before the chassis slides out",
            units::show(home)
        ),
        (None, false) => format!(
            "cut the speaker's lead {} or longer, so that the chassis slides out with it on; with a plug {} do",
            units::show(out),
            units::show(home)
        ),
    };
    let mut about = vec!["speaker-frame".to_owned()];
    about.extend(speaker.lead_to.clone());
    Some(Finding {
        id: "speaker-lead".into(),
        severity: if short {
            Severity::Warning
        } else {
            Severity::Note
        },
        about,
        at_mm: speaker.pose.at.to_array(),
        measured: given.unwrap_or(need),
        wanted: need,
        unit: "mm".into(),
        text,
        hint: match (short, speaker.lead_plug) {
            (true, false) => "a longer lead, or a plug (`lead-plug = true`)".into(),
            (true, true) => "a longer lead".into(),
            _ => String::new(),
        },
        source: "straight lines; 100 mm more: common practice".into(),
    })
}
