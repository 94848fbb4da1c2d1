//! Rounding in decimal: what a person with a pencil would write, whatever the binary number behind it.
//!
//! A value is first taken to twelve significant digits, which drops the noise of binary arithmetic
//! (0.1 + 0.2, 0.187 in as mm) and nothing that a dial or a gauge can show. Then its decimal digits are rounded.

/// Significant digits that carry meaning; what follows them is noise of binary arithmetic.
const DIGITS: usize = 12;
/// Decimals beyond this are never asked for; it keeps the whole numbers below within their type.
const MOST_DECIMALS: usize = 20;

/// Which way a number is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Toward {
    /// To the nearest step, half away from zero.
    Nearest,
    /// To the next step up: for a limit that must not be undercut.
    Up,
    /// To the next step down: for a limit that must not be passed.
    Down,
}

/// The number as `digits` times ten to the power `exponent`, at most twelve digits.
struct Decimal {
    negative: bool,
    digits: u128,
    exponent: i32,
}

impl Decimal {
    fn of(value: f64) -> Option<Self> {
        if !value.is_finite() {
            return None;
        }
        let text = format!("{:.*e}", DIGITS - 1, value.abs());
        let (mantissa, exponent) = text.split_once('e')?;
        let digits = mantissa.chars().filter(char::is_ascii_digit).collect::<String>().parse().ok()?;
        let exponent = exponent.parse::<i32>().ok()? - (DIGITS as i32 - 1);
        Some(Decimal { negative: value < 0.0 && digits > 0, digits, exponent })
    }

    /// How many units of the last decimal place, rounded; none where that would be too many to count.
    fn units_at(&self, decimals: usize, toward: Toward) -> Option<u128> {
        let shift = self.exponent + i32::try_from(decimals).ok()?;
        let Ok(drop) = u32::try_from(-shift) else {
            return 10_u128.checked_pow(shift.unsigned_abs())?.checked_mul(self.digits);
        };
        let Some(step) = 10_u128.checked_pow(drop) else {
            return Some(u128::from(self.digits > 0 && self.away(toward)));
        };
        let (whole, rest) = (self.digits / step, self.digits % step);
        let up = rest > 0 && if toward == Toward::Nearest { rest >= step - rest } else { self.away(toward) };
        Some(whole + u128::from(up))
    }

    /// Whether rounding this way leads away from zero.
    fn away(&self, toward: Toward) -> bool {
        match toward {
            Toward::Nearest => false,
            Toward::Up => !self.negative,
            Toward::Down => self.negative,
        }
    }
}

/// A number with exactly so many decimals, rounded half away from zero: no exponent, no `-0`.
///
/// What is no number prints as `?`; no sheet should ever show it.
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    rounded(value, decimals, Toward::Nearest)
}

/// A number with exactly so many decimals, rounded the given way.
#[must_use]
pub fn rounded(value: f64, decimals: usize, toward: Toward) -> String {
    let decimals = decimals.min(MOST_DECIMALS);
    let Some(decimal) = Decimal::of(value) else { return "?".to_owned() };
    let Some(units) = decimal.units_at(decimals, toward) else { return format!("{value:.decimals$}") };
    let sign = if decimal.negative && units > 0 { "-" } else { "" };
    if decimals == 0 {
        return format!("{sign}{units}");
    }
    let digits = format!("{units:0width$}", width = decimals + 1);
    let (whole, fraction) = digits.split_at(digits.len() - decimals);
    format!("{sign}{whole}.{fraction}")
}

/// A number to so many significant digits (at least one), without zeros at the end of its decimals.
#[must_use]
pub fn significant(value: f64, digits: usize) -> String {
    let digits = i32::try_from(digits.clamp(1, DIGITS)).unwrap_or(1);
    let Some(decimal) = Decimal::of(value) else { return "?".to_owned() };
    let leading = decimal.exponent + DIGITS as i32 - 1;
    match usize::try_from(digits - 1 - leading) {
        Ok(decimals) => trimmed(number(value, decimals)),
        Err(_) => {
            let step = format!("1e{}", leading + 1 - digits).parse().unwrap_or(1.0);
            number(round_to(value, step, Toward::Nearest), 0)
        }
    }
}

/// A number text without zeros at the end of its decimals.
#[must_use]
pub fn trimmed(text: String) -> String {
    if !text.contains('.') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The value rounded to a multiple of the step (5 A, 0.5 L/min, 1/16 in), in the decimals of the step.
///
/// A value within the noise of binary arithmetic of a multiple counts as that multiple, whichever way it is rounded.
/// A step that is not above zero leaves the value as it is.
#[must_use]
pub fn round_to(value: f64, step: f64, toward: Toward) -> f64 {
    if !(step > 0.0 && step.is_finite() && value.is_finite()) {
        return value;
    }
    let Ok(steps) = rounded(value / step, 0, toward).parse::<f64>() else { return value };
    number(steps * step, decimals_of(step)).parse().unwrap_or(value)
}

/// How many decimals a step has: 2 for 0.05, none for 5, 4 for 1/16.
fn decimals_of(step: f64) -> usize {
    let text = trimmed(number(step, MOST_DECIMALS));
    text.split_once('.').map_or(0, |(_, decimals)| decimals.len())
}

/// The value without the noise of binary arithmetic: twelve significant digits, and no `-0`.
#[must_use]
pub fn settled(value: f64) -> f64 {
    format!("{:.*e}", DIGITS - 1, value).parse::<f64>().map_or(value, |settled| settled + 0.0)
}

#[cfg(test)]
#[allow(clippy::float_cmp, reason = "rounding is tested to the bit")]
mod tests {
    use super::*;

    #[test]
    fn halves_go_away_from_zero_in_decimal() {
        // 2.675, 1.005 and 0.285 lie below their half in binary.
        for (value, decimals, text) in [
            (2.675, 2, "2.68"),
            (1.005, 2, "1.01"),
            (0.285, 2, "0.29"),
            (-2.5, 0, "-3"),
            (2.5, 0, "3"),
            (0.5, 0, "1"),
            (0.1 + 0.2, 1, "0.3"),
            (4.749_800_000_000_000_5, 4, "4.7498"),
            (0.05, 1, "0.1"),
            (1.45, 1, "1.5"),
            (9.996, 2, "10.00"),
            (999.5, 0, "1000"),
            (0.000_04, 3, "0.000"),
            (12.0, 3, "12.000"),
        ] {
            assert_eq!(number(value, decimals), text, "{value}");
        }
    }

    #[test]
    fn there_is_no_minus_zero_and_no_exponent() {
        assert_eq!(number(-0.0, 0), "0");
        assert_eq!(number(-0.004, 2), "0.00");
        assert_eq!(number(-0.05, 1), "-0.1");
        assert_eq!(number(1e15, 1), "1000000000000000.0");
        assert_eq!(number(1e-9, 3), "0.000");
        assert_eq!(number(f64::MIN_POSITIVE, 2), "0.00");
        assert!(number(f64::MAX, 2).starts_with("17976931348623157"));
        assert_eq!(number(f64::NAN, 2), "?");
        assert_eq!(number(f64::NEG_INFINITY, 2), "?");
        assert_eq!(number(0.25, 400), "0.25000000000000000000");
    }

    #[test]
    fn a_limit_is_rounded_its_own_way_but_noise_is_not() {
        assert_eq!(rounded(2.0 / 25.4, 3, Toward::Down), "0.078");
        assert_eq!(rounded(2.0 / 25.4, 3, Toward::Up), "0.079");
        assert_eq!(rounded(-0.01, 0, Toward::Down), "-1");
        assert_eq!(rounded(-0.01, 0, Toward::Up), "0");
        assert_eq!(rounded(1e-30, 0, Toward::Up), "1");
        assert_eq!(rounded(0.3 - 1e-17, 1, Toward::Up), "0.3");
        assert_eq!(rounded((0.1 + 0.2) * 10.0, 0, Toward::Up), "3");
        assert_eq!(rounded(0.7 * 100.0, 0, Toward::Down), "70");
        assert_eq!(rounded(0.29 * 100.0, 0, Toward::Down), "29");
    }

    #[test]
    fn significant_digits() {
        for (value, digits, text) in [
            (0.031_25, 2, "0.031"),
            (9.996, 3, "10"),
            (1234.0, 3, "1230"),
            (0.5, 3, "0.5"),
            (100.0, 2, "100"),
            (99.96, 3, "100"),
            (-0.012_34, 2, "-0.012"),
            (0.0, 3, "0"),
            (15.5, 2, "16"),
            (6.834, 2, "6.8"),
        ] {
            assert_eq!(significant(value, digits), text, "{value}");
        }
    }

    #[test]
    fn steps_keep_the_decimals_of_the_step() {
        for (value, step, toward, result) in [
            (193.0, 5.0, Toward::Nearest, 195.0),
            (0.1 + 0.2, 0.1, Toward::Up, 0.3),
            (0.3, 0.1, Toward::Down, 0.3),
            (1.15, 0.05, Toward::Down, 1.15),
            (1.2, 0.05, Toward::Up, 1.2),
            (0.100_1, 0.0625, Toward::Up, 0.125),
            (212.0, 5.0, Toward::Down, 210.0),
            (212.0, 5.0, Toward::Up, 215.0),
            (-17.0, 5.0, Toward::Down, -20.0),
            (8.023, 0.5, Toward::Nearest, 8.0),
            (2.5, 5.0, Toward::Nearest, 5.0),
            (7.0, 0.0, Toward::Up, 7.0),
        ] {
            assert_eq!(round_to(value, step, toward), result, "{value} in steps of {step}");
        }
        assert!(round_to(f64::NAN, 1.0, Toward::Up).is_nan());
    }

    #[test]
    fn a_settled_value_has_twelve_digits() {
        assert_eq!(settled(4.749_800_000_000_000_5), 4.7498);
        assert_eq!(settled(69.999_999_999_999_99), 70.0);
        assert!(settled(-0.0).is_sign_positive());
    }
}
