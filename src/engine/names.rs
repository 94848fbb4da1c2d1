//! The only list of figures: name, unit, rounding. Titles stand in `templates/words`.

use crate::units::Kind;

/// How the numbers of a figure are rounded, once, in the unit of the figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rounding {
    /// To multiples of the step, the nearest.
    Step(f64),
    /// Amperage: 5 A, below 50 A 1 A.
    Amperage,
    /// To a nominal size sold; already one of the list.
    Nominal,
    /// Words, not numbers.
    Word,
}

macro_rules! figures {
    ($($(#[$meta:meta])* $variant:ident = $key:literal, $unit:expr, $kind:expr, $rounding:expr;)*) => {
        /// Name of a figure.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum FigureName { $($(#[$meta])* $variant,)* }
        impl FigureName {
            /// All figures, in the order of the sheet.
            pub const ALL: &'static [FigureName] = &[$(FigureName::$variant),*];
            /// The key in JSON, in `why` and in the words.
            #[must_use]
            pub fn key(self) -> &'static str {
                match self { $(FigureName::$variant => $key),* }
            }
            /// The unit of its numbers, none for words and pure numbers.
            #[must_use]
            pub fn unit(self) -> Option<&'static str> {
                match self { $(FigureName::$variant => $unit),* }
            }
            /// The kind of quantity, for showing it in the other system of units.
            #[must_use]
            pub fn kind(self) -> Option<Kind> {
                match self { $(FigureName::$variant => $kind),* }
            }
            /// How it is rounded.
            #[must_use]
            pub fn rounding(self) -> Rounding {
                match self { $(FigureName::$variant => $rounding),* }
            }
        }
    };
}

use Rounding::{Amperage, Nominal, Step, Word};

figures! {
    /// Welding current of the first pass, part at its start temperature.
    Amperage = "amperage", Some("A"), Some(Kind::Current), Amperage;
    /// Welding current of the first pass while the part warms up.
    AmperageRunning = "amperage_running", Some("A"), Some(Kind::Current), Amperage;
    /// Welding current of the first pass near the interpass limit.
    AmperageWarm = "amperage_warm", Some("A"), Some(Kind::Current), Amperage;
    /// Panel or pedal maximum.
    AmperageMax = "amperage_max", Some("A"), Some(Kind::Current), Amperage;
    /// Polarity.
    Polarity = "polarity", None, None, Word;
    /// AC balance.
    Balance = "balance", Some("% EN"), Some(Kind::EnShare), Step(1.0);
    /// AC frequency.
    Frequency = "frequency", Some("Hz"), Some(Kind::Frequency), Step(5.0);
    /// Tungsten class.
    TungstenType = "tungsten_type", None, None, Word;
    /// Tungsten diameter.
    TungstenDiameter = "tungsten_diameter", Some("mm"), Some(Kind::Length), Nominal;
    /// Length of the taper on the tip.
    TipTaper = "tip_taper", Some("mm"), Some(Kind::Length), Step(0.5);
    /// Included angle of the tip.
    TipAngle = "tip_angle", Some("deg"), Some(Kind::Angle), Step(5.0);
    /// Flat on the tip.
    TipFlat = "tip_flat", Some("mm"), Some(Kind::Length), Step(0.1);
    /// Stick-out of the tungsten from the cup.
    StickOut = "stick_out", Some("mm"), Some(Kind::Length), Step(1.0);
    /// Cup number.
    Cup = "cup", Some("1/16 in"), None, Nominal;
    /// Gas lens or not.
    GasLens = "gas_lens", None, None, Word;
    /// Shielding gas.
    Gas = "gas", None, None, Word;
    /// Gas flow at the cup.
    GasFlow = "gas_flow", Some("L/min"), Some(Kind::Flow), Step(0.5);
    /// Reading of an argon-scaled tube flowmeter that gives this flow.
    FlowmeterReading = "flowmeter_reading", Some("L/min"), Some(Kind::Flow), Step(0.5);
    /// Reynolds number of the gas at the mouth of the cup.
    Reynolds = "reynolds", None, None, Step(10.0);
    /// Gas before the arc.
    PreFlow = "pre_flow", Some("s"), Some(Kind::Time), Step(0.5);
    /// Gas after the arc.
    PostFlow = "post_flow", Some("s"), Some(Kind::Time), Step(0.5);
    /// Filler metal.
    FillerMetal = "filler_metal", None, None, Word;
    /// Rod diameter.
    FillerDiameter = "filler_diameter", Some("mm"), Some(Kind::Length), Nominal;
    /// Share of melted base metal in the weld.
    Dilution = "dilution", Some("%"), Some(Kind::Share), Step(1.0);
    /// Arc voltage.
    ArcVoltage = "arc_voltage", Some("V"), Some(Kind::Voltage), Step(0.5);
    /// Travel speed.
    TravelSpeed = "travel_speed", Some("mm/min"), Some(Kind::Speed), Step(5.0);
    /// Heat input with the code's factor of arc efficiency.
    HeatInput = "heat_input", Some("kJ/mm"), Some(Kind::HeatInput), Step(0.05);
    /// Arc energy, without any efficiency.
    ArcEnergy = "arc_energy", Some("kJ/mm"), Some(Kind::HeatInput), Step(0.05);
    /// Preheat.
    Preheat = "preheat", Some("°C"), Some(Kind::Temperature), Step(5.0);
    /// Interpass limit.
    InterpassMax = "interpass_max", Some("°C"), Some(Kind::Temperature), Step(5.0);
    /// Minutes of arc before a pause.
    ArcMinutesBeforePause = "arc_minutes_before_pause", Some("min"), None, Step(0.5);
    /// Temperature at or below which work goes on.
    ResumeBelow = "resume_below", Some("°C"), Some(Kind::Temperature), Step(5.0);
    /// Time that the part stands warm, up to the interpass limit.
    TimeAtHeat = "time_at_heat", Some("min"), None, Step(5.0);
    /// Share of the heat that the temper stands which this procedure uses up.
    Softening = "softening", Some("%"), Some(Kind::Share), Step(1.0);
    /// Lens shade.
    LensShade = "lens_shade", None, None, Nominal;
    /// Duty cycle of the machine at the panel maximum.
    DutyCycle = "duty_cycle", Some("%"), Some(Kind::Share), Step(1.0);
    /// Diameter of stop holes.
    StopHole = "stop_hole", Some("mm"), Some(Kind::Length), Nominal;
    /// Shape of the opening.
    Groove = "groove", None, None, Word;
    /// Passes, with their values in rows.
    Passes = "passes", None, None, Nominal;
    /// Weld metal.
    FillerMass = "filler_mass", Some("g"), Some(Kind::Mass), Step(1.0);
    /// Rods to lay out.
    Rods = "rods", None, None, Nominal;
    /// Arc time.
    ArcTime = "arc_time", Some("min"), None, Step(0.5);
    /// Shielding gas needed.
    GasVolume = "gas_volume", Some("L"), Some(Kind::Volume), Step(5.0);
    /// Cost of rod and gas.
    Cost = "cost", None, None, Step(0.1);
    /// Penetrant dwell.
    PenetrantDwell = "penetrant_dwell", Some("min"), None, Step(1.0);
    /// Time for the developer before reading.
    DeveloperTime = "developer_time", Some("min"), None, Step(1.0);
    /// Acceptance limits.
    Acceptance = "acceptance", None, None, Word;
    /// Whether the test on record covers this procedure: `inside`, `outside` or `open`.
    Qualification = "qualification", None, None, Word;
    /// Strength left beside the weld.
    HazStrength = "haz_strength", Some("MPa"), None, Step(5.0);
    /// Unbalance added.
    Unbalance = "unbalance", Some("g·mm"), None, Step(1.0);
    /// Ferrite.
    Ferrite = "ferrite", Some("FN"), None, Step(1.0);
    /// Cooling time from 800 to 500 °C.
    CoolingTime = "cooling_time", Some("s"), None, Step(1.0);
}

impl FigureName {
    /// The figure with this key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<FigureName> {
        FigureName::ALL.iter().copied().find(|name| name.key() == key)
    }
}
