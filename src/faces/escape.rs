//! What turns plain text into text that a format reads back as the same plain text: Markdown, CSS strings, JSON inside
//! HTML.

use std::borrow::Cow;
use std::fmt::Write as _;
use std::io::{self, Write};

/// The escape function of the Markdown templates.
pub(crate) fn markdown_to(text: &str, out: &mut dyn Write) -> io::Result<()> {
    out.write_all(markdown(text).as_bytes())
}

/// Plain text as Markdown that reads back as the same text, in a paragraph, a list item, a heading, a table cell, a
/// link, and inside bold.
///
/// White space and control characters become single spaces, because a Markdown line can hold neither a line break nor
/// two spaces in a row. A character is escaped only where it would mean something, so that prose stays readable in the
/// source.
#[must_use]
pub fn markdown(text: &str) -> Cow<'_, str> {
    if text.bytes().all(is_harmless) && !text.contains("  ") && !starts_something(text) {
        return Cow::Borrowed(text);
    }
    let text = one_line(text);
    let mut out = String::with_capacity(text.len() + 8);
    let skip = mark_start(&text, &mut out);
    for (at, char) in text.char_indices().skip_while(|(at, _)| *at < skip) {
        let (before, rest) = (text.get(..at).unwrap_or_default(), text.get(at + char.len_utf8()..).unwrap_or_default());
        if is_active(char, before, rest) {
            out.push('\\');
        }
        out.push(char);
    }
    Cow::Owned(out)
}

/// Bytes that mean nothing in Markdown, wherever they stand after the first character of a text.
fn is_harmless(byte: u8) -> bool {
    matches!(byte, b' ' | b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'.' | b',' | b':' | b';' | b'(' | b')' | b'/' | b'-' | b'+'
        | b'%' | b'\'' | b'"' | b'?' | b'!' | b'=')
}

fn starts_something(text: &str) -> bool {
    text.starts_with([' ', ':', '-', '+', '=', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9'])
}

/// White space of any kind and control characters as single spaces.
fn one_line(text: &str) -> Cow<'_, str> {
    let blank = |char: char| char.is_whitespace() || char.is_control();
    let mut space = false;
    let plain = text.chars().all(|char| {
        let fine = !blank(char) || (char == ' ' && !space);
        space = char == ' ';
        fine
    });
    if plain {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    for char in text.chars() {
        if !blank(char) {
            out.push(char);
        } else if !out.ends_with(' ') {
            out.push(' ');
        }
    }
    Cow::Owned(out)
}

/// Writes the beginning of a text escaped, where it would start a heading, a quote, a list, a rule, an underline or
/// the head of a table.
///
/// Returns the number of bytes of `text` that it wrote.
fn mark_start(text: &str, out: &mut String) -> usize {
    let body = text.trim_start_matches(' ');
    let indent = text.len() - body.len();
    let mut chars = body.chars();
    let (Some(first), second) = (chars.next(), chars.next()) else { return 0 };
    let starts = match first {
        '#' | '>' => true,
        '-' => matches!(second, None | Some(' ' | '-' | ':')),
        ':' => body.chars().all(|char| matches!(char, ':' | '-' | ' ')),
        '+' => matches!(second, None | Some(' ')),
        '=' => body.chars().all(|char| matches!(char, '=' | ' ')),
        _ => false,
    };
    let at = if starts { Some(0) } else { number_of_a_list(body) };
    let Some(at) = at else { return 0 };
    let end = at + 1;
    out.push_str(text.get(..indent + at).unwrap_or_default());
    out.push('\\');
    out.push_str(body.get(at..end).unwrap_or_default());
    indent + end
}

/// Place of the full stop or bracket of `12. `, where a text starts like an item of a numbered list.
fn number_of_a_list(body: &str) -> Option<usize> {
    let rest = body.trim_start_matches(|char: char| char.is_ascii_digit());
    let digits = body.len() - rest.len();
    let mut chars = rest.chars();
    let closed = matches!(chars.next(), Some('.' | ')')) && matches!(chars.next(), None | Some(' '));
    ((1..=9).contains(&digits) && closed).then_some(digits)
}

/// Whether a character means something to Markdown between what stands before and after it.
fn is_active(char: char, before: &str, rest: &str) -> bool {
    let after = rest.chars().next();
    match char {
        '\\' | '`' | '*' | '[' | ']' | '~' | '|' | '$' => true,
        '_' => !is_quiet_underscore(before, rest),
        '<' => !matches!(after, Some(' ' | '=')),
        '&' => is_entity(rest),
        '#' => matches!(before.chars().next_back(), None | Some(' ' | '#')) && rest.trim_matches(['#', ' ']).is_empty(),
        _ => false,
    }
}

/// Whether an underscore emphasises nothing: inside a word, or in a run between spaces, which is a blank to fill in.
fn is_quiet_underscore(before: &str, rest: &str) -> bool {
    let (start, end) = (before.trim_end_matches('_').chars().next_back(), rest.trim_start_matches('_').chars().next());
    let single = !before.ends_with('_') && !rest.starts_with('_');
    match (start, end) {
        (Some(start), Some(end)) if single && start.is_alphanumeric() && end.is_alphanumeric() => true,
        (Some(' '), None | Some(' ')) | (None, Some(' ')) => true,
        _ => false,
    }
}

/// Whether what follows an ampersand makes an entity of it: `amp;`, `#38;`, `#x26;`.
fn is_entity(rest: &str) -> bool {
    let Some((name, _)) = rest.split_once(';') else { return false };
    let name = name.strip_prefix('#').unwrap_or(name);
    !name.is_empty() && name.len() <= 32 && name.bytes().all(|byte| byte.is_ascii_alphanumeric())
}

/// Plain text as the inside of a CSS string, safe inside a `style` element too; cut after `limit` characters.
pub(crate) fn css_string(text: &str, limit: usize) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for (count, char) in one_line(text).chars().enumerate() {
        if count == limit {
            out.push_str("...");
            break;
        }
        match char {
            ' ' | '.' | ',' | ':' | '-' | '(' | ')' => out.push(char),
            _ if char.is_alphanumeric() => out.push(char),
            _ => {
                let _ = write!(out, "\\{:x} ", u32::from(char));
            }
        }
    }
    out
}

/// The name of a file as a relative address: everything but letters, digits and a few marks as the bytes that it is.
pub(crate) fn link(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~') {
            out.push(char::from(byte));
        } else {
            let _ = write!(out, "%{byte:02X}");
        }
    }
    out
}

/// JSON that may stand in a `script` element: nothing in it can end the element or open a comment.
pub(crate) fn json_in_html(json: &str) -> Cow<'_, str> {
    if json.contains('<') { Cow::Owned(json.replace('<', "\\u003c")) } else { Cow::Borrowed(json) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prose_stays_readable() {
        for text in [
            "8.5 L/min (18 cfh)",
            "70 % EN (30 % EP)",
            "Wet glove: AC kills; keep dry, switch off.",
            "30 to 60 min, < 5 mm, <= 3 mm, a > b",
            "no. 7, gas lens, R&D, snake_case, 5' 3\"",
            "Write which: ______",
            "______ (nobody has said)",
            "-5 °C",
            "1.6 mm",
            "cup #7 of 9",
        ] {
            assert_eq!(markdown(text), text);
        }
    }

    #[test]
    fn what_means_something_is_escaped() {
        for (text, escaped) in [
            ("a|b", "a\\|b"),
            ("*x* _y_ `z`", "\\*x\\* \\_y\\_ \\`z\\`"),
            ("[x](javascript:alert(1))", "\\[x\\](javascript:alert(1))"),
            ("<b>", "\\<b>"),
            ("&lt; &#60; & R&D", "\\&lt; \\&#60; & R&D"),
            ("# a #", "\\# a \\#"),
            ("12. a", "12\\. a"),
            ("- a", "\\- a"),
            ("> a", "\\> a"),
            ("a\n\nb\tc", "a b c"),
            ("C:\\new", "C:\\\\new"),
            ("___", "\\_\\_\\_"),
        ] {
            assert_eq!(markdown(text), escaped);
        }
    }

    #[test]
    fn a_name_cannot_leave_its_link() {
        assert_eq!(link("hw-012.v2"), "hw-012.v2");
        assert_eq!(link("a b)<\"é/.."), "a%20b%29%3C%22%C3%A9%2F..");
    }

    #[test]
    fn a_css_string_cannot_end_its_string_or_its_element() {
        assert_eq!(css_string("a\"}</style>", 80), "a\\22 \\7d \\3c \\2f style\\3e ");
        assert_eq!(css_string("abcdef", 3), "abc...");
    }
}
