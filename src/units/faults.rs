//! What is said of a quantity that cannot be read: one function a fault, all words in one place.

use super::parse::{Bad, Fault};
use super::table;
use super::{Kind, decimal};
use std::ops::Range;

/// Characters of the author's text that a message repeats; the place itself is marked by the range.
const LONGEST_QUOTE: usize = 32;

/// Numbers that read better as a word: "six of what?".
const WORDS: [&str; 13] =
    ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// The author's text as it may stand in a message: short, and without what could turn a terminal or a line.
fn quoted(written: &str) -> String {
    let harmless = |c: char| {
        let turns = matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}')
            || matches!(c, '\u{feff}' | '\u{61c}');
        if c.is_control() || turns { '\u{fffd}' } else { c }
    };
    let mut text: String = written.trim().chars().take(LONGEST_QUOTE).map(harmless).collect();
    if written.trim().chars().nth(LONGEST_QUOTE).is_some() {
        text.push('…');
    }
    text.replace('`', "'")
}

/// `a, b or c`.
fn or(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

fn examples(kind: Kind) -> String {
    or(&kind.examples().iter().map(|example| format!("\"{example}\"")).collect::<Vec<_>>())
}

/// The units of a kind with an example: `a length in mm, cm, m, µm, in, ft or thou, such as "6 mm" or "1/4 in"`.
fn accepted(kind: Kind) -> String {
    let mut symbols: Vec<String> = Vec::new();
    for unit in table::of(kind).filter(|unit| !unit.spellings().is_empty()) {
        let symbol = unit.spellings().first().map_or("", |spelling| *spelling);
        let symbol = if table::clean(unit.symbol()) == *symbol { unit.symbol() } else { symbol };
        symbols.push(symbol.to_owned());
    }
    format!("{} in {}, such as {}", kind.one(), or(&symbols), examples(kind))
}

fn bad(fault: Fault, at: Range<usize>, message: String, label: impl Into<String>, help: String) -> Bad {
    Bad { fault, at, message, label: label.into(), help }
}

/// A number without a unit.
pub(super) fn without_unit(kind: Kind, number: &str, at: Range<usize>) -> Bad {
    let number = quoted(number);
    let word = number.parse::<usize>().ok().and_then(|n| WORDS.get(n)).map_or(number.as_str(), |word| *word);
    bad(
        Fault::WithoutUnit,
        at,
        format!("`{number}` is a bare number, and {} is wanted here", kind.one()),
        format!("{word} of what?"),
        format!("{} in quotes, such as {}", kind.one(), examples(kind)),
    )
}

/// A plain `%` where it does not say what it counts.
pub(super) fn plain_percent(kind: Kind, at: Range<usize>) -> Bad {
    let (label, help) = if kind == Kind::EnShare {
        (
            "electrode negative or electrode positive?",
            "70 % EN or 30 % EP: one panel counts electrode negative, the next electrode positive",
        )
    } else {
        ("of which gas?", "30 % helium")
    };
    bad(Fault::WithoutUnit, at, "`%` does not say what it counts".to_owned(), label, help.to_owned())
}

/// An unknown unit. No nearest one is offered, for a wrong guess would be off by a factor.
pub(super) fn unit(kind: Kind, written: &str, at: Range<usize>) -> Bad {
    let written = quoted(written);
    bad(Fault::Unit, at, format!("`{written}` is not a unit that is known here"), "not a known unit", accepted(kind))
}

/// A unit of another kind; `found` is that kind.
pub(super) fn kind(wanted: Kind, found: Kind, written: &str, at: Range<usize>) -> Bad {
    let written = quoted(written);
    let message = if matches!(found, Kind::Share | Kind::EnShare | Kind::HeliumShare) {
        format!("`{written}` counts {}, and {} is wanted here", found.one(), wanted.one())
    } else {
        format!("`{written}` is a unit of {}, and {} is wanted here", found.noun(), wanted.one())
    };
    bad(Fault::Kind, at, message, format!("this is {}", found.one()), accepted(wanted))
}

/// A text without any number where one must stand.
pub(super) fn no_number(kind: Kind, written: &str, at: Range<usize>) -> Bad {
    let written = quoted(written);
    let message = if written.is_empty() {
        format!("no number here, and {} is wanted", kind.one())
    } else {
        format!("`{written}` is not a number")
    };
    bad(Fault::Number, at, message, "a number is wanted here", format!("{}, such as {}", kind.one(), examples(kind)))
}

/// Digits that do not make one number.
pub(super) fn number(written: &str, at: Range<usize>) -> Bad {
    let written = quoted(written);
    let (message, label, help) = if written.contains(',') {
        (
            format!("`{written}` is written with a comma"),
            "a comma in a number",
            "decimals take a point, thousands a space, such as \"2.4 mm\" or \"1 200 mm\"",
        )
    } else if written.contains(['e', 'E']) {
        (
            format!("`{written}` is written with an exponent"),
            "an exponent",
            "the number written out, such as \"1 200 mm\"",
        )
    } else {
        (
            format!("`{written}` does not make a number"),
            "not a number",
            "a decimal point or a fraction, such as \"0.187 in\", \"3/16 in\" or \"1 1/2 in\"",
        )
    };
    bad(Fault::Number, at, message, label, help.to_owned())
}

/// Over the length that any quantity needs.
pub(super) fn too_long(kind: Kind, longest: usize, at: Range<usize>) -> Bad {
    bad(
        Fault::Number,
        at,
        format!("this is longer than any quantity ({longest} bytes)"),
        "too long",
        format!("{}, such as {}", kind.one(), examples(kind)),
    )
}

/// More than one value, one range or one tolerance.
pub(super) fn more_than_one(kind: Kind, at: Range<usize>) -> Bad {
    let help = format!("one value, one range or one tolerance, such as \"{}\"", kind.range_example());
    bad(Fault::Number, at, "this goes on after a whole quantity".to_owned(), "too much", help)
}

/// A range from high to low.
pub(super) fn reversed(kind: Kind, at: Range<usize>) -> Bad {
    bad(
        Fault::RangeReversed,
        at,
        "this range runs from high to low".to_owned(),
        "low end first",
        format!("two {}, low to high, such as \"{}\"", kind.many(), kind.range_example()),
    )
}

/// `1-1/2 in`: a hyphen where a mixed fraction was meant, or a range from high to low.
pub(super) fn hyphenated_fraction(kind: Kind, at: Range<usize>) -> Bad {
    let help = "a space in a mixed fraction, such as \"1 1/2 in\"".to_owned();
    Bad { help, ..reversed(kind, at) }
}

/// A negative quantity of a kind that has none.
pub(super) fn negative(kind: Kind, at: Range<usize>) -> Bad {
    let help = format!("{}, such as {}", kind.one(), examples(kind));
    bad(Fault::Absurd, at, format!("{} is never negative", kind.one()), "a minus", help)
}

/// Beyond the bounds of its kind.
pub(super) fn absurd(kind: Kind, written: &str, at: Range<usize>) -> Bad {
    let bounds = kind.bounds();
    let number = |value: f64| decimal::trimmed(decimal::number(value, 2));
    let (low, high, symbol) = (number(bounds.low), number(bounds.high), bounds.unit.symbol());
    let range = if bounds.low_allowed {
        format!("{low} to {high} {symbol}")
    } else {
        format!("more than {low} and at most {high} {symbol}")
    };
    bad(
        Fault::Absurd,
        at,
        format!("`{}` is beyond what {} can sensibly be", quoted(written), kind.one()),
        range.clone(),
        format!("{}, {range}: check the number and its unit", kind.one()),
    )
}

/// A gauge number that cannot be turned into a thickness.
pub(super) fn gauge(why: NoGauge, written: &str, at: Range<usize>) -> Bad {
    let written = quoted(written);
    let (message, label) = match why {
        NoGauge::NoTable => (
            "gauge numbers mean different thicknesses for different metals, and no gauge table is known here"
                .to_owned(),
            "a gauge number",
        ),
        NoGauge::NotInTable => (format!("no gauge `{written}` stands in the table of this metal"), "not in the table"),
        NoGauge::NotWhole => (format!("`{written}` is not a gauge number"), "a whole number is wanted"),
        NoGauge::Tolerance => ("a gauge number takes no tolerance".to_owned(), "counted in gauge numbers"),
    };
    bad(Fault::Gauge, at, message, label, format!("the thickness itself, such as {}", examples(Kind::Length)))
}

/// Why a gauge number cannot be turned into a thickness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoGauge {
    /// No gauge table is known for the metal.
    NoTable,
    /// The table has no such number.
    NotInTable,
    /// Not a whole number.
    NotWhole,
    /// A tolerance in gauge numbers.
    Tolerance,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_the_usual_faults() {
        let wrong_kind = kind(Kind::Length, Kind::Current, "A", 4..5);
        assert_eq!(wrong_kind.message, "`A` is a unit of current, and a length is wanted here");
        assert_eq!(wrong_kind.label, "this is a current");
        assert_eq!(
            wrong_kind.help,
            "a length in mm, cm, m, µm, in, ft or thou, such as \"6 mm\", \"1/4 in\" or \"0.236 in\""
        );
        let bare = without_unit(Kind::Length, "6", 0..1);
        assert_eq!(bare.label, "six of what?");
        assert_eq!(bare.help, "a length in quotes, such as \"6 mm\", \"1/4 in\" or \"0.236 in\"");
        let backwards = reversed(Kind::Flow, 0..1);
        assert_eq!(backwards.message, "this range runs from high to low");
        assert_eq!(backwards.label, "low end first");
        assert_eq!(backwards.help, "two flows, low to high, such as \"7 L/min to 10 L/min\"");
        assert_eq!(absurd(Kind::Current, "0 A", 0..3).label, "more than 0 and at most 1000 A");
    }

    #[test]
    fn a_hostile_text_is_repeated_short_and_harmless() {
        let bad = unit(Kind::Length, "\u{1b}[31m`\u{202e}x", 0..1);
        assert_eq!(bad.message, "`\u{fffd}[31m'\u{fffd}x` is not a unit that is known here");
        let long = unit(Kind::Length, &"x".repeat(100), 0..1);
        assert!(long.message.starts_with(&format!("`{}…`", "x".repeat(32))));
    }
}
