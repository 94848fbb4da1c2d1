//! The flowmeter: what it has to read on its own scale for a flow of this gas.

use super::{Mixture, gas_name, meter_factor, pure};
use crate::engine::figure::{Figure, LineKind, Value};
use crate::engine::job::Job;
use crate::engine::names::FigureName;
use crate::engine::stock;
use crate::engine::work::{Work, round};
use crate::findings::Finding;
use crate::kit::{Flowmeter, Meter, Scale};
use crate::reference::{Basis, Row};

/// Density of the gas that a scale is written for, kg/m3.
fn scale_density(scale: Scale, work: &mut Work) -> Option<f64> {
    let row = |name: &str| pure(name).map(|row| (row.density, row.cite()));
    match scale {
        Scale::Argon | Scale::Helium | Scale::Air => {
            let (density, cite) = row(scale.word())?;
            Some(work.small_row("scale-density", "rs", density, "kg/m3", cite))
        }
        Scale::ArgonCo2 => {
            let ((argon, of_argon), (dioxide, of_dioxide)) = (row("argon")?, row("carbon dioxide")?);
            work.small_row("gas-density-argon", "ra", argon, "kg/m3", of_argon);
            work.small_row("gas-density-co2", "rc", dioxide, "kg/m3", of_dioxide);
            let share = work.small_constant("co2-on-scale", "s") / 100.0;
            let density = (1.0 - share) * argon + share * dioxide;
            Some(work.step("scale-density", "rs", "(1 - s / 100) * ra + s / 100 * rc", density, "kg/m3"))
        }
    }
}

/// Whether a scale is written for the gas that flows.
fn same_gas(scale: Scale, helium: f64) -> bool {
    match scale {
        Scale::Argon => helium <= 0.0,
        Scale::Helium => helium >= 1.0,
        Scale::Air | Scale::ArgonCo2 => false,
    }
}

/// The reading of the shop's flowmeter, L/min, for a flow of this gas; of an argon tube where the kit names none. None
/// for an orifice gauge on another gas: no factor holds for it, and a finding says so.
pub(super) fn reading(job: &Job<'_>, flow: f64, gas: Mixture) -> (Option<Figure>, Option<Finding>) {
    let at = job.kit.and_then(|kit| kit.measure.flowmeter.as_ref());
    let meter: Option<&Flowmeter> = at.map(|at| &at.value);
    let scale_at = meter.and_then(|meter| meter.scale.as_ref());
    let scale = scale_at.map_or(Scale::Argon, |at| at.value);
    let orifice = meter.and_then(|meter| meter.type_.as_ref()).is_some_and(|at| at.value == Meter::Orifice);
    let name = gas_name(job.helium);
    if orifice && !same_gas(scale, job.helium) {
        let finding = stock::lacks(
            format!("an orifice gauge scaled in {} reads {name} wrong, and no factor puts it right", scale.word()),
            "read the flow with a tube meter at the cup, or get a gauge for this gas".to_owned(),
            at.map(|at| at.span),
        );
        return (None, Some(finding));
    }
    let mut work = Work::new();
    work.figure(FigureName::GasFlow, "Q", flow);
    let mut read = flow;
    if let Some(meter) = meter {
        let kind = meter.type_.as_ref().map_or("flowmeter", |at| at.value.word());
        work.kit_remark("meter-of-shop", vec![kind.to_owned(), scale.word().to_owned()], at.map(|at| at.span));
    }
    if !same_gas(scale, job.helium) {
        let Some(scaled) = scale_density(scale, &mut work) else { return (None, None) };
        if let (Some(argon), Some(helium)) = (pure("argon"), pure("helium")) {
            if scale != Scale::ArgonCo2 {
                work.small_row("gas-density-argon", "ra", argon.density, "kg/m3", argon.cite());
            }
            if job.helium > 0.0 {
                work.small_row("gas-density-helium", "rh", helium.density, "kg/m3", helium.cite());
            }
        }
        work.step("gas-density", "rg", "", gas.density, "kg/m3");
        read = work.step("meter-reading", "", "Q * sqrt(rg / rs)", flow / meter_factor(scaled, gas.density), "L/min");
        work.remark(LineKind::Remark, "tube-meters-only", Vec::new(), None);
    } else {
        work.step("meter-reads-true", "", "Q", flow, "L/min");
    }
    let value = Value::Number(round(FigureName::FlowmeterReading, read));
    (Some(work.done(FigureName::FlowmeterReading, value, Basis::Computed)), None)
}
