//! Sources that checks cite: the program's own table, and the few that checks alone cite.

use crate::rows::read;
use interpass::reference::source_by_key;
use serde::Deserialize;

#[derive(Debug, Deserialize)]
struct Source {
    key: String,
    title: String,
    publisher: String,
}

/// Whose word a row is.
#[derive(Debug, Deserialize)]
pub(crate) struct Told {
    source: String,
    locator: String,
    basis: String,
}

/// A published row names a source that exists, and its place in it.
pub(crate) fn check(id: &str, told: &Told) {
    assert_eq!(told.basis, "published", "{id}");
    check_place(id, &told.source, &told.locator);
}

/// As [`check`], by key and place.
pub(crate) fn check_place(id: &str, source: &str, locator: &str) {
    let own = |row: &Source| row.key == source && !row.title.is_empty() && !row.publisher.is_empty();
    let known =
        source_by_key(source).is_some() || read::<Source>(include_str!("sources.toml"), "source").iter().any(own);
    assert!(known, "{id}: no source {source}");
    assert!(!locator.is_empty(), "{id} has no locator");
}
