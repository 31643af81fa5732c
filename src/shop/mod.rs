//! What goes to the bench, as data: the drill schedule, lists and sheets. From the same holes and outlines as the solids.
//!
//! Nothing here knows a file format; `export` turns it into bytes.

pub mod drawing;
pub mod legend;
pub mod lists;
mod made;
pub mod measure;
pub mod order;
pub mod plan;
pub mod schedule;
pub mod sheet;
mod steps;
pub mod template;

pub use lists::{Bought, Cut, cut_list, hardware};
pub use made::made;
pub use measure::{Figure, to_measure};
pub use schedule::{Placed, Row, Schedule, schedule};
pub use steps::{Act, Step};

/// Every demo and every failing design, studied; a folder read here is part of the crate.
#[cfg(test)]
pub(crate) fn all_designs() -> Vec<crate::study::Study> {
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
