//! What the ledger holds, in words: values of the spec and figures, as they were sealed and as they are.

use super::show::{self, figure_text};
use super::words::english;
use crate::engine::{Figure, FigureName, PassKind, Value as Worth};
use crate::ledger::Change;
use crate::units::System;
use serde_json::Value;
use std::collections::BTreeMap;

/// Changes that are told; how many more there are is said.
const TOLD: usize = 6;

/// A text of `ledger.toml`, its blanks filled by name.
#[must_use]
pub fn text(key: &str, args: &[(&str, &str)]) -> String {
    let fill = |blank: &str| args.iter().find(|(name, _)| *name == blank).map(|(_, value)| (*value).to_owned());
    english().text("ledger", key, &fill)
}

/// Changes one by one, the last words saying how many more there are. Sizes of the settings are in `system` first.
#[must_use]
pub fn told(changes: &[Change], system: System) -> Vec<String> {
    let mut ordered: Vec<&Change> = changes.iter().collect();
    // Figures in the order of the sheet: amperage first.
    ordered.sort_by_key(|change| FigureName::from_key(&change.key));
    let mut told: Vec<String> = ordered.into_iter().take(TOLD).map(|change| one(change, system)).collect();
    if let Some(more) = changes.len().checked_sub(TOLD).filter(|more| *more > 0) {
        told.push(text("more", &[("count", &more.to_string())]));
    }
    told
}

/// One change: `thickness 6 mm, now 8 mm`.
#[must_use]
pub fn one(change: &Change, system: System) -> String {
    let figure = FigureName::from_key(&change.key);
    let name = match figure {
        Some(name) => short_title(name),
        None => show::plain_name(change.key.strip_suffix(".value").unwrap_or(&change.key)),
    };
    let (old, new) = match figure {
        Some(name) => figures(name, change.old.as_ref(), change.new.as_ref(), system),
        None => (change.old.as_ref().map(plain), change.new.as_ref().map(plain)),
    };
    let key = match (&old, &new) {
        (None, _) => "new",
        (_, None) => "gone",
        _ => "changed",
    };
    let (old, new) = (old.unwrap_or_default(), new.unwrap_or_default());
    text(key, &[("name", &name), ("old", &old), ("new", &new)])
}

/// The short title of a figure, as `changes` prints it.
fn short_title(name: FigureName) -> String {
    let short = english().get("changes", &format!("figure/{}", name.key())).map(str::to_owned);
    short.unwrap_or_else(|| english().text("figures", &format!("{}/title", name.key()), &|_| None))
}

/// A value of a spec, as its author wrote it.
fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.split_whitespace().collect::<Vec<_>>().join(" "),
        Value::Bool(flag) => text(if *flag { "yes" } else { "no" }, &[]),
        Value::Array(list) => list.iter().map(plain).collect::<Vec<_>>().join(", "),
        Value::Object(table) => table.values().map(plain).collect::<Vec<_>>().join(" "),
        other => other.to_string(),
    }
}

/// A figure as it was and as it is, in words that differ.
fn figures(
    name: FigureName,
    old: Option<&Value>,
    new: Option<&Value>,
    system: System,
) -> (Option<String>, Option<String>) {
    let figure = |value: Option<&Value>| value.and_then(|value| unsealed(name, value));
    let (a, b) = (figure(old), figure(new));
    let set = |figure: &Option<Figure>| figure.as_ref().map(|figure| figure_text(figure, system).0);
    let ranged = |figure: &Option<Figure>| {
        figure.as_ref().map(|figure| {
            let (set, range) = figure_text(figure, system);
            if range.is_empty() { set } else { format!("{set} ({range})") }
        })
    };
    for words in [[set(&a), set(&b)], [ranged(&a), ranged(&b)]] {
        let [a, b] = words;
        if a != b && a.is_some() == old.is_some() && b.is_some() == new.is_some() {
            return (a, b);
        }
    }
    match (old, new) {
        (Some(old), Some(new)) => part(name, old, new),
        (old, new) => (old.map(plain), new.map(plain)),
    }
}

/// A figure from its sealed form, as far as its words need it; none for what is not in that form.
fn unsealed(name: FigureName, value: &Value) -> Option<Figure> {
    let number = |key: &str| value.get(key)?.as_str()?.parse::<f64>().ok().filter(|number| number.is_finite());
    let value_of = match value.get("value") {
        Some(Value::Bool(flag)) => Worth::Flag(*flag),
        Some(Value::String(text)) => match name.unit().and_then(|_| text.parse::<f64>().ok()) {
            Some(number) if number.is_finite() => Worth::Number(number),
            _ => Worth::Word(text.clone()),
        },
        _ => Worth::Range { low: number("low")?, high: number("high")?, set: number("set")? },
    };
    let value_of = match value_of {
        // A figure without a unit may be a number all the same: lens, cup, rods.
        Worth::Word(text) if text.parse::<f64>().is_ok() => Worth::Number(text.parse().unwrap_or_default()),
        other => other,
    };
    Some(Figure {
        name,
        value: value_of,
        basis: None,
        weakest: None,
        working: Vec::new(),
        uses: Vec::new(),
        minimum: number("minimum"),
        maximum: number("maximum"),
        alternatives: Vec::new(),
        ranking: Vec::new(),
        passes: Vec::new(),
        parts: Vec::new(),
        limits: Vec::new(),
        rulings: Vec::new(),
        because: None,
        worked_out: None,
    })
}

/// The first part of a figure that differs: a pass, a size, a reason.
fn part(name: FigureName, old: &Value, new: &Value) -> (Option<String>, Option<String>) {
    let (a, b) = (leaves(old), leaves(new));
    let differs = a.keys().chain(b.keys()).find(|key| a.get(*key) != b.get(*key));
    let shown = |leaves: &BTreeMap<String, String>| {
        let key = differs?;
        let value = leaves.get(key).cloned().unwrap_or_else(|| text("left-out", &[]));
        let of_part = key.strip_prefix("parts/").and_then(|rest| rest.split('/').next());
        let of_part = of_part.and_then(|part| old.pointer(&format!("/parts/{part}/2"))).and_then(Value::as_str);
        let unit = of_part.or(name.unit()).unwrap_or_default();
        Some(text("part", &[("part", &part_name(key, old)), ("value", &value), ("unit", unit)]).trim().to_owned())
    };
    (shown(&a), shown(&b))
}

/// What a part is called: `pass 3 start`.
fn part_name(key: &str, figure: &Value) -> String {
    let words: Vec<&str> = key.split('/').collect();
    match words.as_slice() {
        ["rows", row, rest @ ..] => {
            let rest = rest.first().copied().unwrap_or_default();
            let kind = figure.pointer(&format!("/rows/{row}/kind")).and_then(Value::as_str);
            let of = kind.filter(|kind| *kind == PassKind::Root.word()).unwrap_or("pass");
            let number = row.parse::<usize>().map_or(0, |row| row + 1);
            format!("{of} {number} {}", rest.replace('_', " "))
        }
        ["parts", part, ..] => {
            let name = figure.pointer(&format!("/parts/{part}/0")).and_then(Value::as_str).unwrap_or_default();
            name.replace(['-', '_'], " ")
        }
        words => words.join(" "),
    }
}

fn leaves(value: &Value) -> BTreeMap<String, String> {
    let mut out = BTreeMap::new();
    walk(String::new(), value, &mut out);
    out
}

fn walk(path: String, value: &Value, out: &mut BTreeMap<String, String>) {
    let below = |key: &str| if path.is_empty() { key.to_owned() } else { format!("{path}/{key}") };
    match value {
        Value::Object(table) => table.iter().for_each(|(key, value)| walk(below(key), value, out)),
        Value::Array(list) => list.iter().enumerate().for_each(|(at, value)| walk(below(&at.to_string()), value, out)),
        Value::String(text) => drop(out.insert(path, text.clone())),
        Value::Null => {}
        other => drop(out.insert(path, other.to_string())),
    }
}
