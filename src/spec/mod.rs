//! The spec language: from the text of a file to typed tables, with every mistake found in one pass.

pub mod locate;
pub mod read;
pub mod schema;
pub mod types;

pub use read::{Date, Identifier, Prose, Setting, Text};
pub use types::*;
