//! Which table of gauge numbers holds for the metal in hand: it has to be known before its thickness is read.

use super::names;
use super::read::peek;
use crate::reference;
use crate::units::{Length, mm};
use toml::de::{DeTable, DeValue};

/// The table of gauge numbers that a table of a file decides on, before its keys are read.
///
/// The outer option is none where the table says nothing of a metal, so that what held before holds on; the inner one
/// is none where the metal is not known well enough.
pub(super) fn table_for(table: &str, entries: &DeTable<'_>) -> Option<Option<&'static str>> {
    if !matches!(table, "Metal" | "OtherMetal" | "Coupon") {
        return None;
    }
    let text = |key: &str| peek(entries, key).and_then(DeValue::as_str);
    let family = text("alloy").and_then(names::alloy).map(|alloy| alloy.family.as_str()).or(text("family"));
    let aluminium = family.is_some_and(|family| family.contains("aluminium"));
    // Tube is sold by a wire gauge of its own, whatever the metal.
    Some(match text("form") {
        Some("tube") => Some("tube"),
        _ => aluminium.then_some("aluminium"),
    })
}

/// The thickness of a gauge number in one of the tables.
pub(super) fn thickness(system: &str, number: u32) -> Option<Length> {
    let row = reference::gauge().rows.iter().find(|row| row.system == system && row.number == number)?;
    Some(mm(row.mm))
}
