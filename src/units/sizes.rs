//! Sold sizes: which of a list of nominal sizes is nearest, next up or next down, and which two names mean one size.
//!
//! The lists come from the caller, as rows of any type with a function that tells the size of a row; no size stands
//! here. A list need not be sorted.

use super::decimal::settled;
use super::{Length, Quantity};

/// How far two names of one size may lie apart, as a share of the larger. Metric and inch names of the same rod or
/// tungsten differ by up to 1.6 % (1.0 mm and 0.040 in), different sizes by 4 % and more (2.4 and 2.5 mm).
const SAME: f64 = 0.025;

/// Whether two lengths mean the same sold size: 2.4 mm and 3/32 in do, 1.2 mm and 0.045 in do not.
#[must_use]
pub fn same_size(a: Length, b: Length) -> bool {
    let (a, b) = (a.si(), b.si());
    libm::fabs(a - b) <= SAME * a.max(b)
}

/// The row whose size is nearest; of two equally near the smaller.
pub fn nearest<R>(rows: impl IntoIterator<Item = R>, size: impl Fn(&R) -> Length, wanted: Length) -> Option<R> {
    let away = |row: &R| (settled(libm::fabs(size(row).si() - wanted.si())), size(row).si());
    pick(rows, |row, best| away(row) < away(best))
}

/// The smallest row that is not below the wanted size, or means the same.
pub fn at_least<R>(rows: impl IntoIterator<Item = R>, size: impl Fn(&R) -> Length, wanted: Length) -> Option<R> {
    let fits = rows.into_iter().filter(|row| size(row) >= wanted || same_size(size(row), wanted));
    pick_same_first(fits, &size, wanted, |row, best| size(row) < size(best))
}

/// The largest row that is not above the wanted size, or means the same.
pub fn at_most<R>(rows: impl IntoIterator<Item = R>, size: impl Fn(&R) -> Length, wanted: Length) -> Option<R> {
    let fits = rows.into_iter().filter(|row| size(row) <= wanted || same_size(size(row), wanted));
    pick_same_first(fits, &size, wanted, |row, best| size(row) > size(best))
}

/// The next larger row, one of the same size passed over.
pub fn next_up<R>(rows: impl IntoIterator<Item = R>, size: impl Fn(&R) -> Length, from: Length) -> Option<R> {
    let above = rows.into_iter().filter(|row| size(row) > from && !same_size(size(row), from));
    pick(above, |row, best| size(row) < size(best))
}

/// The next smaller row, one of the same size passed over.
pub fn next_down<R>(rows: impl IntoIterator<Item = R>, size: impl Fn(&R) -> Length, from: Length) -> Option<R> {
    let below = rows.into_iter().filter(|row| size(row) < from && !same_size(size(row), from));
    pick(below, |row, best| size(row) > size(best))
}

/// The best row, the first of equals.
fn pick<R>(rows: impl IntoIterator<Item = R>, better: impl Fn(&R, &R) -> bool) -> Option<R> {
    rows.into_iter().reduce(|best, row| if better(&row, &best) { row } else { best })
}

/// The nearest row of the wanted size, else the best of the others.
fn pick_same_first<R>(
    rows: impl Iterator<Item = R>,
    size: &impl Fn(&R) -> Length,
    wanted: Length,
    better: impl Fn(&R, &R) -> bool,
) -> Option<R> {
    let (same, others): (Vec<R>, Vec<R>) = rows.partition(|row| same_size(size(row), wanted));
    nearest(same, size, wanted).or_else(|| pick(others, better))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::mm;

    const RODS: [f64; 6] = [1.6, 0.9, 2.4, 3.2, 4.8, 4.0];

    fn inches(value: f64) -> Length {
        mm(value * 25.4)
    }

    type Find = fn([f64; 6], fn(&f64) -> Length, Length) -> Option<f64>;

    fn check(find: Find, wanted: Length, expected: Option<f64>) {
        assert_eq!(find(RODS, |size| mm(*size), wanted), expected, "{wanted:?}");
    }

    #[test]
    fn metric_and_inch_names_of_one_size() {
        for (metric, inch) in
            [(1.6, 1.0 / 16.0), (2.4, 3.0 / 32.0), (3.2, 0.125), (4.0, 5.0 / 32.0), (1.0, 0.040), (0.9, 0.035)]
        {
            assert!(same_size(mm(metric), inches(inch)), "{metric} mm");
            assert!(same_size(inches(inch), mm(metric)), "{metric} mm");
        }
        for (a, b) in [(1.2, 0.045 * 25.4), (2.4, 2.5), (3.0, 3.2), (1.0, 0.9), (4.8, 5.0)] {
            assert!(!same_size(mm(a), mm(b)), "{a} and {b} mm");
        }
    }

    #[test]
    fn sizes_beside_a_wanted_one() {
        check(nearest, mm(2.7), Some(2.4));
        check(nearest, mm(2.8), Some(2.4));
        check(nearest, mm(2.9), Some(3.2));
        check(nearest, mm(99.0), Some(4.8));
        check(at_least, mm(2.5), Some(3.2));
        check(at_least, mm(2.41), Some(2.4));
        check(at_least, mm(5.0), None);
        check(at_most, mm(2.5), Some(2.4));
        check(at_most, inches(3.0 / 32.0), Some(2.4));
        check(at_most, mm(0.5), None);
        check(next_up, inches(3.0 / 32.0), Some(3.2));
        check(next_up, mm(4.8), None);
        check(next_down, mm(2.4), Some(1.6));
        check(next_down, inches(0.035), None);
    }

    #[test]
    fn of_two_names_of_one_size_the_nearer_is_taken() {
        let both = [2.4, 2.381_25];
        assert_eq!(at_least(both, |size| mm(*size), inches(3.0 / 32.0)), Some(2.381_25));
        assert_eq!(at_most(both, |size| mm(*size), mm(2.4)), Some(2.4));
        assert_eq!(nearest([0.0; 0], |size| mm(*size), mm(1.0)), None);
    }
}
