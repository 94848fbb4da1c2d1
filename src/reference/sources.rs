//! The table of sources: what a key stands for. Brands and people are named here alone.

use super::table::Table;
use serde::Deserialize;
use std::sync::LazyLock;

/// A published source, or another origin of facts.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Neutral key, never a brand: `al-textbook`, `set-maker-1`, `practice`.
    pub key: String,
    /// Title as printed.
    pub title: String,
    /// Who published it.
    pub publisher: String,
    /// Edition, or `undated`.
    pub edition: String,
    /// What it is called on a sheet, without a brand or a company: `a set maker's manual`.
    pub short: String,
    /// How it was read: `read`, `copy` (a third party's copy), `abstract`, `not seen`, `none`.
    pub read: String,
}

const MADE: &str = include_str!(concat!(env!("OUT_DIR"), "/reference/sources.toml/source.json"));

/// The table of sources.
#[must_use]
pub fn source() -> &'static Table<Source> {
    static TABLE: LazyLock<Table<Source>> = LazyLock::new(|| Table::read(MADE));
    &TABLE
}

/// The source with this key.
#[must_use]
pub fn source_by_key(key: &str) -> Option<&'static Source> {
    source().rows.iter().find(|source| source.key == key)
}
