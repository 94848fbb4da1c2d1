//! Rows of heat and shielding of metals other than aluminium: preheat, heat after welding, colours, ferrite, travel.

use super::{Class, Polarity};
use crate::reference::table::{Basis, Cite, Row, Table, TableFile, TableInfo};
use serde::Deserialize;
use std::sync::{LazyLock, OnceLock};

tables! {
    /// Preheat and interpass temperature of metals other than aluminium.
    preheat_row in "preheat_other.toml" gives PreheatRow key (group, alloys, thickness, condition, source) {
        /// Heat group of the base metals.
        group: String,
        /// Names of the base metals that it holds for; left out: all of the group.
        #[serde(default)]
        alloys: Vec<String>,
        /// Wall thickness, mm, above the low and up to the high end; left out: any.
        #[serde(default)]
        thickness: Option<[f64; 2]>,
        /// Preheat, °C; left out: none needed, dry and warm to the touch.
        #[serde(default)]
        preheat: Option<[f64; 2]>,
        /// Highest interpass temperature, °C; left out: the row sets none.
        #[serde(default)]
        interpass_max: Option<f64>,
        /// When it holds, in a few words; empty: always.
        condition: String,
        /// Leads for its metals and thickness; all others are witnesses.
        #[serde(default)]
        leads: bool,
    }

    /// What heat does the metal after welding.
    treatment in "postweld_other.toml" gives Treatment key (alloys, kind, temperature, when, source) {
        /// Names of base metals.
        alloys: Vec<String>,
        /// `stress relief`, `temper`, `slow cooling`, `solution anneal`, `age`, `homogenise`, `none`, `avoid`.
        kind: String,
        /// Temperature, °C.
        #[serde(default)]
        temperature: Option<[f64; 2]>,
        /// Time for each mm of wall, min.
        #[serde(default)]
        minutes_per_mm: Option<f64>,
        /// Time, h.
        #[serde(default)]
        hours: Option<[f64; 2]>,
        /// When and how, in a sentence without a full stop.
        when: String,
    }

    /// Polarity, gas and the gas behind the root, usual way first.
    shielding in "shielding.toml" gives Shielding key (class, alloys, polarity, gas) {
        /// Class of the base metal.
        class: Class,
        /// Names of the base metals that it holds for and leads for; left out: the rest of the class.
        #[serde(default)]
        alloys: Vec<String>,
        /// Polarity.
        polarity: Polarity,
        /// `argon`, `helium`, `argon + 1-2 % nitrogen`, `argon-helium`.
        gas: String,
        /// Wall thickness, mm, up to which the row is the usual way; left out: any.
        #[serde(default)]
        up_to: Option<f64>,
        /// Gas behind an open root: `none`, `argon`, `argon or nitrogen`.
        backing: String,
        /// How to purge, in a sentence without a full stop; empty: not needed.
        #[serde(default)]
        purge: String,
        /// Needs a trailing shield.
        #[serde(default)]
        trailing: bool,
        /// The torch and trailing gas stay on until the metal is below this, °C.
        #[serde(default)]
        shield_until: Option<f64>,
    }

    /// Heat input that the metal takes without harm, kJ/mm.
    heat_window in "heat_other.toml" gives HeatWindow key (alloys) {
        /// Names of base metals.
        alloys: Vec<String>,
        /// Heat input, kJ/mm.
        heat_input: [f64; 2],
    }

    /// Travel speed of manual TIG, mm/min.
    travel in "heat_other.toml" gives Travel key (classes, work, thickness) {
        /// Classes of base metals; empty: all.
        classes: Vec<Class>,
        /// `butt in one run`, `run`, `fill`, `build-up`.
        work: String,
        /// Metal thickness, mm.
        thickness: [f64; 2],
        /// Speed, mm/min.
        speed: [f64; 2],
    }

    /// Ferrite of undiluted weld metal as rods leave it.
    ferrite_typical in "ferrite.toml" gives FerriteTypical key (filler) {
        /// Name of a filler metal.
        filler: String,
        /// Ferrite number.
        ferrite: [f64; 2],
    }

}
