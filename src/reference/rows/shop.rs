//! Rows of the shop: heat, lens, solvents, hazards.

use crate::reference::table::{Basis, Cite, Row, Table, TableFile, TableInfo};
use serde::Deserialize;
use std::sync::{LazyLock, OnceLock};

tables! {
    /// Preheat and interpass limits, °C.
    preheat in "preheat.toml" gives Preheat key (group, variant, source) {
        /// `general`, `heat-treatable`, `zinc`, `high magnesium`, or a named scope.
        group: String,
        /// `limit`, `hard limit`, `drying`, `oven`, `bake-out`, `witness`.
        variant: String,
        /// Tempers that it holds for; empty: all.
        #[serde(default)]
        tempers: Vec<String>,
        /// Lowest preheat, °C.
        #[serde(default)]
        preheat_min: Option<f64>,
        /// Highest preheat, °C.
        #[serde(default)]
        preheat_max: Option<f64>,
        /// Interpass limit, °C.
        #[serde(default)]
        interpass_max: Option<f64>,
        /// Longest time at temperature, min.
        #[serde(default)]
        minutes_max: Option<f64>,
        /// Leads; all others are witnesses.
        #[serde(default)]
        leads: bool,
    }

    /// Welding filter shades.
    lens_shade in "lens.toml" gives LensShade key (scheme, process, current) {
        /// `US` or `EN 169`.
        scheme: String,
        /// `GTAW`.
        process: String,
        /// Current, A.
        current: [f64; 2],
        /// Lowest shade allowed, or recommended by the scheme.
        minimum: u8,
        /// Shade to start from.
        #[serde(default)]
        start: Option<u8>,
    }

    /// Solvents and cleaners.
    solvent in "solvents.toml" gives Solvent key (name) {
        /// Name.
        name: String,
        /// Word of the spec language that covers it: `acetone`, `alcohol`, `alkaline`, `chlorinated`, `unknown`.
        cleaner: String,
        /// Takes fire.
        flammable: bool,
        /// Makes phosgene under the arc.
        chlorinated: bool,
        /// Flash point, °C.
        #[serde(default)]
        flash_point: Option<f64>,
    }

    /// Dangers: what raises them, how grave, where in the sheet the caution stands. The words stand in `templates/words`.
    hazard in "hazards.toml" gives Hazard key (id) {
        /// Key of its words.
        id: String,
        /// Conditions, any of which raises it; each is a list of facts joined by ` + ` that must all hold.
        trigger: Vec<String>,
        /// `DANGER`, `WARNING`, `CAUTION` or `NOTICE`.
        signal: String,
        /// Section of the sheet, 0 to 9; 0 is the standing block.
        section: u8,
        /// Keys of the steps that it must come before, the first that is there.
        #[serde(default)]
        before: Vec<String>,
        /// True of every job of the process: stands in the block at the head.
        #[serde(default)]
        standing: bool,
        /// Gravest first among those of one signal word: 1 to 99.
        rank: u8,
    }
}
