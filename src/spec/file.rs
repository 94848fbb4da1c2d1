//! From the bytes of a file to a typed table: size, encoding, syntax, keys and values, and the sense of the whole, with
//! all findings together.

use super::limits;
use super::read::{Read, Reader, Unread, peek};
use super::shape::Shape;
use super::syntax;
use crate::findings::{self, Code, File, Finding, Span};
use std::borrow::Cow;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The version of the language that this program reads.
pub const FORMAT: i64 = 1;

/// What a file says, and what the checker has to say about it.
#[derive(Debug, Clone)]
pub struct Reading<T> {
    /// The typed table; none after a syntax error, in another version of the language, or where a key that it cannot do
    /// without is missing or unreadable. It may be there beside errors, so that later rules can speak in the same run.
    pub value: Option<T>,
    /// All findings, sorted by place.
    pub findings: Vec<Finding>,
    /// Keys that are there but could not be read.
    pub unread: Unread,
}

impl<T> Reading<T> {
    fn refused(findings: Vec<Finding>) -> Self {
        Reading { value: None, findings, unread: Unread::default() }
    }

    /// The typed table and the findings.
    #[must_use]
    pub fn into_pair(self) -> (Option<T>, Vec<Finding>) {
        (self.value, self.findings)
    }
}

/// Rules of a file that need more than one of its fields.
pub(crate) type Sense<T> = fn(&T, &Unread) -> Vec<Finding>;

/// Reads the bytes of a file, and gives them as a text for excerpts: what is not UTF-8 becomes U+FFFD.
pub(crate) fn read_bytes<T: Read>(bytes: &[u8], file: File, sense: Sense<T>) -> Reading<T> {
    if let Some(finding) = too_large(bytes.len(), file) {
        return Reading::refused(vec![finding]);
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => read_text(text, file, sense),
        Err(error) => Reading::refused(vec![not_utf8(bytes, error, file)]),
    }
}

/// The text of a file as excerpts show it: what is not UTF-8 becomes U+FFFD, and no more than the largest file.
#[must_use]
pub fn shown_text(bytes: &[u8]) -> Cow<'_, str> {
    String::from_utf8_lossy(bytes.get(..limits::FILE_BYTES).unwrap_or(bytes))
}

/// Reads the text of a file.
pub(crate) fn read_text<T: Read>(text: &str, file: File, sense: Sense<T>) -> Reading<T> {
    if let Some(finding) = too_large(text.len(), file) {
        return Reading::refused(vec![finding]);
    }
    let Shape::Table(root) = T::shape() else { return Reading::refused(Vec::new()) };
    let (tree, errors) = DeTable::parse_recoverable(text);
    let syntax = syntax::findings(text, &errors, file);
    let broken = !errors.is_empty();
    if let Some(finding) = other_format(tree.get_ref(), file) {
        let mut all = syntax;
        all.push(finding);
        findings::sort(&mut all);
        return Reading::refused(all);
    }
    let mut reader = Reader::new(text, file, root, broken);
    let document = Spanned::new(0..0, DeValue::Table(tree.into_inner()));
    let value = T::read(&document, &mut reader);
    let (mut all, dropped, unread) = reader.finish();
    let value = if broken {
        // What the reader makes of a broken stretch is an echo of the syntax error.
        let echoes = syntax::Echoes::of(text, &errors);
        all.retain(|finding| finding.at.is_none_or(|at| !echoes.touch(at)));
        None
    } else {
        all.extend(syntax::toml_1_1(text, file));
        all.extend(value.iter().flat_map(|value| sense(value, &unread)));
        value
    };
    all.extend(syntax);
    findings::sort(&mut all);
    all.dedup();
    if dropped > 0 {
        let limit = limits::FINDINGS;
        all.push(Finding::new(
            Code::SyntaxTooLarge,
            format!("{dropped} more findings are not kept: {limit} of one file are enough"),
        ));
    }
    Reading { value, findings: all, unread }
}

fn start(file: File) -> Span {
    Span { file, start: 0, end: 0 }
}

fn too_large(bytes: usize, file: File) -> Option<Finding> {
    (bytes > limits::FILE_BYTES).then(|| {
        Finding::new(
            Code::SyntaxTooLarge,
            format!("this file has {bytes} bytes, and {} are read at most", limits::FILE_BYTES),
        )
        .at(start(file))
        .label("not read")
        .help("a spec is a few kilobytes; check that the right file was named")
    })
}

fn not_utf8(bytes: &[u8], error: std::str::Utf8Error, file: File) -> Finding {
    let at = error.valid_up_to();
    let wide = matches!(bytes, [0xff, 0xfe, ..] | [0xfe, 0xff, ..]);
    let byte = bytes.get(at).copied().unwrap_or_default();
    // In the text that excerpts show, one U+FFFD of three bytes stands for what could not be read.
    let finding = Finding::new(Code::SyntaxEncoding, format!("byte {at} of this file, 0x{byte:02X}, is not UTF-8"))
        .at(Span { file, start: at, end: at + '\u{fffd}'.len_utf8() })
        .label("not UTF-8 from here on");
    match (wide, byte) {
        (true, _) => finding.help("the file is UTF-16; save it as UTF-8"),
        (false, 0xa0..) => {
            let meant = char::from(byte);
            finding.help(format!("save the file as UTF-8; as Latin-1 this byte would be {meant}"))
        }
        _ => finding.help("save the file as UTF-8"),
    }
}

/// The finding that a file is in another version of the language, read before anything else in it.
fn other_format(root: &DeTable<'_>, file: File) -> Option<Finding> {
    let DeValue::Integer(written) = peek(root, "format")? else { return None };
    let number = i64::from_str_radix(written.as_str(), written.radix()).ok();
    let at = root.get("format")?.span();
    if number == Some(FORMAT) || at == (0..0) {
        return None;
    }
    let newer = number.is_none_or(|number| number > FORMAT);
    let (message, help) = if newer {
        (
            "this file is in a newer version of the language than this program reads",
            "take a newer version of the program",
        )
    } else {
        ("there is no such version of the language", "write format = 1")
    };
    let at = Span { file, start: at.start, end: at.end };
    Some(Finding::new(Code::KeyFormat, message).at(at).label(format!("this program reads format {FORMAT}")).help(help))
}
