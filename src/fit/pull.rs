//! Each tube is drawn straight out of its socket.

use super::findings::place;
use super::in_use::{Scene, near};
use super::page::Doc;
use super::report::{Finding, Severity};
use crate::measure::Swept;
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["tube-pull"],
    title: "Pulling a tube",
    does: "Draws each tube straight out along its axis by the length of its pins and 5 mm more, past its own retainer, and measures it \
against everything else. What stands on the chassis in its way is an error: that tube never comes out. What belongs to the cabinet or the \
speaker is a warning: it comes out only with the chassis out. Tilting it after that is not looked at.",
    why: "Tubes wear out; one that cannot be drawn means taking the amp apart.",
    example: "`V1 comes out only with the chassis out: it hits top after 6.2 mm of the 12.1 mm its pins need`",
    change: "move the tube or what is above it, a shorter tube, a lower plate.",
    rests_on: "pins and 5 mm: common practice, no published source; pin length is the catalogue's overall length less its seated height.",
};

/// Straight way beyond the pins before a tube may tilt, mm.
const MORE: f64 = 5.0;

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Vec<Finding> {
    let parts = &scene.assembly.parts;
    let mut out = Vec::new();
    for t in &scene.design.tubes {
        let Some(k) = parts.iter().position(|p| p.id == t.id) else {
            continue;
        };
        let way = t.pose.dir(DVec3::Z) * (t.pins + MORE);
        let [low, high] = scene.boxes[k];
        let room = [low.min(low + way), high.max(high + way)];
        let mut swept: Option<Swept<'_, '_>> = None;
        // what moves with the tube's own chassis is the worse obstacle; of equals the one met first
        let mut worst: Option<(bool, f64, usize)> = None;
        for (i, other) in parts.iter().enumerate() {
            if other.owner == t.id
                || !near(room, scene.boxes[i], 0.0)
                || scene.overlap_at_rest(k, i)
            {
                continue;
            }
            let s =
                swept.get_or_insert_with(|| Swept::new(scene.shape(&parts[k]), parts[k].pose, way));
            let Some(met) = s.first_contact(scene.shape(other), &other.pose) else {
                continue;
            };
            let new = (!other.moves, met, i);
            if worst.is_none_or(|w| (new.0, new.1) < (w.0, w.1)) {
                worst = Some(new);
            }
        }
        if let Some((fixed, met, i)) = worst {
            let other = &parts[i];
            let need = way.length();
            let at = parts[k].pose.point(DVec3::Z * t.seated) + way.normalize_or_zero() * met;
            let (severity, what, hint) = if fixed {
                (
                    Severity::Warning,
                    "comes out only with the chassis out",
                    format!(
                        "move {} away from {}, or leave it so and slide the chassis out to change the tube",
                        t.id, other.id
                    ),
                )
            } else {
                (
                    Severity::Error,
                    "cannot be drawn out",
                    format!("move {} away from {}", t.id, other.owner),
                )
            };
            out.push(Finding {
                id: "tube-pull".into(),
                severity,
                about: vec![t.id.clone(), other.id.clone()],
                at_mm: at.to_array(),
                measured: met,
                wanted: need,
                unit: "mm".into(),
                text: format!(
                    "{} {what}: it hits {} after {} of the {} its pins need, {}",
                    t.id,
                    other.id,
                    units::show(met),
                    units::show(need),
                    place(scene.design, at)
                ),
                hint,
                source: "common practice".into(),
            });
        }
    }
    out
}
