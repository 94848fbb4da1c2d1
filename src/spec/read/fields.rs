//! An opened table: which keys it has, which it lacks, and how each is asked for.

use super::{Read, Reader, Setting, Value, type_words};
use crate::findings::{At, Code, Finding, Fix, Span};
use crate::spec::nearest::nearest;
use crate::spec::shape::{Field, Mode, Shape, TableShape, key_list, or_list, reachable};
use crate::spec::{gauge, limits};
use std::ops::Range;
use toml::Spanned;
use toml::de::DeValue;

/// The table that a field belongs to, as far as the reading of its value cares.
pub(super) struct Owner {
    pub(super) table: &'static str,
    pub(super) gauge: Option<&'static str>,
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
    pub(in crate::spec) fn setting<T: Read>(value: &'v Value<'i>, reader: &mut Reader<'_>) -> Option<Setting<T>> {
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

/// What the tables are called that know a key.
fn tables_with(root: &'static TableShape, key: &str) -> Vec<&'static str> {
    let (tables, _) = reachable(root);
    let mut names: Vec<&str> =
        tables.iter().filter(|table| table.field(key).is_some()).map(|table| table.what).collect();
    names.dedup();
    names.truncate(4);
    names
}
