//! Rows of steels and stainless steels: what the sums of elements are made of, and what they are meant for.

use crate::reference::table::{Basis, Cite, Row, Table, TableFile, TableInfo};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::{LazyLock, OnceLock};

tables! {
    /// Sums of the elements of a steel, each with its divisor or factor.
    equivalent in "ferrous.toml" gives Equivalent key (name) {
        /// What it is called: `CE (IIW)`, `CET`, `Pcm`.
        name: String,
        /// Element in lower case -> number that its content, percent by mass, is divided by.
        #[serde(default)]
        over: BTreeMap<String, f64>,
        /// Element in lower case -> number that its content, percent by mass, is multiplied by.
        #[serde(default)]
        times: BTreeMap<String, f64>,
    }

    /// What a sum of elements is meant for; a value and the contents of the metal have rows of their own.
    equivalent_use in "ferrous.toml" gives EquivalentUse key (name, of) {
        /// Name of the sum.
        name: String,
        /// `value` of the sum itself, or `contents` of the metal.
        of: String,
        /// Element in lower case, or `value` -> least and most, percent by mass.
        limits: BTreeMap<String, [f64; 2]>,
    }

    /// Shape factors of the cooling time: how many ways the heat leaves a weld.
    cooling_shape in "ferrous.toml" gives CoolingShape key (weld) {
        /// `bead on plate`, `run in a butt`, `fillet at a corner`, `fillet in a tee`.
        weld: String,
        /// Factor where the heat spreads in the plane of a thin plate.
        f2: f64,
        /// Factor where the heat spreads in all directions of a thick one.
        f3: f64,
    }

    /// Ferrite that a use of a stainless weld asks for, FN.
    ferrite_use in "ferrous.toml" gives FerriteUse key (wanted_for) {
        /// `against hot cracks`, `general`, `hot service`, `cold service`, `duplex`.
        wanted_for: String,
        /// Least and most, FN.
        ferrite: [f64; 2],
    }

    /// Temperatures at which a stainless steel spoils.
    sensitive_band in "ferrous.toml" gives SensitiveBand key (steel, spoils_by) {
        /// `austenitic`, `low-carbon austenitic`, `ferrite in a weld`, `duplex`.
        steel: String,
        /// What happens there, as it ends the sentence "in this band".
        spoils_by: String,
        /// From and to, °C.
        temperature: [f64; 2],
    }
}
