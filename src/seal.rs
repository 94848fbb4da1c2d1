//! The seal: a digest that ties a sheet to its spec, its kit and its figures.
//!
//! SHA-256 over the canonical JSON (RFC 8785) of an object with the keys `figures`, `kit` and `spec`. Every number in it
//! is a string, so that any program in any language comes to the same bytes. The order of keys, comments, white space
//! and the way a table is written do not count; every value does, in the spelling that the sheet shows. The edition of
//! the tables and the version of the program are not sealed. A seal shows tampering; it is not a signature.

pub mod page;
pub mod parts;
pub mod received;

use crate::engine::{Figure, Figures, PassRow, Value as Worth};
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write;

/// The seal of a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seal {
    hex: String,
}

impl Seal {
    /// All 64 hex digits.
    #[must_use]
    pub fn hex(&self) -> &str {
        &self.hex
    }

    /// The first 12 hex digits in groups of four, as a sheet shows them: `5e0c 41b7 92da`.
    #[must_use]
    pub fn short(&self) -> String {
        let mut short = String::with_capacity(14);
        for (number, digit) in self.hex.chars().take(12).enumerate() {
            if number > 0 && number % 4 == 0 {
                short.push(' ');
            }
            short.push(digit);
        }
        short
    }
}

/// The canonical form of a file of the language, made once for a kit that many sheets share.
#[derive(Debug, Clone, PartialEq)]
pub struct Canonical(Value);

impl Canonical {
    /// The canonical form of a spec or a kit. A text that is not TOML has none and counts as no file at all; a sheet is
    /// never made from one.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        Canonical(toml::from_str::<toml::Table>(text).map_or(Value::Null, |table| table_value(&table)))
    }

    /// No file.
    #[must_use]
    pub fn none() -> Self {
        Canonical(Value::Null)
    }

    /// Its values by their dotted keys, as they are sealed; a list is one value.
    #[must_use]
    pub fn leaves(&self) -> BTreeMap<String, Value> {
        let mut leaves = BTreeMap::new();
        flatten("", &self.0, &mut leaves);
        leaves
    }

    /// SHA-256 of its canonical bytes, in hex; none for no file.
    #[must_use]
    pub fn digest(&self) -> Option<String> {
        (!self.0.is_null()).then(|| hex(&serde_json_canonicalizer::to_vec(&self.0).unwrap_or_default()))
    }
}

fn flatten(path: &str, value: &Value, out: &mut BTreeMap<String, Value>) {
    match value {
        Value::Object(table) => {
            for (key, value) in table {
                let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                flatten(&path, value, out);
            }
        }
        Value::Null => {}
        value => drop(out.insert(path.to_owned(), value.clone())),
    }
}

/// SHA-256 of bytes, in hex.
#[must_use]
pub fn hex(bytes: &[u8]) -> String {
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(bytes) {
        let _ = write!(hex, "{byte:02x}");
    }
    hex
}

/// Seals a sheet.
#[must_use]
pub fn seal(spec: &Canonical, kit: &Canonical, figures: &Figures) -> Seal {
    seal_of(spec, kit, &figures_value(figures))
}

/// Seals a spec, a kit and figures that are in their sealed form already, as [`figures_value`] gives them.
#[must_use]
pub fn seal_of(spec: &Canonical, kit: &Canonical, figures: &Value) -> Seal {
    let sealed = json!({ "figures": figures, "kit": kit.0, "spec": spec.0 });
    // Plain values of texts always have a canonical form.
    Seal { hex: hex(&serde_json_canonicalizer::to_vec(&sealed).unwrap_or_default()) }
}

/// Figures in the form in which they are sealed: by name, every number a text.
#[must_use]
pub fn figures_value(figures: &Figures) -> Value {
    Value::Object(figures.iter().map(|(name, figure)| (name.key().to_owned(), figure_value(figure))).collect())
}

fn table_value(table: &toml::Table) -> Value {
    let entries = table.iter().map(|(key, value)| (key.clone(), toml_value(value)));
    // A table or list that is left out and an empty one mean the same.
    Value::Object(entries.filter(|(_, value)| !is_empty(value)).collect())
}

fn is_empty(value: &Value) -> bool {
    value.as_object().is_some_and(Map::is_empty) || value.as_array().is_some_and(Vec::is_empty)
}

fn toml_value(value: &toml::Value) -> Value {
    match value {
        toml::Value::String(text) => Value::String(text.replace("\r\n", "\n").trim().to_owned()),
        toml::Value::Integer(number) => Value::String(number.to_string()),
        toml::Value::Float(number) => number_value(*number),
        toml::Value::Boolean(flag) => Value::Bool(*flag),
        toml::Value::Datetime(date) => Value::String(date.to_string()),
        toml::Value::Array(list) => Value::Array(list.iter().map(toml_value).collect()),
        toml::Value::Table(table) => table_value(table),
    }
}

/// A number as a text: the shortest decimal that reads back as the same number, without an exponent. It is for programs,
/// so it passes by the formatter of what people read.
fn number_value(number: f64) -> Value {
    // A zero has no sign.
    Value::String(if number == 0.0 { "0".to_owned() } else { number.to_string() })
}

fn figure_value(figure: &Figure) -> Value {
    let mut object = Map::new();
    match &figure.value {
        Worth::Word(word) => drop(object.insert("value".to_owned(), json!(word))),
        Worth::Flag(flag) => drop(object.insert("value".to_owned(), json!(flag))),
        Worth::Number(number) => drop(object.insert("value".to_owned(), number_value(*number))),
        Worth::Range { low, high, set } => {
            for (key, number) in [("low", low), ("high", high), ("set", set)] {
                object.insert(key.to_owned(), number_value(*number));
            }
        }
    }
    if let Some(unit) = figure.name.unit() {
        object.insert("unit".to_owned(), json!(unit));
    }
    for (key, number) in [("minimum", figure.minimum), ("maximum", figure.maximum)] {
        object.extend(number.map(|number| (key.to_owned(), number_value(number))));
    }
    if let Some(because) = &figure.because {
        object.insert("because".to_owned(), json!(because.trim()));
    }
    if !figure.alternatives.is_empty() {
        object.insert("alternatives".to_owned(), json!(figure.alternatives));
    }
    if !figure.passes.is_empty() {
        object.insert("rows".to_owned(), figure.passes.iter().map(pass_value).collect());
    }
    if !figure.parts.is_empty() {
        let parts = figure.parts.iter().map(|(key, number, unit)| json!([key, number_value(*number), unit]));
        object.insert("parts".to_owned(), parts.collect());
    }
    Value::Object(object)
}

fn pass_value(row: &PassRow) -> Value {
    let amps = |three: &[f64; 3]| -> Value { three.iter().map(|number| number_value(*number)).collect() };
    json!({
        "number": row.number.to_string(),
        "side": row.side.to_string(),
        "kind": row.kind.word(),
        "pool": number_value(row.pool),
        "deposit": number_value(row.deposit),
        "length": row.length.map(number_value),
        "fill_to": row.fill_to.map(number_value),
        "start": amps(&row.start),
        "running": amps(&row.running),
        "warm": amps(&row.warm),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::FigureName;

    const SPEC: &str =
        "format = 1\n[procedure]\nnumber = \"HW-1\"\n[weld.set]\nbalance = { value = \"70 % EN\", because = \"x\" }\n";

    fn figures(amps: f64) -> Figures {
        let figure = Figure {
            name: FigureName::Amperage,
            value: Worth::Range { low: 165.0, high: 200.0, set: amps },
            basis: None,
            weakest: None,
            working: Vec::new(),
            uses: Vec::new(),
            minimum: None,
            maximum: None,
            alternatives: Vec::new(),
            ranking: Vec::new(),
            passes: Vec::new(),
            parts: Vec::new(),
            limits: Vec::new(),
            rulings: Vec::new(),
            because: None,
            worked_out: None,
        };
        Figures::from([(FigureName::Amperage, figure)])
    }

    fn of(text: &str) -> Seal {
        seal(&Canonical::of(text), &Canonical::none(), &figures(195.0))
    }

    #[test]
    fn the_canonical_bytes_are_those_that_another_program_seals() {
        // Worked out with Python: json.dumps(sort_keys=True, separators=(",", ":")), then hashlib.sha256.
        assert_eq!(of(SPEC).hex(), "ea53b5b324ec3c4766ee5d2fa73b34a5a2253ff122e32d1a8a9246c6bee32b0c");
        assert_eq!(of(SPEC).short(), "ea53 b5b3 24ec");
    }

    #[test]
    fn order_comments_and_ways_of_writing_do_not_count() {
        let other = "# a comment\r\nformat = 0x1\r\n[weld.set.balance]\r\nbecause = ' x '\r\nvalue   = '70 % EN'\r\n\
            [procedure]\r\nnumber = 'HW-1' # here\r\n[inspection]\r\nmethods = []\r\n";
        assert_eq!(of(SPEC), of(other));
        assert_eq!(of(SPEC), of(&format!("\u{feff}{SPEC}")));
    }

    #[test]
    fn every_value_counts() {
        let sealed = of(SPEC);
        for (from, to) in [("HW-1", "HW-2"), ("70 %", "71 %"), ("\"x\"", "\"y\""), ("format = 1", "format = 2")] {
            assert_ne!(sealed, of(&SPEC.replace(from, to)), "{from}");
        }
        let spec = Canonical::of(SPEC);
        assert_ne!(sealed, seal(&spec, &Canonical::none(), &figures(196.0)));
        assert_ne!(sealed, seal(&spec, &Canonical::of("format = 1\n"), &figures(195.0)));
        assert_ne!(sealed, seal(&spec, &Canonical::none(), &Figures::new()));
    }
}
