//! Rows of filler metals: what they are, which metal they fit, what cracks.

use super::Class;
use crate::reference::table::{Basis, Cite, Row, Table, TableFile, TableInfo};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::{LazyLock, OnceLock};

tables! {
    /// Filler metals: composition, melting range, density.
    filler in "fillers.toml", "fillers_ferrous.toml", "fillers_nonferrous.toml" gives Filler key (name) {
        /// Classification: `ER4043`, `R-A356.0`.
        name: String,
        /// Other spellings of the same classification.
        #[serde(default)]
        also: Vec<String>,
        /// What it is made of.
        #[serde(default)]
        class: Class,
        /// Composition limits, percent by mass: element in lower case -> `[low, high]`.
        limits: BTreeMap<String, [f64; 2]>,
        /// Solidus and liquidus, °C.
        #[serde(default)]
        melting: Option<[f64; 2]>,
        /// Density, g/cm3.
        density: f64,
        /// Colour after anodising.
        #[serde(default)]
        anodised: Option<String>,
        /// Holds beryllium.
        #[serde(default)]
        beryllium: bool,
        /// Filler metal that this one may stand in for, and never goes before.
        #[serde(default)]
        stands_for: Option<String>,
    }

    /// Least tensile strength of weld metal as its classification asks, MPa.
    filler_strength in "filler_strengths.toml" gives FillerStrength key (filler) {
        /// Name of a filler metal.
        filler: String,
        /// Tensile strength, MPa.
        tensile: f64,
        /// `as welded`, `tempered` or `aged`.
        condition: String,
    }

    /// How filler metals behave in the weld.
    filler_behaviour in "fillers.toml" gives FillerBehaviour key (filler) {
        /// Name of a filler metal.
        filler: String,
        /// Does the weld gain by heat treatment: `yes`, `no`, `by dilution`, `partly`.
        heat_treatment: String,
        /// Fit for sustained service above 65 °C.
        warm_service: bool,
        /// Resistance to hot cracking, 1 (low) to 5 (very high).
        crack_resistance: u8,
        /// Ductility of the weld metal, 1 (very low) to 5 (very high).
        ductility: u8,
        /// Strength of the weld metal as welded against its kind, 1 (low) to 5 (high).
        strength: u8,
        /// Corrosion resistance of the weld in salt water, 1 (low) to 5 (high).
        corrosion: u8,
        /// Minimum shear strength of a fillet weld, MPa.
        #[serde(default)]
        shear: Option<f64>,
    }

    /// Which filler metals are recommended for which pair of base metals and which need, best first.
    filler_choice in "filler_choices.toml", "filler_choices_ferrous.toml", "filler_choices_nonferrous.toml" gives FillerChoice key (a, b, need, source) {
        /// Names of base metals on one side.
        a: Vec<String>,
        /// Names of base metals on the other side; left out: the same alloy on both sides.
        #[serde(default)]
        b: Vec<String>,
        /// `general` or a need of the spec language.
        need: String,
        /// Names of filler metals, best first; empty: none gives a sound weld.
        fillers: Vec<String>,
    }

    /// Ranges of weld-metal composition that crack while they freeze, percent by mass.
    crack_range in "cracking.toml" gives CrackRange key (system) {
        /// `Al-Si`, `Al-Mg`, `Al-Cu`, `Al-Mg2Si`.
        system: String,
        /// Element in lower case, or `mg2si`.
        element: String,
        /// Worst content.
        peak: f64,
        /// Contents to stay out of.
        avoid: [f64; 2],
        /// Clear of trouble from here on.
        safe_above: f64,
    }

    /// Share of melted base metal in the weld, 0 to 1.
    dilution_typical in "cracking.toml" gives DilutionTypical key (joint) {
        /// `none` (no filler), `square butt`, `open butt`, `groove`, `fillet`, `pad`, `root`.
        joint: String,
        /// Share of base metal.
        share: [f64; 2],
    }
}
