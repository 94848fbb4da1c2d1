//! The faces of a sheet: model to bytes, as Markdown, as one HTML file, as JSON and as text for a terminal. A face works
//! nothing out; it adds marks and layout.
//!
//! [`Press`] holds the parsed templates, once a process. [`Page`] is a sheet made ready for them, once a document, so
//! that Markdown and HTML say the same from the same values.

mod boxes;
pub mod card;
mod cells;
pub mod changes;
mod dual;
pub mod entered;
pub mod escape;
pub mod html;
pub mod json;
pub(crate) mod labels;
pub mod markdown;
pub mod page;
mod policy;
pub mod press;
pub mod prose;
pub mod record;
pub(crate) mod say;
pub mod terminal;
pub mod text;
pub mod why;

pub use html::Extra;
pub use page::Page;
pub use press::Press;

use crate::engine::{Job, Worked};
use crate::findings::{Finding, Sources, Span};
use crate::rules::Judgement;
use crate::sheet::Sheet;

/// What there is to say of a job, for the faces that need no sheet.
#[derive(Debug, Clone, Copy)]
pub struct Answer<'a> {
    /// The checked job.
    pub job: &'a Job<'a>,
    /// Its figures.
    pub worked: &'a Worked,
    /// What the rules say of it.
    pub judgement: &'a Judgement,
    /// All findings, in the order in which they are printed.
    pub findings: &'a [Finding],
    /// The texts that findings and workings point into.
    pub sources: &'a Sources<'a>,
}

impl Answer<'_> {
    /// The line of a place, from 1; none where there is no file.
    pub(crate) fn line_of(&self, span: Option<Span>) -> Option<usize> {
        let span = span?;
        Some(self.sources.get(span.file)?.lines.place(span.start).0)
    }
}

/// Why a face could not be made. A template that does not fit the model is a fault of the program, not of a spec.
#[derive(Debug, Clone, thiserror::Error)]
pub enum FaceError {
    /// A template does not parse, or asks for something that the model does not have.
    #[error("a template of the sheet is broken: {0}")]
    Template(String),
    /// The words of the faces are not the table that the templates want.
    #[error("the words of the faces are broken: {0}")]
    Words(String),
}

impl From<tera::Error> for FaceError {
    fn from(error: tera::Error) -> Self {
        FaceError::Template(error.to_string())
    }
}

/// Appends the Markdown face of a sheet to `out`.
///
/// # Errors
/// [`FaceError::Template`], when a template does not fit the model.
pub fn markdown(press: &Press, sheet: &Sheet, out: &mut Vec<u8>) -> Result<(), FaceError> {
    markdown::write(press, &Page::new(sheet)?, out)
}

/// Appends the HTML face of a sheet to `out`.
///
/// # Errors
/// [`FaceError::Template`], when a template does not fit the model.
pub fn html(press: &Press, sheet: &Sheet, extra: &Extra<'_>, out: &mut Vec<u8>) -> Result<(), FaceError> {
    html::write(press, &Page::new(sheet)?, extra, out)
}
