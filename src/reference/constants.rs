//! Single numbers that formulas use, by key.

pub use super::rows::{ConstantRow, constant};
use super::table::Basis;
use std::{collections::HashMap, sync::LazyLock};

/// The row with this key.
///
/// A key without a row gives a row that is not a number; a test asks for every key that the source uses.
#[must_use]
pub fn by_key(key: &str) -> &'static ConstantRow {
    static INDEX: LazyLock<HashMap<&'static str, &'static ConstantRow>> =
        LazyLock::new(|| constant().rows.iter().map(|row| (row.key.as_str(), row)).collect());
    static MISSING: LazyLock<ConstantRow> = LazyLock::new(|| ConstantRow {
        key: String::new(),
        meaning: String::new(),
        value: f64::NAN,
        range: None,
        unit: "1".to_owned(),
        source: String::new(),
        locator: String::new(),
        basis: Basis::Memory,
        note: None,
    });
    INDEX.get(key).copied().unwrap_or(&MISSING)
}
