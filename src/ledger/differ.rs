//! What differs between what was sealed and what is there now: values of the spec, figures.

use super::entry::Entry;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;

/// One value that changed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// Dotted key of the spec, or name of the figure.
    pub key: String,
    /// As it was sealed; none where there was none.
    pub old: Option<Value>,
    /// As it is; none where it went.
    pub new: Option<Value>,
}

/// Values by key as they stood after an entry.
pub type Values = BTreeMap<String, Value>;

/// What changed from one set of values to another, by key.
#[must_use]
pub fn changes(old: &Values, new: &Values) -> Vec<Change> {
    let mut keys: Vec<&String> = old.keys().chain(new.keys()).collect();
    keys.sort();
    keys.dedup();
    let change = |key: &String| Change { key: key.clone(), old: old.get(key).cloned(), new: new.get(key).cloned() };
    keys.into_iter().filter(|key| old.get(*key) != new.get(*key)).map(change).collect()
}

/// Changes as an entry holds them: null for what went.
pub(super) fn lean(old: &Values, new: &Values) -> BTreeMap<String, Value> {
    changes(old, new).into_iter().map(|change| (change.key, change.new.unwrap_or(Value::Null))).collect()
}

/// What an entry leaves, from what the one before it left.
fn fold(values: &mut Values, delta: &BTreeMap<String, Value>) {
    for (key, value) in delta {
        if value.is_null() {
            values.remove(key);
        } else {
            values.insert(key.clone(), value.clone());
        }
    }
}

/// Spec and figures as sealed by the last of these entries of one number.
pub(super) fn sealed<'a>(entries: impl Iterator<Item = &'a Entry>) -> (Values, Values) {
    let (mut spec, mut figures) = (Values::new(), Values::new());
    for entry in entries {
        fold(&mut spec, &entry.spec);
        fold(&mut figures, &entry.figures);
    }
    (spec, figures)
}

/// The keys of the paper, which every revision changes and which say nothing of the job.
const PAPER: [&str; 6] =
    ["format", "procedure.number", "procedure.revision", "procedure.date", "procedure.reason", "procedure.status"];

/// Whether a key is one of the paper.
pub(super) fn is_paper(key: &str) -> bool {
    PAPER.contains(&key)
}
