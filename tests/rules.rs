//! The rules of safety: what is refused, what is asked, which dangers stand on the sheet.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may stop where it fails")]

#[path = "rules/case.rs"]
mod case;
#[path = "rules/dangers.rs"]
mod dangers;
#[path = "rules/gates.rs"]
mod gates;
#[path = "rules/questions.rs"]
mod questions;
#[path = "rules/words.rs"]
mod words;
