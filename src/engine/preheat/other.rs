//! Preheat and interpass temperature of metals other than aluminium: there the row of the metal is a need, not a limit.

use super::Limits;
use crate::engine::ferrous::cet_preheat::Advice;
use crate::engine::ferrous::preheat::SteelPreheat;
use crate::engine::figure::{Figure, LineKind, Value};
use crate::engine::job::Job;
use crate::engine::names::FigureName;
use crate::engine::stock;
use crate::engine::work::{Work, constant, constant_of, round};
use crate::findings::Finding;
use crate::reference::heat::preheat_rows_for;
use crate::reference::{Alloy, Basis, PreheatRow, Row, Weldability};
use crate::units::{InUnits, show};

/// The rows that hold for an alloy, the one that leads first; without a thickness those of the thickest wall that is
/// welded by TIG.
fn rows(alloy: &Alloy, wall: Option<f64>) -> Vec<&'static PreheatRow> {
    preheat_rows_for(alloy, wall.unwrap_or(constant("thick-for-tig").value))
}

/// All alloys that the job may be of, of both sides.
fn alloys(job: &Job<'_>) -> Vec<&'static Alloy> {
    let bases = std::iter::once(&job.base).chain(&job.other);
    bases.flat_map(|base| base.candidates.iter().copied()).collect()
}

/// The row that asks for most heat, and the one that allows least between passes.
struct Rules {
    /// Highest least preheat, °C, with its row.
    need: Option<(f64, &'static PreheatRow)>,
    /// Highest preheat of that row, °C.
    most: Option<f64>,
    /// Lowest interpass limit, °C, with its row.
    between: Option<(f64, &'static PreheatRow)>,
}

/// The row that rules an alloy: the one that leads, or the other way of doing it that the author's own preheat chooses.
fn ruling(job: &Job<'_>, alloy: &Alloy) -> Option<&'static PreheatRow> {
    let rows = rows(alloy, job.thickness);
    let own = job.spec.weld.set.as_ref().and_then(|set| set.value.preheat.as_ref());
    let own = own.map(|set| set.value.value.value.range.high.in_celsius());
    let lead = rows.first().copied();
    let fits = |row: &PreheatRow, own: f64| row.preheat.is_some_and(|[low, high]| low <= own && own <= high);
    match own {
        Some(own) if !lead.is_some_and(|lead| fits(lead, own)) => rows.into_iter().find(|row| fits(row, own)).or(lead),
        _ => lead,
    }
}

fn rules(job: &Job<'_>) -> Rules {
    let leading: Vec<&'static PreheatRow> = alloys(job).into_iter().filter_map(|alloy| ruling(job, alloy)).collect();
    let need =
        leading.iter().filter_map(|row| row.preheat.map(|[low, _]| (low, *row))).max_by(|a, b| a.0.total_cmp(&b.0));
    let between =
        leading.iter().filter_map(|row| row.interpass_max.map(|most| (most, *row))).min_by(|a, b| a.0.total_cmp(&b.0));
    Rules { need, most: need.and_then(|(_, row)| row.preheat.map(|[_, high]| high)), between }
}

/// Least preheat that the metal asks for, °C: none where it is welded as cold as the shop.
fn needed(rules: &Rules) -> Option<f64> {
    rules.need.map(|(low, _)| low).filter(|low| *low > constant("no-preheat-up-to").value)
}

/// The interpass limit, and the preheat that the metal asks for.
#[must_use]
pub(super) fn limits(job: &Job<'_>) -> Option<Limits> {
    let class = job.class();
    let rules = rules(job);
    let needed = needed(&rules);
    let mut work = Work::new();
    let (mut interpass, basis) = match rules.between {
        Some((most, row)) => {
            work.row("interpass-row", "T", most, "°C", row.cite());
            work.with(vec![row.group.clone(), of_condition(row)]);
            (most, row.basis)
        }
        None => {
            let usual = work.constant_of(class, "interpass-usual", "T");
            work.with(vec![class.word().to_owned()]);
            // A part that is warmed hotter than that is not cooled for the next pass.
            let warm = rules.most.filter(|most| *most > usual);
            if let (Some(most), Some((_, row))) = (warm, rules.need) {
                work.adjust("interpass-of-preheat", "T", most, "°C", row.cite());
            }
            (warm.unwrap_or(usual), constant_of(class, "interpass-usual").basis)
        }
    };
    for alloy in alloys(job).into_iter().take(2) {
        for witness in rows(alloy, job.thickness).into_iter().skip(1) {
            if let Some(most) = witness.interpass_max {
                work.check("interpass-witness", (most, most), "°C", Some(witness.cite()));
            }
        }
    }
    if let Some((low, row)) = rules.need.filter(|(low, _)| *low > interpass) {
        // A pair whose one side has to be warmer than the other may be: the side that cracks leads.
        work.adjust("preheat-over-interpass", "T", low, "°C", row.cite());
        interpass = low;
    }
    let value = round(FigureName::InterpassMax, interpass);
    let mut figure = work.done(FigureName::InterpassMax, Value::Number(value), basis);
    figure.maximum = Some(value);
    let most = rules.most.unwrap_or(value).min(value).max(needed.unwrap_or(0.0));
    Some(Limits { interpass: value, preheat: most, oven: false, hard: None, needed, formula: None, figure })
}

impl Limits {
    /// Takes in what the formula for steels asks for: inside what it is meant for it leads where it asks for more than the
    /// row of the metal.
    pub(in crate::engine) fn take_in(&mut self, formula: SteelPreheat) {
        let asked = formula.degrees.filter(|_| matches!(formula.advice, Advice::Preheat(_)));
        let floor = self.needed.unwrap_or(constant("no-preheat-up-to").value);
        if let Some(degrees) = asked.filter(|degrees| *degrees > floor) {
            self.needed = Some(degrees);
            self.preheat = self.preheat.max(degrees).max(self.interpass);
            if degrees > self.interpass {
                self.interpass = degrees;
                self.figure.value = Value::Number(degrees);
                self.figure.maximum = Some(degrees);
            }
        }
        self.formula = Some(formula);
    }
}

fn of_condition(row: &PreheatRow) -> String {
    if row.condition.is_empty() { String::new() } else { format!(", {}", row.condition) }
}

/// The preheat: what the row of the metal asks for, drying heat in the cold and the damp, or what a small machine needs.
#[must_use]
pub(super) fn preheat_figure(job: &Job<'_>, limits: &Limits, warm_start: Option<f64>) -> (Figure, Vec<Finding>) {
    let formula = limits.formula.as_ref();
    let mut work = formula.map_or_else(Work::new, |formula| formula.work.clone());
    let rules = rules(job);
    work.stated("start", "T0", job.start_temperature, "°C", job.spec.weld.start_temperature.as_ref().map(|at| at.span));
    let drying = constant("drying-heat");
    let mut basis = drying.basis;
    let place = &job.spec.place;
    let cold_at = constant("cold-place").value;
    let cold = place.temperature.as_ref().is_some_and(|at| at.value.value().in_celsius() < cold_at)
        || job.start_temperature < cold_at;
    let damp = place.damp.as_ref().is_some_and(|at| at.value);
    if let Some((low, row)) = rules.need {
        let high = row.preheat.map_or(low, |[_, high]| high);
        work.row_range("preheat-row", (low, high), "°C", row.cite());
        work.with(vec![row.group.clone(), of_condition(row)]);
        basis = row.basis;
    }
    for alloy in alloys(job).into_iter().take(2) {
        for witness in rows(alloy, job.thickness).into_iter().skip(1) {
            if let Some([low, high]) = witness.preheat {
                work.check("preheat-witness", (low, high), "°C", Some(witness.cite()));
                work.with(vec![witness.group.clone(), of_condition(witness)]);
            }
        }
    }
    let up = |value: f64| show::round_to(value, 5.0, show::Toward::Up);
    let need = limits.needed;
    if let (Some(low), Some(formula)) = (need, formula)
        && rules.need.is_none_or(|(of_row, _)| low > of_row)
    {
        work.step("formula-leads", "", "", low, "°C");
        basis = formula.basis;
    }
    let machine = warm_start.filter(|start| *start > need.unwrap_or(job.start_temperature));
    let value = if let Some(start) = machine {
        work.step("warm-start-for-machine", "", "", start, "°C");
        Value::Range { low: up(start), high: limits.preheat.max(up(start)), set: up(start) }
    } else if let Some(low) = need {
        Value::Range { low: up(low), high: limits.preheat.max(up(low)), set: up(low) }
    } else if cold || damp {
        let range = drying.range.unwrap_or([drying.value; 2]);
        work.row_range("drying-heat", (range[0], range[1]), "°C", drying.cite());
        Value::Range { low: range[0], high: range[1].min(limits.preheat).max(range[0]), set: range[0] }
    } else {
        work.remark(LineKind::Remark, "no-preheat-asked", Vec::new(), Some(drying.cite()));
        Value::Word("none".to_owned())
    };
    let mut findings = Vec::new();
    // Of a steel that needs no heat nobody has to be told that a formula is not meant for it.
    let doubtful = job.base.candidates.iter().any(|alloy| alloy.weldability == Weldability::Limited);
    if let Some(formula) = formula.filter(|_| need.is_some() || doubtful) {
        findings.extend(formula.findings.iter().cloned().map(|finding| finding.at_some(job.base.span)));
    }
    if job.start_temperature >= limits.interpass {
        findings.push(super::too_warm(job, limits.interpass));
    }
    if let (Some(low), true) = (need, heats_nothing(job)) {
        let burner = job.kit.and_then(|kit| kit.heating.burner.as_ref()).map(|at| at.span);
        findings.push(stock::lacks(
            format!(
                "{} wants {} °C before the arc, and the kit has no oven and no burner",
                job.base.shown,
                show::number(up(low), 0)
            ),
            "a heating mat, an oven or a soft burner; welded cold, this metal cracks beside the weld".to_owned(),
            burner,
        ));
    }
    let basis = if matches!(value, Value::Word(_)) { Basis::CommonPractice } else { basis };
    let mut figure = work.done(FigureName::Preheat, value, basis);
    figure.minimum = need.map(up);
    figure.maximum = Some(limits.preheat);
    (figure, findings)
}

/// Whether the kit says that the shop has nothing to heat a part with.
fn heats_nothing(job: &Job<'_>) -> bool {
    job.kit.is_some_and(|kit| {
        let none = kit.heating.burner.as_ref().is_some_and(|at| at.value == crate::kit::Burner::None);
        none && kit.heating.oven.is_none()
    })
}
