//! Steels: sums of their elements, preheat, cooling time, hardness and width of the zone beside a weld.
//!
//! Pure formulas with figures ready to call: [`preheat::preheat`], [`cooling_figure::cooling_time`] and
//! [`hardness::hardness`] take plain inputs and give lines, values and findings; nothing here knows a job.

pub mod carbon_equivalent;
pub mod cet_preheat;
pub mod cooling;
pub mod cooling_figure;
pub mod hardness;
pub mod heat_zone;
pub mod preheat;

use super::figure::LineKind;
use super::work::Work;
use crate::reference::Cite;
use crate::units::show;
use std::collections::BTreeMap;

/// Composition limits as the tables hold them: element in lower case -> least and most, percent by mass.
pub type Limits = BTreeMap<String, [f64; 2]>;

/// Contents that are reckoned with: element in lower case -> percent by mass.
pub type Contents = BTreeMap<String, f64>;

/// A metal or rod by its composition.
#[derive(Debug, Clone)]
pub struct Metal<'a> {
    /// What it is called on the sheet.
    pub name: &'a str,
    /// Its limits; an element that is missing counts as nought.
    pub limits: &'a Limits,
    /// Where the limits come from; none for an analysis of the part itself.
    pub cite: Option<Cite>,
}

impl Metal<'_> {
    /// Says where the composition comes from, in a line before the sums that use it.
    pub(super) fn introduce(&self, work: &mut Work) {
        let words = if self.cite.is_some() { "composition-of" } else { "analysis-of" };
        work.remark(LineKind::Remark, words, vec![self.name.to_owned()], self.cite.clone());
    }
}

/// How far a value lies past a bound that a formula is meant for.
#[derive(Debug, Clone, PartialEq)]
pub struct Departure {
    /// What it is: `CET`, `thickness`, `C`.
    pub what: String,
    /// The value.
    pub value: f64,
    /// The bound that it lies past.
    pub bound: f64,
    /// Unit of both.
    pub unit: &'static str,
}

impl Departure {
    /// The departure of a value from a span, ends allowed; none inside. A value that is no number is outside.
    #[must_use]
    pub fn of(what: &str, value: f64, [low, high]: [f64; 2], unit: &'static str) -> Option<Departure> {
        /// Allows the binary noise of a sum that should lie on the very bound.
        const NOISE: f64 = 1e-9;
        let bound = if value >= low - NOISE { high } else { low };
        let inside = value >= low - NOISE && value <= high + NOISE;
        (!inside).then(|| Departure { what: what.to_owned(), value, bound, unit })
    }

    /// By how much, in the unit: above the bound positive, under it negative.
    #[must_use]
    pub fn by(&self) -> f64 {
        self.value - self.bound
    }

    /// In words: `thickness 6 mm, under 10 mm`.
    #[must_use]
    pub fn words(&self) -> String {
        let side = if self.by() > 0.0 { "over" } else { "under" };
        let decimals = if self.unit == "%" { 3 } else { 2 };
        let shown = |value: f64| show::trimmed(show::number(value, decimals));
        let Departure { what, value, bound, unit } = self;
        let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
        format!("{what} {}{unit}, {side} {}{unit}", shown(*value), shown(*bound))
    }
}

/// All departures in one line of words.
#[must_use]
pub fn in_words(departures: &[Departure]) -> String {
    departures.iter().map(Departure::words).collect::<Vec<_>>().join("; ")
}
