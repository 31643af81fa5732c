//! The reference page: what each check does, in words.

use super::doc::Doc;

/// In the order of the page.
const DOCS: &[&Doc] = &[
    &super::slide::DOC,
    &super::ears::DOC,
    &super::jam::DOC,
    &super::rattle::DOC,
    &super::pulled_out::DOC,
    &super::fascia::DOC,
    &super::pull::DOC,
    &super::reach::DOC,
    &super::spanner::DOC,
    &super::screwdriver::DOC,
    &super::plug::DOC,
    &super::lead::DOC,
    &super::recess::DOC,
    &super::speaker::DOC,
    &super::metal::DOC,
    &super::fillet::DOC,
    &super::covered::DOC,
    &super::throat::DOC,
    &super::screws::DOC,
    &super::wiring::DOC,
    &super::safety::DOC,
    &super::finger::DOC,
    &super::bench::DOC,
    &super::wood::DOC,
    &super::hum::DOC,
    &super::heat::DOC,
    &super::weight::DOC,
    &super::sag::DOC,
    &super::stock::DOC,
];

const HEAD: &str = "# Checks of the amp in use, of its metal, and of hum, heat, weight and sag

What each check does, why, and how to change what it asks for. The word in code style is the `id` of its findings in `fit.json`.
Motions are exact: the least distance over the whole way, not at steps of it, with the error of all distances (never above the true
one, at most 0.024 mm below it).
";

/// The page, Markdown.
#[must_use]
pub fn reference_page() -> String {
    let mut out = HEAD.to_owned();
    for d in DOCS {
        let ids: Vec<String> = d.ids.iter().map(|i| format!("`{i}`")).collect();
        out.push_str(&format!(
            "\n## {} ({})\n\n{}\n\n- Why: {}\n- Example: {}\n- To change it: {}\n- Rests on: {}\n",
            d.title,
            ids.join(", "),
            d.does,
            d.why,
            d.example,
            d.change,
            d.rests_on
        ));
    }
    out.push_str(&super::plate_choice::screening_page());
    out
}

#[cfg(test)]
mod tests {
    /// `UPDATE_DOCS=1` writes it.
    #[test]
    fn the_reference_page_is_up_to_date() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/checks.md");
        let page = super::reference_page();
        if std::env::var_os("UPDATE_DOCS").is_some() {
            std::fs::write(path, &page).expect("docs/checks.md");
        }
        let written = std::fs::read_to_string(path).unwrap_or_default();
        assert!(
            written == page,
            "docs/checks.md is out of date: UPDATE_DOCS=1 cargo test --lib reference_page"
        );
    }
}
