//! The sheet's range of a pass at the temperature that the part was read at.

use crate::engine::{Figure, FigureName, Job, PassRow, Worked};
use crate::rules::warming::{self, Bands};
use crate::units::show::{Toward, round_to};

/// The ranges of a pass at three temperatures of the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PassBands {
    /// Part temperatures, °C: start, half way, limit.
    pub(super) parts: [f64; 3],
    /// Low, aim and high at each, A, not cut by what the set gives.
    pub(super) bands: Bands,
    /// The most that set and torch give, A.
    pub(super) ceiling: f64,
}

fn aim(worked: &Worked, name: FigureName) -> Option<f64> {
    worked.figures.get(&name).and_then(Figure::aim)
}

/// The passes of the sheet; empty where they could not be worked out.
pub(super) fn rows(worked: &Worked) -> &[PassRow] {
    worked.figures.get(&FigureName::Passes).map_or(&[], |figure| figure.passes.as_slice())
}

impl PassBands {
    /// Those of a pass of the sheet.
    pub(super) fn of(job: &Job<'_>, worked: &Worked, row: &PassRow) -> Self {
        PassBands::new(job, worked, warming::bands(row))
    }

    /// Those of the amperage alone, where the sheet has no passes.
    pub(super) fn plain(job: &Job<'_>, worked: &Worked) -> Option<Self> {
        let names = [FigureName::Amperage, FigureName::AmperageRunning, FigureName::AmperageWarm];
        let band = |name: &FigureName| {
            let figure = worked.figures.get(name)?;
            let ((low, high), aim) = (figure.ends()?, figure.aim()?);
            Some([low, aim, high])
        };
        let all: Vec<[f64; 3]> = names.iter().filter_map(band).collect();
        let bands = <[[f64; 3]; 3]>::try_from(all).ok()?;
        Some(PassBands::new(job, worked, bands))
    }

    fn new(job: &Job<'_>, worked: &Worked, bands: Bands) -> Self {
        let start = job.start_temperature;
        let limit = aim(worked, FigureName::InterpassMax).unwrap_or(start).max(start);
        let ceiling = aim(worked, FigureName::AmperageMax).unwrap_or(f64::INFINITY);
        PassBands { parts: [start, f64::midpoint(start, limit), limit], bands, ceiling }
    }

    /// Range at a temperature of the part: on the straight line between the two temperatures of the sheet that it lies
    /// between, and never beyond the outer ones. Both ends in whole amperes, as a panel shows them, cut at what set and
    /// torch give.
    pub(super) fn at(&self, part: f64) -> [f64; 2] {
        let ([a, b, c], [cold, half, warm]) = (self.parts, self.bands);
        let between = |from: f64, to: f64, low: [f64; 3], high: [f64; 3]| {
            let share = if to > from { ((part - from) / (to - from)).clamp(0.0, 1.0) } else { 0.0 };
            let ([low_0, _, high_0], [low_1, _, high_1]) = (low, high);
            [low_0 + share * (low_1 - low_0), high_0 + share * (high_1 - high_0)]
        };
        let ends = if part <= b { between(a, b, cold, half) } else { between(b, c, half, warm) };
        ends.map(|end| round_to(end.min(self.ceiling), 1.0, Toward::Nearest))
    }

    /// From the lowest end of all temperatures to the highest, cut likewise.
    pub(super) fn span(&self) -> [f64; 2] {
        let least = self.bands.iter().map(|[low, ..]| *low).fold(f64::INFINITY, f64::min);
        let most = self.bands.iter().map(|[.., high]| *high).fold(0.0, f64::max);
        [least, most].map(|end| end.min(self.ceiling))
    }
}

/// Limits of the part before a pass, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PartLimits {
    /// Above it work stops.
    pub(super) never: Option<f64>,
    /// Above it the pass waits.
    pub(super) wait: Option<f64>,
    /// Below it the part is warmed first.
    pub(super) least: Option<f64>,
}

/// The limits that the page sets a reading against.
pub(super) fn limits(worked: &Worked, bands: Option<&PassBands>) -> PartLimits {
    let warm = bands.is_some_and(|bands| warming::wants_warmth(worked, &bands.bands));
    let never = aim(worked, FigureName::InterpassMax);
    let wait = if warm { None } else { aim(worked, FigureName::ResumeBelow) };
    PartLimits {
        never,
        wait: wait.filter(|wait| never.is_none_or(|never| *wait < never)),
        least: if warm { warming::warm_from(worked) } else { aim(worked, FigureName::Preheat) },
    }
}
