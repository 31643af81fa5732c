//! Threads set into wood.

use super::ledger::{Ledger, Unmeasured};
use crate::assembly::Group;
use crate::catalogue::{self, InsertRow, ScrewRow, Status};
use crate::pose::Pose;
use std::ops::Range;

/// A threaded insert in a block, or a T-nut in the baffle.
#[derive(Clone, Debug, PartialEq)]
pub struct InsertSpec {
    /// Id of the solid.
    pub id: String,
    /// What it is set into, or serves.
    pub owner: String,
    /// Its row.
    pub row: &'static InsertRow,
    /// Its thread's major diameter.
    pub bore: f64,
    /// Thickness of its flange on the wood, 0 without one; then it fills its hole by its outer thread.
    pub flange: f64,
    /// Group of the solid.
    pub group: Group,
    /// On the wood's face, z into the wood.
    pub pose: Pose,
}

/// The row of a kind for a screw, or an error that names the screws such parts are sold for. Unless `measured`, an unpublished row is noted.
pub(super) fn for_screw(
    kind: &str,
    screw: &ScrewRow,
    owner: &str,
    measured: bool,
    span: &Range<usize>,
    ledger: &mut Ledger,
) -> Option<&'static InsertRow> {
    let Some(row) = catalogue::insert_for(kind, &screw.id) else {
        let sizes: Vec<&str> = catalogue::inserts()
            .iter()
            .filter(|i| i.kind == kind)
            .map(|i| i.screw.as_str())
            .collect();
        ledger.error(
            span.clone(),
            format!("no {kind} of the catalogue takes {}", screw.id),
            format!("one of `{}`", sizes.join("`, `")),
            "",
        );
        return None;
    };
    if !measured && row.status != Status::Published {
        ledger.unmeasured.push(Unmeasured {
            id: owner.into(),
            row: row.id.clone(),
            source: row.source.clone(),
        });
    }
    Some(row)
}
