//! Stainless steels: chromium and nickel sums of the weld, its ferrite as far as it can be told, and the temperatures
//! to hurry through.

pub mod ferrite;
pub mod ferrite_figure;

use super::ferrous::Limits;
use super::ferrous::carbon_equivalent::{End, contents};
use super::work::constant;
use crate::reference::{SensitiveBand, sensitive_band};

/// The structure that a stainless steel is used in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Structure {
    /// Austenite, welded with a little ferrite: 304, 316, 309, 347.
    Austenitic,
    /// Ferrite and austenite in halves.
    Duplex,
}

/// Temperatures at which a stainless steel spoils, °C, the most telling row first.
///
/// A plain austenitic grade is one that may hold over 0.03 % carbon and neither niobium nor titanium, which bind it.
#[must_use]
pub fn bands(limits: &Limits, structure: Structure) -> Vec<&'static SensitiveBand> {
    let most = contents(limits, End::High);
    let least = contents(limits, End::Low);
    let carbon = most.get("c").copied().unwrap_or(0.0);
    let bound = ["nb", "ti"].iter().any(|element| least.get(*element).is_some_and(|content| *content > 0.0));
    let plain = carbon > constant("carbide-from").value && !bound;
    let kinds: &[&str] = match structure {
        Structure::Duplex => &["duplex"],
        Structure::Austenitic if plain => &["austenitic", "ferrite in a weld"],
        Structure::Austenitic => &["low-carbon austenitic", "ferrite in a weld"],
    };
    kinds.iter().flat_map(|kind| sensitive_band().rows.iter().filter(move |row| row.steel == *kind)).collect()
}
