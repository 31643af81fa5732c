//! Holes that reach over the edge of their part, and holes that run into each other: told once for an item, with the least move.

use super::Movable;
use super::flat::{Flat, FlatHole};
use super::ledger::Ledger;
use crate::assembly::Kind;
use crate::outline::{self, Box2, Loop, joined};
use crate::units;
use glam::{DVec2, DVec3};

/// Least web between two holes or a hole and an edge that can be modelled at all, mm. How much is wanted is for the checks.
pub(super) const LEAST_WEB: f64 = 0.05;
/// Material that a hinted move leaves, mm.
const LEAVE: f64 = 1.0;

/// A hole of a part, its outline, and whether that lies within the part.
pub(super) struct Placed<'d> {
    pub hole: &'d FlatHole,
    pub edge: Loop,
    pub inside: bool,
}

/// Tells of the holes that are not within their part: one error for each item.
pub(super) fn over_the_edge(flat: &Flat, holes: &[Placed], ledger: &mut Ledger) {
    let mut owners: Vec<&str> = Vec::new();
    for p in holes.iter().filter(|p| !p.inside) {
        let owner = p.hole.owner.as_str();
        if !owners.contains(&owner) {
            owners.push(owner);
        }
    }
    let part = flat.outline.bounds();
    for owner in owners {
        let all = || holes.iter().filter(|p| p.hole.owner == owner);
        let mine: Vec<(&FlatHole, Box2)> = all()
            .filter(|p| !p.inside)
            .map(|p| (p.hole, p.edge.bounds()))
            .collect();
        let over = |b: &Box2| (part[0] - b[0]).max(b[1] - part[1]).max_element();
        let Some((worst, reach)) = mine
            .iter()
            .map(|(h, b)| (*h, over(b)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
        else {
            continue;
        };
        let count = all().count();
        let all = all().map(|p| p.edge.bounds()).reduce(joined);
        let by = if reach > 0.05 {
            format!("{} over the edge of `{}`", units::show(reach), flat.id)
        } else {
            format!("over the edge of `{}`", flat.id)
        };
        let size = part[1] - part[0];
        ledger.error(
            worst.span.clone(),
            if mine.len() == 1 {
                format!("hole `{}` ({}) reaches {by}", worst.id, worst.purpose)
            } else {
                let count = if mine.len() == count {
                    format!("all {}", units::count(count, "hole"))
                } else {
                    format!("{} of the {}", mine.len(), units::count(count, "hole"))
                };
                format!(
                    "{count} in `{}` for `{owner}` reach over its edge; `{}` ({}) by {}",
                    flat.id,
                    worst.id,
                    worst.purpose,
                    units::show(reach.max(0.0))
                )
            },
            format!(
                "inside `{}`, {} x {}, with material all round",
                flat.id,
                units::show(size.x),
                units::show(size.y)
            ),
            all.map_or(String::new(), |all| inwards(flat, owner, all, part)),
        );
    }
}

/// How an item moves so that the box of its holes lies within the part's.
fn inwards(flat: &Flat, owner: &str, all: Box2, part: Box2) -> String {
    let (low, high) = (part[0] + LEAVE, part[1] - LEAVE);
    let mut moves = Vec::new();
    for (axis, dir) in [(0, DVec3::X), (1, DVec3::Y)] {
        let room = (high[axis] - low[axis]) - (all[1][axis] - all[0][axis]);
        if room < 0.0 {
            return format!(
                "the holes of `{owner}` need {} more of `{}` than there is: a larger part, or a smaller item",
                units::show(-room),
                flat.id
            );
        }
        let up = low[axis] - all[0][axis];
        let down = all[1][axis] - high[axis];
        let (by, sign) = if up > down { (up, 1.0) } else { (down, -1.0) };
        if by > 0.0 {
            // a tenth that is rounded down would not do
            let by = (by * 10.0 - 1e-6).ceil() / 10.0;
            moves.push(format!("{} {}", units::show(by), towards(flat, dir * sign)));
        }
    }
    if moves.is_empty() {
        return "move it inwards, or make the part larger".into();
    }
    format!(
        "move `{owner}` {} or more, or make the part larger",
        moves.join(" and ")
    )
}

/// A direction of the part's frame in the words of the keys that place things on it: left and right of a panel are as one faces it.
fn towards(flat: &Flat, dir: DVec3) -> &'static str {
    let amp = flat.pose.dir(dir);
    if amp.z.abs() > 0.7 {
        return if amp.z > 0.0 { "up" } else { "down" };
    }
    if amp.y.abs() > 0.7 {
        return if amp.y > 0.0 {
            "to the rear"
        } else {
            "to the front"
        };
    }
    let faced_from_behind = flat.kind == Kind::Panel && flat.id.ends_with("rear");
    if (amp.x > 0.0) != faced_from_behind {
        "to the right"
    } else {
        "to the left"
    }
}

/// Tells of holes that meet, once for each pair of items.
pub(super) fn meeting(flat: &Flat, holes: &[Placed], movables: &[Movable], ledger: &mut Ledger) {
    let loops: Vec<&Loop> = holes.iter().map(|p| &p.edge).collect();
    let mut crossing: Vec<(usize, usize)> = outline::gaps(&loops, LEAST_WEB)
        .into_iter()
        .filter(|g| g.2 <= LEAST_WEB)
        .map(|(i, j, _)| (i, j))
        .collect();
    crossing.extend(nested(&loops));
    crossing.sort_unstable();
    crossing.dedup();
    let mut told: Vec<[&str; 2]> = Vec::new();
    for &(i, j) in &crossing {
        let (a, b) = (holes[i].hole, holes[j].hole);
        // two items on one spot cross in many holes: say it once
        let pair = [a.owner.as_str(), b.owner.as_str()];
        if told.contains(&pair) || told.contains(&[pair[1], pair[0]]) {
            continue;
        }
        told.push(pair);
        let later = if a.span.start > b.span.start { a } else { b };
        let other = if std::ptr::eq(later, a) { b } else { a };
        let depth = round_overlap(a, b);
        // the worst of all holes of the two says how far they have to go
        let most = crossing
            .iter()
            .map(|&(i, j)| (holes[i].hole, holes[j].hole))
            .filter(|(p, q)| {
                let owners = [p.owner.as_str(), q.owner.as_str()];
                owners == pair || owners == [pair[1], pair[0]]
            })
            .filter_map(|(p, q)| round_overlap(p, q))
            .fold(0.0, f64::max);
        ledger.error(
            later.span.clone(),
            format!(
                "holes `{}` and `{}` of `{}` run into each other{}",
                later.id,
                other.id,
                flat.id,
                depth.map_or(String::new(), |d| format!(
                    " by {}",
                    units::show(d.max(0.0))
                ))
            ),
            "material between any two holes",
            if later.owner == other.owner {
                format!("look at the sizes of `{}`", later.owner)
            } else {
                let by = if most > 0.0 {
                    format!(" at least {}", units::show(most + LEAVE))
                } else {
                    String::new()
                };
                let moves = |owner: &str| movables.iter().any(|m| m.id == owner);
                match [moves(&later.owner), moves(&other.owner)] {
                    [true, false] => {
                        format!("move `{}`{by} away from `{}`", later.owner, other.owner)
                    }
                    [false, true] => {
                        format!("move `{}`{by} away from `{}`", other.owner, later.owner)
                    }
                    _ => format!(
                        "move `{}` and `{}`{by} further apart",
                        later.owner, other.owner
                    ),
                }
            },
        );
    }
}

/// How deep two round holes reach into each other, mm; `None` where one is not round.
fn round_overlap(a: &FlatHole, b: &FlatHole) -> Option<f64> {
    Some(a.radius()? + b.radius()? - a.at.distance(b.at))
}

/// Pairs of holes of which one lies wholly within the other: their outlines never meet, so no gap tells.
fn nested(loops: &[&Loop]) -> Vec<(usize, usize)> {
    let mut boxes: Vec<(usize, [DVec2; 2])> =
        loops.iter().map(|l| l.bounds()).enumerate().collect();
    boxes.sort_by(|a, b| a.1[0].x.total_cmp(&b.1[0].x));
    let mut out = Vec::new();
    for (k, (i, a)) in boxes.iter().enumerate() {
        for (j, b) in boxes[k + 1..].iter().take_while(|(_, b)| b[0].x <= a[1].x) {
            if b[0].y <= a[1].y
                && a[0].y <= b[1].y
                && (loops[*i].inside(loops[*j]) || loops[*j].inside(loops[*i]))
            {
                out.push((*i.min(j), *i.max(j)));
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use crate::study;

    const HARBOUR: &str = include_str!("../../params/harbour-15.toml");

    fn told(from: &str, to: &str) -> String {
        let text = HARBOUR.replacen(from, to, 1);
        assert_ne!(text, HARBOUR);
        match study::study(&text) {
            Err(e) => e.render("amp.toml", &text, false),
            Ok(_) => String::new(),
        }
    }

    /// The hinted move is enough, and one that is 2 mm shorter is not.
    #[test]
    fn the_hinted_move_brings_an_item_back() {
        let at = |left: f64| format!("at = {{ left = {left}, front = 62 }}");
        let out = told(&at(76.0), &at(900.0));
        assert_eq!(out.matches("error:").count(), 1, "{out}");
        assert!(out.contains("all 5 holes in `plate` for `PT`"), "{out}");
        let hint = out.split("move `PT` ").nth(1).expect("a move");
        let by: f64 = hint
            .split(' ')
            .next()
            .and_then(|n| n.parse().ok())
            .expect("mm");
        assert!(hint.contains("to the left or more"), "{out}");
        let short = told(&at(76.0), &at(900.0 - by + 2.0));
        assert!(
            short.contains("over the edge") || short.contains("over its edge"),
            "{short}"
        );
        let enough = told(&at(76.0), &at(900.0 - by));
        assert!(!enough.contains("the edge"), "{enough}");
    }

    /// On the rear panel left and right are as one faces it.
    #[test]
    fn a_panels_sides_are_as_one_faces_it() {
        let out = told("at = { right = 36 }", "at = { right = 2 }");
        assert!(out.contains("to the left or more"), "{out}");
    }

    #[test]
    fn two_items_on_one_spot_are_told_once_with_how_far_they_must_go() {
        let out = told(
            "at = { left = 218, front = 110 }",
            "at = { left = 268, front = 108 }",
        );
        assert!(out.contains("run into each other"), "{out}");
        assert!(out.contains("further apart"), "{out}");
    }

    /// What stands where it must is not told to move.
    #[test]
    fn an_angle_does_not_move_away() {
        let out = told(
            "at = { left = 218, front = 110 }",
            "at = { left = 218, rear = 14 }",
        );
        assert!(out.contains("angle-rear-plate-screw"), "{out}");
        assert!(out.contains("hint: move `V5` at least"), "{out}");
        assert!(out.contains("away from `angle-rear`"), "{out}");
    }

    /// An item without a place is told as such only: where its holes fall then means nothing.
    #[test]
    fn an_item_without_a_place_meets_nothing() {
        for from in [
            "at = { left = 76, front = 62 }",
            "at = { left = 218, front = 110 }",
            "at = { right = 36 }",
        ] {
            let out = told(from, "");
            assert_eq!(out.matches("has no place").count(), 1, "{out}");
            assert_eq!(out.matches("error:").count(), 1, "{out}");
        }
    }
}
