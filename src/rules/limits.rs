//! Limits that need a rule and no formula: what the shop has, against what this job does with it.

use super::case::Case;
use super::facts::Facts;
use crate::findings::{Code, Finding};

/// What has to be said.
#[must_use]
pub fn findings(case: &Case<'_>, facts: &Facts) -> Vec<Finding> {
    oven_without_vent(case, facts).into_iter().collect()
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
