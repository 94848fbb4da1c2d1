//! Interpass turns a short structured repair spec into a welding procedure sheet with every setting worked out,
//! explained and sourced.

pub mod reference;
