//! Cup, gas, flow, flowmeter and the times before and after the arc.

mod meter;

use super::figure::{Figure, LineKind, Value};
use super::job::Job;
use super::load_line::held_shares;
use super::names::FigureName;
use super::stock::{self, Nozzle};
use super::work::{Work, cite, constant, round};
use crate::findings::{Code, Finding};
use crate::reference::{Basis, Class, Cup, GasFlow, GasProperty, Polarity, Row, Schedule, cup, gas_flow, gas_property};
use crate::units::show;

/// Density (kg/m3) and dynamic viscosity (Pa·s) of a shielding gas at 20 °C and 101.325 kPa.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixture {
    /// Density.
    pub density: f64,
    /// Dynamic viscosity.
    pub viscosity: f64,
}

fn pure(name: &str) -> Option<&'static GasProperty> {
    gas_property().rows.iter().find(|row| row.gas == name)
}

/// A mixture of argon and helium by volume share of helium: density by linear mixing, viscosity by Wilke's rule,
/// because argon with helium is thicker than either gas.
#[must_use]
pub fn mixture(helium: f64) -> Option<Mixture> {
    let (argon, light) = (pure("argon")?, pure("helium")?);
    let density = (1.0 - helium) * argon.density + helium * light.density;
    let viscosity =
        wilke([(1.0 - helium, argon.viscosity?, argon.molar_mass?), (helium, light.viscosity?, light.molar_mass?)]);
    Some(Mixture { density, viscosity: viscosity * 1e-6 })
}

/// Viscosity of a mixture of two gases by Wilke's rule: mole share, viscosity (any unit), molar mass (any unit).
#[must_use]
pub fn wilke(gases: [(f64, f64, f64); 2]) -> f64 {
    let mut sum = 0.0;
    for (share, viscosity, mass) in gases {
        let mut weight = 0.0;
        for (other_share, other_viscosity, other_mass) in gases {
            let bracket = 1.0 + (viscosity / other_viscosity).sqrt() * (other_mass / mass).sqrt().sqrt();
            weight += other_share * bracket * bracket / (8.0 * (1.0 + mass / other_mass)).sqrt();
        }
        if share > 0.0 {
            sum += share * viscosity / weight;
        }
    }
    sum
}

/// Reynolds number at the mouth of a cup: bore and tungsten in mm (0 for the open bore), flow in L/min. With a
/// tungsten the gap round it counts, with its hydraulic diameter.
#[must_use]
pub fn reynolds(bore: f64, tungsten: f64, flow: f64, gas: Mixture) -> f64 {
    let (bore, tungsten) = (bore * 1e-3, tungsten * 1e-3);
    let flow = flow * 1e-3 / 60.0;
    4.0 * gas.density * flow / (std::f64::consts::PI * gas.viscosity * (bore + tungsten))
}

/// Flow at which this Reynolds number is reached in the open bore, L/min.
#[must_use]
pub fn flow_at(reynolds: f64, bore: f64, gas: Mixture) -> f64 {
    reynolds * std::f64::consts::PI * gas.viscosity * bore * 1e-3 / (4.0 * gas.density) * 60_000.0
}

/// Factor of true flow over the reading of a tube flowmeter that is scaled in another gas.
#[must_use]
pub fn meter_factor(scale_density: f64, gas_density: f64) -> f64 {
    (scale_density / gas_density).sqrt()
}

/// Cups sold, narrow to wide.
fn cups() -> Vec<&'static Cup> {
    let mut cups: Vec<_> = cup().rows.iter().collect();
    cups.sort_by_key(|cup| cup.number);
    cups
}

/// The row of published flows that leads for a current, A.
fn lead_row(polarity: Polarity, amps: f64) -> Option<&'static GasFlow> {
    let mut rows = gas_flow().rows.iter().filter(|row| row.polarity == Some(polarity) && row.tungsten.is_none());
    let last = rows.clone().next_back();
    rows.find(|row| row.current.is_some_and(|current| amps <= current[1] + 0.5)).or(last)
}

/// The cup that a job takes.
#[derive(Debug, Clone)]
pub struct ChosenCup {
    /// The row of the table.
    pub cup: &'static Cup,
    /// The cup of the shelf, where it comes from there.
    pub held: Option<Nozzle>,
    /// The figure.
    pub figure: Figure,
    /// What the shelf lacks.
    pub lacks: Option<Finding>,
}

/// The cup: the narrowest whose bore clears four tungstens and the pool with a margin (tungsten and pool in mm), and that
/// published rows use at this current, or the schedule of a metal with gas of its own; of the shelf where it holds one that is wide enough or one size narrower, with a gas lens first.
#[must_use]
pub fn cup_figure(
    (tungsten, pool): (f64, f64),
    amps: f64,
    polarity: Polarity,
    own: Option<&'static Schedule>,
    shelf: &[Nozzle],
) -> Option<ChosenCup> {
    let mut work = Work::new();
    work.figure(FigureName::TungstenDiameter, "d", tungsten);
    let per_tungsten = work.constant("cup-per-tungsten", "q");
    let margin = work.constant("cup-over-pool", "m");
    work.step("pool-width", "w", "", pool, "mm");
    let row = lead_row(polarity, amps)?;
    let published = match own.and_then(|own| own.bore.map(|bore| (own, bore))) {
        Some((own, bore)) => work.row("cup-bore-row", "p", bore[0], "mm", own.cite()),
        None => work.row("cup-bore-row", "p", row.bore[0], "mm", row.cite()),
    };
    let least = (per_tungsten * tungsten).max(pool + margin).max(published);
    let need = work.step("cup-bore-needed", "B", "max(max(q * d, w + m), p)", least, "mm");
    let all = cups();
    let wide = |cup: &&Cup| cup.bore >= need - constant("cup-slack").value;
    let best = all.iter().copied().find(|cup| wide(cup)).or_else(|| all.last().copied())?;
    let held = on_shelf(&all, best, shelf);
    let chosen = held.map_or(best, |(cup, _)| cup);
    if let Some((_, nozzle)) = held {
        work.kit_remark("on-shelf-cup", vec![chosen.number.to_string()], Some(nozzle.span));
        if chosen.number != best.number {
            work.remark(LineKind::NotUsed, "cup-not-on-shelf", vec![best.number.to_string()], Some(best.cite()));
        }
    }
    work.row("cup-bore", "b", chosen.bore, "mm", chosen.cite());
    work.step("cup-number", "", "b / 25.4 * 16", f64::from(chosen.number), "");
    let mut figure =
        work.done(FigureName::Cup, Value::Number(f64::from(chosen.number)), constant("cup-per-tungsten").basis);
    let above = all.iter().filter(|cup| cup.number > chosen.number).map(|cup| cup.number.to_string());
    figure.alternatives = above.take(1).collect();
    figure.parts.push(("bore", chosen.bore, "mm"));
    let lacks = lacking_cup(best, held.map(|(cup, _)| cup), shelf);
    Some(ChosenCup { cup: chosen, held: held.map(|(_, nozzle)| nozzle), figure, lacks })
}

/// The cup of the shelf that comes nearest: wide enough, a gas lens before none, the narrowest first; else one a single
/// size too narrow.
fn on_shelf(all: &[&'static Cup], best: &'static Cup, shelf: &[Nozzle]) -> Option<(&'static Cup, Nozzle)> {
    let known = shelf.iter().filter_map(|nozzle| {
        let cup = all.iter().copied().find(|cup| cup.number == nozzle.number)?;
        Some((cup, *nozzle))
    });
    let known: Vec<(&'static Cup, Nozzle)> = known.collect();
    let wide = known.iter().filter(|(cup, _)| cup.number >= best.number);
    let wide = wide.min_by_key(|(cup, nozzle)| (!nozzle.lens, cup.number));
    let narrow = || {
        let near = known.iter().filter(|(cup, _)| cup.number < best.number && cup.number + 1 >= best.number);
        near.min_by_key(|(_, nozzle)| !nozzle.lens)
    };
    wide.or_else(narrow).copied()
}

fn lacking_cup(best: &Cup, taken: Option<&Cup>, shelf: &[Nozzle]) -> Option<Finding> {
    let widest = shelf.iter().map(|nozzle| nozzle.number).max()?;
    let at = shelf.first().map(|nozzle| nozzle.span);
    match taken {
        Some(cup) if cup.number >= best.number => None,
        Some(cup) => Some(stock::lacks(
            format!("cup no. {} is wanted, and the widest of the shelf is no. {}", best.number, cup.number),
            format!(
                "no. {} is taken: short arc, still air, and the gas turned up towards the end of its range",
                cup.number
            ),
            at,
        )),
        None => Some(stock::lacks(
            format!("cup no. {} is wanted, and the widest of the shelf is no. {widest}", best.number),
            format!("get no. {} with its gas lens: a narrow cup leaves the edges of the pool bare", best.number),
            at,
        )),
    }
}

/// Gas lens: yes for repair work, where it lets the tungsten reach into an opening; as the cup of the shelf has it.
#[must_use]
pub fn lens_figure(held: Option<Nozzle>) -> Figure {
    let mut work = Work::new();
    work.remark(LineKind::Remark, "lens-reaches-further", Vec::new(), Some(cite("stick-out-lens")));
    let lens = held.is_none_or(|nozzle| nozzle.lens);
    if let Some(nozzle) = held {
        let words = if lens { "cup-takes-lens" } else { "cup-takes-no-lens" };
        work.kit_remark(words, vec![nozzle.number.to_string()], Some(nozzle.span));
    }
    work.done(FigureName::GasLens, Value::Flag(lens), constant("stick-out-lens").basis)
}

/// The gas by its name.
#[must_use]
pub fn gas_name(helium: f64) -> String {
    if helium <= 0.0 {
        "argon".to_owned()
    } else if helium >= 1.0 {
        "helium".to_owned()
    } else {
        format!("argon + {} % helium", show::number(helium * 100.0, 0))
    }
}

/// The shielding gas.
#[must_use]
pub fn gas_figure(job: &Job<'_>) -> (Figure, Vec<Finding>) {
    let mut work = Work::new();
    let mut findings = Vec::new();
    work.small_constant("argon-purity", "");
    let span = job.spec.weld.gas.as_ref().map(|at| at.span);
    if job.helium > 0.0 {
        work.stated("helium-share", "x", job.helium * 100.0, "%", span);
        if job.helium < constant("helium-gain-from").value / 100.0 {
            work.remark(LineKind::Remark, "little-gain", Vec::new(), Some(cite("helium-gain-from")));
        }
        if super::wave::of_job(job) == Polarity::AC && job.helium > constant("helium-share-on-ac").value / 100.0 {
            findings.push(
                Finding::new(Code::SettingOutside, "this much helium gives little cleaning and a hard start on AC")
                    .at_some(span)
                    .help("argon, or argon with 25 to 50 % helium, on AC"),
            );
        }
    }
    let shelf = stock::gases(job);
    let name = gas_name(job.helium);
    match shelf.iter().find(|gas| (gas.helium - job.helium).abs() < 0.005) {
        Some(gas) => work.kit_remark("on-shelf", vec![name.clone()], Some(gas.span)),
        None => findings.extend(shelf.first().map(|first| {
            let held: Vec<String> = shelf.iter().map(|gas| gas_name(gas.helium)).collect();
            let argon = shelf.iter().any(|gas| gas.helium <= 0.0);
            let instead = if argon { "; argon does it with more current or a warmer part" } else { "" };
            stock::lacks(
                format!("{name} is not on the shelf: there is {}", held.join(", ")),
                format!("get {name}{instead}"),
                Some(first.span),
            )
        })),
    }
    let thick = job.thickness.is_some_and(|wall| wall > constant("copper-helium-from").value);
    let copper = job.base.alloy.is_some_and(|alloy| alloy.family == "copper") && thick && job.helium <= 0.0;
    if copper {
        work.remark(LineKind::Remark, "helium-on-copper", Vec::new(), Some(cite("copper-helium-from")));
    }
    let mut figure = work.done(FigureName::Gas, Value::Word(name), Basis::CommonPractice);
    if copper {
        figure.alternatives = held_shares().filter(|share| (0.5..1.0).contains(share)).map(gas_name).collect();
    }
    (figure, findings)
}

/// Flow at the cup, the reading that gives it, and the Reynolds number.
#[must_use]
pub fn flow_figures(
    job: &Job<'_>,
    wall: f64,
    amps: f64,
    polarity: Polarity,
    cup: &'static Cup,
    own: Option<&'static Schedule>,
) -> (Vec<Figure>, Option<Finding>) {
    let lead = lead_row(polarity, amps);
    let (Some(lead), Some(gas)) = (lead, mixture(job.helium)) else { return (Vec::new(), None) };
    let mut work = Work::new();
    work.out_of(FigureName::Amperage, "highest-aim", "i", amps);
    let own = own.and_then(|own| own.flow.map(|flow| (own, flow)));
    let (range, row_cite, basis) = match own {
        Some((own, flow)) => (flow, own.cite(), own.basis),
        None => (lead.argon, lead.cite(), lead.basis),
    };
    work.row_range("flow-row", (range[0], range[1]), "L/min", row_cite);
    let witnesses = gas_flow().rows.iter().filter(|row| {
        row.thickness.is_some_and(|range| range[0] < wall && wall <= range[1])
            || (row.tungsten.is_some()
                && row.polarity == Some(polarity)
                && row.current.is_some_and(|c| c[0] <= amps && amps <= c[1]))
    });
    let mut most: f64 = range[1];
    for row in witnesses {
        work.check("flow-witness", (row.argon[0], row.argon[1]), "L/min", Some(row.cite()));
        most = most.max(row.argon[1]);
    }
    let [mut low, mut high] = range;
    // The row by current was drawn up for sheet; where others print more for this wall, a repair of another metal than
    // aluminium, whose row others bear out, takes their end too.
    if own.is_none() && job.class() != Class::Aluminium && most > high {
        high = work.step("flow-of-others", "", "", most, "L/min");
    }
    if job.helium > 0.0 {
        let factor = constant("helium-flow-gain");
        let gain = factor.range.unwrap_or([factor.value; 2]);
        (low, high) = (low * (1.0 + job.helium * gain[0]), high * (1.0 + job.helium * gain[1]));
        work.row_range("helium-flow-gain", (gain[0], gain[1]), "", factor.cite());
        work.step_range("flow-with-helium", "", (low, high), "L/min");
    }
    let ceiling = flow_at(constant("laminar-limit").value, cup.bore, gas);
    work.small_constant("laminar-limit", "");
    work.step("laminar-ceiling", "", "", ceiling, "L/min");
    if high > ceiling {
        high = ceiling;
        low = low.min(high);
    }
    let rounded = |name, value| round(name, value);
    let aim = rounded(FigureName::GasFlow, f64::midpoint(low, high));
    let value =
        Value::Range { low: rounded(FigureName::GasFlow, low), high: rounded(FigureName::GasFlow, high), set: aim };
    let mut beside = Vec::new();
    if let Some((own, _)) = own {
        for (words, key, value) in
            [("trailing-flow", "trailing", own.trailing), ("backing-flow", "backing", own.backing)]
        {
            if let Some(value) = value {
                work.row(words, "", value, "L/min", own.cite());
                beside.push((key, rounded(FigureName::GasFlow, value), "L/min"));
            }
        }
    }
    let mut flow = work.done(FigureName::GasFlow, value, basis);
    flow.parts.extend(beside);
    flow.maximum = Some(crate::units::show::round_to(ceiling, 0.5, crate::units::show::Toward::Down));

    let mut number = Work::new();
    number.figure(FigureName::GasFlow, "Q", aim);
    number.row("cup-bore", "B", cup.bore, "mm", cup.cite());
    number.step("gas-density", "rg", "", gas.density, "kg/m3");
    number.step("gas-viscosity", "mu", "", gas.viscosity * 1e6, "µPa·s");
    let re = reynolds(cup.bore, 0.0, aim, gas);
    number.step("reynolds", "", "4 * rg * Q / (pi * mu * B) / 60 * 1000000", re, "");
    number.small_constant("laminar-limit", "");
    let mut number =
        number.done(FigureName::Reynolds, Value::Number(rounded(FigureName::Reynolds, re)), Basis::Computed);
    number.maximum = Some(constant("laminar-limit").value);
    let (reading, finding) = meter::reading(job, aim, gas);
    ([Some(flow), reading, Some(number)].into_iter().flatten().collect(), finding)
}

/// Gas before and after the arc, s.
#[must_use]
pub fn time_figures(class: Class, amps: f64) -> Vec<Figure> {
    let mut before = Work::new();
    let pre = before.constant("pre-flow", "");
    let range = constant("pre-flow").range.unwrap_or([pre; 2]);
    let before = before.done(
        FigureName::PreFlow,
        Value::Range { low: range[0], high: range[1], set: pre },
        constant("pre-flow").basis,
    );
    let mut after = Work::new();
    after.out_of(FigureName::Amperage, "highest-aim", "i", amps);
    let short = after.constant("post-flow-short", "s");
    let long = after.constant("post-flow-long", "l");
    let least = after.constant_of(class, "post-flow-least", "m");
    let low = after.step("post-flow-low", "p", "max(m, i / s)", (amps / short).max(least), "s");
    let high = after.step("post-flow-high", "P", "max(p, i / l)", (amps / long).max(low), "s");
    let rounded = |value: f64| round(FigureName::PostFlow, value);
    let value = Value::Range { low: rounded(low), high: rounded(high), set: rounded(f64::midpoint(low, high)) };
    vec![before, after.done(FigureName::PostFlow, value, constant("post-flow-short").basis)]
}
