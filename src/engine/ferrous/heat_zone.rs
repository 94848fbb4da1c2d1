//! Hottest moment beside a weld, and how wide a zone it leaves: a fast source in a thin and in a thick plate.
//!
//! Steel only. A fast source outruns its own heat; on aluminium at the speed of TIG the true rise is about half of what
//! these formulas give.

use std::f64::consts::{E, PI};

/// A fast arc on a plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FastArc {
    /// Heat that reaches the plate for each mm of weld, J/mm.
    pub net: f64,
    /// Heat that warms a mm3 by a degree, J/mm3K, mean up to melting: about 0.0044 for steel.
    pub heat_volume: f64,
    /// Plate at the start, °C.
    pub start: f64,
    /// Melting point, °C, above the start.
    pub melting: f64,
}

/// The constant of the thin plate: root of 2 pi e, 4.13.
#[must_use]
pub fn thin_constant() -> f64 {
    (2.0 * PI * E).sqrt()
}

impl FastArc {
    /// Hottest moment in a thin plate at a distance from the fusion line (mm), °C; thickness in mm.
    ///
    /// `1/(Tp - T0) = 4.13 rho c t y / H + 1/(Tm - T0)`, for one pass through the whole plate.
    #[must_use]
    pub fn peak_in_thin(&self, thickness: f64, from_fusion: f64) -> f64 {
        let away = thin_constant() * self.heat_volume * thickness * from_fusion / self.net;
        self.start + 1.0 / (away + 1.0 / (self.melting - self.start))
    }

    /// Width beside the fusion line that gets hotter than `edge` (°C, between start and melting) in a thin plate, mm.
    #[must_use]
    pub fn zone_in_thin(&self, thickness: f64, edge: f64) -> f64 {
        let gap = 1.0 / (edge - self.start) - 1.0 / (self.melting - self.start);
        gap * self.net / (thin_constant() * self.heat_volume * thickness)
    }

    /// Hottest moment in a thick plate at a distance from the line of the arc (mm), °C.
    ///
    /// `Tp - T0 = 2/(pi e) H / (rho c r^2)`; without end at the arc itself.
    #[must_use]
    pub fn peak_in_thick(&self, radius: f64) -> f64 {
        self.start + 2.0 / (PI * E) * self.net / (self.heat_volume * radius * radius)
    }

    /// Distance from the line of the arc that gets as hot as `peak` (°C, above the start) in a thick plate, mm.
    #[must_use]
    pub fn radius_in_thick(&self, peak: f64) -> f64 {
        (2.0 / (PI * E) * self.net / (self.heat_volume * (peak - self.start))).sqrt()
    }

    /// Width beside the fusion line that gets hotter than `edge` (°C, between start and melting) in a thick plate, mm.
    #[must_use]
    pub fn zone_in_thick(&self, edge: f64) -> f64 {
        self.radius_in_thick(edge) - self.radius_in_thick(self.melting)
    }
}
