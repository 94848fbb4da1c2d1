//! The press: the templates of the sheet, parsed once a process and shared by all threads.
//!
//! The templates are written in the language of tera 2.4. Filters are registered before templates are added, because a
//! template is checked against them when it is added. Markdown and HTML have an instance each, because each escapes
//! every text by itself, so that no template can forget it.

use super::{FaceError, cells, escape, prose};
use crate::seal::page::{BEFORE_SLOT, BLANK};
use std::sync::OnceLock;
use tera::{Kwargs, State, Tera, Value};

const MARKDOWN: [(&str, &str); 2] = [
    ("parts/blocks.md", include_str!("../../templates/parts/blocks.md")),
    ("sheet.md", include_str!("../../templates/sheet.md")),
];
const HTML: [(&str, &str); 2] = [
    ("parts/blocks.html", include_str!("../../templates/parts/blocks.html")),
    ("sheet.html", include_str!("../../templates/sheet.html")),
];
/// The style that all sheets share.
pub(super) const STYLE: &str = include_str!("../../templates/sheet.css");
/// The script that all sheets share.
pub(super) const SCRIPT: &str = include_str!("../../templates/sheet.js");

/// The parsed templates.
pub struct Press {
    pub(crate) markdown: Tera,
    pub(crate) html: Tera,
}

impl Press {
    /// Parses the templates: a fifth of a millisecond, so once a process. [`Press::shared`] does that.
    ///
    /// # Errors
    /// [`FaceError::Template`], when a template does not parse: a fault of the program.
    pub fn new() -> Result<Press, FaceError> {
        let mut markdown = Tera::default();
        markdown.autoescape_on([".md"]);
        markdown.set_escape_fn(escape::markdown_to);
        markdown.register_filter("say", |words: &Value, _: Kwargs, _: &State| {
            Value::safe_string(&cells::words_to_markdown(words))
        });
        markdown.register_filter("cell", |cell: &Value, _: Kwargs, _: &State| {
            Value::safe_string(&cells::cell_to_markdown(cell))
        });
        markdown
            .register_filter("column", |cell: &Value, _: Kwargs, _: &State| Value::safe_string(&cells::column(cell)));
        markdown.add_raw_templates(MARKDOWN)?;
        let mut html = Tera::default();
        html.autoescape_on([".html"]);
        html.register_filter("say", |words: &Value, _: Kwargs, _: &State| {
            Value::safe_string(&cells::words_to_html(words))
        });
        html.register_filter("cell", |cell: &Value, _: Kwargs, _: &State| {
            Value::safe_string(&cells::cell_to_html(cell))
        });
        html.register_filter("prose", |text: &str, _: Kwargs, _: &State| Value::safe_string(&prose::html(text)));
        html.register_filter("capitalize_first", |text: &str, _: Kwargs, _: &State| capital(text));
        html.global_context().insert_value("style", Value::safe_string(STYLE));
        html.global_context().insert_value("script", Value::safe_string(SCRIPT));
        html.global_context().insert_value("digest", Value::safe_string(&format!("{BEFORE_SLOT}{BLANK}\">")));
        html.add_raw_templates(HTML)?;
        Ok(Press { markdown, html })
    }

    /// The press of this process, made when it is first asked for.
    ///
    /// # Errors
    /// As [`Press::new`].
    pub fn shared() -> Result<&'static Press, FaceError> {
        static PRESS: OnceLock<Result<Press, FaceError>> = OnceLock::new();
        PRESS.get_or_init(Press::new).as_ref().map_err(Clone::clone)
    }
}

/// The text with its first letter in upper case.
fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_templates_parse() {
        assert!(Press::new().is_ok());
    }
}
