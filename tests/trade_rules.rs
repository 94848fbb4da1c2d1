//! The list of the trade's rules holds: each has its place in the code, and a test or a demo sheet that shows it.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::sheet::{Block, Sheet};
use interpass::{engine, rules, sheet};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct List {
    rule: Vec<Rule>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Rule {
    id: String,
    rule: String,
    place: Option<String>,
    test: Option<String>,
    check: Option<String>,
    spec: Option<String>,
    kit: Option<String>,
    at: Option<String>,
    words: Option<String>,
    metal: Option<String>,
    open: Option<String>,
}

impl Rule {
    fn of_another_metal(&self) -> bool {
        self.metal.is_some()
    }
}

/// Rules that nothing shows yet; one that gets its place and its test leaves this list.
const OPEN: &[&str] = &[];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf()
}

fn text(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn list() -> Vec<Rule> {
    toml::from_str::<List>(&text("tests/trade_rules.toml")).expect("the list reads").rule
}

/// Whether a file holds an item: a function, constant, type or key of that name.
fn holds(path: &str, item: &str) -> bool {
    let text = text(path);
    let is_item = |line: &str| {
        let line = line.trim_start();
        let line = line.strip_prefix("pub ").or(line.strip_prefix("pub(super) ")).unwrap_or(line);
        ["fn ", "const fn ", "const ", "struct ", "enum "].iter().any(|kind| {
            let rest = line.strip_prefix(kind).and_then(|rest| rest.strip_prefix(item));
            rest.is_some_and(|rest| !rest.starts_with(|c: char| c.is_alphanumeric() || c == '_'))
        })
    };
    let is_key = |line: &str| {
        let quoted = format!("\"{item}\"");
        let bare = line.strip_prefix(item).is_some_and(|rest| rest.trim_start().starts_with('='));
        line.contains(&quoted) || bare || line.trim() == format!("[{item}]")
    };
    if path.ends_with(".rs") {
        text.lines().any(|line| is_item(line) || line.contains(&format!("\"{item}\"")))
    } else {
        text.lines().any(is_key)
    }
}

/// What a sheet says, by the id of the step, hold or caution, by `table/KEY`, and by `text` and `alert` together.
fn said(sheet: &Sheet) -> BTreeMap<String, String> {
    let mut said: BTreeMap<String, String> = BTreeMap::new();
    let mut put = |at: String, text: &str| {
        let entry = said.entry(at).or_default();
        entry.push_str(text);
        entry.push('\n');
    };
    for block in sheet.sections.iter().flat_map(|section| &section.blocks) {
        match block {
            Block::Step(step) => put(step.id.clone(), &step.action.text),
            Block::Hold(hold) => put(hold.id.clone(), &hold.criterion.text),
            Block::Caution(caution) => put(caution.id.clone(), &format!("{} {}", caution.hurts, caution.action)),
            Block::Text { text, .. } => put("text".to_owned(), &text.text),
            Block::Alert { items, .. } => items.iter().for_each(|item| put("alert".to_owned(), &item.text)),
            Block::Table(table) => {
                for row in &table.rows {
                    let cells: Vec<&str> = row.iter().map(|cell| cell.text.as_str()).collect();
                    put(format!("table/{}", table.key), &cells.join(" | "));
                }
            }
            Block::Prose { .. } | Block::List { .. } | Block::Drawing(_) => {}
        }
    }
    said
}

fn build(spec: &str, kit: &str) -> BTreeMap<String, String> {
    let (spec, findings) = interpass::spec::read(&text(&format!("specs/{spec}.repair.toml")));
    let spec = spec.unwrap_or_else(|| panic!("{findings:?}"));
    let (kit, findings) = interpass::kit::read(&text(&format!("specs/kits/{kit}.kit.toml")));
    let kit = kit.unwrap_or_else(|| panic!("{findings:?}"));
    let (job, _) = engine::job::check(&spec, Some(&kit));
    let worked = engine::work_out(&job);
    said(&sheet::build(&job, &worked, &rules::judge(&job, &worked), ""))
}

#[test]
fn every_rule_stands_once_in_words_of_its_own() {
    let rules = list();
    let mut ids = BTreeSet::new();
    for rule in &rules {
        assert!(ids.insert(rule.id.as_str()), "{} stands twice", rule.id);
        assert!(rule.rule.ends_with('.') && rule.rule.len() > 6, "{}: {}", rule.id, rule.rule);
    }
    let sections: BTreeSet<&str> = rules.iter().filter_map(|rule| rule.id.split('/').next()).collect();
    let wanted = [
        "safety-first",
        "prepare",
        "stop-hole",
        "set-up",
        "weld",
        "oil",
        "stop-and-scrap",
        "between-and-after",
        "finish",
        "heat",
        "amperage",
        "filler-settings-lens",
        "place",
        "other-metals",
    ];
    assert_eq!(sections, BTreeSet::from(wanted));
    assert!(rules.len() >= 180, "only {} rules", rules.len());
}

#[test]
fn every_rule_has_a_place_in_the_code_and_something_that_shows_it() {
    let mut open = Vec::new();
    for rule in list() {
        if rule.open.is_some() {
            open.push(rule.id.clone());
            assert!(rule.place.is_none() && rule.test.is_none() && rule.spec.is_none(), "{}: open or not?", rule.id);
            continue;
        }
        if rule.of_another_metal() {
            continue;
        }
        let place = rule.place.as_deref().unwrap_or_else(|| panic!("{} has no place", rule.id));
        let (path, item) = place.split_once('#').expect("file#item");
        assert!(path.starts_with("src/") || path.starts_with("templates/"), "{}: {path}", rule.id);
        assert!(holds(path, item), "{}: {path} holds no {item}", rule.id);
        assert!(rule.test.is_some() || rule.check.is_some() || rule.spec.is_some(), "nothing shows {}", rule.id);
    }
    assert_eq!(open, OPEN);
}

#[test]
fn every_test_of_the_list_exists_and_is_run() {
    let passed: BTreeSet<String> = text("tests/outside/pass.txt").lines().map(str::to_owned).collect();
    for rule in list() {
        if let Some(test) = &rule.test {
            let (path, name) = test.split_once("::").expect("file::name");
            let text = text(path);
            let at = text.find(&format!("fn {name}(")).unwrap_or_else(|| panic!("{}: no {name} in {path}", rule.id));
            let before = text[..at].trim_end();
            assert!(before.ends_with("#[test]") || text.contains("proptest!"), "{}: {name} is no test", rule.id);
            assert!(!before.ends_with("#[ignore]"), "{}: {name} is not run", rule.id);
        }
        if let Some(check) = &rule.check {
            assert!(passed.contains(check), "{}: {check} is no outside check that passes", rule.id);
        }
    }
}

#[test]
fn every_demo_sheet_of_the_list_says_the_rule() {
    let mut built: BTreeMap<(String, String), BTreeMap<String, String>> = BTreeMap::new();
    let mut seen = 0;
    let mut silent = Vec::new();
    for rule in list() {
        let Some(spec) = rule.spec else {
            assert!(rule.at.is_none() && rule.words.is_none(), "{}: words of which sheet?", rule.id);
            continue;
        };
        let kit = rule.kit.unwrap_or_else(|| "harbour".to_owned());
        let said = built.entry((spec.clone(), kit.clone())).or_insert_with(|| build(&spec, &kit));
        let at = rule.at.unwrap_or_else(|| panic!("{}: where?", rule.id));
        let words = rule.words.unwrap_or_default();
        match said.get(&at) {
            Some(text) if text.contains(&words) => {}
            Some(text) => silent.push(format!("{}: {spec} {at} does not say `{words}`: {text}", rule.id)),
            None => silent.push(format!("{}: {spec} has no {at}", rule.id)),
        }
        seen += 1;
    }
    assert!(silent.is_empty(), "{}", silent.join("\n"));
    assert!(seen >= 80, "only {seen} rules are shown by a sheet");
}
