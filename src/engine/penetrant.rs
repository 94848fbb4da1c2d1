//! Penetrant testing: dwell and developer time at its four places.

use super::figure::{Figure, Value};
use super::job::Job;
use super::names::FigureName;
use super::work::Work;
use crate::reference::{Basis, PenetrantDwell, PenetrantLimit, Product, Row, penetrant_dwell, penetrant_limit};
use crate::spec::{Cause, DamageKind, InspectionMethod};
use crate::units::InUnits;

/// Whether the job is tested with penetrant: so it is unless the methods leave it out.
#[must_use]
pub fn wanted(job: &Job<'_>) -> bool {
    let methods = &job.spec.inspection.methods;
    methods.is_empty() || methods.iter().any(|at| at.value == InspectionMethod::Penetrant)
}

/// A limit of the tables, by what it limits and, where several hold it, the first scheme that is named.
#[must_use]
pub fn limit(what: &str, scheme: Option<&str>) -> Option<&'static PenetrantLimit> {
    penetrant_limit().rows.iter().find(|row| row.what == what && scheme.is_none_or(|scheme| row.scheme == scheme))
}

fn dwell_rows(form: &str) -> impl Iterator<Item = &'static PenetrantDwell> {
    penetrant_dwell().rows.iter().filter(move |row| row.forms.iter().any(|f| f == form || f == "any"))
}

/// Dwell and developer time.
#[must_use]
pub fn figures(job: &Job<'_>) -> Vec<Figure> {
    if !wanted(job) {
        return Vec::new();
    }
    let cast = job.base.candidates.iter().any(|alloy| alloy.product != Product::Wrought);
    let form = if cast { "casting" } else { "wrought" };
    let house =
        penetrant_dwell().rows.iter().find(|row| row.scheme == "house rule" && row.forms.iter().any(|f| f == "any"));
    let published = dwell_rows(form).find(|row| row.scheme == "ASME V");
    let service = dwell_rows("from service")
        .find(|row| row.basis == Basis::Published && row.forms.iter().any(|f| f == "from service"));
    let (Some(house), Some(published)) = (house, published) else { return Vec::new() };
    let mut work = Work::new();
    work.row("dwell-table", "a", published.dwell, "min", published.cite());
    work.with(vec![form.to_owned()]);
    work.row("dwell-house", "h", house.dwell, "min", house.cite());
    let opening = work.step("dwell-opening", "o", "max(a, h)", published.dwell.max(house.dwell), "min");
    let mut tips = opening;
    if let Some(service) = service.filter(|_| tight(job)) {
        work.row("dwell-service", "s", service.dwell, "min", service.cite());
        tips = work.step("dwell-tips", "", "max(o, s)", opening.max(service.dwell), "min");
    }
    let cold = job.spec.place.temperature.as_ref().map(|at| at.value.value().in_celsius());
    let mut factor = 1.0;
    if let (Some(air), Some(range), Some(row)) =
        (cold, limit("cold range", Some("ASME V")), limit("cold factor", Some("ASME V")))
    {
        let bounds = range.range.unwrap_or([f64::NAN; 2]);
        if bounds[0] <= air && air < bounds[1] {
            factor = row.value.unwrap_or(1.0);
            work.adjust("dwell-cold", "q", factor, "", row.cite());
            work.step("dwell-cold-opening", "", "q * o", factor * opening, "min");
        }
    }
    let (opening, tips) = (opening * factor, tips * factor);
    let basis = if tips > opening { Basis::Published } else { house.basis };
    let value = Value::Range { low: opening.min(tips), high: opening.max(tips), set: opening };
    let mut dwell = work.done(FigureName::PenetrantDwell, value, basis);
    dwell.minimum = Some(published.dwell);
    dwell.parts =
        vec![("tips", tips, "min"), ("opening", opening, "min"), ("gouge", opening, "min"), ("final", opening, "min")];
    if let Some(longest) = limit("longest dwell", None) {
        dwell.maximum = longest.value.or(longest.range.map(|range| range[1]));
    }
    let mut figures = vec![dwell];
    figures.extend(developer());
    figures
}

/// A crack from service is tight and may be full of what the part ran in.
fn tight(job: &Job<'_>) -> bool {
    let kind = job.spec.damage.kind.as_ref().map(|at| at.value);
    let cause = job.spec.damage.cause.as_ref().map(|at| at.value);
    matches!(kind, Some(DamageKind::Crack | DamageKind::FailedWeld | DamageKind::BrokenLug))
        && cause != Some(Cause::CastingDefect)
}

/// The reading window, counted from dry developer: the overlap of the two published windows.
fn developer() -> Option<Figure> {
    let windows: Vec<&'static PenetrantLimit> = penetrant_limit()
        .rows
        .iter()
        .filter(|row| row.what == "reading window" && row.basis == Basis::Published)
        .collect();
    let mut work = Work::new();
    let (mut low, mut high) = (0.0_f64, f64::MAX);
    for row in &windows {
        let range = row.range?;
        work.row_range("reading-window", (range[0], range[1]), "min", row.cite());
        (low, high) = (low.max(range[0]), high.min(range[1]));
    }
    (low < high && !windows.is_empty()).then(|| {
        work.step_range("reading-overlap", "", (low, high), "min");
        work.done(FigureName::DeveloperTime, Value::Range { low, high, set: low }, Basis::Published)
    })
}
