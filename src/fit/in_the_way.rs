//! What is said where a hand or a tool finds something in its way.

use super::findings::place;
use super::report::{Finding, Severity};
use super::scene::Scene;
use glam::DVec3;

/// That `about[1]` is in the way of what is done to `about[0]`, and where; `wanted` mm are kept between them.
pub(super) fn in_the_way(
    scene: &Scene<'_, '_>,
    id: &str,
    about: [&str; 2],
    at: DVec3,
    wanted: f64,
    text: &str,
    source: &str,
) -> Finding {
    let text = format!("{text}, {}", place(scene.design, at));
    Finding::new(id, Severity::Warning, about, at, (0.0, wanted, "mm")).says(
        text,
        make_room(scene, about),
        source,
    )
}

/// What gives a screw or nut room: items are moved, the screws of the frame spaced otherwise.
fn make_room(scene: &Scene<'_, '_>, about: [&str; 2]) -> String {
    let owners = about.map(|id| {
        (scene.assembly.parts.iter().find(|p| p.id == id)).map_or(id, |p| p.owner.as_str())
    });
    let movable = owners.map(|o| scene.design.movables.iter().any(|m| m.id == o));
    match (owners, movable) {
        ([a, b], [true, true]) if a == b => format!("turn {a}, or take another part"),
        ([a, b], [true, true]) => format!("move {a} or {b}"),
        ([a, _], [true, false]) => format!("move {a} away from {}", about[1]),
        ([_, b], [false, true]) => format!("move {b} away from {}", about[0]),
        ([a, _], _) if a.starts_with("retain-") => {
            "move it with `chassis.retain.from-edge`, take another `chassis.retain.kind`, or leave out a panel that shuts the way".into()
        }
        ([a, _], _) if a.starts_with("angle-") => "change `chassis.angle.pitch`".into(),
        _ => String::new(),
    }
}
