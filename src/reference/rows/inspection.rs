//! Rows of testing: limits of acceptance, penetrant.

use super::Flaw;
use crate::reference::table::{Basis, Cite, Row, Table, TableFile, TableInfo};
use serde::Deserialize;
use std::sync::{LazyLock, OnceLock};

tables! {
    /// Standards of acceptance: how they are called, their levels, and for which metal they are.
    acceptance_standard in "acceptance.toml" gives AcceptanceStandard key (name) {
        /// Name as the sheet prints it: `ISO 10042`.
        name: String,
        /// Other spellings.
        #[serde(default)]
        also: Vec<String>,
        /// Levels or classes; empty where it has none.
        levels: Vec<String>,
        /// `weld` or `mark`: what it limits.
        of: String,
        /// `aluminium`, `steel` or `any`.
        metal: String,
        /// The one that is meant for aluminium, where this one is for another metal.
        #[serde(default)]
        instead: Option<String>,
    }

    /// Limits of acceptance, mm: `min(base + factor * of, cap)`.
    acceptance in "acceptance.toml" gives Acceptance key (standard, level, flaw, joint, above) {
        /// Name of the standard; `shop` for what holds whatever is named.
        standard: String,
        /// Level or class; empty where the standard has none.
        level: String,
        /// What is limited.
        flaw: Flaw,
        /// `butt` or `fillet`; any where left out.
        #[serde(default)]
        joint: Option<String>,
        /// For walls thicker than this, mm.
        above: f64,
        /// For walls up to this, mm.
        #[serde(default)]
        to: Option<f64>,
        /// Whether any is allowed.
        #[serde(default)]
        permitted: bool,
        /// What is added, mm.
        #[serde(default)]
        base: f64,
        /// Share of the size named by `of`.
        #[serde(default)]
        factor: f64,
        /// `t` wall, `s` depth of a butt weld, `a` throat of a fillet, `b` width of the bead.
        #[serde(default)]
        of: Option<String>,
        /// The most, mm.
        #[serde(default)]
        cap: Option<f64>,
        /// Allowed in short lengths alone.
        #[serde(default)]
        short: bool,
        /// Marks in a row that are too many where their gaps are `cap` or less.
        #[serde(default)]
        count: Option<u32>,
        /// `high`, `medium` or `low`: how well a row from memory is remembered.
        #[serde(default)]
        sure: Option<String>,
    }

    /// The class of penetrant testing that stands beside a level of a weld.
    acceptance_by_dye in "acceptance.toml" gives AcceptanceByDye key (standard, level) {
        /// Name of the standard of the weld.
        standard: String,
        /// Its level.
        level: String,
        /// Name of the standard of the marks.
        marks: String,
        /// Its level.
        marks_level: String,
    }

    /// Penetrant dwell, minutes.
    penetrant_dwell in "penetrant.toml" gives PenetrantDwell key (scheme, forms) {
        /// Standard or manual by its own short name: `ASME V`, `T.O. 33B-1-1`, `house rule`.
        scheme: String,
        /// `casting`, `weld`, `wrought`, `from service`, `any`.
        forms: Vec<String>,
        /// Shortest penetrant dwell, min.
        dwell: f64,
        /// Shortest developer time, min.
        #[serde(default)]
        developer: Option<f64>,
    }

    /// Other times, temperatures and light of a penetrant test.
    penetrant_limit in "penetrant.toml" gives PenetrantLimit key (what, scheme) {
        /// `reading window`, `solvent off`, `solvent off, flooded`, `wipe to developer`, `longest dwell`, `temperature`,
        /// `light`, `lamp`, `darkness`, `eyes in the dark`, `cold range`, `cold factor`, `warm range`, `warm factor`,
        /// `zone`, `recut`.
        what: String,
        /// Standard or manual by its own short name.
        scheme: String,
        /// The limits, in the unit.
        #[serde(default)]
        range: Option<[f64; 2]>,
        /// A single value, in the unit.
        #[serde(default)]
        value: Option<f64>,
        /// `min`, `°C`, `lux`, `W/m²`, `1`, `mm`.
        unit: String,
    }
}
