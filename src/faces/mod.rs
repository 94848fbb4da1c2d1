//! The faces of a sheet: model to bytes, as Markdown, as one HTML file, as JSON and as text for a terminal. A face works
//! nothing out; it adds marks and layout.
//!
//! [`Press`] holds the parsed templates, once a process. [`Page`] is a sheet made ready for them, once a document, so
//! that Markdown and HTML say the same from the same values.

pub mod escape;
pub mod html;
pub mod json;
pub mod markdown;
pub mod page;
pub mod press;
pub mod prose;
pub mod terminal;

pub use html::Extra;
pub use page::Page;
pub use press::Press;

use crate::sheet::Sheet;

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
