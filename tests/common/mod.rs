//! What several tests share.
#![allow(dead_code, reason = "each test uses its own part")]

pub mod calculator;
