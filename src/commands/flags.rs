//! The job of `settings`: keys of a spec as flags or as keys of a line of JSON, turned into the text of a spec and read
//! by the same reader, so that the messages are the same.

use crate::findings::{File, Finding, Sources, Span};
use crate::spec::names;
use serde_json::{Map, Value};
use std::fmt::Write;
use std::ops::Range;

/// One key of `settings`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flag {
    /// Its name in a line of JSON; on the command line with hyphens.
    pub(crate) name: &'static str,
    table: &'static str,
    key: &'static str,
    many: bool,
}

const fn flag(name: &'static str, table: &'static str, key: &'static str) -> Flag {
    Flag { name, table, key, many: false }
}

/// All keys, in the order of the spec.
pub(crate) const FLAGS: [Flag; 15] = [
    flag("service_temperature", "part", "service_temperature"),
    flag("mass", "part", "mass"),
    flag("metal", "metal", "alloy"),
    flag("temper", "metal", "temper"),
    flag("form", "metal", "form"),
    flag("thickness", "metal", "thickness"),
    Flag { many: true, ..flag("surface", "metal", "surface") },
    flag("other_metal", "metal.other", "alloy"),
    flag("damage", "damage", "kind"),
    flag("process", "weld", "process"),
    flag("joint", "weld", "joint"),
    flag("position", "weld", "position"),
    Flag { many: true, ..flag("need", "weld", "needs") },
    flag("gas", "weld", "gas"),
    flag("start_temperature", "weld", "start_temperature"),
];

impl Flag {
    /// As it is written on the command line.
    pub(crate) fn on_command_line(self) -> String {
        format!("--{}", self.name.replace('_', "-"))
    }
}

/// A value that was given, and where it stands.
#[derive(Debug, Clone)]
struct Given {
    flag: Flag,
    /// As it is written on the command line, or in JSON.
    written: String,
    /// Where it stands in the text of the spec, quotes left out.
    in_spec: Range<usize>,
    /// Where it stands in the text that findings show.
    in_shown: Range<usize>,
}

/// What was given: the text of a spec, and the way back from it to the flags.
#[derive(Debug, Clone, Default)]
pub(crate) struct Stated {
    /// The text of a spec that says the same.
    pub(crate) spec: String,
    /// What findings show in its place: the flags as they are written on a command line.
    pub(crate) shown: String,
    given: Vec<Given>,
    lines: bool,
}

/// What the generated spec is called where a spec needs a name.
const HEAD: &str = "format = 1\n[procedure]\nnumber = \"settings\"\ntitle = \"settings\"\nrevision = \"A\"\n";

impl Stated {
    /// From flags of the command line, each with its values.
    pub(crate) fn of_flags(values: &[(&str, &[String])]) -> Self {
        let mut object = Map::new();
        for (name, values) in values.iter().filter(|(_, values)| !values.is_empty()) {
            let many = FLAGS.iter().any(|flag| flag.name == *name && flag.many);
            let value = match values {
                [value] if !many => Value::from(value.clone()),
                values => Value::from(values.to_vec()),
            };
            object.insert((*name).to_owned(), value);
        }
        Stated::build(&object, false)
    }

    /// From the keys of a line of JSON; `id` is not one of them.
    ///
    /// # Errors
    /// The finding that a key is not known.
    pub(crate) fn of_line(line: &Map<String, Value>) -> Result<Self, Box<Finding>> {
        let known = |key: &str| key == "id" || FLAGS.iter().any(|flag| flag.name == key);
        if let Some(key) = line.keys().find(|key| !known(key)) {
            let names: Vec<&str> = std::iter::once("id").chain(FLAGS.iter().map(|flag| flag.name)).collect();
            return Err(Box::new(super::lines::unknown_key(key, &names)));
        }
        Ok(Stated::build(line, true))
    }

    fn build(values: &Map<String, Value>, lines: bool) -> Self {
        let mut stated = Stated { spec: HEAD.to_owned(), lines, ..Stated::default() };
        let mut table = "";
        for flag in FLAGS {
            // The metal has a table even where nothing is said of it: what is missing is then said once.
            if flag.table == "metal" && table != "metal" && !stated.spec.contains("[metal]") {
                stated.spec.push_str("[metal]\n");
                table = "metal";
            }
            let Some(value) = values.get(flag.name).filter(|value| !value.is_null()) else { continue };
            if table != flag.table {
                let _ = writeln!(stated.spec, "[{}]", flag.table);
                table = flag.table;
            }
            stated.add(flag, value);
        }
        stated
    }

    fn add(&mut self, flag: Flag, value: &Value) {
        // A family is named where nobody knows the alloy.
        let is_family = |value: &Value| {
            let text = value.as_str().unwrap_or_default();
            names::alloy(text).is_none()
                && names::families().iter().any(|family| family.eq_ignore_ascii_case(text.trim()))
        };
        let key = if flag.key == "alloy" && is_family(value) { "family" } else { flag.key };
        let _ = write!(self.spec, "{key} = ");
        match value {
            Value::Array(list) if flag.many => {
                self.spec.push('[');
                for value in list {
                    self.add_value(flag, value);
                    self.spec.push_str(", ");
                }
                self.spec.push(']');
            }
            value if flag.many => {
                self.spec.push('[');
                self.add_value(flag, value);
                self.spec.push(']');
            }
            value => self.add_value(flag, value),
        }
        self.spec.push('\n');
    }

    fn add_value(&mut self, flag: Flag, value: &Value) {
        let start = self.spec.len();
        push_toml(&mut self.spec, value);
        let quotes = usize::from(value.is_string());
        let in_spec = start + quotes..self.spec.len() - quotes;
        let written = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
        if !self.shown.is_empty() {
            self.shown.push(' ');
        }
        if self.lines {
            let _ = write!(self.shown, "\"{}\": ", flag.name);
        } else {
            let _ = write!(self.shown, "{} ", flag.on_command_line());
        }
        let quote = if self.lines { "\"" } else { shell_quote(&written) };
        let quote = if self.lines && !value.is_string() { "" } else { quote };
        let start = self.shown.len() + quote.len();
        let _ = write!(self.shown, "{quote}{written}{quote}");
        let in_shown = start..start + written.len();
        self.given.push(Given { flag, written, in_spec, in_shown });
    }

    /// Whether a key was given.
    pub(crate) fn has(&self, name: &str) -> bool {
        self.given.iter().any(|given| given.flag.name == name)
    }

    /// How a key would be given.
    pub(crate) fn example(&self, name: &str, value: &str) -> String {
        if self.lines { format!("\"{name}\": \"{value}\"") } else { format!("--{} {value}", name.replace('_', "-")) }
    }

    /// What the reader said of the generated spec, said of the flags: places lie in [`Stated::shown`].
    pub(crate) fn moved(&self, mut finding: Finding) -> Finding {
        finding.at = finding.at.and_then(|span| self.moved_span(span));
        finding.related =
            finding.related.into_iter().filter_map(|(span, words)| Some((self.moved_span(span)?, words))).collect();
        // A change of the generated text is no use to anybody.
        finding.fix = None;
        finding
    }

    fn moved_span(&self, span: Span) -> Option<Span> {
        if span.file != File::Spec {
            return Some(span);
        }
        let given = self.given_at(span)?;
        // The place inside a value, where the value stands in the spec as it was written.
        let as_written = given.in_spec.len() == given.written.len();
        let inside = |byte: usize| {
            given.in_shown.start + byte.clamp(given.in_spec.start, given.in_spec.end) - given.in_spec.start
        };
        let (start, end) = if as_written && span.end > span.start {
            (inside(span.start), inside(span.end))
        } else {
            (given.in_shown.start, given.in_shown.end)
        };
        Some(Span { file: File::Spec, start, end })
    }

    fn given_at(&self, span: Span) -> Option<&Given> {
        self.given.iter().find(|given| span.start <= given.in_spec.end && given.in_spec.start <= span.end)
    }

    /// The findings for programs: of the command line no place is given, but the flag is named.
    pub(crate) fn named(&self, mut finding: Finding) -> Finding {
        let place = finding.at.filter(|span| span.file == File::Spec);
        let given = place.and_then(|span| self.given_at(span));
        if let Some(given) = given {
            let name = if self.lines { given.flag.name.to_owned() } else { given.flag.on_command_line() };
            finding.message = format!("{name}: {}", finding.message);
        }
        finding.at = finding.at.filter(|span| span.file != File::Spec);
        finding.related.retain(|(span, _)| span.file != File::Spec);
        finding.fix = None;
        finding
    }

    /// The texts that moved findings point into.
    pub(crate) fn sources(&self) -> Sources<'_> {
        Sources::new().with(File::Spec, "command line", &self.shown)
    }
}

/// The quotes that a shell needs around a word, if any.
fn shell_quote(word: &str) -> &'static str {
    let plain = |c: char| c.is_alphanumeric() || "-_./:,+%@=".contains(c);
    match word {
        word if !word.is_empty() && word.chars().all(plain) => "",
        word if word.contains('"') => "'",
        _ => "\"",
    }
}

/// A value as TOML, on one line.
fn push_toml(text: &mut String, value: &Value) {
    match value {
        Value::String(value) => push_string(text, value),
        Value::Array(list) => {
            text.push('[');
            for value in list {
                push_toml(text, value);
                text.push(',');
            }
            text.push(']');
        }
        Value::Object(object) => {
            text.push_str("{ ");
            for (number, (key, value)) in object.iter().enumerate() {
                text.push_str(if number > 0 { ", " } else { "" });
                push_string(text, key);
                text.push_str(" = ");
                push_toml(text, value);
            }
            text.push_str(" }");
        }
        // Nothing is not a value of TOML; an empty list is none either where a value belongs.
        Value::Null => text.push_str("[]"),
        Value::Bool(flag) => text.push_str(if *flag { "true" } else { "false" }),
        Value::Number(number) => {
            let number = number.to_string();
            // TOML has no number like 1e400 or one beyond 64 bits; the reader then says that no number belongs here.
            let _ = if number.parse::<i64>().is_ok() {
                write!(text, "{number}")
            } else {
                write!(text, "{:?}", number.parse::<f64>().unwrap_or(0.0))
            };
        }
    }
}

/// A text as a basic string of TOML.
fn push_string(text: &mut String, value: &str) {
    text.push('"');
    for c in value.chars() {
        match c {
            '"' => text.push_str("\\\""),
            '\\' => text.push_str("\\\\"),
            c if c.is_control() => drop(write!(text, "\\u{:04X}", u32::from(c))),
            c => text.push(c),
        }
    }
    text.push('"');
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::Code;

    fn stated(flags: &[(&str, &[&str])]) -> Stated {
        let owned: Vec<(&str, Vec<String>)> = flags
            .iter()
            .map(|(name, values)| (*name, values.iter().map(|value| (*value).to_owned()).collect()))
            .collect();
        let borrowed: Vec<(&str, &[String])> = owned.iter().map(|(name, values)| (*name, values.as_slice())).collect();
        Stated::of_flags(&borrowed)
    }

    #[test]
    fn any_text_is_read_back_as_it_was_given() {
        for text in
            ["A356.0", "a\"b\\c", "tab\there", "\u{1b}[31m", "µ½ \u{202e}", "'", "\"\"\"", "x\ny", "\u{7f}", "] }"]
        {
            let stated = stated(&[("metal", &[text]), ("surface", &[text, "clean"])]);
            let table: toml::Table = toml::from_str(&stated.spec).unwrap();
            assert_eq!(table["metal"]["alloy"].as_str(), Some(text), "{}", stated.spec);
            assert_eq!(table["metal"]["surface"][0].as_str(), Some(text));
        }
    }

    #[test]
    fn any_line_gives_toml() {
        for line in [
            r#"{"metal": 1, "thickness": 8.0, "joint": true, "surface": "clean", "need": [1, null, {"a": [1e300]}]}"#,
            r#"{"metal": null, "thickness": 1e99, "mass": 99999999999999999999, "gas": {}}"#,
        ] {
            let line: Map<String, Value> = serde_json::from_str(line).unwrap();
            let stated = Stated::of_line(&line).unwrap();
            assert!(toml::from_str::<toml::Table>(&stated.spec).is_ok(), "{}", stated.spec);
        }
        let line = serde_json::from_str(r#"{"id": 1, "metall": "6061"}"#).unwrap();
        assert_eq!(Stated::of_line(&line).unwrap_err().code, Code::KeyUnknown);
    }

    #[test]
    fn a_place_in_a_value_is_found_on_the_command_line() {
        let stated = stated(&[("metal", &["6061"]), ("thickness", &["8 mn"])]);
        assert_eq!(stated.shown, "--metal 6061 --thickness \"8 mn\"");
        let at = stated.spec.find("mn").unwrap();
        let finding = Finding::new(Code::QuantityUnit, "m").at(Span { file: File::Spec, start: at, end: at + 2 });
        let span = stated.moved(finding.clone()).at.unwrap();
        assert_eq!(stated.shown.get(span.start..span.end), Some("mn"));
        let named = stated.named(finding);
        assert_eq!((named.message.as_str(), named.at), ("--thickness: m", None));
    }

    #[test]
    fn a_family_is_known_as_one() {
        let spec = stated(&[("metal", &["cast aluminium"])]).spec;
        assert!(spec.contains("family = \"cast aluminium\""), "{spec}");
    }
}
