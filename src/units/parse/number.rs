//! One number in a text: whole, decimal, fraction or mixed fraction, with spaces between thousands.

use std::ops::Range;

/// A number and its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Number {
    pub(super) value: f64,
    /// Sign and digits.
    pub(super) at: Range<usize>,
    pub(super) negative: bool,
    /// The value where nothing but digits was written, without a zero in front: what a gauge number must be.
    pub(super) whole: Option<u32>,
}

/// Why there is no number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Unread {
    /// Something else stands there, or nothing.
    Missing(Range<usize>),
    /// Digits stand there, but not one number.
    Malformed(Range<usize>),
}

/// Spaces that are written between thousands: plain, no-break, figure, thin and narrow no-break.
fn is_thousands_space(c: char) -> bool {
    matches!(c, ' ' | '\u{a0}' | '\u{2007}' | '\u{2009}' | '\u{202f}')
}

fn is_slash(c: char) -> bool {
    matches!(c, '/' | '⁄' | '∕')
}

fn vulgar_fraction(c: char) -> Option<f64> {
    let (over, under) = match c {
        '½' => (1.0, 2.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '¼' => (1.0, 4.0),
        '¾' => (3.0, 4.0),
        '⅕' => (1.0, 5.0),
        '⅖' => (2.0, 5.0),
        '⅗' => (3.0, 5.0),
        '⅘' => (4.0, 5.0),
        '⅙' => (1.0, 6.0),
        '⅚' => (5.0, 6.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        _ => return None,
    };
    Some(over / under)
}

/// The digits that a text begins with.
fn digits(text: &str) -> &str {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    text.get(..end).unwrap_or("")
}

/// The text after its first `length` bytes.
fn after(text: &str, length: usize) -> &str {
    text.get(length..).unwrap_or("")
}

/// The text after one character for which `is` holds.
fn past(text: &str, is: impl Fn(char) -> bool) -> Option<&str> {
    text.strip_prefix(is)
}

/// `n/d` that a text begins with: value and length. A denominator of zero gives no finite value.
fn fraction(text: &str) -> Option<(f64, usize)> {
    if let Some(c) = text.chars().next()
        && let Some(value) = vulgar_fraction(c)
    {
        return Some((value, c.len_utf8()));
    }
    let over = digits(text);
    let under_text = past(after(text, over.len()), is_slash)?;
    let under = digits(under_text);
    if over.is_empty() || under.is_empty() {
        return None;
    }
    let value = over.parse::<f64>().ok()? / under.parse::<f64>().ok()?;
    Some((value, text.len() - after(under_text, under.len()).len()))
}

/// A group of thousands that a text begins with: a space and three digits that no slash makes a fraction of.
fn thousands(text: &str) -> Option<(&str, &str)> {
    let group = past(text, is_thousands_space)?;
    let three = digits(group);
    let rest = after(group, three.len());
    let of_fraction = past(rest, is_slash).is_some_and(|under| !digits(under).is_empty());
    (three.len() == 3 && !of_fraction).then_some((three, rest))
}

impl Number {
    /// The number that begins at a place of the text.
    pub(super) fn read(text: &str, start: usize) -> Result<Number, Unread> {
        let rest = text.get(start..).unwrap_or("");
        let unsigned = past(rest, |c| matches!(c, '-' | '−' | '–'));
        let plus = rest.strip_prefix('+').filter(|body| !digits(body).is_empty());
        let (negative, body) = (unsigned.is_some(), unsigned.or(plus).unwrap_or(rest));
        let Some((value, tail)) = unsigned_number(body) else {
            let word = rest.find(char::is_whitespace).unwrap_or(rest.len());
            return Err(Unread::Missing(start..start + word));
        };
        let end = text.len() - tail.len();
        if !value.is_finite() || goes_on(tail) {
            return Err(Unread::Malformed(start..end + rest_of_number(tail)));
        }
        let plain = digits(body);
        let only_digits = plain.len() + tail.len() == rest.len();
        let whole = if only_digits && (plain == "0" || !plain.starts_with('0')) { plain.parse().ok() } else { None };
        Ok(Number { value: if negative { -value } else { value }, at: start..end, negative, whole })
    }
}

/// A number without sign: its value and the text behind it.
fn unsigned_number(text: &str) -> Option<(f64, &str)> {
    let first = digits(text);
    let mut written = first.to_owned();
    let mut tail = after(text, first.len());
    if first.is_empty() {
        if let Some((value, length)) = fraction(text) {
            return Some((value, after(text, length)));
        }
    } else {
        if let Some((value, length)) = fraction(text) {
            return Some((value, after(text, length)));
        }
        while first.len() <= 3
            && let Some((three, rest)) = thousands(tail)
        {
            written.push_str(three);
            tail = rest;
        }
    }
    if let Some(decimals) = tail.strip_prefix('.').map(digits).filter(|decimals| !decimals.is_empty()) {
        written.push('.');
        written.push_str(decimals);
        return Some((written.parse().ok()?, after(tail, 1 + decimals.len())));
    }
    if first.is_empty() {
        return None;
    }
    let whole: f64 = written.parse().ok()?;
    match fraction(tail.trim_start()) {
        Some((value, _)) if value >= 1.0 => Some((f64::NAN, tail)),
        Some((value, length)) => Some((whole + value, after(tail.trim_start(), length))),
        None => Some((whole, tail)),
    }
}

/// Whether what follows a number belongs to it and spoils it: a comma, a second point, an exponent, a second slash.
fn goes_on(tail: &str) -> bool {
    let digit_next = |rest: &str| rest.starts_with(|c: char| c.is_ascii_digit());
    if let Some(exponent) = past(tail, |c| matches!(c, 'e' | 'E')) {
        return digit_next(exponent.strip_prefix(['+', '-']).unwrap_or(exponent));
    }
    if tail.starts_with("..") {
        return false;
    }
    if past(tail, is_slash).is_some_and(digit_next) {
        return true;
    }
    let strange = |c: char| matches!(c, ',' | '_' | '\'' | '’' | '.' | '·') || c.is_numeric() && !c.is_ascii_digit();
    tail.starts_with(strange)
}

/// How much of what follows a spoilt number is marked with it.
fn rest_of_number(tail: &str) -> usize {
    let belongs = |c: char| {
        c.is_numeric() || matches!(c, ',' | '.' | '_' | '\'' | '’' | '·' | 'e' | 'E' | '+' | '-') || is_slash(c)
    };
    tail.find(|c: char| !belongs(c)).unwrap_or(tail.len())
}

#[cfg(test)]
#[allow(clippy::float_cmp, clippy::panic, reason = "numbers exact in binary; a test fails by panicking")]
mod tests {
    use super::*;

    fn value(text: &str) -> Option<f64> {
        Number::read(text, 0).ok().map(|number| number.value)
    }

    #[test]
    fn ways_to_write_a_number() {
        for (text, expected) in [
            ("8", 8.0),
            ("0.25 in", 0.25),
            (".5", 0.5),
            ("3/16", 0.1875),
            ("3⁄16", 0.1875),
            ("1 1/2", 1.5),
            ("1½", 1.5),
            ("1 ½", 1.5),
            ("¾", 0.75),
            ("1 200", 1200.0),
            ("1\u{202f}200", 1200.0),
            ("1\u{a0}200.5", 1200.5),
            ("12 345 678", 12_345_678.0),
            ("1 125/1000", 1.125),
            ("-40", -40.0),
            ("−40", -40.0),
            ("+20", 20.0),
            ("160..180", 160.0),
            ("1800 1/min", 1800.0),
            ("007", 7.0),
            ("1200 300", 1200.0),
        ] {
            assert_eq!(value(text), Some(expected), "{text}");
        }
    }

    #[test]
    fn what_makes_no_number_and_how_much_of_it() {
        for (text, marked) in [
            ("1,5 mm", "1,5"),
            ("1_000 mm", "1_000"),
            ("1e400 A", "1e400"),
            ("1e-3 m", "1e-3"),
            ("1.2.3 mm", "1.2.3"),
            ("5. mm", "5."),
            ("1/0 in", "1/0"),
            ("1/2/3 in", "1/2/3"),
            ("1 3/2 in", "1"),
            ("12'000 mm", "12'000"),
            ("5³ mm", "5³"),
        ] {
            let Err(Unread::Malformed(at)) = Number::read(text, 0) else { panic!("{text} was read") };
            assert_eq!(text.get(at), Some(marked), "{text}");
        }
        for (text, marked) in [
            ("", ""),
            ("NaN mm", "NaN"),
            ("inf", "inf"),
            ("- 5", "-"),
            ("٣ mm", "٣"),
            ("/2 in", "/2"),
            ("+/- 3", "+/-"),
        ] {
            assert_eq!(Number::read(text, 0), Err(Unread::Missing(0..marked.len())), "{text}");
        }
    }

    #[test]
    fn a_gauge_number_is_digits_alone() {
        let whole = |text| Number::read(text, 0).ok().and_then(|number| number.whole);
        assert_eq!(whole("11 ga"), Some(11));
        assert_eq!(whole("0"), Some(0));
        for text in ["00", "11.0", "1 200", "1/2", "-3", "99999999999"] {
            assert_eq!(whole(text), None, "{text}");
        }
    }
}
