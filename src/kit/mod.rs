//! The kit: a shop's own equipment and stock.

pub mod types;

pub use types::*;
