//! Every sentence that a welder reads, looked up by file and key in `templates/words`.
//!
//! A text may hold blanks in braces. `{name}` is filled by the caller; `{30 mm}`, `{50 to 65 °C}`, `{<50 °C}` (at most)
//! and `{>0.3 mm}` (at least) are quantities of the text itself, which come out in both systems of units. A key or a
//! blank that is missing comes out in square brackets, so that a test can see it and no sentence is lost in silence.

use crate::engine::{Job, wave};
use crate::reference::{Class, Polarity};
use crate::rules::metals;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::{LazyLock, OnceLock};

/// The files of the language `en`: name and text. One line a file; two files of one name are read as one.
const FILES: &[(&str, &str)] = &[
    ("advice", include_str!("../../templates/words/en/advice.toml")),
    ("assumed", include_str!("../../templates/words/en/assumed.toml")),
    ("card", include_str!("../../templates/words/en/card.toml")),
    ("changes", include_str!("../../templates/words/en/changes.toml")),
    ("decide", include_str!("../../templates/words/en/decide.toml")),
    ("drawings", include_str!("../../templates/words/en/drawings.toml")),
    ("figures", include_str!("../../templates/words/en/figures.toml")),
    ("gates", include_str!("../../templates/words/en/gates.toml")),
    ("hazards", include_str!("../../templates/words/en/hazards.toml")),
    ("identity", include_str!("../../templates/words/en/identity.toml")),
    ("ledger", include_str!("../../templates/words/en/ledger.toml")),
    ("qualification", include_str!("../../templates/words/en/qualification.toml")),
    ("questions", include_str!("../../templates/words/en/questions.toml")),
    ("reasons", include_str!("../../templates/words/en/reasons.toml")),
    ("record", include_str!("../../templates/words/en/record.toml")),
    ("sections", include_str!("../../templates/words/en/sections.toml")),
    ("steps", include_str!("../../templates/words/en/steps.toml")),
    ("steps", include_str!("../../templates/words/en/steps-other.toml")),
    ("values", include_str!("../../templates/words/en/values.toml")),
    ("workings", include_str!("../../templates/words/en/workings.toml")),
];

/// What to do in place of a refused repair.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Instead {
    /// Key of the step, without the digit of the section.
    pub id: String,
    /// What to do.
    pub text: String,
}

/// The words of a language, each file read when it is first asked for.
#[derive(Debug)]
pub struct Words {
    files: BTreeMap<&'static str, File>,
}

/// The texts of the files of one name, and what they say once they were read.
#[derive(Debug)]
struct File {
    name: &'static str,
    texts: Vec<&'static str>,
    read: OnceLock<Said>,
}

/// What the files of one name say, each text under `file/key`.
#[derive(Debug, Default)]
struct Said {
    entries: BTreeMap<String, String>,
    instead: BTreeMap<String, Vec<Instead>>,
    broken: Vec<String>,
}

impl File {
    fn said(&self) -> &Said {
        self.read.get_or_init(|| {
            let mut said = Said::default();
            for text in &self.texts {
                match toml::from_str::<toml::Table>(text) {
                    Ok(table) => said.take(self.name, &table),
                    Err(error) => said.broken.push(format!("{}: {error}", self.name)),
                }
            }
            said
        })
    }
}

impl Said {
    fn take(&mut self, path: &str, table: &toml::Table) {
        for (key, value) in table {
            let path = format!("{path}/{key}");
            match value {
                toml::Value::String(text) => {
                    self.entries.insert(path, text.clone());
                }
                toml::Value::Table(table) => self.take(&path, table),
                toml::Value::Array(_) => match value.clone().try_into() {
                    Ok(list) => {
                        self.instead.insert(path, list);
                    }
                    Err(error) => self.broken.push(format!("{path}: {error}")),
                },
                _ => self.broken.push(format!("{path}: neither a text nor a table")),
            }
        }
    }
}

impl Words {
    /// The files of a language.
    fn of(files: &[(&'static str, &'static str)]) -> Self {
        let mut words = Words { files: BTreeMap::new() };
        for (name, text) in files {
            let file = words.files.entry(name);
            file.or_insert_with(|| File { name, texts: Vec::new(), read: OnceLock::new() }).texts.push(text);
        }
        words
    }

    fn said(&self, file: &str) -> Option<&Said> {
        self.files.get(file).map(File::said)
    }

    /// What could not be read; empty in a released program, as a test shows.
    #[must_use]
    pub fn broken(&self) -> Vec<String> {
        self.files.values().flat_map(|file| file.said().broken.iter().cloned()).collect()
    }

    /// The text with this key, blanks unfilled; a key inside a table is written `table/key`.
    #[must_use]
    pub fn get(&self, file: &str, key: &str) -> Option<&str> {
        self.said(file)?.entries.get(&format!("{file}/{key}")).map(String::as_str)
    }

    /// The text with this key as it is said of a kind of metal: a key that ends in `@` and one of these marks comes before
    /// the plain one, the nearest mark first.
    #[must_use]
    pub fn get_marked(&self, marks: &[&str], file: &str, key: &str) -> Option<&str> {
        let own = marks.iter().find_map(|mark| self.get(file, &format!("{key}@{mark}")));
        own.or_else(|| self.get(file, key))
    }

    /// The text with this key, its blanks filled by `fill`; the key in square brackets where it is missing.
    #[must_use]
    pub fn text(&self, file: &str, key: &str, fill: &dyn Fn(&str) -> Option<String>) -> String {
        self.get(file, key).map_or_else(|| format!("[{file}/{key}]"), |text| filled(text, fill))
    }

    /// What to do in place of a repair that the gate with this key refuses, as it is said of a metal with these marks.
    #[must_use]
    pub fn instead(&self, marks: &[&str], gate: &str) -> &[Instead] {
        let keys = marks.iter().map(|mark| format!("/{gate}/instead@{mark}"));
        let mut keys = keys.chain(std::iter::once(format!("/{gate}/instead")));
        let of = |file: &str, key: &str| self.said(file)?.instead.get(&format!("{file}{key}"));
        let found = keys.find_map(|key| ["gates", "questions"].iter().find_map(|file| of(file, &key)));
        found.map_or(&[], Vec::as_slice)
    }

    /// All keys of a file.
    pub fn keys<'a>(&'a self, file: &str) -> impl Iterator<Item = &'a str> {
        let start = format!("{file}/");
        // Only the keys of the file are walked: they stand together.
        let from = start.clone();
        let entries = self.said(file).map(|said| said.entries.range(start..));
        entries.into_iter().flatten().map_while(move |(key, _)| key.strip_prefix(&from))
    }

    /// All texts of all files, with their keys.
    pub fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        let entries = self.files.values().flat_map(|file| &file.said().entries);
        entries.map(|(key, text)| (key.as_str(), text.as_str()))
    }
}

/// The marks of stainless steel, where it is welded to plain steel: its tools are kept apart and its tint is read.
fn with_stainless(job: &Job<'_>) -> &'static [&'static str] {
    let other = job.other.as_ref().and_then(|other| other.candidates.first());
    let stainless = other.is_some_and(|alloy| alloy.class == Class::Stainless);
    if stainless && metals::class(job).is_steel() { marks(Class::Stainless) } else { &[] }
}

/// The marks that a key may bear for the metal of a job, the nearest first: what it is within its class, then its class.
#[must_use]
pub fn marks_of(job: &Job<'_>) -> Vec<&'static str> {
    FINER
        .iter()
        .filter(|(_, is)| is(job))
        .map(|(mark, _)| *mark)
        .chain(with_stainless(job).iter().copied())
        .chain(marks(metals::class(job)).iter().copied())
        .collect()
}

/// Marks within a class, and what a metal with each is.
type Finer = (&'static str, fn(&Job<'_>) -> bool);
const FINER: [Finer; 7] = [
    ("duplex", |job| metals::of_family(job, "duplex")),
    // A magnet holds it, and it is no plain steel.
    ("magnetic-stainless", |job| metals::class(job) == Class::Stainless && metals::tested_by_magnet(job)),
    ("hardenable", metals::hardenable),
    ("grey-iron", |job| metals::of_family(job, "grey iron")),
    ("brass", |job| metals::alloys(job).any(metals::brass)),
    ("copper-nickel", |job| metals::of_family(job, "copper-nickel")),
    // The plain keys speak of AC on aluminium.
    ("on-ac", |job| metals::class(job) != Class::Aluminium && wave::of_job(job) == Polarity::AC),
];

/// The marks that a key may bear for a kind of metal, the nearest first; aluminium is what the plain keys speak of.
#[must_use]
pub fn marks(class: Class) -> &'static [&'static str] {
    match class {
        Class::Aluminium => &[],
        Class::CarbonSteel => &["carbon-steel", "steel", "ferrous", "other"],
        Class::LowAlloySteel => &["low-alloy-steel", "steel", "ferrous", "other"],
        Class::ToolSteel => &["tool-steel", "steel", "ferrous", "other"],
        Class::Stainless => &["stainless", "other"],
        Class::CastIron => &["cast-iron", "ferrous", "other"],
        Class::Copper => &["copper", "other"],
        Class::Nickel => &["nickel", "other"],
        Class::Titanium => &["titanium", "other"],
        Class::Magnesium => &["magnesium", "other"],
        Class::Zinc => &["zinc", "other"],
    }
}

/// The text with its blanks filled; a blank that nobody fills comes out in square brackets.
#[must_use]
pub fn filled(text: &str, fill: &dyn Fn(&str) -> Option<String>) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let Some((blank, after)) = after.split_once('}') else {
            out.push('{');
            rest = after;
            break;
        };
        match fill(blank) {
            Some(value) => out.push_str(&value),
            None => {
                out.push('[');
                out.push_str(blank);
                out.push(']');
            }
        }
        rest = after;
    }
    out.push_str(rest);
    out
}

/// The blanks of a text, in order.
pub fn blanks(text: &str) -> impl Iterator<Item = &str> {
    text.split('{').skip(1).filter_map(|part| part.split_once('}').map(|(blank, _)| blank))
}

/// The words of the language `en`.
#[must_use]
pub fn english() -> &'static Words {
    static WORDS: LazyLock<Words> = LazyLock::new(|| Words::of(FILES));
    &WORDS
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::FigureName;

    #[test]
    fn every_file_reads() {
        assert_eq!(english().broken(), Vec::<String>::new());
    }

    #[test]
    fn blanks_are_filled_and_missing_ones_show() {
        let fill = |blank: &str| (blank == "a").then(|| "1".to_owned());
        assert_eq!(filled("x {a} y {b}.", &fill), "x 1 y [b].");
        assert_eq!(filled("no blank", &fill), "no blank");
        assert_eq!(filled("open {a", &fill), "open {a");
        assert_eq!(english().text("steps", "no such key", &fill), "[steps/no such key]");
    }

    #[test]
    fn a_key_is_marked_for_a_kind_of_metal_that_there_is() {
        let classes = Class::ALL.iter().flat_map(|class| marks(*class)).copied();
        let known: Vec<&str> = classes.chain(FINER.iter().map(|(mark, _)| *mark)).collect();
        for (key, _) in english().all() {
            if let Some((plain, mark)) = key.split_once('@') {
                assert!(known.contains(&mark), "{key}: no metal has this mark");
                let known = plain.split_once('/').is_some_and(|(file, plain)| english().get(file, plain).is_some());
                assert!(known, "{key}: there is no plain {plain}");
            }
        }
    }

    #[test]
    fn every_figure_has_its_words() {
        for name in FigureName::ALL {
            for part in ["title", "why"] {
                let key = format!("{}/{part}", name.key());
                assert!(english().get("figures", &key).is_some_and(|text| !text.is_empty()), "figures.toml: {key}");
            }
        }
    }

    #[test]
    fn no_text_is_empty_or_broken_over_lines() {
        for (key, text) in english().all() {
            assert!(!text.trim().is_empty() || key.ends_with("/danger"), "{key} is empty");
            // Values and advice hold pieces of sentences, which may begin with a comma or end with a space.
            let piece = key.starts_with("values/") || key.starts_with("advice/");
            assert!((piece || text.trim() == text) && !text.contains(['\n', '\t']), "{key} has stray white space");
        }
    }
}
