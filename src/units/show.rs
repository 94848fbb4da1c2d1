//! Writing quantities as text: the only formatter of numbers in the project.
//!
//! A quantity is shown in a unit to the decimals that a dial, a rule or a gauge can show, zeros at the end left out.
//! Numbers are rounded in decimal, half away from zero; limits to the safe side, in both systems.

use super::scale::decimals;
use super::table::Unit;
use super::{Amount, Kind, Length, Quantity, Range, System, parse};

pub use super::decimal::{Toward, number, round_to, rounded, significant, trimmed};
pub use super::scale::usual;

/// The unit, or the usual metric one where the unit measures something else.
fn fitting<T: Quantity>(quantity: T, unit: Unit) -> Unit {
    if unit.kind() == T::KIND { unit } else { usual(quantity, System::Metric) }
}

/// The other system.
fn other(system: System) -> System {
    match system {
        System::Metric => System::Inch,
        System::Inch => System::Metric,
    }
}

/// The unit to lead with and the one to stand beside it; none where both systems share the unit.
fn pair<T: Quantity>(quantity: T, first: System) -> (Unit, Option<Unit>) {
    let lead = usual(quantity, first);
    let beside =
        if T::KIND == Kind::EnShare { lead.beside() } else { lead.system().map(|_| usual(quantity, other(first))) };
    (lead, beside)
}

/// The number as it is shown, rounded the given way. Limits in °F go to steps of 5: no scale at the bench shows less.
/// EP is what the shown EN leaves of 100, so that both always add up.
fn shown<T: Quantity>(quantity: T, unit: Unit, toward: Toward) -> f64 {
    if unit == Unit::PercentEp {
        return 100.0 - shown(quantity, Unit::PercentEn, toward);
    }
    let value = unit.number_of(quantity);
    if unit == Unit::Fahrenheit && toward != Toward::Nearest {
        return round_to(value, 5.0, toward);
    }
    rounded(value, decimals(unit, value), toward).parse().unwrap_or(value)
}

/// A number that is already rounded, as text.
fn text(value: f64, unit: Unit) -> String {
    trimmed(number(value, decimals(unit, value)))
}

fn beside_it(lead: &str, beside: Option<String>) -> String {
    match beside {
        Some(beside) if beside != lead => format!("{lead} ({beside})"),
        _ => lead.to_owned(),
    }
}

/// The number alone, in a unit: for a column whose head names the unit.
#[must_use]
pub fn number_in<T: Quantity>(quantity: T, unit: Unit) -> String {
    let unit = fitting(quantity, unit);
    text(shown(quantity, unit, Toward::Nearest), unit)
}

/// A quantity in a unit: `8 mm`. A unit of another kind gives the usual metric one.
#[must_use]
pub fn in_unit<T: Quantity>(quantity: T, unit: Unit) -> String {
    limit_in(quantity, unit, Toward::Nearest)
}

/// A limit in a unit, rounded the given way.
#[must_use]
pub fn limit_in<T: Quantity>(quantity: T, unit: Unit, toward: Toward) -> String {
    let unit = fitting(quantity, unit);
    format!("{} {}", text(shown(quantity, unit, toward), unit), unit.symbol())
}

/// A quantity in the usual unit of a system: `8 mm`.
#[must_use]
pub fn one<T: Quantity>(quantity: T, system: System) -> String {
    in_unit(quantity, usual(quantity, system))
}

/// A quantity in both systems: `8 mm (0.315 in)`; once, where both share the unit: `180 A`. A share of electrode
/// negative is shown with that of electrode positive: `70 % EN (30 % EP)`.
#[must_use]
pub fn both<T: Quantity>(quantity: T, first: System) -> String {
    limit_both(quantity, first, Toward::Nearest)
}

/// A quantity in two units of choice: `1 L/min (0.26 gal/min)`, `30 % EP (70 % EN)`.
#[must_use]
pub fn both_in<T: Quantity>(quantity: T, lead: Unit, beside: Unit) -> String {
    beside_it(&in_unit(quantity, lead), Some(in_unit(quantity, beside)))
}

/// A limit in both systems, each rounded the given way: down for a highest value, up for a lowest.
#[must_use]
pub fn limit_both<T: Quantity>(quantity: T, first: System, toward: Toward) -> String {
    let (lead, beside) = pair(quantity, first);
    beside_it(&limit_in(quantity, lead, toward), beside.map(|unit| limit_in(quantity, unit, toward)))
}

/// A quantity in both systems, the second as a round number within 2 %: `100 mm (4 in)`, `25 mm (1 in)`. For distances
/// that are paced rather than measured, never for limits.
#[must_use]
pub fn roughly_both<T: Quantity>(quantity: T, first: System) -> String {
    const NEAR: f64 = 0.02;
    let (lead, beside) = pair(quantity, first);
    let Some(beside) = beside.filter(|unit| unit.zero() == 0.0) else { return both(quantity, first) };
    let value = beside.number_of(quantity);
    let near =
        |text: &String| text.parse::<f64>().is_ok_and(|round| libm::fabs(round - value) <= NEAR * libm::fabs(value));
    let round =
        (1..=3).map(|digits| significant(value, digits)).find(near).unwrap_or_else(|| number_in(quantity, beside));
    beside_it(&in_unit(quantity, lead), Some(format!("{round} {}", beside.symbol())))
}

/// Both ends in one unit, joined: `7 to 10 L/min`. Ends with as many digits before the point get as many behind it.
fn joined(low: f64, high: f64, unit: Unit, exact: (f64, f64)) -> String {
    let (mut a, mut b) = (text(low, unit), text(high, unit));
    if a == b {
        return format!("{a} {}", unit.symbol());
    }
    let parts =
        |text: &str| text.split_once('.').map_or((text.len(), 0), |(whole, fraction)| (whole.len(), fraction.len()));
    let (whole, most) = (parts(&a).0 == parts(&b).0, parts(&a).1.max(parts(&b).1));
    if whole {
        (a, b) = (number(exact.0, most), number(exact.1, most));
    }
    format!("{a} to {b} {}", unit.symbol())
}

/// A range in one unit: `7 to 10 L/min`; one value where both ends print alike.
#[must_use]
pub fn range_in<T: Quantity>(range: Range<T>, unit: Unit) -> String {
    let unit = fitting(range.high, unit);
    let exact = (unit.number_of(range.low), unit.number_of(range.high));
    let (low, high) = (shown(range.low, unit, Toward::Nearest), shown(range.high, unit, Toward::Nearest));
    if high < low {
        // Percent EP counts downwards.
        return joined(high, low, unit, (exact.1, exact.0));
    }
    joined(low, high, unit, exact)
}

/// A range in the usual unit of a system: `7 to 10 L/min`, `30 s to 5 min`.
#[must_use]
pub fn range<T: Quantity>(range: Range<T>, system: System) -> String {
    let high = usual(range.high, system);
    let low = if range.low.si() == 0.0 { high } else { usual(range.low, system) };
    if low == high {
        return range_in(range, high);
    }
    format!("{} to {}", in_unit(range.low, low), in_unit(range.high, high))
}

/// A range in both systems: `7 to 10 L/min (15 to 21 cfh)`.
#[must_use]
pub fn range_both<T: Quantity>(range: Range<T>, first: System) -> String {
    let lead = self::range(range, first);
    let beside = match pair(range.high, first).1 {
        Some(unit) if T::KIND == Kind::EnShare => Some(range_in(range, unit)),
        Some(_) => Some(self::range(range, other(first))),
        None => None,
    };
    beside_it(&lead, beside)
}

/// A range of limits in both systems, the low end rounded up and the high end down: `10 to 50 °C (50 to 120 °F)`.
/// Where nothing would be left between them, both ends are rounded to the nearest.
#[must_use]
pub fn limits_both<T: Quantity>(range: Range<T>, first: System) -> String {
    let (lead, beside) = pair(range.high, first);
    let inside = |unit: Unit| {
        if unit == Unit::PercentEp {
            return range_in(range, unit);
        }
        let (low, high) = (shown(range.low, unit, Toward::Up), shown(range.high, unit, Toward::Down));
        if low <= high { joined(low, high, unit, (low, high)) } else { range_in(range, unit) }
    };
    beside_it(&inside(lead), beside.map(inside))
}

/// A quantity as its author wrote it, the other system beside it: `3/16 in (4.76 mm)`, `30 % EP (70 % EN)`, `180 A`.
#[must_use]
pub fn stated<T: Quantity>(amount: &Amount<T>) -> String {
    let beside = unit_beside(amount).map(|unit| range_in(amount.range, unit));
    beside_it(&amount.text, beside)
}

/// A limit as its author wrote it, the other system beside it, rounded the given way.
#[must_use]
pub fn stated_limit<T: Quantity>(amount: &Amount<T>, toward: Toward) -> String {
    if !amount.is_single() {
        return stated(amount);
    }
    let beside = unit_beside(amount).map(|unit| limit_in(amount.range.low, unit, toward));
    beside_it(&amount.text, beside)
}

/// The unit to stand beside an author's own; after a gauge number the usual one of the other system.
fn unit_beside<T: Quantity>(amount: &Amount<T>) -> Option<Unit> {
    match parse::unit_of(T::KIND, &amount.text) {
        Some(unit) => unit.beside(),
        None => {
            let unit = usual(amount.range.high, other(amount.system));
            unit.system().map(|_| unit)
        }
    }
}

/// A sold size by both its names: `2.4 mm (3/32 in)`.
#[must_use]
pub fn size_both(size: Length, inch_name: &str, first: System) -> String {
    let metric = in_unit(size, Unit::Millimetre);
    match first {
        System::Metric => beside_it(&metric, Some(inch_name.to_owned())),
        System::Inch => beside_it(inch_name, Some(metric)),
    }
}

/// The unit of a kind in JSON, as it is printed: `mm`, `L/min`, `°C`.
#[must_use]
pub fn json_unit(kind: Kind) -> &'static str {
    Unit::of_figures(kind).symbol()
}

/// A quantity as a number for JSON, in the JSON unit of its kind, to twelve significant digits.
#[must_use]
pub fn json_value<T: Quantity>(quantity: T) -> f64 {
    json_value_in(quantity, Unit::of_figures(T::KIND))
}

/// A quantity as a number for JSON in a unit of choice (minutes of arc), to twelve significant digits.
#[must_use]
pub fn json_value_in<T: Quantity>(quantity: T, unit: Unit) -> f64 {
    super::decimal::settled(fitting(quantity, unit).number_of(quantity))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;
    use crate::units::parse::{Context, amount};
    use crate::units::*;
    use System::{Inch, Metric};

    fn author<T: Quantity>(text: &str) -> Amount<T> {
        amount(text, Context::default()).unwrap()
    }

    #[test]
    fn quantities_in_both_systems() {
        // As a welder's sheet writes them; conversions by hand: 1 in = 25.4 mm, 1 lb = 453.6 g, 1 cfh = 0.4719 L/min.
        for (text, expected) in [
            (both(mm(8.0), Metric), "8 mm (0.315 in)"),
            (both(mm(8.0), Inch), "0.315 in (8 mm)"),
            (both(mm(6.0), Metric), "6 mm (0.236 in)"),
            (both(mm(45.0), Metric), "45 mm (1.77 in)"),
            (both(mm(0.3), Metric), "0.3 mm (0.012 in)"),
            (both(mm(10.0), Metric), "10 mm (0.39 in)"),
            (both(mm(101.6), Metric), "102 mm (4 in)"),
            (both(mm(11.1125), Metric), "11.1 mm (0.44 in)"),
            (both(mm(0.0), Metric), "0 mm (0 in)"),
            (both(celsius(60.0), Metric), "60 °C (140 °F)"),
            (both(celsius(20.0), Inch), "68 °F (20 °C)"),
            (both(celsius(-17.8), Metric), "-18 °C (0 °F)"),
            (both(kelvin(28.0), Metric), "28 degrees C (50 degrees F)"),
            (both(l_per_min(8.5), Metric), "8.5 L/min (18 cfh)"),
            (both(kg(3.1), Metric), "3.1 kg (6.8 lb)"),
            (both(grams(15.0), Metric), "15 g (0.53 oz)"),
            (both(litres(55.0), Metric), "55 L (1.9 cu ft)"),
            (both(mm_per_min(120.0), Metric), "120 mm/min (4.7 in/min)"),
            (both(kj_per_mm(1.2), Metric), "1.2 kJ/mm (30 kJ/in)"),
            (both(percent_en(70.0), Inch), "70 % EN (30 % EP)"),
            (both(percent_helium(30.0), Metric), "30 % helium"),
            (both(percent(35.0), Metric), "35 %"),
            (both(amps(180.0), Inch), "180 A"),
            (both(volts(17.7), Metric), "17.7 V"),
            (both(hertz(100.0), Metric), "100 Hz"),
            (both(rpm(1800.0), Metric), "1800 rpm"),
            (both(degrees(70.0), Metric), "70 deg"),
            (both(seconds(0.5), Metric), "0.5 s"),
            (both(minutes(3.5), Metric), "3.5 min"),
            (both(minutes(60.0), Metric), "60 min"),
            (both(minutes(240.0), Metric), "4 h"),
            (both(seconds(90.0), Metric), "90 s"),
            (both_in(litres(25.0), Unit::Litre, Unit::UsGallon), "25 L (6.6 gal)"),
            (both_in(percent_en(72.25), Unit::PercentEp, Unit::PercentEn), "27.7 % EP (72.3 % EN)"),
            (in_unit(seconds(0.007), Unit::Millisecond), "7 ms"),
            (in_unit(mm(5.0), Unit::Ampere), "5 mm"),
            (number_in(mm(5.0), Unit::Inch), "0.197"),
        ] {
            assert_eq!(text, expected);
        }
    }

    #[test]
    fn limits_go_to_the_safe_side() {
        use Toward::{Down, Up};
        for (text, expected) in [
            (limit_both(celsius(100.0), Metric, Down), "100 °C (210 °F)"),
            (limit_both(celsius(100.0), Inch, Down), "210 °F (100 °C)"),
            (limit_both(celsius(120.0), Metric, Down), "120 °C (245 °F)"),
            (limit_both(celsius(60.0), Metric, Down), "60 °C (140 °F)"),
            (limit_both(celsius(60.0), Metric, Up), "60 °C (140 °F)"),
            (limit_both(celsius(65.0), Metric, Up), "65 °C (150 °F)"),
            (limit_both(mm(2.0), Metric, Down), "2 mm (0.078 in)"),
            (limit_both(mm(0.5), Metric, Down), "0.5 mm (0.019 in)"),
            (limit_both(mm(60.0), Metric, Down), "60 mm (2.36 in)"),
            (limit_both(mm(4.0), Metric, Up), "4 mm (0.158 in)"),
            (limit_both(amps(193.4), Metric, Down), "193 A"),
            (limit_both(percent_en(70.0), Metric, Down), "70 % EN (30 % EP)"),
            (limit_in(l_per_min(1.0), Unit::UsGallonPerMinute, Up), "0.27 gal/min"),
            (limits_both(Range::new(celsius(10.0), celsius(50.0)), Metric), "10 to 50 °C (50 to 120 °F)"),
            (limits_both(Range::new(celsius(61.0), celsius(62.0)), Metric), "61 to 62 °C (142 to 144 °F)"),
            (limits_both(Range::new(percent_en(65.0), percent_en(70.0)), Metric), "65 to 70 % EN (30 to 35 % EP)"),
        ] {
            assert_eq!(text, expected);
        }
    }

    #[test]
    fn ranges() {
        for (text, expected) in [
            (range_both(Range::new(l_per_min(7.0), l_per_min(10.0)), Metric), "7 to 10 L/min (15 to 21 cfh)"),
            (range_both(Range::new(mm(5.0), mm(6.0)), Metric), "5 to 6 mm (0.197 to 0.236 in)"),
            (range_both(Range::new(mm(9.0), mm(10.0)), Metric), "9 to 10 mm (0.354 to 0.394 in)"),
            (range(Range::new(mm(1.6), mm(3.0)), Metric), "1.6 to 3.0 mm"),
            (range(Range::new(kj_per_mm(0.95), kj_per_mm(1.1)), Metric), "0.95 to 1.10 kJ/mm"),
            (range(Range::new(seconds(0.5), seconds(10.0)), Metric), "0.5 to 10 s"),
            (range(Range::new(minutes(10.0), minutes(30.0)), Metric), "10 to 30 min"),
            (range(Range::new(seconds(30.0), minutes(5.0)), Metric), "30 s to 5 min"),
            (range(Range::new(seconds(0.0), minutes(5.0)), Metric), "0 to 5 min"),
            (range_both(Range::new(amps(155.0), amps(200.0)), Inch), "155 to 200 A"),
            (range_both(Range::new(percent_en(65.0), percent_en(70.0)), Inch), "65 to 70 % EN (30 to 35 % EP)"),
            (range_both(Range::of(mm(8.0)), Inch), "0.315 in (8 mm)"),
            (range_both(Range::new(celsius(-10.0), celsius(5.0)), Metric), "-10 to 5 °C (14 to 41 °F)"),
            (range_in(Range::new(mm_per_min(80.0), mm_per_min(160.0)), Unit::InchPerMinute), "3.1 to 6.3 in/min"),
        ] {
            assert_eq!(text, expected);
        }
    }

    #[test]
    fn an_author_keeps_the_spelling() {
        for (text, expected) in [
            (stated(&author::<Length>("3/16 in")), "3/16 in (4.76 mm)"),
            (stated(&author::<Length>("0.187 in")), "0.187 in (4.75 mm)"),
            (stated(&author::<Length>("8mm")), "8mm (0.315 in)"),
            (stated(&author::<Length>("1/8 to 1/4 in")), "1/8 to 1/4 in (3.18 to 6.35 mm)"),
            (stated(&author::<EnShare>("30 % EP")), "30 % EP (70 % EN)"),
            (stated(&author::<EnShare>("70 % EN")), "70 % EN (30 % EP)"),
            (stated(&author::<Current>("170 A +/- 10")), "170 A +/- 10"),
            (stated(&author::<Temperature>("120 °C +/- 10")), "120 °C +/- 10 (230 to 266 °F)"),
            (stated(&author::<Speed>("0 m/s")), "0 m/s (0 mph)"),
            (stated_limit(&author::<Temperature>("200 °F"), Toward::Down), "200 °F (93 °C)"),
            (stated_limit(&author::<Temperature>("100 °C"), Toward::Down), "100 °C (210 °F)"),
        ] {
            assert_eq!(text, expected);
        }
        let gauge = Amount { range: Range::of(mm(2.305)), text: "11 ga".to_owned(), system: Inch };
        assert_eq!(stated(&gauge), "11 ga (2.31 mm)");
    }

    #[test]
    fn sold_sizes_and_round_distances() {
        assert_eq!(size_both(mm(2.4), "3/32 in", Metric), "2.4 mm (3/32 in)");
        assert_eq!(size_both(mm(2.4), "3/32 in", Inch), "3/32 in (2.4 mm)");
        for (distance, expected) in [
            (100.0, "100 mm (4 in)"),
            (25.0, "25 mm (1 in)"),
            (30.0, "30 mm (1.2 in)"),
            (15.0, "15 mm (0.6 in)"),
            (7.5, "7.5 mm (0.3 in)"),
            (2.0, "2 mm (0.08 in)"),
        ] {
            assert_eq!(roughly_both(mm(distance), Metric), expected);
        }
        assert_eq!(roughly_both(celsius(20.0), Metric), "20 °C (68 °F)");
        assert_eq!(roughly_both(amps(20.0), Metric), "20 A");
    }

    #[test]
    #[allow(clippy::float_cmp, reason = "JSON numbers are settled to the digit")]
    fn numbers_for_json() {
        assert_eq!((json_value(mm(4.7498)), json_unit(Kind::Length)), (4.7498, "mm"));
        assert_eq!((json_value(celsius(60.0)), json_unit(Kind::Temperature)), (60.0, "°C"));
        assert_eq!((json_value(percent_en(70.0)), json_unit(Kind::EnShare)), (70.0, "% EN"));
        assert_eq!((json_value(l_per_min(8.5)), json_unit(Kind::Flow)), (8.5, "L/min"));
        assert_eq!(json_value_in(minutes(3.5), Unit::Minute), 3.5);
        assert_eq!(json_value(kg(3.1)), 3100.0);
    }
}
