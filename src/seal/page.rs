//! The digest of a page: SHA-256 over the whole HTML file with the digest's own slot blanked, so that a receiver sees
//! whether a byte of it was changed on the way.
//!
//! The seal ties spec, kit and figures together; this ties everything round them to them. It shows damage and careless
//! edits; it is not a signature, for whoever changes the page can work it out again.

use sha2::{Digest, Sha256};
use std::fmt::Write;

/// What stands right before the slot. It comes before any text of an author.
pub const BEFORE_SLOT: &str = "<meta name=\"digest\" content=\"";
/// Digits of the slot.
const DIGITS: usize = 64;
/// A slot that is not filled in, as the template has it.
pub const BLANK: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// What the digest of a page says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageDigest {
    /// Every byte is as it was written.
    Whole,
    /// Something was changed.
    Changed,
    /// There is no slot to read it from.
    Missing,
}

/// Fills the slot of a page in. False where it has none, and then nothing is changed.
pub fn fill(html: &mut [u8]) -> bool {
    let Some(digest) = digest(html) else { return false };
    let Some(slot) = slot(html).and_then(|at| html.get_mut(at..at + DIGITS)) else { return false };
    slot.copy_from_slice(digest.as_bytes());
    true
}

/// Compares a page with the digest in its slot.
#[must_use]
pub fn check(html: &[u8]) -> PageDigest {
    let found = slot(html).and_then(|at| html.get(at..at + DIGITS));
    match (found, digest(html)) {
        (Some(found), Some(digest)) if found == digest.as_bytes() => PageDigest::Whole,
        (Some(_), Some(_)) => PageDigest::Changed,
        _ => PageDigest::Missing,
    }
}

/// Where the slot begins.
fn slot(html: &[u8]) -> Option<usize> {
    let before = BEFORE_SLOT.as_bytes();
    let at = html.windows(before.len()).position(|bytes| bytes == before)? + before.len();
    (html.get(at + DIGITS) == Some(&b'"')).then_some(at)
}

/// The digest of a page whose slot counts as blank, in hex.
fn digest(html: &[u8]) -> Option<String> {
    let at = slot(html)?;
    let mut hasher = Sha256::new();
    hasher.update(html.get(..at)?);
    hasher.update(BLANK);
    hasher.update(html.get(at + DIGITS..)?);
    let mut hex = String::with_capacity(DIGITS);
    for byte in hasher.finalize() {
        let _ = write!(hex, "{byte:02x}");
    }
    Some(hex)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn page() -> Vec<u8> {
        format!("<!doctype html>\n{BEFORE_SLOT}{BLANK}\">\n<p>8 mm</p>").into_bytes()
    }

    #[test]
    fn a_page_is_whole_until_a_byte_of_it_changes() {
        let mut html = page();
        assert_eq!(check(&html), PageDigest::Changed, "a blank slot is no digest");
        assert!(fill(&mut html));
        // Worked out with Python: hashlib.sha256 over the page with 64 zeros in the slot.
        let expected = "a823e9d341d533fb339ec851712d0ca6e6043203fb1db165a9cd9687ae228c20";
        assert!(String::from_utf8_lossy(&html).contains(expected), "{}", String::from_utf8_lossy(&html));
        assert_eq!(check(&html), PageDigest::Whole);
        for at in 0..html.len() {
            let mut other = html.clone();
            if let Some(byte) = other.get_mut(at) {
                *byte ^= 1;
            }
            assert_ne!(check(&other), PageDigest::Whole, "byte {at}");
        }
    }

    #[test]
    fn a_page_without_a_slot_is_left_alone() {
        let mut html = b"<!doctype html>".to_vec();
        assert!(!fill(&mut html));
        assert_eq!((check(&html), html.as_slice()), (PageDigest::Missing, b"<!doctype html>".as_slice()));
        assert_eq!(check(format!("{BEFORE_SLOT}00\">").as_bytes()), PageDigest::Missing);
    }
}
