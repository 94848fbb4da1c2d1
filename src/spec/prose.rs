//! The author's prose: CommonMark that can stand inside a sheet, which means no raw HTML, no headings, no pictures, and
//! links that lead to the web or to a mail address alone.

use super::limits;
use crate::findings::{Code, clean::hostile};
use pulldown_cmark::{Event, Options, Parser, Tag};
use std::ops::Range;

/// What is wrong in a prose, with its bytes in the decoded text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProseFault {
    /// Code of the finding.
    pub code: Code,
    /// Bytes of the text that are meant.
    pub at: Range<usize>,
    /// What is wrong, in one line.
    pub message: &'static str,
    /// A few words under the place.
    pub label: &'static str,
    /// What to write in its place.
    pub help: &'static str,
}

/// Schemes that a link may have.
const SCHEMES: [&str; 3] = ["https://", "http://", "mailto:"];

/// Everything in a prose that a sheet does not carry, in the order of the text.
#[must_use]
pub fn faults(text: &str) -> Vec<ProseFault> {
    let mut found = Vec::new();
    let mut depth = 0_usize;
    let mut too_deep = false;
    for (event, at) in Parser::new_ext(text, Options::empty()).into_offset_iter() {
        match event {
            Event::Start(tag) => {
                depth += 1;
                found.extend(tag_fault(&tag, first_line(text, at.clone())));
                if depth > limits::PROSE_DEPTH && !too_deep {
                    too_deep = true;
                    found.push(ProseFault {
                        code: Code::SyntaxTooLarge,
                        at: first_line(text, at),
                        message: "quotes and lists are nested too deeply here",
                        label: "too deep",
                        help: "two levels of a list are enough for a sheet",
                    });
                }
            }
            Event::End(_) => depth = depth.saturating_sub(1),
            Event::InlineHtml(_) => found.push(html(at)),
            // Characters that stand in the text itself were found before; this one comes out of an entity.
            Event::Text(shown) if hides(&shown) && text.get(at.clone()).is_some_and(|raw| raw.starts_with('&')) => {
                found.push(ProseFault {
                    code: Code::NameText,
                    at,
                    message: "this entity stands for a character that has no place in a text",
                    label: "a hidden or control character",
                    help: "take it out",
                });
            }
            _ => {}
        }
    }
    found
}

fn hides(shown: &str) -> bool {
    shown.chars().any(|c| hostile(c).is_some() && c != '\n' && c != '\t')
}

fn tag_fault(tag: &Tag<'_>, at: Range<usize>) -> Option<ProseFault> {
    match tag {
        Tag::HtmlBlock => Some(html(at)),
        Tag::Heading { .. } => Some(ProseFault {
            code: Code::ProseHeading,
            at,
            message: "a heading in prose would break the order of the sheet",
            label: "this is a heading",
            help: "make it a sentence of its own, or **bold** at the start of a paragraph",
        }),
        Tag::Image { .. } => Some(ProseFault {
            code: Code::ProseLink,
            at,
            message: "a picture in prose cannot stand in a sheet, which is one file without anything to fetch",
            label: "this is a picture",
            help: "say in words what it shows",
        }),
        Tag::Link { dest_url, .. } if !allowed(dest_url) => Some(ProseFault {
            code: Code::ProseLink,
            at,
            message: "this link leads to neither the web nor a mail address",
            label: "not http, https or mailto",
            help: "write the whole address, such as [name](https://example.org), or plain words",
        }),
        _ => None,
    }
}

fn html(at: Range<usize>) -> ProseFault {
    ProseFault {
        code: Code::ProseHtml,
        at,
        message: "raw HTML in prose never gets into a sheet",
        label: "this is HTML",
        help: "use CommonMark: *stress*, **strong**, - lists; write &lt; where < is meant as a sign",
    }
}

fn allowed(address: &str) -> bool {
    SCHEMES.iter().any(|scheme| {
        address.get(..scheme.len()).is_some_and(|start| start.eq_ignore_ascii_case(scheme))
            && address.len() > scheme.len()
    })
}

/// The part of a place that lies on its first line.
fn first_line(text: &str, at: Range<usize>) -> Range<usize> {
    let line = text.get(at.clone()).and_then(|marked| marked.lines().next()).unwrap_or_default();
    at.start..at.start + line.len()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]
mod tests {
    use super::faults;
    use crate::findings::Code;

    /// Code and marked characters of each fault.
    fn found(text: &str) -> Vec<(Code, &str)> {
        faults(text).into_iter().map(|fault| (fault.code, &text[fault.at])).collect()
    }

    #[test]
    fn plain_commonmark_is_fine() {
        assert_eq!(
            found("The ear *tore* off.\n\n- clean\n- `<b>` is code\n\nSee [it](https://example.org), t \\< 6."),
            []
        );
        assert_eq!(found("t < 6 mm & d > 3 mm"), []);
        assert_eq!(found("<https://example.org>"), []);
    }

    #[test]
    fn html_is_marked_to_the_tag() {
        assert_eq!(found("a <b>c</b>"), [(Code::ProseHtml, "<b>"), (Code::ProseHtml, "</b>")]);
        assert_eq!(found("x\n\n<div>\nhello\n</div>"), [(Code::ProseHtml, "<div>")]);
        assert_eq!(found("a <!-- b -->"), [(Code::ProseHtml, "<!-- b -->")]);
    }

    #[test]
    fn headings_pictures_and_other_links() {
        assert_eq!(found("# Big"), [(Code::ProseHeading, "# Big")]);
        assert_eq!(found("Big\n==="), [(Code::ProseHeading, "Big")]);
        assert_eq!(found("![x](https://example.org/a.png)"), [(Code::ProseLink, "![x](https://example.org/a.png)")]);
        assert_eq!(found("[x](javascript:alert(1))"), [(Code::ProseLink, "[x](javascript:alert(1))")]);
        assert_eq!(found("[x](../../etc/passwd)"), [(Code::ProseLink, "[x](../../etc/passwd)")]);
        assert_eq!(found("[x](HTTPS://example.org)"), []);
    }

    #[test]
    fn entities_bring_in_nothing_hidden() {
        assert_eq!(found("a &#x202e; b"), [(Code::NameText, "&#x202e;")]);
        assert_eq!(found("6 &lt; 8 &deg;"), []);
    }

    #[test]
    fn deep_nesting_is_told_once() {
        let deep = ">".repeat(500) + " x";
        assert_eq!(found(&deep).iter().filter(|(code, _)| *code == Code::SyntaxTooLarge).count(), 1);
    }
}
