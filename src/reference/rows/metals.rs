//! Rows of base metals: what they are, what they bear, what a weld leaves of them.

use super::{Class, Product, Weldability};
use crate::reference::table::{Basis, Cite, Row, Table, TableFile, TableInfo};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::{LazyLock, OnceLock};

tables! {
    /// Base metals: what they are and whether they may be welded.
    alloy in "alloys.toml", "alloys_ferrous.toml", "alloys_nonferrous.toml" gives Alloy key (name) {
        /// Name as the trade writes it: `A356.0`, `6061`, `EN AC-42100`, `S355J2`, `304`, `C95400`.
        name: String,
        /// Other spellings that mean the same alloy.
        #[serde(default)]
        also: Vec<String>,
        /// What kind of metal it is.
        #[serde(default)]
        class: Class,
        /// The word that `family` in a spec takes: `cast aluminium`, `carbon steel`, `austenitic stainless steel`.
        family: String,
        /// Alloying group: `Al-Si-Mg`, `C-Mn`, `Cr-Ni-Mo`.
        group: String,
        /// How it is made.
        product: Product,
        /// Gains strength by heat treatment.
        heat_treatable: bool,
        /// Usual tempers.
        tempers: Vec<String>,
        /// May it be welded by TIG.
        weldability: Weldability,
        /// Why, in one sentence without a full stop.
        why: String,
        /// Group of the preheat table: of aluminium `general`, `heat-treatable`, `zinc`, `high magnesium`; of other
        /// metals a group of `preheat_row`, or `refused`.
        heat_group: String,
        /// Holds beryllium as an alloying element.
        #[serde(default)]
        beryllium: bool,
        /// Alloy whose physical data stand in where this one has none.
        #[serde(default)]
        like: Option<String>,
        /// Typical parts, for recognising it.
        uses: String,
    }

    /// Composition limits of base metals, percent by mass.
    composition in "compositions.toml", "compositions_ferrous.toml", "compositions_nonferrous.toml" gives Composition key (alloy) {
        /// Name of a base metal.
        alloy: String,
        /// Element in lower case -> `[low, high]`; a maximum alone is `[0, max]`.
        limits: BTreeMap<String, [f64; 2]>,
    }

    /// Physical data of base metals at room temperature.
    physical in "physical.toml", "physical_ferrous.toml", "physical_nonferrous.toml" gives Physical key (alloy, temper, property) {
        /// Name of a base metal.
        alloy: String,
        /// Temper, where the value holds for one.
        #[serde(default)]
        temper: Option<String>,
        /// `solidus`, `liquidus` (°C), `density` (g/cm3), `conductivity` (W/mK), `specific heat` (J/kgK); of metals
        /// other than aluminium also `latent heat` (kJ/kg) and `expansion` (µm/mK, from 20 to 100 °C).
        property: String,
        /// The value, in the unit of the property.
        value: f64,
        /// Temperature that it holds for, °C, where it is not room temperature.
        #[serde(default)]
        at: Option<f64>,
    }

    /// Tensile strength of base metals, MPa and percent.
    strength in "strengths.toml", "strengths_ferrous.toml", "strengths_nonferrous.toml" gives Strength key (alloy, temper) {
        /// Name of a base metal.
        alloy: String,
        /// Temper.
        temper: String,
        /// Tensile strength, MPa.
        tensile: f64,
        /// 0.2 % proof strength, MPa.
        proof: f64,
        /// Elongation, percent.
        #[serde(default)]
        elongation: Option<f64>,
    }

    /// Strength beside the weld, MPa.
    haz in "strengths.toml" gives Haz key (alloy, temper, form, thickness) {
        /// Name of a base metal.
        alloy: String,
        /// Tempers that the row holds for.
        temper: Vec<String>,
        /// `extrusion`, `sheet and plate`, `drawn tube`.
        form: String,
        /// Thickness range, mm.
        thickness: [f64; 2],
        /// 0.2 % proof strength away from the weld, MPa.
        proof: f64,
        /// Tensile strength away from the weld, MPa.
        tensile: f64,
        /// 0.2 % proof strength in the heat-affected zone, MPa.
        haz_proof: f64,
        /// Tensile strength in the heat-affected zone, MPa.
        haz_tensile: f64,
    }

    /// Least tensile strength of a welded joint in a procedure test, MPa.
    as_welded in "strengths.toml" gives AsWelded key (alloy) {
        /// Name of a base metal.
        alloy: String,
        /// Tensile strength across the weld, MPa.
        tensile: f64,
    }

    /// Heat treatment that brings a temper back after welding.
    postweld in "postweld.toml" gives Postweld key (alloys, temper) {
        /// Names of base metals.
        alloys: Vec<String>,
        /// Temper that comes of it.
        temper: String,
        /// Solution treatment, °C.
        solution: [f64; 2],
        /// Its time, h.
        #[serde(default)]
        solution_hours: Option<[f64; 2]>,
        /// Ageing, °C.
        #[serde(default)]
        ageing: Option<[f64; 2]>,
        /// Its time, h.
        #[serde(default)]
        ageing_hours: Option<[f64; 2]>,
        /// Days at room temperature where it ages by itself.
        #[serde(default)]
        natural_days: Option<f64>,
    }

    /// What heat does to a temper, and to metals with much magnesium.
    heat_exposure in "exposure.toml" gives HeatExposure key (group, tempers, temperature, kind) {
        /// An alloy, which leads, or a group of the preheat table.
        group: String,
        /// Tempers that it holds for; empty: all that heat can change.
        tempers: Vec<String>,
        /// Temperature, °C.
        temperature: f64,
        /// Time in all, min; left out: any.
        #[serde(default)]
        minutes: Option<f64>,
        /// `harmless`, `softens`, `sensitises`, `cracks`.
        kind: String,
    }

    /// Balance quality grades.
    balance_grade in "balance.toml" gives BalanceGrade key (grade) {
        /// Its name: `G6.3`.
        grade: String,
        /// Speed of the centre of mass about the axis, mm/s.
        speed: f64,
        /// Machines that are typical for it.
        examples: String,
    }

    /// How base metals come out of an anodising bath.
    anodised_base in "surface.toml" gives AnodisedBase key (groups) {
        /// Alloying groups.
        groups: Vec<String>,
        /// Colour.
        colour: String,
        /// Colours of rods that go with it.
        goes_with: Vec<String>,
    }
}
