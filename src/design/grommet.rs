//! Rubber grommets in plate and panels.

use super::Design;
use super::fasten::Bond;
use super::flat::{FlatHole, HoleShape, Marked};
use crate::assembly::{Group, How};
use crate::catalogue::GrommetRow;
use crate::pose::Pose;
use std::ops::Range;

/// A rubber ring in a hole.
#[derive(Clone, Debug, PartialEq)]
pub struct GrommetSpec {
    /// Id of the solid.
    pub id: String,
    /// The item it belongs to.
    pub owner: String,
    /// Its row.
    pub row: &'static GrommetRow,
    /// Thickness of the sheet.
    pub sheet: f64,
    /// Group of the solid.
    pub group: Group,
    /// On one face of the sheet, z away from it.
    pub pose: Pose,
}

impl GrommetSpec {
    /// Cuts the hole in the flat part `on` (and in its overlay) and adds the ring.
    #[expect(
        clippy::too_many_arguments,
        reason = "one call, and each is a different fact"
    )]
    pub(super) fn add(
        id: &str,
        owner: &str,
        row: &'static GrommetRow,
        pose: Pose,
        on: &str,
        sheet: f64,
        component: bool,
        span: &Range<usize>,
        design: &mut Design,
    ) {
        // a panel's overlay is holed with it
        let overlay = format!("{on}-overlay");
        let sheets = (design.flats.iter_mut()).filter(|f| f.id == on || f.id == overlay);
        for flat in sheets {
            flat.holes.push(FlatHole {
                id: id.into(),
                at: flat.pose.inverse().point(pose.at).truncate(),
                shape: HoleShape::Round { d: row.hole },
                purpose: format!("grommet, bore {:.1}", row.bore),
                marked: Marked::Scribed,
                owner: owner.into(),
                span: span.clone(),
            });
            design
                .bonds
                .push(Bond::gap(id, &flat.id, How::Inserted, 0.25));
        }
        let group = if on != "plate" {
            Group::Panel
        } else if component {
            Group::Above
        } else {
            Group::Below
        };
        design.grommets.push(GrommetSpec {
            id: id.into(),
            owner: owner.into(),
            row,
            sheet,
            group,
            pose,
        });
    }
}
