//! What each kind of quantity is called, how it is written, and between which bounds it makes sense.

use super::table::Unit;
use super::{Kind, Range};

/// The bounds of a kind, as numbers in a unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Lowest value.
    pub low: f64,
    /// Highest value.
    pub high: f64,
    /// The unit of both.
    pub unit: Unit,
    /// Whether the lowest value itself is allowed.
    pub low_allowed: bool,
}

/// What is said of a kind.
struct Facts {
    /// `a length`.
    one: &'static str,
    /// `lengths`.
    many: &'static str,
    /// Two or three ways to write one.
    examples: &'static [&'static str],
    /// A range, low to high.
    range: &'static str,
    bounds: Bounds,
}

const fn from(low: f64, high: f64, unit: Unit) -> Bounds {
    Bounds { low, high, unit, low_allowed: true }
}

const fn above_zero_to(high: f64, unit: Unit) -> Bounds {
    Bounds { low: 0.0, high, unit, low_allowed: false }
}

macro_rules! kinds {
    ($($kind:ident: $one:literal, $many:literal, [$($example:literal),*], $range:literal, $bounds:expr;)*) => {
        impl Kind {
            /// All kinds.
            pub const ALL: &'static [Kind] = &[$(Kind::$kind),*];
            fn facts(self) -> Facts {
                match self {
                    $(Kind::$kind => Facts {
                        one: $one, many: $many, examples: &[$($example),*], range: $range, bounds: $bounds,
                    },)*
                }
            }
        }
    };
}

// Bounds are common practice, set wide: they catch a slip of the unit or the decimal point, not a bold choice.
// A length, a time, a flow or a wind speed may be zero (no allowance, no pre-flow, no wind).
// 10 kJ/mm lies beyond any hand process, so that kJ/in written as kJ/mm is caught. Absolute zero is physics; no metal
// welded by hand is read above 2000 °C. A share of electrode negative of 0 or 100 % would be direct current.
kinds! {
    Length: "a length", "lengths", ["6 mm", "1/4 in", "0.236 in"], "5 mm to 8 mm", from(0.0, 100.0, Unit::Metre);
    Area: "an area", "areas", ["120 mm2", "0.2 in2"], "100 mm2 to 150 mm2", from(0.0, 100.0, Unit::SquareMetre);
    Volume: "a volume", "volumes", ["25 L", "2 ft3"], "20 L to 30 L", from(0.0, 100.0, Unit::CubicMetre);
    Mass: "a mass", "masses", ["2.4 kg", "5 lb"], "2 kg to 3 kg", above_zero_to(100_000.0, Unit::Kilogram);
    Current: "a current", "currents", ["180 A"], "160 A to 180 A", above_zero_to(1000.0, Unit::Ampere);
    Voltage: "a voltage", "voltages", ["18 V"], "16 V to 20 V", above_zero_to(1000.0, Unit::Volt);
    Time: "a time", "times", ["10 s", "5 min"], "10 s to 20 s", from(0.0, 48.0, Unit::Hour);
    Frequency: "a frequency", "frequencies", ["110 Hz"], "80 Hz to 120 Hz", above_zero_to(20.0, Unit::Kilohertz);
    Flow: "a flow", "flows", ["8 L/min", "17 cfh"], "7 L/min to 10 L/min", from(0.0, 100.0, Unit::LitrePerMinute);
    Temperature: "a temperature", "temperatures", ["120 °C", "250 °F"], "60 °C to 100 °C",
        from(-273.15, 2000.0, Unit::Celsius);
    TemperatureStep: "a temperature difference", "temperature differences", ["30 K", "54 °F"], "20 K to 30 K",
        from(0.0, 2000.0, Unit::KelvinStep);
    Speed: "a speed", "speeds", ["150 mm/min", "6 in/min"], "120 mm/min to 160 mm/min",
        from(0.0, 100.0, Unit::MetrePerSecond);
    HeatInput: "a heat input", "heat inputs", ["1.2 kJ/mm", "30 kJ/in"], "0.9 kJ/mm to 1.2 kJ/mm",
        above_zero_to(10.0, Unit::KilojoulePerMillimetre);
    Share: "a share", "shares", ["35 %"], "50 % to 90 %", from(0.0, 100.0, Unit::Percent);
    EnShare: "a share of electrode negative", "shares of electrode negative", ["70 % EN", "30 % EP"],
        "65 % EN to 70 % EN", from(1.0, 99.0, Unit::PercentEn);
    HeliumShare: "a share of helium", "shares of helium", ["30 % helium"], "25 % helium to 50 % helium",
        from(0.0, 100.0, Unit::PercentHelium);
    Rotation: "a speed of rotation", "speeds of rotation", ["1800 rpm"], "1500 rpm to 1800 rpm",
        from(0.0, 200_000.0, Unit::RevolutionPerMinute);
    Angle: "an angle", "angles", ["60 deg"], "60 deg to 70 deg", from(0.0, 360.0, Unit::Degree);
}

impl Kind {
    /// With its article: `a length`.
    #[must_use]
    pub fn one(self) -> &'static str {
        self.facts().one
    }
    /// Without article: `length`.
    #[must_use]
    pub fn noun(self) -> &'static str {
        let one = self.one();
        one.split_once(' ').map_or(one, |(_, noun)| noun)
    }
    /// More than one: `lengths`.
    #[must_use]
    pub fn many(self) -> &'static str {
        self.facts().many
    }
    /// Two or three ways to write one.
    #[must_use]
    pub fn examples(self) -> &'static [&'static str] {
        self.facts().examples
    }
    /// How a range is written, low to high.
    #[must_use]
    pub fn range_example(self) -> &'static str {
        self.facts().range
    }
    /// Between which values it is neither impossible nor absurd.
    #[must_use]
    pub fn bounds(self) -> Bounds {
        self.facts().bounds
    }
}

impl Bounds {
    /// The bounds in the SI unit of the kind, ends included; whether the low end itself is allowed says
    /// [`Bounds::low_allowed`].
    #[must_use]
    pub fn si(self) -> Range<f64> {
        Range { low: self.unit.to_si(self.low), high: self.unit.to_si(self.high) }
    }
}

/// The bounds of a kind in its SI unit, beyond which a quantity is refused as absurd.
#[must_use]
pub fn bounds(kind: Kind) -> Range<f64> {
    kind.bounds().si()
}

#[cfg(test)]
mod tests {
    use crate::units::parse::{Context, amount};
    use crate::units::*;

    fn reads<T: Quantity>() {
        let kind = T::KIND;
        for text in kind.examples() {
            assert!(amount::<T>(text, Context::default()).is_ok(), "{text}");
        }
        let range = amount::<T>(kind.range_example(), Context::default());
        assert!(range.is_ok_and(|range| !range.is_single()), "{}", kind.range_example());
        assert!(kind.bounds().low < kind.bounds().high && kind.bounds().unit.kind() == kind);
        assert!(kind.one().ends_with(kind.noun()));
    }

    #[test]
    fn the_examples_of_every_kind_are_read() {
        reads::<Length>();
        reads::<Area>();
        reads::<Volume>();
        reads::<Mass>();
        reads::<Current>();
        reads::<Voltage>();
        reads::<Time>();
        reads::<Frequency>();
        reads::<Flow>();
        reads::<Temperature>();
        reads::<TemperatureStep>();
        reads::<Speed>();
        reads::<HeatInput>();
        reads::<Share>();
        reads::<EnShare>();
        reads::<HeliumShare>();
        reads::<AngularVelocity>();
        reads::<Angle>();
        assert_eq!(Kind::ALL.len(), 18);
    }
}
