//! The panel: figures fitted to what a machine can set, its range and its steps.

use super::figure::{Figure, Origin, Value};
use super::names::FigureName;
use super::work::{Work, to_step};
use crate::findings::{Code, Finding, Span};
use crate::kit::Machine;
use crate::units::{Amount, InUnits, Quantity, show};

/// What a dial of a machine can set, in the unit of the figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dial {
    /// Lower and upper end; none where the kit does not say.
    pub range: Option<(f64, f64)>,
    /// Step; none where the kit does not say.
    pub step: Option<f64>,
    /// Where the range, or else the step, was stated.
    pub span: Option<Span>,
}

/// The dial of a machine for a figure; none where it has none or the kit says nothing of it.
#[must_use]
pub fn dial(machine: &Machine, name: FigureName) -> Option<Dial> {
    let steps = machine.step.as_ref().map(|at| &at.value);
    let found = match name {
        FigureName::Balance => {
            let step = steps.and_then(|steps| steps.balance.as_ref());
            Dial {
                range: super::machine::balance_range(machine),
                step: step.map(|at| at.value.value().si() * 100.0),
                span: machine.balance.as_ref().map(|at| at.span).or(step.map(|at| at.span)),
            }
        }
        FigureName::Frequency => {
            let step = steps.and_then(|steps| steps.frequency.as_ref());
            let range = machine.frequency.as_ref();
            Dial {
                range: range.map(|at| ends(&at.value, InUnits::in_hertz)),
                step: step.map(|at| at.value.value().in_hertz()),
                span: range.map(|at| at.span).or(step.map(|at| at.span)),
            }
        }
        FigureName::PreFlow | FigureName::PostFlow => {
            let range = if name == FigureName::PreFlow { &machine.pre_flow } else { &machine.post_flow };
            let range = range.as_ref()?;
            Dial { range: Some(ends(&range.value, InUnits::in_seconds)), step: None, span: Some(range.span) }
        }
        _ => return None,
    };
    (found.range.is_some() || found.step.is_some()).then_some(found)
}

fn ends<T: Quantity>(amount: &Amount<T>, unit: impl Fn(T) -> f64) -> (f64, f64) {
    (unit(amount.range.low), unit(amount.range.high))
}

/// Fits a figure to the dial: the aim to its step and both ends to its range. A finding where the dial does not reach
/// into the range that was worked out at all.
#[must_use]
pub fn fit(figure: &mut Figure, machine: &Machine, dial: Dial) -> Option<Finding> {
    let Value::Range { low, high, set } = figure.value else { return None };
    // Steps are counted from the lower end of the dial.
    let (from, to) = dial.range.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
    let base = if from.is_finite() { from } else { 0.0 };
    let stepped = dial.step.filter(|step| *step > 0.0).map_or(set, |step| base + to_step(set - base, step));
    let fitted = stepped.clamp(from, to.max(from));
    let missed = high < from || low > to;
    if (fitted - set).abs() > 1e-9 || low < from || high > to {
        let mut work = Work::new();
        let name = machine.name.value.clone();
        if let Some(step) = dial.step.filter(|_| (stepped - set).abs() > 1e-9) {
            work.ceiling("panel-step", step, unit(figure.name), Origin::Kit(dial.span));
            work.with(vec![name.clone()]);
        }
        if low < from || high > to || (fitted - stepped).abs() > 1e-9 {
            work.span_of("panel-range", (from, to), unit(figure.name), Origin::Kit(dial.span));
            work.with(vec![name]);
        }
        figure.working.extend(work.into_lines());
        figure.value =
            Value::Range { low: low.clamp(from, to).min(fitted), high: high.clamp(from, to).max(fitted), set: fitted };
    }
    missed.then(|| misses(figure.name, machine, (low, high), (from, to), fitted, dial.span))
}

fn unit(name: FigureName) -> &'static str {
    name.unit().unwrap_or_default()
}

fn misses(
    name: FigureName,
    machine: &Machine,
    (low, high): (f64, f64),
    (from, to): (f64, f64),
    taken: f64,
    span: Option<Span>,
) -> Finding {
    let number = |value: f64| show::trimmed(show::number(value, 1));
    let message = format!(
        "{} sets {} to {} {unit} of {}, and {} to {} {unit} are wanted",
        machine.name.value,
        number(from),
        number(to),
        name.key().replace('_', " "),
        number(low),
        number(high),
        unit = unit(name),
    );
    let help = match name {
        FigureName::PostFlow => {
            format!(
                "set {} s, then hold the cup still and let the gas run by hand until the tungsten is dull",
                number(taken)
            )
        }
        FigureName::PreFlow => format!("set {} s, and wait with the cup over the joint before the arc", number(taken)),
        FigureName::Balance => format!("set {} % EN; try it on scrap of the same skin first", number(taken)),
        _ => format!(
            "set {} {}; the bead comes out wider or narrower, so try it on scrap first",
            number(taken),
            unit(name)
        ),
    };
    Finding::new(Code::KitLacks, message).at_some(span).help(help)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]
mod tests {
    use super::*;
    use crate::engine::work::Work;
    use crate::reference::Basis;

    fn machine() -> Machine {
        let text = "format = 1\n[[machine]]\nname = \"Set\"\namperage = { ac = \"5 A to 200 A\" }\n";
        crate::kit::read(text).0.unwrap().machine.remove(0).value
    }

    fn figure(low: f64, high: f64, set: f64) -> Figure {
        Work::new().done(FigureName::Frequency, Value::Range { low, high, set }, Basis::CommonPractice)
    }

    fn fitted(from: (f64, f64, f64), dial: Dial) -> (Value, bool, usize) {
        let mut figure = figure(from.0, from.1, from.2);
        let missed = fit(&mut figure, &machine(), dial).is_some();
        (figure.value, missed, figure.working.len())
    }

    #[test]
    fn a_figure_inside_the_dial_stays_as_it_is() {
        let dial = Dial { range: Some((40.0, 250.0)), step: Some(5.0), span: None };
        assert_eq!(fitted((80.0, 120.0, 100.0), dial), (Value::Range { low: 80.0, high: 120.0, set: 100.0 }, false, 0));
    }

    #[test]
    fn an_aim_between_two_steps_goes_to_the_nearer_and_ends_to_the_range() {
        let dial = Dial { range: Some((50.0, 150.0)), step: Some(20.0), span: None };
        assert_eq!(
            fitted((120.0, 200.0, 145.0), dial),
            (Value::Range { low: 120.0, high: 150.0, set: 150.0 }, false, 2)
        );
    }

    #[test]
    fn a_dial_that_does_not_reach_is_said() {
        let dial = Dial { range: Some((50.0, 100.0)), step: None, span: None };
        assert_eq!(
            fitted((120.0, 200.0, 160.0), dial),
            (Value::Range { low: 100.0, high: 100.0, set: 100.0 }, true, 1)
        );
    }
}
