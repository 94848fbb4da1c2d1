//! What the base metal is to the arc: conductivity, density, specific heat, melting range, as far as it is known.

use super::job::Job;
use super::work::constant_of;
use crate::reference::search::{Found, physical_value};
use crate::reference::{Alloy, Basis};

/// Physical data of one alloy.
#[derive(Debug, Clone)]
pub struct Props {
    /// The alloy.
    pub alloy: &'static Alloy,
    /// Conductivity at room temperature, W/mK.
    pub conductivity: Found<f64>,
    /// Density, g/cm3.
    pub density: Found<f64>,
    /// Specific heat, J/kgK.
    pub specific_heat: Found<f64>,
    /// Solidus, °C.
    pub solidus: Found<f64>,
    /// Liquidus, °C.
    pub liquidus: Found<f64>,
}

impl Props {
    /// The data of an alloy in a temper; none when the tables lack one of them.
    #[must_use]
    pub fn of(alloy: &'static Alloy, temper: Option<&str>) -> Option<Props> {
        let get = |property| physical_value(alloy, temper, property);
        Some(Props {
            alloy,
            conductivity: get("conductivity")?,
            density: get("density")?,
            specific_heat: get("specific heat")?,
            solidus: get("solidus")?,
            liquidus: get("liquidus")?,
        })
    }

    /// Conductivity to reckon with between room temperature and melting, W/mK.
    #[must_use]
    pub fn hot_conductivity(&self) -> f64 {
        self.conductivity.value * constant_of(self.alloy.class, "fit-conductivity").value
    }

    /// Specific heat to reckon with between room temperature and melting, J/kgK.
    #[must_use]
    pub fn hot_specific_heat(&self) -> f64 {
        self.specific_heat.value * constant_of(self.alloy.class, "fit-specific-heat").value
    }

    /// The weakest basis among them.
    #[must_use]
    pub fn weakest(&self) -> Basis {
        [&self.conductivity, &self.density, &self.specific_heat, &self.liquidus]
            .into_iter()
            .fold(Basis::Published, |weakest, found| weakest.weaker(found.cite.basis))
    }
}

/// The two ends of what the metal may be: the same alloy twice where it is known, else the member of the family that
/// carries heat off worst, and the one that carries it off best.
#[derive(Debug, Clone)]
pub struct Ends {
    /// Asks for the least current.
    pub least: Props,
    /// Asks for the most.
    pub most: Props,
}

impl Ends {
    /// The ends of the base metal of a job; none when nothing is known.
    #[must_use]
    pub fn of(job: &Job<'_>) -> Option<Ends> {
        let temper = job.base.temper.as_deref();
        let mut all: Vec<Props> = job.base.candidates.iter().filter_map(|alloy| Props::of(alloy, temper)).collect();
        all.sort_by(|a, b| a.conductivity.value.total_cmp(&b.conductivity.value));
        let most = all.last()?.clone();
        let least = all.into_iter().next()?;
        Some(Ends { least, most })
    }

    /// Whether one alloy is meant.
    #[must_use]
    pub fn known(&self) -> bool {
        std::ptr::eq(self.least.alloy, self.most.alloy)
    }
}
