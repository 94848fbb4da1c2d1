//! Text that is safe to print: what steers a terminal, turns the direction of writing or hides is made visible.

/// A family of characters that have no place in a text of a spec.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hostile {
    /// Controls, terminal escapes among them.
    Control,
    /// Marks that turn the direction of writing.
    Direction,
    /// Characters without width or without meaning.
    Hidden,
}

impl Hostile {
    /// What it is, with its article.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Hostile::Control => "a control character",
            Hostile::Direction => "a mark that turns the direction of writing",
            Hostile::Hidden => "a character that cannot be seen",
        }
    }
}

/// Whether a character steers a terminal or a line of text instead of printing. Newline and tab count as such.
#[must_use]
pub fn hostile(c: char) -> Option<Hostile> {
    match c {
        '\0'..='\u{1f}' | '\u{7f}'..='\u{9f}' => Some(Hostile::Control),
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => Some(Hostile::Direction),
        '\u{200b}'
        | '\u{2028}'
        | '\u{2029}'
        | '\u{2060}'..='\u{2065}'
        | '\u{206a}'..='\u{206f}'
        | '\u{feff}'
        | '\u{fff9}'..='\u{fffb}'
        | '\u{fffe}'
        | '\u{ffff}'
        | '\u{180e}'
        | '\u{3164}'
        | '\u{ffa0}'
        | '\u{115f}'
        | '\u{1160}'
        | '\u{e0000}'..='\u{e007f}' => Some(Hostile::Hidden),
        _ => None,
    }
}

/// A character that stands for itself on a terminal: hostile ones become a sign of one column.
#[must_use]
pub fn visible(c: char) -> char {
    match c {
        '\0'..='\u{1f}' => char::from_u32(u32::from(c) + 0x2400).unwrap_or('\u{fffd}'),
        '\u{7f}' => '\u{2421}',
        '\u{200c}' | '\u{200d}' => '\u{fffd}',
        _ if hostile(c).is_some() => '\u{fffd}',
        _ => c,
    }
}

/// A text that stands for itself on a terminal, on one line.
#[must_use]
pub fn clean(text: &str) -> String {
    text.chars().map(|c| if matches!(c, '\n' | '\t') { ' ' } else { visible(c) }).collect()
}

#[cfg(test)]
mod tests {
    use super::{clean, hostile, visible};

    #[test]
    fn cleaned_text_has_as_many_characters() {
        let text = "a\u{1b}[31m\u{202e}\0\u{9b}\nb\u{200d}";
        let shown = clean(text);
        assert_eq!(shown, "a␛[31m\u{fffd}␀\u{fffd} b\u{fffd}");
        assert_eq!(shown.chars().count(), text.chars().count());
    }

    #[test]
    fn a_visible_character_is_never_hostile() {
        for c in (0..0x11_0000).filter_map(char::from_u32) {
            assert_eq!(hostile(visible(c)), None, "{c:?}");
        }
    }
}
