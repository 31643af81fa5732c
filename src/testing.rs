//! The demos and the failing designs, studied once for all unit tests.

use crate::study::{Study, study};
use std::path::Path;
use std::sync::LazyLock;

pub(crate) const HARBOUR: &str = include_str!("../params/harbour-15.toml");
pub(crate) const LANTERN: &str = include_str!("../params/lantern-40.toml");
pub(crate) const PANTRY: &str = include_str!("../params/pantry-4.toml");

/// The demos.
pub(crate) fn demos() -> [Study; 3] {
    [lantern(), harbour(), pantry()]
}

pub(crate) fn harbour() -> Study {
    static STUDY: LazyLock<Study> = LazyLock::new(|| sound(HARBOUR));
    STUDY.clone()
}

pub(crate) fn lantern() -> Study {
    static STUDY: LazyLock<Study> = LazyLock::new(|| sound(LANTERN));
    STUDY.clone()
}

pub(crate) fn pantry() -> Study {
    static STUDY: LazyLock<Study> = LazyLock::new(|| sound(PANTRY));
    STUDY.clone()
}

/// Every demo and every failing design; a folder read here is part of the crate.
pub(crate) fn all_designs() -> Vec<Study> {
    static ALL: LazyLock<Vec<Study>> = LazyLock::new(study_all);
    ALL.clone()
}

fn study_all() -> Vec<Study> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
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
        .map(|path| sound(&std::fs::read_to_string(path).expect("a text")))
        .collect()
}

fn sound(text: &str) -> Study {
    study(text).unwrap_or_else(|d| panic!("{}", d.render("design", text, false)))
}
