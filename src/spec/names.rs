//! Names of metals, fillers, tungstens and gases as an author writes them: whether the tables know them.
//!
//! A name is compared without regard to case, spaces and hyphens, and is never guessed: `A356.0` and `A357.0` are one
//! letter apart and two metals.

use crate::reference::{self, Alloy, Filler, TungstenClass, search};
use crate::units::{HeliumShare, Quantity};
use std::ops::Range;

/// A name without case, spaces, hyphens and underscores.
fn folded(name: &str) -> String {
    name.chars().filter(|c| !matches!(c, ' ' | '-' | '_')).flat_map(char::to_lowercase).collect()
}

/// The base metal of this name.
#[must_use]
pub fn alloy(name: &str) -> Option<&'static Alloy> {
    search::alloy_named(name)
}

/// The filler metal of this name.
#[must_use]
pub fn filler(name: &str) -> Option<&'static Filler> {
    search::filler_named(name)
}

/// The tungsten class of this name.
#[must_use]
pub fn tungsten(name: &str) -> Option<&'static TungstenClass> {
    let written = folded(name);
    let spelt = |spelling: &String| folded(spelling) == written;
    reference::tungsten_class().rows.iter().find(|row| spelt(&row.name) || row.also.iter().any(spelt))
}

/// All families of base metals, each once, in the order of the table.
#[must_use]
pub fn families() -> Vec<&'static str> {
    let mut families = Vec::new();
    for row in &reference::alloy().rows {
        if !families.contains(&row.family.as_str()) {
            families.push(row.family.as_str());
        }
    }
    if !families.is_empty() {
        families.push(UNKNOWN);
    }
    families
}

/// What `family` says of a metal that nobody knows: the sheet gives the tests that find out, and nothing to weld by.
pub const UNKNOWN: &str = "unknown";

/// An alloy and a temper that were written as one name: `6061-T6`.
#[must_use]
pub fn alloy_with_temper(name: &str) -> Option<(&'static Alloy, &str)> {
    let (alloy_name, temper) = name.rsplit_once(['-', ' '])?;
    let known = temper.starts_with(['T', 'H', 'O', 'F']) && temper.len() <= 6;
    known.then(|| alloy(alloy_name)).flatten().map(|alloy| (alloy, temper))
}

/// Why the name of a gas could not be read, and where in the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadGas {
    /// Bytes of the text that are meant.
    pub at: Range<usize>,
    /// A few words under the place.
    pub label: String,
}

/// The share of helium of a shielding gas by its name: `argon`, `helium`, `argon + 30 % helium`.
///
/// The gas without a percentage takes the rest; two percentages make 100 together. None where the name is not one of
/// these.
#[must_use]
pub fn gas(name: &str) -> Option<HeliumShare> {
    gas_parts(name).ok()
}

/// As [`gas`], but says what is wrong.
///
/// # Errors
/// The first part of the name that does not fit, with its place in the text.
pub fn gas_parts(name: &str) -> Result<HeliumShare, BadGas> {
    // Percent of argon and of helium, where they were named.
    let mut shares: [Option<Option<f64>>; 2] = [None, None];
    let mut at = 0;
    for part in name.split('+') {
        let start = at + (part.len() - part.trim_start().len());
        let part_at = start..start + part.trim().len();
        at += part.len() + 1;
        let (percent, gas, gas_at) = percent_of(part.trim(), part_at.clone())?;
        let known = match gas.to_ascii_lowercase().as_str() {
            "argon" | "ar" => shares.first_mut(),
            "helium" | "he" => shares.last_mut(),
            _ => None,
        };
        match known {
            Some(slot @ None) => *slot = Some(percent),
            Some(Some(_)) => return Err(BadGas { at: gas_at, label: "this gas stands twice".to_owned() }),
            None => return Err(BadGas { at: gas_at, label: "neither argon nor helium".to_owned() }),
        }
    }
    let whole = 0..name.len();
    let helium = match shares {
        [Some(None), None] => 0.0,
        [None, Some(None)] => 100.0,
        [Some(None), Some(Some(helium))] => helium,
        [Some(Some(argon)), Some(None)] => 100.0 - argon,
        [Some(Some(argon)), Some(Some(helium))] if (argon + helium - 100.0).abs() < 0.05 => helium,
        [Some(Some(_)), Some(Some(_))] => {
            return Err(BadGas { at: whole, label: "the shares do not make 100 %".to_owned() });
        }
        [Some(Some(_)), None] | [None, Some(Some(_))] => {
            return Err(BadGas { at: whole, label: "and what is the rest?".to_owned() });
        }
        _ => return Err(BadGas { at: whole, label: "how much of each?".to_owned() }),
    };
    Ok(HeliumShare::from_si(helium / 100.0))
}

/// `30 % helium` as the percentage, the gas and the place of the gas.
fn percent_of(part: &str, at: Range<usize>) -> Result<(Option<f64>, &str, Range<usize>), BadGas> {
    let Some((number, gas)) = part.split_once('%') else { return Ok((None, part, at)) };
    let number_at = at.start..at.start + number.trim_end().len();
    let percent = number.trim().parse::<f64>().ok().filter(|percent| *percent > 0.0 && *percent < 100.0);
    let Some(percent) = percent else {
        return Err(BadGas { at: number_at, label: "a percentage between 0 and 100".to_owned() });
    };
    let gas_start = at.end - gas.trim_start().len();
    Ok((Some(percent), gas.trim(), gas_start..at.end))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]
mod tests {
    use super::{folded, gas, gas_parts};
    use crate::units::Quantity;

    fn percent(name: &str) -> Option<f64> {
        gas(name).map(|share| (share.si() * 1000.0).round() / 10.0)
    }

    #[test]
    fn gases_by_name() {
        assert_eq!(percent("argon"), Some(0.0));
        assert_eq!(percent("Helium"), Some(100.0));
        assert_eq!(percent("argon + 30 % helium"), Some(30.0));
        assert_eq!(percent("argon+30%helium"), Some(30.0));
        assert_eq!(percent("70 % argon + 30 % helium"), Some(30.0));
        assert_eq!(percent("25 % argon + helium"), Some(75.0));
    }

    #[test]
    fn what_does_not_fit_is_marked() {
        let marked = |name: &str| gas_parts(name).err().map(|bad| name[bad.at].to_owned());
        assert_eq!(marked("argon + 5 % CO2").as_deref(), Some("CO2"));
        assert_eq!(marked("argon + 130 % helium").as_deref(), Some("130"));
        assert_eq!(marked("argon + helium").as_deref(), Some("argon + helium"));
        assert_eq!(marked("30 % helium").as_deref(), Some("30 % helium"));
        assert_eq!(marked("argon + argon").as_deref(), Some("argon"));
        assert_eq!(marked("60 % argon + 30 % helium").as_deref(), Some("60 % argon + 30 % helium"));
        assert_eq!(marked("").as_deref(), Some(""));
        assert_eq!(marked("argon + NaN % helium").as_deref(), Some("NaN"));
    }

    #[test]
    fn names_are_compared_without_joints() {
        assert_eq!(folded("EN AW-6082"), folded("en aw 6082"));
        assert_ne!(folded("356.0"), folded("3560"));
    }
}
