//! Which unit a quantity is shown in, and how many decimals of it a dial, a rule or a gauge can show.

use super::table::Unit;
use super::{Kind, Quantity, System};

/// Decimals that are worth printing of a number in a unit.
pub(super) fn decimals(unit: Unit, number: f64) -> usize {
    let number = number.abs();
    // Decimals below each border; none above the last.
    let by = |borders: &[(f64, usize)]| {
        borders.iter().find(|(border, _)| number < *border).map_or(0, |(_, decimals)| *decimals)
    };
    match unit {
        // From 10 mm a rule measures, below it a caliper.
        Unit::Inch => by(&[(0.39, 3), (100.0, 2), (f64::INFINITY, 1)]),
        Unit::Millimetre
        | Unit::Centimetre
        | Unit::Metre
        | Unit::SquareCentimetre
        | Unit::SquareMetre
        | Unit::SquareFoot
        | Unit::CubicMetre => by(&[(1.0, 3), (10.0, 2), (100.0, 1)]),
        Unit::SquareInch => by(&[(0.1, 4), (1.0, 3), (10.0, 2), (100.0, 1)]),
        Unit::Foot | Unit::SquareMillimetre | Unit::Kilogram => by(&[(10.0, 2), (100.0, 1)]),
        Unit::Pound | Unit::Ounce | Unit::Minute => by(&[(1.0, 2), (100.0, 1)]),
        Unit::Litre
        | Unit::Millilitre
        | Unit::CubicCentimetre
        | Unit::CubicFoot
        | Unit::CubicInch
        | Unit::UsGallon
        | Unit::Second
        | Unit::Hour => by(&[(1.0, 2), (10.0, 1)]),
        Unit::Ampere => by(&[(20.0, 1)]),
        Unit::InchPerMinute => by(&[(100.0, 1)]),
        Unit::Volt | Unit::LitrePerMinute | Unit::CentimetrePerMinute | Unit::KilojoulePerCentimetre => 1,
        Unit::Percent | Unit::PercentEn | Unit::PercentEp | Unit::PercentHelium => 1,
        Unit::Kilohertz | Unit::CubicMetrePerHour | Unit::UsGallonPerMinute | Unit::KilojoulePerMillimetre => 2,
        Unit::Micrometre
        | Unit::Thou
        | Unit::CubicMillimetre
        | Unit::Gram
        | Unit::Millisecond
        | Unit::Hertz
        | Unit::CubicFootPerHour
        | Unit::MillimetrePerMinute
        | Unit::MillimetrePerSecond
        | Unit::MetrePerSecond
        | Unit::KilometrePerHour
        | Unit::FootPerMinute
        | Unit::MilePerHour
        | Unit::KilojoulePerInch
        | Unit::Degree => by(&[(10.0, 1)]),
        Unit::Celsius
        | Unit::Fahrenheit
        | Unit::Kelvin
        | Unit::CelsiusStep
        | Unit::FahrenheitStep
        | Unit::KelvinStep => 0,
        Unit::JoulePerMillimetre | Unit::RevolutionPerMinute => 0,
    }
}

/// The unit that a quantity of this size is shown in, in this system.
#[must_use]
pub fn usual<T: Quantity>(quantity: T, system: System) -> Unit {
    let size = quantity.si().abs();
    let pick = |metric, inch| if system == System::Metric { metric } else { inch };
    match T::KIND {
        Kind::Length if size >= 3.0 => pick(Unit::Metre, Unit::Foot),
        Kind::Length => pick(Unit::Millimetre, Unit::Inch),
        Kind::Area if size >= 1.0 => pick(Unit::SquareMetre, Unit::SquareFoot),
        Kind::Area => pick(Unit::SquareMillimetre, Unit::SquareInch),
        Kind::Volume if size > 0.0 && size < 1e-3 => pick(Unit::CubicCentimetre, Unit::CubicInch),
        Kind::Volume => pick(Unit::Litre, Unit::CubicFoot),
        Kind::Mass if system == System::Metric => {
            if size < 1.0 {
                Unit::Gram
            } else {
                Unit::Kilogram
            }
        }
        Kind::Mass => {
            if size < Unit::Pound.factor() {
                Unit::Ounce
            } else {
                Unit::Pound
            }
        }
        Kind::Current => Unit::Ampere,
        Kind::Voltage => Unit::Volt,
        Kind::Time => usual_time(size),
        Kind::Frequency if size >= 1e3 => Unit::Kilohertz,
        Kind::Frequency => Unit::Hertz,
        Kind::Flow => pick(Unit::LitrePerMinute, Unit::CubicFootPerHour),
        Kind::Temperature => pick(Unit::Celsius, Unit::Fahrenheit),
        Kind::TemperatureStep => pick(Unit::CelsiusStep, Unit::FahrenheitStep),
        // Wind and the like; no torch is moved at 6 m/min by hand.
        Kind::Speed if size >= 0.1 => pick(Unit::MetrePerSecond, Unit::MilePerHour),
        Kind::Speed => pick(Unit::MillimetrePerMinute, Unit::InchPerMinute),
        Kind::HeatInput => pick(Unit::KilojoulePerMillimetre, Unit::KilojoulePerInch),
        Kind::Share => Unit::Percent,
        Kind::EnShare => Unit::PercentEn,
        Kind::HeliumShare => Unit::PercentHelium,
        Kind::Rotation => Unit::RevolutionPerMinute,
        Kind::Angle => Unit::Degree,
    }
}

/// Seconds to two minutes unless whole minutes, minutes to two hours, then hours unless that would hide minutes.
fn usual_time(seconds: f64) -> Unit {
    let whole = |unit: f64| libm::fabs(libm::remainder(seconds, unit)) < 1e-6;
    if seconds < 60.0 || seconds < 120.0 && !whole(60.0) {
        Unit::Second
    } else if seconds < 7200.0 || !whole(1800.0) {
        Unit::Minute
    } else {
        Unit::Hour
    }
}
