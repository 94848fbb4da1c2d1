//! The facts: every table that the engine reads, one fact a row, each row with its source, locator and basis.
//!
//! No formula stands here. Each table is a TOML file beside this module, embedded in the program and read when it is
//! first asked for. `interpass tables` prints them all.

pub mod acceptance;
pub mod constants;
pub mod heat;
pub mod qualification;
pub mod rows;
pub mod search;
mod sources;
mod table;

pub use rows::*;
pub use sources::{Source, source, source_by_key};
pub use table::{Basis, Checked, Cite, Row, Table, TableFile, TableInfo, all_tables, edition};
