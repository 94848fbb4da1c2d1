//! The reader: opens every table, reports unknown keys, asks for each field by name, and never returns early.

use super::limits;
use super::locate;
use super::shape::{Field, Shape, TableShape, reachable};
use crate::findings::{At, Code, File, Finding, Span};
use fields::Owner;
use std::collections::BTreeSet;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

mod fields;

pub(crate) use super::macros::{table, words};
pub use fields::Fields;

pub use super::values::{Date, Identifier, Prose, Setting, Text};

/// A value of the spanned tree that a TOML file is.
pub type Value<'i> = Spanned<DeValue<'i>>;

/// A value that can be read from TOML.
pub trait Read: Sized {
    /// What it looks like, for help texts and the schema.
    fn shape() -> Shape;
    /// Reads it. `None` means that a finding has been made.
    fn read(value: &Value<'_>, reader: &mut Reader<'_>) -> Option<Self>;
    /// What stands for it where it is left out; none where it has to be there.
    fn absent() -> Option<Self> {
        None
    }
}

/// Keys that stand in a file but could not be read, so that nobody complains that they are missing.
///
/// A key is named by its path without the numbers of list entries: `weld.set.amperage`, `step.stage`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Unread(BTreeSet<String>);

impl Unread {
    /// Whether this key, or a table that it lies in, could not be read.
    #[must_use]
    pub fn has(&self, path: &str) -> bool {
        let mut end = path.len();
        loop {
            let Some(part) = path.get(..end) else { return false };
            if self.0.contains(part) {
                return true;
            }
            let Some(dot) = part.rfind('.') else { return false };
            end = dot;
        }
    }

    /// All paths, in alphabetical order.
    pub fn paths(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(String::as_str)
    }

    pub(super) fn insert(&mut self, path: String) {
        self.0.insert(path);
    }
}

/// What a reading carries along: the text of the file, the findings so far, and where it is.
pub struct Reader<'s> {
    text: &'s str,
    file: File,
    root: &'static TableShape,
    /// After a syntax error nothing can be called missing.
    broken: bool,
    findings: Vec<Finding>,
    dropped: usize,
    unread: Unread,
    path: Vec<&'static str>,
    table: &'static str,
    gauge: Option<&'static str>,
}

impl<'s> Reader<'s> {
    pub(super) fn new(text: &'s str, file: File, root: &'static TableShape, broken: bool) -> Self {
        Reader {
            text,
            file,
            root,
            broken,
            findings: Vec::new(),
            dropped: 0,
            unread: Unread::default(),
            path: Vec::new(),
            table: root.name,
            gauge: None,
        }
    }

    /// The findings, how many were dropped because there were too many, and the keys that could not be read.
    pub(super) fn finish(self) -> (Vec<Finding>, usize, Unread) {
        (self.findings, self.dropped, self.unread)
    }

    /// Makes a finding, up to the limit for one file.
    pub fn push(&mut self, finding: Finding) {
        if self.findings.len() < limits::FINDINGS {
            self.findings.push(finding);
        } else {
            self.dropped += 1;
        }
    }

    /// The text of the file.
    #[must_use]
    pub fn text(&self) -> &'s str {
        self.text
    }

    /// Which file it is.
    #[must_use]
    pub fn file(&self) -> File {
        self.file
    }

    /// The start of a value as it stands in the file.
    #[must_use]
    pub fn shown(&self, value: &Value<'_>) -> String {
        self.text.get(value.span()).unwrap_or_default().chars().take(24).collect()
    }

    /// Bytes of the file as a place.
    #[must_use]
    pub fn span(&self, at: Range<usize>) -> Span {
        Span { file: self.file, start: at.start, end: at.end }
    }

    /// The place of a value, its quotes left out.
    #[must_use]
    pub fn value_span(&self, value: &Value<'_>) -> Span {
        match value.get_ref() {
            DeValue::String(_) => self.span(locate::inside(self.text, value.span())),
            _ => self.span(value.span()),
        }
    }

    /// The place of bytes of the decoded text of a string value.
    #[must_use]
    pub fn within(&self, value: &Value<'_>, at: Range<usize>) -> Span {
        self.span(locate::locate(self.text, value.span(), at))
    }

    /// Name of the type of the table that is being read.
    #[must_use]
    pub fn table(&self) -> &'static str {
        self.table
    }

    /// The key that is being read; empty at the root.
    #[must_use]
    pub fn key(&self) -> &'static str {
        self.path.last().copied().unwrap_or_default()
    }

    /// The table of gauge numbers that holds for the metal in hand, where it is known.
    #[must_use]
    pub fn gauge(&self) -> Option<&'static str> {
        self.gauge
    }

    /// Whether a value is one that the parser of TOML put in the place of something that it could not read.
    #[must_use]
    pub fn is_placeholder(&self, value: &Value<'_>) -> bool {
        self.broken && value.span() == (0..0) && !self.path.is_empty()
    }

    /// The finding that a value is of another type than the key takes.
    pub fn wrong_type(&mut self, value: &Value<'_>, shape: &Shape) {
        if self.is_placeholder(value) {
            return;
        }
        let found = type_words(value.get_ref());
        let (key, table) = (self.key(), self.table);
        let field = find_field(self.root, table, key);
        let help =
            field.map_or_else(|| format!("write {}", shape.takes()), |field| format!("it takes {}", field.takes()));
        let finding = Finding::new(Code::KeyType, format!("`{key}` takes {}, and this is {found}", shape.noun()))
            .at(self.value_span(value))
            .label(format!("this is {found}"))
            .help(help);
        self.push(finding);
    }

    fn dotted(&self) -> String {
        self.path.join(".")
    }

    /// Reads the value of a key; what cannot be read is remembered under its path.
    fn enter<T: Read>(&mut self, field: &'static str, owner: &Owner, value: &Value<'_>) -> Option<At<T>> {
        self.path.push(field);
        let before = (self.table, self.gauge);
        (self.table, self.gauge) = (owner.table, owner.gauge);
        let read = if self.is_placeholder(value) { None } else { T::read(value, self) };
        (self.table, self.gauge) = before;
        if read.is_none() {
            let path = self.dotted();
            self.unread.insert(path);
        }
        self.path.pop();
        read.map(|read| At { value: read, span: self.value_span(value) })
    }
}

/// The field of a table by the name of its type.
fn find_field(root: &'static TableShape, table: &str, key: &str) -> Option<&'static Field> {
    let (tables, _) = reachable(root);
    tables.into_iter().find(|shape| shape.name == table)?.field(key)
}

/// What a value of TOML is, with its article.
#[must_use]
pub fn type_words(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number with a point",
        DeValue::Boolean(_) => "a yes or no",
        DeValue::Datetime(date) if date.time.is_some() && date.date.is_some() => "a date with a time",
        DeValue::Datetime(date) if date.date.is_none() => "a time",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// The keys of the root of a file, for what has to be known before it is read.
pub(super) fn peek<'t, 'i>(table: &'t DeTable<'i>, key: &str) -> Option<&'t DeValue<'i>> {
    table.get(key).map(Spanned::get_ref)
}

#[cfg(test)]
mod tests {
    use super::Unread;

    #[test]
    fn a_key_in_an_unread_table_is_unread() {
        let mut unread = Unread::default();
        unread.insert("weld.set".to_owned());
        assert!(unread.has("weld.set.amperage"));
        assert!(unread.has("weld.set"));
        assert!(!unread.has("weld.settings"));
        assert!(!unread.has("weld"));
        assert!(!unread.has(""));
    }
}
