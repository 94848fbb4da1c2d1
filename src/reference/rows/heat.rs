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

    /// Heat from 20 °C to liquid.
    melting_enthalpy in "heat_other.toml" gives MeltingEnthalpy key (alloys) {
        /// Names of base metals.
        alloys: Vec<String>,
        /// Mean specific heat from 20 °C to melting, J/kgK.
        specific_heat: f64,
        /// Heat to melt, latent heat included, J/mm3.
        enthalpy: f64,
    }

    /// Mean values to melting for heat flow.
    metal_heat in "heat_other.toml" gives MetalHeat key (classes) {
        /// Classes of base metals.
        classes: Vec<Class>,
        /// Conductivity, W/mK.
        conductivity: f64,
        /// Heat that a volume takes, J/(mm3 K).
        volumetric_heat: f64,
        /// Diffusivity, mm2/s.
        diffusivity: f64,
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

    /// Length and spacing of tacks, mm.
    tack in "heat_other.toml" gives Tack key (class, thickness) {
        /// Class of the base metal.
        class: Class,
        /// Metal thickness, mm.
        thickness: f64,
        /// Length of a tack, mm.
        length: f64,
        /// From tack to tack, mm.
        spacing: [f64; 2],
    }

    /// Ferrite of undiluted weld metal as rods leave it.
    ferrite_typical in "ferrite.toml" gives FerriteTypical key (filler) {
        /// Name of a filler metal.
        filler: String,
        /// Ferrite number.
        ferrite: [f64; 2],
    }

    /// Levels of colour inside a purged tube and the oxygen that made them.
    discoloration_level in "discoloration.toml" gives DiscolorationLevel key (level) {
        /// Number of the sample.
        level: u32,
        /// Oxygen in the backing gas, ppm.
        oxygen: f64,
    }

    /// Colours of heat on a bare metal.
    discoloration in "discoloration.toml" gives Discoloration key (class, scheme, colour) {
        /// Class of the metal.
        class: Class,
        /// What the row belongs to: `heated in air`, or a standard by its short name.
        scheme: String,
        /// The colour.
        colour: String,
        /// Temperature in air that makes it, °C.
        #[serde(default)]
        temperature: Option<f64>,
        /// What is to be done: `accept`, `ask`, `reject`, `cut out`; left out: the scheme does not judge.
        #[serde(default)]
        decision: Option<String>,
    }

    /// What the colours of heat do and do not prove.
    discoloration_rule in "discoloration.toml" gives DiscolorationRule key (class, rule) {
        /// Class of the metal.
        class: Class,
        /// The rule, in a sentence without a full stop.
        rule: String,
    }

    /// Root runs of pipe by outside diameter; the wall is not printed.
    pipe_root in "schedules_ferrous.toml" gives PipeRoot key (metal, outside, source) {
        /// As in the schedules.
        metal: String,
        /// Outside diameter, mm.
        outside: f64,
        /// Welding current, A.
        amperage: [f64; 2],
        /// Arc voltage, V.
        voltage: [f64; 2],
        /// Travel speed, mm/min.
        travel: [f64; 2],
        /// Tungsten diameter, mm.
        tungsten: f64,
        /// Rod diameter, mm.
        rod: f64,
        /// Bore of the cup, mm.
        bore: [f64; 2],
        /// Argon flow, L/min.
        flow: [f64; 2],
    }

    /// Welding current by the size of the rod alone.
    rod_amperage in "schedules_nonferrous.toml" gives RodAmperage key (metal, rod, source) {
        /// Metal of the rod.
        metal: String,
        /// Rod diameter, mm.
        rod: f64,
        /// Welding current on electrode negative, A.
        amperage: [f64; 2],
        /// Gas flow, L/min.
        flow: [f64; 2],
    }
}
