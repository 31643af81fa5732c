//! What each view shows: which parts, solid or see-through, from where.

use super::camera::Camera;
use super::explode;
use crate::assembly::{Assembly, Group, Kind, Part};
use crate::design::Design;
use glam::DVec3;
use std::collections::BTreeSet;

/// One part in a view.
#[derive(Clone, Copy, Debug)]
pub(super) struct Item {
    /// Index of the part.
    pub part: usize,
    /// See-through.
    pub ghost: bool,
    /// Moved by, mm.
    pub shift: DVec3,
}

/// A view before it is drawn.
pub(super) struct Scene {
    /// Name of the file without ending.
    pub file: &'static str,
    /// What is seen.
    pub title: &'static str,
    /// What lies where in the picture.
    pub hint: &'static str,
    /// Direction only.
    pub camera: Camera,
    /// Everything right of this plane is cut away, x in mm.
    pub cut: Option<f64>,
    pub items: Vec<Item>,
    /// Whether places in the picture are places in the amp, so that clashes can be marked.
    pub in_place: bool,
    /// Whether lengths in the picture can be measured.
    pub to_scale: bool,
}

/// All views of a design. `centres` are the parts' centres of volume in the amp frame.
pub(super) fn scenes(design: &Design, assembly: &Assembly, centres: &[DVec3]) -> Vec<Scene> {
    let is_cabinet = |p: &Part| p.group == Group::Cabinet;
    let select = |choose: &dyn Fn(usize, &Part) -> Option<bool>| -> Vec<Item> {
        let parts = assembly.parts.iter().enumerate();
        parts
            .filter_map(|(i, p)| {
                choose(i, p).map(|ghost| Item {
                    part: i,
                    ghost,
                    shift: DVec3::ZERO,
                })
            })
            .collect()
    };
    let has_speaker = design.speaker.is_some();
    let is_speaker = |p: &Part| p.group == Group::Speaker;

    let backs: BTreeSet<&str> = assembly
        .parts
        .iter()
        .filter(|p| p.kind == Kind::BackBoard)
        .map(|p| p.owner.as_str())
        .collect();
    let height = design.cabinet.map_or(f64::INFINITY, |c| c.height);
    let middle = design.cabinet.map_or(0.0, |c| c.width / 2.0);
    let scene = |file, title, hint, camera, items| Scene {
        file,
        title,
        hint,
        camera,
        items,
        cut: None,
        in_place: true,
        to_scale: true,
    };

    let mut out = vec![
        Scene {
            to_scale: false,
            ..scene(
                "front",
                if has_speaker {
                    "front, cabinet and speaker see-through"
                } else {
                    "front, cabinet see-through"
                },
                "seen from the front right",
                Camera::looking_from(DVec3::new(0.52, -0.85, 0.46), DVec3::Z),
                select(&|_, p| Some(is_cabinet(p) || is_speaker(p))),
            )
        },
        Scene {
            to_scale: false,
            ..scene(
                "rear-corner",
                "rear, cabinet see-through",
                "seen from the rear, the amp's right side near",
                Camera::looking_from(DVec3::new(0.52, 0.85, 0.46), DVec3::Z),
                select(&|_, p| Some(is_cabinet(p))),
            )
        },
        scene(
            "top",
            if has_speaker {
                "top with the roof off, speaker see-through"
            } else {
                "top with the roof off"
            },
            "rear at the top of the picture, front at the bottom",
            Camera::looking_from(DVec3::Z, DVec3::Y),
            select(&|i, p| {
                if is_cabinet(p) && (centres[i].z > height - 3.0 || p.owner == "handle") {
                    None
                } else {
                    Some(is_speaker(p))
                }
            }),
        ),
        scene(
            "rear",
            "rear, back boards see-through",
            "the amp's right is on the left",
            Camera::looking_from(DVec3::Y, DVec3::Z),
            select(&|_, p| Some(is_cabinet(p) && backs.contains(p.owner.as_str()))),
        ),
    ];
    let axis = design.speaker.as_ref().map_or(middle, |s| s.pose.at.x);
    out.push(Scene {
        cut: Some(axis),
        ..scene(
            "section",
            if has_speaker {
                "section through the speaker axis"
            } else {
                "section through the middle"
            },
            "front on the left, rear on the right; cut faces are striped",
            Camera::looking_from(DVec3::X, DVec3::Z),
            select(&|_, _| Some(false)),
        )
    });
    if let Some(plate) = design.plate {
        let wiring = if plate.up { -1.0 } else { 1.0 };
        out.push(Scene {
            to_scale: false,
            ..scene(
                "underside",
                "wiring side of the chassis",
                if plate.up {
                    "chassis alone, from below; rear at the bottom of the picture"
                } else {
                    "chassis alone, from above; rear at the top of the picture"
                },
                Camera::looking_from(DVec3::new(0.0, -0.4, wiring), DVec3::Y * wiring),
                select(&|_, p| p.moves.then_some(false)),
            )
        });
    }
    let shifts = explode::shifts(design, assembly, centres);
    out.push(Scene {
        in_place: false,
        to_scale: false,
        ..scene(
            "exploded",
            "exploded",
            "seen from the rear, the amp's right side near",
            Camera::looking_from(DVec3::new(0.75, 0.66, 0.5), DVec3::Z),
            shifts
                .into_iter()
                .enumerate()
                .map(|(part, shift)| Item {
                    part,
                    ghost: false,
                    shift,
                })
                .collect(),
        )
    });
    out
}
