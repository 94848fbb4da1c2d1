//! What a text may hold: characters that print as themselves, and nothing that steers a terminal, turns the direction
//! of writing or hides.

use crate::findings::clean::{Hostile, hostile};
use std::ops::Range;

/// The first character of each hostile family in a text, with the number of its kind.
///
/// `lines` allows newline and tab, as prose does. Joiners (U+200C, U+200D) are at home between two letters of scripts
/// that need them and in composed pictographs; anywhere else they hide.
#[must_use]
pub fn hostile_places(text: &str, lines: bool) -> Vec<(Hostile, Range<usize>, char, usize)> {
    let mut found: Vec<(Hostile, Range<usize>, char, usize)> = Vec::new();
    let mut before = None;
    let mut characters = text.char_indices().peekable();
    while let Some((at, c)) = characters.next() {
        let after = characters.peek().map(|(_, next)| *next);
        let family = match c {
            '\n' | '\t' if lines => None,
            // A newline as Windows writes it.
            '\r' if lines && after == Some('\n') => None,
            '\u{200c}' | '\u{200d}' => {
                let at_home = |side: Option<char>| {
                    side.is_some_and(|side| !side.is_ascii() && !matches!(side, '\u{200c}' | '\u{200d}'))
                };
                (!(at_home(before) && at_home(after))).then_some(Hostile::Hidden)
            }
            _ => hostile(c),
        };
        before = Some(c);
        let Some(family) = family else { continue };
        match found.iter_mut().find(|(known, ..)| *known == family) {
            Some((.., count)) => *count += 1,
            None => found.push((family, at..at + c.len_utf8(), c, 1)),
        }
    }
    found
}

/// Something in a text that looks like a piece of another language. It is plain text here and is printed as it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Markup {
    /// A tag of HTML.
    Html,
    /// A mark of a template language.
    Template,
    /// A step up in a path of folders.
    Path,
}

impl Markup {
    /// What it looks like, with its article.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Markup::Html => "a tag of HTML",
            Markup::Template => "a mark of a template language",
            Markup::Path => "a step up in a path of folders",
        }
    }
}

/// The first place of each kind of markup in a text.
#[must_use]
pub fn markup_places(text: &str) -> Vec<(Markup, Range<usize>)> {
    let html = text.char_indices().filter(|(_, c)| *c == '<').find_map(|(at, _)| {
        let rest = text.get(at + 1..)?;
        let name = rest.trim_start_matches(['/', '!']);
        // "6 mm < t" is no tag, "<b>" and "<!--" are.
        let tag = rest.starts_with("!--") || name.starts_with(|c: char| c.is_ascii_alphabetic());
        let end = rest.find('>').map_or(text.len(), |end| at + 1 + end + 1);
        tag.then_some((Markup::Html, at..end))
    });
    let template = ["{{", "{%", "{#"].iter().filter_map(|open| text.find(open)).min();
    let template = template.map(|at| {
        let close = ["}}", "%}", "#}"].iter().filter_map(|close| text.get(at..)?.find(close)).min();
        (Markup::Template, at..close.map_or(at + 2, |close| at + close + 2))
    });
    let path = ["../", "..\\"].iter().filter_map(|step| text.find(step)).min();
    let path = path.map(|at| (Markup::Path, at..at + 3));
    [html, template, path].into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::{Hostile, Markup, hostile_places, markup_places};

    fn families(text: &str, lines: bool) -> Vec<(Hostile, std::ops::Range<usize>, usize)> {
        hostile_places(text, lines).into_iter().map(|(family, at, _, count)| (family, at, count)).collect()
    }

    #[test]
    fn what_steers_a_terminal_is_found_at_its_byte() {
        assert_eq!(families("µ\u{1b}[31m\u{7}", false), [(Hostile::Control, 2..3, 2)]);
        assert_eq!(families("a\u{9b}31m", false), [(Hostile::Control, 1..3, 1)]);
        assert_eq!(families("a\u{202e}b\u{200b}", false), [(Hostile::Direction, 1..4, 1), (Hostile::Hidden, 5..8, 1)]);
        assert_eq!(families("a\nb", false), [(Hostile::Control, 1..2, 1)]);
        assert_eq!(families("a\r\nb\tc", true), []);
        assert_eq!(families("a\rb", true), [(Hostile::Control, 1..2, 1)]);
        assert_eq!(families("Brücke 40 µm, ½ in, 日本", false), []);
    }

    #[test]
    fn joiners_are_at_home_between_letters_that_need_them() {
        assert_eq!(families("می\u{200c}خواهم", false), []);
        assert_eq!(families("👩\u{200d}🏭", false), []);
        assert_eq!(families("HW\u{200d}12", false), [(Hostile::Hidden, 2..5, 1)]);
        assert_eq!(families("é\u{200d}\u{200d}é", false), [(Hostile::Hidden, 2..5, 2)]);
        assert_eq!(families("\u{200c}", false), [(Hostile::Hidden, 0..3, 1)]);
    }

    #[test]
    fn markup_is_told_from_plain_signs() {
        assert_eq!(markup_places("ear <b>torn</b> off"), [(Markup::Html, 4..7)]);
        assert_eq!(markup_places("t < 6 mm, d > 3 mm, <3"), []);
        assert_eq!(markup_places("{{ 7*7 }} {% x %}"), [(Markup::Template, 0..9)]);
        assert_eq!(markup_places("a ../../b"), [(Markup::Path, 2..5)]);
        assert_eq!(markup_places("1 ... 2, 160..180 A"), []);
        assert_eq!(markup_places("<!-- <"), [(Markup::Html, 0..6)]);
    }
}
