//! The JSON Schema says the same as the reader about keys, types and words.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::schema::{Draft, Which, all_words, schema};
use interpass::{kit, run, spec};
use serde_json::Value;

/// What a value breaks of a schema, as far as keys, types, words and lengths go; patterns and formats are left out.
fn breaks(value: &Value, schema: &Value, root: &Value, path: &str) -> Vec<String> {
    let mut found = Vec::new();
    if let Some(address) = schema["$ref"].as_str() {
        let target = root.pointer(address.trim_start_matches('#')).unwrap_or_else(|| panic!("dangling {address}"));
        found.extend(breaks(value, target, root, path));
    }
    for part in schema["allOf"].as_array().into_iter().flatten() {
        found.extend(breaks(value, part, root, path));
    }
    if let Some(ways) = schema["anyOf"].as_array()
        && ways.iter().all(|way| !breaks(value, way, root, path).is_empty())
    {
        found.push(format!("{path}: none of the ways"));
    }
    if schema.get("const").is_some_and(|wanted| wanted != value) {
        found.push(format!("{path}: not the constant"));
    }
    if schema["enum"].as_array().is_some_and(|words| !words.contains(value)) {
        found.push(format!("{path}: no such word"));
    }
    let fits = match schema["type"].as_str() {
        Some("string") => value.is_string(),
        Some("integer") => value.is_i64() || value.is_u64(),
        Some("number") => value.is_number(),
        Some("boolean") => value.is_boolean(),
        Some("array") => value.is_array(),
        Some("object") => value.is_object(),
        Some(other) => panic!("type {other}"),
        None => true,
    };
    if !fits {
        found.push(format!("{path}: not {}", schema["type"]));
        return found;
    }
    if let Value::Object(members) = value {
        for key in schema["required"].as_array().into_iter().flatten() {
            if !members.contains_key(key.as_str().unwrap()) {
                found.push(format!("{path}: no {key}"));
            }
        }
        for (key, member) in members {
            match schema["properties"].get(key) {
                Some(inner) => found.extend(breaks(member, inner, root, &format!("{path}.{key}"))),
                None if schema["additionalProperties"] == false => found.push(format!("{path}: unknown {key}")),
                None => {}
            }
        }
    }
    if let Value::Array(items) = value {
        for (index, item) in items.iter().enumerate() {
            found.extend(breaks(item, &schema["items"], root, &format!("{path}[{index}]")));
        }
        if schema["maxItems"].as_u64().is_some_and(|most| items.len() as u64 > most) {
            found.push(format!("{path}: too many"));
        }
    }
    found
}

fn as_json(text: &str) -> Value {
    fn turn(value: toml::Value) -> Value {
        match value {
            toml::Value::String(text) => text.into(),
            toml::Value::Integer(number) => number.into(),
            toml::Value::Float(number) => number.into(),
            toml::Value::Boolean(flag) => flag.into(),
            toml::Value::Datetime(date) => date.to_string().into(),
            toml::Value::Array(items) => Value::Array(items.into_iter().map(turn).collect()),
            toml::Value::Table(table) => {
                Value::Object(table.into_iter().map(|(key, value)| (key, turn(value))).collect())
            }
        }
    }
    turn(toml::Value::Table(text.parse().unwrap()))
}

const HEAD: &str =
    "format = 1\n[procedure]\nnumber = \"HW-1\"\ntitle = \"T\"\nrevision = \"A\"\n[metal]\nalloy = \"6061\"\n";

#[test]
fn reader_and_schema_agree_on_keys_types_and_words() {
    let root = schema(Which::Spec, Draft::Draft07);
    let sound = [
        "[part]\nuse = [\"general\"]\nmovable = true\nkeep = [{ feature = \"bore\" }]",
        "[weld.set]\nbalance = { value = \"70 % EN\", because = \"weathered\" }\ngas_lens = true\ncup = 7",
        "[[step]]\nid = \"refit\"\nstage = \"finish\"\ntext = \"Refit it.\"",
        "[qualification]\ndate = 2026-10-02\nwelder = { position = \"PA\" }",
        "[approval]\nby = \"shop lead\"\nreference = \"R 1\"",
    ];
    for added in sound {
        let text = format!("{HEAD}{added}");
        assert_eq!(spec::read(&text).1, [], "{added}");
        assert_eq!(breaks(&as_json(&text), &root, &root, ""), [""; 0], "{added}");
    }
    let bad = [
        "[part]\nuses = [\"general\"]",
        "[part]\nuse = \"general\"",
        "[part]\nuse = [\"pleasure\"]",
        "[part]\nkeep = [{ distance = \"40 mm\" }]",
        "[part]\nmovable = \"yes\"",
        "[damage]\ntips = 1.5",
        "[damage]\nlength = 45",
        "[weld]\nprocess = \"MIG\"",
        "[weld.set]\nbalance = { because = \"weathered\" }",
        "[weld.set]\nbalance = { value = \"70 % EN\", reason = \"weathered\" }",
        "[weld.set]\ngas_lens = \"yes\"",
        "[[step]]\nid = \"refit\"\ntext = \"Refit it.\"",
        "[approval]\nby = \"shop lead\"",
        "[step]\nid = \"refit\"",
    ];
    for added in bad {
        let text = format!("{HEAD}{added}");
        assert_ne!(spec::read(&text).1, [], "{added}");
        assert_ne!(breaks(&as_json(&text), &root, &root, ""), [""; 0], "{added}");
    }
    assert_ne!(breaks(&as_json("format = 2"), &root, &root, ""), [""; 0]);
}

#[test]
fn schemas_stand_on_their_own() {
    for which in Which::ALL {
        for (draft, definitions) in [(Draft::Draft07, "definitions"), (Draft::Draft2020, "$defs")] {
            let root = schema(which, draft);
            assert!(root["$schema"].as_str().unwrap().starts_with("http"), "{which:?}");
            assert_eq!(root["additionalProperties"], false);
            assert_eq!(root["properties"]["format"]["const"], 1);
            let text = root.to_string();
            let all = root[definitions].as_object().unwrap();
            assert!(!all.is_empty());
            for (name, part) in all {
                assert!(part["description"].as_str().is_some_and(|words| words.len() > 3), "{which:?} {name}");
                assert!(text.contains(&format!("#/{definitions}/{name}\"")), "{name} is never used");
                for (key, property) in part["properties"].as_object().into_iter().flatten() {
                    assert!(property["description"].as_str().is_some_and(|words| words.len() > 3), "{name}.{key}");
                }
            }
        }
    }
}

#[test]
fn the_schema_knows_every_key_that_the_reader_asks_for() {
    let keys = |which, table: &str| -> Vec<String> {
        let root = schema(which, Draft::Draft07);
        let part = if table.is_empty() { &root } else { &root["definitions"][table] };
        part["properties"].as_object().unwrap().keys().cloned().collect()
    };
    assert_eq!(
        keys(Which::Spec, ""),
        [
            "approval",
            "damage",
            "format",
            "inspection",
            "metal",
            "part",
            "place",
            "prepare",
            "procedure",
            "qualification",
            "step",
            "weld"
        ]
    );
    assert_eq!(keys(Which::Kit, ""), ["format", "heating", "machine", "measure", "shop", "stock", "torch"]);
    assert_eq!(keys(Which::Run, ""), ["deviation", "format", "hold", "inspection", "pass", "run"]);
    assert!(keys(Which::Spec, "Part").contains(&"use".to_owned()));
    assert!(keys(Which::Kit, "StockTungsten").contains(&"type".to_owned()));
    let required = |table: &str| schema(Which::Spec, Draft::Draft07)["definitions"][table]["required"].clone();
    assert_eq!(required("Procedure"), serde_json::json!(["number", "title", "revision"]));
    assert_eq!(required("Part"), Value::Null);
}

#[test]
fn all_words_are_listed() {
    let lists = all_words();
    let list = |what: &str| lists.iter().find(|(known, _)| *known == what).map(|(_, words)| words.clone());
    assert_eq!(list("a status").unwrap(), ["draft", "trial", "withdrawn"]);
    assert_eq!(list("a kind of damage").unwrap().len(), 9);
    assert_eq!(list("a cooling").unwrap(), ["air", "water"]);
    assert_eq!(list("a result").unwrap(), ["accepted", "rejected", "not done"]);
    assert_eq!(list("a position"), None);
    for (what, words) in &lists {
        assert!(what.len() > 3 && !words.is_empty());
        assert!(words.iter().all(|word| !word.is_empty()), "{what}");
    }
    // Every word reads as itself, and is in the schema.
    let texts: Vec<String> = Which::ALL.iter().map(|which| schema(*which, Draft::Draft2020).to_string()).collect();
    for word in lists.iter().flat_map(|(_, words)| words) {
        assert!(texts.iter().any(|text| text.contains(&format!("\"{word}\""))), "{word}");
    }
}

#[test]
fn empty_kits_and_defaults() {
    let (kit, findings) = kit::read("format = 1\n");
    assert_eq!(findings, []);
    assert_eq!(kit.unwrap().stock, kit::Stock::default());
    assert_eq!(spec::Damage::default().kind, None);
    assert!(run::read("").0.is_none());
}
