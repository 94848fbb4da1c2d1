//! The reader: opens every table, reports unknown keys, asks for each field by name, and never returns early.

use super::limits;
use super::nearest::nearest;
use super::shape::{Field, Mode, Shape, TableShape, key_list, or_list};
use super::{gauge, locate};
use crate::findings::{At, Code, File, Finding, Fix, Span};
use std::collections::BTreeSet;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

pub(crate) use super::macros::{table, words};
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

/// The table that a field belongs to, as far as the reading of its value cares.
struct Owner {
    table: &'static str,
    gauge: Option<&'static str>,
}

/// An opened table: its keys have been compared with the known ones, its fields can be asked for by name.
pub struct Fields<'v, 'i> {
    shape: &'static TableShape,
    owner: Owner,
    at: Span,
    found: Vec<(&'static Field, &'v Value<'i>)>,
    /// Keys that a misspelt one may have meant: nobody calls them missing.
    excused: Vec<&'static str>,
}

impl<'v, 'i> Fields<'v, 'i> {
    /// Opens a table and reports its unknown keys; none where the value is no table.
    ///
    /// A misspelt key with one near name is read as that name, so that its value is checked too.
    pub fn open(value: &'v Value<'i>, shape: &Shape, reader: &mut Reader<'_>) -> Option<Self> {
        let Shape::Table(table) = shape else { return None };
        let DeValue::Table(entries) = value.get_ref() else {
            reader.wrong_type(value, shape);
            return None;
        };
        let owner = Owner { table: table.name, gauge: gauge::table_for(table.name, entries).unwrap_or(reader.gauge) };
        let mut fields =
            Fields { shape: table, owner, at: header(value, reader), found: Vec::new(), excused: Vec::new() };
        let mut unknown = Vec::new();
        for (key, value) in entries {
            match table.field(key.get_ref()) {
                Some(field) => fields.found.push((field, value)),
                None => unknown.push((key, value)),
            }
        }
        unknown.sort_by_key(|(key, _)| key.span().start);
        for (key, value) in unknown {
            fields.unknown(key.get_ref(), key.span(), value, reader);
        }
        Some(fields)
    }

    /// Reports an unknown key, and takes it for the one that it may have meant.
    fn unknown(&mut self, written: &str, at: Range<usize>, value: &'v Value<'i>, reader: &mut Reader<'_>) {
        let absent: Vec<&'static Field> = self
            .shape
            .fields
            .iter()
            .filter(|field| !self.found.iter().any(|(known, _)| known.key == field.key))
            .collect();
        let meant = nearest(written, absent.iter().map(|field| field.key));
        let span = reader.span(at);
        let finding = Finding::new(Code::KeyUnknown, format!("no key `{written}` in {}", self.shape.what)).at(span);
        let finding = match meant.as_slice() {
            [one] => {
                let field = absent.iter().find(|field| field.key == *one);
                let takes = field.map(|field| field.takes()).unwrap_or_default();
                let mut finding = finding.label(format!("did you mean `{one}`?")).help(format!("it takes {takes}"));
                finding.fix = Some(Fix { span, text: (*one).to_owned() });
                if let Some(field) = field {
                    self.found.push((field, value));
                }
                finding
            }
            [] => {
                let known = key_list(absent.iter().map(|field| field.key));
                match (tables_with(reader.root, written).as_slice(), known.as_str()) {
                    // The two keys of a setting are its own; what other tables know is no help there.
                    (tables @ [_, ..], _) if self.shape.name != SETTING.name => finding
                        .label(format!("it is a key of {}", or_list(tables)))
                        .help("move it there, or take it out"),
                    (_, "") => finding.label("not known here").help("take it out"),
                    (_, known) => {
                        finding.label("not known here").help(format!("{} also takes {known}", self.shape.what))
                    }
                }
            }
            several => {
                self.excused.extend(absent.iter().map(|field| field.key).filter(|key| several.contains(key)));
                let names: Vec<String> = several.iter().map(|name| format!("`{name}`")).collect();
                finding
                    .label(format!("did you mean {}?", or_list(&names)))
                    .help("take the one that is meant; each has a meaning of its own")
            }
        };
        for key in &self.excused {
            reader.path.push(key);
            let path = reader.dotted();
            reader.unread.insert(path);
            reader.path.pop();
        }
        reader.push(finding);
    }

    /// The place of the table: its header line, or the whole of an inline table.
    #[must_use]
    pub fn span(&self) -> Span {
        self.at
    }

    fn value(&self, key: &str) -> Option<(&'static str, &'v Value<'i>)> {
        self.found.iter().find(|(field, _)| field.key == key).map(|(field, value)| (field.key, *value))
    }

    /// A field that must be there.
    pub fn required<T: Read>(&self, key: &str, reader: &mut Reader<'_>) -> Option<At<T>> {
        match self.value(key) {
            Some((key, value)) => reader.enter(key, &self.owner, value),
            None => {
                self.missing(key, reader);
                None
            }
        }
    }

    /// A field that may be left out.
    pub fn optional<T: Read>(&self, key: &str, reader: &mut Reader<'_>) -> Option<At<T>> {
        let (key, value) = self.value(key)?;
        reader.enter(key, &self.owner, value)
    }

    /// A table that is empty when it is left out, or when it is no table.
    pub fn table<T: Read>(&self, key: &str, reader: &mut Reader<'_>) -> Option<T> {
        self.optional::<T>(key, reader).map(|at| at.value).or_else(T::absent)
    }

    /// A list that is empty when it is left out.
    pub fn list<T: Read>(&self, key: &str, reader: &mut Reader<'_>) -> Vec<At<T>> {
        let Some((key, value)) = self.value(key) else { return Vec::new() };
        let DeValue::Array(entries) = value.get_ref() else {
            reader.path.push(key);
            reader.table = self.shape.name;
            self.no_list::<T>(key, value, reader);
            let path = reader.dotted();
            reader.unread.insert(path);
            reader.path.pop();
            return Vec::new();
        };
        if entries.len() > limits::LIST_ENTRIES {
            let first = entries.get(limits::LIST_ENTRIES).map_or_else(|| value.span(), Spanned::span);
            let finding = Finding::new(
                Code::KeyMany,
                format!("`{key}` has {} entries, and a sheet holds {} of them", entries.len(), limits::LIST_ENTRIES),
            )
            .at(reader.span(first))
            .label("one too many from here on")
            .help("leave out what does not matter for this job");
            reader.push(finding);
        }
        let entries = entries.iter().take(limits::LIST_ENTRIES);
        entries.filter_map(|entry| reader.enter(key, &self.owner, entry)).collect()
    }

    /// The author's own value of a figure, written as a table of the value and its reason.
    ///
    /// The value is read as that of the figure's own key, so that limits and messages are those of the figure.
    pub(super) fn setting<T: Read>(value: &'v Value<'i>, reader: &mut Reader<'_>) -> Option<Setting<T>> {
        let (table, gauge) = (reader.table, reader.gauge);
        let fields = Fields::open(value, &Shape::Table(&SETTING), reader)?;
        let because = fields.optional::<String>("because", reader);
        let Some((_, inner)) = fields.value("value") else {
            if !reader.broken {
                let key = reader.key();
                let finding = Finding::new(Code::KeyMissing, format!("`{key}` is a table without a `value`"))
                    .at(fields.at)
                    .label("`value` is missing")
                    .help(format!("add value = {}", T::shape().example()));
                reader.push(finding);
            }
            return None;
        };
        (reader.table, reader.gauge) = (table, gauge);
        let read = T::read(inner, reader)?;
        Some(Setting { value: At { value: read, span: reader.value_span(inner) }, because })
    }

    /// The finding that something else stands where a list belongs.
    fn no_list<T: Read>(&self, key: &str, value: &Value<'_>, reader: &mut Reader<'_>) {
        if reader.is_placeholder(value) {
            return;
        }
        let found = type_words(value.get_ref());
        let raw = reader.text.get(value.span()).unwrap_or_default();
        let help = match (value.get_ref(), T::shape()) {
            (DeValue::Table(_), _) if raw.starts_with('[') => format!("write the header in double brackets: [[{key}]]"),
            (DeValue::String(_) | DeValue::Table(_), _) if !raw.contains('\n') && raw.len() < 60 => {
                format!("put it in square brackets: {key} = [{raw}]")
            }
            (_, shape) => format!("such as {key} = [{}]", shape.example()),
        };
        let finding = Finding::new(Code::KeyType, format!("`{key}` takes a list, and this is {found}"))
            .at(reader.value_span(value))
            .label(format!("this is {found}"))
            .help(help);
        reader.push(finding);
    }

    /// The finding that a required field is missing.
    fn missing(&self, key: &str, reader: &mut Reader<'_>) {
        if reader.broken || self.excused.contains(&key) {
            return;
        }
        let Some(field) = self.shape.field(key) else { return };
        // What the metal is gets a code of its own, which also holds where [metal] is there but says nothing.
        let code = if self.shape.name == "Spec" && key == "metal" { Code::MetalMissing } else { Code::KeyMissing };
        let what = match (field.shape)() {
            Shape::Table(table) if table.what.starts_with('[') => table.what.to_owned(),
            _ => format!("`{key}`"),
        };
        let finding = Finding::new(code, format!("{} has no {what}", self.shape.what))
            .at(self.at)
            .label(format!("{what} is missing"))
            .help(format!("add {} ({})", field.example(), lower_first(field.doc.trim_end_matches(['.', ' ']).trim())));
        reader.push(finding);
    }
}

/// The two keys of an author's own value.
static SETTING: TableShape = TableShape {
    name: "Setting",
    what: "a setting",
    doc: "The author's own value of a figure, with the reason.",
    fields: &[
        Field { key: "value", mode: Mode::Required, doc: "The value.", shape: || Shape::Text },
        Field {
            key: "because",
            mode: Mode::Optional,
            doc: "Why; needed when the value leaves the worked-out range.",
            shape: || Shape::Text,
        },
    ],
};

/// A sentence as a part of another one.
fn lower_first(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| first.to_lowercase().chain(characters).collect())
}

/// The place of a table for what concerns it as a whole.
fn header(value: &Value<'_>, reader: &Reader<'_>) -> Span {
    if reader.path.is_empty() {
        return reader.span(0..0);
    }
    reader.span(value.span())
}

/// The field of a table by the name of its type.
fn find_field(root: &'static TableShape, table: &str, key: &str) -> Option<&'static Field> {
    let (tables, _) = super::shape::reachable(root);
    tables.into_iter().find(|shape| shape.name == table)?.field(key)
}

/// What the tables are called that know a key.
fn tables_with(root: &'static TableShape, key: &str) -> Vec<&'static str> {
    let (tables, _) = super::shape::reachable(root);
    let mut names: Vec<&str> =
        tables.iter().filter(|table| table.field(key).is_some()).map(|table| table.what).collect();
    names.dedup();
    names.truncate(4);
    names
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
