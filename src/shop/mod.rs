//! What goes to the bench, as data: the drill schedule, lists and sheets. From the same holes and outlines as the solids.
//!
//! Nothing here knows a file format; `export` turns it into bytes.

pub mod drawing;
pub mod legend;
pub mod lists;
pub mod measure;
pub mod order;
pub mod plan;
pub mod schedule;
pub mod sheet;
mod steps;
pub mod template;

pub use lists::{Bought, Cut, cut_list, hardware};
pub use measure::{Figure, to_measure};
pub use schedule::{Placed, Row, Schedule, schedule};
pub use steps::{Act, Step};
