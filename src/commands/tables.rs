//! `tables`: the built-in tables and their sources, the words of the language, the figures and the codes of findings.

use super::fault::Fault;
use super::layout::{columns, wrapped};
use super::out::Out;
use crate::engine::FigureName;
use crate::findings::Code;
use crate::reference::{self, Source, TableInfo, all_tables};
use crate::schema::all_words;
use crate::sheet::words::english;
use crate::spec::nearest::{near, nearest};
use crate::units::show;
use serde_json::{Map, Value, json};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What `tables` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    interpass tables\n  \
    interpass tables alloy A356.0\n  \
    interpass tables codes quantity-without-unit\n  \
    interpass tables sources --json")]
pub(crate) struct Args {
    /// A table; also: codes, figures, words, sources. Left out: the list of all tables.
    #[arg(value_name = "NAME")]
    name: Option<String>,
    /// A row of it: its key, or the start of it.
    #[arg(value_name = "ROW")]
    row: Option<String>,
    /// As JSON.
    #[arg(long)]
    json: bool,
}

/// A table that is printed from the program and not from a file of facts.
const OTHERS: [(&str, &str); 4] = [
    ("codes", "what every finding means and how to resolve it"),
    ("figures", "every figure that is worked out, with its unit"),
    ("sources", "what the keys of sources stand for"),
    ("words", "the words that the keys of a spec, a kit or a run record take"),
];

/// Prints a table.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    let Some(name) = &args.name else { return list(args.json, out) };
    let folded = name.trim().to_lowercase().replace([' ', '-'], "_");
    let rows = match folded.as_str() {
        "codes" | "code" => codes(),
        "figures" | "figure" => figures(),
        "sources" | "source" => sources(),
        "words" | "word" => words(),
        _ => facts(&folded, name)?,
    };
    let rows = match &args.row {
        Some(row) => chosen(rows, name, row)?,
        None => rows,
    };
    if args.json {
        return print_json(&folded, &rows, out);
    }
    let whole = args.row.is_some() && rows.len() == 1;
    rows.iter().try_for_each(|row| out.print(&if whole { row.in_full() } else { row.in_short() }))
}

/// A row as it is printed.
struct Row {
    key: String,
    /// Stands beside the key.
    kind: String,
    fields: Vec<(String, Value)>,
    /// Source, locator and basis, where it is a fact.
    cite: Option<(String, String, String)>,
}

impl Row {
    fn cited(&self) -> String {
        self.cite.as_ref().map_or(String::new(), |(source, locator, basis)| {
            if locator.is_empty() { format!("{basis}: {source}") } else { format!("{basis}: {source}, {locator}") }
        })
    }

    fn head(&self) -> String {
        if self.kind.is_empty() { format!("{}\n", self.key) } else { format!("{} ({})\n", self.key, self.kind) }
    }

    /// Key, fields in a paragraph, source.
    fn in_short(&self) -> String {
        let fields: Vec<String> = self.fields.iter().map(|(key, value)| labelled(key, value)).collect();
        format!("{}{}{}", self.head(), wrapped(&fields.join("; "), 2), wrapped(&self.cited(), 2))
    }

    /// A field a line, and what the source is.
    fn in_full(&self) -> String {
        let mut lines: Vec<Vec<String>> =
            self.fields.iter().map(|(key, value)| vec![format!("  {}", key.replace('_', " ")), cell(value)]).collect();
        if let Some((source, locator, basis)) = &self.cite {
            lines.push(vec!["  basis".to_owned(), basis.clone()]);
            let title = reference::source_by_key(source).map_or(String::new(), |row| format!(": {}", row.title));
            lines.push(vec!["  source".to_owned(), format!("{source}{title}")]);
            if !locator.is_empty() {
                lines.push(vec!["  where".to_owned(), locator.clone()]);
            }
        }
        format!("{}{}", self.head(), columns(&lines))
    }
}

fn labelled(key: &str, value: &Value) -> String {
    if key.is_empty() { cell(value) } else { format!("{} {}", key.replace('_', " "), cell(value)) }
}

/// A value as it is read: a pair of numbers is a range, a list its items.
fn cell(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Bool(flag) => (if *flag { "yes" } else { "no" }).to_owned(),
        Value::Number(number) => number_text(number),
        Value::Null => String::new(),
        Value::Array(list) => match list.as_slice() {
            [Value::Number(low), Value::Number(high)] if low == high => number_text(low),
            [Value::Number(low), Value::Number(high)] => format!("{} to {}", number_text(low), number_text(high)),
            list => list.iter().map(cell).collect::<Vec<_>>().join(", "),
        },
        Value::Object(object) => {
            object.iter().map(|(key, value)| format!("{key} {}", cell(value))).collect::<Vec<_>>().join(", ")
        }
    }
}

fn number_text(number: &serde_json::Number) -> String {
    number.as_f64().map_or_else(|| number.to_string(), |value| show::trimmed(format!("{value}")))
}

fn list(as_json: bool, out: &mut Out) -> Result<(), Fault> {
    let tables = all_tables();
    let counted = tables.iter().map(|table| (table.name, (table.check)().map_or(0, |rows| rows.len()), heading(table)));
    let counted: Vec<(&str, usize, String)> = counted.collect();
    if as_json {
        let entries = counted.iter().map(|(name, rows, about)| json!({ "name": name, "rows": rows, "about": about }));
        return pretty(&Value::Array(entries.collect()), out);
    }
    let mut rows: Vec<Vec<String>> = counted
        .into_iter()
        .map(|(name, rows, about)| vec![name.replace('_', "-"), format!("{rows} rows"), about])
        .collect();
    rows.extend(OTHERS.iter().map(|(name, about)| vec![(*name).to_owned(), String::new(), (*about).to_owned()]));
    out.print(&columns(&rows))?;
    out.print("\nOne table: interpass tables NAME; one row: interpass tables NAME ROW\n")
}

/// What the comment at the head of a file of facts says of a table: what follows its name, else the first sentence.
fn heading(table: &TableInfo) -> String {
    let text = table.files.first().map_or("", |file| file.text);
    let lines = text.lines().take_while(|line| line.starts_with('#'));
    let text = lines.map(|line| line.trim_start_matches('#').trim()).collect::<Vec<_>>().join(" ");
    let text = match text.split_once(&format!("`{}`", table.name)) {
        Some((_, after)) => after.split('`').next().unwrap_or_default(),
        None => &text,
    };
    let end = text.find(". ").unwrap_or(text.len());
    let sentence = text.get(..end).unwrap_or_default();
    sentence.trim_matches(|c: char| c.is_whitespace() || ".,;:".contains(c)).to_owned()
}

/// The rows of a table of facts, fields in the order of its file.
fn facts(folded: &str, name: &str) -> Result<Vec<Row>, Fault> {
    let tables = all_tables();
    let singular = folded.strip_suffix('s').unwrap_or(folded);
    let Some(table) = tables.iter().find(|table| table.name == folded || table.name == singular) else {
        let names: Vec<&str> =
            tables.iter().map(|table| table.name).chain(OTHERS.iter().map(|(name, _)| *name)).collect();
        let near = nearest(folded, names);
        let near = near.first().map_or(String::new(), |near| format!("; did you mean {near}?"));
        return Err(Fault::Call(format!("there is no table called {name}{near} (interpass tables prints the list)")));
    };
    let keys = (table.check)().map_err(Fault::Internal)?;
    let mut keys = keys.into_iter().map(|(key, _)| key);
    let mut found = Vec::new();
    for file in table.files {
        let read = DeTable::parse(file.text).map_err(|error| Fault::Internal(error.to_string()))?;
        let Some(DeValue::Array(rows)) = read.get_ref().get(table.name).map(Spanned::get_ref) else {
            return Err(Fault::Internal(format!("no rows of {} in {}", table.name, file.name)));
        };
        for row in rows {
            if let (DeValue::Table(row), Some(key)) = (row.get_ref(), keys.next()) {
                found.push(fact(key, row));
            }
        }
    }
    Ok(found)
}

fn fact(key: String, row: &DeTable<'_>) -> Row {
    let mut entries: Vec<_> = row.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    let mut fields: Vec<(String, Value)> =
        entries.into_iter().map(|(key, value)| (key.get_ref().to_string(), json_of(value.get_ref()))).collect();
    let mut take = |wanted: &str| {
        let at = fields.iter().position(|(key, _)| key == wanted)?;
        fields.remove(at).1.as_str().map(str::to_owned)
    };
    let cite = (take("source"), take("locator"), take("basis"));
    let cite = cite.0.map(|source| (source, cite.1.unwrap_or_default(), cite.2.unwrap_or_default()));
    Row { key: key.replace('"', ""), kind: String::new(), fields, cite }
}

fn json_of(value: &DeValue<'_>) -> Value {
    match value {
        DeValue::String(text) => Value::from(text.as_ref()),
        DeValue::Integer(number) => number.as_str().parse::<i64>().map_or(Value::Null, Value::from),
        DeValue::Float(number) => number.as_str().parse::<f64>().map_or(Value::Null, Value::from),
        DeValue::Boolean(flag) => Value::Bool(*flag),
        DeValue::Datetime(date) => Value::from(date.to_string()),
        DeValue::Array(list) => list.iter().map(|item| json_of(item.get_ref())).collect(),
        DeValue::Table(table) => Value::Object(
            table.iter().map(|(key, value)| (key.get_ref().to_string(), json_of(value.get_ref()))).collect(),
        ),
    }
}

fn codes() -> Vec<Row> {
    let row = |code: &Code| Row {
        key: code.as_str().to_owned(),
        kind: match code.severity() {
            crate::findings::Severity::Error => "error",
            crate::findings::Severity::Warning => "warning",
            crate::findings::Severity::Note => "note",
        }
        .to_owned(),
        fields: vec![
            ("meaning".to_owned(), Value::from(code.meaning())),
            ("resolve".to_owned(), Value::from(code.resolve())),
        ],
        cite: None,
    };
    Code::ALL.iter().map(row).collect()
}

fn figures() -> Vec<Row> {
    let row = |name: &FigureName| Row {
        key: name.key().to_owned(),
        kind: name.unit().unwrap_or_default().to_owned(),
        fields: vec![(
            String::new(),
            Value::from(english().text("figures", &format!("{}/title", name.key()), &|_| None)),
        )],
        cite: None,
    };
    FigureName::ALL.iter().map(row).collect()
}

fn words() -> Vec<Row> {
    let row = |(what, words): (&str, Vec<&str>)| Row {
        key: what.to_owned(),
        kind: String::new(),
        fields: vec![(String::new(), Value::from(words))],
        cite: None,
    };
    all_words().into_iter().map(row).collect()
}

fn sources() -> Vec<Row> {
    let row = |source: &Source| Row {
        key: source.key.clone(),
        kind: source.read.clone(),
        fields: vec![
            ("title".to_owned(), Value::from(source.title.clone())),
            ("publisher".to_owned(), Value::from(source.publisher.clone())),
            ("edition".to_owned(), Value::from(source.edition.clone())),
            ("on_a_sheet".to_owned(), Value::from(source.short.clone())),
        ],
        cite: None,
    };
    reference::source().rows.iter().map(row).collect()
}

/// The rows that a word of the command line names: the one with that key, else those whose key begins with it, else
/// those whose key holds it.
fn chosen(rows: Vec<Row>, name: &str, word: &str) -> Result<Vec<Row>, Fault> {
    let plain = |text: &str| text.to_lowercase().replace([' ', '-', '_', ','], "");
    let word_plain = plain(word);
    let keys: Vec<String> = rows.iter().map(|row| plain(&row.key)).collect();
    let tests: [fn(&str, &str) -> bool; 3] =
        [|key, word| key == word, |key, word| key.starts_with(word), |key, word| key.contains(word)];
    let Some(test) = tests.iter().find(|test| keys.iter().any(|key| test(key, &word_plain))) else {
        // Names near a metal or a filler are listed and not proposed: they are other metals.
        let near = near(word, rows.iter().map(|row| row.key.as_str()), 4);
        let near = if near.is_empty() { String::new() } else { format!("; near it: {}", near.join(", ")) };
        return Err(Fault::Call(format!("there is no row {word}{near} (interpass tables {name} prints all)")));
    };
    Ok(rows.into_iter().zip(&keys).filter(|(_, key)| test(key, &word_plain)).map(|(row, _)| row).collect())
}

fn print_json(name: &str, rows: &[Row], out: &mut Out) -> Result<(), Fault> {
    let rows: Vec<Value> = rows.iter().map(row_json).collect();
    pretty(&json!({ "table": name, "rows": rows }), out)
}

fn row_json(row: &Row) -> Value {
    let mut object = Map::new();
    object.insert("key".to_owned(), Value::from(row.key.clone()));
    if !row.kind.is_empty() {
        object.insert("kind".to_owned(), Value::from(row.kind.clone()));
    }
    for (key, value) in &row.fields {
        let key = match (key.as_str(), value) {
            ("", Value::Array(_)) => "words",
            ("", _) => "title",
            (key, _) => key,
        };
        object.insert(key.to_owned(), value.clone());
    }
    if let Some((source, locator, basis)) = &row.cite {
        object.insert("source".to_owned(), Value::from(source.clone()));
        object.insert("locator".to_owned(), Value::from(locator.clone()));
        object.insert("basis".to_owned(), Value::from(basis.clone()));
    }
    Value::Object(object)
}

/// JSON for people and programs alike.
pub(crate) fn pretty(value: &Value, out: &mut Out) -> Result<(), Fault> {
    let text = serde_json::to_string_pretty(value).map_err(|error| Fault::Internal(error.to_string()))?;
    out.print(&crate::findings::json::safe(&text))?;
    out.print("\n")
}
