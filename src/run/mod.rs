//! The run record: what was really done, set against a sheet.

pub mod types;

pub use types::*;
