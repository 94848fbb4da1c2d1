//! Which table of gauge numbers holds for the metal in hand: it has to be known before its thickness is read.

use super::names;
use super::read::peek;
use crate::reference::search::family_members;
use crate::reference::{self, Class};
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
    let alloy = text("alloy").and_then(names::alloy);
    let class = alloy.or_else(|| family_members(text("family")?).into_iter().next()).map(|alloy| alloy.class);
    // Tube is sold by a wire gauge of its own, whatever the metal.
    Some(match text("form") {
        Some("tube") => Some("tube"),
        // Stainless, copper and titanium sheet are sold by other tables again: a gauge of theirs is asked for in mm.
        _ => match class {
            Some(Class::Aluminium) => Some("aluminium"),
            Some(class) if class.is_steel() => Some("steel sheet"),
            _ => None,
        },
    })
}

/// The thickness of a gauge number in one of the tables.
pub(super) fn thickness(system: &str, number: u32) -> Option<Length> {
    let row = reference::gauge().rows.iter().find(|row| row.system == system && row.number == number)?;
    Some(mm(row.mm))
}
