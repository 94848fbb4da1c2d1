//! Ferrite of an austenitic stainless weld: equivalents, their mix, and a stand-in for the diagram.
//!
//! The lines of the diagram were not read. What stands in is a plane through three remembered typical rods, good to
//! about 4 FN either way and only where those rods lie. It is never a reading of the diagram, and never for duplex,
//! whose lines are not straight.

use crate::engine::ferrous::carbon_equivalent::Formula;
use crate::engine::ferrous::{Contents, Departure};
use crate::engine::work::constant;
use crate::reference::{FerriteUse, ferrite_use};

/// Chromium and nickel equivalents of a steel, a rod or a weld, percent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Equivalents {
    /// `Cr + Mo + 0.7 Nb`.
    pub chromium: f64,
    /// `Ni + 35 C + 20 N + 0.25 Cu`.
    pub nickel: f64,
}

impl Equivalents {
    /// Of contents in percent by mass.
    #[must_use]
    pub fn of(contents: &Contents) -> Equivalents {
        Equivalents { chromium: Formula::Chromium.value(contents), nickel: Formula::Nickel.value(contents) }
    }

    /// Of a weld: each part with its share, 0 to 1; the shares come to 1. Equivalents are sums, so that they mix like
    /// the contents do.
    #[must_use]
    pub fn mix(parts: &[(Equivalents, f64)]) -> Equivalents {
        let of = |pick: fn(&Equivalents) -> f64| parts.iter().map(|(part, share)| pick(part) * share).sum();
        Equivalents { chromium: of(|part| part.chromium), nickel: of(|part| part.nickel) }
    }

    /// FN by the plane, wherever it lies; means nothing outside [`Equivalents::departures`].
    #[must_use]
    pub fn plane(&self) -> f64 {
        let of = |key| constant(key).value;
        of("ferrite-fit-chromium") * self.chromium - of("ferrite-fit-nickel") * self.nickel - of("ferrite-fit-base")
    }

    /// Bounds that the stand-in leaves: Cr 19 to 24, Ni 11 to 16, 0 to 15 FN.
    #[must_use]
    pub fn departures(&self) -> Vec<Departure> {
        let span = |key| {
            let row = constant(key);
            row.range.unwrap_or([row.value; 2])
        };
        let bounds = [
            Departure::of("Cr equivalent", self.chromium, span("ferrite-fit-chromium-span"), "%"),
            Departure::of("Ni equivalent", self.nickel, span("ferrite-fit-nickel-span"), "%"),
            Departure::of("estimate", self.plane(), span("ferrite-fit-span"), "FN"),
        ];
        bounds.into_iter().flatten().collect()
    }

    /// Estimated ferrite, FN: least, middle and most, never under nought. It is a stand-in, good to 4 FN.
    ///
    /// # Errors
    /// The bounds that the stand-in leaves.
    pub fn estimate(&self) -> Result<[f64; 3], Vec<Departure>> {
        let left = self.departures();
        if !left.is_empty() {
            return Err(left);
        }
        let (middle, doubt) = (self.plane(), constant("ferrite-fit-doubt").value);
        Ok([(middle - doubt).max(0.0), middle.max(0.0), middle + doubt])
    }
}

/// The row of what a use asks for: `against hot cracks`, `general`, `hot service`, `cold service`, `duplex`.
#[must_use]
pub fn wanted(wanted_for: &str) -> Option<&'static FerriteUse> {
    ferrite_use().rows.iter().find(|row| row.wanted_for == wanted_for)
}

/// Whether an estimate in its middle lies under the least ferrite that is taken to be safe from hot cracks, 3 to 4 FN:
/// the higher one counts.
#[must_use]
pub fn may_hot_crack(middle: f64) -> bool {
    wanted("against hot cracks").is_some_and(|row| middle < row.ferrite[1])
}
