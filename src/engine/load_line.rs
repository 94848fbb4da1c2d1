//! The load line: how the arc voltage goes with the current, and what helium adds to it.

use super::maths::between;
use super::work::{Work, cite, constant};

/// How the arc voltage goes with the current: `U = base + slope I`, V and V/A.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadLine {
    /// Volts at no current.
    pub base: f64,
    /// Volts for each ampere.
    pub slope: f64,
}

impl LoadLine {
    /// The load line in argon, lifted by the helium in the gas.
    #[must_use]
    pub fn for_gas(helium: f64) -> LoadLine {
        LoadLine {
            base: constant("load-line-base").value + helium_volts(helium),
            slope: constant("load-line-slope").value,
        }
    }

    /// Voltage at a current, V.
    #[must_use]
    pub fn volts(self, amps: f64) -> f64 {
        self.base + self.slope * amps
    }

    /// Writes it into a working; symbols `ub` and `u1` hold it.
    pub fn write(self, work: &mut Work, helium: f64) {
        work.small_constant("load-line-slope", "u1");
        work.small_constant("load-line-base", if helium > 0.0 { "u0" } else { "ub" });
        if helium > 0.0 {
            work.adjust("helium-volts", "uh", helium_volts(helium), "V", cite("helium-volts-50"));
            work.step("load-line-lifted", "ub", "u0 + uh", self.base, "V");
        }
    }
}

/// Shares of helium, by volume (0 to 1), whose volts are held, and the volts that each adds.
fn held() -> [(f64, f64); 4] {
    [
        (0.25, constant("helium-volts-25").value),
        (0.50, constant("helium-volts-50").value),
        (0.75, constant("helium-volts-75").value),
        (1.0, constant("helium-volts-100").value),
    ]
}

/// The mixtures, as shares of helium (0 to 1), whose volts need no line between two: those that are sold.
pub fn held_shares() -> impl Iterator<Item = f64> {
    held().into_iter().map(|(share, _)| share)
}

/// Volts that helium adds at this volume share (0 to 1), by straight lines between the remembered shares.
#[must_use]
pub fn helium_volts(helium: f64) -> f64 {
    let mut below = (0.0, 0.0);
    for point in held() {
        if helium <= point.0 {
            return between(helium, below, point);
        }
        below = point;
    }
    below.1
}
