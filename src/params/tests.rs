//! Tests of reading a whole file. Every design here is invented.

use proptest::prelude::*;

use super::*;
use crate::diag::Diagnostics;

/// A valid file with something of everything.
const COMBO: &str = r#"
[design]
name = "Kitchen Combo"
unit = "mm"
note = ""

[cabinet]
width = 460
height = "16 in"
depth = 240.5
corner = "box joint"
baffle = { thickness = 18, tilt = 5, opening.overlap = 8 }

[cabinet.groove]
depth = 8
play = 0

[[cabinet.cleat]]
id = "cleat-left"
against = "left"
front = 38

[speaker]
pattern = "12 in ceramic"
at = { centre = 0, bottom = 190 }

[chassis]
thickness = "18 ga steel"
set-back = -2
panel.rear = { height = 70 }

[[tube]]
id = "V1"
type = "EL84"
at = { left = 72, front = 106 }
measured = true

[[tube]]
id = "V2"
type = "ECC83"
at.across = 0.5
at.rear = "1-1/4 in"

[[transformer]]
id = "PT"
role = "power"
holes = { width = 80, height = 60 }

[[control]]
id = "VOLUME"
kind = "pot"
on = "rear"
at = { left = 40, middle = 0 }

[[control]]
id = "GAIN"
kind = "pot"

[[row]]
items = ["VOLUME", "GAIN"]
from = { left = 40 }
to = { right = 40 }

[[clearance]]
between = ["power tube", "wood"]
air = 25
"#;

fn errors(text: &str) -> Diagnostics {
    parse(text).expect_err("the text has errors")
}

/// The places and messages of a text's errors.
fn told(text: &str) -> Vec<String> {
    let located = errors(text).located(text);
    located
        .iter()
        .map(|one| format!("{}:{} {}", one.line, one.column, one.message))
        .collect()
}

/// The combo with a line replaced.
fn combo(from: &str, to: &str) -> String {
    assert!(COMBO.contains(from), "{from}");
    COMBO.replacen(from, to, 1)
}

#[test]
fn reads_a_whole_file() {
    let params = parse(COMBO).unwrap_or_else(|errors| panic!("{errors}"));
    assert_eq!(params.design.name.value, "Kitchen Combo");
    assert_eq!(params.cabinet.width.value.0, 460.0);
    assert_eq!(params.cabinet.height.value.0, 16.0 * 25.4);
    assert_eq!(&COMBO[params.cabinet.height.span.clone()], "\"16 in\"");
    assert_eq!(
        params.cabinet.corner.as_ref().map(|sp| sp.value),
        Some(Corner::BoxJoint)
    );
    let baffle = params.cabinet.baffle.as_ref().expect("a baffle");
    assert_eq!(baffle.tilt.as_ref().map(|tilt| tilt.0), Some(5.0));
    assert!(
        baffle
            .opening
            .as_ref()
            .is_some_and(|opening| opening.overlap.is_some())
    );
    assert_eq!(params.cabinet.cleat[0].id.0, "cleat-left");
    let chassis = params.chassis.as_ref().expect("a chassis");
    // Manufacturers' Standard gauge: 18 ga is 0.0478 in.
    assert_eq!(
        chassis.thickness.as_ref().map(|sheet| sheet.0),
        Some(0.0478 * 25.4)
    );
    assert_eq!(chassis.set_back.as_ref().map(|back| back.0), Some(-2.0));
    let rear = chassis
        .panel
        .as_ref()
        .and_then(|panels| panels.rear.as_ref());
    assert_eq!(rear.map(|panel| panel.height.0), Some(70.0));
    assert_eq!(params.tube.len(), 2);
    assert_eq!(&COMBO[params.tube[0].span.clone()], "[[tube]]");
    let at = params.tube[1].at.as_ref().expect("a place");
    assert_eq!(at.x.as_ref().map(|tie| tie.value), Some(Tie::Share(0.5)));
    assert_eq!(at.y.as_ref().map(|tie| tie.value), Some(Tie::High(31.75)));
    assert_eq!(params.row[0].items[1].0, "GAIN");
    assert_eq!(params.clearance[0].between[0].value, "power tube");
}

#[test]
fn middle_of_an_unknown_surface_serves_both() {
    let at = |text: &str| {
        snippet::<Control>(&format!("id = 'P'\nkind = 'pot'\nat = {text}"))
            .map(|control| control.at)
    };
    let place = at("{ left = 1, middle = 2 }")
        .expect("a place")
        .expect("there")
        .value;
    assert_eq!(
        place
            .on_plate()
            .expect("on the plate")
            .y
            .map(|tie| tie.value),
        Some(Tie::Middle(2.0))
    );
    assert_eq!(
        place.upright().expect("upright").z.map(|tie| tie.value),
        Some(Tie::Middle(2.0))
    );
    let place = at("{ left = 1, front = 2 }")
        .expect("a place")
        .expect("there")
        .value;
    assert!(place.on_plate().is_ok());
    assert_eq!(place.upright().map_err(|tie| tie.value), Err(Tie::Low(2.0)));
    assert!(at("{ top = 1, front = 2 }").is_err());
    assert!(at("{ middle = 1, up = 0.5 }").is_err());
}

#[test]
fn inches_are_the_unit_of_bare_numbers_wherever_the_unit_stands() {
    let text = "[cabinet]\nwidth = 10\nheight = '7 1/2'\ndepth = '100 mm'\n[design]\nname = 'A'\nunit = 'in'\n";
    let params = parse(text).unwrap_or_else(|errors| panic!("{errors}"));
    let cabinet = params.cabinet;
    assert_eq!(
        (cabinet.width.0, cabinet.height.0, cabinet.depth.0),
        (254.0, 190.5, 100.0)
    );
}

#[test]
fn twelve_errors_are_told_in_one_run_in_the_order_of_the_file() {
    let text = r#"[design]
name = "Åström/Combo"

[cabinet]
widht = "13 3/16 in"
height = -3
depth = "2o0 mm" # ø
corner = "box-joint"
turn_in = 20

[[tube]]
id = "V1"
at = { left = 10, right = 20, up = 1 }

[[tube]]
id = "v1"
type = "EL84"

[[board]]
id = "B 1"
length = 100
width = 40
stand-off = "5 ft"
"#;
    let expected = include_str!("twelve_errors.txt");
    assert_eq!(errors(text).len(), 12);
    assert_eq!(errors(text).render("amp.toml", text, false), expected);
}

#[test]
fn nearest_names_and_other_tables_are_offered() {
    let hint = |text: &str| errors(text).list[0].hint.clone().unwrap_or_default();
    assert_eq!(
        hint(&combo("depth = 240.5", "dpeth = 240.5")),
        "did you mean `depth`?"
    );
    assert_eq!(
        hint(&combo("set-back = -2", "set_back = -2")),
        "did you mean `set-back`?"
    );
    assert_eq!(
        hint(&combo("set-back = -2", "bolt_circle = 1")),
        "`bolt-circle` is a key of `[speaker]`"
    );
    assert_eq!(
        hint(&combo("[[transformer]]", "[[transformers]]")),
        "did you mean `transformer`?"
    );
    assert_eq!(hint(&combo("\"power\"\n", "\"mains\"\n")), "");
    assert_eq!(
        hint(&combo("\"box joint\"", "\"Rabet\"")),
        "did you mean `\"rabbet\"`?"
    );
    assert_eq!(
        hint(&combo("centre = 0", "center = 0")),
        "did you mean `centre`?"
    );
}

#[test]
fn a_misspelt_key_is_not_missing_too() {
    assert_eq!(
        told(&combo("width = 460", "widht = 460")),
        ["8:1 unknown key `widht` in `[cabinet]`"]
    );
    assert_eq!(
        told(&combo("[design]", "[desing]")),
        ["2:2 unknown key `desing` in the file"]
    );
}

#[test]
fn missing_keys_are_told_at_their_header() {
    assert_eq!(
        told(&combo("type = \"EL84\"\n", "")),
        ["32:1 `type` is missing in `[[tube]]` `V1`"]
    );
    assert_eq!(
        told(&combo("panel.rear = { height = 70 }", "panel.rear = {}")),
        ["30:14 `height` is missing in `[chassis.panel.rear]`"]
    );
    assert_eq!(
        told(""),
        [
            "1:1 table `[design]` is missing",
            "1:1 table `[cabinet]` is missing"
        ]
    );
}

#[test]
fn ids_are_unique_over_all_kinds_of_items_ignoring_case() {
    let text = combo("id = \"VOLUME\"", "id = \"CLEAT-left\"");
    assert_eq!(
        told(&text),
        ["50:6 id `CLEAT-left` on line 50 is already taken by `cleat-left` on line 19"]
    );
    // A row only refers to items.
    assert!(parse(COMBO).is_ok());
}

#[test]
fn ids_that_could_not_name_a_file_are_refused() {
    for id in [
        "",
        " ",
        "a b",
        "V1.",
        "é",
        "_V1",
        "-x",
        "V1-",
        "V1_",
        "con",
        "LPT1",
        "a/b",
        "..",
        &"x".repeat(41),
    ] {
        assert_eq!(
            errors(&combo("\"PT\"", &format!("'{id}'"))).len(),
            1,
            "{id:?}"
        );
    }
    for id in ["1", "V1-a_b", "com", "com10", "console", &"x".repeat(40)] {
        assert!(
            parse(&combo("\"PT\"", &format!("'{id}'"))).is_ok(),
            "{id:?}"
        );
    }
}

#[test]
fn names_that_could_not_name_a_folder_are_refused() {
    let named = |name: &str| parse(&combo("\"Kitchen Combo\"", name));
    for name in [
        "''",
        "'  '",
        "'a/b'",
        "'a\\b'",
        "'.a'",
        "'a.'",
        "'a '",
        "' a'",
        "'nul'",
        "'Com1.toml'",
        "\"a\\nb\"",
        "\"a\\u0000\"",
        "'a:b'",
        "\"\\u202eb\"",
        "7",
        "['a']",
        &format!("'{}'", "x".repeat(81)),
    ] {
        assert_eq!(named(name).expect_err(name).len(), 1, "{name}");
    }
    for name in ["'Kombo Ærø'", "'v1.2'", "'Nullarbor'"] {
        assert!(named(name).is_ok(), "{name}");
    }
}

#[test]
fn tables_and_lists_of_tables_are_told_apart() {
    assert_eq!(
        told(&combo("[[transformer]]", "[transformer]")),
        ["44:1 `transformer` is a table, not a list of tables"]
    );
    assert_eq!(
        told(&combo("[speaker]", "[[speaker]]")),
        ["23:1 `speaker` is a list, not a table"]
    );
    assert_eq!(
        told(&combo("[speaker]", "[[speaker]]\nbolts = 0")).len(),
        2,
        "what is in it is read too"
    );
    assert_eq!(
        told(&format!("can = 3\n{COMBO}")),
        ["1:7 `can` is a number, not a list of tables"]
    );
    assert_eq!(
        told(&format!("can = [1, {{ id = 'C1' }}, 'x']\n{COMBO}")).len(),
        2
    );
    assert!(
        parse(&format!(
            "can = [{{ id = 'C1' }}, {{ id = 'C2' }}]\n{COMBO}"
        ))
        .is_ok()
    );
}

#[test]
fn counts_and_shares_have_limits() {
    for (from, to) in [
        ("pattern =", "bolts = 99999\npattern ="),
        ("pattern =", "bolts = 0\npattern ="),
        ("pattern =", "bolts = -1\npattern ="),
        ("pattern =", "bolts = 4.0\npattern ="),
        ("pattern =", "bolts = 99999999999999999999999999\npattern ="),
        ("pattern =", "mass = 0\npattern ="),
        ("pattern =", "mass = nan\npattern ="),
        ("pattern =", "mass = 1e300\npattern ="),
        ("tilt = 5", "tilt = inf"),
        ("tilt = 5", "tilt = 361"),
        ("width = 460", "width = 0"),
        ("width = 460", "width = nan"),
        ("width = 460", "width = 1e6"),
        ("width = 460", "width = 1e999"),
        ("width = 460", "width = true"),
        ("play = 0", "play = -0.1"),
        ("across = 0.5", "across = 1.01"),
        ("across = 0.5", "across = -0.01"),
        ("across = 0.5", "across = nan"),
        ("across = 0.5", "across = '0.5'"),
        ("{ left = 40 }", "{}"),
        ("[\"VOLUME\", \"GAIN\"]", "[\"VOLUME\"]"),
        ("[\"VOLUME\", \"GAIN\"]", "['A', 3]"),
        ("[\"power tube\", \"wood\"]", "['a', 'b', 'c']"),
    ] {
        assert_eq!(errors(&combo(from, to)).len(), 1, "{to}");
    }
}

#[test]
fn slips_against_toml_do_not_hide_other_errors() {
    // A length without quotes harms no other line, so all else is read and told.
    let text = combo("height = \"16 in\"", "height = 16 in").replace("depth = 240.5", "depth = -1");
    assert_eq!(
        told(&text),
        [
            "9:10 `16 in` is not in quotes",
            "10:9 `depth` is -1.0 mm, but must be over 0"
        ]
    );
    let text = combo("corner =", "depth = 3\ncorner =").replace("play = 0", "ply = 0");
    assert_eq!(
        told(&text),
        [
            "11:1 `depth` is written twice",
            "17:1 unknown key `ply` in `[cabinet.groove]`"
        ]
    );
    // After a break that cannot be followed nothing is guessed, before it everything is told.
    let text = combo("width = 460", "wdth = 460")
        .replace("depth = 8\n", "depth = 8 9\n")
        .replace("play = 0", "ply = 0");
    assert_eq!(
        told(&text),
        [
            "8:1 unknown key `wdth` in `[cabinet]`",
            "15:9 this value cannot be read"
        ]
    );
}

#[test]
fn broken_text_tells_few_causes() {
    let garbage = "?? ".repeat(10) + "\n";
    assert_eq!(errors(&garbage.repeat(1000)).len(), 5);
    let open_list = combo("items = [\"VOLUME\", \"GAIN\"]", "items = [\"VOLUME\"");
    assert_eq!(errors(&open_list).len(), 1);
}

#[test]
fn places_are_counted_in_characters_whatever_the_line_ends() {
    let text = "[design]\r\nname = \"é\"\r\nmaker = \"ß€𝄞\" \r\n[cabinet]\r\nwidth = 1\r\nheight = 1\r\ndepth = 1\r\nbaffle = { material = \"ß€𝄞\", tilt = \"x\" }\r\n";
    assert_eq!(told(text), ["8:37 `tilt` is text, not an angle"]);
    assert_eq!(
        told(&text.replace("\r\n", "\n")),
        ["8:37 `tilt` is text, not an angle"]
    );
    let shown = errors(text).render("é.toml", text, false);
    assert!(
        shown.starts_with("é.toml:8:37: error: `tilt` is text, not an angle\n"),
        "{shown}"
    );
    assert!(!shown.contains('\r'), "{shown:?}");
    assert_eq!(
        told(&format!("\u{feff}nme = 3\n{}", COMBO)),
        ["1:1 unknown key `nme` in the file"]
    );
}

#[test]
fn too_many_items_are_refused_before_anything_else() {
    let tube = |index: usize| format!("[[tube]]\nid = \"V{index}\"\ntype = \"EL84\"\n");
    let tubes = |count: usize| COMBO.to_owned() + &(10..count + 10).map(tube).collect::<String>();
    let told_of = told(&tubes(100_000));
    assert_eq!(told_of.len(), 1);
    assert!(
        told_of[0].ends_with("more than 10,000 solids: the file lists 100008 items"),
        "{told_of:?}"
    );
    assert!(parse(&tubes(2_000)).is_ok());
    let inline = format!("can = [{}]\n{COMBO}", "{ id = 'C' }, ".repeat(10_001));
    assert_eq!(told(&inline).len(), 1);
    assert_eq!(told(&"#".repeat(5 << 20)), ["1:1 the file is 5120 kB long"]);
}

#[test]
fn a_flood_of_errors_ends() {
    let text: String = (0..200_000)
        .map(|index| format!("a{index} = 1\n"))
        .collect();
    let found = errors(&text);
    assert_eq!(found.len(), 1001);
    let shown = found.render("amp.toml", &text, false);
    assert!(shown.ends_with("1001 errors in amp.toml, the first 200 shown\n"));
}

/// A value that a key takes.
fn sample(key: &Key, count: &mut usize) -> String {
    match key.kind {
        Kind::Length | Kind::Thickness => "1.5".to_owned(),
        Kind::Degrees | Kind::Number | Kind::Count => "2".to_owned(),
        Kind::Id => {
            *count += 1;
            format!("'i{count}'")
        }
        Kind::Text => "'x'".to_owned(),
        Kind::YesNo => "true".to_owned(),
        Kind::Words(words) => format!("'{}'", words[words.len() - 1].word),
        Kind::Place(keys) => format!(
            "{{ {} = 1, {} = 2 }}",
            keys[0].name,
            keys[keys.len() - 3].name
        ),
        Kind::List(_) => "['a', 'b']".to_owned(),
        Kind::Table(_) | Kind::Tables(_) => String::new(),
    }
}

/// One line of a file that holds every key of every table.
struct Line {
    table: String,
    key: &'static Key,
    text: String,
}

fn every_key(path: &str, declared: &'static Declared, count: &mut usize, lines: &mut Vec<Line>) {
    let (values, tables): (Vec<&Key>, Vec<&Key>) = declared
        .keys
        .iter()
        .partition(|key| !matches!(key.kind, Kind::Table(_) | Kind::Tables(_)));
    for key in values {
        let text = format!("{} = {}", key.name, sample(key, count));
        lines.push(Line {
            table: path.to_owned(),
            key,
            text,
        });
    }
    for key in tables {
        let name = if path.is_empty() {
            key.name.clone()
        } else {
            format!("{path}.{}", key.name)
        };
        let (inner, header) = match key.kind {
            Kind::Table(inner) => (inner, format!("[{name}]")),
            Kind::Tables(inner) => (inner, format!("[[{name}]]")),
            _ => continue,
        };
        lines.push(Line {
            table: path.to_owned(),
            key,
            text: header,
        });
        every_key(&name, inner(), count, lines);
    }
}

fn whole() -> Vec<Line> {
    let mut lines = Vec::new();
    every_key("", <Params as read::Table>::declared(), &mut 0, &mut lines);
    lines
}

#[test]
fn every_declared_key_can_be_written_and_has_a_text() {
    let lines = whole();
    assert!(lines.len() > 200, "{}", lines.len());
    let texts: Vec<&str> = lines.iter().map(|line| line.text.as_str()).collect();
    let text = texts.join(
        "
",
    );
    if let Err(errors) = parse(&text) {
        panic!("{}", errors.render("every key", &text, false));
    }
    for line in &lines {
        assert!(
            line.key.doc.ends_with(['.', '?', '`', ')']),
            "{} {}: {}",
            line.table,
            line.key.name,
            line.key.doc
        );
        assert!(
            line.key
                .name
                .bytes()
                .all(|byte| byte.is_ascii_lowercase() || byte == b'-'),
            "{}",
            line.key.name
        );
    }
}

#[test]
fn every_key_refuses_a_value_of_another_kind_and_every_required_key_is_missed() {
    let lines = whole();
    for (index, line) in lines.iter().enumerate() {
        if line.text.starts_with('[') {
            continue;
        }
        let with = |replacement: &str| {
            let text_of = |(at, other): (usize, &Line)| {
                if at == index {
                    replacement.to_owned()
                } else {
                    other.text.clone()
                }
            };
            let texts: Vec<String> = lines.iter().enumerate().map(text_of).collect();
            texts.join("\n")
        };
        let text = with(&format!("{} = 1979-05-27", line.key.name));
        let found = errors(&text).located(&text);
        assert_eq!(found.len(), 1, "{} {}", line.table, line.key.name);
        assert_eq!(found[0].line, index + 1);
        assert!(
            found[0].message.contains("is a date"),
            "{}",
            found[0].message
        );
        assert!(found[0].expected.is_some());
        let text = with("");
        if line.key.required {
            let message = errors(&text).list[0].message.clone();
            assert!(
                message.starts_with(&format!("`{}` is missing in", line.key.name)),
                "{message}"
            );
        } else {
            assert!(parse(&text).is_ok(), "{} {}", line.table, line.key.name);
        }
    }
}

proptest! {
    #[test]
    fn arbitrary_text_never_panics(text in any::<String>()) {
        if let Err(found) = parse(&text) {
            prop_assert!(!found.is_empty());
            let _ = found.render("x.toml", &text, true);
        }
    }

    #[test]
    fn arbitrary_toml_never_panics(text in "(\\[\\[?(tube|cabinet|design|chassis\\.panel|row)\\]?\\]|(at|id|width|type|items|tilt) = (3|-1e9|'x'|\"1/2 in\"|\\{ left = 1 \\}|\\[1, 'V1'\\]|nan|true)|\r?\n){0,40}") {
        if let Err(found) = parse(&text) {
            prop_assert!(!found.is_empty());
            let _ = found.render("x.toml", &text, false);
        }
    }

    #[test]
    fn a_mutated_file_never_panics_and_errors_lie_in_it(
        at in 0..COMBO.len(), take in 0_usize..12, put in "(\\PC{0,4}|[=\\[\\]{}'\".,#\n\r\t-]{0,3}|[0-9]{1,30}|é{1,3})"
    ) {
        // The combo is ASCII, so every cut is a character's edge.
        let text = format!("{}{put}{}", &COMBO[..at], &COMBO[(at + take).min(COMBO.len())..]);
        if let Err(found) = parse(&text) {
            prop_assert!(!found.is_empty());
            let lines = text.matches('\n').count() + 1;
            for one in found.located(&text) {
                prop_assert!(one.line >= 1 && one.line <= lines && one.column >= 1);
                prop_assert!((one.end_line, one.end_column) >= (one.line, one.column));
                prop_assert!(!one.message.is_empty());
            }
            let _ = found.render("x.toml", &text, true);
        }
    }
}
