use crate::assembly::{Assembly, Group, Kind, Part};
use crate::design::Design;
use glam::DVec3;
use std::collections::BTreeMap;

/// How far parts are drawn apart, mm: enough that a neighbour of usual size does not hide them.
const BOARDS: f64 = 90.0;
const BAFFLE: f64 = 170.0;
const PANEL: f64 = 62.0;
const ABOVE: f64 = 55.0;
const BELOW: f64 = 70.0;
const FASTENER: f64 = 26.0;
const CLEAR: f64 = 130.0;

/// How far each part is moved in the exploded view, mm, amp frame.
///
/// The chassis comes out of the cabinet the way it slides; everything else moves away from what it is fixed to, and fasteners along
/// their own axis.
pub(crate) fn shifts(design: &Design, assembly: &Assembly, centres: &[DVec3]) -> Vec<DVec3> {
    let parts = &assembly.parts;
    let by_id: BTreeMap<&str, usize> = parts
        .iter()
        .enumerate()
        .map(|(i, p)| (p.id.as_str(), i))
        .collect();
    let mut shifts: Vec<DVec3> = parts
        .iter()
        .zip(centres)
        .map(|(p, &c)| shift(design, p, c))
        .collect();
    // fasteners stay with what they hold
    for (i, part) in parts.iter().enumerate() {
        let along = match part.kind {
            Kind::Screw => -FASTENER,
            Kind::Nut | Kind::Washer if part.group != Group::Panel => FASTENER,
            _ => continue,
        };
        let held = by_id
            .get(part.owner.as_str())
            .filter(|&&k| k != i)
            .map_or_else(|| shift(design, part, centres[i]), |&k| shifts[k]);
        shifts[i] = held + part.pose.rot.z_axis * along;
    }
    shifts
}

fn shift(design: &Design, part: &Part, centre: DVec3) -> DVec3 {
    let (size, plate) = (design.cabinet, design.plate);
    let depth = size.map_or(200.0, |c| c.depth);
    // a chassis with a panel in front only comes out there
    let is_panel = |id: &str| design.flats.iter().any(|f| f.id == id);
    let to_front = is_panel("panel-front") && !is_panel("panel-rear");
    let slide = if to_front {
        -DVec3::Y * (depth + CLEAR + BAFFLE)
    } else {
        DVec3::Y * (depth + CLEAR)
    };
    let up = if plate.is_none_or(|p| p.up) {
        DVec3::Z
    } else {
        -DVec3::Z
    };

    if part.moves {
        let from_middle = plate.map_or(0.0, |p| centre.y - (p.y0 + p.depth / 2.0));
        let outward = DVec3::Y * from_middle.signum();
        let own = match (part.group, part.kind) {
            (Group::Panel, Kind::Panel) => outward * PANEL,
            (Group::Panel, Kind::Control) => outward * PANEL * 0.35,
            (Group::Panel, Kind::Nut) => outward * PANEL * 1.35,
            (Group::Panel, Kind::Knob) => outward * PANEL * 1.8,
            (_, Kind::Angle | Kind::Bracket) => outward * 16.0 - up * 28.0,
            (Group::Above, Kind::SmallTube | Kind::PowerTube | Kind::Rectifier) => up * ABOVE * 1.6,
            (Group::Above, Kind::Retainer | Kind::Clamp) => up * ABOVE * 0.4,
            (Group::Above, Kind::Hardware) => up * ABOVE * 0.3,
            (Group::Above, _) => up * ABOVE,
            (Group::Below, Kind::Socket | Kind::StandOff | Kind::Hardware) => -up * BELOW * 0.5,
            (Group::Below, _) => -up * BELOW,
            _ => DVec3::ZERO,
        };
        return slide + own;
    }
    match (part.group, part.kind) {
        (Group::Speaker, Kind::SpeakerFrame | Kind::Magnet) => {
            let in_front = design.speaker.as_ref().is_some_and(|s| s.from_front);
            -DVec3::Y * BAFFLE * if in_front { 1.9 } else { 0.45 }
        }
        (Group::Speaker, _) => -DVec3::Y * BAFFLE * 0.7,
        // what holds the plate in its grooves stays with the sides
        (Group::Chassis, _) => DVec3::X * BOARDS * side(design, centre),
        (_, Kind::Baffle) => -DVec3::Y * BAFFLE,
        (_, Kind::BackBoard) => DVec3::Y * BOARDS,
        (_, Kind::Handle) => DVec3::Z * BOARDS * 1.5,
        (_, Kind::Foot) => -DVec3::Z * BOARDS * 1.4,
        (_, Kind::Cleat) => DVec3::X * side(design, centre) * BOARDS * 0.55,
        (Group::Cabinet, Kind::Board | Kind::Covering) => {
            let (w, h) = size.map_or((1.0, 1.0), |c| (c.width, c.height));
            let (x, z) = ((centre.x / w - 0.5) * 2.0, (centre.z / h - 0.5) * 2.0);
            if x.abs() > z.abs() {
                DVec3::X * BOARDS * x.signum()
            } else {
                DVec3::Z * BOARDS * z.signum()
            }
        }
        _ => DVec3::ZERO,
    }
}

/// -1 left of the cabinet's middle, 1 right of it.
fn side(design: &Design, centre: DVec3) -> f64 {
    let middle = design.cabinet.map_or(0.0, |c| c.width / 2.0);
    if centre.x < middle { -1.0 } else { 1.0 }
}
