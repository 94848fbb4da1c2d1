//! Limits that need a rule and no formula: what the shop has, against what this job does with it.

use super::case::Case;
use super::facts::Facts;
use crate::engine::FigureName;
use crate::findings::{Code, Finding};
use crate::units::show;

/// What has to be said.
#[must_use]
pub fn findings(case: &Case<'_>, facts: &Facts) -> Vec<Finding> {
    oven_without_vent(case, facts).into_iter().chain(no_thermometer(case)).collect()
}

/// Every pass starts by a reading; a kit that lists what it measures with, and nothing for heat, cannot take one.
fn no_thermometer(case: &Case<'_>) -> Option<Finding> {
    let measure = &case.job.kit.filter(|_| case.asked)?.measure;
    let lists = measure.flowmeter.as_ref().map(|at| at.span).or(measure.penetrant.as_ref().map(|at| at.span))?;
    if measure.temperature.is_some() || !measure.temperature_sticks.is_empty() {
        return None;
    }
    let limit = case.worked.figures.get(&FigureName::InterpassMax).and_then(|figure| figure.aim());
    let limit = limit.map_or_else(String::new, |limit| format!(" of {} °C", show::number(limit, 0)));
    let help = format!("a contact thermometer, or temperature sticks for the limit{limit} and for the start of a pass");
    Some(
        Finding::new(Code::KitLacks, "the shop has nothing to read the temperature of the part with")
            .at(lists)
            .help(help),
    )
}

/// An oven without a vent keeps the vapour of oil and solvent: it is no oven for a wet part, and none for a bake-out.
/// Where the kit does not say whether it is vented, only a bake-out asks.
fn oven_without_vent(case: &Case<'_>, facts: &Facts) -> Option<Finding> {
    let oven = case.job.kit?.heating.oven.as_ref()?;
    let bake_out = facts.holds("op.bake_out");
    let (span, message) = match &oven.vented {
        Some(vented) if vented.value => return None,
        Some(vented) => (vented.span, "the oven has no vent: vapour from a wet or oily part takes fire in it"),
        None if bake_out => (oven.span, "the kit does not say that the oven is vented, and this part is baked out"),
        None => return None,
    };
    let help = "a vented oven, watched, and never one for food; or the soft burner where the sheet allows it";
    Some(Finding::new(Code::KitLacks, message).at(span).label("no vent").help(help))
}
