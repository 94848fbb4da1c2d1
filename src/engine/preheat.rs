//! Preheat and interpass limits: for aluminium the published rows are limits, not wishes.

mod other;

use super::ferrous::preheat::SteelPreheat;
use super::figure::{Figure, Figures, LineKind, Value};
use super::job::Job;
use super::names::FigureName;
use super::work::{Work, constant, round};
use crate::findings::{Code, Finding};
use crate::reference::{Alloy, Basis, Class, Preheat, Product, Row, preheat};
use crate::units::InUnits;

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

/// The row of a variant, `oven` or `bake-out`, that rules the metals of a job: the strictest; none where one of them may
/// not be heated so far at all.
#[must_use]
pub fn variant_row(job: &Job<'_>, variant: &str) -> Option<&'static Preheat> {
    let rows = || preheat().rows.iter().filter(|row| row.variant == variant);
    let temper = job.base.temper.clone().unwrap_or_default();
    let soft = |row: &&Preheat| row.group == "castings" && row.tempers.contains(&temper);
    let mut allowed: Vec<&'static Preheat> = Vec::new();
    for alloy in alloys(job) {
        let own = rows().find(|row| row.group == alloy.heat_group);
        let any = rows().find(|row| row.group == "castings" && alloy.heat_group == "general");
        let casting = rows().find(soft).filter(|_| matches!(alloy.heat_group.as_str(), "general" | "heat-treatable"));
        allowed.push(casting.or(own).or(any)?);
    }
    allowed.into_iter().min_by(|a, b| a.preheat_max.unwrap_or(0.0).total_cmp(&b.preheat_max.unwrap_or(0.0)))
}

fn alloys<'a>(job: &'a Job<'_>) -> impl Iterator<Item = &'static Alloy> + use<'a> {
    let bases = std::iter::once(&job.base).chain(&job.other);
    bases.flat_map(|base| base.alloy.into_iter().chain(base.candidates.iter().copied()))
}

/// The oven variant for a casting that goes into a vented oven whole: its highest preheat, its highest temperature
/// between passes and the minutes that it allows; none for wrought metal, for a die casting, for a part that stays where
/// it is, and for a shop without a vented oven.
#[must_use]
pub fn oven(job: &Job<'_>) -> Option<(f64, f64, &'static Preheat)> {
    let shop = job.kit.is_some_and(|kit| {
        let oven = kit.heating.oven.as_ref().map(|at| &at.value);
        oven.is_some_and(|oven| oven.vented.as_ref().is_some_and(|at| at.value))
    });
    let stays = job.spec.part.movable.as_ref().is_some_and(|at| !at.value);
    let cast = job.base.alloy.is_some() && alloys(job).all(|alloy| alloy.product == Product::Cast);
    if !shop || stays || !cast {
        return None;
    }
    let row = variant_row(job, "oven")?;
    let end = job.kit.and_then(|kit| kit.heating.oven.as_ref()?.value.maximum.as_ref());
    let reach = end.map_or(f64::INFINITY, |at| at.value.range.high.in_celsius());
    let preheat = row.preheat_max?.min(reach);
    Some((preheat, row.interpass_max.unwrap_or(preheat), row))
}

/// The preheat that the author sets past what an open part may have, where an oven allows it.
fn own_oven_preheat(job: &Job<'_>, usual: f64) -> Option<(f64, f64, &'static Preheat)> {
    let set = job.spec.weld.set.as_ref()?.value.preheat.as_ref()?;
    let wanted = set.value.value.value.range.high.in_celsius();
    let (most, between, row) = oven(job)?;
    (usual < wanted && wanted <= most).then_some((wanted, between, row))
}

/// What is known of the temperatures before the current is worked out.
#[derive(Debug, Clone)]
pub struct Limits {
    /// Interpass limit, °C.
    pub interpass: f64,
    /// Highest preheat, °C.
    pub preheat: f64,
    /// Whether the part is warmed whole, in an oven, by the variant for castings.
    pub oven: bool,
    /// Limit that must never be passed, where it lies above the aim, °C.
    pub hard: Option<f64>,
    /// Least preheat that the metal asks for, °C; none where it is welded as cold as the shop.
    pub needed: Option<f64>,
    /// What the formula for steels asks for, with its working; none for other metals.
    pub formula: Option<SteelPreheat>,
    /// The figure of the interpass limit.
    pub figure: Figure,
}

/// The interpass limit.
#[must_use]
pub fn limits(job: &Job<'_>) -> Option<Limits> {
    if job.class() != Class::Aluminium {
        return other::limits(job);
    }
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
    let usual = limit.preheat_max.unwrap_or(interpass);
    let oven = own_oven_preheat(job, usual);
    let mut interpass = interpass;
    let mut most = usual;
    if let Some((wanted, between, row)) = oven {
        let over = constant("oven-between-passes").value;
        work.adjust("oven-variant", "To", between, "°C", row.cite());
        work.stated("oven-preheat", "P", wanted, "°C", job.spec.weld.set.as_ref().map(|at| at.span));
        work.small_constant("oven-between-passes", "x");
        interpass = work.step("oven-between", "", "min(P + x, To)", (wanted + over).min(between), "°C");
        most = row.preheat_max.unwrap_or(usual);
    }
    let value = round(FigureName::InterpassMax, interpass);
    let mut figure = work.done(FigureName::InterpassMax, Value::Number(value), limit.basis);
    figure.maximum = hard.map(|(max, _)| max).or(Some(value));
    Some(Limits {
        interpass: value,
        preheat: most,
        oven: oven.is_some(),
        hard: hard.map(|(max, _)| max),
        needed: None,
        formula: None,
        figure,
    })
}

/// The preheat: none, unless the cold or the damp asks for drying heat, or the machine is too small for a cold start.
#[must_use]
pub fn preheat_figure(job: &Job<'_>, limits: &Limits, warm_start: Option<f64>) -> (Figure, Vec<Finding>) {
    if job.class() != Class::Aluminium {
        return other::preheat_figure(job, limits, warm_start);
    }
    let mut work = Work::new();
    let mut findings = Vec::new();
    work.stated("start", "T0", job.start_temperature, "°C", job.spec.weld.start_temperature.as_ref().map(|at| at.span));
    work.check("preheat-limit", (limits.preheat, limits.preheat), "°C", limits.figure.cites().into_iter().next());
    let drying = constant("drying-heat");
    let place = &job.spec.place;
    let cold =
        place.temperature.as_ref().is_some_and(|at| at.value.value().in_celsius() < constant("cold-place").value)
            || job.start_temperature < constant("cold-place").value;
    let damp = place.damp.as_ref().is_some_and(|at| at.value);
    let drying_range = drying.range.unwrap_or([drying.value, drying.value]);
    if let Some((most, _, row)) = oven(job) {
        work.check("oven-preheat-limit", (most, most), "°C", Some(row.cite()));
        if let Some(minutes) = row.minutes_max {
            work.remark(
                LineKind::Remark,
                "oven-minutes",
                vec![crate::units::show::number(minutes, 0)],
                Some(row.cite()),
            );
        }
    }
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
        findings.push(too_warm(job, limits.interpass));
    }
    let basis = if matches!(value, Value::Word(_)) { Basis::CommonPractice } else { drying.basis };
    let mut figure = work.done(FigureName::Preheat, value, basis);
    figure.maximum = Some(limits.preheat);
    (figure, findings)
}

/// Temperature of the part at the first arc, °C: as it comes, or as warm as the metal asks for.
#[must_use]
pub fn first_arc(job: &Job<'_>, figures: &Figures) -> f64 {
    let least = figures.get(&FigureName::Preheat).and_then(|figure| figure.minimum);
    least.map_or(job.start_temperature, |least| least.max(job.start_temperature))
}

/// The part is at its interpass limit before the first arc.
fn too_warm(job: &Job<'_>, interpass: f64) -> Finding {
    Finding::new(
        Code::SettingStart,
        format!(
            "the part starts at {} °C, and no pass may start above {} °C",
            crate::units::show::number(job.start_temperature, 0),
            crate::units::show::number(interpass, 0)
        ),
    )
    .at_some(job.spec.weld.start_temperature.as_ref().map(|at| at.span))
    .help("wait until the probe reads less; no water")
}
