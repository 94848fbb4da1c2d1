//! Preheat and interpass limits: for aluminium the published rows are limits, not wishes.

use super::figure::{Figure, LineKind, Value};
use super::job::Job;
use super::names::FigureName;
use super::work::{Work, constant, round};
use crate::findings::{Code, Finding};
use crate::reference::{Alloy, Basis, Preheat, Row, preheat};

/// The row that leads for a group and variant.
#[must_use]
pub fn row(group: &str, variant: &str) -> Option<&'static Preheat> {
    let mut rows = preheat().rows.iter().filter(|row| row.group == group && row.variant == variant);
    let first = rows.clone().next();
    rows.find(|row| row.leads).or(first)
}

/// The strictest limit row of all that the metal may be.
fn limit_row(candidates: &[&'static Alloy]) -> Option<&'static Preheat> {
    candidates
        .iter()
        .filter_map(|alloy| row(&alloy.heat_group, "limit"))
        .min_by(|a, b| a.interpass_max.unwrap_or(f64::MAX).total_cmp(&b.interpass_max.unwrap_or(f64::MAX)))
}

/// What is known of the temperatures before the current is worked out.
#[derive(Debug, Clone)]
pub struct Limits {
    /// Interpass limit, °C.
    pub interpass: f64,
    /// Highest preheat, °C.
    pub preheat: f64,
    /// Limit that must never be passed, where it lies above the aim, °C.
    pub hard: Option<f64>,
    /// The figure of the interpass limit.
    pub figure: Figure,
}

/// The interpass limit.
#[must_use]
pub fn limits(job: &Job<'_>) -> Option<Limits> {
    let mut candidates = job.base.candidates.clone();
    candidates.extend(job.other.iter().flat_map(|other| other.candidates.iter().copied()));
    let limit = limit_row(&candidates)?;
    let interpass = limit.interpass_max?;
    let mut work = Work::new();
    work.row("interpass-limit", "T", interpass, "°C", limit.cite());
    work.with(vec![limit.group.clone()]);
    let hard = candidates
        .iter()
        .filter_map(|alloy| row(&alloy.heat_group, "hard limit"))
        .filter_map(|row| row.interpass_max.map(|max| (max, row)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((max, row)) = hard {
        work.check("interpass-hard-limit", (max, max), "°C", Some(row.cite()));
        if let Some(minutes) = row.minutes_max {
            work.with(vec![crate::units::show::number(minutes, 0)]);
        }
    }
    for witness in
        preheat().rows.iter().filter(|row| row.variant == "witness" && (row.group == limit.group || row.group == "all"))
    {
        if let Some(max) = witness.interpass_max {
            work.check("interpass-witness", (max, max), "°C", Some(witness.cite()));
        }
    }
    let value = round(FigureName::InterpassMax, interpass);
    let mut figure = work.done(FigureName::InterpassMax, Value::Number(value), limit.basis);
    figure.maximum = hard.map(|(max, _)| max).or(Some(value));
    Some(Limits {
        interpass: value,
        preheat: limit.preheat_max.unwrap_or(interpass),
        hard: hard.map(|(max, _)| max),
        figure,
    })
}

/// The preheat: none, unless the cold or the damp asks for drying heat, or the machine is too small for a cold start.
#[must_use]
pub fn preheat_figure(job: &Job<'_>, limits: &Limits, warm_start: Option<f64>) -> (Figure, Vec<Finding>) {
    let mut work = Work::new();
    let mut findings = Vec::new();
    work.stated("start", "T0", job.start_temperature, "°C", job.spec.weld.start_temperature.as_ref().map(|at| at.span));
    work.check("preheat-limit", (limits.preheat, limits.preheat), "°C", limits.figure.cites().into_iter().next());
    let drying = constant("drying-heat");
    let place = &job.spec.place;
    let cold = place
        .temperature
        .as_ref()
        .is_some_and(|at| crate::units::InUnits::in_celsius(at.value.value()) < constant("cold-place").value)
        || job.start_temperature < constant("cold-place").value;
    let damp = place.damp.as_ref().is_some_and(|at| at.value);
    let drying_range = drying.range.unwrap_or([drying.value, drying.value]);
    let value = if let Some(start) = warm_start.filter(|start| *start > job.start_temperature) {
        work.step("warm-start-for-machine", "", "", start, "°C");
        Value::Range {
            low: round(FigureName::Preheat, start),
            high: limits.preheat.max(start),
            set: round(FigureName::Preheat, start),
        }
    } else if cold || damp {
        work.row_range("drying-heat", (drying_range[0], drying_range[1]), "°C", drying.cite());
        Value::Range { low: drying_range[0], high: drying_range[1].min(limits.preheat), set: drying_range[0] }
    } else {
        work.remark(LineKind::Remark, "no-preheat-needed", Vec::new(), Some(drying.cite()));
        Value::Word("none".to_owned())
    };
    if job.start_temperature >= limits.interpass {
        findings.push(
            Finding::new(
                Code::SettingStart,
                format!(
                    "the part starts at {} °C, and no pass may start above {} °C",
                    crate::units::show::number(job.start_temperature, 0),
                    crate::units::show::number(limits.interpass, 0)
                ),
            )
            .at_some(job.spec.weld.start_temperature.as_ref().map(|at| at.span))
            .help("wait until the probe reads less; no water"),
        );
    }
    let basis = if matches!(value, Value::Word(_)) { Basis::CommonPractice } else { drying.basis };
    let mut figure = work.done(FigureName::Preheat, value, basis);
    figure.maximum = Some(limits.preheat);
    (figure, findings)
}
