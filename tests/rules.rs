//! The rules of safety: what is refused, what is asked, which dangers stand on the sheet.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[path = "rules/case.rs"]
mod case;
#[path = "rules/dangers.rs"]
mod dangers;
#[path = "rules/gates.rs"]
mod gates;
#[path = "rules/metals.rs"]
mod metals;
#[path = "rules/questions.rs"]
mod questions;
#[path = "rules/words.rs"]
mod words;
