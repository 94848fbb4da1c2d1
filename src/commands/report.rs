//! Findings of a run: drawn for people, or as JSON for programs, each kit's own findings once.

use super::expand::Document;
use super::kits::{self, Chosen};
use super::ledgers::Opened;
use crate::findings::{Code, File, Finding, Severity, Sources, Style, Tally, json, render};
use serde_json::Value;
use std::collections::BTreeSet;

/// Whether a finding is one of the machine or the program, not of a spec.
pub(crate) fn is_fault(code: Code) -> bool {
    matches!(code, Code::ReadFile | Code::OutputWrite | Code::OutputInternal)
}

/// Findings of one file, ready to be written in the form that was asked for.
#[derive(Debug, Default)]
pub(crate) struct Rendered {
    /// Drawn, or one object of JSON a line.
    pub(crate) text: String,
    /// How many there are.
    pub(crate) tally: Tally,
    /// What an exit code is made of.
    pub(crate) findings: Vec<(Code, Severity)>,
    /// How many more there are that are not told here.
    pub(crate) unsaid: usize,
}

impl Rendered {
    /// With more findings of the same file.
    pub(crate) fn add(&mut self, more: Rendered) {
        self.text.push_str(&more.text);
        self.tally.errors += more.tally.errors;
        self.tally.warnings += more.tally.warnings;
        self.tally.notes += more.tally.notes;
        self.findings.extend(more.findings);
        self.unsaid += more.unsaid;
    }
}

/// How findings are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// As excerpts, with or without colour.
    Text(Style),
    /// As JSON, one object a line.
    Json,
}

/// Renders findings. `spec` is the name of the spec that they belong to, where it is one.
pub(crate) fn rendered(findings: &[Finding], sources: &Sources<'_>, spec: Option<&str>, form: Form) -> Rendered {
    let text = match form {
        Form::Text(style) => render(findings, sources, style),
        Form::Json => findings.iter().map(|finding| line(finding, sources, spec)).collect(),
    };
    let codes = findings.iter().map(|finding| (finding.code, finding.severity)).collect();
    Rendered { text, tally: Tally::of(findings), findings: codes, unsaid: 0 }
}

/// One finding as a line of JSON that names the spec it belongs to.
fn line(finding: &Finding, sources: &Sources<'_>, spec: Option<&str>) -> String {
    let mut value = json::value(finding, sources);
    if let Value::Object(object) = &mut value {
        object.insert("spec".to_owned(), spec.map_or(Value::Null, Value::from));
    }
    json::safe(&value.to_string()) + "\n"
}

/// Which findings of kits have been told.
#[derive(Debug, Default)]
pub(crate) struct KitsTold {
    names: BTreeSet<String>,
    none: bool,
}

impl KitsTold {
    /// The findings of the kit of a document, unless they have been told.
    pub(crate) fn of(&mut self, kit: &Chosen, form: Form) -> Option<Rendered> {
        match kit {
            Chosen::None => {
                self.none = true;
                None
            }
            Chosen::One(kit) => {
                let is_new = self.names.insert(kit.name.clone());
                let sources = Sources::new().with(File::Kit, kit.name.clone(), &kit.text);
                (is_new && !kit.findings.is_empty()).then(|| rendered(&kit.findings, &sources, None, form))
            }
            Chosen::Unknown(finding) => {
                let is_new = self.names.insert(finding.message.clone());
                is_new.then(|| rendered(std::slice::from_ref(finding), &Sources::new(), None, form))
            }
        }
    }

    /// The note that some spec had no kit, once.
    pub(crate) fn none(&self, form: Form) -> Option<Rendered> {
        self.none.then(|| rendered(&[kits::none()], &Sources::new(), None, form))
    }
}

/// Which findings of ledgers have been told.
#[derive(Debug, Default)]
pub(crate) struct LedgersTold(BTreeSet<String>);

impl LedgersTold {
    /// What is to be said of the ledger of a document, unless it has been told.
    pub(crate) fn of(&mut self, ledger: Option<&Opened>, form: Form) -> Option<Rendered> {
        let (name, findings) = match ledger? {
            Ok(taken) => (taken.name.clone(), taken.ledger.findings.clone()),
            Err(fault) => (fault.to_string(), vec![super::batch::of_fault(fault)]),
        };
        let is_new = !findings.is_empty() && self.0.insert(name);
        is_new.then(|| rendered(&findings, &Sources::new(), None, form))
    }
}

/// Renders the findings of a document.
pub(crate) fn of_document(document: &Document, findings: &[Finding], form: Form) -> Rendered {
    if findings.is_empty() {
        return Rendered::default();
    }
    rendered(findings, &document.sources(), Some(&document.name), form)
}

/// Renders a finding that concerns a file which could not be read or worked on.
pub(crate) fn of_file(finding: &Finding, name: &str, form: Form) -> Rendered {
    rendered(std::slice::from_ref(finding), &Sources::new(), Some(name), form)
}
