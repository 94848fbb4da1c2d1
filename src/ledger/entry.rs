//! One entry and its line.
//!
//! A line ends with the digest of all that stands before it, so that a change of any byte of it shows, in the last line
//! as in any other. What was sealed stands in it as far as it changed: the first entry of a number holds every value of
//! the spec and every figure, each later one those that are new or other, and null for those that went.

use super::NO_LINE;
use crate::findings::json::safe;
use crate::seal::hex;
use crate::spec::limits::IdentifierForm;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;

/// Version of this format.
const FORMAT: u8 = 1;
/// How every line begins.
pub(super) const BEGIN: &[u8] = b"{\"format\":1,\"number\":\"";
/// What stands before the digest at the end of a line.
const BEFORE_DIGEST: &str = ",\"digest\":\"";
/// What stands after it.
const END: &str = "\"}";

/// What an entry does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum State {
    /// It puts a revision in force, and takes the one before it out.
    Issued,
    /// It takes a revision out of force, and puts none in its place.
    Withdrawn,
}

/// An entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Number of the procedure.
    pub number: String,
    /// Revision.
    pub revision: String,
    /// What it does.
    pub state: State,
    /// Date of the revision, or of its withdrawal, as the spec bears it.
    pub date: Date,
    /// Seal in full: 64 hex digits.
    pub seal: String,
    /// Why.
    pub reason: String,
    /// Who answers for it.
    pub author: String,
    /// Digest of the kit that the figures were worked out with, 64 hex digits; none where there was none.
    pub kit: Option<String>,
    /// Version of the program.
    pub program: String,
    /// Edition of its tables.
    pub tables: String,
    /// Values of the spec by dotted key, as sealed, that differ from those of the entry of this number before; null for
    /// one that went.
    pub spec: BTreeMap<String, Value>,
    /// Figures as sealed that differ from those of the entry of this number before; null for one that went.
    pub figures: BTreeMap<String, Value>,
}

/// The line as it stands in the file, in the order of its keys.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    format: u8,
    number: String,
    revision: String,
    state: State,
    date: String,
    seal: String,
    reason: String,
    author: String,
    kit: Option<String>,
    program: String,
    tables: String,
    spec: BTreeMap<String, Value>,
    figures: BTreeMap<String, Value>,
    before: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    digest: String,
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Fault {
    /// It is not JSON; whether it only ends too early.
    Json {
        /// What the reader says.
        said: String,
        /// Whether it is JSON as far as it goes.
        cut: bool,
    },
    /// A key is missing, unknown or of another kind.
    Key(String),
    /// The digest at its end is not that of what stands before it.
    Digest,
}

impl Entry {
    /// Its line without the line feed. `before` is the digest of the line before it, none for the first.
    #[must_use]
    pub fn line(&self, before: Option<&str>) -> String {
        let line = Line {
            format: FORMAT,
            number: self.number.clone(),
            revision: self.revision.clone(),
            state: self.state,
            date: self.date.to_string(),
            seal: self.seal.clone(),
            reason: self.reason.clone(),
            author: self.author.clone(),
            kit: self.kit.clone(),
            program: self.program.clone(),
            tables: self.tables.clone(),
            spec: self.spec.clone(),
            figures: self.figures.clone(),
            before: before.unwrap_or(NO_LINE).to_owned(),
            digest: String::new(),
        };
        // Plain values of texts always have a JSON text.
        let mut text = safe(&serde_json::to_string(&line).unwrap_or_default());
        text.pop();
        let digest = hex(text.as_bytes());
        text.push_str(BEFORE_DIGEST);
        text.push_str(&digest);
        text.push_str(END);
        text
    }

    /// Reads a line, and gives the digest of the line before that it bears.
    pub(super) fn read(line: &[u8]) -> Result<(Entry, String), Fault> {
        let value: Value = serde_json::from_slice(line)
            .map_err(|error| Fault::Json { said: error.to_string(), cut: error.is_eof() })?;
        let read: Line = serde_json::from_value(value).map_err(|error| Fault::Key(error.to_string()))?;
        let end = format!("{BEFORE_DIGEST}{}{END}", read.digest);
        let body = line.strip_suffix(end.as_bytes());
        if read.digest.len() != 64 || body.is_none_or(|body| hex(body) != read.digest) {
            return Err(if read.digest.is_empty() {
                Fault::Key("missing field `digest`".to_owned())
            } else {
                Fault::Digest
            });
        }
        let before = read.before.clone();
        Ok((read.entry()?, before))
    }
}

impl Line {
    fn entry(self) -> Result<Entry, Fault> {
        let wrong = |key: &str| Fault::Key(format!("`{key}` cannot be what it says"));
        if self.format != FORMAT {
            return Err(wrong("format"));
        }
        if IdentifierForm::Number.misfit(&self.number).is_some() {
            return Err(wrong("number"));
        }
        if IdentifierForm::Revision.misfit(&self.revision).is_some() {
            return Err(wrong("revision"));
        }
        let is_hex =
            |text: &str| text.len() == 64 && text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        for (key, text) in [("seal", Some(&self.seal)), ("before", Some(&self.before)), ("kit", self.kit.as_ref())] {
            if text.is_some_and(|text| !is_hex(text)) {
                return Err(wrong(key));
            }
        }
        Ok(Entry {
            date: self.date.parse().map_err(|_| wrong("date"))?,
            number: self.number,
            revision: self.revision,
            state: self.state,
            seal: self.seal,
            reason: self.reason,
            author: self.author,
            kit: self.kit,
            program: self.program,
            tables: self.tables,
            spec: self.spec,
            figures: self.figures,
        })
    }
}
