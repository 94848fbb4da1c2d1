//! The two systems of units in a finished text: finds each `8 mm (0.315 in)`, so that a page can show one of them alone.
//!
//! The texts come from `units::show`, which has this one form; anything else stays plain text.

use crate::units::System;
use crate::units::table::Unit;
use std::collections::HashMap;
use std::sync::LazyLock;

/// A stretch of a text.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Piece<'a> {
    /// Words, and numbers whose unit both systems share.
    Plain(&'a str),
    /// A quantity in both systems.
    Pair {
        /// As it leads.
        lead: &'a str,
        /// As it stands in brackets.
        beside: &'a str,
        /// The system of the leading one.
        first: System,
    },
}

/// Gives the pieces of a text to `write`, in order.
pub(super) fn pieces<'a>(text: &'a str, mut write: impl FnMut(Piece<'a>)) {
    let mut rest = text;
    let mut from = 0;
    while let Some(open) = rest.get(from..).and_then(|tail| tail.find(" (")).map(|at| at + from) {
        let Some((lead_at, beside, first)) = pair(rest, open) else {
            from = open + 2;
            continue;
        };
        let (Some(before), Some(lead)) = (rest.get(..lead_at), rest.get(lead_at..open)) else { break };
        if !before.is_empty() {
            write(Piece::Plain(before));
        }
        write(Piece::Pair { lead, beside, first });
        rest = rest.get(open + 2 + beside.len() + 1..).unwrap_or_default();
        from = 0;
    }
    if !rest.is_empty() {
        write(Piece::Plain(rest));
    }
}

/// The pair round the bracket that opens at `open`: where it begins, what stands in the brackets, the leading system.
fn pair(text: &str, open: usize) -> Option<(usize, &str, System)> {
    let inside = text.get(open + 2..)?;
    let beside = inside.get(..inside.find(')')?)?;
    let unit = quantity(beside)?;
    let before = text.get(..open)?;
    // The longest stretch of words that ends at the bracket and is a quantity: `5 to 6 mm`, `1 1/2 in`.
    let starts = before.char_indices().rev().filter(|(_, char)| matches!(char, ' ' | '(')).map(|(at, _)| at + 1);
    let found = starts.chain([0]).take(WORDS_OF_A_QUANTITY).filter_map(|at| {
        let lead = quantity(before.get(at..)?)?;
        (lead.kind() == unit.kind() && lead.system() != unit.system()).then_some((at, lead.system()?))
    });
    let (at, first) = found.last()?;
    unit.system()?;
    Some((at, beside, first))
}

/// `1 1/2 to 2 1/4 cu ft` has as many words.
const WORDS_OF_A_QUANTITY: usize = 7;

/// The unit of a text that is one quantity, or a range of one: `8 mm`, `5 to 6 mm`, `3/32 in`, `-5 °C`.
fn quantity(text: &str) -> Option<Unit> {
    if !text.starts_with(|char: char| char.is_ascii_digit() || char == '-') {
        return None;
    }
    let mut words = 0;
    let mut rest = text;
    let mut last = 0;
    while let Some((word, after)) = rest.split_once(' ') {
        let whole = words > 0 && word == "to";
        if !whole && !number(word) {
            break;
        }
        last = if whole { 1 } else { 0 };
        words += 1;
        rest = after;
    }
    if words == 0 || last == 1 {
        return None;
    }
    UNITS.get(rest).copied()
}

/// Every unit by each of its names; the first of the table where two share one.
static UNITS: LazyLock<HashMap<&'static str, Unit>> = LazyLock::new(|| {
    let mut units = HashMap::new();
    for unit in Unit::ALL {
        for name in std::iter::once(unit.symbol()).chain(unit.spellings().iter().copied()) {
            units.entry(name).or_insert(*unit);
        }
    }
    units
});

/// Whether a word is a number as it is printed: `8`, `0.315`, `-5`, `3/32`.
fn number(word: &str) -> bool {
    let digits = word.strip_prefix('-').unwrap_or(word);
    let mut marks = 0;
    let fine = digits.bytes().all(|byte| {
        marks += usize::from(matches!(byte, b'.' | b'/'));
        byte.is_ascii_digit() || matches!(byte, b'.' | b'/')
    });
    fine && marks <= 1 && digits.starts_with(|char: char| char.is_ascii_digit()) && !digits.ends_with(['.', '/'])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The text with `m[...]` round what is metric and `i[...]` round what is not.
    fn marked(text: &str) -> String {
        let mut out = String::new();
        pieces(text, |piece| match piece {
            Piece::Plain(text) => out.push_str(text),
            Piece::Pair { lead, beside, first: System::Metric } => out.push_str(&format!("m[{lead}] i[{beside}]")),
            Piece::Pair { lead, beside, first: System::Inch } => out.push_str(&format!("i[{lead}] m[{beside}]")),
        });
        out
    }

    #[test]
    fn a_quantity_in_both_systems_is_found_where_it_stands() {
        for (text, expected) in [
            ("8 mm (0.315 in)", "m[8 mm] i[0.315 in]"),
            ("3/16 in (4.76 mm), as stated", "i[3/16 in] m[4.76 mm], as stated"),
            ("1 1/2 in (38.1 mm)", "i[1 1/2 in] m[38.1 mm]"),
            ("7 to 10 L/min (15 to 21 cfh)", "m[7 to 10 L/min] i[15 to 21 cfh]"),
            ("5.5 mm (5 to 6 mm (0.197 to 0.236 in)).", "5.5 mm (m[5 to 6 mm] i[0.197 to 0.236 in])."),
            (
                "Start at 60 °C (140 °F) or less, never 100 °C (210 °F)",
                "Start at m[60 °C] i[140 °F] or less, never m[100 °C] i[210 °F]",
            ),
            ("-18 °C (0 °F)", "m[-18 °C] i[0 °F]"),
            ("28 degrees C (50 degrees F) hotter", "m[28 degrees C] i[50 degrees F] hotter"),
            ("55 L (1.9 cu ft)", "m[55 L] i[1.9 cu ft]"),
            ("Rods of 1 m (39.37 in)", "Rods of m[1 m] i[39.37 in]"),
            ("pass 2 to 8 mm (0.315 in)", "pass m[2 to 8 mm] i[0.315 in]"),
        ] {
            assert_eq!(marked(text), expected);
        }
    }

    #[test]
    fn what_both_systems_share_and_what_only_looks_alike_stays_plain() {
        for text in [
            "70 % EN (30 % EP)",
            "200 A (170 to 230 A)",
            "ISO 15614-2 (2025)",
            "no. 7 (11.1 mm)",
            "8 mm (see 3.open)",
            "8 mm (0.315 in",
            "8 mm (4 mm)",
            "8 mm (10 °F)",
            "mm (0.315 in)",
            "to mm (in)",
            " (",
            "(8 mm) (0.3 in)",
            "8 to mm (0.315 in)",
            "x8 mm (1..2 in)",
            "é8 mm (é in)",
            "",
        ] {
            assert_eq!(marked(text), text);
        }
    }
}
