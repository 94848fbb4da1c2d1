//! The kit: a shop's own equipment and stock.

pub mod sense;
pub mod types;

pub use types::*;

use crate::findings::{File, Finding};
use crate::spec::file::{Reading, read_bytes as bytes_of, read_text};

/// Reads a kit: the typed kit, where there is one, and all findings sorted by place.
#[must_use]
pub fn read(text: &str) -> (Option<Kit>, Vec<Finding>) {
    reading(text).into_pair()
}

/// As [`read`], and also which keys are there but could not be read.
#[must_use]
pub fn reading(text: &str) -> Reading<Kit> {
    read_text(text, File::Kit, sense::findings)
}

/// As [`reading`], from the bytes of a file, which may not be UTF-8.
#[must_use]
pub fn read_bytes(bytes: &[u8]) -> Reading<Kit> {
    bytes_of(bytes, File::Kit, sense::findings)
}
