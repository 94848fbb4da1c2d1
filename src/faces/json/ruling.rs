//! Rulings of a qualification as JSON: what was tested, what each row covers, what follows.

use super::number::Number;
use crate::engine::qualification::{Entry, Held, Ruling, Said, Verdict};
use crate::sheet::ranges;
use crate::units::System;
use serde::Serialize;

/// What follows for one variable.
#[derive(Debug, Clone, Serialize)]
pub(in crate::faces) struct RulingJson<'a> {
    variable: &'static str,
    verdict: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<&'static str>,
    tested: Option<EntryJson<'a>>,
    here: Option<EntryJson<'a>>,
    rules: Vec<RuleJson>,
}

#[derive(Debug, Clone, Serialize)]
struct EntryJson<'a> {
    text: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<Number>,
    #[serde(skip_serializing_if = "str::is_empty")]
    unit: &'static str,
}

#[derive(Debug, Clone, Serialize)]
struct RuleJson {
    standard: &'static str,
    #[serde(skip_serializing_if = "str::is_empty")]
    paragraph: &'static str,
    class: &'static str,
    outcome: &'static str,
    covers: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<Number>,
    source: &'static str,
    locator: &'static str,
    basis: &'static str,
}

impl<'a> RulingJson<'a> {
    pub(in crate::faces) fn of(ruling: &'a Ruling, system: System) -> Self {
        let unit = ranges::unit(ruling.variable);
        RulingJson {
            variable: ruling.variable.word(),
            verdict: ruling.verdict.word(),
            reason: ruling.reason.filter(|_| ruling.verdict == Verdict::Ask).map(|reason| reason.word()),
            tested: ruling.tested.as_ref().map(|entry| EntryJson::of(entry, unit)),
            here: ruling.here.as_ref().map(|entry| EntryJson::of(entry, unit)),
            rules: ruling.said.iter().map(|said| RuleJson::of(ruling, said, system)).collect(),
        }
    }
}

impl<'a> EntryJson<'a> {
    fn of(entry: &'a Entry, unit: &'static str) -> Self {
        let (low, high) = if let Held::Number(low, high) = entry.held { (Some(low), Some(high)) } else { (None, None) };
        let unit = if low.is_some() { unit } else { "" };
        EntryJson { text: &entry.shown, low: low.map(Number), high: high.map(Number), unit }
    }
}

impl RuleJson {
    fn of(ruling: &Ruling, said: &Said, system: System) -> Self {
        RuleJson {
            standard: said.standard,
            paragraph: said.paragraph,
            class: said.class.word(),
            outcome: said.outcome.word(),
            covers: ranges::covers(ruling, said, system),
            low: said.low.map(Number),
            high: said.high.map(Number),
            source: said.cite.source,
            locator: said.cite.locator,
            basis: said.basis().words(),
        }
    }
}
