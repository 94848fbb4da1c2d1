//! The spec language: from the text of a file to typed tables, with every mistake found in one pass.
//!
//! A file passes through `file` (size, encoding, syntax), [`read`](mod@read) (tables, keys, values) and `sense` (what needs more than
//! one key). One declaration in [`types`] gives the type, the reader, the known keys, the schema and the texts of
//! help.

pub mod file;
mod gauge;
pub mod limits;
pub mod locate;
pub(crate) mod macros;
pub mod names;
pub mod nearest;
pub mod prose;
mod quantity;
pub mod read;
pub mod sense;
pub mod shape;
mod syntax;
pub mod text;
pub mod types;
mod values;

pub use file::{Reading, shown_text};
pub use read::{Date, Identifier, Prose, Setting, Text, Unread};
pub use types::*;

use crate::findings::{File, Finding};

/// Reads a spec: the typed spec, where there is one, and all findings sorted by place.
#[must_use]
pub fn read(text: &str) -> (Option<Spec>, Vec<Finding>) {
    reading(text).into_pair()
}

/// As [`read()`], and also which keys are there but could not be read.
#[must_use]
pub fn reading(text: &str) -> Reading<Spec> {
    file::read_text(text, File::Spec, sense::findings)
}

/// As [`reading`], from the bytes of a file, which may not be UTF-8.
#[must_use]
pub fn read_bytes(bytes: &[u8]) -> Reading<Spec> {
    file::read_bytes(bytes, File::Spec, sense::findings)
}
