//! Reads a Markdown sheet back with two parsers that know nothing of each other.

use comrak::nodes::{AstNode, NodeValue};
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

/// What a reader finds on a sheet.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Found {
    pub(crate) headings: Vec<String>,
    /// Tables, rows, cells; the head is the first row.
    pub(crate) tables: Vec<Vec<Vec<String>>>,
    /// Items with a tick.
    pub(crate) steps: Vec<String>,
    /// Items without one.
    pub(crate) items: Vec<String>,
    /// Paragraphs inside quotes.
    pub(crate) quotes: Vec<String>,
    /// Paragraphs outside everything.
    pub(crate) paragraphs: Vec<String>,
    /// Key and text of each footnote.
    pub(crate) notes: Vec<(String, String)>,
    /// Anything that a sheet must not hold: HTML, links, pictures.
    pub(crate) foreign: Vec<String>,
}

/// One space between words, none at the ends.
pub(crate) fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

pub(crate) fn with_pulldown(text: &str) -> Found {
    let options = Options::ENABLE_TABLES | Options::ENABLE_TASKLISTS | Options::ENABLE_FOOTNOTES;
    let mut found = Found::default();
    let (mut words, mut tick, mut quote, mut note, mut item) = (String::new(), false, 0, None, 0);
    for event in Parser::new_ext(text, options) {
        match event {
            Event::Start(Tag::Heading { .. } | Tag::TableCell) => words.clear(),
            Event::Start(Tag::Paragraph) if item == 0 => words.clear(),
            Event::Start(Tag::Table(_)) => found.tables.push(Vec::new()),
            Event::Start(Tag::TableHead | Tag::TableRow) => found.tables.last_mut().unwrap().push(Vec::new()),
            Event::Start(Tag::BlockQuote(_)) => quote += 1,
            Event::Start(Tag::Item) => {
                (tick, item) = (false, item + 1);
                words.clear();
            }
            Event::Start(Tag::FootnoteDefinition(key)) => note = Some(key.to_string()),
            Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => {
                found.foreign.push(dest_url.to_string())
            }
            Event::End(TagEnd::Heading(_)) => found.headings.push(plain(&words)),
            Event::End(TagEnd::TableCell) => {
                found.tables.last_mut().unwrap().last_mut().unwrap().push(plain(&words));
            }
            Event::End(TagEnd::BlockQuote(_)) => quote -= 1,
            Event::End(TagEnd::Item) => {
                item -= 1;
                let place = if tick { &mut found.steps } else { &mut found.items };
                place.push(plain(&words));
            }
            Event::End(TagEnd::FootnoteDefinition) => note = None,
            Event::End(TagEnd::Paragraph) if item == 0 => match (&note, quote) {
                (Some(key), _) => found.notes.push((key.clone(), plain(&words))),
                (None, 0) => found.paragraphs.push(plain(&words)),
                (None, _) => found.quotes.push(plain(&words)),
            },
            Event::TaskListMarker(_) => tick = true,
            Event::Text(text) | Event::Code(text) => words.push_str(&text),
            Event::FootnoteReference(key) => words.push_str(&format!("[^{key}]")),
            Event::SoftBreak | Event::HardBreak => words.push(' '),
            Event::Html(html) | Event::InlineHtml(html) => found.foreign.push(html.to_string()),
            Event::Rule => found.foreign.push("rule".to_owned()),
            _ => {}
        }
    }
    found
}

pub(crate) fn with_comrak(text: &str) -> Found {
    let mut options = comrak::Options::default();
    options.extension.table = true;
    options.extension.tasklist = true;
    options.extension.footnotes = true;
    options.extension.strikethrough = true;
    options.parse.leave_footnote_definitions = true;
    let arena = comrak::Arena::new();
    let root = comrak::parse_document(&arena, text, &options);
    let mut found = Found::default();
    walk(root, &mut found, 0);
    found
}

fn walk<'a>(node: &'a AstNode<'a>, found: &mut Found, quotes: usize) {
    for child in node.children() {
        let value = child.data.borrow().value.clone();
        match value {
            NodeValue::Heading(_) => {
                let text = words(child, found);
                found.headings.push(text);
            }
            NodeValue::Table(_) => {
                let mut rows = Vec::new();
                for row in child.children() {
                    rows.push(row.children().map(|cell| words(cell, found)).collect());
                }
                found.tables.push(rows);
            }
            NodeValue::BlockQuote => walk(child, found, quotes + 1),
            NodeValue::Item(_) => {
                let text = words(child, found);
                found.items.push(text);
            }
            NodeValue::TaskItem(_) => {
                let text = words(child, found);
                found.steps.push(text);
            }
            NodeValue::Paragraph => {
                let text = words(child, found);
                if quotes > 0 { found.quotes.push(text) } else { found.paragraphs.push(text) }
            }
            NodeValue::FootnoteDefinition(note) => {
                let text = words(child, found);
                found.notes.push((note.name, text));
            }
            NodeValue::List(_) => walk(child, found, quotes),
            other => found.foreign.push(format!("{other:?}")),
        }
    }
}

/// The text of a node, with footnotes as `[^key]`.
fn words<'a>(node: &'a AstNode<'a>, found: &mut Found) -> String {
    let mut text = String::new();
    for inner in node.descendants() {
        match &inner.data.borrow().value {
            NodeValue::Text(part) => text.push_str(part),
            NodeValue::Code(code) => text.push_str(&code.literal),
            NodeValue::FootnoteReference(note) => text.push_str(&format!("[^{}]", note.name)),
            NodeValue::SoftBreak | NodeValue::LineBreak => text.push(' '),
            NodeValue::Link(link) | NodeValue::Image(link) => found.foreign.push(link.url.clone()),
            NodeValue::HtmlInline(html) => found.foreign.push(html.clone()),
            NodeValue::ThematicBreak => found.foreign.push("rule".to_owned()),
            NodeValue::Strikethrough | NodeValue::HtmlBlock(_) => found.foreign.push("block".to_owned()),
            _ => {}
        }
    }
    plain(&text)
}
