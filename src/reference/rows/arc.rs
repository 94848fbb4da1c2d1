//! Rows of the arc: schedules, tungstens, cups, gas, wave, sizes sold, and single numbers.

use super::{Class, Polarity};
use crate::reference::table::{Basis, Cite, Row, Table, TableFile, TableInfo};
use serde::Deserialize;
use std::sync::{LazyLock, OnceLock};

tables! {
    /// Published and remembered welding schedules.
    schedule in "schedules.toml", "schedules_ferrous.toml", "schedules_nonferrous.toml" gives Schedule key (metal, source, current, joint, position, thickness) {
        /// `aluminium`, `steel`, `stainless steel`, `copper`, `titanium`, `magnesium`.
        metal: String,
        /// Polarity.
        current: Polarity,
        /// `butt`, `square butt`, `V butt`, `double V butt`, `flanged`, `fillet`, `lap`, `corner`.
        joint: String,
        /// `flat`, `horizontal or vertical`, `overhead`.
        position: String,
        /// Metal thickness, mm.
        thickness: f64,
        /// Welding current, A.
        amperage: [f64; 2],
        /// `argon` or `helium`.
        gas: String,
        /// Tungsten diameter, mm.
        #[serde(default)]
        tungsten: Option<[f64; 2]>,
        /// Rod diameter, mm.
        #[serde(default)]
        rod: Option<[f64; 2]>,
        /// Cup number.
        #[serde(default)]
        cup: Option<[f64; 2]>,
        /// Bore of the cup, mm.
        #[serde(default)]
        bore: Option<[f64; 2]>,
        /// Gas flow, L/min.
        #[serde(default)]
        flow: Option<[f64; 2]>,
        /// Gas of a trailing shield, L/min.
        #[serde(default)]
        trailing: Option<f64>,
        /// Gas behind the root, L/min.
        #[serde(default)]
        backing: Option<f64>,
        /// Arc voltage, V.
        #[serde(default)]
        voltage: Option<f64>,
        /// Travel speed, mm/min.
        #[serde(default)]
        travel: Option<f64>,
        /// Number of passes.
        #[serde(default)]
        passes: Option<u32>,
        /// Leads for its metal, current and joint; all others are witnesses.
        #[serde(default)]
        leads: bool,
    }

    /// Tungsten electrode classes.
    tungsten_class in "tungsten.toml" gives TungstenClass key (name) {
        /// ISO 6848 classification: `WLa 20`.
        name: String,
        /// AWS A5.12 classification of the same composition: `EWLa-2`, and other spellings.
        #[serde(default)]
        also: Vec<String>,
        /// Oxide, or `none`.
        oxide: String,
        /// Colour of the tip band; editions clash.
        colour: String,
        /// Radioactive: never chosen by default.
        #[serde(default)]
        thoriated: bool,
        /// Order of choice on AC, 1 first; left out: not chosen.
        #[serde(default)]
        ac_rank: Option<u8>,
        /// Order of choice on DCEN, 1 first; left out: not chosen.
        #[serde(default)]
        dc_rank: Option<u8>,
    }

    /// Current that a tungsten carries in argon, A.
    tungsten_current in "tungsten.toml" gives TungstenCurrent key (source, diameter, polarity, balance, kind) {
        /// Diameter, mm.
        diameter: f64,
        /// Polarity.
        polarity: Polarity,
        /// Percent electrode negative that the row holds for, on AC: 50 (balanced) or 70 (unbalanced).
        #[serde(default)]
        balance: Option<f64>,
        /// `oxide` or `pure`.
        kind: String,
        /// Current, A.
        current: [f64; 2],
        /// Leads; all others are witnesses.
        #[serde(default)]
        leads: bool,
    }

    /// Tip of the tungsten on DCEN.
    tungsten_tip in "tungsten.toml" gives TungstenTip key (diameter, angle) {
        /// Diameter, mm.
        diameter: f64,
        /// Flat on the tip, mm.
        flat: f64,
        /// Included angle, degrees.
        angle: f64,
        /// Current, A.
        current: [f64; 2],
    }

    /// Sizes sold, with both names.
    sold_size in "sizes.toml" gives SoldSize key (what, mm) {
        /// `tungsten`, `rod` or `drill`.
        what: String,
        /// Nominal size, mm.
        mm: f64,
        /// The size sold in its place in inch countries: `3/32 in`.
        inch: String,
        /// Length of a straight rod, mm, metric and inch trade.
        #[serde(default)]
        lengths: Vec<f64>,
    }

    /// Sheet gauges.
    gauge in "sizes.toml" gives Gauge key (system, number) {
        /// `aluminium`, `steel sheet`, `tube`.
        system: String,
        /// Gauge number.
        number: u32,
        /// Thickness, mm.
        mm: f64,
    }

    /// Rod diameters by current, mm.
    rod_current in "sizes.toml" gives RodCurrent key (current) {
        /// Current, A.
        current: [f64; 2],
        /// Rod diameter, mm.
        diameter: [f64; 2],
    }

    /// Gas cups.
    cup in "cup_and_gas.toml" gives Cup key (number) {
        /// Number: bore in sixteenths of an inch.
        number: u32,
        /// Bore, mm.
        bore: f64,
    }

    /// Published gas flows.
    gas_flow in "cup_and_gas.toml" gives GasFlow key (source, polarity, current, thickness) {
        /// Polarity, where the row is by current.
        #[serde(default)]
        polarity: Option<Polarity>,
        /// Current, A.
        #[serde(default)]
        current: Option<[f64; 2]>,
        /// Metal thickness, mm.
        #[serde(default)]
        thickness: Option<[f64; 2]>,
        /// Tungsten diameter, mm.
        #[serde(default)]
        tungsten: Option<f64>,
        /// Bore of the cup, mm.
        bore: [f64; 2],
        /// Argon flow, L/min.
        argon: [f64; 2],
        /// Helium flow, L/min.
        #[serde(default)]
        helium: Option<f64>,
    }

    /// Shielding gases at 20 °C and 101.325 kPa.
    gas_property in "cup_and_gas.toml" gives GasProperty key (gas) {
        /// `argon`, `helium`, `air`, `nitrogen`.
        gas: String,
        /// Density, kg/m3.
        density: f64,
        /// Dynamic viscosity, µPa·s.
        #[serde(default)]
        viscosity: Option<f64>,
        /// Molar mass, g/mol.
        #[serde(default)]
        molar_mass: Option<f64>,
    }

    /// AC balance by the state of the surface, percent electrode negative.
    balance_band in "ac.toml" gives BalanceBand key (surface) {
        /// `clean wrought`, `bright casting`, `weathered`.
        surface: String,
        /// Percent electrode negative.
        balance: [f64; 2],
    }

    /// AC frequency by thickness, Hz.
    frequency_band in "ac.toml" gives FrequencyBand key (thickness) {
        /// Metal thickness, mm.
        thickness: [f64; 2],
        /// Frequency, Hz.
        frequency: [f64; 2],
    }

    /// Published statements on the AC wave that are shown, not calculated with.
    ac_study in "ac.toml" gives AcStudy key (fact) {
        /// What it says, in one sentence without a full stop.
        fact: String,
        /// Sign of the effect of more electrode positive on melting: 1 more, -1 less, 0 none stated.
        sign: i8,
    }

    /// Single numbers that formulas use.
    constant in "constants.toml" gives ConstantRow key (key, metals) {
        /// Key that the code asks for.
        key: String,
        /// What it is.
        meaning: String,
        /// The value, or the aim where there is a range.
        value: f64,
        /// Range, where it has one.
        #[serde(default)]
        range: Option<[f64; 2]>,
        /// Unit; `1` where it has none.
        unit: String,
        /// Kinds of metal that it holds for in place of the row without any; the row without holds for all others.
        #[serde(default)]
        metals: Vec<Class>,
    }
}
