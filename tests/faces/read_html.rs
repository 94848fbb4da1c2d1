//! Reads the HTML face back: strictly, so that a mistake in the nesting of elements or an element that has no place on
//! a sheet fails the test.

use super::read_markdown::plain;

/// Elements that the face is made of.
const ELEMENTS: &[&str] = &[
    "html",
    "head",
    "meta",
    "title",
    "style",
    "body",
    "header",
    "main",
    "footer",
    "nav",
    "section",
    "div",
    "p",
    "h1",
    "h2",
    "span",
    "strong",
    "b",
    "em",
    "code",
    "pre",
    "a",
    "ol",
    "ul",
    "li",
    "label",
    "input",
    "table",
    "caption",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "details",
    "summary",
    "svg",
    "symbol",
    "figure",
    "figcaption",
    "desc",
    "g",
    "rect",
    "text",
    "path",
    "use",
    "script",
    "fieldset",
    "legend",
    "blockquote",
    "br",
    "hr",
];
const VOID: &[&str] = &["meta", "input", "path", "rect", "use", "br", "hr"];
const ATTRIBUTES: &[&str] = &[
    "lang",
    "charset",
    "http-equiv",
    "content",
    "name",
    "class",
    "id",
    "href",
    "type",
    "autocomplete",
    "scope",
    "role",
    "aria-label",
    "aria-hidden",
    "data-head",
    "data-box",
    "tabindex",
    "checked",
    "title",
    "width",
    "height",
    "viewBox",
    "d",
    "fill",
    "stroke",
    "stroke-width",
    "stroke-linejoin",
    "stroke-dasharray",
    "aria-labelledby",
    "x",
    "y",
    "rx",
    "font-family",
    "font-size",
    "font-weight",
    "text-anchor",
    "paint-order",
    "start",
];

/// An element with its text and its children.
#[derive(Debug, Default, Clone)]
pub(crate) struct Element {
    pub(crate) name: String,
    pub(crate) attributes: Vec<(String, String)>,
    pub(crate) nodes: Vec<Node>,
}

#[derive(Debug, Clone)]
pub(crate) enum Node {
    Text(String),
    Element(Element),
}

impl Element {
    pub(crate) fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str())
    }

    pub(crate) fn has_class(&self, class: &str) -> bool {
        self.attribute("class").is_some_and(|classes| classes.split(' ').any(|one| one == class))
    }

    pub(crate) fn children(&self) -> impl Iterator<Item = &Element> {
        self.nodes.iter().filter_map(|node| match node {
            Node::Element(element) => Some(element),
            Node::Text(_) => None,
        })
    }

    /// All elements inside with this name, in order.
    pub(crate) fn all(&self, name: &str) -> Vec<&Element> {
        let mut found = Vec::new();
        for child in self.children() {
            if child.name == name {
                found.push(child);
            }
            found.extend(child.all(name));
        }
        found
    }

    /// The text as it stands in the file.
    pub(crate) fn verbatim(&self) -> String {
        let parts = self.nodes.iter().map(|node| match node {
            Node::Text(text) => text.clone(),
            Node::Element(element) => element.verbatim(),
        });
        parts.collect()
    }

    /// The text with sources as `[^key]`, without what a class or an element leaves out.
    pub(crate) fn words(&self, without: &[&str]) -> String {
        let mut text = String::new();
        self.push_words(&mut text, without);
        plain(&text)
    }

    fn push_words(&self, text: &mut String, without: &[&str]) {
        for node in &self.nodes {
            match node {
                Node::Text(part) => text.push_str(part),
                Node::Element(element) if without.iter().any(|class| element.has_class(class)) => {}
                Node::Element(element) => {
                    match element.attribute("href").and_then(|href| href.strip_prefix("#source-")) {
                        Some(key) => text.push_str(&format!(" [^{key}]")),
                        None => element.push_words(text, without),
                    }
                }
            }
        }
    }
}

/// Reads a document. Panics with what is wrong, which fails the test.
pub(crate) fn read(html: &str) -> Element {
    let mut rest = html.strip_prefix("<!doctype html>\n").expect("a doctype");
    let mut open = vec![Element::default()];
    while let Some(at) = rest.find('<') {
        push_text(&mut open, &decoded(&rest[..at]));
        let end = at + tag_end(&rest[at..]);
        let tag = &rest[at + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let element = open.pop().unwrap();
            assert_eq!(element.name, name, "closed out of order");
            open.last_mut().expect("one too many closed").nodes.push(Node::Element(element));
            continue;
        }
        let (tag, closed) = tag.strip_suffix('/').map_or((tag, false), |tag| (tag, true));
        let element = element(tag);
        let name = element.name.clone();
        if closed || VOID.contains(&name.as_str()) {
            open.last_mut().unwrap().nodes.push(Node::Element(element));
            continue;
        }
        open.push(element);
        if name == "script" || name == "style" {
            let close = rest.find("</").expect("closed");
            push_text(&mut open, &rest[..close]);
            rest = &rest[close..];
        }
    }
    push_text(&mut open, rest);
    assert_eq!(open.len(), 1, "left open: {:?}", open.iter().map(|element| &element.name).collect::<Vec<_>>());
    open.pop().unwrap()
}

fn push_text(open: &mut [Element], text: &str) {
    if !text.is_empty() {
        open.last_mut().unwrap().nodes.push(Node::Text(text.to_owned()));
    }
}

/// Where a tag ends, quotes honoured.
fn tag_end(text: &str) -> usize {
    let mut quoted = false;
    for (at, char) in text.char_indices() {
        match char {
            '"' => quoted = !quoted,
            '>' if !quoted => return at,
            _ => {}
        }
    }
    panic!("a tag without an end: {text}");
}

fn element(tag: &str) -> Element {
    let (name, mut rest) = tag.trim().split_once(' ').unwrap_or((tag.trim(), ""));
    assert!(ELEMENTS.contains(&name), "foreign element <{tag}>");
    let mut attributes = Vec::new();
    while !rest.is_empty() {
        let (key, after) = rest.split_once("=\"").unwrap_or_else(|| panic!("an attribute without quotes in <{tag}>"));
        let (value, after) = after.split_once('"').expect("closed quotes");
        assert!(ATTRIBUTES.contains(&key.trim()), "foreign attribute in <{tag}>");
        attributes.push((key.trim().to_owned(), decoded(value)));
        rest = after.trim_start();
    }
    Element { name: name.to_owned(), attributes, nodes: Vec::new() }
}

/// The five entities that the face writes, and numeric ones.
fn decoded(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('&') {
        out.push_str(before);
        let (name, after) = after.split_once(';').expect("an entity has an end");
        out.push(match name {
            "amp" => '&',
            "lt" => '<',
            "gt" => '>',
            "quot" => '"',
            "#39" | "#x27" => '\'',
            "#13" => '\r',
            other => panic!("unknown entity {other}"),
        });
        rest = after;
    }
    out.push_str(rest);
    out
}
