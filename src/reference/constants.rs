//! Single numbers that formulas use, by key.

use super::Class;
pub use super::rows::{ConstantRow, constant};
use super::table::Basis;
use std::{collections::HashMap, sync::LazyLock};

/// The row with this key.
///
/// A key without a row gives a row that is not a number; a test asks for every key that the source uses.
#[must_use]
pub fn by_key(key: &str) -> &'static ConstantRow {
    static INDEX: LazyLock<HashMap<&'static str, &'static ConstantRow>> =
        LazyLock::new(|| all_metals().map(|row| (row.key.as_str(), row)).collect());
    static MISSING: LazyLock<ConstantRow> = LazyLock::new(|| ConstantRow {
        key: String::new(),
        meaning: String::new(),
        value: f64::NAN,
        range: None,
        unit: "1".to_owned(),
        metals: Vec::new(),
        source: String::new(),
        locator: String::new(),
        basis: Basis::Memory,
        note: None,
    });
    INDEX.get(key).copied().unwrap_or(&MISSING)
}

/// The rows that hold for every metal that has none of its own.
fn all_metals() -> impl Iterator<Item = &'static ConstantRow> {
    constant().rows.iter().filter(|row| row.metals.is_empty())
}

/// The row with this key that holds for a kind of metal: its own, else the one for all.
#[must_use]
pub fn of_metal(key: &str, class: Class) -> &'static ConstantRow {
    let own = constant().rows.iter().find(|row| row.key == key && row.metals.contains(&class));
    own.unwrap_or_else(|| by_key(key))
}
