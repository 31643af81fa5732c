//! From places tied to edges to coordinates.

use super::ledger::Ledger;
use crate::params::{AnyPlace, Params, PlatePlace, Sp, Tie, UprightPlace};
use glam::{DVec2, DVec3};
use std::collections::BTreeMap;
use std::ops::Range;

/// Shifts of items in the amp frame, mm, by id: how `fit` tries a cure with the whole design.
pub type Nudges = BTreeMap<String, DVec3>;

/// A surface that things are placed on, in its own two directions.
#[derive(Clone, Copy, Debug)]
pub(super) struct Surface {
    /// Extent the first direction's ties refer to.
    pub u: [f64; 2],
    /// Extent the second direction's ties refer to.
    pub v: [f64; 2],
    /// The amp direction of u.
    pub u_dir: DVec3,
    /// The amp direction of v.
    pub v_dir: DVec3,
    /// Whether v takes the keys for heights (a panel) or for depths (the plate).
    pub upright: bool,
}

fn tied(tie: Tie, [low, high]: [f64; 2]) -> f64 {
    match tie {
        Tie::Low(d) => low + d,
        Tie::High(d) => high - d,
        Tie::Middle(d) => f64::midpoint(low, high) + d,
        Tie::Share(s) => low + s * (high - low),
    }
}

/// What a row says of one item.
#[derive(Clone, Debug)]
struct InRow {
    from: Sp<AnyPlace>,
    to: Sp<AnyPlace>,
    share: f64,
}

/// All places of a design.
#[derive(Debug, Default)]
pub(super) struct Places {
    rows: BTreeMap<String, InRow>,
    nudges: Nudges,
}

impl Places {
    pub fn new(params: &Params, nudges: &Nudges, ledger: &mut Ledger) -> Places {
        let known = item_ids(params);
        let mut rows: BTreeMap<String, InRow> = BTreeMap::new();
        for row in &params.row {
            let n = row.items.value.len();
            for (i, item) in row.items.value.iter().enumerate() {
                let id = &item.value.0;
                if !known.iter().any(|k| k == id) {
                    let near = known
                        .iter()
                        .map(|k| (strsim::jaro_winkler(k, id), k))
                        .max_by(|a, b| a.0.total_cmp(&b.0))
                        .map_or(String::new(), |(_, k)| format!("did you mean `{k}`?"));
                    ledger.error(
                        item.span.clone(),
                        format!("no item `{id}` to put in a row"),
                        "the id of a tube, transformer, can, board, hardware or control",
                        near,
                    );
                }
                if rows.contains_key(id) {
                    ledger.error(
                        item.span.clone(),
                        format!("`{id}` is already in a row"),
                        "each item in one row at most",
                        "take it out of one of the rows",
                    );
                }
                // a row has two items or more: the reader asks for them
                let share = i as f64 / (n - 1) as f64;
                rows.insert(
                    id.clone(),
                    InRow {
                        from: row.from.clone(),
                        to: row.to.clone(),
                        share,
                    },
                );
            }
        }
        Places {
            rows,
            nudges: nudges.clone(),
        }
    }

    /// How far `id` is shifted.
    pub fn nudge(&self, id: &str) -> DVec3 {
        self.nudges.get(id).copied().unwrap_or(DVec3::ZERO)
    }

    /// Place of `id` on `surface`; `span` is where its table stands. `default` stands for a direction that may be left out.
    pub fn resolve(
        &self,
        ledger: &mut Ledger,
        id: &str,
        span: &Range<usize>,
        own: [Option<&Sp<Tie>>; 2],
        surface: &Surface,
        default: [Option<Tie>; 2],
    ) -> DVec2 {
        let extents = [surface.u, surface.v];
        let mut out = [0.0; 2];
        if let Some(row) = self.rows.get(id) {
            for end in [&row.from, &row.to] {
                wrong_surface(ledger, &end.value, surface.upright);
            }
        }
        for k in 0..2 {
            let row = self.rows.get(id).and_then(|r| {
                let pick = |p: &AnyPlace| match (k, surface.upright) {
                    (0, _) => p.x.as_ref().map(|t| t.value),
                    (_, false) => p.y.as_ref().map(|t| t.value),
                    (_, true) => p.z.as_ref().map(|t| t.value),
                };
                let (a, b) = (pick(&r.from)?, pick(&r.to)?);
                let (a, b) = (tied(a, extents[k]), tied(b, extents[k]));
                Some(a + (b - a) * r.share)
            });
            out[k] = match (own[k], row, default[k]) {
                (Some(t), Some(_), _) => {
                    ledger.error(
                        t.span.clone(),
                        format!("`{id}` has a place of its own and one from its row in the same direction"),
                        "one of the two",
                        "leave this one out, or take the item out of the row",
                    );
                    0.0
                }
                (Some(t), None, _) => tied(t.value, extents[k]),
                (None, Some(v), _) => v,
                (None, None, Some(t)) => tied(t, extents[k]),
                (None, None, None) => {
                    let want = match (k, surface.upright) {
                        (0, _) => "`left`, `right`, `centre` or `across`",
                        (_, false) => "`front`, `rear`, `middle` or `along`",
                        (_, true) => "`bottom`, `top`, `middle` or `up`",
                    };
                    ledger.unplaced.push(span.clone());
                    ledger.error(
                        span.clone(),
                        format!("`{id}` has no place in this direction"),
                        format!("{want} in `at`, or a row that gives it"),
                        "for example `at = { left = 72, front = 106 }` on the plate, `at = { left = 40, bottom = 38 }` on a panel",
                    );
                    f64::midpoint(extents[k][0], extents[k][1])
                }
            };
        }
        let shift = self.nudge(id);
        DVec2::new(
            out[0] + shift.dot(surface.u_dir),
            out[1] + shift.dot(surface.v_dir),
        )
    }

    /// Place on the plate of an item that may have no default there.
    pub fn on_plate(
        &self,
        ledger: &mut Ledger,
        plate: &Surface,
        id: &str,
        span: &Range<usize>,
        at: Option<&Sp<PlatePlace>>,
    ) -> DVec2 {
        self.resolve(ledger, id, span, plate_ties(at), plate, [None, None])
    }
}

/// The two ties of a place on whichever surface an item is on; a key of the other surface is an error.
pub(super) fn any_ties<'a>(
    ledger: &mut Ledger,
    at: Option<&'a Sp<AnyPlace>>,
    upright: bool,
) -> [Option<&'a Sp<Tie>>; 2] {
    let Some(at) = at else { return [None, None] };
    wrong_surface(ledger, &at.value, upright);
    [
        at.x.as_ref(),
        if upright {
            at.z.as_ref()
        } else {
            at.y.as_ref()
        },
    ]
}

fn wrong_surface(ledger: &mut Ledger, at: &AnyPlace, upright: bool) {
    let (wrong, message, expected) = if upright {
        (
            at.upright().err(),
            "a panel has no front or rear",
            "`bottom`, `top`, `middle` or `up`",
        )
    } else {
        (
            at.on_plate().err(),
            "the plate has no bottom or top",
            "`front`, `rear`, `middle` or `along`",
        )
    };
    if let Some(tie) = wrong {
        ledger.error(tie.span.clone(), message, expected, "a place on a panel is `{ left = 40, bottom = 38 }`, on the plate `{ left = 72, front = 106 }`");
    }
}

/// The two ties of a place on the plate.
pub(super) fn plate_ties(at: Option<&Sp<PlatePlace>>) -> [Option<&Sp<Tie>>; 2] {
    [at.and_then(|p| p.x.as_ref()), at.and_then(|p| p.y.as_ref())]
}

/// The two ties of a place on the baffle.
pub(super) fn upright_ties(at: Option<&Sp<UprightPlace>>) -> [Option<&Sp<Tie>>; 2] {
    [at.and_then(|p| p.x.as_ref()), at.and_then(|p| p.z.as_ref())]
}

fn item_ids(params: &Params) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    ids.extend(params.tube.iter().map(|i| i.id.value.0.clone()));
    ids.extend(params.transformer.iter().map(|i| i.id.value.0.clone()));
    ids.extend(params.can.iter().map(|i| i.id.value.0.clone()));
    ids.extend(params.board.iter().map(|i| i.id.value.0.clone()));
    ids.extend(params.hardware.iter().map(|i| i.id.value.0.clone()));
    ids.extend(params.control.iter().map(|i| i.id.value.0.clone()));
    ids
}
