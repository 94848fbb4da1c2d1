//! The machine and the torch: what they end at, and for how long they last.

use super::figure::{Figure, Value};
use super::heat::duty_share;
use super::job::Job;
use super::names::FigureName;
use super::work::{Work, round};
use crate::findings::{Code, Finding, Span};
use crate::kit::{Cooling, Counts, Machine, Torch};
use crate::reference::{Basis, Polarity};
use crate::units::{InUnits, Quantity, show};

/// A machine of the kit as this job sees it.
#[derive(Debug, Clone)]
pub struct Set<'a> {
    /// The machine.
    pub machine: &'a Machine,
    /// Least and largest current on this polarity, A.
    pub amps: (f64, f64),
    /// Where the range was stated.
    pub span: Span,
    /// Polarity that the range is for.
    pub polarity: Polarity,
}

/// The machine that a job runs on: the one that is named, else the first that reaches the current, else the largest.
#[must_use]
pub fn choose<'a>(job: &Job<'a>, polarity: Polarity, need: f64) -> (Option<Set<'a>>, Vec<Finding>) {
    let Some(kit) = job.kit else { return (None, Vec::new()) };
    let sets: Vec<Set<'a>> = kit.machine.iter().filter_map(|at| view(&at.value, polarity)).collect();
    if let Some(named) = &job.spec.weld.machine {
        let found = sets.iter().find(|set| set.machine.name.value == named.value).cloned();
        if found.is_none() {
            let names: Vec<&str> = kit.machine.iter().map(|at| at.value.name.value.as_str()).collect();
            let finding = Finding::new(
                Code::KitMachine,
                format!("the kit has no machine called \"{}\" for this current", named.value),
            )
            .at(named.span)
            .help(format!("it has: {}", names.join(", ")));
            return (None, vec![finding]);
        }
        return (found, Vec::new());
    }
    let first = sets.iter().find(|set| set.amps.1 >= need).cloned();
    let largest = sets.into_iter().max_by(|a, b| a.amps.1.total_cmp(&b.amps.1));
    (first.or(largest), Vec::new())
}

fn view(machine: &Machine, polarity: Polarity) -> Option<Set<'_>> {
    let range = &machine.amperage.value;
    let at = match polarity {
        Polarity::AC => range.ac.as_ref(),
        Polarity::DCEN | Polarity::DCEP => range.dc.as_ref(),
    }?;
    let amps = (at.value.range.low.in_amps(), at.value.range.high.in_amps());
    // A single value is an upper end.
    let amps = if at.value.is_single() { (0.0, amps.1) } else { amps };
    Some(Set { machine, amps, span: at.span, polarity })
}

/// Current that a torch is rated for on this polarity, A.
fn torch_amps(torch: &Torch, polarity: Polarity) -> Option<f64> {
    let rated = &torch.rated.as_ref()?.value;
    let at = match polarity {
        Polarity::AC => rated.ac.as_ref().or(rated.dc.as_ref()),
        Polarity::DCEN | Polarity::DCEP => rated.dc.as_ref(),
    }?;
    Some(at.value.range.high.in_amps())
}

/// The torch for a current: the lightest that is rated for it, with the others that are too small noted; none where no
/// torch is rated for it.
#[must_use]
pub fn torch<'a>(job: &Job<'a>, polarity: Polarity, amps: f64) -> (Option<(&'a Torch, f64)>, Vec<Finding>) {
    let Some(kit) = job.kit else { return (None, Vec::new()) };
    let mut torches: Vec<(&Torch, f64)> =
        kit.torch.iter().filter_map(|at| torch_amps(&at.value, polarity).map(|amps| (&at.value, amps))).collect();
    torches.sort_by(|a, b| a.1.total_cmp(&b.1));
    let fit = torches.iter().find(|(_, rated)| *rated >= amps).copied();
    let mut findings: Vec<Finding> = torches
        .iter()
        .filter(|(_, rated)| *rated < amps && fit.is_some())
        .map(|(torch, rated)| {
            Finding::new(
                Code::KitTorchTooSmall,
                format!("\"{}\" is left on the hook: it is rated for {} A", torch.name.value, show::number(*rated, 0)),
            )
            .at(torch.name.span)
        })
        .collect();
    if fit.is_none() && !torches.is_empty() {
        let largest = torches.last().map_or(0.0, |(_, rated)| *rated);
        findings.push(
            Finding::new(
                Code::KitLacks,
                format!(
                    "no torch of the kit is rated for {} A; the largest carries {} A",
                    show::number(amps, 0),
                    show::number(largest, 0)
                ),
            )
            .help("get a bigger torch, or stay under the rating with a warmer part"),
        );
    }
    (fit.or(torches.last().copied()), findings)
}

/// The torch of the kit that is rated for most, and its rating, A; none where no rating is known.
#[must_use]
pub fn largest_torch<'a>(job: &Job<'a>, polarity: Polarity) -> Option<(&'a Torch, f64)> {
    let torches = job.kit?.torch.iter();
    let rated = torches.filter_map(|at| torch_amps(&at.value, polarity).map(|amps| (&at.value, amps)));
    rated.reduce(|best, next| if next.1 > best.1 { next } else { best })
}

/// Whether a torch is cooled by water.
#[must_use]
pub fn water_cooled(torch: &Torch) -> bool {
    torch.cooling.as_ref().is_some_and(|at| at.value == Cooling::Water)
}

/// Balance range of a panel in percent electrode negative, whatever it counts.
#[must_use]
pub fn balance_range(machine: &Machine) -> Option<(f64, f64)> {
    let balance = &machine.balance.as_ref()?.value;
    let (low, high) = (balance.range.value.range.low.si() * 100.0, balance.range.value.range.high.si() * 100.0);
    Some(match balance.counts.value {
        Counts::En => (low, high),
        Counts::Ep => (100.0 - high, 100.0 - low),
    })
}

/// Duty cycle at the panel maximum, the lesser of machine and torch: minutes of ten by the square law, never stretched
/// above the rated current.
#[must_use]
pub fn duty_figure(set: &Set<'_>, torch: Option<&Torch>, amps: f64) -> Option<Figure> {
    let rated = &set.machine.rated.as_ref()?.value;
    let (rated_amps, share) = (rated.amperage.value.value().in_amps(), rated.duty_cycle.value.value().si());
    if amps > rated_amps + 0.5 {
        return None;
    }
    let mut work = Work::new();
    work.kit("rated-current", "I", rated_amps, "A", Some(rated.amperage.span));
    work.kit("rated-duty", "X", share * 100.0, "%", Some(rated.duty_cycle.span));
    work.figure(FigureName::AmperageMax, "i", amps);
    let formula = "min(100, X * (I / i)^2)";
    let mut duty = work.step("duty", "x", formula, duty_share(rated_amps, share, amps) * 100.0, "%");
    if let Some((torch, torch_amps, share)) = torch.and_then(|torch| torch_duty(torch, set.polarity)) {
        work.kit("torch-rated-current", "J", torch_amps, "A", torch.rated.as_ref().map(|at| at.span));
        work.with(vec![torch.name.value.clone()]);
        work.kit("torch-rated-duty", "Y", share * 100.0, "%", torch.rated.as_ref().map(|at| at.span));
        let of_torch = duty_share(torch_amps, share, amps) * 100.0;
        work.step("torch-duty", "y", "min(100, Y * (J / i)^2)", of_torch, "%");
        duty = work.step("lesser-duty", "", "min(x, y)", duty.min(of_torch), "%");
    }
    Some(work.done(FigureName::DutyCycle, Value::Number(round(FigureName::DutyCycle, duty.floor())), Basis::Computed))
}

/// Rated current, A, and the share of time that a torch bears it.
fn torch_duty(torch: &Torch, polarity: Polarity) -> Option<(&Torch, f64, f64)> {
    let share = torch.rated.as_ref()?.value.duty_cycle.as_ref()?.value.value().si();
    Some((torch, torch_amps(torch, polarity)?, share))
}
