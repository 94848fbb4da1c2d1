//! The JSON Schema of the language, and the list of all its words, made from the declarations that read it.

use crate::kit::Kit;
use crate::run::RunRecord;
use crate::spec::limits::{self, IdentifierForm};
use crate::spec::read::Read;
use crate::spec::shape::{Field, Mode, Shape, TableShape, reachable};
use crate::spec::types::Spec;
use serde_json::{Map, Value, json};

/// Which of the files of the language.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// The repair spec.
    Spec,
    /// The shop's kit.
    Kit,
    /// The run record.
    Run,
}

impl Which {
    /// All of them.
    pub const ALL: [Which; 3] = [Which::Spec, Which::Kit, Which::Run];

    /// The word that `interpass schema` takes.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Which::Spec => "spec",
            Which::Kit => "kit",
            Which::Run => "run",
        }
    }

    fn shape(self) -> Shape {
        match self {
            Which::Spec => Spec::shape(),
            Which::Kit => Kit::shape(),
            Which::Run => RunRecord::shape(),
        }
    }

    fn root(self) -> Option<&'static TableShape> {
        match self.shape() {
            Shape::Table(table) => Some(table),
            _ => None,
        }
    }
}

/// Which draft of JSON Schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Draft {
    /// Draft 7, which common editors read.
    #[default]
    Draft07,
    /// 2020-12.
    Draft2020,
}

impl Draft {
    fn address(self) -> &'static str {
        match self {
            Draft::Draft07 => "http://json-schema.org/draft-07/schema#",
            Draft::Draft2020 => "https://json-schema.org/draft/2020-12/schema",
        }
    }

    fn definitions(self) -> &'static str {
        match self {
            Draft::Draft07 => "definitions",
            Draft::Draft2020 => "$defs",
        }
    }
}

/// The JSON Schema of a file of the language.
///
/// It says what an editor can check while one types: keys, types, words, forms of names. Units and sense are checked by
/// the program alone.
#[must_use]
pub fn schema(which: Which, draft: Draft) -> Value {
    let Some(root) = which.root() else { return Value::Null };
    let (tables, words) = reachable(root);
    let mut definitions = Map::new();
    for table in tables.into_iter().filter(|table| table.name != root.name) {
        definitions.insert(table.name.to_owned(), object(table, draft));
    }
    for list in words {
        let mut value = json!({ "type": "string", "enum": list.words });
        describe(&mut value, list.doc);
        definitions.insert(list.name.to_owned(), value);
    }
    let mut value = object(root, draft);
    if let Value::Object(members) = &mut value {
        members.insert("$schema".to_owned(), draft.address().into());
        members.insert("title".to_owned(), format!("interpass {}", which.word()).into());
        members.insert(draft.definitions().to_owned(), Value::Object(definitions));
    }
    value
}

fn describe(value: &mut Value, doc: &str) {
    if let Value::Object(members) = value {
        members.insert("description".to_owned(), doc.trim().into());
    }
}

fn object(table: &'static TableShape, draft: Draft) -> Value {
    let properties: Map<String, Value> =
        table.fields.iter().map(|field| (field.key.to_owned(), property(table, field, draft))).collect();
    let required: Vec<&str> =
        table.fields.iter().filter(|field| field.mode == Mode::Required).map(|field| field.key).collect();
    let mut value = json!({ "type": "object", "additionalProperties": false, "properties": properties });
    if let (false, Value::Object(members)) = (required.is_empty(), &mut value) {
        members.insert("required".to_owned(), required.into());
    }
    describe(&mut value, table.doc);
    value
}

fn property(table: &'static TableShape, field: &Field, draft: Draft) -> Value {
    let inner = typed(&(field.shape)(), table.name, field.key, draft);
    let mut value = match field.mode {
        Mode::List => json!({ "type": "array", "items": inner, "maxItems": limits::LIST_ENTRIES }),
        // Beside a reference, draft 7 reads nothing, so a description needs a wrapper.
        _ if inner.get("$ref").is_some() => json!({ "allOf": [inner] }),
        _ => inner,
    };
    if (table.name, field.key) == ("Spec", "format")
        || (table.name, field.key) == ("Kit", "format")
        || (table.name, field.key) == ("RunRecord", "format")
    {
        value = json!({ "const": crate::spec::file::FORMAT });
    }
    describe(&mut value, field.doc);
    value
}

fn typed(shape: &Shape, table: &str, key: &str, draft: Draft) -> Value {
    match shape {
        Shape::Text => json!({ "type": "string", "minLength": 1, "maxLength": limits::text(table, key) }),
        Shape::Identifier => {
            let form: IdentifierForm = limits::identifier(table, key);
            json!({ "type": "string", "maxLength": limits::IDENTIFIER, "pattern": form.pattern() })
        }
        Shape::Prose => json!({ "type": "string", "minLength": 1, "maxLength": limits::PROSE }),
        Shape::Date => json!({ "type": "string", "format": "date" }),
        Shape::Bool => json!({ "type": "boolean" }),
        Shape::Integer => match limits::whole(table, key) {
            (i64::MIN, i64::MAX) => json!({ "type": "integer" }),
            (low, high) => json!({ "type": "integer", "minimum": low, "maximum": high }),
        },
        Shape::Number => json!({ "type": "number", "minimum": 0 }),
        Shape::Quantity(kind) => {
            let examples = kind.examples();
            json!({ "type": "string", "maxLength": limits::QUANTITY, "pattern": QUANTITY, "examples": examples })
        }
        Shape::Words(list) => json!({ "$ref": format!("#/{}/{}", draft.definitions(), list.name) }),
        Shape::Table(table) => json!({ "$ref": format!("#/{}/{}", draft.definitions(), table.name) }),
        Shape::Setting(inner) => {
            let inner = typed(inner, table, key, draft);
            let reason = json!({ "type": "string", "minLength": 1, "maxLength": limits::text("Setting", "because") });
            json!({ "anyOf": [
                inner,
                {
                    "type": "object",
                    "additionalProperties": false,
                    "properties": { "value": inner, "because": reason },
                    "required": ["value"],
                },
            ] })
        }
    }
}

/// A number, and something after it that is no part of a number: the unit.
const QUANTITY: &str = "^\\s*[-+]?[0-9½¼¾⅛⅜⅝⅞⅓⅔].*[^0-9.\\s]\\s*[0-9.]*\\s*$";

/// All fixed lists of words of the language: what kind of word it is, and the words. Each list once, spec before kit
/// before run record.
#[must_use]
pub fn all_words() -> Vec<(&'static str, Vec<&'static str>)> {
    let mut lists: Vec<(&'static str, Vec<&'static str>)> = Vec::new();
    for root in Which::ALL.into_iter().filter_map(Which::root) {
        let (_, words) = reachable(root);
        for list in words {
            let entry = (list.what, list.words.to_vec());
            if !lists.contains(&entry) {
                lists.push(entry);
            }
        }
    }
    lists
}
