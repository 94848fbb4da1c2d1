//! What a number with a unit is: typed quantities inside, one table of spellings and one formatter at the edge.
//!
//! Inside the crate a quantity is a type of the `uom` library in SI; strings are read by [`parse`] and written by
//! [`show`], and by nothing else. Shares that `uom` cannot tell apart (electrode negative, helium, duty cycle,
//! efficiency) and heat input, which to it is a force, have types of their own.

pub mod decimal;
mod faults;
pub mod kinds;
pub mod parse;
mod scale;
pub mod show;
pub mod sizes;
pub mod table;

use serde::Serialize;
use std::fmt::Debug;

pub use uom::si::f64::{
    Angle, AngularVelocity, Area, ElectricCurrent as Current, ElectricPotential as Voltage, Frequency, Length, Mass,
    Power, TemperatureInterval as TemperatureStep, ThermodynamicTemperature as Temperature, Time, Velocity as Speed,
    Volume, VolumeRate as Flow,
};

/// The kinds of quantity that a spec can state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "the names are the quantities")]
pub enum Kind {
    Length,
    Area,
    Volume,
    Mass,
    Current,
    Voltage,
    Time,
    Frequency,
    Flow,
    Temperature,
    TemperatureStep,
    Speed,
    HeatInput,
    Share,
    EnShare,
    HeliumShare,
    Rotation,
    Angle,
}

/// A quantity that can be read from and written to text.
///
/// [`Quantity::si`] is the value in the coherent SI unit of its kind: m, m2, m3, kg, A, V, s, Hz, m3/s, K (both kinds
/// of temperature), m/s, J/m, 1 (shares), rad/s, rad.
pub trait Quantity: Copy + PartialEq + PartialOrd + Debug + Send + Sync + 'static {
    /// Its kind.
    const KIND: Kind;
    /// From the value in the SI unit of the kind.
    fn from_si(value: f64) -> Self;
    /// The value in the SI unit of the kind.
    fn si(self) -> f64;
}

macro_rules! uom_quantities {
    ($($kind:ident $type:ty, $module:ident :: $unit:ident;)*) => {
        $(impl Quantity for $type {
            const KIND: Kind = Kind::$kind;
            fn from_si(value: f64) -> Self { <$type>::new::<uom::si::$module::$unit>(value) }
            fn si(self) -> f64 { self.get::<uom::si::$module::$unit>() }
        })*
    };
}
uom_quantities! {
    Length Length, length::meter;
    Area Area, area::square_meter;
    Volume Volume, volume::cubic_meter;
    Mass Mass, mass::kilogram;
    Current Current, electric_current::ampere;
    Voltage Voltage, electric_potential::volt;
    Time Time, time::second;
    Frequency Frequency, frequency::hertz;
    Flow Flow, volume_rate::cubic_meter_per_second;
    Temperature Temperature, thermodynamic_temperature::kelvin;
    TemperatureStep TemperatureStep, temperature_interval::kelvin;
    Speed Speed, velocity::meter_per_second;
    Rotation AngularVelocity, angular_velocity::radian_per_second;
    Angle Angle, angle::radian;
}

macro_rules! own_quantities {
    ($($(#[$meta:meta])* $type:ident is $kind:ident;)*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
            pub struct $type(f64);
            impl Quantity for $type {
                const KIND: Kind = Kind::$kind;
                fn from_si(value: f64) -> Self { $type(value) }
                fn si(self) -> f64 { self.0 }
            }
        )*
    };
}
own_quantities! {
    /// Energy brought in by the arc for each length of weld, J/m.
    HeatInput is HeatInput;
    /// Share of each AC period in which the electrode is negative, 0 to 1.
    EnShare is EnShare;
    /// Volume share of helium in the shielding gas, 0 to 1.
    HeliumShare is HeliumShare;
    /// Any other share, 0 to 1: duty cycle, tolerance of a price, dilution.
    Share is Share;
}

/// Which system of units a value is spelt in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum System {
    /// Millimetre, litre, degree Celsius.
    #[default]
    Metric,
    /// Inch, cubic foot, degree Fahrenheit.
    Inch,
}

/// A closed range; `low` is never above `high`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range<T> {
    /// Lower end.
    pub low: T,
    /// Upper end.
    pub high: T,
}

impl<T: Quantity> Range<T> {
    /// A range from two ends in either order.
    #[must_use]
    pub fn new(a: T, b: T) -> Self {
        if b < a { Range { low: b, high: a } } else { Range { low: a, high: b } }
    }
    /// A range of one value.
    #[must_use]
    pub fn of(value: T) -> Self {
        Range { low: value, high: value }
    }
    /// The middle.
    #[must_use]
    pub fn middle(self) -> T {
        T::from_si((self.low.si() + self.high.si()) / 2.0)
    }
    /// Whether the value lies inside, ends included.
    #[must_use]
    pub fn holds(self, value: T) -> bool {
        self.low <= value && value <= self.high
    }
    /// Both ends times a positive factor.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Range::new(T::from_si(self.low.si() * factor), T::from_si(self.high.si() * factor))
    }
    /// The part that lies in both, if any.
    #[must_use]
    pub fn within(self, other: Self) -> Option<Self> {
        let low = if self.low < other.low { other.low } else { self.low };
        let high = if self.high > other.high { other.high } else { self.high };
        (low <= high).then_some(Range { low, high })
    }
}

/// A quantity as an author wrote it: one value or a range, with the spelling kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount<T> {
    /// The value, or both ends of the range. A tolerance `170 A +/- 10` reads as its two ends.
    pub range: Range<T>,
    /// The author's own spelling, white space trimmed.
    pub text: String,
    /// The system of the unit that was written.
    pub system: System,
}

impl<T: Quantity> Amount<T> {
    /// The value; the middle of a range.
    #[must_use]
    pub fn value(&self) -> T {
        self.range.middle()
    }
    /// Whether one value was written, not a range.
    #[must_use]
    pub fn is_single(&self) -> bool {
        self.range.low == self.range.high
    }
}

macro_rules! shorthands {
    ($($(#[$meta:meta])* $make:ident / $get:ident : $type:ty = $factor:expr $(, offset $offset:expr)?;)*) => {
        $(
            $(#[$meta])*
            #[must_use]
            pub fn $make(value: f64) -> $type {
                <$type>::from_si(value * $factor $(+ $offset)?)
            }
        )*
        /// Values in the units that the trade works in.
        pub trait InUnits: Quantity {
            $(
                $(#[$meta])*
                #[must_use]
                fn $get(self) -> f64 where Self: Sized + Into<$type> {
                    let value: $type = self.into();
                    (value.si() $(- $offset)?) / $factor
                }
            )*
        }
        impl<Q: Quantity> InUnits for Q {}
    };
}
shorthands! {
    /// Millimetres.
    mm / in_mm: Length = 1e-3;
    /// Square millimetres.
    mm2 / in_mm2: Area = 1e-6;
    /// Cubic millimetres.
    mm3 / in_mm3: Volume = 1e-9;
    /// Litres.
    litres / in_litres: Volume = 1e-3;
    /// Grams.
    grams / in_grams: Mass = 1e-3;
    /// Kilograms.
    kg / in_kg: Mass = 1.0;
    /// Amperes.
    amps / in_amps: Current = 1.0;
    /// Volts.
    volts / in_volts: Voltage = 1.0;
    /// Seconds.
    seconds / in_seconds: Time = 1.0;
    /// Minutes.
    minutes / in_minutes: Time = 60.0;
    /// Hertz.
    hertz / in_hertz: Frequency = 1.0;
    /// Litres a minute.
    l_per_min / in_l_per_min: Flow = 1e-3 / 60.0;
    /// Degrees Celsius, a point on the scale.
    celsius / in_celsius: Temperature = 1.0, offset 273.15;
    /// Kelvin, a difference.
    kelvin / in_kelvin: TemperatureStep = 1.0;
    /// Millimetres a minute.
    mm_per_min / in_mm_per_min: Speed = 1e-3 / 60.0;
    /// Kilojoules a millimetre.
    kj_per_mm / in_kj_per_mm: HeatInput = 1e6;
    /// Percent electrode negative.
    percent_en / in_percent_en: EnShare = 0.01;
    /// Percent helium.
    percent_helium / in_percent_helium: HeliumShare = 0.01;
    /// Percent.
    percent / in_percent: Share = 0.01;
    /// Revolutions a minute.
    rpm / in_rpm: AngularVelocity = std::f64::consts::TAU / 60.0;
    /// Degrees of arc.
    degrees / in_degrees: Angle = std::f64::consts::PI / 180.0;
}
