//! The signs that join two numbers: of a range, of a tolerance.

use std::ops::Range;

/// What stands between two numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Link {
    Range,
    Tolerance,
}

/// The link that follows a number, with its place.
pub(super) type Linked = Option<(Link, Range<usize>)>;

/// The first sign of a range or a tolerance at or after a place.
pub(super) fn after(text: &str, from: usize) -> Linked {
    let rest = text.get(from..)?;
    let mut before = None;
    for (offset, c) in rest.char_indices() {
        let here = rest.get(offset..)?;
        if let Some((link, length)) = at(here, before) {
            let start = from + offset;
            return Some((link, start..start + length));
        }
        before = Some(c);
    }
    None
}

/// The link that the text begins with, and its length in bytes.
fn at(text: &str, before: Option<char>) -> Option<(Link, usize)> {
    for sign in ["+/-", "+/−", "+/–", "+-", "±"] {
        if text.starts_with(sign) {
            return Some((Link::Tolerance, sign.len()));
        }
    }
    for sign in ["...", "..", "…", "-", "‐", "‑", "–", "—", "−"] {
        if text.starts_with(sign) {
            return Some((Link::Range, sign.len()));
        }
    }
    let word = |c: char| c.is_alphanumeric();
    let after = text.strip_prefix("to")?;
    let stands_alone =
        !before.is_some_and(char::is_alphabetic) && !after.starts_with(|c: char| word(c) && !c.is_ascii_digit());
    stands_alone.then_some((Link::Range, 2))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_and_where_they_stand() {
        for (text, link) in [
            ("160 A to 180 A", Some((Link::Range, 6..8))),
            ("160to180", Some((Link::Range, 3..5))),
            ("160-180", Some((Link::Range, 3..4))),
            ("160..180", Some((Link::Range, 3..5))),
            ("160 – 180", Some((Link::Range, 4..7))),
            ("170 A +/- 10", Some((Link::Tolerance, 6..9))),
            ("170 ± 10", Some((Link::Tolerance, 4..6))),
            ("6 tons", None),
            ("6 total", None),
            ("6 auto", None),
            ("1.5 in", None),
            ("", None),
        ] {
            assert_eq!(after(text, 0), link, "{text}");
        }
    }
}
