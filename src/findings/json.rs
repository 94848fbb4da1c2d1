//! Findings as JSON, for programs: one object a finding, in an array or one a line.

use super::clean::hostile;
use super::sources::Sources;
use super::{Finding, Severity, Span};
use serde::Serialize;
use serde_json::Value;

/// A finding as it is written.
#[derive(Serialize)]
struct Wire<'f> {
    code: &'static str,
    severity: Severity,
    message: &'f str,
    label: &'f str,
    help: Option<&'f str>,
    notes: &'f [String],
    at: Option<Place>,
    related: Vec<Related<'f>>,
    fix: Option<WireFix<'f>>,
}

/// A place as it is written: `line` and `column` from 1, `column` and `length` in Unicode scalar values.
#[derive(Serialize)]
struct Place {
    file: String,
    line: usize,
    column: usize,
    length: usize,
    byte_start: usize,
    byte_end: usize,
}

#[derive(Serialize)]
struct Related<'f> {
    message: &'f str,
    at: Option<Place>,
}

#[derive(Serialize)]
struct WireFix<'f> {
    text: &'f str,
    at: Option<Place>,
}

/// One finding. `at` is null where it concerns no file, or a file that is not among the sources.
#[must_use]
pub fn value(finding: &Finding, sources: &Sources<'_>) -> Value {
    let wire = Wire {
        code: finding.code.as_str(),
        severity: finding.severity,
        message: &finding.message,
        label: &finding.label,
        help: finding.help.as_deref(),
        notes: &finding.notes,
        at: finding.at.and_then(|at| place(at, sources)),
        related: finding
            .related
            .iter()
            .map(|(span, words)| Related { message: words, at: place(*span, sources) })
            .collect(),
        fix: finding.fix.as_ref().map(|fix| WireFix { text: &fix.text, at: place(fix.span, sources) }),
    };
    // A plain struct of texts and numbers always has a value.
    serde_json::to_value(wire).unwrap_or(Value::Null)
}

fn place(span: Span, sources: &Sources<'_>) -> Option<Place> {
    let source = sources.get(span.file)?;
    let (line, column) = source.lines.place(span.start);
    let byte_start = source.lines.boundary(span.start);
    let byte_end = source.lines.boundary(span.end).max(byte_start);
    Some(Place {
        file: source.name.clone(),
        line,
        column,
        length: source.lines.length(byte_start, byte_end),
        byte_start,
        byte_end,
    })
}

/// All findings in one array, each on a line of its own, with a newline at the end.
#[must_use]
pub fn array(findings: &[Finding], sources: &Sources<'_>) -> String {
    if findings.is_empty() {
        return "[]\n".to_owned();
    }
    let lines: Vec<String> = findings.iter().map(|finding| safe(&value(finding, sources).to_string())).collect();
    format!("[\n{}\n]\n", lines.join(",\n"))
}

/// One object a line.
#[must_use]
pub fn lines(findings: &[Finding], sources: &Sources<'_>) -> String {
    findings.iter().map(|finding| safe(&value(finding, sources).to_string()) + "\n").collect()
}

/// The same JSON, with every character that could steer a terminal or turn the direction of writing as an escape.
#[must_use]
pub fn safe(json: &str) -> String {
    let mut text = String::with_capacity(json.len());
    for c in json.chars() {
        if hostile(c).is_none() || c == '\n' {
            text.push(c);
        } else {
            let mut units = [0; 2];
            for unit in c.encode_utf16(&mut units) {
                text.push_str(&format!("\\u{unit:04x}"));
            }
        }
    }
    text
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]
mod tests {
    use super::{array, lines, safe, value};
    use crate::findings::{Code, File, Finding, Fix, Sources, Span};
    use serde_json::{Value, json};

    #[test]
    fn a_finding_has_the_fixed_shape() {
        let sources = Sources::new().with(File::Spec, "a.toml", "µ = 1\nlenght = 2\n");
        let span = Span { file: File::Spec, start: 7, end: 13 };
        let mut finding = Finding::new(Code::KeyUnknown, "no key `lenght`").at(span).label("l").help("h").note("n");
        finding.fix = Some(Fix { span, text: "length".to_owned() });
        let at = json!({"file": "a.toml", "line": 2, "column": 1, "length": 6, "byte_start": 7, "byte_end": 13});
        assert_eq!(
            value(&finding, &sources),
            json!({
                "code": "key-unknown", "severity": "error", "message": "no key `lenght`", "label": "l", "help": "h",
                "notes": ["n"], "related": [], "at": at, "fix": {"text": "length", "at": at},
            })
        );
        assert_eq!(value(&Finding::new(Code::KitNone, "m"), &sources)["at"], Value::Null);
    }

    #[test]
    fn array_and_lines_read_back() {
        let findings = vec![Finding::new(Code::KitNone, "a\u{202e}\u{1b}b"), Finding::new(Code::KitNone, "c")];
        let sources = Sources::new();
        let text = array(&findings, &sources);
        assert!(!text.contains('\u{202e}') && !text.contains('\u{1b}'));
        let read: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(read[0]["message"], "a\u{202e}\u{1b}b");
        let by_line: Vec<Value> =
            lines(&findings, &sources).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
        assert_eq!(read, Value::Array(by_line));
        assert_eq!(array(&[], &sources), "[]\n");
    }

    #[test]
    fn escapes_are_those_of_json() {
        assert_eq!(safe("\"\u{e0041}\u{9b}\""), "\"\\udb40\\udc41\\u009b\"");
        assert_eq!(serde_json::from_str::<String>(&safe("\"\u{e0041}\"")).unwrap(), "\u{e0041}");
    }
}
