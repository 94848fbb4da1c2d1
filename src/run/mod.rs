//! The run record: what was really done, set against a sheet.

pub mod attempts;
pub mod sense;
pub mod types;

pub use types::*;

use crate::findings::{File, Finding};
use crate::spec::file::{Reading, read_bytes as bytes_of, read_text};

/// Reads a run record: the typed record, where there is one, and all findings sorted by place.
#[must_use]
pub fn read(text: &str) -> (Option<RunRecord>, Vec<Finding>) {
    reading(text).into_pair()
}

/// As [`read`], and also which keys are there but could not be read.
#[must_use]
pub fn reading(text: &str) -> Reading<RunRecord> {
    read_text(text, File::Run, sense::findings)
}

/// As [`reading`], from the bytes of a file, which may not be UTF-8.
#[must_use]
pub fn read_bytes(bytes: &[u8]) -> Reading<RunRecord> {
    bytes_of(bytes, File::Run, sense::findings)
}
