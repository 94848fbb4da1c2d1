//! Findings as annotated excerpts of the source, for people. The only file that names the renderer of excerpts.

use super::clean::{clean, visible};
use super::sources::{Lines, Source, Sources};
use super::{Finding, Severity, Span};
use annotate_snippets::{Annotation, AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet};

/// Whether excerpts carry colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Style {
    /// Text alone.
    #[default]
    Plain,
    /// With the escapes that colour a terminal.
    Coloured,
}

/// Most findings that are drawn of one file; the rest are counted. JSON has all.
pub const DRAWN: usize = 100;

/// Most lines, after the first, of a marked place that is drawn whole.
const LINES: usize = 6;

/// Longest stretch of one line that is drawn, in bytes, with the marked place inside it.
const LINE_BYTES: usize = 4000;

/// Draws findings one below the other, in their order.
///
/// Every text passes through [`clean`]: what an author wrote can neither steer the terminal nor
/// turn the direction of writing.
#[must_use]
pub fn render(findings: &[Finding], sources: &Sources<'_>, style: Style) -> String {
    let renderer = match style {
        Style::Plain => Renderer::plain(),
        Style::Coloured => Renderer::styled(),
    };
    let mut text = String::new();
    for finding in findings.iter().take(DRAWN) {
        text.push_str(&compact(&renderer.render(&[group(finding, sources)])));
    }
    if let Some(rest) = findings.len().checked_sub(DRAWN).filter(|rest| *rest > 0) {
        text.push_str(&format!("... and {rest} more\n"));
    }
    text
}

/// Drops the lines that hold nothing but the bar of the margin.
fn compact(drawn: &str) -> String {
    let mut text = String::with_capacity(drawn.len());
    for line in drawn.lines().filter(|line| without_colour(line).trim() != "|") {
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

/// A drawn line without the escapes that the renderer itself put in; all others were made visible before.
fn without_colour(line: &str) -> String {
    let mut plain = String::new();
    let mut rest = line;
    while let Some((before, escape)) = rest.split_once('\u{1b}') {
        plain.push_str(before);
        rest = escape.split_once('m').map_or("", |(_, after)| after);
    }
    plain + rest
}

fn group<'f>(finding: &'f Finding, sources: &'f Sources<'_>) -> Group<'f> {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let mut group = Group::with_title(level.primary_title(clean(&finding.message)).id(finding.code.as_str()));
    if let Some((at, source)) = finding.at.and_then(|at| Some((at, sources.get(at.file)?))) {
        let beside: Vec<&(Span, String)> = finding.related.iter().filter(|(span, _)| span.file == at.file).collect();
        let mut marks = vec![(at, AnnotationKind::Primary, finding.label.as_str())];
        marks.extend(beside.iter().map(|(span, words)| (*span, AnnotationKind::Context, words.as_str())));
        group = group.element(snippet(source, &marks));
    }
    let here = finding.at.map(|at| at.file);
    for (span, words) in finding.related.iter().filter(|(span, _)| Some(span.file) != here) {
        let Some(source) = sources.get(span.file) else { continue };
        group = group.element(elsewhere(source, *span, words));
    }
    for note in &finding.notes {
        group = group.element(Level::NOTE.message(clean(note)));
    }
    if let Some(help) = &finding.help {
        group = group.element(Level::HELP.message(clean(help)));
    }
    group
}

/// A place in another file: its excerpt where there is something to say of it, else its line alone.
fn elsewhere<'f>(source: &Source<'_>, span: Span, words: &str) -> Element<'f> {
    if !words.is_empty() {
        return snippet(source, &[(span, AnnotationKind::Primary, words)]).into();
    }
    let (line, column) = source.lines.place(span.start);
    Origin::path(clean(&source.name)).line(line).char_column(column).into()
}

/// The lines that hold the marks, cleaned, with the marks moved along.
fn snippet<'f>(source: &Source<'_>, marks: &[(Span, AnnotationKind, &str)]) -> Snippet<'f, Annotation<'f>> {
    let lines = &source.lines;
    let marks: Vec<(Span, AnnotationKind, &str)> =
        marks.iter().map(|(span, kind, words)| (short(lines, *span), *kind, *words)).collect();
    let first = marks.iter().map(|(span, ..)| lines.line_of(span.start)).min().unwrap_or(1);
    let last = marks.iter().map(|(span, ..)| lines.line_of(span.end.max(span.start))).max().unwrap_or(first);
    let window = Window::of(lines, first, last, &marks);
    let annotations = marks.iter().map(|(span, kind, words)| {
        let at = window.moved(lines.boundary(span.start))..window.moved(lines.boundary(span.end.max(span.start)));
        let words = clean(words);
        kind.span(at).label((!words.is_empty()).then_some(words))
    });
    let annotations: Vec<Annotation<'f>> = annotations.collect();
    Snippet::source(window.text).path(clean(&source.name)).line_start(first).annotations(annotations)
}

/// A place that runs over more lines than anyone wants to see is cut to its first line.
fn short(lines: &Lines<'_>, span: Span) -> Span {
    let first = lines.line_of(span.start);
    if lines.line_of(span.end.max(span.start)) - first <= LINES {
        return span;
    }
    Span { end: lines.line(first).end.max(span.start), ..span }
}

/// A stretch of a text, made visible, with the bytes that its characters had before.
struct Window {
    text: String,
    /// Byte in the file and byte in the window, of each character.
    places: Vec<(usize, usize)>,
}

impl Window {
    /// The lines from `first` to `last`; of lines far too long, what lies near the marks.
    fn of(lines: &Lines<'_>, first: usize, last: usize, marks: &[(Span, AnnotationKind, &str)]) -> Self {
        let mut window = Window { text: String::new(), places: Vec::new() };
        let marked = |line: &std::ops::Range<usize>| {
            marks.iter().any(|(span, ..)| span.start <= line.end && line.start <= span.end.max(span.start))
        };
        for number in first..=last {
            let line = lines.line(number);
            if marked(&line) {
                window.push_line(lines, line);
            }
            if number < last {
                window.text.push('\n');
            }
        }
        window
    }

    fn push_line(&mut self, lines: &Lines<'_>, line: std::ops::Range<usize>) {
        let end = lines.boundary(line.end.min(line.start + LINE_BYTES));
        let text = lines.text().get(line.start..end).unwrap_or_default();
        for (at, c) in text.char_indices() {
            self.places.push((line.start + at, self.text.len()));
            self.text.push(if c == '\t' { c } else { visible(c) });
        }
        self.places.push((end, self.text.len()));
    }

    /// Where a byte of the file lies in the window; the nearest place before it where it was left out.
    fn moved(&self, byte: usize) -> usize {
        let after = self.places.partition_point(|(before, _)| *before <= byte);
        self.places.get(after.saturating_sub(1)).map_or(0, |(_, here)| *here)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]
mod tests {
    use super::{Style, render};
    use crate::findings::{Code, File, Finding, Sources, Span};

    const HOSTILE: &str = "a\u{1b}[31m\u{202e}\u{7}\0\u{9b}31m\u{200d}\u{2066}b";

    fn span(file: File, start: usize, end: usize) -> Span {
        Span { file, start, end }
    }

    #[test]
    fn no_text_reaches_the_terminal_raw() {
        let text = format!("x = \"{HOSTILE}\"\n");
        let sources = Sources::new().with(File::Spec, HOSTILE, &text).with(File::Kit, HOSTILE, &text);
        let mut finding = Finding::new(Code::NameText, HOSTILE)
            .at(span(File::Spec, 5, 9))
            .label(HOSTILE)
            .help(HOSTILE)
            .note(HOSTILE)
            .related(span(File::Spec, 0, 1), HOSTILE)
            .related(span(File::Kit, 5, 9), HOSTILE);
        finding.related.push((span(File::Kit, 5, 9), String::new()));
        let drawn = render(&[finding], &sources, Style::Plain);
        assert!(drawn.contains('b'), "{drawn}");
        for c in drawn.chars().filter(|c| *c != '\n') {
            assert_eq!(crate::findings::clean::hostile(c), None, "{c:?} in\n{drawn}");
            assert_ne!(c, '\u{200d}');
        }
    }

    #[test]
    fn only_our_own_escapes_colour_the_terminal() {
        let text = format!("x = \"{HOSTILE}\"\n");
        let sources = Sources::new().with(File::Spec, "x.toml", &text);
        let finding = Finding::new(Code::NameText, "m").at(span(File::Spec, 5, 9)).label(HOSTILE).help("h");
        let drawn = render(&[finding], &sources, Style::Coloured);
        for escape in drawn.split('\u{1b}').skip(1) {
            let code = escape.strip_prefix('[').and_then(|rest| rest.split_once('m')).map(|(code, _)| code);
            assert!(code.is_some_and(|code| code.chars().all(|c| c.is_ascii_digit() || c == ';')), "{escape:?}");
            assert_ne!(code, Some("31"));
        }
        assert!(!super::compact(&drawn).lines().any(|line| super::without_colour(line).trim() == "|"));
    }

    #[test]
    fn a_place_in_another_file_stands_below_the_excerpt() {
        let spec = format!("{}amperage = {{ value = \"230 A\" }}\n", "\n".repeat(35));
        let kit = format!("{}amperage   = {{ ac = \"5 A to 200 A\" }}\n", "\n".repeat(8));
        let sources = Sources::new().with(File::Spec, "specs/a.toml", &spec).with(File::Kit, "kits/b.toml", &kit);
        let at = spec.find("230").unwrap();
        let mut finding = Finding::new(Code::SettingAboveMachine, "230 A is past the end of Bay 1 set")
            .at(span(File::Spec, at, at + 5))
            .label("at most 200 A AC")
            .note("a reason may leave a worked-out range, never a ceiling")
            .help("200 A or less");
        let end = kit.find("200").unwrap();
        finding.related.push((span(File::Kit, end, end + 5), String::new()));
        let drawn = render(&[finding], &sources, Style::Plain);
        assert_eq!(
            drawn,
            "error[setting-above-machine]: 230 A is past the end of Bay 1 set\n\
            \x20 --> specs/a.toml:36:23\n\
            36 | amperage = { value = \"230 A\" }\n\
            \x20  |                       ^^^^^ at most 200 A AC\n\
            \x20 ::: kits/b.toml:9:29\n\
            \x20  = note: a reason may leave a worked-out range, never a ceiling\n\
            \x20  = help: 200 A or less\n"
        );
    }

    #[test]
    fn places_far_out_do_no_harm() {
        let texts = ["", "a", "\u{feff}", "µµ\n", "a\r\nb", &"x".repeat(20_000)];
        for text in texts {
            let sources = Sources::new().with(File::Spec, "x.toml", text);
            for (start, end) in
                [(0, 0), (0, 1), (1, 1), (1, 3), (5, 2), (3, 900), (15_000, 15_003), (usize::MAX, usize::MAX)]
            {
                let finding = Finding::new(Code::SyntaxToml, "m").at(span(File::Spec, start, end)).label("l");
                assert!(render(&[finding], &sources, Style::Plain).contains("x.toml:"), "{text:.20} {start} {end}");
            }
        }
    }

    #[test]
    fn a_hundred_are_drawn_and_the_rest_counted() {
        let findings = vec![Finding::new(Code::KeyUnknown, "m"); 130];
        let drawn = render(&findings, &Sources::new(), Style::Plain);
        assert_eq!(drawn.matches("error[key-unknown]").count(), 100);
        assert!(drawn.ends_with("... and 30 more\n"));
    }
}
