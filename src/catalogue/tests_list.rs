//! Checks of what is shown: the list, the answer to a word, the lines to paste, the reference page.

use super::family::each_family;
use super::list::PACKED;
use super::*;

fn check_listed<R: Row>(text: &str) {
    if PACKED.contains(&R::FAMILY) {
        for row in R::all() {
            let found = text
                .split([' ', ',', '\n'])
                .any(|name| name == row.id().split(' ').next().unwrap_or_default());
            assert!(found, "{} {} is not listed", R::FAMILY, row.id());
        }
        return;
    }
    for row in R::all() {
        assert!(
            text.lines()
                .any(|line| line.starts_with(&format!("{}  ", row.id()))),
            "{} {} is not listed",
            R::FAMILY,
            row.id()
        );
    }
}

#[test]
fn the_list_holds_every_row_and_stays_aligned() {
    let text = list();
    each_family!(check_listed(&text));
    let block = text
        .split("\n\n")
        .find(|block| block.starts_with("TUBES"))
        .expect("a block of tubes");
    let rows: Vec<&str> = block
        .lines()
        .filter(|line| !line.starts_with(' '))
        .skip(1)
        .collect();
    let at = rows[0].find("status").expect("a status column");
    for row in &rows[1..] {
        assert!(
            row.is_char_boundary(at) && !row[at..].starts_with(' ') && row[..at].ends_with("  "),
            "{row}"
        );
    }
}

#[test]
fn an_exact_name_comes_alone_and_ends_with_its_lines() {
    let text = look_up("6bq5").expect("a tube");
    assert!(text.starts_with("tube EL84\n"), "{text}");
    assert!(
        text.contains("seated            71.44 (2 13/16)") && text.contains("Philips EL84 sheet"),
        "{text}"
    );
    assert!(text.contains("status  published"), "{text}");
    assert_eq!(text.matches("  source\n").count(), 1, "it comes alone");
    let tail = &text[text.find("[[tube]]").expect("lines to paste")..];
    let table: toml::Table = toml::from_str(tail).expect("the end is TOML");
    assert_eq!(table["tube"][0]["type"].as_str(), Some("EL84"), "{tail}");
    assert!(
        table["tube"][0].get("diameter").is_none() && tail.contains("# diameter = \"22.225 mm\""),
        "the catalogue's own figure must not pass for a measured one: {tail}"
    );
    // #8 is a screw and a drill; both are shown, and the screw's lines stand last.
    let both = look_up("#8").expect("a screw and a drill");
    assert!(
        both.contains("screw #8\n") && both.contains("drill #8\n"),
        "{both}"
    );
    assert!(both.trim_end().ends_with("screw = \"#8\""), "{both}");
}

#[test]
fn any_other_word_is_searched_for() {
    assert!(look_up("Mazda").is_some_and(|t| t.contains("tube EZ80") && !t.contains("[[tube]]")));
    assert!(look_up("knobs").is_some_and(|t| t.contains("knob knob 32")));
    assert!(look_up("punches").is_some_and(|t| t.contains("punch punch 5/8")));
    assert!(look_up("drills").is_some_and(|t| t.contains("#30 3.264") && t.contains("9.9 mm")));
    for rectifier in ["rectifier", "Rectifiers"] {
        assert!(
            look_up(rectifier)
                .is_some_and(|t| t.contains("tube GZ34\n") && !t.contains("tube 12AX7\n"))
        );
    }
    for iron in ["choke", "transformers"] {
        assert!(look_up(iron).is_some_and(|t| t.contains("core EI96\n")));
    }
    for nothing in ["EL8444", "zzzzqqq", "", " ", "-"] {
        assert_eq!(look_up(nothing), None, "{nothing:?}");
    }
    assert!(suggest("EL8444").contains(&"EL84"));
    assert!(suggest("zzzzqqq").is_empty());
}

#[test]
fn a_hole_brings_the_tools_that_make_it() {
    // 25/64 in is 9.9219 mm: to size as a fraction; X (0.397 in, 10.08 mm) is the next letter, 10.0 the next metric drill.
    let text = hole_makers(25.0 / 64.0 * 25.4);
    assert!(text.contains("drill 25/64"), "{text}");
    assert!(
        text.lines()
            .any(|l| l.contains("25/64 ") && l.contains("to size")),
        "{text}"
    );
    assert!(
        text.contains("drill X ") && text.contains("drill 10.0 mm"),
        "{text}"
    );
    // An octal socket's 1-1/8 in hole: no drill, but a step and a punch to size.
    let text = hole_makers(28.575);
    assert!(!text.contains("drill #"), "{text}");
    assert!(
        text.lines()
            .any(|l| l.contains("punch 1 1/8") && l.contains("to size")),
        "{text}"
    );
    assert!(
        text.lines()
            .any(|l| l.contains("step bit 1/4 to 1 3/8") && l.contains("to size")),
        "{text}"
    );
    assert!(hole_makers(1000.0).contains("no drill, step bit or punch"));
}

/// A design that has every table some paste line goes into, as small as it can be.
const SMALL: &str = "\
[design]
name = \"small\"
[cabinet]
width = 400
height = 300
depth = 220
[chassis]
[chassis.panel.rear]
height = 60
";

fn merge(into: &mut toml::Table, from: &toml::Table) {
    for (key, value) in from {
        match (into.get_mut(key), value) {
            (Some(toml::Value::Table(old)), toml::Value::Table(new)) => merge(old, new),
            _ => {
                into.insert(key.clone(), value.clone());
            }
        }
    }
}

fn check_paste<R: Row>() {
    for row in R::all() {
        let text = row.paste().join("\n");
        // As they stand, and with the figures let in that the builder has measured.
        let measured: String = text
            .lines()
            .map(|line| match line.strip_prefix("# ") {
                Some(rest) if rest.contains(" = ") => format!("{rest}\n"),
                _ => format!("{line}\n"),
            })
            .collect();
        for lines in [&text, &measured] {
            let table: toml::Table = toml::from_str(lines)
                .unwrap_or_else(|e| panic!("{} {}: {e}\n{lines}", R::FAMILY, row.id()));
            let mut file: toml::Table = toml::from_str(SMALL).expect("the small design is TOML");
            merge(&mut file, &table);
            let file = file.to_string();
            if let Err(wrong) = crate::params::parse(&file) {
                panic!(
                    "{} {}:\n{}",
                    R::FAMILY,
                    row.id(),
                    wrong.render("pasted", &file, false)
                );
            }
        }
    }
}

#[test]
fn paste_lines_are_read_by_the_parameter_file() {
    each_family!(check_paste());
}

/// Regenerate with `UPDATE_DOCS=1 cargo test --lib catalogue`.
#[test]
fn the_reference_page_is_up_to_date() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/catalogue.md");
    let page = reference_page();
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::create_dir_all(concat!(env!("CARGO_MANIFEST_DIR"), "/docs")).expect("docs folder");
        std::fs::write(path, &page).expect("docs/catalogue.md");
    }
    let written = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        written == page,
        "docs/catalogue.md is out of date; run UPDATE_DOCS=1 cargo test --lib catalogue"
    );
}
