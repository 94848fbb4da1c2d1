//! What the language takes, as data: one description of every table, key and word, from the same declarations that
//! give the types and the reader. Help texts, the schema and the lists of words are made from it.

use crate::units::Kind;

/// What a value of the language looks like.
#[derive(Debug, Clone)]
pub enum Shape {
    /// A short text of one line.
    Text,
    /// A name that may stand in a file name or a step id.
    Identifier,
    /// Prose in CommonMark without HTML.
    Prose,
    /// A date without a time.
    Date,
    /// `true` or `false`.
    Bool,
    /// A whole number.
    Integer,
    /// A number with or without a decimal point.
    Number,
    /// A quantity with its unit, in quotes.
    Quantity(Kind),
    /// One of a fixed list of words.
    Words(&'static WordList),
    /// The author's own value of a figure, with or without its reason.
    Setting(Box<Shape>),
    /// A table.
    Table(&'static TableShape),
}

/// A fixed list of words.
#[derive(Debug)]
pub struct WordList {
    /// Name of the type, unique in its file.
    pub name: &'static str,
    /// What kind of word it is, with its article: `a status`.
    pub what: &'static str,
    /// One sentence about it.
    pub doc: &'static str,
    /// All words, in the order of the language.
    pub words: &'static [&'static str],
}

/// A table of the language.
#[derive(Debug)]
pub struct TableShape {
    /// Name of the type, unique in its file.
    pub name: &'static str,
    /// What a person calls it: `[part]`, `an entry of keep`.
    pub what: &'static str,
    /// One sentence about it.
    pub doc: &'static str,
    /// Its keys, in the order of the language.
    pub fields: &'static [Field],
}

impl TableShape {
    /// The field with this key.
    #[must_use]
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.key == key)
    }
}

/// How often a key stands, and what stands for it when it does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// It must be there.
    Required,
    /// It may be left out.
    Optional,
    /// A list, empty when left out.
    List,
    /// A table, empty when left out.
    Table,
}

/// One key of a table.
#[derive(Debug)]
pub struct Field {
    /// The key as it is written in a file.
    pub key: &'static str,
    /// How often it stands.
    pub mode: Mode,
    /// One sentence about it.
    pub doc: &'static str,
    /// What its value looks like; of a list, what each item looks like.
    pub shape: fn() -> Shape,
}

impl Field {
    /// What the key takes, as the end of a sentence that begins with "it takes".
    #[must_use]
    pub fn takes(&self) -> String {
        let shape = (self.shape)();
        match (self.mode, &shape) {
            (Mode::List, Shape::Words(list)) => format!("a list of {}", any_of(list.words)),
            (Mode::List, Shape::Table(table)) => {
                format!("a list of tables, each with {}", key_list(table.fields.iter().map(|field| field.key)))
            }
            (Mode::List, _) => format!("a list, each item {}", shape.takes()),
            _ => shape.takes(),
        }
    }

    /// A line of a file that gives this key.
    #[must_use]
    pub fn example(&self) -> String {
        let shape = (self.shape)();
        match (self.mode, &shape) {
            (Mode::List, Shape::Table(_)) => format!("[[{}]]", self.key),
            (Mode::List, _) => format!("{} = [{}]", self.key, shape.example()),
            (_, Shape::Table(table)) if table.what.starts_with('[') => table.what.to_owned(),
            _ => format!("{} = {}", self.key, shape.example()),
        }
    }
}

impl Shape {
    /// What it is, with its article: `a length`, `a list`.
    #[must_use]
    pub fn noun(&self) -> &'static str {
        match self {
            Shape::Text | Shape::Identifier | Shape::Prose => "a text",
            Shape::Date => "a date",
            Shape::Bool => "true or false",
            Shape::Integer => "a whole number",
            Shape::Number => "a number",
            Shape::Quantity(kind) => kind.one(),
            Shape::Words(list) => list.what,
            Shape::Setting(inner) => inner.noun(),
            Shape::Table(_) => "a table",
        }
    }

    /// What would be accepted, as the end of a sentence.
    #[must_use]
    pub fn takes(&self) -> String {
        match self {
            Shape::Text | Shape::Identifier => "a text in quotes".to_owned(),
            Shape::Prose => "a text in quotes, or between \"\"\" on several lines".to_owned(),
            Shape::Date => "a date without quotes and without a time, such as 2026-10-02".to_owned(),
            Shape::Bool => "true or false, without quotes".to_owned(),
            Shape::Integer => "a whole number without quotes, such as 2".to_owned(),
            Shape::Number => "a number without quotes, such as 38.0".to_owned(),
            Shape::Quantity(kind) => {
                let quoted: Vec<String> = kind.examples().iter().map(|text| format!("\"{text}\"")).collect();
                format!("{} in quotes, such as {}", kind.one(), or_list(&quoted))
            }
            Shape::Words(list) => any_of(list.words),
            Shape::Setting(inner) => {
                format!("{}, alone or as {{ value = {}, because = \"...\" }}", inner.takes(), inner.example())
            }
            Shape::Table(table) => {
                format!("a table with {}", key_list(table.fields.iter().map(|field| field.key)))
            }
        }
    }

    /// A value as it stands in a file.
    #[must_use]
    pub fn example(&self) -> String {
        match self {
            Shape::Text | Shape::Identifier | Shape::Prose => "\"...\"".to_owned(),
            Shape::Date => "2026-10-02".to_owned(),
            Shape::Bool => "true".to_owned(),
            Shape::Integer => "1".to_owned(),
            Shape::Number => "38.0".to_owned(),
            Shape::Quantity(kind) => {
                format!("\"{}\"", kind.examples().first().copied().unwrap_or_default())
            }
            Shape::Words(list) => format!("\"{}\"", list.words.first().copied().unwrap_or_default()),
            Shape::Setting(inner) => format!("{{ value = {}, because = \"...\" }}", inner.example()),
            Shape::Table(_) => "{ ... }".to_owned(),
        }
    }
}

/// `a`, `a or b`, `a, b or c`.
#[must_use]
pub fn or_list<S: AsRef<str>>(items: &[S]) -> String {
    listed(items, "or")
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn and_list<S: AsRef<str>>(items: &[S]) -> String {
    listed(items, "and")
}

fn listed<S: AsRef<str>>(items: &[S], joint: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [head @ .., last] => {
            let head: Vec<&str> = head.iter().map(AsRef::as_ref).collect();
            format!("{} {joint} {}", head.join(", "), last.as_ref())
        }
    }
}

/// All words of a list, as the end of a sentence.
#[must_use]
pub fn any_of(words: &[&str]) -> String {
    or_list(words)
}

/// Keys in back quotes, as the end of a sentence.
#[must_use]
pub fn key_list<'k>(keys: impl Iterator<Item = &'k str>) -> String {
    let quoted: Vec<String> = keys.map(|key| format!("`{key}`")).collect();
    and_list(&quoted)
}

/// Every table and list of words that can be reached from a table, each once, in the order of the language.
#[must_use]
pub fn reachable(root: &'static TableShape) -> (Vec<&'static TableShape>, Vec<&'static WordList>) {
    let mut tables = Vec::new();
    let mut words = Vec::new();
    walk(Shape::Table(root), &mut tables, &mut words);
    (tables, words)
}

fn walk(shape: Shape, tables: &mut Vec<&'static TableShape>, words: &mut Vec<&'static WordList>) {
    match shape {
        Shape::Table(table) if !tables.iter().any(|known| known.name == table.name) => {
            tables.push(table);
            for field in table.fields {
                walk((field.shape)(), tables, words);
            }
        }
        Shape::Words(list) if !words.iter().any(|known| known.name == list.name) => words.push(list),
        Shape::Setting(inner) => walk(*inner, tables, words),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::{and_list, or_list};

    #[test]
    fn lists_read_as_a_person_writes_them() {
        assert_eq!(or_list::<&str>(&[]), "");
        assert_eq!(or_list(&["low"]), "low");
        assert_eq!(or_list(&["low", "moderate", "high"]), "low, moderate or high");
        assert_eq!(and_list(&["a", "b"]), "a and b");
    }
}
