//! A received sheet, as its bytes tell: the spec, the kit and the seal that ride inside an HTML or JSON sheet, and which
//! of its parts are not as they were written. Nothing in it is trusted: no path and no size is taken from it.

use super::page::{self, PageDigest};
use super::parts::{self, Told};
use super::{Canonical, seal_of};
use serde_json::Value;
use std::ops::Range;

/// A part of a sheet that is not as it was written.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Touched {
    /// The text of the spec.
    Spec,
    /// The text of the kit.
    Kit,
    /// The figures in its data.
    Figures,
    /// The seal in its data.
    Seal,
    /// Only the page round them: `section-4`, `heading`, `head`, `foot`, `data`, `digest`, `parts`.
    Page(String),
}

impl Touched {
    fn of(part: &str) -> Self {
        match part {
            "spec" => Touched::Spec,
            "kit" => Touched::Kit,
            "figures" => Touched::Figures,
            "seal" => Touched::Seal,
            other => Touched::Page(other.to_owned()),
        }
    }
}

/// What rides inside a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Received {
    /// The text of the spec.
    pub spec: String,
    /// The text of the kit, where there is one.
    pub kit: Option<String>,
    /// The seal that the sheet bears, in full.
    pub seal: String,
    /// Whether the page is as it was written; for JSON, which has no digest of its own, true.
    pub whole: bool,
    /// Its parts that are not as they were written; none where it bears no list of them.
    pub touched: Option<Vec<Touched>>,
    /// Whether the seal is that of the spec, the kit and the figures that ride in it; none where it bears no figures.
    pub holds: Option<bool>,
    /// The figures that ride in it, as they were sealed.
    pub sealed: Option<Value>,
    /// What it was made with: program, tables, units.
    pub made: Option<Value>,
}

impl Received {
    /// A key of what it was made with.
    #[must_use]
    pub fn made_with(&self, key: &str) -> Option<&str> {
        self.made.as_ref()?.get(key)?.as_str()
    }
}

/// Reads a JSON sheet; none where no spec rides in it.
#[must_use]
pub fn of_json(bytes: &[u8]) -> Option<Received> {
    let value: Value = serde_json::from_slice(bytes).ok()?;
    let text = |key: &str| value.get(key).and_then(Value::as_str).map(str::to_owned);
    Some(Received {
        spec: text("spec")?,
        kit: text("kit"),
        seal: text("seal")?,
        whole: true,
        touched: None,
        holds: None,
        sealed: None,
        made: value.get("made").cloned(),
    })
}

/// Reads an HTML sheet; none where no spec rides in it.
#[must_use]
pub fn of_html(bytes: &[u8]) -> Option<Received> {
    let told = parts::check(bytes);
    let mut received = told.as_ref().and_then(|told| by_parts(bytes, told)).or_else(|| by_marks(bytes))?;
    received.whole = page::check(bytes) == PageDigest::Whole;
    received.touched = told.map(|told| {
        let mut touched: Vec<Touched> = told.touched.iter().map(|part| Touched::of(part)).collect();
        touched.sort();
        touched.dedup();
        touched
    });
    received.holds = received.sealed.as_ref().map(|figures| {
        let kit = received.kit.as_deref().map_or_else(Canonical::none, Canonical::of);
        seal_of(&Canonical::of(&received.spec), &kit, figures).hex() == received.seal
    });
    Some(received)
}

/// By the places that the list of parts tells: they hold where a mark of the page was changed too.
fn by_parts(bytes: &[u8], told: &Told) -> Option<Received> {
    let text = |range: Range<usize>| bytes.get(range).map(String::from_utf8_lossy);
    let pre = |name: &str| told.place(name).and_then(text).map(|text| verbatim(&text));
    // Members of an object, with the comma that parts them from the next.
    let members = |range: Range<usize>| {
        let text = text(range)?;
        serde_json::from_str::<Value>(&format!("{{{}}}", text.trim().trim_end_matches(','))).ok()
    };
    let data = told.places.iter().rev().find(|(name, ..)| name == "data").map(|(_, begin, end)| *begin..*end);
    let seal = text(told.place("seal")?)?;
    let digits = seal.split('"').nth(3).unwrap_or_default().to_owned();
    Some(Received {
        spec: pre("spec")?,
        kit: pre("kit"),
        seal: digits,
        whole: false,
        touched: None,
        holds: None,
        sealed: told.place("figures").and_then(members).and_then(|figures| figures.get("sealed").cloned()),
        made: data.and_then(members).and_then(|data| data.get("made").cloned()),
    })
}

/// By the marks of the page.
fn by_marks(bytes: &[u8]) -> Option<Received> {
    let text = std::str::from_utf8(bytes).ok()?;
    let pre = |id: &str| between(text, &format!("<pre id=\"{id}\">\n"), "</pre>").map(verbatim);
    let carried = between(text, "<script type=\"application/json\" id=\"sheet\">", "</script>")?;
    let carried: Value = serde_json::from_str(carried).ok()?;
    Some(Received {
        spec: pre("spec")?,
        kit: pre("kit"),
        seal: carried.get("seal")?.as_str()?.to_owned(),
        whole: false,
        touched: None,
        holds: None,
        sealed: carried.get("sealed").cloned(),
        made: carried.get("made").cloned(),
    })
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
