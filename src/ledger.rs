//! The ledger: which revision of which procedure was issued with which seal, one entry a line, each with the digest of
//! the line before it.
//!
//! Text in, values out: nothing here touches a file. Reading trusts nothing: a line that was cut, changed, doubled, left
//! out or moved is a finding that names it. It is evidence, not a signature: whoever writes the whole file anew, with all
//! its digests, is not found out by it; a history of the file that others hold does that.

mod differ;
mod enter;
mod entry;
mod papers;
mod read;

pub use differ::{Change, Values, changes};
pub use enter::{Candidate, Entering, enter};
pub use entry::{Entry, State};
pub use papers::{Drift, Entered, Papers, Standing, drift, papers};
pub use read::{Ledger, Tail, read};

use std::cmp::Ordering;

/// Name of the file.
pub const NAME: &str = "interpass.ledger.jsonl";
/// Largest file that is read, in bytes: tens of thousands of entries.
pub const FILE_BYTES: usize = 64 * 1024 * 1024;
/// Longest line, in bytes: many times the longest that the program writes.
pub const LINE_BYTES: usize = 1024 * 1024;
/// What stands in the first entry in place of the digest of the line before.
pub const NO_LINE: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// Which of two revisions comes first; none where one is a letter and the other a number, which no order joins.
///
/// Letters run A to Z, then AA to ZZ; numbers by their size.
#[must_use]
pub fn order(a: &str, b: &str) -> Option<Ordering> {
    let number = |text: &str| text.parse::<u32>().ok();
    let letters = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_uppercase());
    match (number(a), number(b)) {
        (Some(a), Some(b)) => Some(a.cmp(&b)),
        (None, None) if letters(a) && letters(b) => Some((a.len(), a).cmp(&(b.len(), b))),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::order;
    use std::cmp::Ordering::{Equal, Greater, Less};

    #[test]
    fn revisions_have_an_order_within_their_scheme() {
        for (a, b, expected) in [
            ("A", "B", Some(Less)),
            ("Z", "AA", Some(Less)),
            ("AB", "AA", Some(Greater)),
            ("9", "10", Some(Less)),
            ("7", "7", Some(Equal)),
            ("A", "1", None),
            ("a", "B", None),
        ] {
            assert_eq!(order(a, b), expected, "{a} {b}");
        }
    }
}
