//! Rows of qualification: standards, variables, groups, welders.

use crate::reference::qualification::{Class, Rule, Scheme, Variable};
use crate::reference::table::{Basis, Cite, Row, Table, TableFile, TableInfo};
use serde::Deserialize;
use std::sync::{LazyLock, OnceLock};

tables! {
    /// Standards of qualification that the tables hold.
    qualification_standard in "qualification.toml" gives QualificationStandard key (name) {
        /// Name.
        name: String,
        /// Other spellings.
        also: Vec<String>,
        /// Metal that it is for: `aluminium`, `steel` or `any`.
        metal: String,
        /// Forerunner, whose rows stand beside its own.
        #[serde(default)]
        older: Option<String>,
        /// Standard to name in its place, for another metal or for a repair.
        #[serde(default)]
        instead: Option<String>,
        /// Whether its scope names repair: none where that was not read.
        #[serde(default)]
        repair: Option<bool>,
    }

    /// Which change of a procedure makes a new test necessary: mm, °C, A, V, mm/min, L/min, kJ/mm.
    qualification_variable in "qualification.toml" gives QualificationVariable key (standard, variable, rule, tested, from, locator) {
        /// Name of the standard.
        standard: String,
        /// What varies.
        variable: Variable,
        /// How much it matters.
        class: Class,
        /// Basis of the class, where it differs from that of the row.
        #[serde(default)]
        class_basis: Option<Basis>,
        /// How the range follows from the tested value.
        rule: Rule,
        /// The standard's own paragraph; empty where it was not read.
        paragraph: String,
        /// Tested sizes that the row holds for.
        #[serde(default)]
        tested: Option<[f64; 2]>,
        /// Lower end; percent below for a rule of percent.
        #[serde(default)]
        low: Option<f64>,
        /// Lower end as a multiple of the tested value.
        #[serde(default)]
        low_factor: Option<f64>,
        /// Upper end; percent above for a rule of percent.
        #[serde(default)]
        high: Option<f64>,
        /// Upper end as a multiple of the tested value.
        #[serde(default)]
        high_factor: Option<f64>,
        /// Never above this.
        #[serde(default)]
        cap: Option<f64>,
        /// How far it may leave the tested value.
        #[serde(default)]
        by: Option<f64>,
        /// Scheme of groups.
        #[serde(default)]
        scheme: Option<Scheme>,
        /// Whether a table of the standard that is not held may let a group or position cover others.
        #[serde(default)]
        wider: bool,
        /// Joints or positions of the test.
        #[serde(default)]
        from: Vec<String>,
        /// Joints or positions that such a test covers.
        #[serde(default)]
        covers: Vec<String>,
        /// When it matters: `heat-input-specified`, `impact-or-hardness`, `toughness`.
        #[serde(default)]
        when: Option<String>,
    }

    /// Groups of metals, fillers and gases.
    qualification_group in "qualification.toml" gives QualificationGroup key (scheme, group) {
        /// Scheme.
        scheme: Scheme,
        /// Group: `22.4`, `23`, `I1`.
        group: String,
        /// What belongs to it.
        meaning: String,
        /// Alloys or fillers by their names in the tables.
        #[serde(default)]
        names: Vec<String>,
        /// Helium, percent.
        #[serde(default)]
        helium: Option<[f64; 2]>,
    }

    /// What a welder's own qualification covers: mm, months.
    welder_rule in "qualification.toml" gives WelderRule key (standard, variable, rule, tested) {
        /// Name of the standard.
        standard: String,
        /// `thickness`, `position`, `metal`, `confirmed`, `expires`.
        variable: String,
        /// How the range follows from the tested value.
        rule: Rule,
        /// Tested sizes that the row holds for.
        #[serde(default)]
        tested: Option<[f64; 2]>,
        /// Lower end.
        #[serde(default)]
        low: Option<f64>,
        /// Lower end as a multiple of the tested value.
        #[serde(default)]
        low_factor: Option<f64>,
        /// Upper end as a multiple of the tested value.
        #[serde(default)]
        high_factor: Option<f64>,
        /// How long it holds, months.
        #[serde(default)]
        by: Option<f64>,
        /// Scheme of groups.
        #[serde(default)]
        scheme: Option<Scheme>,
        /// Whether a table of the standard that is not held may let it cover more.
        #[serde(default)]
        wider: bool,
        /// Positions of the test.
        #[serde(default)]
        from: Vec<String>,
        /// Positions that such a test covers.
        #[serde(default)]
        covers: Vec<String>,
    }
}
