//! The author's prose: CommonMark in, the same thing without HTML, pictures, headings and foreign links out, for both
//! faces.
//!
//! What is not allowed is not dropped in silence: HTML comes out as the text that was typed, a picture as its
//! description, a heading as a bold line, a link of another kind as its words.

use super::escape;
use pulldown_cmark::{CodeBlockKind, Event, Parser, Tag, TagEnd, TextMergeStream};

/// The prose as Markdown that may stand in a sheet.
#[must_use]
pub fn markdown(text: &str) -> String {
    let mut writer = Writer::default();
    for event in TextMergeStream::new(Parser::new(text)) {
        writer.event(event);
    }
    writer.out.truncate(writer.out.trim_end().len());
    writer.out
}

/// Prose that [`markdown`] gave, as HTML.
pub(crate) fn html(markdown: &str) -> String {
    let mut options = comrak::Options::default();
    options.render.r#unsafe = false;
    comrak::markdown_to_html(markdown, &options)
}

/// Writes events as Markdown again.
#[derive(Default)]
struct Writer {
    out: String,
    /// What stands at the start of each line, by depth.
    prefixes: Vec<String>,
    /// The number of the next item of each open list; none for bullets.
    lists: Vec<Option<u64>>,
    /// The address of each open link, where it stays a link.
    links: Vec<Option<String>>,
    /// Inside this many pictures: only words count.
    pictures: usize,
    /// Where the open heading begins; it becomes bold as a whole.
    heading: Option<usize>,
    /// How deep emphasis and strong emphasis stand in themselves.
    stressed: [usize; 2],
    /// Inside a block of code or HTML: the text of it so far.
    verbatim: Option<String>,
    /// A line break that waits for what follows, and whether it is a hard one.
    waiting: Option<bool>,
    /// Whether an item was just begun, so that its first block stands on the line of its mark.
    at_mark: bool,
    /// Whether the last block was a paragraph without a blank line after it, as in a tight list.
    tight: bool,
}

impl Writer {
    fn event(&mut self, event: Event<'_>) {
        match event {
            Event::Start(tag) => self.start(tag),
            Event::End(tag) => self.end(tag),
            Event::Text(text) | Event::Html(text) | Event::InlineHtml(text) => self.text(&text),
            Event::Code(text) => self.code(&text),
            Event::SoftBreak => self.line_break(false),
            Event::HardBreak => self.line_break(true),
            Event::Rule => {
                self.open_block();
                self.out.push_str("* * *");
            }
            _ => {}
        }
    }

    fn start(&mut self, tag: Tag<'_>) {
        match tag {
            Tag::Paragraph => self.open_block(),
            Tag::Heading { .. } => {
                self.open_block();
                self.heading = Some(self.out.len());
            }
            Tag::BlockQuote(_) => {
                self.open_block();
                self.out.push_str("> ");
                self.prefixes.push("> ".to_owned());
                self.at_mark = true;
            }
            Tag::CodeBlock(CodeBlockKind::Fenced(_) | CodeBlockKind::Indented) | Tag::HtmlBlock => {
                self.verbatim = Some(String::new());
            }
            Tag::List(first) => {
                self.lists.push(first);
            }
            Tag::Item => self.item(),
            Tag::Emphasis => self.stress(0, true),
            Tag::Strong => self.stress(1, true),
            Tag::Link { dest_url, .. } => self.link(&dest_url),
            Tag::Image { .. } => self.pictures += 1,
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Heading(_) => self.end_heading(),
            TagEnd::Paragraph => self.waiting = None,
            TagEnd::BlockQuote(_) | TagEnd::Item => {
                self.waiting = None;
                self.prefixes.pop();
                self.at_mark = false;
            }
            TagEnd::CodeBlock => self.code_block(),
            TagEnd::HtmlBlock => {
                let text = self.verbatim.take().unwrap_or_default();
                self.open_block();
                self.text(&text);
            }
            TagEnd::List(_) => {
                self.lists.pop();
                self.tight = false;
            }
            TagEnd::Emphasis => self.stress(0, false),
            TagEnd::Strong => self.stress(1, false),
            TagEnd::Link => {
                if let Some(Some(address)) = self.links.pop() {
                    self.out.push_str("](<");
                    self.out.push_str(&address);
                    self.out.push_str(">)");
                }
            }
            TagEnd::Image => self.pictures = self.pictures.saturating_sub(1),
            _ => {}
        }
    }

    /// Sets the heading in bold; one without words leaves nothing, for four stars would be a rule.
    fn end_heading(&mut self) {
        let Some(start) = self.heading.take() else { return };
        let words = self.out.get(start..).unwrap_or_default().trim().to_owned();
        self.out.truncate(start);
        if !words.is_empty() {
            self.out.push_str("**");
            self.out.push_str(&words);
            self.out.push_str("**");
        }
    }

    /// Opens or closes emphasis (0) or strong emphasis (1). Inside itself it says nothing more, and inside a heading or a
    /// picture it is left out.
    fn stress(&mut self, which: usize, open: bool) {
        let Some(depth) = self.stressed.get_mut(which) else { return };
        *depth = if open { *depth + 1 } else { depth.saturating_sub(1) };
        let outermost = *depth == usize::from(open);
        if outermost && self.heading.is_none() && self.pictures == 0 {
            self.inline();
            self.out.push_str(if which == 0 { "*" } else { "**" });
        }
    }

    fn text(&mut self, text: &str) {
        if let Some(verbatim) = &mut self.verbatim {
            verbatim.push_str(text);
            return;
        }
        if self.waiting.is_some() && text.trim().is_empty() {
            return;
        }
        self.inline();
        self.out.push_str(&escape::markdown(text));
    }

    fn code(&mut self, text: &str) {
        self.inline();
        let fence = "`".repeat(longest_run(text, '`') + 1);
        let space = if text.starts_with('`') || text.ends_with('`') { " " } else { "" };
        for part in [&fence, space, &text.replace(['\n', '\r'], " "), space, &fence] {
            self.out.push_str(part);
        }
    }

    fn code_block(&mut self) {
        let text = self.verbatim.take().unwrap_or_default();
        let fence = "`".repeat(longest_run(&text, '`').max(2) + 1);
        self.open_block();
        self.out.push_str(&fence);
        for line in text.lines() {
            self.new_line();
            self.out.push_str(line);
        }
        self.new_line();
        self.out.push_str(&fence);
    }

    /// A link stays one where it leads to a page or a mail address; any other becomes its words.
    fn link(&mut self, address: &str) {
        self.inline();
        let lower = address.to_ascii_lowercase();
        let known = ["https://", "http://", "mailto:"].iter().any(|scheme| lower.starts_with(scheme));
        let plain =
            !address.chars().any(|char| char.is_control() || char.is_whitespace() || matches!(char, '<' | '>' | '\\'));
        let keep = known && plain && self.pictures == 0 && self.links.is_empty();
        if keep {
            // A `!` before a link would make a picture of it.
            if self.out.ends_with('!') {
                self.out.pop();
                self.out.push_str("\\!");
            }
            self.out.push('[');
        }
        self.links.push(keep.then(|| address.replace('&', "&amp;")));
    }

    fn item(&mut self) {
        let mark = match self.lists.last_mut() {
            Some(Some(number)) => {
                let mark = format!("{number}. ");
                *number += 1;
                mark
            }
            // Steps and lists of the sheet have other marks, so that two lists never flow into one.
            _ => "+ ".to_owned(),
        };
        if self.tight {
            self.new_line();
        } else {
            self.open_block();
        }
        self.out.push_str(&mark);
        self.prefixes.push(" ".repeat(mark.len()));
        self.at_mark = true;
        self.tight = true;
    }

    /// Begins a block: on the line of the mark that opens it, or after a blank line.
    fn open_block(&mut self) {
        self.waiting = None;
        if self.at_mark {
            self.at_mark = false;
            return;
        }
        if !self.out.is_empty() {
            self.new_line();
            self.new_line();
        }
    }

    fn new_line(&mut self) {
        while self.out.ends_with(' ') {
            self.out.pop();
        }
        self.out.push('\n');
        for prefix in &self.prefixes {
            self.out.push_str(prefix);
        }
    }

    /// A break waits for the words that follow it, for one before nothing would leave a backslash.
    fn line_break(&mut self, hard: bool) {
        if self.heading.is_some() || self.pictures > 0 {
            self.out.push(' ');
        } else {
            self.waiting = Some(hard);
        }
    }

    /// Words or marks follow on the line.
    fn inline(&mut self) {
        self.at_mark = false;
        if let Some(hard) = self.waiting.take() {
            if hard {
                self.out.push('\\');
            }
            self.new_line();
        }
    }
}

fn longest_run(text: &str, wanted: char) -> usize {
    let mut longest = 0;
    let mut run = 0;
    for char in text.chars() {
        run = if char == wanted { run + 1 } else { 0 };
        longest = longest.max(run);
    }
    longest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_prose_stays_as_it_is() {
        for text in [
            "Crack runs from the free edge.\nIt is *old*, and **deep**.\n\nSecond paragraph, `8.soft`.",
            "+ one\n+ two\n+ three",
            "1. first\n2. second",
            "> quoted\n> twice",
            "See [the drawing](<https://example.org/a?b=1>).",
        ] {
            assert_eq!(markdown(text), text);
        }
    }

    #[test]
    fn what_has_no_place_on_a_sheet_comes_out_as_text() {
        assert_eq!(markdown("# Big\n\ntext"), "**Big**\n\ntext");
        assert_eq!(markdown("a <b onclick=x>b</b>"), "a \\<b onclick=x>b\\</b>");
        assert_eq!(markdown("<script>\nalert(1)\n</script>"), "\\<script> alert(1) \\</script>");
        assert_eq!(markdown("![dial](http://x/y.png)"), "dial");
        assert_eq!(markdown("[a](javascript:alert(1))"), "a");
        assert_eq!(markdown("[a](file.html)"), "a");
        assert_eq!(markdown("\\![a](https://x.y)"), "\\![a](<https://x.y>)");
        assert_eq!(markdown("# \n\na\\\n&nbsp;\n\n***both** and one*"), "a\n\n***both** and one*");
    }

    #[test]
    fn nothing_in_prose_becomes_a_foreign_element() {
        let html =
            html(&markdown("<img src=x>\n\n[a](data:text/html,x) <b>\n\n![p](http://x)\n\n# h\n\n```\n</pre>\n```\n"));
        for bad in ["<img", "<b>", "href", "<h1", "<!--"] {
            assert!(!html.contains(bad), "{bad} in {html}");
        }
        assert!(html.contains("&lt;/pre&gt;"));
    }
}
