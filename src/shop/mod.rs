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

/// The demos, studied.
#[cfg(test)]
pub(crate) fn demos() -> Vec<crate::study::Study> {
    [
        include_str!("../../params/lantern-40.toml"),
        include_str!("../../params/harbour-15.toml"),
        include_str!("../../params/pantry-4.toml"),
    ]
    .iter()
    .map(|t| crate::study::study(t).expect("the demo is sound"))
    .collect()
}

/// Every demo and every failing design, studied once for all tests; a folder read here is part of the crate.
#[cfg(test)]
pub(crate) fn all_designs() -> Vec<crate::study::Study> {
    static ALL: std::sync::LazyLock<Vec<crate::study::Study>> = std::sync::LazyLock::new(study_all);
    ALL.clone()
}

#[cfg(test)]
fn study_all() -> Vec<crate::study::Study> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths: Vec<_> = ["params", "tests/designs"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).expect("a folder"))
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    paths.sort();
    assert!(paths.len() > 10, "{paths:?}");
    paths
        .iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).expect("a text");
            crate::study::study(&text).expect("a design that can be resolved")
        })
        .collect()
}
