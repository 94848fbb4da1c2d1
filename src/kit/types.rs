//! The tables and words of the kit file.

use crate::spec::read::{Text, table, words};
use crate::units::{Amount, Current, Flow, Frequency, Length, Share, Temperature, Time};

words! {
    /// Which system of units comes first.
    pub enum UnitsFirst, "a system of units" { Metric = "metric", Inch = "inch" }
    /// Which share of the AC period the panel counts.
    pub enum Counts, "what the panel counts" { En = "EN", Ep = "EP" }
    /// How the arc starts.
    pub enum Start, "a way of starting" { HighFrequency = "high frequency", Lift = "lift", Scratch = "scratch" }
    /// Remote control of the current.
    pub enum Remote, "a remote control" { Pedal = "pedal", Fingertip = "fingertip", None = "none" }
    /// Cooling of a torch.
    pub enum Cooling, "a cooling" { Air = "air", Water = "water" }
    /// Kind of flowmeter.
    pub enum Meter, "a flowmeter" { Tube = "tube", Orifice = "orifice gauge" }
    /// Gas that a flowmeter is scaled in.
    pub enum Scale, "a scale" { Argon = "argon", Helium = "helium", Air = "air", ArgonCo2 = "argon + CO2" }
    /// Kind of burner.
    pub enum Burner, "a burner" { Soft = "soft", None = "none" }
}

table! {
    /// A shop's equipment and stock.
    pub struct Kit, "the kit" {
        /// Version of this language: 1.
        required format: i64,
        /// The shop.
        table shop: Shop,
        /// Welding machines.
        list machine: Machine,
        /// Torches.
        list torch: Torch,
        /// What lies on the shelf.
        table stock: Stock,
        /// What the shop measures with.
        table measure: Measure,
        /// What the shop heats with.
        table heating: Heating,
    }

    /// The shop.
    pub struct Shop, "[shop]" {
        /// Name.
        optional name: Text,
        /// System of units that comes first.
        optional units: UnitsFirst,
        /// Currency of prices: EUR.
        optional currency: Text,
    }

    /// A welding machine.
    pub struct Machine, "[[machine]]" {
        /// Name by which specs call it.
        required name: Text,
        /// Current range by kind of current.
        required amperage: AmperageRange,
        /// Rated output.
        optional rated: MachineRating,
        /// AC balance.
        optional balance: PanelBalance,
        /// Steps of the panel.
        optional step: PanelStep,
        /// AC frequency range.
        optional frequency: Amount<Frequency>,
        /// Pre-flow range.
        optional pre_flow: Amount<Time>,
        /// Post-flow range.
        optional post_flow: Amount<Time>,
        /// Ways of starting the arc.
        list start: Start,
        /// Remote control.
        optional remote: Remote,
    }

    /// Current range by kind of current.
    pub struct AmperageRange, "amperage" {
        /// On AC.
        optional ac: Amount<Current>,
        /// On DC.
        optional dc: Amount<Current>,
    }

    /// Rated output of a machine.
    pub struct MachineRating, "rated" {
        /// Current.
        required amperage: Amount<Current>,
        /// Duty cycle at that current, of ten minutes.
        required duty_cycle: Amount<Share>,
    }

    /// AC balance as the panel counts it.
    pub struct PanelBalance, "balance" {
        /// Range in what the panel counts.
        required range: Amount<Share>,
        /// What it counts.
        required counts: Counts,
    }

    /// Steps of the panel.
    pub struct PanelStep, "step" {
        /// Of the current.
        optional amperage: Amount<Current>,
        /// Of the balance.
        optional balance: Amount<Share>,
        /// Of the frequency.
        optional frequency: Amount<Frequency>,
    }

    /// A torch.
    pub struct Torch, "[[torch]]" {
        /// Name.
        required name: Text,
        /// Rating.
        optional rated: TorchRating,
        /// Cooling.
        optional cooling: Cooling,
        /// Least coolant flow.
        optional flow: Amount<Flow>,
    }

    /// Rating of a torch.
    pub struct TorchRating, "rated" {
        /// Current on AC.
        optional ac: Amount<Current>,
        /// Current on DC.
        optional dc: Amount<Current>,
        /// Duty cycle.
        optional duty_cycle: Amount<Share>,
    }

    /// What lies on the shelf.
    pub struct Stock, "[stock]" {
        /// Tungsten electrodes.
        list tungsten: StockTungsten,
        /// Cups.
        list cup: StockCup,
        /// Filler rods.
        list rod: StockRod,
        /// Shielding gases.
        list gas: StockGas,
    }

    /// A tungsten on the shelf.
    pub struct StockTungsten, "an entry of tungsten" {
        /// Class: WLa 20.
        required type_ as "type": Text,
        /// Diameter.
        required diameter: Amount<Length>,
    }

    /// A cup on the shelf.
    pub struct StockCup, "an entry of cup" {
        /// Number.
        required number: i64,
        /// For a gas lens.
        optional gas_lens: bool,
    }

    /// A rod on the shelf.
    pub struct StockRod, "an entry of rod" {
        /// Classification: ER4943.
        required name: Text,
        /// Diameter.
        optional diameter: Amount<Length>,
        /// Price.
        optional price: Price,
    }

    /// A gas on the shelf.
    pub struct StockGas, "an entry of gas" {
        /// Name: argon, or argon + 30 % helium.
        required name: Text,
        /// Price.
        optional price: Price,
    }

    /// A price.
    pub struct Price, "price" {
        /// In the currency of the shop.
        required amount: f64,
        /// For which measure: kg, m3, piece.
        required per: Text,
    }

    /// What the shop measures with.
    pub struct Measure, "[measure]" {
        /// Flowmeter.
        optional flowmeter: Flowmeter,
        /// Thermometer.
        optional temperature: Text,
        /// Temperature sticks.
        list temperature_sticks: Amount<Temperature>,
        /// Penetrant.
        optional penetrant: Penetrant,
    }

    /// A flowmeter.
    pub struct Flowmeter, "flowmeter" {
        /// Kind.
        optional type_ as "type": Meter,
        /// Gas of its scale.
        optional scale: Scale,
    }

    /// The shop's penetrant.
    pub struct Penetrant, "penetrant" {
        /// Kind: visible, solvent removable.
        optional kind: Text,
        /// Dwell that the can names.
        optional dwell_on_label: Amount<Time>,
    }

    /// What the shop heats with.
    pub struct Heating, "[heating]" {
        /// Oven.
        optional oven: Oven,
        /// Burner.
        optional burner: Burner,
    }

    /// An oven.
    pub struct Oven, "oven" {
        /// Highest temperature.
        optional maximum: Amount<Temperature>,
        /// Whether it is vented.
        optional vented: bool,
    }
}
