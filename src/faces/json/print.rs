//! JSON as text: each figure and each line of a working on lines of its own, so that a change is a small difference.

use crate::findings::clean::hostile;
use crate::findings::json::safe;
use serde::Serialize;
use serde_json::ser::{Formatter, Serializer};
use std::io::{self, Write};

/// Objects and arrays deeper than this stand on one line.
const DEEPEST: usize = 4;

/// The JSON text of a value, indented, with a line feed at the end, and nothing in it that steers a terminal.
///
/// A value of plain data always has one; another kind gives an empty text.
#[must_use]
pub fn print(value: &impl Serialize) -> String {
    let mut out = Vec::with_capacity(32 * 1024);
    let mut serializer = Serializer::with_formatter(&mut out, Indented { depth: 0, empty: true });
    if value.serialize(&mut serializer).is_err() {
        return String::new();
    }
    out.push(b'\n');
    let text = String::from_utf8(out).unwrap_or_default();
    // The marks of JSON and plain letters steer nothing, and most texts hold nothing else.
    let steers = |c: char| (c as u32) > 0x7e && hostile(c).is_some();
    if text.chars().any(steers) { safe(&text) } else { text }
}

struct Indented {
    depth: usize,
    /// Whether what was opened last holds nothing yet.
    empty: bool,
}

impl Indented {
    fn open<W: ?Sized + Write>(&mut self, writer: &mut W, mark: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.empty = true;
        writer.write_all(mark)
    }

    fn close<W: ?Sized + Write>(&mut self, writer: &mut W, mark: &[u8]) -> io::Result<()> {
        let broken = self.depth <= DEEPEST && !self.empty;
        self.depth = self.depth.saturating_sub(1);
        self.empty = false;
        if broken {
            self.new_line(writer)?;
        }
        writer.write_all(mark)
    }

    fn next<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.empty = false;
        if !first {
            writer.write_all(b",")?;
        }
        if self.depth <= DEEPEST {
            self.new_line(writer)
        } else if first {
            Ok(())
        } else {
            writer.write_all(b" ")
        }
    }

    fn new_line<W: ?Sized + Write>(&self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| writer.write_all(b" "))
    }
}

impl Formatter for Indented {
    fn begin_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b"[")
    }
    fn end_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b"]")
    }
    fn begin_array_value<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.next(writer, first)
    }
    fn begin_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b"{")
    }
    fn end_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b"}")
    }
    fn begin_object_key<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.next(writer, first)
    }
    fn begin_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b": ")
    }
}

#[cfg(test)]
mod tests {
    use super::print;
    use serde_json::json;

    #[test]
    fn it_reads_back_and_deep_things_stand_on_one_line() {
        let value = json!({"a": {"b": {"c": [{"d": 1, "e": [2, {}]}, {}]}}, "f": [], "g": "\u{1b}[31m\u{202e}\u{7f}°"});
        let text = print(&value);
        assert_eq!(serde_json::from_str::<serde_json::Value>(&text).unwrap_or_default(), value);
        assert!(text.contains("{\"d\": 1, \"e\": [2, {}]},\n"), "{text}");
        assert!(text.ends_with("}\n") && !text.contains(['\u{1b}', '\u{202e}', '\u{7f}']) && text.contains('°'));
    }
}
