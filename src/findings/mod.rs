//! What the checker has to say: findings with a stable code, a severity, a place, a message and help.
//!
//! A finding is plain data. One file a format turns findings into text for people or for programs.

pub mod clean;
pub mod codes;
pub mod excerpt;
pub mod json;
pub mod sources;

pub use codes::Code;
pub use excerpt::{Style, render};
use serde::Serialize;
pub use sources::{Lines, Source, Sources, Tally};

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Nothing can be built, or the repair is refused.
    Error,
    /// The sheet is built and says so where it matters.
    Warning,
    /// Good to know.
    Note,
}

/// Which of the files that make a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum File {
    /// The repair spec.
    Spec,
    /// The shop's kit.
    Kit,
    /// A run record.
    Run,
}

/// A stretch of bytes in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// Which file.
    pub file: File,
    /// First byte.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
}

/// A value with the place where it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Where it stands, quotes left out.
    pub span: Span,
}

impl<T> std::ops::Deref for At<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

/// A change that resolves a finding without changing any physical meaning: key names and state words alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fix {
    /// What is replaced.
    pub span: Span,
    /// What stands there instead.
    pub text: String,
}

/// One thing that the checker has to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Stable code.
    pub code: Code,
    /// How grave.
    pub severity: Severity,
    /// What is wrong, in one line, in the words of the trade.
    pub message: String,
    /// A few words under the marked place.
    pub label: String,
    /// The place; none where it concerns no file.
    pub at: Option<Span>,
    /// Other places that it concerns, each with a few words.
    pub related: Vec<(Span, String)>,
    /// Further facts, one line each.
    pub notes: Vec<String>,
    /// What would be accepted, or what to do.
    pub help: Option<String>,
    /// A safe fix, where there is one.
    pub fix: Option<Fix>,
}

impl Finding {
    /// A finding with the usual severity of its code.
    #[must_use]
    pub fn new(code: Code, message: impl Into<String>) -> Self {
        Finding {
            code,
            severity: code.severity(),
            message: message.into(),
            label: String::new(),
            at: None,
            related: Vec::new(),
            notes: Vec::new(),
            help: None,
            fix: None,
        }
    }
    /// At this place.
    #[must_use]
    pub fn at(mut self, span: Span) -> Self {
        self.at = Some(span);
        self
    }
    /// At this place, where it is known.
    #[must_use]
    pub fn at_some(mut self, span: Option<Span>) -> Self {
        self.at = span.or(self.at);
        self
    }
    /// With these words under the marked place.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }
    /// With what would be accepted, or what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
    /// With one more fact.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }
    /// With another place that it concerns.
    #[must_use]
    pub fn related(mut self, span: Span, words: impl Into<String>) -> Self {
        self.related.push((span, words.into()));
        self
    }
    /// With another severity than the usual one.
    #[must_use]
    pub fn severity(mut self, severity: Severity) -> Self {
        self.severity = severity;
        self
    }
}

/// Whether any of them is an error.
#[must_use]
pub fn any_error(findings: &[Finding]) -> bool {
    findings.iter().any(|finding| finding.severity == Severity::Error)
}

/// Sorts findings by file and place, those without a place last, then by code.
pub fn sort(findings: &mut [Finding]) {
    findings.sort_by(|a, b| {
        let place = |finding: &Finding| finding.at.map_or((true, None), |span| (false, Some(span)));
        place(a).cmp(&place(b)).then_with(|| a.code.as_str().cmp(b.code.as_str()))
    });
}
