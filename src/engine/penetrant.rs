//! Penetrant testing: dwell and developer time at its four places.

use super::figure::{Figure, LineKind, Value};
use super::job::Job;
use super::names::FigureName;
use super::work::Work;
use crate::findings::{Code, Finding};
use crate::kit::Kit;
use crate::reference::{Basis, Cite, PenetrantDwell, PenetrantLimit, Product, Row, penetrant_dwell, penetrant_limit};
use crate::spec::{Cause, DamageKind, InspectionMethod};
use crate::units::InUnits;

/// The scheme whose published dwell leads.
const ASME: &str = "ASME V";

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

/// How a dye is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// A colour, in white light.
    Visible,
    /// A glow, in the dark under a lamp.
    Fluorescent,
}

/// What takes a dye off the face before the developer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Remover {
    /// A cloth damp with solvent.
    Solvent,
    /// Water alone.
    Water,
    /// An emulsifier, then water.
    Emulsifier,
}

/// How the shop's dye is read and taken off, by the words of the kit; visible and by solvent where it says nothing.
#[must_use]
pub fn dye(job: &Job<'_>) -> (Reading, Remover) {
    let kind = job.kit.and_then(|kit| kit.measure.penetrant.as_ref()).and_then(|at| at.value.kind.as_ref());
    let kind = kind.map_or_else(String::new, |at| at.value.to_lowercase());
    let both = kind.contains("fluorescent") && kind.contains("visible");
    let reading = if kind.contains("fluorescent") && !both { Reading::Fluorescent } else { Reading::Visible };
    let remover = if kind.contains("emuls") {
        Remover::Emulsifier
    } else if kind.contains("water") && !kind.contains("solvent") {
        Remover::Water
    } else {
        Remover::Solvent
    };
    (reading, remover)
}

/// The finding that the shop has no dye for a job that is tested with it.
#[must_use]
pub fn lacking(job: &Job<'_>) -> Option<Finding> {
    // A kit that lists nothing to measure with says nothing of its dye.
    let lists = |kit: &Kit| {
        let measure = &kit.measure;
        measure.flowmeter.is_some() || measure.temperature.is_some() || !measure.temperature_sticks.is_empty()
    };
    let kit = job.kit.filter(|kit| kit.measure.penetrant.is_none() && lists(kit) && job.from_spec() && wanted(job))?;
    let shop = kit.shop.name.as_ref().map_or("the kit", |at| at.value.as_str());
    let asked = job.spec.inspection.methods.iter().find(|at| at.value == InspectionMethod::Penetrant);
    Some(
        Finding::new(Code::KitLacks, format!("{shop} has no penetrant, and this job is tested with it"))
            .at_some(asked.map(|at| at.span))
            .help(
                "buy dye, remover and developer of one family, or send the part out for the test; a look at 5 times alone \
                 shows less, and then `methods` must say so",
            ),
    )
}

/// How many times as long a dwell of a scheme is on a part as cold as the air of the place; none where it is not.
fn cold_factor(job: &Job<'_>, scheme: &str) -> Option<(f64, Cite)> {
    let air = job.spec.place.temperature.as_ref().map(|at| at.value.value().in_celsius())?;
    let [low, high] = limit("cold range", Some(scheme))?.range?;
    let row = limit("cold factor", Some(scheme))?;
    (low <= air && air < high).then_some((row.value?, row.cite()))
}

/// Whether the part is so cold that the published dwell is longer on it.
#[must_use]
pub fn cold(job: &Job<'_>) -> bool {
    cold_factor(job, ASME).is_some()
}

/// The rows that a dwell hangs on.
struct Rows {
    form: &'static str,
    house: &'static PenetrantDwell,
    metal: &'static PenetrantDwell,
    weld: &'static PenetrantDwell,
    service: Option<&'static PenetrantDwell>,
}

impl Rows {
    fn of(job: &Job<'_>) -> Option<Rows> {
        let cast = job.base.candidates.iter().any(|alloy| alloy.product != Product::Wrought);
        let form = if cast { "casting" } else { "wrought" };
        let service = |row: &&PenetrantDwell| {
            row.basis == Basis::Published && row.forms.iter().any(|form| form == "from service")
        };
        Some(Rows {
            form,
            house: dwell_rows("any").find(|row| row.scheme == "house rule")?,
            metal: dwell_rows(form).find(|row| row.scheme == ASME)?,
            weld: dwell_rows("weld").find(|row| row.scheme == ASME)?,
            service: dwell_rows("from service").find(service).filter(|_| tight(job)),
        })
    }
}

/// Dwell and developer time.
#[must_use]
pub fn figures(job: &Job<'_>) -> Vec<Figure> {
    let rows = if wanted(job) { Rows::of(job) } else { None };
    rows.map_or_else(Vec::new, |rows| [Some(dwell(job, &rows)), developer()].into_iter().flatten().collect())
}

/// The dwell of the test at its four places.
fn dwell(job: &Job<'_>, rows: &Rows) -> Figure {
    let mut work = Work::new();
    work.row("dwell-table", "a", rows.metal.dwell, "min", rows.metal.cite());
    work.with(vec![rows.form.to_owned()]);
    work.row("dwell-weld", "w", rows.weld.dwell, "min", rows.weld.cite());
    work.row("dwell-house", "h", rows.house.dwell, "min", rows.house.cite());
    let label = job.kit.and_then(|kit| kit.measure.penetrant.as_ref()).and_then(|at| at.value.dwell_on_label.as_ref());
    let label = label.map_or(0.0, |at| {
        let minutes = at.value.range.high.in_minutes();
        work.kit("dwell-label", "l", minutes, "min", Some(at.span))
    });
    let cold = cold_factor(job, ASME).map_or(1.0, |(factor, cite)| work.adjust("dwell-cold", "q", factor, "", cite));
    // A shorter dwell on the can never shortens ours; a longer one holds.
    let formulas = match (label > 0.0, cold > 1.0) {
        (true, true) => ["q * max(max(a, h), l)", "q * max(max(w, h), l)"],
        (true, false) => ["max(max(a, h), l)", "max(max(w, h), l)"],
        (false, true) => ["q * max(a, h)", "q * max(w, h)"],
        (false, false) => ["max(a, h)", "max(w, h)"],
    };
    let least = rows.house.dwell.max(label);
    let (in_metal, on_weld) = (cold * rows.metal.dwell.max(least), cold * rows.weld.dwell.max(least));
    let mut tips = in_metal;
    if let Some(service) = rows.service {
        work.row("dwell-service", "s", service.dwell, "min", service.cite());
        let colder = cold_factor(job, &service.scheme);
        let factor = colder.map_or(1.0, |(factor, cite)| work.adjust("dwell-cold-service", "r", factor, "", cite));
        work.step("dwell-opening", "o", formulas[0], in_metal, "min");
        let formula = if factor > 1.0 { "max(o, r * s)" } else { "max(o, s)" };
        tips = work.step("dwell-tips", "", formula, in_metal.max(factor * service.dwell), "min");
    } else {
        work.step("dwell-tips", "", formulas[0], in_metal, "min");
        work.step("dwell-opening", "", formulas[0], in_metal, "min");
    }
    work.step("dwell-gouge", "", formulas[0], in_metal, "min");
    work.step("dwell-final", "", formulas[1], on_weld, "min");
    if let Some(other) = dwell_rows("any").find(|row| row.scheme == "NAVSEA 271") {
        work.check("dwell-beside", (other.dwell, other.dwell), "min", Some(other.cite()));
    }
    if dye(job).0 == Reading::Fluorescent {
        work.remark(LineKind::Remark, "dwell-fluorescent", Vec::new(), None);
    }
    let basis = if tips > in_metal { Basis::Published } else { rows.house.basis };
    let value = Value::Range { low: in_metal.min(on_weld), high: tips.max(in_metal), set: in_metal };
    let mut figure = work.done(FigureName::PenetrantDwell, value, basis);
    figure.minimum = Some(rows.metal.dwell);
    figure.parts = vec![
        ("tips", tips, "min"),
        ("opening", in_metal, "min"),
        ("gouge", in_metal, "min"),
        ("final", on_weld, "min"),
    ];
    if let Some(longest) = limit("longest dwell", None) {
        figure.maximum = longest.value.or(longest.range.map(|range| range[1]));
    }
    figure
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
