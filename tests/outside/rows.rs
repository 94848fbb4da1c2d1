//! Rows of the files of outside values, and what came of holding the engine against one.

use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;

/// One value from outside.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Check {
    pub(crate) id: String,
    pub(crate) quantity: String,
    pub(crate) inputs: BTreeMap<String, toml::Value>,
    pub(crate) expected: f64,
    pub(crate) unit: String,
    pub(crate) tolerance: f64,
    pub(crate) tolerance_kind: String,
    /// Tolerance, relative, when the program is fed from its own tables.
    pub(crate) own: Option<f64>,
    pub(crate) source: String,
    pub(crate) locator: String,
    pub(crate) basis: String,
}

impl Check {
    /// All numbers of an input, in its printed unit: `3.2 mm x 1000 mm` gives both.
    pub(crate) fn numbers(&self, key: &str) -> Vec<f64> {
        match self.inputs.get(key) {
            Some(toml::Value::Float(number)) => vec![*number],
            Some(toml::Value::Integer(number)) => vec![f64::from(i32::try_from(*number).expect("a small number"))],
            Some(toml::Value::String(text)) => {
                text.split(|c: char| c.is_whitespace() || c == '(').filter_map(|word| word.parse().ok()).collect()
            }
            _ => panic!("{}: no input {key}", self.id),
        }
    }

    /// The first number of an input.
    pub(crate) fn number(&self, key: &str) -> f64 {
        *self.numbers(key).first().unwrap_or_else(|| panic!("{}: no number in {key}", self.id))
    }

    /// Whether an input is there.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.inputs.contains_key(key)
    }

    /// Passes where the answer lies within the row's own tolerance.
    pub(crate) fn judge(&self, answer: f64) -> Outcome {
        let off = match self.tolerance_kind.as_str() {
            "rel" => (answer / self.expected - 1.0).abs(),
            "abs" => (answer - self.expected).abs(),
            other => panic!("{}: tolerance {other}", self.id),
        };
        // A tolerance of nothing still allows the rounding of the last digit.
        Outcome::new(
            &self.id,
            off <= self.tolerance.max(1e-12),
            format!("{answer} {}, not {}", self.unit, self.expected),
        )
    }

    /// The same for an answer out of the program's own tables.
    pub(crate) fn judge_own(&self, answer: f64) -> Outcome {
        let off = (answer / self.expected - 1.0).abs();
        let tolerance = self.own.unwrap_or_else(|| panic!("{}: no tolerance for own tables", self.id));
        Outcome::new(
            &format!("{}@own", self.id),
            off <= tolerance,
            format!("{answer} {}, not {}", self.unit, self.expected),
        )
    }
}

/// What came of one check.
#[derive(Debug, Clone)]
pub(crate) struct Outcome {
    pub(crate) id: String,
    pub(crate) passed: bool,
    pub(crate) figures: String,
}

impl Outcome {
    pub(crate) fn new(id: &str, passed: bool, figures: String) -> Outcome {
        Outcome { id: id.to_owned(), passed, figures }
    }
}

/// A file with one list of rows.
pub(crate) fn read<T: DeserializeOwned>(text: &str, table: &str) -> Vec<T> {
    let mut file: BTreeMap<String, Vec<T>> = toml::from_str(text).expect("rows");
    file.remove(table).expect("the table")
}

/// Which checks a group answers: those of the list of what is not built are left out.
pub(crate) fn not_yet() -> BTreeMap<String, String> {
    let lines = include_str!("not-yet.txt").lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
    lines
        .map(|line| {
            let (id, reason) = line.split_once(": ").unwrap_or_else(|| panic!("no reason: {line}"));
            (id.to_owned(), reason.to_owned())
        })
        .collect()
}
