//! The Markdown face: for the repository and its reviews, one value a row, so that a changed setting is a changed line.

use super::{FaceError, Page, Press};

/// Appends the Markdown of a page to `out`: LF, no space at the end of a line, one line feed at the end.
///
/// # Errors
/// [`FaceError::Template`], when a template does not fit the model.
pub fn write(press: &Press, page: &Page, out: &mut Vec<u8>) -> Result<(), FaceError> {
    let from = out.len();
    press.markdown.render_to("sheet.md", &page.context, &mut *out)?;
    tidy(out, from);
    Ok(())
}

/// Takes the spaces off the ends of lines and all but one line feed off the end, from a place on.
fn tidy(out: &mut Vec<u8>, from: usize) {
    let mut kept = from;
    for at in from..out.len() {
        let Some(&byte) = out.get(at) else { break };
        if byte == b'\n' {
            while kept > from && out.get(kept - 1) == Some(&b' ') {
                kept -= 1;
            }
        }
        if let Some(place) = out.get_mut(kept) {
            *place = byte;
        }
        kept += 1;
    }
    while kept > from && matches!(out.get(kept - 1), Some(b' ' | b'\n')) {
        kept -= 1;
    }
    out.truncate(kept);
    out.push(b'\n');
}

#[cfg(test)]
mod tests {
    use super::tidy;

    #[test]
    fn ends_of_lines_are_clean_and_what_stood_before_stays() {
        let mut out = b"before  \na  \n\nb \n\n".to_vec();
        tidy(&mut out, 9);
        assert_eq!(out, b"before  \na\n\nb\n");
    }
}
