//! Parts that no piece of stock holds. `shop` lays the parts out; what it could not lay is told here.

use super::doc::Doc;
use super::report::{Finding, Report, Severity};
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["stock-small"],
    title: "Parts that go on no stock",
    does: "Lays every flat part and every length of angle on the stock of the design, or on the sizes that shops usually sell where none is given, with kerf, trim and \
grain, as the cutting plan does, and tells those that go on none.",
    why: "A plate longer than any sheet that can be had is found at the saw, after the rest was bought.",
    example: "`plate: no sheet of aluminium 5052-H32 3.00 mm thick holds it: at least 430.0 mm long and 200.0 mm wide is needed`",
    change: "`[[stock.sheet]]`, `[[stock.board]]` and `[[stock.angle]]` say what can be had, with a `count` what is at hand; `stock.trim` what is sawn off its edges.",
    rests_on: "Arithmetic on the stock given; the sizes that shops usually sell are common practice.",
};

/// A part that goes on no stock: its id, what it needs in words, and what there is and what it takes, mm.
pub type OffStock = (String, String, [f64; 2]);

/// Adds what goes on no stock to a report, and gives it its place and verdict.
pub fn add_off_stock(report: &mut Report, off: Vec<OffStock>) {
    if off.is_empty() {
        return;
    }
    for (id, needs, [measured, wanted]) in off {
        let solid = report.solids.iter().find(|s| s.id == id);
        let at = solid.map_or(DVec3::ZERO, |s| {
            let [low, high] = s.box_mm.map(DVec3::from_array);
            (low + high) / 2.0
        });
        let finding = Finding::new(
            "stock-small",
            Severity::Warning,
            [id.as_str()],
            at,
            (measured, wanted, "mm"),
        );
        report.findings.push(finding.says(
            format!("{id} goes on no stock: {needs}"),
            "larger stock under `[stock]`, a part made of two, or a smaller part",
            "arithmetic on the stock given, or on usual sizes (common practice)",
        ));
    }
    super::sort(&mut report.findings);
    report.verdict = super::verdict(&report.findings);
}
