//! Syntax: what the parser of TOML says in the words of this program, which findings are echoes of it, and which forms
//! are of TOML 1.1.

use super::limits;
use crate::findings::{Code, File, Finding, Lines, Span};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// The findings of syntax errors, one a line, at most [`limits::SYNTAX_ERRORS`] of them.
pub(super) fn findings(text: &str, errors: &[toml::de::Error], file: File) -> Vec<Finding> {
    let lines = Lines::new(text);
    let mut told: BTreeMap<usize, &toml::de::Error> = BTreeMap::new();
    let mut deep = false;
    for error in errors {
        // What nests too deeply is told once, not once a level.
        if is_deep(error) && deep {
            continue;
        }
        deep |= is_deep(error);
        let line = lines.line_of(error.span().unwrap_or(0..0).start);
        let kept = told.entry(line).or_insert(error);
        // A line is broken once; what was left open tells more than what came of it.
        if error.message().starts_with("unclosed") && !is_deep(kept) {
            *kept = error;
        }
    }
    let dropped = told.len().saturating_sub(limits::SYNTAX_ERRORS);
    let kept = told.into_values().take(limits::SYNTAX_ERRORS);
    let mut found: Vec<Finding> = kept.map(|error| finding(text, error, file)).collect();
    if let (true, Some(last)) = (dropped > 0, found.last_mut()) {
        last.notes.push(format!("{dropped} more lines are broken; the first ones may be the cause of them"));
    }
    found
}

fn is_deep(error: &toml::de::Error) -> bool {
    error.message().contains("recurs")
}

/// What the parser says at the start of its message, and what this program says: message, label, help.
const WORDS: &[(&str, &str, &str, &str)] = &[
    (
        "string values must be quoted",
        "a text stands here without quotes",
        "no quotes",
        "texts and quantities stand in quotes: thickness = \"8 mm\"",
    ),
    ("key with no value", "this key has no value", "and what is it?", "write key = value on one line"),
    ("missing value", "a value is missing here", "nothing stands here", "write key = value on one line"),
    ("unclosed table", "this header is not closed", "a bracket is missing", "write the name in brackets: [part]"),
    (
        "unclosed array table",
        "this header is not closed",
        "brackets are missing",
        "write the name in double brackets: [[step]]",
    ),
    ("unclosed array", "a list is not closed", "a bracket is missing before here", "close it with ]"),
    ("unclosed inline table", "a table is not closed", "a brace is missing before here", "close it with }"),
    ("invalid date", "there is no such day", "not in the calendar", "a date is year, month, day: 2026-10-02"),
    ("missing comma", "a comma is missing here", "a comma", "put a comma between two entries"),
    ("extra comma", "there is a comma too many here", "one too many", "take it out"),
    (
        "invalid basic string",
        "this text is not closed",
        "a quote is missing",
        "close it with the quote that it began with",
    ),
    (
        "invalid literal string",
        "this text is not closed",
        "a quote is missing",
        "close it with the quote that it began with",
    ),
];

fn finding(text: &str, error: &toml::de::Error, file: File) -> Finding {
    let said = error.message();
    let at = clamp(text, error.span().unwrap_or(0..0));
    let span = Span { file, start: at.start, end: at.end };
    if is_deep(error) {
        return Finding::new(Code::SyntaxTooLarge, "tables or lists are nested too deeply here")
            .at(span)
            .label("too deep")
            .help("nothing in this language lies deeper than four levels; check that the right file was named");
    }
    if said.starts_with("duplicate key") {
        let key = text.get(at.clone()).unwrap_or_default();
        if text.get(..at.start).is_some_and(|before| before.ends_with('[')) {
            return Finding::new(Code::SyntaxToml, format!("the header [{key}] stands twice"))
                .at(span)
                .label("the second of its name")
                .help("put the keys of both under one header");
        }
        return Finding::new(Code::SyntaxToml, format!("`{key}` stands twice in one table"))
            .at(span)
            .label("the second of its name")
            .help("keep one of the two");
    }
    if said.starts_with("string values must be quoted") && at.is_empty() {
        return Finding::new(Code::SyntaxToml, "this key has no value")
            .at(span)
            .label("and what is it?")
            .help("write key = value on one line");
    }
    match WORDS.iter().find(|(start, ..)| said.starts_with(start)) {
        Some((_, message, label, help)) => Finding::new(Code::SyntaxToml, *message).at(span).label(*label).help(*help),
        None => Finding::new(Code::SyntaxToml, format!("this is not TOML: {said}"))
            .at(span)
            .label("here")
            .help("the file is read as TOML 1.0; check quotes, brackets and commas on this line and the one before"),
    }
}

/// A place inside the text, on boundaries of characters.
fn clamp(text: &str, at: Range<usize>) -> Range<usize> {
    let boundary = |mut byte: usize| {
        byte = byte.min(text.len());
        while !text.is_char_boundary(byte) {
            byte -= 1;
        }
        byte
    };
    let start = boundary(at.start);
    start..boundary(at.end).max(start)
}

/// Stretches of a broken file in which the reader's findings are echoes of a syntax error.
pub(super) struct Echoes(Vec<Range<usize>>);

impl Echoes {
    /// The lines of the syntax errors; after a broken header all lines up to the next header, for nobody knows whose
    /// they are.
    pub(super) fn of(text: &str, errors: &[toml::de::Error]) -> Self {
        let lines = Lines::new(text);
        let places = errors.iter().map(|error| error.span().unwrap_or(0..0));
        let broken: BTreeSet<usize> = places.flat_map(|at| [lines.line_of(at.start), lines.line_of(at.end)]).collect();
        let is_header = |line: usize| text.get(lines.line(line)).is_some_and(|line| line.trim_start().starts_with('['));
        let stretch = |line: usize| {
            let mut last = line;
            while is_header(line) && last < lines.count() && !is_header(last + 1) {
                last += 1;
            }
            lines.line(line).start..lines.line(last).end
        };
        Echoes(broken.into_iter().map(stretch).collect())
    }

    pub(super) fn touch(&self, at: Span) -> bool {
        // The parser puts a value at 0..0 in the place of one that it could not read.
        let here = self.0.partition_point(|echo| echo.end < at.start);
        (at.start, at.end) == (0, 0) || self.0.get(here).is_some_and(|echo| echo.start <= at.end)
    }
}

/// A form of TOML 1.1 that readers of TOML 1.0 refuse: what it is, and what to write.
struct Newer {
    at: Range<usize>,
    what: &'static str,
    label: &'static str,
    help: &'static str,
}

/// The first place of each form of TOML 1.1 in a file that has no syntax error.
pub(super) fn toml_1_1(text: &str, file: File) -> Vec<Finding> {
    let mut forms: Vec<Newer> = Vec::new();
    for form in newer_forms(text) {
        if !forms.iter().any(|known| known.what == form.what) {
            forms.push(form);
        }
    }
    let finding = |form: Newer| {
        Finding::new(Code::SyntaxToml11, format!("{} is of TOML 1.1, which many editors do not read yet", form.what))
            .at(Span { file, start: form.at.start, end: form.at.end })
            .label(form.label)
            .help(form.help)
    };
    forms.into_iter().map(finding).collect()
}

fn newer_forms(text: &str) -> Vec<Newer> {
    let bytes = text.as_bytes();
    let mut forms = Vec::new();
    let mut open: Vec<u8> = Vec::new();
    let mut last_comma = None;
    let mut at = 0;
    while let Some(&byte) = bytes.get(at) {
        let next = match byte {
            b'#' => text.get(at..).and_then(|rest| rest.find('\n')).map_or(text.len(), |newline| at + newline),
            b'"' | b'\'' => {
                let end = string_end(text, at);
                if byte == b'"' {
                    forms.extend(newer_escapes(text, at..end));
                }
                end
            }
            _ => at + 1,
        };
        match byte {
            b'[' | b'{' => open.push(byte),
            b'\n' if open.last() == Some(&b'{') => forms.push(Newer {
                at: at..at,
                what: "an inline table on several lines",
                label: "the line ends inside { }",
                help: "write it on one line, or as a table of its own under a header",
            }),
            b']' | b'}' => {
                if let (b'}', Some(comma)) = (byte, last_comma) {
                    forms.push(Newer {
                        at: comma..comma + 1,
                        what: "a comma after the last entry of an inline table",
                        label: "the last comma",
                        help: "take it out",
                    });
                }
                open.pop();
            }
            _ => {}
        }
        match byte {
            b',' => last_comma = Some(at),
            b' ' | b'\t' | b'\r' | b'\n' | b'#' => {}
            _ => last_comma = None,
        }
        at = next.max(at + 1);
    }
    forms
}

/// Byte after the end of the string that begins here.
fn string_end(text: &str, at: usize) -> usize {
    let rest = text.get(at..).unwrap_or_default();
    let basic = rest.starts_with('"');
    let long = if basic { "\"\"\"" } else { "'''" };
    let quote = if rest.starts_with(long) {
        long
    } else if basic {
        "\""
    } else {
        "'"
    };
    let mut inside = at + quote.len();
    while let Some(rest) = text.get(inside..).filter(|rest| !rest.is_empty()) {
        if rest.starts_with(quote) {
            // A multi-line string may end in quotes of its own: """"quoted"""".
            let one = rest.get(..1).unwrap_or_default();
            let run = rest.len() - rest.trim_start_matches(one).len();
            return inside + if quote.len() == 3 { run.min(5) } else { 1 };
        }
        let escaped = basic && rest.starts_with('\\');
        let step: usize = rest.chars().take(if escaped { 2 } else { 1 }).map(char::len_utf8).sum();
        inside += step.max(1);
    }
    text.len()
}

/// The escapes of TOML 1.1 in a basic string.
fn newer_escapes(text: &str, at: Range<usize>) -> Vec<Newer> {
    let raw = text.get(at.clone()).unwrap_or_default();
    let mut forms = Vec::new();
    let mut characters = raw.char_indices();
    while let Some((start, c)) = characters.next() {
        if c != '\\' {
            continue;
        }
        let Some((_, letter)) = characters.next() else { break };
        let (length, what) = match letter {
            'e' => (2, "the escape \\e"),
            'x' => (4, "the escape \\x"),
            _ => continue,
        };
        let start = at.start + start;
        forms.push(Newer {
            at: start..(start + length).min(at.end),
            what,
            label: "not in TOML 1.0",
            help: "write \\u and four hexadecimal digits",
        });
    }
    forms
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]
mod tests {
    use super::{Echoes, newer_forms, string_end};
    use crate::findings::{File, Span};

    /// What was found and the characters that it stands at.
    fn found(text: &str) -> Vec<(&str, &str)> {
        newer_forms(text).into_iter().map(|form| (form.what, &text[form.at])).collect()
    }

    #[test]
    fn toml_1_0_has_no_newer_form() {
        let text = "a = { b = [1,\n 2,\n], c = 'x\\e' } # { \n[t]\nd = [\n 1,\n]\ne = \"\"\"{\n,}\"\"\"\nf = \"\\\\e\"";
        assert_eq!(found(text), []);
    }

    #[test]
    fn newer_forms_are_found_at_their_place() {
        assert_eq!(found("a = { b = 1,\n c = 2 }"), [("an inline table on several lines", "")]);
        assert_eq!(found("a = { b = 1, }"), [("a comma after the last entry of an inline table", ",")]);
        assert_eq!(found("a = \"\\e[0m \\x41\""), [("the escape \\e", "\\e"), ("the escape \\x", "\\x41")]);
    }

    #[test]
    fn strings_end_where_toml_ends_them() {
        for text in ["\"a\\\"b\"", "'a\\'", "\"\"\"a\"\"b\"\"\"", "\"\"\"a\"\"\"\"\"", "''", "\"\"", "'''\n'''"] {
            assert_eq!(string_end(&format!("{text} x"), 0), text.len(), "{text}");
        }
        assert_eq!(string_end("\"abc", 0), 4);
    }

    #[test]
    fn a_broken_header_hides_its_table() {
        let text = "a = 1\n[part\nb = 2\nc = 3\n[metal]\nd = \n";
        let (_, errors) = toml::de::DeTable::parse_recoverable(text);
        let echoes = Echoes::of(text, &errors);
        let hidden = |line: &str| {
            let start = text.find(line).unwrap();
            echoes.touch(Span { file: File::Spec, start, end: start + line.len() })
        };
        assert!(hidden("[part") && hidden("b = 2") && hidden("c = 3") && hidden("d = "));
        assert!(!hidden("a = 1") && !hidden("[metal]"));
    }
}
