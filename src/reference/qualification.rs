//! Standards of qualification: the words of their tables, finding a standard by its name, and the group of a metal,
//! a filler or a gas.

use super::rows::{
    QualificationGroup, QualificationStandard, QualificationVariable, qualification_group, qualification_standard,
    qualification_variable,
};
use serde::Deserialize;

macro_rules! kebab {
    ($($(#[$meta:meta])* pub enum $name:ident { $($(#[$own:meta])* $variant:ident = $word:literal,)* })*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
            pub enum $name { $($(#[$own])* #[serde(rename = $word)] $variant,)* }
            impl $name {
                /// All of them, in the order of a sheet.
                pub const ALL: &'static [$name] = &[$($name::$variant),*];
                /// The word in the tables, in JSON and in the keys of words.
                #[must_use]
                pub fn word(self) -> &'static str {
                    match self { $($name::$variant => $word),* }
                }
            }
        )*
    };
}

kebab! {
    /// What of a procedure can vary.
    #[allow(missing_docs, reason = "the names are the variables")]
    pub enum Variable {
        Metal = "metal",
        Thickness = "thickness",
        Deposit = "deposit",
        Throat = "throat",
        Joint = "joint",
        Position = "position",
        Process = "process",
        Filler = "filler",
        FillerAdded = "filler-added",
        FillerForm = "filler-form",
        FillerSize = "filler-size",
        Gas = "gas",
        GasFlow = "gas-flow",
        BackingGas = "backing-gas",
        Backing = "backing",
        Polarity = "polarity",
        Pulse = "pulse",
        Waveform = "waveform",
        Current = "current",
        Voltage = "voltage",
        Travel = "travel",
        HeatInput = "heat-input",
        Preheat = "preheat",
        Interpass = "interpass",
        HeatTreatment = "heat-treatment",
        Tungsten = "tungsten",
        TungstenSize = "tungsten-size",
        Cup = "cup",
        Passes = "passes",
        Opening = "opening",
        Gap = "gap",
        Gouging = "gouging",
        Cleaning = "cleaning",
        Weave = "weave",
        Peening = "peening",
        Manufacturer = "manufacturer",
    }

    /// How much a variable matters to a standard.
    pub enum Class {
        /// A change past its range makes a new test necessary.
        Essential = "essential",
        /// Essential where toughness tests are asked.
        Supplementary = "supplementary",
        /// Essential where the thing is specified.
        Specified = "specified",
        /// No new test.
        Nonessential = "nonessential",
    }

    /// How the range follows from the tested value.
    pub enum Rule {
        /// The tested value alone.
        Same = "same",
        /// Multiples of the tested value, or fixed ends.
        Factor = "factor",
        /// Not below the tested value by more than so much.
        AtLeast = "at-least",
        /// Not above the tested value by more than so much.
        AtMost = "at-most",
        /// Percent below and above.
        Percent = "percent",
        /// Either way by so much.
        Step = "step",
        /// The same group of a scheme.
        Group = "group",
        /// A test in one of these covers those.
        Covers = "covers",
        /// No limit.
        Free = "free",
        /// A limit that was not read.
        NotHeld = "not-held",
        /// So many months.
        Months = "months",
    }

    /// Schemes of groups.
    #[allow(missing_docs, reason = "the names are the schemes")]
    pub enum Scheme {
        Iso15608 = "ISO/TR 15608",
        AsmeP = "ASME P-number",
        AwsM = "AWS M-number",
        AsmeF = "ASME F-number",
        Iso14175 = "ISO 14175",
    }
}

/// A name without what does not tell: the adopting body, year, spaces, hyphens and case.
fn bare(name: &str) -> String {
    let name = name.split(':').next().unwrap_or_default().to_uppercase();
    let words: Vec<&str> = name
        .split(|c: char| c.is_whitespace() || matches!(c, '-' | '_' | ',' | '/'))
        .filter(|word| !word.is_empty())
        .collect();
    let adopting = ["DIN", "BS", "NF", "UNI", "AS", "ANSI"];
    let first = words.iter().position(|word| !adopting.contains(word)).unwrap_or(0);
    let rest = words.get(first..).unwrap_or_default();
    // EN before ISO adopts it; EN alone is the body itself.
    let rest = if let ["EN", "ISO", ..] = rest { rest.get(1..).unwrap_or_default() } else { rest };
    rest.concat()
}

/// The standard of this name; none where the tables do not hold it.
#[must_use]
pub fn standard_named(name: &str) -> Option<&'static QualificationStandard> {
    let wanted = bare(name);
    let same = |known: &String| bare(known) == wanted;
    qualification_standard().rows.iter().find(|row| same(&row.name) || row.also.iter().any(same))
}

/// The names of all standards that the tables hold.
#[must_use]
pub fn held() -> Vec<&'static str> {
    qualification_standard().rows.iter().map(|row| row.name.as_str()).collect()
}

/// The rows of a standard and of its forerunner for a variable, its own first.
pub fn rows_of(
    standard: &'static QualificationStandard,
    variable: Variable,
) -> impl Iterator<Item = &'static QualificationVariable> {
    let of = |name: &'static str| qualification_variable().rows.iter().filter(move |row| row.standard == name);
    let own = of(&standard.name);
    let older = standard.older.iter().flat_map(move |name| of(name));
    own.chain(older).filter(move |row| row.variable == variable)
}

/// The group of a metal or a filler, by its name in the tables; none where the scheme is not known to hold it.
#[must_use]
pub fn group_of(scheme: Scheme, name: &str) -> Option<&'static QualificationGroup> {
    qualification_group().rows.iter().find(|row| row.scheme == scheme && row.names.iter().any(|own| own == name))
}

/// The group of a gas of argon and helium, by its percent of helium.
#[must_use]
pub fn group_of_gas(helium: f64) -> Option<&'static QualificationGroup> {
    qualification_group().rows.iter().find(|row| row.helium.is_some_and(|[low, high]| low <= helium && helium <= high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::{alloy, filler};

    #[test]
    fn a_standard_is_found_by_the_names_people_write() {
        let named = |name: &str| standard_named(name).map(|row| row.name.as_str());
        for name in ["ISO 15614-2", "EN ISO 15614-2:2005", "BS EN ISO 15614-2", "iso15614-2"] {
            assert_eq!(named(name), Some("ISO 15614-2"), "{name}");
        }
        assert_eq!(named("EN 288-4"), Some("EN 288-4"));
        assert_eq!(named("ASME BPVC Section IX"), Some("ASME IX"));
        assert_eq!(named("AWS D1.2/D1.2M:2014"), Some("AWS D1.2"));
        assert_eq!(named("ISO 15614-3"), None);
    }

    #[test]
    fn every_name_of_a_group_stands_in_its_table_and_in_one_group_of_a_scheme() {
        let mut seen = std::collections::BTreeSet::new();
        for row in &qualification_group().rows {
            for name in &row.names {
                let known = alloy().rows.iter().any(|own| own.name == *name)
                    || filler().rows.iter().any(|own| own.name == *name);
                assert!(known, "{}: {name}", row.group);
                assert!(seen.insert((row.scheme, name)), "{name} stands in two groups");
            }
        }
        for row in &qualification_variable().rows {
            assert!(standard_named(&row.standard).is_some(), "{}", row.standard);
        }
    }

    #[test]
    fn gases_fall_into_their_groups() {
        let group = |helium| group_of_gas(helium).map(|row| row.group.as_str());
        assert_eq!([group(0.0), group(30.0), group(100.0)], [Some("I1"), Some("I3"), Some("I2")]);
    }
}
