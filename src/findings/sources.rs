//! The texts that findings point into, and where bytes of them lie for people: line and column.

use super::{File, Finding, Span};

/// Where the lines of a text begin.
#[derive(Debug, Clone)]
pub struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    /// The index of a text.
    #[must_use]
    pub fn new(text: &'t str) -> Self {
        let first = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
        let mut starts = vec![first];
        starts.extend(text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at + 1));
        Lines { text, starts }
    }

    /// Line and column of a byte, both from 1, the column in Unicode scalar values. A byte order mark counts as nothing;
    /// a byte past the end is taken as the end, one inside a character as the start of that character.
    #[must_use]
    pub fn place(&self, byte: usize) -> (usize, usize) {
        let byte = self.boundary(byte);
        let line = self.line_of(byte);
        let start = self.starts.get(line - 1).copied().unwrap_or_default();
        let before = self.text.get(start..byte).unwrap_or_default();
        (line, before.chars().count() + 1)
    }

    /// The line of a byte, from 1.
    #[must_use]
    pub fn line_of(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte).max(1)
    }

    /// Bytes of a line, counted from 1, without its line ending; empty where there is no such line.
    #[must_use]
    pub fn line(&self, line: usize) -> std::ops::Range<usize> {
        let end = self.text.len();
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(end);
        let next = self.starts.get(line).copied().unwrap_or(end + 1);
        let whole = self.text.get(start..next.saturating_sub(1).max(start)).unwrap_or_default();
        start..start + whole.trim_end_matches('\r').len()
    }

    /// Number of lines, at least one.
    #[must_use]
    pub fn count(&self) -> usize {
        self.starts.len()
    }

    /// The start of the character that a byte lies in, or the end of the text.
    #[must_use]
    pub fn boundary(&self, byte: usize) -> usize {
        let mut byte = byte.min(self.text.len());
        while !self.text.is_char_boundary(byte) {
            byte -= 1;
        }
        byte
    }

    /// Number of characters in a stretch of bytes.
    #[must_use]
    pub fn length(&self, start: usize, end: usize) -> usize {
        self.text.get(self.boundary(start)..self.boundary(end)).unwrap_or_default().chars().count()
    }

    /// The text.
    #[must_use]
    pub fn text(&self) -> &'t str {
        self.text
    }
}

/// A file as findings show it.
#[derive(Debug, Clone)]
pub struct Source<'t> {
    /// Which of the files of a sheet it is.
    pub file: File,
    /// Its name as it is shown: the path that the user gave.
    pub name: String,
    /// Its text, with an index of its lines.
    pub lines: Lines<'t>,
}

/// The files that the findings of one sheet point into.
#[derive(Debug, Clone, Default)]
pub struct Sources<'t> {
    files: Vec<Source<'t>>,
}

impl<'t> Sources<'t> {
    /// No file.
    #[must_use]
    pub fn new() -> Self {
        Sources::default()
    }

    /// With one more file; a second of the same kind takes the place of the first.
    #[must_use]
    pub fn with(mut self, file: File, name: impl Into<String>, text: &'t str) -> Self {
        self.files.retain(|known| known.file != file);
        self.files.push(Source { file, name: name.into(), lines: Lines::new(text) });
        self
    }

    /// The file of this kind.
    #[must_use]
    pub fn get(&self, file: File) -> Option<&Source<'t>> {
        self.files.iter().find(|known| known.file == file)
    }

    /// All files, in the order in which they were added.
    #[must_use]
    pub fn files(&self) -> &[Source<'t>] {
        &self.files
    }

    /// The characters that a place marks.
    #[must_use]
    pub fn marked(&self, span: Span) -> Option<&'t str> {
        let lines = &self.get(span.file)?.lines;
        lines.text().get(lines.boundary(span.start)..lines.boundary(span.end.max(span.start)))
    }
}

/// How many findings there are of each severity.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Errors.
    pub errors: usize,
    /// Warnings.
    pub warnings: usize,
    /// Notes.
    pub notes: usize,
}

impl Tally {
    /// Counts findings.
    #[must_use]
    pub fn of(findings: &[Finding]) -> Self {
        let count = |severity| findings.iter().filter(|finding| finding.severity == severity).count();
        Tally {
            errors: count(super::Severity::Error),
            warnings: count(super::Severity::Warning),
            notes: count(super::Severity::Note),
        }
    }

    /// In words: `5 errors, 1 note`; `nothing to say` where there is none.
    #[must_use]
    pub fn words(self) -> String {
        let part = |count: usize, one: &str, many: &str| match count {
            0 => None,
            1 => Some(format!("1 {one}")),
            count => Some(format!("{count} {many}")),
        };
        let parts = [
            part(self.errors, "error", "errors"),
            part(self.warnings, "warning", "warnings"),
            part(self.notes, "note", "notes"),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        if parts.is_empty() { "nothing to say".to_owned() } else { parts.join(", ") }
    }
}

#[cfg(test)]
mod tests {
    use super::{Lines, Tally};

    #[test]
    fn columns_count_characters() {
        let lines = Lines::new("µ = 1\r\nab\n\nc");
        assert_eq!(lines.place(0), (1, 1));
        assert_eq!(lines.place(2), (1, 2));
        assert_eq!(lines.place(1), (1, 1), "inside a character");
        assert_eq!(lines.place(8), (2, 1));
        assert_eq!(lines.place(11), (3, 1));
        assert_eq!(lines.place(12), (4, 1));
        assert_eq!(lines.place(99), (4, 2), "past the end");
        assert_eq!(lines.line(1), 0..6);
        assert_eq!(lines.line(3), 11..11);
        assert_eq!(lines.line(9), 13..13);
    }

    #[test]
    fn a_byte_order_mark_counts_as_nothing() {
        let lines = Lines::new("\u{feff}a = 1");
        assert_eq!(lines.place(0), (1, 1));
        assert_eq!(lines.place(3), (1, 1));
        assert_eq!(lines.place(4), (1, 2));
        assert_eq!(lines.line(1), 3..8);
    }

    #[test]
    fn an_empty_text_has_one_line() {
        let lines = Lines::new("");
        assert_eq!(lines.place(0), (1, 1));
        assert_eq!(lines.line(1), 0..0);
    }

    #[test]
    fn a_tally_is_read_as_words() {
        assert_eq!(Tally { errors: 5, warnings: 1, notes: 0 }.words(), "5 errors, 1 warning");
        assert_eq!(Tally::default().words(), "nothing to say");
    }
}
