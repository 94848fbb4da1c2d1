//! What the weld metal is made of: dilution, composition, and whether it lies where metals crack while they freeze.

use super::figure::{Figure, Value};
use super::job::Job;
use super::names::FigureName;
use super::work::{Work, constant};
use crate::reference::search::{composition_of, content};
use crate::reference::{Alloy, CrackRange, DilutionTypical, Filler, Row, crack_range, dilution_typical};
use crate::spec::Joint;

/// Content of an element in the weld metal, percent: `share` of the base metal, the rest filler.
#[must_use]
pub fn mixed(base: f64, filler: f64, share: f64) -> f64 {
    share * base + (1.0 - share) * filler
}

/// Share of base metal in a weld, 0 to 1, from the areas of its section: base metal melted and metal laid, mm2.
#[must_use]
pub fn dilution_by_area(melted: f64, laid: f64) -> f64 {
    melted / (melted + laid)
}

/// The same with two base metals and their shares.
#[must_use]
pub fn mixed_two(a: (f64, f64), b: (f64, f64), filler: f64) -> f64 {
    a.0 * a.1 + b.0 * b.1 + (1.0 - a.1 - b.1) * filler
}

/// Mass ratio of magnesium to silicon in Mg2Si.
#[must_use]
pub fn magnesium_to_silicon() -> f64 {
    2.0 * constant("molar-mass-magnesium").value / constant("molar-mass-silicon").value
}

/// Mg2Si that a weld metal can form, percent, from its magnesium and silicon.
#[must_use]
pub fn magnesium_silicide(magnesium: f64, silicon: f64) -> f64 {
    let ratio = magnesium_to_silicon();
    let bound_magnesium = magnesium.min(silicon * ratio);
    bound_magnesium * (1.0 + 1.0 / ratio)
}

/// The row of the usual dilution for a joint.
#[must_use]
pub fn dilution_row(joint: Joint, thin: bool) -> Option<&'static DilutionTypical> {
    let word = match joint {
        Joint::Butt if thin => "square butt",
        Joint::Butt | Joint::Edge | Joint::Corner => "open butt",
        Joint::Fillet | Joint::Lap => "fillet",
        Joint::Groove | Joint::Plug => "groove",
        Joint::Pad => "pad",
    };
    dilution_typical().rows.iter().find(|row| row.joint == word)
}

/// The dilution figure, percent.
#[must_use]
pub fn dilution_figure(job: &Job<'_>, wall: f64) -> Option<Figure> {
    let row = dilution_row(job.joint, wall <= constant("square-edge-limit").value)?;
    let mut work = Work::new();
    work.row_range("dilution-row", (row.share[0] * 100.0, row.share[1] * 100.0), "%", row.cite());
    let mut value = (row.share[0] * 100.0, row.share[1] * 100.0);
    if matches!(job.joint, Joint::Groove | Joint::Plug) {
        // The root melts more of the wall than the passes above it.
        if let Some(root) = dilution_typical().rows.iter().find(|row| row.joint == "root") {
            work.check("dilution-root", (root.share[0] * 100.0, root.share[1] * 100.0), "%", Some(root.cite()));
            value.1 = value.1.max(root.share[1] * 100.0);
            work.step_range("dilution-over-all", "", value, "%");
        }
    }
    let value = Value::Range { low: value.0, high: value.1, set: f64::midpoint(value.0, value.1) };
    Some(work.done(FigureName::Dilution, value, row.basis))
}

/// Content of an element (or `mg2si`) in the weld metal at both ends of a dilution range, percent.
#[must_use]
pub fn weld_content(base: &Alloy, filler: &Filler, element: &str, share: [f64; 2]) -> (f64, f64) {
    let of = |element: &str, share: f64| {
        let base = composition_of(&base.name).map_or(0.0, |composition| content(&composition.limits, element));
        mixed(base, content(&filler.limits, element), share)
    };
    let at = |share: f64| {
        if element == "mg2si" { magnesium_silicide(of("mg", share), of("si", share)) } else { of(element, share) }
    };
    let (a, b) = (at(share[0]), at(share[1]));
    (a.min(b), a.max(b))
}

/// Whether the weld metal lies in a crack range over the dilution; the system must be the one that rules the alloy.
///
/// Silicon above its safe content heals magnesium-silicon cracks, magnesium above its own makes the alloy ductile:
/// then the Mg2Si range does not count. Gives true where the whole of the dilution range lies inside.
pub(super) fn inside(
    range: &CrackRange,
    base: &Alloy,
    filler: &Filler,
    (low, high): (f64, f64),
    share: [f64; 2],
) -> Option<bool> {
    let safe = |system: &str| {
        crack_range().rows.iter().find(|row| row.system == system).map_or(f64::MAX, |row| row.safe_above)
    };
    let worst = |element: &str| weld_content(base, filler, element, share).0;
    let silicon_rules = worst("si") >= safe("Al-Si");
    let magnesium_rules = worst("mg") >= safe("Al-Mg");
    let copper_rules = worst("cu") >= 1.0;
    let counts = match range.system.as_str() {
        "Al-Cu" => copper_rules && !silicon_rules,
        "Al-Si" => !magnesium_rules && !copper_rules && content(&filler.limits, "si") > 1.0,
        "Al-Mg" => !silicon_rules && !copper_rules && content(&filler.limits, "mg") > 1.0,
        _ => !silicon_rules && !magnesium_rules && !copper_rules && low > 0.0,
    };
    let [from, to] = range.avoid;
    let touches = high > from && low < to;
    (counts && touches).then_some(low >= from && high <= to)
}

/// A warning where the stated or usual dilution puts the weld of a pair into a crack range: for a base, filler and one
/// dilution.
#[must_use]
pub fn cracks_at(base: &Alloy, filler: &Filler, share: f64) -> Vec<(&'static CrackRange, f64)> {
    crack_range()
        .rows
        .iter()
        .filter_map(|range| {
            let (content, _) = weld_content(base, filler, &range.element, [share, share]);
            inside(range, base, filler, (content, content + 1e-9), [share, share]).map(|_| (range, content))
        })
        .collect()
}
