//! The JSON Schema (draft-07) of a parameter file, for editors. From the same declarations as the reader, so the two cannot differ.

use super::key::{Declared, Key, Kind, Limit, Measure, PlaceKey};
use super::read::Table;
use super::{Params, Word};
use crate::units::{self, LengthUnit};
use serde_json::{Map, Value, json};

/// Where a starter file looks for the schema, beside itself.
pub const SCHEMA_FILE: &str = "groovewright.schema.json";

/// What an editor says of a length.
const LENGTH: &str = "A length: a number in the file's unit (`unit` in `[design]`: mm unless said), or text with its unit, such as `335 mm` or `13 3/16 in`.";
const THICKNESS: &str =
    "A thickness: a number in the file's unit, or text such as `3 mm`, `1/8 in` or `18 ga steel`.";

/// The schema. The same program gives the same value; keys of an object are sorted.
#[must_use]
pub fn schema() -> Value {
    let mut tables = Map::new();
    let mut root = table(Params::declared(), &mut tables);
    root["$schema"] = json!("http://json-schema.org/draft-07/schema#");
    root["title"] = json!("Groovewright parameter file");
    tables.extend(basics());
    root["definitions"] = Value::Object(tables);
    root
}

/// The kinds of values that many keys share.
fn basics() -> Map<String, Value> {
    // what holds a figure; whether the rest is a length is for the program to say, with a better message
    let text = json!({ "type": "string", "pattern": "[0-9]", "maxLength": 60 });
    let length = |number: Value| json!({ "description": LENGTH, "anyOf": [number, text.clone()] });
    let mut out = Map::new();
    let mut put = |name: &str, value: Value| out.insert(name.to_owned(), value);
    put("a length", length(json!({ "type": "number" })));
    put(
        "a length over 0",
        length(json!({ "type": "number", "exclusiveMinimum": 0 })),
    );
    put(
        "a length of 0 or more",
        length(json!({ "type": "number", "minimum": 0 })),
    );
    put(
        "a thickness",
        json!({ "description": THICKNESS, "anyOf": [{ "type": "number", "exclusiveMinimum": 0 }, text] }),
    );
    put(
        "a name",
        json!({
            "description": "The name of an item: letters, digits, `-` and `_`.",
            "type": "string", "pattern": "^[A-Za-z0-9]([A-Za-z0-9_-]*[A-Za-z0-9])?$", "maxLength": 40,
        }),
    );
    out
}

fn table(declared: &'static Declared, tables: &mut Map<String, Value>) -> Value {
    let mut properties = Map::new();
    let mut required = Vec::new();
    for key in &declared.keys {
        properties.insert(key.name.clone(), of_key(key, tables));
        if key.required {
            required.push(json!(key.name));
        }
    }
    let mut out = json!({
        "type": "object",
        "description": declared.doc,
        "properties": properties,
        "additionalProperties": false,
    });
    if !required.is_empty() {
        out["required"] = Value::Array(required);
    }
    out
}

fn reference(name: &str) -> Value {
    json!({ "$ref": format!("#/definitions/{}", name.replace(' ', "%20")) })
}

/// A key. Beside a `$ref` draft-07 looks at nothing else, so the description of this key goes round it.
fn of_key(key: &Key, tables: &mut Map<String, Value>) -> Value {
    let mut value = of_kind(&key.name, key.kind, key.limit, tables);
    if value.get("$ref").is_some() {
        value = json!({ "allOf": [value] });
    }
    let own = value.get("description").and_then(Value::as_str);
    let unit = match key.kind {
        Kind::Length => LENGTH,
        Kind::Thickness => THICKNESS,
        Kind::Degrees => "Degrees.",
        _ => own.unwrap_or_default(),
    };
    value["description"] = json!(format!("{}\n\n{unit}", key.doc).trim_end());
    if let Some(default) = default(key) {
        value["default"] = default;
    }
    value
}

fn of_kind(key: &str, kind: Kind, limit: Limit, tables: &mut Map<String, Value>) -> Value {
    match kind {
        Kind::Length => reference(match limit {
            Limit::Positive => "a length over 0",
            Limit::NotNegative => "a length of 0 or more",
            _ => "a length",
        }),
        Kind::Thickness => reference("a thickness"),
        Kind::Degrees => json!({ "type": "number", "minimum": -360, "maximum": 360 }),
        Kind::Number => match limit {
            Limit::Positive => json!({ "type": "number", "exclusiveMinimum": 0, "maximum": 1e6 }),
            Limit::NotNegative => json!({ "type": "number", "minimum": 0, "maximum": 1e6 }),
            _ => json!({ "type": "number", "minimum": -1e6, "maximum": 1e6 }),
        },
        Kind::Count => {
            json!({ "type": "integer", "minimum": u32::from(limit == Limit::Positive), "maximum": 500 })
        }
        Kind::Id => reference("a name"),
        Kind::Text => match limit {
            Limit::MayBeEmpty => json!({ "type": "string", "maxLength": 300 }),
            Limit::FolderName => json!({ "type": "string", "minLength": 1, "maxLength": 80 }),
            _ => json!({ "type": "string", "minLength": 1, "maxLength": 300 }),
        },
        Kind::YesNo => json!({ "type": "boolean" }),
        Kind::Words(words) => of_words(words),
        Kind::Place(keys) => place(keys),
        Kind::List(inner) => {
            let mut list = json!({ "type": "array", "maxItems": 500, "items": of_kind(key, *inner, Limit::Any, tables) });
            match limit {
                Limit::Pair => {
                    list["minItems"] = json!(2);
                    list["maxItems"] = json!(2);
                }
                Limit::TwoOrMore => list["minItems"] = json!(2),
                _ => {}
            }
            list
        }
        Kind::Table(inner) => named(key, inner(), tables),
        Kind::Tables(inner) => json!({ "type": "array", "items": named(key, inner(), tables) }),
    }
}

/// A table under its header's name, written once.
fn named(key: &str, declared: &'static Declared, tables: &mut Map<String, Value>) -> Value {
    // the head of a table's doc is its header as written in a file
    let head = declared.doc.split('`').nth(1).unwrap_or_default();
    let name = if head.starts_with('[') { head } else { key };
    let name = name.replace(['[', ']', '/', '#', '~', '%'], "");
    if !tables.contains_key(&name) {
        // first a place holder: a table may hold itself
        tables.insert(name.clone(), Value::Null);
        let value = table(declared, tables);
        tables.insert(name.clone(), value);
    }
    reference(&name)
}

fn of_words(words: &[Word]) -> Value {
    let list: Vec<&str> = words.iter().map(|w| w.word).collect();
    let told: Vec<String> = words
        .iter()
        .map(|w| format!("- `{}`: {}", w.word, w.doc))
        .collect();
    json!({ "type": "string", "enum": list, "description": told.join("\n") })
}

fn place(keys: &[PlaceKey]) -> Value {
    let mut properties = Map::new();
    for key in keys {
        let from = match key.measure {
            Measure::Low | Measure::High => format!("From the {} edge.", key.name),
            Measure::Middle => "From the middle, towards right, rear or top.".to_owned(),
            Measure::Share => "A share of the whole, 0 to 1.".to_owned(),
        };
        let value = if key.measure == Measure::Share {
            json!({ "type": "number", "minimum": 0, "maximum": 1, "description": from })
        } else {
            json!({ "allOf": [reference("a length")], "description": format!("{from}\n\n{LENGTH}") })
        };
        properties.insert(key.name.to_owned(), value);
    }
    json!({ "type": "object", "properties": properties, "additionalProperties": false, "minProperties": 1 })
}

/// The default that a key's doc text names (`3 mm unless said`), if it is a value of the key; others are told in words.
fn default(key: &Key) -> Option<Value> {
    let (before, _) = key.doc.split_once(" unless said")?;
    let from = before.rfind(['.', ';']).map_or(0, |at| {
        // a decimal point is no full stop
        let point = before[at..].starts_with('.')
            && before[at + 1..].starts_with(|c: char| c.is_ascii_digit());
        if point {
            before[..at].rfind([';']).map_or(0, |k| k + 1)
        } else {
            at + 1
        }
    });
    let said = before[from..].trim();
    let said = said.split(" (").next()?.trim();
    match key.kind {
        Kind::Words(words) => {
            let word = said.trim_matches('`');
            words.iter().any(|w| w.word == word).then(|| json!(word))
        }
        Kind::Length | Kind::Thickness if said == "0" => Some(json!(0)),
        Kind::Length | Kind::Thickness => {
            let with_unit = said.ends_with(" mm") || said.ends_with(" in");
            (with_unit && units::parse_length(said, LengthUnit::Mm).is_ok()).then(|| json!(said))
        }
        Kind::Number | Kind::Degrees | Kind::Count => {
            let number: f64 = said.parse().ok()?;
            Some(if number.fract() == 0.0 {
                json!(number as i64)
            } else {
                json!(number)
            })
        }
        Kind::YesNo => match said {
            "yes" | "true" => Some(json!(true)),
            "no" | "false" => Some(json!(false)),
            _ => None,
        },
        _ => None,
    }
}

/// The schema as a file: two spaces a level, a newline at the end.
#[must_use]
pub fn schema_text() -> String {
    let mut text = serde_json::to_string_pretty(&schema()).unwrap_or_default();
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn committed_schema_is_todays() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("schema")
            .join(SCHEMA_FILE);
        if std::env::var_os("UPDATE_DOCS").is_some() {
            std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
            std::fs::write(&path, schema_text()).expect("written");
        }
        let written = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            written == schema_text(),
            "schema/{SCHEMA_FILE} is stale: run `UPDATE_DOCS=1 cargo test --lib schema`"
        );
    }

    #[test]
    fn defaults_are_read_from_the_docs() {
        let s = schema();
        let at = |path: &str| s.pointer(path).cloned().unwrap_or(Value::Null);
        assert_eq!(
            at("/definitions/chassis/properties/position/default"),
            json!("floor")
        );
        assert_eq!(
            at("/definitions/chassis/properties/thickness/default"),
            json!("3 mm")
        );
        assert_eq!(
            at("/definitions/chassis/properties/side-play/default"),
            json!("0.8 mm")
        );
        assert_eq!(
            at("/definitions/chassis.angle/properties/leg/default"),
            json!("19.05 mm")
        );
        assert_eq!(
            at("/definitions/chassis/properties/ear-from/default"),
            json!(0)
        );
        assert_eq!(
            at("/definitions/design/properties/unit/enum"),
            json!(["mm", "in"])
        );
        // a default that is no value is told in words only
        assert_eq!(
            at("/definitions/chassis.panel.rear/properties/material/default"),
            Value::Null
        );
        assert!(
            at("/definitions/chassis/properties/margin/description")
                .as_str()
                .is_some_and(|d| d.contains("3 mm unless said") && d.contains("13 3/16 in"))
        );
        assert_eq!(at("/required"), json!(["design", "cabinet"]));
    }

    /// Every `$ref` leads somewhere; every key has words.
    #[test]
    fn references_resolve_and_keys_are_described() {
        fn walk(v: &Value, root: &Value) {
            match v {
                Value::Object(map) => {
                    if let Some(Value::String(r)) = map.get("$ref") {
                        let to = r.trim_start_matches('#').replace("%20", " ");
                        assert!(root.pointer(&to).is_some_and(Value::is_object), "{r}");
                    }
                    if let Some(Value::Object(keys)) = map.get("properties") {
                        for (name, key) in keys {
                            assert!(
                                key["description"].as_str().is_some_and(|d| !d.is_empty()),
                                "{name}"
                            );
                        }
                    }
                    map.values().for_each(|v| walk(v, root));
                }
                Value::Array(list) => list.iter().for_each(|v| walk(v, root)),
                _ => {}
            }
        }
        let s = schema();
        walk(&s, &s);
    }
}
