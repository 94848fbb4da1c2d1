//! A received sheet: the spec, the kit and the seal that ride inside an HTML or JSON sheet. Nothing in it is trusted: no
//! path and no size is taken from it, and what it says is worked out anew.

use super::fault::Fault;
use super::inputs::Input;
use crate::seal::page::{self, PageDigest};
use serde_json::Value;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The largest sheet that is read: many times the longest that the program writes.
const MOST: u64 = 16 << 20;

/// What rides inside a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Received {
    /// The text of the spec.
    pub(crate) spec: String,
    /// The text of the kit, where there is one.
    pub(crate) kit: Option<String>,
    /// The seal that the sheet bears, in full.
    pub(crate) seal: String,
    /// Whether the page is as it was written; for JSON, which has no digest of its own, true.
    pub(crate) whole: bool,
}

/// Whether a file is a sheet by its name.
pub(crate) fn is_sheet(name: &str) -> bool {
    name.ends_with(".html") || name.ends_with(".json")
}

/// Reads a sheet.
///
/// # Errors
/// [`Fault::Read`], when it cannot be read; [`Fault::Call`], when it holds no spec.
pub(crate) fn read(input: &Input) -> Result<Received, Fault> {
    let mut bytes = Vec::new();
    let file = File::open(&input.path).and_then(|file| file.take(MOST + 1).read_to_end(&mut bytes));
    file.map_err(|error| Fault::read(Path::new(&input.name), error))?;
    let none = || Fault::Call(format!("{} is no sheet of this program: no spec rides in it", input.name));
    if bytes.len() as u64 > MOST {
        return Err(Fault::Call(format!("{} is larger than any sheet", input.name)));
    }
    let found = if input.name.ends_with(".json") { of_json(&bytes) } else { of_html(&bytes) };
    found.ok_or_else(none)
}

fn of_json(bytes: &[u8]) -> Option<Received> {
    let value: Value = serde_json::from_slice(bytes).ok()?;
    let text = |key: &str| value.get(key).and_then(Value::as_str).map(str::to_owned);
    Some(Received { spec: text("spec")?, kit: text("kit"), seal: text("seal")?, whole: true })
}

fn of_html(bytes: &[u8]) -> Option<Received> {
    let text = std::str::from_utf8(bytes).ok()?;
    let pre = |id: &str| between(text, &format!("<pre id=\"{id}\">\n"), "</pre>").map(verbatim);
    let carried = between(text, "<script type=\"application/json\" id=\"sheet\">", "</script>")?;
    let carried: Value = serde_json::from_str(carried).ok()?;
    let seal = carried.get("seal")?.as_str()?.to_owned();
    let whole = page::check(bytes) == PageDigest::Whole;
    Some(Received { spec: pre("spec")?, kit: pre("kit"), seal, whole })
}

/// The text between the first of two marks and the next of the other.
fn between<'t>(text: &'t str, open: &str, close: &str) -> Option<&'t str> {
    let (_, rest) = text.split_once(open)?;
    rest.split_once(close).map(|(inside, _)| inside)
}

/// The text that a `pre` of the sheet stands for.
fn verbatim(text: &str) -> String {
    text.replace("&#13;", "\r").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_sheet_is_none() {
        for bytes in
            [&b""[..], b"<html></html>", b"\xff\xfe", b"<pre id=\"spec\">\nx</pre>", b"{}", b"[[[[", b"{\"spec\": 7}"]
        {
            assert_eq!(of_html(bytes), None);
            assert_eq!(of_json(bytes), None);
        }
        assert_eq!(of_json("[".repeat(100_000).as_bytes()), None, "depth");
    }

    #[test]
    fn texts_come_back_byte_for_byte() {
        assert_eq!(verbatim("a &lt; b &amp;lt; c&#13;\n&gt;"), "a < b &lt; c\r\n>");
    }
}
