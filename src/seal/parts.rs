//! The parts of a page: where each begins, how long it is and its own digest, so that a receiver can say which part of a
//! page was changed and not only that something was.
//!
//! The list stands in the page twice, in the head and at the foot, each with a digest of its own, so that it is still
//! there when one of the two is damaged. Lengths are compared with the page and never trusted. The list locates a change;
//! the seal and the digest of the page are what finds it.

use super::hex;
use super::page::{self, BEFORE_SLOT, PageDigest};

/// What stands right before the list in the head.
pub const BEFORE_HEAD: &str = "<meta name=\"parts\" content=\"";
/// What stands right before the list at the foot.
pub const BEFORE_FOOT: &str = "<script type=\"application/json\" id=\"parts\">\"";
/// Digits of a digest in the list: enough to tell parts by.
const DIGITS: usize = 16;
/// Digits of a length.
const LENGTH: usize = 7;
/// What stands for the digest of a part that has none.
const NONE: &str = "----------------";
/// What stands before the list's own digest.
const OWN: &str = "own ";
/// Most parts that are read.
const MOST: usize = 200;

/// A part of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What it is: `head`, `digest`, `parts`, `heading`, `section-4`, `foot`, `spec`, `kit`, `data`, `figures`, `seal`.
    pub name: String,
    /// Bytes.
    pub length: usize,
    /// The first digits of its SHA-256; none for the slots, which are filled in last.
    digest: Option<String>,
}

impl Part {
    /// Whether bytes are as they were written; of a slot, whether they are digits at all.
    fn fits(&self, bytes: &[u8]) -> bool {
        match self.digest.as_deref() {
            Some(digest) => short(bytes) == digest,
            None => bytes.iter().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f')),
        }
    }
}

fn short(bytes: &[u8]) -> String {
    let mut digest = hex(bytes);
    digest.truncate(DIGITS);
    digest
}

fn find(bytes: &[u8], mark: &str, from: usize) -> Option<usize> {
    let rest = bytes.get(from..)?;
    rest.windows(mark.len()).position(|window| window == mark.as_bytes()).map(|at| from + at)
}

fn after(bytes: &[u8], mark: &str, from: usize) -> Option<usize> {
    find(bytes, mark, from).map(|at| at + mark.len())
}

fn text_find(text: &str, mark: &str, from: usize) -> Option<usize> {
    text.get(from..)?.find(mark).map(|at| from + at)
}

fn text_after(text: &str, mark: &str, from: usize) -> Option<usize> {
    text_find(text, mark, from).map(|at| at + mark.len())
}

/// Where parts begin, in order, each with its name. None for what is no page of this program.
fn cuts(html: &str) -> Option<Vec<(usize, String)>> {
    let mut cuts = vec![(0, "head".to_owned())];
    let mut cut = |at: usize, name: &str| cuts.push((at, name.to_owned()));
    let digest = text_after(html, BEFORE_SLOT, 0)?;
    cut(digest, "digest");
    let head = text_find(html, "\"", digest)?;
    cut(head, "head");
    let parts = text_after(html, BEFORE_HEAD, head)?;
    cut(parts, "parts");
    let head = text_find(html, "\"", parts)?;
    cut(head, "head");
    let heading = text_find(html, "<header>", head)?;
    cut(heading, "heading");
    let main = text_find(html, "</main>", heading)?;
    let mut at = heading;
    while let Some(section) = text_find(html, "<section id=\"section-", at).filter(|section| *section < main) {
        let id = text_after(html, "<section id=\"", section)?;
        let end = text_find(html, "\"", id)?;
        cut(section, html.get(id..end)?);
        at = end;
    }
    cut(main, "foot");
    let mut foot = main;
    for name in ["spec", "kit"] {
        if let Some(begin) = text_after(html, &format!("<pre id=\"{name}\">\n"), foot) {
            foot = text_find(html, "</pre>", begin)?;
            cut(begin, name);
            cut(foot, "foot");
        }
    }
    let data = text_after(html, "<script type=\"application/json\" id=\"sheet\">", foot)?;
    let end = text_find(html, "</script>", data)?;
    cut(data, "data");
    // Quotes in a text are escaped, so that these marks are keys and nothing else.
    if let (Some(figures), Some(seal)) = (text_find(html, "\"figures\":", data), text_find(html, "\"seal\":", data))
        && let Some(others) = text_find(html, "\"decision\":", figures).filter(|others| *others < seal && seal < end)
    {
        cut(figures, "figures");
        cut(others, "data");
        cut(seal, "seal");
    }
    cut(end, "foot");
    let list = text_after(html, BEFORE_FOOT, end)?;
    cut(list, "parts");
    cut(text_find(html, "\"", list)?, "foot");
    Some(cuts)
}

/// The parts of a page as it stands.
#[must_use]
pub fn of(html: &[u8]) -> Option<Vec<(Part, usize)>> {
    let cuts = cuts(std::str::from_utf8(html).ok()?)?;
    let ends = cuts.iter().skip(1).map(|(at, _)| *at).chain([html.len()]);
    cuts.iter()
        .zip(ends)
        .map(|((at, name), end)| {
            let bytes = html.get(*at..end)?;
            let digest = (!matches!(name.as_str(), "digest" | "parts")).then(|| short(bytes));
            Some((Part { name: name.clone(), length: bytes.len(), digest }, *at))
        })
        .collect()
}

/// Puts the list into a page whose two slots for it are empty. False where it is no page of this program.
pub fn fill(html: &mut Vec<u8>) -> bool {
    let Some(mut parts) = of(html) else { return false };
    let slots: Vec<usize> = parts.iter().filter(|(part, _)| part.name == "parts").map(|(_, at)| *at).collect();
    let names: usize = parts.iter().map(|(part, _)| part.name.len()).sum();
    let length = names + parts.len() * (LENGTH + DIGITS + 3) + OWN.len() + DIGITS;
    for (part, _) in parts.iter_mut().filter(|(part, _)| part.name == "parts") {
        part.length = length;
    }
    let mut text = String::with_capacity(length);
    for (part, _) in &parts {
        let digest = part.digest.as_deref().unwrap_or(NONE);
        text.push_str(&format!("{} {:0LENGTH$} {digest};", part.name, part.length));
    }
    let own = short(text.as_bytes());
    text.push_str(OWN);
    text.push_str(&own);
    if text.len() != length {
        return false;
    }
    // From the end, so that the places before stay.
    for at in slots.into_iter().rev() {
        html.splice(at..at, text.bytes());
    }
    true
}

/// Reads a list; none where it is not whole.
fn read(text: &[u8]) -> Option<Vec<Part>> {
    let text = std::str::from_utf8(text).ok()?;
    let (list, own) = text.rsplit_once(OWN)?;
    if short(list.as_bytes()) != own {
        return None;
    }
    let parts = list.split_terminator(';').map(|line| {
        let mut words = line.split(' ');
        let (name, length, digest) = (words.next()?, words.next()?, words.next()?);
        let digest = (digest != NONE).then(|| digest.to_owned());
        Some(Part { name: name.to_owned(), length: length.parse().ok()?, digest })
    });
    let parts: Option<Vec<Part>> = parts.collect();
    parts.filter(|parts| (1..=MOST).contains(&parts.len()))
}

/// A list that is whole, as the page bears it: the text and what it says.
fn listed(html: &[u8]) -> Option<(&[u8], Vec<Part>)> {
    [BEFORE_HEAD, BEFORE_FOOT].iter().find_map(|mark| {
        let mut from = 0;
        while let Some(begin) = after(html, mark, from) {
            let end = find(html, "\"", begin)?;
            let text = html.get(begin..end)?;
            if let Some(parts) = read(text) {
                return Some((text, parts));
            }
            from = begin;
        }
        None
    })
}

/// What the list of a page tells of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// Parts that are not as they were written, in order, each once.
    pub touched: Vec<String>,
    /// Where each part lies that is known to be whole, or where the page has its length still: name, begin, end.
    pub places: Vec<(String, usize, usize)>,
}

impl Told {
    /// Where the first part of this name lies.
    #[must_use]
    pub fn place(&self, name: &str) -> Option<std::ops::Range<usize>> {
        self.places.iter().find(|(own, ..)| own == name).map(|(_, begin, end)| *begin..*end)
    }
}

/// Holds a page against its own list. None where it has none that is whole.
#[must_use]
pub fn check(html: &[u8]) -> Option<Told> {
    let (text, parts) = listed(html)?;
    let fits = |part: &Part, bytes: &[u8]| {
        bytes.len() == part.length && if part.name == "parts" { bytes == text } else { part.fits(bytes) }
    };
    let mut told = Told { touched: Vec::new(), places: Vec::new() };
    let total = parts.iter().try_fold(0_usize, |sum, part| sum.checked_add(part.length))?;
    if total == html.len() {
        let mut at = 0;
        for part in &parts {
            let end = at + part.length;
            if !fits(part, html.get(at..end)?) {
                told.touched.push(part.name.clone());
            }
            told.places.push((part.name.clone(), at, end));
            at = end;
        }
    } else {
        shifted(html, &parts, fits, &mut told);
    }
    told.touched.dedup();
    if told.touched.is_empty() && page::check(html) != PageDigest::Whole {
        told.touched.push("digest".to_owned());
    }
    Some(told)
}

/// Of a page that is longer or shorter than it was: what fits from the front and from the back is whole, and the change
/// lies between.
fn shifted(html: &[u8], parts: &[Part], fits: impl Fn(&Part, &[u8]) -> bool, told: &mut Told) {
    let (mut at, mut first) = (0_usize, 0);
    for part in parts {
        let Some(bytes) = html.get(at..at.saturating_add(part.length)).filter(|bytes| fits(part, bytes)) else { break };
        told.places.push((part.name.clone(), at, at + bytes.len()));
        at += bytes.len();
        first += 1;
    }
    let (mut end, mut last) = (html.len(), parts.len());
    for part in parts.iter().skip(first).rev() {
        let begin = end.checked_sub(part.length).filter(|begin| *begin >= at);
        let Some(begin) = begin.filter(|begin| html.get(*begin..end).is_some_and(|bytes| fits(part, bytes))) else {
            break;
        };
        told.places.push((part.name.clone(), begin, end));
        end = begin;
        last -= 1;
    }
    told.places.sort_by_key(|(_, begin, _)| *begin);
    told.touched.extend(parts.get(first..last).unwrap_or_default().iter().map(|part| part.name.clone()));
    if last == first {
        // Something was put in between two parts that are whole.
        told.touched.extend(parts.get(first.saturating_sub(1)).map(|part| part.name.clone()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn page() -> Vec<u8> {
        let text = format!(
            "<!doctype html>\n{BEFORE_SLOT}{}\">\n{BEFORE_HEAD}\">\n<body><header>one</header><main>\
             <section id=\"section-0\">a</section><section id=\"section-4\">b</section></main><pre id=\"spec\">\nspec &lt;header>\n</pre>\
             <script type=\"application/json\" id=\"sheet\">{{\"inputs\": 1, \"figures\": {{}}, \"decision\": \"go\", \"seal\": \"00\"}}\
             </script>{BEFORE_FOOT}\"</script></body>",
            page::BLANK
        );
        let mut html = text.into_bytes();
        assert!(fill(&mut html));
        assert!(page::fill(&mut html));
        html
    }

    #[test]
    fn every_byte_lies_in_one_part_and_a_change_of_it_is_told() {
        let html = page();
        let told = check(&html).unwrap();
        assert!(told.touched.is_empty(), "{told:?}");
        assert_eq!(told.places.iter().map(|(_, begin, end)| end - begin).sum::<usize>(), html.len());
        assert_eq!(&html[told.place("spec").unwrap()], b"spec &lt;header>\n");
        for at in 0..html.len() {
            let (expected, ..) = told.places.iter().find(|(_, begin, end)| (*begin..*end).contains(&at)).unwrap();
            for bit in [1, 128] {
                let mut other = html.clone();
                other[at] ^= bit;
                assert_eq!(&check(&other).unwrap().touched, std::slice::from_ref(expected), "byte {at}");
            }
        }
    }

    #[test]
    fn what_is_put_in_or_taken_out_is_located() {
        let html = page();
        let places = check(&html).unwrap().places;
        for at in (1..html.len()).step_by(7) {
            let (name, ..) = places.iter().find(|(_, begin, end)| (*begin..*end).contains(&at)).unwrap();
            let mut shorter = html.clone();
            shorter.remove(at);
            assert!(check(&shorter).unwrap().touched.contains(name), "byte {at} of {name}");
            let mut longer = html.clone();
            longer.insert(at, b'~');
            assert!(!check(&longer).unwrap().touched.is_empty(), "byte {at} of {name}");
        }
    }

    #[test]
    fn what_is_no_page_has_no_parts() {
        assert!(!fill(&mut b"<!doctype html>".to_vec()));
        assert_eq!(check(b"<!doctype html>"), None);
        let huge = format!("{BEFORE_HEAD}head 9999999 {NONE};head 9999999 {NONE};");
        let text = huge.strip_prefix(BEFORE_HEAD).unwrap();
        let page = format!("{huge}{OWN}{}\">", short(text.as_bytes()));
        assert!(!check(page.as_bytes()).unwrap().touched.is_empty(), "a length is not trusted");
    }
}
