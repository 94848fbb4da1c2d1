//! How single values are read: texts, identifiers, prose, dates, numbers, words and the author's own settings.

use super::limits::{self, IdentifierForm};
use super::nearest::nearest;
use super::prose;
use super::read::{Fields, Read, Reader, Value};
use super::shape::{Shape, any_of, or_list};
use super::text::{hostile_places, markup_places};
use crate::findings::{At, Code, File, Finding, Fix};
use jiff::civil;
use toml::de::DeValue;

/// A short text of one line, cleaned of what has no place on a sheet, white space at its ends trimmed.
pub type Text = String;

/// A name that may stand in a file name or a step id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identifier(pub String);

/// The author's prose: CommonMark without raw HTML, kept as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prose(pub String);

/// A calendar date.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date(pub civil::Date);

/// The author's own value of a figure, with the reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting<T> {
    /// The value.
    pub value: At<T>,
    /// Why.
    pub because: Option<At<String>>,
}

/// Lists of words that describe a state of the paperwork alone, so that a misspelt one may be put right by a fix.
const STATE_WORDS: [&str; 4] = ["Status", "QualificationState", "Stage", "UnitsFirst"];

impl Reader<'_> {
    /// The decoded text of a string value; another type is a finding.
    fn string<'v>(&mut self, value: &'v Value<'_>, shape: &Shape) -> Option<&'v str> {
        let DeValue::String(text) = value.get_ref() else {
            self.wrong_type(value, shape);
            return None;
        };
        Some(text.as_ref())
    }

    /// Whether a text holds printable characters alone; the first of each other kind is a finding at its place.
    pub(super) fn printable(&mut self, value: &Value<'_>, text: &str, lines: bool) -> bool {
        let places = hostile_places(text, lines);
        for (family, at, c, count) in &places {
            let key = self.key();
            let name = control_name(*c);
            let mut span = self.within(value, at.clone());
            let mut finding = if matches!(c, '\n' | '\r') {
                // A real end of line is marked where the line ends; one written as an escape, at the escape.
                if self.text().get(span.start..).is_some_and(|rest| rest.starts_with(*c)) {
                    span.end = span.start;
                }
                Finding::new(Code::NameText, format!("`{key}` is a text of one line, and here it breaks"))
                    .label("the line ends here")
                    .help("write it on one line")
            } else {
                Finding::new(Code::NameText, format!("`{key}` holds {}: {name}", family.words()))
                    .label(name)
                    .help("take it out; a text holds characters that print as themselves")
            };
            finding = finding.at(span);
            if *count > 1 {
                finding = finding.note(format!("{count} characters of this kind stand in this text"));
            }
            self.push(finding);
        }
        places.is_empty()
    }

    /// Whether a text is there and not too long; else a finding.
    fn measured(&mut self, value: &Value<'_>, text: &str, most: usize) -> bool {
        let key = self.key();
        if text.trim().is_empty() {
            let finding = Finding::new(Code::NameEmpty, format!("`{key}` is empty"))
                .at(self.value_span(value))
                .label("nothing stands here")
                .help("write what it is, or take the line out");
            self.push(finding);
            return false;
        }
        let length = text.chars().count();
        if length <= most {
            return true;
        }
        let cut = text.char_indices().nth(most).map_or(text.len(), |(at, _)| at);
        let finding =
            Finding::new(Code::NameLength, format!("`{key}` has {length} characters, and its place holds {most}"))
                .at(self.within(value, cut..text.len()))
                .label("too long from here on")
                .help(match (self.file(), key) {
                    (File::Spec, key) if key != "summary" => "shorten it; what is longer belongs in `summary`",
                    _ => "shorten it",
                });
        self.push(finding);
        false
    }

    /// A short text of one line.
    fn text_value(&mut self, value: &Value<'_>) -> Option<String> {
        let text = self.string(value, &Shape::Text)?;
        let printable = self.printable(value, text, false);
        let measured = self.measured(value, text, limits::text(self.table(), self.key()));
        for (markup, at) in markup_places(text) {
            let key = self.key();
            let finding = Finding::new(Code::NameMarkup, format!("`{key}` holds {}", markup.words()))
                .at(self.within(value, at))
                .label("plain text here, printed as it stands")
                .help("take it out if it was not meant to be read");
            self.push(finding);
        }
        (printable && measured).then(|| text.trim().to_owned())
    }

    /// One of a list of words.
    pub fn word(&mut self, value: &Value<'_>, shape: &Shape) -> Option<&'static str> {
        let Shape::Words(list) = shape else { return None };
        let text = self.string(value, shape)?;
        if let Some(word) = list.words.iter().find(|word| **word == text) {
            return Some(word);
        }
        if !self.printable(value, text, false) || !self.measured(value, text, limits::TEXT) {
            return None;
        }
        let span = self.value_span(value);
        let shown: String = text.chars().take(40).collect();
        let finding = Finding::new(Code::WordUnknown, format!("\"{shown}\" is not {}", list.what)).at(span);
        // Words that differ in case or in joints alone are the same word; others may be a slip of the hand.
        let same: Vec<&str> = list.words.iter().copied().filter(|word| folded(word) == folded(text)).collect();
        let near = if same.is_empty() { nearest(text, list.words.iter().copied()) } else { same.clone() };
        let quoted: Vec<String> = near.iter().map(|word| format!("\"{word}\"")).collect();
        let mut finding = match quoted.is_empty() {
            true => finding.label("not in the list"),
            false => finding.label(format!("did you mean {}?", or_list(&quoted))),
        };
        if let [word] = near.as_slice()
            && (!same.is_empty() || STATE_WORDS.contains(&list.name))
        {
            finding.fix = Some(Fix { span, text: (*word).to_owned() });
        }
        let finding = finding.help(format!("`{}` takes {}", self.key(), any_of(list.words)));
        self.push(finding);
        None
    }

    fn identifier(&mut self, value: &Value<'_>) -> Option<Identifier> {
        let text = self.string(value, &Shape::Identifier)?;
        let key = self.key();
        if !self.printable(value, text, false) || !self.measured(value, text, limits::IDENTIFIER) {
            return None;
        }
        let form = limits::identifier(self.table(), key);
        if let Some(at) = form.misfit(text) {
            let c = text.get(at..).and_then(|rest| rest.chars().next());
            let end = at + c.map_or(0, char::len_utf8);
            let label = match c {
                Some('/' | '\\') => "part of a path".to_owned(),
                Some('.') if text.get(at..).is_some_and(|rest| rest.starts_with("..")) || at == 0 => {
                    "part of a path".to_owned()
                }
                Some('.') if text.get(..at).is_some_and(|before| before.ends_with('.')) => "part of a path".to_owned(),
                Some(' ') => "a space".to_owned(),
                Some(c) if c.is_ascii() => format!("`{c}` does not fit here"),
                Some(c) => format!("`{c}` (U+{:04X}) does not fit here", u32::from(c)),
                None => "too short".to_owned(),
            };
            let finding = Finding::new(Code::NameIdentifier, format!("`{key}` cannot be \"{text}\""))
                .at(self.within(value, at..end))
                .label(label)
                .help(format!("it takes {}", form.words()));
            self.push(finding);
            return None;
        }
        if form == IdentifierForm::Number && reserved(text) {
            let finding = Finding::new(Code::NameIdentifier, format!("`{key}` cannot be \"{text}\""))
                .at(self.value_span(value))
                .label("not a file name everywhere")
                .help("some systems keep this name for a device; take another");
            self.push(finding);
            return None;
        }
        Some(Identifier(text.to_owned()))
    }

    fn prose(&mut self, value: &Value<'_>) -> Option<Prose> {
        let text = self.string(value, &Shape::Prose)?;
        let printable = self.printable(value, text, true);
        if !self.measured(value, text, limits::PROSE) {
            return None;
        }
        let faults = prose::faults(text);
        let sound = faults.is_empty();
        for fault in faults {
            let finding = Finding::new(fault.code, fault.message)
                .at(self.within(value, fault.at))
                .label(fault.label)
                .help(fault.help);
            self.push(finding);
        }
        (printable && sound).then(|| Prose(text.to_owned()))
    }

    fn date(&mut self, value: &Value<'_>) -> Option<Date> {
        let written = match value.get_ref() {
            DeValue::Datetime(written) => written,
            _ => {
                self.wrong_type(value, &Shape::Date);
                return None;
            }
        };
        let (Some(date), None, None) = (written.date, written.time, written.offset) else {
            self.wrong_type(value, &Shape::Date);
            return None;
        };
        let parts = (i16::try_from(date.year), i8::try_from(date.month), i8::try_from(date.day));
        let read = match parts {
            (Ok(year), Ok(month), Ok(day)) => civil::Date::new(year, month, day).ok(),
            _ => None,
        };
        // Before this no welding procedure was written, and after it this one will be forgotten.
        let read = read.filter(|date| (1900..=2200).contains(&date.year()));
        if read.is_none() {
            let key = self.key();
            let finding = Finding::new(Code::KeyDate, format!("`{key}` is not a day that can be meant"))
                .at(self.value_span(value))
                .label("no such day in our time")
                .help("a date is year, month, day: 2026-10-02");
            self.push(finding);
        }
        read.map(Date)
    }

    fn whole(&mut self, value: &Value<'_>) -> Option<i64> {
        let DeValue::Integer(written) = value.get_ref() else {
            self.wrong_type(value, &Shape::Integer);
            return None;
        };
        let number = i64::from_str_radix(written.as_str(), written.radix()).ok();
        let (low, high) = limits::whole(self.table(), self.key());
        let fits = number.filter(|number| (low..=high).contains(number));
        if fits.is_none() {
            let key = self.key();
            let help = match (low, high) {
                (i64::MIN, _) | (_, i64::MAX) => "a smaller number".to_owned(),
                _ => format!("it takes {low} to {high}"),
            };
            let finding = Finding::new(Code::QuantityAbsurd, format!("`{key}` cannot be {}", self.shown(value)))
                .at(self.value_span(value))
                .label("out of range")
                .help(help);
            self.push(finding);
        }
        fits
    }

    fn number(&mut self, value: &Value<'_>) -> Option<f64> {
        let number = match value.get_ref() {
            DeValue::Integer(written) => written.as_str().parse::<f64>().ok(),
            DeValue::Float(written) => written.as_str().parse::<f64>().ok(),
            _ => {
                self.wrong_type(value, &Shape::Number);
                return None;
            }
        };
        // Prices are the only bare numbers of the language.
        let fits = number.filter(|number| number.is_finite() && (0.0..=1e9).contains(number));
        if fits.is_none() {
            let key = self.key();
            let finding = Finding::new(Code::QuantityAbsurd, format!("`{key}` cannot be {}", self.shown(value)))
                .at(self.value_span(value))
                .label("out of range")
                .help("a number of zero or more, such as 38.0");
            self.push(finding);
        }
        fits
    }
}

/// What a person calls a character that cannot be seen.
fn control_name(c: char) -> String {
    let name = match c {
        '\u{1b}' => "escape, which steers a terminal",
        '\0' => "the zero byte",
        '\u{7}' => "bell",
        '\t' => "tab",
        '\n' | '\r' => "end of line",
        '\u{202e}' => "right-to-left override",
        '\u{200b}' => "zero-width space",
        '\u{200d}' => "zero-width joiner",
        '\u{feff}' => "byte order mark",
        _ => return format!("U+{:04X}", u32::from(c)),
    };
    format!("U+{:04X}, {name}", u32::from(c))
}

/// A word without case and joints: "Sand_Casting" is "sand casting".
fn folded(word: &str) -> String {
    word.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// Names that some systems keep for devices, whatever the ending.
fn reserved(text: &str) -> bool {
    text.split('/').any(|part| {
        let stem = part.split('.').next().unwrap_or_default().to_ascii_lowercase();
        let numbered =
            |start: &str| stem.strip_prefix(start).is_some_and(|rest| matches!(rest.as_bytes(), [b'1'..=b'9']));
        matches!(stem.as_str(), "con" | "prn" | "aux" | "nul") || numbered("com") || numbered("lpt")
    })
}

impl Read for String {
    fn shape() -> Shape {
        Shape::Text
    }
    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        reader.text_value(value)
    }
}

impl Read for Identifier {
    fn shape() -> Shape {
        Shape::Identifier
    }
    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        reader.identifier(value)
    }
}

impl Read for Prose {
    fn shape() -> Shape {
        Shape::Prose
    }
    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        reader.prose(value)
    }
}

impl Read for Date {
    fn shape() -> Shape {
        Shape::Date
    }
    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        reader.date(value)
    }
}

impl Read for bool {
    fn shape() -> Shape {
        Shape::Bool
    }
    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        if let DeValue::Boolean(read) = value.get_ref() {
            return Some(*read);
        }
        reader.wrong_type(value, &Shape::Bool);
        None
    }
}

impl Read for i64 {
    fn shape() -> Shape {
        Shape::Integer
    }
    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        reader.whole(value)
    }
}

impl Read for f64 {
    fn shape() -> Shape {
        Shape::Number
    }
    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        reader.number(value)
    }
}

impl<T: Read> Read for Setting<T> {
    fn shape() -> Shape {
        Shape::Setting(Box::new(T::shape()))
    }
    /// Reads a bare value, or a table of the value and its reason.
    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let DeValue::Table(_) = value.get_ref() else {
            let read = T::read(value, reader)?;
            return Some(Setting { value: At { value: read, span: reader.value_span(value) }, because: None });
        };
        Fields::setting(value, reader)
    }
}
