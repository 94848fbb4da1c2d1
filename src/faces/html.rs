//! The HTML face: one file without network and without script, which reads on a phone and prints on A4 and Letter.

use super::{FaceError, Page, Press, escape};
use crate::seal::{page, parts};
use tera::Value;

/// What rides inside the HTML file beside the sheet, so that a receiver can get the spec back and check the seal.
#[derive(Debug, Clone, Copy, Default)]
pub struct Extra<'a> {
    /// The text of the repair spec.
    pub spec: &'a str,
    /// The text of the kit, where there is one.
    pub kit: Option<&'a str>,
    /// The JSON face of the sheet.
    pub json: &'a str,
}

/// Appends the HTML of a page to `out`.
///
/// # Errors
/// [`FaceError::Template`], when a template does not fit the model.
pub fn write(press: &Press, page: &Page, extra: &Extra<'_>, out: &mut Vec<u8>) -> Result<(), FaceError> {
    let mut context = page.context.clone();
    context.insert_value("spec", Value::safe_string(&verbatim(extra.spec)));
    context.insert_value("kit", extra.kit.map_or(Value::none(), |kit| Value::safe_string(&verbatim(kit))));
    context.insert_value("json", Value::safe_string(&escape::json_in_html(extra.json)));
    let start = out.len();
    press.html.render_to("sheet.html", &context, &mut *out)?;
    let mut html = out.split_off(start);
    // The list of parts first: the digest covers it.
    let filled = parts::fill(&mut html) && page::fill(&mut html);
    out.append(&mut html);
    if !filled {
        return Err(FaceError::Template("the page has no slots for its digests".to_owned()));
    }
    Ok(())
}

/// A text for `pre` that every reader of HTML gives back byte for byte: carriage returns too, which it would drop.
fn verbatim(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 16);
    for char in text.chars() {
        match char {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\r' => out.push_str("&#13;"),
            _ => out.push(char),
        }
    }
    out
}
