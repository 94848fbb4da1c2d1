//! The current of a pass at every temperature of the part.

use super::heat_flow::{current_for_power, warm_current};
use super::load_line::LoadLine;
use super::work::Work;
use crate::reference::Basis;

/// Parts of the power that a heat-flow pass needs at the reference temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Powers {
    /// To hold the pool, W.
    pub(super) hold: f64,
    /// To melt base metal and rod, W.
    pub(super) melt: f64,
    /// Temperature at which the metal is molten, °C.
    pub(super) molten: f64,
}

/// The method that gave a current, with what is needed for other part temperatures.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Method {
    HeatFlow { least: Powers, most: Powers, efficiency: f64, band: f64, floor: Option<(f64, f64, f64)> },
    Schedule { low: f64, high: f64, molten: f64 },
    Face { low: f64, molten: f64, top: Powers, efficiency: f64, floor: Option<(f64, f64, f64)> },
}

/// The current of a pass at every part temperature, with its working.
#[derive(Debug, Clone)]
pub struct Solved {
    pub(super) method: Method,
    pub(super) line: LoadLine,
    /// Part temperature that the powers were worked out for, °C.
    pub(super) reference: f64,
    /// Pool width, mm; none where a schedule leads.
    pub pool: Option<f64>,
    /// How it came about, up to the current at the reference temperature.
    pub work: Work,
    /// Basis of the method that leads.
    pub basis: Basis,
    /// What the other method gives: low, high, A.
    pub other: Option<(f64, f64)>,
}

impl Solved {
    /// Low, aim and high with the part at this temperature (°C), A, before rounding.
    #[must_use]
    pub fn at(&self, part: f64) -> [f64; 3] {
        let heat_flow = |powers: &Powers, efficiency: f64| {
            let share = ((powers.molten - part) / (powers.molten - self.reference)).max(0.0);
            current_for_power((powers.hold * share + powers.melt) / efficiency, self.line.base, self.line.slope)
        };
        let warm = |amps: f64, molten: f64| {
            warm_current(amps, molten, self.reference, part.min(molten), self.line.base, self.line.slope)
        };
        match &self.method {
            Method::HeatFlow { least, most, efficiency, band, floor } => {
                let (low, high) = (heat_flow(least, *efficiency), heat_flow(most, *efficiency));
                let (mut aim, mut top) = (low, high * (1.0 + band));
                if let Some((from, to, molten)) = floor {
                    let (from, to) = (warm(*from, *molten), warm(*to, *molten));
                    aim = aim.max(f64::midpoint(from, to));
                    top = top.max(to);
                }
                [low * (1.0 - band), aim, top]
            }
            Method::Schedule { low, high, molten } => {
                let (low, high) = (warm(*low, *molten), warm(*high, *molten));
                [low, f64::midpoint(low, high), high]
            }
            Method::Face { low, molten, top, efficiency, floor } => {
                let (low, mut high) = (warm(*low, *molten), heat_flow(top, *efficiency));
                let mut aim = f64::midpoint(low, high);
                if let Some((from, to, molten)) = floor {
                    let (from, to) = (warm(*from, *molten), warm(*to, *molten));
                    aim = aim.max(f64::midpoint(from, to));
                    high = high.max(to);
                }
                [low, aim, high]
            }
        }
    }
}
