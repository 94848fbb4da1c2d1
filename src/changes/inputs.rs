//! Inputs: the keys of two texts of one procedure, set against each other by what they mean and not by how they are
//! spelt; and one text with a key taken from the other.

use super::shown;
use crate::spec::Spec;
use crate::spec::read::Read;
use crate::spec::shape::{Shape, TableShape};
use std::collections::BTreeMap;
use toml::{Table, Value};

/// A key that changed in meaning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Input {
    /// Dotted key: `metal.thickness`, `weld.set.preheat`.
    pub key: String,
    /// As it was, in the author's spelling with the other system beside it; none where it was left out.
    pub old: Option<String>,
    /// As it is.
    pub new: Option<String>,
}

/// Keys of the paper that every revision changes; its heading says them.
const HEADING: [&str; 4] = ["format", "procedure.number", "procedure.revision", "procedure.date"];
/// Why a revision was made stands in its heading too.
const REASON: &str = "procedure.reason";

impl Input {
    /// Whether it can move a figure: the words on the paper and the record of a test cannot.
    #[must_use]
    pub fn can_move(&self) -> bool {
        !["procedure.", "qualification.", "approval.", "step"].iter().any(|start| self.key.starts_with(start))
    }
}

/// A leaf with what it looks like; none for a key that the language does not have.
type Leaves = BTreeMap<String, (Value, Option<Shape>)>;

fn table(text: &str) -> Table {
    text.strip_prefix('\u{feff}').unwrap_or(text).parse().unwrap_or_default()
}

/// All leaves of a table by their dotted keys, in the order of the keys of the language where it has them.
fn leaves(table: &Table, shape: Option<&'static TableShape>, path: &str, out: &mut Leaves) {
    for (key, value) in table {
        let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
        let own = shape.and_then(|shape| shape.field(key)).map(|field| (field.shape)());
        match (value, &own) {
            (Value::Table(inner), Some(Shape::Setting(_))) => {
                // A value alone and a value with its reason are one key; the reason is another.
                let reason = inner.get("because").cloned();
                out.insert(path.clone(), (inner.get("value").cloned().unwrap_or(value.clone()), own));
                out.extend(reason.map(|reason| (format!("{path}.because"), (reason, Some(Shape::Text)))));
            }
            (Value::Table(inner), Some(Shape::Table(own))) => leaves(inner, Some(own), &path, out),
            (Value::Table(inner), _) => leaves(inner, None, &path, out),
            _ => drop(out.insert(path, (value.clone(), own))),
        }
    }
}

fn all(text: &str) -> Leaves {
    let root = match Spec::shape() {
        Shape::Table(root) => Some(root),
        _ => None,
    };
    let mut out = Leaves::new();
    leaves(&table(text), root, "", &mut out);
    out
}

/// The order of the language: tables and keys as they are declared.
fn place(key: &str) -> Vec<usize> {
    let mut shape = Spec::shape();
    let mut place = Vec::new();
    for part in key.split('.') {
        let Shape::Table(table) = shape else { break };
        place.push(table.fields.iter().position(|field| field.key == part).unwrap_or(usize::MAX));
        let Some(field) = table.field(part) else { break };
        shape = (field.shape)();
    }
    place
}

/// The keys that changed in meaning, and those that are spelt otherwise and mean the same.
pub(super) fn differences(old: &str, new: &str) -> (Vec<Input>, Vec<String>) {
    let (old, new) = (all(old), all(new));
    let mut keys: Vec<&String> = old.keys().chain(new.keys()).collect();
    keys.sort_by_key(|key| (place(key), (*key).clone()));
    keys.dedup();
    let (mut changed, mut respelt) = (Vec::new(), Vec::new());
    for key in keys.into_iter().filter(|key| !HEADING.contains(&key.as_str()) && *key != REASON) {
        let (a, b) = (old.get(key), new.get(key));
        let meaning = |leaf: Option<&(Value, Option<Shape>)>| {
            leaf.and_then(|(value, shape)| shown::meaning(key, value, shape.as_ref()))
        };
        if meaning(a) != meaning(b) {
            let text =
                |leaf: Option<&(Value, Option<Shape>)>| leaf.map(|(value, shape)| shown::text(value, shape.as_ref()));
            changed.push(Input { key: key.clone(), old: text(a), new: text(b) });
        } else if a.map(|(value, _)| value) != b.map(|(value, _)| value) {
            respelt.push(key.clone());
        }
    }
    (changed, respelt)
}

/// The first text with one key as it stands in the second, or left out where it is left out there.
pub(super) fn with(text: &str, other: &str, key: &str) -> Option<String> {
    let (mut own, other) = (table(text), table(other));
    let path: Vec<&str> = key.split('.').collect();
    let (last, tables) = path.split_last()?;
    let taken =
        tables.iter().try_fold(&other, |table, part| table.get(*part)?.as_table()).and_then(|table| table.get(*last));
    let mut at = &mut own;
    for part in tables {
        at = at.entry((*part).to_owned()).or_insert_with(|| Value::Table(Table::new())).as_table_mut()?;
    }
    match taken {
        Some(value) => drop(at.insert((*last).to_owned(), value.clone())),
        None => drop(at.remove(*last)),
    }
    toml::to_string(&own).ok()
}
