//! The words of the sheet and the places that ask for them name each other: no line of a working, no reason and no
//! part of a figure is without its words.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::reference::search::constant;
use interpass::sheet::words::{blanks, english};
use std::collections::BTreeSet;
use std::path::Path;

/// Keys of parts of figures, of defaults and of numbers that are read and never printed as a line.
const NO_LINE: &[&str] = &[
    "beyond-mark",
    "depth-1",
    "depth-2",
    "full-length-1",
    "full-length-2",
    "left-1",
    "measure-at",
    "natural-days",
    "per-plane",
    "proof-before",
    "proof-left",
    "proof-share",
    "range-high",
    "range-low",
    "run-out-1",
    "run-out-2",
    "tensile-before",
    "tensile-share",
    "width-1",
    "width-2",
];

/// The source of the engine without its tests.
fn engine() -> Vec<(String, String)> {
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src/engine")];
    let mut files = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            let code = text.split("#[cfg(test)]").next().unwrap().to_owned();
            files.push((path.file_name().unwrap().to_string_lossy().into_owned(), code));
        }
    }
    assert!(files.len() > 10);
    files
}

/// The literal that a text begins with, if it begins with one.
fn literal(text: &str) -> Option<&str> {
    text.trim_start().strip_prefix('"')?.split('"').next()
}

/// Keys of the words that calls of this method name.
fn named_by<'t>(text: &'t str, method: &str) -> Vec<&'t str> {
    let call = format!(".{method}(");
    text.split(call.as_str()).skip(1).filter_map(literal).collect()
}

#[test]
fn every_line_of_a_working_has_its_words() {
    let methods = [
        "stated",
        "assumed",
        "kit",
        "row",
        "row_range",
        "small_row",
        "constant",
        "small_constant",
        "step",
        "step_range",
        "adjust",
        "ceiling",
        "check",
    ];
    let words = english();
    let mut seen = 0;
    for (file, text) in engine() {
        for method in methods {
            for key in named_by(&text, method) {
                seen += 1;
                assert!(words.get("workings", key).is_some(), "{file}: workings.toml has no {key}");
            }
        }
        for remark in text.split(".remark(").skip(1) {
            let Some(key) = remark.split_once(',').and_then(|(_, rest)| literal(rest)) else { continue };
            seen += 1;
            assert!(words.get("workings", key).is_some(), "{file}: workings.toml has no {key}");
        }
        for reason in text.split("Reason { words:").skip(1) {
            let Some(key) = literal(reason) else { continue };
            seen += 1;
            assert!(words.get("reasons", key).is_some(), "{file}: reasons.toml has no {key}");
        }
    }
    assert!(seen > 150, "only {seen} keys were found: the calls are written otherwise now");
}

#[test]
fn every_key_in_the_engine_is_known_somewhere() {
    let words = english();
    for (file, text) in engine() {
        for key in text.split('"').skip(1).step_by(2) {
            let kebab = key.contains('-')
                && key.starts_with(|c: char| c.is_ascii_lowercase())
                && key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
            if !kebab || NO_LINE.contains(&key) || constant(key).is_some() {
                continue;
            }
            let known = ["workings", "reasons", "assumed"].iter().any(|name| words.get(name, key).is_some());
            // Words of the tables that are asked for by name: a group of metals, a variant of heat.
            let of_table = ["heat-treatable", "bake-out", "heat-flow"].contains(&key);
            let of_test = ["verdict", "reason"]
                .iter()
                .any(|table| words.get("qualification", &format!("{table}/{key}")).is_some());
            assert!(known || of_table || of_test, "{file}: nothing says what {key} is");
        }
    }
}

#[test]
fn every_function_in_a_formula_is_spelt_out() {
    let mut seen = 0;
    for path in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("specs")).unwrap() {
        let path = path.unwrap().path();
        if !path.to_string_lossy().ends_with(".repair.toml") {
            continue;
        }
        let (spec, _) = interpass::spec::read(&std::fs::read_to_string(&path).unwrap());
        let spec = spec.unwrap();
        let (job, _) = interpass::engine::job::check(&spec, None);
        for figure in interpass::engine::work_out(&job).figures.values() {
            for line in &figure.working {
                for before in line.formula.split('(').rev().skip(1) {
                    let name: String = before
                        .chars()
                        .rev()
                        .take_while(|c| c.is_ascii_alphanumeric() || *c == '_')
                        .collect::<Vec<char>>()
                        .into_iter()
                        .rev()
                        .collect();
                    if name.len() > 2 {
                        seen += 1;
                        let spelt = english().get("values", &format!("formula/{name}"));
                        assert!(spelt.is_some(), "values.toml: formula has no {name}, of {}", line.formula);
                    }
                }
            }
        }
    }
    assert!(seen > 50);
}

#[test]
fn no_words_are_left_over() {
    let words = english();
    let engine: String = engine().into_iter().map(|(_, text)| text).collect();
    for file in ["workings", "reasons"] {
        for key in words.keys(file) {
            let constants = constant(key).is_some() || key.starts_with("joint-factor");
            assert!(constants || engine.contains(&format!("\"{key}\"")), "{file}.toml: nobody asks for {key}");
        }
    }
    let sheet = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/sheet");
    let mut code = String::new();
    for folder in [sheet.clone(), sheet.join("card")] {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                code.push_str(&std::fs::read_to_string(path).unwrap());
            }
        }
    }
    let mut missing: BTreeSet<String> = BTreeSet::new();
    for key in words.keys("steps") {
        let key = key.split('@').next().unwrap();
        let (id, case) = key.split_once('/').map_or((key, None), |(id, case)| (id, Some(case)));
        let step = id.split_once('.').map_or(id, |(_, step)| step);
        // Steps of what is fitted are asked for by the word of the language.
        let fitted = step.strip_prefix("take-off-").unwrap_or(step);
        let of_language = interpass::spec::Fitted::ALL.iter().any(|word| word.word().replace(' ', "-") == fitted);
        // Passes are asked for by the word of their kind.
        let of_pass = ["root", "fill", "cap", "pad"].contains(&step);
        let asked = code.contains(&format!("\"{step}\"")) || of_language || of_pass;
        let case_asked = case.is_none_or(|case| code.contains(&format!("\"{case}\"")));
        if !asked || !case_asked {
            missing.insert(key.to_owned());
        }
    }
    assert!(missing.is_empty(), "steps.toml: nobody asks for {missing:?}");
}

#[test]
fn every_blank_of_a_step_is_closed() {
    for (key, text) in english().all() {
        assert_eq!(text.matches('{').count(), text.matches('}').count(), "{key}");
        for blank in blanks(text) {
            assert!(!blank.is_empty() && blank.len() < 32, "{key}: {blank}");
        }
    }
}
