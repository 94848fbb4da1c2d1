//! Heat: arc voltage, travel, heat input in both usual forms, and the heat budget.

use super::figure::{Figure, LineKind, Value};
use super::geometry::near_area;
use super::job::Job;
use super::load_line::LoadLine;
use super::metal::{Ends, Props};
use super::names::FigureName;
use super::preheat::Limits;
use super::schedule;
use super::work::{Work, cite, constant, constant_of, round};
use crate::reference::{Basis, Class, HeatWindow, Row};
use crate::units::{InUnits, show};

/// Arc energy, kJ/mm: volts, amperes, mm/min.
#[must_use]
pub fn arc_energy(volts: f64, amps: f64, travel: f64) -> f64 {
    60.0 * volts * amps / (1000.0 * travel)
}

/// Allowed duty share at a current by the square law, capped at 1: rated current and share.
#[must_use]
pub fn duty_share(rated_amps: f64, rated_share: f64, amps: f64) -> f64 {
    (rated_share * (rated_amps / amps) * (rated_amps / amps)).min(1.0)
}

/// Minutes of arc before a mass (kg) has warmed by a step (K), no losses: specific heat J/kgK, net power W.
#[must_use]
pub fn arc_minutes(mass: f64, specific_heat: f64, rise: f64, net_power: f64) -> f64 {
    mass * specific_heat * rise / net_power / 60.0
}

/// Mean specific heat between two temperatures, J/kgK, of a metal whose value holds at a third, °C.
#[must_use]
pub fn mean_specific_heat(class: Class, value: f64, at: f64, from: f64, to: f64) -> f64 {
    let slope = constant_of(class, "specific-heat-slope").value / 10_000.0;
    let room = constant("specific-heat-at").value;
    value * (1.0 + slope * (f64::midpoint(from, to) - room)) / (1.0 + slope * (at - room))
}

/// The mean specific heat of a metal between two temperatures, with its lines: `c0` at `ca`, mean `c`.
pub(super) fn specific_heat(work: &mut Work, metal: &Props, from: f64, to: f64) -> f64 {
    let (class, found) = (metal.alloy.class, &metal.specific_heat);
    work.small_row("specific-heat", "c0", found.value, "J/kgK", found.cite.clone());
    let room = work.small_constant("specific-heat-at", "cr");
    let at = match found.at {
        Some(at) => work.small_row("specific-heat-own", "ca", at, "°C", found.cite.clone()),
        None => work.step("specific-heat-own", "ca", "cr", room, "°C"),
    };
    work.small_constant_of(class, "specific-heat-slope", "cs");
    work.step("mean-temperature", "cm", "", f64::midpoint(from, to), "°C");
    let mean = mean_specific_heat(class, found.value, at, from, to);
    work.step(
        "specific-heat-mean",
        "c",
        "c0 * (1 + cs / 10000 * (cm - cr)) / (1 + cs / 10000 * (ca - cr))",
        mean,
        "J/kgK",
    )
}

/// Arc voltage at the running current.
#[must_use]
pub fn voltage_figure(amps: (f64, f64, f64), helium: f64) -> Figure {
    let line = LoadLine::for_gas(helium);
    let mut work = Work::new();
    work.figure(FigureName::Amperage, "i", amps.1);
    work.constant("load-line-base", "u0");
    work.constant("load-line-slope", "u1");
    let lift = super::load_line::helium_volts(helium);
    if helium > 0.0 {
        work.adjust("helium-volts", "uh", lift, "V", cite("helium-volts-50"));
        work.step("voltage", "", "u0 + uh + u1 * i", line.volts(amps.1), "V");
    } else {
        work.step("voltage", "", "u0 + u1 * i", line.volts(amps.1), "V");
    }
    let rounded = |amps: f64| round(FigureName::ArcVoltage, line.volts(amps));
    let value = Value::Range { low: rounded(amps.0), high: rounded(amps.2), set: rounded(amps.1) };
    work.done(FigureName::ArcVoltage, value, constant("load-line-slope").basis)
}

/// Travel speed: of the schedule through a wall, else of repair work.
#[must_use]
pub fn travel_figure(of: schedule::Of, wall: f64, through: bool) -> Figure {
    let mut work = Work::new();
    if let Some((travel, cite)) = through.then(|| schedule::travel(of, wall)).flatten() {
        let basis = cite.basis;
        work.row("travel-schedule", "v", travel, "mm/min", cite);
        let spread = work.small_constant("travel-spread", "q") / 100.0;
        let rounded = |value: f64| round(FigureName::TravelSpeed, value);
        let value = Value::Range {
            low: rounded(travel * (1.0 - spread)),
            high: rounded(travel * (1.0 + spread)),
            set: rounded(travel),
        };
        return work.done(FigureName::TravelSpeed, value, basis);
    }
    let travel = work.constant_of(of.class, "travel-repair", "v");
    let row = constant_of(of.class, "travel-repair");
    let range = row.range.unwrap_or([travel; 2]);
    work.done(FigureName::TravelSpeed, Value::Range { low: range[0], high: range[1], set: travel }, row.basis)
}

/// Travel, mm/min, at which a current brings this heat input, kJ/mm with the code's factor.
#[must_use]
pub fn travel_for(heat_input: f64, line: LoadLine, amps: f64) -> f64 {
    constant("heat-input-k").value * arc_energy(line.volts(amps), amps, 1.0) / heat_input
}

/// Puts the travel of the author's own heat input in the place of the usual one: at the low, the aimed and the high
/// current of a fill pass, A.
pub fn travel_by_heat_input(figure: &mut Figure, heat_input: f64, line: LoadLine, [low, aim, high]: [f64; 3]) {
    let mut work = Work::new();
    work.step("heat-input-stated", "q", "", heat_input, "kJ/mm");
    work.out_of(FigureName::Amperage, "highest-aim", "i", aim);
    work.step("voltage", "u", "", line.volts(aim), "V");
    work.constant("heat-input-k", "k");
    let travel = |amps: f64| travel_for(heat_input, line, amps);
    work.step("travel-of-heat-input", "v", "k * 60 * u * i / (1000 * q)", travel(aim), "mm/min");
    let rounded = |amps: f64| round(FigureName::TravelSpeed, travel(amps));
    let value = Value::Range { low: rounded(low), high: rounded(high), set: rounded(aim) };
    *figure = work.done(FigureName::TravelSpeed, value, Basis::Computed);
}

/// Cuts a range of travel to what keeps a bead inside the heat input that its metal wants, at this current, A.
pub fn travel_in_window(figure: &mut Figure, window: &'static HeatWindow, line: LoadLine, amps: f64) {
    let Value::Range { low, high, set } = figure.value else { return };
    let [least, most] = window.heat_input;
    let down = |value: f64| super::work::to_step(value - 2.5, 5.0);
    let [slow, fast] = [most, least].map(|heat_input| travel_for(heat_input, line, amps));
    if fast >= high && slow <= low {
        return;
    }
    let mut work = Work::new();
    work.step("travel-usual", "", "", set, "mm/min");
    work.row_range("heat-window", (least, most), "kJ/mm", window.cite());
    work.figure(FigureName::Amperage, "i", amps);
    work.step_range("travel-of-window", "", (slow, fast), "mm/min");
    let (low, high) = (low.max(slow), high.min(down(fast)).max(low.max(slow)));
    let value = Value::Range { low, high, set: set.clamp(low, high) };
    *figure = work.done(FigureName::TravelSpeed, value, window.basis);
}

/// Arc energy and heat input at the start and near the limit.
#[must_use]
pub fn heat_input_figures(amps: (f64, f64, f64), travel: f64, helium: f64) -> Vec<Figure> {
    let line = LoadLine::for_gas(helium);
    let energy = |amps: f64| arc_energy(line.volts(amps), amps, travel);
    let write = || {
        let mut work = Work::new();
        work.figure(FigureName::Amperage, "i", amps.1);
        work.figure(FigureName::ArcVoltage, "u", line.volts(amps.1));
        work.figure(FigureName::TravelSpeed, "v", travel);
        work
    };
    let mut bare = write();
    bare.step("arc-energy", "", "60 * u * i / (1000 * v)", energy(amps.1), "kJ/mm");
    let mut factored = write();
    let k = factored.constant("heat-input-k", "k");
    factored.step("heat-input", "", "k * 60 * u * i / (1000 * v)", k * energy(amps.1), "kJ/mm");
    factored.remark(LineKind::Remark, "fit-is-not-this-factor", Vec::new(), Some(cite("fit-efficiency")));
    // Thin sheet takes less than half a step of the figure: that is little, not nothing.
    let rounded = |name: FigureName, energy: f64| {
        let usual = round(name, energy);
        if usual > 0.0 { usual } else { super::work::to_step(energy, 0.01).max(0.01) }
    };
    let value = |name: FigureName, k: f64| Value::Range {
        low: rounded(name, k * energy(amps.0)),
        high: rounded(name, k * energy(amps.2)),
        set: rounded(name, k * energy(amps.1)),
    };
    vec![
        factored.done(FigureName::HeatInput, value(FigureName::HeatInput, k), Basis::Computed),
        bare.done(FigureName::ArcEnergy, value(FigureName::ArcEnergy, 1.0), Basis::Computed),
    ]
}

/// What the heat budget is drawn up for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    /// Wall, mm.
    pub wall: f64,
    /// Part at the start, °C.
    pub start: f64,
    /// Current, A.
    pub amps: f64,
    /// Ends of the damage that lie inside the metal.
    pub inner_ends: f64,
    /// Travel speed, mm/min.
    pub travel: f64,
}

/// Minutes of arc before a pause, and the temperature at which work goes on.
#[must_use]
pub fn budget_figures(job: &Job<'_>, ends: &Ends, limits: &Limits, arc: &Arc) -> Vec<Figure> {
    let Arc { wall, start, amps, inner_ends, travel } = *arc;
    let line = LoadLine::for_gas(job.helium);
    let rise = limits.interpass - start;
    let mut work = Work::new();
    work.figure(FigureName::InterpassMax, "T", limits.interpass);
    work.stated("start", "T0", start, "°C", None);
    let heat = specific_heat(&mut work, &ends.least, start, limits.interpass);
    work.figure(FigureName::Amperage, "i", amps);
    work.figure(FigureName::ArcVoltage, "u", line.volts(amps));
    let efficiency = work.constant("budget-efficiency", "n");
    let net = work.step("net-power", "p", "n * u * i", efficiency * line.volts(amps) * amps, "W");
    let length = job.spec.damage.length.as_ref().map_or(0.0, |at| at.value.value().in_mm());
    let reach = work.small_constant_of(job.class(), "budget-reach", "r");
    work.stated("damage-length", "l", length, "mm", job.spec.damage.length.as_ref().map(|at| at.span));
    // Without a length the damage is a spot: a whole disc of metal lies round it.
    let inner_ends = if length > 0.0 { inner_ends } else { 2.0 };
    work.assumed("inner-ends", "e", inner_ends, "");
    work.stated("wall", "t", wall, "mm", job.thickness_span());
    work.small_row("density", "rho", ends.least.density.value, "g/cm3", ends.least.density.cite.clone());
    let near = near_area(length, reach, inner_ends) * wall * ends.least.density.value * 1e-6;
    work.step("near-mass", "mn", "(2 * r * l + e * pi / 2 * r^2) * t * rho / 1000000", near, "kg");
    let whole = job.spec.part.mass.as_ref();
    let mut mass = near;
    if let Some(whole) = whole {
        let stated = work.stated("part-mass", "mp", whole.value.value().in_kg(), "kg", Some(whole.span));
        let all = arc_minutes(stated, heat, rise, net);
        work.step("minutes-whole", "", "mp * c * (T - T0) / p / 60", all, "min");
        mass = mass.min(stated);
    }
    work.step("lesser-mass", "m", "", mass, "kg");
    let minutes = work.step("minutes", "", "m * c * (T - T0) / p / 60", arc_minutes(mass, heat, rise, net), "min");
    let most = work.small_constant("budget-most", "x");
    let least = constant("budget-least").value;
    let down = show::round_to(minutes, 0.5, show::Toward::Down).min(most);
    work.remark(LineKind::Doubt, "budget-no-losses", Vec::new(), None);
    work.remark(LineKind::Remark, "probe-rules", Vec::new(), Some(cite("budget-most")));
    let value = if rise <= 0.0 {
        Value::Word("wait".to_owned())
    } else if down < least {
        Value::Word("none to count on".to_owned())
    } else {
        Value::Number(down)
    };
    let pause = work.done(FigureName::ArcMinutesBeforePause, value, Basis::Computed);
    vec![pause, resume(job, ends, limits, (amps, line), length, travel)]
}

/// Temperature at or below which the next pass may start: the limit less what one pass brings to the whole part, where
/// its mass is known, and less a fixed step otherwise.
fn resume(
    job: &Job<'_>,
    ends: &Ends,
    limits: &Limits,
    (amps, line): (f64, LoadLine),
    length: f64,
    travel: f64,
) -> Figure {
    let mut work = Work::new();
    work.figure(FigureName::InterpassMax, "T", limits.interpass);
    // A part that is kept warm has no room for the usual step: there the probe before each bead rules.
    let mut step = if limits.needed.is_some() { 0.0 } else { work.constant("resume-step", "s") };
    if let Some(mass) = &job.spec.part.mass {
        let energy = constant("budget-efficiency").value * line.volts(amps) * amps * (length / travel * 60.0);
        let heat = &ends.least.specific_heat;
        let at = heat.at.unwrap_or(constant("specific-heat-at").value);
        let heat = mean_specific_heat(job.class(), heat.value, at, job.start_temperature, limits.interpass);
        let lift = energy / (mass.value.value().in_kg() * heat);
        work.step("pass-lifts-part", "q", "", lift, "K");
        step = step.max(lift);
    }
    let floor = constant("resume-floor").value;
    work.small_constant("resume-floor", "f");
    let mut at = (limits.interpass - step).max(floor.min(limits.interpass));
    if let Some(least) = limits.needed.filter(|least| *least > at) {
        // It never cools below the preheat between passes.
        at = work.step("resume-not-under-preheat", "", "", least, "°C");
    }
    work.step("resume-at", "", "", at, "°C");
    let value = show::round_to(at, 5.0, show::Toward::Down);
    let mut figure = work.done(FigureName::ResumeBelow, Value::Number(value), constant("resume-step").basis);
    let distance = (constant("measure-walls").value * job.thickness.unwrap_or(0.0)).min(constant("measure-most").value);
    figure.parts.push(("measure-at", round_mm(distance), "mm"));
    figure
}

fn round_mm(value: f64) -> f64 {
    super::work::to_step(value, 1.0)
}
