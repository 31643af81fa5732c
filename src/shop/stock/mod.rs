//! The cutting plan: every piece of the cut list laid on stock, with the saw's kerf, and what has to be bought.

#[cfg(test)]
mod tests;

use super::cut_list::Cut;
use super::nest::{self, Item, Laid, SawCut, Source};
use crate::assembly::Kind;
use crate::design::{Design, StockForm, comes_in_sheets, has_grain, usual, usual_strips};
use crate::units;
use glam::DVec2;

/// A part as wide or long as its stock by this is cut without touching that edge, mm.
const AS_BOUGHT: f64 = 0.3;
/// Thicknesses that differ by less are the same stock, mm.
const SAME_THICKNESS: f64 = 0.1;
/// Smaller rests are not worth a name on the picture, mm.
const WORTH_KEEPING: f64 = 40.0;

/// A board narrower than this, used at its whole width, is called a strip, mm.
const STRIP: f64 = 60.0;

/// A part on a piece of stock.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its id.
    pub id: String,
    /// Low corner from the stock's lower left corner, mm.
    pub low: DVec2,
    /// Size as it lies, mm.
    pub size: DVec2,
}

/// A piece of stock, sawn up.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it is.
    pub form: StockForm,
    /// Material.
    pub material: String,
    /// Length, width (an angle's leg), thickness, mm.
    pub size: [f64; 3],
    /// It need not be bought.
    pub at_hand: bool,
    /// Sawn off each end and each edge first, mm.
    pub trim: DVec2,
    /// The parts' length runs along the grain.
    pub grain: bool,
    /// Parts in the order in which they come free.
    pub parts: Vec<Part>,
    /// Cuts in their order, from the stock's lower left corner.
    pub cuts: Vec<SawCut>,
    /// What is left over and worth keeping: low and high corners.
    pub left: Vec<[DVec2; 2]>,
}

impl Piece {
    /// What it is, in a word or two.
    #[must_use]
    pub fn word(&self) -> &'static str {
        let strip = self.trim.y == 0.0 && self.size[1] < STRIP;
        match self.form {
            StockForm::Board if strip => "strip",
            form => form.word(),
        }
    }

    /// In words: `sheet, aluminium 5052-H32, 1000.0 x 500.0 x 3.00 mm`.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}, {}, {}", self.word(), self.material, self.sizes())
    }

    /// Its sizes in mm, in words.
    #[must_use]
    pub fn sizes(&self) -> String {
        let [l, w, t] = self.size;
        match self.form {
            StockForm::Angle => format!("{w:.2} x {w:.2} x {t:.2}, {l:.0} mm long"),
            _ => format!("{l:.1} x {w:.1} x {t:.2} mm"),
        }
    }

    /// Share of its area that becomes parts.
    #[must_use]
    pub fn used(&self) -> f64 {
        let parts: f64 = self.parts.iter().map(|p| p.size.element_product()).sum();
        parts / (self.size[0] * self.size[1])
    }
}

/// A part that no piece of stock holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Unplaced {
    /// Its id.
    pub id: String,
    /// What is needed, in words.
    pub needs: String,
    /// What is there and what it takes, mm, where the part is longest beyond the stock that comes nearest; equal where only pieces at hand would
    /// hold it, and they are used up.
    pub lacks: [f64; 2],
}

/// Everything sawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cutting {
    /// What the saw takes, mm.
    pub kerf: f64,
    /// Pieces of stock, alike ones together.
    pub pieces: Vec<Piece>,
    /// Parts that go on none.
    pub unplaced: Vec<Unplaced>,
}

/// Parts that are cut from the same stock.
struct Group {
    form: StockForm,
    material: String,
    thickness: f64,
    /// The section's width where it is bought to that width and only cut to length.
    section: Option<f64>,
    parts: Vec<(String, DVec2)>,
}

/// The cutting plan of a cut list.
#[must_use]
pub fn cutting(design: &Design, cuts: &[Cut]) -> Cutting {
    let mut out = Cutting {
        kerf: design.stock.kerf,
        ..Cutting::default()
    };
    for group in groups(design, cuts) {
        lay(design, &group, &mut out);
    }
    out
}

/// The parts that go on no stock, as [`cutting`] finds them; only stock that may be too small is laid out for it.
#[must_use]
pub fn unplaced(design: &Design, cuts: &[Cut]) -> Vec<Unplaced> {
    let mut out = Cutting::default();
    for group in groups(design, cuts) {
        let turns = turns(&group);
        let choices = choices(design, &group, turns);
        let bought = |size: DVec2| {
            (choices.iter()).any(|c| c.at_hand.is_none() && lack(size, c.usable, turns)[2] <= 0.0)
        };
        if !group.parts.iter().all(|(_, size)| bought(*size)) {
            lay(design, &group, &mut out);
        }
    }
    out.unplaced
}

/// Whether a part may lie across its stock.
fn turns(g: &Group) -> bool {
    g.section.is_none() && !has_grain(&g.material)
}

/// What of a piece is used, what a part takes, and by how much that is too much, in the direction where it is most, the better way round; mm.
fn lack(size: DVec2, usable: DVec2, turns: bool) -> [f64; 3] {
    let way = |s: DVec2| {
        let over = s - usable;
        let k = usize::from(over.y > over.x);
        [usable[k], s[k], over[k]]
    };
    let (straight, across) = (way(size), way(DVec2::new(size.y, size.x)));
    if turns && across[2] < straight[2] {
        across
    } else {
        straight
    }
}

fn groups(design: &Design, cuts: &[Cut]) -> Vec<Group> {
    let mut out: Vec<Group> = Vec::new();
    for c in cuts.iter().filter(|c| c.kind != Kind::Covering) {
        let [length, width, thickness] = c.size;
        let angle = matches!(c.kind, Kind::Angle | Kind::Bracket);
        let form = if angle {
            StockForm::Angle
        } else if comes_in_sheets(&c.material) {
            StockForm::Sheet
        } else {
            StockForm::Board
        };
        let given = design.stock.rows.iter().any(|r| {
            r.form != StockForm::Angle && r.material == c.material && same(r.thickness, thickness)
        });
        let strip = c.kind == Kind::Cleat && !given;
        let section = (angle || strip).then_some(width);
        let found = out.iter_mut().find(|g| {
            g.form == form
                && g.material == c.material
                && (g.thickness - thickness).abs() < 0.005
                && match (g.section, section) {
                    (Some(a), Some(b)) => (a - b).abs() < 0.005,
                    (a, b) => a.is_none() && b.is_none(),
                }
        });
        let parts = c
            .parts
            .iter()
            .map(|id| (id.clone(), DVec2::new(length, width)));
        match found {
            Some(g) => g.parts.extend(parts),
            None => out.push(Group {
                form,
                material: c.material.clone(),
                thickness,
                section,
                parts: parts.collect(),
            }),
        }
    }
    out
}

fn same(stock: Option<f64>, thickness: f64) -> bool {
    stock.is_none_or(|t| (t - thickness).abs() < SAME_THICKNESS)
}

/// A size of stock and what of it can be used.
struct Choice {
    size: DVec2,
    trim: DVec2,
    usable: DVec2,
    at_hand: Option<usize>,
}

fn choices(design: &Design, g: &Group, turns: bool) -> Vec<Choice> {
    let mut sizes: Vec<(DVec2, Option<usize>)> = design
        .stock
        .rows
        .iter()
        .filter(|r| {
            (r.form == StockForm::Angle) == (g.form == StockForm::Angle)
                && r.material == g.material
                && same(r.thickness, g.thickness)
                && (g.form != StockForm::Angle
                    || g.section
                        .is_some_and(|w| (w - r.size.y).abs() < SAME_THICKNESS))
        })
        .map(|r| (r.size, r.at_hand))
        .collect();
    if sizes.iter().all(|(_, at_hand)| at_hand.is_some()) {
        let usual = match (g.section, g.form) {
            (Some(w), StockForm::Angle) => usual(g.form, &g.material, design.inch)
                .into_iter()
                .map(|s| DVec2::new(s.x, w))
                .collect(),
            (Some(w), _) => usual_strips(design.inch).map(|l| DVec2::new(l, w)).into(),
            (None, _) => usual(g.form, &g.material, design.inch),
        };
        sizes.extend(usual.into_iter().map(|s| (s, None)));
    }
    sizes
        .into_iter()
        .map(|(size, at_hand)| {
            // the largest part that is as long or wide as this piece, if there is one
            let as_bought = |axis: usize| {
                g.parts
                    .iter()
                    .flat_map(|(_, s)| [Some(s[axis]), turns.then_some(s[1 - axis])])
                    .flatten()
                    .filter(|v| (v - size[axis]).abs() < AS_BOUGHT)
                    .reduce(f64::max)
            };
            let axis = |k: usize| match as_bought(k) {
                Some(v) => (0.0, v.max(size[k])),
                None => (
                    design.stock.trim,
                    (size[k] - 2.0 * design.stock.trim).max(0.0),
                ),
            };
            let (x, y) = (axis(0), axis(1));
            Choice {
                size,
                trim: DVec2::new(x.0, y.0),
                usable: DVec2::new(x.1, y.1),
                at_hand,
            }
        })
        .collect()
}

fn lay(design: &Design, g: &Group, out: &mut Cutting) {
    let grain = has_grain(&g.material);
    let turns = turns(g);
    let choices = choices(design, g, turns);
    let sources: Vec<Source> = choices
        .iter()
        .map(|c| Source {
            size: c.usable,
            cost: c.size.element_product(),
            at_hand: c.at_hand,
        })
        .collect();
    let items: Vec<Item> = g
        .parts
        .iter()
        .map(|(_, size)| Item { size: *size, turns })
        .collect();
    let nest = nest::nest(&items, &sources, design.stock.kerf);
    for f in nest.filled {
        let choice = &choices[f.source];
        let shift = choice.trim;
        let part = |l: &Laid| Part {
            id: g.parts[l.item].0.clone(),
            low: l.low + shift,
            size: l.size,
        };
        let cut = |c: &SawCut| SawCut {
            from: c.from + shift,
            to: c.to + shift,
            keep: c.keep,
        };
        let keep = |r: &&[DVec2; 2]| {
            let size = r[1] - r[0];
            match g.section {
                Some(w) => size.x > WORTH_KEEPING && size.y > 0.99 * w,
                None => size.min_element() > WORTH_KEEPING,
            }
        };
        out.pieces.push(Piece {
            form: g.form,
            material: g.material.clone(),
            size: [choice.size.x, choice.size.y, g.thickness],
            at_hand: choice.at_hand.is_some(),
            trim: choice.trim,
            grain,
            parts: f.laid.iter().map(part).collect(),
            cuts: f.cuts.iter().map(cut).collect(),
            left: f
                .left
                .iter()
                .filter(keep)
                .map(|r| r.map(|p| p + shift))
                .collect(),
        });
    }
    for k in nest.out {
        let (id, size) = &g.parts[k];
        let nearest = (choices.iter())
            .map(|c| lack(*size, c.usable, turns))
            .min_by(|a, b| a[2].total_cmp(&b[2]));
        out.unplaced.push(Unplaced {
            id: id.clone(),
            needs: needs(design, g, *size),
            lacks: nearest.map_or([0.0, size.x], |[is, takes, _]| [is.min(takes), takes]),
        });
    }
}

/// What stock a part that goes on none would need.
fn needs(design: &Design, g: &Group, size: DVec2) -> String {
    let least = size + 2.0 * design.stock.trim;
    let along = if has_grain(&g.material) {
        ", the grain along the length"
    } else {
        ""
    };
    match g.section {
        Some(w) => format!(
            "no length of {} {w:.2} wide and {:.2} thick holds it: at least {} is needed",
            g.material,
            g.thickness,
            units::show(least.x)
        ),
        None => format!(
            "no {} of {} {:.2} mm thick holds it: at least {} long and {} wide is needed{along}",
            g.form.word(),
            g.material,
            g.thickness,
            units::show(least.x),
            units::show(least.y)
        ),
    }
}

/// Stock that has to be bought: alike pieces together.
#[derive(Clone, Debug, PartialEq)]
pub struct StockToBuy {
    /// What it is.
    pub form: &'static str,
    /// Material and sizes, in words.
    pub size: String,
    /// How many.
    pub count: usize,
    /// Parts cut from them.
    pub parts: Vec<String>,
}

/// What to buy of a cutting plan.
#[must_use]
pub fn to_buy(plan: &Cutting) -> Vec<StockToBuy> {
    let mut out: Vec<StockToBuy> = Vec::new();
    for p in plan.pieces.iter().filter(|p| !p.at_hand) {
        let form = p.word();
        let [l, w, t] = p.size;
        let inch = if p.form == StockForm::Angle {
            format!("{} leg, {} long", units::inch_64(w), units::inch_64(l))
        } else {
            format!(
                "{} x {} x {}",
                units::inch_64(l),
                units::inch_64(w),
                units::inch_64(t)
            )
        };
        let size = format!("{}, {} ({inch})", p.material, p.sizes());
        let parts = p.parts.iter().map(|q| q.id.clone());
        match out.iter_mut().find(|b| b.form == form && b.size == size) {
            Some(b) => {
                b.count += 1;
                b.parts.extend(parts);
            }
            None => out.push(StockToBuy {
                form,
                size,
                count: 1,
                parts: parts.collect(),
            }),
        }
    }
    out
}
