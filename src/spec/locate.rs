//! Places inside string values: from bytes of the decoded text to bytes of the file, through every escape of TOML.

use std::ops::Range;

/// The bytes of a string token without its quotes; the token itself where it has none.
///
/// Total: any input gives a range inside the token.
#[must_use]
pub fn inside(source: &str, token: Range<usize>) -> Range<usize> {
    let Some(form) = source.get(token.clone()).and_then(Form::of) else { return token };
    let start = token.start + form.open;
    start..(token.end.saturating_sub(form.close)).max(start)
}

/// The bytes of the file that spell the bytes `at` of the decoded text of a string token.
///
/// Total: any input gives a range inside the token. A range that is empty stays empty.
#[must_use]
pub fn locate(source: &str, token: Range<usize>, at: Range<usize>) -> Range<usize> {
    let inner = inside(source, token.clone());
    let Some(raw) = source.get(inner.clone()) else { return token };
    let escapes = source.get(token).and_then(Form::of).is_some_and(|form| form.escapes);
    let mut start = None;
    let mut end = None;
    let mut walk = Walk { raw, at: 0, decoded: 0, escapes };
    while let Some((raw_piece, decoded_piece)) = walk.next() {
        // A piece that decodes to nothing (a line-ending backslash) belongs to no character.
        if start.is_none() && decoded_piece.end > at.start {
            start = Some(raw_piece.start);
        }
        if end.is_none() && decoded_piece.end >= at.end && (decoded_piece.end > decoded_piece.start || at.end == 0) {
            end = Some(raw_piece.end);
        }
        if start.is_some() && end.is_some() {
            break;
        }
    }
    let start = start.unwrap_or(raw.len());
    let end = if at.is_empty() { start } else { end.unwrap_or(raw.len()).max(start) };
    inner.start + start..inner.start + end
}

/// Which of the four forms of a TOML string.
struct Form {
    open: usize,
    close: usize,
    escapes: bool,
}

impl Form {
    fn of(token: &str) -> Option<Form> {
        for (quotes, escapes) in [("\"\"\"", true), ("'''", false)] {
            if let Some(rest) = token.strip_prefix(quotes) {
                // The first newline of a multi-line string is not part of it.
                let newline = if rest.starts_with("\r\n") { 2 } else { usize::from(rest.starts_with('\n')) };
                let close = if rest.get(newline..).is_some_and(|rest| rest.ends_with(quotes)) { 3 } else { 0 };
                return Some(Form { open: 3 + newline, close, escapes });
            }
        }
        for (quote, escapes) in [('"', true), ('\'', false)] {
            if let Some(rest) = token.strip_prefix(quote) {
                return Some(Form { open: 1, close: usize::from(rest.ends_with(quote)), escapes });
            }
        }
        None
    }
}

/// Walks raw and decoded bytes side by side.
struct Walk<'s> {
    raw: &'s str,
    at: usize,
    decoded: usize,
    escapes: bool,
}

impl Walk<'_> {
    /// The next piece of the raw text and what it decodes to.
    fn next(&mut self) -> Option<(Range<usize>, Range<usize>)> {
        let rest = self.raw.get(self.at..)?;
        let first = rest.chars().next()?;
        let (raw, decoded) = if self.escapes && first == '\\' {
            escape(rest)
        } else if rest.starts_with("\r\n") {
            // The reader of TOML keeps newlines as they are written.
            (2, 2)
        } else {
            (first.len_utf8(), first.len_utf8())
        };
        let raw = raw.clamp(1, rest.len());
        let piece = (self.at..self.at + raw, self.decoded..self.decoded + decoded);
        self.at += raw;
        self.decoded += decoded;
        Some(piece)
    }
}

/// Raw and decoded length of the escape that the text begins with.
fn escape(text: &str) -> (usize, usize) {
    match text.chars().nth(1) {
        Some('u') => coded(text, 4),
        Some('U') => coded(text, 8),
        Some('x') => coded(text, 2),
        Some(' ' | '\t' | '\n' | '\r') => {
            let tail = text.get(1..).unwrap_or_default();
            let blank = tail.len() - tail.trim_start_matches([' ', '\t', '\n', '\r']).len();
            (1 + blank, 0)
        }
        Some(other) => (1 + other.len_utf8(), 1),
        None => (1, 1),
    }
}

/// An escape with so many hexadecimal digits after its letter.
fn coded(text: &str, digits: usize) -> (usize, usize) {
    let code = text.get(2..2 + digits).and_then(|code| u32::from_str_radix(code, 16).ok());
    (2 + digits, code.and_then(char::from_u32).map_or(1, char::len_utf8))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]
mod tests {
    use super::{inside, locate};
    use proptest::prelude::*;
    use toml::de::DeTable;

    /// The raw text that spells the decoded bytes `at` of the value of `k`.
    fn spelt(source: &str, at: std::ops::Range<usize>) -> &str {
        let table = DeTable::parse(source).unwrap();
        let token = table.get_ref().get("k").unwrap().span();
        &source[locate(source, token, at)]
    }

    #[test]
    fn plain_and_escaped_characters() {
        assert_eq!(spelt(r#"k = "8 mn""#, 2..4), "mn");
        assert_eq!(spelt(r#"k = "8\u0035 mn""#, 3..5), "mn");
        assert_eq!(spelt(r#"k = "8\u0035 mn""#, 1..2), r"\u0035");
        assert_eq!(spelt(r#"k = "a\tb\u00b5c""#, 3..5), r"\u00b5");
        assert_eq!(spelt(r#"k = "\U0001F600x""#, 4..5), "x");
        assert_eq!(spelt(r"k = 'a\tb'", 3..4), "b");
        assert_eq!(spelt(r#"k = "abc""#, 1..1), "");
        assert_eq!(spelt("k = \"\"\"\nab \\\n   cd\"\"\"", 3..5), "cd");
        assert_eq!(spelt("k = '''\r\nab\r\ncd'''", 4..6), "cd");
    }

    #[test]
    fn quotes_are_left_out() {
        let source = "k = \"\"\"\nab\"\"\"";
        assert_eq!(inside(source, 4..source.len()), 8..10);
        assert_eq!(inside("k = 6", 4..5), 4..5);
        assert_eq!(inside("\"", 0..1), 1..1);
    }

    /// One character in one of its spellings in a basic string.
    fn spelling() -> impl Strategy<Value = (char, String)> {
        (any::<char>(), 0..4_u8).prop_map(|(c, how)| {
            let code = u32::from(c);
            let text = match how {
                0 if code <= 0xffff => format!("\\u{code:04x}"),
                1 => format!("\\U{code:08X}"),
                2 if code <= 0xff => format!("\\x{code:02x}"),
                _ if c == '"' || c == '\\' => format!("\\{c}"),
                _ if c.is_control() => format!("\\U{code:08x}"),
                _ => c.to_string(),
            };
            (c, text)
        })
    }

    proptest! {
        #[test]
        fn every_character_is_found_again(pieces in prop::collection::vec((spelling(), prop::bool::weighted(0.2)), 0..20)) {
            let mut raw = String::from("k = \"\"\"x");
            let mut places = Vec::new();
            let mut decoded = 1;
            for ((c, text), line_end) in &pieces {
                // A blank after a line-ending backslash belongs to it, so it is not a character of the text.
                if *line_end && !text.starts_with(' ') {
                    raw.push_str("\\\n  ");
                }
                places.push((decoded..decoded + c.len_utf8(), text.clone(), *c));
                decoded += c.len_utf8();
                raw.push_str(text);
            }
            raw.push_str("x\"\"\"");
            let table = DeTable::parse(&raw).unwrap();
            let value = table.get_ref().get("k").unwrap();
            let text = value.get_ref().as_str().unwrap();
            for (at, spelt, c) in places {
                prop_assert_eq!(&text[at.clone()], c.to_string());
                let found = &raw[locate(&raw, value.span(), at)];
                prop_assert_eq!(found, spelt);
            }
        }

        #[test]
        fn any_input_gives_a_place_in_the_token(source in ".{0,40}", a in 0..50_usize, b in 0..50_usize, c in 0..60_usize, d in 0..60_usize) {
            let mut token = a.min(b).min(source.len())..a.max(b).min(source.len());
            while !source.is_char_boundary(token.start) { token.start -= 1; }
            while !source.is_char_boundary(token.end) { token.end -= 1; }
            let found = locate(&source, token.clone(), c.min(d)..c.max(d));
            prop_assert!(token.start <= found.start && found.start <= found.end && found.end <= token.end);
        }
    }
}
