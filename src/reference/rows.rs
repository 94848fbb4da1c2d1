//! What a row of each table holds. The unit of each field stands in its line; every pair is `[low, high]`.

use super::qualification::{Class, Rule, Scheme, Variable};
use super::table::{Basis, Cite, Row, Table, TableInfo};
use serde::Deserialize;
use std::{collections::BTreeMap, sync::LazyLock};

/// Declares the row types and, for each, its table: the file, the name of the array of tables and the function that
/// gives it. One line a field, with its meaning and unit.
macro_rules! tables {
    ($(
        $(#[$meta:meta])*
        $table:ident in $file:literal gives $row:ident key ($($key:ident),*) {
            $( $(#[$field_meta:meta])* $field:ident : $type:ty, )*
        }
    )*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, Deserialize)]
            #[serde(deny_unknown_fields)]
            pub struct $row {
                $( $(#[$field_meta])* pub $field: $type, )*
                /// Key of a row of the table of sources.
                pub source: String,
                /// Page, table, clause or paragraph.
                pub locator: String,
                /// How well the fact is founded.
                pub basis: Basis,
                /// What a reader of the table should know besides.
                #[serde(default)]
                pub note: Option<String>,
            }
            impl Row for $row {
                fn cite(&'static self) -> Cite {
                    Cite { source: &self.source, locator: &self.locator, basis: self.basis }
                }
                fn key(&self) -> String {
                    let parts: Vec<String> = vec![$( format!("{:?}", self.$key) ),*];
                    parts.join(" ")
                }
            }
            $(#[$meta])*
            #[must_use]
            pub fn $table() -> &'static Table<$row> {
                static TABLE: LazyLock<Table<$row>> =
                    LazyLock::new(|| Table::read(include_str!($file), stringify!($table)));
                &TABLE
            }
        )*
        pub(super) fn infos() -> Vec<TableInfo> {
            vec![$( TableInfo {
                name: stringify!($table),
                file: $file,
                text: include_str!($file),
                check: || {
                    let table: Table<$row> = Table::try_read(include_str!($file), stringify!($table))?;
                    let rows: &'static [$row] = Box::leak(table.rows.into_boxed_slice());
                    Ok(rows.iter().map(|row| (row.key(), row.cite())).collect())
                },
            } ),*]
        }
    };
}

/// Can this metal be welded by TIG.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Weldability {
    /// Yes, with the usual care.
    Good,
    /// With doubt: the reason is printed and the sheet heads with caution.
    Limited,
    /// Not by arc: the repair is refused.
    Refused,
}

/// How the metal came to its shape, as far as welding cares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Product {
    /// Sheet, plate, extrusion, forging, tube.
    Wrought,
    /// Sand, permanent mould, investment, low-pressure casting.
    Cast,
    /// High-pressure die casting.
    Die,
}

/// Electrode polarity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum Polarity {
    /// Alternating current.
    AC,
    /// Direct current, electrode negative.
    DCEN,
    /// Direct current, electrode positive.
    DCEP,
}

/// A flaw of a weld, or a mark of a penetrant test, that an acceptance standard limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Flaw {
    /// Crack.
    Crack,
    /// Crack in the end crater.
    CraterCrack,
    /// Lack of fusion that shows.
    Fusion,
    /// Pore in the surface.
    Pore,
    /// Pipe in the end crater.
    CraterPipe,
    /// Root not melted through.
    Root,
    /// Pores in the root.
    RootPore,
    /// Undercut of any length.
    Undercut,
    /// Undercut that runs on.
    UndercutLong,
    /// Undercut in short lengths.
    UndercutShort,
    /// Groove beside the root bead.
    Shrinkage,
    /// Weld below the face of the part.
    Underfill,
    /// Weld proud of the face.
    Excess,
    /// Fillet proud of its flat face.
    Convexity,
    /// Root hanging through.
    Penetration,
    /// Weld metal that lies on the part without joining it.
    Overlap,
    /// Faces out of line.
    Misalignment,
    /// Mark of the dye over three times as long as wide.
    MarkLong,
    /// Any other mark of the dye.
    MarkRound,
    /// Marks of the dye in a row.
    MarkRow,
    /// Size up to which a mark of the dye does not count.
    MarkCounts,
}

impl Flaw {
    /// All, in the order of the sheet.
    pub const ALL: [Flaw; 21] = [
        Flaw::Crack,
        Flaw::CraterCrack,
        Flaw::Fusion,
        Flaw::Pore,
        Flaw::CraterPipe,
        Flaw::Root,
        Flaw::RootPore,
        Flaw::Undercut,
        Flaw::UndercutLong,
        Flaw::UndercutShort,
        Flaw::Shrinkage,
        Flaw::Underfill,
        Flaw::Excess,
        Flaw::Convexity,
        Flaw::Penetration,
        Flaw::Overlap,
        Flaw::Misalignment,
        Flaw::MarkLong,
        Flaw::MarkRound,
        Flaw::MarkRow,
        Flaw::MarkCounts,
    ];

    /// Whether it is a mark of the dye.
    #[must_use]
    pub fn by_dye(self) -> bool {
        matches!(self, Flaw::MarkLong | Flaw::MarkRound | Flaw::MarkRow | Flaw::MarkCounts)
    }
}

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

    /// Base metals: what they are and whether they may be welded.
    alloy in "alloys.toml" gives Alloy key (name) {
        /// Name as the trade writes it: `A356.0`, `6061`, `EN AC-42100`.
        name: String,
        /// Other spellings that mean the same alloy.
        #[serde(default)]
        also: Vec<String>,
        /// `cast aluminium` or `wrought aluminium`: the word that `family` in a spec takes.
        family: String,
        /// Alloying group: `Al-Si-Mg`, `Al-Mg`.
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
        /// Group of the preheat table: `general`, `heat-treatable`, `zinc`.
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
    composition in "compositions.toml" gives Composition key (alloy) {
        /// Name of a base metal.
        alloy: String,
        /// Element in lower case -> `[low, high]`; a maximum alone is `[0, max]`.
        limits: BTreeMap<String, [f64; 2]>,
    }

    /// Physical data of base metals at room temperature.
    physical in "physical.toml" gives Physical key (alloy, temper, property) {
        /// Name of a base metal.
        alloy: String,
        /// Temper, where the value holds for one.
        #[serde(default)]
        temper: Option<String>,
        /// `solidus`, `liquidus` (°C), `density` (g/cm3), `conductivity` (W/mK), `specific heat` (J/kgK).
        property: String,
        /// The value, in the unit of the property.
        value: f64,
        /// Temperature that it holds for, °C, where it is not room temperature.
        #[serde(default)]
        at: Option<f64>,
    }

    /// Tensile strength of base metals, MPa and percent.
    strength in "strengths.toml" gives Strength key (alloy, temper) {
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

    /// Essential variables that a run record can show, by standard.
    essential in "essential.toml" gives EssentialRow key (standard, figure) {
        /// Name of the standard.
        standard: String,
        /// Key of the figure.
        figure: String,
        /// What a welder calls it, in lower case.
        words: Vec<String>,
        /// What wants a new test.
        by: String,
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

    /// Filler metals: composition, melting range, density.
    filler in "fillers.toml" gives Filler key (name) {
        /// Classification: `ER4043`, `R-A356.0`.
        name: String,
        /// Other spellings of the same classification.
        #[serde(default)]
        also: Vec<String>,
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
    filler_choice in "filler_choices.toml" gives FillerChoice key (a, b, need, source) {
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

    /// Published and remembered welding schedules.
    schedule in "schedules.toml" gives Schedule key (source, current, joint, position, thickness) {
        /// `aluminium`.
        metal: String,
        /// Polarity.
        current: Polarity,
        /// `butt`, `square butt`, `V butt`, `double V butt`, `flanged`, `fillet`.
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
    constant in "constants.toml" gives ConstantRow key (key) {
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
    }

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
