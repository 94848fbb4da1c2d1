//! Cooling time of a steel weld from 800 to 500 °C (t8/5): in thin and thick plates, where the one gives way to the
//! other, and what it takes to reach a wanted time.
//!
//! Constants are fitted to unalloyed and low-alloy steel (they stand for a conductivity of 23.7 W/mK) and belong to
//! these formulas alone. The time holds for every point that gets hotter than about 900 °C. It leaves out what the
//! faces give off to the air and the torch: on sheet of under 3 mm it is a hint, and a very long time means no more
//! than "slow". Not for austenitic stainless steel, which does not harden.

use crate::engine::work::constant;
use crate::reference::{CoolingShape, cooling_shape};
use crate::spec::Joint;

/// How many ways the heat leaves a weld.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// Factor in a thin plate.
    pub f2: f64,
    /// Factor in a thick plate.
    pub f3: f64,
}

/// A weld that cools.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weld {
    /// Heat input with k, kJ/mm.
    pub heat_input: f64,
    /// Metal at the start of the run, °C; under 500.
    pub start: f64,
    /// Thickness of the plate, mm.
    pub thickness: f64,
    /// Ways of the heat.
    pub shape: Shape,
}

/// Which formula holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plate {
    /// The heat spreads in the plane of the plate.
    Thin,
    /// The heat spreads in depth too.
    Thick,
}

/// The row of the shape factors for a joint: a groove or plug is filled like a butt, a lap gives its heat three ways
/// like a tee; an edge has no row and takes that of a bead on plate.
#[must_use]
pub fn shape_row(joint: Joint) -> Option<&'static CoolingShape> {
    let weld = match joint {
        Joint::Butt | Joint::Groove | Joint::Plug => "run in a butt",
        Joint::Pad | Joint::Edge => "bead on plate",
        Joint::Corner => "fillet at a corner",
        Joint::Fillet | Joint::Lap => "fillet in a tee",
    };
    cooling_shape().rows.iter().find(|row| row.weld == weld)
}

impl From<&CoolingShape> for Shape {
    fn from(row: &CoolingShape) -> Shape {
        Shape { f2: row.f2, f3: row.f3 }
    }
}

/// What a start temperature leaves between itself and 500 and 800 °C: `1/(500 - T0)` and `1/(800 - T0)`; none from
/// 500 °C up, where no weld cools through the range.
fn gaps(start: f64) -> Option<(f64, f64)> {
    let (from, to) = (constant("cooling-from").value, constant("cooling-to").value);
    (start < to).then(|| (1.0 / (to - start), 1.0 / (from - start)))
}

/// The fitted factor of a thick plate at a start temperature, s·K for one kJ/mm.
#[must_use]
pub fn thick_factor(start: f64) -> f64 {
    constant("cooling-thick").value - constant("cooling-thick-slope").value * start
}

/// The fitted factor of a thin plate at a start temperature, s·K2 for one (kJ/mm)2 over mm2.
#[must_use]
pub fn thin_factor(start: f64) -> f64 {
    /// The factor is printed in hundred thousands.
    const HUNDRED_THOUSAND: f64 = 1e5;
    (constant("cooling-thin").value - constant("cooling-thin-slope").value * start) * HUNDRED_THOUSAND
}

/// Seconds from 800 to 500 °C by a thick plate's factor, heat input (kJ/mm) and start (°C); none from 500 °C up.
#[must_use]
pub fn thick_seconds(factor: f64, heat_input: f64, start: f64) -> Option<f64> {
    let (low, high) = gaps(start)?;
    Some(factor * heat_input * (low - high))
}

impl Weld {
    /// Seconds in a thick plate; none from 500 °C up.
    #[must_use]
    pub fn in_thick(&self) -> Option<f64> {
        Some(self.shape.f3 * thick_seconds(thick_factor(self.start), self.heat_input, self.start)?)
    }

    /// Seconds in a thin plate; none from 500 °C up.
    #[must_use]
    pub fn in_thin(&self) -> Option<f64> {
        let (low, high) = gaps(self.start)?;
        let line = self.heat_input / self.thickness;
        Some(self.shape.f2 * thin_factor(self.start) * line * line * (low * low - high * high))
    }

    /// Thickness at which both formulas give the same time, mm: under it the plate is thin; none from 500 °C up.
    #[must_use]
    pub fn transition(&self) -> Option<f64> {
        let (low, high) = gaps(self.start)?;
        let factors = thin_factor(self.start) * self.shape.f2 / (thick_factor(self.start) * self.shape.f3);
        Some((factors * self.heat_input * (low + high)).sqrt())
    }

    /// Seconds from 800 to 500 °C, and by which formula: the longer of the two times; none from 500 °C up.
    #[must_use]
    pub fn cooling_time(&self) -> Option<(f64, Plate)> {
        let thin = self.thickness < self.transition()?;
        Some(if thin { (self.in_thin()?, Plate::Thin) } else { (self.in_thick()?, Plate::Thick) })
    }

    /// Heat input with k that would give this time, kJ/mm; none from 500 °C up. Its own heat input does not count.
    #[must_use]
    pub fn heat_input_for(&self, seconds: f64) -> Option<f64> {
        let one = Weld { heat_input: 1.0, ..*self };
        let thick = seconds / one.in_thick()?;
        let thin = (seconds / one.in_thin()?).sqrt();
        Some(thick.min(thin))
    }

    /// Start temperature that would give this time, °C, at least its own and under 500; none where its own start gives
    /// more already.
    #[must_use]
    pub fn start_for(&self, seconds: f64) -> Option<f64> {
        let at = |start: f64| Weld { start, ..*self }.cooling_time().map_or(f64::INFINITY, |(time, _)| time);
        if at(self.start) > seconds {
            return None;
        }
        // The time rises with the start and has no end at 500 °C, so that halving always finds it.
        let (mut low, mut high) = (self.start, constant("cooling-to").value);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if at(middle) < seconds { low = middle } else { high = middle }
        }
        Some(low)
    }
}
