//! What the parts are cut from: the builder's own pieces, or sizes that shops usually sell.

use super::ledger::Ledger;
use crate::catalogue;
use crate::params::{Count, Length, Params, Sp};
use glam::DVec2;

/// What a piece of stock is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StockForm {
    /// A sheet of metal or plywood.
    Sheet,
    /// A board, panel or strip of wood.
    Board,
    /// Angle.
    Angle,
}

impl StockForm {
    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            StockForm::Sheet => "sheet",
            StockForm::Board => "board",
            StockForm::Angle => "length of angle",
        }
    }
}

/// A piece of stock.
#[derive(Clone, Debug, PartialEq)]
pub struct StockRow {
    /// What it is.
    pub form: StockForm,
    /// Material of the catalogue.
    pub material: String,
    /// Thickness, mm; `None` for any.
    pub thickness: Option<f64>,
    /// Length and width, mm; the leg is the width of an angle.
    pub size: DVec2,
    /// How many are at hand; `None` for a size that is bought, as many as needed.
    pub at_hand: Option<usize>,
}

/// What the builder gave to cut from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// What the saw takes, mm.
    pub kerf: f64,
    /// Sawn off each edge first, mm.
    pub trim: f64,
    /// Pieces as given.
    pub rows: Vec<StockRow>,
}

pub(super) fn stock(params: &Params, ledger: &mut Ledger) -> Stock {
    let table = params.stock.as_ref();
    let kerf = ledger.length_by_unit(
        "stock.kerf",
        table.and_then(|t| t.kerf.as_ref()),
        3.2,
        0.125,
        "a table saw's blade (common practice)",
    );
    let trim = ledger.length_by_unit(
        "stock.trim",
        table.and_then(|t| t.trim.as_ref()),
        5.0,
        0.1875,
        "edges as bought are seldom straight (common practice)",
    );
    let mut rows = Vec::new();
    let mut add = |form: StockForm,
                   material: &Sp<String>,
                   thickness: Option<f64>,
                   length: &Sp<Length>,
                   width: &Sp<Length>,
                   count: Option<&Sp<Count>>| {
        rows.push(StockRow {
            form,
            material: ledger.material(material),
            thickness,
            size: DVec2::new(length.value.0, width.value.0),
            at_hand: count.map(|c| c.value.0 as usize),
        });
    };
    if let Some(t) = table {
        for s in &t.sheet {
            let thick = s.thickness.as_ref().map(|t| t.value.0);
            let count = s.count.as_ref();
            add(
                StockForm::Sheet,
                &s.material,
                thick,
                &s.length,
                &s.width,
                count,
            );
        }
        for s in &t.board {
            let thick = s.thickness.as_ref().map(|t| t.value.0);
            let count = s.count.as_ref();
            add(
                StockForm::Board,
                &s.material,
                thick,
                &s.length,
                &s.width,
                count,
            );
        }
        for s in &t.angle {
            let thick = s.thickness.as_ref().map(|t| t.value.0);
            let count = s.count.as_ref();
            add(
                StockForm::Angle,
                &s.material,
                thick,
                &s.length,
                &s.leg,
                count,
            );
        }
    }
    Stock { kerf, trim, rows }
}

/// Whether a material comes as sheets of any width, as plywood does, and not as boards.
#[must_use]
pub fn comes_in_sheets(material: &str) -> bool {
    let pressed = ["plywood", "MDF", "particle board"];
    catalogue::material(material).is_none_or(|m| m.family != "wood")
        || pressed.iter().any(|p| material.contains(p))
}

/// Whether a wood has no grain to mind.
#[must_use]
pub fn has_grain(material: &str) -> bool {
    catalogue::material(material).is_some_and(|m| m.family == "wood")
        && !["MDF", "particle board"].contains(&material)
}

/// Sizes that shops usually sell, length and width in mm (common practice, from memory; they differ by country and shop).
#[must_use]
pub fn usual(form: StockForm, material: &str, inch: bool) -> Vec<DVec2> {
    let metal = catalogue::material(material).is_some_and(|m| m.family == "metal");
    let sizes: &[(f64, f64)] = match (form, metal, inch) {
        (StockForm::Angle, _, false) => &[(1000.0, 0.0), (2000.0, 0.0)],
        (StockForm::Angle, _, true) => &[(48.0, 0.0), (96.0, 0.0)],
        (StockForm::Sheet, true, false) => &[
            (500.0, 250.0),
            (600.0, 300.0),
            (1000.0, 500.0),
            (2000.0, 1000.0),
        ],
        (StockForm::Sheet, true, true) => &[
            (12.0, 12.0),
            (24.0, 12.0),
            (24.0, 24.0),
            (48.0, 24.0),
            (96.0, 48.0),
        ],
        (StockForm::Sheet, false, false) => &[
            (610.0, 305.0),
            (610.0, 610.0),
            (1220.0, 610.0),
            (2440.0, 1220.0),
        ],
        (StockForm::Sheet, false, true) => {
            &[(24.0, 12.0), (24.0, 24.0), (48.0, 24.0), (96.0, 48.0)]
        }
        (StockForm::Board, _, false) => &[
            (1200.0, 300.0),
            (1200.0, 600.0),
            (2400.0, 300.0),
            (2400.0, 600.0),
        ],
        // a nominal 1 x 12 is 11 1/4 wide
        (StockForm::Board, _, true) => &[(48.0, 11.25), (48.0, 24.0), (96.0, 11.25), (96.0, 24.0)],
    };
    let unit = if inch { 25.4 } else { 1.0 };
    sizes
        .iter()
        .map(|(l, w)| unit * DVec2::new(*l, *w))
        .collect()
}

/// Lengths in which strips are usually sold, mm (common practice).
#[must_use]
pub fn usual_strips(inch: bool) -> [f64; 2] {
    if inch {
        [36.0 * 25.4, 96.0 * 25.4]
    } else {
        [900.0, 2400.0]
    }
}
