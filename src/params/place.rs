//! Places tied to edges, so that a design follows a changed cabinet.

use std::ops::Range;

use toml::de::DeValue;

use super::key::{Direction, Key, Kind, Limit, Measure, PlaceKey, nearest};
use super::read::{Id, Length, Reader, Sp};
use super::value::{Value, clip, found, length_mm};
use crate::diag::Diagnostic;
use crate::units;

/// What a distance is measured from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tie {
    /// So many mm from the left, front or bottom edge.
    Low(f64),
    /// So many mm from the right, rear or top edge.
    High(f64),
    /// So many mm right of, behind or above the middle.
    Middle(f64),
    /// A share from 0 (low edge) to 1 (high edge).
    Share(f64),
}

/// A place on the plate: `at = { left = 72, front = 106 }`. Left and right are the inside faces of the cabinet's sides (seen from the
/// front); front and rear are the plate's own edges.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct PlatePlace {
    /// `left`, `right`, `centre` or `across` (share of the inside width).
    pub x: Option<Sp<Tie>>,
    /// `front`, `rear`, `middle` or `along` (share of the plate's depth).
    pub y: Option<Sp<Tie>>,
}

/// A place on a panel or on the baffle: `at = { left = 40, bottom = 38 }`. On a panel left and right are the panel's ends as seen when facing
/// it; on the baffle the inside faces of the sides seen from the front.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct UprightPlace {
    /// `left`, `right`, `centre` or `across` (share of the width).
    pub x: Option<Sp<Tie>>,
    /// `bottom`, `top`, `middle` or `up` (share of the height).
    pub z: Option<Sp<Tie>>,
}

/// A place whose surface is only known from the item it belongs to: any key of [`PlatePlace`] or [`UprightPlace`].
/// `middle` is a word of both surfaces, so it fills `y` and `z`; ask [`AnyPlace::on_plate`] or [`AnyPlace::upright`].
#[derive(Clone, Debug, PartialEq, Default)]
pub struct AnyPlace {
    /// Sideways.
    pub x: Option<Sp<Tie>>,
    /// Front to rear, on the plate.
    pub y: Option<Sp<Tie>>,
    /// Upwards, on a panel.
    pub z: Option<Sp<Tie>>,
}

impl AnyPlace {
    /// The place on the plate, or the tie that only a panel or the baffle has.
    pub fn on_plate(&self) -> Result<PlatePlace, &Sp<Tie>> {
        match &self.z {
            Some(up) if self.y.is_none() => Err(up),
            _ => Ok(PlatePlace {
                x: self.x.clone(),
                y: self.y.clone(),
            }),
        }
    }

    /// The place on a panel or the baffle, or the tie that only the plate has.
    pub fn upright(&self) -> Result<UprightPlace, &Sp<Tie>> {
        match &self.y {
            Some(along) if self.z.is_none() => Err(along),
            _ => Ok(UprightPlace {
                x: self.x.clone(),
                z: self.z.clone(),
            }),
        }
    }
}

const fn key(name: &'static str, direction: Direction, measure: Measure) -> PlaceKey {
    PlaceKey {
        name,
        direction,
        measure,
    }
}

const LEFT: PlaceKey = key("left", Direction::Across, Measure::Low);
const RIGHT: PlaceKey = key("right", Direction::Across, Measure::High);
const CENTRE: PlaceKey = key("centre", Direction::Across, Measure::Middle);
const ACROSS: PlaceKey = key("across", Direction::Across, Measure::Share);
const FRONT: PlaceKey = key("front", Direction::Along, Measure::Low);
const REAR: PlaceKey = key("rear", Direction::Along, Measure::High);
const MIDDLE_ALONG: PlaceKey = key("middle", Direction::Along, Measure::Middle);
const ALONG: PlaceKey = key("along", Direction::Along, Measure::Share);
const BOTTOM: PlaceKey = key("bottom", Direction::Up, Measure::Low);
const TOP: PlaceKey = key("top", Direction::Up, Measure::High);
const MIDDLE_UP: PlaceKey = key("middle", Direction::Up, Measure::Middle);
const UP: PlaceKey = key("up", Direction::Up, Measure::Share);

const ON_PLATE: &[PlaceKey] = &[
    LEFT,
    RIGHT,
    CENTRE,
    ACROSS,
    FRONT,
    REAR,
    MIDDLE_ALONG,
    ALONG,
];
const UPRIGHT: &[PlaceKey] = &[LEFT, RIGHT, CENTRE, ACROSS, BOTTOM, TOP, MIDDLE_UP, UP];
const ANYWHERE: &[PlaceKey] = &[
    LEFT,
    RIGHT,
    CENTRE,
    ACROSS,
    FRONT,
    REAR,
    MIDDLE_ALONG,
    ALONG,
    BOTTOM,
    TOP,
    MIDDLE_UP,
    UP,
];

/// The keys of a surface by direction, for a message.
fn choices(keys: &[PlaceKey]) -> String {
    let of = |direction| {
        let names: Vec<String> = keys
            .iter()
            .filter(|key| key.direction == direction)
            .map(|key| format!("`{}`", key.name))
            .collect();
        (!names.is_empty()).then(|| format!("one of {}", names.join(", ")))
    };
    let groups: Vec<String> = [Direction::Across, Direction::Along, Direction::Up]
        .into_iter()
        .filter_map(of)
        .collect();
    // A place has two directions; the third group is another surface's second.
    match &groups[..] {
        [across, along, up] => format!("{across}, and on the plate {along}, on a panel {up}"),
        _ => groups.join(" and "),
    }
}

/// The ties of a place by direction.
#[derive(Default)]
struct Ties {
    across: Option<Sp<Tie>>,
    along: Option<Sp<Tie>>,
    up: Option<Sp<Tie>>,
}

fn read_place(
    value: &DeValue<'_>,
    span: &Range<usize>,
    name: &str,
    keys: &'static [PlaceKey],
    r: &mut Reader,
) -> Option<Ties> {
    let DeValue::Table(table) = value else {
        let message = format!("`{name}` is {}, not a place", found(value));
        r.report(
            Diagnostic::new(span.clone(), message)
                .expected(choices(keys))
                .hint(format!(
                    "write `{name} = {{ {} = 40, {} = 30 }}`",
                    keys[0].name, keys[4].name
                )),
        );
        return None;
    };
    let mut ties = Ties::default();
    let mut good = true;
    let mut used: Vec<(Vec<Direction>, &str)> = Vec::new();
    let mut entries: Vec<_> = table.iter().collect();
    // Of two keys that contradict each other the later one is reported.
    entries.sort_by_key(|(key, _)| key.span().start);
    for (key, value) in entries {
        let written: &str = key.get_ref();
        let matching: Vec<&PlaceKey> = keys.iter().filter(|known| known.name == written).collect();
        let Some(first) = matching.first() else {
            good = false;
            r.report(unknown_key(key.span(), written, keys));
            continue;
        };
        let directions: Vec<Direction> = matching.iter().map(|known| known.direction).collect();
        if let Some((_, other)) = used.iter().find(|(others, _)| clashes(others, &directions)) {
            good = false;
            let message =
                format!("`{written}` and `{other}` both tie the same direction of `{name}`");
            r.report(
                Diagnostic::new(key.span(), message)
                    .expected(choices(keys))
                    .hint("keep one of the two"),
            );
        }
        used.push((directions, written));
        let Some(tie) = read_tie(value.get_ref(), &value.span(), written, first.measure, r) else {
            good = false;
            continue;
        };
        for known in &matching {
            let slot = match known.direction {
                Direction::Across => &mut ties.across,
                Direction::Along => &mut ties.along,
                Direction::Up => &mut ties.up,
            };
            *slot = Some(Sp {
                value: tie,
                span: value.span(),
            });
        }
    }
    if table.is_empty() {
        r.report(
            Diagnostic::new(span.clone(), format!("`{name}` is an empty place"))
                .expected(choices(keys)),
        );
        return None;
    }
    good.then_some(ties)
}

/// Whether two keys fix the same direction. A surface has two, so front to rear and upwards exclude each other.
fn clashes(one: &[Direction], other: &[Direction]) -> bool {
    one.contains(&Direction::Across) == other.contains(&Direction::Across)
}

fn unknown_key(span: Range<usize>, written: &str, keys: &[PlaceKey]) -> Diagnostic {
    let elsewhere = ANYWHERE.iter().find(|known| known.name == written);
    let diagnostic = match elsewhere.map(|known| known.direction) {
        Some(Direction::Up) => Diagnostic::new(
            span,
            format!("`{written}` does not belong to a place on the plate"),
        ),
        Some(_) => Diagnostic::new(
            span,
            format!("`{written}` does not belong to an upright place"),
        ),
        None => Diagnostic::new(span, format!("unknown key `{}` in a place", clip(written)))
            .maybe_hint(
                nearest(written, keys.iter().map(|key| key.name))
                    .map(|near| format!("did you mean `{near}`?")),
            ),
    };
    diagnostic.expected(choices(keys))
}

fn read_tie(
    value: &DeValue<'_>,
    span: &Range<usize>,
    name: &str,
    measure: Measure,
    r: &mut Reader,
) -> Option<Tie> {
    if measure == Measure::Share {
        return read_share(value, span, name, r);
    }
    let expected = Length::expects(Limit::Any);
    let mm = length_mm(
        value,
        span,
        (name, Limit::Any),
        units::parse_length,
        &expected,
        r,
    )?;
    Some(match measure {
        Measure::High => Tie::High(mm),
        Measure::Middle => Tie::Middle(mm),
        Measure::Low | Measure::Share => Tie::Low(mm),
    })
}

fn read_share(value: &DeValue<'_>, span: &Range<usize>, name: &str, r: &mut Reader) -> Option<Tie> {
    let message = match super::value::number(value) {
        Some(share) if (0.0..=1.0).contains(&share) => return Some(Tie::Share(share + 0.0)),
        Some(_) => format!("`{name}` is not a share from 0 to 1"),
        None => format!("`{name}` is {}, not a share", found(value)),
    };
    r.report(
        Diagnostic::new(span.clone(), message)
            .expected("a share from 0 to 1, such as `0.5` for the middle"),
    );
    None
}

macro_rules! place {
    ($name:ident, $keys:ident, $($field:ident: $slot:ident),+) => {
        impl Value for $name {
            fn kind() -> Kind {
                Kind::Place($keys)
            }
            fn expects(_limit: Limit) -> String {
                choices($keys)
            }
            fn read(value: &DeValue<'_>, span: &Range<usize>, key: &Key, r: &mut Reader) -> Option<Self> {
                let ties = read_place(value, span, &key.name, $keys, r)?;
                Some(Self { $($field: ties.$slot),+ })
            }
        }
    };
}

place!(PlatePlace, ON_PLATE, x: across, y: along);
place!(UprightPlace, UPRIGHT, x: across, z: up);
place!(AnyPlace, ANYWHERE, x: across, y: along, z: up);

table! {
    /// `[[row]]`: spreads items evenly from one place to another, the first and the last standing on the ends. An item in a row needs no place
    /// of its own in the row's direction.
    pub struct Row {
        /// Ids, in order.
        items: Sp<Vec<Sp<Id>>> where TwoOrMore,
        /// Place of the first.
        from: Sp<AnyPlace>,
        /// Place of the last.
        to: Sp<AnyPlace>,
    }
}

table! {
    /// A size of a rectangle, `{ width = 40, height = 20 }`.
    pub struct Size {
        /// Sideways.
        width: Sp<Length> where Positive,
        /// Upwards (or front to rear).
        height: Sp<Length> where Positive,
    }
}
