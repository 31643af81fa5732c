//! What goes to the bench, as data: the drill schedule, lists and sheets. From the same holes and outlines as the solids.
//!
//! Nothing here knows a file format; `export` turns it into bytes.

pub mod buy;
mod cut_list;
pub mod cutouts;
pub mod cutting;
pub mod drawing;
mod hardware;
pub mod legend;
mod lettering;
mod made;
mod marks;
pub mod measure;
pub mod nest;
pub mod order;
pub mod paper;
pub mod plan;
pub mod schedule;
pub mod sheet;
mod steps;
pub mod stick;
pub mod stock;
pub mod template;
mod tile;

pub use cut_list::{Cut, cut_list};
pub use hardware::{Bought, hardware};
pub use made::made;
pub use measure::{Figure, to_measure};
pub use schedule::{Placed, Rout, Row, Schedule, Turn, by_tool, schedule};
pub use steps::{Act, Step};
pub use stock::{Cutting, cutting};

use crate::design::Design;
use crate::fit::Report;

/// The lists for the bench, each worked out once.
#[derive(Clone, Debug, PartialEq)]
pub struct Bench {
    /// Holes, part by part.
    pub schedules: Vec<Schedule>,
    /// What is sawn to size.
    pub cuts: Vec<Cut>,
    /// From which stock.
    pub cutting: Cutting,
    /// What is bought by count.
    pub hardware: Vec<Bought>,
    /// All that has to be bought.
    pub buy: Vec<buy::Buy>,
    /// What to measure first.
    pub form: Vec<Figure>,
}

/// The lists of a design.
#[must_use]
pub fn bench(design: &Design, report: &Report) -> Bench {
    let schedules = schedule(design);
    let cuts = cut_list(design, report);
    let cutting = cutting(design, &cuts);
    let hardware = hardware(design);
    Bench {
        buy: buy::shopping(design, &cutting, &hardware, &schedules),
        form: to_measure(design),
        schedules,
        cuts,
        cutting,
        hardware,
    }
}
