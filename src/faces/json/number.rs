//! Numbers of the JSON face: whole ones as integers, others to twelve significant digits, the same on every machine.

use crate::units::decimal::settled;
use serde::{Serialize, Serializer};

/// A number as it is written. What is not finite comes out as null, which no figure is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number(pub(super) f64);

/// Above this a whole number is written as a float, because not every reader of JSON holds it exactly.
const LARGEST_WHOLE: f64 = 9_007_199_254_740_992.0;

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if !self.0.is_finite() {
            return serializer.serialize_none();
        }
        let number = settled(self.0);
        if number.fract() == 0.0 && number.abs() < LARGEST_WHOLE {
            #[allow(clippy::cast_possible_truncation, reason = "whole and within the range of i64")]
            return serializer.serialize_i64(number as i64);
        }
        serializer.serialize_f64(number)
    }
}

#[cfg(test)]
mod tests {
    use super::Number;

    #[test]
    fn whole_numbers_are_integers_and_the_rest_has_twelve_digits() {
        for (number, written) in [
            (8.0, "8"),
            (-3.0, "-3"),
            (-0.0, "0"),
            (2.4, "2.4"),
            (0.1 + 0.2, "0.3"),
            (5.399_999_999_999_999_5, "5.4"),
            (183.639_615_954_660_94, "183.639615955"),
            (1e300, "1e+300"),
            (f64::NAN, "null"),
        ] {
            assert_eq!(serde_json::to_string(&Number(number)).unwrap_or_default(), written);
        }
    }
}
