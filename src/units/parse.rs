//! Reading quantities from text: numbers, mixed fractions, units, ranges and tolerances.
//!
//! A text is `END`, `END to END` or `END +/- END`, where an `END` is a number and, at its last place at least, a unit.
//! A range is written with `to`, a hyphen, a dash or two dots, a tolerance with `+/-` or `±`. Since no unit holds one
//! of these, a unit is whatever stands between a number and the next of them.

use super::faults::{self, NoGauge};
use super::table::{self, Unit};
use super::{Amount, Kind, Length, Quantity, System};
use std::ops::Range;

pub use super::kinds::bounds;
pub use super::table::spellings;

mod link;
mod number;
use link::{Link, Linked};
use number::Number;

/// Bytes that no quantity needs more of.
pub const LONGEST: usize = 200;

/// Kinds of fault in the text of a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// A number without a unit.
    WithoutUnit,
    /// An unknown unit.
    Unit,
    /// A unit of another kind of quantity.
    Kind,
    /// A number that cannot be read, NaN and infinity among them.
    Number,
    /// A range from high to low.
    RangeReversed,
    /// Beyond what is physically possible or sensible for the kind.
    Absurd,
    /// A gauge number where no gauge table is known.
    Gauge,
}

/// Why a quantity could not be read, and where in the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bad {
    /// What kind of fault.
    pub fault: Fault,
    /// Bytes of the text that are meant.
    pub at: Range<usize>,
    /// What is wrong, in one line.
    pub message: String,
    /// A few words under the place.
    pub label: String,
    /// What would be accepted.
    pub help: String,
}

/// What the reader knows besides the text.
#[derive(Default, Clone, Copy)]
pub struct Context<'a> {
    /// Thickness of a gauge number for the metal in hand, where its gauge table is known.
    pub gauge: Option<&'a dyn Fn(u32) -> Option<Length>>,
}

/// Reads a quantity, a range (`160 A to 180 A`, `160-180 A`, `160..180 A`) or a value with a tolerance
/// (`170 A +/- 10`).
///
/// # Errors
/// The first thing that is wrong, with its place in the text.
pub fn amount<T: Quantity>(text: &str, context: Context<'_>) -> Result<Amount<T>, Bad> {
    let reading = Reader { text, kind: T::KIND, context }.read()?;
    Ok(Amount {
        range: super::Range::new(T::from_si(reading.ends.0), T::from_si(reading.ends.1)),
        text: text.trim().to_owned(),
        system: reading.system,
    })
}

/// What is wrong with a bare number where a quantity of this kind is wanted: for numbers that were not in quotes.
///
/// The place is the whole of `number`.
#[must_use]
pub fn bare(kind: Kind, number: &str) -> Bad {
    faults::without_unit(kind, number, 0..number.len())
}

/// The unit in which a quantity of this kind was written: the first of a text with two. None for a gauge number and
/// for a text that cannot be read.
#[must_use]
pub fn unit_of(kind: Kind, text: &str) -> Option<Unit> {
    Reader { text, kind, context: Context::default() }.read().ok()?.unit
}

/// A text that was read.
struct Reading {
    /// Both ends, SI.
    ends: (f64, f64),
    unit: Option<Unit>,
    system: System,
}

/// In what a number counts.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Measure {
    Unit(Unit),
    Gauge,
    /// A plain `%` beside a number whose partner says what it counts.
    Percent,
    Missing,
}

/// A number with what stands behind it.
struct End {
    number: Number,
    measure: Measure,
    /// Number and unit.
    at: Range<usize>,
    /// The unit alone.
    unit_at: Range<usize>,
}

struct Reader<'t> {
    text: &'t str,
    kind: Kind,
    context: Context<'t>,
}

impl Reader<'_> {
    fn read(&self) -> Result<Reading, Bad> {
        if self.text.len() > LONGEST {
            return Err(faults::too_long(self.kind, LONGEST, 0..self.text.len()));
        }
        let (first, link) = self.end(0, 0..self.text.len())?;
        let Some((link, link_at)) = link else { return self.single(&first) };
        let (second, more) = self.end(link_at.end, link_at)?;
        if let Some((_, at)) = more {
            return Err(faults::more_than_one(self.kind, at.start..self.text.trim_end().len()));
        }
        match link {
            Link::Range => self.range(first, &second),
            Link::Tolerance => self.tolerance(first, &second),
        }
    }

    fn slice(&self, at: &Range<usize>) -> &str {
        self.text.get(at.clone()).unwrap_or("")
    }

    /// The number at or after a place, its unit, and the link that follows. `instead` is marked where nothing follows.
    fn end(&self, from: usize, instead: Range<usize>) -> Result<(End, Linked), Bad> {
        let start = from + leading_space(self.slice(&(from..self.text.len())));
        let number = Number::read(self.text, start).map_err(|unread| match unread {
            number::Unread::Missing(at) if at.is_empty() => faults::no_number(self.kind, "", instead),
            number::Unread::Missing(at) => faults::no_number(self.kind, self.slice(&at), at),
            number::Unread::Malformed(at) => faults::number(self.slice(&at), at),
        })?;
        let link = link::after(self.text, number.at.end);
        let stop = link.as_ref().map_or(self.text.len(), |(_, at)| at.start);
        let behind = self.slice(&(number.at.end..stop));
        let unit_start = number.at.end + leading_space(behind);
        let unit_at = unit_start..unit_start + behind.trim().len();
        let measure = self.measure(&unit_at)?;
        let last = if unit_at.is_empty() { number.at.end } else { unit_at.end };
        let at = number.at.start..last;
        if number.negative && self.kind != Kind::Temperature {
            return Err(faults::negative(self.kind, number.at.clone()));
        }
        Ok((End { number, measure, at, unit_at }, link))
    }

    fn measure(&self, at: &Range<usize>) -> Result<Measure, Bad> {
        let written = self.slice(at);
        if written.is_empty() {
            return Ok(Measure::Missing);
        }
        if let Some(unit) = Unit::find(self.kind, written) {
            return Ok(Measure::Unit(unit));
        }
        if table::is_gauge(written) {
            return if self.kind == Kind::Length {
                Ok(Measure::Gauge)
            } else {
                Err(faults::kind(self.kind, Kind::Length, written, at.clone()))
            };
        }
        match Unit::find_any(written) {
            Some(Unit::Percent) if matches!(self.kind, Kind::EnShare | Kind::HeliumShare) => Ok(Measure::Percent),
            Some(unit) => Err(faults::kind(self.kind, unit.kind(), written, at.clone())),
            None if written.starts_with(|c: char| c.is_ascii_digit()) => {
                Err(faults::more_than_one(self.kind, at.clone()))
            }
            None => Err(faults::unit(self.kind, written, at.clone())),
        }
    }

    fn single(&self, end: &End) -> Result<Reading, Bad> {
        let value = self.value(end)?;
        self.reading(end, (value, value))
    }

    fn range(&self, mut first: End, second: &End) -> Result<Reading, Bad> {
        let whole = first.at.start..second.at.end;
        if matches!(second.measure, Measure::Missing | Measure::Percent) {
            self.value(second)?;
        }
        let percents = |unit| matches!(unit, Unit::PercentEn | Unit::PercentEp | Unit::PercentHelium);
        match (first.measure, second.measure) {
            (Measure::Missing, shared) => first.measure = shared,
            (Measure::Percent, Measure::Unit(unit)) if percents(unit) => first.measure = second.measure,
            _ => {}
        }
        let low = self.value(&first)?;
        let high = self.value(second)?;
        // Percent EP and gauge numbers count downwards: there the order as written is the order of the numbers.
        let in_order = match (first.measure, second.measure) {
            (Measure::Unit(a), Measure::Unit(b)) if a == b => first.number.value <= second.number.value,
            (Measure::Gauge, Measure::Gauge) => true,
            _ => low <= high,
        };
        if in_order {
            return self.reading(&first, (low, high));
        }
        let joined = first.at.end + 1 == second.at.start && first.unit_at.is_empty();
        if joined && first.number.whole.is_some() && self.slice(&second.number.at).contains(['/', '⁄']) {
            return Err(faults::hyphenated_fraction(self.kind, whole));
        }
        Err(faults::reversed(self.kind, whole))
    }

    fn tolerance(&self, mut first: End, second: &End) -> Result<Reading, Bad> {
        if second.number.negative {
            return Err(faults::number(self.slice(&second.number.at), second.number.at.clone()));
        }
        if let (Measure::Missing, Measure::Unit(_)) = (first.measure, second.measure) {
            first.measure = second.measure;
        }
        let middle = self.value(&first)?;
        let step = match (second.measure, first.measure) {
            (Measure::Unit(unit), _) | (Measure::Missing | Measure::Percent, Measure::Unit(unit)) => {
                second.number.value * unit.factor().abs()
            }
            _ => {
                let written = self.slice(&second.at);
                return Err(faults::gauge(NoGauge::Tolerance, written, second.at.clone()));
            }
        };
        let ends = (middle - step, middle + step);
        for end in [ends.0, ends.1] {
            self.within(end, &second.at)?;
        }
        self.reading(&first, ends)
    }

    fn reading(&self, first: &End, ends: (f64, f64)) -> Result<Reading, Bad> {
        let (unit, system) = match first.measure {
            Measure::Unit(unit) => (Some(unit), unit.system().unwrap_or_default()),
            _ => (None, System::Inch),
        };
        Ok(Reading { ends, unit, system })
    }

    /// The SI value of a number with its unit, within the bounds of the kind.
    fn value(&self, end: &End) -> Result<f64, Bad> {
        let number = self.slice(&end.number.at);
        let value = match end.measure {
            Measure::Unit(unit) => unit.to_si(end.number.value),
            Measure::Gauge => self.gauge(end)?,
            Measure::Percent => return Err(faults::plain_percent(self.kind, end.unit_at.clone())),
            Measure::Missing => return Err(faults::without_unit(self.kind, number, end.number.at.clone())),
        };
        self.within(value, &end.at)?;
        Ok(value)
    }

    fn gauge(&self, end: &End) -> Result<f64, Bad> {
        let why = match (self.context.gauge, end.number.whole) {
            (None, _) => NoGauge::NoTable,
            (_, None) => NoGauge::NotWhole,
            (Some(thickness), Some(gauge)) => match thickness(gauge) {
                Some(length) => return Ok(length.si()),
                None => NoGauge::NotInTable,
            },
        };
        let at = if why == NoGauge::NoTable { end.at.clone() } else { end.number.at.clone() };
        Err(faults::gauge(why, self.slice(&at), at))
    }

    fn within(&self, value: f64, at: &Range<usize>) -> Result<(), Bad> {
        let bounds = self.kind.bounds();
        let si = bounds.si();
        let low_enough = value <= si.high;
        let high_enough = if bounds.low_allowed { value >= si.low } else { value > si.low };
        if low_enough && high_enough { Ok(()) } else { Err(faults::absurd(self.kind, self.slice(at), at.clone())) }
    }
}

fn leading_space(text: &str) -> usize {
    text.len() - text.trim_start().len()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]
mod tests {
    use super::*;
    use crate::units::{Range, *};

    fn read<T: Quantity>(text: &str) -> Amount<T> {
        amount(text, Context::default()).unwrap_or_else(|bad| panic!("{text}: {}", bad.message))
    }

    /// The fault, and the marked part of the text.
    fn fault<T: Quantity>(text: &str) -> (Fault, &str) {
        let Err(bad) = amount::<T>(text, Context::default()) else { panic!("{text} was read") };
        (bad.fault, text.get(bad.at).unwrap())
    }

    #[test]
    fn one_value_keeps_its_spelling_and_system() {
        let thickness = read::<Length>("  3/16 in ");
        assert_eq!((thickness.text.as_str(), thickness.system), ("3/16 in", System::Inch));
        assert_eq!(thickness.range, Range::of(mm(4.7625)));
        assert_eq!(read::<Length>("8mm").range, Range::of(mm(8.0)));
        assert_eq!(read::<Current>("180 A").system, System::Metric);
        assert_eq!(read::<Length>("0 mm").range, Range::of(mm(0.0)));
        assert_eq!(read::<Speed>("0 m/s").range, Range::of(mm_per_min(0.0)));
    }

    #[test]
    fn ranges_and_tolerances() {
        let wanted = Range::new(amps(160.0), amps(180.0));
        for text in [
            "160 A to 180 A",
            "160-180 A",
            "160..180 A",
            "160 to 180 A",
            "160 A – 180 A",
            "160 A-180A",
            "160 - 180 A",
            "160to180 A",
            "170 A +/- 10",
            "170 A ± 10",
            "170 A +/- 10 A",
            "170 ± 10 A",
        ] {
            assert_eq!(read::<Current>(text).range, wanted, "{text}");
        }
        assert_eq!(read::<Length>("1/4 in to 8 mm").range, Range::new(mm(6.35), mm(8.0)));
        assert_eq!(read::<Length>("1/4 in to 8 mm").system, System::Inch);
        assert_eq!(read::<Length>("1/4-1/2 in").range, Range::new(mm(6.35), mm(12.7)));
    }

    #[test]
    fn temperatures_may_be_negative_and_their_tolerance_is_a_difference() {
        assert_eq!(read::<Temperature>("-10--5 °C").range, Range::new(celsius(-10.0), celsius(-5.0)));
        assert_eq!(read::<Temperature>("−10 to 5 C").range, Range::new(celsius(-10.0), celsius(5.0)));
        assert_eq!(read::<Temperature>("120 °C +/- 10").range, Range::new(celsius(110.0), celsius(130.0)));
        let range = read::<Temperature>("120 °C +/- 18 °F").range;
        assert!((range.high.in_celsius() - 130.0).abs() < 1e-9);
        assert_eq!(fault::<Length>("-5 mm"), (Fault::Absurd, "-5"));
        assert_eq!(fault::<TemperatureStep>("-5 K"), (Fault::Absurd, "-5"));
    }

    #[test]
    fn electrode_positive_counts_downwards() {
        assert_eq!(read::<EnShare>("30 % EP").range, read::<EnShare>("70 % EN").range);
        assert_eq!(read::<EnShare>("30-35 % EP").range, read::<EnShare>("65 % to 70 % EN").range);
        assert_eq!(read::<EnShare>("65 % EN to 30 % EP").range, read::<EnShare>("65-70%EN").range);
        assert_eq!(fault::<EnShare>("35 to 30 % EP"), (Fault::RangeReversed, "35 to 30 % EP"));
        assert_eq!(fault::<EnShare>("70 %"), (Fault::WithoutUnit, "%"));
        assert_eq!(fault::<EnShare>("65-70 %"), (Fault::WithoutUnit, "%"));
        assert_eq!(fault::<EnShare>("100 % EN"), (Fault::Absurd, "100 % EN"));
        assert_eq!(fault::<Share>("70 % EN"), (Fault::Kind, "% EN"));
    }

    #[test]
    fn gauge_numbers_need_the_table_of_the_metal() {
        let table = |number| (number == 11 || number == 14).then(|| mm(f64::from(33 - number) / 10.0));
        let context = Context { gauge: Some(&table) };
        let known = amount::<Length>("11 ga", context).unwrap();
        assert_eq!((known.range, known.system), (Range::of(mm(2.2)), System::Inch));
        assert_eq!(amount::<Length>("11 to 14 ga", context).unwrap().range, Range::new(mm(1.9), mm(2.2)));
        for text in ["12 gauge", "11.5 ga", "011 ga", "11 ga +/- 1"] {
            assert_eq!(amount::<Length>(text, context).unwrap_err().fault, Fault::Gauge, "{text}");
        }
        assert_eq!(fault::<Length>("11 ga"), (Fault::Gauge, "11 ga"));
        assert_eq!(fault::<Current>("11 ga"), (Fault::Kind, "ga"));
    }
}
