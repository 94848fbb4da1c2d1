//! Cost of rod and gas at the shop's prices.

use super::figure::{Figure, LineKind, Value};
use super::job::Job;
use super::names::FigureName;
use super::stock;
use super::work::{Work, round};
use crate::kit::Price;
use crate::reference::Basis;
use crate::units::table::Unit;

/// What a job uses up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Used<'a> {
    /// Filler metal.
    pub filler: &'a str,
    /// Rod diameter, mm.
    pub diameter: f64,
    /// Weld metal with trial beads, g.
    pub grams: f64,
    /// Whole rods laid out.
    pub rods: f64,
    /// Shielding gas, L.
    pub litres: f64,
}

/// Grams that a price by mass is for.
fn grams_of(per: &str) -> Option<f64> {
    match per {
        "kg" => Some(1000.0),
        "lb" => Some(Unit::Pound.factor() * 1000.0),
        _ => None,
    }
}

/// Litres that a price by volume is for; none for a bottle, whose content the kit does not name.
fn litres_of(per: &str) -> Option<f64> {
    match per {
        "L" => Some(1.0),
        "m3" => Some(1000.0),
        "cu ft" => Some(Unit::CubicFoot.factor() * 1000.0),
        _ => None,
    }
}

/// Cost of rod and gas in the currency of the shop: what is melted, stubs included, and the gas that flows. None where the
/// kit has a price for neither; where it has one alone, the working says what is not counted.
#[must_use]
pub fn figure(job: &Job<'_>, used: &Used<'_>) -> Option<Figure> {
    let kit = job.kit?;
    let mut work = Work::new();
    let rod = rod_cost(job, used, &mut work);
    let gas = gas_cost(job, used, &mut work);
    let missing = match (rod, gas) {
        (None, None) => return None,
        (Some(_), None) => Some("gas"),
        (None, Some(_)) => Some("rod"),
        (Some(_), Some(_)) => None,
    };
    let sum = rod.unwrap_or(0.0) + gas.unwrap_or(0.0);
    if missing.is_none() {
        work.step("cost", "", "cr + cg", sum, "");
    }
    if let Some(currency) = &kit.shop.currency {
        work.kit_remark("prices-in", vec![currency.value.clone()], Some(currency.span));
    }
    if let Some(what) = missing {
        work.remark(LineKind::Doubt, "cost-leaves-out", vec![what.to_owned()], None);
    }
    let value = Value::Number(round(FigureName::Cost, sum));
    Some(work.done(FigureName::Cost, value, Basis::Computed))
}

fn rod_cost(job: &Job<'_>, used: &Used<'_>, work: &mut Work) -> Option<f64> {
    let of_name = || stock::rods(job).into_iter().filter(|rod| rod.filler.name == used.filler && rod.price.is_some());
    let same = of_name().find(|rod| rod.diameter.is_some_and(|mm| (mm - used.diameter).abs() < 0.01));
    let rod = same.or_else(|| of_name().next())?;
    let price: &Price = rod.price?;
    let (amount, per) = (price.amount.value, price.per.value.as_str());
    if per == "piece" {
        work.figure(FigureName::Rods, "N", used.rods);
        work.kit("price-of-rod", "pr", amount, "", Some(price.amount.span));
        work.with(vec![used.filler.to_owned(), per.to_owned()]);
        return Some(work.step("cost-of-rod", "cr", "N * pr", used.rods * amount, ""));
    }
    let grams = grams_of(per)?;
    work.figure(FigureName::FillerMass, "M", used.grams);
    let stub = work.small_constant("stub-loss", "q") / 100.0;
    work.kit("price-of-rod", "pr", amount, "", Some(price.amount.span));
    work.with(vec![used.filler.to_owned(), per.to_owned()]);
    work.step("price-measure-mass", "g", "", grams, "g");
    let cost = used.grams / (1.0 - stub) / grams * amount;
    Some(work.step("cost-of-rod", "cr", "M / (1 - q / 100) / g * pr", cost, ""))
}

fn gas_cost(job: &Job<'_>, used: &Used<'_>, work: &mut Work) -> Option<f64> {
    let gases = stock::gases(job);
    let gas = gases.iter().find(|gas| (gas.helium - job.helium).abs() < 0.005 && gas.price.is_some())?;
    let price: &Price = gas.price?;
    let litres = litres_of(&price.per.value)?;
    work.figure(FigureName::GasVolume, "V", used.litres);
    work.kit("price-of-gas", "pg", price.amount.value, "", Some(price.amount.span));
    work.with(vec![super::gas::gas_name(job.helium), price.per.value.clone()]);
    work.step("price-measure-volume", "l", "", litres, "L");
    Some(work.step("cost-of-gas", "cg", "V / l * pg", used.litres / litres * price.amount.value, ""))
}
