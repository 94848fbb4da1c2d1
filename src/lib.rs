//! Interpass turns a short structured repair spec into a welding procedure sheet with every setting worked out,
//! explained and sourced.

pub mod changes;
pub mod commands;
pub mod engine;
pub mod faces;
pub mod findings;
pub mod kit;
pub mod ledger;
pub mod record;
pub mod reference;
pub mod rules;
pub mod run;
pub mod schema;
pub mod seal;
pub mod sheet;
pub mod spec;
pub mod units;
