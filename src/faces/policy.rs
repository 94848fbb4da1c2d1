//! What the page may load and run: nothing but its own style and script, which it names by their digests.

use super::escape::css_string;
use super::labels::Labels;
use super::press::{SCRIPT, STYLE};
use crate::sheet::Sheet;
use sha2::{Digest, Sha256};
use std::sync::LazyLock;

/// The digests of the style and of the script that all sheets share.
static SHARED: LazyLock<[String; 2]> = LazyLock::new(|| [hash(STYLE), hash(SCRIPT)]);

/// The content-security policy of a page with this style of its own beside the shared style and script.
pub(super) fn policy(own: &str) -> String {
    let ([style, script], own) = (&*SHARED, hash(own));
    format!("default-src 'none'; style-src {own} {style}; script-src {script}; base-uri 'none'; form-action 'none'")
}

/// The texts of the margin boxes, as the variables that the style reads.
pub(super) fn margins(sheet: &Sheet, labels: &Labels) -> String {
    let label = |key: &str| labels.get(key).map_or("", String::as_str);
    let text = |text: &str, limit: usize| css_string(text.trim(), limit);
    let state = match sheet.banner.trim() {
        "" => String::new(),
        banner => format!("{}. ", text(banner, 60)),
    };
    format!(
        ":root{{--doc:\"{} {} {}\";--title:\"{}\";--state:\"{state}{}\";--page:\"{} \";--of:\" {} \"}}",
        text(&sheet.number, 40),
        text(label("revision"), 20),
        text(&sheet.revision, 10),
        text(&sheet.title, 80),
        text(label("printed_copy"), 80),
        text(label("page"), 20),
        text(label("of"), 20),
    )
}

/// The digest of an inline style or script as a policy names it.
pub(super) fn hash(text: &str) -> String {
    format!("'sha256-{}'", base64(&Sha256::digest(text.as_bytes())))
}

/// RFC 4648, with padding.
fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |at: usize| u32::from(three.get(at).copied().unwrap_or_default());
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for at in 0..4 {
            let digit = DIGITS.get((bits >> (18 - 6 * at) & 63) as usize).copied().unwrap_or_default();
            out.push(if at <= three.len() { char::from(digit) } else { '=' });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_examples_of_rfc_4648() {
        for (text, expected) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(text.as_bytes()), expected);
        }
    }

    #[test]
    fn a_style_is_named_by_its_digest() {
        // From another program: printf 'a{}' | openssl dgst -sha256 -binary | base64
        assert_eq!(hash("a{}"), "'sha256-X1RutGBrXCt9KkSaXMK7tHftWiRscFHOhxsS8tv8hBk='");
    }
}
