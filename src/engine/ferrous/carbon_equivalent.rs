//! Sums of the elements of a steel: what each counts like, in percent of carbon, chromium or nickel.
//!
//! Weights and limits of use stand in `reference/ferrous.toml`. Elements that a composition does not name count as
//! nought, so that a short list gives a low sum: reckon with the high end where that matters.

use super::{Contents, Departure, Limits};
use crate::reference::search::content;
use crate::reference::{Cite, Equivalent, EquivalentUse, Row, equivalent, equivalent_use};
use crate::units::show;

/// A sum of elements.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Formula {
    /// Carbon equivalent of the International Institute of Welding, percent: how hard a steel of 0.05 to 0.25 % carbon
    /// gets beside a weld. Meant for 0.30 to 0.70 %.
    Iiw,
    /// The same with silicon as AWS D1.1 prints it, percent.
    D11,
    /// Carbon equivalent of the preheat method of EN 1011-2, percent; meant for 0.2 to 0.5 %.
    Cet,
    /// Cracking parameter of steels with up to about 0.18 % carbon, percent.
    Pcm,
    /// Carbon equivalent by quarter weights, a rule of thumb, percent.
    QuarterWeights,
    /// Carbon of the root rule of preheat, without the part for thickness, percent; meant for over 0.2 % carbon.
    RootRule,
    /// Kelvin by which the start of martensite lies under that of iron.
    MartensiteFall,
    /// Sum of the hardness of bainite, percent.
    Bainite,
    /// Alloys beside carbon in the hardness by cooling time, percent.
    BesideCarbon,
    /// Chromium equivalent of WRC-1992, percent.
    Chromium,
    /// Nickel equivalent of WRC-1992, percent.
    Nickel,
}

/// A sum at the ends and in the middle of composition limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// Every element at its least.
    pub low: f64,
    /// Every element in the middle of its limits, as [`content`] takes it: half of a lone maximum.
    pub middle: f64,
    /// Every element at its most: for hardening and cracking the worst.
    pub high: f64,
}

/// Which end of the limits is reckoned with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The least.
    Low,
    /// The middle.
    Middle,
    /// The most.
    High,
}

/// Contents at one end of composition limits.
#[must_use]
pub fn contents(limits: &Limits, end: End) -> Contents {
    let at = |element: &String, [low, high]: &[f64; 2]| match end {
        End::Low => *low,
        End::Middle => content(limits, element),
        End::High => *high,
    };
    limits.iter().map(|(element, span)| (element.clone(), at(element, span))).collect()
}

/// How an element is written: `mn` as `Mn`.
#[must_use]
pub fn symbol(element: &str) -> String {
    let mut letters = element.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl Formula {
    /// All, in the order of the table.
    pub const ALL: [Formula; 11] = [
        Formula::Iiw,
        Formula::D11,
        Formula::Cet,
        Formula::Pcm,
        Formula::QuarterWeights,
        Formula::RootRule,
        Formula::MartensiteFall,
        Formula::Bainite,
        Formula::BesideCarbon,
        Formula::Chromium,
        Formula::Nickel,
    ];

    /// Its name in the table.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Formula::Iiw => "CE (IIW)",
            Formula::D11 => "CE (AWS D1.1)",
            Formula::Cet => "CET",
            Formula::Pcm => "Pcm",
            Formula::QuarterWeights => "CE (quarter weights)",
            Formula::RootRule => "C (root rule)",
            Formula::MartensiteFall => "Ms",
            Formula::Bainite => "bainite",
            Formula::BesideCarbon => "alloys beside carbon",
            Formula::Chromium => "Cr (WRC-1992)",
            Formula::Nickel => "Ni (WRC-1992)",
        }
    }

    /// Its row; a test asks for every one.
    #[must_use]
    pub fn row(self) -> Option<&'static Equivalent> {
        equivalent().rows.iter().find(|row| row.name == self.name())
    }

    /// Where its weights come from.
    #[must_use]
    pub fn cite(self) -> Option<Cite> {
        self.row().map(Row::cite)
    }

    /// The sum, percent ([`Formula::MartensiteFall`]: kelvin), of contents in percent by mass. Not a number where the
    /// table has no such row.
    #[must_use]
    pub fn value(self, contents: &Contents) -> f64 {
        let Some(row) = self.row() else { return f64::NAN };
        let of = |element: &String| contents.get(element).copied().unwrap_or(0.0);
        let over: f64 = row.over.iter().map(|(element, divisor)| of(element) / divisor).sum();
        let times: f64 = row.times.iter().map(|(element, factor)| of(element) * factor).sum();
        over + times
    }

    /// The sum at the ends and in the middle of composition limits.
    #[must_use]
    pub fn ends(self, limits: &Limits) -> Ends {
        let at = |end| self.value(&contents(limits, end));
        Ends { low: at(End::Low), middle: at(End::Middle), high: at(End::High) }
    }

    /// The sum as it is written with its numbers, terms of nought left out: `C 0.33 + Mn 0.6/10`. `none` where no
    /// element counts.
    #[must_use]
    pub fn terms(self, contents: &Contents) -> String {
        let Some(row) = self.row() else { return String::new() };
        let shown = |value: f64, decimals| show::trimmed(show::number(value, decimals));
        let of = |element: &String| contents.get(element).copied().filter(|content| *content > 0.0);
        let term = |element: &String, weight: f64, sign: &str| {
            let content = format!("{} {}", symbol(element), shown(of(element)?, 3));
            let whole = (weight - 1.0).abs() < f64::EPSILON;
            Some(if whole { content } else { format!("{content}{sign}{}", shown(weight, 4)) })
        };
        let over = row.over.iter().filter_map(|(element, divisor)| term(element, *divisor, "/"));
        let times = row.times.iter().filter_map(|(element, factor)| term(element, *factor, " × "));
        let terms: Vec<String> = over.chain(times).collect();
        if terms.is_empty() { "none".to_owned() } else { terms.join(" + ") }
    }

    fn limits_of_use(self, of: &str) -> Option<&'static EquivalentUse> {
        equivalent_use().rows.iter().find(|row| row.name == self.name() && row.of == of)
    }

    /// The value that it is meant for, percent; none where no limit is known.
    #[must_use]
    pub fn span(self) -> Option<([f64; 2], Cite)> {
        let row = self.limits_of_use("value")?;
        Some((*row.limits.get("value")?, row.cite()))
    }

    /// Contents that lie outside what it is meant for; empty where no limit is known.
    #[must_use]
    pub fn departures(self, contents: &Contents) -> Vec<Departure> {
        let Some(row) = self.limits_of_use("contents") else { return Vec::new() };
        let of = |element: &String| contents.get(element).copied().unwrap_or(0.0);
        let limits = row.limits.iter();
        limits.filter_map(|(element, span)| Departure::of(&symbol(element), of(element), *span, "%")).collect()
    }

    /// The value, where it lies outside what it is meant for.
    #[must_use]
    pub fn departure_of_value(self, value: f64) -> Option<Departure> {
        let (span, _) = self.span()?;
        Departure::of(self.name(), value, span, "%")
    }
}
