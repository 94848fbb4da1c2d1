//! Median and spread of a few readings.

use serde::Serialize;

/// What a few numbers come to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Statistics {
    /// How many.
    pub count: usize,
    /// The least.
    pub least: f64,
    /// A quarter lies below it.
    pub lower: f64,
    /// The middle one; of an even number half way between the two in the middle.
    pub median: f64,
    /// A quarter lies above it.
    pub upper: f64,
    /// The most.
    pub most: f64,
}

impl Statistics {
    /// Those of some numbers; none where there is none, or one that is no number.
    #[must_use]
    pub fn of(values: &[f64]) -> Option<Self> {
        if !values.iter().all(|value| value.is_finite()) {
            return None;
        }
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let at = |share| quantile(&sorted, share);
        Some(Statistics {
            count: sorted.len(),
            least: at(0.0)?,
            lower: at(0.25)?,
            median: at(0.5)?,
            upper: at(0.75)?,
            most: at(1.0)?,
        })
    }

    /// The spread: what half of the readings lie within.
    #[must_use]
    pub fn spread(&self) -> f64 {
        self.upper - self.lower
    }
}

/// The value below which this share of the sorted numbers lies: on the straight line between the two numbers about the
/// place `share * (n - 1)`, the first number having the place 0.
fn quantile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    #[allow(clippy::cast_precision_loss, reason = "readings are few")]
    let place = share * last as f64;
    let below = libm::floor(place);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to the last place")]
    let index = below as usize;
    let low = sorted.get(index)?;
    let high = sorted.get(index + 1).unwrap_or(low);
    Some(low + (place - below) * (high - low))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quartiles_are_those_of_another_program() {
        // Python: numpy.percentile([185, 175, 190, 180, 170, 195], [0, 25, 50, 75, 100]), its usual method.
        let six = Statistics::of(&[185.0, 175.0, 190.0, 180.0, 170.0, 195.0]).unwrap();
        assert_eq!([six.least, six.lower, six.median, six.upper, six.most], [170.0, 176.25, 182.5, 188.75, 195.0]);
        assert_eq!((six.count, six.spread()), (6, 12.5));
        let one = Statistics::of(&[180.0]).unwrap();
        assert_eq!((one.least, one.median, one.most), (180.0, 180.0, 180.0));
        assert_eq!(Statistics::of(&[]), None);
        assert_eq!(Statistics::of(&[1.0, f64::NAN]), None);
    }
}
