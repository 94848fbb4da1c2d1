//! A cell: a text with the basis and the sources that belong to it, as the templates get it, and as each face writes it.
//!
//! A sheet has thousands of cells, so they go to the templates as short lists and are written by one filter a face.

use super::dual::{self, Piece};
use super::escape;
use crate::units::System;
use serde::Serialize;
use std::fmt::Write as _;
use tera::{Value, escape_html};

/// A text with its basis, its sources, and whether it is a box to write in.
#[derive(Serialize)]
pub(super) struct CellView<'a>(pub(super) Words<'a>, pub(super) &'a str, pub(super) Vec<Source<'a>>, pub(super) bool);

/// Key of a source, and its number in the list of sources; 0 where it is not listed.
#[derive(Serialize)]
pub(super) struct Source<'a>(pub(super) &'a str, pub(super) usize);

/// A text: plain, or in runs where it names steps or holds.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum Words<'a> {
    Plain(&'a str),
    Runs(Vec<Run<'a>>),
}

/// A stretch of a text, and what it is: [`PLAIN`], [`ID`] or [`HERE`].
#[derive(Serialize)]
pub(super) struct Run<'a>(pub(super) &'a str, pub(super) u8);

/// Plain text.
pub(super) const PLAIN: u8 = 0;
/// The id of a step or hold.
pub(super) const ID: u8 = 1;
/// The id of a step or hold that is on this sheet.
pub(super) const HERE: u8 = 2;

/// Gives every run of words to `write`, with what it is.
fn each_run(words: &Value, mut write: impl FnMut(&str, u8)) {
    if let Some(text) = words.as_str() {
        return write(text, PLAIN);
    }
    for run in words.as_array().unwrap_or_default() {
        if let Some([text, what]) = run.as_array() {
            let what = what.as_u64().and_then(|what| u8::try_from(what).ok()).unwrap_or(PLAIN);
            write(text.as_str().unwrap_or_default(), what);
        }
    }
}

/// Gives every source to `write`: key and number.
fn each_source(sources: &Value, mut write: impl FnMut(&str, u64)) {
    for source in sources.as_array().unwrap_or_default() {
        if let Some([key, number]) = source.as_array() {
            write(key.as_str().unwrap_or_default(), number.as_u64().unwrap_or_default());
        }
    }
}

/// Words as Markdown.
pub(super) fn words_to_markdown(words: &Value) -> String {
    let mut out = String::new();
    push_markdown(&mut out, words);
    out
}

fn push_markdown(out: &mut String, words: &Value) {
    each_run(words, |text, what| {
        if what == PLAIN {
            out.push_str(&escape::markdown(text));
        } else {
            out.push('`');
            out.push_str(text);
            out.push('`');
        }
    });
}

/// A cell as Markdown: the words, the mark of the basis, and a footnote for each source.
pub(super) fn cell_to_markdown(cell: &Value) -> String {
    let mut out = String::new();
    let Some([words, basis, sources, _]) = cell.as_array() else { return out };
    push_markdown(&mut out, words);
    let mut part = |text: &str, before: &str, after: &str| {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(before);
        out.push_str(&escape::markdown(text));
        out.push_str(after);
    };
    if let Some(basis) = basis.as_str().filter(|basis| !basis.is_empty()) {
        part(basis, "", "");
    }
    each_source(sources, |key, number| if number == 0 { part(key, "(", ")") } else { part(key, "[^", "]") });
    out
}

/// A cell of a Markdown table: a space and the text, or nothing where it is empty.
pub(super) fn column(cell: &Value) -> String {
    let mut text = cell_to_markdown(cell);
    if !text.is_empty() {
        text.insert(0, ' ');
    }
    text
}

/// Words as HTML, with links to the steps and holds of this sheet.
pub(super) fn words_to_html(words: &Value) -> String {
    let mut out = String::new();
    push_html(&mut out, words);
    out
}

fn push_html(out: &mut String, words: &Value) {
    each_run(words, |text, what| match what {
        HERE => {
            let id = escaped(text);
            let _ = write!(out, "<a class=\"id\" href=\"#{id}\">{id}</a>");
        }
        ID => {
            let _ = write!(out, "<b class=\"id\">{}</b>", escaped(text));
        }
        _ => push_units(out, text),
    });
}

/// Plain text with each quantity in both systems marked, so that the page can show one of them alone.
fn push_units(out: &mut String, text: &str) {
    dual::pieces(text, |piece| match piece {
        Piece::Plain(text) => out.push_str(&escaped(text)),
        Piece::Pair { lead, beside, first } => {
            let (one, other) = if first == System::Metric { ("m", "i") } else { ("i", "m") };
            let (lead, beside) = (escaped(lead), escaped(beside));
            let _ = write!(
                out,
                "<span class=\"{one}\">{lead}</span><span class=\"p\"> (</span><span class=\"{other}\">{beside}</span>\
                 <span class=\"p\">)</span>"
            );
        }
    });
}

/// A cell as HTML: the words, and the marks in a span of their own.
pub(super) fn cell_to_html(cell: &Value) -> String {
    let mut out = String::new();
    let Some([words, basis, sources, _]) = cell.as_array() else { return out };
    push_html(&mut out, words);
    let basis = basis.as_str().unwrap_or_default();
    if basis.is_empty() && sources.as_array().is_none_or(<[Value]>::is_empty) {
        return out;
    }
    out.push_str(if out.is_empty() { "<span class=\"marks\">" } else { " <span class=\"marks\">" });
    out.push_str(&escaped(basis));
    // The first source stays on the line of the mark.
    let mut space = if basis.is_empty() { "" } else { "\u{a0}" };
    each_source(sources, |key, number| {
        let key = escaped(key);
        let _ = match number {
            0 => write!(out, "{space}({key})"),
            _ => write!(out, "{space}<a href=\"#source-{key}\">{number}</a>"),
        };
        space = " ";
    });
    out.push_str("</span>");
    out
}

fn escaped(text: &str) -> String {
    let mut out = Vec::with_capacity(text.len() + 8);
    // Writing to a vector cannot fail, and only whole characters are written.
    let _ = escape_html(text, &mut out);
    String::from_utf8(out).unwrap_or_default()
}
