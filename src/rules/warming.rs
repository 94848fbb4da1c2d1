//! Warming the part: which steps of the sheet want it warm, and with what. The sheet writes its steps by these, and the
//! dangers of a flame are raised by the same.

use super::metals;
use crate::engine::{FigureName, Job, PassRow, Worked};
use crate::kit::Burner;
use crate::reference::search::constant;
use crate::spec::Site;
use crate::units::InUnits;

/// Low, aim and high of a current, A, at the start, half-way and at the limit.
pub type Bands = [[f64; 3]; 3];

/// The currents of a pass at the three temperatures of the part.
#[must_use]
pub fn bands(row: &PassRow) -> Bands {
    [row.start, row.running, row.warm]
}

fn passes(worked: &Worked) -> &[PassRow] {
    worked.figures.get(&FigureName::Passes).map_or(&[], |figure| figure.passes.as_slice())
}

/// Part temperature from which the set is big enough, °C; none where it is so with a cold part.
#[must_use]
pub fn warm_from(worked: &Worked) -> Option<f64> {
    let preheat = worked.figures.get(&FigureName::Preheat)?;
    preheat.working.iter().any(|line| line.words == "warm-start-for-machine").then(|| preheat.aim()).flatten()
}

/// Whether a pass asks for more than the set has while the part is cold, and no longer once it is warm.
#[must_use]
pub fn wants_warmth(worked: &Worked, bands: &Bands) -> bool {
    let [[_, cold, _], _, [_, warm, _]] = bands;
    let ceiling = worked.figures.get(&FigureName::AmperageMax).and_then(|figure| figure.aim()).unwrap_or(f64::INFINITY);
    warm_from(worked).is_some() && *cold > ceiling && *warm <= ceiling
}

/// Whether the part is preheated before the first pass: the author says so, its metal asks for it, or the set is too
/// small for it cold.
#[must_use]
pub fn before_the_first(job: &Job<'_>, worked: &Worked) -> bool {
    let Some(figure) = worked.figures.get(&FigureName::Preheat) else { return false };
    let own = figure.basis.is_none() && figure.aim().is_some_and(|aim| aim > job.start_temperature);
    let metal = metals::kept_warm(job, worked).is_some();
    own || metal || passes(worked).first().is_some_and(|row| wants_warmth(worked, &bands(row)))
}

/// Whether some pass waits for a warm part.
#[must_use]
pub fn between_passes(job: &Job<'_>, worked: &Worked) -> bool {
    metals::kept_warm(job, worked).is_some() || passes(worked).iter().any(|row| wants_warmth(worked, &bands(row)))
}

/// Part temperature under which a pass is not started and the part is warmed first, °C: for the metal, or for a set that
/// is too small for a cold part; none where it starts cold.
#[must_use]
pub fn never_under(job: &Job<'_>, worked: &Worked) -> Option<f64> {
    metals::kept_warm(job, worked).or_else(|| warm_from(worked))
}

/// How many times the metal beside the weld is as thick.
#[must_use]
pub fn beside_ratio(job: &Job<'_>) -> Option<f64> {
    let beside = job.spec.metal.beside.as_ref().map(|at| at.value.thickness.value.value().in_mm())?;
    let wall = job.thickness.filter(|wall| *wall > 0.0)?;
    Some((beside / wall).max(wall / beside))
}

fn beside_over(job: &Job<'_>, key: &str) -> bool {
    beside_ratio(job).zip(constant(key)).is_some_and(|(ratio, from)| ratio > from.value)
}

/// Whether the metal beside the weld is so much thicker that the arc is kept on it.
#[must_use]
pub fn uneven(job: &Job<'_>) -> bool {
    beside_over(job, "uneven-from")
}

/// Whether the metal beside the weld is so much thicker that it is warmed alone, or tapered.
#[must_use]
pub fn heavy_side(job: &Job<'_>) -> bool {
    beside_over(job, "taper-from")
}

/// Whether the part can be carried.
#[must_use]
pub fn movable(job: &Job<'_>) -> bool {
    let boat = job.spec.place.site.as_ref().is_some_and(|at| at.value == Site::OnTheBoat);
    job.spec.part.movable.as_ref().is_none_or(|at| at.value) && !boat
}

/// Whether the part can go into a vented oven of the shop.
#[must_use]
pub fn oven(job: &Job<'_>) -> bool {
    let oven = job.kit.and_then(|kit| kit.heating.oven.as_ref());
    movable(job) && oven.is_some_and(|oven| oven.value.vented.as_ref().is_some_and(|at| at.value))
}

/// Whether the shop has a soft burner.
#[must_use]
pub fn burner(job: &Job<'_>) -> bool {
    let burner = job.kit.and_then(|kit| kit.heating.burner.as_ref());
    burner.is_some_and(|burner| burner.value == Burner::Soft)
}

/// Whether a step of the sheet warms metal with the burner: the heavy side, the part before the first pass, or the part
/// between passes.
#[must_use]
pub fn by_burner(job: &Job<'_>, worked: &Worked) -> bool {
    let first = before_the_first(job, worked) && !oven(job);
    let between = between_passes(job, worked) && passes(worked).len() != 1;
    burner(job) && (heavy_side(job) || first || between)
}
