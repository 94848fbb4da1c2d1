//! The table of units: every spelling of every unit, one row a unit, and nothing else knows a factor.
//!
//! A row gives the kind, the zero point where it is shifted (added to the number first), the factor to the SI unit of
//! the kind, the system, the symbol that is printed and every spelling that is read. Factors are exact by definition:
//! 1 in = 25.4 mm and 1 lb = 0.453 592 37 kg (international yard and pound agreement, 1959), 1 US gal = 231 cu in,
//! 0 °C = 273.15 K, 0 °F = 459.67 steps of 5/9 K.

use super::decimal::settled;
use super::{Kind, Quantity, System};
use std::f64::consts::{PI, TAU};

/// One inch, m.
const INCH: f64 = 0.0254;
/// One foot, m.
const FOOT: f64 = 0.3048;
/// One cubic foot, m3.
const CUBIC_FOOT: f64 = FOOT * FOOT * FOOT;
/// One pound, kg.
const POUND: f64 = 0.453_592_37;
/// One gallon of the United States, m3.
const US_GALLON: f64 = 231.0 * INCH * INCH * INCH;

macro_rules! units {
    ($($name:ident = $kind:ident: $(+ $zero:literal *)? $factor:expr, $system:ident,
        $symbol:literal : $($spelling:literal)*;)*) => {
        /// The units that are read or printed. Those without a spelling are printed only.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Unit { $(#[doc = $symbol] $name,)* }

        impl Unit {
            /// All units, in the order of the table: the first of a kind is its usual one.
            pub const ALL: &'static [Unit] = &[$(Unit::$name),*];
            /// What it measures.
            #[must_use]
            pub fn kind(self) -> Kind {
                match self { $(Unit::$name => Kind::$kind),* }
            }
            /// The SI value of one step of this unit. Negative where it counts downwards, as percent EP does.
            #[must_use]
            pub fn factor(self) -> f64 {
                match self { $(Unit::$name => $factor),* }
            }
            /// What is added to a number in this unit, before the factor.
            #[must_use]
            pub fn zero(self) -> f64 {
                match self { $(Unit::$name => 0.0 $(+ $zero)?),* }
            }
            /// The system that it belongs to; none where both share it.
            #[must_use]
            pub fn system(self) -> Option<System> {
                match self { $(Unit::$name => system::$system),* }
            }
            /// The spelling that is printed.
            #[must_use]
            pub fn symbol(self) -> &'static str {
                match self { $(Unit::$name => $symbol),* }
            }
            /// The spellings that are read, without spaces beside `%`, `°` and `/`.
            #[must_use]
            pub fn spellings(self) -> &'static [&'static str] {
                match self { $(Unit::$name => &[$($spelling),*]),* }
            }
        }
    };
}

/// The third column of the table.
#[allow(non_upper_case_globals, reason = "written in the table like the variants that they stand for")]
mod system {
    use super::System;
    pub(super) const Metric: Option<System> = Some(System::Metric);
    pub(super) const Inch: Option<System> = Some(System::Inch);
    pub(super) const Both: Option<System> = None;
}

units! {
    Millimetre = Length: 1e-3, Metric, "mm": "mm" "millimetre" "millimetres" "millimeter" "millimeters";
    Centimetre = Length: 1e-2, Metric, "cm": "cm" "centimetre" "centimetres" "centimeter" "centimeters";
    Metre = Length: 1.0, Metric, "m": "m" "metre" "metres" "meter" "meters";
    Micrometre = Length: 1e-6, Metric, "µm": "µm" "um" "micrometre" "micrometres" "micrometer" "micrometers";
    Inch = Length: INCH, Inch, "in": "in" "in." "inch" "inches";
    Foot = Length: FOOT, Inch, "ft": "ft" "foot" "feet";
    Thou = Length: INCH * 1e-3, Inch, "thou": "thou";

    SquareMillimetre = Area: 1e-6, Metric, "mm2": "mm2" "sq mm";
    SquareCentimetre = Area: 1e-4, Metric, "cm2": "cm2" "sq cm";
    SquareMetre = Area: 1.0, Metric, "m2": "m2" "sq m";
    SquareInch = Area: INCH * INCH, Inch, "sq in": "in2" "sq in";
    SquareFoot = Area: FOOT * FOOT, Inch, "sq ft": "ft2" "sq ft";

    Litre = Volume: 1e-3, Metric, "L": "L" "l" "litre" "litres" "liter" "liters";
    Millilitre = Volume: 1e-6, Metric, "mL": "mL" "ml";
    CubicMillimetre = Volume: 1e-9, Metric, "mm3": "mm3";
    CubicCentimetre = Volume: 1e-6, Metric, "cm3": "cm3";
    CubicMetre = Volume: 1.0, Metric, "m3": "m3";
    CubicFoot = Volume: CUBIC_FOOT, Inch, "cu ft": "ft3" "cu ft";
    CubicInch = Volume: INCH * INCH * INCH, Inch, "cu in": "in3" "cu in";
    UsGallon = Volume: US_GALLON, Inch, "gal":;

    Kilogram = Mass: 1.0, Metric, "kg": "kg" "kilogram" "kilograms";
    Gram = Mass: 1e-3, Metric, "g": "g" "gram" "grams";
    Pound = Mass: POUND, Inch, "lb": "lb" "lbs" "pound" "pounds";
    Ounce = Mass: POUND / 16.0, Inch, "oz": "oz" "ounce" "ounces";

    Ampere = Current: 1.0, Both, "A": "A" "amp" "amps" "ampere" "amperes";
    Volt = Voltage: 1.0, Both, "V": "V" "volt" "volts";

    Second = Time: 1.0, Both, "s": "s" "sec" "second" "seconds";
    Minute = Time: 60.0, Both, "min": "min" "minute" "minutes";
    Hour = Time: 3600.0, Both, "h": "h" "hr" "hour" "hours";
    Millisecond = Time: 1e-3, Both, "ms": "ms";

    Hertz = Frequency: 1.0, Both, "Hz": "Hz" "hertz";
    Kilohertz = Frequency: 1e3, Both, "kHz": "kHz";

    LitrePerMinute = Flow: 1e-3 / 60.0, Metric, "L/min": "L/min" "l/min" "lpm" "LPM";
    CubicMetrePerHour = Flow: 1.0 / 3600.0, Metric, "m3/h": "m3/h";
    CubicFootPerHour = Flow: CUBIC_FOOT / 3600.0, Inch, "cfh": "cfh" "CFH" "ft3/h" "ft3/hr" "cu ft/h" "cu ft/hr";
    UsGallonPerMinute = Flow: US_GALLON / 60.0, Inch, "gal/min":;

    Celsius = Temperature: + 273.15 * 1.0, Metric, "°C": "°C" "C" "degC" "deg C" "degrees C" "celsius" "℃";
    Fahrenheit = Temperature: + 459.67 * 5.0 / 9.0, Inch, "°F": "°F" "F" "degF" "deg F" "degrees F" "fahrenheit" "℉";
    Kelvin = Temperature: 1.0, Metric, "K": "K" "kelvin";

    CelsiusStep = TemperatureStep: 1.0, Metric, "degrees C": "°C" "C" "degC" "deg C" "degrees C" "℃";
    FahrenheitStep = TemperatureStep: 5.0 / 9.0, Inch, "degrees F": "°F" "F" "degF" "deg F" "degrees F" "℉";
    KelvinStep = TemperatureStep: 1.0, Metric, "K": "K" "kelvin";

    MillimetrePerMinute = Speed: 1e-3 / 60.0, Metric, "mm/min": "mm/min";
    CentimetrePerMinute = Speed: 1e-2 / 60.0, Metric, "cm/min": "cm/min";
    MillimetrePerSecond = Speed: 1e-3, Metric, "mm/s": "mm/s";
    MetrePerSecond = Speed: 1.0, Metric, "m/s": "m/s";
    KilometrePerHour = Speed: 1.0 / 3.6, Metric, "km/h": "km/h" "kph";
    InchPerMinute = Speed: INCH / 60.0, Inch, "in/min": "in/min" "ipm" "IPM";
    FootPerMinute = Speed: FOOT / 60.0, Inch, "ft/min": "ft/min";
    MilePerHour = Speed: 5280.0 * FOOT / 3600.0, Inch, "mph": "mph";

    KilojoulePerMillimetre = HeatInput: 1e6, Metric, "kJ/mm": "kJ/mm";
    JoulePerMillimetre = HeatInput: 1e3, Metric, "J/mm": "J/mm";
    KilojoulePerCentimetre = HeatInput: 1e5, Metric, "kJ/cm": "kJ/cm";
    KilojoulePerInch = HeatInput: 1e3 / INCH, Inch, "kJ/in": "kJ/in";

    Percent = Share: 0.01, Both, "%": "%" "percent";
    PercentEn = EnShare: 0.01, Both, "% EN": "%EN" "EN%" "percent EN";
    PercentEp = EnShare: + -100.0 * -0.01, Both, "% EP": "%EP" "EP%" "percent EP";
    PercentHelium = HeliumShare: 0.01, Both, "% helium": "%helium" "helium%" "%He" "He%" "percent helium";

    RevolutionPerMinute = Rotation: TAU / 60.0, Both, "rpm": "rpm" "RPM" "1/min" "/min" "r/min" "rev/min";

    Degree = Angle: PI / 180.0, Both, "deg": "deg" "°" "degree" "degrees";
}

/// How a sheet gauge is written. A gauge number is no unit: what it means is in the gauge table of the metal.
pub const GAUGE: &[&str] = &["ga", "GA", "gauge"];

impl Unit {
    /// The SI value of a number in this unit.
    ///
    /// Units of the inch system go through the metric one of figures, so that 1/4 in is 6.35 mm to the last bit and
    /// falls on the same side of every border.
    #[must_use]
    pub fn to_si(self, number: f64) -> f64 {
        let exact = (number + self.zero()) * self.factor();
        if self.system() != Some(System::Inch) {
            return exact;
        }
        let metric = Unit::of_figures(self.kind());
        let number = exact / metric.factor() - metric.zero();
        (settled(metric.without_noise(number)) + metric.zero()) * metric.factor()
    }

    /// The unit in which figures of a kind are worked out, rounded and written for programs.
    #[must_use]
    pub fn of_figures(kind: Kind) -> Unit {
        match kind {
            Kind::Length => Unit::Millimetre,
            Kind::Area => Unit::SquareMillimetre,
            Kind::Volume => Unit::Litre,
            Kind::Mass => Unit::Gram,
            Kind::Current => Unit::Ampere,
            Kind::Voltage => Unit::Volt,
            Kind::Time => Unit::Second,
            Kind::Frequency => Unit::Hertz,
            Kind::Flow => Unit::LitrePerMinute,
            Kind::Temperature => Unit::Celsius,
            Kind::TemperatureStep => Unit::KelvinStep,
            Kind::Speed => Unit::MillimetrePerMinute,
            Kind::HeatInput => Unit::KilojoulePerMillimetre,
            Kind::Share => Unit::Percent,
            Kind::EnShare => Unit::PercentEn,
            Kind::HeliumShare => Unit::PercentHelium,
            Kind::Rotation => Unit::RevolutionPerMinute,
            Kind::Angle => Unit::Degree,
        }
    }

    /// The number in this unit of a quantity of its kind, free of the noise that a shifted zero brings.
    #[must_use]
    pub fn number_of<T: Quantity>(self, quantity: T) -> f64 {
        self.without_noise(quantity.si() / self.factor() - self.zero())
    }

    /// A shifted zero costs digits near zero: there the ninth decimal is the last that is kept.
    fn without_noise(self, number: f64) -> f64 {
        if self.zero() == 0.0 { number } else { libm::round(number * 1e9) / 1e9 }
    }

    /// The unit that is printed beside this one: that of the other system, for EN percent that of EP.
    #[must_use]
    pub fn beside(self) -> Option<Unit> {
        Some(match self {
            Unit::Millimetre | Unit::Centimetre => Unit::Inch,
            Unit::Metre => Unit::Foot,
            Unit::Micrometre => Unit::Thou,
            Unit::Inch | Unit::Thou => Unit::Millimetre,
            Unit::Foot => Unit::Metre,
            Unit::SquareMillimetre | Unit::SquareCentimetre => Unit::SquareInch,
            Unit::SquareMetre => Unit::SquareFoot,
            Unit::SquareInch => Unit::SquareMillimetre,
            Unit::SquareFoot => Unit::SquareMetre,
            Unit::Litre | Unit::CubicMetre => Unit::CubicFoot,
            Unit::Millilitre | Unit::CubicMillimetre | Unit::CubicCentimetre => Unit::CubicInch,
            Unit::CubicFoot | Unit::UsGallon => Unit::Litre,
            Unit::CubicInch => Unit::CubicCentimetre,
            Unit::Kilogram => Unit::Pound,
            Unit::Gram => Unit::Ounce,
            Unit::Pound => Unit::Kilogram,
            Unit::Ounce => Unit::Gram,
            Unit::LitrePerMinute | Unit::CubicMetrePerHour => Unit::CubicFootPerHour,
            Unit::CubicFootPerHour | Unit::UsGallonPerMinute => Unit::LitrePerMinute,
            Unit::Celsius | Unit::Kelvin => Unit::Fahrenheit,
            Unit::Fahrenheit => Unit::Celsius,
            Unit::CelsiusStep | Unit::KelvinStep => Unit::FahrenheitStep,
            Unit::FahrenheitStep => Unit::CelsiusStep,
            Unit::MillimetrePerMinute | Unit::CentimetrePerMinute | Unit::MillimetrePerSecond => Unit::InchPerMinute,
            Unit::MetrePerSecond | Unit::KilometrePerHour => Unit::MilePerHour,
            Unit::InchPerMinute => Unit::MillimetrePerMinute,
            Unit::FootPerMinute | Unit::MilePerHour => Unit::MetrePerSecond,
            Unit::KilojoulePerMillimetre | Unit::JoulePerMillimetre | Unit::KilojoulePerCentimetre => {
                Unit::KilojoulePerInch
            }
            Unit::KilojoulePerInch => Unit::KilojoulePerMillimetre,
            Unit::PercentEn => Unit::PercentEp,
            Unit::PercentEp => Unit::PercentEn,
            Unit::Ampere
            | Unit::Volt
            | Unit::Second
            | Unit::Minute
            | Unit::Hour
            | Unit::Millisecond
            | Unit::Hertz
            | Unit::Kilohertz
            | Unit::Percent
            | Unit::PercentHelium
            | Unit::RevolutionPerMinute
            | Unit::Degree => return None,
        })
    }

    /// The unit of this kind that is spelt so. The spelling is cleaned first: see [`clean`].
    #[must_use]
    pub fn find(kind: Kind, written: &str) -> Option<Unit> {
        let cleaned = clean(written);
        of(kind).find(|unit| unit.spellings().contains(&cleaned.as_str()))
    }

    /// The unit of any kind that is spelt so, for saying what was written where another kind was wanted.
    #[must_use]
    pub fn find_any(written: &str) -> Option<Unit> {
        let cleaned = clean(written);
        Unit::ALL.iter().copied().find(|unit| unit.spellings().contains(&cleaned.as_str()))
    }
}

/// The units of a kind, the usual one first.
pub fn of(kind: Kind) -> impl Iterator<Item = Unit> {
    Unit::ALL.iter().copied().filter(move |unit| unit.kind() == kind)
}

/// Every spelling that is read for a kind, gauge numbers left out.
#[must_use]
pub fn spellings(kind: Kind) -> Vec<&'static str> {
    of(kind).flat_map(Unit::spellings).copied().collect()
}

/// Whether this is how a sheet gauge is written.
#[must_use]
pub fn is_gauge(written: &str) -> bool {
    GAUGE.contains(&written)
}

/// One spelling for what looks the same: one kind of micro and degree sign, `²` and `^2` as `2`, single spaces, and
/// none beside `%`, `°` and `/`.
#[must_use]
pub fn clean(written: &str) -> String {
    let tight = |c: char| matches!(c, '%' | '°' | '/');
    let mut cleaned = String::with_capacity(written.len());
    let mut space = false;
    for c in written.trim().chars() {
        let c = match c {
            'μ' => 'µ',
            'º' | '˚' => '°',
            '²' => '2',
            '³' => '3',
            '⁄' | '∕' => '/',
            '^' => continue,
            other => other,
        };
        if c.is_whitespace() {
            space = true;
            continue;
        }
        if space && !tight(c) && !cleaned.ends_with(tight) {
            cleaned.push(' ');
        }
        space = false;
        cleaned.push(c);
    }
    cleaned
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashMap;

    #[test]
    fn no_spelling_stands_for_two_units_of_a_kind() {
        let mut seen = HashMap::new();
        for &unit in Unit::ALL {
            for &spelling in unit.spellings() {
                assert_eq!(clean(spelling), spelling, "{unit:?} is not found under its own spelling");
                assert!(!is_gauge(spelling));
                assert_eq!(seen.insert((unit.kind(), spelling), unit), None, "{spelling}");
            }
        }
    }

    #[test]
    fn the_symbol_is_read_back_unless_the_unit_is_printed_only() {
        let printed_only: Vec<_> = Unit::ALL.iter().filter(|unit| unit.spellings().is_empty()).collect();
        assert_eq!(printed_only, [&Unit::UsGallon, &Unit::UsGallonPerMinute]);
        for &unit in Unit::ALL.iter().filter(|unit| !unit.spellings().is_empty()) {
            assert_eq!(Unit::find(unit.kind(), unit.symbol()), Some(unit));
        }
    }

    #[test]
    fn the_unit_beside_belongs_to_the_other_system() {
        for &unit in Unit::ALL {
            match (unit.system(), unit.beside()) {
                (Some(system), Some(beside)) => {
                    assert_eq!(unit.kind(), beside.kind());
                    assert_ne!(Some(system), beside.system(), "{unit:?}");
                }
                (None, Some(beside)) => assert_eq!((unit.kind(), beside.system()), (Kind::EnShare, None)),
                (system, None) => assert_eq!(system, None, "{unit:?}"),
            }
        }
    }

    #[test]
    fn a_spelling_is_cleaned_of_what_only_looks_different() {
        for (written, cleaned) in [
            (" % EN ", "%EN"),
            ("EN %", "EN%"),
            ("L / min", "L/min"),
            ("° C", "°C"),
            ("μm", "µm"),
            ("ft³ / h", "ft3/h"),
            ("mm^2", "mm2"),
            ("cu\u{a0} ft", "cu ft"),
            ("m m", "m m"),
        ] {
            assert_eq!(clean(written), cleaned);
        }
    }
    #[test]
    #[allow(clippy::float_cmp, reason = "the last bit is what is tested")]
    fn an_inch_unit_is_its_metric_equal_to_the_last_bit() {
        for (inch, number, metric, same) in [
            (Unit::Inch, 0.25, Unit::Millimetre, 6.35),
            (Unit::Inch, 0.1875, Unit::Millimetre, 4.7625),
            (Unit::Fahrenheit, 140.0, Unit::Celsius, 60.0),
            (Unit::Fahrenheit, 212.0, Unit::Celsius, 100.0),
            (Unit::Fahrenheit, 32.0, Unit::Celsius, 0.0),
            (Unit::InchPerMinute, 6.0, Unit::MillimetrePerMinute, 152.4),
            (Unit::PercentEp, 30.0, Unit::PercentEn, 70.0),
            (Unit::FahrenheitStep, 54.0, Unit::KelvinStep, 30.0),
        ] {
            assert_eq!(inch.to_si(number), metric.to_si(same), "{number} {}", inch.symbol());
        }
    }
}
